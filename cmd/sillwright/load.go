package main

import (
	"fmt"
	"path/filepath"
	"runtime/debug"

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
	path     string
	schedule *schedule.Schedule
	lists    pricing.Lists
	takeoff  estimate.Takeoff
	plan     pricing.Plan
	problems []estimate.Problem // sorted
}

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

// asked adds up the openings of rows.
func asked(rows []estimate.Opening) (n int64) {
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
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: book.File}, Severity: estimate.Error, What: "it holds no opening", Do: "fill in a row a mark"})
		}
		return nil, estimate.SortProblems(problems)
	}
	n := asked(s.Book.Openings)
	if n > manyOpenings {
		debug.SetMemoryLimit(manyGoal)
	}
	if n > mostOpenings {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: book.File}, Severity: estimate.Error, What: fmt.Sprintf("it asks for %d openings, more than %d", n, mostOpenings), Do: "check Qty, or split it"})
		return nil, estimate.SortProblems(problems)
	}
	j := &job{path: path, schedule: s}
	lists, more, ok := listsFor(book, s, prices)
	problems = append(problems, more...)
	if n := suppliers(lists.Offers); n > mostSuppliers {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: book.File}, Severity: estimate.Error, What: fmt.Sprintf("it is to be bought of %d suppliers, more than %d", n, mostSuppliers), Do: "name only the price lists of those you would buy from"})
		ok = false
	}
	if !ok {
		return nil, estimate.SortProblems(problems) // without the prices that were named there is no estimate
	}
	j.lists = lists
	j.takeoff, more = estimate.Make(s.Book)
	if n := len(j.takeoff.Requirements); n > workbook.MostTakeoffRows {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: book.File}, Severity: estimate.Error, What: fmt.Sprintf("its takeoff has %d rows, more than the %d of a sheet", n, workbook.MostTakeoffRows), Do: "write like openings as one mark with their Qty, or split it"})
		return nil, estimate.SortProblems(problems)
	}
	return j, j.report(append(problems, more...))
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
			problems = append(problems, estimate.Problem{Place: estimate.Place{File: list.File}, Severity: estimate.Error, What: "it offers no item of the Items sheet", Do: "write the keys of Items in its column item"})
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
		lists.Terms = append(lists.Terms, more...) // a file's row goes before the schedule's of the same supplier
	}
	markInvented(lists.Offers, invented)
	return new(pricing.SupplierNames).Lists(lists), problems, ok
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
		return notComplete
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

// table hands a table as it was read to the workbook.
func table(r schedule.Raw) workbook.Table {
	t := workbook.Table{Columns: r.Columns, Headers: r.Headers}
	for _, row := range r.Rows {
		t.Rows = append(t.Rows, row.Cells)
		t.Opening = append(t.Opening, row.Index)
	}
	return t
}
