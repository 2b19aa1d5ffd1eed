package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// addOrdered adds what earlier orders hold to what a job bought. A file that cannot be
// read stops the order: what it holds would be bought again.
func (r orderRun) addOrdered(j *job) error {
	job, items := &j.schedule.Book.Job, j.schedule.Book.Items
	for _, path := range r.ordered {
		book, problems := sheet.Open(path)
		var lines []estimate.Bought
		if book != nil {
			var more []estimate.Problem
			if pricelist.IsOrder(book) {
				lines, more = pricelist.BoughtBy(book, items)
				if j.takeoff.AnyDone() && len(job.DoneBefore()) == 0 {
					printMessage(r.stderr, path, estimate.Warning, "an order does not tell what was done before it: all that is done by Status is taken off what it holds",
						"name the list of purchases that was written with it, which tells")
				}
			} else if lines, more = schedule.Purchases(book, job, items); lines == nil && len(more) == 0 {
				more = append(more, fileProblem(book.File, "it is neither an order nor a list of purchases", "name the CSV file of an order, or one with the "+
					"columns of Purchases"))
			}
			problems = append(problems, more...)
		}
		printProblems(r.stderr, estimate.SortProblems(problems))
		if estimate.Errors(problems) > 0 {
			return fileError{path, fmt.Errorf("not all of it can be read, and would be bought again (correct it, or leave it out)")}
		}
		known := func(b estimate.Bought) bool {
			return slices.ContainsFunc(j.schedule.Book.Job.Purchases, func(x estimate.Bought) bool {
				return x.Place.File != b.Place.File && x.Counts() && x.Order != "" && strings.EqualFold(x.Order, b.Order) &&
					strings.EqualFold(x.Supplier, b.Supplier)
			})
		}
		n := len(lines)
		lines = slices.DeleteFunc(lines, known)
		if left := n - len(lines); left > 0 {
			printMessage(r.stderr, path, estimate.Note,
				plural(left, "line")+" of orders that stand on Purchases, or in another file, already: counted once", "")
		}
		job.Purchases = append(job.Purchases, lines...)
		drafts := 0
		for _, b := range lines {
			if b.State == estimate.BuyDraft {
				drafts++
			}
		}
		if drafts > 0 {
			printMessage(r.stderr, path, estimate.Warning, plural(drafts, "line")+" of drafts: they are not bought, and are ordered with all else",
				"write placed under State, and the day under Date, of what was sent")
		}
	}
	return nil
}

// ordering returns what of a job is ordered: what is still to buy once something is
// bought or done.
func (r *orderRun) ordering(j *job) pricing.Ordering {
	whole := pricing.Ordering{Name: jobName(j), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan}
	rest := pricing.Remain(j.schedule.Book, j.takeoff, j.lists, j.plan.Problems)
	if rest == nil {
		return whole
	}
	r.rest = true
	printProblems(r.stderr, estimate.SortProblems(rest.Problems))
	shown := j.schedule.ToBuy
	if len(r.ordered) > 0 {
		shown = nil // those were not known when it was written
	}
	rest.HoldTo(shown, j.plan)
	return pricing.Ordering{Name: whole.Name, Book: rest.Book, Takeoff: rest.Takeoff, Lists: rest.Lists, Plan: rest.Plan}
}

// orderNumber returns the number of a job's next order, and how many it had.
func orderNumber(j *job) (number string, earlier int) {
	seen := map[string]bool{}
	for _, b := range j.schedule.Book.Job.Purchases {
		if b.Order != "" {
			seen[strings.ToLower(b.Order)] = true
		}
	}
	for n := len(seen) + 1; ; n++ {
		number = jobName(j) + "-" + strconv.Itoa(n)
		if !seen[strings.ToLower(number)] {
			return number, n - 1
		}
	}
}

// unnamed lists the orders of these jobs that lie in the folder of the orders, and that
// nobody names: neither as ordered, nor on Purchases. Those that are replaced are none, nor
// those beside which an incomplete one is written, which says so.
func (r orderRun) unnamed(dir, name string, jobs []*job, replaced []string) (list []string) {
	files, err := os.ReadDir(dir)
	if err != nil {
		return nil // it is not there yet, or is reported when it is written to
	}
	for _, entry := range files {
		file := filepath.Join(dir, entry.Name())
		twin := strings.TrimSuffix(file, ".csv") + incompleteOrder + ".csv"
		if !strings.EqualFold(filepath.Ext(file), ".csv") || r.force && (slices.Contains(replaced, file) || slices.Contains(replaced, twin)) ||
			slices.ContainsFunc(r.ordered, func(o string) bool { return canonicalPath(o) == canonicalPath(file) }) {
			continue
		}
		book, _ := sheet.Open(file)
		if book == nil || !pricelist.IsOrder(book) {
			continue
		}
		called := pricelist.OrderOf(book)
		ours := called.Number == "" && strings.HasPrefix(entry.Name(), name+orderInfix)
		for _, j := range jobs {
			ours = ours || slices.Contains(called.Jobs, jobName(j)) && !slices.ContainsFunc(j.schedule.Book.Job.Purchases, func(b estimate.Bought) bool {
				return b.Counts() && strings.EqualFold(b.Order, called.Number)
			})
		}
		if ours {
			list = append(list, entry.Name())
		}
	}
	return list
}
