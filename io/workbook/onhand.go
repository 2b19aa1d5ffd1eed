package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// onHandColumns: a line that is nil is one to fill in.
func (w *writer) onHandColumns() []xlsx.Column[*estimate.OnHand] {
	type row = *estimate.OnHand
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputText)
			}
			return filled(xlsx.InputText, of(r))
		}
	}
	return []xlsx.Column[row]{
		{Head: "Item", Width: 24, Cell: text(func(r row) string { return r.Item })},
		{Head: "Length", Width: 16, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputText)
			}
			return xlsx.Optional(w.u.Length(r.Length), r.Length > 0, xlsx.InputInches)
		}},
		{Head: "Count", Width: 10, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputCount)
			}
			return xlsx.Optional(r.Count, !r.NotStated, xlsx.InputCount)
		}},
		{Head: "Notes", Width: 40, Cell: text(func(r row) string { return r.Notes })},
		{Head: "Content", Width: 13, Cell: text(func(r row) string { return r.Content })},
		{Head: "Counted", Width: 12, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputDate)
			}
			return xlsx.Optional(r.Counted.V, r.Counted.Set, xlsx.InputDate)
		}},
		{Head: "Furnished by", Width: 12, Cell: text(func(r row) string { return string(r.By) })},
	}
}

var onHandRoles = inputRoles{free: []string{"Notes"}}

// onHandSheet writes what the crew has already.
func (w *writer) onHandSheet(p *xlsx.Sheet) {
	w.lead(p, "On hand", "Boards, sticks and rolls by length, whole or offcuts, and packs by what is left in one. They are used before any is bought, "+
		"at no cost. "+
		"Counted: the day of a count of all there is of the item, with what was bought for the job. "+
		"Furnished by owner: he brings this item, and none of it is bought; what a row states is there, a blank Count is not stated. "+w.bareWords())
	t := xlsx.NewTable(p, "OnHand", roled(w, onHandRoles, w.onHandColumns()))
	t.Header()
	for i := range w.in.Book.Job.OnHand {
		t.Row(&w.in.Book.Job.OnHand[i])
	}
	for range w.emptyRows(20) {
		t.Row(nil)
	}
	t.Column("Count").Wholes(0, 1e6, "Count", "A whole number, 0 or more.")
	t.Column("Furnished by").Choice(estimate.BroughtByWords, "Furnished by", "Choose from the list, or leave it blank: builder.")
	t.Finish()
	w.help(&t.Grid, "On hand")
	if w.checked {
		w.hold(watch("On hand", &t.Grid, onHandRoles, "Item", "Length"))
	}
}
