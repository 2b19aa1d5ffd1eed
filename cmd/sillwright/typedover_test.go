package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/workbook"
)

// leftEdited is an estimate as a person left it.
type leftEdited struct {
	t    *testing.T
	book writtenBook    // as it was written
	file *excelize.File // as it is left
}

// at is the cell of a result, by what stands in a column of its row, and the head of the
// column.
func (l leftEdited) at(sheet, by, words, head string) string {
	l.t.Helper()
	_, at, _ := strings.Cut(l.book.cellAt(sheet, by, words, head), "!")
	return at
}

func (l leftEdited) put(sheet, at string, v any) {
	l.t.Helper()
	require.NoError(l.t, l.file.SetCellValue(sheet, at, v))
}

// over types over a result.
func (l leftEdited) over(sheet, by, words, head string, v any) {
	l.t.Helper()
	l.put(sheet, l.at(sheet, by, words, head), v)
}

// flatten makes values of the formulas of sheets.
func (l leftEdited) flatten(sheets ...string) {
	for _, s := range sheets {
		for _, c := range l.book.cells(s) {
			if c.formula == "" {
				continue
			}
			at := estimate.CellName(c.row, c.col)
			if c.text {
				l.put(s, at, c.value)
			} else {
				l.put(s, at, number(c.value))
			}
		}
	}
}

// rename, remove and add change the sheets.
func (l leftEdited) rename(sheet, to string) { require.NoError(l.t, l.file.SetSheetName(sheet, to)) }
func (l leftEdited) remove(sheet string)     { require.NoError(l.t, l.file.DeleteSheet(sheet)) }
func (l leftEdited) add(sheet string) {
	_, err := l.file.NewSheet(sheet)
	require.NoError(l.t, err)
}
func (l leftEdited) removeRow(sheet string, row int) {
	require.NoError(l.t, l.file.RemoveRow(sheet, row))
}

// The words of messages that several edits give.
const (
	onTakeoff   = "type a count to buy under Override on Materials, or change the opening, the waste or the detail"
	onMaterials = "type a count under Override, a price on Prices, a supplier under Buy at on Orders"
	onPapers    = "change it where it comes from: Openings, Field measurements, Job, Details"
	notThere    = "copy it back from the estimate as it was written, or estimate the schedule again"
	addedLine   = "is no line of the estimate and is not bought (type a count of what is there under Override; " +
		"buy other things apart, or put them on Other costs)"
)

