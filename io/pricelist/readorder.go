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

// orderColumns are the columns of an order; those that say what was ordered are
// required.
func orderColumns() []sheet.Column {
	var cols []sheet.Column
	for _, key := range []string{"row", "supplier", "item", "pack", "count", "price", "code", "description", "unit", "extension", "currency", "visit", "needed_by", "cost_code"} {
		cols = append(cols, sheet.Column{Key: key, Required: len(cols) < 6})
	}
	return cols
}

// IsOrder reports whether a book is an order as WriteOrder writes it, and no
// price list.
func IsOrder(b *sheet.Book) bool {
	if len(b.Sheets) != 1 {
		return false
	}
	t, _ := b.Sheets[0].Table(orderColumns())
	return !slices.ContainsFunc(orderColumns(), func(c sheet.Column) bool { return c.Required && !t.HasColumn(c.Key) })
}

// ReadOrder returns what was ordered, by an order as WriteOrder writes it. The
// sums in it are not read. A row that cannot be read is left out, with a problem
// at its cell.
func ReadOrder(b *sheet.Book, items estimate.Items) ([]pricing.Line, []estimate.Problem) {
	t, problems := b.Sheets[0].Table(orderColumns())
	var out []pricing.Line
	for _, row := range t.Rows {
		if !strings.EqualFold(row.Cell("row").Word(), "line") {
			continue
		}
		l, ps := orderLine(row, items)
		problems = append(problems, ps...)
		if estimate.Errors(ps) == 0 {
			out = append(out, l)
		}
	}
	return out, problems
}

func orderLine(row sheet.Row, items estimate.Items) (l pricing.Line, problems []estimate.Problem) {
	word := func(key string) string { return row.Cell(key).Word() }
	fail := func(key string, err error) {
		if err != nil {
			problems = append(problems, row.Cell(key).Problem(estimate.Error, err.Error(), "the line is left out; order again, or correct it"))
		}
	}
	l.Offer = pricing.Offer{Place: row.Place, Supplier: word("supplier"), Code: word("code"), Item: word("item"), Content: word("pack"), Currency: word("currency")}
	item, known := items.Get(l.Offer.Item)
	if !known {
		fail("item", fmt.Errorf("%q is no item of the estimate", l.Offer.Item))
		return l, problems
	}
	var err error
	l.Offer.Amount, err = pricing.ParseContent(l.Offer.Content, item)
	fail("pack", err)
	l.Computed, err = measure.ParseCount(word("count"))
	fail("count", err)
	l.Offer.Price, err = measure.ParseUnitPrice(word("price"))
	fail("price", err)
	return l, problems
}
