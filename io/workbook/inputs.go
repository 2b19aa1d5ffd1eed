package workbook

import (
	"strings"
	"unicode"

	"sillwright/io/sheet"
	"sillwright/io/xlsx"
)

// The input sheets. They travel inside the estimate as the user wrote them, so
// that the estimate can be run again.

// lead writes the title lines of an input sheet, and in an estimate the master
// check.
func (w *writer) lead(p *xlsx.Sheet, head, how string) {
	p.InputPage()
	p.Row(xlsx.Str(xlsx.Title, head))
	if w.checked {
		how += " In a solid box: the price follows a change. In a dashed one: run estimate again."
	}
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	if !w.checked {
		p.Skip(1)
		return
	}
	w.showMaster(p, xlsx.Wide{Cell: xlsx.Str(xlsx.InputText, "follows")}, xlsx.Wide{Cell: xlsx.Str(xlsx.InputText.Rerun(), "run again")})
}

// copied is a row of a table of the user's.
type copied struct {
	index int // of Table.Rows
	cells []sheet.Cell
}

// at returns what stands in a column.
func (r copied) at(column int) xlsx.Cell {
	if column >= len(r.cells) {
		return xlsx.Blank(xlsx.InputText)
	}
	return inputCell(r.cells[column])
}

// copiedColumns are those of a table of the user's; widths may name some of them. They
// are named as they are known, whatever is written above them.
func copiedColumns(t Table, widths map[string]float64) []xlsx.Column[copied] {
	columns := make([]xlsx.Column[copied], len(t.Columns))
	for i, name := range t.Columns {
		columns[i] = xlsx.Column[copied]{
			Head: t.Headers[i], Key: name, Width: widths[name], Frozen: i == 0,
			Cell: func(r copied) xlsx.Cell { return r.at(i) },
		}
	}
	return columns
}

// copyRows writes a table of the user's, and empty rows below it: so many in a blank
// schedule.
func (w *writer) copyRows(out *xlsx.Table[copied], t Table, whenBlank int) {
	out.Header()
	if len(t.Columns) == 0 {
		return
	}
	for i, cells := range t.Rows {
		out.Row(copied{i, cells})
	}
	for range w.emptyRows(whenBlank) {
		out.Row(copied{index: -1})
	}
}

// inputCell copies a cell of the user's.
func inputCell(c sheet.Cell) xlsx.Cell {
	switch {
	case c.Blank():
		return xlsx.Blank(xlsx.InputText)
	case c.Kind == sheet.Number && c.Percent:
		return xlsx.Num(c.Number, xlsx.InputPercent)
	case c.Kind == sheet.Number:
		return xlsx.Num(c.Number, xlsx.InputNumber)
	}
	return xlsx.Str(xlsx.InputText, strings.TrimSpace(strings.Map(refusedAgain, c.Text))) // no formula's result keeps spaces at its ends
}

// refusedAgain puts the sign of a lost character for a control character, which no cell
// can hold: a space in its place would make a value of a text that was refused.
func refusedAgain(r rune) rune {
	if unicode.IsControl(r) && !strings.ContainsRune("\t\n\r", r) {
		return unicode.ReplacementChar
	}
	return r
}

// filled is a cell of text, blank when there is none.
func filled(l xlsx.Look, s string) xlsx.Cell {
	return xlsx.Optional(s, s != "", l)
}

// fewRows is how many empty rows stand below what is typed on a sheet of free
// rows, so that it shows where the next ones go; read back they are nothing.
const fewRows = 5

// emptyRows returns how many empty rows a sheet gets: so many in a blank schedule.
func (w *writer) emptyRows(whenBlank int) int {
	if w.blank {
		return whenBlank
	}
	return fewRows
}

// bareWords say what a length without a unit is.
func (w *writer) bareWords() string {
	unit := "inches"
	if w.u.MM {
		unit = "millimeters"
	}
	return "A length without a unit is in " + unit + "."
}
