package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// cellAt names the cell under a header in the row that holds words under another one, so
// that edit can change it. Without words it is the first row that is empty there.
func (b writtenBook) cellAt(sheet, by, words, head string) string {
	b.t.Helper()
	header, at := b.header(sheet, by), b.header(sheet, head)
	for row := header.row + 1; row < header.row+400; row++ {
		if b.row(sheet, row)[header.col] == words {
			return sheet + "!" + estimate.CellName(row, at.col)
		}
	}
	require.Fail(b.t, "no such row", "%s: %s %s", sheet, by, words)
	return ""
}

// sortsOfEdits returns one edit of each sort in the estimate of the demo duplex: what is
// typed, by cell, and what is said of each when it is listed.
func sortsOfEdits(b writtenBook) (cells map[string]any, says []string) {
	cells = map[string]any{}
	put := func(v any, sheet, by, words, head, what string) {
		at := b.cellAt(sheet, by, words, head)
		cells[at] = v
		if what != "" {
			says = append(says, what)
		}
	}
	put(19.85, "Prices", "Item", "wood-glue", "Price", `Price of "North Yard (invented), wood-glue, 1 each, 01301" is "19.85", "8.75" when estimated`)
	put("new text", "Prices", "Item", "wood-glue", "Description", `Description of "North Yard (invented), wood-glue, 1 each, 01301" is "new text"`)
	put(4, "Materials", "Item", "end-primer", "Override", `Override of "end-primer|North Yard (invented)|01302" is "4", blank when estimated`)
	put("Harbor Supply (invented)", "Orders", "Item", "sealant-10", "Buy at", `Buy at of "sealant-10" is "Harbor Supply (invented)", blank`)
	put(0.15, "Job", "Key", "profit", "Value", `Value of "profit" is "15 %", "12 %" when estimated`)
	put(60, "Job", "Key", "labor rate", "Value", `Value of "labor rate" is "60", blank when estimated`)
	put("integral", "Job", "Key", "WRB", "Value", `Value of "WRB" is "integral", blank when estimated`)
	put("Two houses", "Job", "Key", "job name", "Value", `Value of "job name" is "Two houses"`)
	put(90, "Other costs", "Text", "Permit", "Price", `Price of "Permit" is "90", "85" when estimated`)
	put("Crane", "Other costs", "Text", "", "Text", `the row "Crane; 1; 250; no" was added`)
	put(1, "Other costs", "Text", "", "Count", "")
	put(250, "Other costs", "Text", "", "Price", "")
	put("no", "Other costs", "Text", "", "Taxable", "")
	put(0.75, "Labor", "Task", "Set and shim the unit", "Hours", `Hours of "Set and shim the unit, window, unit" is "0.75", blank`)
	put("W4", "Field measurements", "Mark", "", "Mark", `the row "W4; 1; 48; 36" was added`)
	put(1, "Field measurements", "Mark", "", "Piece", "")
	put(48, "Field measurements", "Mark", "", "Width 1", "")
	put(36, "Field measurements", "Mark", "", "Height 1", "")
	put("board-1x4", "On hand", "Item", "", "Item", `the row "board-1x4; 12 ft; 2" was added`)
	put("12 ft", "On hand", "Item", "", "Length", "")
	put(2, "On hand", "Item", "", "Count", "")
	put(55, "Suppliers", "Supplier", "Harbor Supply (invented)", "Delivery fee", `Delivery fee of "Harbor Supply (invented)" is "55"`)
	put(450, "Openings", "Mark", "W1", "Unit cost", `Unit cost of "W1" is "450", "412" when estimated`)
	put("35-3/8", "Openings", "Mark", "W1", "Frame width", `Frame width of "W1" is "35-3/8", "35-1/2" when estimated`)
	put("ask Ann", "Openings", "Mark", "W2", "Notes", `Notes of "W2" is "ask Ann"`)
	put("drill on site", "Items", "Key", "wood-glue", "Notes", `Notes of "wood-glue" is "drill on site"`)
	put("Check it twice", "Details", "Detail", "window integral", "Do", `is "Check it twice"`)
	put("30 years", "Alternates", "Name", "", "Name", `the row "30 years; WRB; fluid-applied" was added`)
	put("WRB", "Alternates", "Name", "", "Column", "")
	put("fluid-applied", "Alternates", "Name", "", "Value", "")
	return cells, says
}

// problemLines returns what a file of problems says of the estimate of the duplex, by
// severity.
func problemLines(t *testing.T, name, severity string) (out []string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(read(t, name))).ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		if row[0] == "duplex-estimate.xlsx" && row[5] == severity {
			out = append(out, row[6])
		}
	}
	return out
}

