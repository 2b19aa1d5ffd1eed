package workbook

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// measuredPiece is a piece of a mark that is to be measured.
type measuredPiece struct {
	o     *estimate.Sized
	piece int64
	holds []estimate.Held // what waits at the mark
}

// asks reports whether a box of the form is for the piece: the leg drop of a door, the
// depth of a unit whose pan waits, the glass openings beside a joint between units.
func (m measuredPiece) asks(box string) bool {
	switch box {
	case "Leg drop":
		return m.o.Kind.IsDoor() && !m.o.LegDrop.Set && !(m.o.Kind == estimate.OverheadDoor && m.o.SitsOn == estimate.OnSlab)
	case "Jamb depth":
		return slices.Contains(m.holds, estimate.HoldPan)
	}
	return m.o.Units > 1
}

// measureColumns are those of the sheet Field measurements, into which the filled form
// is typed; Ordered is what to compare with.
func measureColumns(u estimate.Units) []xlsx.Column[measuredPiece] {
	box := func(measuredPiece) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }
	asked := func(head string, width float64) xlsx.Column[measuredPiece] {
		return xlsx.Column[measuredPiece]{Head: head, Width: width, Cell: func(m measuredPiece) xlsx.Cell {
			if !m.asks(head) {
				return xlsx.Cell{}
			}
			return xlsx.Blank(xlsx.Tick)
		}}
	}
	return []xlsx.Column[measuredPiece]{
		{Head: "Mark", Width: 9, Frozen: true, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, m.o.Mark) }},
		{Head: "Piece", Width: 7, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Num(m.piece, xlsx.BigCount) }},
		{Head: "Ordered", Width: 18, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, u.Size(m.o.Frame)) }},
		{Head: "Story", Width: 9, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Optional(m.o.Story.V, m.o.Story.Set, xlsx.BigCount) }},
		{Head: "Elevation", Width: 10, Cell: func(m measuredPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, m.o.Elevation) }},
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
		asked("Leg drop", 8), asked("Jamb depth", 8), asked("Clear left of mull", 8), asked("Clear right of mull", 8),
		{Head: "Sketch", Width: 16, Cell: box},
	}
}

// writtenHeight is that of a row to write into by hand, in points.
const writtenHeight = 30.0

// measureFormSheet prints a blank form: a line a piece that is neither measured nor cut,
// or that something waits for that can be measured.
func (w *writer) measureFormSheet(p *xlsx.Sheet) {
	w.top(p, "Measure form", "After setting: outside to outside of the frame, where the trim will stand. "+
		"Three widths, three heights, both diagonals; the high end of the sill and by how much. "+
		"Type the readings on the sheet Field measurements of the schedule, leg drop and jamb depth on Openings, and run estimate again. Below: where to "+
		"read, seen from outside, not to scale; "+
		"draw what is different at a unit into its box Sketch.")
	t := xlsx.NewTable(p, "MeasureForm", measureColumns(w.u))
	t.Header()
	holds := map[int][]estimate.Held{}
	for _, h := range w.in.Takeoff.Holds {
		holds[h.Opening] = append(holds[h.Opening], h.What)
	}
	for i := range w.in.Takeoff.Openings {
		o := &w.in.Takeoff.Openings[i]
		toTrim := o.Layout != estimate.NoTrim && !o.Status.TrimDone() && (!o.Measured.Known() || slices.Contains(holds[i], estimate.HoldTrim))
		if !toTrim && !slices.Contains(holds[i], estimate.HoldPan) {
			continue
		}
		for piece := int64(1); piece <= o.Qty; piece++ {
			p.Height(t.Row(measuredPiece{o, piece, holds[i]}), writtenHeight)
		}
	}
	t.KeepHeader()
	w.form = &t.Grid
	if !t.Empty() {
		p.Skip(1)
		p.DrawLines(p.Next(), w.chart(readingsDrawing, w.readings, t.PrintedPixels(), sketchHeight,
			"A frame with its three widths, three heights, two diagonals, the joint between units and the leg drop"))
	}
}

// sketchHeight is that of the drawing of the readings, in pixels.
const sketchHeight = 300

// readingsDrawing shows where each box of the form is read: at a frame of two units over
// the surface that the legs of a door's trim end above. Its points stand on Install, for
// the form is read back, and nothing may stand below its rows.
var readingsDrawing = drawReadings(estimate.Size{W: 110 * measure.Inch, H: 40 * measure.Inch})

// drawReadings draws the readings of a frame.
func drawReadings(of estimate.Size) elevation {
	const (
		inset = 5 * measure.Inch // of the outer readings from the edge
		drop  = 8 * measure.Inch
		tick  = measure.Inch
	)
	w, h, mid := of.W, of.H, of.W/2
	e := elevation{strokes: []stroke{
		{"frame", rectangle(point{0, 0}, point{w, h}), xlsx.PenOutline},
		{"joint between units", []point{{mid, 0}, {mid, h}}, xlsx.PenOutline},
		{"diagonal 1", []point{{0, 0}, {w, h}}, xlsx.PenDashed},
		{"diagonal 2", []point{{0, h}, {w, 0}}, xlsx.PenDashed},
		{"surface below", []point{{-2 * inset, -drop}, {w + 2*inset, -drop}}, xlsx.PenDashed},
	}}
	say := func(at point, side, words string) { e.captions = append(e.captions, caption{at, words, side}) }
	for i, y := range []measure.Length{h - inset, h / 2, inset} {
		e.dimension(point{0, y}, point{w, y}, tick)
		say(point{w, y}, "r", fmt.Sprintf("width %d", i+1))
	}
	for i, x := range []measure.Length{inset, mid - inset, w - inset} {
		e.dimension(point{x, 0}, point{x, h}, tick)
		say(point{x, h + tick}, "ctr", fmt.Sprintf("height %d", i+1))
	}
	say(point{w * 83 / 100, h * 74 / 100}, "b", "diagonal 1")
	say(point{w * 17 / 100, h * 74 / 100}, "b", "diagonal 2")
	e.dimension(point{mid / 2, -drop}, point{mid / 2, 0}, tick)
	say(point{mid / 2, -drop / 2}, "r", "leg drop of a door")
	e.dimension(point{0, h/2 - inset}, point{mid, h/2 - inset}, tick)
	say(point{mid / 3, h/2 - inset}, "b", "clear left of mull")
	e.dimension(point{mid, h/2 - inset}, point{w, h/2 - inset}, tick)
	say(point{w - mid/3, h/2 - inset}, "b", "clear right of mull")
	return e
}
