package main

import (
	"archive/zip"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/comparison"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing/compare"
)

// changeSettings are of a job with labor, tax, overhead, contingency and a margin.
const changeSettings = "Key,Value\njob number,C-7\njob name,House at the mill (invented)\njob date,%s\nlabor rate,48.50\n" +
	"tax,7.25%%\noverhead,10%%\ncontingency,3%%\nprofit,15%%\nprofit is,margin\nspare boards,1\n%s"

// pricedRevision writes a revision of a job whose price has all parts, and estimates it.
func pricedRevision(t *testing.T, name, date, settings, openings string) string {
	t.Helper()
	file := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	data, err := folderSchedule(fstest.MapFS{
		"job/Job.csv":      file(fmt.Sprintf(changeSettings, date, settings)),
		"job/Openings.csv": file("Mark,Qty,Kind,Frame width,Frame height,Furnished by,Unit cost,Measured width,Measured height,Status\n" + openings),
		"job/Labor.csv": file("Task,Kind,Per,Hours\nSet pan and flashing,window,opening,0.75\n" +
			"Set and shim the unit,window,unit,1.5\nSeal the frame,window,foot,0.0125\n"),
		"job/Suppliers.csv":   file("Supplier,Delivery fee\nNorth Yard,45.00\nHarbor Supply,30.00\n"),
		"job/Other costs.csv": file("Text,Count,Unit,Price,Taxable\nLift,2,day,145.00,no\nBlocks,8,each,0.355,yes\n"),
	}, "job")
	require.NoError(t, err)
	write(t, name+".xlsx", string(data))
	succeed(t, "estimate", name+".xlsx", "--prices", "own.csv")
	return name + outputEnding
}

// The marks of the revisions: W1 is resized after its trim was cut, W2 costs more, W3 is
// dropped with much trim, W4 is added, W5 stays.
const (
	earlierMarks = "W1,3,window,36,60,builder,412.35,36,60,cut\nW2,2,window,48,48,installer,655.10,,,ordered\n" +
		"W3,6,window,40,72,builder,518.20,,,ordered\nW5,2,window,30,30,owner,,,,ordered\n"
	laterMarks = "W1,3,window,36,62,builder,431.80,,,ordered\nW2,2,window,48,48,installer,702.45,,,ordered\n" +
		"W4,2,window,24,36,builder,233.90,,,ordered\nW5,2,window,30,30,owner,,,,ordered\n"
)

func changePair(t *testing.T) (was, now string) {
	t.Helper()
	write(t, "own.csv", ownPrices(t))
	return pricedRevision(t, "mill", "2026-11-02", "", earlierMarks), pricedRevision(t, "mill-2", "2026-11-20", "", laterMarks)
}

// changeCell finds a cell of the sheet Change for edit: beside a label, or under a head in
// the row that begins with one.
func changeCell(t *testing.T, b writtenBook, label, head string) string {
	t.Helper()
	col, from := 2, 0
	if head != "" {
		h := b.header(comparison.ChangeSheet, head)
		col, from = h.col, h.row
	}
	for _, c := range b.cells(comparison.ChangeSheet) {
		if c.col == 1 && c.value == label && c.row > from {
			return comparison.ChangeSheet + "!" + estimate.CellName(c.row, col)
		}
	}
	require.Fail(t, "no such cell", "%s, %s", label, head)
	return ""
}

// typedEntries are typed on the sheet Change of every test.
func typedEntries(t *testing.T, b writtenBook) map[string]any {
	t.Helper()
	return map[string]any{
		changeCell(t, b, "Change number", ""):           "3",
		changeCell(t, b, "Change date", ""):             "2026-11-21",
		changeCell(t, b, "Reason", ""):                  "The owner wants taller windows in the kitchen & none in the hall",
		changeCell(t, b, "Original contract price", ""): 15250.00,
		changeCell(t, b, "Earlier changes", ""):         -310.40,
		changeCell(t, b, "Days added", ""):              4,
		changeCell(t, b, "Effect on payments", ""):      "Added to the payment due when the trim is on",
		changeCell(t, b, "May still be hidden", ""):     "Rot below the sills of W1",
		changeCell(t, b, "Valid until", ""):             "2026-12-05",
		changeCell(t, b, "W1", "Hours to undo"):         4.5,
		changeCell(t, b, "W2", "Hours to undo"):         0,
		changeCell(t, b, "W3", "Hours to undo"):         1.25,
	}
}

