package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// openingRoles: a column that the schedule does not know is kept as a note.
func (w *writer) openingRoles() inputRoles {
	r := inputRoles{live: map[string]liveKind{"Qty": wholeInput, "Unit cost": amountInput}, free: []string{"Notes", "Elevation"}}
	for _, head := range w.in.Openings.Columns {
		if columnHelp[head] == "" {
			r.free = append(r.free, head)
		}
	}
	return r
}

// openingsSheet writes the schedule as it was read. What the price follows from, count
// and cost of the units, stands there as numbers.
func (w *writer) openingsSheet(p *xlsx.Sheet) {
	w.lead(p, "Openings", "The schedule as it was read. "+w.bareWords())
	columns := copiedColumns(w.in.Openings, nil)
	for i := range columns {
		asTyped := columns[i].Cell
		columns[i].Cell = func(r copied) xlsx.Cell {
			o := w.openingOf(r)
			switch {
			case o == nil:
			case columns[i].Key == "Qty":
				return xlsx.Num(max(1, o.Qty), xlsx.InputCount)
			case columns[i].Key == "Unit cost" && o.UnitCost.Set:
				return xlsx.Num(o.UnitCost.V, xlsx.InputMoney)
			}
			return asTyped(r)
		}
	}
	w.openings = xlsx.NewTable(p, "OpeningSchedule", roled(w, w.openingRoles(), columns))
	w.openings.Header()
	w.openingRow = make([]int, len(w.in.Book.Openings))
	for i, cells := range w.in.Openings.Rows {
		row := w.openings.Row(copied{i, cells})
		if k := w.in.Openings.Opening[i]; k >= 0 {
			w.openingRow[k] = row
		}
	}
	for range fewRows {
		w.openings.Row(copied{index: -1})
	}
	for _, name := range w.in.Openings.Columns {
		w.checkColumn(p, w.openings, name)
	}
	w.openings.Notes(columnHelp)
	p.AutoWidth(7, 26)
	p.AcrossPages(2)
	w.openings.Finish()
	w.watchedOpenings = watch("Openings", &w.openings.Grid, w.openingRoles(), "Mark")
	w.watchedOpenings.blank = func(_ int, head string) any {
		if head == "Qty" {
			return 1
		}
		return nil
	}
	w.hold(w.watchedOpenings)
}

// openingOf is the opening of a row, nil of one that is left out or empty.
func (w *writer) openingOf(r copied) *estimate.Opening {
	if r.index < 0 || w.in.Openings.Opening[r.index] < 0 {
		return nil
	}
	return &w.in.Book.Openings[w.in.Openings.Opening[r.index]]
}
