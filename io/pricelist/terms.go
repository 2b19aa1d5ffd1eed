package pricelist

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// SuppliersSheet is the name of the sheet of a workbook that holds the terms of
// suppliers.
const SuppliersSheet = "Suppliers"

// The headers of terms that a price list does not have.
const (
	deliveryFee  = "delivery_fee"
	freeOver     = "free_over"
	minimumOrder = "minimum_order"
	always       = "always"
	never        = "never"
	returnDays   = "return_days"
	restocking   = "restocking"
)

// everything in the column never stands for all items.
const everything = "all"

// TermColumns returns the columns of the terms of suppliers, with other headers
// taken for them. As in a price list, a column of amounts that are written with
// a decimal comma says so in its header.
func TermColumns() []sheet.Column {
	return withDecimalComma([]sheet.Column{
		priceColumn(supplier),
		{Key: deliveryFee, Synonyms: []string{"delivery", "delivery charge", "delivery cost", "freight", "freight charge", "shipping"}},
		{Key: freeOver, Synonyms: []string{"free delivery over", "free delivery from", "free above", "free from", "free freight over"}},
		{Key: minimumOrder, Synonyms: []string{"minimum", "min order", "order minimum", "minimum order value", "smallest order"}},
		priceColumn(leadDays),
		priceColumn(currency),
		{Key: always, Synonyms: []string{"buy here", "always here", "always buy here", "only here"}},
		{Key: never, Synonyms: []string{"not here", "never here", "never buy here", "do not buy here", "avoid"}},
		{Key: returnDays, Synonyms: []string{"returns within", "return within", "days to return", "return window"}},
		{Key: restocking, Synonyms: []string{"restocking fee", "restocking charge", "restock", "restock fee"}},
	}, deliveryFee, freeOver, minimumOrder)
}

// priceColumn returns a column of a price list that terms have too.
func priceColumn(key string) sheet.Column {
	cols := Columns()
	return cols[slices.IndexFunc(cols, func(c sheet.Column) bool { return c.Key == key })]
}

// TermsSheet returns the sheet of a book that holds the terms of suppliers, or
// nil: the sheet Suppliers of a workbook, or the only sheet of a book if it has
// a delivery fee, a free_over or a minimum order and nothing of a price list.
func TermsSheet(b *sheet.Book) *sheet.Sheet {
	if s := b.Sheet(SuppliersSheet); s != nil && !s.Skipped {
		return s
	}
	if len(b.Sheets) != 1 {
		return nil
	}
	headers := b.Sheets[0].Headers(append(TermColumns(), priceColumn(item), priceColumn(content), priceColumn(price)))
	terms, prices := []string{deliveryFee, freeOver, minimumOrder}, []string{item, content, price}
	has := func(key string) bool { _, ok := headers[key]; return ok }
	if slices.ContainsFunc(terms, has) && !slices.ContainsFunc(prices, has) {
		return b.Sheets[0]
	}
	return nil
}

// termsRow is a row of terms for the CSV library; see row.
type termsRow struct {
	Supplier     string `csv:"supplier"`
	DeliveryFee  string `csv:"delivery_fee"`
	FreeOver     string `csv:"free_over"`
	MinimumOrder string `csv:"minimum_order"`
	LeadDays     days   `csv:"lead_days"`
	Currency     string `csv:"currency"`
	Always       string `csv:"always"`
	Never        string `csv:"never"`
	ReturnDays   days   `csv:"return_days"`
	Restocking   rate   `csv:"restocking"`
}

// ReadTerms returns what suppliers ask, a row each. In the columns always and
// never stand keys of items, or classes for all items of them, parted by
// semicolons or commas; never may be "all".
//
// Unlike a price, a term that cannot be read costs its cell alone: a supplier
// must not deliver free because an item in its row is misspelt. A row without a
// supplier is left out, and so are a second one of the same and a line of a CSV
// file with more fields than the header.
//
// Before are the terms of lists that were read before, which hold where this
// one says otherwise; they are not returned again.
func ReadTerms(s *sheet.Sheet, items estimate.Items, before ...pricing.Terms) ([]pricing.Terms, []estimate.Problem) {
	l, rows, problems := openList[termsRow](s, TermColumns(), false)
	r := termsReader{list: l, items: items, called: sheet.NewItemNames(items), terms: slices.Clip(before), first: map[string]estimate.Place{}}
	for _, t := range before {
		r.first[r.names.Of(t.Supplier)] = t.Place
	}
	for i, f := range rows {
		r.read(l.table.Rows[i], f)
	}
	return r.terms[len(before):], slices.Concat(problems, r.problems, l.formulasNote())
}

// termsReader turns table rows into terms.
type termsReader struct {
	*list
	items    estimate.Items
	called   sheet.ItemNames
	terms    []pricing.Terms // with those of the lists before
	names    pricing.SupplierNames
	first    map[string]estimate.Place // of the terms of a supplier
	problems []estimate.Problem
}

