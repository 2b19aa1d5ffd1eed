package main

import (
	"errors"
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

// compareQuotes prices what an estimate needs from each supplier's quote, and
// writes a workbook of the quotes side by side.
func (r compareRun) compareQuotes(path string, lists []string) (outcome, error) {
	j, problems := readJob(path, nil)
	if j == nil {
		printProblems(r.stderr, problems)
		return failed, nil
	}
	defer j.close()
	quotes, terms, problems := readQuotes(j, lists)
	for _, p := range j.problems {
		if p.Severity == estimate.Error {
			problems = append(problems, p)
		}
	}
	if len(quotes) == 0 {
		printProblems(r.stderr, estimate.SortProblems(problems))
		return failed, errors.New("no quote can be read (see the messages above)")
	}
	c := compare.Quotes(j.schedule.Book, &j.takeoff, terms, quotes)
	problems = estimate.SortProblems(append(problems, c.Problems...))
	all := slices.Clone(problems)
	for _, f := range c.Flags {
		all = append(all, f.Problem)
	}
	printProblems(r.stderr, estimate.SortProblems(all))
	in := comparison.QuotesInput{File: filepath.Base(path), Job: j.schedule.Book.Job, Comparison: c, Problems: problems}
	if err := r.write(comparison.Quotes(in)); err != nil {
		return failed, err
	}
	r.printQuotes(c)
	return succeededIf(estimate.Errors(problems) == 0 && len(c.Unquoted) == 0), nil
}

// readQuotes reads the quotes of several files, and the terms that stand beside
// them. Suppliers of one name are told apart by their files.
func readQuotes(j *job, files []string) (quotes []compare.SupplierQuote, terms []pricing.Terms, problems []estimate.Problem) {
	var names pricing.SupplierNames
	items := j.schedule.Book.Items
	for _, path := range files {
		book, ps := sheet.Open(path)
		problems = append(problems, ps...)
		if book == nil {
			continue
		}
		var only bool
		terms, only, ps = readTerms(book, items, terms)
		problems = append(problems, ps...)
		if only {
			continue
		}
		more, ps := pricelist.ReadQuote(book, items, stem(path))
		problems = append(problems, ps...)
		for _, q := range more {
			q.Supplier = uniqueSupplier(q, &names)
			quotes = append(quotes, q)
		}
	}
	return quotes, append(terms, j.lists.Terms...), problems
}

// uniqueSupplier returns the name of a quote's supplier, with its file where
// another quote has it.
func uniqueSupplier(q compare.SupplierQuote, taken *pricing.SupplierNames) string {
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
	rows := [][]string{{"Quote", "As written", "Sum of lines", "Items", "Missing", "Rank", "Common items", "All items"}}
	for _, q := range c.Quotes {
		written, whole := "-", "incomplete"
		if s, ok := q.Written(); ok {
			written = s.Amount.String()
		}
		if q.Whole() {
			whole = q.Cost().String()
		}
		rows = append(rows, []string{
			q.Supplier, written, moneyOrDash(q.Own), fmt.Sprint(len(c.Items) - q.Missing), fmt.Sprint(q.Missing), rankOrDash(q.Rank),
			q.Common.String(), whole,
		})
	}
	printColumns(r.stdout, rows, "Quote")
	fmt.Fprintf(r.stdout, "\nRanked by the %s of %d that all suppliers quote.\n", plural(common, "item"), len(c.Items))
	if c.Lowest >= 0 {
		fmt.Fprintf(r.stdout, "Lowest complete quote: %s, %s", c.Quotes[c.Lowest].Supplier, c.Quotes[c.Lowest].Cost())
		if len(c.Unsure) > 0 {
			fmt.Fprintf(r.stdout, ", with doubtful prices for %s", strings.Join(c.Unsure, ", "))
		}
		fmt.Fprintln(r.stdout, ".")
	} else {
		fmt.Fprintf(r.stdout, "No quote is complete. The fewest suppliers that have everything: %s, %s.\n",
			strings.Join(c.First.Suppliers, ", "), c.First.Cost())
	}
	fmt.Fprintf(r.stdout, "Best split: %s, %s", strings.Join(c.Split.Suppliers, ", "), c.Split.Cost())
	if c.Saving.Set {
		fmt.Fprintf(r.stdout, ", %s less than the lowest complete quote", c.Saving.V)
	}
	fmt.Fprintln(r.stdout, ".")
	if len(c.Doubtful) > 0 {
		fmt.Fprintf(r.stdout, "It buys at doubtful prices: %s. Without those: %s, %s.\n",
			strings.Join(c.Doubtful, ", "), strings.Join(c.Firm.Suppliers, ", "), c.Firm.Cost())
	}
	fmt.Fprintf(r.stdout, "%s to ask the suppliers about.\n", plural(len(c.Flags), "open item"))
}

// rankOrDash writes a place among the quotes, a dash where there is no ranking.
func rankOrDash(rank int) string {
	if rank == 0 {
		return "-"
	}
	return fmt.Sprint(rank)
}