// typedSurplus says of every line that is left over what becomes of it.
func typedSurplus(t *testing.T, b writtenBook) map[string]any {
	t.Helper()
	out := map[string]any{}
	at := func(row int, head string) string {
		return comparison.ChangeSheet + "!" + estimate.CellName(row, b.header(comparison.ChangeSheet, head).col)
	}
	head := b.header(comparison.ChangeSheet, "Goes back")
	for i := range b.table(comparison.ChangeSheet, "Item", "Goes back") {
		row := head.row + 1 + i
		switch i % 3 {
		case 0:
			out[at(row, "Goes back")], out[at(row, "Restocking")] = 1, 0.15
		case 1:
			out[at(row, "Cannot be returned")] = "opened"
		case 2:
			out[at(row, "Goes back")], out[at(row, "Credit")] = 1, 1.23
		}
	}
	return out
}

// typedChange compares the revisions and types what a change order needs.
func typedChange(t *testing.T) (was, now string) {
	t.Helper()
	was, now = changePair(t)
	succeed(t, "compare", was, now)
	b := open(t, comparisonFile)
	entries := typedEntries(t, b)
	maps.Copy(entries, typedSurplus(t, b))
	edit(t, comparisonFile, "typed.xlsx", entries)
	return was, now
}

// What the marks bear is what the two estimates show by opening, and all lines are the
// difference of the bids: for pairs of golden jobs that share nothing, too.
func TestChangeFootsByOpening(t *testing.T) {
	folders := jobFolders(t)
	inTemp(t)
	was, now := changePair(t)
	pairs := [][2]string{{was, now}, {now, was}}
	for _, name := range []string{"everything", "one-window", "joined-units", "on-hand", "odd-piece"} {
		folders[name].estimate(t, name)
	}
	pairs = append(pairs, [2]string{"one-window-estimate.xlsx", "everything-estimate.xlsx"},
		[2]string{"joined-units-estimate.xlsx", "on-hand-estimate.xlsx"}, [2]string{"on-hand-estimate.xlsx", "odd-piece-estimate.xlsx"})
	for _, pair := range pairs {
		r := sillwright("compare", pair[0], pair[1], "--kind", "revisions", "--out", "pair.xlsx", "--force")
		require.LessOrEqual(t, r.code, exitIncomplete, r.stderr)
		earlier, later := pair[0], pair[1]
		if strings.Contains(r.stdout, "Earlier: "+pair[1]) {
			earlier, later = later, earlier
		}
		a, b, got := open(t, earlier), open(t, later), open(t, "pair.xlsx")
		lines := got.table(comparison.ChangeSheet, "Mark", "Price change")
		last := lines[len(lines)-1]
		assert.Equal(t, b.amount("Summary", "Total", "Amount")-a.amount("Summary", "Total", "Amount"), cents(t, last["Price change"]), "%v", pair)
		assert.Equal(t, "foots to the two bids", last["State"])
		for _, head := range []string{"Materials", "Windows and doors", "Labor", "Delivery, other costs", "Sales tax", "Markup", "Price change"} {
			assert.Equal(t, cents(t, last[head]), sum(t, lines[:len(lines)-1], head), "%v, %s", pair, head)
		}
		shown := func(book writtenBook, mark, head string) (sum measure.Money) {
			for _, row := range book.table("By opening", "Mark", "Materials") {
				if v, err := strconv.ParseFloat(row[head], 64); err == nil && (row["Mark"] == mark || strings.HasPrefix(row["Mark"], mark+" piece ")) {
					sum += measure.Money(v*100 + 0.5)
				}
			}
			return sum
		}
		for _, m := range lines[:len(lines)-6] {
			for _, head := range []string{"Materials", "Windows and doors"} {
				assert.Equal(t, shown(b, m["Mark"], head)-shown(a, m["Mark"], head), cents(t, m[head]), "%v: %s, %s", pair, m["Mark"], head)
			}
		}
	}
}

