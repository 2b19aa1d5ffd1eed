"""What is left to buy: what the job needs less what is done, on hand and was bought.

The conventions are those of group left of the table Conventions of Sources, named by their topic.
"""

import collections
from datetime import datetime

from . import buying, takeoff
from .reading import blank, cents, length, number

STATED = ("done", "bought", "need", "packs", "boards", "on hand")

Line = collections.namedtuple("Line", "day item pack count cost done_before")
Stock = collections.namedtuple("Stock", "item length content count day by stated")

NOT_BOUGHT = ("draft", "cancelled")


def day_of(value):
    return value if blank(value) or isinstance(value, datetime) else datetime.fromisoformat(str(value))


def whole(value):
    return 0 if blank(value) else int(value)


# --- the sheets Purchases and On hand ---

def lines(book):
    """Returns the lines of sheet Purchases that count (Conventions: bought)."""
    rows = book.table("Purchases", "Purchases").rows()
    said = [row for row in rows if any(not blank(value) for head, value in row.items() if head != "Line No.")]
    return [line(row) for row in said if row["State"] not in NOT_BOUGHT]


def line(row):
    """Conventions: bought. How many a line holds, and what it cost, in cents."""
    came = whole(row["Received"])
    if row["State"] in ("received", "returned"):
        got = whole(row["Count"]) if blank(row["Received"]) else came
    else:
        got = max(whole(row["Count"]), came)
    back = got if row["State"] == "returned" and blank(row["Returned"]) else whole(row["Returned"])
    price = 0 if blank(row["Price"]) else cents(row["Price"])
    beside = [0 if blank(row[head]) else cents(row[head]) for head in ("Tax", "Freight", "Credit")]
    pack = row["Pack"] if blank(row["Pack received"]) else row["Pack received"]
    cost = buying.to_cent(got * price) + beside[0] + beside[1] - beside[2]
    return Line(day_of(row["Date"]), row["Item"], pack, got - back - whole(row["Lost"]), cost, row["Done before"])


def stock(book):
    """Returns the rows of sheet On hand."""
    return [Stock(row["Item"], row["Length"], row["Content"], whole(row["Count"]), day_of(row["Counted"]), row["Furnished by"], not blank(row["Count"]))
            for row in book.table("On hand", "OnHand").filled("Item")]


def before(counting, mark, qty):
    """Sheet Purchases, Done before of the lines that count: how far openings of a mark were; none where nothing is said."""
    said = {}
    for text in (line.done_before for line in counting if not blank(line.done_before)):
        for part in text.split(";"):
            name, _, far = part.partition(":")
            said[name.strip()] = far.strip()
    return takeoff.how_far(said.get(mark), qty)


