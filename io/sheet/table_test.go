package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

var openings = []Column{
	{Key: "Mark", Synonyms: []string{"ID", "Tag", "#"}, Required: true},
	{Key: "Qty", Synonyms: []string{"Count", "Quantity"}},
	{Key: "Kind", Required: true},
	{Key: "Frame width", Synonyms: []string{"Width"}},
	{Key: "Frame height", Synonyms: []string{"Height"}},
}

func csvTable(t testing.TB, text string) (*Table, []string) {
	t.Helper()
	book, ps := Parse("job.csv", []byte(text))
	require.NotNil(t, book, "%v", ps)
	require.Empty(t, ps)
	table, ps := book.Sheets[0].Table(openings)
	require.NotNil(t, table)
	return table, lines(ps)
}

func TestTable(t *testing.T) {
	f := filled(t,
		[]any{"Window schedule of the Mark house"},
		[]any{},
		[]any{"Count", "Height (mm)", "WIDTH, mm", "mark *", "Kind", "Remark"},
		[]any{},
		[]any{2, 1200, 900, "W1", "window", "north"},
		[]any{},
		[]any{},
		[]any{1, 2100, 990, "D1", "entry door"},
		[]any{nil, nil, nil, "W2"},
		[]any{},
	)
	s, _ := parsed(t, saved(t, f))
	table, ps := s.Table(openings)
	assert.Equal(t, []string{`job.xlsx: Openings!F3: note: the column "Remark" is not used`}, lines(ps))
	require.Len(t, table.Rows, 3)
	assert.Equal(t, 3, table.Blank)
	assert.Equal(t, "job.xlsx: Openings!D3", table.Header["Mark"].Place.String())
	assert.True(t, table.HasColumn("Frame width"))
	assert.False(t, table.HasColumn("Status"))
	assert.Equal(t, "mm", table.HeaderUnit("Frame width"))
	assert.Equal(t, "mm", table.HeaderUnit("Frame height"))
	assert.Equal(t, "", table.HeaderUnit("Kind"))
	assert.Equal(t, "", table.HeaderUnit("Status"))

	r := table.Rows[0]
	assert.Equal(t, "job.xlsx: Openings row 5", r.Place.String())
	width := r.Cell("Frame width")
	assert.Equal(t, 900.0, width.Number)
	assert.Equal(t, estimate.Place{File: "job.xlsx", Sheet: "Openings", Row: 5, Col: 3, Column: "WIDTH, mm"}, width.Place)
	require.Len(t, r.Extra(), 1)
	assert.Equal(t, "north", r.Extra()[0].Text)
	assert.Equal(t, "Remark", r.Extra()[0].Place.Column)

	short := table.Rows[2]
	assert.Equal(t, 9, short.Place.Row)
	assert.Equal(t, "job.xlsx: Openings!E9", short.Cell("Kind").Place.String(), "a short row still has a place")
	assert.True(t, short.Cell("Kind").Blank())
	assert.Equal(t, "job.xlsx: Openings row 9", short.Cell("Status").Place.String(), "an absent column has the row's")
	assert.Empty(t, short.Extra())
	assert.True(t, Row{}.Cell("Mark").Blank())
}

func TestTablePlacesInCSV(t *testing.T) {
	table, ps := csvTable(t, "Schedule\nID,Kind,Width (in),Note\n\"W\n1\",window,36,a\nW2\n")
	assert.Equal(t, []string{`job.csv: line 2, Note: note: the column "Note" is not used`}, ps)
	require.Len(t, table.Rows, 2)
	assert.Equal(t, "job.csv: line 5", table.Rows[1].Place.String())
	assert.Equal(t, "job.csv: line 5, Width (in)", table.Rows[1].Cell("Frame width").Place.String())
	assert.Equal(t, "job.csv: line 5, Qty", table.Rows[1].Cell("Qty").Place.String())
	assert.Equal(t, "job.csv: line 4, Note", table.Rows[0].Extra()[0].Place.String(), "where the field begins")
}