// The comparison with what is typed, and the page that is made of it.
func TestChangeOrder(t *testing.T) {
	home, err := filepath.Abs(comparisonGoldens)
	require.NoError(t, err)
	inTemp(t)
	was, now := typedChange(t)
	before := read(t, "typed.xlsx")
	r := succeed(t, "compare", was, now, "--change", "typed.xlsx", "--out", "comparison-change.xlsx")
	assert.Empty(t, r.stderr)
	assert.Equal(t, before, read(t, "typed.xlsx"), "what was edited is never touched")
	const page = "mill-2-change-3.xlsx"
	comparisonGolden(t, filepath.Join(home, "change.txt"), "comparison-change.xlsx", r)
	comparisonGolden(t, filepath.Join(home, "change-page.txt"), page, ran{})
	assert.NotContains(t, r.stdout, "WITHOUT")
	assert.Contains(t, r.stdout, "Not legal advice; local law governs; have your form checked")

	got := open(t, "comparison-change.xlsx")
	for at, v := range typedEntries(t, open(t, "typed.xlsx")) {
		sheet, cell, _ := strings.Cut(at, "!")
		value, err := got.file.GetCellValue(sheet, cell)
		require.NoError(t, err)
		if _, isDate := v.(string); !isDate || !strings.HasPrefix(v.(string), "2026") {
			assert.Equal(t, fmt.Sprint(v), value, "carried over: %s", at)
		}
	}
	// The change once more, from what the sheet shows of its parts.
	at := func(label string) measure.Money {
		for _, c := range got.cells(comparison.ChangeSheet) {
			if c.col == 1 && c.value == label {
				if v := got.row(comparison.ChangeSheet, c.row)[3]; v != "" && c.row > got.header(comparison.ChangeSheet, "Line").row {
					return cents(t, v)
				}
			}
		}
		require.Fail(t, label)
		return 0
	}
	assert.Equal(t, measure.Money(218_25+60_63), at("To undo"), "4.5 h and 1.25 h at 48.50, each to the cent")
	surplus := got.table(comparison.ChangeSheet, "Item", "Goes back")
	surplus = surplus[:len(surplus)-1]
	require.NotEmpty(t, surplus)
	bought, credits := measure.Money(0), measure.Money(0)
	for i, s := range surplus {
		price, err := measure.ParseUnitPrice(s["Price"])
		require.NoError(t, err)
		count, err := measure.ParseCount(s["Surplus"])
		require.NoError(t, err)
		bought += measure.Extension(count, price)
		switch i % 3 {
		case 0:
			credits += price.Money() - price.Money().Scale(150_000)
		case 2:
			credits += min(1_23, price.Money())
		}
	}
	assert.Equal(t, bought, at("Bought for nothing"))
	assert.Equal(t, -credits, at("Less credits"))
	materials := at("Cut for nothing") + bought - credits
	assert.Equal(t, materials.Scale(72_500), at("Sales tax"))
	extra := at("To undo") + materials + at("Sales tax")
	assert.Equal(t, extra, at("Extra costs"))
	cost := extra + extra.Scale(100_000)
	cost += cost.Scale(30_000)
	price := measure.Money(float64(cost)/0.85 + 0.5)
	total := at("Change of the price")
	assert.Equal(t, at("Difference of the bids")+price, total)
	bids := open(t, now).amount("Summary", "Total", "Amount") - open(t, was).amount("Summary", "Total", "Amount")
	assert.Equal(t, bids, at("Difference of the bids"))

	p := open(t, page)
	assert.Equal(t, []string{"Change order"}, p.file.GetSheetList())
	shows := strings.Join(p.lines("Change order"), "\n")
	for _, v := range []measure.Money{15250_00, -310_40, total, 15250_00 - 310_40 + total} {
		assert.Contains(t, shows, fmt.Sprintf("= %v\n", float64(v)/100))
	}
	assert.NotContains(t, shows, "{", "values only")
	for _, words := range []string{"No work on this change until it is signed", "2026-12-05", "Rot below the sills of W1", "Customer", "Contractor"} {
		assert.Contains(t, shows, words)
	}

	// Again from the comparison that carries the entries over: the same page.
	again := succeed(t, "compare", was, now, "--change", "comparison-change.xlsx", "--out", "third.xlsx", "--force")
	assert.Empty(t, again.stderr)
	assert.Equal(t, p.lines("Change order"), open(t, page).lines("Change order"))
	costsAreHidden(t, page, was, now, "comparison-change.xlsx")
	keepsChangeRules(t, "comparison-change.xlsx")
	keepsChangeRules(t, page)
	openEntries(t, was, now)
}

