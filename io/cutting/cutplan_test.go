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
	series := strings.Split(chart, xlsx.SeriesStart)[1:]
	for i, s := range series {
		assert.Contains(t, s, xlsx.OutlineXML)
		want := len(in.Plan.Patterns)
		if i == len(series)-2 {
			want = 0 // kerf
		}
		assert.Equal(t, want, strings.Count(s, "<dLbl>"), "a label, or none, for each bar")
	}
}

// drawn is a plan of so many boards of 100 in without kerf, cut as one pattern, with the
// places on them of its pieces.
func drawn(pieces []cut.Piece, boards ...[]int) Plan {
	b := Plan{Head: "Trim board", Problem: cut.Problem{Pieces: pieces, Stocks: []cut.Stock{{Length: 100 * measure.Inch, Price: 1, Available: -1}}}}
	for _, on := range boards {
		board := cut.Board{Pieces: on, Offcut: 100 * measure.Inch}
		for _, i := range on {
			board.Offcut -= pieces[i].Length
		}
		b.Plan.Boards = append(b.Plan.Boards, board)
	}
	b.Plan.Patterns = []cut.Pattern{{Count: len(boards)}}
	b.Piece = func(i int) Text {
		return Text{Length: estimate.UnitsOf(false).Shop(pieces[i].Length), What: pieces[i].Label + " leg", Mark: pieces[i].Label, Held: pieces[i].Held}
	}
	return b
}

// Boards of one cutting pattern whose pieces come in another order are drawn apart: by
// place, W1 would stand on the piece of 50.
func TestPiecesKeepTheirNamesInAnotherOrder(t *testing.T) {
	const in = measure.Inch
	pieces := []cut.Piece{{Length: 50 * in, Label: "W2"}, {Length: 30 * in, Label: "W1"}, {Length: 30 * in, Label: "W3", Held: true}}
	rows := drawn(pieces, []int{0, 1}, []int{2, 0}, []int{0, 2}).patterns()
	require.Len(t, rows, 2)
	assert.Equal(t, []int{1, 1, 2, 1}, []int{rows[0].number, rows[1].number, rows[0].count, rows[1].count})
	assert.Equal(t, "1 x 50  (2 W2 leg); 1 x 30  (W1 leg, W3 leg ON HOLD)", rows[0].words)
	assert.Equal(t, "1 x 30  (W3 leg ON HOLD); 1 x 50  (W2 leg)", rows[1].words, "in cutting order, not by length")
	for i, x := range rows {
		for k, p := range x.parts {
			want := [2][2]part{{{length: 50 * in}, {length: 30 * in, held: true}}, {{length: 30 * in, held: true}, {length: 50 * in}}}[i][k]
			assert.Equal(t, want.length, p.length)
			assert.Equal(t, want.held, p.held, "one of them is on hold")
		}
	}
	assert.Equal(t, []string{"W1", "W3 ON HOLD"}, rows[0].parts[1].marks.List)
}

// The last piece has the end where the board ends, if it needs a factory end and the
// board has one there. Source: arithmetic
func TestFactoryEndAtTheFarEnd(t *testing.T) {
	const in = measure.Inch
	for _, c := range []struct {
		why    string
		change func(*Plan)
		far    bool
	}{
		{"it needs one", func(*Plan) {}, true},
		{"it needs none", func(b *Plan) { b.Problem.Pieces[1].FactoryEnd = false }, false},
		{"squared off there", func(b *Plan) { b.Problem.TailTrim = in }, false},
		{"on hand: which end is the mill's is not known", func(b *Plan) { b.Problem.Stocks[0] = cut.Stock{Length: 100 * in, Available: 1} }, false},
		{"alone on its board, it has the end where the saw begins", func(b *Plan) { b.Plan.Boards[0].Pieces = []int{1} }, false},
		{"nothing is left of the board", func(b *Plan) { b.Plan.Boards[0].Offcut = 0 }, false},
	} {
		b := drawn([]cut.Piece{{Length: 40 * in}, {Length: 40 * in, FactoryEnd: true}}, []int{0, 1})
		c.change(&b)
		x := b.patterns()[0]
		far, ok := x.far()
		assert.Equal(t, c.far, ok, c.why)
		if ok {
			assert.Equal(t, 40*in, far.length)
			assert.Len(t, x.near(), 1, "though its length is the same, it is no part of the one before the offcut")
		}
	}
}

// A piece too narrow for words shows that it is on hold.
func TestNarrowPieceOnHoldIsHatched(t *testing.T) {
	const in = measure.Inch
	o := xlsx.New(xlsx.Properties{Title: "Boards"})
	s := NewWriter(o.AddSheet("Boards"), estimate.UnitsOf(false))
	s.Block(drawn([]cut.Piece{{Length: 90 * in, Label: "W1"}, {Length: in, Label: "W2", Held: true}}, []int{0, 1}))
	s.Finish()
	data, err := o.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	series := strings.Split(parts(t, data)[xlsx.ChartPart(1)], xlsx.SeriesStart)
	const hatch = `<a:pattFill prst="wdUpDiag">`
	assert.NotContains(t, series[1], hatch)
	assert.Contains(t, series[1], "<a:t>90 W1</a:t>")
	assert.Contains(t, series[2], hatch)
	assert.NotContains(t, series[2], "<dLbl>", "its length would cover the hatching")
}

// Each printed page of the sheet begins with the name of the item, but the first, which
// has the sheet's title above it.
func TestItemStandsOnEveryPage(t *testing.T) {
	in := manyPatterns()
	data, err := Workbook(in)
	require.NoError(t, err)
	f := opened(t, data)
	rows, err := f.GetRows("Boards")
	require.NoError(t, err)
	breaks := regexp.MustCompile(`<brk [^>]*id="(\d+)"`).FindAllStringSubmatch(parts(t, data)["xl/worksheets/sheet2.xml"], -1)
	assert.Greater(t, len(breaks), 2)
	for _, b := range breaks {
		first := rows[atoi(t, b[1])] // the break is below the row of that number
		assert.Equal(t, "p.csv, continued", first[0])
	}
	heads := 0
	for _, row := range rows {
		if len(row) > 0 && strings.HasPrefix(row[0], in.File) {
			heads++
		}
	}
	assert.Equal(t, len(breaks)+1, heads, "and nowhere else")
}

// manyPatterns is a plan of 43 patterns.
func manyPatterns() Input {
	p := cut.Problem{Stocks: []cut.Stock{{Length: 100 * measure.Inch, Price: 1, Available: -1}}}
	for i := range 43 {
		p.Pieces = append(p.Pieces, cut.Piece{Length: measure.Length(51+i) * measure.Inch, Count: 1})
	}
	return Input{File: "p.csv", Problem: p, Stocks: []string{""}, Plan: cut.Solve(p)}
}

func TestManyPatternsAreDrawnInPictures(t *testing.T) {
	in := manyPatterns()
	data, err := Workbook(in)
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	all := parts(t, data)
	bars := 0
	for n := 1; all[xlsx.ChartPart(n)] != ""; n++ {
		bars += strings.Count(strings.Split(all[xlsx.ChartPart(n)], xlsx.SeriesStart)[1], "<dLbl>")
	}
	assert.Equal(t, len(in.Plan.Patterns), bars, "each pattern on one picture")
	assert.Equal(t, 43, bars)
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
	assert.Equal(t, 500.0, axisStep(mm, 6000*measure.Millimeter))
	assert.Equal(t, 1000.0, axisStep(mm, 6600*measure.Millimeter))
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
