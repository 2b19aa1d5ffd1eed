#!/usr/bin/python3
"""How long other ways take to write or calculate what an estimate holds.

Usage: writing.py SILLWRIGHT SCHEDULE [RUNS]

Estimates SCHEDULE with the program SILLWRIGHT, reads every cell of the estimate, and
then, in turns, RUNS times (5): runs the program again, whole; writes the same rows with
openpyxl, write-only, without any style; and has LibreOffice load the estimate, work out
every formula again, and save it. The last line of each is its median, its spread, and its
ratio to the program's. Reading the cells back is in no figure.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

import openpyxl

import recalc


def timed(work):
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def main():
    program, schedule = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    runs = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    with tempfile.TemporaryDirectory() as folder:
        def estimate():
            subprocess.run([program, "estimate", schedule, "--out", folder, "--force"], check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

        estimate()
        name = os.path.splitext(os.path.basename(schedule))[0] + "-estimate.xlsx"
        book = openpyxl.load_workbook(os.path.join(folder, name), read_only=True)
        sheets = [(s.title, [list(row) for row in s.iter_rows(values_only=True)]) for s in book]
        cells = sum(1 for _, rows in sheets for row in rows for v in row if v is not None)
        formulas = sum(1 for _, rows in sheets for row in rows for v in row if isinstance(v, str) and v.startswith("="))
        print(f"{name}: {cells} cells, {formulas} of them formulas")

        def openpyxl_write():
            out = openpyxl.Workbook(write_only=True)
            for title, rows in sheets:
                sheet = out.create_sheet(title)
                for row in rows:
                    sheet.append(row)
            out.save(os.path.join(folder, "rows.xlsx"))

        profile = os.path.join(folder, "office")
        os.makedirs(os.path.join(profile, "user"))
        with open(os.path.join(profile, "user", "registrymodifications.xcu"), "w", encoding="utf-8") as f:
            f.write(recalc.PROFILE)

        def libreoffice():
            subprocess.run(["soffice", "--headless", "-env:UserInstallation=file://" + profile, "--convert-to", "xlsx", "--outdir", os.path.join(folder, "again"), os.path.join(folder, name)],
                           check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

        times = {"sillwright, whole": estimate, "openpyxl, writing alone": openpyxl_write, "LibreOffice, loading, calculating and saving": libreoffice}
        took = {what: [] for what in times}
        for _ in range(runs):
            for what, work in times.items():
                took[what].append(timed(work))
        base = statistics.median(took["sillwright, whole"])
        for what, seconds in took.items():
            middle = statistics.median(seconds)
            print(f"{what}: median {middle:.2f} s ({min(seconds):.2f} to {max(seconds):.2f}), ratio {middle / base:.1f}")


if __name__ == "__main__":
    main()
