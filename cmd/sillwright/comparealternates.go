package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/comparison"
	"sillwright/io/schedule"
	"sillwright/pricing/compare"
)

// compareAlternates prices the alternates of a schedule, or of an estimate, and
// writes a workbook of what each would cost more or less. Where the sheet
// Alternates holds none, or asks for them, the usual ones are priced too.
func (r compareRun) compareAlternates(path string) (outcome, error) {
	j, problems := readJob(path, nil)
	if j == nil {
		printProblems(r.stderr, problems)
		return failed, nil
	}
	defer j.close()
	s := j.schedule
	basis := compare.NewBasis(s.Book, j.lists)
	printProblems(r.stderr, append(slices.Clone(j.report(basis.Plan.Problems)), overridesNote(j)...))
	all := s.Changes
	own := len(all)
	if own == 0 || s.Common {
		all = append(slices.Clone(all), s.UsualAlternates(j.takeoff)...)
	}
	if len(all) == 0 {
		return failed, fileError{path, fmt.Errorf("there is no alternate to price (fill in the sheet %s)", schedule.AlternateSheet)}
	}
	in := comparison.AlternatesInput{File: filepath.Base(path), Basis: basis, Problems: j.problems}
	complete := j.complete()
	for i, a := range all {
		priced := basis.Price(alternateOf(j, a), j.lists)
		in.All = append(in.All, priced)
		if i < own && !priced.Computed && (a.Wrong || priced.Openings > 0) {
			complete = false // one that concerns no opening of the job leaves nothing out
		}
	}
	if err := r.write(comparison.Alternates(in)); err != nil {
		return failed, err
	}
	r.printAlternates(in)
	return succeededIf(complete), nil
}

// alternateOf makes the book of an alternate of a schedule.
func alternateOf(j *job, a schedule.Alternate) compare.Alternate {
	out := compare.Alternate{Name: a.Name, What: describeChanges(a)}
	if a.Wrong {
		out.Problems = []estimate.Problem{{
			Place: a.Changes[0].Place, Severity: estimate.Error, What: "a row of it cannot be read", Do: "see the messages at its cells",
		}}
		return out
	}
	book, openings, problems := j.schedule.Changed(a, j.takeoff)
	out.Book, out.Problems = book, problems
	for _, i := range openings {
		o := j.takeoff.Openings[i]
		out.Openings += o.Qty
		if !slices.Contains(out.Marks, o.Mark) {
			out.Marks = append(out.Marks, o.Mark)
		}
	}
	return out
}

// describeChanges says what an alternate changes.
func describeChanges(a schedule.Alternate) string {
	var words []string
	for _, c := range a.Changes {
		w := fmt.Sprintf("%s: %s", c.Column, c.Value)
		if c.When != "" {
			w += ", where " + c.When
		}
		words = append(words, w)
	}
	return strings.Join(words, "; ")
}

// overridesNote says that counts typed into an estimate hold in its alternates.
func overridesNote(j *job) []estimate.Problem {
	if len(j.schedule.Overrides) == 0 {
		return nil
	}
	return []estimate.Problem{{
		Place: estimate.Place{File: filepath.Base(j.path), Sheet: schedule.MaterialsSheet}, Severity: estimate.Warning,
		What: fmt.Sprintf("%d counts typed under Override are used in every alternate too", len(j.schedule.Overrides)),
		Do:   "clear them to compare what each alternate would need",
	}}
}

// printAlternates prints the closing table.
func (r compareRun) printAlternates(in comparison.AlternatesInput) {
	rows := [][]string{{"Alternate", "Openings", "Total", "Difference", "Per opening"}}
	rows = append(rows, []string{in.Basis.Name, fmt.Sprint(in.Basis.Openings), in.Basis.Bid.Total.String(), "", ""})
	for _, a := range in.All {
		row := []string{a.Name, fmt.Sprint(a.Openings), "no figure", "", ""}
		if a.Computed {
			row[2], row[3] = a.Bid.Total.String(), a.Difference.String()
			if a.PerOpening.Set {
				row[4] = a.PerOpening.V.String()
			}
		}
		rows = append(rows, row)
	}
	printColumns(r.stdout, rows, "Alternate")
	for _, a := range in.All {
		for _, p := range a.Why {
			fmt.Fprintf(r.stdout, "%s: no figure: %s\n", a.Name, p)
		}
	}
}
