package workbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBarChartFinishedOrRefused(t *testing.T) {
	const (
		series = seriesStart + "<spPr>" + shapeEnd + labelsStart + labelsEnd + "</ser>"
		axis   = `<valAx><crosses val="autoZero"></crosses></valAx>`
	)
	said := barChart{series: []barSeries{{labels: []string{"84 & more", ""}}}}
	got, err := said.finish([]byte(series + axis))
	require.NoError(t, err)
	assert.Contains(t, string(got), "84 &amp; more")
	assert.Contains(t, string(got), `<idx val="1"/><delete val="1"/>`, "no words, no label")
	assert.Contains(t, string(got), outlineXML, "parts differ in black and white")
	assert.Contains(t, string(got), `<crosses val="max">`, "the numbers stand below the bars")

	money := barChart{series: []barSeries{{}}, format: formatCount, values: true}
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

// TestMarkBar: the words of a bar are those that the formula gives.
func TestMarkBar(t *testing.T) {
	w := clipboard(false)
	cells := markBar(6, 14, 27, &w.in.Takeoff.Openings[0], 191_850)
	assert.Equal(t, formula("SUM(N6,P6)", cells[0].v, money), cells[0])
	assert.Equal(t, `A6&" x "&C6&":  "&TEXT(AA6,"0")`, cells[1].f)
	assert.Equal(t, "W1 x 4:  1919", cells[1].v, "1918.50 rounds up")
}

// TestManyMarksAreDrawnInSeveralPictures: 25 to a picture, six at most.
func TestManyMarksAreDrawnInSeveralPictures(t *testing.T) {
	for _, c := range []struct {
		why             string
		marks, pictures int
		note            string
	}{
		{"none", 0, 0, ""},
		{"one", 1, 1, ""},
		{"as many as one picture holds", 25, 1, ""},
		{"one more", 26, 2, ""},
		{"as many as all hold", 150, 6, ""},
		{"more", 151, 6, "Drawn are the first 150 of 151 marks."},
	} {
		o := newOut(docProps{})
		w := &writer{out: o, byOpening: o.sheet("By opening")}
		p := w.byOpening
		p.skip(firstRow - 1 + c.marks)
		p.widths(make([]float64, 16)...)
		w.markPictures(14, 27, firstRow-1+c.marks)
		assert.Len(t, p.charts, c.pictures, c.why)
		last := ""
		if s, ok := p.at(len(p.rows), 1).v.(string); ok && p.at(len(p.rows), 1).look == note {
			last = s
		}
		assert.Equal(t, c.note, last, c.why)
	}
}
