package sheet

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
)

// headerRows is among how many first rows the header is looked for.
const headerRows = 30

// LineNo heads the numbers of rows that an estimate puts at the end of its input
// tables. They are no input, and no part of a row.
const LineNo = "Line No."

// Column is a column that a table is searched for.
type Column struct {
	Key      string                   // the header as we write it ("Frame width")
	Synonyms []string                 // other headers taken for it
	Fits     func(header string) bool // whether a header that is nobody's is taken for it; nil = none
	Required bool
	Missing  string // advice when it is required and missing; "" = add it
	Aside    bool   // it is known so that it is not passed over; nobody who mistypes a header means it
}

// Table is the rows under a header row.
type Table struct {
	Rows   []Row
	Header map[string]Cell // header cell of each column found, by Key
	Blank  int             // blank rows passed over between data
	Longer []Row           // lines of a CSV file with more fields than the header; they are not among Rows

	struck  []estimate.Place // rows that are struck out whole
	titles  []Cell           // the header row
	above   []Cell           // the filled cells of the rows above it
	columns map[string]int   // index of each column found, by Key
	keys    map[int]string   // the inverse
	twice   map[int]string   // further columns of one that is there: their keys, by index
	numbers int              // index of the column of line numbers, -1 = none
}

// Row is one row of a table.
type Row struct {
	Place  estimate.Place // Row set, Col 0
	Hidden bool

	table *Table
	cells []Cell
}

// Table finds the header row, the one among the first 30 that has all required
// columns and most of the others, and returns the rows under it. Titles may
// stand above.
//
// Columns that nobody asked for are reported once each and given by Row.Extra.
// When the header row or a required column is missing the table has no rows
// and an error says so. A header that appears twice is an error too; its first
// column is then used. So is a line of a CSV file with more fields than the header, which
// is no row.
func (s *Sheet) Table(cols []Column) (*Table, []estimate.Problem) {
	m := newMatcher(cols)
	t, at, ps := s.header(m)
	if at < 0 {
		return t, []estimate.Problem{s.problem(estimate.Error,
			fmt.Sprintf("there is no row of column headers among the first %d rows", headerRows),
			"write a row with "+Quoted(m.wanted()))}
	}
	for _, c := range slices.Concat(s.Rows[:at]...) {
		if !c.Blank() && !c.Merged {
			t.above = append(t.above, c)
		}
	}
	t.numbers = slices.IndexFunc(t.titles, func(c Cell) bool { return c.Word() == LineNo })
	if missing := m.missing(t); len(missing) > 0 {
		return t, append(ps, s.missingProblem(t, at, missing, m.cols))
	}
	ps = append(ps, t.unknown(s, at, cols)...)
	ps = append(ps, s.LongerProblems(t.readRows(s, at+1))...)
	ps = append(ps, t.struckNotes()...)
	ps = append(ps, t.damagedNotes()...)
	ps = append(ps, t.formatNotes()...)
	ps = append(ps, s.hiddenNotes(t)...)
	return t, append(ps, s.mergedWarnings(t, at+1)...)
}

// header returns a table with its header alone, the index of its row, and which headers
// come twice; -1 where no row is one.
func (s *Sheet) header(m matcher) (*Table, int, []estimate.Problem) {
	t := &Table{Header: map[string]Cell{}, columns: map[string]int{}, keys: map[int]string{}, twice: map[int]string{}, numbers: -1}
	at := m.headerRow(s.Rows)
	if at < 0 {
		return t, at, nil
	}
	t.titles = shortTitles(s.Rows[at])
	return t, at, t.match(m)
}

// Headers returns the header cells of columns that the sheet has, by their keys: those of
// its table, without its rows.
func (s *Sheet) Headers(cols []Column) map[string]Cell {
	t, _, _ := s.header(newMatcher(cols))
	return t.Header
}

// maxTitle is how many letters of a header are looked at: no header is longer.
const maxTitle = 500

// headed returns the cell with its column's header in its place.
func (c Cell) headed(title Cell) Cell {
	c.Place.Column = title.Word()
	return c
}

func (s *Sheet) place() estimate.Place { return estimate.Place{File: s.File, Sheet: s.Name} }

func (s *Sheet) problem(sev estimate.Severity, what, do string) estimate.Problem {
	return estimate.Problem{Place: s.place(), Severity: sev, What: what, Do: do}
}

// rowPlace returns the place of Rows[i] as a whole: of one that an Editor brought from
// another file, its place there.
func (s *Sheet) rowPlace(i int) estimate.Place {
	p := s.place()
	if cells := s.Rows[i]; len(cells) > 0 && cells[0].Place.File != "" && cells[0].Place.File != s.File {
		p = cells[0].Place
		p.Col, p.Column = 0, ""
		return p
	}
	p.Row = i + 1
	if s.Name == "" && len(s.Rows[i]) > 0 {
		p.Row = s.Rows[i][0].Place.Row
	}
	return p
}

// title returns the header cell of a column, blank when there is none.
func (t *Table) title(s *Sheet, at, i int) Cell {
	if i < len(t.titles) {
		return t.titles[i]
	}
	p := s.rowPlace(at)
	p.Col = i + 1
	return Cell{Place: p}
}

// firstFilled returns the first filled cell of a column, below a header of so many fields.
func (s *Sheet) firstFilled(from, col, width int) (Cell, bool) {
	for _, row := range s.Rows[from:] {
		if _, longer := s.Longer(row, width); longer {
			continue
		}
		if col < len(row) && !row[col].Blank() && !row[col].Merged {
			return row[col], true
		}
	}
	return Cell{}, false
}

