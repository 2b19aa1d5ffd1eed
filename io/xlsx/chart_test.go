package xlsx

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBarChartFinishedOrRefused(t *testing.T) {
	const (
		series = SeriesStart + "<spPr>" + shapeEnd + labelsStart + labelsEnd + "</ser>"
		axis   = `<valAx><crosses val="autoZero"></crosses></valAx>`
	)
	said := BarChart{Series: []BarSeries{{Fill: "E4E9EE", Labels: []string{"84 & more", "", "32"}, Hatched: []bool{false, true, true}}}}
	got, err := said.finish([]byte(series + axis))
	require.NoError(t, err)
	assert.Contains(t, string(got), "84 &amp; more")
	assert.Contains(t, string(got), `<dLbl><idx val="1"/><delete val="1"/>`, "no words, no label")
	assert.Contains(t, string(got), OutlineXML, "parts differ in black and white")
	assert.Contains(t, string(got), `<crosses val="max">`, "the numbers stand below the bars")
	assert.Contains(t, string(got), `<spPr><a:pattFill prst="pct50"><a:fgClr><a:srgbClr val="E4E9EE"/></a:fgClr><a:bgClr><a:srgbClr val="E4E9EE"/></a:bgClr></a:pattFill>`, "one color")
	for bar, hatched := range []bool{false, true, true} {
		point := fmt.Sprintf(`<dPt><idx val="%d"/><invertIfNegative val="0"/><bubble3D val="0"/><spPr><a:pattFill prst="wdUpDiag">`, bar)
		assert.Equal(t, hatched, strings.Contains(string(got), point), "bar %d, with words or without", bar)
	}
	assert.Equal(t, 1, strings.Count(string(got), `<spPr><a:solidFill><a:srgbClr val="FFFFFF"/>`), "words on hatching stand on white")

	silent := BarChart{Series: []BarSeries{{Labels: []string{"", ""}}}}
	got, err = silent.finish([]byte(series + axis))
	require.NoError(t, err)
	assert.Contains(t, string(got), labelsStart+labelsOff+labelsEnd, "of kerf no program shows the value")

	money := BarChart{Series: []BarSeries{{}}, Format: FormatCount, Values: true}
	got, err = money.finish([]byte(series + axis))
	require.NoError(t, err)
	assert.NotContains(t, string(got), "<dLbl>", "the values are the program's, and follow the cells")

	for _, c := range []struct{ why, part string }{
		{"a series too many", series + series + axis},
		{"no shape", strings.Replace(series, shapeEnd, "", 1) + axis},
		{"no axis", series},
		{"an axis that crosses elsewhere", series + strings.Replace(axis, "autoZero", "min", 1)},
	} {
		_, err := said.finish([]byte(c.part))
		assert.Error(t, err, c.why)
	}
}

func TestDrawingFinishedOrRefused(t *testing.T) {
	c := LineChart{Lines: []LineSeries{{Name: "'Cut & fit'!A1", Words: "head 42 & more", Side: "ctr"}, {}}}
	const series = SeriesStart + "<tx/>" + xStart + "<f>A1</f>" + xEnd + yStart + "</yVal></ser>"
	got, err := c.finish([]byte(plotStart + curved + series + series + nameAxis))
	require.NoError(t, err)
	assert.Contains(t, string(got), `<tx><strRef><f>&#39;Cut &amp; fit&#39;!A1</f><strCache><ptCount val="1"/><pt idx="0"><v>head 42 &amp; more</v></pt></strCache></strRef></tx>`, "a label is a cell")
	assert.Contains(t, string(got), `<showVal val="0"/><showCatName val="0"/><showSerName val="1"/>`, "which holds the name of its line")
	assert.Contains(t, string(got), `<dLblPos val="ctr"/>`)
	assert.Contains(t, string(got), straight, "points are joined by straight lines")
	for _, gone := range []string{nameAxis, curved, xStart} {
		assert.NotContains(t, string(got), gone, "an axis of numbers, points that are numbers")
	}
	for _, c2 := range []struct{ why, part string }{
		{"no plot", curved + series + series + nameAxis},
		{"other axes", plotStart + curved + series + series},
		{"another style", plotStart + series + series + nameAxis},
		{"a line too few", plotStart + curved + series + nameAxis},
		{"no points", plotStart + curved + series + SeriesStart + "</ser>" + nameAxis},
		{"labels of the library's", plotStart + curved + series + SeriesStart + labelsStart + xStart + xEnd + yStart + nameAxis},
	} {
		_, err := c.finish([]byte(c2.part))
		assert.Error(t, err, c2.why)
	}
}

