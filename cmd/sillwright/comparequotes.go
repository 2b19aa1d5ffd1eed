package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/pricelist"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// compareQuotes prices what an estimate needs from each supplier's quote, and
// writes a workbook of the quotes side by side.
func compareQuotes(r compareRun, path string, lists []string) int {
	j, problems := readJob(path, nil)
	if j == nil {
		report(r.stderr, problems)
		return exitNothing
	}
	quotes, terms, problems := readQuotes(j, lists)
	for _, p := range j.problems {
		if p.Severity == estimate.Error {
			problems = append(problems, p)
		}
	}
	if len(quotes) == 0 {
		report(r.stderr, estimate.SortProblems(problems))
		fmt.Fprintln(r.stderr, "sillwright: no quote can be read")
		return exitNothing
	}
	c := compare.Quotes(j.schedule.Book, &j.takeoff, terms, quotes)
	problems = estimate.SortProblems(append(problems, c.Problems...))
	all := slices.Clone(problems)
	for _, f := range c.Flags {
		all = append(all, f.Problem)
	}
	report(r.stderr, estimate.SortProblems(all))
	data, err := workbook.Quotes(workbook.QuotesInput{File: filepath.Base(path), Job: j.schedule.Book.Job, Comparison: c, Problems: problems})
	if err == nil {
		err = writeFile(r.out, data, r.force)
	}
	if err != nil {
		fmt.Fprintf(r.stderr, "%s: not written: %v\n", r.out, reason(err))
		return exitNothing
	}
	r.printQuotes(c)
	if estimate.Errors(problems) > 0 || len(c.Unquoted) > 0 {
		return exitIncomplete
	}
	return exitOK
}

// readQuotes reads the quotes of several files, and the terms that stand beside
// them. Suppliers of one name are told apart by their files.
func readQuotes(j *job, files []string) (quotes []compare.SupplierQuote, terms []pricing.Terms, problems []estimate.Problem) {
	items := j.schedule.Book.Items
	var names pricing.SupplierNames
	for _, path := range files {
		book, ps := sheet.Open(path)
		problems = append(problems, ps...)
		if book == nil {
			continue
		}
		if s := pricelist.TermsSheet(book); s != nil {
			more, ps := pricelist.ReadTerms(s, items, terms...)
			terms, problems = append(terms, more...), append(problems, ps...)
			if len(book.Sheets) == 1 {
				continue
			}
		}
		more, ps := pricelist.ReadQuote(book, items, stem(path))
		problems = append(problems, ps...)
		for _, q := range more {
			q.Supplier = freeName(q, &names)
			quotes = append(quotes, q)
		}
	}
	return quotes, append(terms, j.lists.Terms...), problems
}

// freeName returns the name of a quote's supplier, with its file where another
// quote has it.
func freeName(q compare.SupplierQuote, taken *pricing.SupplierNames) string {
	name := q.Supplier
	for n := 1; taken.Known(name); n++ {
		name = fmt.Sprintf("%s (%s)", q.Supplier, q.Place.File)
		if n > 1 {
			name = fmt.Sprintf("%s (%s, %d)", q.Supplier, q.Place.File, n)
		}
	}
	return taken.Of(name)
}

// printQuotes prints the closing table.
func (r compareRun) printQuotes(c compare.Tabulation) {
	common := 0
	for _, n := range c.Items {
		if n.Common {
			common++
		}
	}
	rows := [][]string{{"Quote", "As written", "Own sum", "Items", "Missing", "Rank", "Common items", "Whole offer"}}
	for _, q := range c.Quotes {
		written, own, whole := "-", "-", "not whole"
		if s, ok := q.Written(); ok {
			written = s.Amount.String()
		}
		if q.Own.Set {
			own = q.Own.V.String()
		}
		if q.Whole() {
			whole = q.Cost().String()
		}
		rows = append(rows, []string{q.Supplier, written, own, fmt.Sprint(len(c.Items) - q.Missing), fmt.Sprint(q.Missing), fmt.Sprint(q.Rank), q.Common.String(), whole})
	}
	printColumns(r.stdout, rows, "Quote")
	fmt.Fprintf(r.stdout, "\nRanked by the %s that all quote, of %d.\n", many(int64(common), "item"), len(c.Items))
	if c.Lowest >= 0 {
		fmt.Fprintf(r.stdout, "Lowest whole offer: %s, %s", c.Quotes[c.Lowest].Supplier, c.Quotes[c.Lowest].Cost())
		if len(c.Unsure) > 0 {
			fmt.Fprintf(r.stdout, ", at doubtful prices of %s", strings.Join(c.Unsure, ", "))
		}
		fmt.Fprintln(r.stdout, ".")
	} else {
		fmt.Fprintf(r.stdout, "No quote has everything. One supplier first and the rest elsewhere: %s, %s.\n", strings.Join(c.First.Suppliers, ", "), c.First.Cost())
	}
	fmt.Fprintf(r.stdout, "Best split: %s, %s", strings.Join(c.Split.Suppliers, ", "), c.Split.Cost())
	if c.Saving.Set {
		fmt.Fprintf(r.stdout, ", %s less than the lowest whole offer", c.Saving.V)
	}
	fmt.Fprintln(r.stdout, ".")
	if len(c.Doubtful) > 0 {
		fmt.Fprintf(r.stdout, "It buys at prices in doubt: %s. Without those: %s, %s.\n", strings.Join(c.Doubtful, ", "), strings.Join(c.Firm.Suppliers, ", "), c.Firm.Cost())
	}
	fmt.Fprintf(r.stdout, "%s to ask about.\n", many(int64(len(c.Flags)), "flag"))
}
