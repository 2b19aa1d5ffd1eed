package workbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// maxTyped is how many cells of a sheet are named one by one that hold something else
// than a result.
const maxTyped = 12

// inPlace are the columns of results that are read, by the sheet: what is typed there is
// used, or reported where it is read.
var inPlace = map[string][]string{"Materials": {"Supplier", "Computed", "Override", "Count", "Unit price", "Key"}, "Orders": {"Buy at", "Key"}}

// wordsOnly are sheets whose words follow from the file's name and from its problems, so
// that only their formulas are looked at; rowless those on which people tick, note and
// delete what they print.
var (
	wordsOnly = []string{"Summary", "Checks"}
	rowless   = []string{"Materials", "Summary", "Checks", "Cut list", "Boards", "Offcuts", "Frames", "Install", "Receiving", "On hold"}
)

// IsLookedAt reports whether TypedOver looks at a sheet of that name.
func IsLookedAt(name string) bool {
	return slices.ContainsFunc(estimateSheets(), func(s estimateSheet) bool { return s.instead != "" && strings.EqualFold(s.name, name) })
}

// TypedOver names the cells of an estimate that hold something else than the results
// that were written there, and says that it is not used. Now is the estimate as it is, was
// the same as it was written. Changed says that its inputs are not what they were: the
// values of a sheet without formulas may then follow from that, and are not looked at.
// Unsure says that it is not known what its inputs were, nor which version wrote it: then
// values over formulas are looked for alone.
func TypedOver(now, was *sheet.Book, changed, unsure bool) (problems []estimate.Problem) {
	for _, s := range estimateSheets() {
		a, b := now.Sheet(s.name), was.Sheet(s.name)
		if s.instead == "" || b == nil {
			continue
		}
		if a == nil && unsure {
			continue
		}
		if a == nil {
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: now.File, Sheet: s.name},
				What: "this sheet of results is gone or has another name; it is not read"})
			continue
		}
		c := comparedSheet{estimateSheet: s, now: a, was: b, changed: changed || unsure, unsure: unsure}
		found := c.compare()
		if len(found) > maxTyped {
			p := found[0]
			p.What = fmt.Sprintf("%d cells or rows hold something else than the results that were written; the first is here, and none is used", len(found))
			found = []estimate.Problem{p}
		}
		problems = append(problems, found...)
	}
	return problems
}

// comparedSheet is a sheet of results, as it is and as it was written.
type comparedSheet struct {
	estimateSheet
	now, was *sheet.Sheet
	changed  bool
	unsure   bool
	flat     bool // it holds no formula any more
}

func (c comparedSheet) compare() (problems []estimate.Problem) {
	isFormula := func(x sheet.Cell) bool { return x.Formula }
	c.flat = !slices.ContainsFunc(c.now.Rows, func(row []sheet.Cell) bool { return slices.ContainsFunc(row, isFormula) })
	rows, added := c.pairs()
	skipped := c.skipped()
	gone := 0
	for i, row := range c.was.Rows {
		at, there := rows[i]
		if !there {
			gone += min(1, len(numbers(row))) // rows of words and blank ones are no loss
			continue
		}
		for col, cell := range row {
			if skipped[col] && (c.name == "Materials" || !cell.Formula) { // below Buy at stand fees
				continue
			}
			if p, typed := c.typed(cellAt(c.now, at, col), cell); typed {
				problems = append(problems, p)
			}
		}
	}
	if c.unsure || slices.Contains(rowless, c.name) {
		return problems
	}
	for _, i := range added {
		if filled := numbers(c.now.Rows[i]); len(filled) > 0 {
			problems = append(problems, c.problem(filled[0].Place, "a row was added to the results; it is not used"))
		}
	}
	if gone > 0 {
		at := estimate.Place{File: c.now.File, Sheet: c.now.Name}
		problems = append(problems, c.problem(at, fmt.Sprintf("%d of its rows are gone; what they stand for is counted all the same", gone)))
	}
	return problems
}

func (c comparedSheet) problem(at estimate.Place, what string) estimate.Problem {
	return estimate.Problem{Place: at, Severity: estimate.Warning, What: what, Do: c.instead}
}