func (r *termsReader) read(row sheet.Row, f termsRow) {
	c := r.check(row)
	of := c.currency(f.Currency, field{deliveryFee, f.DeliveryFee}, field{freeOver, f.FreeOver}, field{minimumOrder, f.MinimumOrder})
	t := pricing.Terms{
		Place: row.Cell(supplier).Place, Supplier: c.seller(f.Supplier, "whose terms these are"),
		DeliveryFee: c.asked(deliveryFee, f.DeliveryFee, of), FreeOver: c.asked(freeOver, f.FreeOver, of), MinimumOrder: c.asked(minimumOrder, f.MinimumOrder, of),
		LeadDays: value(&c, leadDays, f.LeadDays.parsed), Currency: of,
		ReturnDays: value(&c, returnDays, f.ReturnDays.parsed), Restocking: value(&c, restocking, f.Restocking.parsed),
		Always: c.keys(always, f.Always, r.called, r.items), Never: c.keys(never, f.Never, r.called, r.items),
	}
	if t.FreeOver.Set && row.Cell(deliveryFee).Blank() {
		c.say(freeOver, estimate.Warning, "there is no delivery fee that a large order could save", "write the delivery fee, or clear this cell")
	}
	name := r.names.Of(t.Supplier)
	switch first, again := r.first[name]; {
	case name == "":
	case again:
		c.say(supplier, estimate.Error,
			fmt.Sprintf("the terms of %q stand in %s already; this row is not used", t.Supplier, position(first, t.Place)), "keep one row for a supplier")
	default:
		r.first[name] = t.Place
		c.contradiction(&t)
		r.claim(&c, &t)
		r.terms = append(r.terms, t)
	}
	r.problems = append(r.problems, c.problems...)
}

// asked returns an amount that a supplier asks, if it does. One in another
// currency than the row's has been reported.
func (c *checker) asked(key, text, currency string) estimate.Maybe[measure.Money] {
	if text == "" {
		return estimate.Maybe[measure.Money]{}
	}
	m, err := amount(c, key, text, measure.ParseMoney)
	switch {
	case err != nil:
		c.fail(key, err)
	case m < 0:
		c.say(key, estimate.Error, fmt.Sprintf("%q is below 0", text), "write an amount, or leave the cell blank")
	default:
		if of := c.row.Cell(key).Currency(); of == "" || of == currency {
			return estimate.Given(m)
		}
	}
	return estimate.Maybe[measure.Money]{}
}

// keys returns the items that a cell lists, each once, in the order of the
// cell. A word that is an item's key means that item, even if a class is called
// the same.
func (c *checker) keys(key, text string, names sheet.ItemNames, items estimate.Items) []string {
	var out []string
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' }) {
		if word = strings.TrimSpace(word); word == "" {
			continue
		}
		if key == never && strings.EqualFold(word, everything) {
			return []string{everything}
		}
		for _, k := range c.named(key, word, names, items) {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}

// named returns the keys that a word stands for.
func (c *checker) named(key, word string, names sheet.ItemNames, items estimate.Items) []string {
	if it, ok := findItem(names, items, word); ok {
		return []string{it.Key}
	}
	var known, keys []string
	class, isClass := sheet.Class.Find(word)
	for _, it := range items.List() {
		known = append(known, it.Key)
		if isClass && it.Class == class {
			keys = append(keys, it.Key)
		}
	}
	if len(keys) > 0 {
		return keys
	}
	if isClass {
		c.say(key, estimate.Warning, fmt.Sprintf("no item is of the class %q", word), "")
		return nil
	}
	do := "write keys of the Items sheet or classes such as " + estimate.Classes[0] + ", separated by semicolons"
	if near, ok := sheet.Nearest(word, append(known, estimate.Classes...)); ok {
		do = fmt.Sprintf("did you mean %s?", near)
	}
	c.say(key, estimate.Error, fmt.Sprintf("%q is neither an item nor a class", word), do)
	return nil
}

// contradiction takes out of always what never forbids.
func (c *checker) contradiction(t *pricing.Terms) {
	var both []string
	t.Always, both = partition(t.Always, func(key string) bool {
		return slices.Contains(t.Never, key) || slices.Contains(t.Never, everything)
	})
	if len(both) > 0 {
		c.say(never, estimate.Error, fmt.Sprintf("in %s and in %s, so not bought here: %s", always, never, some(both)), "take it out of one of them")
	}
}

// claim takes out of always what is always bought at a supplier before.
func (r *termsReader) claim(c *checker, t *pricing.Terms) {
	for _, had := range r.terms {
		var both []string
		t.Always, both = partition(t.Always, func(key string) bool { return slices.Contains(had.Always, key) })
		if len(both) > 0 {
			c.say(always, estimate.Error,
				fmt.Sprintf("always bought at %q (%s) already, and kept there: %s", had.Supplier, position(had.Place, t.Place), some(both)),
				"name an item at one supplier only")
		}
	}
}

// partition divides keys by whether they are out.
func partition(keys []string, out func(string) bool) (rest, taken []string) {
	for _, key := range keys {
		if out(key) {
			taken = append(taken, key)
		} else {
			rest = append(rest, key)
		}
	}
	return rest, taken
}