func TestHeaderProblems(t *testing.T) {
	for _, tt := range []struct {
		why  string
		csv  string
		rows int
		want []string
	}{
		{"no header at all", "a,b\n1,2\n", 0,
			[]string{`job.csv: there is no row of column headers among the first 30 rows (write a row with "Mark", "Kind")`}},
		{"required column missing, a slip for it present", "Mark,Knid,Width\nW1,window,36\n", 0,
			[]string{`job.csv: line 1: the column "Kind" is missing; found "Mark", "Knid", "Width" (is "Knid" meant for Kind? add it to the header row)`}},
		{"two missing", "Qty,Width\n1,36\n", 0,
			[]string{`job.csv: line 1: the columns "Mark", "Kind" are missing; found "Qty", "Width" (add them to the header row)`}},
		{"the same header twice", "Mark,Kind,Width,width (mm)\nW1,window,36,914\n", 1,
			[]string{`job.csv: line 1, width (mm): the columns "Width" in field 3 and "width (mm)" in field 4 are both Frame width (keep one and rename the other)`,
				`job.csv: line 1, width (mm): note: the column "width (mm)" is not used`}},
		{"a synonym beside the header", "Mark,Kind,Qty,Count\nW1,window,1,2\n", 1,
			[]string{`job.csv: line 1, Count: the columns "Qty" in field 3 and "Count" in field 4 are both Qty (keep one and rename the other)`,
				`job.csv: line 1, Count: note: the column "Count" is not used`}},
		{"a slip for an absent column", "Mark,Kind,Frame widht (mm)\nW1,window,914\n", 1,
			[]string{`job.csv: line 1, Frame widht (mm): warning: the column "Frame widht (mm)" is not used (if "Frame width" is meant, rename the column)`}},
		{"near to a column that is there: no slip", "Mark,Kind,Marks\nW1,window,x\n", 1,
			[]string{`job.csv: line 1, Marks: note: the column "Marks" is not used`}},
		{"a filled column without header", "Mark,Kind,,\nW1,window\nW2,window,x\n", 2,
			[]string{`job.csv: line 3: note: the column of field 3 has no header and is not used`}},
		{"a line longer than the header", "Mark,Kind\nW1,window\nW2,window,x\nW3,window,,\n", 2,
			[]string{`job.csv: line 3: the line has more fields than the header: field 3 is "x"; the line is not used ` +
				`(put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`}},
		{"a line with one semicolon too much", "Mark;Kind\nW1;window\nW2;win;dow\nW3;window\n", 2,
			[]string{`job.csv: line 3: the line has more fields than the header: field 3 is "dow"; the line is not used ` +
				`(put a field with a semicolon in it between quotation marks)`}},
		{"a longer line behind a field of two lines", "Mark,Kind\n\"W\n1\",window\nW2,window,x\n", 1,
			[]string{`job.csv: line 4: the line has more fields than the header: field 3 is "x"; the line is not used ` +
				`(put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`}},
		{"the row with all required columns wins over an earlier one with more", "Qty,Width,Height,Mark\nMark,Kind\nW1,window\n", 1,
			nil},
	} {
		t.Run(tt.why, func(t *testing.T) {
			table, ps := csvTable(t, tt.csv)
			assert.Len(t, table.Rows, tt.rows)
			assert.ElementsMatch(t, tt.want, ps)
		})
	}
}

// A duplicate names the cells of a worksheet, and its first column is used.
func TestDuplicateHeaderInSheet(t *testing.T) {
	s, _ := parsed(t, saved(t, filled(t, []any{"Mark", "Kind", "Width", "Frame width"}, []any{"W1", "window", 36, 48})))
	table, ps := s.Table(openings)
	require.NotEmpty(t, ps)
	assert.Equal(t, `job.xlsx: Openings!D1: the columns "Width" in C1 and "Frame width" in D1 are both Frame width (keep one and rename the other)`, ps[0].String())
	assert.Equal(t, 36.0, table.Rows[0].Cell("Frame width").Number)
}

// When nothing is required, all headers are asked for.
func TestNoHeaderNothingRequired(t *testing.T) {
	book, _ := Parse("job.csv", []byte("a,b\n"))
	_, ps := book.Sheets[0].Table([]Column{{Key: "Key"}, {Key: "Value"}})
	assert.Equal(t, []string{`job.csv: there is no row of column headers among the first 30 rows (write a row with "Key", "Value")`}, lines(ps))
}

