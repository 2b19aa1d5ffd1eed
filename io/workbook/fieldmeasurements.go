package workbook

import "sillwright/io/xlsx"

var readingRoles = inputRoles{free: []string{"Initials"}}

func (w *writer) measuredSheet(p *xlsx.Sheet) {
	w.lead(p, "Field measurements", "What was measured at each unit after setting. Print Measure form, fill it in, and type the readings here. "+w.bareWords())
	t := xlsx.NewTable(p, "FieldReadings", roled(w, readingRoles, copiedColumns(w.in.Measured, nil)))
	w.copyRows(t, w.in.Measured, 40)
	t.Finish()
	w.help(&t.Grid, "Field measurements")
	if w.checked {
		w.hold(watch("Field measurements", &t.Grid, readingRoles, "Mark", "Piece"))
	}
}
