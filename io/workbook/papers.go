package workbook

import (
	"fmt"

	"sillwright/estimate"
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
	p.row(str(title, "Checks"))
	p.row(str(subtitle, "Each difference reads 0. Below: every problem, with its cell."))
	p.row(str(text, "Checks:"), cell{}, cell{}, linkTo("Summary!A1", "Summary"))
	p.skip(1)
	p.row(strs(heading, "What must agree", "State", "Difference", "How")...)
	first := p.next()
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
		row := p.next()
		p.row(str(text, l.what), formula(fmt.Sprintf("IF(C%d=0,\"holds\",\"%s\")", row, differsWord), "holds", good), formula(l.f, 0.0, money), str(textWrap, l.how))
	}
	last := p.next() - 1
	p.set(masterRow, 2, formula(fmt.Sprintf("IF(COUNTIF(B%d:B%d,\"%s\")=0,\"%s\",\"%s\")", first, last, differsWord, holds, differs), w.master(), good))
	p.highlight(span(first, 2, last, 2), fmt.Sprintf("$C%d<>0", first), bad)
	p.highlight(ref(masterRow, 2), fmt.Sprintf("$B$%d<>\"%s\"", masterRow, holds), bad)
	p.skip(1)
	p.row(str(section, "Problems"))
	p.problems(w.in.Problems)
	p.widths(34, 22, 12, 90)
	p.freeze(masterRow, 0)
}

// problems writes a table of problems, in the words that the terminal shows.
func (p *page) problems(list []estimate.Problem) {
	header := p.row(strs(heading, "Where", "Sort", "Number", "What is wrong, and what to do")...)
	if len(list) == 0 {
		p.row(str(text, "nothing to report"))
		return
	}
	for i, x := range list {
		look := map[estimate.Severity]look{estimate.Error: bad, estimate.Warning: warn, estimate.Note: textCentre}[x.Severity]
		what := x.What
		if x.Do != "" {
			what += " (" + x.Do + ")"
		}
		p.row(str(textWrap, x.Place.String()), str(look, x.Severity.String()), num(i+1, count), str(textWrap, what))
	}
	p.table("ProblemList", header, p.next()-1, 1, 4)
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
	return fmt.Sprintf("COUNTIF(%s,\"%s\")", w.use.span(firstRow, 12, w.lastUse, 12), runAgain)
}

// takeoffSum sums the Cost column of Takeoff.
func (w *writer) takeoffSum() string {
	rows := len(w.in.Takeoff.Requirements)
	if rows == 0 {
		return "0"
	}
	return fmt.Sprintf("SUM(Takeoff!L%d:L%d)", firstRow, firstRow+rows-1)
}

// measuringHeads are those of the sheet Measured, into which the filled form
// is typed; Ordered is what to compare with.
var measuringHeads = []string{"Mark", "Piece", "Ordered", "Width 1", "Width 2", "Width 3", "Height 1", "Height 2", "Height 3", "Diagonal 1", "Diagonal 2", "High end", "Rise", "Initials", "Of"}

// writtenHeight is that of a row to write into by hand, in points.
const writtenHeight = 30.0

// measuringSheet prints a blank form: a line a piece that is neither measured nor cut.
func (w *writer) measuringSheet() {
	p := w.measuring
	p.row(str(title, "Measuring"))
	p.row(str(subtitle, "After setting: out to out of the frame where the trim will stand. Three widths, three heights, both diagonals; the high end of the sill and by how much. "+
		"Type the readings on the sheet Measured of the schedule, and run estimate again."))
	w.masterLine(p)
	p.skip(1)
	header := p.row(strs(heading, measuringHeads...)...)
	for _, o := range w.in.Takeoff.Openings {
		if o.Layout == estimate.NoTrim || o.Status.TrimDone() || o.Measured.Known() {
			continue
		}
		for piece := int64(1); piece <= o.Qty; piece++ {
			cells := make([]cell, len(measuringHeads))
			for i := range cells {
				cells[i] = blank(tick)
			}
			cells[0], cells[1], cells[2] = str(big, o.Mark), num(piece, bigCount), str(big, w.u.size(o.Frame))
			p.height(p.row(cells...), writtenHeight)
		}
	}
	p.widths(9, 7, 18, 8.5, 8.5, 8.5, 8.5, 8.5, 8.5, 9.5, 9.5, 7, 7, 7.5, 7)
	p.freeze(header, 1)
	p.titleRows(header, header)
}

// sourcesSheet prints the rules, and what is cited beside them: what each
// computes and where its figures come from.
func (w *writer) sourcesSheet() {
	p := w.sources
	w.top(p, "Sources", "How each amount is worked out. 'read' means the words were read in a copy; 'from memory' and 'common practice' are settings to change, never published figures.")
	header := p.row(strs(heading, "Rule", "What it gives", "Formula", "Source")...)
	for _, r := range estimate.SourceRows() {
		p.row(str(text, r.Rule), str(textWrap, r.Gives), str(textWrap, r.Formula), str(textWrap, r.Source))
	}
	p.widths(14, 38, 56, 70)
	p.finish("RuleSources", header, 4, 1)
}
