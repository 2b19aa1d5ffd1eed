package xlsx

import (
	"slices"
	"strings"

	"sillwright/io/xlsx/formula"
)

// Column is a column of a table whose rows are made of values of type R. A column is
// added in one place: no formula, width or check names another one by its position.
type Column[R any] struct {
	Head string // what the header shows, and what formulas name the column

	// Of a column that is made from data, such as one a supplier: what formulas name
	// it, and what is put behind its head where another column has the same.
	Key, Clash string

	Width     float64 // in digits of the body font; 0 = as the content needs
	Frozen    bool    // stays in sight; the columns before it do too
	Unprinted bool    // for the screen: it and those behind it are not printed
	Folded    bool    // under an outline that is closed
	Absent    bool    // left out of this table: another one of the same columns has it
	Aside     bool    // room at the right of the table, without header and cells
	Rerun     bool    // its inputs are drawn as those of which a change needs a new run
	Numbered  bool    // its cells are the numbers of the rows, from 1: so that they can be put back in their order
	Shared    bool    // formulas of it that name the same cells of their rows are stored once

	Cell func(R) Cell // nil: an empty cell
}

// Table writes rows of one kind below a header.
type Table[R any] struct {
	Grid
	columns []Column[R]
	cells   []Cell // of the row that is written
	shared  map[sharedKey]*sharedFormula
}

// NewTable returns a table for a sheet, which has no place there yet. Its name is
// that of the range which other programs sort and filter.
func NewTable[R any](p *Sheet, name string, columns []Column[R]) *Table[R] {
	columns = slices.DeleteFunc(slices.Clone(columns), func(c Column[R]) bool { return c.Absent })
	t := &Table[R]{Grid: Grid{sheet: p, name: name, at: map[string]int{}, rows: map[string]int{}}}
	t.printed = len(columns)
	for i, c := range columns {
		key := c.Key
		if key == "" {
			key = c.Head
		}
		if _, twice := t.at[key]; twice {
			p.out.Fail("table %s of sheet %s has two columns %q", name, p.Name, key)
		}
		t.at[key] = i + 1
		t.keys = append(t.keys, key)
		t.widths = append(t.widths, c.Width)
		if c.Frozen {
			t.frozen = i + 1
		}
		if c.Unprinted {
			t.printed = min(t.printed, i)
		}
		if !c.Aside {
			t.columns = append(t.columns, c)
		}
	}
	if slices.ContainsFunc(columns[:len(t.columns)], func(c Column[R]) bool { return c.Aside }) {
		p.out.Fail("table %s of sheet %s has a column behind the room at its right", name, p.Name)
	}
	t.nameHeads()
	return t
}

// longestHead is the longest name, made from data, that a header shows.
const longestHead = 60

// nameHeads says what the headers show. Heads made from data give way to fixed ones,
// and to those before them.
func (t *Table[R]) nameHeads() {
	t.heads = make([]string, len(t.columns))
	taken := map[string]bool{}
	for i, c := range t.columns {
		if c.Key == "" {
			t.heads[i] = c.Head
			taken[strings.ToLower(c.Head)] = true
		}
	}
	for i, c := range t.columns {
		if c.Key == "" {
			continue
		}
		head := c.Head
		if c.Clash != "" {
			head = formula.Shorten(strings.Join(strings.Fields(formula.CleanText(head)), " "), longestHead)
		}
		for c.Clash != "" && taken[strings.ToLower(head)] {
			head += c.Clash
		}
		t.heads[i] = head
		taken[strings.ToLower(head)] = true
	}
}

// Place says in which row of the sheet the header will stand, and in which order the
// rows, by their keys, will follow it: so that tables can refer to each other before
// either is written.
func (t *Table[R]) Place(header int, keys []string) {
	t.placeAt(header)
	for _, k := range keys {
		t.last++
		t.rows[k] = t.last
	}
}

// PlaceRows says in which row of the sheet the header will stand, and how many rows
// will follow it.
func (t *Table[R]) PlaceRows(header, n int) {
	t.placeAt(header)
	t.last += n
}

func (t *Table[R]) placeAt(header int) {
	t.header, t.first, t.last = header, header+1, header
}

// Beside puts the columns behind those of another table of the sheet, such as the
// numbers of a picture that covers the printed columns.
func (t *Table[R]) Beside(g *Grid) {
	t.left = g.left + len(g.heads)
	for head := range t.at {
		t.at[head] += t.left
	}
	if t.frozen > 0 {
		t.frozen += t.left
	}
}

