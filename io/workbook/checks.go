package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
)

// masterRow is the row of the one check that every sheet repeats.
const masterRow = 3

// words of the master check.
const (
	holds   = "All checks pass"
	fails   = "CHECK FAILED"
	isStale = "Prices or counts changed"

	holdsWord   = "agrees" // of a line of Checks
	differsWord = "differs"
)

// What the top of each sheet says beside the master check.
const (
	noCheck   = "a line of Checks is missing: run sillwright estimate"
	staleSays = "this is the purchase as it stands; a new run may buy cheaper: run sillwright estimate"
)

// placeMaster lays out the line of Checks with the master check: its words, how many
// checks fail, how many prices, terms and counts differ, and what to do.
func (w *writer) placeMaster() {
	t := xlsx.NewTable(w.out.Sheet("Checks"), "Master", []xlsx.Column[struct{}]{
		{Head: "Label"}, {Head: "State"}, {Head: "Failed"}, {Head: "Stale"}, {Head: "Says"},
	})
	t.PlaceRows(masterRow-1, 1)
	w.masterLine = &t.Grid
	w.master = t.Cell(masterRow, "State")
}

// masterCell shows the master check. By construction every check passes at the run, and
// a test recalculates each.
func (w *writer) masterCell() xlsx.Cell { return xlsx.Formula(w.master.String(), holds, xlsx.Good) }

// saysCell says which check fails first, and what to do.
func (w *writer) saysCell() xlsx.Cell {
	return xlsx.Formula(w.masterLine.Cell(masterRow, "Says").String(), "", xlsx.Alert)
}

// showMaster writes the master check, the way back, and what the master check says.
func (w *writer) showMaster(p *xlsx.Sheet, more ...xlsx.Wide) {
	strip := append([]xlsx.Wide{{Cell: w.masterCell(), Columns: 3}, {Cell: xlsx.LinkToSheet("Summary", "Summary")}, {Cell: xlsx.LinkToSheet("Checks", "Checks")}}, more...)
	watchMaster(p, p.Strip(append(strip, xlsx.Wide{Cell: w.saysCell()})...)[0])
}

// watchMaster colors a cell that shows the master check while it does not hold.
func watchMaster(p *xlsx.Sheet, at xlsx.Ref) {
	at.Highlight(fmt.Sprintf(`%s="%s"`, at.Fixed(), isStale), xlsx.Warn)
	at.Highlight(fmt.Sprintf(`%s<>"%s"`, at.Fixed(), holds), xlsx.Bad)
}

// check is a difference that must read 0.
type check struct {
	what, difference string
	where            string // formula: what differs first; "" = it does not say
	how              string
	says             string // what the top of each sheet says, where there is no where
}

var checkColumns = []xlsx.Column[check]{
	{Head: "What must agree", Width: 34, Cell: func(c check) xlsx.Cell { return xlsx.Str(xlsx.Text, c.what) }},
	{Head: "State", Width: 22, Cell: func(check) xlsx.Cell {
		// COUNTIF passes over a difference that is an error.
		return xlsx.Formula(fmt.Sprintf(`IF(COUNTIF({Difference},0)=1,"%s","%s")`, holdsWord, differsWord), holdsWord, xlsx.Good)
	}},
	{Head: "Difference", Width: 12, Cell: func(c check) xlsx.Cell { return xlsx.Formula(c.difference, 0.0, xlsx.Money) }},
	{Head: "First", Width: 60, Cell: func(c check) xlsx.Cell {
		if c.where == "" {
			return xlsx.Blank(xlsx.TextWrap)
		}
		return xlsx.Formula(c.where, "", xlsx.TextWrap)
	}},
	{Head: "How", Width: 60, Cell: func(c check) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, c.how) }},
	{Head: "Says", Width: 40, Unprinted: true, Cell: func(c check) xlsx.Cell {
		if c.where == "" {
			return xlsx.Str(xlsx.Key, c.says)
		}
		return xlsx.Formula(`IF({First}="","",{First}&": run sillwright estimate")`, "", xlsx.Key)
	}},
}

