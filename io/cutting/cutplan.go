package cutting

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// Input is a cutting plan that stands alone, without an estimate.
type Input struct {
	File     string // base name of the list of pieces
	MM       bool   // lengths are shown in millimeters
	Problem  cut.Problem
	Stocks   []string // what each of Problem.Stocks is called; may be ""
	Plan     cut.Plan
	Problems []estimate.Problem // sorted
}

// Workbook returns a workbook of a cutting plan: what to buy and what it costs,
// as live formulas, and the cutting patterns of the boards with their picture. The
// same input gives the same bytes.
func Workbook(in Input) ([]byte, error) {
	o := xlsx.New(xlsx.Properties{
		Title: "Cutting plan of " + in.File, Subject: "Pieces cut from boards at the lowest cost", Description: "Written by Sillwright from " + in.File,
	})
	o.Header = in.File
	o.Footer = "Measure, and check the first piece, before you cut the rest"
	u := estimate.UnitsOf(in.MM)
	in.planSheet(o.AddSheet("Plan"), u)
	in.boardsSheet(o.AddSheet("Boards"), u)
	return o.Bytes()
}

// costWords says what the plan costs, in the currency of the stock's prices.
func (in Input) costWords() string { return CostWords(in.Plan, "") }

// boughtStock is a stock, and how much of it the plan takes.
type boughtStock struct {
	cut.Stock
	name      string
	boards    int
	extension measure.Money
}

// bought returns what the plan takes of each stock, and what all of it costs.
func (in Input) bought() (list []boughtStock, sum measure.Money) {
	counts := make([]int, len(in.Problem.Stocks))
	for _, b := range in.Plan.Boards {
		counts[b.Stock]++
	}
	for i, s := range in.Problem.Stocks {
		x := boughtStock{s, in.Stocks[i], counts[i], measure.Extension(int64(counts[i]), s.Price)}
		list, sum = append(list, x), sum+x.extension
	}
	return list, sum
}

func boughtColumns(u estimate.Units) []xlsx.Column[boughtStock] {
	return []xlsx.Column[boughtStock]{
		{Head: "Stock", Width: 26, Cell: func(s boughtStock) xlsx.Cell { return xlsx.Str(xlsx.Text, s.name) }},
		{Head: "Length", Width: 14, Cell: func(s boughtStock) xlsx.Cell { return xlsx.Str(xlsx.TextRight, u.Words(s.Length)) }},
		{Head: "Length, " + u.Name(estimate.Lengthwise), Width: 12, Cell: func(s boughtStock) xlsx.Cell { return xlsx.Num(u.Length(s.Length), xlsx.Inches) }},
		{Head: "Boards", Width: 10, Cell: func(s boughtStock) xlsx.Cell { return xlsx.Num(s.boards, xlsx.Count) }},
		{Head: "Price", Width: 12, Cell: func(s boughtStock) xlsx.Cell { return xlsx.Num(s.Price, xlsx.UnitPrice) }},
		{Head: "Cost", Width: 12, Cell: func(s boughtStock) xlsx.Cell {
			return xlsx.Formula(formula.Cents("{Boards}*{Price}", formula.ExtensionDecimals), s.extension, xlsx.Money)
		}},
		{Head: "Available", Width: 18, Cell: func(s boughtStock) xlsx.Cell {
			if s.Available < 0 {
				return xlsx.Str(xlsx.TextRight, "unlimited")
			}
			return xlsx.Num(s.Available, xlsx.Count)
		}},
		{Head: "Problems", Width: 30, Aside: true},
	}
}

// planSheet writes what to buy, a row a stock, the cost beside the bound and what first
// fit would cost, and what was wrong with the lists.
func (in Input) planSheet(p *xlsx.Sheet, u estimate.Units) {
	p.Landscape(true)
	p.Row(xlsx.Str(xlsx.Title, "Cutting plan"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%s to cut, %s", in.File, in.costWords())))
	p.Skip(1)
	t := xlsx.NewTable(p, "StockBought", boughtColumns(u))
	t.Header()
	list, sum := in.bought()
	for _, s := range list {
		t.Row(s)
	}
	t.Filter()
	t.Total("Cost of the plan", map[string]xlsx.Cell{
		"Boards": xlsx.Formula(t.Sum("Boards"), len(in.Plan.Boards), xlsx.TotalCount),
		"Cost":   xlsx.Formula(t.Sum("Cost"), sum, xlsx.Total),
	})
	beside := func(words string, cost measure.UnitPrice) {
		t.Line(xlsx.Span{From: "Stock", To: "Price", Apart: true, Cell: xlsx.Str(xlsx.Text, words)}, xlsx.Span{From: "Cost", Cell: xlsx.Num(cost, xlsx.UnitPrice)})
	}
	beside("Lowest possible", in.Plan.Bound)
	if in.Plan.FirstFitCost > 0 {
		beside("By hand, longest piece first", in.Plan.FirstFitCost)
	}
	p.Skip(1)
	if len(in.Problems) > 0 {
		p.Row(xlsx.Str(xlsx.Section, "Problems"))
	}
	for _, x := range in.Problems {
		t.Banner(xlsx.TextWrap, x.String())
	}
}

// boardsSheet writes how the boards are cut.
func (in Input) boardsSheet(p *xlsx.Sheet, u estimate.Units) {
	p.Landscape(true)
	p.Row(xlsx.Str(xlsx.Title, "Boards"))
	p.Row(xlsx.Str(xlsx.Subtitle, "A row and a bar a cutting pattern, pieces in cutting order. "+HoldWords))
	p.Skip(1)
	s := NewWriter(p, u)
	if len(in.Plan.Boards) > 0 {
		s.Block(Plan{
			Head: in.File, Facts: []string{in.costWords()}, Problem: in.Problem, Plan: in.Plan,
			Piece: func(i int) Text {
				w := in.Problem.Pieces[i]
				return Text{Length: u.Shop(w.Length), What: w.Label, Mark: w.Label, Held: w.Held}
			},
		})
	}
	s.Finish()
}
