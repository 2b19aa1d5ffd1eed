package main

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// cellName is a reference to a cell or a range, or a text in quotes, which holds
// none. What stands before and behind tells a reference from the name of a
// function.
var cellName = regexp.MustCompile(`"(?:[^"]|"")*"|((?:'(?:[^']|'')+'|[A-Za-z_][A-Za-z0-9_.]*)!)?\$?([A-Z]{1,3})\$?([0-9]+)(?::\$?([A-Z]{1,3})\$?([0-9]+))?`)

// reference is one reference of a formula.
type reference struct {
	prefix                 string // the sheet as it is written, with its !
	sheet                  *readSheet
	row, col, toRow, toCol int
	isRange                bool
}

// dissected is a formula taken apart: a text before each reference, and one
// behind the last.
type dissected struct {
	texts      []string
	references []reference
}

func (d dissected) pattern() string { return strings.Join(d.texts, "\x00") }

// dissect takes the formula of a cell apart.
func (s *readSheet) dissect(b writtenBook, formula string) dissected {
	b.t.Helper()
	var d dissected
	done := 0
	for _, m := range cellName.FindAllStringSubmatchIndex(formula, -1) {
		if m[4] < 0 || m[0] > 0 && partOfName(formula[m[0]-1]) || m[1] < len(formula) && (partOfName(formula[m[1]]) || formula[m[1]] == '(') {
			continue
		}
		group := func(i int) string {
			if m[2*i] < 0 {
				return ""
			}
			return formula[m[2*i]:m[2*i+1]]
		}
		r := reference{prefix: group(1), sheet: s}
		if r.prefix != "" {
			r.sheet = b.sheet(strings.ReplaceAll(strings.Trim(strings.TrimSuffix(r.prefix, "!"), "'"), "''", "'"))
		}
		r.col, r.row = coordinates(b, group(2)+group(3))
		r.toCol, r.toRow = r.col, r.row
		if group(4) != "" {
			r.isRange = true
			r.toCol, r.toRow = coordinates(b, group(4)+group(5))
		}
		d.texts = append(d.texts, formula[done:m[0]])
		d.references = append(d.references, r)
		done = m[1]
	}
	d.texts = append(d.texts, formula[done:])
	return d
}

func partOfName(c byte) bool {
	return c == '_' || c == '.' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
}

func coordinates(b writtenBook, name string) (col, row int) {
	b.t.Helper()
	col, row, err := excelize.CellNameToCoordinates(name)
	if err != nil {
		b.t.Fatalf("%s: %v", name, err)
	}
	return col, row
}

// ways returns the ways to write a reference as it is seen from a cell,
// the best first. Each of them fits one cell or range only, so that another one
// is never written alike:
//
//	{Head}              in the same row
//	{Head}[head]        the head itself
//	{Head}[Key]         in the row that is called so by its first text, or, in a table of
//	                    the workbook, by its first columns, as many as tell its rows apart;
//	                    [Key#2] the second on the sheet
//	{Head}[{Item}]      in the row that is called what stands under Item in this row;
//	                    [my head/{Item}] if the first of its names is the head over this cell
//	{Head}[above]       in the row above; [below]; [-3] and [+2] in one without a name
//	{Head}[prev Item]   in the nearest row above with the same Item
//	{Head}[up Key]      in the nearest row above that is called so
//	{Head}[:]           the whole column of its table, or of its block of rows
//	{Head}[:#2]         of the second block on the sheet
//	{Head}[{Item}:]     all rows that are called so, and no others
//	{Head}[top:bottom]  all rows of the sheet
//	{Head}[first:above] from the first row of the block to the row above; also last, bottom+1
//	                    (one more than bottom), the heads of the sheet by number, or keys
//	{Head}:{Head}       from one column to the other
//
// A cell that stands above all heads keeps its name, as no row comes between there.
func (r reference) ways(from *readSheet, at writtenCell) []string {
	var out []string
	column := r.sheet.columnName(r.col, r.row)
	if r.isRange && r.toCol != r.col {
		column += ":" + r.sheet.columnName(r.toCol, r.row)
	}
	var rows []string
	switch _, below := r.sheet.headsOver(r.row); {
	case r.isRange && (r.row != r.toRow || r.col == r.toCol):
		rows = r.rangeWays(from, at)
	case !below:
		column = strings.ReplaceAll(column, ":", fmt.Sprintf("%d:", r.row)) + fmt.Sprint(r.row)
		rows = []string{""}
	default:
		rows = r.rowWays(from, at)
	}
	for _, row := range rows {
		out = append(out, r.prefix+column+row)
	}
	return out
}

