package main

import (
	"fmt"
	"io"
	"slices"

	"sillwright/estimate"
	"sillwright/io/schedule"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// readEstimates reads estimates as they were edited. One that cannot be read is
// left out, and reported; then, and when one lacks a price, what is made of them
// is incomplete.
func readEstimates(paths []string, stderr io.Writer) (jobs []*job, read outcome) {
	for _, path := range paths {
		j := readEstimate(path, stderr)
		if j == nil {
			read = incomplete
			continue
		}
		read = max(read, succeededIf(estimate.Errors(j.problems) == 0))
		jobs = append(jobs, j)
	}
	return jobs, read
}

func closeJobs(jobs []*job) {
	for _, j := range jobs {
		j.close()
	}
}

// readEstimate reads an estimate as it was edited and prices it again; nil when
// it cannot be read, which is reported.
func readEstimate(path string, stderr io.Writer) *job {
	j, problems := readJob(path, nil)
	if j == nil {
		printProblems(stderr, problems)
		return nil
	}
	j.unordered = problemsOf(j.problems, schedule.MaterialsSheet, schedule.OrdersSheet)
	if len(j.schedule.Lines) == 0 || j.schedule.Prices == nil {
		printMessage(stderr, path, estimate.Error, "it is not an estimate workbook",
			fmt.Sprintf("run sillwright estimate %s, then name %s here", path, outputOf(path, "", outputEnding)))
		j.close()
		return nil
	}
	j.plan = pricing.Follow(j.schedule.Book, j.takeoff, j.lists, j.schedule.Lines)
	printProblems(stderr, estimate.SortProblems(append(orderProblems(j.report(j.plan.Problems)), j.schedule.Unread...)))
	return j
}

// orderProblems returns the errors, and what else concerns the order: what was typed
// over results, and of whole sheets and files; the rest was reported when the estimate was made.
func orderProblems(all []estimate.Problem) []estimate.Problem {
	edited := []string{schedule.MaterialsSheet, schedule.OrdersSheet, schedule.SuppliersSheet}
	return slices.DeleteFunc(slices.Clone(all), func(p estimate.Problem) bool {
		at := p.Place
		whole := p.Severity == estimate.Warning && at.Row == 0 && at.Col == 0 && at.Column == "" // a file or a sheet
		return p.Severity != estimate.Error && !slices.Contains(edited, p.Place.Sheet) && !workbook.IsLookedAt(p.Place.Sheet) && !whole
	})
}

// problemsOf returns the errors at some sheets.
func problemsOf(all []estimate.Problem, sheets ...string) []estimate.Problem {
	return slices.DeleteFunc(slices.Clone(all), func(p estimate.Problem) bool {
		return p.Severity != estimate.Error || !slices.Contains(sheets, p.Place.Sheet)
	})
}

// jobName is what a job's share is called.
func jobName(j *job) string {
	if n := j.schedule.Book.Job.Number; n != "" {
		return n
	}
	return stem(j.path)
}
