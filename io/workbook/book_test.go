package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
)

// sample returns a small workbook that uses everything the layer offers.
func sample() *out {
	o := newOut(docProps{Title: "Estimate 24-017", Subject: "Openings", Description: "Sample of every look"})
	o.header = "Job 24-017, Maple & Third: 12 windows"
	o.caution = "Quantities follow the rules on Sources; check prices before ordering."
	sampleJob(o)
	sampleOpenings(o)
	sampleMaterials(o)
	checks := o.sheet("Checks")
	checks.banner(title, "Checks", 3)
	checks.row(linkTo("Materials!A1", "To Materials"))
	checks.row(strs(heading, "Check", "State", "Difference")...)
	checks.row(str(textWrap, "The costs by opening and what is bought and not used equal the material total to the cent"),
		formula(`IF(C4=0,"OK","WRONG")`, "OK", good), formula("ROUND(Materials!G9-Materials!G9,2)", 0.0, money))
	checks.row(str(text, "An empty text is a result"), formula(`IF(C4=0,"","x")`, "", text), formula("C4=0", true, textCentre))
	checks.table("ChecksTable", 3, 5, 1, 3)
	o.name("MasterCheck", checks.ref(4, 2))
	return o
}

func sampleJob(o *out) {
	p := o.sheet("Job")
	p.inputPage()
	p.protect()
	p.banner(title, "Job", 4)
	p.banner(note, "Fill in the pale cells. A blank cell takes the default; every other sheet follows when it is calculated again.", 4)
	p.row(strs(heading, "Setting", "Value", "Unit", "Meaning")...)
	p.row(str(text, "Job number"), str(inputText, "24-017"), blank(text), str(textWrap, "Printed on every page"))
	p.row(str(text, "Date"), num(measure.Date(20483), inputDate), blank(text), str(textWrap, "Prices are aged to this day"))
	p.row(str(text, "Markup"), num(measure.Rate(182_500), inputPercent), blank(text), str(textWrap, "On cost, before tax"))
	p.table("JobSettings", 3, 6, 1, 4)
	p.decimalRange("B6", 0, 1, "Percent", "A share from 0 % to 100 %")
	p.noteAt("B5", "Ages of prices count from this day, never from the computer's clock.")
	p.freeze(3, 1)
}

func sampleOpenings(o *out) {
	p := o.sheet("Openings")
	p.landscape(true)
	p.inputPage()
	p.row(strs(heading, "Mark", "Qty", "Kind", "Frame width", "Status", "Notes", "Call size", "Unit depth")...)
	for i := range 3 {
		p.row(str(inputText, fmt.Sprintf("00%d", i)), num(1+i, inputCount), str(inputText, "window"),
			num(36+float64(i)/16, inputInches), str(inputText, "ordered"), str(inputTextWrap, "=not a formula"))
	}
	p.table("Openings", 1, 4, 1, 8)
	p.foldColumns(7, 8)
	p.choice("C2:C200", []string{"window", "entry door", "patio door", "overhead door"}, "Kind", "What stands in the opening")
	p.choice("E2:E200", longList(), "Status", "How far it is")
	p.wholeRange("B2:B200", 0, 9999, "Quantity", "Whole openings")
	p.freeze(1, 1)
	p.titleRows(1, 1)
}

func longList() []string {
	var words []string
	for i := range 40 {
		words = append(words, fmt.Sprintf("state number %d", i))
	}
	return words
}

