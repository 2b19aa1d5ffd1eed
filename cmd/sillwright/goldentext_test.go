package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// text prints sheets for a reader: a line for each row, values between bars, and
// no row numbers, so that a row that is added changes its own line and those
// whose values or references really change. Under the heads of a table stand the
// formulas of its columns, once each:
//
//	# TakeoffRows: Mark | Qty | Item | Each opening | Total | Item so far
//	  Qty = Openings!{Qty}[{Mark}]
//	  Total = {Qty}*{Each opening}
//	  Item so far = {Total}
//	  Item so far {2} = {Item so far}[prev Item]+{Total}
//	W1 | =1 | strip-4 | 45.375 | =45.375 | =45.375
//	W1 | =1 | strip-4 | 24 | =24 | =69.375 {2}
//
// A value with = comes from the first formula of its column, or from the one
// that stands behind it: by its number, or itself if no other row has it. How
// a reference is written is told at reference.ways. The signs that fix a
// reference when it is copied ($) are left out: they change no value.
//
// Texts stand in quotes where they could be taken for something else. Columns
// without a head are named by letters. "--" is the end of a table that has more
// lines below it, or fewer rows than the workbook says.
func (b writtenBook) text(sheets ...string) string {
	b.t.Helper()
	var out []string
	for _, name := range sheets {
		out = append(out, "=== "+name)
		out = append(out, b.sheet(name).lines(b)...)
	}
	return strings.Join(out, "\n") + "\n"
}

// cellsByRow are the cells of a sheet by row and column.
type cellsByRow map[int]map[int]writtenCell

// headRow holds the heads that stand over all rows below, down to the next heads.
type headRow struct {
	row   int
	names map[int]string // with #2 behind one that stands there twice
	first int            // column of the first head
	last  int            // column of the last one
}

// tableRange is where one of the workbook's own tables stands.
type tableRange struct {
	name                    string
	head, last              int // rows
	firstColumn, lastColumn int
}

// rowKey is how a row is called: by the texts in its first columns.
type rowKey struct {
	parts []string
	nth   int  // how many rows of the sheet down to this one are called so
	sure  bool // no other row of its table is called so
}

// readSheet is a sheet with all that tells how its cells are referred to.
type readSheet struct {
	name   string
	cells  cellsByRow
	last   int
	heads  []headRow
	tables []tableRange
	keys   map[int]rowKey

	tellingColumns map[int][]int // by row of the heads
}

// sheet reads a sheet once.
func (b writtenBook) sheet(name string) *readSheet {
	b.t.Helper()
	if known, ok := b.known[name]; ok {
		return known
	}
	s := newReadSheet(name)
	for _, c := range b.cells(name) {
		s.put(c)
	}
	tables, err := b.file.GetTables(name)
	require.NoError(b.t, err)
	for _, t := range tables {
		s.addTable(b, t)
	}
	slices.SortFunc(s.tables, func(a, b tableRange) int { return a.head - b.head })
	for row := 1; row <= s.last; row++ {
		if b.areHeads(name, slices.Collect(maps.Values(s.cells[row]))) {
			s.heads = append(s.heads, newHeadRow(row, s.cells[row]))
		}
	}
	s.nameRows()
	b.known[name] = s
	return s
}

func newReadSheet(name string) *readSheet {
	return &readSheet{name: name, cells: cellsByRow{}, keys: map[int]rowKey{}, tellingColumns: map[int][]int{}}
}

func (s *readSheet) put(c writtenCell) {
	if s.cells[c.row] == nil {
		s.cells[c.row] = map[int]writtenCell{}
	}
	s.cells[c.row][c.col] = c
	s.last = max(s.last, c.row)
}

// addTable notes a table, and the formulas in it that give an empty text.
func (s *readSheet) addTable(b writtenBook, t excelize.Table) {
	from, to, _ := strings.Cut(t.Range, ":")
	firstColumn, head, err := excelize.CellNameToCoordinates(from)
	require.NoError(b.t, err)
	lastColumn, last, err := excelize.CellNameToCoordinates(to)
	require.NoError(b.t, err)
	s.tables = append(s.tables, tableRange{t.Name, head, last, firstColumn, lastColumn})
	for row := head + 1; row <= last; row++ {
		for col := firstColumn; col <= lastColumn; col++ {
			if _, there := s.cells[row][col]; there {
				continue
			}
			formula, err := b.file.GetCellFormula(s.name, estimate.CellName(row, col))
			require.NoError(b.t, err)
			if formula != "" {
				s.put(writtenCell{row, col, "", formula, true})
			}
		}
	}
}

