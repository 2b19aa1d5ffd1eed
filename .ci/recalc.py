#!/usr/bin/python3
"""Recalculates workbooks in two other spreadsheet programs and compares.

    recalc.py FILE.xlsx...            every formula: stored value = recalculated value
    recalc.py --falsify FILE.xlsx...  changes one stored value in a copy of each file;
                                      succeeds only if the comparison finds it

One line a file; exit 1 on any difference, with the first of them listed.
Needs LibreOffice Calc, gnumeric, poppler-utils and openpyxl.
"""

import collections
import os
import re
import shutil
import subprocess
import sys
import tempfile
import warnings
import zipfile
from xml.etree import ElementTree

import openpyxl

RELATIVE, ABSOLUTE = 1e-9, 1e-12
LISTED = 20
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
ERROR = re.compile(r"^(#(REF!|N/A|NAME\?|VALUE!|DIV/0!|NUM!|NULL!|UNKNOWN!)|Err:\d+)$")

# LibreOffice believes stored values unless a profile says otherwise; 0 is "always recalculate".
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""

Cell = collections.namedtuple("Cell", "kind value formula")  # value None: nothing stored


class Failure(Exception):
    """A program or a file that cannot be used at all."""


def cells(path):
    """Returns {(sheet, cell): Cell} with the types as they are stored."""
    try:
        with zipfile.ZipFile(path) as book:
            return dict(read_cells(book))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError) as error:
        raise Failure(f"{os.path.basename(path)} cannot be read: {error!r}") from error


def read_cells(book):
    strings = []
    if "xl/sharedStrings.xml" in book.namelist():
        root = ElementTree.fromstring(book.read("xl/sharedStrings.xml"))
        strings = [rich_text(item) for item in root.iter(MAIN + "si")]
    for name, part in sheets(book):
        for c in ElementTree.fromstring(book.read(part)).iter(MAIN + "c"):
            kind, v, f = c.get("t", "n"), c.find(MAIN + "v"), c.find(MAIN + "f")
            stored = None if v is None else v.text or ""
            formula = None if f is None else f.text or ""
            if kind == "s" and stored is not None:
                kind, stored = "text", strings[int(stored)]
            elif kind == "inlineStr":
                kind, stored = "text", rich_text(c)
            elif kind == "str":
                kind = "text"
            yield (name, c.get("r")), Cell({"n": "number", "b": "truth", "e": "error"}.get(kind, kind), stored, formula)


def rich_text(element):
    return "".join(t.text or "" for t in element.iter(MAIN + "t"))


def sheets(book):
    """Yields name and part of every sheet."""
    rels = ElementTree.fromstring(book.read("xl/_rels/workbook.xml.rels"))
    target = {r.get("Id"): r.get("Target") for r in rels}
    for sheet in ElementTree.fromstring(book.read("xl/workbook.xml")).iter(MAIN + "sheet"):
        part = target[sheet.get(RID)]
        yield sheet.get("name"), part.lstrip("/") if part.startswith("/") else "xl/" + part


def same(a, b):
    """Reports whether two cells hold the same value of the same type."""
    if a.kind != b.kind or a.value is None or b.value is None:
        return False
    if a.kind != "number":
        return a.value == b.value
    try:
        x, y = float(a.value), float(b.value)
    except ValueError:
        return False
    return abs(x - y) <= max(RELATIVE * max(abs(x), abs(y)), ABSOLUTE)


def run(command, seconds):
    try:
        done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=seconds)
    except FileNotFoundError as error:
        raise Failure(f"{command[0]} is not installed") from error
    except subprocess.TimeoutExpired as error:
        raise Failure(f"{command[0]} took more than {seconds} s") from error
    return done


def expect(paths, done):
    """Fails unless every path was written: LibreOffice exits with 0 also when it could not load a file."""
    missing = [p for p in paths if not os.path.exists(p)]
    if missing:
        raise Failure(f"{done.args[0]} wrote no {os.path.basename(missing[0])}: {done.stderr.strip() or done.stdout.strip()}")
    return paths


def convert(work, sources, kind, filter_name):
    """Converts all sources in LibreOffice with one start of the program."""
    profile, out = os.path.join(work, "profile"), os.path.join(work, "libreoffice")
    os.makedirs(os.path.join(profile, "user"), exist_ok=True)
    settings = os.path.join(profile, "user", "registrymodifications.xcu")
    if not os.path.exists(settings):
        with open(settings, "w", encoding="utf-8") as f:
            f.write(PROFILE)
    done = run(["soffice", "--headless", "-env:UserInstallation=file://" + profile, "--convert-to",
                f"{kind}:{filter_name}", "--outdir", out] + sources, 120 + 30 * len(sources))
    return expect([os.path.join(out, os.path.basename(s)[: -len("xlsx")] + kind) for s in sources], done)


def gnumeric(work, source):
    out = os.path.join(work, "gnumeric")
    os.makedirs(out, exist_ok=True)
    path = os.path.join(out, os.path.basename(source))
    return expect([path], run(["ssconvert", "--recalc", source, path], 120))[0]


def narrow(pdf):
    """Returns the printed lines in which a number did not fit its column."""
    done = run(["pdftotext", "-layout", pdf, "-"], 120)
    if done.returncode != 0:
        raise Failure(f"pdftotext: {done.stderr.strip()}")
    return [line.strip() for line in done.stdout.splitlines() if "###" in line]


