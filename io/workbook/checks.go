package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// masterRow is the row of the one check that every sheet repeats.
const masterRow = 3

// words of the master check.
const (
	holds   = "All checks pass"
	differs = "Totals do not agree: see Checks"

	holdsWord   = "agrees" // of a line of Checks
	differsWord = "differs"
)

// masterLine is the line of Checks in which the master check stands.
func (w *writer) masterLine(checks *xlsx.Sheet) *xlsx.Grid {
	t := xlsx.NewTable(checks, "Master", []xlsx.Column[struct{}]{{Head: "Label"}, {Head: "State"}})
	t.PlaceRows(masterRow-1, 1)
	return &t.Grid
}

// masterCell shows the master check. By construction every sum holds at the run, and a
// test recalculates each.
func (w *writer) masterCell() xlsx.Cell { return xlsx.Formula(w.master.String(), holds, xlsx.Good) }

// showMaster writes the master check and the way back.
func (w *writer) showMaster(p *xlsx.Sheet) {
	at := p.Strip(xlsx.Wide{Cell: w.masterCell(), Columns: 3}, xlsx.Wide{Cell: xlsx.LinkToSheet("Summary", "Summary")}, xlsx.Wide{Cell: xlsx.LinkToSheet("Checks", "Checks")})
	watchMaster(p, at[0])
}

// watchMaster colors a cell that shows the master check while it does not hold.
func watchMaster(p *xlsx.Sheet, at xlsx.Ref) {
	at.Highlight(fmt.Sprintf(`%s<>"%s"`, at.Fixed(), holds), xlsx.Bad)
}

// check is a sum that must agree with another: its difference reads 0.
type check struct{ what, difference, how string }

var checkColumns = []xlsx.Column[check]{
	{Head: "What must agree", Width: 34, Cell: func(c check) xlsx.Cell { return xlsx.Str(xlsx.Text, c.what) }},
	{Head: "State", Width: 22, Cell: func(check) xlsx.Cell {
		return xlsx.Formula(fmt.Sprintf(`IF({Difference}=0,"%s","%s")`, holdsWord, differsWord), holdsWord, xlsx.Good)
	}},
	{Head: "Difference", Width: 12, Cell: func(c check) xlsx.Cell { return xlsx.Formula(c.difference, 0.0, xlsx.Money) }},
	{Head: "How", Width: 90, Cell: func(c check) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, c.how) }},
}

// checks are what the sheets must agree in.
func (w *writer) checks() []check {
	less := func(a, b any) string { return fmt.Sprintf("ROUND(%s-%s,2)", a, b) }
	materials := w.materials.At(materialsTotal, "Extension")
	amount := func(line string) xlsx.Ref { return w.bid.At(line, "Amount") }
	return []check{
		{"By opening and Materials", less(w.byOpening.At(jobMaterials, "Materials"), materials), "the openings' costs and the surplus are the materials"},
		{"Takeoff and By opening", less(w.takeoffSum(), w.byOpening.At(usedByOpenings, "Materials")), "the rows of Takeoff are the openings' costs"},
		{"Summary and Materials", less(amount("materials"), materials), "the bid starts from the materials"},
		{"Used and surplus", less(w.useTotal("Used")+"+"+w.useTotal("Surplus"), w.useTotal("Cost")), "of every item they are its cost"},
		{"Plans and quantities", w.staleItems(), "items whose quantity changed after estimating: run estimate again"},
		{"Suppliers and plan", w.stalePins(), "items for which another supplier was chosen after estimating: run estimate again"},
		{"Orders and Materials", less(w.orders.At(allOrders, "Materials"), materials), "the orders are all of the materials"},
		{"Boards and their parts", w.boardsAdd, "pieces, kerf, end trim and offcut are the length of the stock"},
		{"Parts of the total", less(amount("cost").String()+"+"+amount("profit").String(), amount("total")), "cost and profit are the total"},
		{"Where the money goes", less(w.money.At(moneyTotal, "Amount"), amount("total")), "its parts are the total"},
	}
}

// checksSheet lists what was reconciled and every problem, in the words that
// the terminal shows.
func (w *writer) checksSheet(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Title, "Checks"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each difference must be 0. Below: every problem, with its cell."))
	p.Strip(xlsx.Wide{Cell: xlsx.Str(xlsx.Text, "Checks:")}, xlsx.Wide{}, xlsx.Wide{}, xlsx.Wide{Cell: xlsx.LinkToSheet("Summary", "Summary")})
	p.Skip(1)
	t := xlsx.NewTable(p, "Agreement", checkColumns)
	t.Header()
	for _, c := range w.checks() {
		t.Row(c)
	}
	states := t.Column("State")
	w.master.Put(xlsx.Formula(fmt.Sprintf(`IF(COUNTIF(%s,"%s")=0,"%s","%s")`, states.Local(), differsWord, holds, differs), holds, xlsx.Good), 1)
	states.Highlight(t.Cell(t.First(), "Difference").FixedColumn()+"<>0", xlsx.Bad)
	watchMaster(p, w.master)
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Problems"))
	problemTable(p, w.in.Problems)
	p.Freeze(masterRow, 0)
}

// problemLine is a problem with its number in the list.
type problemLine struct {
	estimate.Problem
	number int
}

// severityLooks are how the severity of a problem is drawn.
var severityLooks = map[estimate.Severity]xlsx.Look{estimate.Error: xlsx.Bad, estimate.Warning: xlsx.Warn, estimate.Note: xlsx.TextCenter}

var problemColumns = []xlsx.Column[problemLine]{
	{Head: "Where", Cell: func(x problemLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Place.String()) }},
	{Head: "Severity", Cell: func(x problemLine) xlsx.Cell { return xlsx.Str(severityLooks[x.Severity], x.Severity.String()) }},
	{Head: "Number", Cell: func(x problemLine) xlsx.Cell { return xlsx.Num(x.number, xlsx.Count) }},
	{Head: "What is wrong, and what to do", Cell: func(x problemLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Sentence()) }},
}

// problemTable lists problems, in the words that the terminal shows.
func problemTable(p *xlsx.Sheet, list []estimate.Problem) {
	t := xlsx.NewTable(p, "ProblemList", problemColumns)
	t.HeaderOnly()
	if len(list) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "nothing to report"))
		return
	}
	for i, x := range list {
		t.Row(problemLine{x, i + 1})
	}
	t.Filter()
}

// stalePins counts the items for which another supplier was chosen than the
// plan's.
func (w *writer) stalePins() string { return countStale(&w.quotes.Grid) }

// staleItems counts the items whose plan an edit has overtaken.
func (w *writer) staleItems() string { return countStale(&w.use.Grid) }

func countStale(t *xlsx.Grid) string {
	if t.Empty() {
		return "0"
	}
	return fmt.Sprintf(`COUNTIF(%s,"%s")`, t.Column("State"), runAgain)
}

// takeoffSum sums the Cost column of Takeoff.
func (w *writer) takeoffSum() string {
	if w.takeoff.Empty() {
		return "0"
	}
	return "SUM(" + w.takeoff.Column("Cost").Moving() + ")"
}
