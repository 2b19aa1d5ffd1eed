package workbook

import "sillwright/io/xlsx"

func (w *writer) openingsSheet() {
	p := w.openings
	w.lead(p, "Openings", "The schedule as it was read. Change Qty or Unit cost and the price follows; for anything else run estimate again. "+w.bareWords())
	copyTable(p, w.in.Openings, 0)
	w.openingRow = make([]int, len(w.in.Book.Openings))
	for i, k := range w.in.Openings.Opening {
		if k < 0 {
			continue
		}
		row := inputHeader + 1 + i
		w.openingRow[k] = row
		o := w.in.Book.Openings[k]
		for c, name := range w.in.Openings.Columns {
			switch {
			case name == "Qty":
				p.Set(row, c+1, xlsx.Num(max(1, o.Qty), xlsx.InputCount))
			case name == "Unit cost" && o.UnitCost.Set:
				p.Set(row, c+1, xlsx.Num(o.UnitCost.V, xlsx.InputMoney))
			}
		}
	}
	p.AutoWidth(7, 26)
	p.AcrossPages(2)
	p.Finish("OpeningSchedule", inputHeader, len(w.in.Openings.Columns), 1)
}
