"""How boards, sticks, rolls and coils are cut: the pieces that are asked for, and what the sheets make of them.

A plan is taken from the sheet Boards, for which is cheapest is the program's to prove.
Held against it are the pieces of the takeoff: each of them once, on stock that is long
enough, with kerf and end trim; and the boards that are bought.
"""

import collections
import re
from fractions import Fraction

from .reading import INCH, MM, Table, Unsaid, blank, length, number
from .takeoff import half_up

STATED = ("end trim", "last cut", "longer", "extra length", "spares", "to buy", "coil", "too long")

Asked = collections.namedtuple("Asked", "label length count hold width spliced")
Pattern = collections.namedtuple("Pattern", "row table count stock on_hand entries")
Entry = collections.namedtuple("Entry", "count shown labels")

SPARE, ON_HOLD, CUT = "spare", " ON HOLD", " CUT"
CUT_PIECE = CUT + " "  # of a coil the width stands behind it


def kerf_of(item, job):
    """Sheets Items and Job, kerf."""
    if item.kerf is not None:
        return item.kerf
    return job.length("kerf") if item.cls == "boards" else 0


def end_trim_of(item, job):
    """Conventions: end trim."""
    if item.end_trim is not None:
        return item.end_trim
    return job.length("end trim") if item.cls == "boards" else 0


def spares_of(item, job):
    """Sheet Job, spare boards and spare tape."""
    return job.count("spare boards" if item.cls == "boards" else "spare tape")


def asked(rows, item, job, width_of, too_long, longest, openings):
    """Returns the pieces of an item that have to be cut at so many openings of each row, as they are planned
    (Conventions: longer, extra length, too long)."""
    found = []
    for row in rows:
        need = row.need
        if need.item.key != item.key or too_long(need) or not openings(row):
            continue
        extra = need.length + (job.length("extra length, unmeasured trim") if need.hold else 0)
        size = min(extra, longest) if need.length <= longest else extra
        width = width_of(row) if item.coil else None
        found.append(Asked(f"{row.opening.mark} {need.piece}", size, need.pieces * openings(row), bool(need.hold), width, extra))
    return found


# --- the sheet Boards ---

def patterns(book, names, bare):
    """Returns by item key the patterns of the sheet Boards; names are the items' keys by name."""
    page, found, key = book.sheet("Boards"), collections.OrderedDict(), None
    for n in range(1, page.max_row + 1):
        first = page.cell(n, 1).value
        if isinstance(first, str) and first != "Pattern":
            title = [name for name in names if first.startswith(name + ", ")]
            key = names[max(title, key=len)] if title else key
        elif first == "Pattern":
            table = Table(page, n, n + 1, n)
            while not blank(page.cell(table.last + 1, 1).value):
                table.last += 1
            table.numbers = list(range(n + 1, table.last + 1))
            found.setdefault(key, []).extend(pattern(table, at, bare) for at in table.numbers)
    return found


def pattern(table, n, bare):
    row = table.row(n)
    entries, whole = [], row[pieces_head(table)]
    texts = re.findall(r"\d+ x [^(]+  \(.*?\)(?=; \d+ x |$)", whole)
    if "; ".join(texts) != whole:
        raise Unsaid(f"Boards row {n}: {whole!r}")
    for text in texts:
        count, shown, labels = re.match(r"^(\d+) x (.+?)  \((.*)\)$", text).groups()
        entries.append(Entry(int(count), length(shown, bare), labels.split(", ")))
    stock = row[next(head for head in table.column if head.startswith("Stock, "))]
    return Pattern(n, table, int(row["Count"]), number(stock) * bare, "on hand" in str(row["Stock"]), entries)


def pieces_head(table):
    return next(head for head in table.column if head.startswith("Pieces cut from each"))


def parts_shown(p, bare):
    """The lengths of the columns Part 1, Part 2, ..., each of one piece or of like ones together, in whole nanometers."""
    row = p.table.row(p.row)
    return [half_up(number(value) * bare) for head, value in row.items() if head.startswith("Part ") and not blank(value)]


# --- holding a plan against the pieces ---

def held_apart(text):
    """Returns a label without ON HOLD, and whether it had that."""
    return text.removesuffix(ON_HOLD), text.endswith(ON_HOLD)


