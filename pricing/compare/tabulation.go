package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// QuoteTotals are a quote's totals, and what it costs to buy from it what the
// job needs.
type QuoteTotals struct {
	SupplierQuote
	Own       estimate.Maybe[measure.Money] // sum of its own extensions
	ByPrice   estimate.Maybe[measure.Money] // sum of count × unit price
	NoAmount  int                           // lines that neither sum holds
	Items     []QuotedItem                  // by Tabulation.Items
	Missing   int                           // items that it does not quote
	Materials measure.Money                 // of what it quotes
	Delivery  measure.Money                 // of that order
	Below     bool                          // the order is below the supplier's minimum
	Common    measure.Money                 // of the items that all quote
	Rank      int                           // by Common, from 1; 0 = nothing is quoted by all
	Over      estimate.Maybe[measure.Rate]  // Common over the lowest
}

// Whole reports whether the quote has everything.
func (q QuoteTotals) Whole() bool { return q.Missing == 0 }

// Cost is materials and delivery, before tax.
func (q QuoteTotals) Cost() measure.Money { return q.Materials + q.Delivery }

// QuotedItem is what an item costs at one quote, for all that the job needs.
type QuotedItem struct {
	Cost  estimate.Maybe[measure.Money]
	Why   string         // why it has no cost
	Lines []pricing.Line // what would be bought
}

// NeededItem is an item that the job buys.
type NeededItem struct {
	Item   estimate.Item
	ToBuy  int64
	Common bool   // all quote it
	Split  string // supplier of the best split; "" = nobody quotes it
	Least  estimate.Maybe[measure.Money]
}

// Tabulation is quotes held against what a job needs.
type Tabulation struct {
	Items    []NeededItem
	Quotes   []QuoteTotals
	Lowest   int                           // the lowest whole offer, an index of Quotes; below 0 = none is whole
	First    pricing.Way                   // the best of one supplier first, and what it lacks elsewhere
	Split    pricing.Way                   // the least of all, however many suppliers it takes
	Gap      measure.Money                 // how much less another split may cost at most
	Saving   estimate.Maybe[measure.Money] // of the split against the lowest whole offer
	Doubtful []string                      // items that the split buys at a price that a flag is in doubt of, with their suppliers
	Unsure   []string                      // items that the lowest whole offer has at such a price
	Firm     pricing.Way                   // the best split without such prices, where the split has any
	NotFirm  []string                      // items that nobody quotes without doubt
	Unquoted []string                      // items that nobody quotes
	Flags    []Flag                        // by quote, in the order of the rows
	Problems []estimate.Problem            // of buying from the quotes, at their rows
}

// Ranked reports whether there is an item that all quote.
func (c Tabulation) Ranked() bool {
	return slices.ContainsFunc(c.Items, func(n NeededItem) bool { return n.Common })
}

// tabulator holds quotes against a job.
type tabulator struct {
	book    estimate.Book
	takeoff *estimate.Takeoff
	terms   []pricing.Terms
	quotes  []SupplierQuote
	out     Tabulation
}

// Quotes prices what a takeoff needs from each quote alone and from all
// together, and flags what has to be asked. terms are those of the suppliers
// whose names the quotes have; what they say of items bought always or never
// there does not count here. A delivery in a quote goes before that of the terms.
//
// Items that a quote lacks are counted, never zero. Quotes are ranked by the
// items that all of them have.
//
// Source: as-read total, sum of the bidder's extensions and sum of calculated
// extensions, with the number of blank bids: unit price tabulation of bids,
// Illinois Department of Transportation
func Quotes(book estimate.Book, t *estimate.Takeoff, terms []pricing.Terms, quotes []SupplierQuote) Tabulation {
	r := tabulator{book: book, takeoff: t, quotes: quotes}
	var names pricing.SupplierNames
	for _, q := range quotes {
		names.Of(q.Supplier)
	}
	terms = names.Lists(pricing.Lists{Terms: terms}).Terms
	for _, q := range quotes {
		r.terms = append(r.terms, termsOfQuote(q, terms))
	}
	r.book.Job.MinSaving = estimate.Given(measure.Money(0)) // the best split of all
	r.fromAll()
	for i := range quotes {
		r.fromOne(i)
	}
	r.rank()
	r.flag()
	r.firm()
	r.out.Problems = estimate.SortProblems(r.out.Problems)
	return r.out
}

