package comparison

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// notesSheet lists problems in the words that the terminal shows.
func notesSheet(p *xlsx.Sheet, how string, list []estimate.Problem) func() {
	top(p, "Notes", how)
	return func() {
		t := xlsx.NewTable(p, "ProblemList", noteColumns)
		t.Header()
		for i, x := range list {
			t.Row(note{x, i + 1})
		}
		if len(list) == 0 {
			p.Row(xlsx.Str(xlsx.Text, "nothing to report"))
		}
		t.Filter()
	}
}

// note is a problem, with its number in the list.
type note struct {
	estimate.Problem
	number int
}

var noteColumns = []xlsx.Column[note]{
	{Head: "Where", Width: 34, Cell: func(x note) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Place.String()) }},
	{Head: "Severity", Width: 12, Cell: func(x note) xlsx.Cell { return xlsx.Str(sortLook(x.Severity), x.Severity.String()) }},
	{Head: "Number", Width: 10, Cell: func(x note) xlsx.Cell { return xlsx.Num(x.number, xlsx.Count) }},
	{Head: "What is wrong, and what to do", Width: 90, Cell: func(x note) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Sentence()) }},
}

func sortLook(s estimate.Severity) xlsx.Look {
	switch s {
	case estimate.Error:
		return xlsx.Bad
	case estimate.Warning:
		return xlsx.Warn
	}
	return xlsx.TextCenter
}

// finding is a problem of one of several things, such as of an alternate.
type finding struct {
	estimate.Problem
	of string
}

// findings are problems of one thing.
func findings(of string, problems []estimate.Problem) []finding {
	out := make([]finding, len(problems))
	for i, x := range problems {
		out[i] = finding{x, of}
	}
	return out
}

// findingColumns are those of a sheet of problems that are asked about: what is wrong
// and what to do stand apart.
func findingColumns(severity, where, what, do float64) []xlsx.Column[finding] {
	return []xlsx.Column[finding]{
		{Head: "Severity", Width: severity, Cell: func(x finding) xlsx.Cell { return xlsx.Str(xlsx.Text, x.Severity.String()) }},
		{Head: "Place", Width: where, Cell: func(x finding) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Place.String()) }},
		{Head: "What", Width: what, Cell: func(x finding) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.What) }},
		{Head: "What to do", Width: do, Cell: func(x finding) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Do) }},
	}
}