class Check:
    """Collects what a plan holds of each piece."""

    def __init__(self, ledger, item, job, wanted, bare, made=()):
        self.ledger, self.item, self.job, self.bare = ledger, item, job, bare
        self.near = INCH // 64 if bare == INCH else MM // 20
        self.wanted, self.made = wanted, list(made)
        self.longest_stock = 0
        self.by_owner, self.spares_asked = False, spares_of(item, job)
        self.lacking, self.short = 0, 0  # of what the owner brings: pieces that nothing is there for, and their length of stock
        self.cut = collections.Counter()  # (label, exact length) -> pieces
        self.parts = collections.defaultdict(list)  # label -> (number, of, exact length, count)
        self.done = collections.Counter()  # (label, exact length) -> pieces that are cut already
        self.done_parts = collections.defaultdict(list)
        self.strips = []  # of a coil: (length, labels, hold, on hand)
        self.spares = collections.Counter()
        self.bought, self.on_hand = collections.Counter(), collections.Counter()
        self.length_bought = 0
        self.held = collections.Counter()  # exact length -> pieces not to cut

    def take_shortened(self, patterns, sold):
        """Conventions: extra length. Where too little on hand is long enough is the plan's to say: then it shows pieces as long as what is sold."""
        shown = {(self.label(text)[1], entry.shown) for p in patterns for entry in p.entries for text in entry.labels}
        plain = self.job.length("extra length, unmeasured trim")

        def planned(a):
            as_long = any(label == a.label and abs(size - a.length) <= self.near for label, size in shown)
            return a if as_long or not a.hold or not a.spliced - plain <= sold < a.length else a._replace(length=sold)

        self.wanted, self.made = [planned(a) for a in self.wanted], [planned(a) for a in self.made]

    def of_owner(self):
        """Conventions: on hand. What the owner brings has no spares, and need not be enough."""
        self.by_owner, self.spares_asked = True, 0

    def lacks(self, size, width, count):
        """Books pieces of what the owner brings that are on no board."""
        self.lacking += count
        self.short += count * (half_up(Fraction(size) * width / self.item.coil) if self.item.coil else size)

    def wrong(self, p, what, stored, recomputed):
        where = f"A{p.row}" if p else ""
        self.ledger.differ("Boards", where, f"{self.item.key}: {what}", stored, recomputed)

    def label(self, text):
        """Returns count, label, part and hold of '2 W1 head part 1 of 2 ON HOLD'."""
        text, hold = held_apart(text)
        text = text.removesuffix(CUT)
        part = re.search(r" part (\d+) of (\d+)$", text)
        text = text[: part.start()] if part else text
        known = {a.label for a in self.wanted + self.made} | {SPARE}
        numbers = (int(part.group(1)), int(part.group(2))) if part else None
        if text in known:
            return 1, text, numbers, hold
        count, _, rest = text.partition(" ")
        if not count.isdigit() or rest not in known:
            return 1, text, numbers, hold
        return int(count), rest, numbers, hold

    def exact(self, p, entry, label, part, made=False):
        """The length behind a rounded one: a piece's own, or that of a column Part."""
        if label != SPARE and not part:
            near = [a.length for a in (self.made if made else self.wanted) if a.label == label and abs(a.length - entry.shown) <= self.near]
            return min(near, key=lambda size: abs(size - entry.shown)) if near else None
        shown = [Fraction(value, n) for value in parts_shown(p, self.bare) for n in (1, entry.count) if abs(Fraction(value, n) - entry.shown) <= self.near]
        return min(shown, key=lambda size: abs(size - entry.shown)) if shown else None

    def entry(self, p, entry):
        """Books the pieces of one entry; returns their exact length."""
        sizes, pieces = set(), 0
        for text in entry.labels:
            count, label, part, hold = self.label(text)
            pieces += count
            made = held_apart(text)[0].endswith(CUT)
            size = self.exact(p, entry, label, part, made)
            if size is None:
                self.wrong(p, "a piece that nothing asks for", text, None)
                continue
            sizes.add(size)
            if label == SPARE:
                self.spares[size] += count
                self.held[size] += count
                continue
            asks = [a for a in (self.made if made else self.wanted) if a.label == label]
            if all(a.hold != hold for a in asks):
                self.wrong(p, "ON HOLD", hold, not hold)
            if made:
                self.take_made(label, part, size, count)
                continue
            self.held[size] += count if hold else 0
            if part:
                self.parts[label].append((*part, size, count))
            else:
                self.cut[label, size] += count
        if pieces != entry.count * p.count:
            self.wrong(p, f"pieces of {float(entry.shown / self.bare)}", pieces, entry.count * p.count)
        if len(sizes) != 1:
            self.wrong(p, "lengths of one entry", sorted(float(s / self.bare) for s in sizes), entry.shown / self.bare)
        return next(iter(sizes), entry.shown)

    def take_made(self, label, part, size, count):
        """Books pieces that are cut already: they are not to cut."""
        self.held[size] += count
        if part:
            self.done_parts[label].append((*part, size, count))
        else:
            self.done[label, size] += count

    def strip(self, p, entry):
        """Books the strips of a coil; the pieces of each lie side by side."""
        pieces, size = 0, self.exact(p, entry, SPARE, None) or entry.shown
        for text in entry.labels:
            times, (rest, hold) = 1, held_apart(text)
            if not any(rest.startswith(a.label + " ") for a in self.wanted + self.made) and not rest.startswith(SPARE):
                count, _, rest = rest.partition(" ")
                times = int(count)
            pieces += times
            self.strips += [(size, rest.split(" + "), hold, p.on_hand)] * times
        if pieces != entry.count * p.count:
            self.wrong(p, f"strips of {float(entry.shown / self.bare)}", pieces, entry.count * p.count)
        return size


