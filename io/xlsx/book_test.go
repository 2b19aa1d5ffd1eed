package xlsx

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
	"sillwright/io/xlsx/audit"
	"sillwright/io/xlsx/formula"
)

// sample returns a small workbook that uses everything the layer offers.
func sample() *Book {
	o := New(Properties{Title: "Estimate 24-017", Subject: "Openings", Description: "Sample of every look"})
	o.Header = "Job 24-017, Maple & Third: 12 windows"
	o.Footer = "Quantities follow the rules on Sources; check prices before ordering."
	sampleJob(o)
	sampleOpenings(o)
	sampleMaterials(o)
	checks := o.AddSheet("Checks")
	checks.banner(Title, "Checks", 3)
	checks.Row(LinkTo("Materials!A1", "To Materials"))
	checks.Row(Strs(Heading, "Check", "State", "Difference")...)
	checks.Row(Str(TextWrap, "The costs by opening and what is bought and not used equal the material total to the cent"),
		Formula(`IF(C4=0,"OK","WRONG")`, "OK", Good), Formula("ROUND(Materials!G9-Materials!G9,2)", 0.0, Money))
	checks.Row(Str(Text, "An empty text is a result"), Formula(`IF(C4=0,"","x")`, "", Text), Formula("C4=0", true, TextCenter))
	checks.addTable("ChecksTable", 3, 5, 1, 3)
	o.Define("MasterCheck", checks.ref(4, 2))
	return o
}

func sampleJob(o *Book) {
	p := o.AddSheet("Job")
	p.InputPage()
	p.Protect()
	p.banner(Title, "Job", 4)
	p.banner(Note, "Fill in the pale cells. A blank cell takes the default; every other sheet follows when it is calculated again.", 4)
	p.Row(Strs(Heading, "Setting", "Value", "Unit", "Meaning")...)
	p.Row(Str(Text, "Job number"), Str(InputText, "24-017"), Blank(Text), Str(TextWrap, "Printed on every page"))
	p.Row(Str(Text, "Date"), Num(measure.Date(20483), InputDate), Blank(Text), Str(TextWrap, "Prices are aged to this day"))
	p.Row(Str(Text, "Markup"), Num(measure.Rate(182_500), InputPercent), Blank(Text), Str(TextWrap, "On cost, before tax"))
	p.addTable("JobSettings", 3, 6, 1, 4)
	p.decimalRange("B6", 0, 1, "Percent", "A share from 0 % to 100 %")
	p.noteAt("B5", "Ages of prices count from this day, never from the computer's clock.")
	p.Freeze(3, 1)
}

func sampleOpenings(o *Book) {
	p := o.AddSheet("Openings")
	p.Landscape(true)
	p.InputPage()
	p.Row(Strs(Heading, "Mark", "Qty", "Kind", "Frame width", "Status", "Notes", "Call size", "Unit depth")...)
	for i := range 3 {
		p.Row(Str(InputText, fmt.Sprintf("00%d", i)), Num(1+i, InputCount), Str(InputText, "window"),
			Num(36+float64(i)/16, InputInches), Str(InputText, "ordered"), Str(InputTextWrap, "=not a formula"))
	}
	p.addTable("Openings", 1, 4, 1, 8)
	p.foldColumns(7, 8)
	p.choice("C2:C200", []string{"window", "entry door", "patio door", "overhead door"}, "Kind", "What stands in the opening")
	p.choice("E2:E200", longList(), "Status", "How far it is")
	p.wholeRange("B2:B200", 0, 9999, "Quantity", "Whole openings")
	p.Freeze(1, 1)
	p.TitleRows(1, 1)
}

func longList() []string {
	var words []string
	for i := range 40 {
		words = append(words, fmt.Sprintf("state number %d", i))
	}
	return words
}