func sampleMaterials(o *out) {
	p := o.sheet("Materials")
	p.banner(title, "Materials", 7)
	p.row(str(subtitle, "What to buy"))
	p.skip(1)
	p.row(strs(heading, "Item", "Need", "Pack", "Override", "Count", "Unit price", "Extension")...)
	for _, it := range []struct {
		item       string
		need, pack float64
		count      int64
		price      measure.UnitPrice
		cents      measure.Money
	}{
		{"Flexible flashing tape, 6 in", 412.5, 75, 6, 389_900, 23_394},
		{"Exterior sealant", 16.25, 1, 17, 84_950, 14_442},
		{"Stainless ring-shank nail, 2 in, by the pound", 3.125, 1, 4, 121_234, 4_849},
	} {
		r := p.next()
		p.row(str(textWrap, it.item), num(it.need, number), num(it.pack, number), blank(inputCount),
			formula(fmt.Sprintf(`IF(D%d="",ROUNDUP(B%d/C%d,0),D%d)`, r, r, r, r), it.count, count), num(it.price, inputUnitPrice),
			formula(fmt.Sprintf("ROUND(ROUND(E%d*F%d,4),2)", r, r), it.cents, money))
	}
	p.table("Materials", 4, 7, 1, 7)
	p.skip(1)
	p.row(str(totalText, "Total"), blank(totalText), blank(totalText), blank(totalText), blank(totalText), blank(totalText),
		formula("SUM("+span(5, 7, 7, 7)+")", measure.Money(42_685), total))
	p.highlight("D5:D7", `D5<>""`, warn)
	p.row(str(section, "Cut stock"))
	p.row(strs(heading, "Profile", "Boards")...)
	p.row(str(text, "1x4 primed"), num(7, count))
	p.table("CutStock", 11, 12, 1, 2)
	p.chart(barChart{row: 14, col: 1, width: 400, height: 200, bars: p.span(5, 1, 7, 1), format: formatCount, values: true,
		series: []barSeries{{name: p.ref(4, 7), values: p.span(5, 7, 7, 7), fill: moneyFill}}})
	p.chart(lineChart{row: 14, col: 5, width: 400, height: 200, right: 500, top: 100, lines: []lineSeries{
		{name: p.ref(4, 2), x: p.span(5, 2, 7, 2), y: p.span(5, 3, 7, 3)},
		{name: p.ref(4, 3), x: p.ref(5, 2), y: p.ref(5, 3), words: "tape", side: "t"},
	}})
	p.breakBefore(10)
}

// build returns the bytes of a workbook that must be sound.
func build(t testing.TB, o *out) []byte {
	t.Helper()
	data, err := o.bytes()
	require.NoError(t, err)
	require.Empty(t, Lint(data))
	return data
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

// storedCells returns the cells of the n-th sheet as the file holds them.
func storedCells(t testing.TB, data []byte, n int) map[string]cellXML {
	t.Helper()
	var sheet struct {
		Rows []rowXML `xml:"sheetData>row"`
	}
	require.NoError(t, xml.Unmarshal([]byte(parts(t, data)[fmt.Sprintf("xl/worksheets/sheet%d.xml", n)]), &sheet))
	all := map[string]cellXML{}
	for _, r := range sheet.Rows {
		for _, c := range r.Cells {
			all[c.R] = c
		}
	}
	return all
}

func TestSampleIsSound(t *testing.T) {
	data := build(t, sample())
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, []string{"Job", "Openings", "Materials", "Checks", "Lists"}, f.GetSheetList())
	tables, err := f.GetTables("Materials")
	require.NoError(t, err)
	assert.Len(t, tables, 2)
	notes, err := f.GetComments("Job")
	require.NoError(t, err)
	require.Len(t, notes, 1)
	assert.Equal(t, "Ages of prices count from this day, never from the computer's clock.", notes[0].Text)
}

func TestValuesKeepTheirType(t *testing.T) {
	for _, c := range []struct {
		from      string
		cell      cell
		kind      string
		v, inline string
	}{
		{"text", str(text, "36"), "inlineStr", "", "36"},
		{"a text that looks like a formula stays text", str(text, "=1+1"), "inlineStr", "", "=1+1"},
		{"leading zeros stay", str(text, "007"), "inlineStr", "", "007"},
		{"escape of the file format", str(text, "_x000D_"), "inlineStr", "", "_x005F_x000D_"},
		{"two such that share an underscore", str(text, "_x0041_x0042_"), "inlineStr", "", "_x005F_x0041_x005F_x0042_"},
		{"36 + 1/16", num(36.0625, inches), "", "36.0625", ""},
		{"whole number", num(int64(12), count), "", "12", ""},
		{"12.34 is 1234 cents", num(measure.Money(1234), money), "", "12.34", ""},
		{"8.495 is 84950 hundredths of a cent", num(measure.UnitPrice(84_950), unitPrice), "", "8.495", ""},
		{"18.25 % is 182500 parts per million", num(measure.Rate(182_500), percent), "", "0.1825", ""},
		{"2026-01-30 is day 20483 from 1970 and 46052 of the workbook's calendar", num(measure.Date(20483), date), "", "46052", ""},
		{"truth", num(true, textCentre), "b", "1", ""},
		{"formula with a number", formula("1+1", 2.0, number), "", "2", ""},
		{"formula with money", formula("1+1", measure.Money(200), money), "", "2", ""},
		{"formula with a text", formula(`"a"&"b"`, "ab", text), "str", "ab", ""},
		{"formula with digits as text", formula(`"00"&"2"`, "002", text), "str", "002", ""},
		{"formula with an empty text", formula(`""`, "", text), "str", "", ""},
		{"formula with a truth", formula("1=1", true, text), "b", "1", ""},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := newOut(docProps{})
			o.sheet("Values").row(c.cell)
			got := storedCells(t, build(t, o), 1)["A1"]
			assert.Equal(t, c.kind, got.T)
			assert.Equal(t, c.inline, got.I)
			if c.cell.f == "" {
				assert.Nil(t, got.F)
			} else {
				require.NotNil(t, got.F)
				assert.Equal(t, c.cell.f, *got.F)
			}
			if c.inline == "" {
				require.NotNil(t, got.V)
				assert.Equal(t, c.v, *got.V)
			}
		})
	}
}

