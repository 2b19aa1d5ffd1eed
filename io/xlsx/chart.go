package xlsx

import (
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// BarChart is a picture of horizontal stacked bars, a row of cells a bar. The
// first bar is the highest.
type BarChart struct {
	Row, Col      int    // its upper left corner
	Width, Height int    // pixels
	About, Axis   string // what it shows, for those who do not see it; the unit of the axis or ""
	Bars          string // range of the names of the bars
	Series        []BarSeries
	Min           float64 // where the axis begins
	Max, Step     float64 // end of the axis and distance of its numbers; 0 = the program's choice
	Format        string  // of the numbers of the axis and of values; "" = as in the cells
	Values        bool    // the value stands at the end of each bar; for a single series
	Legend        bool    // the names of the series stand below
	Size          float64 // of its type in points; 0 = that of most
}

// points is the size of the chart's type.
func (c BarChart) points() float64 {
	if c.Size > 0 {
		return c.Size
	}
	return labelSize
}

// worded reports whether parts of the bars have words.
func (c BarChart) worded() bool {
	return slices.ContainsFunc(c.Series, func(s BarSeries) bool { return s.Labels != nil })
}

// BarSeries is one part of every bar.
type BarSeries struct {
	Name, Values string   // the cell of its name, the range of its values
	Fill         string   // color
	Labels       []string // what stands in the part of each bar, "" = nothing; nil: no words
	Hatched      []bool   // of those with words: which of them are hatched
}

// picture is a chart of a sheet. The library writes its part, and finish adds
// what the library cannot say.
type picture interface {
	corner() string // the cell at its upper left
	size() (width, height int)
	options() *excelize.Chart
	finish(part []byte) ([]byte, error)
}

// addChart adds a picture to the sheet.
func (p *Sheet) addChart(c picture) { p.Charts = append(p.Charts, c) }

// corner returns the cell at the upper left corner.
func (c BarChart) corner() string { return formula.Cell(c.Row, c.Col) }

// size returns the pixels that it takes.
func (c BarChart) size() (width, height int) { return c.Width, c.Height }

// options returns the chart as the library takes it, without the labels.
func (c BarChart) options() *excelize.Chart {
	gap, overlap, vary := uint(35), 100, false
	font := excelize.Font{Family: fontName, Size: c.points(), Color: Slate}
	format := excelize.ChartNumFmt{CustomNumFmt: c.Format}
	o := &excelize.Chart{
		Type:      excelize.BarStacked,
		Dimension: excelize.ChartDimension{Width: uint(c.Width), Height: uint(c.Height)},
		Legend:    excelize.ChartLegend{Position: "none"},
		GapWidth:  &gap, Overlap: &overlap, VaryColors: &vary,
		XAxis:    excelize.ChartAxis{ReverseOrder: true, Font: font, TickLabelPosition: excelize.ChartTickLabelLow},
		YAxis:    excelize.ChartAxis{Font: font, Minimum: &c.Min, MajorUnit: c.Step, NumFmt: format},
		PlotArea: excelize.ChartPlotArea{ShowVal: c.Values || c.worded(), NumFmt: format},
		Border:   excelize.LineOptions{Type: excelize.LineNone},
		Format:   excelize.GraphicOptions{AltText: formula.CleanText(c.About), Positioning: "oneCell"},
	}
	if c.Axis != "" {
		o.YAxis.Title.Paragraph = []excelize.RichTextRun{{Text: formula.CleanText(c.Axis), Font: &font}}
	}
	if c.Max > 0 {
		o.YAxis.Maximum = &c.Max
	}
	if c.Legend {
		o.Legend = excelize.ChartLegend{Position: "bottom", Font: &font}
	}
	at := excelize.ChartDataLabelsPositionUnset
	if c.Values {
		o.Type, at = excelize.Bar, excelize.ChartDataLabelsPositionOutsideEnd
	}
	for _, s := range c.Series {
		o.Series = append(o.Series, excelize.ChartSeries{
			Name: s.Name, Categories: c.Bars, Values: s.Values,
			Fill:              excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.Fill}},
			DataLabel:         excelize.ChartDataLabel{Font: excelize.Font{Family: fontName, Size: labelSize, Color: "000000"}},
			DataLabelPosition: at,
		})
	}
	return o
}