def pages(pdf):
    found = re.search(r"^Pages:\s+(\d+)", run(["pdfinfo", pdf], 60).stdout, re.M)
    if not found:
        raise Failure(f"{os.path.basename(pdf)}: pdfinfo finds no pages")
    return int(found.group(1))


def third_reader(path, formulas):
    """Loads the file in openpyxl, also row by row, and counts formulas there."""
    try:
        return load_twice(path, formulas)
    except Exception as error:  # whatever it raises, it could not load the file
        return [f"openpyxl cannot load it: {error}"]


def load_twice(path, formulas):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        book = openpyxl.load_workbook(path)
        count = sum(c.data_type == "f" for sheet in book for row in sheet.iter_rows() for c in row)
        streamed = openpyxl.load_workbook(path, read_only=True)
        for sheet in book:
            lazy = streamed[sheet.title]
            if (lazy.max_row, lazy.max_column) != (sheet.max_row, sheet.max_column):
                return [f"{sheet.title}: a reader that streams sees {lazy.max_row} x {lazy.max_column} cells "
                        f"of {sheet.max_row} x {sheet.max_column}"]
        streamed.close()
    return [] if count == formulas else [f"openpyxl finds {count} formulas of {formulas}"]


def check(name, source, recalculated, other, pdf):
    """Compares one workbook; returns its problems and the cells that differ."""
    stored = cells(source)
    computed = {"libreoffice": cells(recalculated), "gnumeric": cells(other)}
    formulas = {at: c for at, c in stored.items() if c.formula is not None}
    problems, differ = [], {}
    for program, found in computed.items():
        differ[program] = [at for at, c in formulas.items() if not same(c, found.get(at, Cell("nothing", None, None)))]
        for at in differ[program]:
            got = found.get(at, Cell("nothing", None, None))
            problems.append(f"{at[0]}!{at[1]} ={formulas[at].formula}: stored {formulas[at].kind} {formulas[at].value!r}, "
                            f"{program} computes {got.kind} {got.value!r}")
    empty = [at for at, c in formulas.items() if c.value is None]
    problems += [f"{at[0]}!{at[1]} has a formula but no stored value" for at in empty]
    errors = [f"{at[0]}!{at[1]} holds {c.value!r} ({program})" for program, found in {"stored": stored, **computed}.items()
              for at, c in found.items() if c.kind == "error" or (c.kind == "text" and ERROR.match(c.value or ""))]
    errors += [f"a number does not fit its column: {line}" for line in narrow(pdf)]
    errors += third_reader(source, len(formulas))
    problems += errors
    print(f"{name}: formulas={len(formulas)} libreoffice={len(differ['libreoffice'])} gnumeric={len(differ['gnumeric'])} "
          f"empty={len(empty)} errors={len(errors)} pages={pages(pdf)}", flush=True)
    return problems, differ


def falsified(source, target):
    """Copies a workbook with the stored value of one formula changed; returns where."""
    formulas = [(at, c) for at, c in cells(source).items() if c.formula is not None and c.kind == "number"]
    if not formulas:
        raise Failure(f"{os.path.basename(source)}: no formula gives a number, so none can be falsified")
    (sheet, ref), cell = formulas[len(formulas) // 2]
    with zipfile.ZipFile(source) as book, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        part = dict(sheets(book))[sheet]
        for name in book.namelist():
            data = book.read(name)
            if name == part:
                shape = rb'(<c [^>]*\br="%s"[^>]*><f[^>]*>[^<]*</f><v>)[^<]*(</v>)' % ref.encode()
                wrong = repr(float(cell.value) + 1).encode()
                data, count = re.subn(shape, lambda m: m.group(1) + wrong + m.group(2), data)
                if count != 1:
                    raise Failure(f"{os.path.basename(source)}: the stored value of {sheet}!{ref} was not found")
            copy.writestr(name, data)
    return sheet, ref


def main(arguments):
    falsify = "--falsify" in arguments
    files = [a for a in arguments if a != "--falsify"]
    if not files or any(f.startswith("-") for f in files):
        print(__doc__, file=sys.stderr)
        return 2
    bad = False
    with tempfile.TemporaryDirectory(prefix="recalc-") as work:
        # Numbered: files from several folders may share their names.
        sources = [os.path.join(work, f"{i + 1}-{os.path.basename(f)}") for i, f in enumerate(files)]
        changed = []
        for f, source in zip(files, sources):
            if not os.path.isfile(f) or not f.endswith(".xlsx"):
                raise Failure(f"{f}: there is no such workbook")
            if falsify:
                changed.append(falsified(f, source))
            else:
                shutil.copyfile(f, source)
        recalculated = convert(work, sources, "xlsx", "Calc Office Open XML")
        printed = convert(work, sources, "pdf", "calc_pdf_Export")
        for i, f in enumerate(files):
            problems, differ = check(os.path.basename(f), sources[i], recalculated[i], gnumeric(work, sources[i]), printed[i])
            if falsify:
                caught = all(changed[i] in at for at in differ.values())
                print(f"  falsified {'!'.join(changed[i])}: {'caught' if caught else 'NOT CAUGHT'}", flush=True)
                bad |= not caught
                continue
            bad |= bool(problems)
            for problem in problems[:LISTED]:
                print("  " + problem)
            if len(problems) > LISTED:
                print(f"  and {len(problems) - LISTED} more")
    return 1 if bad else 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except Failure as failure:
        print(f"recalc.py: {failure}", file=sys.stderr)
        sys.exit(1)