func TestSameCallsSameBytes(t *testing.T) {
	first := build(t, sample())
	for range 19 {
		again, err := sample().bytes()
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, again))
	}
	o := sample()
	_, err := o.bytes()
	require.NoError(t, err)
	again, err := o.bytes()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(first, again), "asking twice adds nothing")
}

func TestPartsAreSortedWithoutTimes(t *testing.T) {
	data := build(t, sample())
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	assert.Equal(t, contentTypesPart, z.File[0].Name)
	for i, f := range z.File {
		assert.True(t, f.Modified.IsZero() || f.Modified.Year() < 1981, f.Name)
		if i > 1 {
			assert.Less(t, z.File[i-1].Name, f.Name)
		}
	}
}

func TestAFailingPartEndsThePacking(t *testing.T) {
	before := runtime.NumGoroutine()
	for _, name := range []string{"xl/worksheets/sheet1.xml", "_rels/.rels"} { // among the first that come, and the last
		f := excelize.NewFile()
		_, err := save(f, finishers{name: func(io.Writer, []byte) error { return errors.New("no room") }})
		assert.ErrorContains(t, err, "part "+name+": no room")
		require.NoError(t, f.Close())
	}
	for wait := 0; runtime.NumGoroutine() > before && wait < 1000; wait++ {
		time.Sleep(time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before)
}

func TestContentTypesAreSorted(t *testing.T) {
	var got bytes.Buffer
	err := sortContentTypes(&got, []byte(`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">`+
		`<Override PartName="/b" ContentType="y"/><Default Extension="xml" ContentType="x"/>`+
		`<Override PartName="/a" ContentType="z"/><Default Extension="rels" ContentType="r"/></Types>`))
	require.NoError(t, err)
	for i, want := range []string{`"rels"`, `"xml"`, `"/a"`, `"/b"`} {
		at := strings.Index(got.String(), want)
		require.Positive(t, at)
		if i > 0 {
			assert.Greater(t, at, strings.Index(got.String(), []string{`"rels"`, `"xml"`, `"/a"`}[i-1]))
		}
	}
	assert.Error(t, sortContentTypes(&got, []byte("<Types")))
}

func TestRefused(t *testing.T) {
	one := func(c cell) func(*out) { return func(o *out) { o.sheet("Job").row(c) } }
	grid := func(f func(*page)) func(*out) {
		return func(o *out) {
			p := o.sheet("Job")
			p.row(strs(heading, "Mark", "Qty", "QTY", " Kind", "")...)
			p.row(strs(text, "W1", "1", "1", "window", "x")...)
			p.row(strs(text, "W2", "1", "1", "window", "x")...)
			f(p)
		}
	}
	for _, c := range []struct {
		from  string
		build func(*out)
		want  string
	}{
		{"nothing in it", func(*out) {}, "it has no sheet"},
		{"not a number", one(num(math.NaN(), number)), "Job!$A$1: NaN is not a number"},
		{"infinite", one(num(math.Inf(-1), number)), "Job!$A$1: -Inf is not a number"},
		{"infinite result", one(formula("1+1", math.Inf(1), number)), "+Inf is not a number"},
		{"no stored value", one(formula("1+1", nil, number)), "has no stored value"},
		{"unknown kind of value", one(num([]int{1}, number)), "cannot hold the value [1]"},
		{"unknown look", one(str(lookCount, "x")), "does not exist"},
		{"result with a space", one(formula(`"a "`, "a ", text)), "begins or ends with a space"},
		{"formula", one(formula("SUM(A2", 1, number)), "leaves a bracket open"},
		{"link to nowhere", one(linkTo("Nowhere!A1", "x")), `refers to a sheet "Nowhere"`},
		{"sheet twice", func(o *out) { o.sheet("Job"); o.sheet("JOB") }, `"JOB" is used twice`},
		{"sheet name characters", func(o *out) { o.sheet("a/b") }, `"a/b" is not allowed`},
		{"sheet name length: the limit is 31", func(o *out) { o.sheet(strings.Repeat("x", 32)) }, "is not allowed"},
		{"reserved sheet name", func(o *out) { o.sheet("history") }, "is not allowed"},
		{"name like a cell", func(o *out) { o.sheet("Job"); o.name("AB12", "Job!$A$1") }, "name AB12: reads like a cell"},
		{"name like a row", func(o *out) { o.sheet("Job"); o.name("R1C1", "Job!$A$1") }, "reads like a cell"},
		{"name twice", func(o *out) { o.sheet("Job"); o.name("Tax", "Job!$A$1"); o.name("TAX", "Job!$A$2") }, "used twice"},
		{"name to nowhere", func(o *out) { o.sheet("Job"); o.name("Tax", "Nowhere!$A$1") }, "does not exist"},
		{"table off the sheet", grid(func(p *page) { p.table("T_1", 1, 9, 1, 2) }), "is not on the sheet"},
		{"table headers differ in case only", grid(func(p *page) { p.table("T_1", 1, 3, 1, 3) }), `"QTY" is there twice`},
		{"table header with a space", grid(func(p *page) { p.table("T_1", 1, 3, 4, 4) }), "has a space"},
		{"table header blank", grid(func(p *page) { p.table("T_1", 1, 3, 5, 5) }), "is not a text"},
		{"table header a formula", grid(func(p *page) { p.set(1, 1, formula(`"Mark"`, "Mark", heading)); p.table("T_1", 1, 3, 1, 1) }), "is a formula"},
		{"table header a number", grid(func(p *page) { p.set(1, 1, num(1, heading)); p.table("T_1", 1, 3, 1, 1) }), "is not a text"},
		{"tables overlap", grid(func(p *page) { p.table("T_1", 1, 3, 1, 2); p.table("T_2", 1, 3, 2, 2) }), "overlaps table T_1"},
		{"table over merged cells", grid(func(p *page) { p.merge(2, 1, 2, 2); p.table("T_1", 1, 3, 1, 2) }), "are merged"},
		{"table name like a column", grid(func(p *page) { p.table("C", 1, 3, 1, 2) }), "reads like a cell"},
		{"table name with a space", grid(func(p *page) { p.table("My table", 1, 3, 1, 2) }), "is not a name"},
		{"table names differ in case only", grid(func(p *page) { p.table("List", 1, 3, 1, 1); p.table("LIST", 1, 3, 2, 2) }), "used twice"},
		{"no choices", grid(func(p *page) { p.choice("A2", nil, "", "") }), "no words to choose from"},
		{"long message: the limit is 255", grid(func(p *page) { p.choice("A2", []string{"a"}, "", strings.Repeat("x", 256)) }), "is longer than"},
		{"range upside down", grid(func(p *page) { p.decimalRange("A2", 2, 1, "", "") }), "range 2 to 1"},
		{"highlight", grid(func(p *page) { p.highlight("A2", "=A2>1", warn) }), `begins with "="`},
		{"rows: a sheet ends at 1,048,576", func(o *out) { o.sheet("Job").skip(1_048_577) }, "sheet Job: it would have 1048577 rows"},
		{"paper", func(o *out) { o.paper = "B5"; o.sheet("Job") }, `paper "B5"`},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := newOut(docProps{})
			c.build(o)
			_, err := o.bytes()
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
		})
	}
}

