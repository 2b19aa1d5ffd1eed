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
    False: {"window": ((320, 1440), (192, 1280)), "entry door": ((544, 640), (1264, 1344)), "patio door": ((960, 2400), (1264, 1536)),
            "overhead door": ((1536, 3072), (1344, 1536))},
    True: {"window": ((500, 2300), (300, 2000)), "entry door": ((860, 1000), (2000, 2150)), "patio door": ((1500, 3600), (2000, 2400)),
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
}
INCHES = {"caulk joint": ["3/16", "1/4", "5/16"], "kerf": ["1/8", "3/32"], "head overhang": ["0", "1/2"], "end trim": ["0", "1/4"],
          "stud depth": ["3-1/2", "5-1/2"], "outside insulation": ["0", "1/2"]}
MILLIMETERS = {"units": ["mm"], "caulk joint": [6], "kerf": [3], "head overhang": [0, 10], "stud depth": [90, 140]}

SUPPLIERS = [["Supplier", "Delivery fee", "Free over", "Minimum order", "Lead days"], ["North Yard (invented)", 45, 2500, None, 2],
             ["Harbor Supply (invented)", 30.25, None, 500, 6], ["Mill Lane Metal (invented)", 12.5, None, 60, 9]]
COSTS = [["Text", "Count", "Unit", "Price", "Taxable"], ["Lift (invented)", 3, "day", 33.33, "yes"], ["Dump fee (invented)", 7, "load", 17.77, "no"]]
HEADS = ["Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "RO height", "Sits on", "Flange", "Furnished by", "Unit cost",
         "Status", "Sill pan", "Jamb depth", "Leg drop", "Trim", "Measured width", "Measured height", "Mulled units"]


def sixteenths(value):
    """As people write it: 35-1/2."""
    whole, parts = divmod(value, 16)
    return f"{whole}-{Fraction(parts, 16)}" if parts else whole


def opening(dice, mark, metric):
    kind, shown = dice.choice(KINDS), (lambda v: v) if metric else sixteenths
    (w, wider), (h, higher) = SIZES[metric][kind]
    w, h = dice.randrange(w, wider), dice.randrange(h, higher)
    door, overhead = kind in ("entry door", "patio door"), kind == "overhead door"
    status = dice.choice(["", "ordered", "delivered", "set", "set", "cut"])
    measured = status in ("set", "cut") and dice.random() < 0.8
    room = dice.randrange(12, 26) if metric else dice.randrange(8, 17)
    rough = [shown(w + room), shown(h + room + dice.randrange(3))] if dice.random() < 0.3 else [None, None]
    return [
        mark, dice.randrange(1, 6), kind, shown(w), shown(h), *rough,
        dice.choice(["", "wood", "slab", "masonry"]) if door else None, None if overhead else dice.choice(FLANGES),
        dice.choice(["builder", "owner", "installer"]), dice.randrange(10_000, 90_000) / 100, status, None if overhead else dice.choice(PANS),
        None if overhead else dice.choice(["4-9/16 in", "6-9/16 in", None]),
        dice.choice([None, 75, 120] if metric else [None, "3", "4-1/2"]) if door or overhead else None,
        dice.choice([None, None, "none", "sill with horns", "head and bottom through"]) if kind == "window" else None,
        *([shown(w + dice.randrange(2)), shown(h)] if measured else [None, None]),
        dice.choice([1, 1, 2, 3]) if kind == "window" and w > (1300 if metric else 48 * 16) else None,
    ]


def sheets(number):
    """Returns the sheets of a schedule, each a list of rows; every third job is in millimeters."""
    dice, metric = random.Random(number), number % 3 == 0
    settings = {**ANY_UNIT, **(MILLIMETERS if metric else INCHES)}
    job = [["Key", "Value"], ["job number", f"C-{number}"], ["job name", f"Made by chance {number} (invented)"], ["job date", "2026-11-16"]]
    job += [[key, dice.choice(values)] for key, values in settings.items()]
    labor = [["Task", "Kind", "Per", "Hours"], ["Set", "window", "unit", 1.35], ["Seal", "window", "meter" if metric else "foot", 0.0333]]
    rows = [opening(dice, f"M{n + 1}", metric) for n in range(OPENINGS)]
    return {"Job": job, "Openings": [HEADS, *rows], "Other costs": COSTS, "Labor": labor, "Suppliers": SUPPLIERS}


def write(path, number):
    """Writes the schedule of a number."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets(number).items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)