// leftEdits are what people do to an estimate outside its inputs. Of its two windows are
// bought one can of glue at 8.75, two drip caps of 10 ft at 10.20, and boards of three
// lengths: what is bought and asked for follows from that and from what is typed.
var leftEdits = []struct {
	name string
	edit func(l leftEdited)
	run  string // the command
	code int
	says []string          // the beginnings of all lines of saidOfEdits, behind "job-estimate.xlsx: "
	buys map[string]string // counts and prices in the order, by item; "" = not in it
}{
	{name: "nothing", edit: func(leftEdited) {}, run: "order", buys: map[string]string{"wood-glue": "1 at 8.75", "drip-cap": "2 at 10.20"}},
	{name: "nothing, compared", edit: func(leftEdited) {}, run: "compare"},
	{name: "a count of packs over its formula", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", 5) }, run: "order",
		says: []string{`Materials!N21: note: the count "5" is typed over a formula that gives "1"; it is used, as an override`},
		buys: map[string]string{"wood-glue": "5 at 8.75"}},
	{name: "the same, compared", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", 5) }, run: "compare",
		says: []string{`Materials!N21: note: the count "5" is typed over a formula that gives "1"; it is used, as an override`}},
	{name: "the same, estimated", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", 5) }, run: "estimate",
		says: []string{`Materials!N21: note: the count "5" is typed over a formula that gives "1"; it is used, as an override`},
		buys: map[string]string{"wood-glue": "5 at 8.75"}},
	{name: "a count of boards over its formula", edit: func(l leftEdited) { l.over("Materials", "Item", "drip-cap", "Count", 3) }, run: "order",
		says: []string{`Materials!N17: note: the count "3" is typed over a formula that gives "2"; it is used, as an override`},
		buys: map[string]string{"drip-cap": "3 at 10.20"}},
	{name: "the count that the formula gives", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", 1) }, run: "order",
		buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "a count in words", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", "five") }, run: "order", code: exitIncomplete,
		says: []string{`Materials!N21: error: Count "five" is not a whole number (write digits only, such as 2)`}},
	{name: "half a can", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", 2.5) }, run: "order", code: exitIncomplete,
		says: []string{`Materials!N21: error: Count "2.5" is not a whole number (write digits only, such as 2)`}},
	{name: "an override in words",
		edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Override", "12 pcs") }, run: "order", code: exitIncomplete,
		says: []string{`Materials!M21: error: Override "12 pcs" is not a whole number (write digits only, such as 2)`}},
	{name: "a count without its formula", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Count", nil) }, run: "order",
		says: []string{"Materials!N21: warning: the formula of the count is gone; 1 is used (type how many to buy under Override)"},
		buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "a count and an override", edit: func(l leftEdited) {
		l.over("Materials", "Item", "wood-glue", "Count", 5)
		l.over("Materials", "Item", "wood-glue", "Override", 4)
	}, run: "order",
		says: []string{`Materials!N21: warning: the count "5" is typed over a formula and is not used: Override says "4" (clear one of the two)`},
		buys: map[string]string{"wood-glue": "4 at 8.75"}},
	{name: "a computed count of packs", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Computed", 5) }, run: "order",
		says: []string{`Materials!L21: note: the count "5" is typed over a formula that gives "1"; it is used, as an override`},
		buys: map[string]string{"wood-glue": "5 at 8.75"}},
	{name: "a computed count of boards", edit: func(l leftEdited) { l.over("Materials", "Item", "drip-cap", "Computed", 3) }, run: "order",
		says: []string{`Materials!L17: note: the computed count "3" is typed over "2" of the plan; it is used, as an override`},
		buys: map[string]string{"drip-cap": "3 at 10.20"}},
	{name: "fewer boards than are needed", edit: func(l leftEdited) { l.over("Materials", "Item", "drip-cap", "Computed", 1) }, run: "order",
		says: []string{
			`Materials: warning: drip-cap: the counts typed are less than the job needs (clear the override, or make sure of the rest)`,
			`Materials!L17: note: the computed count "1" is typed over "2" of the plan; it is used, as an override`},
		buys: map[string]string{"drip-cap": "1 at 10.20"}},
	{name: "a price", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Unit price", 9.5) }, run: "order",
		says: []string{`Materials!O21: note: the price "9.50" is typed over a formula that gives "8.75" from Prices; it is used (type it on Prices, too)`},
		buys: map[string]string{"wood-glue": "1 at 9.50"}},
	{name: "a price, estimated", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Unit price", 9.5) }, run: "estimate",
		says: []string{`Materials!O21: note: the price "9.50" is typed over a formula that gives "8.75" from Prices; it is used (type it on Prices, too)`},
		buys: map[string]string{"wood-glue": "1 at 9.50"}},
	{name: "a price in words",
		edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Unit price", "call") }, run: "order", code: exitIncomplete,
		says: []string{`Materials!O21: error: Unit price "call" is not an amount (write digits and a decimal point, such as 1,234.50)`}},
	{name: "a price in two places", edit: func(l leftEdited) {
		l.over("Materials", "Item", "wood-glue", "Unit price", 9.5)
		l.over("Prices", "Item", "wood-glue", "Price", 9.25)
	}, run: "order",
		says: []string{`Materials!O21: warning: the price "9.50" is typed over a formula and is not used: Prices was changed, too, and has "9.25" ` +
			`(type the right one on Prices)`},
		buys: map[string]string{"wood-glue": "1 at 9.25"}},
	{name: "an extension", edit: func(l leftEdited) { l.over("Materials", "Item", "wood-glue", "Extension", 100) }, run: "order",
		says: []string{`Materials!P21: warning: "100" is typed over the result "8.75" and is not used (` + onMaterials + ")"},
		buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "another pack", edit: func(l leftEdited) { l.over("Materials", "Item", "drip-cap", "Pack", "12 ft") }, run: "order",
		says: []string{`Materials!J17: warning: "12 ft" is typed over the result "10 ft" and is not used (` + onMaterials + ")"}},
	{name: "a need", edit: func(l leftEdited) { l.over("Materials", "Item", "shim", "Need", 999) }, run: "order",
		says: []string{`Materials!E16: warning: "999" is typed over the result "56" and is not used (` + onMaterials + ")"}},
	{name: "a word over a state", edit: func(l leftEdited) { l.over("Materials", "Item", "shim", "State", "ordered") }, run: "order",
		says: []string{`Materials!Q16: warning: "ordered" is typed over the result "ok" and is not used (` + onMaterials + ")"}},
	{name: "another supplier",
		edit: func(l leftEdited) { l.over("Materials", "Item", "touch-up", "Supplier", "Harbor Supply") }, run: "order",
		says: []string{`Materials!C23: warning: "Harbor Supply" is typed over the supplier "North Yard" and is not used (type a supplier under Buy at on Orders)`},
		buys: map[string]string{"touch-up": "1 at 11.20"}},
	{name: "a line below the lines", edit: func(l leftEdited) {
		l.put("Materials", "A27", "caulk gun")
		l.put("Materials", "N27", 2)
	}, run: "order", code: exitIncomplete, says: []string{`Materials!A27: warning: "caulk gun; 2" ` + addedLine}},
	{name: "a line between the lines", edit: func(l leftEdited) {
		require.NoError(l.t, l.file.InsertRows("Materials", 12, 1))
		l.put("Materials", "A12", "caulk gun")
		l.put("Materials", "N12", 2)
	}, run: "order", code: exitIncomplete, says: []string{`Materials!A12: warning: "caulk gun; 2" ` + addedLine}},
	{name: "a line below, estimated", edit: func(l leftEdited) {
		l.put("Materials", "A27", "wood-glue")
		l.put("Materials", "N27", 2)
	}, run: "estimate", says: []string{`Materials!A27: warning: "wood-glue; 2" ` + addedLine}, buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "a remark below", edit: func(l leftEdited) { l.put("Materials", "A28", "checked by the foreman") }, run: "order",
		says: []string{`Materials!A28: note: "checked by the foreman" is no line of the estimate and is not read`}},
	{name: "a line copied", edit: func(l leftEdited) { require.NoError(l.t, l.file.DuplicateRow("Materials", 21)) }, run: "order", code: exitIncomplete,
		says: []string{`Materials!U22: warning: the line "wood-glue|North Yard|Q01301" stands in row 21 too; this one is not used ` +
			"(type how many to buy under Override of the first, and delete this one)"},
		buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "a line deleted", edit: func(l leftEdited) { l.removeRow("Materials", 21) }, run: "order", code: exitIncomplete,
		says: []string{"error: wood-glue is left out: it is not in the plan of the estimate (run estimate again)"}, buys: map[string]string{"wood-glue": ""}},
	{name: "one of three lengths deleted", edit: func(l leftEdited) { l.removeRow("Materials", 19) }, run: "order", code: exitIncomplete,
		says: []string{"Materials!P18: error: board-1x4 is left out: what it was planned for has changed since (run estimate again)"},
		buys: map[string]string{"board-1x4": ""}},
	{name: "a total on Takeoff", edit: func(l leftEdited) { l.over("Takeoff", "Item", "shim", "Total", 77) }, run: "order",
		says: []string{`Takeoff!K9: warning: "77" is typed over the result "12" and is not used (` + onTakeoff + ")"}},
	{name: "an amount on Takeoff, compared", edit: func(l leftEdited) { l.over("Takeoff", "Item", "shim", "Each opening", 77) }, run: "compare",
		says: []string{`Takeoff!I9: warning: "77" is typed over the result "6" and is not used (` + onTakeoff + ")"}},
	{name: "an amount on Takeoff, estimated", edit: func(l leftEdited) { l.over("Takeoff", "Item", "shim", "Each opening", 77) }, run: "estimate",
		says: []string{`Takeoff!I9: warning: "77" is typed over the result "6" and is not used (` + onTakeoff + ")"}},
	{name: "an amount on Takeoff, and a price", edit: func(l leftEdited) {
		l.over("Takeoff", "Item", "shim", "Each opening", 77)
		l.over("Prices", "Item", "wood-glue", "Price", 9.5)
	}, run: "order",
		says: []string{`Takeoff!I9: warning: "77" is typed over the result "6" and is not used (` + onTakeoff + ")"},
		buys: map[string]string{"wood-glue": "1 at 9.50"}},
	{name: "rows of Takeoff deleted", edit: func(l leftEdited) {
		l.removeRow("Takeoff", 20)
		l.removeRow("Takeoff", 20)
	}, run: "order", says: []string{"Takeoff: warning: 2 of its rows are gone; what they stand for is counted all the same (" + onTakeoff + ")"}},
	{name: "a row added to Takeoff", edit: func(l leftEdited) {
		l.put("Takeoff", "A50", "W1")
		l.put("Takeoff", "H50", 5)
	}, run: "order", says: []string{"Takeoff!H50: warning: a row was added to the results; it is not used (" + onTakeoff + ")"}},
	{name: "a supplier over Bought at", edit: func(l leftEdited) { l.over("Orders", "Item", "tape-9", "Bought at", "Harbor Supply") }, run: "order",
		says: []string{`Orders!D8: warning: "Harbor Supply" is typed over the result "North Yard" and is not used (type a supplier under Buy at, a ` +
			`price on Prices, fees on Suppliers)`}},
	{name: "a delivery fee on Orders", edit: func(l leftEdited) { l.over("Orders", "Supplier", "North Yard", "Delivery", 50) }, run: "order",
		says: []string{`Orders!E25: warning: "50" is typed over the result "0" and is not used (type a supplier under Buy at, a price on Prices, ` +
			`fees on Suppliers)`}},
	{name: "a cost on By opening", edit: func(l leftEdited) { l.over("By opening", "Mark", "W1", "Materials", 100) }, run: "order",
		says: []string{`'By opening'!N6: warning: "100" is typed over the result "157.73" and is not used (change the opening or its unit cost on Openings)`}},
	{name: "the total on Summary", edit: func(l leftEdited) { l.put("Summary", l.total(), 20000) }, run: "compare",
		says: []string{`Summary!C18: warning: "20000" is typed over the result "422.44" and is not used (change rates on Job, prices on Prices, ` +
			`costs on Other costs)`}},
	{name: "an added cost", edit: func(l leftEdited) { l.put("Added costs", "E6", 100) }, run: "order",
		says: []string{`'Added costs'!E6: warning: "100" is typed over a result that is empty and is not used (type it on Other costs or Labor)`}},
	{name: "a paper of the shop", edit: func(l leftEdited) { l.put("Cut list", "B17", 99) }, run: "order",
		says: []string{`'Cut list'!B17: warning: "99" is typed over the result "1" and is not used (` + onPapers + ")"}},
	{name: "ticks on a paper", edit: func(l leftEdited) { l.put("Receiving", "A9", "x") }, run: "order"},
	{name: "Prices renamed", edit: func(l leftEdited) { l.rename("Prices", "Prices 2026") }, run: "order", code: exitNothing,
		says: []string{`error: the sheet "Prices" of this estimate is not there, so that nothing is known of its prices (if "Prices 2026" is it, ` +
			`name that Prices; else ` + notThere + ")"}},
	{name: "Prices deleted", edit: func(l leftEdited) { l.remove("Prices") }, run: "estimate", code: exitNothing,
		says: []string{`error: the sheet "Prices" of this estimate is not there, so that nothing is known of its prices (` + notThere + ")"}},
	{name: "Job renamed", edit: func(l leftEdited) { l.rename("Job", "Plum Hill") }, run: "estimate", code: exitNothing,
		says: []string{`error: the sheet "Job" of this estimate is not there, so that nothing is known of its settings ` +
			`(if it has another name, such as "Plum Hill", name it Job again; else ` + notThere + ")"}},
	{name: "Job deleted", edit: func(l leftEdited) { l.remove("Job") }, run: "compare", code: exitNothing,
		says: []string{`error: the sheet "Job" of this estimate is not there, so that nothing is known of its settings (` + notThere + ")"}},
	{name: "Materials renamed", edit: func(l leftEdited) { l.rename("Materials", "Buy list") }, run: "order", code: exitNothing,
		says: []string{`error: the sheet "Materials" of this estimate is not there, so that nothing is known of what is bought ` +
			`(if it has another name, such as "Buy list", name it Materials again; else ` + notThere + ")"}},
	{name: "Openings renamed", edit: func(l leftEdited) { l.rename("Openings", "Openings rev 2") }, run: "compare", code: exitNothing,
		says: []string{`error: the sheet "Openings" of this estimate is not there, so that nothing is known of its openings ` +
			`(if "Openings rev 2" is it, name that Openings; else ` + notThere + ")"}},
	{name: "Orders renamed", edit: func(l leftEdited) { l.rename("Orders", "Who sells") }, run: "order",
		says: []string{
			`warning: the sheet "Orders" of this estimate is not there, so that nothing is known of what was typed there ` +
				`(if it has another name, such as "Who sells", name it Orders again; else ` + notThere + ")",
			`note: the sheet "Who sells" is not read`,
			"Orders: note: this sheet of results is gone or has another name; it is not read"}},
	{name: "Takeoff deleted", edit: func(l leftEdited) { l.remove("Takeoff") }, run: "order",
		says: []string{"Takeoff: note: this sheet of results is gone or has another name; it is not read"}},
	{name: "Prices hidden", edit: func(l leftEdited) { require.NoError(l.t, l.file.SetSheetVisible("Prices", false)) }, run: "order",
		buys: map[string]string{"wood-glue": "1 at 8.75"}},
	{name: "Prices copied", edit: func(l leftEdited) { l.add("Prices (2)") }, run: "order",
		says: []string{`'Prices (2)': warning: the sheet "Prices (2)" is not read, for there is another one for "Prices" (type what holds there, ` +
			`and delete this one)`}},
	{name: "Materials copied", edit: func(l leftEdited) { l.add("Copy of Materials") }, run: "compare",
		says: []string{`'Copy of Materials': warning: the sheet "Copy of Materials" is not read, for there is another one for "Materials" (type ` +
			`what holds there, and delete this one)`}},
	{name: "two sheets of settings", edit: func(l leftEdited) { l.add("Settings") }, run: "order",
		says: []string{`Settings: warning: the sheet "Settings" is not read, for there is another one for "Job" (type what holds there, and delete this one)`}},
	{name: "a list of one's own", edit: func(l leftEdited) { l.add("To buy too") }, run: "order", says: []string{`note: the sheet "To buy too" is not read`}},
	{name: "values without formulas", edit: func(l leftEdited) { l.flatten(l.book.results()...) }, run: "order",
		buys: map[string]string{"wood-glue": "1 at 8.75", "drip-cap": "2 at 10.20"}},
	{name: "values without formulas, compared", edit: func(l leftEdited) { l.flatten(l.book.results()...) }, run: "compare"},
	{name: "values, then a count", edit: func(l leftEdited) {
		l.flatten(l.book.results()...)
		l.over("Materials", "Item", "wood-glue", "Count", 5)
	}, run: "order", says: []string{`Materials!N21: note: the count "5" is typed over a formula that gives "1"; it is used, as an override`},
		buys: map[string]string{"wood-glue": "5 at 8.75"}},
	{name: "values, then an override", edit: func(l leftEdited) {
		l.flatten(l.book.results()...)
		l.over("Materials", "Item", "wood-glue", "Override", 5)
	}, run: "order", buys: map[string]string{"wood-glue": "5 at 8.75"}},
	{name: "values, then a price", edit: func(l leftEdited) {
		l.flatten(l.book.results()...)
		l.over("Materials", "Item", "wood-glue", "Unit price", 9.5)
	}, run: "order",
		says: []string{`Materials!O21: note: the price "9.50" is typed over a formula that gives "8.75" from Prices; it is used (type it on Prices, too)`},
		buys: map[string]string{"wood-glue": "1 at 9.50"}},
	{name: "values, then a price on Prices", edit: func(l leftEdited) {
		l.flatten(l.book.results()...)
		l.over("Prices", "Item", "wood-glue", "Price", 9.5)
	}, run: "order", buys: map[string]string{"wood-glue": "1 at 9.50"}},
	{name: "values, then a total on Takeoff", edit: func(l leftEdited) {
		l.flatten(l.book.results()...)
		l.over("Takeoff", "Item", "shim", "Total", 77)
	}, run: "order", says: []string{`Takeoff!K9: warning: "77" is typed over the result "12" and is not used (` + onTakeoff + ")"}},
	{name: "without what it was, a count on Takeoff", edit: func(l leftEdited) {
		l.remove("When estimated")
		l.over("Takeoff", "Item", "shim", "Total", 77)
	}, run: "order", says: []string{`Takeoff!K9: warning: "77" is typed over the result "12" and is not used (` + onTakeoff + ")"}},
}