// holdsNoEdits wants an estimate as it was written to hold no edits, by its hidden sheet
// and, as one of an earlier version, by its schedule.
func (j writtenJob) holdsNoEdits(t *testing.T) {
	t.Helper()
	target := j.name + "-estimate.xlsx"
	data := []byte(read(t, target))
	e, known, err := editsOf(target, data)
	require.NoError(t, err)
	assert.True(t, known)
	r := estimateRun{}
	if len(j.args) > 2 {
		r.prices = j.args[3:]
	}
	between, err := r.editsBetween(j.name+".xlsx", target, data)
	require.NoError(t, err)
	for _, x := range append(e.Edits, between.Edits...) {
		assert.Fail(t, x.What())
	}
}

func assertSaid(t *testing.T, said, want []string) {
	t.Helper()
	for _, w := range want {
		assert.Contains(t, strings.Join(said, "\n"), w)
	}
	assert.Len(t, said, len(want))
}

// TestForceAndEdits types one edit of each sort into an estimate, and runs its schedule
// again: without a word the estimate stays; its edits are carried over, as though the
// edited estimate itself had been estimated; or they are left out.
func TestForceAndEdits(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	const target, backup = "demo/duplex-estimate.xlsx", "demo/duplex-estimate.bak.xlsx"
	fresh := read(t, target)
	cells, says := sortsOfEdits(open(t, target))
	edit(t, target, edited+"duplex-estimate.xlsx", cells)
	typed := read(t, edited+"duplex-estimate.xlsx")
	run := func(flags ...string) ran {
		return sillwright(append([]string{"estimate", "demo/duplex.xlsx", "--prices", "demo/prices.csv", "--force", "--problems", "said.csv"}, flags...)...)
	}

	write(t, target, typed)
	r := run()
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stdout, "not written")
	assert.Contains(t, r.stderr, fmt.Sprintf("it holds %d edits that the schedule and the price lists do not, so that it stays (--force --keep-edits", len(says)))
	assertSaid(t, problemLines(t, "said.csv", "error"), says)
	assert.True(t, typed == read(t, target), "the estimate stays")
	notWritten(t, backup)

	r = run("--keep-edits")
	assert.Equal(t, exitOK, r.code, r.stderr)
	assertSaid(t, problemLines(t, "said.csv", "note"), says)
	assert.True(t, typed == read(t, backup), "the backup is what was replaced")
	succeed(t, "estimate", edited+"duplex-estimate.xlsx", "--out", "byhand")
	kept, byHand := open(t, target), open(t, "byhand/duplex-estimate.xlsx")
	same(t, byHand, kept)
	for _, sheet := range []string{"Job", "Openings", "Field measurements", "Other costs", "Labor", "On hand", "Alternates", "Details", "Items",
		"Prices", "Suppliers"} {
		assert.Equal(t, byHand.lines(sheet), kept.lines(sheet))
	}

	write(t, target, typed)
	write(t, backup, "what was there")
	r = run("--drop-edits")
	assert.Equal(t, exitOK, r.code, r.stderr)
	assert.True(t, typed == read(t, backup))
	assertSaid(t, problemLines(t, "said.csv", "note"), says)
	same(t, writtenFrom(t, fresh), open(t, target))
}

// writtenFrom opens an estimate by its bytes.
func writtenFrom(t *testing.T, data string) writtenBook {
	t.Helper()
	write(t, "fresh/duplex-estimate.xlsx", data)
	return open(t, "fresh/duplex-estimate.xlsx")
}

