package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// fillComputed writes the alternatives that have figures.
func (w *alternatesWriter) fillComputed(t *xlsx.Table[alternative]) {
	t.Header()
	for _, a := range w.lines {
		if a.Computed {
			t.Keyed(a.key, a)
		}
	}
	t.Finish()
}

// bidsSheet writes the bid of each alternate, as it is built up on Summary.
func (w *alternatesWriter) bidsSheet(p *xlsx.Sheet) func() {
	top(p, "Bids", "Each alternate is a whole estimate of its own, orders and their tax to the cent. Amounts in "+w.currency+".")
	w.bids = xlsx.NewTable(p, "AlternateBids", w.bidColumns())
	return func() { w.fillComputed(w.bids) }
}

func (w *alternatesWriter) bidColumns() []xlsx.Column[alternative] {
	amount := func(head string, width float64, of func(pricing.Bid) measure.Money) xlsx.Column[alternative] {
		return xlsx.Column[alternative]{Head: head, Width: width, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(of(a.Bid), xlsx.Money) }}
	}
	return []xlsx.Column[alternative]{
		{Head: "Alternate", Width: 34, Frozen: true, Cell: func(a alternative) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, a.Name) }},
		{Head: "Materials", Width: 11, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Formula(w.classes.At(a.key, "Materials").String(), a.Bid.Materials, xlsx.Money)
		}},
		amount("Delivery", 9, func(b pricing.Bid) measure.Money { return b.Delivery }),
		amount("Windows and doors", 11, func(b pricing.Bid) measure.Money { return b.Units }),
		amount("Other costs", 10, func(b pricing.Bid) measure.Money { return b.Costs }),
		amount("Labor", 10, func(b pricing.Bid) measure.Money { return b.Labor }),
		amount("Tax", 10, func(b pricing.Bid) measure.Money { return b.Tax }),
		{Head: "Direct cost", Width: 11, Cell: func(a alternative) xlsx.Cell { return xlsx.Formula("SUM({Materials..Tax})", a.Bid.Direct, xlsx.Money) }},
		{Head: "Overhead, rate", Width: 10, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(a.Book.Job.Overhead, xlsx.Percent) }},
		{Head: "Overhead", Width: 10, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Formula(formula.Cents("{Direct cost}*{Overhead, rate}", formula.RateDecimals), a.Bid.Overhead, xlsx.Money)
		}},
		{Head: "Contingency, rate", Width: 12, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(a.Book.Job.Contingency, xlsx.Percent) }},
		{Head: "Contingency", Width: 12, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Formula(formula.Cents("({Direct cost}+{Overhead})*{Contingency, rate}", formula.RateDecimals), a.Bid.Contingency, xlsx.Money)
		}},
		{Head: "Profit, rate", Width: 9, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(a.Book.Job.Profit, xlsx.Percent) }},
		{Head: "Profit is", Width: 9, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Str(xlsx.Text, oneOf(a.Book.Job.Margin, "margin", "markup"))
		}},
		{Head: "Profit", Width: 10, Cell: func(a alternative) xlsx.Cell { return xlsx.Formula("ROUND("+profit(a)+",2)", a.Bid.Profit, xlsx.Money) }},
		{Head: "Total", Width: 11.5, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Formula("ROUND({Direct cost}+{Overhead}+{Contingency}+{Profit},2)", a.Bid.Total, xlsx.Money)
		}},
	}
}

// profit is the formula of the profit on a job's cost, or in its price.
func profit(a alternative) string {
	const cost = "({Direct cost}+{Overhead}+{Contingency})"
	switch job := a.Book.Job; {
	case !job.Margin:
		return formula.Cents(cost+"*{Profit, rate}", formula.RateDecimals)
	case job.Profit >= measure.One:
		return "0" // no price has such a margin
	}
	return formula.Cents(cost+"/(1-{Profit, rate})", formula.RateDecimals) + "-" + cost
}

// classesSheet writes what each alternate buys, by class of material.
func (w *alternatesWriter) classesSheet(p *xlsx.Sheet) func() {
	top(p, "By class", "What each alternate buys, in whole packs, boards, rolls and sticks, in "+w.currency+".")
	w.classes = xlsx.NewTable(p, "AlternateClasses", classColumns())
	return func() { w.fillComputed(w.classes) }
}

func classColumns() []xlsx.Column[alternative] {
	columns := []xlsx.Column[alternative]{
		{Head: "Alternate", Width: 34, Frozen: true, Cell: func(a alternative) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, a.Name) }},
	}
	classes := compare.CostClasses()
	for i, class := range classes {
		columns = append(columns, xlsx.Column[alternative]{Head: class, Width: 9.5, Cell: func(a alternative) xlsx.Cell {
			return xlsx.Num(a.Classes[i], xlsx.Money)
		}})
	}
	sum := fmt.Sprintf("SUM({%s..%s})", classes[0], classes[len(classes)-1])
	return append(columns, []xlsx.Column[alternative]{
		{Head: "Materials", Width: 10.5, Cell: func(a alternative) xlsx.Cell { return xlsx.Formula(sum, a.Bid.Materials, xlsx.Money) }},
		{Head: "Boards, rolls, sticks", Width: 9, Cell: func(a alternative) xlsx.Cell { return xlsx.Num(a.Boards, xlsx.Count) }},
		{Head: "Orders at", Width: 40, Cell: func(a alternative) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, strings.Join(a.Orders, ", ")) }},
	}...)
}
