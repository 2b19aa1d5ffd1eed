package marked

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
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

// unpacked returns the parts of a workbook by name.
func unpacked(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	parts := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		parts[f.Name] = string(text)
	}
	return parts
}

// packed returns a workbook of its parts.
func packed(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, n := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(n)
		require.NoError(t, err)
		_, err = w.Write([]byte(parts[n]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// bordersOf returns how the sides of a cell are drawn: "5555" is thick all round; behind
// them the lines across it.
func bordersOf(t testing.TB, f *excelize.File, name, cell string) (sides string) {
	t.Helper()
	id, err := f.GetCellStyle(name, cell)
	require.NoError(t, err)
	s, err := f.GetStyle(id)
	require.NoError(t, err)
	for _, b := range s.Border {
		sides += fmt.Sprint(b.Style)
	}
	return sides
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
	assert.Subset(t, audit.Lint(data), audit.Lint(m.Data), "no fault that was not there")

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
	// A thick border is 5; a blank cell with a warning is crossed once, by a thin line.
	for cell, want := range map[string]string{"A2": "5555", "B3": "5555", "A4": "5555", "AN900": "55551", "B2": "1"} {
		assert.Equal(t, want, bordersOf(t, f, "Openings", cell), cell)
	}
	shown, err := excelize.OpenReader(bytes.NewReader(m.Data))
	require.NoError(t, err)
	defer shown.Close()
	for cell, want := range map[string]string{"A2": "!! W1", "B3": "!! windw", "A4": "! W3", "B2": "window", "C3": "40.0 in"} {
		v, err := shown.GetCellValue("Openings", cell)
		require.NoError(t, err)
		assert.Equal(t, want, v, cell)
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
	assert.Equal(t, `0.0" in";-0.0" in";0.0" in";"!! "@`, *b.CustomNumFmt)
	assert.Equal(t, []any{a.Font, a.Alignment, a.Protection}, []any{b.Font, b.Alignment, b.Protection})

	// The parts that are changed, and what is added; all others are the same bytes.
	parts, copied := unpacked(t, data), unpacked(t, m.Data)
	var changed, added []string
	for _, name := range slices.Sorted(maps.Keys(copied)) {
		switch text, was := parts[name]; {
		case !was:
			added = append(added, name)
		case text != copied[name]:
			changed = append(changed, name)
		}
	}
	assert.Equal(t, []string{"xl/worksheets/sheetMarked1.xml"}, added)
	assert.Equal(t, []string{xlsx.ContentTypesPart, "xl/_rels/workbook.xml.rels", "xl/comments1.xml", "xl/drawings/vmlDrawing1.vml", "xl/styles.xml",
		"xl/workbook.xml", "xl/worksheets/sheet1.xml"}, changed)
	assert.Len(t, copied, len(parts)+1)
	again, err := Marked(data, parse(t, "job.xlsx", data), problems)
	require.NoError(t, err)
	assert.Equal(t, m.Data, again.Data, "same input, same bytes")

	// A copy of a copy has a list of its own.
	twice, err := Marked(m.Data, parse(t, "job.xlsx", m.Data), problems)
	require.NoError(t, err)
	assert.Equal(t, []string{"Problems (2)", "Problems", "Openings", "Mine"}, reopen(t, twice.Data).GetSheetList())
}

// The first sheet lists the problems, each with a link to its cell, and is the one in
// front; the name of a place in the second sheet is still one of it.
func TestListOfProblems(t *testing.T) {
	parts := unpacked(t, theirs(t))
	parts["xl/workbook.xml"] = strings.Replace(parts["xl/workbook.xml"], "<definedNames>",
		`<definedNames><definedName name="_xlnm.Print_Titles" localSheetId="1">Mine!$1:$1</definedName>`, 1)
	data := packed(t, parts)
	m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{
		badCell("job.xlsx", "", 0, 0, estimate.Warning), badCell("job.xlsx", "Openings", 3, 2, estimate.Error),
	})
	require.NoError(t, err)
	require.Empty(t, m.Lost)
	f := reopen(t, m.Data)
	assert.Equal(t, []string{"Problems", "Openings", "Mine"}, f.GetSheetList())
	assert.Equal(t, 0, f.GetActiveSheetIndex())
	rows, err := f.GetRows("Problems")
	require.NoError(t, err)
	assert.Equal(t, []string{"Problems of job.xlsx"}, rows[0])
	assert.Equal(t, [][]string{
		{"Place", "Severity", "What is wrong", "What to do"},
		{"the file", "warning", "it is wrong", "mend it"},
		{"Openings!B3", "error", "it is wrong", "mend it"},
	}, rows[4:])
	has, target, err := f.GetCellHyperLink("Problems", "A7")
	require.NoError(t, err)
	assert.Equal(t, []any{true, "Openings!B3"}, []any{has, target})
	has, _, err = f.GetCellHyperLink("Problems", "A6")
	require.NoError(t, err)
	assert.False(t, has, "nowhere to go to")
	var titles string
	for _, n := range f.GetDefinedName() {
		if n.Name == "_xlnm.Print_Titles" {
			titles = n.Scope
		}
	}
	assert.Equal(t, "Mine", titles)
	for _, name := range []string{"xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml"} {
		assert.NotContains(t, unpacked(t, m.Data)[name], `tabSelected="1"`, "two sheets in front would be edited as one")
	}
}

func TestNothingToMark(t *testing.T) {
	data := theirs(t)
	m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{
		badCell("job.xlsx", "Openings", 2, 1, estimate.Note), badCell("job.xlsx", "Nowhere", 2, 1, estimate.Error),
	})
	require.NoError(t, err)
	assert.Equal(t, Marks{Nowhere: 1}, m)
}

// What cannot be copied is said; then values are written, with the same marks.
func TestMarkedValues(t *testing.T) {
	for _, c := range []struct{ shows, part, text, lost string }{
		{"macros: other programs refuse a plain workbook with them", "xl/vbaProject.bin", "x", "macros"},
		{"notes that are no XML", "xl/comments1.xml", "<comments><commentList><comment", "parts of an unusual form"},
		{"a drawing without an end", "xl/drawings/vmlDrawing1.vml", "noise", "parts of an unusual form"},
		{"formats without a list of cells", "xl/styles.xml", `<styleSheet xmlns="` + mainSpace + `"/>`, "parts of an unusual form"},
		{"a sheet beyond what is looked through", "xl/worksheets/sheet2.xml", `<worksheet xmlns="` + mainSpace + `"><sheetData/>` + strings.Repeat(" ", maxCopied) + `</worksheet>`, "more than 64 MB of parts to look through"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			parts := unpacked(t, theirs(t))
			parts[c.part] = c.text
			data := packed(t, parts)
			m, err := Marked(data, parse(t, "job.xlsx", data), []estimate.Problem{badCell("job.xlsx", "Openings", 3, 2, estimate.Error)})
			require.NoError(t, err)
			assert.Equal(t, c.lost, m.Lost)
			assert.Empty(t, audit.Lint(m.Data))
			f := reopen(t, m.Data)
			assert.Equal(t, []string{"Problems", "Openings", "Mine"}, f.GetSheetList())
			rows, err := f.GetRows("Openings")
			require.NoError(t, err)
			assert.Equal(t, [][]string{{"Mark", "Kind", "Width"}, {"W1", "window", "36.5"}, {"W2", "windw", "40"}, {"W3", "window"}}, rows)
			assert.Equal(t, map[string]string{"B3": "error: it is wrong (mend it)"}, notes(t, f, "Openings"))
			assert.Equal(t, xlsx.BadFill, fillOf(t, f, "Openings", "B3"))
			assert.Equal(t, "5555", bordersOf(t, f, "Openings", "B3"))
		})
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
	assert.Equal(t, "5555", bordersOf(t, f, csvSheet, "B4"))
	assert.Equal(t, []string{"Problems", csvSheet}, f.GetSheetList())
}

func TestMaxMarks(t *testing.T) {
	data := []byte("Mark\n" + strings.Repeat("W\n", MaxMarks+10))
	var problems []estimate.Problem
	for i := range MaxMarks + 5 {
		problems = append(problems, badCell("job.csv", "", i+2, 1, estimate.Error))
	}
	m, err := Marked(data, parse(t, "job.csv", data), problems)
	require.NoError(t, err)
	assert.Equal(t, []int{MaxMarks, 5}, []int{m.Cells, m.Unmarked})
	assert.Len(t, notes(t, reopen(t, m.Data), csvSheet), MaxMarks)
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
		require.Len(t, again.Sheets, len(book.Sheets)+1)
	})
}
