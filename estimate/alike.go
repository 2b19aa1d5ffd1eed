package estimate

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Alike is problems of one kind in one column of a file: what they say differs
// in nothing but the place, the mark or item named in front ("W1: ...") and
// values in quotes.
type Alike struct {
	Problem         // the first, with what the others name and quote
	Places  []Place // of all, in the order given
}

// GroupProblems puts problems that are alike together, each group where its
// first stands: a fault that goes through a column of a schedule is one line.
func GroupProblems(ps []Problem) []Alike {
	type key struct {
		file, sheet, column string
		col                 int
		severity            Severity
		what, do            string
	}
	index := map[key]int{}
	var groups [][]Problem
	for _, p := range ps {
		_, rest := cutSubject(p.What)
		k := key{p.Place.File, p.Place.Sheet, p.Place.Column, p.Place.Col, p.Severity, quotedValue.ReplaceAllString(rest, `$1""`), p.Do}
		i, known := index[k]
		if !known {
			i = len(groups)
			index[k], groups = i, append(groups, nil)
		}
		groups[i] = append(groups[i], p)
	}
	out := make([]Alike, len(groups))
	for i, g := range groups {
		out[i].Problem = g[0]
		out[i].What = sharedWords(g)
		for _, p := range g {
			out[i].Places = append(out[i].Places, p.Place)
		}
	}
	return out
}

// quotedValue finds values in quotes. A quote behind a digit is a sign for
// inches.
var quotedValue = regexp.MustCompile(`(^|[\s(])"(?:[^"\\]|\\.)*"`)

// leadingSubject finds the mark or item that a problem is about, in front of it.
var leadingSubject = regexp.MustCompile(`^[^\s:"]+: `)

// cutSubject parts what is wrong from the mark or item in front, "" if none is.
func cutSubject(what string) (subject, rest string) {
	subject = leadingSubject.FindString(what)
	return strings.TrimSuffix(subject, ": "), what[len(subject):]
}

// sharedWords says what is wrong with all problems of a group: the subjects of
// all, and of quoted values that differ the first and how many others there are.
func sharedWords(group []Problem) string {
	var subjects []string
	listedBefore := map[string]bool{}
	values := map[int]map[string]bool{} // by position in the text
	for _, p := range group {
		subject, rest := cutSubject(p.What)
		if subject != "" && !listedBefore[subject] {
			listedBefore[subject] = true
			subjects = append(subjects, subject)
		}
		for i, v := range quotedValue.FindAllString(rest, -1) {
			if values[i] == nil {
				values[i] = map[string]bool{}
			}
			values[i][v] = true
		}
	}
	_, rest := cutSubject(group[0].What)
	position := -1
	rest = quotedValue.ReplaceAllStringFunc(rest, func(v string) string {
		position++
		switch others := len(values[position]) - 1; others {
		case 0:
			return v
		case 1:
			return v + " (and 1 other)"
		default:
			return fmt.Sprintf("%s (and %d others)", v, others)
		}
	})
	if len(subjects) == 0 {
		return rest
	}
	return listed(subjects) + ": " + rest
}

// String returns the line printed for the problems: "job.csv: lines 4 to 75 (72
// rows), Kind: error: what is wrong (what to do)". A problem of the run as a whole
// has no place.
func (a Alike) String() string {
	at := placesWords(a.Places)
	if at != "" {
		at += ": "
	}
	return at + a.Severity.String() + ": " + a.Sentence()
}

// maxPlaces is after how many rows or runs of rows a line only counts the others,
// if there is more than one run of them.
const maxPlaces = 8

// placesWords returns places of one column of a file as a reader finds them.
func placesWords(places []Place) string {
	first := places[0]
	if len(places) == 1 || first.Row == 0 {
		return first.String()
	}
	rows := make([]int, len(places))
	for i, p := range places {
		rows[i] = p.Row
	}
	slices.Sort(rows)
	rows = slices.Compact(rows)
	if len(rows) == 1 {
		return first.String()
	}
	name := func(row int) string { return fmt.Sprint(row) }
	if first.Sheet != "" && first.Col > 0 {
		name = func(row int) string { return CellName(row, first.Col) }
	}
	words := fmt.Sprintf("%s (%d rows)", rowRuns(rows, name), len(rows))
	switch {
	case first.Sheet != "" && first.Col > 0:
		words = quoteSheet(first.Sheet) + "!" + words
	case first.Sheet != "":
		words = quoteSheet(first.Sheet) + " rows " + words
	case first.Column != "":
		words = "lines " + words + ", " + first.Column
	default:
		words = "lines " + words
	}
	if first.File != "" {
		words = first.File + ": " + words
	}
	return words
}

// rowRuns lists rows, which are sorted, those that follow each other as a run:
// "F12, F14 to F20".
func rowRuns(rows []int, name func(int) string) string {
	var runs []string
	for i := 0; i < len(rows); {
		j := i
		for j+1 < len(rows) && rows[j+1] == rows[j]+1 {
			j++
		}
		if len(runs) >= maxPlaces && j+1 < len(rows) {
			return fmt.Sprintf("%s and %d more", strings.Join(runs, ", "), len(rows)-i)
		}
		switch j - i {
		case 0:
			runs = append(runs, name(rows[i]))
		case 1:
			runs = append(runs, name(rows[i]), name(rows[j]))
		default:
			runs = append(runs, name(rows[i])+" to "+name(rows[j]))
		}
		i = j + 1
	}
	return strings.Join(runs, ", ")
}
