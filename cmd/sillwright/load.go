package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
	"sillwright/templates"
)

// job is a schedule with the takeoff and the plan made from it.
type job struct {
	path      string
	schedule  *schedule.Schedule
	lists     pricing.Lists
	takeoff   estimate.Takeoff
	plan      pricing.Plan
	problems  []estimate.Problem // sorted
	endMemory func()             // see memoryUse
}

// close ends the work on a job. Its memory limit holds until then.
func (j *job) close() { j.endMemory() }

// load reads a schedule, works it out and plans what it buys. The job is nil
// when the file holds no opening that can be read, not even one that must be
// left out.
func load(path string, prices []string) (*job, []estimate.Problem) {
	j, problems := readJob(path, prices)
	if j == nil {
		return nil, problems
	}
	j.plan = pricing.Make(j.schedule.Book, j.takeoff, j.lists)
	return j, j.report(j.plan.Problems)
}

// Limits of a job. Both are far more than any has: each opening takes work, and
// the best split among suppliers takes work by the square of their number and
// more.
const (
	mostOpenings  = 50_000
	mostSuppliers = 24
)

// suppliers counts those who offer something.
func suppliers(offers []pricing.Offer) int {
	seen := map[string]bool{}
	for _, o := range offers {
		seen[o.Supplier] = true
	}
	return len(seen)
}

// openingCount adds up the openings of rows.
func openingCount(rows []estimate.Opening) (n int64) {
	for _, o := range rows {
		n += o.Qty
	}
	return n
}

// readJob reads a schedule and works out what it needs.
func readJob(path string, prices []string) (*job, []estimate.Problem) {
	book, problems := sheet.OpenSheets(path, schedule.Wanted)
	if book == nil {
		return nil, problems
	}
	return readBook(path, book, problems, prices)
}

// readBook works out what a schedule needs that is open.
func readBook(path string, book *sheet.Book, problems []estimate.Problem, prices []string) (*job, []estimate.Problem) {
	s, more := schedule.Read(book)
	problems = append(problems, more...)
	if s.Rows+s.LeftOut == 0 {
		if estimate.Errors(problems) == 0 {
			problems = append(problems, fileProblem(book.File, "it holds no opening", "fill in a row a mark"))
		}
		return nil, estimate.SortProblems(problems)
	}
	n := openingCount(s.Book.Openings)
	if n > mostOpenings {
		what := fmt.Sprintf("it asks for %d openings, more than %d", n, mostOpenings)
		return nil, estimate.SortProblems(append(problems, fileProblem(book.File, what, "check Qty, or split it")))
	}
	j := &job{path: path, schedule: s, endMemory: memory.begin(n)}
	more, ok := j.takeOff(book, prices)
	problems = append(problems, more...)
	if !ok {
		j.close()
		return nil, estimate.SortProblems(problems)
	}
	return j, j.report(problems)
}

// takeOff reads the prices and works out what the openings need. It reports
// false when there can be no estimate: without the prices that were named, or
// beyond a limit.
func (j *job) takeOff(book *sheet.Book, prices []string) (problems []estimate.Problem, ok bool) {
	j.lists, problems, ok = listsFor(book, j.schedule, prices)
	if n := suppliers(j.lists.Offers); n > mostSuppliers {
		what := fmt.Sprintf("it is to be bought of %d suppliers, more than %d", n, mostSuppliers)
		problems, ok = append(problems, fileProblem(book.File, what, "name only the price lists of those you would buy from")), false
	}
	if !ok {
		return problems, false
	}
	takeoff, more := estimate.Make(j.schedule.Book)
	if n := len(takeoff.Requirements); n > workbook.MostTakeoffRows {
		what := fmt.Sprintf("its takeoff has %d rows, more than the %d of a sheet", n, workbook.MostTakeoffRows)
		return append(problems, fileProblem(book.File, what, "write like openings as one mark with their Qty, or split it")), false
	}
	j.takeoff = takeoff
	return append(problems, more...), true
}

// fileProblem is an error of a file as a whole.
func fileProblem(file, what, do string) estimate.Problem {
	return estimate.Problem{Place: estimate.Place{File: file}, Severity: estimate.Error, What: what, Do: do}
}

// report adds problems to those of the job, and returns all of them, sorted.
func (j *job) report(problems []estimate.Problem) []estimate.Problem {
	for _, p := range problems {
		if p.Place.File == "" {
			p.Place.File = filepath.Base(j.path) // of the job as a whole
		}
		j.problems = append(j.problems, p)
	}
	j.problems = estimate.SortProblems(j.problems)
	return j.problems
}

