package workbook

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// netOf heads what comes back for a line that is left whole.
const netOf = "Net value"

func returnColumns() []xlsx.Column[pricing.Return] {
	type row = pricing.Return
	text := func(l xlsx.Look, of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell { return xlsx.Str(l, of(r)) }
	}
	return []xlsx.Column[row]{
		{Head: "Item", Cell: text(xlsx.Text, func(r row) string { return r.Item })},
		{Head: "Supplier", Cell: text(xlsx.TextWrap, func(r row) string { return r.Supplier })},
		{Head: "Order", Cell: text(xlsx.TextWrap, func(r row) string { return r.Order })},
		{Head: "Invoice", Cell: text(xlsx.TextWrap, func(r row) string { return r.Invoice })},
		{Head: "Pack", Cell: text(xlsx.Text, func(r row) string { return cmp.Or(r.PackReceived, r.Pack) })},
		{Head: "Price", Cell: func(r row) xlsx.Cell {
			if !r.Price.Set {
				return xlsx.Str(xlsx.TextRight, "no price")
			}
			return xlsx.Num(r.Price.V, xlsx.UnitPrice)
		}},
		{Head: "Return by", Cell: func(r row) xlsx.Cell {
			if !r.By.Set {
				return xlsx.Str(xlsx.TextRight, notStated)
			}
			return xlsx.Num(r.By.V, xlsx.Date)
		}},
		{Head: "Count", Cell: func(r row) xlsx.Cell { return xlsx.Num(r.Count, xlsx.Count) }},
		{Head: "Cannot be returned", Cell: text(xlsx.TextWrap, pricing.Return.Stays)},
		{Head: "Restocking", Cell: func(r row) xlsx.Cell {
			if !r.Restocking.Set {
				return xlsx.Str(xlsx.TextRight, notStated)
			}
			return xlsx.Num(r.Restocking.V, xlsx.Percent)
		}},
		{Head: netOf, Cell: func(r row) xlsx.Cell {
			net := r.Net()
			switch {
			case r.Stays() != "":
				return xlsx.Str(xlsx.TextRight, "stays")
			case !net.Set:
				return xlsx.Str(xlsx.TextRight, "no price")
			}
			return xlsx.Formula(formula.Cents("{Count}*{Price}*(1-IF(ISNUMBER({Restocking}),{Restocking},0))", formula.ReturnDecimals), net.V, xlsx.Money)
		}},
	}
}

// leftWhole lists what the plan leaves whole of what was bought, to take back, with a sum
// for each supplier.
func (w *writer) leftWhole(p *xlsx.Sheet) {
	list := w.in.Remaining.Returns()
	if len(list) == 0 {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Left whole, if nothing more is lost: to take back, or for the next job"))
	t := xlsx.NewTable(p, "LeftWhole", returnColumns())
	t.HeaderOnly()
	line := func(words string, list []pricing.Return, f string) xlsx.Ref {
		sum := measure.Money(0)
		for _, r := range list {
			if r.Stays() == "" {
				sum = sum.Plus(r.Net().V)
			}
		}
		row := t.Line(xlsx.Span{From: "Item", To: "Restocking", Cell: xlsx.Str(xlsx.TotalTextWrap, words+leavesOut(list))},
			xlsx.Span{From: netOf, Cell: xlsx.Formula(f, sum, xlsx.Total)})
		return t.Cell(row, netOf)
	}
	var sums []string
	for at := 0; at < len(list); {
		first, supplier := p.Next(), list[at].Supplier
		end := at
		for ; end < len(list) && list[end].Supplier == supplier; end++ {
			t.Row(list[end])
		}
		sums = append(sums, line("Can go back to "+cmp.Or(supplier, "a supplier that is not stated"), list[at:end], t.SumRows(first, p.Next()-1, netOf)).Local())
		at = end
	}
	line("All that can go back", list, strings.Join(sums, "+"))
}

// leavesOut says in words what a sum of returns leaves out, and what of it is not sure.
func leavesOut(list []pricing.Return) string {
	count := func(of func(pricing.Return) bool) (n int) {
		for _, r := range list {
			if of(r) {
				n++
			}
		}
		return n
	}
	goes := func(r pricing.Return) bool { return r.Stays() == "" }
	var out []string
	for _, x := range []struct {
		n     int
		words string
	}{
		{count(func(r pricing.Return) bool { return r.NoReturn != "" }), "without %d that cannot be returned"},
		{count(func(r pricing.Return) bool { return r.Stays() == pricing.TooLate }), "without %d for which it is too late"},
		{count(func(r pricing.Return) bool { return goes(r) && !r.Price.Set }), "WITHOUT %d that have no price"},
		{count(func(r pricing.Return) bool { return goes(r) && !r.Restocking.Set }), "%d gross: restocking not stated"},
		{count(func(r pricing.Return) bool { return goes(r) && !r.By.Set }), "%d with no last day stated"},
	} {
		if x.n > 0 {
			out = append(out, fmt.Sprintf(x.words, x.n))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return ": " + strings.Join(out, "; ")
}
