package workbook

func (w *writer) measuredSheet() {
	w.lead(w.measured, "Measured", "What was read at each unit after setting. Print Measuring, fill it in, and type it here. "+w.bareWords())
	copyTable(w.measured, w.in.Measured, w.emptyRows(40))
	w.measured.Finish("MeasuredReadings", inputHeader, len(w.in.Measured.Columns), 1)
}
