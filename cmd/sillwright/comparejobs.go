package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/io/comparison"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/pricing/compare"
)

// compareEstimates compares estimates: as revisions where all are of one job.
func (r compareRun) compareEstimates(paths []string) (outcome, error) {
	jobs, read := readEstimates(paths, r.stderr)
	defer closeJobs(jobs)
	if len(jobs) < 2 {
		return failed, nil
	}
	sides := sidesOf(jobs)
	if conflict := currencyConflict(sides); conflict != "" {
		return failed, fmt.Errorf("the estimates cannot be compared: %s", conflict)
	}
	if r.kind == kindRevisions || r.kind == "" && oneJob(sides) {
		if len(sides) != 2 {
			return failed, misuse("revisions are compared two at a time, an earlier and a later one; found %d of job %s (--kind jobs sets them side by side)",
				len(sides), sides[0].Book.Job.Number)
		}
		return r.compareRevisions(sides, read)
	}
	if r.change != "" {
		return failed, misuse("the estimates are not of one job number (--kind revisions compares them all the same)")
	}
	return r.compareJobs(sides, read)
}

// sidesOf returns the sides of a comparison of jobs.
func sidesOf(jobs []*job) []compare.Side {
	var sides []compare.Side
	for _, j := range jobs {
		s := compare.Side{
			Name: jobName(j), File: filepath.Base(j.path), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan, LeftOut: j.leftOut(),
		}
		if b, _ := sheet.OpenSheets(j.path, func(name string) bool { return name == schedule.SummarySheet }); b != nil {
			s.Stored, s.StoredPlace = schedule.StoredTotal(b)
		}
		sides = append(sides, s)
	}
	makeNamesUnique(sides)
	return sides
}

// makeNamesUnique gives sides of one name the names of their files, and where
// those are alike too a number.
func makeNamesUnique(sides []compare.Side) {
	count := map[string]int{}
	for _, s := range sides {
		count[s.Name]++
	}
	seen := map[string]int{}
	for i := range sides {
		s := &sides[i]
		if count[s.Name] > 1 {
			s.Name += " " + stem(s.File)
		}
		if seen[s.Name]++; seen[s.Name] > 1 {
			s.Name += fmt.Sprintf(" (%d)", seen[s.Name])
		}
	}
}

// currencyConflict says why estimates cannot be compared at all; "" when they can.
func currencyConflict(sides []compare.Side) string {
	for _, s := range sides[1:] {
		if a, b := sides[0].Book.Job.Currency, s.Book.Job.Currency; !strings.EqualFold(a, b) {
			return fmt.Sprintf("%s is in %s, %s in %s (compare jobs of one currency)", sides[0].Name, a, s.Name, b)
		}
	}
	return ""
}

// oneJob reports whether all estimates have the same job number.
func oneJob(sides []compare.Side) bool {
	number := sides[0].Book.Job.Number
	return number != "" && !slices.ContainsFunc(sides, func(s compare.Side) bool { return s.Book.Job.Number != number })
}

// compareJobs sets jobs side by side.
func (r compareRun) compareJobs(sides []compare.Side, read outcome) (outcome, error) {
	job := sides[0].Book.Job
	c := compare.Jobs(sides, job.MM)
	printProblems(r.stderr, c.Problems)
	if err := r.write(comparison.Compare(comparison.CompareInput{Sides: sides, Comparison: c})); err != nil {
		return failed, err
	}
	rows := [][]string{{"Job", "Openings", "Total " + job.Currency, "Per opening", "Per LF", "Materials", "Open items"}}
	if job.MM {
		rows[0][4] = "Per meter"
	}
	for _, s := range sides {
		bid := s.Plan.Bid
		rows = append(rows, []string{
			s.Name, fmt.Sprint(bid.Openings), bid.Total.String(), moneyOrDash(bid.PerOpening), moneyOrDash(bid.PerLength(job.MM)),
			bid.Materials.String(), strings.Join(s.NotIn(), "; "),
		})
	}
	printColumns(r.stdout, rows, "Job", "Open items")
	for _, o := range c.Odd[:min(3, len(c.Odd))] {
		fmt.Fprintf(r.stdout, "%s stands out: %s %s, usually %s.\n", onOneLine(sides[o.Job].Name), o.What, o.Value, o.Usual)
	}
	r.printTarget()
	return read, nil
}

// printTarget says, below the closing table, where the comparison is.
func (r compareRun) printTarget() {
	fmt.Fprintf(r.stdout, "\nThe comparison is in %s.\n", onOneLine(r.out))
}