def check_pattern(part, check, p):
    """Rule of the cutting topic of help: pieces and the kerfs between them fit between the trimmed ends (Conventions: last cut, end trim)."""
    item, job, bare = check.item, check.job, check.bare
    book = check.strip if item.coil else check.entry
    for head in [pieces_head(p.table), "Count", part.head("Stock, "), "Part 1"]:
        part.take(p.row, head)
    total, pieces = 0, 0
    for entry in p.entries:
        total += entry.count * book(p, entry)
        pieces += entry.count
    kerf, trim = kerf_of(item, job), 0 if p.on_hand else 2 * end_trim_of(item, job)
    rest = p.stock - trim - total
    if rest < (pieces - 1) * kerf:
        check.wrong(p, "longer than its stock", float((total + (pieces - 1) * kerf + trim) / bare), float(p.stock / bare))
    loss = min(pieces * kerf, rest)
    part.exact(p.row, part.head("Kerf and end trim, each"), (loss + trim) / bare)
    part.exact(p.row, part.head("Offcut, each"), (rest - loss) / bare)
    part.exact(p.row, part.head("Offcut, " + ("in" if bare == INCH else "mm")), (rest - loss) / bare)
    part.size(p.row, "Offcut", rest - loss, bare)
    part.exact(p.row, "Adds up to 0", 0)
    shown = sum(parts_shown(p, bare))
    if shown != total:
        check.wrong(p, "Part 1, Part 2, ...", float(shown / bare), float(total / bare))
    stock = check.on_hand if p.on_hand else check.bought
    stock[p.stock] += p.count
    check.length_bought += 0 if p.on_hand else total * p.count
    return p.count, rest - loss


def check_pieces(check):
    """Every piece of the takeoff once, whole or in parts that lap, and the spares."""
    want = collections.Counter()
    for a in check.wanted:
        want[a.label, a.spliced if a.label in check.parts else a.length] += a.count
    for label, parts in check.parts.items():
        joined(check, label, parts, want)
    check_made(check)
    for key in want.keys() | check.cut.keys():
        if check.by_owner and want[key] > check.cut[key]:
            check.lacks(key[1], None, want[key] - check.cut[key])
        elif want[key] != check.cut[key]:
            check.wrong(None, f"pieces of {key[0]}, {float(key[1] / check.bare)}", check.cut[key], want[key])
    sizes = [size for _, size in [*check.cut, *check.done]]
    sizes += [size for found in (check.parts, check.done_parts) for parts in found.values() for _, _, size, _ in parts]
    size = size_of_spares(check, sizes)
    spares = {size: check.spares_asked} if size and check.spares_asked else {}
    if dict(check.spares) != spares:
        check.wrong(None, "spares", {float(s / check.bare): n for s, n in check.spares.items()}, {float(s / check.bare): n for s, n in spares.items()})