// openEntries types what leaves every sort of question open, for other programs to
// recalculate what the sheet then says; the table of package compare holds what that is.
func openEntries(t *testing.T, was, now string) {
	t.Helper()
	b := open(t, "typed.xlsx")
	first := b.header(comparison.ChangeSheet, "Goes back")
	at := func(i int, head string) string {
		return comparison.ChangeSheet + "!" + estimate.CellName(first.row+1+i, b.header(comparison.ChangeSheet, head).col)
	}
	cells := map[string]any{changeCell(t, b, "Labor rate", ""): nil, changeCell(t, b, "Markup on extra costs", ""): 0.175,
		changeCell(t, b, "W2", "Hours to undo"): nil, changeCell(t, b, "W1", "Serves again"): 9999}
	for i, typed := range []map[string]any{
		{"Goes back": nil}, {"Goes back": 99}, {"Goes back": 1}, {"Goes back": 1, "Cannot be returned": "cut"}, {"Credit": 5, "Cannot be returned": "cut"},
		{"Goes back": 1, "Credit": 99}, {"Goes back": 0, "Credit": 5}, {"Credit": 5}, {"Goes back": 1, "Restocking": 0}, {"Cannot be returned": "dated"},
	} {
		for _, head := range []string{"Goes back", "Restocking", "Credit", "Cannot be returned"} {
			cells[at(i, head)] = typed[head]
		}
	}
	edit(t, "typed.xlsx", "open.xlsx", cells)
	r := sillwright("compare", was, now, "--change", "open.xlsx", "--out", "comparison-open.xlsx")
	assert.Equal(t, exitIncomplete, r.code)
	for _, words := range []string{compare.NoHours, compare.NoRate, compare.TooMuchAgain,
		compare.NotSaid, compare.NoCredit, compare.NotReturned, compare.TooManyBack, compare.TooMuchCredit} {
		assert.Contains(t, r.stdout, words)
	}
	sound(t, "comparison-open.xlsx")
	keep(t, "comparison-open.xlsx")
}

// Where the sheet Change breaks a modeling rule for a reason; that it holds figures of the
// estimates as values is what a comparison is.
var changeExcepted = map[string]string{
	fmt.Sprint(audit.RuleFlow, "B"):      "what the change comes to stands at the top, where it is seen",
	fmt.Sprint(audit.RuleFlow, "C"):      "and what that is without beside it",
	fmt.Sprint(audit.RuleShort, "Open"):  "one word of five for what is open: none may read as credited",
	fmt.Sprint(audit.RuleFunctions, "D"): "sentences that may be empty are put together without their spaces",
}

// keepsChangeRules holds the sheet Change, and the page, against the modeling rules.
func keepsChangeRules(t *testing.T, name string) {
	t.Helper()
	used := map[string]bool{}
	for _, b := range audit.Audit([]byte(read(t, name))) {
		if b.Rule == audit.RuleInputs || b.Sheet != comparison.ChangeSheet && b.Sheet != "Change order" {
			continue
		}
		key := fmt.Sprint(b.Rule, b.Column)
		used[key] = true
		assert.NotEmpty(t, changeExcepted[key], "%s: %s", name, b)
	}
	if strings.HasPrefix(name, "comparison") {
		assert.Len(t, used, len(changeExcepted), "an exception that nothing needs")
	}
}

// betweenTags finds what stands between the tags of a part.
var betweenTags = regexp.MustCompile(`>([^<]+)<`)