// Header writes the header, and gives the sheet the widths of the columns.
func (t *Table[R]) Header() int {
	t.SetWidths()
	return t.HeaderOnly()
}

// HeaderOnly writes the header of a table whose columns stand below those of another
// one.
func (t *Table[R]) HeaderOnly() int {
	p := t.sheet
	if t.header == 0 {
		t.placeAt(p.Next())
	} else if t.header != p.Next() {
		p.out.Fail("table %s of sheet %s was placed at row %d and begins at %d", t.name, p.Name, t.header, p.Next())
	}
	return t.HeaderAgain()
}

// HeaderAgain writes the header once more, above the next rows, as on each of several
// cards.
func (t *Table[R]) HeaderAgain() int {
	return t.sheet.Row(append(make([]Cell, t.left), Strs(Heading, t.heads...)...)...)
}

// NoHeader gives a table without a header its place: its first row comes next.
func (t *Table[R]) NoHeader() { t.placeAt(t.sheet.Next() - 1) }

// SetWidths gives the sheet the widths of the columns, and prints those that are: of a
// table whose header is not written with Header.
func (t *Table[R]) SetWidths() {
	if t.left > 0 {
		t.sheet.out.Fail("table %s of sheet %s stands beside another one, which sets the widths", t.name, t.sheet.Name)
	}
	set := len(t.widths)
	for set > 0 && t.widths[set-1] == 0 {
		set-- // what is left to its content is so anyway
	}
	t.sheet.setWidths(t.widths[:set]...)
	if t.printed < len(t.widths) {
		t.sheet.printCols(t.printed)
	}
	folded := func(c Column[R]) bool { return c.Folded }
	if first := slices.IndexFunc(t.columns, folded); first >= 0 {
		last := first
		for i, c := range t.columns {
			if c.Folded {
				last = i
			}
		}
		t.sheet.foldColumns(first+1, last+1)
	}
}

// PrintOnly prints the columns of this table that are printed, and none of a table beside
// it.
func (t *Table[R]) PrintOnly() { t.sheet.printCols(t.printed) }

// Row writes a row and returns its number on the sheet.
func (t *Table[R]) Row(r R) int { return t.add(t.build(t.sheet.Next(), t.cells[:0], r)) }

// Keyed writes a row that is found by a key. A row that was placed must come in its
// turn.
func (t *Table[R]) Keyed(key string, r R) int {
	row := t.sheet.Next()
	if placed, ok := t.rows[key]; ok && placed != row {
		t.sheet.out.Fail("row %q of table %s was placed at %d and is written at %d", key, t.name, placed, row)
	}
	t.rows[key] = row
	return t.Row(r)
}

// Stream writes so many rows that are made when the sheet is written, one after the
// other, so that hundreds of thousands need not be held. Their columns have set widths,
// their cells no links and no other looks than those given.
func (t *Table[R]) Stream(n int, looks []Look, next func() R) {
	row := t.sheet.Next()
	t.last = max(t.last, row+n-1)
	t.sheet.stream(n, looks, func(cells []Cell) []Cell {
		cells = t.build(row, cells, next())
		row++
		return cells
	})
}

// build appends the cells of a row.
func (t *Table[R]) build(row int, cells []Cell, r R) []Cell {
	for range t.left {
		cells = append(cells, Cell{})
	}
	for i := range t.columns {
		c, column := Cell{}, &t.columns[i]
		if column.Numbered {
			c = Num(row-t.header, Key)
		} else if column.Cell != nil {
			c = column.Cell(r)
			if column.Shared && c.F != "" {
				c = t.share(c, row, t.left+i+1)
			} else {
				c = t.resolved(c, row)
			}
		}
		if column.Rerun {
			c.Look = c.Look.Rerun()
		}
		cells = append(cells, c)
	}
	return cells
}

// add writes the cells of a row. Trailing ones without a column's say are not there.
func (t *Table[R]) add(cells []Cell) int {
	t.cells = cells
	row := t.sheet.Row(cells...)
	t.last = max(t.last, row)
	return row
}

// Finish makes the rows a table that can be sorted and filtered, keeps its header in
// sight and repeats it on every printed page.
func (t *Table[R]) Finish() {
	t.KeepHeader()
	t.Filter()
}

// Seal is Finish for rows that formulas name by their places: a table without buttons
// to sort and filter it.
func (t *Table[R]) Seal() {
	t.KeepHeader()
	t.Fix()
}