def check_made(check):
    """Conventions: boards. Pieces that are cut already: none but those that were done, as far as what was bought holds them."""
    most = collections.Counter()
    for a in check.made:
        most[a.label, a.spliced if a.label in check.done_parts else a.length] += a.count
    for label, parts in check.done_parts.items():
        joined(check, label, parts, most)
    most.subtract(check.done)
    for (label, size), count in most.items():
        if count < 0:
            check.wrong(None, f"{label}, {float(size / check.bare)}: more CUT than are done", -count, 0)


def size_of_spares(check, sizes):
    """Conventions: spares. The longest that leaves room for the shortest; 0 for none."""
    room = check.longest_stock - kerf_of(check.item, check.job) - min(sizes, default=0)
    return max((size for size in sizes if size <= room), default=0)


def joined(check, label, parts, want):
    """Sheets Items (Joint, Lap) and Job (shortest piece to splice, shortest splice piece): parts and laps are the piece."""
    item, job = check.item, check.job
    of, count = parts[0][1], sum(count for n, _, _, count in parts if n == 1)
    size = sum(size * count for _, _, size, count in parts) / Fraction(count) - (of - 1) * (item.lap or 0)
    counts = {n: sum(c for m, _, _, c in parts if m == n) for n in range(1, of + 1)}
    if item.joint == "no" or size <= job.length("shortest piece to splice") or min(p[2] for p in parts) < job.length("shortest splice piece"):
        check.wrong(None, f"{label} may not be spliced so", [float(p[2] / check.bare) for p in parts], None)
    if set(counts.values()) != {count} or (label, size) not in want:
        check.wrong(None, f"parts of {label}", float(size / check.bare), [float(a.length / check.bare) for a in check.wanted if a.label == label])
    want[label, size] -= count


def check_coil(check, width_text):
    """Conventions: coil. Each piece in a strip as long as it or longer, none wider together than the coil."""
    want, made = collections.defaultdict(list), collections.defaultdict(list)
    longest_first = sorted(check.wanted + made_on_strips(check), key=lambda a: -a.length)
    size = size_of_spares(check, [a.length for a in longest_first])
    longest = max((a for a in longest_first if a.length == size), key=lambda a: a.width, default=None)
    spare = Asked(SPARE, size, check.spares_asked if longest else 0, False, longest.width if longest else 0, size)
    for pool, asks in ((want, check.wanted + [spare]), (made, check.made)):
        for a in asks:
            pool[f"{a.label} {width_text(a.width)} wide"] += [a] * a.count
        for pieces in pool.values():
            pieces.sort(key=lambda a: -a.length)
    check.length_bought, on_strips = 0, []
    for size, labels, hold, on_hand in sorted(check.strips, key=lambda strip: -strip[0]):
        pieces = [(label, piece_of_strip(check, made if CUT_PIECE in label else want, label.replace(CUT_PIECE, " "), size))
                  for label in labels]
        found = [taken for _, taken in pieces if taken]
        on_strips += [taken for label, taken in pieces if taken and CUT_PIECE in label]
        if sum(a.width for a in found) > check.item.coil or abs(max((a.length for a in found), default=0) - size) > check.near:
            check.wrong(None, f"strip of {float(size / check.bare)}", labels, None)
        if hold != any(a.hold for a in found):
            check.wrong(None, f"strip of {float(size / check.bare)}: ON HOLD", hold, not hold)
        check.length_bought += 0 if on_hand else sum(half_up(a.length * a.width / check.item.coil) for a in found)
    left = {label: len(pieces) for label, pieces in want.items() if pieces}
    if check.by_owner:
        for piece in (piece for pieces in want.values() for piece in pieces):
            check.lacks(piece.length, piece.width, 1)
    elif left:
        check.wrong(None, "pieces not cut", left, {})
    check.held, check.spares = collections.Counter({spare.length: spare.count}), collections.Counter({spare.length: spare.count})
    check.cut = collections.Counter()
    for a in check.wanted:
        check.cut[a.label, a.length] += a.count
        check.held[a.length] += a.count if a.hold else 0
    for a in (a for pieces in want.values() for a in pieces):  # on no strip
        check.cut[a.label, a.length] -= 1
        check.held[a.length] -= 1 if a.hold else 0
    for a in on_strips:
        check.done[a.label, a.length] += 1
        check.held[a.length] += 1


