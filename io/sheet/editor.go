package sheet

import (
	"slices"

	"sillwright/estimate"
)

// Editor types into the table of a sheet in memory, as a person types into the file:
// what reads the sheet afterwards reads it so. Rows are named by the places that
// reading gave them before anything was typed. A cell keeps the place that it has, so
// that what is wrong with it is reported where it came from.
type Editor struct {
	s      *Sheet
	t      *Table
	cols   []Column
	header int         // index of the header row
	rows   map[int]int // index of a row, by the number of its place
}

// NewEditor returns an editor of the table that Sheet.Table finds. A sheet without a
// row of headers gets one of those that are required.
func NewEditor(s *Sheet, cols []Column) *Editor {
	m := newMatcher(cols)
	e := &Editor{s: s, cols: cols, header: m.headerRow(s.Rows), rows: map[int]int{}}
	for i, cells := range s.Rows {
		if len(cells) > 0 {
			e.rows[s.rowPlace(i).Row] = i
		}
	}
	if e.header < 0 {
		e.header = len(s.Rows)
		var titles []Cell
		for _, c := range cols {
			if c.Required {
				titles = append(titles, Cell{Kind: Text, Text: c.Key})
			}
		}
		s.Rows = append(s.Rows, nil)
		s.Rows[e.header] = titles
		for i := range titles {
			titles[i].Place = s.rowPlace(e.header)
			titles[i].Place.Col = i + 1
		}
	}
	e.t, _ = s.Table(cols)
	return e
}

// Cell returns a cell of a row, and whether the table has the row.
func (e *Editor) Cell(row int, head string) (Cell, bool) {
	i, known := e.rows[row]
	if !known {
		return Cell{}, false
	}
	if col := e.column(head, false); col >= 0 && col < len(e.s.Rows[i]) && !e.s.Rows[i][col].Merged {
		return e.s.Rows[i][col], true
	}
	return Cell{}, true
}

// Put types into a cell of a row; a column that is not there is added.
func (e *Editor) Put(row int, head string, c Cell) {
	if i, known := e.rows[row]; known {
		e.set(i, e.column(head, true), c)
	}
}

// Remove clears a row.
func (e *Editor) Remove(row int) {
	if i, known := e.rows[row]; known {
		e.s.Rows[i] = nil
	}
}

// Append types a row below the table. Its place is that of the row where it was typed,
// and so is that of the cells that it lacks.
func (e *Editor) Append(at estimate.Place, heads []string, cells map[string]Cell) {
	i := len(e.s.Rows)
	e.s.Rows = append(e.s.Rows, nil)
	at.Column = ""
	for _, head := range heads {
		if c, there := cells[head]; there && !c.Blank() {
			e.set(i, e.column(head, true), c)
		}
	}
	at.Col = 0
	for k := range e.s.Rows[i] {
		if c := &e.s.Rows[i][k]; c.Blank() {
			c.Place = at
		}
	}
	for len(e.s.Rows[i]) < len(e.s.Rows[e.header]) {
		e.s.Rows[i] = append(e.s.Rows[i], Cell{Place: at})
	}
}

// set puts a cell at its place, and fills up what is before it.
func (e *Editor) set(i, col int, c Cell) {
	row := slices.Clone(e.s.Rows[i])
	for len(row) <= col {
		at := e.s.place()
		at.Row, at.Col = i+1, len(row)+1
		if len(row) > 0 {
			at = row[0].Place
			at.Col = len(row) + 1
		}
		row = append(row, Cell{Place: at})
	}
	row[col], e.s.Rows[i] = c, row
}

// column returns the index of a column by its head or, of one that nobody asks for, by
// its title; -1 when it is not there and not to be added.
func (e *Editor) column(head string, add bool) int {
	fold := FoldHeader(head)
	for key, i := range e.t.columns {
		if FoldHeader(key) == fold {
			return i
		}
	}
	for i, c := range e.s.Rows[e.header] {
		if !c.Blank() && FoldHeader(c.Text) == fold {
			return i
		}
	}
	if !add {
		return -1
	}
	title := head
	for _, c := range e.cols {
		if FoldHeader(c.Key) == fold {
			title = c.Key
		}
	}
	width := 0
	for _, row := range e.s.Rows {
		width = max(width, len(row))
	}
	at := e.s.rowPlace(e.header)
	at.Col = width + 1
	e.set(e.header, width, Cell{Kind: Text, Text: title, Place: at})
	return width
}
