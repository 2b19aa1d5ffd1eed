"""Jobs made by chance, each the same for its number: schedules as people write them."""

import random
from fractions import Fraction

import openpyxl

OPENINGS = 25
FLANGES = ["integral", "applied", "applied (locating only)", "none", "brickmould"]
PANS = ["", "flexible", "metal", "fluid-applied", "rigid", "none"]
KINDS = ["window"] * 5 + ["entry door", "patio door", "overhead door"]

# Ranges of frames by kind: in sixteenths of an inch, and in millimeters.
SIZES = {
    False: {"window": ((320, 1440), (192, 1280)), "entry door": ((544, 1200), (1264, 1344)), "patio door": ((960, 2400), (1264, 1536)),
            "overhead door": ((1536, 3072), (1344, 1536))},
    True: {"window": ((500, 2300), (300, 2000)), "entry door": ((860, 1900), (2000, 2150)), "patio door": ((1500, 3600), (2000, 2400)),
           "overhead door": ((2400, 4800), (2100, 2400))},
}

# Settings of Job and their values; the third list is for inches only, the fourth for millimeters.
ANY_UNIT = {
    "tax": ["0", "6.25 %", "8.875 %"], "overhead": ["0", "7.5 %", "10 %"], "contingency": ["0", "3 %"], "profit": ["0", "12.5 %"],
    "profit is": ["markup", "margin"], "labor rate": [40, 61.5], "tax basis": ["invoice", "item"], "tax delivery": ["yes", "no"],
    "tax units": ["yes", "no"], "trim window": ["head over legs", "three sided", "mitered", "pinwheel", "legs through"],
    "head casing window": ["board-1x4", "board-1x6", "board-1x8"], "leg casing door": ["board-1x4", "board-1x6"], "spare boards": [0, 1, 2],
    "spare tape": [0, 1, 2], "prime for tape": ["yes", "no"], "WRB": ["housewrap", "integral"], "waste sealant": ["5 %", "12 %"],
    "waste nails": ["0 %", "25 %"], "tape lap": ["2 in", "3 in"], "face lap": ["2 in", "3 in"], "door hardware with unit": ["yes", "no"],
    "coldest forecast": [None, 42, 36], "coldest forecast trim": [None, None, 30, 50], "coldest forecast shop": [None, None, 38],
    "cold accepted": [None, None, "foam-low, tape-9: crew lead (invented), 2026-11-16, surface 38 F"],
    "install date": [None, "2026-11-20"], "trim date": [None, "2026-11-27"],
    "tape wall": ["tape-9", "tape-4", "tape-6", "tape-6-flexible"], "tape cap": [None, "tape-6"],
    "tape sill": ["tape-6-flexible", "tape-9", "flexible flashing tape", "flashing tape"], "call size window": ["opening", "unit"],
    "call size patio door": ["opening", "unit"], "WRB plane": [None, "sheathing", "outside of insulation"],
    "jamb depth window": [None, None, "3-1/4 in", "4-9/16 in"], "jamb depth entry door": [None, None, "5-1/4 in"],
    "jamb depth patio door": [None, None, "6-9/16 in"], "brickmould width": [None, "2-1/4 in"], "brickmould thickness": [None, "1 in"],
    "flange thickness": [None, "1/8 in"], "jamb thickness": [None, "11/16 in", "1-1/4 in"], "hinge leaf": [None, "3/16 in"],
    "nail penetration": [None, "1 in", "1-1/2 in"], "pan slope": [None, "8 %"],
    "jamb flashing": [None, "tape", "fluid-applied", "fluid-applied"], "openings a day": [None, 2, 4, 6], "foam": [None, "foam-gun"],
    "studs between": [None, "3-1/4 in", "5 in"],
}
INCHES = {"caulk joint": ["3/16", "1/4", "5/16"], "kerf": ["1/8", "3/32"], "head overhang": ["0", "1/2"], "end trim": ["0", "1/4"],
          "stud depth": ["3-1/2", "5-1/2", "7-1/4"], "outside insulation": ["0", "0", "1/2", "2"]}
