package xlsx

import (
	"bytes"
	"compress/flate"
	"hash"
	"hash/crc32"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

func TestDimension(t *testing.T) {
	for _, c := range []struct {
		from  string
		build func(*Sheet)
		want  string
	}{
		{"nothing", func(*Sheet) {}, "A1"},
		{"one cell", func(p *Sheet) { p.Row(Str(Text, "x")) }, "A1"},
		{"rows and columns left out at the start", func(p *Sheet) { p.set(3, 2, Str(Text, "x")); p.set(5, 4, Num(1, Count)) }, "B3:D5"},
		{"a drawn blank counts", func(p *Sheet) { p.Row(Str(Text, "x"), Blank(InputText)) }, "A1:B1"},
		{"a table is drawn to its edge", func(p *Sheet) {
			p.Row(Strs(Heading, "A", "B", "C")...)
			p.Row(Str(Text, "x"))
			p.addTable("T_1", 1, 2, 1, 3)
		}, "A1:C2"},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := New(Properties{})
			c.build(o.AddSheet("Job"))
			assert.Contains(t, parts(t, build(t, o))["xl/worksheets/sheet1.xml"], `<dimension ref="`+c.want+`">`)
		})
	}
}

func TestColumnWidths(t *testing.T) {
	for _, c := range []struct {
		from        string
		build       func(*Sheet)
		least, most float64
	}{
		{"never below the page's least", func(p *Sheet) { p.Row(Num(1, Count)) }, 6, 6},
		{"eleven digits of 0.507 em at 10 points are 55.8 points, or 10.6 and margins", func(p *Sheet) { p.Row(Num(1234567.125, UnitPrice)) }, 11.3, 13.5},
		{"a title runs over its neighbours", func(p *Sheet) { p.Row(Str(Title, strings.Repeat("wide ", 20))) }, 6, 6},
		{"a merged line too", func(p *Sheet) { p.banner(Note, strings.Repeat("wide ", 20), 3) }, 6, 6},
		{"a header asks for its longest word and the filter button", func(p *Sheet) { p.Row(Str(Heading, "Lowest application temperature")) }, 13, 17},
		{"a long text stops at the page's most", func(p *Sheet) { p.Row(Str(TextWrap, strings.Repeat("wide ", 99))) }, 46, 46},
		{"the limits can be set", func(p *Sheet) { p.AutoWidth(10, 30); p.Row(Str(TextWrap, strings.Repeat("wide ", 99))) }, 30, 30},
		{"a set width stands", func(p *Sheet) { p.setWidths(3.5); p.Row(Str(Text, "much wider than that")) }, 3.5, 3.5},
		{"0 leaves it to the content", func(p *Sheet) { p.setWidths(0); p.Row(Num(1, Count)) }, 6, 6},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := New(Properties{})
			p := o.AddSheet("Job")
			c.build(p)
			build(t, o)
			got := p.columnWidths()[0]
			assert.GreaterOrEqual(t, got, c.least)
			assert.LessOrEqual(t, got, c.most)
		})
	}
}

func TestRowHeights(t *testing.T) {
	for _, c := range []struct {
		from string
		cell Cell
		want float64
	}{
		{"one line needs no height of its own", Str(TextWrap, "short"), 0},
		{"three paragraphs: 3 x 10 points x 1.25 and 2.5", Str(TextWrap, "a\nb\nc"), 40},
		{"20 digits a line of 20 x 5.25 - 1.5 x 5.25 - 3.75 points: 40 digits take 3 lines", Str(TextWrap, strings.Repeat("0", 40)), 40},
		{"type of 16 points: 16 x 1.25 and 2.5, rounded up", Str(Title, "Job"), 23},
		{"not wrapped, not higher", Str(Text, strings.Repeat("wide ", 50)), 0},
		{"the format's limit is 409 points", Str(TextWrap, strings.Repeat("a\n", 99)), 409},
	} {
		t.Run(c.from, func(t *testing.T) {
			p := New(Properties{}).AddSheet("Job")
			p.setWidths(20)
			p.Row(c.cell)
			assert.Equal(t, c.want, p.rowHeight(1, p.columnWidths()))
			p.Height(1, 50)
			assert.Equal(t, 50.0, p.rowHeight(1, p.columnWidths()), "a set height stands")
		})
	}
}