// ChartPart returns the name of the part of the n-th chart, from 1.
func ChartPart(n int) string { return fmt.Sprintf("xl/charts/chart%d.xml", n) }

// drawingPart returns the name of the part that says where the charts of the n-th sheet
// that has some are, from 1.
func drawingPart(n int) string { return fmt.Sprintf("xl/drawings/drawing%d.xml", n) }

// pixelEMU is a pixel in the units of drawings, 914,400 an inch.
const pixelEMU = 914_400 / 96

// anchored says in a drawing's part where each of its pictures begins and how large it
// is. The library says instead in which cell each ends, which is the first one again with
// offsets far beyond it: programs differ in what they make of those.
func anchored(part []byte, pictures []picture) ([]byte, error) {
	const (
		start, end = `<xdr:twoCellAnchor editAs="oneCell">`, `</xdr:twoCellAnchor>`
		to, toEnd  = "<xdr:to>", "</xdr:to>"
	)
	pieces := strings.Split(string(part), start)
	if len(pieces) != len(pictures)+1 {
		return nil, fmt.Errorf("%d pictures, not %d", len(pieces)-1, len(pictures))
	}
	for i, c := range pictures {
		from, rest, ok := strings.Cut(pieces[i+1], to)
		_, rest, closed := strings.Cut(rest, toEnd)
		if !ok || !closed || strings.Count(rest, end) != 1 {
			return nil, fmt.Errorf("picture %d has no place", i+1)
		}
		width, height := c.size()
		pieces[i+1] = fmt.Sprintf(`%s<xdr:ext cx="%d" cy="%d"/>%s`, from, width*pixelEMU, height*pixelEMU, strings.Replace(rest, end, "</xdr:oneCellAnchor>", 1))
	}
	return []byte(strings.Join(pieces, "<xdr:oneCellAnchor>")), nil
}

// Of a series of a chart, where the library leaves out what is needed here.
const (
	SeriesStart = "<ser>"
	shapeStart  = "<spPr>"
	shapeEnd    = "</spPr>"
	labelsStart = "<dLbls>"
	labelsEnd   = "</dLbls>"
)

// finish gives each series of a chart's part an outline, so that neighbors
// part in black and white too, and each bar's part its own label and fill: the library
// knows only labels of numbers.
func (c BarChart) finish(part []byte) ([]byte, error) {
	pieces := strings.Split(string(part), SeriesStart)
	if len(pieces) != len(c.Series)+1 {
		return nil, fmt.Errorf("%d series, not %d", len(pieces)-1, len(c.Series))
	}
	for i, s := range c.Series {
		before, shape, shaped := strings.Cut(pieces[i+1], shapeStart)
		fill, rest, closed := strings.Cut(shape, shapeEnd)
		between, labels, labeled := strings.Cut(rest, labelsStart)
		_, after, ended := strings.Cut(labels, labelsEnd)
		switch {
		case !shaped || !closed || !labeled || !ended:
			return nil, fmt.Errorf("series %d has no shape or labels", i+1)
		case s.Labels == nil:
			pieces[i+1] = before + shapeXML(fill) + rest
		default:
			pieces[i+1] = before + shapeXML(patternXML(plainPattern, s.Fill, s.Fill)) + between + s.points() + s.labels() + after
		}
	}
	return axisBelow(strings.Join(pieces, SeriesStart))
}

// points returns the parts of the bars that are drawn in another way than their series.
func (s BarSeries) points() string {
	var b strings.Builder
	for bar, hatched := range s.Hatched {
		if hatched {
			fmt.Fprintf(&b, `<dPt><idx val="%d"/><invertIfNegative val="0"/><bubble3D val="0"/>%s</dPt>`, bar, shapeXML(patternXML(hatchPattern, hatchLine, hatchFill)))
		}
	}
	return b.String()
}

