package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// measuredPiece is a piece of a mark that is to be measured.
type measuredPiece struct {
	o     *estimate.Sized
	piece int64
}

// measureColumns are those of the sheet Field measurements, into which the filled form
// is typed; Ordered is what to compare with.
func measureColumns(u estimate.Units) []xlsx.Column[measuredPiece] {
	box := func(measuredPiece) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }
	return []xlsx.Column[measuredPiece]{
		{Head: "Mark", Width: 9, Frozen: true, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, m.o.Mark) }},
		{Head: "Piece", Width: 7, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Num(m.piece, xlsx.BigCount) }},
		{Head: "Ordered", Width: 18, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, u.Size(m.o.Frame)) }},
		{Head: "Width 1", Width: 8.5, Cell: box},
		{Head: "Width 2", Width: 8.5, Cell: box},
		{Head: "Width 3", Width: 8.5, Cell: box},
		{Head: "Height 1", Width: 8.5, Cell: box},
		{Head: "Height 2", Width: 8.5, Cell: box},
		{Head: "Height 3", Width: 8.5, Cell: box},
		{Head: "Diagonal 1", Width: 9.5, Cell: box},
		{Head: "Diagonal 2", Width: 9.5, Cell: box},
		{Head: "High end", Width: 7, Cell: box},
		{Head: "Rise", Width: 7, Cell: box},
		{Head: "Initials", Width: 7.5, Cell: box},
		{Head: "Of", Width: 7, Cell: box},
	}
}

// writtenHeight is that of a row to write into by hand, in points.
const writtenHeight = 30.0

// measureFormSheet prints a blank form: a line a piece that is neither measured nor cut.
func (w *writer) measureFormSheet(p *xlsx.Sheet) {
	w.top(p, "Measure form", "After setting: outside to outside of the frame, where the trim will stand. "+
		"Three widths, three heights, both diagonals; the high end of the sill and by how much. "+
		"Type the readings on the sheet Field measurements of the schedule, and run estimate again.")
	t := xlsx.NewTable(p, "MeasureForm", measureColumns(w.u))
	t.Header()
	for i := range w.in.Takeoff.Openings {
		o := &w.in.Takeoff.Openings[i]
		if o.Layout == estimate.NoTrim || o.Status.TrimDone() || o.Measured.Known() {
			continue
		}
		for piece := int64(1); piece <= o.Qty; piece++ {
			p.Height(t.Row(measuredPiece{o, piece}), writtenHeight)
		}
	}
	t.KeepHeader()
	w.form = &t.Grid
}