// listsFor reads the prices and the suppliers' terms: from the files that were
// named, else from the schedule's own sheets; prices without either are those of
// the starter list, which are invented. It reports false when a list that was
// named gives nothing at all.
func listsFor(book *sheet.Book, s *schedule.Schedule, files []string) (lists pricing.Lists, problems []estimate.Problem, ok bool) {
	items := s.Book.Items
	lists.Pins, lists.Overrides = s.Pins, s.Overrides
	starter, _ := sheet.Parse("starter prices", templates.Prices)
	invented, _ := pricelist.Read(starter, items)
	ok = true
	for _, path := range files {
		list, ps := sheet.Open(path)
		problems = append(problems, ps...)
		if list == nil {
			ok = false
			continue
		}
		if terms := pricelist.TermsSheet(list); terms != nil {
			more, ps := pricelist.ReadTerms(terms, items, lists.Terms...)
			lists.Terms, problems = append(lists.Terms, more...), append(problems, ps...)
			if len(list.Sheets) == 1 {
				continue
			}
		}
		more, ps := pricelist.Read(list, items)
		lists.Offers, problems = append(lists.Offers, more...), append(problems, ps...)
		if len(more) == 0 && estimate.Errors(ps) == 0 {
			problems = append(problems, fileProblem(list.File, "it offers no item of the Items sheet", "write the keys of Items in its column item"))
		}
		ok = ok && len(more) > 0
	}
	switch {
	case len(lists.Offers) > 0 || !ok:
	case s.Prices != nil:
		more, ps := pricelist.Read(book, items)
		lists.Offers, problems = more, append(problems, ps...)
	default:
		lists.Offers = invented
	}
	if s.Suppliers != nil {
		more, ps := pricelist.ReadTerms(s.Suppliers, items)
		problems = append(problems, ps...)
		for _, t := range more { // a file's row goes before the schedule's of the same supplier
			if !slices.ContainsFunc(lists.Terms, func(had pricing.Terms) bool { return strings.EqualFold(had.Supplier, t.Supplier) }) {
				lists.Terms = append(lists.Terms, t)
			}
		}
	}
	markInvented(lists.Offers, invented)
	return lists, problems, ok
}

// markInvented marks prices of the starter list that stand in a list under
// another supplier's name: a code and a price of ours are nobody's quote.
func markInvented(offers, starter []pricing.Offer) {
	type row struct {
		item, code, content string
		price               measure.UnitPrice
	}
	ours := map[row]bool{}
	for _, o := range starter {
		ours[row{o.Item, o.Code, o.Content, o.Price}] = true
	}
	for i := range offers {
		o := &offers[i]
		o.Invented = o.Invented || o.Code != "" && ours[row{o.Item, o.Code, o.Content, o.Price}]
	}
}

// leftOut returns how many rows of the schedule are not in the estimate.
func (j *job) leftOut() int {
	taken := 0
	for _, o := range j.takeoff.Openings {
		if o.Piece == 0 { // an odd piece is of a row that has its own line
			taken++
		}
	}
	return j.schedule.LeftOut + len(j.schedule.Book.Openings) - taken
}

// complete reports whether everything of the schedule is in the estimate, and
// priced.
func (j *job) complete() bool { return j.leftOut() == 0 && estimate.Errors(j.problems) == 0 }

// state says in a word or two what the total leaves out.
func (j *job) state() string {
	switch {
	case !j.complete():
		return "not complete"
	case len(j.plan.Bid.NoUnitCost) > 0:
		return "unit costs missing"
	}
	return ""
}

// workbook returns the estimate workbook.
func (j *job) workbook() ([]byte, error) {
	s := j.schedule
	return workbook.Estimate(workbook.Input{
		File: filepath.Base(j.path), Book: s.Book, Settings: s.Settings, Steps: s.Steps,
		Openings: table(s.Openings), Measured: table(s.Measured), Alternates: table(s.Alternates),
		Lists: j.lists, Takeoff: j.takeoff, Plan: j.plan, Problems: j.problems, LeftOut: j.leftOut(),
	})
}

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
	if len(j.schedule.Lines) == 0 || j.schedule.Prices == nil {
		fmt.Fprintf(stderr, "%s: it is not an estimate: it has no sheets Materials and Prices of ours (run: sillwright estimate %[1]s)\n", path)
		j.close()
		return nil
	}
	j.plan = pricing.Follow(j.schedule.Book, j.takeoff, j.lists, j.schedule.Lines)
	printProblems(stderr, orderProblems(j.report(j.plan.Problems)))
	return j
}

// orderProblems returns the errors, and what else concerns the order; the rest
// was reported when the estimate was made.
func orderProblems(all []estimate.Problem) []estimate.Problem {
	edited := []string{schedule.MaterialsSheet, schedule.OrdersSheet, schedule.SuppliersSheet}
	return slices.DeleteFunc(slices.Clone(all), func(p estimate.Problem) bool {
		return p.Severity != estimate.Error && !slices.Contains(edited, p.Place.Sheet)
	})
}

// jobName is what a job's share is called.
func jobName(j *job) string {
	if n := j.schedule.Book.Job.Number; n != "" {
		return n
	}
	return stem(j.path)
}
