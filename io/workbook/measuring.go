package workbook

import "sillwright/io/xlsx"

// measuringHeads are those of the sheet Measured, into which the filled form
// is typed; Ordered is what to compare with.
var measuringHeads = []string{"Mark", "Piece", "Ordered", "Width 1", "Width 2", "Width 3", "Height 1", "Height 2", "Height 3", "Diagonal 1", "Diagonal 2", "High end", "Rise", "Initials", "Of"}

// writtenHeight is that of a row to write into by hand, in points.
const writtenHeight = 30.0

// measuringSheet prints a blank form: a line a piece that is neither measured nor cut.
func (w *writer) measuringSheet(_ *xlsx.Sheet) {
	p := w.measuring
	p.Row(xlsx.Str(xlsx.Title, "Measuring"))
	p.Row(xlsx.Str(xlsx.Subtitle, "After setting: out to out of the frame where the trim will stand. Three widths, three heights, both diagonals; the high end of the sill and by how much. "+
		"Type the readings on the sheet Measured of the schedule, and run estimate again."))
	w.showMaster(p)
	p.Skip(1)
	header := p.Row(xlsx.Strs(xlsx.Heading, measuringHeads...)...)
	for _, o := range w.in.Takeoff.Openings {
		if o.Layout == "none" || o.Status == "cut" || o.Status == "hung" || o.Measured.Known() {
			continue
		}
		for piece := int64(1); piece <= o.Qty; piece++ {
			cells := make([]xlsx.Cell, len(measuringHeads))
			for i := range cells {
				cells[i] = xlsx.Blank(xlsx.Tick)
			}
			cells[0], cells[1], cells[2] = xlsx.Str(xlsx.Big, o.Mark), xlsx.Num(piece, xlsx.BigCount), xlsx.Str(xlsx.Big, w.u.Size(o.Frame))
			p.Height(p.Row(cells...), writtenHeight)
		}
	}
	p.Widths(9, 7, 18, 8.5, 8.5, 8.5, 8.5, 8.5, 8.5, 9.5, 9.5, 7, 7, 7.5, 7)
	p.Freeze(header, 1)
	p.TitleRows(header, header)
}
