package main

import (
	"path/filepath"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
	"sillwright/templates"
)

// job is a schedule with the takeoff and the plan made from it.
type job struct {
	path     string
	schedule *schedule.Schedule
	offers   []pricing.Offer
	takeoff  estimate.Takeoff
	plan     pricing.Plan
	problems []estimate.Problem // sorted
}

// load reads a schedule and works it out. The job is nil when the file holds
// no opening that can be read, not even one that must be left out.
func load(path string, prices []string) (*job, []estimate.Problem) {
	book, problems := sheet.OpenSheets(path, schedule.Wanted)
	if book == nil {
		return nil, problems
	}
	s, more := schedule.Read(book)
	problems = append(problems, more...)
	if s.Rows+s.LeftOut == 0 {
		if estimate.Errors(problems) == 0 {
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: book.File}, Severity: estimate.Error, What: "it holds no opening", Do: "fill in a row a mark"})
		}
		return nil, estimate.SortProblems(problems)
	}
	j := &job{path: path, schedule: s}
	j.offers, more = offersFor(book, s, prices)
	problems = append(problems, more...)
	j.takeoff, more = estimate.Make(s.Book)
	problems = append(problems, more...)
	j.plan = pricing.Make(s.Book.Job, s.Book.Items, j.takeoff, j.offers, s.Overrides)
	problems = append(problems, j.plan.Problems...)
	for i := range problems {
		if problems[i].Place.File == "" {
			problems[i].Place.File = book.File // of the job as a whole
		}
	}
	j.problems = estimate.SortProblems(problems)
	return j, j.problems
}

// offersFor reads the prices: the files that were named, else the schedule's
// own sheet, else the starter list, whose prices are invented.
func offersFor(book *sheet.Book, s *schedule.Schedule, prices []string) ([]pricing.Offer, []estimate.Problem) {
	items := s.Book.Items
	if len(prices) == 0 && s.Prices != nil {
		return pricelist.Read(book, items)
	}
	if len(prices) == 0 {
		list, problems := sheet.Parse("starter prices", templates.Prices)
		offers, more := pricelist.Read(list, items)
		return offers, append(problems, more...)
	}
	var offers []pricing.Offer
	var problems []estimate.Problem
	for _, path := range prices {
		list, ps := sheet.Open(path)
		problems = append(problems, ps...)
		if list == nil {
			continue
		}
		more, ps := pricelist.Read(list, items)
		offers, problems = append(offers, more...), append(problems, ps...)
	}
	return offers, problems
}

// leftOut returns how many rows of the schedule are not in the estimate.
func (j *job) leftOut() int {
	return j.schedule.LeftOut + len(j.schedule.Book.Openings) - len(j.takeoff.Openings)
}

// complete reports whether everything of the schedule is in the estimate, and
// priced.
func (j *job) complete() bool { return j.leftOut() == 0 && estimate.Errors(j.problems) == 0 }

// workbook returns the estimate workbook.
func (j *job) workbook() ([]byte, error) {
	s := j.schedule
	return workbook.Estimate(workbook.Input{
		File: filepath.Base(j.path), Book: s.Book, Settings: s.Settings, Steps: s.Steps,
		Openings: table(s.Openings), Measured: table(s.Measured),
		Offers: j.offers, Takeoff: j.takeoff, Plan: j.plan, Problems: j.problems, LeftOut: j.leftOut(),
	})
}

// table hands a table as it was read to the workbook.
func table(r schedule.Raw) workbook.Table {
	t := workbook.Table{Columns: r.Columns, Headers: r.Headers}
	for _, row := range r.Rows {
		t.Rows = append(t.Rows, row.Cells)
		t.Opening = append(t.Opening, row.Index)
	}
	return t
}
