package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// lineChart is a drawing to scale: lines between points that stand in cells, with
// words beside some of them. Its axes are not shown.
type lineChart struct {
	row, col      int    // its upper left corner
	width, height int    // pixels
	about         string // what it shows, for those who do not see it
	lines         []lineSeries
	left, right   float64 // ends of the axes
	foot, top     float64
}

// lineSeries is one line of a drawing, or words beside a point.
type lineSeries struct {
	name, x, y string // the cell of its name, the ranges of its points
	pen        pen
	words      string // of a single point: what stands beside it
	side       string // "t", "b", "l", "r" or "ctr"
}

// fit chooses the ends of the axes so that what has such a size and middle, in x and
// y, is drawn at one scale both ways, in the middle, and leaves so many pixels free
// across and upright.
func (c *lineChart) fit(size, middle [2]float64, free [2]int) {
	scale := max(size[0]/float64(c.width-free[0]), size[1]/float64(c.height-free[1])) // a pixel
	x, y := middle[0], middle[1]
	c.left, c.right = x-scale*float64(c.width)/2, x+scale*float64(c.width)/2
	c.foot, c.top = y-scale*float64(c.height)/2, y+scale*float64(c.height)/2
}

// pen is how a line is drawn.
type pen int

const (
	penBoard pen = iota // an outline
	penUnit             // what is behind or within it
	penSize             // a size
)

// corner returns the cell at the upper left corner.
func (c lineChart) corner() string { return ref(c.row, c.col) }

// pens are the lines as the library takes them.
var pens = [...]excelize.LineOptions{
	penBoard: {Type: excelize.LineSolid, Width: 1.25},
	penUnit:  {Type: excelize.LineSolid, Width: 0.75, Dash: excelize.LineDashDash},
	penSize:  {Type: excelize.LineSolid, Width: 0.5},
}

// options returns the drawing as the library takes it, without the words.
func (c lineChart) options() *excelize.Chart {
	o := &excelize.Chart{
		Type:      excelize.Scatter,
		Dimension: excelize.ChartDimension{Width: uint(c.width), Height: uint(c.height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		XAxis:     excelize.ChartAxis{None: true, Minimum: &c.left, Maximum: &c.right},
		YAxis:     excelize.ChartAxis{None: true, Minimum: &c.foot, Maximum: &c.top},
		Border:    excelize.LineOptions{Type: excelize.LineNone},
		Format:    excelize.GraphicOptions{AltText: cleanText(c.about), Positioning: "oneCell"},
	}
	for _, l := range c.lines {
		line := pens[l.pen]
		if l.words != "" {
			line = excelize.LineOptions{Type: excelize.LineNone}
		}
		o.Series = append(o.Series, excelize.ChartSeries{
			Name: l.name, Categories: l.x, Values: l.y, Line: line, Marker: excelize.ChartMarker{Symbol: "none"},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{slate}},
		})
	}
	return o
}

// Of a drawing's part, where the library leaves out what is needed here, or says
// that numbers are words.
const (
	plotStart = "<plotArea>"
	xStart    = "<xVal><strRef>"
	xEnd      = "</strRef></xVal>"
	yStart    = "<yVal>"
)

// wholePlot spreads the drawing over all of its picture, so that its scale is
// known.
const wholePlot = `<layout><manualLayout><layoutTarget val="inner"/><xMode val="edge"/><yMode val="edge"/><x val="0"/><y val="0"/><w val="1"/><h val="1"/></manualLayout></layout>`

// finish spreads the drawing and writes the words beside its points.
func (c lineChart) finish(part []byte) ([]byte, error) {
	text := string(part)
	if strings.Count(text, plotStart) != 1 {
		return nil, fmt.Errorf("the drawing has no plot area")
	}
	pieces := strings.Split(strings.Replace(text, plotStart, plotStart+wholePlot, 1), seriesStart)
	if len(pieces) != len(c.lines)+1 {
		return nil, fmt.Errorf("%d lines, not %d", len(pieces)-1, len(c.lines))
	}
	for i, l := range c.lines {
		before, points, ok := strings.Cut(pieces[i+1], xStart)
		at, rest, closed := strings.Cut(points, xEnd)
		if !ok || !closed || !strings.HasPrefix(rest, yStart) || strings.Contains(before, labelsStart) {
			return nil, fmt.Errorf("line %d has no points, or labels", i+1)
		}
		if l.words != "" {
			before += labelsStart + labelXML(0, l.words, l.side) + labelsOff + labelsEnd
		}
		pieces[i+1] = before + "<xVal><numRef>" + at + "</numRef></xVal>" + rest
	}
	return []byte(strings.Join(pieces, seriesStart)), nil
}