// areHeads reports whether a row holds heads: two words or more, all of them
// white, as no other cells are.
func (b writtenBook) areHeads(sheet string, row []writtenCell) bool {
	return len(row) > 1 && !slices.ContainsFunc(row, func(c writtenCell) bool {
		return !c.text || c.formula != "" || !b.white(sheet, c)
	})
}

func (b writtenBook) white(sheet string, c writtenCell) bool {
	id, err := b.file.GetCellStyle(sheet, estimate.CellName(c.row, c.col))
	require.NoError(b.t, err)
	white, ok := b.whiteStyles[id]
	if !ok {
		style, err := b.file.GetStyle(id)
		require.NoError(b.t, err)
		white = style.Font != nil && strings.HasSuffix(style.Font.Color, "FFFFFF")
		b.whiteStyles[id] = white
	}
	return white
}

func newHeadRow(row int, cells map[int]writtenCell) headRow {
	columns := slices.Sorted(maps.Keys(cells))
	h := headRow{row, map[int]string{}, columns[0], columns[len(columns)-1]}
	times := map[string]int{}
	for _, col := range columns {
		name := oneLine(cells[col].value)
		times[name]++
		if n := times[name]; n > 1 {
			name = fmt.Sprintf("%s#%d", name, n)
		}
		h.names[col] = name
	}
	return h
}

// headsOver returns the heads that stand over a row, or in it.
func (s *readSheet) headsOver(row int) (headRow, bool) {
	i, found := slices.BinarySearchFunc(s.heads, row, func(h headRow, row int) int { return h.row - row })
	switch {
	case found:
		return s.heads[i], true
	case i > 0:
		return s.heads[i-1], true
	}
	return headRow{}, false
}

func (s *readSheet) isHead(row int) bool {
	h, ok := s.headsOver(row)
	return ok && h.row == row
}

// tableAt returns the table that a cell below its heads stands in.
func (s *readSheet) tableAt(row, col int) (tableRange, bool) {
	for _, t := range s.tables {
		if row > t.head && row <= t.last && col >= t.firstColumn && col <= t.lastColumn {
			return t, true
		}
	}
	return tableRange{}, false
}

// maxKeys is how many columns may be needed to tell the rows of a table apart.
const maxKeys = 3

// nameRows gives the rows below heads their keys: in a table of the workbook the
// fewest first columns that no two rows share, elsewhere the first text.
func (s *readSheet) nameRows() {
	inTable := map[int]bool{}
	for _, t := range s.tables {
		columns := s.keyColumns(t)
		for row := t.head + 1; row <= t.last; row++ {
			inTable[row] = true
			if s.at(row, t.firstColumn) != "" {
				s.keys[row] = rowKey{parts: s.values(row, columns)}
			}
		}
	}
	for row := range s.cells {
		if _, below := s.headsOver(row); !below || inTable[row] || s.isHead(row) {
			continue
		}
		if first := slices.Min(slices.Collect(maps.Keys(s.cells[row]))); s.cells[row][first].text {
			s.keys[row] = rowKey{parts: s.values(row, []int{first})}
		}
	}
	times := map[string]int{}
	rows := slices.Sorted(maps.Keys(s.keys))
	for _, row := range rows {
		k := s.keys[row]
		times[k.text()]++
		k.nth = times[k.text()]
		s.keys[row] = k
	}
	for _, row := range rows {
		k := s.keys[row]
		k.sure = !inTable[row] || times[k.text()] == 1
		s.keys[row] = k
	}
}

func (s *readSheet) keyColumns(t tableRange) []int {
	var columns []int
	for col := t.firstColumn; col <= t.lastColumn && len(columns) < maxKeys; col++ {
		columns = append(columns, col)
		times, twice := map[string]bool{}, false
		for row := t.head + 1; row <= t.last; row++ {
			key := strings.Join(s.values(row, columns), "/")
			twice = twice || times[key]
			times[key] = s.at(row, t.firstColumn) != ""
		}
		if !twice {
			return columns
		}
	}
	return columns[:1]
}

// at returns what a cell says, "" for nothing.
func (s *readSheet) at(row, col int) string { return s.cells[row][col].value }

