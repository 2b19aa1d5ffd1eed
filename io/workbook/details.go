package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

func (w *writer) detailsSheet() {
	p := w.details
	w.lead(p, "Details", "How each sort of opening is closed in, in the order of work. A detail changed here replaces the shipped one whole.")
	p.Row(xlsx.Strs(xlsx.Heading, estimate.StepColumns...)...)
	for _, s := range w.in.Steps {
		cells := make([]xlsx.Cell, len(estimate.StepColumns))
		for i, c := range estimate.StepColumns {
			cells[i] = xlsx.Str(xlsx.InputTextWrap, s.Fields[c])
		}
		p.Row(cells...)
	}
	p.Widths(14.5, 5.5, 30, 13, 12, 6, 11, 9, 7.5, 8, 8.5, 9, 10.5, 22, 6, 30.5) // printed at 6.4 points
	p.Finish("DetailSteps", inputHeader, len(estimate.StepColumns), 2)
}
