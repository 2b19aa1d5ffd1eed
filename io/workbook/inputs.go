package workbook

import (
	"slices"

	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// The input sheets. They travel inside the estimate as the user wrote them, so
// that the estimate can be run again.

// lead writes the title lines of an input sheet, and in an estimate the master
// check.
func (w *writer) lead(p *xlsx.Sheet, head, how string) {
	p.InputPage()
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	if w.checks == nil {
		p.Skip(1)
		return
	}
	w.masterLine(p)
}

const inputHeader = 4 // header row of every input sheet

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
	return xlsx.Str(xlsx.InputText, c.Text)
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

// blanks is a row of inputs to fill in.
func blanks(looks ...xlsx.Look) []xlsx.Cell {
	cells := make([]xlsx.Cell, len(looks))
	for i, l := range looks {
		cells[i] = xlsx.Blank(l)
	}
	return cells
}

// copyTable writes a table of the user's, and so many empty rows below it.
func copyTable(p *xlsx.Sheet, t Table, empty int) {
	p.Row(xlsx.Strs(xlsx.Heading, t.Headers...)...)
	if len(t.Columns) == 0 {
		return
	}
	for _, r := range t.Rows {
		cells := make([]xlsx.Cell, len(t.Columns))
		for i := range cells {
			cells[i] = xlsx.Blank(xlsx.InputText)
			if i < len(r) {
				cells[i] = inputCell(r[i])
			}
		}
		p.Row(cells...)
	}
	for range empty {
		p.Row(slices.Repeat(blanks(xlsx.InputText), len(t.Columns))...)
	}
}

// bareWords say what a length without a unit is.
func (w *writer) bareWords() string {
	unit := "inches"
	if w.u.MM {
		unit = "millimetres"
	}
	return "A length without a unit is in " + unit + "."
}

// typed is the range of a column of an input sheet, from below its header to what
// is written last.
func typed(p *xlsx.Sheet, col int) string { return formula.Range(inputHeader+1, col, p.Next()-1, col) }
