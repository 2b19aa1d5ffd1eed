package audit

import (
	"encoding/xml"
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

// drawing checks the ids by which a drawing names its charts.
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
		if s.Name != "" {
			l.fault(part, formula.Fault(s.Name, l.known))
		}
	}
}

type seriesXML struct {
	Name   string `xml:"tx>strRef>f"`
	Bars   string `xml:"cat>strRef>f"`
	Values string `xml:"val>numRef>f"`
	X      string `xml:"xVal>numRef>f"`
	Y      string `xml:"yVal>numRef>f"`
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

// chartOrder is the order of the elements of a series, of its labels and of one
// label, in the file format.
var chartOrder = map[string][]string{
	"ser":   strings.Fields("idx order tx spPr invertIfNegative pictureOptions marker dPt dLbls trendline errBars cat val xVal yVal smooth shape extLst"),
	"dLbls": strings.Fields("dLbl delete numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator showLeaderLines leaderLines extLst"),
	"dLbl":  strings.Fields("idx delete layout tx numFmt spPr txPr dLblPos showLegendKey showVal showCatName showSerName showPercent showBubbleSize separator extLst"),
}

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
					if at < stack[n-1].last {
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
