package schedule

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// purchaseFields is the sheet Purchases.
func purchaseFields(items estimate.Items, date1904 bool) []field[estimate.Bought] {
	type row = estimate.Bought
	number := func(key string, at func(*row) *estimate.Maybe[int64], synonyms ...string) field[row] {
		return field[row]{key: key, number: true, synonyms: synonyms, set: give(packs, at)}
	}
	money := func(key string, at func(*row) *estimate.Maybe[measure.Money]) field[row] {
		return field[row]{key: key, number: true, set: give((*cell).money, at)}
	}
	words := func(key string, at func(*row) *string, synonyms ...string) field[row] {
		return field[row]{key: key, synonyms: synonyms, set: put(text, at)}
	}
	return []field[row]{
		{key: "Date", set: give(day(date1904), func(b *row) *estimate.Maybe[measure.Date] { return &b.Date })},
		words("Supplier", func(b *row) *string { return &b.Supplier }, "Vendor", "Yard"),
		words("Order", func(b *row) *string { return &b.Order }, "Order number", "PO"),
		words("Invoice", func(b *row) *string { return &b.Invoice }, "Invoice number"),
		{key: "State", required: true, filled: "write one of: " + sheet.Quoted(estimate.BuyStates),
			set: put(word[estimate.BuyState](sheet.BuyState), func(b *row) *estimate.BuyState { return &b.State })},
		{key: "Item", required: true, set: put(anItem(items), func(b *row) *string { return &b.Item })},
		words("Code", func(b *row) *string { return &b.Code }),
		words("Pack", func(b *row) *string { return &b.Pack }, "Content"),
		words("Pack received", func(b *row) *string { return &b.PackReceived }),
		number("Count", func(b *row) *estimate.Maybe[int64] { return &b.Count }, "Qty", "Quantity", "Ordered"),
		number("Received", func(b *row) *estimate.Maybe[int64] { return &b.Received }),
		number("Returned", func(b *row) *estimate.Maybe[int64] { return &b.Returned }),
		number("Lost", func(b *row) *estimate.Maybe[int64] { return &b.Lost }, "Broken"),
		{key: "Price", number: true, synonyms: []string{"Unit price", "Price each"},
			set: give((*cell).price, func(b *row) *estimate.Maybe[measure.UnitPrice] { return &b.Price })},
		money("Tax", func(b *row) *estimate.Maybe[measure.Money] { return &b.Tax }),
		money("Freight", func(b *row) *estimate.Maybe[measure.Money] { return &b.Freight }),
		money("Credit", func(b *row) *estimate.Maybe[measure.Money] { return &b.Credit }),
		{key: "Done before", set: func(c *cell, b *row) { b.Before = c.progressOfMarks() }},
		{key: "Notes", set: put(remark, func(b *row) *string { return &b.Notes })},
		{key: "Cannot be returned", synonyms: []string{"Not returnable", "No return"},
			set: put(word[estimate.NoReturn](sheet.NoReturn), func(b *row) *estimate.NoReturn { return &b.NoReturn })},
	}
}

// progressOfMarks reads how far marks were: "W1: 2 set, 1 cut; D1: 1 set".
func (c *cell) progressOfMarks() (list []estimate.Progress) {
	words, ok := c.text()
	if !ok {
		return nil
	}
	for _, part := range strings.Split(words, ";") {
		mark, said, ok := strings.Cut(part, ":")
		stages := c.stages(said)
		if !ok || stages == nil {
			c.refuse(fmt.Sprintf("%s %q is not understood", c.name, sheet.Excerpt(part)), "write mark, number and status, such as W1: 2 set; D1: 1 cut")
			return nil
		}
		list = append(list, estimate.Progress{Mark: strings.TrimSpace(mark), Stages: stages})
	}
	return list
}

// PurchaseColumns are the columns of the sheet Purchases, and of its CSV file.
func PurchaseColumns() []string { return keys(purchaseFields(estimate.Items{}, false)) }

// purchases reads what was bought for the job. A line with a mistake is left out.
func (r *reader) purchases(s *sheet.Sheet) {
	if s == nil {
		return
	}
	job := &r.out.Book.Job
	lines, problems := readPurchases(s, job, r.out.Book.Items, r.out.date1904)
	job.Purchases = lines
	r.problems = append(r.problems, problems...)
}