func sampleMaterials(o *Book) {
	p := o.AddSheet("Materials")
	p.banner(Title, "Materials", 7)
	p.Row(Str(Subtitle, "What to buy"))
	p.Skip(1)
	p.Row(Strs(Heading, "Item", "Need", "Pack", "Override", "Count", "Unit price", "Extension")...)
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
		r := p.Next()
		p.Row(Str(TextWrap, it.item), Num(it.need, Number), Num(it.pack, Number), Blank(InputCount),
			Formula(fmt.Sprintf(`IF(D%d="",ROUNDUP(B%d/C%d,0),D%d)`, r, r, r, r), it.count, Count), Num(it.price, InputUnitPrice),
			Formula(fmt.Sprintf("ROUND(ROUND(E%d*F%d,4),2)", r, r), it.cents, Money))
	}
	p.addTable("Materials", 4, 7, 1, 7)
	p.Skip(1)
	p.Row(Str(TotalText, "Total"), Blank(TotalText), Blank(TotalText), Blank(TotalText), Blank(TotalText), Blank(TotalText),
		Formula("SUM("+formula.Range(5, 7, 7, 7)+")", measure.Money(42_685), Total))
	p.addHighlight("D5:D7", `D5<>""`, Warn)
	p.Row(Str(Section, "Cut stock"))
	p.Row(Strs(Heading, "Profile", "Boards")...)
	p.Row(Str(Text, "1x4 primed"), Num(7, Count))
	p.addTable("CutStock", 11, 12, 1, 2)
	p.addChart(BarChart{Row: 14, Col: 1, Width: 400, Height: 200, Bars: p.span(5, 1, 7, 1), Format: FormatCount, Values: true,
		Series: []BarSeries{{Name: p.ref(4, 7), Values: p.span(5, 7, 7, 7), Fill: MoneyFill}}})
	p.addChart(LineChart{Row: 14, Col: 5, Width: 400, Height: 200, Right: 500, Top: 100, Lines: []LineSeries{
		{Name: p.ref(4, 2), X: p.span(5, 2, 7, 2), Y: p.span(5, 3, 7, 3)},
		{Name: p.ref(4, 3), X: p.ref(5, 2), Y: p.ref(5, 3), Words: "Pack", Side: "ctr"},
	}})
	p.BreakBefore(10)
}

// build returns the bytes of a workbook that must be sound.
func build(t testing.TB, o *Book) []byte {
	t.Helper()
	data, err := o.Bytes()
	require.NoError(t, err)
	require.Empty(t, audit.Lint(data))
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
func storedCells(t testing.TB, data []byte, n int) map[string]audit.CellXML {
	t.Helper()
	var sheet struct {
		Rows []audit.RowXML `xml:"sheetData>row"`
	}
	require.NoError(t, xml.Unmarshal([]byte(parts(t, data)[fmt.Sprintf("xl/worksheets/sheet%d.xml", n)]), &sheet))
	require.Empty(t, audit.Spread(sheet.Rows))
	all := map[string]audit.CellXML{}
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
		cell      Cell
		kind      string
		v, inline string
	}{
		{"text", Str(Text, "36"), "inlineStr", "", "36"},
		{"a text that looks like a formula stays text", Str(Text, "=1+1"), "inlineStr", "", "=1+1"},
		{"leading zeros stay", Str(Text, "007"), "inlineStr", "", "007"},
		{"escape of the file format", Str(Text, "_x000D_"), "inlineStr", "", "_x005F_x000D_"},
		{"two such that share an underscore", Str(Text, "_x0041_x0042_"), "inlineStr", "", "_x005F_x0041_x005F_x0042_"},
		{"36 + 1/16", Num(36.0625, Inches), "", "36.0625", ""},
		{"whole number", Num(int64(12), Count), "", "12", ""},
		{"12.34 is 1234 cents", Num(measure.Money(1234), Money), "", "12.34", ""},
		{"8.495 is 84950 hundredths of a cent", Num(measure.UnitPrice(84_950), UnitPrice), "", "8.495", ""},
		{"18.25 % is 182500 parts per million", Num(measure.Rate(182_500), Percent), "", "0.1825", ""},
		{"2026-01-30 is day 20483 from 1970 and 46052 of the workbook's calendar", Num(measure.Date(20483), Date), "", "46052", ""},
		{"truth", Num(true, TextCenter), "b", "1", ""},
		{"formula with a number", Formula("1+1", 2.0, Number), "", "2", ""},
		{"formula with money", Formula("1+1", measure.Money(200), Money), "", "2", ""},
		{"formula with a text", Formula(`"a"&"b"`, "ab", Text), "str", "ab", ""},
		{"formula with digits as text", Formula(`"00"&"2"`, "002", Text), "str", "002", ""},
		{"formula with an empty text", Formula(`""`, "", Text), "str", "", ""},
		{"formula with a truth", Formula("1=1", true, Text), "b", "1", ""},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := New(Properties{})
			o.AddSheet("Values").Row(c.cell)
			got := storedCells(t, build(t, o), 1)["A1"]
			assert.Equal(t, c.kind, got.T)
			assert.Equal(t, c.inline, got.I)
			if c.cell.F == "" {
				assert.Nil(t, got.F)
			} else {
				require.NotNil(t, got.F)
				assert.Equal(t, c.cell.F, *got.F)
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
		again, err := sample().Bytes()
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, again))
	}
	o := sample()
	_, err := o.Bytes()
	require.NoError(t, err)
	again, err := o.Bytes()
	require.NoError(t, err)
	assert.True(t, bytes.Equal(first, again), "asking twice adds nothing")
}

