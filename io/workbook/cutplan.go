package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// CutInput is a cutting plan that stands alone, without an estimate.
type CutInput struct {
	File     string // base name of the list of pieces
	MM       bool   // lengths are shown in millimetres
	Problem  cut.Problem
	Stocks   []string // what each of Problem.Stocks is called; may be ""
	Plan     cut.Plan
	Problems []estimate.Problem // sorted
}

// CutPlan returns a workbook of a cutting plan: what to buy and what it costs,
// as live formulas, and the layouts of the boards with their picture. The same
// input gives the same bytes.
func CutPlan(in CutInput) ([]byte, error) {
	o := newOut(docProps{Title: "Cutting plan of " + in.File, Subject: "Pieces cut from boards at the least cost", Description: "Written by Sillwright from " + in.File})
	o.header = in.File
	o.caution = "Measure, and check the first piece, before you cut the rest"
	p, boards := o.sheet("Plan"), o.sheet("Boards")
	p.landscape(true)
	boards.landscape(true)
	u := unitsOf(in.MM)
	p.row(str(title, "Cutting plan"))
	p.row(str(subtitle, fmt.Sprintf("%s to cut, %s", in.File, in.costWords())))
	p.skip(1)
	in.stockTable(p, u)
	in.problemTable(p)
	p.widths(26, 14, 12, 10, 12, 12, 18, 30)
	boards.row(str(title, "Boards"))
	boards.row(str(subtitle, "A row for each way to cut a board. HELD = leave that length whole until it is measured."))
	boards.skip(1)
	s := boardsWriter{p: boards, u: u}
	if len(in.Plan.Boards) > 0 {
		s.block(stockPlan{
			head: in.File, facts: []string{in.costWords()}, problem: in.Problem, plan: in.Plan,
			piece: func(i int) pieceText {
				w := in.Problem.Pieces[i]
				return pieceText{length: u.shop(w.Length), what: w.Label, mark: w.Label, held: w.Held}
			},
		})
	} else {
		boards.row(str(text, "Nothing is cut."))
	}
	s.finish()
	return o.bytes()
}

// costWords says what the plan costs, in the currency of the stock's prices.
func (in CutInput) costWords() string { return costWords(in.Plan, "") }

// stockTable writes what to buy, a row a stock, and the cost beside the bound
// and what first fit would cost.
func (in CutInput) stockTable(p *page, u units) {
	heads := []string{"Stock", "Length", "Length, " + u.name(estimate.Lengthwise), "Boards", "Price", "Cost", "Available"}
	header := p.row(strs(heading, heads...)...)
	counts := make([]int, len(in.Problem.Stocks))
	for _, b := range in.Plan.Boards {
		counts[b.Stock]++
	}
	first, sum := p.next(), measure.Money(0)
	for i, s := range in.Problem.Stocks {
		row := p.next()
		available := str(textRight, "unlimited")
		if s.Available >= 0 {
			available = num(s.Available, count)
		}
		extension := measure.Extension(int64(counts[i]), s.Price)
		sum += extension
		p.row(str(text, in.Stocks[i]), str(textRight, u.words(s.Length)), num(u.length(s.Length), inches), num(counts[i], count), num(s.Price, unitPrice),
			formula(cents(fmt.Sprintf("D%d*E%d", row, row), extensionDecimals), extension, money), available)
	}
	last := p.next() - 1
	if last > header {
		p.table("StockBought", header, last, 1, len(heads))
	}
	cells := slices.Repeat([]cell{blank(totalText)}, len(heads))
	cells[0] = str(totalText, "Cost of the plan")
	cells[3] = formula(sumOf("D", first, last), len(in.Plan.Boards), totalCount)
	cells[5] = formula(sumOf("F", first, last), sum, total)
	p.row(cells...)
	p.row(str(text, "No plan costs less than"), blank(text), blank(text), blank(text), blank(text), num(in.Plan.Bound, unitPrice))
	if in.Plan.FirstFit > 0 {
		p.row(str(text, "First fit, by hand"), blank(text), blank(text), blank(text), blank(text), num(in.Plan.FirstFit, unitPrice))
	}
	p.skip(1)
}

// problemTable writes what was wrong with the lists.
func (in CutInput) problemTable(p *page) {
	if len(in.Problems) == 0 {
		return
	}
	p.row(str(section, "Problems"))
	for _, x := range in.Problems {
		p.banner(textWrap, x.String(), 8)
	}
}
