package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// revisions compares two estimates of one job.
func (r compareRun) revisions(sides []compare.Side, complete bool) int {
	how := byDate(sides)
	return r.revision(sides[0], sides[1], how, complete)
}

// againstOrders compares an estimate with what was ordered before.
func (r compareRun) againstOrders(orders []string, path string) int {
	sides, complete := r.sides([]string{path})
	if len(sides) == 0 {
		return exitNothing
	}
	now := sides[0]
	var lines []pricing.Line
	var names []string
	for _, file := range orders {
		book, problems := sheet.Open(file)
		if book != nil {
			more, ps := pricelist.ReadOrder(book, now.Book.Items)
			lines, problems = append(lines, more...), append(problems, ps...)
		}
		report(r.stderr, problems)
		complete = complete && estimate.Errors(problems) == 0
		names = append(names, filepath.Base(file))
	}
	if len(lines) == 0 {
		fmt.Fprintf(r.stderr, "sillwright: nothing was ordered by %s\n", strings.Join(names, ", "))
		return exitNothing
	}
	name := names[0]
	if len(names) > 1 {
		name += fmt.Sprintf(" and %d more", len(names)-1)
	}
	was := compare.Ordered(name, lines, now.Book)
	return r.revision(was, now, "what was ordered", complete)
}

// revision compares an estimate with an earlier one, or with what was ordered.
func (r compareRun) revision(was, now compare.Side, how string, complete bool) int {
	change := compare.Revise(was, now)
	data, err := workbook.Revision(workbook.RevisionInput{Was: was, Now: now, How: how, Revision: change})
	if !r.wrote(data, err) {
		return exitNothing
	}
	fmt.Fprintf(r.stdout, "Earlier: %s. Later: %s. (%s)\n", was.File, now.File, how)
	s := change.Sums()
	if was.Ordered {
		fmt.Fprintf(r.stdout, "More to buy: %s, %s. Left over: %s, %s. (%s, before delivery and tax)\n", many(s.More, "line"), s.MoreCost, many(s.Left, "line"), s.LeftWorth, now.Book.Job.Currency)
		return r.written(complete)
	}
	r.printMarks(change.Marks)
	fmt.Fprintf(r.stdout, "\n%s changed. More to buy: %s, %s. Left over: %s, %s. Cut and not as asked now: %s.\n", many(s.Marks, "mark"), many(s.More, "line"), s.MoreCost, many(s.Left, "line"), s.LeftWorth, many(s.Wrong, "piece"))
	a, b := was.Plan.Bid.Total, now.Plan.Bid.Total
	fmt.Fprintf(r.stdout, "Total %s, was %s: %s %s.\n", b, a, signed(b-a), now.Book.Job.Currency)
	return r.written(complete)
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

func signed(m measure.Money) string {
	if m > 0 {
		return "+" + m.String()
	}
	return m.String()
}

// byDate puts the earlier of two estimates first, and says by what: their
// dates, else the order in which they were named.
func byDate(sides []compare.Side) string {
	a, b := sides[0].Book.Job.Date, sides[1].Book.Job.Date
	if !a.Set || !b.Set || a.V == b.V {
		return "in the order named: their job dates do not tell"
	}
	slices.SortStableFunc(sides, func(x, y compare.Side) int { return cmp.Compare(x.Book.Job.Date.V, y.Book.Job.Date.V) })
	return fmt.Sprintf("by their job dates, %s and %s", sides[0].Book.Job.Date.V, sides[1].Book.Job.Date.V)
}
