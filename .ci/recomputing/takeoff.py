"""The takeoff, from the openings and the steps of their details.

The rules are those of the sheets Details and Sources, one function each; those of the
table Conventions of Sources are named by their topic where they are used.
"""

import collections
import itertools
import re
from fractions import Fraction
from math import isqrt, pi

from .reading import INCH, MM, SQUARE_FOOT, Unsaid, blank, items, length, number, offers

STATED = (
    "foot on a slab",
    "ends of a cap",
    "wall depth",
    "fasteners",
    "brickmould",
    "leaves",
    "which size rules",
    "trim head",
    "drop of a window",
    "drop of an overhead door",
    "gap of a side",
    "equal boards",
    "boards of a kind",
    "pan depth",
    "coat",
    "gap of a row",
    "long pan",
    "no rod",
    "metal at the trim",
    "reason of a hold",
    "odd pieces",
    "order of rows",
    "whole units",
    "brake",
    "screws",
    "longest nail",
    "call size",
    "shape",
    "studs between",
    "sample",
    "tape of a family",
    "patches",
    "thicker rod",
    "cover over a mull",
)

DOORS = ("entry door", "patio door")
STOCKED = (INCH * 73 // 16, INCH * 105 // 16)  # Sources, sizes: jamb depths of 4-9/16 and 6-9/16 in
FLOORS = ("slab", "masonry")
PI = Fraction("3.14159265358979323846")
CORNERS = {"corners": 4, "sill corners": 2, "head corners": 2}


def half_up(value):
    return (value + Fraction(1, 2)).__floor__()


def ceiling(value):
    return -((-value) // 1)


# --- openings ---

Opening = collections.namedtuple(
    "Opening", "mark qty kind frame rough size_from units stacked sits_on flange furnished_by cost status measured jamb_depth "
    "leg_drop pan trim wall_depth rise detail doubt operation shape shape_hold widths far")
Side = collections.namedtuple("Side", "w h")


def typed(row, job, width, height):
    """Returns the two sizes of a row, or None."""
    if blank(row[width]) and blank(row[height]):
        return None
    return Side(length(row[width], job.bare), length(row[height], job.bare))


def call_size(text):
    """3068, 3-0 x 6-8: feet and inches of width and height (Conventions: call size)."""
    found = re.match(r"^(\d)-?(\d+) x (\d)-?(\d+)$", text) or re.match(r"^(\d)(\d)(\d)(\d)$", text)
    if not found:
        raise Unsaid(f"call size {text!r}")
    feet_w, inch_w, feet_h, inch_h = (int(n) for n in found.groups())
    return Side((feet_w * 12 + inch_w) * INCH, (feet_h * 12 + inch_h) * INCH)


def clearance(job, kind):
    return Side(job.length(f"clearance {kind} width"), job.length(f"clearance {kind} height"))


def larger(a, b):
    return Side(a.w + b.w, a.h + b.h)


def smaller(a, b):
    return Side(a.w - b.w, a.h - b.h)


def sizes(row, job):
    """Sheet Job, 'Rough opening over frame', and 'call size KIND': returns frame, rough opening and where it is from."""
    kind, room = row["Kind"], clearance(job, row["Kind"])
    frame = typed(row, job, "Frame width", "Frame height")
    rough = typed(row, job, "RO width", "RO height")
    if rough:
        return frame or smaller(rough, room), rough, "given"
    if frame:
        return frame, larger(frame, room), "frame + clearance"
    call, means = call_size(str(row["Call size"])), job.text(f"call size {kind}")
    said = f"call size {row['Call size']}"
    if means == "opening":
        return smaller(call, room), call, said
    if means == "unit":
        return call, larger(call, room), said
    if means == "slab":
        rough = larger(call, clearance(job, "slab"))
        return smaller(rough, room), rough, said
    raise Unsaid(f"a call size means {means!r}")


def outside(kind, flange, frame, job):
    """Rule sizes, outside of a unit with brickmould (Conventions: brickmould)."""
    if flange != "brickmould":
        return frame
    wide = job.length("brickmould width")
    return Side(frame.w + 2 * wide, frame.h + (2 if kind == "window" else 1) * wide)


def default(row, head, job, key):
    """A blank cell of Openings takes the default of its kind on Job, if Job has one."""
    if not blank(row[head]):
        return row[head]
    return job.text(key) if key in job.line else "none"


Reading = collections.namedtuple("Reading", "least size rise apart")  # the least and largest of each side; of the diagonals, how far apart
AGREE = INCH // 8  # Sources, readings: three readings within 1/8 in
FAR = ("", "ordered", "delivered", "set", "cut", "hung", "finished")  # Sheet Openings, Status
ENDS = {"install": "set", "shop": "cut", "trim": "hung", "finish": "finished"}  # Conventions: done
MADE = FAR[FAR.index("cut"):]  # their trim is cut
AS_ORDERED = INCH // 4  # Conventions: reason of a hold


def how_far(status, qty):
    """Conventions: done. How many openings of a mark are how far; those that '2 set, 2 delivered' does not name are not stated."""
    parts = [re.match(r"^(?:(\d+) )?([a-z]+)$", part.strip()) for part in str(status or "").split(",") if part.strip()]
    if any(part is None or part.group(2) not in FAR for part in parts):
        raise Unsaid(f"status {status!r}")
    far = collections.Counter()
    for part in parts:
        far[part.group(2)] += int(part.group(1) or qty)
    far[""] = qty - sum(far.values())
    if far[""] < 0:
        raise Unsaid(f"status {status!r} of {qty}")
    return +far


def done(far, phase):
    """Conventions: done. At how many openings a phase is done."""
    return sum(count for status, count in far.items() if FAR.index(status) >= FAR.index(ENDS[phase]))


def least_far(far):
    """Conventions: done. What all else of a mark follows."""
    return min(far, key=FAR.index)


def readings(book, job):
    """Sheet Field measurements: frames by mark and piece, and what was read of the openings by mark."""
    frames, before = collections.defaultdict(dict), collections.defaultdict(list)
    for row in book.table("Field measurements", "FieldReadings").filled("Mark"):
        sides = [[length(row[f"{side} {n}"], job.bare) for n in (1, 2, 3) if not blank(row[f"{side} {n}"])] for side in ("Width", "Height")]
        rise = 0 if blank(row["Rise"]) else length(row["Rise"], job.bare)
        if row["Of"] == "opening":
            before[row["Mark"]].append((sides, rise))
            continue
        if not blank(row["Of"]) and row["Of"] != "frame":
            raise Unsaid(f"readings of a {row['Of']}")
        diagonals = [length(row[f"Diagonal {n}"], job.bare) for n in (1, 2) if not blank(row[f"Diagonal {n}"])]
        apart = max(diagonals) - min(diagonals) if diagonals else 0
        frames[row["Mark"]][int(row["Piece"])] = Reading(Side(*map(min, sides)), Side(*map(max, sides)), rise, apart)
    return frames, before


def out_of_square(pieces, frame):
    """Sheet Sources, readings: 1/8 in up to 20 SF of frame, 1/4 in above (Conventions: reason of a hold)."""
    most = INCH // 8 if square(frame.w, frame.h) <= 20 * SQUARE_FOOT else INCH // 4
    return next((f"the diagonals of piece {n} differ by {words(r.apart)} in" for n, r in sorted(pieces.items()) if r.apart > most), "")


def not_as_ordered(measured, frame):
    """Conventions: reason of a hold."""
    over = [measured.w - frame.w, measured.h - frame.h]
    if max(map(abs, over)) <= AS_ORDERED:
        return ""
    if min(over) > AS_ORDERED or max(abs(measured.w - frame.h), abs(measured.h - frame.w)) <= AS_ORDERED:
        raise Unsaid("a frame that is larger both ways, or has its sides swapped")
    pair = [f"{words(size.w)} x {words(size.h)}" for size in (measured, frame)]
    return f"measured {pair[0]} differs from the ordered frame {pair[1]}"


def largest(pieces):
    return Side(max(r.size.w for r in pieces), max(r.size.h for r in pieces))


def spread(pieces):
    """How far the readings of one side differ."""
    return max(max(r.size.w for r in pieces) - min(r.least.w for r in pieces), max(r.size.h for r in pieces) - min(r.least.h for r in pieces))


def alike(pieces):
    """Returns the numbers of the pieces that agree, if more than half do (Conventions: odd pieces)."""
    if spread(pieces.values()) <= AGREE:
        return set(pieces)
    lots = [{n for n, r in pieces.items() if r.least.w >= w and r.size.w <= w + AGREE and r.least.h >= h and r.size.h <= h + AGREE}
            for w in sorted({r.least.w for r in pieces.values()}) for h in sorted({r.least.h for r in pieces.values()})]
    lot = max(lots, key=len)
    odd_in_itself = any(spread([r]) > AGREE for r in pieces.values())
    return set(pieces) if 2 * len(lot) <= len(pieces) or odd_in_itself else lot


def doubt(pieces, frame):
    """Sheet Sources, readings (Conventions: reason of a hold)."""
    apart = spread(pieces.values()) if pieces else 0
    return out_of_square(pieces, frame) or (f"readings of one side differ by {words(apart)} in" if apart > AGREE else "")


def words(value):
    """An odd length in inches, to 1/32: 1-1/2."""
    whole, part = divmod(Fraction(half_up(Fraction(value) * 32 / INCH), 32), 1)
    return "-".join(str(n) for n in (whole, part) if n)


def shown(value, job):
    """A length with its unit: 5-3/4 in, 166.7 mm."""
    return f"{float(half_up(Fraction(value) * 10 / MM) / 10):g} mm" if job.metric else f"{words(value)} in"


def openings(book, job):
    """Sheet Openings with the defaults of Job, by mark (Conventions: order of rows, odd pieces)."""
    (read, before), found = readings(book, job), []
    for row in book.table("Openings", "OpeningSchedule").filled("Mark"):
        qty = 1 if blank(row["Qty"]) else int(row["Qty"])
        pieces = read.get(row["Mark"], {})
        if not pieces:
            found.append(opening(row, job, row["Mark"], qty, {}, before[row["Mark"]]))
            continue
        agreeing = alike(pieces)
        if agreeing != set(pieces) and "," in str(row["Status"]):
            raise Unsaid(f"which pieces of {row['Mark']} are {row['Status']!r}")
        lot, odd = {n: pieces[n] for n in agreeing}, sorted(set(pieces) - agreeing)
        found.append(opening(row, job, row["Mark"], qty - len(odd), lot, before[row["Mark"]]))
        for n in odd:
            found.append(opening(row, job, f"{row['Mark']} piece {n}", 1, {n: pieces[n]}, []))
    return sorted(found, key=lambda o: [int(p) if p.isdigit() else p for p in re.split(r"(\d+)", o.mark)])


def opening(row, job, mark, qty, pieces, before):
    """An opening with its readings; the smallest of the opening itself are its rough opening."""
    kind = row["Kind"]
    frame, rough, size_from = sizes(row, job)
    least = [min((size for sides, _ in before for size in sides[i]), default=None) for i in (0, 1)]
    if any(least):
        rough, size_from = Side(least[0] or rough.w, least[1] or rough.h), "smallest reading"
    rise = max([r.rise for r in pieces.values()] + [rise for _, rise in before], default=0)
    measured = largest(pieces.values()) if pieces else typed(row, job, "Measured width", "Measured height")
    flange = default(row, "Flange", job, f"flange {kind}")
    ordered = outside(kind, flange, frame, job)  # sheet Details, threshold cap: with brickmould, measure to its outside
    why = doubt(pieces, frame) or (not_as_ordered(measured, ordered) if measured else "")
    sampled = kind == "window" and not blank(row["Sample accepted"])  # Conventions: sample
    if pieces and not why and len(pieces) < qty and not sampled:
        why = f"{len(pieces)} of {qty} measured"
    far = how_far(row["Status"], qty)
    shape, shape_hold = row["Shape"] or "rectangle", ""
    if shape != "rectangle" and row["Trim"] != "none" and least_far(far) not in MADE:  # Conventions: shape
        shape_hold = f"trim: no boards are planned for its shape ({shape}), nor a drip cap"
    def optional(head):
        return None if blank(row[head]) else length(row[head], job.bare)
    return Opening(
        mark, qty, kind, frame, rough, size_from, 1 if blank(row["Mulled units"]) else int(row["Mulled units"]),
        not blank(row["Unit heights"]), default(row, "Sits on", job, f"sits on {kind}"), flange, row["Furnished by"] or "builder",
        row["Unit cost"], least_far(far), measured, optional("Jamb depth"), optional("Leg drop"), default(row, "Sill pan", job, f"pan {kind}"),
        trim_of(row, flange, job), optional("Wall depth"), rise, row["Detail"], why, row["Operation"] or "", shape, shape_hold,
        unit_widths(row, frame, job), far)


def unit_widths(row, frame, job):
    """Conventions: studs between. The width of each unit that stands in an opening of its own, equal ones to 1 nm below; none of other openings."""
    if row["Joined"] != "studs between":
        return ()
    if not blank(row["Unit widths"]):
        return tuple(length(text, job.bare) for text in str(row["Unit widths"]).split(";"))
    units = int(row["Mulled units"])
    return ((frame.w - (units - 1) * job.length("studs between")) // units,) * units


def trim_of(row, flange, job):
    """The layout of Openings, else that of its kind on Job (Conventions: brickmould, shape)."""
    if blank(row["Trim"]) and flange == "brickmould" or row["Shape"] not in (None, "", "rectangle"):
        return "none"
    return default(row, "Trim", job, f"trim {row['Kind']}")


# --- details ---

class Site:
    """An opening with all that its steps need."""

    def __init__(self, opened, job, goods, layouts, offered):
        self.opening, self.job, self.items, self.offered = opened, job, goods, offered
        self.wall_depth = wall_depth(opened, job)
        self.trim_size = opened.measured or outside(opened.kind, opened.flange, opened.frame, job)  # Conventions: which size rules
        self.hold = hold_of_trim(opened)
        self.pieces = trim_pieces(self, layouts) if opened.trim != "none" else []

    def item(self, name):
        """A step names an item, or the setting of Job that names it."""
        return self.items[self.named(name)]

    def named(self, name):
        """A step's item or family, or what the setting of Job names."""
        return self.job.text(name) if self.job.is_item(name) else name

    def family(self, name):
        return [item for item in self.items.values() if item.family == name]

    def tapes(self, name):
        """Conventions: tape of a family. The members that can be bought, all where none can; of an item itself."""
        name = self.named(name)
        if name in self.items:
            return [self.items[name]]
        members = self.family(name)
        return [item for item in members if item.key in self.offered] or members

    def tape(self, step):
        """Conventions: tape of a family. The one with the fewest runs of a step, then the narrowest."""
        return min(self.tapes(step["Item"]), key=lambda item: (runs(self, step, item), item.width or 0))

    def each(self):
        """Conventions: studs between. The frame of each unit that stands in an opening of its own, else the whole."""
        o = self.opening
        return [Side(width, o.frame.h) for width in o.widths] or [o.frame]

    def each_opening(self):
        """Conventions: studs between. The rough opening of each, as much wider than its unit as that of the whole is than the frame."""
        o = self.opening
        return [Side(frame.w + o.rough.w - o.frame.w, o.rough.h) for frame in self.each()]

    def caulk(self, board):
        """Sheet Job, caulk joint: of boards whose item states no gap."""
        return board.gap if board.gap is not None else self.job.length("caulk joint")


def framed(opened, job):
    """Sheet Openings, Wall depth: framing and sheathing, else those of Job."""
    return opened.wall_depth or job.length("stud depth") + job.length("sheathing")


def wall_depth(opened, job):
    """Conventions: wall depth. For tape, coats and leveling."""
    outside = job.length("outside insulation") if job.text("WRB plane") == "outside of insulation" else 0
    return framed(opened, job) + outside


def hold_of_trim(opened):
    """Every reason of a hold (Conventions: reason of a hold)."""
    if opened.status in MADE:
        return ""
    waits = opened.kind in DOORS or opened.kind == "overhead door" and opened.sits_on != "slab"
    no_drop = "no leg drop" if waits and opened.leg_drop is None and opened.trim == "three sided" else ""
    return "; ".join(why for why in (measuring(opened), no_drop) if why)


def measuring(opened):
    """What is still to be measured of a unit."""
    if opened.doubt or opened.measured:
        return opened.doubt
    return "not measured" if opened.status in ("delivered", "set") else "not delivered"


def facts(site):
    """What a When may ask for."""
    o, job = site.opening, site.job
    return {
        "kind": o.kind, "flange": o.flange, "sits on": o.sits_on, "pan": o.pan, "layout": o.trim, "WRB": job.text("WRB"),
        "mulled units": "1" if o.widths else str(o.units), "mulled": mulled(o), "jamb flashing": job.text("jamb flashing"),
        "prime for tape": job.text("prime for tape"), "head flashing": "yes" if job.text("head flashing") == "yes" else "no",
        "hardware with unit": job.text("door hardware with unit"), "tape flexible": "yes" if all(tape.flexible for tape in site.tapes("tape sill")) else "no",
        "sill level": "no" if o.rise > INCH // 8 else "yes", "leaves": leaves(o),
    }


def mulled(opened):
    """How units are joined (Conventions: studs between)."""
    if opened.widths:
        return "studs between"
    return ("stacked" if opened.stacked else "side by side") if opened.units > 1 else "no"


def leaves(opened):
    """Conventions: leaves; Sources, sizes: 45 in."""
    if re.search(r"\bpairs?\b", opened.operation.lower()):
        return "pair"
    wide = opened.kind == "entry door" and opened.frame.w > 45 * INCH
    return "not stated" if wide and not opened.operation else "one"


def holds(when, known):
    """Sheet Details, When: A is x, y and B not z and N > 1."""
    return all(clause_holds(clause, known) for clause in when.split(" and ")) if when else True


def clause_holds(clause, known):
    found = re.match(r"^(.+?) (is|not|>) (.+)$", clause)
    fact, how, words = found.groups()
    if how == ">":
        return int(known[fact]) > int(words)
    return (known[fact] in words.split(", ")) == (how == "is")


def detail_of(site, steps):
    """The detail that Openings names, or the first whose step 0 holds."""
    if not blank(site.opening.detail):
        return site.opening.detail
    known = facts(site)
    return next(step["Detail"] for step in steps if str(step["Step"]) == "0" and holds(step["When"], known))


# --- trim ---

Piece = collections.namedtuple("Piece", "name board count length bored mitered across")


LayoutPiece = collections.namedtuple("LayoutPiece", "piece board count equal terms bored mitered")

TERMS = ("w", "h", "bottom joint", "head board", "leg board", "bottom board", "head overhang", "sill horn", "leg drop")


def layout_table(book):
    """Sheet Sources, the pieces of each layout: "2 leg, leg casing", "h - bottom joint + leg drop"."""
    found = collections.defaultdict(list)
    for row in book.table("Sources", "TrimLayouts").filled("Layout"):
        count, piece, board = re.match(r"(\d+) ([a-z ]+), ([a-z]+) casing", row["Piece"]).groups()
        terms = collections.Counter()
        for sign, times, term in re.findall(r"(^|[+-]) ?(\d+ )?([a-z ]*[a-z])", row["Length"]):
            if term not in TERMS:
                raise Unsaid(f"{term!r} of layout {row['Layout']}")
            terms[term] += int(times or 1) * (-1 if sign == "-" else 1)
        ends = collections.Counter({word: int(n) for n, word in re.findall(r"(\d+) (bored|mitered)", row["Joined ends"] or "")})
        found[row["Layout"]].append(LayoutPiece(piece, board, int(count), "all of one width" in row["Piece"], terms, ends["bored"], ends["mitered"]))
    return found


def board_of(site, part):
    """Conventions: boards of a kind."""
    kind = site.opening.kind
    where = "overhead door" if kind == "overhead door" else "door" if kind in DOORS else "window"
    return site.item(f"{part} casing {where}")


def leg_drop(site):
    """Sheet Job: leg clearance by what lies below; the assumed leg drop where none is known."""
    o, job = site.opening, site.job
    if o.leg_drop is None and o.kind not in DOORS:
        return 0  # Conventions: drop of an overhead door
    drop = o.leg_drop if o.leg_drop is not None else job.length("assumed leg drop")
    return drop - job.length(f"leg clearance {o.sits_on}")


def trim_pieces(site, layouts):
    """Rule frame: each piece by its layout, width and height with the gap at both sides."""
    found, mulls, rows = [], site.opening.units - 1, layouts[site.opening.trim]
    if any(row.equal for row in rows) and len({board_of(site, row.board).width for row in rows if row.board != "mull"}) > 1:
        return []  # Conventions: equal boards
    parts = {row.board for row in rows}
    # Conventions: gap of a side
    head, leg, foot = (site.caulk(board_of(site, part)) if part in parts else site.caulk(board_of(site, "leg")) for part in ("head", "leg", "bottom"))
    sizes = {"w": site.trim_size.w + 2 * leg, "h": site.trim_size.h + head + foot, "bottom joint": foot, "head overhang": site.job.length("head overhang"),
             "sill horn": site.job.length("sill horn"), "leg drop": 0 if site.opening.kind == "window" else leg_drop(site)}  # Conventions: drop of a window
    sizes |= {f"{part} board": board_of(site, part).width for part in ("head", "leg", "bottom") if part in parts}
    for row in rows:
        if row.board == "mull" and (not mulls or (row.piece == "level mull") != site.opening.stacked):
            continue
        size = sum(times * sizes[term] for term, times in row.terms.items())
        across = board_of(site, "head" if row.board == "leg" else "leg").width
        found.append(Piece(row.piece, board_of(site, row.board), row.count * (mulls if row.board == "mull" else 1), size, row.bored, row.mitered, across))
    return found


# --- edges ---

Edge = collections.namedtuple("Edge", "name count length")


def sides_of(site, along):
    """Sheet Details, Along (Conventions: pan depth): one of each opening, but along outside (Conventions: studs between)."""
    o = site.opening
    if along in ("rough opening", "pan"):
        return site.each_opening()
    if along == "frame":
        return site.each()
    if along == "unit":
        return [o.frame]
    if along == "outside":
        return [outside(o.kind, o.flange, o.frame, site.job)]
    raise Unsaid(f"along {along}")


def trim_head(site):
    """Conventions: trim head."""
    head = next(p for p in site.pieces if p.name == "head")
    return max(head.length, site.trim_size.w + 2 * site.caulk(board_of(site, "leg")) + 2 * board_of(site, "leg").width)


def edges(site, step):
    """Sheet Details, Edges and Along."""
    along, names = step["Along"], step["Edges"].split(", ")
    if along == "trim":
        return [Edge("head", 1, trim_head(site))] if site.pieces else []
    sides, found, shape = sides_of(site, along), [], "rectangle" if along == "pan" else site.opening.shape
    for name in names:
        if name == "mullions":
            found.append(Edge(name, site.opening.units - 1, sides[0].w if site.opening.stacked else sides[0].h))
        elif name == "jambs":
            found.append(Edge(name, 2 * len(sides), edge_length(site, shape, name, sides[0])))
        elif name != "head" or shape == "rectangle" or not metal(site, step):
            found += [Edge(name, 1, edge_length(site, shape, name, side)) for side in sides]
    return found


def metal(site, step):
    """Conventions: shape. No metal along a head that is not straight."""
    name = site.named(step["Item"])
    return name in site.items and site.items[name].cls == "metal"


def edge_length(site, shape, name, side):
    """Conventions: shape. Sources: rule sizes, part of a circle."""
    step = INCH // 16 if site.job.bare == INCH else MM

    def arc(part):
        return ceiling(PI * side.w * part / step) * step

    if shape == "round" or shape == "round head" and name == "head":
        return arc(Fraction(1, 4))
    if shape == "round head" and name == "jambs":
        return max(0, side.h - side.w // 2) + arc(Fraction(1, 8))
    return side.h if name == "jambs" else side.w


def gap_at(site, edge, along):
    """The width of the joint at an edge: sheet Job, clearance of its kind."""
    o = site.opening
    if along in ("frame", "outside"):
        return site.caulk(board_of(site, {"head": "head", "jambs": "leg", "sill": "bottom"}[edge.name]))
    if edge.name == "jambs":
        return (o.rough.w - o.frame.w) / 2
    over = o.rough.h - o.frame.h
    return over if o.kind in DOORS else over / 2


def by_gap(site, step):
    """Conventions: gap of a row."""
    return [(gap, list(group)) for gap, group in itertools.groupby(edges(site, step), lambda edge: gap_at(site, edge, step["Along"]))]


def inches(text):
    return length(text, INCH)


def options(step):
    """Sheet Details, With: end=4; each=2."""
    pairs = [pair.split("=") for pair in (step["With"] or "").split("; ") if pair]
    return {key: value for key, value in pairs}


def offsets(step):
    """Rule bead: beads = runs, or one at each offset after at."""
    at = options(step).get("at")
    return len(at.split(",")) if at else 1 if blank(step["Runs"]) else int(step["Runs"])


def each_end(step, tape):
    """Sheet Details, Each end: a length, or W, the width of the tape, less a length."""
    text = "" if blank(step["Each end"]) else str(step["Each end"])
    if not text.startswith("W"):
        return inches(text) if text else 0
    return tape.width - (inches(text[2:]) if text[1:] else 0)


def both_ends(site, step, edge, item):
    """Conventions: foot on a slab, ends of a cap."""
    end = each_end(step, item)
    if item.cls == "metal" and edge.name == "head":
        end += item.end or 0
    return end if edge.name == "jambs" and site.opening.sits_on in FLOORS else 2 * end


def runs(site, step, tape):
    """Rule tape: runs = ceil((wall depth + face lap - lap) / (tape width - lap))."""
    if blank(step["Runs"]):
        return 1
    if step["Runs"] != "by wall depth":
        return int(step["Runs"])
    lap = site.job.length("tape lap")
    return ceiling((site.wall_depth + site.job.length("face lap") - lap) / (tape.width - lap))


# --- rules ---

Need = collections.namedtuple("Need", "item unit each piece pieces length hold gap", defaults=("", None, None, "", None))


def area(value):
    """Conventions: whole units."""
    return half_up(value)


def volume(section, run):
    """Conventions: whole units; a length in nanometers times an area in square micrometers is 10^-9 nanoliters."""
    return half_up(Fraction(section * run) / 1_000_000_000)


def square(a, b):
    """Returns an area in square micrometers of two lengths in nanometers."""
    return Fraction(a * b) / 1_000_000


def along_edges(site, step):
    """Rules tape and run: pieces along edges, a row an edge; length = edge + ends."""
    item = site.tape(step)
    if "width" in options(step) and item.width < inches(options(step)["width"]):
        raise Unsaid(f"{item.key} is narrower than {step['Do']!r} asks")
    for edge in edges(site, step):
        size = edge.length + both_ends(site, step, edge, item)
        count = edge.count * runs(site, step, item)
        hold = site.hold if step["Along"] == "trim" and item.cls == "metal" else ""  # Conventions: metal at the trim
        yield Need(item, "length", size * count, edge.name, count, size, hold)


def at_points(site, step):
    """Rule tape at points: pieces of a length at each corner, or at each mull."""
    item, size, name = site.tape(step), inches(options(step)["length"]), step["Edges"]
    count = int(options(step).get("count", 1)) * places(site, step)
    yield Need(item, "length", size * count, name or "patch", count, size)


def tape(site, step):
    return along_edges(site, step) if not blank(step["Along"]) else at_points(site, step)


def places(site, step):
    """Corners, edges, or mulls at which a step is done."""
    if step["Per"] == "mull":
        return site.opening.units - 1
    name = step["Edges"] or ""
    each = CORNERS.get(name) or (2 if name == "jambs" else 1)
    return each * len(site.each()) if name else each  # Conventions: studs between


def section(text):
    """Rule bead: round pi d^2 / 4, fillet leg^2 / 2, in whole square micrometers."""
    shape, size = text.split(" ")
    size = inches(size)
    if shape == "round":
        return area(Fraction(pi) * square(size, size) / 4)
    return area(square(size, size) / 2)


def bead(site, step):
    """Rule bead: volume = length x section; along edges, or of a length at points."""
    if blank(step["Along"]):
        run = inches(options(step)["length"]) * places(site, step)
    else:
        run = sum(e.count * (e.length + 2 * each_end(step, None)) for e in edges(site, step))
    yield Need(site.item(step["Item"]), "volume", volume(section(step["Size"]), run * offsets(step)))


def joint_depth(gap):
    """Rule joint: depth = min(gap, clamp(gap / 2, 1/4, 1/2))."""
    return min(gap, max(INCH // 4, min(Fraction(gap) / 2, INCH // 2)))


def joint(site, step):
    """Rule joint: volume = length x gap x depth."""
    for gap, group in by_gap(site, step):
        run = sum(e.count * e.length for e in group)
        yield Need(site.item(step["Item"]), "volume", volume(area(square(gap, joint_depth(gap))), run))


def cavity(site, step):
    """Rule cavity: volume = length x gap x depth."""
    depth = inches(step["Size"].split(" x ")[1])
    for gap, group in by_gap(site, step):
        yield Need(site.item(step["Item"]), "volume", volume(area(square(gap, depth)), sum(e.count * e.length for e in group)))


def rod_diameter(gap):
    """Rule rod: gap + 1/8 below 3/4 in, gap x 1.25 from there up."""
    return gap + INCH // 8 if gap < INCH * 3 // 4 else Fraction(gap) * 5 / 4


def rod(site, step):
    """Rule rod: the next size; none in a joint under the minimum (sheet Job, minimum joint; Conventions: no rod)."""
    for gap, group in by_gap(site, step):
        if gap < site.job.length("minimum joint"):
            continue
        thick = [item for item in site.family("backer rod") if item.width >= rod_diameter(gap)]
        if thick:
            yield Need(min(thick, key=lambda item: item.width), "length", sum(e.count * e.length for e in group), gap=gap)


def passed(site, through):
    """Rule spaced: what a fastener passes before it is in solid wood (Conventions: fasteners)."""
    job, gap = site.job, (site.opening.rough.w - site.opening.frame.w) / 2
    wall = job.length("sheathing") + job.length("outside insulation")
    lengths = {
        "flange": job.length("flange thickness") + wall, "brickmould": job.length("brickmould thickness") + wall,
        "jamb": job.length("jamb thickness") + gap, "hinge": job.length("hinge leaf") + job.length("jamb thickness") + gap,
    }
    if through not in lengths:
        raise Unsaid(f"a fastener through a {through}")
    return lengths[through]


def fastener(site, step):
    """Returns what a step fastens with, or none where none of its family is long enough (Conventions: fasteners)."""
    through = options(step).get("through")
    if not through:
        return site.item(step["Item"])
    least = passed(site, through) + site.job.length("nail penetration")
    return shortest(site.family(step["Item"]) or [site.item(step["Item"])], least)


def shortest(fasteners, least):
    return min((f for f in fasteners if f.length >= least), key=lambda f: f.length, default=None)


def spaces(run, end, spacing):
    return ceiling((run - 2 * end) / Fraction(spacing)) + 1


def spaced(site, step):
    """Rule spaced: count = ceil((length - 2 end) / spacing) + 1 an edge, at least 2."""
    with_, spacing = options(step), inches(step["Spacing"])
    count = sum(e.count * max(2, spaces(e.length, inches(with_["end"]), spacing)) for e in edges(site, step))
    item = fastener(site, step)
    if item:
        yield Need(item, "each", count * int(with_.get("each", 1)))


def points(site, step):
    """Rule points: count = points x edges x each."""
    with_, item = options(step), fastener(site, step)
    if item:
        yield Need(item, "each", int(with_.get("count", 1)) * places(site, step) * int(with_.get("each", 1)))


def stated_depth(site):
    """The jamb depth of the opening, else of Job, else none."""
    o, key = site.opening, f"jamb depth {site.opening.kind}"
    if o.jamb_depth is not None or key not in site.job.line or not site.job.text(key):
        return o.jamb_depth
    return site.job.length(key)


def stocked_depth(site):
    """Rule sizes, jamb depth: the stocked jamb that the wall asks for, or none."""
    least = framed(site.opening, site.job) + INCH // 2
    return next((depth for depth in STOCKED if depth >= least), None)


def jamb_depth(site):
    """How deep a pan is (Conventions: pan depth)."""
    return stated_depth(site) or stocked_depth(site) or STOCKED[-1]


def hold_of_pan(site):
    """Why a rigid or metal pan waits for its depth (Conventions: reason of a hold)."""
    o = site.opening
    if o.jamb_depth is None and o.furnished_by == "owner":
        return "jamb depth of the owner's unit is not known"
    if stated_depth(site) is None and o.kind == "window":
        return "jamb depth of the window is not known"
    if stated_depth(site) is None and not stocked_depth(site):
        return "no stocked jamb is as deep as the wall"
    return ""


def rigid_pan(site, step):
    """Rule pan rigid: middle = width - 2 ends + 2 laps; the smallest kit that covers, then couplers (Conventions: long pan)."""
    for rough, count in pans(site):
        yield from rigid_pan_of(site, rough, count)


def pans(site):
    """How many pans there are of each size: one in each opening, like ones in one row."""
    return collections.Counter(site.each_opening()).items()


def rigid_pan_of(site, rough, count):
    kit, sections = kit_of_pan(site, rough)
    if not kit:
        return
    hold = hold_of_pan(site)
    if not hold and site.opening.kind in DOORS and abs(kit.fits_to - jamb_depth(site)) > INCH // 2:
        hold = f"the rigid pan is for {shown(kit.fits_to, site.job)}, the unit is {shown(jamb_depth(site), site.job)} deep"
    yield Need(kit, "each", count, hold=hold)
    if sections:
        yield Need(deep(site, "rigid pan section")[0], "each", sections * count, hold=hold)
        yield Need(deep(site, "rigid pan coupler")[0], "each", sections * count, hold=hold)


def deep(site, family):
    return sorted((k for k in site.family(family) if k.fits_from <= jamb_depth(site) <= k.fits_to), key=lambda k: k.length)


def kit_of_pan(site, rough):
    """Returns the kit, or none where none is deep enough, and how many sections beside it (Conventions: long pan)."""
    kits = deep(site, "rigid pan")
    if not kits:
        return None, 0
    for kit in kits:
        if kit.length >= middle(rough, kit):
            return kit, 0
    section = deep(site, "rigid pan section")[0]
    return kits[-1], ceiling(Fraction(middle(rough, kits[-1]) - kits[-1].length) / section.length)


def middle(rough, kit):
    return rough.w - 2 * kit.end + 2 * kit.lap


def pan_joints(site, step):
    """Rule pan joints: laps = 2 + 2 couplers."""
    for rough, count in pans(site):
        kit, sections = kit_of_pan(site, rough)
        if kit:
            yield Need(site.item(step["Item"]), "each", (2 + 2 * sections) * count)


def blank_of_pan(site):
    """Rule pan metal: blank = hem + front + sqrt(depth^2 + (slope depth)^2) + back."""
    job, depth = site.job, jamb_depth(site)
    slope = 0 if site.opening.sits_on in FLOORS else job.percent("pan slope")  # Conventions: pan depth
    sloped = isqrt(int(depth * depth * (1 + slope * slope)))
    return job.length("pan hem") + job.length("pan front leg") + sloped + job.length("pan back leg")


def metal_pan(site, step):
    """Rule pan metal: length = width + 2 end dams, lapped beyond the brake length (Conventions: brake, whole units)."""
    item, job = site.item(step["Item"]), site.job
    wide, brake, lengths = blank_of_pan(site), job.length("brake length"), []
    for each in site.each_opening():
        left = each.w + 2 * job.length("pan end dam")
        while left > brake:
            lengths.append(brake)
            left += job.length("sealed lap") - brake
        lengths.append(left)
    for size, count in collections.Counter(lengths).items():
        yield Need(item, "length", half_up(size * wide / item.coil) * count, "pan", count, size, hold_of_pan(site))


def frame(site, step):
    """Rule frame: the boards of the trim frame."""
    for p in site.pieces:
        yield Need(p.board, "length", p.length * p.count, p.name, p.count, p.length, site.hold)


def tiers(text, width):
    """Sheet Details, Runs of fasteners by board width: 2 to 5, 3 to 7-1/4, 4."""
    for tier in str(text).split(", "):
        count, _, most = tier.partition(" to ")
        if not most or width <= inches(most):
            return int(count)
    raise Unsaid(f"{text}: a wider board")


def piece_joints(site, step):
    """Rule piece joints: count = joints x screws by board width (Conventions: screws, longest nail)."""
    bored = [p for p in site.pieces if p.bored]
    if not bored:
        return
    item = site.items.get(step["Item"])
    if item is None:
        thickest = max(p.board.thickness for p in site.pieces)
        item = next(s for s in site.family(step["Item"]) if s.fits_from <= thickest <= s.fits_to)
    count = sum(p.count * p.bored * (1 if blank(step["Runs"]) else tiers(step["Runs"], p.board.width)) for p in bored)
    yield Need(item, "each", count)


def piece_miters(site, step):
    """Rule piece miters: count = corners x runs."""
    corners = sum(p.count * p.mitered for p in site.pieces) // 2
    if corners:
        yield Need(site.item(step["Item"]), "each", corners * int(step["Runs"] or 1))


def piece_rows(site, step):
    """Rule piece rows: rows = ceil((length - 2 end) / spacing) + 1; nails a row by board width; the nail reaches solid wood."""
    if not site.pieces:
        return
    nailed = [p for p in site.pieces if site.opening.widths or p.name not in ("mull", "level mull")]  # Conventions: cover over a mull
    with_, job = options(step), site.job
    wall = job.length("sheathing") + job.length("outside insulation") + job.length("nail penetration")
    least = max(p.board.thickness for p in nailed) + wall
    nail = shortest(site.family(step["Item"]), least)
    if not nail:
        return
    count = sum(p.count * spaces(p.length, inches(with_["end"]), inches(step["Spacing"])) * tiers(step["Runs"], p.board.width) for p in nailed)
    yield Need(nail, "each", count)


def end_face(p, mitered):
    """Rule cut ends: thickness x width; across a miter the length of the cut."""
    wide = isqrt(int(p.board.width ** 2 + p.across ** 2)) if mitered else p.board.width
    return area(square(p.board.thickness, wide))


def cut_ends(site, step):
    """Rule cut ends: area = ends x thickness x width x coats."""
    if not site.pieces:
        return
    faces = sum(p.count * (p.mitered * end_face(p, True) + (2 - p.mitered) * end_face(p, False)) for p in site.pieces)
    yield Need(site.item(step["Item"]), "area", area(faces * int(options(step)["each"])))


def leveling(site, step):
    """Rule leveling: volume = width x depth x rise / 2 (Conventions: studs between, whole units)."""
    wide = sum(each.w for each in site.each_opening())
    yield Need(site.item(step["Item"]), "volume", volume(area(square(wide, site.wall_depth)), Fraction(site.opening.rise) / 2))


def coat(site, step):
    """Rule area: length x width; by wall depth: width = wall depth + face lap."""
    if step["Runs"] == "by wall depth":
        wide = site.wall_depth + site.job.length("face lap")
    else:
        wide = inches(options(step)["width"]) if "width" in options(step) else site.item("tape wall").width  # Conventions: coat
    run = sum(e.count * (e.length + 2 * each_end(step, None)) for e in edges(site, step))
    yield Need(site.item(step["Item"]), "area", area(square(run, wide)))


RULES = {
    "tape": tape, "run": along_edges, "bead": bead, "joint": joint, "cavity": cavity, "rod": rod, "spaced": spaced, "points": points,
    "pan rigid": rigid_pan, "pan joints": pan_joints, "pan metal": metal_pan, "frame": frame, "piece joints": piece_joints,
    "piece miters": piece_miters, "piece rows": piece_rows, "cut ends": cut_ends, "leveling": leveling, "area": coat,
    "note": lambda site, step: (),
}

NO_PLANE = "it is not stated where the WRB lies"

PANS = ("pan rigid", "pan metal")
Row = collections.namedtuple("Row", "opening step need")


def held(site, step, need):
    """Conventions, reason of a hold: what lies in a wall with outside insulation, of which no WRB plane is known."""
    job = site.job
    lies_there = need.item.cls in ("pan", "tape", "metal") or step["Rule"] == "area" and step["Phase"] == "install"
    if not lies_there or not job.length("outside insulation") or job.text("WRB plane"):
        return need
    return need._replace(hold=need.hold or NO_PLANE)  # a row that waits for its trim or pan shows that alone


def instead(rows, key, item):
    """Returns the rows with another item in the place of one."""
    return [row._replace(need=row.need._replace(item=item)) if row.need.item.key == key else row for row in rows]


def is_patch(row):
    """A step of rule tape at points or corners."""
    return row.step["Rule"] == "tape" and blank(row.step["Along"])


def by_width(rows, wanted):
    """Returns the items of the rows that are wanted, the narrowest first."""
    return sorted({row.need.item.key: row.need.item for row in rows if wanted(row)}.values(), key=lambda item: item.width)


def without_patch_tapes(rows):
    """Conventions: patches. A tape of which only patches are cut gives way to one that the job needs for more."""
    def more_than_patches(row):
        return row.need.item.cls == "tape" and not is_patch(row)

    kept = by_width(rows, more_than_patches)
    for tape in by_width(rows, lambda row: row.need.item.cls == "tape"):
        wider = [other for other in kept if other.width >= tape.width and (other.flexible or not tape.flexible)]
        if tape not in kept and wider:
            rows = instead(rows, tape.key, wider[0])
    return rows


def thicker_rods(rows):
    """Conventions: thicker rod. Backer rod gives way to the next thicker one of its family that the job needs."""
    for thin in by_width(rows, lambda row: row.need.gap is not None):
        gaps = [row.need.gap for row in rows if row.need.item.key == thin.key]
        thicker = by_width(rows, lambda row: row.need.item.family == thin.family and row.need.item.width > thin.width)
        if thicker and 2 * thicker[0].width <= 3 * min(gaps):
            rows = instead(rows, thin.key, thicker[0])
    return rows


def can_be_bought(offer, item, job):
    """Conventions: tape of a family. Neither expired nor too cold for the install phase (cold)."""
    least = item and (offer.min_temp if not blank(offer.min_temp) else item.min_temp)
    accepted = re.split("[,;]", str(job.given("cold accepted") or "").partition(":")[0])
    cold = not blank(least) and not blank(job.given("coldest forecast")) and number(least) > number(job.given("coldest forecast"))
    return item and offer.cents > 0 and (blank(offer.expires) or offer.expires >= job.day("job date")) and (
        not cold or offer.item in [key.strip() for key in accepted])


def takeoff(book, job):
    """Returns the sites, their details, and the rows of Takeoff."""
    goods, layouts = items(book), layout_table(book)
    offered = {offer.item for offer in offers(book) if can_be_bought(offer, goods.get(offer.item), job)}
    steps = book.table("Details", "DetailSteps").filled("Detail")
    sites = [Site(o, job, goods, layouts, offered) for o in openings(book, job)]
    details, rows = {}, []
    for site in sites:
        details[site.opening.mark] = name = detail_of(site, steps)
        known = facts(site)
        for step in steps:
            if step["Detail"] == name and str(step["Step"]) != "0" and holds(step["When"], known):
                rows += [Row(site.opening, step, held(site, step, need)) for need in RULES[step["Rule"]](site, step)]
    return sites, details, thicker_rods(without_patch_tapes(rows))