MILLIMETERS = {"units": ["mm"], "caulk joint": [6], "kerf": [3], "head overhang": [0, 10], "stud depth": [90, 140, 184], "outside insulation": [0, 0, 40]}

SUPPLIERS = [["Supplier", "Delivery fee", "Free over", "Minimum order", "Lead days"], ["North Yard (invented)", 45, 2500, None, 2],
             ["Harbor Supply (invented)", 30.25, None, 500, 6], ["Mill Lane Metal (invented)", 12.5, None, 60, 9]]
COSTS = [["Text", "Count", "Unit", "Price", "Taxable"], ["Lift (invented)", 3, "day", 33.33, "yes"], ["Dump fee (invented)", 7, "load", 17.77, "no"]]
STOCK = ["board-1x4", "board-1x6", "bevel-strip", "drip-cap", "tape-9", "trim-coil-24", "jamb-2x6"]
PACKS = {"sealant-10": ["10.1 fl oz", "4 fl oz"], "flange-nail": ["1 lb", "40 each"], "foam-low": ["0.6 ft3", "0.2 ft3"], "shim": ["42 each", "7 each"],
         "end-primer": ["1 qt"], "wood-glue": ["1 each"]}
BOUGHT = {"board-1x4": ["16 ft", "12 ft"], "tape-9": ["75 ft", "100 ft"], "trim-coil-24": ["25 ft"], "drip-cap": ["10 ft"], "bevel-strip": ["16 ft", "8 ft"],
          "rod-3-8": ["100 ft"], **PACKS}
STATES = ["draft", "placed", "placed", "confirmed", "back-ordered", "received", "received", "cancelled", "returned"]
PURCHASES = ["Date", "Supplier", "Order", "State", "Item", "Pack", "Pack received", "Count", "Received", "Returned", "Lost", "Price", "Tax", "Freight",
             "Credit", "Done before"]
COUNTED = ["2026-11-05", "2026-11-12"]
STAGES = ["ordered", "delivered", "set", "cut", "hung", "finished"]
CALLS = {"window": ["3050", "2-6 x 4-0", "4030"], "entry door": ["3068", "2-8 x 6-8"], "patio door": ["6068", "8-0 x 6-8"]}
HEADS = ["Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "RO height", "Sits on", "Flange", "Furnished by", "Unit cost",
         "Status", "Sill pan", "Jamb depth", "Leg drop", "Trim", "Measured width", "Measured height", "Mulled units", "Call size", "Unit heights",
         "Operation", "Wall depth", "Shape", "Joined", "Unit widths", "Sample accepted", "Detail"]
READINGS = ["Mark", "Piece", "Width 1", "Width 2", "Width 3", "Height 1", "Height 2", "Height 3", "High end", "Rise"]


def sixteenths(value):
    """As people write it: 35-1/2."""
    whole, parts = divmod(value, 16)
    return f"{whole}-{Fraction(parts, 16)}" if parts else whole


def status(dice, qty):
    """One for all openings of a mark, two of them, or one for some: the others are not stated."""
    if qty < 2 or dice.random() < 0.6:
        return dice.choice(["", "ordered", "delivered", "set", "set", "cut", "finished"])
    some, (one, other) = dice.randrange(1, qty), dice.sample(STAGES, 2)
    return dice.choice([f"{some} {one}, {qty - some} {other}", f"{some} {one}"])


