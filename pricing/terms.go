package pricing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Terms are what a supplier asks beside its prices. What is not set is not
// asked.
type Terms struct {
	Place        estimate.Place // of the row; Column is that of the supplier
	Supplier     string
	DeliveryFee  estimate.Maybe[measure.Money] // of an order; without it, nothing
	FreeOver     estimate.Maybe[measure.Money] // an order of so much and more is delivered free
	MinimumOrder estimate.Maybe[measure.Money]
	LeadDays     estimate.Maybe[int64] // of its offers that state none
	ReturnDays   estimate.Maybe[int64] // after the date of an order something may go back
	Restocking   estimate.Maybe[measure.Rate]
	Currency     string   // "" = the job's
	Always       []string // keys of items that are bought here and nowhere else
	Never        []string // keys of items that are not bought here; "all" = nothing is
}

// Pin is a supplier that the estimator chose for an item.
type Pin struct {
	Place    estimate.Place // of the cell
	Supplier string
}

// bans reports whether an item is not to be bought at the supplier.
func (t Terms) bans(item string) bool {
	return slices.Contains(t.Never, item) || slices.Contains(t.Never, "all")
}

// in returns the terms as far as they hold in a currency: amounts of another one
// are not used.
func (t Terms) in(currency string) Terms {
	if t.Currency != "" && !strings.EqualFold(t.Currency, currency) {
		t.DeliveryFee, t.FreeOver, t.MinimumOrder = estimate.Maybe[measure.Money]{}, estimate.Maybe[measure.Money]{}, estimate.Maybe[measure.Money]{}
	}
	return t
}

// checkTerms reports terms and pins that nothing can come of.
func (b *buyer) checkTerms(lists Lists) {
	offers := func(name string) bool {
		return slices.ContainsFunc(lists.Offers, func(o Offer) bool { return o.Supplier == name })
	}
	for _, t := range lists.Terms {
		if !offers(t.Supplier) {
			b.say(t.Place, estimate.Warning, fmt.Sprintf("no price list has a supplier %s", measure.Quote(t.Supplier)), "write the name as it stands in the price list")
		}
		if t.Currency != "" && !strings.EqualFold(t.Currency, b.job.Currency) {
			b.say(t.Place, estimate.Error,
				fmt.Sprintf("the terms of %s are in %s, the job in %s; its fee and limits are not used", t.Supplier, t.Currency, b.job.Currency),
				"convert them, or correct the currency")
		}
	}
	for _, item := range slices.Sorted(maps.Keys(lists.Pins)) {
		if b.job.OwnerBrings(item) {
			b.say(lists.Pins[item].Place, estimate.Note, fmt.Sprintf("%s is by owner; its supplier is not looked at", item), "")
		} else if !b.usable.needed(item) {
			b.say(lists.Pins[item].Place, estimate.Note, fmt.Sprintf("%s is not needed; its supplier is not looked at", item), "")
		}
	}
}

// AllTerms returns the terms of every supplier, by name: those with a price list
// and no terms too.
func (l Lists) AllTerms() []Terms {
	out := slices.Clone(l.Terms)
	for _, o := range l.Offers {
		if !slices.ContainsFunc(out, func(t Terms) bool { return t.Supplier == o.Supplier }) {
			out = append(out, Terms{Supplier: o.Supplier})
		}
	}
	slices.SortStableFunc(out, func(a, b Terms) int { return cmp.Compare(a.Supplier, b.Supplier) })
	return out
}

// Fee returns what the delivery of an order costs.
func (t Terms) Fee(order measure.Money) measure.Money {
	if order <= 0 || !t.DeliveryFee.Set || t.FreeOver.Set && order >= t.FreeOver.V {
		return 0
	}
	return t.DeliveryFee.V
}

// Below reports whether an order is smaller than the supplier takes.
func (t Terms) Below(order measure.Money) bool {
	return order > 0 && t.MinimumOrder.Set && order < t.MinimumOrder.V
}
