package xlsx

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/io/xlsx/formula"
)

// Ref is a cell or a range of a sheet, as formulas, checks and pictures name it.
type Ref struct {
	sheet   *Sheet
	area    formula.Area
	several bool // a range, even of one cell
}

// String returns the reference as any sheet can write it, fixed: Job!$B$5, or
// Job!$B$5:$B$9.
func (r Ref) String() string { return r.sheet.Quoted + "!" + r.Fixed() }

// Moving returns the reference as any sheet can write it, without the signs that
// fix it: Job!B5. Of a range it is only good for a formula that nobody copies.
func (r Ref) Moving() string { return r.sheet.Quoted + "!" + r.Local() }

// Local returns the reference as its own sheet writes it: B5, or B5:B9.
func (r Ref) Local() string {
	if !r.several {
		return formula.Cell(r.area.Row, r.area.Col)
	}
	return formula.Range(r.area.Row, r.area.Col, r.area.Row2, r.area.Col2)
}

// Fixed returns the reference as its own sheet writes it, fixed: $B$5.
func (r Ref) Fixed() string {
	if !r.several {
		return formula.AbsCell(r.area.Row, r.area.Col)
	}
	return formula.AbsRange(r.area.Row, r.area.Col, r.area.Row2, r.area.Col2)
}

// FixedRow returns a cell as its own sheet writes it, with its row fixed: B$5.
func (r Ref) FixedRow() string {
	return fmt.Sprintf("%s$%d", formula.Column(r.area.Col), r.area.Row)
}

// FixedColumn returns a cell as its own sheet writes it, with its column fixed:
// $B5. Beginning at the first row of a range, a conditional format follows its rows
// so.
func (r Ref) FixedColumn() string {
	return fmt.Sprintf("$%s%d", formula.Column(r.area.Col), r.area.Row)
}

// To returns the range from one reference of a sheet to another.
func (r Ref) To(end Ref) Ref {
	r.area.Row2, r.area.Col2, r.several = end.area.Row2, end.area.Col2, true
	return r
}

// Grid is where the columns and rows of a table lie. Formulas on any sheet name its
// cells by the key of a row and the head of a column. What is not there is a fault of
// the workbook, which Bytes reports.
type Grid struct {
	sheet   *Sheet
	name    string
	heads   []string       // as shown
	keys    []string       // what formulas name the columns, in their order
	at      map[string]int // column by what formulas name it
	header  int            // row of the header, 0 = not placed yet
	first   int            // row below the header
	last    int            // last row, of those placed or written
	rows    map[string]int // by key
	left    int            // columns of the sheet before the first
	printed int            // columns
	frozen  int            // columns
	widths  []float64
}

// column returns the number of a column, and 1 with a fault where there is none.
func (g *Grid) column(head string) int {
	col, ok := g.at[head]
	if !ok {
		g.sheet.out.Fail("table %s of sheet %s has no column %q", g.name, g.sheet.Name, head)
		return 1
	}
	return col
}

// row returns the row of a key, and the first one with a fault where there is none.
func (g *Grid) row(key string) int {
	row, ok := g.rows[key]
	if !ok {
		g.sheet.out.Fail("table %s of sheet %s has no row %q", g.name, g.sheet.Name, key)
		return g.first
	}
	return row
}

func (g *Grid) ref(row, col, row2, col2 int, several bool) Ref {
	if g.header == 0 && g.first == 0 {
		g.sheet.out.Fail("table %s of sheet %s is referred to before it has a place", g.name, g.sheet.Name)
	}
	return Ref{g.sheet, formula.Area{Row: row, Col: col, Row2: row2, Col2: col2}, several}
}

// At returns the cell of a column in the row of a key.
func (g *Grid) At(key, head string) Ref { return g.Cell(g.row(key), head) }

// Cell returns the cell of a column in a row of the sheet, as Row returned it.
func (g *Grid) Cell(row int, head string) Ref {
	col := g.column(head)
	return g.ref(row, col, row, col, false)
}

// Has reports whether the table has a row of a key.
func (g *Grid) Has(key string) bool { _, ok := g.rows[key]; return ok }

// HasColumn reports whether the table has a column of a head.
func (g *Grid) HasColumn(head string) bool { _, ok := g.at[head]; return ok }

// Head returns the header cell of a column.
func (g *Grid) Head(head string) Ref { return g.Cell(g.header, head) }

// Shown returns the header of a column as the sheet shows it: one made from data may
// have been renamed.
func (g *Grid) Shown(head string) string {
	if i := g.column(head) - 1 - g.left; i < len(g.heads) {
		return g.heads[i]
	}
	return ""
}