// termsOfQuote returns what the supplier of a quote asks beside its prices.
func termsOfQuote(q SupplierQuote, terms []pricing.Terms) pricing.Terms {
	out := pricing.Terms{Supplier: q.Supplier}
	if i := slices.IndexFunc(terms, func(t pricing.Terms) bool { return t.Supplier == q.Supplier }); i >= 0 {
		out = terms[i]
		out.Always, out.Never = nil, nil
	}
	if d, ok := q.last(SumDelivery); ok {
		out.DeliveryFee, out.FreeOver = estimate.Given(d.Amount), estimate.Maybe[measure.Money]{}
	}
	return out
}

// offers returns what can be bought from a quote. A price that has expired is
// left out, which its flag says, and so is what is not sound.
func (r *tabulator) offers(i int, sound func(line int) bool) []pricing.Offer {
	var out []pricing.Offer
	for k, l := range r.quotes[i].Lines {
		if l.offered() && !expired(l, r.book.Job.Date) && sound(k) {
			out = append(out, l.offer(r.quotes[i].Supplier, r.book.Job.Date))
		}
	}
	return out
}

// split buys from all quotes at once, wherever it costs least, at prices that
// are sound.
func (r *tabulator) split(sound func(quote, line int) bool) pricing.Plan {
	var offers []pricing.Offer
	for i := range r.quotes {
		offers = append(offers, r.offers(i, func(line int) bool { return sound(i, line) })...)
	}
	return pricing.Make(r.book, *r.takeoff, pricing.Lists{Offers: offers, Terms: r.terms})
}

// firm finds what of the best split rests on a price that a flag is in doubt of,
// and the best split without such prices.
func (r *tabulator) firm() {
	doubtful := map[[2]int]bool{} // by quote and line
	for _, f := range r.out.Flags {
		if f.Line < 0 {
			continue
		}
		doubtful[[2]int{f.Quote, f.Line}] = true
		at := slices.IndexFunc(r.out.Items, func(n NeededItem) bool { return n.Item.Key == f.Item })
		words := f.Item + " at " + r.quotes[f.Quote].Supplier
		if at >= 0 && r.out.Items[at].Split == r.quotes[f.Quote].Supplier && !slices.Contains(r.out.Doubtful, words) {
			r.out.Doubtful = append(r.out.Doubtful, words)
		}
		if at >= 0 && f.Quote == r.out.Lowest && !slices.Contains(r.out.Unsure, f.Item) {
			r.out.Unsure = append(r.out.Unsure, f.Item)
		}
	}
	if len(r.out.Doubtful) == 0 {
		return
	}
	p := r.split(func(quote, line int) bool { return !doubtful[[2]int{quote, line}] })
	r.out.Firm = p.Choice.Chosen
	for _, n := range r.out.Items {
		if slices.Contains(p.Unpriced(), n.Item.Key) {
			r.out.NotFirm = append(r.out.NotFirm, n.Item.Key)
		}
	}
}

// fromAll buys from all quotes at once: the best split.
func (r *tabulator) fromAll() {
	p := r.split(func(int, int) bool { return true })
	for _, buy := range p.Purchases {
		if buy.State == "" && len(buy.Lines) == 0 {
			continue // what is on hand serves
		}
		n := NeededItem{Item: buy.Item, ToBuy: buy.ToBuy, Split: buy.Supplier}
		if buy.State != "" {
			n.Split = ""
			r.out.Unquoted = append(r.out.Unquoted, buy.Item.Key)
		} else {
			n.Least = estimate.Given(buy.Cost)
		}
		r.out.Items = append(r.out.Items, n)
	}
	c := p.Choice
	r.out.Split, r.out.Gap = c.Chosen, c.Gap
	for _, y := range c.Yards {
		if y.Sells > 0 && (len(r.out.First.Suppliers) == 0 || y.WithRest.Cost() < r.out.First.Cost()) {
			r.out.First = y.WithRest
		}
	}
	for _, x := range p.Problems {
		if x.Place.Row > 0 && slices.ContainsFunc(r.quotes, func(q SupplierQuote) bool { return q.Place.File == x.Place.File && q.Place.Sheet == x.Place.Sheet }) {
			r.out.Problems = append(r.out.Problems, x)
		}
	}
}