func TestMergedLineHasTheWidthOfItsCells(t *testing.T) {
	p := New(Properties{}).AddSheet("Job")
	p.setWidths(20, 20, 20)
	words := strings.Repeat("word ", 10) // 2.12 em and a space of 0.23 each: 235 points, of which a column holds 101
	p.Row(Str(Note, words))
	p.banner(Note, words, 3)
	widths := p.columnWidths()
	assert.Equal(t, heightFor(3, &drawings[Note]), p.rowHeight(1, widths))
	assert.Zero(t, p.rowHeight(2, widths), "one line fits three columns")
}

// Source: arithmetic. The widest digit of 11 points has 0.507 x 11 = 5.577; a page
// is (11 - 0.75 - 0.7) x 72 = 687.6 high and 7.5 x 72 = 540 wide upright, 507.6 by
// 720 across.
func TestPageHeight(t *testing.T) {
	for _, c := range []struct {
		why    string
		wide   bool
		widths []float64
		want   float64
	}{
		{"narrow columns are not enlarged", false, []float64{10, 20}, 687.6},
		{"108 digits are 602.3 points and printed at 90 %", false, []float64{40, 68}, 766.9},
		{"135.5 digits are 755.7 points and printed across at 95 %", true, []float64{135.5}, 532.8},
	} {
		p := New(Properties{}).AddSheet("S")
		p.Landscape(c.wide)
		assert.InDelta(t, c.want, p.pageHeight(c.widths), 0.1, c.why)
	}
}

func TestHeadersLeaveRoomForTheFilter(t *testing.T) {
	p := New(Properties{}).AddSheet("S")
	p.setWidths(10) // 48.75 points of type, and with a filter 40.9; the header takes 46
	p.Row(Str(Heading, "Left over"))
	p.Row(Str(Text, "x"))
	assert.Zero(t, p.rowHeight(1, p.columnWidths()), "one line")
	p.addTable("T_1", 1, 2, 1, 1)
	assert.Equal(t, heightFor(2, &drawings[Heading]), p.rowHeight(1, p.columnWidths()), "two beside the button")
}

func TestLineCount(t *testing.T) {
	plainText := drawing{}
	for _, c := range []struct {
		from  string
		s     string
		width float64
		want  int
	}{
		{"empty", "", 50, 1},
		{"digits are 5.1 points each: nine fit 50", "000000000", 50, 1},
		{"ten do not", "0000000000", 50, 2},
		{"words are not broken", "00000 00000 00000", 50, 3},
		{"two words of four and a space of 2.3", "0000 0000", 50, 1},
		{"line ends count", "a\n\nb", 50, 3},
		{"a word of 25 digits takes three lines and the next goes on", strings.Repeat("0", 25) + " 000", 50, 3},
	} {
		t.Run(c.from, func(t *testing.T) { assert.Equal(t, c.want, lineCount(c.s, c.width, &plainText)) })
	}
}

func TestShown(t *testing.T) {
	for _, c := range []struct {
		from string
		v    any
		look Look
		want string
	}{
		{"one decimal at least", 36.0, Number, "36.0"},
		{"three at most", 1234.56789, Number, "1234.568,"},
		{"two to five for inches", 107.96875, Inches, "107.96875"},
		{"no decimals", int64(1234567), Count, "1234567,,"},
		{"percent", 0.125, Percent, "12.50%"},
		{"a date is as wide as its format", int64(46052), Date, "yyyy-mm-dd"},
		{"truth", true, Text, "TRUE"},
	} {
		// Widths only: the comma is counted, not placed.
		t.Run(c.from, func(t *testing.T) { assert.Equal(t, c.want, shown(c.v, c.look)) })
	}
}

func TestHeaderFits(t *testing.T) {
	for _, c := range []struct{ from, free, want string }{
		{"short", "Job 24-017", `&L&8&"Calibri,Regular"Job 24-017&R&A`},
		{"a sign of the header's own is doubled", "A & B", `&L&8&"Calibri,Regular"A && B&R&A`},
		{"nothing", "", `&R&A`},
	} {
		t.Run(c.from, func(t *testing.T) { assert.Equal(t, c.want, headerText("&L", c.free, "&R&A")) })
	}
	for _, free := range []string{strings.Repeat("&", 300), strings.Repeat("x", 300), strings.Repeat("😀&", 200)} {
		got := headerText("&L", free, "&R&A")
		assert.LessOrEqual(t, formula.Utf16Len(got), 255, "the limit of the file format")
		assert.Zero(t, strings.Count(strings.TrimPrefix(strings.TrimSuffix(got, "&R&A"), `&L&8&"Calibri,Regular"`), "&")%2)
	}
}

