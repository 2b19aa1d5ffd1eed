package marked

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/audit"
	"sillwright/io/xlsx/formula"
)

// theirs is a workbook as somebody keeps it: formats, a validation, a
// conditional format, a note, a chart, a name, merged cells, a second sheet.
func theirs(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer func() { require.NoError(t, f.Close()) }()
	require.NoError(t, f.SetSheetName("Sheet1", "Openings"))
	for i, row := range [][]any{{"Mark", "Kind", "Width"}, {"W1", "window", 36.5}, {"W2", "windw", 40}, {"W3", "window", nil}} {
		require.NoError(t, f.SetSheetRow("Openings", formula.Cell(i+1, 1), &row))
	}
	format := `0.0" in"`
	style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Italic: true, ColorTheme: ptr(4)}, CustomNumFmt: &format, Border: []excelize.Border{{Type: "left", Style: 1, Color: "112233"}}})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Openings", "B2", "C9", style))
	list := excelize.NewDataValidation(true)
	list.SetSqref("B2:B9")
	require.NoError(t, list.SetDropList([]string{"window", "entry door"}))
	require.NoError(t, f.AddDataValidation("Openings", list))
	italic, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Italic: true}})
	require.NoError(t, err)
	require.NoError(t, f.SetConditionalFormat("Openings", "C2:C9", []excelize.ConditionalFormatOptions{{Type: "cell", Criteria: ">", Value: "50", Format: &italic}}))
	require.NoError(t, f.AddComment("Openings", excelize.Comment{Cell: "A2", Author: "builder", Paragraph: []excelize.RichTextRun{{Text: "over the sink"}}}))
	require.NoError(t, f.AddChart("Openings", "E2", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Values: "Openings!$C$2:$C$4"}}}))
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "widths", RefersTo: "Openings!$C$2:$C$9"}))
	require.NoError(t, f.MergeCell("Openings", "A8", "C8"))
	_, err = f.NewSheet("Mine")
	require.NoError(t, err)
	require.NoError(t, f.SetCellFormula("Mine", "A1", "1+1"))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func ptr[T any](v T) *T { return &v }

func badCell(file, sheetName string, row, col int, sev estimate.Severity) estimate.Problem {
	return estimate.Problem{Place: estimate.Place{File: file, Sheet: sheetName, Row: row, Col: col}, Severity: sev, What: "it is wrong", Do: "mend it"}
}

func parse(t testing.TB, name string, data []byte) *sheet.Book {
	t.Helper()
	b, ps := sheet.ParseSheets(name, data, func(name string) bool { return name != "Mine" })
	require.NotNil(t, b, "%v", ps)
	return b
}

func reopen(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, f.Close()) })
	return f
}

// notes returns the notes of a sheet by cell.
func notes(t testing.TB, f *excelize.File, name string) map[string]string {
	t.Helper()
	comments, err := f.GetComments(name)
	require.NoError(t, err)
	out := map[string]string{}
	for _, c := range comments {
		out[c.Cell] = c.Text
		for _, r := range c.Paragraph {
			out[c.Cell] += r.Text
		}
	}
	return out
}

func fillOf(t testing.TB, f *excelize.File, name, cell string) string {
	t.Helper()
	id, err := f.GetCellStyle(name, cell)
	require.NoError(t, err)
	s, err := f.GetStyle(id)
	require.NoError(t, err)
	return strings.Join(s.Fill.Color, " ")
}

