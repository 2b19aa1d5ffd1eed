package sheet

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sillwright/estimate"
)

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
		var cells []Cell
		for _, r := range t.Rows {
			if c := r.headed(i); c.held() != "" || c.unseen || c.highlight != nil {
				cells = append(cells, c)
			}
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

// powers matches a number with an exponent of ten.
var powers = regexp.MustCompile(`\dE[+-]\d`)