// columnName is the head over a cell, or the letter of its column.
func (s *readSheet) columnName(col, row int) string {
	if h, ok := s.headsOver(row); ok && h.names[col] != "" {
		return "{" + h.names[col] + "}"
	}
	return letters(col)
}

// rowWays names one row.
func (r reference) rowWays(from *readSheet, at writtenCell) []string {
	s := r.sheet
	key, named := s.keys[r.row]
	switch {
	case s != from && named:
		return append(key.by(from, at, ""), "["+key.called()+"]")
	case s != from:
		return []string{fmt.Sprintf("[row %d]", r.row)}
	}
	mine, _ := s.headsOver(at.row)
	theirs, _ := s.headsOver(r.row)
	if r.row == at.row {
		return []string{""}
	}
	if r.row == mine.row {
		return []string{"[head]"}
	}
	var out []string
	if named && key.sure && key.nth == 1 {
		out = append(out, "["+key.called()+"]")
	}
	var near, previous []string
	switch r.row {
	case at.row - 1:
		near = []string{"[above]"}
	case at.row + 1:
		near = []string{"[below]"}
	}
	if r.row < at.row && mine.row == theirs.row {
		for _, col := range s.telling(mine) {
			if s.before(at.row, r.row, func(row int) bool { return s.cells[at.row][col].text && s.at(row, col) == s.at(at.row, col) }) {
				previous = append(previous, "[prev "+mine.names[col]+"]")
			}
		}
	}
	if s.hasTable(mine.row) {
		out = append(append(out, previous...), near...) // rows may come between
	} else {
		out = append(append(out, near...), previous...)
	}
	if named && s.before(at.row, r.row, func(row int) bool { return s.keys[row].text() == key.text() }) {
		out = append(out, "[up "+quoted(key.text())+"]")
	}
	if named {
		return append(out, "["+key.called()+"]")
	}
	return append(out, fmt.Sprintf("[%+d]", r.row-at.row))
}

// telling returns the columns below heads, those first that tell most rows apart.
func (s *readSheet) telling(h headRow) []int {
	if known, ok := s.tellingColumns[h.row]; ok {
		return known
	}
	columns := slices.Sorted(maps.Keys(h.names))
	different := map[int]map[string]bool{}
	for row := h.row + 1; row <= s.last && !s.isHead(row); row++ {
		for col, c := range s.cells[row] {
			if different[col] == nil {
				different[col] = map[string]bool{}
			}
			different[col][c.value] = true
		}
	}
	slices.SortStableFunc(columns, func(a, b int) int { return len(different[b]) - len(different[a]) })
	s.tellingColumns[h.row] = columns
	return columns
}

// before reports whether the nearest row above that a test holds for is the one
// that is looked for.
func (s *readSheet) before(from, want int, holds func(row int) bool) bool {
	for row := from - 1; row >= want; row-- {
		if holds(row) {
			return row == want
		}
	}
	return false
}

// called is the name of a row.
func (k rowKey) called() string {
	if k.nth > 1 {
		return fmt.Sprintf("%s#%d", quoted(k.text()), k.nth)
	}
	return quoted(k.text())
}

// signLike is a key that could be taken for one of the signs of reference.ways.
var signLike = regexp.MustCompile(`[][{}#:"]|^(above|below|head|first|last|here)$|^(prev|up|my|row|heads|top|bottom)\b|^[-+]?[0-9]+$`)

func quoted(key string) string {
	if signLike.MatchString(key) {
		return `"` + key + `"`
	}
	return key
}

// by names a row by what stands in the row of the cell that refers to it, or
// over it: every way to do so.
func (k rowKey) by(from *readSheet, at writtenCell, suffix string) []string {
	h, ok := from.headsOver(at.row)
	if !ok || h.row == at.row {
		return nil
	}
	ways := []string{""}
	for i, part := range k.parts {
		var longer []string
		for _, name := range from.same(h, at, part) {
			for _, way := range ways {
				if i > 0 {
					way += "/"
				}
				longer = append(longer, way+name)
			}
		}
		ways = longer
	}
	nth := ""
	if k.nth > 1 {
		nth = fmt.Sprintf("#%d", k.nth)
	}
	for i := range ways {
		ways[i] = "[" + ways[i] + nth + suffix + "]"
	}
	return ways
}

// same returns where in the row of a cell, or over it, a text stands.
func (s *readSheet) same(h headRow, at writtenCell, text string) []string {
	var out []string
	for _, col := range slices.Sorted(maps.Keys(h.names)) {
		if text != "" && col != at.col && oneLine(s.at(at.row, col)) == text {
			out = append(out, "{"+h.names[col]+"}")
		}
	}
	if text != "" && s.at(h.row, at.col) == text {
		out = append(out, "my head")
	}
	return out
}

