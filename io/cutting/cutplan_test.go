package cutting

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/audit"
)

// sixteen is the cutting of 16 three-sided frames, legs of 84 in and heads of 32,
// on 192 in: 38 boards with and without a saw cut. Source: arithmetic, two legs a
// board leave 24; 16 boards of legs more than pair off take three heads
func sixteen(kerf measure.Length) Input {
	p := cut.Problem{
		Pieces: []cut.Piece{{Length: 84 * measure.Inch, Count: 64, Label: "leg, D1 & <D2>"}, {Length: 32 * measure.Inch, Count: 32, Label: "head", Held: true}},
		Stocks: []cut.Stock{{Length: 192 * measure.Inch, Price: 10000, Available: -1}},
		Kerf:   kerf,
	}
	return Input{File: "pieces.csv", Problem: p, Stocks: []string{"=1x4"}, Plan: cut.Solve(p),
		Problems: []estimate.Problem{{What: "a row is left out", Do: "mend it"}}}
}

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}

func TestCutPlan(t *testing.T) {
	for _, kerf := range []measure.Length{0, measure.Inch / 8} {
		in := sixteen(kerf)
		data, err := Workbook(in)
		require.NoError(t, err)
		assert.Empty(t, audit.Lint(data))
		again, err := Workbook(in)
		require.NoError(t, err)
		assert.Equal(t, data, again, "the same bytes")
		f := opened(t, data)
		plan, err := f.GetRows("Plan", excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		assert.Equal(t, []string{"=1x4", "16'-0\"", "192", "38", "1", "38", "unlimited"}, plan[4])
		assert.Equal(t, []string{"Cost of the plan", "", "", "38", "", "38"}, plan[5][:6])
		formula, err := f.GetCellFormula("Plan", "A5")
		require.NoError(t, err)
		assert.Empty(t, formula, "text that looks like a formula stays text")

		rows, err := f.GetRows("Boards", excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		header := slices.IndexFunc(rows, func(row []string) bool { return len(row) > 0 && row[0] == "Pattern" })
		require.Positive(t, header)
		check := slices.Index(rows[header], checkHead)
		boards, pieces := 0, map[string]int{}
		for _, row := range rows[header+1:] {
			if len(row) <= check {
				continue
			}
			n := atoi(t, row[1])
			boards += n
			for _, m := range regexp.MustCompile(`(\d+) x (\d+)`).FindAllStringSubmatch(row[3], -1) {
				pieces[m[2]] += n * atoi(t, m[1])
			}
			assert.Equal(t, "0", row[check], "pieces, saw cuts and what is left are the stock")
		}
		assert.Equal(t, 38, boards)
		assert.Equal(t, map[string]int{"84": 64, "32": 32}, pieces)
		assert.Contains(t, strings.Join(plan[len(plan)-1], ""), "a row is left out (mend it)")
	}
}

func atoi(t *testing.T, s string) (n int) {
	t.Helper()
	_, err := fmt.Sscan(s, &n)
	require.NoError(t, err)
	return n
}

// The picture has a label for each part, a bar a pattern, the longest stock as
// its axis.
func TestPictureOfBoards(t *testing.T) {
	in := sixteen(measure.Inch / 8)
	data, err := Workbook(in)
	require.NoError(t, err)
	chart := parts(t, data)[xlsx.ChartPart(1)]
	assert.Contains(t, chart, "<a:t>offcut 23-3/4</a:t>")
	assert.Contains(t, chart, "<a:t>84 leg, D1 &amp; &lt;D2&gt;</a:t>")
	assert.Contains(t, chart, "ON HOLD")
	assert.Contains(t, chart, `<max val="192">`)
	assert.NotContains(t, chart, "<c:", "the library's own names of elements")
	for _, series := range strings.Split(chart, xlsx.SeriesStart)[1:] {
		assert.Contains(t, series, xlsx.OutlineXML)
		assert.Equal(t, len(in.Plan.Patterns), strings.Count(series, "<dLbl>"), "a label, or none, for each bar")
	}
}

func TestManyPatternsAreDrawnInPictures(t *testing.T) {
	p := cut.Problem{Stocks: []cut.Stock{{Length: 100 * measure.Inch, Price: 1, Available: -1}}}
	for i := range 43 {
		p.Pieces = append(p.Pieces, cut.Piece{Length: measure.Length(51+i) * measure.Inch, Count: 1})
	}
	in := Input{File: "p.csv", Problem: p, Stocks: []string{""}, Plan: cut.Solve(p)}
	data, err := Workbook(in)
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	all := parts(t, data)
	bars := 0
	for n := 1; all[xlsx.ChartPart(n)] != ""; n++ {
		bars += strings.Count(strings.Split(all[xlsx.ChartPart(n)], xlsx.SeriesStart)[1], "<dLbl>")
	}
	assert.Equal(t, len(in.Plan.Patterns), bars, "each pattern on one picture")
	assert.Greater(t, bars, 2*mostBars)
}

func TestNothingIsCut(t *testing.T) {
	data, err := Workbook(Input{File: "p.csv", Plan: cut.Solve(cut.Problem{})})
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
}

// Source: arithmetic
func TestAxisStep(t *testing.T) {
	inches, mm := estimate.UnitsOf(false), estimate.UnitsOf(true)
	assert.Equal(t, 12.0, axisStep(inches, 96*measure.Inch))
	assert.Equal(t, 24.0, axisStep(inches, 240*measure.Inch))
	assert.Equal(t, 192.0, axisStep(inches, 150*measure.Foot))
	assert.Equal(t, 500.0, axisStep(mm, 6000*measure.Millimetre))
	assert.Equal(t, 1000.0, axisStep(mm, 6600*measure.Millimetre))
}

// parts unzips a workbook.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	all := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		all[f.Name] = string(content)
	}
	return all
}
