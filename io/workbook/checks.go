package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// masterRow is the row of the one check that every sheet repeats.
const masterRow = 3

// words of the master check.
const (
	holds   = "Every sum holds"
	differs = "LOOK at Checks"

	differsWord = "differs" // of a line of Checks
)

// master returns the value of the master check at the run: by construction
// every sum holds, and a test recalculates each.
func (w *writer) master() string { return holds }

// checksSheet lists what was reconciled and every problem, in the words that
// the terminal shows.
func (w *writer) checksSheet() {
	p := w.checks
	p.Row(xlsx.Str(xlsx.Title, "Checks"))
	p.Row(xlsx.Str(xlsx.Subtitle, "Each difference reads 0. Below: every problem, with its cell."))
	p.Row(xlsx.Str(xlsx.Text, "Checks:"), xlsx.Cell{}, xlsx.Cell{}, xlsx.LinkTo("Summary!A1", "Summary"))
	p.Skip(1)
	p.Row(xlsx.Strs(xlsx.Heading, "What must agree", "State", "Difference", "How")...)
	first := p.Next()
	lines := []struct{ what, f, how string }{
		{"By opening and Materials", fmt.Sprintf("ROUND(%s-%s,2)", w.bid["by opening"], w.bid["materials"]), "costs of the openings, and what is not used, are the materials"},
		{"Takeoff and By opening", fmt.Sprintf("ROUND(%s-%s,2)", w.takeoffSum(), w.bid["shares"]), "the rows of Takeoff are the openings' costs"},
		{"Summary and Materials", fmt.Sprintf("ROUND(%s-%s,2)", w.bid["materials cell"], w.bid["materials"]), "the bid starts from the materials"},
		{"Used and not used", fmt.Sprintf("ROUND(%s+%s-%s,2)", w.useTotal("I"), w.useTotal("J"), w.useTotal("H")), "of every item"},
		{"Plans and quantities", w.staleLines(), "items whose quantity was changed since the run: run estimate again"},
		{"Suppliers and plan", w.stalePins(), "items for which another supplier was chosen since the run: run estimate again"},
		{"Orders and Materials", fmt.Sprintf("ROUND(%s-%s,2)", w.bid["ordered"], w.bid["materials"]), "the orders are all of the materials"},
		{"Boards and their parts", w.boardsAdd, "pieces, saw cuts and what is left are the length of the stock"},
		{"Parts of the total", fmt.Sprintf("ROUND(%s+%s-%s,2)", w.bid["cost cell"], w.bid["profit cell"], w.bid["total cell"]), "cost and profit are the total"},
		{"Where the money goes", fmt.Sprintf("ROUND(%s-%s,2)", w.bid["money"], w.bid["total cell"]), "its parts are the total"},
	}
	for _, l := range lines {
		row := p.Next()
		p.Row(xlsx.Str(xlsx.Text, l.what), xlsx.Formula(fmt.Sprintf("IF(C%d=0,\"holds\",\"%s\")", row, differsWord), "holds", xlsx.Good), xlsx.Formula(l.f, 0.0, xlsx.Money), xlsx.Str(xlsx.TextWrap, l.how))
	}
	last := p.Next() - 1
	p.Set(masterRow, 2, xlsx.Formula(fmt.Sprintf("IF(COUNTIF(B%d:B%d,\"%s\")=0,\"%s\",\"%s\")", first, last, differsWord, holds, differs), w.master(), xlsx.Good))
	p.Highlight(formula.Range(first, 2, last, 2), fmt.Sprintf("$C%d<>0", first), xlsx.Bad)
	p.Highlight(formula.Cell(masterRow, 2), fmt.Sprintf("$B$%d<>\"%s\"", masterRow, holds), xlsx.Bad)
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Problems"))
	problems(p, w.in.Problems)
	p.Widths(34, 22, 12, 90)
	p.Freeze(masterRow, 0)
}

// problems writes a table of problems, in the words that the terminal shows.
func problems(p *xlsx.Sheet, list []estimate.Problem) {
	header := p.Row(xlsx.Strs(xlsx.Heading, "Where", "Sort", "Number", "What is wrong, and what to do")...)
	if len(list) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "nothing to report"))
		return
	}
	for i, x := range list {
		look := map[estimate.Severity]xlsx.Look{estimate.Error: xlsx.Bad, estimate.Warning: xlsx.Warn, estimate.Note: xlsx.TextCenter}[x.Severity]
		p.Row(xlsx.Str(xlsx.TextWrap, x.Place.String()), xlsx.Str(look, x.Severity.String()), xlsx.Num(i+1, xlsx.Count), xlsx.Str(xlsx.TextWrap, x.Sentence()))
	}
	p.AddTable("ProblemList", header, p.Next()-1, 1, 4)
}

// stalePins counts the items for which another supplier was chosen than the
// plan's.
func (w *writer) stalePins() string {
	if w.quotes[1] < w.quotes[0] {
		return "0"
	}
	return fmt.Sprintf("COUNTIF(Orders!$%s$%d:$%s$%d,\"%s\")", w.quoteState, w.quotes[0], w.quoteState, w.quotes[1], runAgain)
}

// staleLines counts the items whose plan an edit has overtaken.
func (w *writer) staleLines() string {
	if w.lastUse < firstRow {
		return "0"
	}
	return fmt.Sprintf("COUNTIF(%s,\"%s\")", w.use.Range(firstRow, 12, w.lastUse, 12), runAgain)
}

// takeoffSum sums the Cost column of Takeoff.
func (w *writer) takeoffSum() string {
	rows := len(w.in.Takeoff.Requirements)
	if rows == 0 {
		return "0"
	}
	return fmt.Sprintf("SUM(Takeoff!L%d:L%d)", firstRow, firstRow+rows-1)
}