// rangeWays names the rows of a range.
func (r reference) rangeWays(from *readSheet, at writtenCell) []string {
	s := r.sheet
	var out []string
	first, last := s.block(r.row, r.col)
	which := r.whichBlock(from, at)
	if r.row == first && r.toRow == last {
		out = append(out, "[:"+which+"]")
	}
	out = append(out, r.sameKeyWays(from, at)...)
	if top, bottom := s.filled(r.col); r.row == top && r.toRow == bottom {
		out = append(out, "[top:bottom]")
	}
	start, end := r.endWays(from, at, r.row), r.endWays(from, at, r.toRow)
	if r.row == first {
		start = "first" + which
	}
	switch {
	case r.toRow == at.row-1 && s == from:
		end = "above"
	case r.toRow == last && first <= r.row:
		end = "last" + which
	}
	return append(out, "["+start+":"+end+"]")
}

// endWays names a row at the end of a range.
func (r reference) endWays(from *readSheet, at writtenCell, row int) string {
	s := r.sheet
	_, below := s.headsOver(row)
	key, named := s.keys[row]
	_, bottom := s.filled(r.col)
	switch {
	case !below:
		return fmt.Sprint(row)
	case s == from && row == at.row:
		return "here"
	case s.isHead(row):
		return fmt.Sprintf("heads %d", slices.IndexFunc(s.heads, func(h headRow) bool { return h.row == row })+1)
	case named:
		return key.called()
	case s == from && row < bottom:
		return fmt.Sprintf("%+d", row-at.row)
	}
	return fmt.Sprintf("bottom%+d", row-bottom)
}

// block returns the first and last row of the table that a cell stands in, or of
// the rows around it with no empty one between that hold something in its
// column.
func (s *readSheet) block(row, col int) (first, last int) {
	if t, ok := s.tableAt(row, col); ok {
		return t.head + 1, t.last
	}
	for at := row; len(s.cells[at]) > 0 && !s.isHead(at); at-- {
		if s.at(at, col) != "" {
			first = at
		}
	}
	for at := row; len(s.cells[at]) > 0 && !s.isHead(at); at++ {
		if s.at(at, col) != "" {
			last = at
		}
	}
	return first, last
}

// whichBlock tells the block of a range from the others of its sheet that have
// the same head: "" for the one around the cell, and for the first one of
// another sheet.
func (r reference) whichBlock(from *readSheet, at writtenCell) string {
	s := r.sheet
	first, _ := s.block(r.row, r.col)
	if s == from && s.together(at.row, r.row) {
		return ""
	}
	n, done := 0, 0
	for row := 1; row <= r.row; row++ {
		if s.isHead(row) || s.columnName(r.col, row) != s.columnName(r.col, r.row) || row <= done {
			continue
		}
		start, end := s.block(row, r.col)
		if start == 0 || start > row {
			continue
		}
		done = end
		n++
		if start == first {
			break
		}
	}
	if n <= 1 && s != from {
		return ""
	}
	return fmt.Sprintf("#%d", n)
}

// together reports whether there are neither empty rows nor heads between two
// rows.
func (s *readSheet) together(a, b int) bool {
	for row := min(a, b); row <= max(a, b); row++ {
		if len(s.cells[row]) == 0 || s.isHead(row) {
			return false
		}
	}
	return true
}

// filled returns the first and last row below heads that hold something in a
// column.
func (s *readSheet) filled(col int) (top, bottom int) {
	for row := 1; row <= s.last; row++ {
		if _, below := s.headsOver(row); !below || s.isHead(row) || s.at(row, col) == "" {
			continue
		}
		if top == 0 {
			top = row
		}
		bottom = row
	}
	return top, bottom
}

// sameKeyWays names the rows of a range in a table of which all, and no others,
// have the same in the first column or the first columns.
func (r reference) sameKeyWays(from *readSheet, at writtenCell) []string {
	s := r.sheet
	t, ok := s.tableAt(r.row, r.col)
	if !ok || r.toRow > t.last {
		return nil
	}
	var out []string
	for n := 1; n <= maxKeys && t.firstColumn+n-1 <= t.lastColumn; n++ {
		var columns []int
		for col := t.firstColumn; len(columns) < n; col++ {
			columns = append(columns, col)
		}
		key := rowKey{parts: s.values(r.row, columns)}
		exact := true
		for row := t.head + 1; row <= t.last; row++ {
			exact = exact && slices.Equal(s.values(row, columns), key.parts) == (row >= r.row && row <= r.toRow)
		}
		if exact {
			out = append(out, key.by(from, at, ":")...)
			out = append(out, "["+quoted(key.text())+":]")
		}
	}
	return out
}

