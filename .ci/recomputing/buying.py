"""What is bought, what it costs whom, and the bid.

At which supplier an item is bought is taken from the workbook: the choice is the
program's to prove. All that follows from it is recomputed.
"""

import collections
import itertools
import re
from datetime import timedelta
from fractions import Fraction

from .reading import CUBIC_INCH, INCH, SQUARE_FOOT, UNITS, blank, cents, number
from .takeoff import ceiling, half_up

STATED = ("content", "packs", "packs opened", "one gun", "whole pieces", "used", "shares", "quotients", "late", "phase", "cold", "order of items")

LITER = 1_000_000_000  # nanoliters
GALLON = 231 * CUBIC_INCH
VOLUMES = {"fl oz": Fraction(GALLON, 128), "pt": Fraction(GALLON, 8), "qt": Fraction(GALLON, 4), "gal": Fraction(GALLON), "mL": Fraction(LITER, 1000),
           "L": Fraction(LITER), "ft3": Fraction(1728 * CUBIC_INCH), "in3": Fraction(CUBIC_INCH)}
POUND = Fraction("0.45359237")
WEIGHTS = {"lb": Fraction(1), "oz": Fraction(1, 16), "kg": 1 / POUND, "g": 1 / POUND / 1000}


def units(metric):
    """The units of a sheet by need: name and size."""
    if metric:
        return {"length": ("mm", 1_000_000), "volume": ("mL", LITER // 1000), "area": ("m2", 10**12), "each": ("each", 1)}
    return {"length": ("in", INCH), "volume": ("in3", CUBIC_INCH), "area": ("SF", SQUARE_FOOT), "each": ("each", 1)}


def short_words(item, metric, amount, lacking):
    """Conventions: on hand. How much is short of what the owner brings, with the pieces or packs that are lacking; "" for nothing."""
    what = "piece" if item.buy == "cut" else "pack"
    words = [f"{lacking} {what}" + ("s" if lacking != 1 else "")] if lacking else []

    def up(size):
        return ceiling(Fraction(amount) / size)
    if not amount:
        return ", ".join(words)
    if item.need == "each":
        words.append(f"{up(1)} pieces")
    elif item.need == "length" and metric:
        words.append(f"{up(1_000_000)} mm in total")
    elif item.need == "length":
        inches, parts = divmod(up(Fraction(INCH, 16)), 16)
        words.append(f"{inches // 12}'-{inches % 12}" + (f" {Fraction(parts, 16)}" if parts else "") + '" in total')
    elif item.need == "area":
        words.append(f"{float(Fraction(up(Fraction(10**12 if metric else SQUARE_FOOT) / 100), 100)):.2f} {'m2' if metric else 'SF'}")
    elif metric:
        words.append(f"{up(Fraction(LITER, 1000))} mL")
    else:
        words.append(f"{float(Fraction(up(VOLUMES['fl oz'] / 10), 10)):.1f} fl oz")
    return ", ".join(words)


def to_cent(value):
    return half_up(Fraction(value))


def quotient_to_cent(value):
    """Conventions: quotients. A value in cents, first to a millionth of the currency's unit."""
    return to_cent(Fraction(half_up(Fraction(value) * 10_000), 10_000))


# --- packs ---

def holds(content, item):
    """Sheets Prices (Content) and Items (Need, Coverage): how much of its need a pack holds (Conventions: content)."""
    amount, unit = re.match(r"^([\d.]+) (.+)$", content).groups()
    amount = number(amount)
    if item.need == "length":
        return amount * UNITS[unit]
    if item.need == "volume":
        return (amount * VOLUMES[unit]).__floor__()
    if item.need == "area":
        return (amount * VOLUMES[unit] / VOLUMES[item.coverage_unit] * number(item.coverage) * SQUARE_FOOT).__floor__()
    if unit in WEIGHTS:
        return (amount * WEIGHTS[unit] / WEIGHTS[item.coverage_unit] * number(item.coverage)).__floor__()
    by_weight = item.coverage_unit in WEIGHTS  # then what is counted is not multiplied
    return int(amount * number(1 if by_weight else item.coverage or 1))


def packs_opened(item, job, openings):
    """Sources, buying: packs that are opened whatever they hold; none of an item that keeps (Conventions: packs opened)."""
    if blank(item.openings_a_pack) and blank(item.days_open):
        return None
    days = ceiling(Fraction(openings) / number(job.text("openings a day")))
    by = [(openings, item.openings_a_pack), (days, item.days_open)]
    return max(ceiling(Fraction(many) / number(each)) for many, each in by if not blank(each))


def cheapest(packs, to_buy, least=0):
    """Returns the lowest cost of packs (content, cents) that hold to_buy, at least so many, and the counts that have it (Conventions: packs)."""
    best = None
    *others, (last, _) = packs
    for counts in itertools.product(*(range(max(least, ceiling(Fraction(to_buy) / content)) + 1) for content, _ in others)):
        left = to_buy - sum(n * content for n, (content, _) in zip(counts, packs))
        counts += (max(0, ceiling(Fraction(left) / last), least - sum(counts)),)
        cost = sum(to_cent(n * price) for n, (_, price) in zip(counts, packs))
        if best is None or cost < best[0]:
            best = (cost, [counts])
        elif cost == best[0]:
            best[1].append(counts)
    return best


def one_gun(item, job, offers, to_buy, opened):
    """Returns the lowest cost of offers and the counts that have it (Conventions: packs, packs opened, one gun)."""
    at_least = opened or 0
    cost, ways = cheapest([(holds(o.content, item), o.cents) for o in offers], to_buy, at_least)
    if item.cls != "sealant" or item.need != "volume":
        return cost, ways
    best = None
    for sausages in (False, True):
        of = [i for i, o in enumerate(offers) if ("sausage" in (o.unit or "").lower()) == sausages]
        if of:
            least, counts = cheapest([(holds(offers[i].content, item), offers[i].cents) for i in of], to_buy, at_least)
            counts = [tuple(dict(zip(of, way)).get(i, 0) for i in range(len(offers))) for way in counts]
            best = (least, counts) if best is None or least < best[0] else best
    saving = job.text("minimum saving for a second gun")
    return (cost, ways) if best[0] - cost > (cents(saving) if saving else 0) else best


PHASES = ("install", "shop", "trim", "finish")


def first_phases(rows):
    """Conventions: phase."""
    found = {}
    for row in rows:
        phase, key = row.step["Phase"], row.need.item.key
        found[key] = min(phase, found.get(key, phase), key=PHASES.index)
    return found


def phases(rows):
    """The phases of the steps of each item."""
    found = collections.defaultdict(set)
    for row in rows:
        found[row.need.item.key].add(row.step["Phase"])
    return found


class Market:
    """The offers that may be chosen, by supplier and item."""

    def __init__(self, book, job, offers, phase, used):
        self.terms = {row["Supplier"]: row for row in book.table("Suppliers", "SupplierTerms").filled("Supplier")}
        self.job, self.phase, self.found = job, phase, collections.defaultdict(list)
        self.offers, self.used = offers, used
        items, _, self.word = str(job.given("cold accepted") or "").partition(":")
        self.accepted = [key.strip() for key in re.split("[,;]", items)]


    def starts(self, item):
        """Sheet Job: the first day of the phase; of a blank finish date, the trim date."""
        phase = self.phase[item]
        return self.job.day(f"{phase} date") or (self.job.day("trim date") if phase == "finish" else None)

    def warm(self, offer, item):
        """Sheet Job, coldest forecast (Conventions: cold)."""
        coldest, least = self.coldest(item), offer.min_temp if not blank(offer.min_temp) else item.min_temp
        return item.key in self.accepted or coldest is None or blank(least) or number(least) <= coldest

    def coldest(self, item):
        """The lowest forecast of the phases that use an item, None where there is none."""
        def forecast(phase):
            if phase == "shop" or item.where == "shop":
                return self.job.given("coldest forecast shop") if phase == "shop" else None
            trim = self.job.given("coldest forecast trim")
            return trim if phase != "install" and not blank(trim) else self.job.given("coldest forecast")
        return min((number(f) for f in map(forecast, self.used[item.key]) if not blank(f)), default=None)

    def valid(self, offer):
        """Sheet Prices, Expires."""
        return blank(offer.expires) or offer.expires >= self.job.day("job date")

    def comes(self, offer):
        lead = offer.lead if not blank(offer.lead) else self.terms.get(offer.supplier, {}).get("Lead days")
        return self.job.day("job date") + timedelta(days=int(lead or 0))

    def in_time(self, offer, item):
        start = self.starts(item.key)
        return blank(start) or self.comes(offer) <= start

    def names(self, supplier, head, item):
        """Sheet Suppliers, Always and Never: keys or classes, separated by ;, or all."""
        listed = str(self.terms.get(supplier, {}).get(head) or "").split("; ")
        return item.key in listed or item.cls in listed or (head == "Never" and "all" in listed)

    def allowed(self, supplier, item):
        """Reports whether an item may be bought at a supplier; one that has no offer is not asked for."""
        always = [s for s in self.terms if self.names(s, "Always", item) and self.at(item, s)]
        return not self.names(supplier, "Never", item) and (not always or supplier in always)

    def of(self, item):
        """Returns the offers of an item that may be chosen, whoever makes them (Conventions: late)."""
        fit = [o for o in self.offers if o.item == item.key and self.valid(o) and self.warm(o, item)]
        early = [o for o in fit if self.in_time(o, item)]
        if early:
            return early
        soonest = min((self.comes(o) for o in fit), default=None)
        return [o for o in fit if self.comes(o) == soonest]

    def lacking(self, item):
        """Why an item has no offer: none at all, or none for the coldest forecast."""
        if any(o.item == item.key and self.valid(o) for o in self.offers):
            return f"no product for {self.coldest(item)} F"
        return "no price"

    def at(self, item, supplier):
        return [o for o in self.of(item) if o.supplier == supplier]


# --- money ---

def waste_of(item, job):
    """Sheet Items, Waste, names the line of Job."""
    return Fraction(0) if blank(item.waste) else job.percent(f"waste {item.waste}")


def to_buy(item, need, waste):
    """Conventions: whole pieces."""
    wanted = need * (1 + waste)
    return ceiling(wanted) if item.need == "each" else wanted


def share_used(wanted, bought, opened):
    """Conventions: used, packs opened."""
    if not bought:
        return Fraction(0)
    return Fraction(1) if opened is not None else min(Fraction(1), Fraction(wanted) / bought)


def used(extension, share):
    """Conventions: used."""
    return quotient_to_cent(extension * share)


def order(job, terms, lines):
    """Sheets Suppliers and Job: returns materials, delivery, taxable amount, tax and total of one order, in cents."""
    materials = sum(lines)
    free, fee = terms.get("Free over"), terms.get("Delivery fee")
    free_now = not materials or (not blank(free) and materials >= cents(free))
    delivery = 0 if free_now or blank(fee) else cents(fee)
    rate, by_item = job.percent("tax"), job.text("tax basis") == "item"
    taxable = (0 if by_item else materials) + (delivery if job.text("tax delivery") == "yes" else 0)
    tax = to_cent(taxable * rate) + (sum(to_cent(line * rate) for line in lines) if by_item else 0)
    return materials, delivery, taxable, tax, materials + delivery + tax


def below_minimum(terms, materials):
    least = terms.get("Minimum order")
    return not blank(least) and 0 < materials < cents(least)


Bid = collections.namedtuple("Bid", "materials delivery units other labor tax direct overhead contingency cost profit total "
                             "taxable_units taxable_other taxable margin")


def bid(job, materials, delivery, units_sum, other, labor, orders_tax, taxable_units, taxable_other):
    """Sheets Summary and Job: every line of the price, in cents."""
    tax = orders_tax + to_cent((taxable_units + taxable_other) * job.percent("tax"))
    direct = materials + delivery + units_sum + other + labor + tax
    overhead = to_cent(direct * job.percent("overhead"))
    contingency = to_cent((direct + overhead) * job.percent("contingency"))
    cost, rate = direct + overhead + contingency, job.percent("profit")
    margin = job.text("profit is") == "margin"
    profit = to_cent(cost / (1 - rate)) - cost if margin else to_cent(cost * rate)
    taxable = materials + taxable_units + taxable_other + (delivery if job.text("tax delivery") == "yes" else 0)
    return Bid(materials, delivery, units_sum, other, labor, tax, direct, overhead, contingency, cost, profit, cost + profit,
               taxable_units, taxable_other, taxable, margin)