func TestPartsAreSortedWithoutTimes(t *testing.T) {
	data := build(t, sample())
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	assert.Equal(t, ContentTypesPart, z.File[0].Name)
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
		_, err := Save(f, finishers{name: func(io.Writer, []byte) error { return errors.New("no room") }})
		assert.ErrorContains(t, err, "part "+name+": no room")
		require.NoError(t, f.Close())
	}
	for wait := 0; runtime.NumGoroutine() > before && wait < 1000; wait++ {
		time.Sleep(time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before)
}

func TestAPartToFinishMustBeThere(t *testing.T) {
	f := excelize.NewFile()
	_, err := Save(f, finishers{ChartPart(1): func(io.Writer, []byte) error { return nil }})
	assert.ErrorContains(t, err, "there is no part xl/charts/chart1.xml")
	require.NoError(t, f.Close())
}

// What asks for its space is changed only where it has none.
func TestNotesAskForTheSpaceThatTheyHave(t *testing.T) {
	for _, c := range []struct{ from, text, want string }{
		{"space within", "two  words", "<t>two  words</t>"},
		{"a quote at its end", "write &#34;window&#34;", "<t>write &#34;window&#34;</t>"},
		{"space at its end", "mine ", `<t xml:space="preserve">mine </t>`},
		{"a line end at its start", "&#xA;mine", `<t xml:space="preserve">&#xA;mine</t>`},
		{"nothing", "", "<t></t>"},
	} {
		var got bytes.Buffer
		require.NoError(t, plainNotes(&got, []byte(`<r><t xml:space="preserve">`+c.text+`</t></r>`)), c.from)
		assert.Equal(t, "<r>"+c.want+"</r>", got.String(), c.from)
	}
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
	one := func(c Cell) func(*Book) { return func(o *Book) { o.AddSheet("Job").Row(c) } }
	grid := func(f func(*Sheet)) func(*Book) {
		return func(o *Book) {
			p := o.AddSheet("Job")
			p.Row(Strs(Heading, "Mark", "Qty", "QTY", " Kind", "")...)
			p.Row(Strs(Text, "W1", "1", "1", "window", "x")...)
			p.Row(Strs(Text, "W2", "1", "1", "window", "x")...)
			f(p)
		}
	}
	for _, c := range []struct {
		from  string
		build func(*Book)
		want  string
	}{
		{"nothing in it", func(*Book) {}, "it has no sheet"},
		{"not a number", one(Num(math.NaN(), Number)), "Job!$A$1: NaN is not a number"},
		{"infinite", one(Num(math.Inf(-1), Number)), "Job!$A$1: -Inf is not a number"},
		{"infinite result", one(Formula("1+1", math.Inf(1), Number)), "+Inf is not a number"},
		{"no stored value", one(Formula("1+1", nil, Number)), "has no stored value"},
		{"unknown kind of value", one(Num([]int{1}, Number)), "cannot hold the value [1]"},
		{"unknown look", one(Str(lookCount, "x")), "does not exist"},
		{"result with a space", one(Formula(`"a "`, "a ", Text)), "begins or ends with a space"},
		{"formula", one(Formula("SUM(A2", 1, Number)), "leaves a bracket open"},
		{"link to nowhere", one(LinkTo("Nowhere!A1", "x")), `refers to a sheet "Nowhere"`},
		{"sheet twice", func(o *Book) { o.AddSheet("Job"); o.AddSheet("JOB") }, `"JOB" is used twice`},
		{"sheet name characters", func(o *Book) { o.AddSheet("a/b") }, `"a/b" is not allowed`},
		{"sheet name length: the limit is 31", func(o *Book) { o.AddSheet(strings.Repeat("x", 32)) }, "is not allowed"},
		{"reserved sheet name", func(o *Book) { o.AddSheet("history") }, "is not allowed"},
		{"name like a cell", func(o *Book) { o.AddSheet("Job"); o.Define("AB12", "Job!$A$1") }, "name AB12: reads like a cell"},
		{"name like a row", func(o *Book) { o.AddSheet("Job"); o.Define("R1C1", "Job!$A$1") }, "reads like a cell"},
		{"name twice", func(o *Book) { o.AddSheet("Job"); o.Define("Tax", "Job!$A$1"); o.Define("TAX", "Job!$A$2") }, "used twice"},
		{"name to nowhere", func(o *Book) { o.AddSheet("Job"); o.Define("Tax", "Nowhere!$A$1") }, "does not exist"},
		{"table off the sheet", grid(func(p *Sheet) { p.addTable("T_1", 1, 9, 1, 2) }), "is not on the sheet"},
		{"table headers differ in case only", grid(func(p *Sheet) { p.addTable("T_1", 1, 3, 1, 3) }), `"QTY" is there twice`},
		{"table header with a space", grid(func(p *Sheet) { p.addTable("T_1", 1, 3, 4, 4) }), "has a space"},
		{"table header blank", grid(func(p *Sheet) { p.addTable("T_1", 1, 3, 5, 5) }), "is not a text"},
		{"table header a formula", grid(func(p *Sheet) { p.set(1, 1, Formula(`"Mark"`, "Mark", Heading)); p.addTable("T_1", 1, 3, 1, 1) }), "is a formula"},
		{"table header a number", grid(func(p *Sheet) { p.set(1, 1, Num(1, Heading)); p.addTable("T_1", 1, 3, 1, 1) }), "is not a text"},
		{"tables overlap", grid(func(p *Sheet) { p.addTable("T_1", 1, 3, 1, 2); p.addTable("T_2", 1, 3, 2, 2) }), "overlaps table T_1"},
		{"table over merged cells", grid(func(p *Sheet) { p.merge(2, 1, 2, 2); p.addTable("T_1", 1, 3, 1, 2) }), "are merged"},
		{"table name like a column", grid(func(p *Sheet) { p.addTable("C", 1, 3, 1, 2) }), "reads like a cell"},
		{"table name with a space", grid(func(p *Sheet) { p.addTable("My table", 1, 3, 1, 2) }), "is not a name"},
		{"table names differ in case only", grid(func(p *Sheet) { p.addTable("List", 1, 3, 1, 1); p.addTable("LIST", 1, 3, 2, 2) }), "used twice"},
		{"no choices", grid(func(p *Sheet) { p.choice("A2", nil, "", "") }), "no words to choose from"},
		{"long message: the limit is 255", grid(func(p *Sheet) { p.choice("A2", []string{"a"}, "", strings.Repeat("x", 256)) }), "is longer than"},
		{"range upside down", grid(func(p *Sheet) { p.decimalRange("A2", 2, 1, "", "") }), "range 2 to 1"},
		{"highlight", grid(func(p *Sheet) { p.addHighlight("A2", "=A2>1", Warn) }), `begins with "="`},
		{"rows: a sheet ends at 1,048,576", func(o *Book) { o.AddSheet("Job").Skip(1_048_577) }, "sheet Job: it would have 1048577 rows"},
		{"paper", func(o *Book) { o.Paper = "B5"; o.AddSheet("Job") }, `paper "B5"`},
	} {
		t.Run(c.from, func(t *testing.T) {
			o := New(Properties{})
			c.build(o)
			_, err := o.Bytes()
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
		})
	}
}