// The total with some edits is what they come to by hand.
func TestKeptEditsComeToWhatTheyCost(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	succeed(t, "new", "n")
	write(t, "prices.csv", read(t, "n/prices.csv"))
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	b := open(t, "job-estimate.xlsx")
	_, primer := b.line("Materials", "end-primer")
	_, glue := b.line("Materials", "wood-glue")
	cells := map[string]any{
		b.cellAt("Prices", "Item", "wood-glue", "Price"):        19.85,
		b.cellAt("Materials", "Item", "end-primer", "Override"): 4,
		b.cellAt("Other costs", "Text", "", "Text"):             "Crane",
		b.cellAt("Other costs", "Text", "", "Count"):            2,
		b.cellAt("Other costs", "Text", "", "Price"):            125.5,
		b.cellAt("Other costs", "Text", "", "Taxable"):          "no",
		b.cellAt("Openings", "Mark", "W1", "Frame width"):       36, // as it was: no edit
	}
	edit(t, "job-estimate.xlsx", "job-estimate.xlsx", cells)
	r := succeed(t, "estimate", "job.csv", "--prices", "prices.csv", "--force", "--keep-edits")
	assert.Contains(t, r.stderr, `job-estimate.xlsx: Prices!G`)
	after := open(t, "job-estimate.xlsx")
	_, primerNow := after.line("Materials", "end-primer")
	_, glueNow := after.line("Materials", "wood-glue")
	assert.Equal(t, 4*cents(t, primer["Unit price"]), cents(t, primerNow["Extension"]))
	assert.Equal(t, "19.85", glueNow["Unit price"])
	more := cents(t, primerNow["Extension"]) - cents(t, primer["Extension"]) + cents(t, glueNow["Extension"]) - cents(t, glue["Extension"])
	assert.Equal(t, b.amount("Summary", "Materials", "Amount")+more, after.amount("Summary", "Materials", "Amount"))
	assert.Equal(t, b.amount("Summary", "Other costs", "Amount")+25100, after.amount("Summary", "Other costs", "Amount"), "2 x 125.50")
}

// What was carried over stays an edit until the schedule says it too.
func TestKeptEditsAreEditsStill(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	succeed(t, "estimate", "job.csv")
	b := open(t, "job-estimate.xlsx")
	edit(t, "job-estimate.xlsx", "job-estimate.xlsx", map[string]any{
		b.cellAt("Openings", "Mark", "W1", "Frame width"):       40,
		b.cellAt("On hand", "Item", "", "Item"):                 "bevel-strip",
		b.cellAt("On hand", "Item", "", "Length"):               "16 ft",
		b.cellAt("On hand", "Item", "", "Count"):                1,
		b.cellAt("Materials", "Item", "end-primer", "Override"): 4,
	})
	for _, name := range []string{"job-estimate.bak.xlsx", "job-estimate.bak-2.xlsx", "job-estimate.bak-3.xlsx"} {
		r := sillwright("estimate", "job.csv", "--force")
		assert.Equal(t, exitNothing, r.code)
		assert.Contains(t, r.stderr, `Frame width of "W1" is "40", "36" when estimated`)
		assert.Contains(t, r.stderr, `was added since it was estimated`)
		assert.Contains(t, r.stderr, `it holds 3 edits`)
		notWritten(t, name)
		before := read(t, "job-estimate.xlsx")
		succeed(t, "estimate", "job.csv", "--force", "--keep-edits")
		assert.True(t, before == read(t, name), "no backup with edits is replaced: %s", name)
		now := open(t, "job-estimate.xlsx")
		assert.Equal(t, "40", now.table("Openings", "Mark", "Frame width")[0]["Frame width"])
		assert.Equal(t, []string{"192"}, column(now.table("On hand", "Item", "Length"), "Length"))
	}
	write(t, "job.csv", strings.ReplaceAll(oneWindow, ",36,", ",40,"))
	r := sillwright("estimate", "job.csv", "--force")
	assert.Contains(t, r.stderr, "it holds 2 edits", "the schedule says the width by now")

	r = succeed(t, "estimate", "job.csv", "--force", "--drop-edits")
	assert.Contains(t, r.stderr, "left out (it is in job-estimate.bak.xlsx)", "only then a backup with edits is replaced")
	succeed(t, "estimate", "job.csv", "--force")
	assert.Empty(t, open(t, "job-estimate.xlsx").table("On hand", "Item", "Length"))
}

// An edit that does not fit any more is named, and so is one over what the schedule says
// by now; neither is lost in silence.
func TestEditsThatNoLongerFit(t *testing.T) {
	inTemp(t)
	two := oneWindow + "W2,window,30,40,owner\nW3,window,30,40,owner\n"
	write(t, "job.csv", two)
	succeed(t, "estimate", "job.csv")
	b := open(t, "job-estimate.xlsx")
	edit(t, "job-estimate.xlsx", "job-estimate.xlsx", map[string]any{
		b.cellAt("Openings", "Mark", "W1", "Frame width"):  "37",
		b.cellAt("Openings", "Mark", "W2", "Frame width"):  "31",
		b.cellAt("Openings", "Mark", "W3", "Frame height"): "porthole",
	})
	write(t, "job.csv", strings.ReplaceAll(strings.ReplaceAll(two, "W2,", "W9,"), "W1,window,36", "W1,window,38"))
	r := sillwright("estimate", "job.csv", "--force", "--keep-edits")
	assert.Equal(t, exitIncomplete, r.code, "a row with an error is left out")
	assert.Contains(t, r.stderr, `warning: Frame width of "W2" is "31", "30" when estimated: not carried over, no row of "W2" is there by now `+
		`(type it where it belongs by now; it is in job-estimate.bak.xlsx)`)
	assert.Contains(t, r.stderr, `warning: Frame width of "W1" is "37", "36" when estimated: carried over, where the schedule or price list has "38"`)
	assert.Contains(t, r.stderr, `job-estimate.xlsx: Openings!`, "at the cell where it was typed")
	assert.Contains(t, r.stderr, `error: Frame height "porthole"`)
	assert.Equal(t, "37", open(t, "job-estimate.xlsx").table("Openings", "Mark", "Frame width")[0]["Frame width"])
}