func TestEveryFaultIsReported(t *testing.T) {
	o := newOut(docProps{})
	o.sheet("Job").row(num(math.NaN(), number), formula("SUM(", 1, number))
	o.sheet("job")
	_, err := o.bytes()
	require.Error(t, err)
	assert.Len(t, strings.Split(err.Error(), "\n"), 3)
}

func TestTableWithoutRowsIsNoTable(t *testing.T) {
	o := newOut(docProps{})
	p := o.sheet("Held")
	p.row(strs(heading, "Mark", "Why")...)
	p.table("Held", 1, 1, 1, 2)
	assert.NotContains(t, parts(t, build(t, o)), "xl/tables/table1.xml")
}

func TestLists(t *testing.T) {
	o := newOut(docProps{})
	p := o.sheet("Openings")
	p.row(str(heading, "Kind"))
	short := []string{"window", "door"}
	comma := []string{"wood, painted", "wood"}
	p.choice("A2", short, "Kind", "")
	p.choice("B2", longList(), "State", "")
	p.choice("C2", longList(), "Same words", "")
	p.choice("D2", comma, "Material", "")
	data := build(t, o)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	validations, err := f.GetDataValidations("Openings")
	require.NoError(t, err)
	var sources []string
	for _, dv := range validations {
		assert.True(t, dv.ShowErrorMessage)
		sources = append(sources, dv.Formula1)
	}
	assert.Equal(t, []string{`"window,door"`, "Lists!$A$2:$A$41", "Lists!$A$2:$A$41", "Lists!$B$2:$B$3"}, sources)
	last, err := f.GetCellValue("Lists", "A41")
	require.NoError(t, err)
	assert.Equal(t, "state number 39", last)
}

