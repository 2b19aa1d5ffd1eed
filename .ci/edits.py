#!/usr/bin/python3
"""Edits an estimate as people do, and holds what it then shows against a fresh run.

    edits.py [--seed N --random K] [--live | --live-some K] [--only WORD] SILLWRIGHT ESTIMATE.xlsx

After every edit the file, recalculated by LibreOffice and by gnumeric, must be right
(its total is that of a fresh run on it, and no check fails), amber (prices, terms or
counts changed, and it says so) or red (a check fails). Those that are marked must be
right. With --live every input cell that is marked as one that the total follows is changed
by LibreOffice, with --live-some K of them; of these gnumeric reads every fifth. Other cells
are typed by openpyxl; rows are sorted, inserted, deleted and moved by LibreOffice. One line
an edit; exit 1 when one is neither, or the programs differ.
Needs LibreOffice Calc with python3-uno, gnumeric and openpyxl.
"""

import argparse
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
import warnings

import openpyxl
import uno
from com.sun.star.beans import PropertyValue

warnings.simplefilter("ignore")

INPUTS = ["Job", "Openings", "Field measurements", "Other costs", "Labor", "On hand", "Alternates", "Details", "Items", "Prices", "Suppliers"]
LINE = "Line No."
ONE_OFFICE = 25  # edits that one LibreOffice makes: it grows, and gets slower


class Grid:
    """A table of a sheet: its header row, columns by head, and rows."""

    def __init__(self, sheet, *heads):
        for row in sheet.iter_rows(min_row=1, max_row=8):
            found = {str(c.value): c.column for c in row if c.value is not None}
            if all(h in found for h in heads):
                self.sheet, self.at, self.header = sheet, found, row[0].row
                break
        else:
            sys.exit(f"{sheet.title}: no header with {heads}")
        self.first, self.last = self.header + 1, self.header
        while any(sheet.cell(self.last + 1, c).value is not None for c in self.at.values()):
            self.last += 1

    def row(self, head, value, nth=0):
        rows = [r for r in range(self.first, self.last + 1) if str(self.sheet.cell(r, self.at[head]).value) == str(value)]
        if not rows:
            sys.exit(f"{self.sheet.title}: no row with {head} {value}")
        return rows[nth]

    def filled(self, head):
        return [r for r in range(self.first, self.last + 1) if self.sheet.cell(r, self.at[head]).value not in (None, "")]


def grids(book):
    needed = {"Job": ("Key", "Value"), "Openings": ("Mark", "Kind"), "Field measurements": ("Mark", "Piece"), "Other costs": ("Text", "Price"),
              "Labor": ("Task", "Hours"), "On hand": ("Item", "Length"), "Alternates": ("Name", "When"), "Details": ("Detail", "Step"),
              "Items": ("Key", "Family"), "Prices": ("Supplier", "Item"), "Suppliers": ("Supplier", "Never"),
              "Materials": ("Item", "Override"), "Orders": ("Item", "Buy at")}
    return {name: Grid(book[name], *heads) for name, heads in needed.items()}