// An estimate with edits costs its own job; the others of the batch are written, and a
// folder's backups are no schedules.
func TestForceInABatch(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	b := open(t, "demo/duplex-estimate.xlsx")
	edit(t, "demo/duplex-estimate.xlsx", "demo/duplex-estimate.xlsx", map[string]any{b.cellAt("Openings", "Mark", "W1", "Unit cost"): 450})
	typed := read(t, "demo/duplex-estimate.xlsx")
	before, err := os.Stat("demo/workshop-estimate.xlsx")
	require.NoError(t, err)

	r := sillwright("estimate", "demo", "--prices", "demo/prices.csv", "--force")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Regexp(t, `(?m)^duplex\.xlsx +not written$`, r.stdout)
	assert.Regexp(t, `(?m)^workshop-estimate\.xlsx +14 `, r.stdout)
	assert.True(t, typed == read(t, "demo/duplex-estimate.xlsx"))
	after, err := os.Stat("demo/workshop-estimate.xlsx")
	require.NoError(t, err)
	assert.False(t, os.SameFile(before, after), "it is written anew")

	assert.Equal(t, exitOK, sillwright("estimate", "demo", "--prices", "demo/prices.csv", "--force", "--keep-edits").code)
	assert.FileExists(t, "demo/duplex-estimate.bak.xlsx")
	notWritten(t, "demo/workshop-estimate.bak.xlsx")
	r = sillwright("estimate", "demo", "--prices", "demo/prices.csv", "--force", "--drop-edits")
	assert.NotContains(t, r.stdout, "bak", "a folder's backups are passed over")
}

// A measure form that was filled in, a row that was removed and a sheet of the user's own
// are edits too; the hidden sheet tells a sorted table from a changed one.
func TestOtherSortsOfEdits(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	succeed(t, "estimate", "job.csv")
	b := open(t, "job-estimate.xlsx")
	width, height := b.header("Measure form", "Width 1"), b.header("Measure form", "Height 1")
	edit(t, "job-estimate.xlsx", "job-estimate.xlsx", map[string]any{
		"Measure form!" + estimate.CellName(width.row+1, width.col):   "36-1/4",
		"Measure form!" + estimate.CellName(height.row+1, height.col): "60",
	})
	f, err := excelize.OpenFile("job-estimate.xlsx")
	require.NoError(t, err)
	_, err = f.NewSheet("Phone list")
	require.NoError(t, err)
	glue := b.cellAt("Prices", "Item", "wood-glue", "Item")
	col, row, err := excelize.CellNameToCoordinates(strings.TrimPrefix(glue, "Prices!"))
	require.NoError(t, err)
	require.Equal(t, 2, col)
	first, last := b.row("Prices", b.header("Prices", "Item").row+1), b.row("Prices", row)
	for c := 1; c <= 13; c++ { // two rows change places, numbers and all; then one goes
		require.NoError(t, f.SetCellValue("Prices", estimate.CellName(row, c), number(first[c])))
		require.NoError(t, f.SetCellValue("Prices", estimate.CellName(b.header("Prices", "Item").row+1, c), number(last[c])))
	}
	gone := b.row("Prices", row-1)
	require.NoError(t, f.RemoveRow("Prices", row-1))
	require.NoError(t, f.Save())
	require.NoError(t, f.Close())

	r := sillwright("estimate", "job.csv", "--force")
	assert.Contains(t, r.stderr, `job-estimate.xlsx: 'Measure form' row `)
	assert.Contains(t, r.stderr, `the row "W1; 1; 36-1/4; 60" was added`)
	assert.Contains(t, r.stderr, `the row "`+gone[1])
	assert.Contains(t, r.stderr, `was removed since it was estimated`)
	assert.Contains(t, r.stderr, `the sheet "Phone list" was added`)
	assert.Contains(t, r.stderr, "it holds 3 edits")

	r = sillwright("estimate", "job.csv", "--force", "--keep-edits")
	assert.Contains(t, r.stderr, `the sheet "Phone list" was added since it was estimated: not carried over`)
	kept := open(t, "job-estimate.xlsx")
	assert.Equal(t, "36-1/4", kept.table("Field measurements", "Mark", "Width 1")[0]["Width 1"])
	assert.Len(t, kept.table("Prices", "Supplier", "Item"), len(b.table("Prices", "Supplier", "Item"))-1)
}