// typed says what is wrong with a cell that should hold what was written there.
func (c comparedSheet) typed(now, was sheet.Cell) (estimate.Problem, bool) {
	switch {
	case was.Formula && (now.Formula || c.flat && (c.changed || now.Blank())), now.Kind == sheet.Uncalculated:
		return estimate.Problem{}, false
	case !was.Formula && (c.unsure || was.Blank() || slices.Contains(wordsOnly, c.name)):
		return estimate.Problem{}, false
	case sameResult(now, was):
		return estimate.Problem{}, false
	case now.Blank() && !was.Formula && was.Kind != sheet.Number:
		return estimate.Problem{}, false
	case now.Blank():
		return c.problem(now.Place, fmt.Sprintf("the result %q was cleared; it is counted all the same", sheet.Excerpt(was.Word()))), true
	}
	over := fmt.Sprintf("the result %q", sheet.Excerpt(was.Word()))
	if was.Blank() {
		over = "a result that is empty"
	}
	return c.problem(now.Place, fmt.Sprintf("%q is typed over %s and is not used", sheet.Excerpt(now.Word()), over)), true
}

// skipped are the columns that are read.
func (c comparedSheet) skipped() map[int]bool {
	out := map[int]bool{}
	for _, row := range c.was.Rows[:min(len(c.was.Rows), firstRow)] {
		for col, cell := range row {
			if slices.Contains(inPlace[c.name], cell.Word()) {
				out[col] = true
			}
		}
	}
	return out
}

// cellAt is a cell of a sheet, an empty one where it has none.
func cellAt(s *sheet.Sheet, row, col int) sheet.Cell {
	if row < len(s.Rows) && col < len(s.Rows[row]) {
		return s.Rows[row][col]
	}
	return sheet.Cell{Place: estimate.Place{File: s.File, Sheet: s.Name, Row: row + 1, Col: col + 1}}
}

// sameResult reports whether two cells hold the same. Other programs store a number with
// fewer digits, and a number as a text.
func sameResult(a, b sheet.Cell) bool {
	x, isNumberA := numberOf(a)
	y, isNumberB := numberOf(b)
	if isNumberA && isNumberB {
		return math.Abs(x-y) <= 1e-9*math.Max(1, math.Abs(x))
	}
	return a.Blank() && b.Blank() || strings.EqualFold(a.Word(), b.Word())
}

func numberOf(c sheet.Cell) (float64, bool) {
	if c.Kind == sheet.Number || c.Kind == sheet.Date {
		return c.Number, true
	}
	v, err := strconv.ParseFloat(c.Word(), 64)
	return v, err == nil && c.Kind == sheet.Text
}

// numbers are the cells of a row that hold a number or a formula.
func numbers(row []sheet.Cell) (out []sheet.Cell) {
	for _, c := range row {
		if c.Kind == sheet.Number || c.Formula {
			out = append(out, c)
		}
	}
	return out
}

// ahead is how many rows further on a row is looked for.
const ahead = 100

// pairs finds the rows that were written among those that are there: rows may have been
// inserted and deleted. Added are the others. Blank rows are none.
func (c comparedSheet) pairs() (rows map[int]int, added []int) {
	rows = map[int]int{}
	now, was := filledRows(c.now), filledRows(c.was)
	next := 0
	for i, row := range was {
		if next >= len(now) {
			break
		}
		like := func(i, k int) float64 { return likeness(c.was.Rows[was[i]], c.now.Rows[now[k]]) }
		at := next
		if best := like(i, next); best < 1 {
			for k := next + 1; k < min(len(now), next+ahead); k++ {
				if l := like(i, k); l > best {
					best, at = l, k
				}
			}
			gone := false // a later one stands here
			for k := i + 1; k < min(len(was), i+ahead) && !gone; k++ {
				gone = like(k, next) > best
			}
			if gone {
				continue
			}
		}
		added = append(added, now[next:at]...)
		rows[row], next = now[at], at+1
	}
	return rows, append(added, now[next:]...)
}

// filledRows are the indices of the rows of a sheet that hold anything.
func filledRows(s *sheet.Sheet) (out []int) {
	for i, row := range s.Rows {
		if slices.ContainsFunc(row, func(c sheet.Cell) bool { return !c.Blank() || c.Formula }) {
			out = append(out, i)
		}
	}
	return out
}

// likeness is which part of the values that were written in a row stand in another.
func likeness(was, now []sheet.Cell) float64 {
	same, all := 0, 0
	for col, c := range was {
		if c.Blank() || c.Formula {
			continue
		}
		all++
		if col < len(now) && !now[col].Formula && sameResult(now[col], c) {
			same++
		}
	}
	if all == 0 {
		return 1
	}
	return float64(same) / float64(all)
}
