"""Holds cells of a workbook against recomputed values, and counts both."""

import collections
from fractions import Fraction

from .reading import INCH, MM, Unsaid, blank, length, number

NOISE = Fraction(1, 10**12)  # of sums and products of binary numbers

Difference = collections.namedtuple("Difference", "sheet cell head stored recomputed")


class Ledger:
    """What was compared, what differs, and which rows a sheet has."""

    def __init__(self):
        self.compared = collections.OrderedDict()  # (sheet, cell) -> head
        self.given = collections.OrderedDict()  # cells that are taken as they are, and held against the rest
        self.differences, self.rows, self.done = [], {}, {}

    def part(self, table, numbers=None):
        """Announces rows of a sheet: each of them has to be compared."""
        part = Part(self, table)
        self.rows.setdefault(part.name, set()).update(table.numbers if numbers is None else numbers)
        self.done.setdefault(part.name, set())
        return part

    def differ(self, sheet, cell, head, stored, recomputed):
        self.differences.append(Difference(sheet, cell, head, stored, recomputed))

    def missed(self):
        return {name: sorted(rows - self.done[name]) for name, rows in self.rows.items() if rows - self.done[name]}


class Part:
    """A table of a sheet that is compared."""

    def __init__(self, ledger, table):
        self.ledger, self.table, self.name = ledger, table, table.sheet.title

    def head(self, start):
        """Returns the head that begins so; units stand behind some."""
        if start in self.table.column:
            return start
        return next(head for head in self.table.column if head.startswith(start))

    def stored(self, n, head):
        return self.table.sheet.cell(n, self.table.column[head]).value

    def hold(self, n, head, recomputed, agrees):
        cell = self.table.sheet.cell(n, self.table.column[head])
        self.ledger.compared[self.name, cell.coordinate] = head
        self.ledger.done[self.name].add(n)
        try:
            same = agrees(cell.value)
        except (ValueError, ZeroDivisionError, TypeError, Unsaid):
            same = False
        if not same:
            self.ledger.differ(self.name, cell.coordinate, head, cell.value, recomputed)

    def take(self, n, head):
        """Notes a cell that is taken as it is, and returns its value."""
        cell = self.table.sheet.cell(n, self.table.column[head])
        self.ledger.given[self.name, cell.coordinate] = head
        return cell.value

    def text(self, n, head, words):
        """Words, letter for letter; nothing is the same as an empty text."""
        self.hold(n, head, words, lambda v: words == ("" if v is None else v))

    def exact(self, n, head, value):
        """A number, but for the noise of binary arithmetic."""
        value = Fraction(value)
        self.hold(n, head, float(value), lambda v: not isinstance(v, (str, bool)) and
                  abs(Fraction(v) - value) <= NOISE * max(1, abs(value)))

    def money(self, n, head, cents):
        """Whole cents, or words that say why there is no sum."""
        if isinstance(cents, str):
            return self.text(n, head, cents)
        self.hold(n, head, float(Fraction(cents) / 100), lambda v: not isinstance(v, (str, bool)) and
                  abs(Fraction(v) * 100 - cents) <= Fraction(1, 10**6) and number(round(v, 6)) * 100 == cents)

    def size(self, n, head, value, bare):
        """A length in words, to the nearest that the sheet shows."""
        near = INCH // 64 if bare == INCH else MM // 20
        self.hold(n, head, float(Fraction(value) / bare), lambda v: abs(length(v, bare) - value) <= near)

    def sides(self, n, head, side, bare):
        """Width x height in words."""
        near = INCH // 64 if bare == INCH else MM // 20
        def agrees(v):
            w, h = v.split(" x ")
            return abs(length(w, bare) - side.w) <= near and abs(length(h, bare) - side.h) <= near
        self.hold(n, head, f"{float(Fraction(side.w) / bare)} x {float(Fraction(side.h) / bare)}", agrees)

    def length_of(self, count, what):
        """The sheet has as many rows as were recomputed."""
        have = len(self.table.numbers)
        if have != count:
            self.ledger.differ(self.name, "", f"rows: {what}", have, count)


def empty(part, n, heads):
    for head in heads:
        part.hold(n, head, None, blank)
