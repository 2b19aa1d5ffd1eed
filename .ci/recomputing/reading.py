"""What a written estimate says of its inputs: settings, items, openings, offers.

Lengths are whole nanometers or fractions of them, areas whole square
micrometers, volumes whole nanoliters, money whole cents.
"""

import collections
import re
from datetime import datetime
from fractions import Fraction

import openpyxl

INCH, MM = 25_400_000, 1_000_000  # nanometers
CUBIC_INCH = 16_387_064  # nanoliters
SQUARE_FOOT = 92_903_040_000  # square micrometers

LENGTH = re.compile(
    r"""(?:(?P<feet>\d+)'(?:[- ]|$))?\s*
        (?:(?P<whole>\d+(?:\.\d+)?)(?:[ -](?P<over>\d+)/(?P<under>\d+))?|(?P<only>\d+)/(?P<of>\d+))?
        \s*(?P<unit>"|in|mm|cm|m|ft)?$""", re.X)
UNITS = {'"': INCH, "in": INCH, "mm": MM, "cm": 10 * MM, "m": 1000 * MM, "ft": 12 * INCH}


class Unsaid(Exception):
    """The workbook asks for something whose rule this script does not know."""


def number(value):
    """Returns a cell's number as it is shown, never the binary one behind it."""
    return Fraction(str(value))


def blank(value):
    return value is None or value == ""


def length(value, bare):
    """Returns a length in nanometers; bare is the unit of a number without one."""
    if not isinstance(value, str):
        return number(value) * bare
    found = LENGTH.match(value.strip())
    if not found or not value.strip():
        raise Unsaid(f"{value!r} is no length")
    part = found.groupdict()
    size = number(part["whole"] or 0)
    if part["over"]:
        size += Fraction(int(part["over"]), int(part["under"]))
    if part["only"]:
        size += Fraction(int(part["only"]), int(part["of"]))
    unit = INCH if part["feet"] else UNITS.get(part["unit"], bare)
    return int(part["feet"] or 0) * 12 * INCH + size * unit


class Table:
    """The rows of a table of a sheet, each a dict by head; row numbers beside them."""

    def __init__(self, sheet, heads_at, first, last):
        self.sheet, self.first, self.last = sheet, first, last
        self.column = {}
        for cell in sheet[heads_at]:
            if not blank(cell.value):
                self.column[str(cell.value)] = cell.column
        self.numbers = list(range(first, last + 1))

    def row(self, n):
        return {head: self.sheet.cell(n, column).value for head, column in self.column.items()}

    def rows(self):
        return [self.row(n) for n in self.numbers]

    def filled(self, key):
        return [row for row in self.rows() if not blank(row[key])]


class Book:
    """A written estimate, with the values stored in it."""

    def __init__(self, path):
        self.book = openpyxl.load_workbook(path, data_only=True)

    def sheet(self, name):
        return self.book[name]

    def table(self, sheet, name):
        found = self.book[sheet].tables[name]
        (left, top), (_, bottom) = [openpyxl.utils.cell.coordinate_from_string(ref) for ref in found.ref.split(":")]
        table = Table(self.book[sheet], top, top + 1, bottom)
        first, _, last, _ = openpyxl.utils.cell.range_boundaries(found.ref)
        table.column = {head: c for head, c in table.column.items() if first <= c <= last}
        return table

    def section(self, sheet, head):
        """Returns the rows below the row that begins with a head, down to a blank one."""
        page = self.book[sheet]
        top = next(n for n in range(1, page.max_row + 1) if page.cell(n, 1).value == head)
        last = top
        while not blank(page.cell(last + 1, 1).value):
            last += 1
        return Table(page, top, top + 1, last)


class Job:
    """Sheet Job: a blank Value takes the Default beside it; defaults are inches."""

    def __init__(self, book):
        self.line = {row["Key"]: row for row in book.table("Job", "JobSettings").rows()}
        self.metric = self.text("units") == "mm"
        self.bare = MM if self.metric else INCH

    def given(self, key):
        return self.line[key]["Value"]

    def text(self, key):
        value = self.given(key)
        return str(self.line[key]["Default"] or "") if blank(value) else str(value)

    def day(self, key):
        value = self.given(key)
        return value if isinstance(value, datetime) or blank(value) else datetime.fromisoformat(str(value))

    def is_item(self, key):
        return key in self.line and self.line[key]["Unit"] in ("item", "item or family")

    def length(self, key):
        value = self.given(key)
        return length(self.line[key]["Default"], INCH) if blank(value) else length(value, self.bare)

    def percent(self, key):
        value = self.given(key)
        if blank(value):
            return number(self.line[key]["Default"]) / 100
        if isinstance(value, str):
            return number(value.rstrip("% ")) / 100
        return number(value)

    def count(self, key):
        return int(self.text(key))


Item = collections.namedtuple("Item", "key name family cls buy need width thickness length fits_from fits_to end lap gap "
                              "coverage coverage_unit openings_a_pack days_open kerf end_trim joint coil flexible waste min_temp where cost_code")


def items(book):
    """Returns the items of sheet Items by key; its lengths are in inches."""
    def size(value):
        return None if blank(value) else length(value, INCH)
    return {row["Key"]: Item(
        row["Key"], row["Name"], row["Family"], row["Class"], row["Buy"], row["Need"], size(row["Width"]), size(row["Thickness"]),
        size(row["Length"]), size(row["Fits from"]), size(row["Fits to"]), size(row["End"]), size(row["Lap"]), size(row["Gap"]),
        row["Coverage"], row["Coverage unit"], row["Openings a pack"], row["Days open"], size(row["Kerf"]),
        size(row["End trim"]), row["Joint"], size(row["Coil width"]),
        row["Flexible"] == "yes", row["Waste"], row["Min temp F"], row["Where"], row["Cost code"] or "",
    ) for row in book.table("Items", "ItemList").filled("Key")}


Offer = collections.namedtuple("Offer", "supplier item code description content unit cents min_temp lead expires")


def cents(value):
    return number(value) * 100


def offers(book):
    """Returns the offers of sheet Prices that have a price."""
    return [Offer(row["Supplier"], row["Item"], str(row["Code"] or ""), row["Description"], row["Content"], row["Unit"], cents(row["Price"]),
                  row["Min temp F"], row["Lead days"], row["Expires"])
            for row in book.table("Prices", "PriceList").filled("Supplier") if isinstance(row["Price"], (int, float))]
