package workbook

import "sillwright/io/xlsx"

// openingsSheet writes the schedule as it was read. What the price follows from, count
// and cost of the units, stands there as numbers.
func (w *writer) openingsSheet(p *xlsx.Sheet) {
	w.lead(p, "Openings", "The schedule as it was read. Change Qty or Unit cost and the price follows; for anything else run estimate again. "+w.bareWords())
	columns := copiedColumns(w.in.Openings, nil)
	for i := range columns {
		asTyped := columns[i].Cell
		columns[i].Cell = func(r copied) xlsx.Cell {
			k := w.in.Openings.Opening[r.index]
			if k < 0 {
				return asTyped(r)
			}
			o := &w.in.Book.Openings[k]
			switch {
			case columns[i].Key == "Qty":
				return xlsx.Num(max(1, o.Qty), xlsx.InputCount)
			case columns[i].Key == "Unit cost" && o.UnitCost.Set:
				return xlsx.Num(o.UnitCost.V, xlsx.InputMoney)
			}
			return asTyped(r)
		}
	}
	w.openings = xlsx.NewTable(p, "OpeningSchedule", columns)
	w.openings.Header()
	w.openingRow = make([]int, len(w.in.Book.Openings))
	for i, cells := range w.in.Openings.Rows {
		row := w.openings.Row(copied{i, cells})
		if k := w.in.Openings.Opening[i]; k >= 0 {
			w.openingRow[k] = row
		}
	}
	p.AutoWidth(7, 26)
	p.AcrossPages(2)
	w.openings.Finish()
}
