package workbook

import "sillwright/io/xlsx"

func (w *writer) measuredSheet(p *xlsx.Sheet) {
	w.lead(p, "Field measurements", "What was measured at each unit after setting. Print Measure form, fill it in, and type the readings here. "+w.bareWords())
	t := copyTable(p, "FieldReadings", w.in.Measured, nil, w.emptyRows(40))
	t.Finish()
	w.help(&t.Grid, "Field measurements")
}