// Fix makes the rows such a table, below another one of the sheet.
func (t *Table[R]) Fix() {
	t.sheet.addTable(t.name, t.header, t.last, t.left+1, t.left+len(t.columns))
	if n := len(t.sheet.Tables); n > 0 && t.sheet.Tables[n-1].name == t.name {
		t.sheet.Tables[n-1].sealed = true
	}
}

// KeepHeader keeps the header in sight and repeats it on every printed page, as of a
// table that is filled in by hand, or has sentences between its rows.
func (t *Table[R]) KeepHeader() {
	t.sheet.Freeze(t.header, t.frozen)
	t.sheet.TitleRows(t.header, t.header)
}

// Filter makes the rows a table that can be sorted and filtered.
func (t *Table[R]) Filter() {
	t.sheet.addTable(t.name, t.header, t.last, t.left+1, t.left+len(t.columns))
}

// Total writes a line under the table, by which it is found as by a key: its label in
// the first column, cells by the heads of their columns, and the look of a sum's text in
// all others.
func (g *Grid) Total(label string, cells map[string]Cell) int {
	line := g.drawn(TotalText)
	line[g.left] = Str(TotalText, label)
	g.rows[label] = g.under(line, cells)
	return g.rows[label]
}

// Foot writes a line under the table as Total does, with any look for the cells that
// are not given. It is found by the row that is returned.
func (g *Grid) Foot(others Look, cells map[string]Cell) int { return g.under(g.drawn(others), cells) }

// drawn is a line of empty cells under the columns.
func (g *Grid) drawn(l Look) []Cell {
	return append(make([]Cell, g.left), slices.Repeat([]Cell{Blank(l)}, len(g.heads))...)
}

// under writes a line with cells by the heads of their columns.
func (g *Grid) under(line []Cell, cells map[string]Cell) int {
	row := g.sheet.Next()
	for head, c := range cells {
		line[g.column(head)-1] = g.resolved(c, row)
	}
	return g.sheet.Row(line...)
}

// resolved is a cell of a row with its formula's names resolved.
func (g *Grid) resolved(c Cell, row int) Cell {
	if c.F != "" {
		c.F = g.resolve(c.F, row)
	}
	return c
}

// Nothing writes the one row of a table that has none: what it says of that, by the
// heads of the columns. It is filtered with the table.
func (g *Grid) Nothing(cells map[string]Cell) int {
	last := 0
	for head := range cells {
		last = max(last, g.column(head))
	}
	line := make([]Cell, last)
	for head, c := range cells {
		line[g.column(head)-1] = c
	}
	row := g.sheet.Row(line...)
	g.last = max(g.last, row)
	return row
}

// Put writes cells of the grid into a row that is written already, such as one above its
// header.
func (g *Grid) Put(row int, cells map[string]Cell) {
	for head, c := range cells {
		g.sheet.set(row, g.column(head), g.resolved(c, row))
	}
}

// Span is a cell that is drawn over the columns from one head to another. To is empty
// for one column.
type Span struct {
	From, To string
	Cell     Cell
	Under    Look // how the covered cells are drawn; 0 = as the cell is
	Bare     bool // the covered cells are not drawn
	Apart    bool // the covered cells are empty ones of their own, not merged
}

// Line writes spans into one row of the grid: a line of a card, or a sentence that runs
// to the edge.
func (g *Grid) Line(spans ...Span) int {
	p, row := g.sheet, g.sheet.Next()
	last := 0
	for _, s := range spans {
		last = max(last, g.column(s.end()))
	}
	cells := make([]Cell, last)
	for _, s := range spans {
		from, to, under := g.column(s.From), g.column(s.end()), s.Under
		if under == Plain {
			under = s.Cell.Look
		}
		for col := from + 1; col <= to && !s.Bare; col++ {
			cells[col-1] = Blank(under)
		}
		cells[from-1] = g.resolved(s.Cell, row)
	}
	p.Row(cells...)
	for _, s := range spans {
		if from, to := g.column(s.From), g.column(s.end()); to > from && !s.Apart {
			p.merge(row, from, row, to)
		}
	}
	return row
}

func (s Span) end() string {
	if s.To == "" {
		return s.From
	}
	return s.To
}

// Notes attaches notes to headers, by the heads of their columns.
func (g *Grid) Notes(words map[string]string) {
	for _, head := range g.keys {
		if w := words[head]; w != "" {
			g.sheet.noteAt(g.Head(head).Local(), w)
		}
	}
}

// Banner writes a line over all printed columns of the grid.
func (g *Grid) Banner(l Look, words string) int { return g.sheet.banner(l, words, g.printed) }
