package intake

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// schedules finds the lists of a book: what stands under each header of each
// sheet.
func schedules(b *sheet.Book) ([]*list, []estimate.Problem) {
	var lists []*list
	var problems []estimate.Problem
	for _, s := range b.Sheets {
		found := blocks(s)
		at := estimate.Place{File: s.File, Sheet: s.Name}
		switch {
		case len(found) == 0 && len(s.Rows) > 0 && len(b.Sheets) > 1:
			problems = append(problems, estimate.Problem{Place: at, Severity: estimate.Note, What: "the sheet is not used: no row of headers with a size was found"})
		case len(found) > 0 && s.Hidden:
			problems = append(problems, estimate.Problem{Place: at, Severity: estimate.Note, What: "the sheet is hidden, and is read like the others"})
		}
		for i, h := range found {
			start, end := 0, len(s.Rows)
			if i > 0 {
				start = titlesAbove(s, found[i-1].bottom, h.top)
			}
			if i+1 < len(found) {
				end = titlesAbove(s, h.bottom, found[i+1].top)
			}
			lists = append(lists, newList(s, h, start, end))
		}
	}
	if len(lists) == 0 {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
			What: "there is no row of headers with a size", Do: "head the columns Mark, Qty, Width, Height and Type, or name another file"})
	}
	return mergePages(lists), problems
}

// titlesAbove returns the first of the rows right above a header that hold
// nothing or one title; they belong to it, and not to the list before.
func titlesAbove(s *sheet.Sheet, after, top int) int {
	for top > after+1 {
		r := row{cells: s.Rows[top-1]}
		if n := r.filled(); n > 1 || n == 1 && !titleLike(r.first()) {
			break
		}
		top--
	}
	return top
}

// mergePages joins lists that follow each other under the same header: the
// header was only repeated on the next page.
func mergePages(lists []*list) []*list {
	var out []*list
	headers := map[*list]string{}
	for _, l := range lists {
		headers[l] = l.headers()
		if n := len(out); n > 0 && out[n-1].at.Sheet == l.at.Sheet && headers[out[n-1]] == headers[l] {
			first := out[n-1]
			first.say(l.at, estimate.Note, "the header is repeated here and is read once", "")
			first.mayCount = append(first.mayCount, l.mayCount...)
			first.entries, first.problems = append(first.entries, l.entries...), append(first.problems, l.problems...)
			continue
		}
		out = append(out, l)
	}
	for _, l := range out {
		l.said()
	}
	return out
}

// newList reads the rows under a header, to end; titles stand from start on.
func newList(s *sheet.Sheet, h block, start, end int) *list {
	l := &list{at: h.columns[0].cell.Place}
	l.columns, l.repeated = chosen(h.columns)
	for _, c := range l.columns {
		if c.isSize() {
			l.at = c.cell.Place
			break
		}
	}
	l.titles(s, start, h.top)
	var section []string
	var longer []sheet.Cell
	width := 0
	for _, row := range s.Rows[h.top : h.bottom+1] {
		width = max(width, len(row))
	}
	down := mergedDown(s)
	hidden := 0
	inStep := slices.DeleteFunc(openingRows(s, l.columns, down, h.bottom+1, end), func(r row) bool {
		_, long := s.Longer(r.cells, width)
		return long
	})
	l.settleCounts(inStep)
	for i := h.bottom + 1; i < end; i++ {
		r := row{place: rowPlace(s, i), cells: s.Rows[i], columns: l.columns, down: down, index: i}
		if sheet.AllStruck(r.cells) {
			l.problems = append(l.problems, sheet.StruckRow(r.place))
			continue
		}
		title, what := r.passed()
		switch {
		case title != "":
			section = []string{title}
			l.say(r.place, estimate.Note, fmt.Sprintf("%q is taken for a heading", sheet.Excerpt(title)), "")
		case what != "":
			l.say(r.place, estimate.Note, what, "")
		case r.filled() > 0:
			e := l.entry(r, section)
			if c, long := s.Longer(r.cells, width); long {
				e.bad, longer = true, append(longer, c)
			}
			l.entries = append(l.entries, e)
			if s.HiddenRows[r.place.Row] {
				hidden++
			}
		}
	}
	l.problems = append(l.problems, s.LongerProblems(longer)...)
	var columns [][]sheet.Cell
	for _, c := range l.columns {
		var cells []sheet.Cell
		for i := h.bottom + 1; i < end && c.used(); i++ {
			cells = append(cells, row{place: rowPlace(s, i), cells: s.Rows[i]}.cell(c))
		}
		columns = append(columns, cells)
	}
	l.problems = append(l.problems, sheet.ShownNotes(columns)...)
	if hidden > 0 {
		l.say(l.at, estimate.Note, fmt.Sprintf("hidden rows are read like the others: %d of them", hidden), "")
	}
	return l
}

// openingRows returns the rows under a header that are neither titles nor passed over.
func openingRows(s *sheet.Sheet, columns []column, down map[spot]sheet.Cell, start, end int) (rows []row) {
	for i := start; i < end; i++ {
		r := row{place: rowPlace(s, i), cells: s.Rows[i], columns: columns, down: down, index: i}
		if title, what := r.passed(); title == "" && what == "" {
			rows = append(rows, r)
		}
	}
	return rows
}

// spot is a cell of a sheet by indices.
type spot struct{ row, col int }

