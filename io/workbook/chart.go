package workbook

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// barChart is a picture of horizontal stacked bars, a row of cells a bar. The
// first bar is the highest.
type barChart struct {
	row, col      int    // its upper left corner
	width, height int    // pixels
	about, axis   string // what it shows, for those who do not see it; the unit of the axis or ""
	bars          string // range of the names of the bars
	series        []barSeries
	min           float64 // where the axis begins
	max, step     float64 // end of the axis and distance of its numbers; 0 = the program's choice
	format        string  // of the numbers of the axis and of values; "" = as in the cells
	values        bool    // the value stands at the end of each bar; for a single series
	legend        bool    // the names of the series stand below
	size          float64 // of its type in points; 0 = that of most
}

// points is the size of the chart's type.
func (c barChart) points() float64 {
	if c.size > 0 {
		return c.size
	}
	return labelSize
}

// worded reports whether parts of the bars have words.
func (c barChart) worded() bool {
	return slices.ContainsFunc(c.series, func(s barSeries) bool { return s.labels != nil })
}

// barSeries is one part of every bar.
type barSeries struct {
	name, values string   // the cell of its name, the range of its values
	fill         string   // colour
	labels       []string // what stands in the part of each bar, "" = nothing; nil: no words
}

// picture is a chart of a sheet. The library writes its part, and finish adds
// what the library cannot say.
type picture interface {
	corner() string // the cell at its upper left
	options() *excelize.Chart
	finish(part []byte) ([]byte, error)
}

// chart adds a picture to the sheet.
func (p *page) chart(c picture) { p.charts = append(p.charts, c) }

// corner returns the cell at the upper left corner.
func (c barChart) corner() string { return ref(c.row, c.col) }

// options returns the chart as the library takes it, without the labels.
func (c barChart) options() *excelize.Chart {
	gap, overlap, vary := uint(35), 100, false
	font := excelize.Font{Family: fontName, Size: c.points(), Color: slate}
	format := excelize.ChartNumFmt{CustomNumFmt: c.format}
	o := &excelize.Chart{
		Type:      excelize.BarStacked,
		Dimension: excelize.ChartDimension{Width: uint(c.width), Height: uint(c.height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		GapWidth:  &gap, Overlap: &overlap, VaryColors: &vary,
		XAxis:    excelize.ChartAxis{ReverseOrder: true, Font: font, TickLabelPosition: excelize.ChartTickLabelLow},
		YAxis:    excelize.ChartAxis{Font: font, Minimum: &c.min, MajorUnit: c.step, NumFmt: format},
		PlotArea: excelize.ChartPlotArea{ShowVal: c.values || c.worded(), NumFmt: format},
		Border:   excelize.LineOptions{Type: excelize.LineNone},
		Format:   excelize.GraphicOptions{AltText: cleanText(c.about), Positioning: "oneCell"},
	}
	if c.axis != "" {
		o.YAxis.Title.Paragraph = []excelize.RichTextRun{{Text: cleanText(c.axis), Font: &font}}
	}
	if c.max > 0 {
		o.YAxis.Maximum = &c.max
	}
	if c.legend {
		o.Legend = excelize.ChartLegend{Position: "bottom", Font: &font}
	}
	at := excelize.ChartDataLabelsPositionUnset
	if c.values {
		o.Type, at = excelize.Bar, excelize.ChartDataLabelsPositionOutsideEnd
	}
	for _, s := range c.series {
		o.Series = append(o.Series, excelize.ChartSeries{
			Name: s.name, Categories: c.bars, Values: s.values,
			Fill:              excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.fill}},
			DataLabel:         excelize.ChartDataLabel{Font: excelize.Font{Family: fontName, Size: labelSize, Color: "000000"}},
			DataLabelPosition: at,
		})
	}
	return o
}

// chartPart returns the name of the part of the n-th chart, from 1.
func chartPart(n int) string { return fmt.Sprintf("xl/charts/chart%d.xml", n) }

// Of a series of a chart, where the library leaves out what is needed here.
const (
	seriesStart = "<ser>"
	shapeEnd    = "</spPr>"
	labelsStart = "<dLbls>"
	labelsEnd   = "</dLbls>"
)

// finish gives each series of a chart's part an outline, so that neighbours
// part in black and white too, and each bar's part its own label: the library
// knows only labels of numbers.
func (c barChart) finish(part []byte) ([]byte, error) {
	pieces := strings.Split(string(part), seriesStart)
	if len(pieces) != len(c.series)+1 {
		return nil, fmt.Errorf("%d series, not %d", len(pieces)-1, len(c.series))
	}
	for i, s := range c.series {
		text := pieces[i+1]
		if !strings.Contains(text, shapeEnd) || !strings.Contains(text, labelsStart) {
			return nil, fmt.Errorf("series %d has no shape or labels", i+1)
		}
		text = strings.Replace(text, shapeEnd, outlineXML+shapeEnd, 1)
		if s.labels == nil {
			pieces[i+1] = text
			continue
		}
		var labels strings.Builder
		labels.WriteString(labelsStart)
		for bar, words := range s.labels {
			labels.WriteString(labelXML(bar, words, ""))
		}
		pieces[i+1] = strings.Replace(text, labelsStart, labels.String(), 1)
	}
	return axisBelow(strings.Join(pieces, seriesStart))
}

// axisBelow puts the axis of the values below the bars: it goes with the first
// bar, which is the highest.
func axisBelow(part string) ([]byte, error) {
	const start, first, last = "<valAx>", `<crosses val="autoZero">`, `<crosses val="max">`
	bars, axis, ok := strings.Cut(part, start)
	if !ok || strings.Count(axis, first) != 1 {
		return nil, fmt.Errorf("the chart has no axis of values")
	}
	return []byte(bars + start + strings.Replace(axis, first, last, 1)), nil
}

const outlineXML = `<a:ln w="6350"><a:solidFill><a:srgbClr val="` + slate + `"/></a:solidFill></a:ln>`

// labelsOff ends the labels of a series whose other parts have none.
const labelsOff = `<showLegendKey val="0"/><showVal val="0"/><showCatName val="0"/><showSerName val="0"/><showPercent val="0"/><showBubbleSize val="0"/>`

// labelXML returns the label of one bar's part, or of one point: words, or none.
// side is where it stands beside a point, "" for within a bar.
func labelXML(at int, words, side string) string {
	if words == "" {
		return fmt.Sprintf(`<dLbl><idx val="%d"/><delete val="1"/></dLbl>`, at)
	}
	if side != "" {
		side = `<dLblPos val="` + side + `"/>`
	}
	var escaped bytes.Buffer
	_ = xml.EscapeText(&escaped, []byte(cleanText(words))) // a buffer takes all
	return fmt.Sprintf(`<dLbl><idx val="%d"/><tx><rich><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:r><a:rPr lang="en-US" sz="900"/><a:t>%s</a:t></a:r></a:p></rich></tx>`+
		`<spPr/><txPr><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:endParaRPr lang="en-US"/></a:p></txPr>%s<showLegendKey val="0"/><showVal val="1"/><showCatName val="0"/><showSerName val="0"/><showPercent val="0"/><showBubbleSize val="0"/></dLbl>`, at, &escaped, side)
}