// total is the cell of the total on Summary.
func (l leftEdited) total() string {
	col := l.book.header("Summary", "Amount").col
	for _, c := range l.book.cells("Summary") {
		if c.col == 1 && c.value == "Total" {
			return estimate.CellName(c.row, col)
		}
	}
	return ""
}

// Whatever is typed over results is used where it has a plain meaning, and named where
// it has not: no order lacks in silence what somebody typed to buy.
func TestLeftEdits(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", twoWindows)
	write(t, "other.csv", oneWindow)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.csv", "other.csv", "--prices", "prices.csv")
	book := open(t, "job-estimate.xlsx")
	for i, c := range leftEdits {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel() // each in a folder of its own
			f, err := excelize.OpenFile("job-estimate.xlsx")
			require.NoError(t, err)
			defer func() { require.NoError(t, f.Close()) }()
			c.edit(leftEdited{t, book, f})
			dir := fmt.Sprintf("%s%d/", edited, i)
			require.NoError(t, os.MkdirAll(dir, 0o755))
			require.NoError(t, f.SaveAs(dir+"job-estimate.xlsx"))
			args := map[string][]string{
				"order": {"--out", dir + "orders"}, "estimate": {"--out", dir + "again"}, "compare": {"other-estimate.xlsx", "--out", dir + "compared.xlsx"},
			}[c.run]
			r := sillwright(append([]string{c.run, dir + "job-estimate.xlsx"}, args...)...)
			assert.Equal(t, c.code, r.code, r.stderr)
			assert.Len(t, saidOfEdits(r.stderr), len(c.says), r.stderr)
			for _, words := range c.says {
				assert.Contains(t, r.stderr, "job-estimate.xlsx: "+words)
			}
			if c.run == "estimate" && len(c.buys) > 0 {
				succeed(t, "order", dir+"again/job-estimate.xlsx", "--out", dir+"orders")
			}
			for item, want := range c.buys {
				assert.Equal(t, want, bought(t, dir+"orders", item), item)
			}
			if c.run == "order" && c.code == exitIncomplete {
				assert.FileExists(t, dir+"orders/job-not-ordered.csv")
			}
		})
	}
}