// costsAreHidden wants no part of the page's file to tell a cost, a supplier, a rate of
// markup or a subtotal of the other workbooks.
func costsAreHidden(t *testing.T, page string, others ...string) {
	t.Helper()
	own, numbersShown := map[string]bool{}, 0
	for _, c := range open(t, page).cells("Change order") {
		own[c.value] = true
		numbersShown += map[bool]int{false: 1}[c.text]
	}
	assert.Equal(t, 4, numbersShown, "the original price, earlier changes, this one, and the new price")
	figures := map[string]bool{}
	for _, name := range others {
		book := open(t, name)
		for _, sheet := range book.file.GetSheetList() {
			if slices.Contains([]string{"Openings", "Job", "Sources", "Details", "Layouts", "Install", "Cut list", "Boards", "Frames", "Offcuts"}, sheet) {
				continue // sizes and words
			}
			for _, c := range book.cells(sheet) {
				v, err := strconv.ParseFloat(c.value, 64)
				if err != nil || max(v, -v) < 20 || own[c.value] {
					continue
				}
				for decimals := range 3 {
					figures[strings.TrimPrefix(strconv.FormatFloat(v, 'f', decimals, 64), "-")] = decimals > 0 || max(v, -v) >= 1000
				}
			}
		}
	}
	require.Greater(t, len(figures), 300)
	numbers := regexp.MustCompile(`\d[\d,]*(\.\d+)?`)
	shown := map[string]bool{}
	for name, part := range unzipped(t, page) {
		assert.False(t, strings.Contains(part, "<f>") || strings.Contains(part, "<f "), "%s holds a formula", name)
		for _, text := range betweenTags.FindAllString(strings.ToLower(part), -1) {
			for _, word := range []string{"yard", "harbor", "markup", "overhead", "contingency", "profit", "margin", "cost", "estimate", ".xlsx"} {
				assert.NotContains(t, text, word, name)
			}
		}
		for _, n := range numbers.FindAllString(part, -1) {
			shown[strings.ReplaceAll(n, ",", "")] = true
		}
		assert.False(t, strings.Contains(name, "comment") || strings.Contains(name, "calcChain") || strings.Contains(name, "custom"), name)
	}
	for figure, telling := range figures {
		// Whole figures below 1,000 are sizes and counts too, and numbers of the format's own;
		// as numbers the page has four alone.
		if telling {
			assert.False(t, shown[figure] && !ownNumber(own, figure), "the page's file holds %s", figure)
		}
	}
	f, err := excelize.OpenFile(page)
	require.NoError(t, err)
	defer func() { assert.NoError(t, f.Close()) }()
	for _, n := range f.GetDefinedName() {
		assert.Equal(t, "_xlnm.Print_Titles", n.Name)
	}
}

// ownNumber reports whether a figure is one that the page shows on purpose, rounded.
func ownNumber(own map[string]bool, figure string) bool {
	for value := range own {
		v, err := strconv.ParseFloat(value, 64)
		for decimals := range 3 {
			if err == nil && strings.TrimPrefix(strconv.FormatFloat(v, 'f', decimals, 64), "-") == figure {
				return true
			}
		}
	}
	return false
}

