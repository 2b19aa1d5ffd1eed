package sheet

import (
	"fmt"
	"regexp"
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
	t := &Table{Header: map[string]Cell{}, columns: map[string]int{}, keys: map[int]string{}, twice: map[int]string{}, numbers: -1}
	m := newMatcher(cols)
	at := m.headerRow(s.Rows)
	if at < 0 {
		return t, []estimate.Problem{s.problem(estimate.Error,
			fmt.Sprintf("there is no row of column headers among the first %d rows", headerRows),
			"write a row with "+Quoted(m.wanted()))}
	}
	t.titles = shortTitles(s.Rows[at])
	for _, c := range slices.Concat(s.Rows[:at]...) {
		if !c.Blank() && !c.Merged {
			t.above = append(t.above, c)
		}
	}
	t.numbers = slices.IndexFunc(t.titles, func(c Cell) bool { return c.Word() == LineNo })
	ps := t.match(m)
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

// matcher finds columns by their headers.
type matcher struct {
	cols   []Column
	byFold map[string]int
}

// newMatcher lets a key win over another column's synonym.
func newMatcher(cols []Column) matcher {
	m := matcher{cols, map[string]int{}}
	add := func(header string, i int) {
		fold := FoldHeader(header)
		if _, taken := m.byFold[fold]; !taken && fold != "" {
			m.byFold[fold] = i
		}
	}
	for i, c := range cols {
		add(c.Key, i)
	}
	for i, c := range cols {
		for _, s := range c.Synonyms {
			add(s, i)
		}
	}
	return m
}

// column returns the index of the column that a cell is the header of. The
// copies in a merged area are no headers.
func (m matcher) column(c Cell) (int, bool) {
	if len(c.Text) > maxTitle || c.Blank() || c.Merged || c.Kind != Text && c.Kind != Number {
		return 0, false
	}
	i, ok := m.byFold[FoldHeader(c.Text)]
	if !ok {
		i = slices.IndexFunc(m.cols, func(x Column) bool { return x.Fits != nil && x.Fits(c.Word()) })
	}
	return i, i >= 0
}

// maxTitle is how many letters of a header are looked at: no header is longer.
const maxTitle = 500

// shortTitles cuts headers that are none, so that what is said of them stays short.
func shortTitles(row []Cell) []Cell {
	out := slices.Clone(row)
	for i := range out {
		if len(out[i].Text) > maxTitle {
			out[i].Text = cutAt(out[i].Text, maxTitle, "…")
		}
	}
	return out
}

// headerRow returns the index of the row that matches best, or -1.
func (m matcher) headerRow(rows [][]Cell) int {
	best, bestScore := -1, 0
	for i, row := range rows[:min(len(rows), headerRows)] {
		found := map[int]bool{}
		for _, c := range row {
			if col, ok := m.column(c); ok {
				found[col] = true
			}
		}
		score, all := len(found), true
		for col, c := range m.cols {
			all = all && (!c.Required || found[col])
		}
		if all && score > 0 {
			score += len(m.cols) // before any row that lacks a required column
		}
		if score > bestScore {
			best, bestScore = i, score
		}
	}
	return best
}

// wanted returns the required headers, or all when none is.
func (m matcher) wanted() []string {
	var required, all []string
	for _, c := range m.cols {
		all = append(all, c.Key)
		if c.Required {
			required = append(required, c.Key)
		}
	}
	if len(required) > 0 {
		return required
	}
	return all
}

func (m matcher) missing(t *Table) []string {
	var keys []string
	for _, c := range m.cols {
		if c.Required && !t.HasColumn(c.Key) {
			keys = append(keys, c.Key)
		}
	}
	return keys
}

// match takes the header row's columns and reports headers that come twice.
func (t *Table) match(m matcher) []estimate.Problem {
	var ps []estimate.Problem
	for i, c := range t.titles {
		col, ok := m.column(c)
		if !ok {
			continue
		}
		key := m.cols[col].Key
		if first, twice := t.Header[key]; twice {
			ps = append(ps, c.headed(c).Problem(estimate.Error,
				fmt.Sprintf("the columns %q in %s and %q in %s are both %s", first.Word(), position(first), c.Word(), position(c), key),
				"keep one and rename the other"))
			t.twice[i] = key
			continue
		}
		t.Header[key], t.columns[key], t.keys[i] = c, i, key
	}
	return ps
}

// position names a cell inside its file.
func position(c Cell) string {
	if c.Place.Sheet == "" {
		return fmt.Sprintf("field %d", c.Place.Col)
	}
	return estimate.CellName(c.Place.Row, c.Place.Col)
}

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

func (s *Sheet) missingProblem(t *Table, at int, missing []string, cols []Column) estimate.Problem {
	var found, unused, hints []string
	for i, c := range t.titles {
		if c.Blank() || c.Merged {
			continue
		}
		found = append(found, c.Word())
		if _, used := t.keys[i]; !used {
			unused = append(unused, c.Word())
		}
	}
	for _, key := range missing {
		if near, ok := nearestHeader(key, unused); ok {
			hints = append(hints, fmt.Sprintf("is %q meant for %s?", near, key))
		}
	}
	what, do := "the column "+Quoted(missing)+" is missing", "add it to the header row"
	if len(missing) > 1 {
		do = "add them to the header row"
		what = "the columns " + Quoted(missing) + " are missing"
	}
	for _, c := range cols {
		if c.Missing != "" && slices.Contains(missing, c.Key) {
			do = c.Missing
		}
	}
	return estimate.Problem{Place: s.rowPlace(at), Severity: estimate.Error,
		What: what + "; found " + Quoted(found),
		Do:   strings.Join(append(hints, do), " ")}
}

// nearestHeader is Nearest between headers without their units.
func nearestHeader(header string, known []string) (string, bool) {
	bare := make([]string, len(known))
	for i, k := range known {
		bare[i], _ = splitUnit(k)
	}
	rest, _ := splitUnit(header)
	near, ok := Nearest(rest, bare)
	if !ok {
		return "", false
	}
	return known[slices.Index(bare, near)], true
}

// unknown reports the columns that nobody asked for, each once: as a warning
// when the header may be a slip for one that is absent.
func (t *Table) unknown(s *Sheet, at int, cols []Column) []estimate.Problem {
	var absent []string
	for _, c := range cols {
		if !t.HasColumn(c.Key) && !c.Aside {
			absent = append(append(absent, c.Key), c.Synonyms...)
		}
	}
	var ps []estimate.Problem
	width := len(t.titles)
	for _, row := range s.Rows[at+1:] {
		if _, longer := s.Longer(row, len(t.titles)); !longer {
			width = max(width, len(row))
		}
	}
	for i := range width {
		if _, used := t.keys[i]; used || i == t.numbers {
			continue
		}
		title := t.title(s, at, i)
		if title.Blank() {
			if c, filled := s.firstFilled(at+1, i, len(t.titles)); filled {
				ps = append(ps, c.Problem(estimate.Note, fmt.Sprintf("the column of %s has no header and is not used", position(c)), ""))
			}
			continue
		}
		sev, do := estimate.Note, ""
		if title.Struck() {
			ps = append(ps, title.headed(title).Problem(estimate.Warning, fmt.Sprintf("the header %q is struck out: the column is not used", title.Word()), ""))
			continue
		}
		if near, ok := nearestHeader(title.Word(), absent); ok {
			sev, do = estimate.Warning, fmt.Sprintf("if %q is meant, rename the column", near)
		}
		ps = append(ps, title.headed(title).Problem(sev, fmt.Sprintf("the column %q is not used", title.Word()), do))
	}
	return ps
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

// struckNotes says which rows are left out because they are struck out.
func (t *Table) struckNotes() []estimate.Problem {
	var ps []estimate.Problem
	for _, p := range t.struck {
		ps = append(ps, StruckRow(p))
	}
	return ps
}

// StruckRow says that a row is left out because all of it is struck out.
func StruckRow(at estimate.Place) estimate.Problem {
	return estimate.Problem{Place: at, Severity: estimate.Warning, What: "the row is struck out and left out",
		Do: "take the line through it away if it counts"}
}

// damagedNotes reports texts that cannot be trusted, in whatever column. The
// caller who refuses the cell says the same words, and they are printed once.
// What is struck out in a column that nobody asked for is only left out.
func (t *Table) damagedNotes() []estimate.Problem {
	var ps []estimate.Problem
	for _, r := range t.Rows {
		for i, c := range r.cells {
			if c.flaw == sound || c.Merged {
				continue
			}
			p, refused := r.headed(i).Refuse()
			_, used := t.keys[i]
			switch {
			case !refused || c.Struck() && used: // the caller says how much it costs
			case c.Struck():
				ps = append(ps, r.headed(i).Problem(estimate.Note, p.What+" and left out", ""))
			default:
				ps = append(ps, p)
			}
		}
	}
	return ps
}

// formatNotes says it of the columns that are used: ShownNotes.
func (t *Table) formatNotes() []estimate.Problem {
	var columns [][]Cell
	for i := range t.titles {
		if _, used := t.keys[i]; !used {
			continue
		}
		cells := make([]Cell, len(t.Rows))
		for k, r := range t.Rows {
			cells[k] = r.headed(i)
		}
		columns = append(columns, cells)
	}
	return ShownNotes(columns)
}

// formatNote says once that cells of a column show another text than the number they
// hold, if any does. The text is read; what is shown with an exponent was probably
// typed as something else.
func formatNote(cells []Cell) []estimate.Problem {
	var first Cell
	n := 0
	for _, c := range cells {
		if c.held() == "" {
			continue
		}
		if n++; n == 1 {
			first = c
		}
	}
	what := fmt.Sprintf("the cell shows %q and holds %s; what it shows is read", first.Word(), first.held())
	switch {
	case n == 0:
		return nil
	case n > 1:
		what = fmt.Sprintf("%d cells, the first here, show another text than they hold, as %q for %s; what they show is read", n, first.Word(), first.held())
	}
	if powers.MatchString(first.Word()) {
		return []estimate.Problem{first.Problem(estimate.Warning, what,
			"if it was typed otherwise, such as 1E5 for a mark, format the cell as text and type it again")}
	}
	return []estimate.Problem{first.Problem(estimate.Note, what, "")}
}

// powers matches a number with an exponent of ten.
var powers = regexp.MustCompile(`\dE[+-]\d`)

// hiddenNotes says that hidden rows and columns are read like the others.
func (s *Sheet) hiddenNotes(t *Table) []estimate.Problem {
	var ps []estimate.Problem
	var rows []int
	for _, r := range t.Rows {
		if r.Hidden {
			rows = append(rows, r.Place.Row)
		}
	}
	switch len(rows) {
	case 0:
	case 1:
		ps = append(ps, s.problem(estimate.Note, fmt.Sprintf("1 hidden row (%d) is counted", rows[0]), ""))
	default:
		ps = append(ps, s.problem(estimate.Note, fmt.Sprintf("%d hidden rows (%s) are counted", len(rows), ranges(rows)), ""))
	}
	var columns []string
	for i := range t.titles {
		key, used := t.keys[i]
		filled := func(r Row) bool { return !r.Cell(key).Blank() }
		if used && s.HiddenCols[i+1] && slices.ContainsFunc(t.Rows, filled) {
			columns = append(columns, key)
		}
	}
	if len(columns) > 0 {
		ps = append(ps, s.problem(estimate.Note, fmt.Sprintf("hidden columns are counted: %s", strings.Join(columns, ", ")), ""))
	}
	return ps
}

// mergedWarnings reports merged cells among the data: the value counts once,
// in the first of them.
func (s *Sheet) mergedWarnings(t *Table, from int) []estimate.Problem {
	var ps []estimate.Problem
	for _, a := range s.Merges {
		if a.Top <= from || a.Top > len(s.Rows) || a.Left > len(s.Rows[a.Top-1]) {
			continue
		}
		first := s.Rows[a.Top-1][a.Left-1]
		used := 0
		for col := a.Left; col <= min(a.Right, maxCols); col++ {
			if _, ok := t.keys[col-1]; ok {
				used++
			}
		}
		if first.Blank() || first.Merged || used == 0 || used == 1 && a.Top == a.Bottom {
			continue
		}
		ps = append(ps, first.Problem(estimate.Warning,
			fmt.Sprintf("the cells %s are merged; the value counts only in %s", a, position(first)), "unmerge them and fill each cell"))
	}
	return ps
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

// ranges lists rising numbers, runs folded and at most ten of them: "5, 9,
// 12-40".
func ranges(ns []int) string {
	var parts []string
	for i := 0; i < len(ns); {
		j := i
		for j+1 < len(ns) && ns[j+1] == ns[j]+1 {
			j++
		}
		if len(parts) == 10 {
			return strings.Join(parts, ", ") + fmt.Sprintf(" and %d more", len(ns)-i)
		}
		if j > i {
			parts = append(parts, fmt.Sprintf("%d-%d", ns[i], ns[j]))
		} else {
			parts = append(parts, fmt.Sprint(ns[i]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}