func TestCleanText(t *testing.T) {
	for _, c := range []struct{ from, in, want string }{
		{"plain", "3'-0\" head", "3'-0\" head"},
		{"line ends of two systems", "a\r\nb\rc\nd", "a\nb\nc\nd"},
		{"tab and control characters", "a\tb\x00c\x1bd\x7fe\u0085f", "a b c d e f"},
		{"not characters", "a\uffffb\ufffec", "a b c"},
		{"broken bytes", "a\xffb", "a b"},
		{"the limit of a cell is 32767 UTF-16 units", strings.Repeat("x", 32767), strings.Repeat("x", 32767)},
		{"one more", strings.Repeat("x", 32768), strings.Repeat("x", 32766) + "…"},
		{"two units each", strings.Repeat("😀", 16384), strings.Repeat("😀", 16383) + "…"},
	} {
		t.Run(c.from, func(t *testing.T) { assert.Equal(t, c.want, cleanText(c.in)) })
	}
}

func FuzzCleanText(f *testing.F) {
	for _, seed := range []string{"", "W1", "a\r\nb", "\x00\xff", "_x000D_", "_x0041_x0042_", "a & <b>", " =1+1", strings.Repeat("é😀", 12000), "\ufffe"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := cleanText(s)
		require.True(t, utf8.ValidString(got))
		require.LessOrEqual(t, utf16Len(got), maxText)
		require.Equal(t, got, cleanText(got), "cleaning twice changes nothing")
		o := newOut(docProps{Title: s})
		o.header, o.caution = s, s
		o.sheet("Text").row(str(textWrap, s))
		data, err := o.bytes()
		require.NoError(t, err)
		book, err := excelize.OpenReader(bytes.NewReader(data))
		require.NoError(t, err)
		back, err := book.GetCellValue("Text", "A1", excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		require.Equal(t, got, back)
	})
}

func TestQuoteSheet(t *testing.T) {
	for _, c := range []struct{ from, in, want string }{
		{"letters", "Materials", "Materials"},
		{"space", "Cut list", "'Cut list'"},
		{"a digit may make it a cell", "Q1", "'Q1'"},
		{"row and column letters", "RC", "'RC'"},
		{"apostrophe is doubled", "Joe's", "'Joe''s'"},
	} {
		t.Run(c.from, func(t *testing.T) {
			assert.Equal(t, c.want, quoteSheet(c.in))
			o := newOut(docProps{})
			p := o.sheet(c.in)
			p.row(num(1, count), formula(p.ref(1, 1)+"+0", 1, count))
			p.titleRows(1, 1)
			build(t, o)
		})
	}
}
