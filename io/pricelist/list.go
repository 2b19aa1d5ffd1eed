package pricelist

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// decimalComma behind a header declares how the column's amounts are written.
const decimalComma = " (decimal comma)"

// withDecimalComma lets the headers of some columns declare a decimal comma.
func withDecimalComma(cols []sheet.Column, keys ...string) []sheet.Column {
	for _, key := range keys {
		for i := range cols {
			if cols[i].Key != key {
				continue
			}
			for _, name := range append([]string{key}, cols[i].Synonyms...) {
				cols[i].Synonyms = append(cols[i].Synonyms, name+decimalComma)
			}
		}
	}
	return cols
}

// list is a table whose rows the CSV library decodes.
type list struct {
	cols     []sheet.Column
	table    *sheet.Table
	own      bool // that of an estimate
	date1904 bool
	commas   map[string]sheet.Cell // what comma found, by column
	says     []string              // what stated found; nil = not looked for yet
}

// openList finds the table on a sheet and decodes its rows, one for each of the
// table's.
func openList[T any](s *sheet.Sheet, cols []sheet.Column, date1904 bool) (*list, []T, []estimate.Problem) {
	table, problems := s.Table(cols)
	l := &list{cols: cols, table: table, own: isOwn(table), date1904: date1904, commas: map[string]sheet.Cell{}}
	var rows []T
	if err := gocsv.UnmarshalDecoder(l.grid(), &rows); err != nil {
		return l, nil, append(problems,
			estimate.Problem{Place: estimate.Place{File: s.File, Sheet: s.Name}, Severity: estimate.Error, What: "the list cannot be decoded: " + err.Error()})
	}
	return l, rows, problems
}

// grid is the cells of a table as text under our own headers, for the CSV
// library to decode.
type grid [][]string

// GetCSVRows returns the header and the rows.
func (g grid) GetCSVRows() ([][]string, error) { return g, nil }

func (l *list) grid() grid {
	var header []string
	for _, c := range l.cols {
		header = append(header, c.Key)
	}
	g := grid{header}
	for _, row := range l.table.Rows {
		fields := make([]string, len(header))
		for i, key := range header {
			fields[i] = l.text(key, row.Cell(key))
		}
		g = append(g, fields)
	}
	return g
}

// text returns a cell as it would stand in a CSV file. A cell that holds no
// value is blank here and refused by check.
func (l *list) text(key string, c sheet.Cell) string {
	if _, refused := l.refusal(key, c); refused {
		return ""
	}
	switch {
	case c.Kind == sheet.Date && isDay(key):
		return isoDate(c, l.date1904)
	case c.Kind == sheet.Number && key == content:
		return strings.TrimSpace(c.Text + " " + cmp.Or(c.FormatUnit(), l.table.HeaderUnit(content)))
	case key == content && isNumber(c.Word()):
		return strings.TrimSpace(c.Word() + " " + l.table.HeaderUnit(content))
	}
	return c.Word()
}

func isDay(key string) bool { return key == effective || key == expires }

func isNumber(s string) bool { return s != "" && strings.Trim(s, "0123456789.") == "" }

func isoDate(c sheet.Cell, date1904 bool) string {
	d, err := measure.DateFromSerial(c.Number, date1904)
	if err != nil {
		return c.Word()
	}
	return d.String()
}

// check returns the checker of a row, which has already said what cells hold no
// value to work with.
func (l *list) check(row sheet.Row) checker {
	c := checker{list: l, row: row, reported: map[string]bool{}}
	for _, col := range l.cols {
		cell := row.Cell(col.Key)
		if p, refused := l.refusal(col.Key, cell); refused {
			c.problems = append(c.problems, p)
			c.reported[cell.Place.Column] = true
		}
		for _, other := range row.Twice(col.Key) {
			c.problems = append(c.problems, other.Unlike(cell)...)
		}
	}
	return c
}

// refusal returns the problem of a cell that holds no value to work with.
func (l *list) refusal(key string, cell sheet.Cell) (estimate.Problem, bool) {
	p, refused := cell.Refuse()
	switch {
	case refused:
		return p, true
	case cell.Kind == sheet.Date && !isDay(key):
		return cell.Problem(estimate.Error, fmt.Sprintf("%q is stored as a date", cell.Word()), retype(cell)), true
	case cell.Kind == sheet.Number && cell.Percent && key != restocking:
		return cell.Problem(estimate.Error, "the cell holds a percentage", "type the value itself, with another number format"), true
	}
	return estimate.Problem{}, false
}

// retype says how to get back what a spreadsheet program took for a date.
func retype(c sheet.Cell) string {
	if typed := c.TypedAsDate(); typed != "" {
		return fmt.Sprintf("if %s is meant, type it with an apostrophe before it", typed)
	}
	return "type it again with an apostrophe before it"
}

// hasComma reports whether a cell is written with a decimal comma, as its
// header declares. A numeric cell of a workbook has none.
func (l *list) hasComma(key string, c sheet.Cell) bool {
	return c.Kind == sheet.Text && strings.HasSuffix(sheet.FoldHeader(l.table.Header[key].Text), sheet.FoldHeader(decimalComma))
}

// comma returns the first cell of a column whose comma can only be a decimal
// one though its header does not say so: a comma between thousands in another
// row is then in doubt.
func (l *list) comma(key string) (sheet.Cell, bool) {
	first, looked := l.commas[key]
	if !looked {
		first = l.findComma(key)
		l.commas[key] = first
	}
	return first, !first.Blank()
}

func (l *list) findComma(key string) sheet.Cell {
	for _, row := range l.table.Rows {
		if c := row.Cell(key); c.Kind == sheet.Text && !l.hasComma(key, c) && decimalForm.MatchString(currencyFirst(c.Word())) {
			return c
		}
	}
	return sheet.Cell{}
}

// formulasNote says once that values of formulas are used as they are stored.
func (l *list) formulasNote() []estimate.Problem {
	var first sheet.Cell
	n := 0
	for _, row := range l.table.Rows {
		for _, col := range l.cols {
			cell := row.Cell(col.Key)
			if _, refused := l.refusal(col.Key, cell); refused || !cell.Formula {
				continue
			}
			if n++; n == 1 {
				first = cell
			}
		}
	}
	switch n {
	case 0:
		return nil
	case 1:
		return []estimate.Problem{first.Problem(estimate.Note, "the cell is a formula; the value stored in the file is used", "")}
	}
	return []estimate.Problem{first.Problem(estimate.Note, fmt.Sprintf("%d cells, the first here, are formulas; the values stored in the file are used", n), "")}
}
