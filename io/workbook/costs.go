package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// costColumns: a line that is nil is one to fill in.
func costColumns() []xlsx.Column[*estimate.CostLine] {
	type row = *estimate.CostLine
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputText)
			}
			return filled(xlsx.InputText, of(r))
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
	}
}

var costRoles = inputRoles{
	live: map[string]liveKind{"Text": anyText, "Count": countInput, "Price": chargeInput, "Taxable": oneOf("yes", "no")}, free: []string{"Unit"},
}

// costsSheet writes the costs that the user adds; what each comes to stands on Added
// costs.
func (w *writer) costsSheet(p *xlsx.Sheet) {
	w.lead(p, "Other costs", "Costs you add to the job: lift, dump fee, permit, travel.")
	t := xlsx.NewTable(p, "OtherCosts", roled(w, costRoles, costColumns()))
	t.Header()
	for i := range w.in.Book.Job.Costs {
		t.Row(&w.in.Book.Job.Costs[i])
	}
	for range w.emptyRows(10) {
		t.Row(nil)
	}
	t.Column("Count").Wholes(0, countInput.most, "Count", "A whole number, 0 or more.")
	t.Column("Price").Decimals(chargeInput.least, chargeInput.most, "Price", "An amount of money.")
	t.Column("Taxable").Choice([]string{"yes", "no"}, "Taxable", "yes or no")
	t.Finish()
	w.help(&t.Grid, "Other costs")
	if w.checked {
		w.watchedCosts = watch("Other costs", &t.Grid, costRoles, "Text")
		w.hold(w.watchedCosts)
	}
}
