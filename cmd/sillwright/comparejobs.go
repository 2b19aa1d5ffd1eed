package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing/compare"
)

// estimates compares estimates: as revisions where all are of one job.
func (r compareRun) estimates(paths []string, kind string) (int, error) {
	sides, complete := r.sides(paths)
	if len(sides) < 2 {
		return exitNothing, nil
	}
	if why := mixed(sides); why != "" {
		fmt.Fprintf(r.stderr, "sillwright: the estimates cannot be compared: %s\n", why)
		return exitNothing, nil
	}
	if kind == kindRevisions || kind == "" && oneJob(sides) {
		if len(sides) != 2 {
			return 0, misuse{fmt.Sprintf("revisions are compared two at a time, an earlier and a later one; found %d of job %s (--kind jobs sets them side by side)", len(sides), sides[0].Book.Job.Number)}
		}
		return r.revisions(sides, complete), nil
	}
	return r.jobs(sides, complete), nil
}

// sides reads estimates as they were edited. One that cannot be read is left
// out, and said; then, and when one lacks a price, the comparison is not
// complete.
func (r compareRun) sides(paths []string) (sides []compare.Side, complete bool) {
	complete = true
	for _, path := range paths {
		j := readEstimate(path, r.stderr)
		if j == nil {
			complete = false
			continue
		}
		complete = complete && estimate.Errors(j.problems) == 0
		s := compare.Side{Name: jobName(j), File: filepath.Base(path), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan, LeftOut: j.leftOut()}
		if b, _ := sheet.OpenSheets(path, func(name string) bool { return name == schedule.SummarySheet }); b != nil {
			s.Stored, s.StoredPlace = schedule.StoredTotal(b)
		}
		sides = append(sides, s)
	}
	tellApart(sides)
	return sides, complete
}

// tellApart gives sides of one name the names of their files, and where those
// are alike too a number.
func tellApart(sides []compare.Side) {
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

// mixed says why estimates cannot be compared at all.
func mixed(sides []compare.Side) string {
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

// jobs sets jobs side by side.
func (r compareRun) jobs(sides []compare.Side, complete bool) int {
	c := compare.Jobs(sides, sides[0].Book.Job.MM)
	report(r.stderr, c.Problems)
	data, err := workbook.Compare(workbook.CompareInput{Sides: sides, Comparison: c})
	if !r.wrote(data, err) {
		return exitNothing
	}
	currency := sides[0].Book.Job.Currency
	rows := [][]string{{"Job", "Openings", "Total " + currency, "An opening", "A foot", "Materials", ""}}
	mm := sides[0].Book.Job.MM
	if mm {
		rows[0][4] = "A metre"
	}
	for i, s := range sides {
		bid, state := s.Plan.Bid, ""
		if len(c.Jobs[i].Gaps) > 0 {
			state = "without " + strings.Join(c.Jobs[i].Gaps, ", ")
		}
		rows = append(rows, []string{s.Name, fmt.Sprint(bid.Openings), bid.Total.String(), moneyOr(bid.PerOpening), moneyOr(bid.PerLength(mm)), bid.Materials.String(), state})
	}
	printColumns(r.stdout, rows, "Job", "")
	for _, o := range c.Odd[:min(3, len(c.Odd))] {
		fmt.Fprintf(r.stdout, "%s stands out: %s %s, usual %s.\n", sides[o.Job].Name, o.What, o.Value, o.Usual)
	}
	return r.written(complete)
}

// wrote writes the workbook, or says why not.
func (r compareRun) wrote(data []byte, err error) bool {
	if err == nil {
		err = writeFile(r.out, data, r.force)
	}
	if err != nil {
		fmt.Fprintf(r.stderr, "%s: not written: %v\n", r.out, reason(err))
	}
	return err == nil
}

// written closes the table.
func (r compareRun) written(complete bool) int {
	fmt.Fprintf(r.stdout, "\nThe comparison is in %s.\n", r.out)
	if !complete {
		return exitIncomplete
	}
	return exitOK
}

func moneyOr(m estimate.Maybe[measure.Money]) string {
	if !m.Set {
		return "-"
	}
	return m.V.String()
}
