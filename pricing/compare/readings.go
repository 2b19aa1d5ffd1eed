package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Reading is one way to read a price, and what it would do to the ranking of
// the quotes by the items that all have. Where it cannot be known, it is not
// set.
type Reading struct {
	Governs   string // what is taken at its word
	Price     measure.UnitPrice
	Extension estimate.Maybe[measure.Money] // of the supplier's own count
	Own       estimate.Maybe[measure.Money] // sum of the supplier's own extensions
	OwnRank   int                           // by that, 0 = none
	Need      estimate.Maybe[measure.Money] // for what the job needs
	NeedRank  int
}

// reading works out what a line read in one way does to the ranking.
func (r *tabulator) reading(i, k int, governs string, price measure.UnitPrice, extension estimate.Maybe[measure.Money]) Reading {
	out := Reading{Governs: governs, Price: price, Extension: extension}
	own := make([]estimate.Maybe[measure.Money], len(r.quotes))
	for j := range r.quotes {
		own[j] = r.ownCommon(j, func(n int, l QuoteLine) estimate.Maybe[measure.Money] {
			if j == i && n == k {
				return extension
			}
			return l.Own()
		})
	}
	out.Own, out.OwnRank = own[i], ranksOf(own)[i]
	need := r.commons()
	need[i] = r.commonRead(i, k, price)
	out.Need, out.NeedRank = need[i], ranksOf(need)[i]
	return out
}

// ownCommon adds up the lines of a quote for the items that all have, as the
// supplier counts them; not set where a line has no amount.
func (r *tabulator) ownCommon(j int, amount func(n int, l QuoteLine) estimate.Maybe[measure.Money]) estimate.Maybe[measure.Money] {
	sum := measure.Money(0)
	for n, l := range r.quotes[j].Lines {
		if !r.isCommon(l.Offer.Item) {
			continue
		}
		m := amount(n, l)
		if !m.Set {
			return estimate.Maybe[measure.Money]{}
		}
		sum += m.V
	}
	return estimate.Given(sum)
}

func (r *tabulator) isCommon(item string) bool {
	return slices.ContainsFunc(r.out.Items, func(n NeededItem) bool { return n.Common && n.Item.Key == item })
}

// commonRead is common with one line at another price.
func (r *tabulator) commonRead(i, k int, price measure.UnitPrice) estimate.Maybe[measure.Money] {
	line := r.quotes[i].Lines[k]
	sum := r.out.Quotes[i].Common
	if !r.isCommon(line.Offer.Item) {
		return estimate.Given(sum)
	}
	var offers []pricing.Offer
	for n, l := range r.quotes[i].Lines {
		if n == k {
			l.Price = estimate.Given(price)
		}
		if l.Offer.Item == line.Offer.Item && l.offered() && !expired(l, r.book.Job.Date) {
			offers = append(offers, l.offer(r.quotes[i].Supplier, r.book.Job.Date))
		}
	}
	cost := costOfItem(r.book, r.takeoff, offers, line.Offer.Item)
	if !cost.Set {
		return cost
	}
	at := slices.IndexFunc(r.out.Items, func(n NeededItem) bool { return n.Item.Key == line.Offer.Item })
	return estimate.Given(sum - r.out.Quotes[i].Items[at].Cost.V + cost.V)
}

// costOfItem returns what an item costs of the offers of one supplier.
func costOfItem(book estimate.Book, t *estimate.Takeoff, offers []pricing.Offer, item string) estimate.Maybe[measure.Money] {
	alone := estimate.Takeoff{Openings: t.Openings}
	for _, r := range t.Requirements {
		if r.Item == item {
			alone.Requirements = append(alone.Requirements, r)
		}
	}
	for _, p := range pricing.Make(book, alone, pricing.Lists{Offers: offers}).Purchases {
		if p.State == "" {
			return estimate.Given(p.Cost)
		}
	}
	return estimate.Maybe[measure.Money]{}
}

// readings are a price as it is written, and as it may be meant.
func (r *tabulator) readings(i, k int, l QuoteLine, meant string, price measure.UnitPrice) []Reading {
	extension := estimate.Maybe[measure.Money]{}
	if l.Count.Set {
		extension = estimate.Given(measure.Extension(l.Count.V, price))
	}
	return []Reading{r.reading(i, k, "as written", l.UnitPrice().V, l.Own()), r.reading(i, k, meant, price, extension)}
}
