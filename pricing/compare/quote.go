package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// SupplierQuote is what one supplier wrote: the rows of a quote, and the sums
// under them.
type SupplierQuote struct {
	Supplier string
	Place    estimate.Place // the file and sheet
	Lines    []QuoteLine
	Sums     []QuoteSum
}

// The kinds of sums under a quote.
const (
	SumTotal    = "total"
	SumSubtotal = "subtotal"
	SumDelivery = "delivery"
	SumOther    = "other" // tax, discount, deposit: part of the total
)

// QuoteSum is a row under the lines of a quote.
type QuoteSum struct {
	Place  estimate.Place
	Kind   string
	Label  string // as written
	Amount measure.Money
}

// The columns of a quote that a flag may stand at.
const (
	CellItem      = "item"
	CellContent   = "content"
	CellPrice     = "price"
	CellCount     = "count"
	CellExtension = "extension"
	CellEffective = "effective"
	CellExpires   = "expires"
)

// QuoteLine is a row of a quote. What the supplier left out is not set.
type QuoteLine struct {
	Offer     pricing.Offer             // without price and supplier; Item is "" when it is none of ours
	Named     string                    // the item as written
	At        map[string]estimate.Place // by column
	Count     estimate.Maybe[int64]
	Price     estimate.Maybe[measure.UnitPrice]
	Extension estimate.Maybe[measure.Money]
	Unread    bool // a cell that an offer needs cannot be read, which the reader says
}

// UnitPrice returns what one costs: as written, else what follows from the
// extension.
//
//	unit price = extension / count
func (l QuoteLine) UnitPrice() estimate.Maybe[measure.UnitPrice] {
	if l.Price.Set {
		return l.Price
	}
	return l.fromExtension()
}

func (l QuoteLine) fromExtension() estimate.Maybe[measure.UnitPrice] {
	if !l.Extension.Set || l.Count.Or(0) <= 0 {
		return estimate.Maybe[measure.UnitPrice]{}
	}
	return estimate.Given(measure.UnitPrice(measure.MulDiv(int64(l.Extension.V), 100, l.Count.V)))
}

// ByPrice returns count × unit price, where both are written.
func (l QuoteLine) ByPrice() estimate.Maybe[measure.Money] {
	if !l.Price.Set || !l.Count.Set {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(measure.Extension(l.Count.V, l.Price.V))
}

// Own returns what the supplier asks for the line: its extension as written,
// else count × unit price.
func (l QuoteLine) Own() estimate.Maybe[measure.Money] {
	if l.Extension.Set {
		return l.Extension
	}
	return l.ByPrice()
}

// disagrees reports whether extension and count × unit price are both written
// and differ.
func (l QuoteLine) disagrees() bool {
	by := l.ByPrice()
	return by.Set && l.Extension.Set && by.V != l.Extension.V
}

// offered reports whether the line can be bought from.
func (l QuoteLine) offered() bool {
	return !l.Unread && l.Offer.Item != "" && l.UnitPrice().Or(0) > 0
}

// offer returns the line as an offer of a supplier. Its date was looked at, so
// that it is given that of the job.
func (l QuoteLine) offer(supplier string, day estimate.Maybe[measure.Date]) pricing.Offer {
	o := l.Offer
	o.Supplier, o.Price, o.Effective = supplier, l.UnitPrice().V, day
	return o
}

// sumOf adds up lines; what has no amount is counted, not added.
func (q SupplierQuote) sumOf(amount func(QuoteLine) estimate.Maybe[measure.Money]) (sum estimate.Maybe[measure.Money], without int) {
	for _, l := range q.Lines {
		if m := amount(l); m.Set {
			sum = estimate.Given(sum.V + m.V)
		} else {
			without++
		}
	}
	return sum, without
}

// Written returns the total as the supplier wrote it: the last row that is one.
func (q SupplierQuote) Written() (QuoteSum, bool) { return q.last(SumTotal) }

func (q SupplierQuote) last(kind string) (QuoteSum, bool) {
	for _, s := range slices.Backward(q.Sums) {
		if s.Kind == kind {
			return s, true
		}
	}
	return QuoteSum{}, false
}

// beside adds up what stands between the lines and the total: delivery, tax,
// discount.
func (q SupplierQuote) beside() measure.Money {
	sum := measure.Money(0)
	for _, s := range q.Sums {
		if s.Kind == SumDelivery || s.Kind == SumOther {
			sum += s.Amount
		}
	}
	return sum
}