// A picture is as large as it was made, whatever the cells below it.
func TestPicturesAreAnchoredByTheirSize(t *testing.T) {
	const one = `<xdr:twoCellAnchor editAs="oneCell"><xdr:from>A1</xdr:from><xdr:to>A1</xdr:to><c/></xdr:twoCellAnchor>`
	pictures := []picture{BarChart{Width: 100, Height: 50}, LineChart{Width: 2, Height: 1}}
	got, err := anchored([]byte("<d>"+one+one+"</d>"), pictures)
	require.NoError(t, err)
	assert.Equal(t, `<d><xdr:oneCellAnchor><xdr:from>A1</xdr:from><xdr:ext cx="952500" cy="476250"/><c/></xdr:oneCellAnchor>`+
		`<xdr:oneCellAnchor><xdr:from>A1</xdr:from><xdr:ext cx="19050" cy="9525"/><c/></xdr:oneCellAnchor></d>`, string(got), "9,525 a pixel: 914,400 an inch of 96")
	for _, c := range []struct{ why, part string }{
		{"a picture too few", one},
		{"no end", one + strings.Replace(one, "<xdr:to>", "", 1)},
		{"not closed", one + strings.Replace(one, "</xdr:twoCellAnchor>", "", 1)},
	} {
		_, err := anchored([]byte(c.part), pictures)
		assert.Error(t, err, c.why)
	}
}

func TestFitting(t *testing.T) {
	assert.Equal(t, "84-1/2 W1, W2", Fitting(200, "84-1/2 W1, W2", "84-1/2"))
	assert.Equal(t, "84-1/2", Fitting(30, "84-1/2 W1, W2", "84-1/2"))
	assert.Equal(t, "", Fitting(10, "84-1/2 W1, W2", "84-1/2"))
}

func TestChartIsCheckedAgainstTheLibrary(t *testing.T) {
	_, err := BarChart{Series: make([]BarSeries, 2)}.finish([]byte("<ser><spPr></spPr><dLbls></dLbls></ser>"))
	assert.EqualError(t, err, "1 series, not 2")
	_, err = BarChart{Series: make([]BarSeries, 1)}.finish([]byte("<ser><dLbls></dLbls></ser>"))
	assert.EqualError(t, err, "series 1 has no shape or labels")
}

func TestAxisOf(t *testing.T) {
	for _, c := range []struct{ most, step, end float64 }{
		{19_413.77, 5000, 20_000}, {2390, 500, 2500}, {8, 1, 8}, {8.01, 2, 10}, {0.2663, 0.05, 0.3}, {41, 10, 50},
	} {
		step, end := AxisOf(c.most)
		assert.InDelta(t, c.step, step, 1e-12, c.most)
		assert.InDelta(t, c.end, end, 1e-12, c.most)
	}
}

func TestRoundStep(t *testing.T) {
	for v, want := range map[float64]float64{0: 1, -3: 1, 0.9: 1, 1: 1, 1.2: 2, 3: 5, 7: 10, 140: 200, 0.03: 0.05} {
		assert.InDelta(t, want, RoundStep(v), 1e-12, fmt.Sprint(v))
	}
}
