"""Holds each sheet of an estimate against what its inputs come to."""

import collections
from fractions import Fraction

from . import buying, plans, remaining, takeoff
from .comparing import Ledger, empty
from .reading import INCH, MM, SQUARE_FOOT, Job, Table, Unsaid, blank, cents, items, number, offers

UNIFORMAT = {"window": "B2020"}  # Sources, cost codes: doors are B2030


STATED = {*takeoff.STATED, *plans.STATED, *buying.STATED, *remaining.STATED}


def unsaid(book):
    """Returns which topics that are followed here the sheet Sources does not state, and which it states for nobody."""
    stated = {row["Topic"] for row in book.table("Sources", "Conventions").filled("Topic")}
    return sorted(STATED ^ stated)


class Estimate:
    """One workbook: what its inputs come to, and its cells held against that."""

    def __init__(self, book):
        if unsaid(book):
            raise Unsaid(f"{unsaid(book)}: on one side only of Sources and .ci/recomputing")
        self.book, self.ledger = book, Ledger()
        self.job = Job(book)
        self.bare = MM if self.job.metric else INCH
        self.units = buying.units(self.job.metric)
        self.items = items(book)
        self.sites, self.details, self.rows = takeoff.takeoff(book, self.job)
        self.classes = [h for h in self.costs_table().column if h in {i.cls for i in self.items.values()}]
        self.market = buying.Market(book, self.job, offers(book), buying.first_phases(self.rows), buying.phases(self.rows))
        self.remaining = remaining.Remaining(book, self.job, self.items, self.rows)
        self.packs_opened = self.opened()
        self.not_computed = 0

    def costs_table(self):
        return self.book.table("By opening", "OpeningCosts")

    def shown(self, value, need):
        return Fraction(value) / self.units[need][1]

    # --- which rows are bought ---

    def too_long(self, need):
        """Sheets Items (Joint) and Job (shortest piece to splice) (Conventions: too long)."""
        item, job = need.item, self.job
        if item.buy != "cut" or item.coil or self.by_owner(item.key):
            return False
        sold = [buying.holds(o.content, item) for o in self.market.of(item)]
        if not sold or need.length <= max(sold) - 2 * plans.end_trim_of(item, job):
            return False
        return item.joint == "no" or need.length <= job.length("shortest piece to splice")

    def label(self, need):
        return ("NOT BOUGHT: " if self.too_long(need) else "") + need.item.key

    def opened(self):
        """Conventions: packs opened. Of how many openings each item is needed, and so how many packs are opened."""
        marks = collections.defaultdict(dict)
        for row in self.rows:
            marks[row.need.item.key][row.opening.mark] = row.opening.qty * max(1, len(row.opening.widths))
        found = {key: buying.packs_opened(self.items[key], self.job, sum(by_mark.values())) for key, by_mark in marks.items()}
        on_hand = collections.Counter()
        for row in self.remaining.stock:
            on_hand[row.item] += row.count if blank(row.day) else 0
        self.packs_lacking = {key: None if opened is None else max(0, opened - on_hand[key]) for key, opened in found.items()}
        return {key: None if self.by_owner(key) else opened for key, opened in self.packs_lacking.items()}

    # --- by owner ---

    def by_owner(self, key):
        return self.remaining.by_owner(key)

    def owner_state(self, key, check):
        """Conventions: on hand. How an item stands that the owner brings, of what is left where To buy has rows."""
        item, left = self.items[key], self.remaining
        if left.stated and not left.amount(key, left.left_of):
            return "by owner"
        if not left.owner_says_how_much(key):
            return "by owner, not stated how much: ask"
        if item.buy == "cut":
            short, lacking = (check.short, check.lacking) if check else self.all_short(item)
        elif left.stated:
            short, lacking = left.to_buy(key), left.least(key)
        else:
            wanted = buying.to_buy(item, self.all_needed[key], buying.waste_of(item, self.job))
            short, lacking = max(0, wanted - self.packs_on_hand(key)), self.packs_lacking[key]
        words = buying.short_words(item, self.job.metric, short, lacking or 0)
        return f"by owner, {words} short" if words else "by owner"

    def all_short(self, item):
        """The pieces of an item of which there is nothing at all, with their length of stock."""
        check = plans.Check(self.ledger, item, self.job, [], self.bare)
        openings = self.remaining.left_of if self.remaining.stated else lambda row: row.opening.qty
        for a in plans.asked(self.rows, item, self.job, self.width_of, self.too_long, 0, openings):
            check.lacks(a.length, a.width, a.count)
        return check.short, check.lacking

    def packs_on_hand(self, key):
        """Conventions: on hand. What packs without a day under Counted hold of an item; nothing of what is cut."""
        rows = [row for row in self.remaining.stock if row.item == key and blank(row.day)]
        return 0 if self.items[key].buy == "cut" else sum(row.count * self.remaining.size(row, key) for row in rows)

    def needed(self):
        """Returns how much of each item is asked for, in the order of Materials (Conventions: order of items)."""
        total = collections.Counter()
        for row in self.rows:
            if self.label(row.need) == row.need.item.key:
                total[row.need.item.key] += row.need.each * row.opening.qty
        place = list(self.items)
        return {key: total[key] for key in sorted(total, key=lambda k: (self.classes.index(self.items[k].cls), place.index(k)))}

    # --- plans ---

    def width_of(self, row):
        """The blank of a piece of coil."""
        site = next(s for s in self.sites if s.opening is row.opening)
        return takeoff.blank_of_pan(site)

    def longest(self, item, suppliers, have):
        """The longest pieces that the stock at an item's supplier or on hand, and at the supplier alone, gives; the longest stock.

        What is all on hand has no supplier: then those are meant at whom it could be bought.
        """
        supplier = suppliers.get(item.key)
        if self.by_owner(item.key):
            stock = max((size for key, size in have if key == item.key), default=0)
            return min(stock, self.job.length("brake length")) if item.coil else stock, 0, stock
        offered = self.market.at(item, supplier) if supplier else self.market.of(item)
        sold = [buying.holds(o.content, item) - 2 * plans.end_trim_of(item, self.job) for o in offered]
        stock = max(sold + [size for key, size in have if key == item.key], default=0)
        most = self.job.length("brake length") if item.coil else stock
        return min(most, stock), min(most, max(sold, default=0)), stock

    def suppliers(self):
        """At whom each item is bought that is planned on Boards: of the whole job, or of what is left."""
        sheet, table = ("To buy", "StillToBuy") if self.remaining.stated else ("Materials", "MaterialLines")
        found = {}
        for row in self.book.table(sheet, table).rows():
            found.setdefault(row["Item"], row["Supplier"])
        return found

    def planned(self, need):
        """Returns what is cut of what Boards plans, the stock that there is, and of each row the openings planned (Conventions: boards)."""
        if not self.remaining.stated:
            return list(need), plans.on_hand(self.remaining.stock, self.items, self.job), lambda row: row.opening.qty
        order = self.remaining.keys(need)
        return order, self.remaining.boards(plans.end_trim_of), self.remaining.left_of

    def made(self, item, longest):
        """Conventions: boards. The pieces that are done since the first order, of an item that was bought for them."""
        if not self.remaining.stated or not self.remaining.on_bought(item.key):
            return []
        return plans.asked(self.rows, item, self.job, self.width_of, self.too_long, longest, self.remaining.done_of)

    def planned_alone(self, key, patterns):
        """Conventions: boards. Reports whether an item is planned on what its pieces that are done leave: none of them is shown."""
        shown = any(plans.CUT in text for p in patterns for entry in p.entries for text in entry.labels)
        done = any(self.remaining.done_of(row) for row in self.rows if row.need.item.key == key)
        return done and not shown and self.remaining.on_bought(key)

    def check_plans(self, need):
        """Holds each plan of the sheet Boards against the pieces; returns the checks by item."""
        names = {item.name: key for key, item in self.items.items()}
        found, checks, self.offcuts = plans.patterns(self.book, names, self.bare), {}, collections.defaultdict(list)
        order, have, openings = self.planned(need)
        suppliers = self.suppliers()
        cut = [key for key in order if self.items[key].buy == "cut" and self.to_plan(key, have, openings, found)]
        if set(found) != set(cut):
            self.ledger.differ("Boards", "", "items with a plan", sorted(map(str, found)), sorted(cut))
        for key in cut:
            item = self.items[key]
            longest, sold, stock = self.longest(item, suppliers, have)
            wanted = plans.asked(self.rows, item, self.job, self.width_of, self.too_long, longest, openings)
            checks[key] = check = plans.Check(self.ledger, item, self.job, wanted, self.bare, self.made(item, longest))
            if self.by_owner(key):
                check.of_owner()
            check.take_shortened(found.get(key, []), sold)
            check.longest_stock = stock
            for p in found.get(key, []):
                part = self.ledger.part(p.table)
                self.offcuts[key].append(plans.check_pattern(part, check, p))
            if item.coil:
                plans.check_coil(check, self.width_text)
            elif found.get(key) or self.by_owner(key):
                plans.check_pieces(check)
            for size, count in check.on_hand.items():
                if count > have[key, size] and not self.planned_alone(key, found.get(key, [])):
                    check.wrong(None, "more on hand than there is", count, have[key, size])
        plans.cut_list(self.ledger, self.book, names, checks, self.bare)
        if any(size >= self.job.length("shortest offcut to keep") for kept in self.offcuts.values() for _, size in kept):
            plans.offcut_list(self.ledger, self.book, self.job, self.offcuts, order, self.bare)
        return checks

    def to_plan(self, key, have, openings, found):
        """Reports whether there is something to cut of an item, and something to cut it from."""
        item = self.items[key]
        asks = [row for row in self.rows if row.need.item.key == key and not self.too_long(row.need)]
        if self.by_owner(key):
            return key in found
        return (any(map(openings, asks)) or bool(self.made(item, 0))) and bool(self.market.of(item) or any(k == key for k, _ in have))

    def width_text(self, width):
        """A blank's width as labels have it: to 1/32 in, or 1/10 mm."""
        if self.bare == MM:
            return f"{float(round(Fraction(width) / MM, 1)):g}"
        whole, parts = divmod(takeoff.half_up(Fraction(width) * 32 / INCH), 32)
        over = Fraction(parts, 32)
        return f"{whole}" + (f"-{over}" if over else "") if whole else f"{over}"

    # --- sheets ---

    def materials(self, need, checks):
        """Sheet Materials: packs, counts and extensions; sheet Bought vs. used."""
        table = self.book.table("Materials", "MaterialLines")
        part, lines = self.ledger.part(table), collections.defaultdict(list)
        for n in table.numbers:
            lines[table.row(n)["Item"]].append(n)
        if list(lines) != list(need):
            self.ledger.differ("Materials", "", "items in order", list(lines), list(need))
        self.extensions = collections.defaultdict(list)  # by supplier
        self.item_cost, self.item_used, self.item_bought, self.supplier_of, self.wanted, self.state = {}, {}, {}, {}, {}, {}
        self.item_share = {}
        before, self.all_needed = 0, need
        self.owner_states = {key: self.owner_state(key, checks.get(key)) for key in need if self.by_owner(key)}
        for key in need:
            item, numbers = self.items[key], lines.get(key, [])
            waste, check = buying.waste_of(item, self.job), None if self.remaining.stated else checks.get(key)
            supplier = part.take(numbers[0], "Supplier") if numbers else ""
            self.supplier_of[key] = supplier or ""
            wanted = self.amount_to_buy(part, key, numbers, need, check)
            self.wanted[key], self.state[key] = wanted, self.state_of(key, check, wanted)
            packs = self.packs(part, item, supplier, wanted, check, numbers) if supplier else []
            if supplier and len(packs) != len(numbers):
                self.ledger.differ("Materials", f"A{numbers[0]}", f"{key}: lines", len(numbers), len(packs))
            self.lines(part, item, numbers, packs, need[key], waste, before)
            before += len(numbers)
        total = self.ledger.part(Table(table.sheet, table.first - 1, table.last + 1, table.last + 1))
        total.money(table.last + 1, "Extension", sum(map(sum, self.extensions.values())))
        for head in ("Plan cost", "Lowest possible", "By hand", "Saved"):
            total.money(table.last + 1, head, sum(cents(v) for v in (row[head] for row in table.rows()) if not blank(v)))
        self.bought_and_used(need)

    def of_another_plan(self, key):
        """Reports whether an item is cut, and Boards is not of the whole job but of what is left (Conventions: boards)."""
        return self.remaining.stated and self.items[key].buy == "cut"

    def amount_to_buy(self, part, key, numbers, need, check):
        """Conventions: to buy, on hand, boards. That of a plan that is not on Boards is taken as it is."""
        item = self.items[key]
        if self.by_owner(key):
            return 0
        if check:
            return check.length_bought
        if self.of_another_plan(key) and numbers:
            self.not_computed += 1
            return number(part.take(numbers[0], "To buy")) * self.units[item.need][1]
        return max(0, buying.to_buy(item, need[key], buying.waste_of(item, self.job)) - self.packs_on_hand(key))

    def state_of(self, key, check, wanted):
        if self.by_owner(key):
            return self.owner_states[key]
        if any(self.label(r.need) == "NOT BOUGHT: " + key for r in self.rows):
            return "longer than any stock"
        if self.all_on_hand(key, check, wanted):
            return "on hand"
        return "ok" if self.market.of(self.items[key]) else self.market.lacking(self.items[key])

    def all_on_hand(self, key, check, wanted):
        """Reports whether nothing of an item is bought, for it is on hand."""
        if check:
            return not check.bought and bool(check.on_hand)
        if self.of_another_plan(key):
            return not self.supplier_of[key] and any(row.item == key and blank(row.day) for row in self.remaining.stock)
        return not wanted and not self.packs_opened[key] and self.packs_on_hand(key) > 0

    def packs(self, part, item, supplier, wanted, check, numbers):
        """Returns offer, content and count of each line: of a plan its boards, else the cheapest packs."""
        at, stored = self.market.at(item, supplier), [part.table.row(n) for n in numbers]
        if check:
            return self.boards_bought(at, check)
        if self.of_another_plan(item.key):
            self.not_computed += len(numbers)
            counts = [part.take(n, "Computed") for n in numbers]
            return [(o, buying.holds(o.content, item), count) for row, count in zip(stored, counts) for o in at if o.code == str(row["Code"] or "")]
        return self.cheapest_packs(at, item, wanted, self.packs_opened[item.key], [(str(r["Code"] or ""), r["Computed"]) for r in stored])

    @staticmethod
    def boards_bought(at, check):
        """The boards that a plan buys, the longest first."""
        found = []
        for size, count in sorted(check.bought.items(), reverse=True):
            fits = [o for o in at if buying.holds(o.content, check.item) == size]
            found += [(min(fits, key=lambda o: o.cents), size, count)] if fits else []
        return found

    def cheapest_packs(self, at, item, wanted, opened, stored):
        """Conventions: packs. The cheapest; of several ways the one that is stored, as (code, count)."""
        sizes = sorted(((buying.holds(o.content, item), o) for o in at), key=lambda pair: (-pair[0], pair[1].cents))
        if not sizes:
            return []
        _, ways = buying.one_gun(item, self.job, [o for _, o in sizes], wanted, opened)
        ways = [[(o, size, n) for (size, o), n in zip(sizes, way) if n] for way in ways]
        same = [way for way in ways if [(o.code, n) for o, _, n in way] == stored]
        return (same or ways)[0]

    def lines(self, part, item, numbers, packs, need, waste, before):
        """The lines of one item: one of each pack, board length or roll."""
        key, supplier, wanted = item.key, self.supplier_of[item.key], self.wanted[item.key]
        counts = [row["Override"] if not blank(row["Override"]) else count
                  for row, (_, _, count) in zip((part.table.row(n) for n in numbers), packs)]
        bought = self.item_bought[key] = sum(size * count for (_, size, _), count in zip(packs, counts))
        self.item_cost[key], self.item_used[key] = 0, 0
        self.item_share[key] = buying.share_used(wanted, bought, self.packs_opened[key])
        for i, n in enumerate(numbers):
            part.text(n, "Item", key)
            part.exact(n, "No.", before + i + 1)
            part.text(n, "State", self.state[key])
            if i:
                empty(part, n, ("Need", "Waste", "To buy", "Unit"))
            else:
                self.amounts(part, n, item, need, waste)
            if not supplier:
                part.text(n, "Description", item.name)
                part.text(n, "Extension", self.no_price(key, "none to buy" if self.state[key] == "on hand" else "not priced"))
                empty(part, n, ("Supplier", "Code", "Pack", "Holds", "Computed", "Count", "Unit price", "Bought", "Used"))
            elif i < len(packs):
                self.line(part, n, item, packs[i], counts[i])
        if packs and item.buy == "cut":
            self.plan_costs(part, numbers[0], sum(buying.to_cent(o.cents * c) for o, _, c in packs))

    def no_price(self, key, words):
        """What stands where a price would, of an item of which nothing is bought."""
        return "by owner" if self.by_owner(key) else words

    def amounts(self, part, n, item, need, waste):
        """Need, waste and To buy stand on the first line of an item."""
        wanted = self.wanted[item.key]
        part.exact(n, "Need", self.shown(need, item.need))
        part.exact(n, "Waste", waste)
        part.exact(n, "To buy", self.shown(wanted, item.need))
        part.text(n, "Unit", self.units[item.need][0])
        if item.need == "length":
            part.exact(n, part.head("To buy, "), Fraction(wanted) / (1000 * MM if self.job.metric else 12 * INCH))

    def line(self, part, n, item, pack, bought_count):
        """One pack, board length or roll: what it costs, and what of that the openings use."""
        (offer, size, count), key, supplier = pack, item.key, self.supplier_of[item.key]
        extension = buying.to_cent(bought_count * offer.cents)
        spent = buying.used(extension, self.item_share[key])
        self.extensions[supplier].append(extension)
        self.item_cost[key] += extension
        self.item_used[key] += spent
        part.text(n, "Description", offer.description)
        part.text(n, "Supplier", supplier)
        part.text(n, "Code", offer.code)
        part.text(n, "Pack", offer.content)
        part.text(n, "Key", f"{key}|{supplier}|{offer.code}")
        part.text(n, "Cost code", item.cost_code)
        part.exact(n, "Holds", self.shown(size, item.need))
        part.exact(n, "Computed", count)
        part.exact(n, "Count", bought_count)
        part.exact(n, "Unit price", offer.cents / 100)
        part.exact(n, "Price when estimated", offer.cents / 100)
        part.money(n, "Extension", extension)
        part.exact(n, "Bought", self.shown(size * bought_count, item.need))
        part.money(n, "Used", spent)
        by_item = self.job.text("tax basis") == "item"
        part.money(n, "Tax by item", buying.to_cent(extension * self.job.percent("tax")) if by_item else 0)

    def plan_costs(self, part, n, cost):
        """A plan costs its boards, no less than the lowest possible."""
        part.money(n, "Plan cost", cost)
        by_hand, lowest = part.stored(n, "By hand"), part.stored(n, "Lowest possible")
        if not blank(by_hand):
            part.money(n, "Saved", cents(by_hand) - cost)
        part.hold(n, "Lowest possible", f"at most {float(cost / 100)}", lambda v: cents(v) <= cost)
        self.not_computed += 2

    def bought_and_used(self, need):
        table = self.book.table("Bought vs. used", "MaterialUse")
        part = self.ledger.part(table)
        part.length_of(len(need), "items")
        for i, (n, key) in enumerate(zip(table.numbers, need)):
            item, wanted = self.items[key], self.wanted[key]
            part.text(n, "Item", key)
            part.text(n, "Name", item.name)
            part.text(n, "Unit", self.units[item.need][0])
            for head in ("Need", "Need when estimated"):
                part.exact(n, head, self.shown(need[key], item.need))
            part.exact(n, "Waste", buying.waste_of(item, self.job))
            for head in ("To buy", "To buy when estimated"):
                part.exact(n, head, self.shown(wanted, item.need))
            self.packs_of(part, n, key)
            part.exact(n, "Bought", self.shown(self.item_bought[key], item.need))
            part.exact(n, "Share used", self.item_share[key])
            part.money(n, "Cost", self.item_cost[key])
            part.money(n, "Used", self.item_used[key])
            part.money(n, "Surplus", self.item_cost[key] - self.item_used[key])
            part.text(n, "State", "ok" if self.state[key] == "on hand" else self.state[key])
            if any(map(self.packs_on_hand, need)):
                taken = min(self.packs_on_hand(key), buying.to_buy(item, need[key], buying.waste_of(item, self.job)))
                self.optional(part, n, "On hand", self.shown(taken, item.need) or None)
            part.exact(n, "Moved", 0)
            part.exact(n, "No.", i + 1)

    def packs_of(self, part, n, key):
        """How many packs are opened, of an item that does not keep."""
        if self.packs_opened[key] is None:
            empty(part, n, ("Packs opened",))
        else:
            part.exact(n, "Packs opened", self.packs_opened[key])

    def takeoff_rows(self, need):
        """Sheet Takeoff: amounts, and what each row costs (Conventions: shares)."""
        table = self.book.table("Takeoff", "TakeoffRows")
        part, so_far, bare = self.ledger.part(table), collections.Counter(), self.bare
        part.length_of(len(self.rows), "requirements")
        self.costs = collections.defaultdict(collections.Counter)  # mark -> class -> cents
        for i, (n, row) in enumerate(zip(table.numbers, self.rows)):
            o, step, want = row.opening, row.step, row.need
            label, key, name = self.label(want), want.item.key, self.units[want.unit][0]
            before = so_far[label]
            so_far[label] += want.each * o.qty
            cost = self.cost_of(label, key, before, so_far[label], need)
            if not isinstance(cost, str):
                self.costs[o.mark][want.item.cls] += cost
            part.text(n, "Mark", o.mark)
            part.exact(n, "Qty", o.qty)
            part.text(n, "Step", str(step["Step"]))
            part.text(n, "Work", step["Do"])
            part.text(n, "Item", label)
            part.text(n, "Piece", want.piece)
            if want.pieces is None:
                empty(part, n, ("Pieces", "Length", part.head("Length, ")))
            else:
                part.exact(n, "Pieces", want.pieces)
                part.size(n, "Length", want.length, bare)
                part.exact(n, part.head("Length, "), Fraction(want.length) / bare)
            part.exact(n, "Each opening", self.shown(want.each, want.unit))
            part.text(n, "Unit", name)
            part.exact(n, "Total", self.shown(want.each * o.qty, want.unit))
            part.money(n, "Cost", cost)
            part.text(n, "On hold", want.hold)
            part.text(n, "Phase", step["Phase"])
            part.text(n, "Rule", step["Rule"])
            part.text(n, "Source", step["Source"] or "")
            part.text(n, "Class", want.item.cls)
            part.exact(n, "Item so far", self.shown(so_far[label], want.unit))
            part.exact(n, "No.", i + 1)

    def cost_of(self, label, key, before, now, need):
        if label.startswith("NOT BOUGHT"):
            return "not bought"
        if self.by_owner(key):
            return "by owner"
        if self.state[key] == "on hand":
            return "on hand"
        if not self.supplier_of[key]:
            return "no price"
        spent, whole = self.item_used[key], Fraction(need[key])
        return buying.quotient_to_cent(spent * now / whole) - buying.quotient_to_cent(spent * before / whole)

    def by_opening(self):
        """Sheet By opening: sizes, holds and the sums of Takeoff by class."""
        table, bare = self.costs_table(), self.bare
        part, foot = self.ledger.part(table), 1000 * MM if self.job.metric else 12 * INCH
        square_foot = 10**12 if self.job.metric else SQUARE_FOOT
        part.length_of(len(self.sites), "openings")
        self.unit_sum = {s.opening.mark: self.unit_cost(s.opening) for s in self.sites}
        for i, (n, site) in enumerate(zip(table.numbers, self.sites)):
            o = site.opening
            spent = self.costs[o.mark]
            whole = sum(spent.values())
            unit = self.unit_sum[o.mark]
            part.text(n, "Mark", o.mark)
            part.text(n, "Kind", o.kind)
            part.exact(n, "Qty", o.qty)
            part.sides(n, "Frame", o.frame, bare)
            for cls in self.classes:
                takes = [row.need.item.key for row in self.rows if row.opening is o and row.need.item.cls == cls]
                part.money(n, cls, "by owner" if takes and all(map(self.by_owner, takes)) else spent[cls])
            part.money(n, "Materials", whole)
            part.money(n, "Materials each", buying.quotient_to_cent(Fraction(whole) / o.qty))
            part.money(n, "Windows and doors", unit)
            part.text(n, "On hold", "; ".join(self.holds(site)))
            part.text(n, "Furnished by", o.furnished_by)
            part.text(n, "Detail", self.details[o.mark])
            part.text(n, "Sill pan", o.pan)
            part.sides(n, "Rough opening", o.rough, bare)
            part.text(n, "Opening size from", o.size_from)
            part.exact(n, part.head("Perimeter each, "), Fraction(2 * (o.frame.w + o.frame.h)) / foot)
            part.exact(n, part.head("Area each, "), Fraction(takeoff.area(takeoff.square(o.frame.w, o.frame.h))) / square_foot)
            part.exact(n, "Mulled units", o.units)
            part.text(n, "UniFormat", UNIFORMAT.get(o.kind, "B2030"))
            both = whole + (0 if isinstance(unit, str) else unit)
            part.money(n, "Materials and unit", both)
            part.text(n, "Chart label", f"{o.mark} x {o.qty}:  {buying.half_up(Fraction(both) / 100)}")
            part.exact(n, "No.", i + 1)
        self.opening_sums(table)

    def opening_sums(self, table):
        sums = self.ledger.part(Table(table.sheet, table.first - 1, table.last + 1, table.last + 3))
        n = table.last + 1
        spent = {cls: sum(c[cls] for c in self.costs.values()) for cls in self.classes}
        self.class_sum, self.surplus = spent, sum(self.item_cost.values()) - sum(self.item_used.values())
        sums.exact(n, "Qty", sum(s.opening.qty for s in self.sites))
        for cls, cost in spent.items():
            sums.money(n, cls, cost)
        sums.money(n, "Materials", sum(spent.values()))
        sums.money(n, "Windows and doors", self.units_total())
        sums.money(n + 1, "Materials", self.surplus)
        sums.money(n + 2, "Materials", sum(spent.values()) + self.surplus)

    def units_total(self):
        return sum(cost for cost in self.unit_sum.values() if not isinstance(cost, str))

    @staticmethod
    def unit_cost(o):
        """Sheet Openings, Unit cost: of one unit, unless the owner furnishes it."""
        if o.furnished_by == "owner":
            return "by owner"
        return "not stated" if blank(o.cost) else buying.to_cent(cents(o.cost) * o.qty)

    def holds(self, site):
        """What of an opening is on hold: its trim, its pan, and what waits for the plane of the WRB."""
        rows = [row for row in self.rows if row.opening is site.opening and row.need.hold]
        pans = {row.need.hold for row in rows if row.step["Rule"] in takeoff.PANS} - {takeoff.NO_PLANE}
        flashing = ["flashing: " + takeoff.NO_PLANE] if any(row.need.hold == takeoff.NO_PLANE for row in rows) else []
        trim = ["trim: " + site.hold] if site.hold and site.opening.trim != "none" else [site.opening.shape_hold] if site.opening.shape_hold else []
        return trim + ["pan: " + why for why in sorted(pans)] + flashing

    def orders(self, need):
        """Sheet Orders: what an item costs at each supplier, the orders, and the way chosen."""
        table = self.book.table("Orders", "ItemSuppliers")
        part = self.ledger.part(table)
        part.length_of(len(need), "items")
        heads = list(table.column)
        suppliers = heads[heads.index("Buy at") + 1: heads.index("Above lowest")]
        for i, (n, key) in enumerate(zip(table.numbers, need)):
            item, chosen = self.items[key], self.supplier_of[key]
            part.text(n, "Item", key)
            part.text(n, "Name", item.name)
            part.text(n, "Phase", self.market.phase[key])
            part.text(n, "Bought at", chosen or "-")
            if chosen and not self.market.allowed(chosen, item):
                self.ledger.differ("Orders", f"D{n}", "Bought at", chosen, "another: see Always and Never of Suppliers")
            part.text(n, "Key", key)
            part.text(n, "State", "ok" if self.state[key] == "on hand" else self.state[key])
            part.exact(n, "No.", i + 1)
            row = table.row(n)
            for supplier in suppliers:
                self.cost_at(part, n, item, supplier, chosen)
            costs = [cents(row[s]) for s in suppliers if isinstance(row[s], (int, float))]
            if chosen:
                part.money(n, "Above lowest", self.item_cost[key] - min(costs))
        self.order_totals()
        self.ways()

    def cost_at(self, part, n, item, supplier, chosen):
        at = self.market.at(item, supplier)
        if supplier == chosen:
            part.money(n, supplier, self.item_cost[item.key])
        elif self.by_owner(item.key) or not at or self.state[item.key] == "on hand" and item.buy != "cut":
            part.text(n, supplier, "-")
        elif item.buy == "cut":
            self.not_computed += 1  # it would take a plan of its own
        else:
            part.money(n, supplier, buying.one_gun(item, self.job, at, self.wanted[item.key], self.packs_opened[item.key])[0])

    def order_totals(self):
        table = self.book.section("Orders", "Supplier")
        part, found = self.ledger.part(table), sorted(self.extensions)
        part.length_of(len(found) + 1, "orders")
        self.order_sums = {}
        heads = ("Materials", "Delivery", "Taxable amount", "Tax", "Total")
        for n, supplier in zip(table.numbers, found):
            terms = self.market.terms.get(supplier, {})
            sums = self.order_sums[supplier] = buying.order(self.job, terms, self.extensions[supplier])
            part.text(n, "Supplier", supplier)
            part.text(n, "Notes", "below the minimum order" if buying.below_minimum(terms, sums[0]) else "ok")
            for head, value in zip(heads, sums):
                part.money(n, head, value)
        for i, head in enumerate(heads):
            part.money(table.last, head, sum(sums[i] for sums in self.order_sums.values()))

    def ways(self):
        """Ways to buy: the sums of each agree with one another; the way chosen is that of the orders."""
        table = self.book.section("Orders", "Way")
        table.numbers = [n for n in table.numbers if not blank(table.row(n)["Total"])]
        part = self.ledger.part(table)
        sums = [self.total_orders(i) for i in (0, 1)]
        for n in table.numbers:
            row = table.row(n)
            if row["Way"] == "Chosen":
                part.exact(n, "Suppliers", len(self.order_sums))
                part.money(n, "Materials", sums[0])
                part.money(n, "Delivery", sums[1])
            else:
                self.not_computed += 3
            total = cents(row["Materials"]) + cents(row["Delivery"])
            part.money(n, "Total", total)
            part.money(n, "Compared with chosen", total - sum(sums))

    def total_orders(self, i):
        return sum(sums[i] for sums in self.order_sums.values())

    # --- what is left ---

    def still_to_buy(self, need, checks):
        """Sheet To buy, table StillToBuy (Conventions: need, packs, boards)."""
        left = self.remaining
        if left.stated != left.expected():
            self.ledger.differ("To buy", "A6", "something is bought or done", left.stated, left.expected())
        self.orders_left = collections.defaultdict(list)
        if not left.stated:
            return
        table = self.book.table("To buy", "StillToBuy")
        part, numbers = self.ledger.part(table), collections.defaultdict(list)
        for n in table.numbers:
            numbers[table.row(n)["Item"]].append(n)
        keys = left.keys(need)
        if list(numbers) != keys:
            self.ledger.differ("To buy", "", "items in order", list(numbers), keys)
        for key in keys:
            if numbers[key]:
                self.left_of_item(part, key, numbers[key], checks.get(key))
        total = self.ledger.part(Table(table.sheet, table.first - 1, table.last + 1, table.last + 1))
        total.money(table.last + 1, "Extension", sum(map(sum, self.orders_left.values())))

    def left_of_item(self, part, key, numbers, check):
        """The lines of an item that is left to buy."""
        item, left, first = self.items[key], self.remaining, numbers[0]
        supplier = part.take(first, "Supplier") or ""
        at, stored = self.market.at(item, supplier) if supplier else [], [part.table.row(n) for n in numbers]
        counted = "Planned" if "Planned" in part.table.column else "Count"
        if self.by_owner(key):
            wanted, packs = 0, []
        elif item.buy == "cut":
            wanted = check.length_bought if check else left.amount(key, left.left_of)
            packs = self.boards_bought(at, check) if check else []
        else:
            wanted = left.to_buy(key)
            to_buy = supplier and (wanted or left.least(key))
            packs = self.cheapest_packs(at, item, wanted, left.least(key), [(str(r["Code"] or ""), r[counted]) for r in stored]) if to_buy else []
        if len(numbers) != max(1, len(packs)):
            self.ledger.differ("To buy", f"A{first}", f"{key}: lines", len(numbers), max(1, len(packs)))
        rest = left.amount(key, left.left_of)
        for i, n in enumerate(numbers):
            part.text(n, "Item", key)
            if i:
                empty(part, n, ("Need", "Done", "On hand", "Bought", "To buy", "Unit", "State"))
            else:
                self.left_amounts(part, n, key, wanted, check)
            if i < len(packs):
                self.left_line(part, n, item, supplier, packs[i])
            else:
                part.text(n, "Description", item.name)
                part.text(n, "Extension", self.no_price(key, "not priced" if wanted else "none to buy") if rest else "none to buy")
                empty(part, n, ("Supplier", "Code", "Pack", "Count", "Unit price", "Key"))

    def left_amounts(self, part, n, key, wanted, check):
        """What stands on the first line of an item."""
        left, item = self.remaining, self.items[key]
        need, rest = left.amount(key, left.need_of), left.amount(key, left.left_of)
        part.exact(n, "Need", self.shown(need, item.need))
        part.exact(n, "Done", self.shown(need - rest, item.need))
        part.exact(n, "On hand", self.shown(left.on_hand(key), item.need))
        part.exact(n, "Bought", self.shown(left.bought(key), item.need))
        part.exact(n, "To buy", self.shown(wanted, item.need))
        part.text(n, "Unit", self.units[item.need][0])
        part.text(n, "State", self.state_left(key, rest, wanted, check))

    def state_left(self, key, rest, wanted, check):
        """Whether an item can be bought, or need not be."""
        if any(self.label(r.need) == "NOT BOUGHT: " + key and self.remaining.left_of(r) for r in self.rows):
            return "longer than any stock"
        left = self.remaining
        if not left.amount(key, left.need_of):
            return "bought, and not needed"
        if not rest and not check:
            return "all is done"
        if self.by_owner(key):
            return self.owner_states[key]
        if wanted and not self.market.of(self.items[key]):
            return self.market.lacking(self.items[key])
        return "ok" if left.counted(key) is None else f"counted {left.counted(key):%Y-%m-%d}"

    def left_line(self, part, n, item, supplier, pack):
        """One pack, board length or roll that is left to buy."""
        offer, _, count = pack
        extension = buying.to_cent(count * offer.cents)
        self.orders_left[supplier].append(extension)
        part.text(n, "Description", offer.description)
        part.text(n, "Supplier", supplier)
        part.text(n, "Code", offer.code)
        part.text(n, "Pack", offer.content)
        if "Planned" in part.table.column:
            part.exact(n, "Planned", count)
        part.exact(n, "Count", count)
        part.exact(n, "Unit price", offer.cents / 100)
        part.money(n, "Extension", extension)
        part.text(n, "Key", f"{item.key}|{supplier}|{offer.code}")

    def to_finish(self):
        """Sheet To buy, the cost to finish, and Summary, where the job stands."""
        if not self.remaining.stated:
            return
        table, job = self.book.section("To buy", "Line"), self.job
        orders = [buying.order(job, self.market.terms.get(supplier, {}), lines) for supplier, lines in sorted(self.orders_left.items())]
        units, builders = remaining.units_not_ordered(self.sites)
        taxable = (builders if job.text("tax units") == "yes" else 0) + self.other_taxable
        tax = sum(o[3] for o in orders) + buying.to_cent(taxable * job.percent("tax"))
        amounts = {"Materials still to buy": sum(o[0] for o in orders), "Delivery": sum(o[1] for o in orders), "Windows and doors": units,
                   "Labor": self.labor_left(), "Other costs": self.other, "Sales tax": tax}
        amounts |= {"Cost to finish": sum(amounts.values()), "Bid when estimated": self.bid.total}
        part = self.ledger.part(table)
        part.length_of(len(amounts), "lines")
        for n, (name, cost) in zip(table.numbers, amounts.items()):
            part.text(n, "Line", name)
            part.money(n, "Amount", cost)
        self.where_the_job_stands(amounts["Cost to finish"])

    def labor_left(self):
        """The hours of each task at openings at which its phase is not done, without one at those not finished, at the rate of the bid."""
        cost = 0
        for line in self.book.table("Labor", "LaborTasks").rows():
            phase = "finish" if blank(line["Phase"]) else line["Phase"]
            quantity = self.quantity(line, lambda o, phase=phase: o.qty - takeoff.done(o.far, phase))
            hours = None if blank(line["Hours"]) or quantity is None else self.hours(number(line["Hours"]), quantity)
            found = self.labor_cost(hours)
            cost += 0 if isinstance(found, str) else found
        return cost

    def where_the_job_stands(self, to_finish):
        page = self.book.sheet("Summary")
        top = next(n for n in range(1, page.max_row) if str(page.cell(n, 1).value).startswith("Where the job stands"))
        table = Table(page, top + 1, top + 2, top + 4)
        table.column["Line"] = 1
        part = self.ledger.part(table)
        for n, (name, cost) in zip(table.numbers, {"Bid as priced": self.bid.total, "Bought so far": self.remaining.spent(),
                                                   "Cost to finish": to_finish}.items()):
            part.text(n, "Line", name)
            part.money(n, "Number", cost)

    def added_costs(self):
        """Sheets Other costs and Labor, line by line."""
        table = self.book.table("Added costs", "AddedCosts")
        part, lines = self.ledger.part(table), self.book.table("Other costs", "OtherCosts").rows()
        part.length_of(len(lines), "other costs")
        self.other, self.other_taxable = 0, 0
        for i, (n, line) in enumerate(zip(table.numbers, lines)):
            cost = self.other_cost(line)
            part.text(n, "What", line["Text"] or "")
            part.hold(n, "Count", line["Count"], lambda v, w=line["Count"]: v == w)
            part.hold(n, "Price", line["Price"], lambda v, w=line["Price"]: v == w)
            part.text(n, "Taxable", line["Taxable"] or "")
            part.money(n, "Extension", cost)
            part.exact(n, "No.", i + 1)
            if not isinstance(cost, str):
                self.other += cost
                self.other_taxable += cost if line["Taxable"] == "yes" else 0
        total = self.ledger.part(Table(table.sheet, table.first - 1, table.last + 1, table.last + 1))
        total.money(table.last + 1, "Extension", self.other)
        self.labor_lines()

    @staticmethod
    def other_cost(line):
        if blank(line["Text"]) and blank(line["Count"]) and blank(line["Price"]):
            return ""
        if blank(line["Count"]) or blank(line["Price"]):
            return "not stated"
        return buying.to_cent(number(line["Count"]) * cents(line["Price"]))

    def labor_lines(self):
        table = self.book.table("Added costs", "AddedLabor")
        part, lines = self.ledger.part(table), self.book.table("Labor", "LaborTasks").rows()
        part.length_of(len(lines), "labor")
        self.labor, hours_sum = 0, Fraction(0)
        for i, (n, line) in enumerate(zip(table.numbers, lines)):
            quantity = self.quantity(line)
            hours = None if blank(line["Hours"]) or quantity is None else self.hours(number(line["Hours"]), quantity)
            cost = self.labor_cost(hours)
            part.text(n, "Task", line["Task"] or "")
            part.text(n, "Kind", line["Kind"] or "")
            part.text(n, "Per", line["Per"] or "")
            part.hold(n, "Hours", line["Hours"], lambda v, w=line["Hours"]: v == w)
            part.exact(n, "No.", i + 1)
            self.optional(part, n, "Quantity", quantity)
            self.optional(part, n, "Total hours", hours)
            part.money(n, "Cost", cost)
            published = line["Published hours"]
            self.optional(part, n, "Published hours", None if blank(published) else number(published))
            self.optional(part, n, "Published total", None if blank(published) or quantity is None else self.hours(number(published), quantity))
            hours_sum += hours or 0
            self.labor += 0 if isinstance(cost, str) else cost
        total = self.ledger.part(Table(table.sheet, table.first - 1, table.last + 1, table.last + 1))
        total.exact(table.last + 1, "Total hours", hours_sum)
        total.money(table.last + 1, "Cost", self.labor)

    @staticmethod
    def optional(part, n, head, value):
        if value is None:
            part.hold(n, head, None, blank)
        else:
            part.exact(n, head, value)

    def quantity(self, line, count=lambda o: o.qty):
        """Sheet Labor, Per: openings, units, or feet or meters of the frames' perimeter; of so many of each mark."""
        size = {"foot": 12 * INCH, "meter": 1000 * MM}
        if blank(line["Per"]):
            return None
        found = [s.opening for s in self.sites if s.opening.kind == line["Kind"]]
        if line["Per"] == "opening":
            return Fraction(sum(map(count, found)))
        if line["Per"] == "unit":
            return Fraction(sum(count(o) * o.units for o in found))
        return sum((Fraction(count(o) * 2 * (o.frame.w + o.frame.h)) for o in found), Fraction(0)) / size[line["Per"]]

    @staticmethod
    def hours(each, quantity):
        return Fraction(takeoff.half_up(each * quantity * 10_000), 10_000)

    def labor_cost(self, hours):
        if hours is None:
            return ""
        rate = self.job.given("labor rate")
        return "no labor rate" if blank(rate) else buying.to_cent(hours * cents(rate))

    def summary(self):
        """Sheet Summary: the bid, its parts, and what was bought from whom."""
        job = self.job
        taxable_units = sum(self.unit_sum[s.opening.mark] for s in self.sites if s.opening.furnished_by == "builder"
                            and not isinstance(self.unit_sum[s.opening.mark], str)) if job.text("tax units") == "yes" else 0
        self.bid = buying.bid(job, self.total_orders(0), self.total_orders(1), self.units_total(), self.other, self.labor,
                              self.total_orders(3), taxable_units, self.other_taxable)
        self.price_lines()
        self.to_finish()
        self.bought_from()
        self.where_the_money_goes()

    def price_lines(self):
        bid, job = self.bid, self.job
        page = self.book.sheet("Summary")
        top = next(n for n in range(1, page.max_row) if str(page.cell(n, 1).value).startswith("Price, "))
        last = top + 1
        while not blank(page.cell(last + 1, 1).value):
            last += 1
        table = Table(page, top + 1, top + 2, last)
        table.column["Line"] = 1
        amounts = {"Materials": bid.materials, "Delivery": bid.delivery, "Windows and doors": bid.units, "Other costs": bid.other, "Labor": bid.labor,
                   "Sales tax": bid.tax, "Direct cost": bid.direct, "Overhead": bid.overhead, "Contingency": bid.contingency, "Cost": bid.cost,
                   "Profit": bid.profit, "Total": bid.total, "Taxable: windows and doors": bid.taxable_units,
                   "Taxable: other costs": bid.taxable_other, "Taxable amount, with materials": bid.taxable}
        rates = {"Sales tax": "tax", "Overhead": "overhead", "Contingency": "contingency", "Profit": "profit"}
        part = self.ledger.part(table)
        for n in table.numbers:
            name = table.row(n)["Line"]
            if name in amounts:
                part.money(n, "Amount", amounts[name])
                if name in rates:
                    part.exact(n, "Rate", job.percent(rates[name]))
            elif name.startswith("Profit as "):
                of = bid.cost if bid.margin else bid.total
                part.exact(n, "Rate", self.share(bid.profit, of))
            elif name.startswith("Per "):
                self.per(part, n, name)

    def per(self, part, n, name):
        found = [s.opening for s in self.sites]
        counts = {"opening": Fraction(1), "LF": Fraction(12 * INCH), "m": Fraction(1000 * MM), "SF": Fraction(SQUARE_FOOT), "m2": Fraction(10**12)}
        what = name.split(" ")[1]
        def size(o):
            if what == "opening":
                return 1
            return 2 * (o.frame.w + o.frame.h) if what in ("LF", "m") else takeoff.area(takeoff.square(o.frame.w, o.frame.h))
        total = Fraction(sum(o.qty * size(o) for o in found)) / counts[what]
        part.exact(n, "Rate", total)
        part.money(n, "Amount", buying.quotient_to_cent(self.bid.total / total))

    @staticmethod
    def share(part, whole):
        return Fraction(takeoff.half_up(Fraction(part) * 1_000_000 / whole), 1_000_000) if whole else 0

    def bought_from(self):
        table = self.book.section("Summary", "Supplier")
        table.numbers = [n for n in table.numbers if table.row(n)["Supplier"] != "Suppliers chosen because"]
        part = self.ledger.part(table)
        part.length_of(len(self.order_sums), "suppliers")
        for n, supplier in zip(table.numbers, self.order_sums):
            part.text(n, "Supplier", supplier)
            part.money(n, "Materials", self.order_sums[supplier][0])
            part.money(n, "With delivery and tax", self.order_sums[supplier][4])

    def where_the_money_goes(self):
        table, bid = self.book.section("Summary", "Part of the total"), self.bid
        part = self.ledger.part(table)
        parts = {f"Materials: {cls}": cost for cls, cost in self.class_sum.items()}
        parts.update({"Materials: surplus": self.surplus, "Windows and doors": bid.units, "Other costs": bid.other, "Labor": bid.labor,
                      "Delivery": bid.delivery, "Sales tax": bid.tax, "Overhead": bid.overhead, "Contingency": bid.contingency,
                      "Profit": bid.profit})
        part.length_of(len(parts) + 1, "parts of the total")
        for n, (name, cost) in zip(table.numbers, parts.items()):
            part.text(n, "Part of the total", name)
            part.money(n, "Amount", cost)
            part.exact(n, "Share", self.share(cost, bid.total))
        part.money(table.last, "Amount", bid.total)

    def compare(self):
        need = self.needed()
        checks = self.check_plans(need)
        self.materials(need, checks)
        self.takeoff_rows(need)
        self.by_opening()
        self.orders(need)
        self.still_to_buy(need, checks)
        self.added_costs()
        self.summary()
        return self.ledger