func TestEveryFaultIsReported(t *testing.T) {
	o := New(Properties{})
	o.AddSheet("Job").Row(Num(math.NaN(), Number), Formula("SUM(", 1, Number))
	o.AddSheet("job")
	_, err := o.Bytes()
	require.Error(t, err)
	assert.Len(t, strings.Split(err.Error(), "\n"), 3)
}

func TestTableWithoutRowsIsNoTable(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Held")
	p.Row(Strs(Heading, "Mark", "Why")...)
	p.addTable("Held", 1, 1, 1, 2)
	assert.NotContains(t, parts(t, build(t, o)), "xl/tables/table1.xml")
}

func TestLists(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Openings")
	p.Row(Str(Heading, "Kind"))
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

func FuzzCleanText(f *testing.F) {
	for _, seed := range []string{"", "W1", "a\r\nb", "\x00\xff", "_x000D_", "_x0041_x0042_", "a & <b>", " =1+1", strings.Repeat("é😀", 12000), "\ufffe"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := formula.CleanText(s)
		require.True(t, utf8.ValidString(got))
		require.LessOrEqual(t, formula.Utf16Len(got), formula.MaxText)
		require.Equal(t, got, formula.CleanText(got), "cleaning twice changes nothing")
		o := New(Properties{Title: s})
		o.Header, o.Footer = s, s
		o.AddSheet("Text").Row(Str(TextWrap, s))
		data, err := o.Bytes()
		require.NoError(t, err)
		book, err := excelize.OpenReader(bytes.NewReader(data))
		require.NoError(t, err)
		back, err := book.GetCellValue("Text", "A1", excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		require.Equal(t, got, back)
	})
}

func TestSheetsOfOddNames(t *testing.T) {
	for _, name := range []string{"Materials", "Cut list", "Q1", "RC", "Joe's"} {
		o := New(Properties{})
		p := o.AddSheet(name)
		p.Row(Num(1, Count), Formula(p.ref(1, 1)+"+0", 1, Count))
		p.TitleRows(1, 1)
		build(t, o)
	}
}