func TestPrintSetUp(t *testing.T) {
	o := sample()
	o.Paper = "A4"
	f, err := excelize.OpenReader(bytes.NewReader(build(t, o)))
	require.NoError(t, err)
	layout, err := f.GetPageLayout("Openings")
	require.NoError(t, err)
	assert.Equal(t, paperA4, *layout.Size)
	assert.Equal(t, "landscape", *layout.Orientation)
	assert.Equal(t, 1, *layout.FitToWidth)
	assert.Equal(t, 0, *layout.FitToHeight)
	margins, err := f.GetPageMargins("Openings")
	require.NoError(t, err)
	for _, m := range []*float64{margins.Top, margins.Bottom, margins.Left, margins.Right, margins.Header, margins.Footer} {
		assert.Positive(t, *m, "a margin left out is written as 0")
	}
	panes, err := f.GetPanes("Openings")
	require.NoError(t, err)
	assert.Equal(t, "B2", panes.TopLeftCell)
	visible, err := f.GetColVisible("Openings", "G")
	require.NoError(t, err)
	assert.False(t, visible)
	sheet := parts(t, build(t, o))["xl/worksheets/sheet2.xml"]
	assert.Contains(t, sheet, `outlineLevelCol="1"`)
	titles := false
	for _, n := range f.GetDefinedName() {
		titles = titles || n.Name == "_xlnm.Print_Titles" && n.Scope == "Openings" && n.RefersTo == "'Openings'!$1:$1"
	}
	assert.True(t, titles)
}

func TestInputsLookLikeInputs(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(build(t, sample())))
	require.NoError(t, err)
	for _, c := range []struct {
		from, sheet, cell string
		locked            bool
		fill              string
		borders           int
	}{
		{"an input is boxed, pale and unlocked", "Job", "B4", false, inputFill, 4},
		{"a second row is shaded", "Job", "A5", true, bandFill, 1},
		{"a first row is not", "Job", "A4", true, "", 1},
		{"an empty cell of a table is drawn", "Openings", "H3", true, bandFill, 1},
		{"a header is dark", "Job", "A3", true, Slate, 0},
	} {
		t.Run(c.from, func(t *testing.T) {
			id, err := f.GetCellStyle(c.sheet, c.cell)
			require.NoError(t, err)
			style, err := f.GetStyle(id)
			require.NoError(t, err)
			assert.Equal(t, c.locked, style.Protection.Locked)
			assert.Len(t, style.Border, c.borders)
			if c.fill == "" {
				assert.Empty(t, style.Fill.Color)
			} else {
				assert.Equal(t, []string{c.fill}, style.Fill.Color)
			}
		})
	}
}

// BenchmarkLongSheet writes 60,000 rows of 14 columns, about what a thousand
// marks need: the workbook from cells that are ready, and as its floor the same
// rows by a loop that knows nothing of looks, heights, rules or other sheets, at
// the same compression.
func BenchmarkLongSheet(b *testing.B) {
	const rows = 60_000
	o := New(Properties{})
	p := o.AddSheet("Takeoff")
	p.Row(Strs(Heading, "Mark", "Rule", "Inputs", "Count", "Length", "a", "b", "c", "d", "e", "f", "g", "Source", "Twice")...)
	for i := range rows {
		p.Row(Str(Text, "W1"), Str(Text, "strip"), Str(TextWrap, "width + 2 x upturn of the rough opening"), Num(i, Count), Num(36.5, Inches),
			Num(1.25, Number), Num(2.5, Number), Num(3.5, Money), Num(1, Count), Str(Text, "in"), Str(Text, "set"), Str(Text, "x"),
			Str(Text, "common practice"), Formula(formula.Cell(i+2, 4)+"*2", 2*i, Count))
	}
	p.addTable("Takeoff", 1, rows+1, 1, 14)
	p.Freeze(1, 1)
	p.setWidths(7, 12, 44, 7, 10, 10, 10, 10, 7, 6, 6, 12, 44, 11)
	data := build(b, o)
	sheet := parts(b, data)["xl/worksheets/sheet1.xml"]
	const second = `<row r="2">`
	head, _, _ := strings.Cut(sheet, second)
	_, tail, _ := strings.Cut(sheet, rowsEnd)
	styles := regexp.MustCompile(`<c r="[A-N][23]" s="(\d+)"`).FindAllStringSubmatch(sheet, 28)
	require.Len(b, styles, 28)
	floor := func() []byte {
		f := newFloor()
		f.write(head)
		for i := range rows {
			row := strconv.Itoa(i + 2)
			cell := func(col byte) {
				f.add(`<c r="`, string(col), row, `" s="`, styles[i%2*14+int(col-'A')][1])
			}
			word := func(col byte, s string) {
				cell(col)
				f.add(`" t="inlineStr"><is><t>`)
				f.escape(s)
				f.add(`</t></is></c>`)
			}
			value := func(col byte, v float64) {
				cell(col)
				f.add(`"><v>`)
				f.buf = strconv.AppendFloat(f.buf, v, 'f', -1, 64)
				f.add(`</v></c>`)
			}
			f.add(`<row r="`, row, `">`)
			word('A', "W1")
			word('B', "strip")
			word('C', "width + 2 x upturn of the rough opening")
			value('D', float64(i))
			value('E', 36.5)
			value('F', 1.25)
			value('G', 2.5)
			value('H', 3.5)
			value('I', 1)
			word('J', "in")
			word('K', "set")
			word('L', "x")
			word('M', "common practice")
			cell('N')
			f.add(`"><f>D`, row, `*2</f><v>`)
			f.buf = strconv.AppendInt(f.buf, int64(2*i), 10)
			f.add(`</v></c></row>`)
		}
		f.add(rowsEnd)
		f.write(tail)
		return f.bytes()
	}
	require.True(b, sheet == inflated(b, floor()), "the floor writes other rows")
	b.Run("workbook", func(b *testing.B) {
		for b.Loop() {
			_, _ = o.Bytes()
		}
	})
	b.Run("floor", func(b *testing.B) {
		for b.Loop() {
			floor()
		}
	})
}