func TestMarkedCopy(t *testing.T) {
	data := theirs(t)
	whole := bytes.Clone(data)
	problems := []estimate.Problem{
		badCell("job.xlsx", "", 0, 0, estimate.Error), // of the file as a whole
		badCell("job.xlsx", "Openings", 2, 1, estimate.Error),
		badCell("job.xlsx", "Openings", 3, 2, estimate.Warning),
		badCell("job.xlsx", "Openings", 3, 2, estimate.Error),
		badCell("job.xlsx", "Openings", 4, 0, estimate.Warning), // of the row
		badCell("job.xlsx", "Openings", 4, 3, estimate.Note),
		badCell("job.xlsx", "Openings", 900, 40, estimate.Warning), // where no cell is
		badCell("prices.csv", "", 3, 2, estimate.Error),
	}
	m, err := Marked(data, parse(t, "job.xlsx", data), problems)
	require.NoError(t, err)
	assert.Equal(t, whole, data, "the file itself stays")
	require.Empty(t, m.Lost)
	assert.Equal(t, []int{4, 1, 1, 0}, []int{m.Cells, m.Nowhere, m.NotesKept, m.Unmarked})

	f := reopen(t, m.Data)
	assert.Equal(t, map[string]string{
		"A2":    "over the sink",
		"B3":    "warning: it is wrong (mend it)\nerror: it is wrong (mend it)",
		"A4":    "warning: it is wrong (mend it)",
		"AN900": "warning: it is wrong (mend it)",
	}, notes(t, f, "Openings"))
	for cell, want := range map[string]string{"A2": xlsx.BadFill, "B3": xlsx.BadFill, "A4": xlsx.WarnFill, "AN900": xlsx.WarnFill, "B2": "", "C4": ""} {
		assert.Equal(t, want, fillOf(t, f, "Openings", cell), cell)
	}
	// The rest of the cell's format is as it was.
	before := reopen(t, data)
	was, err := before.GetCellStyle("Openings", "B3")
	require.NoError(t, err)
	is, err := f.GetCellStyle("Openings", "B3")
	require.NoError(t, err)
	a, err := before.GetStyle(was)
	require.NoError(t, err)
	b, err := f.GetStyle(is)
	require.NoError(t, err)
	a.Fill, b.Fill = excelize.Fill{}, excelize.Fill{}
	assert.Equal(t, a, b)
	parts, err := unpacked(data)
	require.NoError(t, err)
	copied, err := unpacked(m.Data)
	require.NoError(t, err)
	for name, part := range parts {
		if strings.Contains(name, "chart") || strings.Contains(name, "drawings/drawing") || strings.Contains(name, "sheet2") || strings.Contains(name, "sharedStrings") {
			assert.Equal(t, string(part), string(copied[name]), name)
		}
	}
	again, err := Marked(data, parse(t, "job.xlsx", data), problems)
	require.NoError(t, err)
	assert.Equal(t, m.Data, again.Data, "same input, same bytes")
}

func TestNothingToMark(t *testing.T) {
	data := theirs(t)
	m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{badCell("job.xlsx", "Openings", 2, 1, estimate.Note), badCell("job.xlsx", "Nowhere", 2, 1, estimate.Error)})
	require.NoError(t, err)
	assert.Equal(t, Marks{Nowhere: 1}, m)
}

// What the library would lose is found by comparing; then values are written.
func TestMarkedValues(t *testing.T) {
	for _, c := range []struct {
		shows string
		part  string
		edit  func(part string) string
		lost  string
	}{
		{"macros: other programs refuse a plain workbook with them", "xl/vbaProject.bin", func(string) string { return "x" }, "macros"},
		{"an element that the library drops", "xl/worksheets/sheet1.xml", func(s string) string {
			return strings.Replace(s, "</worksheet>", `<mine by="another program"/></worksheet>`, 1)
		}, "sheet1.xml mine"},
		{"an attribute of a row that the library drops", "xl/worksheets/sheet1.xml", func(s string) string {
			return strings.Replace(s, `<row r="2"`, `<row r="2" shade="dark"`, 1)
		}, "formats of rows"},
		{"notes that the library cannot read", "xl/comments1.xml", func(string) string { return "<comments><commentList><comment" }, "what the spreadsheet library cannot read"},
		{"more XML than is opened whole", "xl/more.xml", func(string) string { return "<a>" + strings.Repeat(" ", maxCopied) + "</a>" }, "its formats, which are too many to copy"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			data := editedPart(t, theirs(t), c.part, c.edit)
			m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{badCell("job.xlsx", "Openings", 3, 2, estimate.Error)})
			require.NoError(t, err)
			assert.Equal(t, []string{c.lost}, m.Lost)
			assert.Empty(t, audit.Lint(m.Data))
			f := reopen(t, m.Data)
			assert.Equal(t, []string{"Openings", "Mine"}, f.GetSheetList())
			rows, err := f.GetRows("Openings")
			require.NoError(t, err)
			assert.Equal(t, [][]string{{"Mark", "Kind", "Width"}, {"W1", "window", "36.5"}, {"W2", "windw", "40"}, {"W3", "window"}}, rows)
			assert.Equal(t, map[string]string{"B3": "error: it is wrong (mend it)"}, notes(t, f, "Openings"))
			assert.Equal(t, xlsx.BadFill, fillOf(t, f, "Openings", "B3"))
		})
	}
}

