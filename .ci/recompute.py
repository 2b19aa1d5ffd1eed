#!/usr/bin/python3
"""Recomputes written estimates from what their own sheets say, and compares.

    recompute.py ESTIMATE.xlsx...            every row of the sheets below
    recompute.py --every-rule ESTIMATE.xlsx...
                                             the same; each rule of the takeoff has to have a row
    recompute.py --falsify ESTIMATE.xlsx...  changes one value of every column, each in memory;
                                             succeeds only if each is found
    recompute.py --random K [--seed N] SILLWRIGHT
                                             has the program estimate K jobs made by chance

The inputs are those of the yellow sheets (Job, Openings, Field measurements, Other costs,
Labor, On hand, Details, Items, Prices, Suppliers); the rules are those of Sources, Details
and Job, written anew in recomputing/, in exact numbers; each convention that is followed has
to stand on Sources. Nothing of the program is read. Recomputed are By opening, Takeoff,
Materials, Bought vs. used, Orders, Added costs, Cut list, Boards, Offcuts and the price on
Summary, all rows of them, all columns but Calculation, Planned for, Price check and notes.
Two choices are taken as the workbook has them, for they are the program's to prove: at which
supplier an item is bought, and how boards are cut. A plan is held against the pieces it has
to give.

A workbook a line, the rows of each sheet below it; exit 1 on any difference, when a row was
not compared, and when a workbook asks for a rule that is not here. Needs openpyxl.
"""

import argparse
import collections
import os
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True

from recomputing import chance, takeoff  # noqa: E402
from recomputing.estimate import Estimate  # noqa: E402
from recomputing.reading import Book, Unsaid  # noqa: E402

LISTED = 20
KEYS = {("Materials", "Item"), ("Materials", "Supplier"), ("To buy", "Item"), ("To buy", "Supplier")}  # by which lines are found


def recomputed(path, tried):
    """Compares one workbook, and counts the rows of each rule in tried; returns whether all agreed."""
    name = os.path.basename(path)
    try:
        estimate = Estimate(Book(path))
        estimate.compare()
    except Unsaid as unsaid:
        print(f"{name}: NOT RECOMPUTED: no rule for {unsaid}")
        return False
    tried.update(row.step["Rule"] for row in estimate.rows)
    return report(name, estimate)


def report(name, estimate):
    """Prints what was compared; returns whether all agreed."""
    ledger = estimate.ledger
    rows = {sheet: len(done) for sheet, done in ledger.done.items()}
    missed = ledger.missed()
    print(f"{name}: rows={sum(rows.values())} cells={len(ledger.compared)} differences={len(ledger.differences)} "
          f"rows missed={sum(map(len, missed.values()))} cells of other plans, not recomputed={estimate.not_computed}")
    print("  " + ", ".join(f"{sheet} {count}" for sheet, count in rows.items()), flush=True)
    for d in ledger.differences[:LISTED]:
        print(f"  {d.sheet}!{d.cell} {d.head}: the workbook has {d.stored!r}, recomputed {d.recomputed!r}")
    if len(ledger.differences) > LISTED:
        print(f"  and {len(ledger.differences) - LISTED} more")
    for sheet, numbers in missed.items():
        print(f"  {sheet}: rows not compared: {numbers}")
    return not ledger.differences and not missed


def falsify(path):
    """Changes the middle cell of every column, one at a time; returns whether each was found."""
    book, name = Book(path), os.path.basename(path)
    columns, ledger = collections.defaultdict(list), Estimate(book).compare()
    for (sheet, cell), head in [*ledger.compared.items(), *ledger.given.items()]:
        columns[sheet, head].append(cell)
    lost = []
    for (sheet, head), cells in columns.items():
        at = book.sheet(sheet)[cells[len(cells) // 2]]
        before = at.value
        at.value = before + 1 if isinstance(before, (int, float)) else f"{before or ''} x"
        given = (sheet, at.coordinate) in ledger.given or (sheet, head) in KEYS
        if not found_again(book, sheet, at.coordinate, given):
            lost.append(f"{sheet}!{at.coordinate} {head}")
        at.value = before
    print(f"{name}: falsified {len(columns)} values, one at a time: " + (f"NOT FOUND {lost}" if lost else "each was found"), flush=True)
    return not lost


def found_again(book, sheet, cell, given):
    """Reports whether a changed cell is found: at its place, or of what is taken as given, by what follows from it."""
    try:
        found = Estimate(book).compare().differences
    except Unsaid:
        return given
    return any(given or (d.sheet, d.cell) == (sheet, cell) for d in found)


def by_chance(program, count, seed):
    """Has the program estimate jobs made by chance, and recomputes each; returns whether all agreed."""
    good = True
    with tempfile.TemporaryDirectory(prefix="recompute-") as folder:
        for n in range(seed, seed + count):
            schedule = os.path.join(folder, f"chance-{n}.xlsx")
            chance.write(schedule, n)
            done = subprocess.run([os.path.abspath(program), "estimate", schedule], stdin=subprocess.DEVNULL, capture_output=True, text=True)
            written = schedule.replace(".xlsx", "-estimate.xlsx")
            if not os.path.exists(written):
                print(f"chance-{n}: not estimated: {done.stderr}")
                good = False
                continue
            good &= recomputed(written, collections.Counter())
    return good


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--falsify", action="store_true")
    parser.add_argument("--every-rule", action="store_true")
    parser.add_argument("--random", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("paths", nargs="*")
    args = parser.parse_args()
    if not args.paths:
        parser.error("which workbooks?")
    if args.random:
        return 0 if by_chance(args.paths[0], args.random, args.seed) else 1
    if args.falsify:
        return 0 if all([falsify(path) for path in args.paths]) else 1
    tried = collections.Counter()
    good = all([recomputed(path, tried) for path in args.paths])
    untried = [rule for rule in takeoff.RULES if rule != "note" and not tried[rule]]
    print("rows by rule: " + ", ".join(f"{rule} {count}" for rule, count in sorted(tried.items())))
    if args.every_rule and untried:
        print(f"NO ROW of {', '.join(untried)}")
    return 0 if good and not (args.every_rule and untried) else 1


if __name__ == "__main__":
    sys.exit(main())
