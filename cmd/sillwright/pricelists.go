package main

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/pricelist"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/pricing"
	"sillwright/templates"
)

// priceBooks are the books of prices of a run.
type priceBooks struct {
	named    []*sheet.Book // the files that were named
	starter  *sheet.Book   // what is used without any
	problems []estimate.Problem
	unread   bool // a file that was named cannot be opened
}

// openPrices opens the price lists that were named, and the starter list.
func openPrices(files []string) (p priceBooks) {
	p.starter, _ = sheet.Parse("starter prices", templates.Prices)
	for _, path := range files {
		list, problems := sheet.Open(path)
		p.problems = append(p.problems, problems...)
		if list == nil {
			p.unread = true
			continue
		}
		p.named = append(p.named, list)
	}
	return p
}

// readLists reads the prices and the suppliers' terms: from the files that were
// named, else from the schedule's own sheets; prices without either are those of
// the starter list, which are invented. It reports false when a list that was
// named gives nothing at all.
func readLists(book *sheet.Book, s *schedule.Schedule, books priceBooks) (lists pricing.Lists, problems []estimate.Problem, ok bool) {
	items := s.Book.Items
	lists.Pins, lists.Overrides = s.Pins, s.Overrides
	shipped, _ := sheet.Parse("starter prices", templates.Prices)
	invented, _ := pricelist.Read(shipped, items)
	ok, problems = !books.unread, slices.Clone(books.problems)
	for _, list := range books.named {
		terms, only, ps := readTerms(list, items, lists.Terms)
		lists.Terms, problems = terms, append(problems, ps...)
		if only {
			continue
		}
		more, ps := pricelist.Read(list, items)
		lists.Offers, problems = append(lists.Offers, more...), append(problems, ps...)
		if len(more) == 0 && estimate.Errors(ps) == 0 {
			problems = append(problems, fileProblem(list.File, "it offers no item of the sheet Items", "write the keys of Items in its column item"))
		}
		ok = ok && len(more) > 0
	}
	switch {
	case len(lists.Offers) > 0 || !ok:
	case s.Prices != nil:
		more, ps := pricelist.Read(book, items)
		lists.Offers, problems = more, append(problems, ps...)
	default:
		lists.Offers, _ = pricelist.Read(books.starter, items)
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

// readTerms adds the suppliers' terms that a price file holds to those read
// before it, and reports whether it holds nothing else.
func readTerms(file *sheet.Book, items estimate.Items, before []pricing.Terms) (terms []pricing.Terms, only bool, problems []estimate.Problem) {
	s := pricelist.TermsSheet(file)
	if s == nil {
		return before, false, nil
	}
	more, problems := pricelist.ReadTerms(s, items, before...)
	return append(before, more...), len(file.Sheets) == 1, problems
}

// supplierCount counts those who offer something.
func supplierCount(offers []pricing.Offer) int {
	seen := map[string]bool{}
	for _, o := range offers {
		seen[o.Supplier] = true
	}
	return len(seen)
}
