package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/comparison"
	"sillwright/io/pricelist"
	"sillwright/io/sheet"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// compareRevisions compares two estimates of one job.
func (r compareRun) compareRevisions(sides []compare.Side, read outcome) (outcome, error) {
	basis := sortByDate(sides)
	return r.revision(sides[0], sides[1], basis, read)
}

// compareWithOrders compares an estimate with what was ordered before.
func (r compareRun) compareWithOrders(orders []string, path string) (outcome, error) {
	jobs, read := readEstimates([]string{path}, r.stderr)
	defer closeJobs(jobs)
	if len(jobs) == 0 {
		return failed, nil
	}
	now := sidesOf(jobs)[0]
	var lines []pricing.Line
	var names []string
	for _, file := range orders {
		book, problems := sheet.Open(file)
		if book != nil {
			more, ps := pricelist.ReadOrder(book, now.Book.Items)
			lines, problems = append(lines, more...), append(problems, ps...)
		}
		printProblems(r.stderr, problems)
		read = max(read, succeededIf(estimate.Errors(problems) == 0))
		names = append(names, filepath.Base(file))
	}
	if len(lines) == 0 {
		return failed, fmt.Errorf("%s orders nothing that can be read (name the orders as they were written, CSV or workbook)", strings.Join(names, ", "))
	}
	name := names[0]
	if len(names) > 1 {
		name += fmt.Sprintf(" and %d more", len(names)-1)
	}
	was := compare.Ordered(name, lines, now.Book)
	return r.revision(was, now, "what was ordered", read)
}

// revision compares an estimate with an earlier one, or with what was ordered;
// basis says how it is known which is the earlier.
func (r compareRun) revision(was, now compare.Side, basis string, read outcome) (outcome, error) {
	in := comparison.RevisionInput{Was: was, Now: now, How: basis, Revision: compare.Revise(was, now)}
	var order changeOrder
	if !was.Ordered {
		in.Change, in.Entries = compare.ChangeOf(was, now, in.Revision), comparison.Typed(was, now)
		if r.change != "" {
			var ok bool
			if order, ok = r.readChange(&in); !ok {
				return failed, nil
			}
		}
	}
	if err := r.write(comparison.Revision(in)); err != nil {
		return failed, err
	}
	if r.change != "" {
		r.printChange(in, order)
	}
	fmt.Fprintf(r.stdout, "Earlier: %s. Later: %s. (%s)\n", onOneLine(was.File), onOneLine(now.File), basis)
	s := in.Revision.Sums()
	purchases := fmt.Sprintf("More to buy: %s, %s. No longer needed: %s, %s.", plural(s.More, "line"), s.MoreCost, plural(s.Left, "line"), s.LeftWorth)
	if was.Ordered {
		fmt.Fprintf(r.stdout, "%s (%s, before delivery and tax)\n", purchases, now.Book.Job.Currency)
	} else {
		r.printMarks(in.Revision.Marks)
		fmt.Fprintf(r.stdout, "\n%s changed. %s Cut pieces no longer needed: %s.\n", plural(s.Marks, "mark"), purchases, plural(s.Wrong, "piece"))
		a, b := was.Plan.Bid.Total, now.Plan.Bid.Total
		fmt.Fprintf(r.stdout, "Total %s, was %s: %s %s.\n", b, a, signed(b-a), now.Book.Job.Currency)
	}
	r.printTarget()
	if r.change != "" {
		written, err := r.writeChange(in, order)
		return max(read, written), err
	}
	return read, nil
}

func (r compareRun) printMarks(marks []compare.MarkChange) {
	rows := [][]string{{"Mark", "Change", "What", "Was", "Now"}}
	for _, m := range marks {
		rows = append(rows, []string{m.Mark, m.Sort, m.What, m.Was, m.Now})
	}
	if len(marks) == 0 {
		rows = append(rows, []string{"-", "none", "", "", ""})
	}
	printColumns(r.stdout, rows, rows[0]...)
}

// sortByDate puts the earlier of two estimates first, and says by what: their
// dates, else the order in which they were named.
func sortByDate(sides []compare.Side) string {
	a, b := sides[0].Book.Job.Date, sides[1].Book.Job.Date
	if !a.Set || !b.Set || a.V == b.V {
		return "in the order named: their job dates do not tell which is earlier"
	}
	slices.SortStableFunc(sides, func(x, y compare.Side) int { return cmp.Compare(x.Book.Job.Date.V, y.Book.Job.Date.V) })
	return fmt.Sprintf("by their job dates, %s and %s", sides[0].Book.Job.Date.V, sides[1].Book.Job.Date.V)
}
