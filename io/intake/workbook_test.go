package intake

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Two sheets with stacked headers, a type merged over its rows, a formula that
// was never calculated, a size that the program made a date of, and hidden
// things.
func TestReadWorkbook(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Windows"))
	for _, sheet := range []string{"Exterior Doors", "Cover"} {
		_, err := f.NewSheet(sheet)
		require.NoError(t, err)
	}
	rows := map[string][][]any{
		"Windows": {
			{"WINDOW SCHEDULE"}, {},
			{"Mark", "Operation", "Rough opening", nil, "Remarks"},
			{nil, nil, "Width (in)", "Height (in)"},
			{},
			{"W1", "Casement", 36.5, 48},
			{"W2", nil, 30, 48, "tempered"},
			{"W3", "Fixed", nil, 48},
			{"W4", "Fixed", 44986, 48},
			{"W5", "Fixed", 72, 0.9149999999999999},
			{"W6", "Fixed", 24, 36},
		},
		"Exterior Doors": {{"No.", "Frame width", "Frame height", "Type"}, {"D1", `3'-1 1/2"`, "6'-10\"", "Entry"}, {"D2", `6'-0"`, `6'-8"`, "Sliding glass"}},
		"Cover":          {{"Job", "Elm Street"}},
	}
	for name, list := range rows {
		for i, row := range list {
			at, _ := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, f.SetSheetRow(name, at, &row))
		}
	}
	require.NoError(t, f.SetCellFormula("Windows", "C8", "30+2"))
	date, err := f.NewStyle(&excelize.Style{NumFmt: 16})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Windows", "C9", "C9", date))
	for _, area := range [][2]string{{"C3", "D3"}, {"A3", "A4"}, {"B3", "B4"}, {"E3", "E4"}, {"B6", "B7"}} {
		require.NoError(t, f.MergeCell("Windows", area[0], area[1]))
	}
	require.NoError(t, f.SetRowVisible("Windows", 11, false))
	data, err := f.WriteToBuffer()
	require.NoError(t, err)
	b, ps := sheet.Parse("elm.xlsx", data.Bytes())
	require.NotNil(t, b, "%v", ps)

	r, ps := Read([]*sheet.Book{b}, Options{})
	assert.Equal(t, []string{
		"W1 1 window RO 36-1/2 x 48", "W2 1 window RO 30 x 48", "W6 1 window RO 24 x 36",
		"D1 1 entry door frame 37-1/2 x 82", "D2 1 patio door frame 72 x 80",
	}, lines(r))
	assert.Equal(t, []string{
		"elm.xlsx: Windows!C8: the cell has a formula that was never calculated (open the file in your spreadsheet program and save it)",
		`elm.xlsx: Windows!C9: Rough opening > Width (in) "1-Mar" is a date; 3-1 was probably typed (format the cell as text and type the size with its unit)`,
		`elm.xlsx: Windows!D10: Rough opening > Height (in) "0.914999999999999" gives a height of 15/16 in, which is no opening's (check the number and its unit)`,
	}, said(ps, estimate.Error))
	all := said(ps, estimate.Note)
	assert.Contains(t, all, "elm.xlsx: Cover: note: the sheet is not used: no row of headers with a size was found")
	assert.Contains(t, all, "elm.xlsx: Windows!C4: note: hidden rows are read like the others: 1 of them")
	counted(t, r)
}

// Several files are one list, and marks are unique in all of them.
// An empty sheet beside others is nothing to speak of; one with words is.
func TestUnusedSheets(t *testing.T) {
	list := [][]any{{"Windows"}, {"Mark", "RO width", "RO height"}, {"W1", 38, 62}}
	for _, c := range []struct {
		other [][]any
		want  []string
	}{
		{[][]any{{"Notes"}}, []string{}},
		{[][]any{{"Notes"}, {"Call before you come"}}, []string{"list.xlsx: Notes: note: the sheet is not used: no row of headers with a size was found"}},
	} {
		_, problems := schedules(bookOf(t, "list.xlsx", list, c.other))
		assert.Equal(t, c.want, said(problems, estimate.Note))
	}
}

func TestReadSeveral(t *testing.T) {
	r, ps := Read([]*sheet.Book{
		csvBook(t, "windows.csv", "Mark,RO width,RO height\n1,36 in,48 in\n"),
		csvBook(t, "doors.csv", "Mark,Frame width,Frame height,Type\n1,36 in,80 in,Entry\n"),
	}, Options{})
	assert.Equal(t, []string{"1 1 window RO 36 x 48", "1/2 1 entry door frame 36 x 80"}, lines(r))
	assert.Equal(t, []string{`doors.csv: line 2: warning: the mark "1" stands before with another size or kind; here it is called "1/2" (check ` +
		`which is right)`}, said(ps, estimate.Warning))
	assert.Equal(t, "from doors.csv: line 2; Frame width \"36 in x 80 in\"; type Entry", r.Openings[1].Notes)
}

// A row that is struck out is no opening, a struck remark is no remark, and a size of
// which a part is struck out is refused: common practice on schedules, no source.
func TestStruckOut(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range [][]any{{"Mark", "Type", "Frame width", "Frame height", "Remarks"}, {"W1", "window", 36, 60}, {"W2", "window", 24, 48},
		{"W3", "window", 30, 60, "void"}, {"W4", "window", 30, 60}} {
		require.NoError(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Sheet1", "A3", "D3", style))
	require.NoError(t, f.SetCellStyle("Sheet1", "E4", "E4", style))
	require.NoError(t, f.SetCellRichText("Sheet1", "C5", []excelize.RichTextRun{{Text: "30", Font: &excelize.Font{Strike: true}}, {Text: " 32",
		Font: &excelize.Font{}}}))
	data, err := f.WriteToBuffer()
	require.NoError(t, err)
	b, ps := sheet.Parse("list.xlsx", data.Bytes())
	require.NotNil(t, b, "%v", ps)
	r, ps := Read([]*sheet.Book{b}, Options{Units: measure.Inches})
	assert.Equal(t, []string{"W1 1 window frame 36 x 60", "W3 1 window frame 30 x 60"}, lines(r))
	assert.NotContains(t, r.Openings[1].Notes, "void")
	assert.Subset(t, said(ps, estimate.Warning), []string{
		"list.xlsx: Sheet1 row 3: warning: the row is struck out and left out (take the line through it away if it counts)",
		`list.xlsx: Sheet1!E4: warning: "void" is struck out (clear the cell, or take the line through it away)`,
		`list.xlsx: Sheet1!C5: a part of "30 32" is struck out (delete that part, or take the line through it away)`,
	})
}
