package audit

import (
	"encoding/xml"
	"html"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"

	"sillwright/io/xlsx/formula"
)

// charts checks the drawings: their ids, and that every series of a chart leads
// to cells of this workbook, as many one way as the other.
func (l *linter) charts() {
	for _, part := range l.order {
		switch dir, _ := path.Split(part); dir {
		case "xl/drawings/":
			l.drawing(part)
		case "xl/charts/":
			l.chart(part)
		}
	}
}

// drawing checks the ids by which a drawing names its charts, and that a chart which keeps
// its size says it.
func (l *linter) drawing(part string) {
	if path.Ext(part) != ".xml" {
		return
	}
	rels := l.relations(part)
	for _, m := range chartID.FindAllStringSubmatch(string(l.parts[part]), -1) {
		if _, ok := rels[m[1]]; !ok {
			l.report("%s: id %s has no relationship", part, m[1])
		}
	}
	if strings.Contains(string(l.parts[part]), `editAs="oneCell"`) {
		l.report("%s: a picture says where it ends, not how large it is", part)
	}
}

var chartID = regexp.MustCompile(`r:id="([^"]*)"`)

// chart checks the series of a chart.
func (l *linter) chart(part string) {
	var x struct {
		Series []seriesXML `xml:"chart>plotArea>barChart>ser"`
		Lines  []seriesXML `xml:"chart>plotArea>scatterChart>ser"`
	}
	l.decode(part, &x)
	l.elementOrder(part)
	all := append(x.Series, x.Lines...)
	if len(all) == 0 {
		l.report("%s: the chart shows nothing", part)
	}
	for _, s := range all {
		sizes := map[int]bool{}
		for _, f := range []string{s.Bars, s.X, s.Values, s.Y} {
			if f == "" {
				continue
			}
			l.fault(part, formula.Fault(f, l.known))
			for _, r := range references(f, "") {
				sizes[(r.Row2-r.Row+1)*(r.Col2-r.Col+1)] = true
			}
		}
		if len(sizes) != 1 {
			l.report("%s: a series has not as many names as values", part)
		}
		for _, f := range append(s.Labels, s.Name) {
			if f != "" {
				l.fault(part, formula.Fault(f, l.known))
			}
		}
	}
}

type seriesXML struct {
	Name   string `xml:"tx>strRef>f"`
	Bars   string `xml:"cat>strRef>f"`
	Values string `xml:"val>numRef>f"`
	X      string `xml:"xVal>numRef>f"`
	Y      string `xml:"yVal>numRef>f"`

	Labels []string `xml:"dLbls>dLbl>tx>strRef>f"`
}

// color matches a color of a sheet, a style or a note as it is stored, and the digits of
// it that count: opacity, red, green and blue.
var color = regexp.MustCompile(`\brgb="([^"]*)"`)

var colorDigits = regexp.MustCompile(`^[0-9A-Fa-f]{8}$`)

// colors checks that every color has the eight digits that the format asks for; in
// charts they have another form.
func (l *linter) colors() {
	for _, part := range l.order {
		for _, m := range color.FindAllSubmatch(l.parts[part], -1) {
			if !colorDigits.Match(m[1]) {
				l.report("%s: color %q has not eight hexadecimal digits", part, m[1])
			}
		}
	}
}

// spaced matches a text that asks for the space at its ends to be kept.
var spaced = regexp.MustCompile(`<t xml:space="preserve">([^<]*)</t>`)

// notes checks that no text of a note asks for space to be kept that is not there: the
// schema of the format has no such attribute.
func (l *linter) notes() {
	for _, part := range l.order {
		if !strings.HasPrefix(part, "xl/comments") {
			continue
		}
		for _, m := range spaced.FindAllSubmatch(l.parts[part], -1) {
			if words := html.UnescapeString(string(m[1])); strings.TrimSpace(words) == words {
				l.report("%s: note %q has no space to keep", part, words)
			}
		}
	}
}

// styleCounts counts the styles of cells, and those of conditional formats.
func (l *linter) styleCounts() (cells, conditional int) {
	var x struct {
		Cells       []struct{} `xml:"cellXfs>xf"`
		Conditional []struct{} `xml:"dxfs>dxf"`
	}
	l.decode("xl/styles.xml", &x)
	return len(x.Cells), len(x.Conditional)
}

// chartOrder is the order of the elements of a series, of its points and labels, and of
// the axes, in the file format: what is not listed may not be there.
var chartOrder = map[string][]string{
	"ser":   strings.Fields("idx order tx spPr invertIfNegative pictureOptions marker dPt dLbls trendline errBars cat val xVal yVal smooth shape extLst"),
	"dLbls": strings.Fields("dLbl delete numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator showLeaderLines leaderLines extLst"),
	"dLbl":  strings.Fields("idx delete layout tx numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator extLst"),
	"dPt":   strings.Fields("idx invertIfNegative marker bubble3D explosion spPr pictureOptions extLst"),
	"catAx": strings.Fields(anyAxis + " auto lblAlgn lblOffset tickLblSkip tickMarkSkip noMultiLvlLbl extLst"),
	"valAx": strings.Fields(anyAxis + " crossBetween majorUnit minorUnit dispUnits extLst"),
}

// anyAxis is how the elements of every axis begin.
const anyAxis = "axId scaling delete axPos majorGridlines minorGridlines title numFmt majorTickMark minorTickMark tickLblPos spPr txPr crossAx crosses crossesAt"

// elementOrder checks the order of the elements that are written here into the
// parts of charts.
func (l *linter) elementOrder(part string) {
	type open struct {
		name string
		last int
	}
	var stack []open
	d := xml.NewDecoder(strings.NewReader(string(l.parts[part])))
	for {
		t, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			l.report("%s: %v", part, err)
			return
		}
		switch t := t.(type) {
		case xml.StartElement:
			if n := len(stack); n > 0 {
				if order, known := chartOrder[stack[n-1].name]; known {
					at := slices.Index(order, t.Name.Local)
					if at < 0 || at < stack[n-1].last {
						l.report("%s: element %s of %s is out of order", part, t.Name.Local, stack[n-1].name)
					}
					stack[n-1].last = at
				}
			}
			stack = append(stack, open{t.Name.Local, -1})
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
}