// number returns a number that a cell holds as one.
func number(v string) any {
	if f, err := strconv.ParseFloat(v, 64); err == nil {
		return f
	}
	return v
}

// An estimate of an earlier version holds nothing of what it was, and is held against its
// schedule. The total of its edits is that which estimating it again comes to, see
// TestOlderFiles.
func TestForceOverAnOlderEstimate(t *testing.T) {
	folder, err := filepath.Abs(older)
	require.NoError(t, err)
	inTemp(t)
	write(t, "prices.csv", read(t, filepath.Join(folder, "prices.csv")))
	olderBook(t, filepath.Join(folder, "schedule"), "house.xlsx")
	olderBook(t, filepath.Join(folder, "estimate"), "house-estimate.xlsx")
	before := read(t, "house-estimate.xlsx")
	r := sillwright("estimate", "house.xlsx", "--prices", "prices.csv", "--force")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, `house-estimate.xlsx: Orders: error: Buy at of "tape-6" is "Harbor Supply of Plum Hill", blank when estimated`)
	assert.Contains(t, r.stderr, `house-estimate.xlsx: Materials: error: Override of "pvc-cement|Harbor Supply of Plum Hill|H-PCEM" (and 1 other) is "7"`)
	assert.Contains(t, r.stderr, "it holds 6 edits", "a class of Never names a tape more by now")
	assert.True(t, before == read(t, "house-estimate.xlsx"))

	r = sillwright("estimate", "house.xlsx", "--prices", "prices.csv", "--force", "--keep-edits")
	assert.Contains(t, r.stdout, "24,423.96 USD")
	assert.Contains(t, r.stderr, "what was changed in items and details that ship with the program cannot be told")
	assert.True(t, before == read(t, "house-estimate.bak.xlsx"))
}

// Only an estimate of ours is replaced.
func TestForceOverSomethingElse(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	succeed(t, "estimate", "job.csv", "--out", "whole")
	whole := read(t, "whole/job-estimate.xlsx")
	succeed(t, "new", "n")
	for what, data := range map[string]string{
		"text": "what was there", "nothing": "", "half an estimate": whole[:len(whole)/2], "a schedule": read(t, "n/schedule.xlsx"),
	} {
		t.Run(what, func(t *testing.T) {
			write(t, edited+"job-estimate.xlsx", data)
			for _, flag := range []string{"--force", "--keep-edits", "--drop-edits"} {
				r := sillwright("estimate", "job.csv", "--out", edited, "--force", flag)
				assert.Equal(t, exitNothing, r.code)
				assert.Contains(t, r.stderr, edited+"job-estimate.xlsx: error: it exists and is not an estimate that can be read, so that it stays: ")
				assert.Contains(t, r.stderr, "(move it away, or choose another --out)")
				assert.True(t, data == read(t, edited+"job-estimate.xlsx"))
			}
		})
	}
}

// Of a file that is too large to be read again nothing can be told: it is replaced only
// where edits are dropped, and the backup has it.
func TestForceOverALargeEstimate(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "job.csv", oneWindow)
	large := "PK" + strings.Repeat("-", 50<<20)
	write(t, "job-estimate.xlsx", large)
	r := sillwright("estimate", "job.csv", "--force", "--keep-edits")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "what was typed into it cannot be told, so that it stays: the file is larger than 50 MB (move it away; --force --drop-edits")
	r = succeed(t, "estimate", "job.csv", "--force", "--drop-edits")
	assert.Contains(t, r.stderr, "what was typed into it cannot be told, and is left out (it is in job-estimate.bak.xlsx)")
	assert.True(t, large == read(t, "job-estimate.bak.xlsx"))
}

func TestFlagsOfEdits(t *testing.T) {
	for _, c := range []struct{ args, says string }{
		{"--keep-edits", "write --force too"}, {"--drop-edits", "write --force too"}, {"--force --keep-edits --drop-edits", "choose one"},
	} {
		r := sillwright(append([]string{"estimate", "job.csv"}, strings.Fields(c.args)...)...)
		assert.Equal(t, exitUsage, r.code)
		assert.Contains(t, r.stderr, c.says)
	}
}
