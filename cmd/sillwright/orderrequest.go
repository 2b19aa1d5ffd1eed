package main

import (
	"fmt"
	"slices"

	"sillwright/io/papers"
	"sillwright/io/pricelist"
	"sillwright/pricing"
)

// request writes what each supplier is asked the prices of: one file for any supplier, and
// one for each whose price list the estimate has. What is bought or on hand is not asked
// for.
func (r orderRun) request(j *job) (outcome, error) {
	book, lists, plan := j.schedule.Book, j.lists, j.plan
	if j.remaining = pricing.Remain(book, j.takeoff, lists, nil); j.remaining != nil {
		plan, lists = j.remaining.Plan, j.remaining.Lists
	}
	suppliers := []string{""}
	for _, o := range lists.Offers {
		if !slices.Contains(suppliers, o.Supplier) {
			suppliers = append(suppliers, o.Supplier)
		}
	}
	slices.Sort(suppliers)
	dir, name := r.target([]*job{j})
	out := newOutputSet(dir, r.force, r.paths...)
	used := map[string]bool{}
	lines := 0
	for _, s := range suppliers {
		list := pricing.Request(book, plan, lists, s)
		lines = max(lines, len(list))
		file := name + requestInfix
		if s != "" {
			file += "-" + slug(s, used)
		}
		data, err := pricelist.WriteRequest(list, s, book.Job.Currency)
		out.add(file+".csv", data, err)
		data, err = papers.WriteRequest(papers.Request{Job: book.Job, Supplier: s, Lines: list, Asked: pricelist.Asked})
		out.add(file+".xlsx", data, err)
	}
	if lines == 0 {
		fmt.Fprintln(r.stdout, "Nothing is to be bought, so that nothing is asked.")
		return succeeded, nil
	}
	if err := out.write(); err != nil {
		return failed, err
	}
	fmt.Fprintf(r.stdout, "%s asked of %s, and of any other: send %s and its like. Filled in, they are price lists and quotes:\n  sillwright compare %s QUOTE...\n",
		plural(lines, "line"), plural(len(suppliers)-1, "supplier"), onOneLine(out.names[len(out.names)-1]), onOneLine(j.path))
	return succeeded, nil
}