// A page whose price lacks something is not written, or marked a draft; what is missing is
// said first.
func TestChangeOrderLacks(t *testing.T) {
	inTemp(t)
	was, now := typedChange(t)
	succeed(t, "compare", was, now, "--out", "bare.xlsx")
	b := open(t, "bare.xlsx")
	change := func(label string) string { return changeCell(t, b, label, "") }
	stale := pricedRevision(t, "mill-3", "2026-11-22", "", strings.Replace(laterMarks, "W4,2", "W4,3", 1))
	for _, c := range []struct {
		why    string
		args   []string
		typed  map[string]any // over the entries of typed.xlsx
		code   int
		page   string // written; "" = none
		stdout []string
		stderr string
	}{
		{"nothing is typed", []string{was, now, "--change", "bare.xlsx"}, nil, exitIncomplete, "",
			[]string{"Not stated on the page: change number.\n", "Not stated on the page: earlier changes.\n",
				"3 marks: no hours to undo", "a change number", "is not written"}, ""},
		{"a draft of that", []string{was, now, "--change", "bare.xlsx", "--draft"}, nil, exitOK, "mill-2-change-draft.xlsx",
			[]string{"3 marks: no hours to undo"}, ""},
		{"one mark without hours", []string{was, now}, map[string]any{changeCell(t, b, "W2", "Hours to undo"): nil}, exitIncomplete, "",
			[]string{"1 mark: no hours to undo"}, ""},
		{"a formula", []string{was, now}, map[string]any{changeCell(t, b, "W1", "Hours to undo"): "=1+1"}, exitIncomplete, "",
			[]string{"1 cell of entries.xlsx cannot be used"}, "Hours to undo is a formula; its value is not taken"},
		{"words for a number", []string{was, now}, map[string]any{change("Days added"): "some"}, exitIncomplete, "",
			[]string{"Not stated on the page: days added to completion"}, `Days added "some" is no whole number`},
		{"blank earlier changes are not zero", []string{was, now}, map[string]any{change("Earlier changes"): nil}, exitOK, "mill-2-change-3.xlsx",
			[]string{"Not stated on the page: earlier changes.\n"}, ""},
		{"the bids are others now", []string{was, stale}, nil, exitIncomplete, "",
			[]string{"the bids are not those that the entries were typed for"}, "it was made of bids of"},
		{"an estimate is no comparison", []string{was, now, "--change", now}, nil, exitNothing, "", nil, "it has no sheet Change"},
		{"the edited file is never replaced", []string{was, now, "--change", "typed.xlsx", "--out", "typed.xlsx", "--force"}, nil,
			exitNothing, "", nil, "inputs are never overwritten"},
		{"a draft of nothing", []string{was, now, "--draft"}, nil, exitUsage, "", nil, "--draft is of a page"},
		{"one estimate", []string{now, "--change", "typed.xlsx"}, nil, exitUsage, "", nil, "a change order is of an earlier and a later estimate"},
		{"jobs", []string{was, now, "--change", "typed.xlsx", "--kind", "jobs"}, nil, exitUsage, "", nil, "a change order is of an earlier and a later estimate"},
	} {
		t.Run(c.why, func(t *testing.T) {
			args := append([]string{"compare"}, c.args...)
			if !slices.Contains(args, "--change") && !slices.Contains(args, "--draft") {
				edit(t, "typed.xlsx", "entries.xlsx", c.typed)
				for at, v := range c.typed {
					if f, ok := v.(string); ok && strings.HasPrefix(f, "=") {
						setFormula(t, "entries.xlsx", at, f)
					}
				}
				args = append(args, "--change", "entries.xlsx")
			}
			if !slices.Contains(args, "--out") {
				args = append(args, "--out", "made/made.xlsx")
				require.NoError(t, os.RemoveAll("made"))
				require.NoError(t, os.Mkdir("made", 0o755))
			}
			r := sillwright(args...)
			assert.Equal(t, c.code, r.code, "%s%s", r.stdout, r.stderr)
			for _, words := range c.stdout {
				assert.Contains(t, r.stdout, words)
			}
			assert.Contains(t, r.stderr, c.stderr)
			pages, err := filepath.Glob("made/*-change-*.xlsx")
			require.NoError(t, err)
			if c.page == "" {
				assert.Empty(t, pages)
				return
			}
			require.Equal(t, []string{filepath.Join("made", c.page)}, pages)
			sound(t, pages[0])
			title := open(t, pages[0]).row("Change order", 1)[1]
			assert.Equal(t, strings.Contains(c.page, "draft"), strings.HasPrefix(title, "DRAFT"), title)
		})
	}
}

// unzipped returns the parts of a workbook.
func unzipped(t *testing.T, name string) map[string]string {
	t.Helper()
	z, err := zip.OpenReader(name)
	require.NoError(t, err)
	defer func() { assert.NoError(t, z.Close()) }()
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		out[f.Name] = string(data)
	}
	return out
}

// A run over a folder passes a change order over where the comparison lies, and takes a
// schedule that is only called like one.
func TestChangeOrderIsOutput(t *testing.T) {
	assert.True(t, isOutput("mill-change-3.xlsx", map[string]bool{comparisonFile: true}))
	assert.False(t, isOutput("mill-change-3.xlsx", map[string]bool{}))
	assert.False(t, isOutput("mill-3.xlsx", map[string]bool{comparisonFile: true}))
}

// setFormula types a formula into a cell.
func setFormula(t *testing.T, file, place, formula string) {
	t.Helper()
	f, err := excelize.OpenFile(file)
	require.NoError(t, err)
	sheet, at, _ := strings.Cut(place, "!")
	require.NoError(t, f.SetCellFormula(sheet, at, formula))
	require.NoError(t, f.Save())
	require.NoError(t, f.Close())
}
