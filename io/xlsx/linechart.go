package xlsx

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// LineChart is a drawing to scale: lines between points that stand in cells, with
// words beside some of them. Its axes are not shown.
type LineChart struct {
	Row, Col      int    // its upper left corner
	Width, Height int    // pixels
	About         string // what it shows, for those who do not see it
	Lines         []LineSeries
	Left, Right   float64 // ends of the axes
	Foot, Top     float64
}

// LineSeries is one line of a drawing, or words beside a point.
type LineSeries struct {
	Name, X, Y string // the cell of its name, the ranges of its points
	Pen        Pen
	Words      string // of a single point: its name, which stands beside it
	Side       string // "b", "l", "r" or "ctr": programs differ in where "t" is
}

// Fit chooses the ends of the axes so that what has such a size and middle, in x and
// y, is drawn at one scale both ways, in the middle, and leaves so many pixels free
// across and upright.
func (c *LineChart) Fit(size, middle [2]float64, free [2]int) {
	scale := max(size[0]/float64(c.Width-free[0]), size[1]/float64(c.Height-free[1])) // a pixel
	x, y := middle[0], middle[1]
	c.Left, c.Right = x-scale*float64(c.Width)/2, x+scale*float64(c.Width)/2
	c.Foot, c.Top = y-scale*float64(c.Height)/2, y+scale*float64(c.Height)/2
}

// Pen is how a line is drawn.
type Pen int

const (
	PenOutline Pen = iota // an outline
	PenDashed             // what is behind or within it
	PenThin               // a size
)

// DrawLines puts a drawing at the left of a row, and leaves room down to its foot below
// what is written.
func (p *Sheet) DrawLines(row int, c LineChart) {
	c.Row, c.Col = row, 1
	p.addChart(c)
	p.Skip(max(0, row+(c.Height+RowPixels-1)/RowPixels-p.Next()))
}

// corner returns the cell at the upper left corner.
func (c LineChart) corner() string { return formula.Cell(c.Row, c.Col) }

// size returns the pixels that it takes.
func (c LineChart) size() (width, height int) { return c.Width, c.Height }

// pens are the lines as the library takes them.
var pens = [...]excelize.LineOptions{
	PenOutline: {Type: excelize.LineSolid, Width: 1.25},
	PenDashed:  {Type: excelize.LineSolid, Width: 0.75, Dash: excelize.LineDashDash},
	PenThin:    {Type: excelize.LineSolid, Width: 0.5},
}

// options returns the drawing as the library takes it, without the words.
func (c LineChart) options() *excelize.Chart {
	o := &excelize.Chart{
		Type:      excelize.Scatter,
		Dimension: excelize.ChartDimension{Width: uint(c.Width), Height: uint(c.Height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		XAxis:     excelize.ChartAxis{None: true, Minimum: &c.Left, Maximum: &c.Right},
		YAxis:     excelize.ChartAxis{None: true, Minimum: &c.Foot, Maximum: &c.Top},
		Border:    excelize.LineOptions{Type: excelize.LineNone},
		Format:    excelize.GraphicOptions{AltText: formula.CleanText(c.About), Positioning: "oneCell"},
	}
	for _, l := range c.Lines {
		line := pens[l.Pen]
		if l.Words != "" {
			line = excelize.LineOptions{Type: excelize.LineNone}
		}
		o.Series = append(o.Series, excelize.ChartSeries{
			Name: l.Name, Categories: l.X, Values: l.Y, Line: line, Marker: excelize.ChartMarker{Symbol: "none"},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{Slate}},
		})
	}
	return o
}

// Of a drawing's part, where the library leaves out what is needed here, says that
// numbers are words, or says of an axis of numbers what only one of names may have
// (ECMA-376-1, 21.2.2.226).
const (
	plotStart = "<plotArea>"
	nameAxis  = `<auto val="1"></auto><lblAlgn val="ctr"></lblAlgn><lblOffset val="100"></lblOffset><noMultiLvlLbl val="0"></noMultiLvlLbl>`
	xStart    = "<xVal><strRef>"
	xEnd      = "</strRef></xVal>"
	yStart    = "<yVal>"
)

// Of a drawing's part: how its points are joined. The library says by curves, of each
// line by none; not every program looks at both.
const curved, straight = `<scatterStyle val="smoothMarker">`, `<scatterStyle val="lineMarker">`

// wholePlot spreads the drawing over all of its picture, so that its scale is
// known.
const wholePlot = `<layout><manualLayout><layoutTarget val="inner"/><xMode val="edge"/><yMode val="edge"/><x val="0"/><y val="0"/><w val="1"/><h val="1"/></manualLayout></layout>`

// finish spreads the drawing and writes the words beside its points.
func (c LineChart) finish(part []byte) ([]byte, error) {
	text := string(part)
	for _, known := range []string{plotStart, curved, nameAxis} {
		if strings.Count(text, known) != 1 {
			return nil, fmt.Errorf("the drawing has not one %s", known)
		}
	}
	text = strings.NewReplacer(plotStart, plotStart+wholePlot, curved, straight, nameAxis, "").Replace(text)
	pieces := strings.Split(text, SeriesStart)
	if len(pieces) != len(c.Lines)+1 {
		return nil, fmt.Errorf("%d lines, not %d", len(pieces)-1, len(c.Lines))
	}
	for i, l := range c.Lines {
		before, points, ok := strings.Cut(pieces[i+1], xStart)
		at, rest, closed := strings.Cut(points, xEnd)
		if !ok || !closed || !strings.HasPrefix(rest, yStart) || strings.Contains(before, labelsStart) {
			return nil, fmt.Errorf("line %d has no points, or labels", i+1)
		}
		if l.Words != "" {
			before += labelsStart + nameLabel(l) + labelsOff + labelsEnd
		}
		pieces[i+1] = before + "<xVal><numRef>" + at + "</numRef></xVal>" + rest
	}
	return []byte(strings.Join(pieces, SeriesStart)), nil
}
