package estimate

import (
	"fmt"
	"strings"
)

// Place is where in the user's files something stands. A worksheet cell has
// Sheet, Row and Col; a line of a CSV file has no Sheet, its Row is the
// physical line and Column the header. Row and Col count from 1; 0 means the
// whole sheet or file.
type Place struct {
	File   string // base name of the file
	Sheet  string
	Row    int
	Col    int
	Column string // header of the column, as the user wrote it
}

// String returns the place as a reader finds it: "job.xlsx: Openings!F12",
// "prices.csv: line 12, price".
func (p Place) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	where := ""
	switch {
	case p.Sheet != "" && p.Row > 0 && p.Col > 0:
		where = quoteSheet(p.Sheet) + "!" + CellName(p.Row, p.Col)
	case p.Sheet != "" && p.Row > 0:
		where = fmt.Sprintf("%s row %d", quoteSheet(p.Sheet), p.Row)
	case p.Sheet != "" && p.Col > 0:
		where = quoteSheet(p.Sheet) + "!" + columnName(p.Col)
	case p.Sheet != "":
		where = quoteSheet(p.Sheet)
	case p.Row > 0 && p.Column != "":
		where = fmt.Sprintf("line %d, %s", p.Row, p.Column)
	case p.Row > 0:
		where = fmt.Sprintf("line %d", p.Row)
	case p.Column != "":
		where = p.Column
	}
	if b.Len() > 0 && where != "" {
		b.WriteString(": ")
	}
	b.WriteString(where)
	return b.String()
}

// CellName returns the A1 name of a cell; row and col count from 1.
func CellName(row, col int) string { return fmt.Sprintf("%s%d", columnName(col), row) }

func columnName(col int) string {
	name := ""
	for ; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

// quoteSheet returns a sheet name as a reference writes it.
func quoteSheet(name string) string {
	plain := strings.IndexFunc(name, func(r rune) bool {
		return (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '_'
	}) < 0
	if plain {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}
