package estimate

import (
	"cmp"
	"slices"
	"strings"

	"sillwright/estimate/measure"
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

// A Problem is something the estimator should know: where it stands, what is
// wrong in words that quote the value, and what to do about it.
type Problem struct {
	Place    Place
	Severity Severity
	What     string
	Do       string // advice, may be empty
}

// String returns the problem with its place in one line, the severity in front of
// what is wrong where it is less than an error. Users see Alike.String.
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

// formProblem places what a parser said.
func formProblem(at Place, name string, err error) Problem {
	if f, ok := err.(*measure.FormError); ok {
		return Problem{at, Error, name + " " + f.What, f.Do}
	}
	return Problem{at, Error, name + ": " + err.Error(), ""}
}
