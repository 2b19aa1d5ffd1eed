#!/usr/bin/python3
"""Errors in a schedule, and what is left of its look in a marked copy.

    marked.py plant SCHEDULE.xlsx SPOILED.xlsx    five wrong cells, saved by openpyxl
    marked.py plant-raw SCHEDULE.xlsx SPOILED.xlsx    the same, all else byte for byte
    marked.py compare SPOILED.xlsx MARKED.xlsx    what the copy lost; an error if anything
    marked.py read SPOILED.xlsx MARKED.xlsx    the same of the values alone, of a copy that another program saved
"""

import re
import sys
import zipfile

import openpyxl

# Cells of Openings of the duplex, below its header in row 4.
WRONG = {"E5": "wide", "C6": "windw", "B7": "two", "F7": "-53", "K8": "glued"}


def plant(source, target):
    book = openpyxl.load_workbook(source)
    for cell, words in WRONG.items():
        book["Openings"][cell].value = words
    book.save(target)


def plant_raw(source, target):
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                text = text.decode()
                for cell, words in WRONG.items():
                    text, n = re.subn(rf'<c r="{cell}"( s="\d+")?[^>]*?(/>|>.*?</c>)', rf'<c r="{cell}"\1 t="inlineStr"><is><t>{words}</t></is></c>', text)
                    assert n == 1, cell
                text = text.encode()
            new.writestr(name, text)


def looks(book):
    """What a person sees of each sheet, as lists of texts by kind; of the cells by place."""
    for s in book.worksheets:
        yield s.title, {
            "widths": [f"{k} {d.min} {d.max} {d.width} {d.hidden}" for k, d in sorted(s.column_dimensions.items())],
            "heights": [f"{k} {d.height}" for k, d in sorted(s.row_dimensions.items()) if d.height],
            "lists": sorted(f"{v.sqref} {v.type} {v.formula1} {v.formula2}" for v in s.data_validations.dataValidation),
            "highlights": sorted(f"{r.sqref} {[x.formula for x in r.rules]}" for r in s.conditional_formatting),
            "panes": [str(s.freeze_panes)],
            "merged": sorted(str(m) for m in s.merged_cells.ranges),
            "tables": sorted(f"{t.name} {t.ref}" for t in s.tables.values()),
            "print": [str(s.print_title_rows), str(s.print_title_cols), s.page_setup.orientation or ""],
            "notes": sorted(f"{c.coordinate} {c.comment.text}" for row in s.iter_rows() for c in row if c.comment),
        }, {c.coordinate: c for row in s.iter_rows() for c in row}


def format_of(c):
    return [repr(x) for x in (c.font, c.fill, c.border, c.alignment, c.number_format, c.protection)]


def compare(before, after):
    old, new = openpyxl.load_workbook(before), openpyxl.load_workbook(after)
    assert new.sheetnames == ["Problems"] + old.sheetnames, new.sheetnames
    copies = {title: (kinds, cells) for title, kinds, cells in looks(new)}
    kept, lost, marked = {}, [], 0
    for title, kinds, cells in looks(old):
        for kind, things in kinds.items():
            for thing in things:
                kept[kind] = kept.get(kind, 0) + 1
                if thing not in copies[title][0][kind]:
                    lost.append(f"{title}: {kind}: {thing}")
        for at, c in cells.items():
            twin = copies[title][1][at]
            kept["cells"] = kept.get("cells", 0) + 1
            if c.value != twin.value:
                lost.append(f"{title}!{at}: {c.value!r} is {twin.value!r}")
            if twin.border.left and twin.border.left.style == "thick":
                marked += 1
                if not (twin.number_format.count("!") or twin.border.diagonalUp):
                    lost.append(f"{title}!{at}: no sign")
            elif format_of(c) != format_of(twin):
                lost.append(f"{title}!{at}: its format")
    with zipfile.ZipFile(before) as a, zipfile.ZipFile(after) as b:
        same = sum(a.read(n) == b.read(n) for n in a.namelist())
        kept["parts"] = f"{same} of {len(a.namelist())} the same bytes"
    print(", ".join(f"{k} {v}" for k, v in kept.items()) + f"; marked {marked}, lost {len(lost)}")
    for words in lost[:20]:
        print("lost:", words)
    sys.exit(bool(lost) or marked < len(WRONG))


def read(before, after):
    old, new = openpyxl.load_workbook(before), openpyxl.load_workbook(after)
    assert new.sheetnames == ["Problems"] + old.sheetnames, new.sheetnames
    cells = [(s.title, c.coordinate, str(c.value)) for s in old for row in s for c in row if c.value not in (None, "") and c.data_type != "f"]
    lost = [x for x in cells if str(new[x[0]][x[1]].value) != x[2]]
    print(f"{len(cells)} values, lost {len(lost)}", *lost[:5])
    sys.exit(bool(lost))


{"plant": plant, "plant-raw": plant_raw, "compare": compare, "read": read}[sys.argv[1]](*sys.argv[2:])