// readRows takes the rows from an index on that are not blank. It returns a cell of each
// line that has more fields than the header.
func (t *Table) readRows(s *Sheet, from int) (longer []Cell) {
	blank := 0
	for i := from; i < len(s.Rows); i++ {
		if t.isBlank(s.Rows[i]) {
			blank++
			continue
		}
		p := s.rowPlace(i)
		t.Blank += blank
		blank = 0
		if AllStruck(t.withoutNumber(s.Rows[i])) {
			t.struck = append(t.struck, p)
			continue
		}
		r := Row{Place: p, Hidden: s.HiddenRows[p.Row], table: t, cells: s.Rows[i]}
		if c, long := s.Longer(s.Rows[i], len(t.titles)); long {
			longer, t.Longer = append(longer, c), append(t.Longer, r)
			continue
		}
		t.Rows = append(t.Rows, r)
	}
	return longer
}

// isBlank reports whether nothing stands in a row, but for its number.
func (t *Table) isBlank(cells []Cell) bool {
	for i, c := range cells {
		if !c.Blank() && !c.Merged && i != t.numbers {
			return false
		}
	}
	return true
}

// withoutNumber returns the cells of a row but for its number.
func (t *Table) withoutNumber(cells []Cell) []Cell {
	if t.numbers < 0 || t.numbers >= len(cells) {
		return cells
	}
	return slices.Concat(cells[:t.numbers], cells[t.numbers+1:])
}

// Titles returns the cells of the header row that are filled.
func (t *Table) Titles() []Cell {
	return slices.DeleteFunc(slices.Clone(t.titles), func(c Cell) bool { return c.Blank() || c.Merged })
}

// Under returns the texts of the filled cells under a header, whether or not it is that
// of a column.
func (t *Table) Under(header string) (texts []string) {
	fold := FoldHeader(header)
	for i, title := range t.titles {
		if FoldHeader(title.Text) != fold || title.Blank() {
			continue
		}
		for _, r := range t.Rows {
			if c := r.headed(i); !c.Blank() {
				texts = append(texts, c.Word())
			}
		}
		return texts
	}
	return nil
}

// Above returns the filled cells of the rows above the header.
func (t *Table) Above() []Cell { return t.above }

// Unheaded returns the filled cells of each column without a header.
func (t *Table) Unheaded() (columns [][]Cell) {
	width := 0
	for _, r := range t.Rows {
		width = max(width, len(r.cells))
	}
	for i := range width {
		if i < len(t.titles) && !t.titles[i].Blank() || i == t.numbers {
			continue
		}
		var cells []Cell
		for _, r := range t.Rows {
			if c := r.headed(i); !c.Blank() {
				cells = append(cells, c)
			}
		}
		columns = append(columns, cells)
	}
	return columns
}

// HasColumn reports whether the table has the column.
func (t *Table) HasColumn(key string) bool {
	_, ok := t.columns[key]
	return ok
}

// HeaderUnit returns the unit of length in the column's header, "Frame width
// (mm)" or "Frame width, mm": "mm", "in", "ft", "cm" or "m", or "" for none.
func (t *Table) HeaderUnit(key string) string {
	_, u := splitUnit(t.Header[key].Text)
	return u.String()
}

// Cell returns the row's cell in a column. It is an empty one, with the best
// place there is, when the column is absent or the row short. Of merged cells
// only the first has the value.
func (r Row) Cell(key string) Cell {
	i, ok := -1, false
	if r.table != nil {
		i, ok = r.table.columns[key]
	}
	if !ok {
		p := r.Place
		p.Column = key
		return Cell{Place: p}
	}
	return r.headed(i)
}

// Twice returns the row's filled cells in further columns with a header of the column.
func (r Row) Twice(key string) (cells []Cell) {
	if r.table == nil {
		return nil
	}
	for i, c := range r.cells {
		if r.table.twice[i] == key && key != "" && !c.Blank() && !c.Merged {
			cells = append(cells, r.headed(i))
		}
	}
	return cells
}

// Unlike returns the problem of a cell in a further column of one that is there, where it
// says something else than the cell of that.
func (c Cell) Unlike(first Cell) []estimate.Problem {
	if strings.EqualFold(c.Word(), first.Word()) {
		return nil
	}
	has := fmt.Sprintf("%s is %q", first.Place.Column, Excerpt(first.Word()))
	if first.Blank() {
		has = first.Place.Column + " is blank"
	}
	return []estimate.Problem{c.Problem(estimate.Error, fmt.Sprintf("%s is %q, and %s: which of the two holds?", c.Place.Column, Excerpt(c.Word()), has),
		"keep the right one, and clear the other")}
}

// headed returns the row's cell of a column, with the header in its place.
func (r Row) headed(i int) Cell {
	title := Cell{}
	if i < len(r.table.titles) {
		title = r.table.titles[i]
	}
	if i < len(r.cells) && !r.cells[i].Merged {
		return r.cells[i].headed(title)
	}
	p := r.Place
	p.Col = i + 1
	return Cell{Place: p}.headed(title)
}

// Extra returns the filled cells in columns that nobody asked for, with the
// header in their place.
func (r Row) Extra() []Cell {
	var extra []Cell
	for i, c := range r.cells {
		if _, used := r.table.keys[i]; !used && !c.Blank() && !c.Merged && !c.Struck() && i != r.table.numbers {
			extra = append(extra, r.headed(i))
		}
	}
	return extra
}

// Filled returns the cells of a row that hold something, in their order.
func (r Row) Filled() []Cell {
	var filled []Cell
	for i, c := range r.cells {
		if !c.Blank() && !c.Merged {
			filled = append(filled, r.headed(i))
		}
	}
	return filled
}

// TotalWords are the words before the sums under a table.
var TotalWords = []string{"total", "totals", "sum", "grand total", "subtotal", "sub total"}
