package main

import (
	"cmp"
	"fmt"
	"path/filepath"

	"sillwright/estimate"
	"sillwright/io/comparison"
	"sillwright/io/sheet"
)

// changeOrder is the customer's page of a change that is to be written.
type changeOrder struct {
	target string   // "" = it is not written
	lacks  []string // why its price is not whole, or it has no number
}

// changeInputs are the files beside the estimates that a change order is made of.
func (r compareRun) changeInputs() []string {
	if r.change == "" {
		return nil
	}
	return []string{r.change}
}

// readChange reads what is typed about a change, and says where its page goes. It
// reports false where nothing is to be written.
func (r compareRun) readChange(in *comparison.RevisionInput) (changeOrder, bool) {
	book, problems := sheet.OpenSheets(r.change, func(name string) bool { return name == comparison.ChangeSheet })
	if book == nil {
		printProblems(r.stderr, problems)
		return changeOrder{}, false
	}
	typed, more := comparison.ReadEntries(book)
	problems = append(append(problems, more...), typed.Unplaced(in.Change)...)
	if typed.Found {
		in.Entries = typed.Entries
	}
	var out changeOrder
	if n := estimate.Errors(problems); n > 0 {
		out.lacks = append(out.lacks, fmt.Sprintf("%s of %s cannot be used", plural(n, "cell"), filepath.Base(r.change)))
	}
	if words := typed.Basis(in.Was.Plan.Bid.Total, in.Now.Plan.Bid.Total); words != "" && typed.Found {
		problems = append(problems, fileProblem(book.File, words, "look through the new comparison, and run this again with that"))
		out.lacks = append(out.lacks, "the bids are not those that the entries were typed for")
	}
	printProblems(r.stderr, estimate.SortProblems(problems))
	if !typed.Found {
		return out, false
	}
	out.lacks = append(out.lacks, in.Change.Lacks(in.Was, in.Now, in.Entries)...)
	if in.Entries.Number == "" {
		out.lacks = append(out.lacks, "a change number")
	}
	if len(out.lacks) > 0 && !r.draft {
		return out, true // no page
	}
	out.target = filepath.Join(filepath.Dir(r.out), stem(in.Now.File)+changeInfix+slug(cmp.Or(in.Entries.Number, "draft"), map[string]bool{})+".xlsx")
	err := checkApart(out.target, []string{r.out})
	if err == nil {
		err = checkTarget(out.target, r.force, append(r.changeInputs(), r.inputs...))
	}
	if err != nil {
		printMessage(r.stderr, out.target, estimate.Error, reason(err).Error(), "")
	}
	return out, err == nil
}

// printChange says first what the page does not state, and what its price is without.
func (r compareRun) printChange(in comparison.RevisionInput, order changeOrder) {
	for _, blank := range in.Entries.Blanks() {
		fmt.Fprintf(r.stdout, "Not stated on the page: %s.\n", blank)
	}
	if in.Entries.Original == estimate.Given(in.Change.Was) {
		fmt.Fprintln(r.stdout, "The original contract price is the total of the earlier bid: type the price of the contract over it, if that is another.")
	}
	for _, lack := range order.lacks {
		fmt.Fprintf(r.stdout, "The change is WITHOUT: %s.\n", lack)
	}
	sum := in.Change.Sum(&in.Now.Book.Job, in.Entries)
	fmt.Fprintf(r.stdout, "Change of the price: %s %s, of it the difference of the bids %s.\nNot legal advice; local law governs; have your form checked.\n\n",
		signed(sum.Total), in.Now.Book.Job.Currency, signed(sum.Bids))
}

// writeChange writes the customer's page. One that lacks something is written as a draft
// alone.
func (r compareRun) writeChange(in comparison.RevisionInput, order changeOrder) (outcome, error) {
	if order.target == "" {
		fmt.Fprintln(r.stdout, "The customer's page is not written: type what is missing, or --draft writes it marked DRAFT.")
		return incomplete, nil
	}
	sum := in.Change.Sum(&in.Now.Book.Job, in.Entries)
	data, err := comparison.WriteChangePage(comparison.ChangePage{
		Job: in.Now.Book.Job, Marks: in.Revision.Marks, Entries: in.Entries, Change: sum.Total, Draft: r.draft,
	})
	if err := save(order.target, data, err, r.force); err != nil {
		return failed, err
	}
	fmt.Fprintf(r.stdout, "The customer's page is in %s.\n", onOneLine(order.target))
	return succeeded, nil
}