// printedFormulas are the formulas of a sheet as they are printed: those of
// columns below their heads, and what stands behind the value of each cell.
type printedFormulas struct {
	ofColumns map[int][]string
	behind    map[[2]int]string
}

// cell prints the value of a cell, and its formula where its column does not say
// it.
func (p printedFormulas) cell(c writtenCell) string {
	if c.formula == "" {
		return printedValue(c)
	}
	return "=" + printedValue(c) + p.behind[[2]int{c.row, c.col}]
}

// formulas prints the formulas of a sheet. Of the ways to write a reference the
// one is taken that most cells of the column can be written in.
func (s *readSheet) formulas(b writtenBook) printedFormulas {
	columns := map[[2]int][]writtenCell{} // by row of the heads and column
	for _, row := range slices.Sorted(maps.Keys(s.cells)) {
		h, _ := s.headsOver(row)
		for col, c := range s.cells[row] {
			if c.formula != "" {
				columns[[2]int{h.row, col}] = append(columns[[2]int{h.row, col}], c)
			}
		}
	}
	out := printedFormulas{map[int][]string{}, map[[2]int]string{}}
	at := slices.SortedFunc(maps.Keys(columns), func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	for _, place := range at {
		cells := columns[place]
		written := s.alike(b, cells)
		if place[0] == 0 {
			for i, c := range cells {
				out.behind[[2]int{c.row, c.col}] = " {" + written[i] + "}"
			}
			continue
		}
		out.number(s, place[0], cells, written)
	}
	return out
}

// number numbers the formulas of a column, those of most rows first, and of as many
// by their text, so that a new row seldom renumbers others; the first has no number.
// One that no other row has is written behind its value, unless it is the only one
// of the rows of the table, or the one above a sum.
func (p printedFormulas) number(s *readSheet, head int, cells []writtenCell, written []string) {
	times := map[string]int{}
	ofRows := map[string]bool{} // all formulas but those of the lines below a table
	for i, w := range written {
		times[w]++
		if _, ok := s.tableAt(cells[i].row, cells[i].col); ok || !s.hasTable(head) {
			ofRows[w] = true
		}
	}
	usual := len(ofRows)
	if !s.hasTable(head) && usual == 2 {
		usual = 1
	}
	repeated := slices.ContainsFunc(written, func(w string) bool { return times[w] > 1 })
	numbered := slices.SortedFunc(maps.Keys(times), func(a, b string) int { return cmp.Or(times[b]-times[a], strings.Compare(a, b)) })
	numbered = slices.DeleteFunc(numbered, func(w string) bool { return times[w] == 1 && (usual > 1 || !ofRows[w] || repeated) })
	for n, w := range numbered {
		p.ofColumns[head] = append(p.ofColumns[head], fmt.Sprintf("  %s%s = %s", strings.Trim(s.columnName(cells[0].col, head), "{}"), behindFirst(n+1), w))
	}
	for i, w := range written {
		at := [2]int{cells[i].row, cells[i].col}
		if n := slices.Index(numbered, w); n >= 0 {
			p.behind[at] = behindFirst(n + 1)
		} else {
			p.behind[at] = " {" + w + "}"
		}
	}
}

// hasTable reports whether heads are those of a table of the workbook.
func (s *readSheet) hasTable(head int) bool {
	return slices.ContainsFunc(s.tables, func(t tableRange) bool { return t.head == head })
}

func behindFirst(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(" {%d}", n)
}

// alike writes the formulas of cells in as few ways as it can.
func (s *readSheet) alike(b writtenBook, cells []writtenCell) []string {
	type chance struct {
		pattern string
		nth     int // reference of the formula
		way     string
	}
	votes := map[chance]int{}
	formulas, ways := make([]dissected, len(cells)), make([][][]string, len(cells))
	for i, c := range cells {
		formulas[i] = s.dissect(b, c.formula)
		for n, r := range formulas[i].references {
			ways[i] = append(ways[i], r.ways(s, c))
			for _, way := range slices.Compact(slices.Sorted(slices.Values(ways[i][n]))) {
				votes[chance{formulas[i].pattern(), n, way}]++
			}
		}
	}
	out := make([]string, len(cells))
	for i, f := range formulas {
		var text strings.Builder
		for n, candidates := range ways[i] {
			best := candidates[0]
			for _, way := range candidates[1:] {
				if votes[chance{f.pattern(), n, way}] > votes[chance{f.pattern(), n, best}] {
					best = way
				}
			}
			text.WriteString(f.texts[n] + best)
		}
		out[i] = text.String() + f.texts[len(f.texts)-1]
	}
	return out
}