// fromOne buys from one quote what it has.
func (r *tabulator) fromOne(i int) {
	q := QuoteTotals{SupplierQuote: r.quotes[i]}
	q.Own, q.NoAmount = q.sumOf(QuoteLine.Own)
	q.ByPrice, _ = q.sumOf(func(l QuoteLine) estimate.Maybe[measure.Money] {
		if by := l.ByPrice(); by.Set {
			return by
		}
		return l.Extension
	})
	p := pricing.Make(r.book, *r.takeoff, pricing.Lists{Offers: r.offers(i, func(int) bool { return true }), Terms: []pricing.Terms{r.terms[i]}})
	for _, n := range r.out.Items {
		k := slices.IndexFunc(p.Purchases, func(b pricing.Purchase) bool { return b.Item.Key == n.Item.Key })
		buy := p.Purchases[k]
		item := QuotedItem{Why: r.whyMissing(i, buy)}
		if buy.State == "" {
			item.Cost, item.Lines = estimate.Given(buy.Cost), buy.Lines
			q.Materials += buy.Cost
		} else {
			q.Missing++
		}
		q.Items = append(q.Items, item)
	}
	q.Delivery, q.Below = r.terms[i].Fee(q.Materials), r.terms[i].Below(q.Materials)
	r.out.Quotes = append(r.out.Quotes, q)
}

// whyMissing says why a quote does not have an item; "" where it has.
func (r *tabulator) whyMissing(i int, buy pricing.Purchase) string {
	if buy.State == "" {
		return ""
	}
	why := "not in the quote"
	for _, l := range r.quotes[i].Lines {
		switch {
		case l.Offer.Item != buy.Item.Key:
		case l.Unread:
			return "its line cannot be read"
		case !l.offered():
			return "its price is blank"
		case expired(l, r.book.Job.Date):
			return "its price has expired"
		default:
			why = "its price cannot be used"
		}
	}
	if buy.State != pricing.NoPrice {
		return buy.State
	}
	return why
}

// rank ranks the quotes by what all of them have, and finds the lowest whole
// offer.
func (r *tabulator) rank() {
	out := &r.out
	for k := range out.Items {
		out.Items[k].Common = !slices.ContainsFunc(out.Quotes, func(q QuoteTotals) bool { return !q.Items[k].Cost.Set })
	}
	for i := range out.Quotes {
		out.Quotes[i].Common = r.common(i)
	}
	out.Lowest = -1
	ranks := ranksOf(r.commons())
	for i := range out.Quotes {
		q := &out.Quotes[i]
		if out.Ranked() {
			q.Rank = ranks[i]
			q.Over = OverLowest(q.Common, out.Quotes[slices.Index(ranks, 1)].Common)
		}
		if q.Whole() && (out.Lowest < 0 || q.Cost() < out.Quotes[out.Lowest].Cost()) {
			out.Lowest = i
		}
	}
	if out.Lowest >= 0 {
		out.Saving = estimate.Given(out.Quotes[out.Lowest].Cost() - out.Split.Cost())
	}
}

// common adds up what a quote asks for the items that all quote.
func (r *tabulator) common(i int) measure.Money {
	sum := measure.Money(0)
	for k, n := range r.out.Items {
		if n.Common {
			sum += r.out.Quotes[i].Items[k].Cost.V
		}
	}
	return sum
}

func (r *tabulator) commons() []estimate.Maybe[measure.Money] {
	var out []estimate.Maybe[measure.Money]
	for _, q := range r.out.Quotes {
		out = append(out, estimate.Given(q.Common))
	}
	return out
}

// ranksOf returns the rank of each total, the lowest first; equals share one.
// What has no total has rank 0.
func ranksOf(totals []estimate.Maybe[measure.Money]) []int {
	out := make([]int, len(totals))
	for i, t := range totals {
		if !t.Set {
			continue
		}
		out[i] = 1
		for _, o := range totals {
			if o.Set && o.V < t.V {
				out[i]++
			}
		}
	}
	return out
}
