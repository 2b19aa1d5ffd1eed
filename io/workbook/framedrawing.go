package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// Sizes of a drawing, in pixels.
const (
	drawingHeight = 440
	drawingMargin = 34 // beyond the lines, for the words beside them
)

// drawnLine is a line of a drawing as its cells hold it.
type drawnLine struct {
	what   string
	points []point
}

// drawnColumns are the cells of a drawing whose longest line has so many points: x of
// each, then y of each.
func drawnColumns(u estimate.Units, most int) []xlsx.Column[drawnLine] {
	columns := []xlsx.Column[drawnLine]{{Head: "Drawn", Cell: func(l drawnLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.what) }}}
	for _, axis := range []struct {
		name string
		of   func(point) measure.Length
	}{
		{"x", func(p point) measure.Length { return p.x }},
		{"y", func(p point) measure.Length { return p.y }},
	} {
		for i := range most {
			key := pointKey(axis.name, i+1)
			columns = append(columns, xlsx.Column[drawnLine]{Key: key, Head: key + ", " + u.Name(estimate.Lengthwise), Cell: func(l drawnLine) xlsx.Cell {
				if i >= len(l.points) {
					return xlsx.Cell{}
				}
				return xlsx.Num(u.Length(axis.of(l.points[i])), xlsx.Inches)
			}})
		}
	}
	return columns
}

// pointKey names the column of a point, counted from 1.
func pointKey(axis string, n int) string { return fmt.Sprintf("%s %d", axis, n) }

// drawing draws the elevation of a frame below what is written. The points of its lines
// stand behind the printed columns. Frames beyond MaxDrawnFrames have none.
func (s *cardWriter) drawing(f estimate.Frame) {
	if s.undrawn || shapeOf(f).leg.Length == 0 {
		return
	}
	s.t.Banner(xlsx.Note, "Seen from outside, to scale. Dashed: the frame it fits.")
	low, high := bounds(boardsOf(f))
	// Dimension lines stand 14 pixels off whatever the scale.
	offset := max(high.x-low.x, high.y-low.y) * 14 / (drawingHeight - 2*drawingMargin)
	e := drawFrame(f, offset, s.u.Shop)
	s.draw(e, drawnSheet{s.p, &s.t.Grid, "FrameDrawing", "Trim frame of " + f.MarksText() + " seen from outside, to scale", drawingHeight})
}

// drawnSheet is where a drawing stands: below what is written of a table, the points of
// its lines beside it.
type drawnSheet struct {
	p      *xlsx.Sheet
	beside *xlsx.Grid
	name   string // of the table of points
	about  string // for those who do not see it
	height int    // pixels
}

// draw draws an elevation.
func (w *writer) draw(e elevation, on drawnSheet) {
	c := xlsx.LineChart{Width: on.beside.PrintedPixels(), Height: on.height, About: on.about}
	c.Fit(extent(w.u, e))
	t := xlsx.NewTable(on.p, on.name, drawnColumns(w.u, e.maxPoints()))
	t.Beside(on.beside)
	top := t.HeaderOnly()
	line := func(what string, points ...point) xlsx.LineSeries {
		row, n := t.Row(drawnLine{what, points}), len(points)
		return xlsx.LineSeries{
			Name: t.Cell(row, "Drawn").String(),
			X:    t.Across(row, pointKey("x", 1), pointKey("x", n)).String(),
			Y:    t.Across(row, pointKey("y", 1), pointKey("y", n)).String(),
		}
	}
	for _, stroke := range e.strokes {
		l := line(stroke.what, stroke.line...)
		l.Pen = stroke.pen
		c.Lines = append(c.Lines, l)
	}
	for _, x := range e.captions {
		l := line(x.words, x.at)
		l.Words, l.Side = x.words, x.side
		c.Lines = append(c.Lines, l)
	}
	on.p.DrawLines(top, c)
}

// extent returns the size and the middle of a drawing as its cells show them, and
// the pixels that are left free across and upright for the words at its edges.
func extent(u estimate.Units, e elevation) (size, middle [2]float64, free [2]int) {
	low, high := bounds(e.strokes)
	return [2]float64{u.Length(high.x - low.x), u.Length(high.y - low.y)}, [2]float64{u.Length(low.x+high.x) / 2, u.Length(low.y+high.y) / 2},
		[2]int{6 * drawingMargin, 2 * drawingMargin}
}

// maxPoints is how many points the longest stroke of a drawing has.
func (e elevation) maxPoints() int {
	return len(slices.MaxFunc(e.strokes, func(a, b stroke) int { return cmp.Compare(len(a.line), len(b.line)) }).line)
}
