package workbook

import "sillwright/io/xlsx"

// onHandHeads are the columns of the On hand sheet; the lists on Offcuts have
// the same first three.
var onHandHeads = []string{"Item", "Length", "Count", "Notes"}

// onHandSheet writes what the crew has already.
func (w *writer) onHandSheet() {
	p := w.onHand
	w.lead(p, "On hand", "Boards, sticks and rolls that are there already, whole or left over. They are used before any is bought, at no cost. "+w.bareWords())
	p.Row(xlsx.Strs(xlsx.Heading, onHandHeads...)...)
	for _, h := range w.in.Book.Job.OnHand {
		p.Row(xlsx.Str(xlsx.InputText, h.Item), xlsx.Num(w.u.Length(h.Length), xlsx.InputInches), xlsx.Num(h.Count, xlsx.InputCount), xlsx.Str(xlsx.InputText, h.Notes))
	}
	for range w.emptyRows(20) {
		p.Row(blanks(xlsx.InputText, xlsx.InputText, xlsx.InputCount, xlsx.InputText)...)
	}
	p.WholeRange(typed(p, 3), 0, 1e6, "Count", "A whole number, 0 or more.")
	p.Widths(24, 16, 10, 40)
	p.Finish("OnHand", inputHeader, len(onHandHeads), 0)
}
