package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// costColumns: a line that is nil is one to fill in.
func costColumns() []xlsx.Column[*estimate.CostLine] {
	type row = *estimate.CostLine
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Str(xlsx.InputText, of(r))
		}
	}
	return []xlsx.Column[row]{
		{Head: "Text", Width: 40, Cell: text(func(r row) string { return r.Text })},
		{Head: "Count", Width: 10, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputCount)
			}
			return xlsx.Optional(r.Count.V, r.Count.Set, xlsx.InputCount)
		}},
		{Head: "Unit", Width: 10, Cell: text(func(r row) string { return r.Unit })},
		{Head: "Price", Width: 12, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputUnitPrice)
			}
			return xlsx.Optional(r.Price.V, r.Price.Set, xlsx.InputUnitPrice)
		}},
		{Head: "Taxable", Width: 10, Cell: text(func(r row) string { return xlsx.YesNo(r.Taxable) })},
		{Head: "Extension", Width: 14, Cell: costExtension},
	}
}

// costExtension is what a cost line comes to: nothing while it is empty, and in words
// while its count or its price is missing.
func costExtension(r *estimate.CostLine) xlsx.Cell {
	extension := formula.Cents("{Count}*{Price}", formula.ExtensionDecimals)
	c := xlsx.Formula(`IF(AND(ISNUMBER({Count}),ISNUMBER({Price})),`+extension+`,IF({Text}&{Count}&{Price}="","","`+notStated+`"))`, "", xlsx.Money)
	switch {
	case r == nil:
	case r.Count.Set && r.Price.Set:
		c.V = measure.Extension(r.Count.V, r.Price.V)
	default:
		c.V = notStated
	}
	return c
}

// costsSheet writes the costs that the user adds, with what each comes to.
func (w *writer) costsSheet(p *xlsx.Sheet) {
	w.lead(p, "Other costs", "Costs you add to the job: lift, dump fee, permit, travel.")
	w.costs = xlsx.NewTable(p, "OtherCosts", costColumns())
	t := w.costs
	t.Header()
	for i := range w.in.Book.Job.Costs {
		t.Row(&w.in.Book.Job.Costs[i])
	}
	for range w.emptyRows(10) {
		t.Row(nil)
	}
	t.Column("Count").Wholes(0, 1e6, "Count", "A whole number, 0 or more.")
	t.Column("Price").Decimals(-1e7, 1e7, "Price", "An amount of money.")
	t.Column("Taxable").Choice([]string{"yes", "no"}, "Taxable", "yes or no")
	t.Finish()
	w.help(&t.Grid, "Other costs")
}
