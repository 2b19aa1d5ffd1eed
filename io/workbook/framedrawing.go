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
	lines, top := s.drawnLines(s.p, &s.t.Grid, "FrameDrawing", e)
	s.p.DrawLines(top, s.chart(e, lines, s.t.PrintedPixels(), drawingHeight, "Trim frame of "+f.MarksText()+" seen from outside, to scale"))
}

// drawnLines writes the points of a drawing beside a table of a sheet, and returns its
// lines, and the row of their header.
func (w *writer) drawnLines(p *xlsx.Sheet, beside *xlsx.Grid, name string, e elevation) (lines []xlsx.LineSeries, top int) {
	t := xlsx.NewTable(p, name, drawnColumns(w.u, e.maxPoints()))
	t.Beside(beside)
	top = t.HeaderOnly()
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
		lines = append(lines, l)
	}
	for _, x := range e.captions {
		l := line(x.words, x.at)
		l.Words, l.Side = x.words, x.side
		lines = append(lines, l)
	}
	return lines, top
}

// chart draws lines to scale, in so many pixels; about is for those who do not see it.
func (w *writer) chart(e elevation, lines []xlsx.LineSeries, width, height int, about string) xlsx.LineChart {
	c := xlsx.LineChart{Width: width, Height: height, About: about, Lines: lines}
	c.Fit(extent(w.u, e))
	return c
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