// saidOfEdits are the messages but for those on sums of the file, which follow, and what
// is said of the job, or of an order, whatever was typed.
func saidOfEdits(stderr string) []string {
	return slices.DeleteFunc(strings.Split(strings.TrimSpace(stderr), "\n"), func(line string) bool {
		return line == "" || strings.Contains(line, "note: the file says") || strings.Contains(line, "worked out again the total is") ||
			strings.Contains(line, "lift with two or more") || asides.MatchString(line+"\n") || strings.Contains(line, "glass in a door") || strings.Contains(line, "without a job date") ||
			strings.Contains(line, "-order-harbor-supply.xlsx: error: not written")
	})
}

// bought is what the orders in a folder buy of an item: its count and price.
func bought(t *testing.T, dir, item string) string {
	for _, l := range orderRows(t, dir)["line"] {
		if l["item"] == item {
			return l["count"] + " at " + l["price"]
		}
	}
	return ""
}

// An estimate that other programs have open is read as it was saved last.
func TestOpenElsewhere(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	for i, lock := range []string{"~$job-estimate.xlsx", ".~lock.job-estimate.xlsx#"} {
		write(t, lock, "somebody")
		want := "job-estimate.xlsx: warning: it is open in another program (" + lock + " stands beside it); what was saved last is read " +
			"(save it there, then run this again; delete that file if nobody has it open)\n"
		assert.Equal(t, want, succeed(t, "order", "job-estimate.xlsx", "--out", fmt.Sprint("orders", i)).stderr)
		assert.Equal(t, 1, strings.Count(succeed(t, "estimate", "job-estimate.xlsx", "--out", fmt.Sprint("again", i)).stderr, want))
		require.NoError(t, os.Remove(lock))
	}
	assert.Empty(t, succeed(t, "order", "job-estimate.xlsx", "--out", "plain").stderr)
}

// isTypedOverNowhere wants an estimate, as it is written, to hold its results.
func (j writtenJob) isTypedOverNowhere(t *testing.T) {
	again, _ := readJob(j.name+"-estimate.xlsx", nil)
	require.NotNil(t, again)
	defer again.close()
	for _, p := range again.problems {
		typed := workbook.IsLookedAt(p.Place.Sheet) || strings.Contains(p.What, "typed over")
		assert.False(t, typed, p.String())
	}
}