// floor writes a part as fast as a loop can.
type floor struct {
	buf   []byte
	out   bytes.Buffer
	flate *flate.Writer
	sum   hash.Hash32
}

func newFloor() *floor {
	f := &floor{sum: crc32.NewIEEE()}
	f.flate, _ = flate.NewWriter(&f.out, flate.BestSpeed)
	return f
}

func (f *floor) add(ss ...string) {
	for _, s := range ss {
		f.buf = append(f.buf, s...)
	}
	if len(f.buf) > rowsAtOnce {
		f.write("")
	}
}

func (f *floor) escape(s string) {
	if strings.ContainsAny(s, "&<>") {
		s = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(s)
	}
	f.add(s)
}

func (f *floor) write(s string) {
	f.buf = append(f.buf, s...)
	_, _ = f.sum.Write(f.buf)
	_, _ = f.flate.Write(f.buf)
	f.buf = f.buf[:0]
}

func (f *floor) bytes() []byte {
	f.write("")
	_ = f.flate.Close()
	return f.out.Bytes()
}

func inflated(t testing.TB, data []byte) string {
	all, err := io.ReadAll(flate.NewReader(bytes.NewReader(data)))
	require.NoError(t, err)
	return string(all)
}

// What is printed over several pages begins on the second below the title, with the
// frozen columns and the headers repeated.
func TestPagesSideBySide(t *testing.T) {
	for _, c := range []struct {
		why      string
		widths   []float64
		repeated int
		n        int
		want     []int
	}{
		{"six like ones", []float64{9, 5, 5, 5, 5, 5, 5}, 1, 2, []int{4, 7}},
		{"a wide one at the end", []float64{9, 5, 5, 5, 15}, 1, 2, []int{4, 5}},
		{"a wide one at the start", []float64{9, 15, 5, 5, 5}, 1, 2, []int{2, 5}},
		{"three pages", []float64{9, 5, 5, 5, 5, 5, 5}, 1, 3, []int{3, 5, 7}},
		{"fewer columns than pages", []float64{9, 5}, 1, 3, []int{2}},
	} {
		assert.Equal(t, c.want, sideBySide(c.widths, c.repeated, c.n), c.why)
	}
	o := New(Properties{})
	p := o.AddSheet("Wide")
	p.Row(Str(Title, "A title much wider than its column"))
	p.Row(Strs(Heading, "Mark", "A", "B", "C", "D")...)
	p.Row(Strs(Text, "W1", "a", "b", "c", "d")...)
	p.setWidths(8, 20, 20, 20, 20)
	p.Freeze(2, 1)
	p.TitleRows(2, 2)
	p.AcrossPages(2)
	f := opened(t, build(t, o))
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name] = n.RefersTo
	}
	assert.Equal(t, map[string]string{"_xlnm.Print_Area": "Wide!$A$1:$C$3,Wide!$D$3:$E$3", "_xlnm.Print_Titles": "'Wide'!$A:$A,'Wide'!$2:$2"}, names)
}