// checks are what the sheets must agree in, and the inputs with what they were.
func (w *writer) checks() []check {
	less := func(a, b any) string { return fmt.Sprintf("ROUND(%s-%s,2)", a, b) }
	materials := w.materials.At(materialsTotal, "Extension")
	amount := func(line string) xlsx.Ref { return w.bid.At(line, "Amount") }
	const totals = "totals do not agree: see Checks"
	var out []check
	for _, x := range w.watched {
		out = append(out, x.checks()...)
	}
	return append(out, []check{
		{what: "Measure form", difference: w.formFilled(), how: "readings typed on the Measure form since: run estimate again",
			says: "Measure form is filled in since: run sillwright estimate"},
		{what: "Hours and their rate", difference: fmt.Sprintf(`COUNTIF(%s,"%s")-%d`, w.labor.Column("Cost"), noLaborRate, w.hoursWithoutRate()), how: "hours have a labor rate on Job",
			says: "hours on Labor have no labor rate: type labor rate on Job, or clear the hours"},
		{what: "Overrides", difference: w.countStates(&w.materials.Grid, notACount), how: "a count typed in Override is a whole number, 0 or more",
			says: "Override on Materials is no count: type how many to buy, or clear it"},
		{what: "Plans and quantities", difference: w.staleItems(), how: "items whose quantity changed after estimating: run estimate again",
			says: "quantities changed, plans no longer fit: run sillwright estimate"},
		{what: "Suppliers and plan", difference: w.stalePins(), how: "items for which another supplier was chosen after estimating: run estimate again",
			says: "another supplier is chosen on Orders: run sillwright estimate"},
		{what: "Rows in their order", difference: w.outOfOrder(), how: "the rows of results stand as they were written: put them back by No.",
			says: "rows of results were moved: put them back by No., or run sillwright estimate"},
		{what: "By opening and Materials", difference: less(w.byOpening.At(jobMaterials, "Materials"), materials), how: "the openings' costs and the surplus are the materials", says: totals},
		{what: "Takeoff and By opening", difference: less(w.takeoffSum(), w.byOpening.At(usedByOpenings, "Materials")), how: "the rows of Takeoff are the openings' costs", says: totals},
		{what: "Summary and Materials", difference: less(amount("materials"), materials), how: "the bid starts from the materials", says: totals},
		{what: "Used and surplus", difference: less(w.useTotal("Used")+"+"+w.useTotal("Surplus"), w.useTotal("Cost")), how: "of every item they are its cost", says: totals},
		{what: "Orders and Materials", difference: less(w.orders.At(allOrders, "Materials"), materials), how: "the orders are all of the materials", says: totals},
		{what: "Boards and their parts", difference: w.boardsAdd, how: "pieces, kerf, end trim and offcut are the length of the stock", says: totals},
		{what: "Parts of the total", difference: less(amount("cost").String()+"+"+amount("profit").String(), amount("total")), how: "cost and profit are the total", says: totals},
		{what: "Where the money goes", difference: less(w.money.At(moneyTotal, "Amount"), amount("total")), how: "its parts are the total", says: totals},
	}...)
}

// checks hold the inputs of a table against what they were when estimated, and their
// values against what they may be.
func (x *watched) checks() (out []check) {
	at := func(head string) string { return x.state.Cell(x.state.First(), head).String() }
	if x.key == sheet.LineNo || len(x.held) > 0 {
		difference := fmt.Sprintf("%s+ABS(%s)+%s", at("Rows changed"), at("Cells more"), at("Out of order"))
		first := fmt.Sprintf(`IF(%s<>"",%s,IF(%s=0,"","%s: rows in another order, or more of them"))`, at("First change"), at("First change"), difference, x.title())
		out = append(out, check{what: x.name + " as estimated", difference: difference, where: first,
			how: "inputs of which a change needs a new run, and rows that came or went"})
	}
	if len(x.live) > 0 {
		out = append(out, check{what: x.name + ", values", difference: at("Faults"), where: at("First fault"),
			how: "numbers in their range, words of their list; what is not is taken as it was when estimated"})
	}
	return out
}

// hoursWithoutRate counts the tasks that had hours and no rate when estimated, an error
// of the run.
func (w *writer) hoursWithoutRate() (n int) {
	for _, l := range w.in.Plan.Labor {
		if l.Hours.Set && !l.Cost.Set {
			n++
		}
	}
	return n
}

// staleCount counts prices, terms and counts that differ from when estimated: the price
// is that of the purchase as it stands, and a new run may buy cheaper.
func (w *writer) staleCount() string {
	moved := func(x *watched) string { return x.state.Cell(x.state.First(), "Moved").String() }
	counts := "0"
	if !w.use.Empty() {
		counts = "SUM(" + w.use.Column("Moved").String() + ")"
	}
	return moved(w.watchedPrices) + "+" + moved(w.watchedTerms) + "+" + counts
}