// Purchases reads a file of lines as the sheet Purchases holds them, of an order written
// before or of another schedule: nil where it has no such table.
func Purchases(b *sheet.Book, job *estimate.Job, items estimate.Items) ([]estimate.Bought, []estimate.Problem) {
	if s := purchasesOf(b); s != nil {
		return readPurchases(s, job, items, b.Date1904)
	}
	return nil, nil
}

// IsPurchases reports whether a book is a CSV file of purchases.
func IsPurchases(b *sheet.Book) bool {
	return len(b.Sheets) == 1 && b.Sheets[0].Name == "" && purchasesOf(b) != nil
}

// purchasesOf returns the sheet Purchases of a book, or its CSV file.
func purchasesOf(b *sheet.Book) *sheet.Sheet {
	s := newReader(b).sheet(PurchasesSheet)
	if s == nil && len(b.Sheets) == 1 && b.Sheets[0].Name == "" {
		s = b.Sheets[0]
	}
	if s == nil {
		return nil
	}
	headers := s.Headers(columns(purchaseFields(estimate.Items{}, b.Date1904)))
	for _, head := range []string{"State", "Item", "Pack", "Count"} {
		if _, has := headers[head]; !has {
			return nil
		}
	}
	return s
}

func readPurchases(s *sheet.Sheet, job *estimate.Job, items estimate.Items, date1904 bool) (lines []estimate.Bought, all []estimate.Problem) {
	t, problems := open(s, purchaseFields(items, date1904), job.Bare())
	t.currency = job.Currency
	all = t.withoutNotes(problems)
	for _, row := range t.Rows {
		if !t.filled(row) {
			continue
		}
		b := estimate.Bought{Place: row.Place}
		problems := t.read(row, &b)
		if estimate.Errors(problems) == 0 {
			problems = append(problems, packOf(&b, row, items)...)
		}
		all = append(all, problems...)
		if estimate.Errors(problems) == 0 {
			lines = append(lines, b)
		}
	}
	return lines, all
}

// packOf reads what a pack holds, as received, else as ordered, and says what a line
// lacks. A line without an item is of the whole order.
func packOf(b *estimate.Bought, row sheet.Row, items estimate.Items) (problems []estimate.Problem) {
	say := func(sev estimate.Severity, column, what, do string) {
		problems = append(problems, row.Cell(column).Problem(sev, what, do))
	}
	item, known := items.Get(b.Item)
	switch {
	case b.Item == "" && (b.Count.Set || b.Received.Set || b.Pack != ""):
		say(estimate.Error, "Item", "Item is blank: the line is not counted as bought", "write a key of the Items sheet; clear count and pack if it is of "+
			"the whole order")
		return problems
	case b.Item == "" || !known:
		return problems
	}
	column, pack := "Pack", b.Pack
	if b.PackReceived != "" {
		column, pack = "Pack received", b.PackReceived
	}
	if pack == "" {
		say(estimate.Error, "Pack", "Pack is blank: what one holds is not known", "write it, such as 16 ft, 10.1 fl oz or 1 lb")
		return problems
	}
	amount, err := pricing.ParseContent(pack, item)
	if err != nil {
		(&cell{Cell: row.Cell(column), name: column, problems: &problems}).form(err)
		return problems
	}
	b.Amount = amount
	switch {
	case !b.Count.Set && !b.Received.Set:
		say(estimate.Error, "Count", "Count is blank: nothing is known to be bought", "write how many were ordered")
	case b.Counts() && !b.Price.Set:
		say(estimate.Warning, "Price", "Price is blank: the line is not in what was bought so far", "write the price of one, as invoiced")
	}
	if taken := max(b.Count.V, b.Received.V); b.Returned.V+b.Lost.V > taken {
		say(estimate.Warning, "Returned", fmt.Sprintf("%d returned and lost of %d", b.Returned.V+b.Lost.V, taken), "correct the counts")
	}
	if b.Received.Set && b.State != estimate.BuyReceived && b.State != estimate.BuyBackOrdered && b.State != estimate.BuyReturned {
		say(estimate.Warning, "State", fmt.Sprintf("%s, and %d are received", b.State, b.Received.V), "write received or back-ordered, or clear Received")
	}
	if (b.Returned.V > 0 || b.State == estimate.BuyReturned) && !b.Credit.Set {
		say(estimate.Note, "Credit", "Credit is blank: what went back counts as paid", "write what was credited")
	}
	return problems
}
