#!/usr/bin/python3
"""Edits an estimate as an estimator would, without this program.

    edit.py ESTIMATE.xlsx EDITED.xlsx   three prices up by a tenth, one count typed

Says on stdout by how much the materials must have changed, in cents.
"""

import sys

import openpyxl


def table(sheet, *names):
    """The header's columns by name, and the row below it."""
    for row in sheet.iter_rows(min_row=1, max_row=12):
        titles = {str(c.value): c.column for c in row if c.value is not None}
        if all(n in titles for n in names):
            return titles, row[0].row + 1
    sys.exit(f"{sheet.title}: no table with {names}")


source, target = sys.argv[1:]
book = openpyxl.load_workbook(source)
values = openpyxl.load_workbook(source, data_only=True)
typed, top_of_materials = table(values["Materials"], "Item", "Override", "Key")
# Once something is bought or done, what is ordered stands on To buy.
page = values["To buy"] if any(c.value == "Planned" for c in values["To buy"][5]) and values["To buy"].cell(6, 2).value else values["Materials"]
lines, first = table(page, "Item", "Supplier", "Code", "Count", "Unit price", "Key")
prices, top = table(book["Prices"], "Supplier", "Item", "Code", "Price")
change, done = 0, 0
for r in range(first, page.max_row + 1):
    cell = lambda name: page.cell(r, lines[name]).value
    if not cell("Key"):
        continue
    count, price = cell("Count"), cell("Unit price")
    old = round(count * price * 100)
    if done < 3:
        price = round(price * 1.1, 2)
        for p in range(top, book["Prices"].max_row + 1):
            at = {n: book["Prices"].cell(p, prices[n]).value for n in ("Supplier", "Item", "Code")}
            if at == {"Supplier": cell("Supplier"), "Item": cell("Item"), "Code": cell("Code")}:
                book["Prices"].cell(p, prices["Price"]).value = price
    elif done == 3:
        count += 2
        for m in range(top_of_materials, book["Materials"].max_row + 1):
            if book["Materials"].cell(m, typed["Key"]).value == cell("Key"):
                book["Materials"].cell(m, typed["Override"]).value = count
    else:
        break
    change += round(count * price * 100) - old
    done += 1
book.save(target)
print(change)
