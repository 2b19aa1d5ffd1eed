package workbook

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// writtenSheet is a sheet as the file holds it, looked at by the heads of a table.
// Rows count from 1.
type writtenSheet struct {
	t      *testing.T
	file   *excelize.File
	name   string
	rows   [][]string
	header int
}

// written reads a sheet of a workbook, and the header that holds such a head.
func written(t *testing.T, data []byte, name, head string) writtenSheet {
	t.Helper()
	s := writtenSheet{t: t, file: opened(t, data), name: name}
	var err error
	s.rows, err = s.file.GetRows(name, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	s.header = s.next(1, head)
	return s
}

// next returns the first row, from one on, that has a cell of such words.
func (s writtenSheet) next(from int, words string) int {
	s.t.Helper()
	i := slices.IndexFunc(s.rows[from-1:], func(cells []string) bool { return slices.Contains(cells, words) })
	require.GreaterOrEqual(s.t, i, 0, "sheet %s lacks %q", s.name, words)
	return from + i
}

// find returns the first row below the header that has such words in a column.
func (s writtenSheet) find(head, words string) int {
	s.t.Helper()
	for row := s.header + 1; row <= len(s.rows); row++ {
		if s.text(row, head) == words {
			return row
		}
	}
	require.Fail(s.t, "the sheet lacks", "%s: %s %q", s.name, head, words)
	return 0
}

func (s writtenSheet) column(head string) int {
	s.t.Helper()
	i := slices.Index(s.rows[s.header-1], head)
	require.GreaterOrEqual(s.t, i, 0, "sheet %s has no column %q", s.name, head)
	return i + 1
}

// at returns the name of a cell.
func (s writtenSheet) at(row int, head string) string {
	s.t.Helper()
	return formula.Cell(row, s.column(head))
}

// text returns what a cell holds, "" where nothing is.
func (s writtenSheet) text(row int, head string) string {
	s.t.Helper()
	col := s.column(head)
	if row > len(s.rows) || col > len(s.rows[row-1]) {
		return ""
	}
	return s.rows[row-1][col-1]
}

// texts returns what some cells of a row hold.
func (s writtenSheet) texts(row int, heads ...string) []string {
	s.t.Helper()
	out := make([]string, len(heads))
	for i, head := range heads {
		out[i] = s.text(row, head)
	}
	return out
}

// formula returns the formula of a cell.
func (s writtenSheet) formula(row int, head string) string {
	s.t.Helper()
	f, err := s.file.GetCellFormula(s.name, s.at(row, head))
	require.NoError(s.t, err)
	return f
}

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, f.Close()) })
	return f
}
