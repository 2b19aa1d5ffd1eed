package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
	o := xlsx.New(xlsx.Properties{Title: "Cutting plan of " + in.File, Subject: "Pieces cut from boards at the least cost", Description: "Written by Sillwright from " + in.File})
	o.Header = in.File
	o.Footer = "Measure, and check the first piece, before you cut the rest"
	p, boards := o.AddSheet("Plan"), o.AddSheet("Boards")
	p.Landscape(true)
	boards.Landscape(true)
	u := estimate.UnitsOf(in.MM)
	p.Row(xlsx.Str(xlsx.Title, "Cutting plan"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%s to cut, %s", in.File, in.costWords())))
	p.Skip(1)
	in.stockTable(p, u)
	in.problemTable(p)
	p.Widths(26, 14, 12, 10, 12, 12, 18, 30)
	boards.Row(xlsx.Str(xlsx.Title, "Boards"))
	boards.Row(xlsx.Str(xlsx.Subtitle, "A row for each way to cut a board. HELD = leave that length whole until it is measured."))
	boards.Skip(1)
	s := boardsWriter{p: boards, u: u}
	if len(in.Plan.Boards) > 0 {
		s.block(stockPlan{
			head: in.File, facts: []string{in.costWords()}, problem: in.Problem, plan: in.Plan,
			piece: func(i int) pieceText {
				w := in.Problem.Pieces[i]
				return pieceText{length: u.Shop(w.Length), what: w.Label, mark: w.Label, held: w.Held}
			},
		})
	} else {
		boards.Row(xlsx.Str(xlsx.Text, "Nothing is cut."))
	}
	s.finish()
	return o.Bytes()
}

// costWords says what the plan costs, in the currency of the stock's prices.
func (in CutInput) costWords() string { return costWords(in.Plan, "") }

// stockTable writes what to buy, a row a stock, and the cost beside the bound
// and what first fit would cost.
func (in CutInput) stockTable(p *xlsx.Sheet, u estimate.Units) {
	heads := []string{"Stock", "Length", "Length, " + u.Name(estimate.Lengthwise), "Boards", "Price", "Cost", "Available"}
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	counts := make([]int, len(in.Problem.Stocks))
	for _, b := range in.Plan.Boards {
		counts[b.Stock]++
	}
	first, sum := p.Next(), measure.Money(0)
	for i, s := range in.Problem.Stocks {
		row := p.Next()
		available := xlsx.Str(xlsx.TextRight, "unlimited")
		if s.Available >= 0 {
			available = xlsx.Num(s.Available, xlsx.Count)
		}
		extension := measure.Extension(int64(counts[i]), s.Price)
		sum += extension
		p.Row(xlsx.Str(xlsx.Text, in.Stocks[i]), xlsx.Str(xlsx.TextRight, u.Words(s.Length)), xlsx.Num(u.Length(s.Length), xlsx.Inches), xlsx.Num(counts[i], xlsx.Count), xlsx.Num(s.Price, xlsx.UnitPrice),
			xlsx.Formula(formula.Cents(fmt.Sprintf("D%d*E%d", row, row), formula.ExtensionDecimals), extension, xlsx.Money), available)
	}
	last := p.Next() - 1
	if last > header {
		p.AddTable("StockBought", header, last, 1, len(heads))
	}
	cells := slices.Repeat([]xlsx.Cell{xlsx.Blank(xlsx.TotalText)}, len(heads))
	cells[0] = xlsx.Str(xlsx.TotalText, "Cost of the plan")
	cells[3] = xlsx.Formula(formula.SumOf("D", first, last), len(in.Plan.Boards), xlsx.TotalCount)
	cells[5] = xlsx.Formula(formula.SumOf("F", first, last), sum, xlsx.Total)
	p.Row(cells...)
	p.Row(xlsx.Str(xlsx.Text, "No plan costs less than"), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Num(in.Plan.Bound, xlsx.UnitPrice))
	if in.Plan.FirstFit > 0 {
		p.Row(xlsx.Str(xlsx.Text, "First fit, by hand"), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Num(in.Plan.FirstFit, xlsx.UnitPrice))
	}
	p.Skip(1)
}

// problemTable writes what was wrong with the lists.
func (in CutInput) problemTable(p *xlsx.Sheet) {
	if len(in.Problems) == 0 {
		return
	}
	p.Row(xlsx.Str(xlsx.Section, "Problems"))
	for _, x := range in.Problems {
		p.Banner(xlsx.TextWrap, x.String(), 8)
	}
}