def opening(dice, mark, metric):
    kind, shown = dice.choice(KINDS), (lambda v: v) if metric else sixteenths
    (w, wider), (h, higher) = SIZES[metric][kind]
    w, h = dice.randrange(w, wider), dice.randrange(h, higher)
    door, overhead = kind in ("entry door", "patio door"), kind == "overhead door"
    qty = dice.randrange(1, 6)
    far = status(dice, qty)
    measured = any(word in far for word in ("set", "cut", "hung", "finished")) and dice.random() < 0.8
    flange = None if overhead else dice.choice(FLANGES)
    casing = (50.8 if metric else 32) if flange == "brickmould" else 0  # where Job leaves its width blank
    room = dice.randrange(12, 26) if metric else dice.randrange(8, 17)
    rough = [shown(w + room), shown(h + room + dice.randrange(3))] if dice.random() < 0.3 else [None, None]
    return [
        mark, qty, kind, shown(w), shown(h), *rough,
        dice.choice(["", "wood", "slab", "masonry"]) if kind != "window" else None, flange,
        dice.choice(["builder", "owner", "installer"]), dice.randrange(10_000, 90_000) / 100, far, None if overhead else dice.choice(PANS),
        None if overhead else dice.choice(["4-9/16 in", "5-3/4 in", "6-9/16 in", "9 in", None, None]),
        dice.choice([None, 75, 120] if metric else [None, "3", "4-1/2"]) if door or overhead else None,
        dice.choice([None, None, "none", "sill with horns", "head and bottom through"]) if kind == "window" else None,
        *([shown(w + 2 * casing + dice.randrange(2)), shown(h + casing * (1 if door else 2))] if measured else [None, None]),
        dice.choice([1, 1, 2, 3]) if kind == "window" and w > (1300 if metric else 48 * 16) else None, None, None,
        dice.choice([None, "pair"]) if door else None, dice.choice([None, None, 100] if metric else [None, None, "4-3/4"]), None, None, None, None, None,
    ]


def by_call_size(dice, mark):
    """An opening of which only its call size is known."""
    kind = dice.choice(list(CALLS))
    known = {"Mark": mark, "Kind": kind, "Call size": dice.choice(CALLS[kind]), "Unit cost": 300, "Status": "ordered"}
    return [known.get(head) for head in HEADS]


def stacked(mark):
    """Two units one above the other."""
    known = {"Mark": mark, "Kind": "window", "Frame width": "36 in", "Frame height": "72-3/4 in", "Mulled units": 2, "Unit heights": "24 in; 48 in",
             "Unit cost": 500, "Status": "ordered"}
    return [known.get(head) for head in HEADS]


# Joints between units with studs between them: in sixteenths of an inch, and in millimeters; none less than two flanges.
JOINTS = {False: (48, 88), True: (77, 139)}
JOINED = {"window": ["", "integral", "applied", "applied (locating only)", "none"], "patio door": ["", "none"]}