class Remaining:
    """What is left of a job: amounts by item, openings by row, and the stock that there is."""

    def __init__(self, book, job, goods, rows):
        self.job, self.items, self.rows = job, goods, rows
        self.lines, self.stock = lines(book), stock(book)
        self.stated = "StillToBuy" in book.sheet("To buy").tables

    # --- by owner ---

    def by_owner(self, key):
        """Conventions: on hand. Reports whether the owner brings an item."""
        return any(row.item == key and row.by == "owner" for row in self.stock)

    def owner_says_how_much(self, key):
        return all(row.stated for row in self.stock if row.item == key and row.by == "owner")

    # --- how many openings ---

    def left_of(self, row):
        """How many openings of a row are left: at which its phase is not done."""
        return row.opening.qty - takeoff.done(row.opening.far, row.step["Phase"])

    def need_of(self, row):
        """Conventions: need. How many openings of a row the job has bought for, or has to."""
        if not self.lines:
            return self.left_of(row)
        return row.opening.qty - takeoff.done(before(self.lines, row.opening.mark, row.opening.qty), row.step["Phase"])

    def done_of(self, row):
        """Conventions: boards. How many openings of a row were done since the first order."""
        return self.need_of(row) - self.left_of(row)

    def expected(self):
        """Reports whether something was bought, or is done: then the sheet To buy has rows."""
        return bool(self.lines) or any(takeoff.done(row.opening.far, row.step["Phase"]) for row in self.rows)

    # --- amounts ---

    def amount(self, key, openings):
        """An amount of an item at so many openings of each row, of packs with waste (Conventions: need).

        With waste it is rounded up to 1 nm, 1 square micrometer or 1 nL, other than To buy of Materials.
        """
        item = self.items[key]
        need = sum(row.need.each * openings(row) for row in self.rows if row.need.item.key == key)
        return need if item.buy == "cut" else takeoff.ceiling(buying.to_buy(item, need, buying.waste_of(item, self.job)))

    def keys(self, order):
        """Conventions: need. The items in their order: those of Materials that are needed; then what was bought and is not needed, by key."""
        needed = [key for key in order if any(self.need_of(row) for row in self.rows if row.need.item.key == key)]
        bought = {line.item for line in self.lines if not blank(line.item) and line.count > 0}
        return needed + sorted(bought - set(needed))

    def counted(self, key):
        """The last day on which all there is of an item was counted."""
        return max((row.day for row in self.stock if row.item == key and not blank(row.day)), default=None)

    def rows_on_hand(self, key):
        """Conventions: need. Those with the last day, else those without one."""
        last = self.counted(key)
        return [row for row in self.stock if row.item == key and row.count and (blank(row.day) if last is None else row.day == last)]

    def held(self, key, later=False):
        """The lines that count of an item and hold some; later: those after it was counted."""
        last = self.counted(key) if later else None
        return [line for line in self.lines if line.item == key and line.count and (last is None or line.day > last)]

    def size(self, row, key):
        """What one of a row of On hand holds."""
        return length(row.length, self.job.bare) if blank(row.content) else buying.holds(row.content, self.items[key])

    def on_hand(self, key):
        return sum(row.count * self.size(row, key) for row in self.rows_on_hand(key))

    def bought(self, key, later=False):
        return sum(line.count * buying.holds(line.pack, self.items[key]) for line in self.held(key, later))

    def there(self, key):
        """Conventions: packs. How much there is of an item; none where more is done than was bought and on hand."""
        if self.counted(key) is not None:
            return self.on_hand(key) + self.bought(key, later=True)
        if self.opened(key, self.need_of) is not None:
            return self.unopened(key)
        done = self.amount(key, self.need_of) - self.amount(key, self.left_of)
        return max(0, self.on_hand(key) + self.bought(key) - done)

    def unopened(self, key):
        """Conventions: packs. What packs that do not keep hold: those on hand are opened first, then the bought in their order."""
        gone = self.opened(key, self.need_of) - self.opened(key, self.left_of)
        packs = [(row.count, self.size(row, key)) for row in self.rows_on_hand(key)]
        packs += [(line.count, buying.holds(line.pack, self.items[key])) for line in self.held(key)]
        there = 0
        for count, size in packs:
            used = min(gone, count)
            gone -= used
            there += (count - used) * size
        return there

    def to_buy(self, key):
        """Conventions: packs."""
        return max(0, self.amount(key, self.left_of) - self.there(key))

    def opened(self, key, openings):
        """Conventions: packs opened, for so many openings of each row."""
        marks = collections.Counter()
        for row in self.rows:
            if row.need.item.key == key:
                marks[row.opening.mark] = max(marks[row.opening.mark], openings(row) * max(1, len(row.opening.widths)))
        return buying.packs_opened(self.items[key], self.job, sum(marks.values()))

    def least(self, key):
        """Conventions: packs. How many packs that do not keep have to be bought at least; none of what keeps."""
        left = self.opened(key, self.left_of)
        if left is None:
            return None
        there = sum(row.count for row in self.rows_on_hand(key)) + sum(line.count for line in self.held(key, later=True))
        if self.counted(key) is None:
            there = max(0, there - max(0, self.opened(key, self.need_of) - left))
        return max(0, left - there)

    # --- stock of what is cut ---

    def boards(self, end_trim_of):
        """Conventions: boards. The stock that there is, by item and length: bought boards without the end trim of both ends."""
        have = collections.Counter()
        for key, item in self.items.items():
            if item.buy != "cut":
                continue
            for row in self.rows_on_hand(key):
                have[key, self.size(row, key)] += row.count
            for line in self.held(key, later=True):
                have[key, buying.holds(line.pack, item) - 2 * end_trim_of(item, self.job)] += line.count
        return have

    def on_bought(self, key):
        """Conventions: boards. Reports whether pieces that are done may lie on what was bought and on hand."""
        return bool(self.held(key) or self.rows_on_hand(key)) and self.counted(key) is None

    # --- money ---

    def spent(self):
        """Conventions: bought. What was bought so far costs, in cents."""
        return sum(line.cost for line in self.lines) if self.lines else "not stated"


def units_not_ordered(sites):
    """Sheet To buy: what units cost whose Status is not stated, all of them and those of the builder."""
    found = [(s.opening, s.opening.far[""]) for s in sites if s.opening.furnished_by != "owner" and not blank(s.opening.cost)]
    cost = {o.mark: buying.to_cent(number(o.cost) * 100 * count) for o, count in found}
    return sum(cost.values()), sum(cost[o.mark] for o, _ in found if o.furnished_by == "builder")
