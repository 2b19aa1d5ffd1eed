package workbook

// alternatesSheet writes the alternates as they were read.
func (w *writer) alternatesSheet() {
	p := w.alternates
	w.lead(p, "Alternates", "Other ways to do the job; sillwright compare prices each. Rows of one Name are one alternate: where When holds, Column (of Openings, or a key of Job with When blank) is set to Value. A row with the name common alone asks for the usual ones.")
	copyTable(p, w.in.Alternates, w.emptyRows(20))
	p.Widths(34, 46, 26, 22, 64)
	p.Finish("AlternateRows", inputHeader, len(w.in.Alternates.Columns), 1)
}