// A line below the title has the columns that are written, and wraps in them.
func TestSubtitleFillsTheColumns(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("S")
	p.Row(Str(Title, "Title"))
	p.Row(Str(Subtitle, strings.Repeat("word ", 20)))
	p.Row(Strs(Heading, "A", "B", "C")...)
	p.Row(Strs(Text, "a", "b", "c")...)
	p.setWidths(20, 20, 20, 20)
	f := opened(t, build(t, o))
	merged, err := f.GetMergeCells("S")
	require.NoError(t, err)
	require.Len(t, merged, 1)
	assert.Equal(t, "A2:C2", merged[0][0], "not D: nothing stands there")
	height, err := f.GetRowHeight("S", 2)
	require.NoError(t, err)
	assert.Equal(t, heightFor(2, &drawings[Subtitle]), height, "two lines of 311 points")
}

// opened reads a workbook back.
func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}

func TestKeepTogether(t *testing.T) {
	// A letter page upright holds 687.6 points, (11 - 0.75 - 0.7) x 72: 45 rows of
	// 15, of which one is kept in reserve. Source: arithmetic
	for _, c := range []struct {
		why    string
		rows   int
		blocks [][2]int // first, end
		titles int
		want   []int
	}{
		{"nothing is kept", 100, nil, 0, nil},
		{"what fits stays", 40, [][2]int{{5, 21}, {21, 41}}, 0, nil},
		{"what does not fit goes to the next page", 60, [][2]int{{5, 31}, {31, 61}}, 0, []int{31}},
		{"the title is never alone on a page", 90, [][2]int{{5, 91}}, 0, nil},
		{"of a block longer than a page the inner ones are kept", 80, [][2]int{{5, 11}, {11, 81}, {11, 41}, {41, 61}, {61, 81}}, 0, []int{11, 41}},
		{"what stands below a long table goes whole to the next page", 50, [][2]int{{1, 2}, {40, 51}}, 0, []int{40}},
		{"21 and 20 rows fit a page", 85, [][2]int{{5, 45}, {45, 66}, {66, 86}}, 0, []int{45}},
		{"21 and 20 rows do not fit below 4 that are repeated", 85, [][2]int{{5, 45}, {45, 66}, {66, 86}}, 4, []int{45, 66}},
	} {
		p := New(Properties{}).AddSheet("S")
		p.Skip(c.rows)
		p.setWidths(10)
		if c.titles > 0 {
			p.TitleRows(1, c.titles)
		}
		for _, b := range c.blocks {
			p.KeepTogether(b[0], b[1])
		}
		p.breakPages(p.columnWidths())
		assert.Equal(t, c.want, p.Breaks, c.why)
	}
}

// TestInputsAreTold: what tells the two sorts of inputs apart, the line round the cell,
// stands out from both fills and from white; the fills only decorate. Source: Web Content
// Accessibility Guidelines 2.1, 1.4.11 (3:1 for what a control is told by) and 1.4.3 (4.5:1
// for text).
func TestInputsAreTold(t *testing.T) {
	for _, ground := range []string{inputFill, rerunFill, white} {
		assert.GreaterOrEqual(t, contrast(t, boxGray, ground), 3.0, "the box on %s", ground)
	}
	for text, ground := range map[string]string{goodText: goodFill, badText: BadFill, warnText: WarnFill, grayText: white, linkText: white, "000000": rerunFill} {
		assert.GreaterOrEqual(t, contrast(t, text, ground), 4.5, "%s on %s", text, ground)
	}
	live, rerun := drawings[InputText], drawings[InputText.Rerun()]
	assert.NotEqual(t, live.borders()[0].Style, rerun.borders()[0].Style, "a black-and-white print tells them too")
	assert.Equal(t, Text, Text.Rerun(), "what is no input stays")
}

// contrast is the ratio of two colors' relative luminances, as the guidelines define it.
func contrast(t *testing.T, a, b string) float64 {
	luminance := func(rgb string) float64 {
		sum := 0.0
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			n, err := strconv.ParseUint(rgb[2*i:2*i+2], 16, 8)
			require.NoError(t, err)
			c := float64(n) / 255
			if c <= 0.03928 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			sum += weight * c
		}
		return sum
	}
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}
