package main

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

// job is a schedule with the takeoff and the plan made from it.
type job struct {
	path      string
	schedule  *schedule.Schedule
	lists     pricing.Lists
	takeoff   estimate.Takeoff
	frames    int // distinct trim frames
	plan      pricing.Plan
	remaining *pricing.Remaining // what is still to buy; nil = all of the plan
	costRange *pricing.CostRange // what it may cost; nil = Job has no ranges
	problems  []estimate.Problem // sorted
	unordered []estimate.Problem // errors in what was typed into an estimate to buy
	kept      []schedule.Edit    // edits of an earlier estimate that were carried over
	endMemory func()             // see memoryUse
}

// close ends the work on a job. Its memory limit holds until then.
func (j *job) close() { j.endMemory() }

// load reads a schedule, works it out and plans what it buys. The job is nil
// when the file holds no opening that can be read, not even one that must be
// left out.
func load(path string, prices []string) (*job, []estimate.Problem) {
	j, problems := readJob(path, prices)
	return j.planned(problems)
}

// planned plans what a job buys that was read; problems are those of reading it, all
// there is where it is nil.
func (j *job) planned(problems []estimate.Problem) (*job, []estimate.Problem) {
	if j == nil {
		return nil, problems
	}
	j.plan = pricing.Make(j.schedule.Book, j.takeoff, j.lists)
	j.remaining = pricing.Remain(j.schedule.Book, j.takeoff, j.lists, j.plan.Problems)
	j.costRange = pricing.RangeOf(j.schedule.Book, j.takeoff, j.lists, j.plan, rand.NewPCG(workbook.RangeSeed, 0).Uint64)
	if words := workbook.NotDrawn(j.frames); words != "" {
		j.plan.Problems = append(j.plan.Problems, estimate.Problem{Severity: estimate.Note, What: words})
	}
	if j.remaining != nil {
		j.plan.Problems = append(j.plan.Problems, j.remaining.Problems...)
	}
	j.plan.Problems = append(j.plan.Problems, pricing.OwnerProblems(j.plan, j.remaining)...)
	return j, j.report(j.plan.Problems)
}

// Limits of a job. Both are far more than any has: each opening takes work, and
// the best split among suppliers takes work by the square of their number and
// more.
const (
	maxOpenings  = 50_000
	maxSuppliers = 24
)

// openingCount adds up the openings of rows.
func openingCount(rows []estimate.Opening) (n int64) {
	for _, o := range rows {
		n += o.Qty
	}
	return n
}

// readJob reads a schedule and works out what it needs; of an estimate with what was
// typed over its results.
func readJob(path string, prices []string) (*job, []estimate.Problem) {
	book, problems := sheet.OpenSheets(path, schedule.Wanted)
	if book == nil {
		return nil, problems
	}
	hidden := openHidden(path, book)
	lost := schedule.LostSheets(book, hidden, workbook.Results(), len(prices) > 0)
	problems = append(problems, lost...)
	if estimate.Errors(lost) > 0 {
		return nil, estimate.SortProblems(problems)
	}
	j, problems := readBook(path, book, problems, prices)
	if j == nil || len(j.schedule.Lines) == 0 {
		return j, problems
	}
	j.useTyped(path, book, hidden)
	return j, j.problems
}

// readBook works out what a schedule needs that is open.
func readBook(path string, book *sheet.Book, problems []estimate.Problem, prices []string) (*job, []estimate.Problem) {
	return readBooks(path, book, problems, openPrices(prices))
}

// readBooks works out what a schedule needs that is open, as its price lists are.
func readBooks(path string, book *sheet.Book, problems []estimate.Problem, prices priceBooks) (*job, []estimate.Problem) {
	s, more := schedule.Read(book, workbook.Results()...)
	problems = append(problems, more...)
	if s.Rows+s.LeftOut == 0 {
		if estimate.Errors(problems) == 0 {
			problems = append(problems, fileProblem(book.File, "it holds no opening", "fill in one row per mark on Openings"))
		}
		return nil, estimate.SortProblems(problems)
	}
	n := openingCount(s.Book.Openings)
	if n > maxOpenings {
		what := fmt.Sprintf("it asks for %d openings, more than %d", n, maxOpenings)
		return nil, estimate.SortProblems(append(problems, fileProblem(book.File, what, "check Qty, or split the schedule")))
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
func (j *job) takeOff(book *sheet.Book, prices priceBooks) (problems []estimate.Problem, ok bool) {
	j.lists, problems, ok = readLists(book, j.schedule, prices)
	if n := supplierCount(j.lists.Offers); n > maxSuppliers {
		what := fmt.Sprintf("it buys from %d suppliers, more than %d", n, maxSuppliers)
		problems, ok = append(problems, fileProblem(book.File, what, "name only the price lists of those you would buy from")), false
	}
	if !ok {
		return problems, false
	}
	j.schedule.Book.Sold = j.lists.Sold(&j.schedule.Book.Job, j.schedule.Book.Items)
	takeoff, more := estimate.Make(j.schedule.Book)
	if n := len(takeoff.Requirements); n > workbook.MaxTakeoffRows {
		what := fmt.Sprintf("its takeoff has %d rows, more than the %d of a sheet", n, workbook.MaxTakeoffRows)
		return append(problems, fileProblem(book.File, what, "write like openings as one mark with their Qty, or split the schedule")), false
	}
	j.takeoff, j.frames = takeoff, len(estimate.Frames(j.schedule.Book, takeoff))
	size := j.size()
	need := size.memoryNeeded()
	if limit := memory.mayUse(); need > limit {
		what := fmt.Sprintf("its estimate needs about %s of memory (%s), more than %s", sizeWords(need), size, sizeWords(limit))
		return append(problems, fileProblem(book.File, what, "split the schedule, or allow more with estimate --memory SIZE")), false
	}
	j.endMemory = memory.reserve(need, j.endMemory)
	return slices.Concat(problems, more, estimate.CodeProblems(takeoff.Openings)), true
}

// size counts what the memory of a job goes into.
func (j *job) size() jobSize {
	s := jobSize{frames: j.frames, rows: len(j.takeoff.Requirements)}
	for _, o := range j.schedule.Book.Openings {
		s.readings += len(o.Readings)
	}
	return s
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

// state says what the total leaves out, and whether its prices are invented; marks on
// hold are counted beside it.
func (j *job) state() string {
	words := pricing.Gaps(j.schedule.Book, j.takeoff, j.plan, j.leftOut())
	if j.plan.Bid.Labor == 0 {
		words = append(words, pricing.NoLabor)
	}
	if j.plan.Invented() > 0 {
		words = append(words, "invented prices")
	}
	if len(words) == 0 && !j.complete() {
		return "errors"
	}
	return strings.Join(words, "; ")
}

// workbook returns the estimate workbook.
func (j *job) workbook() ([]byte, error) {
	s := j.schedule
	return workbook.Estimate(workbook.Input{
		File: filepath.Base(j.path), Book: s.Book, Settings: s.Settings, Steps: s.Steps,
		Openings: table(s.Openings), Measured: table(s.Measured), Alternates: table(s.Alternates),
		Lists: j.lists, Takeoff: j.takeoff, Plan: j.plan, Remaining: j.remaining, Range: j.costRange, Problems: j.problems, LeftOut: j.leftOut(), Kept: keptTable(j.kept),
	})
}