// mergedDown returns, for cells below the first of an area merged over rows,
// that first cell: what it says holds for all of them.
func mergedDown(s *sheet.Sheet) map[spot]sheet.Cell {
	out := map[spot]sheet.Cell{}
	for _, a := range s.Merges {
		if a.Top < 1 || a.Top > len(s.Rows) || a.Left < 1 || a.Left > len(s.Rows[a.Top-1]) {
			continue
		}
		first := s.Rows[a.Top-1][a.Left-1]
		for row := a.Top + 1; row <= min(a.Bottom, len(s.Rows)); row++ {
			out[spot{row - 1, a.Left - 1}] = first
		}
	}
	return out
}

// titles takes what stands above a header: the context of its rows, and a unit
// declared for all of them.
func (l *list) titles(s *sheet.Sheet, start, top int) {
	for i := top - 1; i >= start; i-- {
		for _, c := range s.Rows[i] {
			if c.Kind != sheet.Text || c.Merged {
				continue
			}
			l.context = append(l.context, c.Word())
			if u := declaredIn(c.Word()); u != measure.NoUnit && l.declared == measure.NoUnit {
				l.declared, l.by = u, fmt.Sprintf("%q above the header", sheet.Excerpt(c.Word()))
			}
		}
	}
	l.context = append(l.context, s.Name, strings.TrimSuffix(s.File, filepath.Ext(s.File)))
}

var declaration = regexp.MustCompile(`(?i)\b(?:dimensions?|sizes?|units?|measurements?)\b[^.;]{0,30}?\b(inches|inch|feet|millimet(?:er|re)s?|centimet(?:er|re)s?|met(?:er|re)s?|mm|cm)\b`)

// declaredIn returns the unit that a title declares: "All dimensions in mm".
func declaredIn(title string) measure.Unit {
	m := declaration.FindStringSubmatch(title)
	if m == nil {
		return measure.NoUnit
	}
	u, _ := measure.ParseUnit(m[1])
	return u
}

// several are the fields that more than one column may hold.
var several = []field{labelField, roomField, remarkField, noteField}

// chosen keeps one column a field, the one whose header ranks first. Of two
// columns of one side and basis neither can be believed.
func chosen(all []column) (kept, repeated []column) {
	for _, c := range all {
		rival := slices.IndexFunc(all, func(o column) bool {
			return o.field == c.field && o.basis == c.basis && o.own == c.own && o.at != c.at && (c.isSize() || o.rank < c.rank || o.rank == c.rank && o.at < c.at)
		})
		if c.field != noField && rival >= 0 && !slices.Contains(several, c.field) {
			if c.isSize() && c.basis != Useless && all[rival].at < c.at {
				repeated = append(repeated, c)
			}
			c.field = unusedField
		}
		kept = append(kept, c)
	}
	return kept, repeated
}

// headers identifies a list's columns, for finding a repeated header.
func (l *list) headers() string {
	var b strings.Builder
	for _, c := range l.columns {
		fmt.Fprintf(&b, "%d:%s|", c.at, words(c.header))
	}
	return b.String()
}

// said reports what each column is taken for.
func (l *list) said() {
	var absent []string
	for _, h := range headers {
		if h.field != unusedField && !slices.ContainsFunc(l.columns, func(c column) bool { return c.field == h.field }) {
			absent = append(absent, h.words...)
		}
	}
	var idle []string
	for _, c := range l.columns {
		switch near, slip := sheet.Nearest(words(c.header), absent); {
		case c.field == noField && slip && len(near) > 3:
			l.say(c.cell.Place, estimate.Warning, fmt.Sprintf("the column %q is not used", sheet.Excerpt(c.header)), fmt.Sprintf("if %q is meant, rename it", near))
		case !c.used():
			idle = append(idle, c.header)
		default:
			l.say(c.cell.Place, estimate.Note, fmt.Sprintf("the column %q is %s", sheet.Excerpt(c.header), c.taken()), "")
		}
	}
	if !slices.ContainsFunc(l.columns, func(c column) bool { return c.field == countField }) {
		l.note("no column counts openings: each row is one")
	}
	if len(idle) > 0 {
		l.note("columns not used: " + strings.Join(idle, ", "))
	}
	for _, c := range l.repeated {
		l.say(c.cell.Place, estimate.Error, fmt.Sprintf("the header %q stands twice, and does not say of what; neither column is used",
			sheet.Excerpt(c.header)), "write what each is the size of, such as Frame width and RO width")
	}
}

// used reports whether anything is read from a column.
func (c column) used() bool {
	return c.field != noField && c.field != unusedField && c.basis != Useless
}

// takenWith says what a column is taken for; basis is that of sizes whose header
// states none.
func (c column) takenWith(basis Basis) string {
	if c.isSize() && c.basis == Unstated && basis != Unstated {
		c.basis = basis
		return c.taken() + ", by --basis"
	}
	return c.taken()
}

// taken says what a column is taken for.
func (c column) taken() string {
	what := c.field.name()
	if c.field == ownField {
		what = c.own
	}
	if c.isSize() {
		what += c.basis.of()
		if c.basis == Unstated {
			what += ", of what it does not say (--basis decides)"
		}
		if c.field == sizeField {
			what += map[bool]string{false: ", width first", true: ", height first"}[c.heightFirst]
		}
		if c.unit != measure.NoUnit {
			what += ", in " + unitNames[c.unit] + " as its header says"
		}
	}
	return what
}

// of says what a size is the size of.
func (b Basis) of() string {
	return [...]string{"", " of the frame", " of the rough opening", " by which it is called (call size, nominal or leaf)", " of something else"}[b]
}
