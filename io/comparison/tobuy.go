package comparison

import (
	"cmp"
	"fmt"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing/compare"
)

// buySums is the line below To buy.
const buySums = "Before delivery and tax"

// buySheet writes what there is and what is needed, line by line.
func (w *revisionWriter) buySheet(p *xlsx.Sheet) func() {
	top(p, "To buy", "What the earlier estimate buys and had on hand, and what the later one needs of it, with what was cut for nothing. "+
		"Planned on those boards, rolls and packs first; what the later estimate has on hand is not counted again.")
	w.buy = xlsx.NewTable(p, "BuyChanges", buyColumns)
	return func() {
		t := w.buy
		fillOr(t, w.in.Revision.Buy, map[string]xlsx.Cell{"Item": xlsx.Str(xlsx.Text, "nothing is bought")})
		sums := w.in.Revision.Sums()
		t.Total(buySums, map[string]xlsx.Cell{
			"To pay":     xlsx.Formula(t.Sum("To pay"), sums.MoreCost, xlsx.Total),
			"Value left": xlsx.Formula(t.Sum("Value left"), sums.LeftWorth, xlsx.Total),
		})
		more := t.Column("To buy")
		more.Highlight(fmt.Sprintf("AND(ISNUMBER(%[1]s),%[1]s>0)", more.FixedColumn()), xlsx.Warn)
	}
}

var buyColumns = []xlsx.Column[compare.BuyChange]{
	{Head: "Item", Width: 20, Frozen: true, Cell: func(b compare.BuyChange) xlsx.Cell { return xlsx.Str(xlsx.Text, b.Item.Key) }},
	{Head: "Name", Width: 32, Cell: func(b compare.BuyChange) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, b.Item.Name) }},
	{Head: "Supplier", Width: 26, Cell: buyText(func(b compare.BuyChange) string { return cmp.Or(b.Supplier, "on hand") })},
	{Head: "Code", Width: 13, Cell: buyText(func(b compare.BuyChange) string { return b.Code })},
	{Head: "Pack", Width: 11, Cell: buyText(func(b compare.BuyChange) string { return b.Content })},
	{Head: "In earlier order", Width: 9, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell { return xlsx.Num(b.Had, xlsx.Count) })},
	{Head: "Needed", Width: 9, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell { return xlsx.Num(b.Needed(), xlsx.Count) })},
	{Head: "To buy", Width: 9, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell {
		return xlsx.Formula("MAX(0,{Needed}-{In earlier order})", b.More, xlsx.Count)
	})},
	{Head: "Surplus", Width: 9, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell {
		return xlsx.Formula("MAX(0,{In earlier order}-{Needed})", b.Left, xlsx.Count)
	})},
	{Head: "Price", Width: 10, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell { return known(b.Price, xlsx.UnitPrice) })},
	{Head: "To pay", Width: 12, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell { return worth("{To buy}", b.MoreCost()) })},
	{Head: "Value left", Width: 12, Cell: buyFigure(func(b compare.BuyChange) xlsx.Cell { return worth("{Surplus}", b.LeftWorth()) })},
	{Head: "State", Width: 18, Cell: buyState},
}

// buyText and buyFigure are cells of what can be bought: a dash where it cannot.
func buyText(of func(compare.BuyChange) string) func(compare.BuyChange) xlsx.Cell {
	return func(b compare.BuyChange) xlsx.Cell {
		if b.State != "" {
			return xlsx.Str(xlsx.Text, none)
		}
		return xlsx.Str(xlsx.Text, of(b))
	}
}

func buyFigure(of func(compare.BuyChange) xlsx.Cell) func(compare.BuyChange) xlsx.Cell {
	return func(b compare.BuyChange) xlsx.Cell {
		if b.State != "" {
			return dash()
		}
		return of(b)
	}
}

// worth is a count at the price of its row, 0 where that is not known.
func worth(count string, v measure.Money) xlsx.Cell {
	return xlsx.Formula(fmt.Sprintf("IF(ISNUMBER({Price}),%s,0)", formula.Cents(count+"*N({Price})", formula.ExtensionDecimals)), v, xlsx.Money)
}

func buyState(b compare.BuyChange) xlsx.Cell {
	state := "the same"
	switch {
	case b.State != "":
		return xlsx.Str(xlsx.Bad, b.State)
	case b.More > 0:
		state = "buy"
	case b.Left > 0:
		state = "surplus"
	}
	return xlsx.Formula(`IF({To buy}>0,"buy",IF({Surplus}>0,"surplus","the same"))`, state, xlsx.TextCenter)
}
