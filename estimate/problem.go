package estimate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Severity says what a Problem costs.
type Severity int

// A note informs, a warning asks for a look, an error cost the row (or the
// job) it stands at.
const (
	Note Severity = iota
	Warning
	Error
)

// String returns the word printed for the severity.
func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// Place is where in the user's files something stands. A worksheet cell has
// Sheet, Row and Col; a line of a CSV file has no Sheet, its Row is the
// physical line and Column the header. Row and Col count from 1; 0 means the
// whole sheet or file.
type Place struct {
	File   string // base name of the file
	Sheet  string
	Row    int
	Col    int
	Column string // header of the column, as the user wrote it
}

// String returns the place as a reader finds it: "job.xlsx: Openings!F12",
// "prices.csv: line 12, price".
func (p Place) String() string {
	var b strings.Builder
	b.WriteString(p.File)
	where := ""
	switch {
	case p.Sheet != "" && p.Row > 0 && p.Col > 0:
		where = quoteSheet(p.Sheet) + "!" + CellName(p.Row, p.Col)
	case p.Sheet != "" && p.Row > 0:
		where = fmt.Sprintf("%s row %d", quoteSheet(p.Sheet), p.Row)
	case p.Sheet != "" && p.Col > 0:
		where = quoteSheet(p.Sheet) + "!" + columnName(p.Col)
	case p.Sheet != "":
		where = quoteSheet(p.Sheet)
	case p.Row > 0 && p.Column != "":
		where = fmt.Sprintf("line %d, %s", p.Row, p.Column)
	case p.Row > 0:
		where = fmt.Sprintf("line %d", p.Row)
	case p.Column != "":
		where = p.Column
	}
	if b.Len() > 0 && where != "" {
		b.WriteString(": ")
	}
	b.WriteString(where)
	return b.String()
}

// CellName returns the A1 name of a cell; row and col count from 1.
func CellName(row, col int) string { return fmt.Sprintf("%s%d", columnName(col), row) }

func columnName(col int) string {
	name := ""
	for ; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

// quoteSheet returns a sheet name as a reference writes it.
func quoteSheet(name string) string {
	plain := strings.IndexFunc(name, func(r rune) bool {
		return (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '_'
	}) < 0
	if plain {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}

// A Problem is something the estimator should know: where it stands, what is
// wrong in words that quote the value, and what to do about it.
type Problem struct {
	Place    Place
	Severity Severity
	What     string
	Do       string // advice, may be empty
}

// String returns the line printed for the problem, in the same words in which
// the Checks sheet shows it.
func (p Problem) String() string {
	var b strings.Builder
	if at := p.Place.String(); at != "" {
		b.WriteString(at)
		b.WriteString(": ")
	}
	if p.Severity != Error {
		b.WriteString(p.Severity.String())
		b.WriteString(": ")
	}
	b.WriteString(p.Sentence())
	return b.String()
}

// SortProblems orders problems by file, sheet, row and column, then by
// severity (worst first) and words, and drops repetitions.
func SortProblems(ps []Problem) []Problem {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(
			strings.Compare(a.Place.File, b.Place.File),
			strings.Compare(a.Place.Sheet, b.Place.Sheet),
			cmp.Compare(a.Place.Row, b.Place.Row),
			cmp.Compare(a.Place.Col, b.Place.Col),
			strings.Compare(a.Place.Column, b.Place.Column),
			cmp.Compare(b.Severity, a.Severity),
			strings.Compare(a.What, b.What),
			strings.Compare(a.Do, b.Do),
		)
	})
	return slices.Compact(ps)
}

// Errors reports how many of the problems are errors.
func Errors(ps []Problem) int {
	n := 0
	for _, p := range ps {
		if p.Severity == Error {
			n++
		}
	}
	return n
}

// Sentence returns what is wrong and what to do, without the place: for sheets on
// which the place stands elsewhere, or means nothing.
func (p Problem) Sentence() string {
	if p.Do == "" {
		return p.What
	}
	return p.What + " (" + p.Do + ")"
}