class Office:
    """LibreOffice in the background."""

    def __init__(self, work):
        profile = "file://" + os.path.join(work, "profile")
        pipe = "edits%d" % os.getpid()
        self.process = subprocess.Popen(["soffice", "--headless", "--norestore", "-env:UserInstallation=" + profile,
                                         f"--accept=pipe,name={pipe};urp;"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        resolver = uno.getComponentContext().ServiceManager.createInstance("com.sun.star.bridge.UnoUrlResolver")
        for _ in range(120):
            try:
                context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except Exception:
                time.sleep(0.5)
        else:
            sys.exit("LibreOffice does not answer")
        self.desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)

    def open(self, source):
        return self.desktop.loadComponentFromURL("file://" + source, "_blank", 0, (PropertyValue("Hidden", 0, True, 0),))

    def save(self, doc, target):
        """Recalculates, and saves as another file."""
        doc.calculateAll()
        shown = named(doc)
        doc.storeToURL("file://" + target, (PropertyValue("FilterName", 0, "Calc MS Excel 2007 XML", 0),))
        return shown

    def change(self, source, target, steps):
        """Opens a file, takes the steps, and saves it as another."""
        doc = self.open(source)
        try:
            for kind, *step in steps:
                getattr(self, kind)(doc, *step)
            return self.save(doc, target)
        finally:
            doc.close(True)

    def flip(self, doc, target, cells):
        """Types cells into an open file, saves it as another, and puts them back."""
        before = [doc.Sheets.getByName(sheet).getCellByPosition(column - 1, row - 1) for sheet, row, column, _ in cells]
        before = [c.String if c.Type.value == "TEXT" else c.Value if c.Type.value == "VALUE" else None for c in before]
        try:
            for sheet, row, column, value in cells:
                self.put(doc, sheet, row, column, value)
            return self.save(doc, target)
        finally:
            for (sheet, row, column, _), was in zip(cells, before):
                self.put(doc, sheet, row, column, was)

    def sort(self, doc, sheet, grid, head, descending):
        if grid.last < grid.first:
            return  # a table without rows
        cells = doc.Sheets.getByName(sheet).getCellRangeByPosition(0, grid.first - 1, max(grid.at.values()) - 1, grid.last - 1)
        field = uno.createUnoStruct("com.sun.star.table.TableSortField")
        field.Field, field.IsAscending = grid.at[head] - 1, not descending
        cells.sort((PropertyValue("SortFields", 0, uno.Any("[]com.sun.star.table.TableSortField", (field,)), 0),
                    PropertyValue("ContainsHeader", 0, False, 0)))

    def insert(self, doc, sheet, row):
        doc.Sheets.getByName(sheet).Rows.insertByIndex(row - 1, 1)

    def delete(self, doc, sheet, row):
        doc.Sheets.getByName(sheet).Rows.removeByIndex(row - 1, 1)

    def put(self, doc, sheet, row, column, value):
        cell = doc.Sheets.getByName(sheet).getCellByPosition(column - 1, row - 1)
        if value is None:
            cell.Formula = ""
        elif isinstance(value, str):
            cell.String = value
        else:
            cell.Value = value

    def move(self, doc, sheet, grid, row, to):
        s = doc.Sheets.getByName(sheet)
        source = s.getCellRangeByPosition(0, row - 1, max(grid.at.values()) - 1, row - 1).RangeAddress
        s.moveRange(s.getCellByPosition(0, to - 1).CellAddress, source)

    def copy(self, doc, sheet, grid, row, to):
        s = doc.Sheets.getByName(sheet)
        source = s.getCellRangeByPosition(0, row - 1, max(grid.at.values()) - 1, row - 1).RangeAddress
        s.copyRange(s.getCellByPosition(0, to - 1).CellAddress, source)

    def close(self):
        try:
            self.desktop.terminate()
        except Exception:
            pass
        self.process.wait(20)


def named(doc):
    out = []
    for name in ("total_price", "checks_failed", "plan_stale"):
        sheet, cell = doc.NamedRanges.getByName(name).Content.replace("$", "").replace("'", "").rsplit(".", 1)
        c = doc.Sheets.getByName(sheet).getCellRangeByName(cell)
        out.append("error" if c.getError() else round(c.Value, 2))
    return out


def in_gnumeric(path, work):
    """The same three numbers, recalculated by gnumeric."""
    target = os.path.join(work, "gnumeric.xlsx")
    subprocess.run(["ssconvert", "--recalc", path, target], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=120)
    book = openpyxl.load_workbook(target, data_only=True, read_only=True)
    out = []
    for name in ("total_price", "checks_failed", "plan_stale"):
        sheet, cell = book.defined_names[name].attr_text.replace("$", "").replace("'", "").rsplit("!", 1)
        v = book[sheet][cell].value
        out.append(round(v, 2) if isinstance(v, (int, float)) else "error")
    return out


def fresh(program, path, work):
    """The total of a fresh run on the file, or why there is none."""
    out = os.path.join(work, "fresh")
    shutil.rmtree(out, ignore_errors=True)
    run = subprocess.run([program, "estimate", path, "--out", out], capture_output=True, text=True, timeout=120)
    found = re.search(r"([\d,]+\.\d\d) [A-Z]{3}", run.stdout)
    return float(found.group(1).replace(",", "")) if found else "none"


def verdict(shown, again):
    total, failed, stale = shown
    if failed == "error" or failed > 0 or total == "error":
        return "red" if failed != "error" and failed > 0 else "NEITHER"
    if stale == "error":
        return "NEITHER"
    if again != "none" and abs(total - again) < 0.005:
        return "right"
    return "amber" if stale > 0 else "NEITHER"


def edits(g):
    """Name, whether it must be right, typed cells, and steps."""
    o, p, j, c, m = g["Openings"], g["Prices"], g["Job"], g["Other costs"], g["Materials"]
    out = []

    def typed(name, sheet, row, head, value, right=False):
        out.append((name, right, [(sheet, row, g[sheet].at[head], value)], []))

    def steps(name, right, *list_):
        out.append((name, right, [], list(list_)))

    out.append(("untouched", True, [], []))
    mark = o.filled("Mark")
    bought = [r for r in range(m.first, m.last + 1) if m.sheet.cell(r, m.at["Supplier"]).value]
    line = {h: m.sheet.cell(bought[0], m.at[h]).value for h in ("Supplier", "Item", "Code")}
    of_line = next(r for r in range(p.first, p.last + 1) if all(p.sheet.cell(r, p.at[h]).value == v for h, v in line.items()))
    # what is followed at once
    typed("unit cost up", "Openings", mark[0], "Unit cost", 512.25, True)
    typed("unit cost blanked", "Openings", mark[0], "Unit cost", None, True)
    typed("note on an opening", "Openings", mark[0], "Notes", "by the stair", True)
    typed("elevation of an opening", "Openings", mark[0], "Elevation", "north-west", True)
    for key, value in (("tax", 0.07), ("overhead", 0.12), ("contingency", 0), ("profit", 0.2), ("profit is", "margin"), ("tax delivery", "yes"),
                       ("tax units", "no"), ("tax basis", "item"), ("job name", "Another name"), ("note", "another note"), ("labor rate", 55)):
        typed(f"Job: {key}", "Job", j.row("Key", key), "Value", value, True)
    typed("Job: overhead blanked", "Job", j.row("Key", "overhead"), "Value", None, True)
    cost = c.filled("Text")
    typed("cost: price", "Other costs", cost[0], "Price", 199.5, True)
    typed("cost: count", "Other costs", cost[0], "Count", 3, True)
    typed("cost: taxable", "Other costs", cost[0], "Taxable", "yes", True)
    typed("cost: price blanked", "Other costs", cost[0], "Price", None, True)
    spare = next(r for r in range(c.first, c.last + 1) if r not in cost)
    out.append(("cost: a new line in a spare row", True, [("Other costs", spare, c.at[h], v) for h, v in
                                                          (("Text", "Crane"), ("Count", 1), ("Price", 320), ("Taxable", "no"))], []))
    lab = g["Labor"]
    hours = lab.filled("Task")
    out.append(("labor: hours and a rate", True, [("Labor", hours[0], lab.at["Hours"], 1.5), ("Job", j.row("Key", "labor rate"), j.at["Value"], 62)], []))
    typed("override that covers", "Materials", bought[-1], "Override", (m.sheet.cell(bought[-1], m.at["Computed"]).value or 1) + 1 if isinstance(
        m.sheet.cell(bought[-1], m.at["Computed"]).value, int) else 9, True)
    for sheet, heads in (("Prices", ("Price", "Item", "Supplier")), ("Openings", ("Mark", "Kind")), ("Job", ("Key", "Value")), ("Other costs", ("Text", "Price")),
                         ("Items", ("Key", "Class")), ("Suppliers", ("Supplier",)), ("Field measurements", ("Mark",)), ("Labor", ("Task",)), ("On hand", ("Item",)),
                         ("Alternates", ("Name",))):
        for head in heads:
            for down in (False, True):
                steps(f"sort {sheet} by {head}" + (", down" if down else ""), True, ("sort", sheet, g[sheet], head, down))
    for down in (False, True):
        steps("sort Details by Do" + (", down" if down else ""), False, ("sort", "Details", g["Details"], "Do", down))
    # prices and terms
    typed("price up", "Prices", of_line, "Price", 99.5)
    typed("price down", "Prices", of_line, "Price", 0.5)
    typed("price blanked", "Prices", of_line, "Price", None)
    typed("price in words", "Prices", of_line, "Price", "call")
    typed("price negative", "Prices", of_line, "Price", -3)
    typed("price of what is not bought", "Prices", p.last - 8, "Price", 0.01)
    typed("price of five decimals", "Prices", of_line, "Price", 14.60001)
    s = g["Suppliers"]
    typed("delivery fee", "Suppliers", s.first, "Delivery fee", 75)
    typed("delivery fee in words", "Suppliers", s.first, "Delivery fee", "free")
    typed("free over", "Suppliers", s.first, "Free over", 1)
    typed("minimum order", "Suppliers", s.first, "Minimum order", 5000)
    typed("supplier barred", "Suppliers", s.first, "Never", "all")
    # what needs a new run
    typed("quantity up", "Openings", mark[0], "Qty", 9)
    typed("quantity blanked", "Openings", mark[0], "Qty", None)
    typed("quantity in words", "Openings", mark[0], "Qty", "4 pcs")
    typed("quantity 2.5", "Openings", mark[0], "Qty", 2.5)
    typed("quantity 0", "Openings", mark[0], "Qty", 0)
    typed("quantity negative", "Openings", mark[0], "Qty", -5)
    typed("unit cost in words", "Openings", mark[0], "Unit cost", "quote to come")
    typed("unit cost negative", "Openings", mark[0], "Unit cost", -412)
    typed("unit cost of three decimals", "Openings", mark[0], "Unit cost", 412.005)
    typed("mark renamed", "Openings", mark[0], "Mark", "W99")
    typed("mark renamed to a twin", "Openings", mark[0], "Mark", o.sheet.cell(mark[1], o.at["Mark"]).value)
    typed("mark blanked", "Openings", mark[0], "Mark", None)
    typed("kind", "Openings", mark[0], "Kind", "patio door")
    typed("frame width", "Openings", mark[0], "Frame width", "47-1/2")
    typed("frame width as a number", "Openings", mark[0], "Frame width", 47.5)
    typed("flange", "Openings", mark[0], "Flange", "none")
    typed("furnished by", "Openings", mark[0], "Furnished by", "owner")
    typed("status", "Openings", mark[0], "Status", "hung")
    typed("sill pan where none was", "Openings", mark[0], "Sill pan", "metal")
    typed("a new mark in a spare row", "Openings", o.last, "Mark", "W50")
    out.append(("a new opening in a spare row", False, [("Openings", o.last, o.at[h], v) for h, v in (("Mark", "W50"), ("Kind", "window"), ("Call size", "3040"))], []))
    out.append(("a new opening below", False, [("Openings", o.last + 30, o.at[h], v) for h, v in (("Mark", "W50"), ("Kind", "window"), ("Call size", "3040"))], []))
    out.append(("a new opening far below", False, [("Openings", o.last + 900, o.at[h], v) for h, v in (("Mark", "W50"), ("Kind", "window"), ("Call size", "3040"))], []))
    for key, value in (("kerf", "1/4"), ("stud depth", "3-1/2"), ("coldest forecast", 60), ("spare boards", 3), ("leg casing window", "board-1x6"), ("units", "mm"),
                       ("overhead", 10), ("profit", "ten"), ("tax", -0.05), ("profit is", "both"), ("waste nails", 0.5), ("waste sealant", 0.3), ("labor rate", "sixty"),
                       ("minimum saving to add a supplier", 5)):
        typed(f"Job: {key} {value}", "Job", j.row("Key", key), "Value", value)
    out.append(("Job: a key of another name", False, [("Job", j.row("Key", "kerf"), j.at["Key"], "saw")], []))
    typed("cost: price in words", "Other costs", cost[0], "Price", "about 100")
    typed("cost: count 2.5", "Other costs", cost[0], "Count", 2.5)
    typed("cost: count negative", "Other costs", cost[0], "Count", -2)
    typed("cost: taxable maybe", "Other costs", cost[0], "Taxable", "maybe")
    out.append(("cost: a line below the last", False, [("Other costs", c.last + 1, c.at[h], v) for h, v in (("Text", "Crane"), ("Count", 1), ("Price", 320))], []))
    out.append(("cost: a line far below", False, [("Other costs", c.last + 40, c.at[h], v) for h, v in (("Text", "Crane"), ("Count", 1), ("Price", 320))], []))
    typed("labor: hours without a rate", "Labor", hours[0], "Hours", 2)
    typed("labor: hours in words", "Labor", hours[0], "Hours", "two")
    f = g["Field measurements"]
    typed("reading", "Field measurements", f.first, "Width 1", "35-1/4")
    typed("reading in a spare row", "Field measurements", f.last, "Mark", o.sheet.cell(mark[0], o.at["Mark"]).value)
    h = g["On hand"]
    out.append(("on hand: a board", False, [("On hand", h.last, h.at[k], v) for k, v in (("Item", "board-1x4"), ("Length", 192), ("Count", 5))], []))
    d = g["Details"]
    typed("detail: each end", "Details", d.row("Rule", "tape"), "Each end", "12")
    typed("detail: when", "Details", d.row("Rule", "tape"), "When", "kind is window")
    typed("item: waste", "Items", g["Items"].row("Class", "fastening"), "Waste", "rod")
    typed("item: lap", "Items", g["Items"].first, "Lap", "6")
    typed("price: content", "Prices", of_line, "Content", "20 ft")
    typed("price: expired", "Prices", of_line, "Expires", "2020-01-01")
    typed("price: supplier", "Prices", of_line, "Supplier", "Somebody Else (invented)")
    out.append(("price: a new row in a spare row", False, [("Prices", p.last, p.at[k], v) for k, v in
                                                           (("Supplier", line["Supplier"]), ("Item", line["Item"]), ("Content", "16 ft"), ("Price", 1), ("Currency", "USD"))], []))
    typed("override negative", "Materials", bought[0], "Override", -5)
    typed("override in words", "Materials", bought[0], "Override", "a few")
    typed("override 1.5", "Materials", bought[0], "Override", 1.5)
    typed("another supplier", "Orders", g["Orders"].first, "Buy at", "Harbor Supply (invented)")
    typed("a supplier that is none", "Orders", g["Orders"].first, "Buy at", "nobody")
    # rows that come, go and move
    for sheet in ("Openings", "Prices", "Items", "Details", "Other costs", "Suppliers", "Job", "Field measurements", "Labor"):
        q = g[sheet]
        steps(f"{sheet}: first row deleted", False, ("delete", sheet, q.first))
        steps(f"{sheet}: third row deleted", False, ("delete", sheet, q.first + 2))
        steps(f"{sheet}: a blank row inserted", True, ("insert", sheet, q.first + 1))
        steps(f"{sheet}: a blank row above the first", True, ("insert", sheet, q.first))
        steps(f"{sheet}: a row copied below", False, ("copy", sheet, q, q.first, q.last + 3))
    steps("Openings: a row moved below", True, ("move", "Openings", o, o.first, o.last + 2))
    steps("Openings: a row inserted and filled", False, ("insert", "Openings", o.first + 1), ("put", "Openings", o.first + 1, o.at["Mark"], "W77"),
          ("put", "Openings", o.first + 1, o.at["Kind"], "window"), ("put", "Openings", o.first + 1, o.at["Call size"], "3040"))
    steps("Other costs: a row inserted and filled", False, ("insert", "Other costs", c.first + 1), ("put", "Other costs", c.first + 1, c.at["Text"], "Crane"),
          ("put", "Other costs", c.first + 1, c.at["Count"], 1), ("put", "Other costs", c.first + 1, c.at["Price"], 500))
    for sheet in ("By opening", "Takeoff", "Materials", "Bought vs. used"):
        steps(f"{sheet}: sorted", False, ("sortall", sheet))
    return out


def some(g, count, seed):
    """Random edits of input cells, and random sorts, inserted and deleted rows."""
    r, out = random.Random(seed), []
    values = [None, 0, 1, 2.5, -3, 10, 47.5, "none", "x", "35-1/2", "yes", "window", "builder", 1e9]
    while len(out) < count:
        sheet = r.choice(INPUTS)
        q = g[sheet]
        row = r.randint(q.first, q.last + 2)
        if r.random() < 0.7:
            head = r.choice([h for h in q.at if h != LINE and not (sheet == "Job" and h != "Value")])
            value = r.choice(values)
            out.append((f"{sheet}!{head}, row {row}: {value!r}", False, [(sheet, row, q.at[head], value)], []))
            continue
        step = r.choice([("sort", sheet, q, r.choice(sorted(q.at)), r.random() < 0.5), ("insert", sheet, row), ("delete", sheet, min(row, q.last))])
        out.append((f"{sheet}: {step[0]} {row}", False, [], [step]))
    return out


OTHER = {"markup": "margin", "margin": "markup", "yes": "no", "no": "yes", "builder": "owner", "owner": "builder", "installer": "builder"}


def changed(value):
    """Another value of the kind that a cell holds; of a blank one a number."""
    if isinstance(value, bool) or value is None:
        return 2
    if isinstance(value, int):
        return value + 1
    if isinstance(value, float):
        return round(value * 1.25, 4)
    return OTHER.get(value, f"{value} x")


def live(g):
    """A change of each input cell that is marked as one that the total follows; of texts,
    which it does not, one in each column."""
    out, told = [], set()
    for sheet in INPUTS + ["Materials", "Orders"]:
        q = g[sheet]
        legend = g["Openings"].sheet["F3"].fill.fgColor.rgb
        heads = {c: h for h, c in q.at.items()}
        for row in q.sheet.iter_rows(min_row=q.first, max_row=q.last):
            for c in row:
                if c.column in heads and c.fill.fill_type == "solid" and c.fill.fgColor.rgb == legend:
                    value = changed(c.value)
                    if isinstance(c.value, str) and c.value not in OTHER:
                        if (sheet, c.column) in told:
                            continue
                        told.add((sheet, c.column))
                    out.append((f"{sheet}!{c.coordinate} {heads[c.column]}: {c.value!r} to {value!r}", False, [(sheet, c.row, c.column, value)], []))
    return out


def main():
    args = argparse.ArgumentParser()
    args.add_argument("--live", action="store_true")
    args.add_argument("--live-some", type=int, default=0)
    args.add_argument("--random", type=int, default=0)
    args.add_argument("--seed", type=int, default=1)
    args.add_argument("--only", default="")
    args.add_argument("program")
    args.add_argument("estimate")
    args = args.parse_args()
    program, source = os.path.abspath(args.program), os.path.abspath(args.estimate)
    g = grids(openpyxl.load_workbook(source))
    values = grids(openpyxl.load_workbook(source, data_only=True))
    g["Materials"], g["Orders"] = values["Materials"], values["Orders"]
    if args.live or args.live_some:
        listed = live(g)
        listed = random.Random(args.seed).sample(listed, args.live_some) if args.live_some else listed
    else:
        listed = some(g, args.random, args.seed) if args.random else edits(g)
    listed = [e for e in listed if args.only in e[0]]
    work = tempfile.mkdtemp()
    office, held, bad, counts = None, None, 0, {}
    print(f"{'edit':55} {'total':>10} {'fresh run':>10} {'failed':>6} {'stale':>6}  verdict")
    try:
        for nth, (name, must, cells, steps) in enumerate(listed):
            if nth % ONE_OFFICE == 0:
                if office:
                    office.close()
                office = Office(work)
                held = office.open(source) if args.live or args.live_some else None
            typed, target = os.path.join(work, "typed.xlsx"), os.path.join(work, "edited.xlsx")
            if held:  # one cell after another in one file that stays open: many cells in little time
                shown, typed = office.flip(held, target, cells), target
            elif cells:
                book = openpyxl.load_workbook(source)
                for sheet, row, column, value in cells:
                    book[sheet].cell(row, column).value = value
                book.save(typed)
            else:
                shutil.copy(source, typed)
            if not held:
                steps = [("sort", s[1], Grid(openpyxl.load_workbook(source)[s[1]], "No."), "No.", True) if s[0] == "sortall" else s for s in steps]
                shown = office.change(typed, target, steps)
            again = fresh(program, target if steps else typed, work)
            found = verdict(shown, again)
            other = shown if held and nth % 5 else in_gnumeric(target if steps else typed, work)
            if must and found != "right":
                found += ", NOT RIGHT"
            if other != shown and verdict(other, again) != found:
                found += f", GNUMERIC {other}"
            bad += not found.islower()
            counts[found] = counts.get(found, 0) + 1
            print(f"{name[:55]:55} {shown[0]:>10} {again:>10} {shown[1]:>6} {shown[2]:>6}  {found}", flush=True)
    finally:
        if office:
            office.close()
        shutil.rmtree(work, ignore_errors=True)
    print("; ".join(f"{n} {what}" for what, n in sorted(counts.items())))
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
