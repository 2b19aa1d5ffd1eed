package sheet

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
)

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