// outOfOrder counts the rows of results that do not stand where they were written.
func (w *writer) outOfOrder() string {
	parts := []string{"0"}
	for _, t := range []*xlsx.Grid{&w.byOpening.Grid, &w.takeoff.Grid, &w.materials.Grid, &w.use.Grid, &w.quotes.Grid, &w.costs.Grid, &w.labor.Grid} {
		if t.Last() > t.First() {
			parts = append(parts, fmt.Sprintf("SUMPRODUCT((%s-%s<>1)*1)", t.Rows(t.First()+1, t.Last(), "No."), t.Rows(t.First(), t.Last()-1, "No.")))
		}
	}
	return strings.Join(parts, "+")
}

// formFilled counts what is typed into the boxes of the Measure form.
func (w *writer) formFilled() string {
	if w.form == nil || w.form.Empty() {
		return "0"
	}
	return "COUNTA(" + w.form.Block(w.form.First(), w.form.Last(), "Width 1", "Sketch").String() + ")"
}

// whenEstimatedSheet writes the hidden sheet.
func (w *writer) whenEstimatedSheet(p *xlsx.Sheet) {
	p.Hide()
	p.Row(xlsx.Str(xlsx.Title, WhenEstimated))
	p.Row(xlsx.Str(xlsx.Subtitle, "Every input as it was when estimated, and as it is now. Type nothing here."))
	w.showMaster(p)
	p.Skip(1)
	for _, x := range w.watched {
		x.write(p)
	}
	for _, r := range w.remembered() {
		r.write(p)
	}
}

// checksSheet lists what was reconciled and every problem, in the words that
// the terminal shows.
func (w *writer) checksSheet(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Title, "Checks"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each difference must be 0. Below: every problem, with its cell. Beside the state: how many checks fail, and how many prices and counts differ."))
	p.Strip(xlsx.Wide{Cell: xlsx.LinkToSheet("Summary", "Summary")})
	p.Skip(1)
	t := xlsx.NewTable(p, "Agreement", checkColumns)
	t.Header()
	for _, c := range w.checks() {
		t.Row(c)
	}
	states, m := t.Column("State"), w.masterLine
	put := func(head, f string, v any, l xlsx.Look) {
		m.Put(masterRow, map[string]xlsx.Cell{head: xlsx.Formula(f, v, l)})
	}
	put("Failed", fmt.Sprintf(`%d-COUNTIF(%s,"%s")`, len(w.checks()), states.Local(), holdsWord), 0, xlsx.Count)
	put("Stale", w.staleCount(), 0, xlsx.Count)
	failed, stale := m.Cell(masterRow, "Failed").Local(), m.Cell(masterRow, "Stale").Local()
	put("State", fmt.Sprintf(`IF(%s=0,IF(%s=0,"%s","%s"),"%s")`, failed, stale, holds, isStale, fails), holds, xlsx.Good)
	first := fmt.Sprintf(`IF(COUNTIF(%s,"%s")=0,"%s",INDEX(%s,MATCH("%s",%s,0)))`, states.Local(), differsWord, noCheck, t.Column("Says").Local(), differsWord, states.Local())
	put("Says", fmt.Sprintf(`IF(%s=0,IF(%s=0,"","%s"),%s)`, failed, stale, staleSays, first), "", xlsx.Alert)
	states.Highlight(t.Cell(t.First(), "State").FixedColumn()+`<>"`+holdsWord+`"`, xlsx.Bad)
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
func (w *writer) stalePins() string { return w.countStates(&w.quotes.Grid, runAgain) }

// staleItems counts the items whose plan an edit has overtaken.
func (w *writer) staleItems() string { return w.countStates(&w.use.Grid, runAgain) }

// countStates counts the rows of a table in a state.
func (w *writer) countStates(t *xlsx.Grid, state string) string {
	if t.Empty() {
		return "0"
	}
	return fmt.Sprintf(`COUNTIF(%s,"%s")`, t.Column("State"), state)
}

// takeoffSum sums the Cost column of Takeoff.
func (w *writer) takeoffSum() string {
	if w.takeoff.Empty() {
		return "0"
	}
	return "SUM(" + w.takeoff.Column("Cost").Moving() + ")"
}
