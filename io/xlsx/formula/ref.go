package formula

import (
	"math"
	"strconv"
	"strings"
)

// Cell returns the name of a cell: B5.
func Cell(row, col int) string { return string(AppendCell(make([]byte, 0, 16), row, col)) }

// AppendCell appends the name of a cell.
func AppendCell(b []byte, row, col int) []byte {
	return strconv.AppendInt(AppendColumn(b, col), int64(row), 10)
}

// AbsCell returns the fixed name of a cell: $B$5.
func AbsCell(row, col int) string { return "$" + Column(col) + "$" + strconv.Itoa(row) }

// Range returns a range: B5:C9.
func Range(row, col, row2, col2 int) string { return Cell(row, col) + ":" + Cell(row2, col2) }

// AbsRange returns a fixed range: $B$5:$C$9.
func AbsRange(row, col, row2, col2 int) string { return AbsCell(row, col) + ":" + AbsCell(row2, col2) }

// QuoteSheet returns a sheet name as formulas write it. A name of letters
// stands bare; one with a digit could be a cell, so it is quoted.
func QuoteSheet(name string) string {
	other := func(r rune) bool { return (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') && r != '_' }
	if len(name) > 2 && !strings.ContainsFunc(name, other) {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}

// Column returns the name of a column: A, Z, AA.
func Column(col int) string { return string(AppendColumn(nil, col)) }

// AppendColumn appends the name of a column.
func AppendColumn(b []byte, col int) []byte {
	if col > 26 {
		b = AppendColumn(b, (col-1)/26)
	}
	return append(b, 'A'+byte((col-1)%26))
}

// Moves reports whether a word of a formula is a cell whose row is not fixed: B5, $B5.
func Moves(word string) bool {
	i := 0
	if word != "" && word[0] == '$' {
		i++
	}
	letters := i
	for i < len(word) && 'A' <= word[i] && word[i] <= 'Z' {
		i++
	}
	digits := i
	for i < len(word) && '0' <= word[i] && word[i] <= '9' {
		i++
	}
	return letters < digits && digits < i && i == len(word)
}

// Area is a rectangle of cells, counted from 1, its ends included.
type Area struct{ Row, Col, Row2, Col2 int }

// NoArea is the area that every cell extends.
var NoArea = Area{Row: math.MaxInt, Col: math.MaxInt}

// String returns the range as a sheet names it; one cell is B5, not B5:B5.
func (a Area) String() string {
	if a.Row == a.Row2 && a.Col == a.Col2 {
		return Cell(a.Row, a.Col)
	}
	return Range(a.Row, a.Col, a.Row2, a.Col2)
}

// With returns the area with a cell in it.
func (a Area) With(row, col int) Area {
	return Area{Row: min(a.Row, row), Col: min(a.Col, col), Row2: max(a.Row2, row), Col2: max(a.Col2, col)}
}

func (a Area) Has(row, col int) bool {
	return a.Row <= row && row <= a.Row2 && a.Col <= col && col <= a.Col2
}

func (a Area) Meets(b Area) bool {
	return a.Row <= b.Row2 && b.Row <= a.Row2 && a.Col <= b.Col2 && b.Col <= a.Col2
}