def made_on_strips(check):
    """The pieces that are cut already and lie on strips of the plan."""
    labels = [label for _, labels, _, _ in check.strips for label in labels if CUT_PIECE in label]
    return [a for a in check.made if any(label.startswith(a.label + CUT_PIECE) for label in labels)]


def piece_of_strip(check, want, label, size):
    """Takes the longest piece of a label that a strip of a size gives, or none."""
    fits = [a for a in want.get(label, []) if a.length <= size + check.near]
    if not fits:
        check.wrong(None, "a piece that nothing asks for", label, None)
        return None
    want[label].remove(fits[0])
    return fits[0]


def on_hand(stock, items, job):
    """Sheet On hand, by item and length, of what is cut and has no day under Counted (Conventions: on hand)."""
    have = collections.Counter()
    for row in stock:
        if items[row.item].buy == "cut" and blank(row.day) and row.count:
            have[row.item, length(row.length, job.bare)] += row.count
    return have


# --- the sheets Cut list and Offcuts ---

def to_cut(check):
    """Returns how many pieces of each length are to be cut now."""
    found = collections.Counter()
    for (_, size), count in check.cut.items():
        found[size] += count
    for parts in check.parts.values():
        for _, _, size, count in parts:
            found[size] += count
    for (_, size), count in check.done.items():
        found[size] += count
    for parts in check.done_parts.values():
        for _, _, size, count in parts:
            found[size] += count
    found.subtract(check.held - check.spares)
    return {size: count for size, count in found.items() if count}


def cut_list(ledger, book, names, checks, bare):
    """Each length once, longest first, with how many are to be cut, are not, and are planned."""
    page, key, rows, n = book.sheet("Cut list"), None, [], 7
    table = Table(page, 6, 7, page.max_row)
    counted = [n for n in table.numbers if not blank(table.row(n)["Count"])]
    part = ledger.part(table, counted)
    for n in table.numbers:
        first = page.cell(n, 1).value
        if isinstance(first, str) and first in names:
            key, so_far = names[first], 0
            rows = sorted(to_cut(checks[key]).items(), reverse=True) if key in checks else []
        if n not in counted:
            continue
        if not blank(table.row(n)["In the plan"]):
            held = sum(checks[key].held.values())
            part.exact(n, "Count", so_far)
            part.exact(n, "Not to cut", held)
            part.exact(n, "In the plan", so_far + held)
            if rows:
                ledger.differ("Cut list", f"A{n}", f"{key}: lengths missing", None, [float(size / bare) for size, _ in rows])
            continue
        size, count = rows.pop(0) if rows else (0, 0)
        so_far += count
        part.exact(n, "Count", count)
        part.exact(n, part.head("in" if bare == INCH else "mm"), size / bare)
        part.size(n, "Set the stop", size, bare)
        part.exact(n, "So far", so_far)


def offcut_list(ledger, book, job, offcuts, order, bare):
    """Sheet Offcuts: those as long as 'shortest offcut to keep' or longer; offcuts by item, a list of count and length."""
    table = book.section("Offcuts", "Item")
    part, least = ledger.part(table), job.length("shortest offcut to keep")
    wanted = []
    for key in order:
        kept = collections.Counter()
        for count, size in offcuts.get(key, []):
            if size >= least:
                kept[size] += count
        wanted += [(key, size, count) for size, count in sorted(kept.items(), reverse=True)]
    part.length_of(len(wanted), "offcuts kept")
    for n, (key, size, count) in zip(table.numbers, wanted):
        part.text(n, "Item", key)
        part.size(n, "Length", size, bare)
        part.exact(n, "Count", count)
        part.exact(n, part.head("Length, "), size / bare)

