package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// detailWidths print at 6.4 points.
var detailWidths = map[string]float64{
	"Detail": 14.5, "Step": 5.5, "Do": 30, "Item": 13, "Rule": 12, "Per": 6, "Edges": 11, "Along": 9, "Each end": 7.5, "Runs": 8, "Size": 8.5, "Spacing": 9,
	"With": 10.5, "When": 22, "Phase": 7.5, "Basis": 12, "Source": 29,
}

func detailColumns() []xlsx.Column[estimate.StepText] {
	columns := make([]xlsx.Column[estimate.StepText], len(estimate.StepColumns))
	for i, name := range estimate.StepColumns {
		columns[i] = xlsx.Column[estimate.StepText]{
			Head: name, Width: detailWidths[name], Frozen: name == "Detail" || name == "Step",
			Cell: func(s estimate.StepText) xlsx.Cell { return filled(xlsx.InputTextWrap, s.Fields[name]) },
		}
	}
	return columns
}

var detailRoles = inputRoles{free: []string{"Basis", "Source"}}

func (w *writer) detailsSheet(p *xlsx.Sheet) {
	w.lead(p, "Details", "How each kind of opening is flashed, sealed and trimmed, in the order of work. A detail changed here replaces the shipped one whole.")
	t := xlsx.NewTable(p, "DetailSteps", roled(w, detailRoles, detailColumns()))
	t.Header()
	for _, s := range w.in.Steps {
		t.Row(s)
	}
	t.Finish()
	x := watch("Details", &t.Grid, detailRoles, "Detail", "Step")
	x.ordered = true
	w.hold(x)
}