func TestHeaderRowLimit(t *testing.T) {
	rows := make([][]any, 31)
	rows[30] = []any{"Mark", "Kind"}
	s, _ := parsed(t, saved(t, filled(t, rows...)))
	table, ps := s.Table(openings)
	assert.Empty(t, table.Rows)
	assert.Equal(t, []string{`job.xlsx: Openings: there is no row of column headers among the first 30 rows (write a row with "Mark", "Kind")`}, lines(ps))
}

func TestHidden(t *testing.T) {
	f := filled(t, []any{"Mark", "Kind", "Qty", "Colour"}, []any{"W1", "window", 1, "x"}, []any{"W2", "window", 2}, []any{}, []any{"W3", "window", 3}, []any{"W4", "window", 4})
	for _, row := range []int{3, 4, 6} {
		require.NoError(t, f.SetRowVisible("Openings", row, false))
	}
	require.NoError(t, f.SetRowHeight("Openings", 5, 0))
	require.NoError(t, f.SetColVisible("Openings", "C:D", false))
	s, _ := parsed(t, saved(t, f))
	table, ps := s.Table(openings)
	assert.ElementsMatch(t, []string{
		"job.xlsx: Openings: note: 3 hidden rows (3, 5-6) are counted",
		"job.xlsx: Openings: note: hidden columns are counted: Qty",
		`job.xlsx: Openings!D1: note: the column "Colour" is not used`,
	}, lines(ps))
	require.Len(t, table.Rows, 4)
	assert.False(t, table.Rows[0].Hidden)
	assert.True(t, table.Rows[1].Hidden)
}

func TestMergedInTable(t *testing.T) {
	f := filled(t,
		[]any{"Openings of the house"},
		[]any{"Mark", "Kind", "Frame width", "Frame height", "Notes"},
		[]any{"W1", "window", 36, nil, "a"},
		[]any{"W2", "window", 30, 40, "b"},
		[]any{nil, "window", 31, 41},
		[]any{"W4", "window", 32, 42, "c"},
	)
	for _, area := range [][2]string{{"A1", "E1"}, {"C3", "D3"}, {"A4", "A5"}, {"E6", "F6"}} {
		require.NoError(t, f.MergeCell("Openings", area[0], area[1]))
	}
	s, _ := parsed(t, saved(t, f))
	table, ps := s.Table(openings)
	assert.ElementsMatch(t, []string{
		`job.xlsx: Openings!E2: note: the column "Notes" is not used`,
		"job.xlsx: Openings!C3: warning: the cells C3:D3 are merged; the value counts only in C3 (unmerge them and fill each cell)",
		"job.xlsx: Openings!A4: warning: the cells A4:A5 are merged; the value counts only in A4 (unmerge them and fill each cell)",
	}, lines(ps))
	require.Len(t, table.Rows, 4)
	assert.Equal(t, 36.0, table.Rows[0].Cell("Frame width").Number)
	height := table.Rows[0].Cell("Frame height")
	assert.True(t, height.Blank(), "a merged width is not a height as well")
	assert.Equal(t, "job.xlsx: Openings!D3", height.Place.String())
	require.Len(t, table.Rows[3].Extra(), 1)
}

// A heading merged over columns is one header, not one a column.
func TestMergedHeader(t *testing.T) {
	f := filled(t, []any{"Mark", "Kind", "Width"}, []any{"W1", "window", 36, 48})
	require.NoError(t, f.MergeCell("Openings", "C1", "D1"))
	s, _ := parsed(t, saved(t, f))
	table, ps := s.Table(openings)
	assert.Len(t, table.Rows, 1)
	assert.Equal(t, []string{`job.xlsx: Openings!D1: note: the column "Width" is not used`}, lines(ps))
}

func TestRanges(t *testing.T) {
	for _, tt := range []struct {
		why  string
		ns   []int
		want string
	}{
		{"one", []int{5}, "5"},
		{"apart", []int{5, 9}, "5, 9"},
		{"a run", []int{5, 9, 12, 13, 14}, "5, 9, 12-14"},
		{"too many to list", []int{1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23}, "1, 3, 5, 7, 9, 11, 13, 15, 17, 19 and 2 more"},
	} {
		assert.Equal(t, tt.want, ranges(tt.ns), tt.why)
	}
}