def joined(dice, mark, metric):
    """Two or three units with studs between them, of which some say how wide each is."""
    kind, count, shown = dice.choice(["window", "window", "patio door"]), dice.choice([2, 3]), (lambda v: v) if metric else sixteenths
    (w, _), (h, higher) = SIZES[metric][kind]
    widths = [dice.randrange(w, w * 5 // 2) for _ in range(count)]
    wide = sum(widths) + (count - 1) * dice.randrange(JOINTS[metric][0], JOINTS[metric][1] + 1)
    high = dice.randrange(h, higher)
    room = dice.randrange(12, 26) if metric else dice.randrange(8, 17)
    known = {"Mark": mark, "Qty": dice.randrange(1, 4), "Kind": kind, "Frame width": shown(wide), "Frame height": shown(high), "Mulled units": count,
             "Joined": "studs between", "Flange": dice.choice(JOINED[kind]), "Sill pan": dice.choice(PANS), "Unit cost": 900,
             "Status": dice.choice(["ordered", "set", "cut"]), "Trim": dice.choice([None, None, "none"]),
             "Jamb depth": dice.choice(["4-9/16 in", "6-9/16 in", None])}
    if dice.random() < 0.7:
        known["Unit widths"] = "; ".join(str(shown(width)) for width in widths)
    if dice.random() < 0.3:
        known |= {"RO width": shown(wide + room), "RO height": shown(high + room)}
    if known["Status"] != "ordered" and dice.random() < 0.7:
        known |= {"Measured width": shown(wide + dice.randrange(2)), "Measured height": shown(high)}
    if kind == "patio door":
        known |= {"Leg drop": dice.choice([None, "4 in"]), "Sits on": dice.choice(["", "slab"])}
    return [known.get(head) for head in HEADS]


def uneven(dice, mark):
    """Two doors with a stud between them on a slab that is out of level, and what was read at them."""
    known = {"Mark": mark, "Kind": "patio door", "Frame width": "147-1/2 in", "Frame height": "79-1/2 in", "Mulled units": 2, "Joined": "studs between",
             "Sits on": "slab", "Sill pan": dice.choice(PANS), "Leg drop": "4 in", "Unit cost": 2900, "Status": "set", "Jamb depth": "4-9/16 in"}
    return [known.get(head) for head in HEADS], [mark, 1, *["147-1/2 in"] * 3, *["79-1/2 in"] * 3, "left", dice.choice(["1/16 in", "1/4 in"])]


def curved(number, mark):
    """A window that is no rectangle."""
    shape, high = [("round head", "60-1/16 in"), ("round head", "17-3/4 in"), ("round", "35-1/2 in"), ("arch", "47-1/2 in")][number % 4]
    known = {"Mark": mark, "Kind": "window", "Frame width": "35-1/2 in", "Frame height": high, "Unit cost": 450, "Status": "ordered", "Shape": shape,
             "Flange": FLANGES[number % len(FLANGES)]}
    return [known.get(head) for head in HEADS]


def read(dice, mark):
    """Three units, set, and what was read at them: alike, unlike, in doubt, or not at all."""
    known = {"Mark": mark, "Qty": 3, "Kind": "window", "Frame width": "35-1/2 in", "Frame height": "59-1/2 in", "Unit cost": 300, "Status": "set",
             "Sample accepted": dice.choice([None, "site lead (invented), 2026-11-12"])}
    taken = []
    for piece in range(1, dice.choice([1, 2, 3, 3, 3]) + 1):
        wide = [dice.choice(["35-1/2 in"] * 6 + ["35-9/16 in"]) for _ in range(3)]
        taken.append([mark, piece, *wide, "59-1/2 in", dice.choice(["59-1/2 in", "59-9/16 in"]), "59-1/2 in", "left", dice.choice(["1/16 in", "3/16 in"])])
    return [known.get(head) for head in HEADS], taken


# A detail that asks for what no shipped one does: beads at offsets, other widths and places.
STEPS = [
    ["Detail", "Step", "Do", "Item", "Rule", "Per", "Edges", "Along", "Each end", "Runs", "Size", "Spacing", "With", "When", "Phase"],
    ["own", 1, "Beads across the sill", "bead bedding", "bead", None, "sill", "pan", "1", None, "round 3/8", None, "at=1, 3-1/2, 4", None, "install"],
    ["own", 2, "A narrow coat", "fluid-flashing", "area", None, "jambs, head", "rough opening", "2", None, None, None, "width=5-1/2", None, "install"],
    ["own", 3, "Patches at the head", "tape wall", "tape", None, "head corners", None, None, None, None, None, "length=7", None, "install"],
    ["own", 4, "Patches at the sill", "tape sill", "tape", None, "sill corners", None, None, None, None, None, "length=5", None, "install"],
    ["own", 5, "Trim boards", "trim boards", "frame", None, None, None, None, None, None, None, None, "layout not none", "shop"],
]


def by_own_detail(dice, mark):
    """Windows whose detail stands on the schedule, two of them with studs between."""
    known = {"Mark": mark, "Kind": "window", "Frame width": "74-3/4 in", "Frame height": "47-1/2 in", "Unit cost": 410, "Status": "ordered", "Detail": "own"}
    if dice.random() < 0.5:
        known |= {"Mulled units": 2, "Joined": "studs between", "Unit widths": "35-1/2 in; 35-1/2 in"}
    return [known.get(head) for head in HEADS]


def on_hand(dice):
    """A few lengths and packs that are there already, some of them counted on a day."""
    def day():
        return dice.choice([None, None, *COUNTED])
    rows = [[item, dice.choice(["96 in", "10 ft", "144 in"]), None, dice.randrange(1, 4), day()] for item in dice.sample(STOCK, 3)]
    rows += [[item, None, dice.choice(PACKS[item]), dice.randrange(1, 4), day()] for item in dice.sample(list(PACKS), 3)]
    for row in rows:
        by = dice.choice([None, None, None, "owner"])
        row.append(by)
        if by and dice.random() < 0.3:
            row[3] = None  # he has not said how much
    return [["Item", "Length", "Content", "Count", "Counted", "Furnished by"]] + rows


def purchases(dice, openings):
    """What was bought: nothing, or lines in every state, the first of them with what was done before."""
    if dice.random() < 0.3:
        return [PURCHASES]
    rows = []
    for item in dice.sample(list(BOUGHT), 9):
        state, count = dice.choice(STATES), dice.randrange(1, 6)
        known = {"Date": dice.choice(["2026-11-02", "2026-11-09", "2026-11-13"]), "Supplier": "North Yard (invented)", "Order": "C", "State": state,
                 "Item": item, "Pack": BOUGHT[item][0], "Pack received": dice.choice([None, None, BOUGHT[item][-1]]), "Count": count,
                 "Price": dice.randrange(500, 5000) / 100, "Tax": dice.choice([None, 1.25]), "Credit": dice.choice([None, None, 2.5])}
        if state in ("received", "returned"):
            known["Received"] = dice.choice([None, count, count - 1, count + 1])
        if state in ("received", "placed") and count > 2:
            known |= {"Lost": dice.choice([None, 1]), "Returned": dice.choice([None, None, 1])}
        rows.append([known.get(head) for head in PURCHASES])
    whole = {"Date": "2026-11-02", "Supplier": "North Yard (invented)", "Order": "C", "State": "placed", "Tax": 17.5, "Freight": 45, "Done before": None}
    far = HEADS.index("Status")
    made = [row[0] for row in openings if row[far] in ("set", "cut", "finished")]
    if made and dice.random() < 0.5:
        whole["Done before"] = f"{made[0]}: 1 set"
    return [PURCHASES, *rows, [whole.get(head) for head in PURCHASES]]


def sheets(number):
    """Returns the sheets of a schedule, each a list of rows; every third job is in millimeters."""
    dice, metric = random.Random(number), number % 3 == 0
    settings = {**ANY_UNIT, **(MILLIMETERS if metric else INCHES)}
    job = [["Key", "Value"], ["job number", f"C-{number}"], ["job name", f"Made by chance {number} (invented)"], ["job date", "2026-11-16"]]
    job += [[key, dice.choice(values)] for key, values in settings.items()]
    labor = [["Task", "Kind", "Per", "Hours"], ["Set", "window", "unit", 1.35], ["Seal", "window", "meter" if metric else "foot", 0.0333]]
    rows = [opening(dice, f"M{n + 1}", metric) for n in range(OPENINGS)] + [by_call_size(dice, "C1"), by_call_size(dice, "C2"), stacked("S1")]
    rows += [joined(dice, f"J{n + 1}", metric) for n in range(5)]
    rows += [by_own_detail(dice, "O1"), curved(number, "A1")]
    units, taken = read(dice, "R1")
    doors, sill = uneven(dice, "U1")
    return {"Job": job, "Openings": [HEADS, *rows, units, doors], "Field measurements": [READINGS, *taken, sill], "Other costs": COSTS, "Labor": labor,
            "On hand": on_hand(dice), "Purchases": purchases(dice, rows), "Suppliers": SUPPLIERS, "Details": STEPS}


def write(path, number):
    """Writes the schedule of a number."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets(number).items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
