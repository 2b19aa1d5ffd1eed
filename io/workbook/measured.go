package workbook

import "sillwright/io/xlsx"

func (w *writer) measuredSheet(p *xlsx.Sheet) {
	w.lead(p, "Measured", "What was read at each unit after setting. Print Measuring, fill it in, and type it here. "+w.bareWords())
	t := copyTable(p, "MeasuredReadings", w.in.Measured, nil, w.emptyRows(40))
	t.Finish()
	w.help(&t.Grid, "Measured")
}