// Column returns all rows of a column, as far as they are placed or written; of a
// table without rows, the place of its first one.
func (g *Grid) Column(head string) Ref { return g.Rows(g.first, g.last, head) }

// Rows returns a column from one row of the sheet to another, at least one row.
func (g *Grid) Rows(first, last int, head string) Ref {
	col := g.column(head)
	return g.ref(first, col, max(first, last), col, true)
}

// Across returns the cells of a row from one column to another.
func (g *Grid) Across(row int, from, to string) Ref {
	return g.ref(row, g.column(from), row, g.column(to), true)
}

// Block returns the cells of some rows from one column to another.
func (g *Grid) Block(first, last int, from, to string) Ref {
	return g.ref(first, g.column(from), max(first, last), g.column(to), true)
}

// RowOf returns the row of a key.
func (g *Grid) RowOf(key string) int { return g.row(key) }

// Heads returns what formulas name the columns, in their order.
func (g *Grid) Heads() []string { return slices.Clone(g.keys) }

// Written returns the cell of a row that is written, by the head of its column.
func (g *Grid) Written(row int, head string) Cell { return g.sheet.at(row, g.column(head)) }

// Down returns the columns from one head to another, from the header to the end of the
// sheet.
func (g *Grid) Down(from, to string) Ref { return g.Block(g.header, formula.MaxRows, from, to) }

// Filled counts the cells of the same range that hold something.
func (g *Grid) Filled(from, to string) (n int) {
	for row := g.header; row <= len(g.sheet.Rows); row++ {
		for col := g.column(from); col <= g.column(to); col++ {
			if c := g.sheet.at(row, col); c.F != "" || c.V != nil && c.V != "" {
				n++
			}
		}
	}
	return n
}

// Sum is a formula: the sum of a column, "0" where the table has no row.
func (g *Grid) Sum(head string) string { return g.SumRows(g.first, g.last, head) }

// SumRows is a formula for the table's own sheet: the sum of a column from one row to
// another, "0" where there is none.
func (g *Grid) SumRows(first, last int, head string) string {
	if last < first {
		return "0"
	}
	return "SUM(" + g.Rows(first, last, head).Local() + ")"
}

// Empty reports whether the table has no row.
func (g *Grid) Empty() bool { return g.last < g.first }

// First and Last return the first and last row of the table on its sheet.
func (g *Grid) First() int { return g.first }

// Last returns the last row of the table on its sheet.
func (g *Grid) Last() int { return g.last }

// PrintedPixels returns how wide the printed columns are on a screen.
func (g *Grid) PrintedPixels() int { return PixelsOf(g.widths[:g.printed]) }

// Pixels returns how wide the columns are, up to one of them, on a screen.
func (g *Grid) Pixels(last string) int { return PixelsOf(g.widths[:g.column(last)]) }

// resolve puts the cells of a row in the place of what a formula names:
//
//	{Count}          the cell of the column in this row
//	{^Count}         the cell above it
//	{Amount@tax}     the cell of the column in the row of a key
//	{Part 1..Waste}  the cells of this row from one column to another
//
// What stands in quotes is left as it is.
func (g *Grid) resolve(f string, row int) string {
	if strings.IndexByte(f, '{') < 0 {
		return f
	}
	b := make([]byte, 0, len(f)+16)
	quoted := false
	for i := 0; i < len(f); i++ {
		switch {
		case f[i] == '"':
			quoted = !quoted
		case f[i] == '{' && !quoted:
			end := strings.IndexByte(f[i:], '}')
			if end < 0 {
				g.sheet.out.Fail("formula %q of table %s leaves a brace open", f, g.name)
				return f
			}
			b = g.appendNamed(b, f[i+1:i+end], row)
			i += end
			continue
		}
		b = append(b, f[i])
	}
	return string(b)
}

// appendNamed appends the cell that a formula names, or the range.
func (g *Grid) appendNamed(b []byte, name string, row int) []byte {
	if above, is := strings.CutPrefix(name, "^"); is {
		return formula.AppendCell(b, row-1, g.column(above))
	}
	if head, key, keyed := strings.Cut(name, "@"); keyed {
		return formula.AppendCell(b, g.row(key), g.column(head))
	}
	if from, to, isRange := strings.Cut(name, ".."); isRange {
		return formula.AppendCell(append(formula.AppendCell(b, row, g.column(from)), ':'), row, g.column(to))
	}
	return formula.AppendCell(b, row, g.column(name))
}
