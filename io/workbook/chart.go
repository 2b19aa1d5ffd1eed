package workbook

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// barChart is a picture of horizontal stacked bars, a row of cells a bar. The
// first bar is the highest.
type barChart struct {
	row, col      int    // its upper left corner
	width, height int    // pixels
	about, axis   string // what it shows, for those who do not see it; the unit of the axis
	bars          string // range of the names of the bars
	series        []barSeries
	min, max      float64 // ends of the axis
	step          float64 // distance of its numbers
	legend        bool    // the names of the series stand below
	format        string  // of the axis's numbers; "" = as in the cells
}

// barSeries is one part of every bar.
type barSeries struct {
	name, values string   // the cell of its name, the range of its values
	fill         string   // colour
	labels       []string // what stands in the part of each bar; "" = nothing
}

// chart adds a picture to the sheet.
func (p *page) chart(c barChart) { p.charts = append(p.charts, c) }

// options returns the chart as the library takes it, without the labels.
func (c barChart) options() *excelize.Chart {
	gap, overlap, vary := uint(35), 100, false
	font := excelize.Font{Family: fontName, Size: 9, Color: slate}
	o := &excelize.Chart{
		Type:      excelize.BarStacked,
		Dimension: excelize.ChartDimension{Width: uint(c.width), Height: uint(c.height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		GapWidth:  &gap, Overlap: &overlap, VaryColors: &vary,
		XAxis:    excelize.ChartAxis{ReverseOrder: true, Font: font, TickLabelPosition: excelize.ChartTickLabelLow},
		YAxis:    excelize.ChartAxis{Font: font, Minimum: &c.min, Maximum: &c.max, MajorUnit: c.step, Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: cleanText(c.axis), Font: &font}}}},
		PlotArea: excelize.ChartPlotArea{ShowVal: true},
		Border:   excelize.LineOptions{Type: excelize.LineNone},
		Format:   excelize.GraphicOptions{AltText: cleanText(c.about), Positioning: "oneCell"},
	}
	if c.legend {
		o.Legend = excelize.ChartLegend{Position: "bottom", Font: &font}
	}
	if c.format != "" {
		o.YAxis.NumFmt = excelize.ChartNumFmt{CustomNumFmt: c.format}
	}
	for _, s := range c.series {
		o.Series = append(o.Series, excelize.ChartSeries{
			Name: s.name, Categories: c.bars, Values: s.values,
			Fill:      excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.fill}},
			DataLabel: excelize.ChartDataLabel{Font: excelize.Font{Family: fontName, Size: labelSize, Color: "000000"}},
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
		var labels strings.Builder
		labels.WriteString(labelsStart)
		for bar, words := range s.labels {
			labels.WriteString(labelXML(bar, words))
		}
		pieces[i+1] = strings.Replace(text, labelsStart, labels.String(), 1)
	}
	return []byte(strings.Join(pieces, seriesStart)), nil
}

const outlineXML = `<a:ln w="6350"><a:solidFill><a:srgbClr val="` + slate + `"/></a:solidFill></a:ln>`

// labelXML returns the label of one bar's part: words, or none.
func labelXML(bar int, words string) string {
	if words == "" {
		return fmt.Sprintf(`<dLbl><idx val="%d"/><delete val="1"/></dLbl>`, bar)
	}
	var escaped bytes.Buffer
	_ = xml.EscapeText(&escaped, []byte(cleanText(words))) // a buffer takes all
	return fmt.Sprintf(`<dLbl><idx val="%d"/><tx><rich><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:r><a:rPr lang="en-US" sz="900"/><a:t>%s</a:t></a:r></a:p></rich></tx>`+
		`<spPr/><txPr><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:endParaRPr lang="en-US"/></a:p></txPr><showLegendKey val="0"/><showVal val="1"/><showCatName val="0"/><showSerName val="0"/><showPercent val="0"/><showBubbleSize val="0"/></dLbl>`, bar, &escaped)
}