// labels returns the words of the parts. A program that cannot read them shows the values
// instead, but where none of the parts has any.
func (s BarSeries) labels() string {
	if !slices.ContainsFunc(s.Labels, func(words string) bool { return words != "" }) {
		return labelsStart + labelsOff + labelsEnd
	}
	var b strings.Builder
	b.WriteString(labelsStart)
	for bar, words := range s.Labels {
		b.WriteString(labelXML(bar, words, bar < len(s.Hatched) && s.Hatched[bar]))
	}
	b.WriteString(labelType + labelsOfValues + labelsEnd)
	return b.String()
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

const OutlineXML = `<a:ln w="6350"><a:solidFill><a:srgbClr val="` + Slate + `"/></a:solidFill></a:ln>`

// What labels show: nothing, the value, or the name of the series.
const (
	labelsOff      = `<showLegendKey val="0"/><showVal val="0"/><showCatName val="0"/><showSerName val="0"/><showPercent val="0"/><showBubbleSize val="0"/>`
	labelsOfValues = `<showLegendKey val="0"/><showVal val="1"/><showCatName val="0"/><showSerName val="0"/><showPercent val="0"/><showBubbleSize val="0"/>`
	labelsOfNames  = `<showLegendKey val="0"/><showVal val="0"/><showCatName val="0"/><showSerName val="1"/><showPercent val="0"/><showBubbleSize val="0"/>`
)

// shapeXML returns a shape of some fill, outlined.
func shapeXML(fill string) string { return shapeStart + fill + OutlineXML + shapeEnd }

// Fills that have words in them: two colors in a pattern. One color is written as twice
// the same, for where a fill is plain gnumeric takes a color of its own, which may be too
// dark for words; of a pattern it draws the second color.
const (
	plainPattern = "pct50"
	hatchPattern = "wdUpDiag"
	hatchLine    = "6B7B8C"
	hatchFill    = "FBE3D2"
)

func patternXML(pattern, fore, back string) string {
	return fmt.Sprintf(`<a:pattFill prst="%s"><a:fgClr><a:srgbClr val="%s"/></a:fgClr><a:bgClr><a:srgbClr val="%s"/></a:bgClr></a:pattFill>`, pattern, fore, back)
}

// labelXML returns the label of one bar's part: words, or none. On hatching they stand on
// white.
func labelXML(bar int, words string, hatched bool) string {
	if words == "" {
		return fmt.Sprintf(`<dLbl><idx val="%d"/><delete val="1"/></dLbl>`, bar)
	}
	ground := "<spPr/>"
	if hatched {
		ground = `<spPr><a:solidFill><a:srgbClr val="FFFFFF"/></a:solidFill></spPr>`
	}
	return fmt.Sprintf(`<dLbl><idx val="%d"/><tx><rich><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:r><a:rPr lang="en-US" sz="900"/><a:t>%s</a:t></a:r></a:p></rich></tx>`+
		`%s%s%s</dLbl>`, bar, escapedXML(words), ground, labelType, labelsOfValues)
}

// nameLabel returns the label of a line's only point, the name of the line: as what its
// cell holds for some programs, as the series' name for others.
func nameLabel(l LineSeries) string {
	return fmt.Sprintf(`<dLbl><idx val="0"/><tx><strRef><f>%s</f><strCache><ptCount val="1"/><pt idx="0"><v>%s</v></pt></strCache></strRef></tx>`+
		`<spPr/>%s<dLblPos val="%s"/>%s</dLbl>`, escapedXML(l.Name), escapedXML(l.Words), labelType, l.Side, labelsOfNames)
}

// labelType is the type of a label.
const labelType = `<txPr><a:bodyPr wrap="none"/><a:p><a:pPr><a:defRPr sz="900"/></a:pPr><a:endParaRPr lang="en-US"/></a:p></txPr>`

// escapedXML returns words as a part may hold them.
func escapedXML(words string) string {
	var escaped strings.Builder
	_ = xml.EscapeText(&escaped, []byte(formula.CleanText(words))) // a builder takes all
	return escaped.String()
}

// Sizes of the picture of a plan, in pixels but where it says otherwise.
const (
	barHeight   = 30 // pixels
	ChartFrame  = 64 // pixels above and below the bars
	RowPixels   = 20
	PixelPoints = 0.75
	PlotShare   = 0.85 // of a picture's width
	labelSize   = 9.0  // points of type in a bar
)

// Sizes of a picture of money, in its type.
const (
	moneyBar   = 2.2
	moneyFrame = 8 // axis and legend
)

// PicturePixels returns the height of a picture of so many bars.
func PicturePixels(bars int) int { return bars*barHeight + ChartFrame }

// Fitting returns the first of some words that so many points have room for, or
// "".
func Fitting(room float64, words ...string) string {
	for _, w := range words {
		if textPoints(w, &drawing{size: labelSize}) <= room {
			return w
		}
	}
	return ""
}

// PixelsOf returns the pixels that columns of such widths take.
func PixelsOf(widths []float64) int {
	sum := 0
	for _, w := range widths {
		sum += int(w * pointsPerWidth / PixelPoints)
	}
	return sum
}

// AxisOf returns the distance of the numbers of an axis, 1, 2 or 5 of a power
// of ten, and its end, for at most eight of them.
func AxisOf(most float64) (step, end float64) {
	step = math.Pow(10, math.Floor(math.Log10(most/8)))
	for _, k := range []float64{1, 2, 5, 10} {
		if most <= 8*k*step {
			step *= k
			break
		}
	}
	return step, math.Ceil(most/step) * step
}

// RoundStep returns a round number not below a positive one: 1, 2 or 5 times a
// power of ten.
func RoundStep(v float64) float64 {
	if v <= 0 {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 5} {
		if v <= k*ten {
			return k * ten
		}
	}
	return 10 * ten
}

// Below puts a picture below what is written, under what it shows, with all of it on
// one page.
func (p *Sheet) Below(c BarChart) { p.BelowHead(c.About, c) }

// BelowHead puts a picture below what is written, under a heading of its own, with all
// of it on one page.
func (p *Sheet) BelowHead(head string, c BarChart) {
	p.Skip(1)
	from := p.Row(Str(Section, head))
	p.Draw(c)
	p.KeepTogether(from, p.Next())
}

// Draw puts a picture of a set height below what is written, at the left.
func (p *Sheet) Draw(c BarChart) {
	c.Row, c.Col = p.Next(), 1
	p.addChart(c)
	p.Skip((c.Height + RowPixels - 1) / RowPixels)
}

// Fits reports whether a printed page that begins at a row of the sheet has room for a
// picture of so many pixels below what is written. The printed columns of the table have
// set widths, the others the least of the sheet.
func (g *Grid) Fits(first, pixels int) bool {
	p, printed := g.sheet, g.widths[:g.printed]
	return p.points(first, p.Next(), printed, p.minWidth)+float64(pixels)*PixelPoints <= p.pageRoom(printed)
}

// FitsRow reports the same with one more row.
func (t *Table[R]) FitsRow(first int, r R, pixels int) bool {
	p := t.sheet
	row := p.Row(t.build(p.Next(), t.cells[:0], r)...)
	defer func() { p.Rows = p.Rows[:row-1] }()
	return t.Fits(first, pixels)
}

// DrawBars puts a picture of so many bars below what is written.
func (p *Sheet) DrawBars(c BarChart, bars int) {
	c.Row, c.Col, c.Height = p.Next(), 1, int((float64(bars)*moneyBar+moneyFrame)*c.points())
	p.addChart(c)
	p.Skip((c.Height+RowPixels-1)/RowPixels + 1)
}

// MoneyFill is the fill of a bar that stands for money. Its neighbor is white.
const MoneyFill = "8C99A6"

// PartFills are the fills of the parts of a bar: two in turn, so that neighbors differ.
var PartFills = [2]string{"FFFFFF", "E4E9EE"}

const (
	DarkFill = Slate
	RestFill = "FFF1C9"
)