// editedPart changes a part of a workbook as another program may have written it.
func editedPart(t testing.TB, data []byte, name string, edit func(string) string) []byte {
	t.Helper()
	parts, err := unpacked(data)
	require.NoError(t, err)
	parts[name] = []byte(edit(string(parts[name])))
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, n := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(n)
		require.NoError(t, err)
		_, err = w.Write(parts[n])
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

func TestLostParts(t *testing.T) {
	const head = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`
	for _, c := range []struct{ shows, part, before, after, lost string }{
		{"nothing", "xl/worksheets/sheet1.xml", head + `<sheetData/></worksheet>`, head + `<sheetData></sheetData></worksheet>`, ""},
		{"true is 1, and 0 is the default", "xl/worksheets/sheet1.xml", head + `<sheetView tabSelected="true" zoom="0"/></worksheet>`, head + `<sheetView tabSelected="1"/></worksheet>`, ""},
		{"alike columns joined", "xl/worksheets/sheet1.xml", head + `<cols><col min="1" max="1" width="9"/><col min="2" max="2" width="9"/></cols></worksheet>`, head + `<cols><col min="1" max="2" width="9"/></cols></worksheet>`, ""},
		{"a column's width", "xl/worksheets/sheet1.xml", head + `<cols><col min="1" max="2" width="9"/></cols></worksheet>`, head + `<cols><col min="1" max="1" width="9"/></cols></worksheet>`, "sheet1.xml col"},
		{"a validation", "xl/worksheets/sheet1.xml", head + `<dataValidations><dataValidation type="list" sqref="B2"/></dataValidations></worksheet>`, head + `</worksheet>`, "validations"},
		{"a conditional format", "xl/worksheets/sheet1.xml", head + `<conditionalFormatting sqref="B2"><cfRule/></conditionalFormatting></worksheet>`, head + `</worksheet>`, "conditional formats"},
		{"the link to a chart", "xl/worksheets/sheet1.xml", head + `<drawing id="rId1"/></worksheet>`, head + `</worksheet>`, "drawings"},
		{"a number", "xl/worksheets/sheet1.xml", head + `<sheetData><row r="1"><c r="A1"><v>36</v></c></row></sheetData></worksheet>`, head + `<sheetData><row r="1"><c r="A1"><v>35</v></c></row></sheetData></worksheet>`, "contents of cells"},
		{"a row's height", "xl/worksheets/sheet1.xml", head + `<sheetData><row r="1" ht="30"/></sheetData></worksheet>`, head + `<sheetData><row r="1"/></sheetData></worksheet>`, "formats of rows"},
		{"a row that has but its number", "xl/worksheets/sheet1.xml", head + `<sheetData><row r="9"><c r="A9"/></row></sheetData></worksheet>`, head + `<sheetData/></worksheet>`, ""},
		{"what a prefix stands for", "xl/drawings/vmlDrawing1.vml", `<xml xmlns:v="urn:v"><v:shape/></xml>`, `<xml><v:shape/></xml>`, "notes or buttons"},
		{"a bold font", "xl/styles.xml", `<styleSheet><fonts><font><b/></font></fonts></styleSheet>`, `<styleSheet><fonts><font/></fonts></styleSheet>`, "formats"},
		{"a chart", "xl/charts/chart1.xml", `<c/>`, "", "charts"},
		{"a picture", "xl/media/image1.png", "\x89PNG", "\x89PNX", "pictures"},
		{"a part of another program", "customXml/item1.xml", `<a/>`, "", "item1.xml"},
		{"the order of calculation is made anew", "xl/calcChain.xml", `<calcChain/>`, "", ""},
	} {
		after := map[string][]byte{}
		if c.after != "" {
			after[c.part] = []byte(c.after)
		}
		assert.Equal(t, c.lost, strings.Join(lostParts(map[string][]byte{c.part: []byte(c.before)}, after), ", "), c.shows)
	}
}

// Some programs write the shapes of notes under prefixes of their own, declared at
// each shape. The library drops what these stand for.
func TestMarkedKeepsShapesOfNotes(t *testing.T) {
	const part = "xl/drawings/vmlDrawing1.vml"
	data := editedPart(t, theirs(t), part, func(s string) string {
		begin, end := strings.Index(s, "<v:shape "), strings.LastIndex(s, "</v:shape>")
		shape := s[begin:end]
		for prefix, own := range map[string]string{"v:": "ns0:", "o:": "ns1:", "x:": "ns2:"} {
			shape = strings.ReplaceAll(shape, "<"+prefix, "<"+own)
			shape = strings.ReplaceAll(shape, "</"+prefix, "</"+own)
			shape = strings.ReplaceAll(shape, " "+prefix, " "+own)
		}
		shape = strings.Replace(shape, "<ns0:shape ", `<ns0:shape xmlns:ns0="urn:schemas-microsoft-com:vml" xmlns:ns1="urn:schemas-microsoft-com:office:office" xmlns:ns2="urn:schemas-microsoft-com:office:excel" `, 1)
		return s[:begin] + shape + "</ns0:shape></xml>"
	})
	m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{badCell("job.xlsx", "Openings", 3, 2, estimate.Error)})
	require.NoError(t, err)
	require.Empty(t, m.Lost)
	parts, err := unpacked(m.Data)
	require.NoError(t, err)
	drawings := 0
	for name, data := range parts {
		if strings.HasSuffix(name, ".vml") {
			drawings++
			assert.False(t, undeclared(data), "%s", data)
			assert.Equal(t, 2, strings.Count(string(data), "ClientData ObjectType="), "a shape for the note that was there, and one for the new: %s", data)
		}
	}
	assert.Equal(t, 1, drawings)
}

func TestUsualPrefixes(t *testing.T) {
	const vml, excel = `"urn:schemas-microsoft-com:vml"`, `"urn:schemas-microsoft-com:office:excel"`
	for _, c := range []struct{ shows, in, want string }{
		{"other prefixes", `<xml><a:shape xmlns:a=` + vml + ` id="s&amp;1"><b:Row xmlns:b=` + excel + `>3</b:Row></a:shape></xml>`,
			`<xml xmlns:x=` + excel + ` xmlns:o="urn:schemas-microsoft-com:office:office" xmlns:v=` + vml + `><v:shape id="s&amp;1"><x:Row>3</x:Row></v:shape></xml>`},
		{"a name of another kind stays", `<xml><a:shape xmlns:a="urn:other"/></xml>`, ""},
		{"no XML stays", `<xml><br></xml>`, ""},
		{"cut short stays", `<xml><br/>`, ""},
	} {
		want := c.want
		if want == "" {
			want = c.in
		}
		assert.Equal(t, want, string(usualPrefixes([]byte(c.in))), c.shows)
	}
}

func TestMarkedCSV(t *testing.T) {
	data := []byte("Mark,Kind,Notes\nW1,window,\"two\nlines\"\nW2,windw,=1+1\n")
	m, err := Marked(data, parse(t, "job.csv", data), []estimate.Problem{badCell("job.csv", "", 4, 2, estimate.Error)})
	require.NoError(t, err)
	assert.Empty(t, m.Lost, "a CSV file has values only")
	assert.Empty(t, audit.Lint(m.Data))
	f := reopen(t, m.Data)
	rows, err := f.GetRows(csvSheet)
	require.NoError(t, err)
	assert.Equal(t, [][]string{{"Mark", "Kind", "Notes"}, {"W1", "window", "two\nlines"}, nil, {"W2", "windw", "=1+1"}}, rows, "line 4 is row 4")
	formula, err := f.GetCellFormula(csvSheet, "C4")
	require.NoError(t, err)
	assert.Empty(t, formula)
	assert.Equal(t, xlsx.BadFill, fillOf(t, f, csvSheet, "B4"))
}

func TestMostMarks(t *testing.T) {
	data := []byte("Mark\n" + strings.Repeat("W\n", MostMarks+10))
	var problems []estimate.Problem
	for i := range MostMarks + 5 {
		problems = append(problems, badCell("job.csv", "", i+2, 1, estimate.Error))
	}
	m, err := Marked(data, parse(t, "job.csv", data), problems)
	require.NoError(t, err)
	assert.Equal(t, []int{MostMarks, 5}, []int{m.Cells, m.Unmarked})
	assert.Len(t, notes(t, reopen(t, m.Data), csvSheet), MostMarks)
}

// FuzzMarked holds for any file that can be read: a copy or values, no panic,
// no error, the marks in it, and every text still there.
func FuzzMarked(f *testing.F) {
	f.Add(theirs(f), uint8(2), uint8(1))
	f.Add([]byte("Mark,Kind\nW1,=1+1\n\"a\nb\",36\"\n"), uint8(3), uint8(2))
	f.Add([]byte("\xFF\xFEM\x00,\x00\n\x00"), uint8(0), uint8(9))
	f.Add([]byte("a\x07b,\xff\n"), uint8(1), uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, row, col uint8) {
		book, _ := sheet.Parse("x", data)
		if book == nil {
			return
		}
		m, err := Marked(data, book, []estimate.Problem{badCell("x", book.Sheets[0].Name, int(row), int(col)%30, estimate.Error)})
		require.NoError(t, err, fmt.Sprint(book.Sheets[0].Name))
		if m.Cells == 0 {
			require.Nil(t, m.Data)
			return
		}
		again, ps := sheet.Parse("x", m.Data)
		require.NotNil(t, again, "%v", ps)
		require.Len(t, again.Sheets, len(book.Sheets))
	})
}

// Other programs name the parts of notes as they like; the library counts on
// numbers and would write ours where nobody looks.
func TestNotesUnderOtherNames(t *testing.T) {
	parts, err := unpacked(theirs(t))
	require.NoError(t, err)
	for from, to := range map[string]string{"xl/comments1.xml": "xl/comments/comment7.xml", "xl/drawings/vmlDrawing1.vml": "xl/drawings/notes.vml"} {
		require.NotNil(t, parts[from], from)
		parts[to] = parts[from]
		delete(parts, from)
		const rels = "xl/worksheets/_rels/sheet1.xml.rels"
		parts[rels] = []byte(strings.ReplaceAll(string(parts[rels]), "../"+strings.TrimPrefix(from, "xl/"), "/"+to))
		parts[xlsx.ContentTypesPart] = []byte(strings.ReplaceAll(string(parts[xlsx.ContentTypesPart]), "/"+from, "/"+to))
	}
	data, err := repacked(parts)
	require.NoError(t, err)
	m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{badCell("job.xlsx", "Openings", 3, 2, estimate.Error)})
	require.NoError(t, err)
	require.Empty(t, m.Lost)
	assert.Equal(t, map[string]string{"A2": "over the sink", "B3": "error: it is wrong (mend it)"}, notes(t, reopen(t, m.Data), "Openings"))
	copied, err := unpacked(m.Data)
	require.NoError(t, err)
	found := 0
	for name := range copied {
		assert.False(t, strings.HasPrefix(name, "/"), name)
		if strings.Contains(name, "comments") {
			found++
		}
	}
	assert.Equal(t, 1, found, "one part of notes for the one sheet that has any")
}