func (s *readSheet) values(row int, columns []int) []string {
	out := make([]string, len(columns))
	for i, col := range columns {
		out[i] = oneLine(s.at(row, col))
	}
	return out
}

func (k rowKey) text() string { return strings.Join(k.parts, "/") }

func oneLine(s string) string { return strings.ReplaceAll(s, "\n", `\n`) }

// lines prints the sheet.
func (s *readSheet) lines(b writtenBook) []string {
	printed := s.formulas(b)
	var out []string
	blank := 0
	for row := 1; row <= s.last; row++ {
		if len(s.cells[row]) == 0 {
			blank++
			continue
		}
		if blank > 0 {
			out = append(out, fmt.Sprintf("(%d empty)", blank))
			blank = 0
		}
		switch h, ok := s.headsOver(row); {
		case !ok:
			out = append(out, s.loose(row, printed))
		case h.row == row:
			out = append(out, s.headLine(h))
			out = append(out, printed.ofColumns[row]...)
		default:
			out = append(out, s.rowLine(h, row, printed))
		}
		for _, t := range s.tables {
			if row == t.last && len(s.cells[row+1]) > 0 {
				out = append(out, "--")
			}
		}
	}
	for _, t := range s.tables {
		if len(s.cells[t.last]) == 0 {
			out = append(out, fmt.Sprintf("-- %s has empty rows at its end", t.name))
		}
	}
	return folded(out)
}

// folded writes lines that are the same as the one above as their number.
func folded(lines []string) []string {
	var out []string
	for i := 0; i < len(lines); {
		n := 1
		for i+n < len(lines) && lines[i+n] == lines[i] {
			n++
		}
		out = append(out, lines[i])
		if n > 1 {
			out = append(out, fmt.Sprintf("(%d more like it)", n-1))
		}
		i += n
	}
	return out
}

// headLine prints heads, with the table of the workbook that they belong to.
func (s *readSheet) headLine(h headRow) string {
	names := make([]string, 0, h.last-h.first+1)
	for col := h.first; col <= h.last; col++ {
		names = append(names, h.names[col])
	}
	lead := "# "
	for _, t := range s.tables {
		switch {
		case t.head != h.row:
		case t.firstColumn == h.first && t.lastColumn == h.last:
			lead = "# " + t.name + ": "
		default:
			lead = fmt.Sprintf("# %s in %s to %s: ", t.name, letters(t.firstColumn), letters(t.lastColumn))
		}
	}
	if h.first > 1 {
		lead += "from " + letters(h.first) + ": "
	}
	return lead + strings.Join(names, " | ")
}

// loose prints a row above all heads, with the letter of each cell but the first.
func (s *readSheet) loose(row int, printed printedFormulas) string {
	var out []string
	for _, col := range slices.Sorted(maps.Keys(s.cells[row])) {
		out = append(out, s.lettered(row, col, printed))
	}
	return strings.Join(out, " | ")
}

func (s *readSheet) lettered(row, col int, printed printedFormulas) string {
	cell := printed.cell(s.cells[row][col])
	if col == 1 {
		return cell
	}
	return letters(col) + ": " + cell
}

// rowLine prints a row below heads.
func (s *readSheet) rowLine(h headRow, row int, printed printedFormulas) string {
	var before, under, after []string
	for _, col := range slices.Sorted(maps.Keys(s.cells[row])) {
		switch {
		case col < h.first:
			before = append(before, s.lettered(row, col, printed))
		case col > h.last:
			after = append(after, s.lettered(row, col, printed))
		default:
			for len(under) < col-h.first {
				under = append(under, "")
			}
			under = append(under, printed.cell(s.cells[row][col]))
		}
	}
	return strings.Join(slices.Concat(before, under, after), " | ")
}

func letters(col int) string { return strings.TrimRight(estimate.CellName(1, col), "0123456789") }

// printedValue prints a value: a text in quotes where it could be taken for a number or
// for a sign of this form.
func printedValue(c writtenCell) string {
	value := oneLine(c.value)
	if !c.text || value == "" {
		return value
	}
	_, notNumber := strconv.ParseFloat(value, 64)
	signs := strings.HasPrefix(value, "=") || strings.HasPrefix(value, "#") || strings.HasPrefix(value, "(") || strings.HasPrefix(value, "--") ||
		strings.ContainsAny(value, "{}|") || strings.TrimSpace(value) != value
	if notNumber == nil || signs {
		return `"` + value + `"`
	}
	return value
}
