package compare

import (
	"cmp"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// BuyChange is one pack, board or length: what there is of it by the earlier
// estimate, and what the later one asks for. Boards that were cut for nothing
// count as asked for.
type BuyChange struct {
	Item     estimate.Item
	Supplier string // "" = it was on hand
	Code     string
	Content  string
	Had      int64
	More     int64 // to buy
	Left     int64 // whole ones that are not needed
	Price    estimate.Maybe[measure.UnitPrice]
	State    string // why no more of it can be bought though it is needed; "" = nothing is lacking
}

// Needed returns how many the later estimate asks for.
func (b BuyChange) Needed() int64 { return b.Had + b.More - b.Left }

// MoreCost returns what is paid for more of a line, before delivery and tax.
func (b BuyChange) MoreCost() measure.Money { return b.cost(b.More) }

// LeftWorth returns what was paid for what is left over; 0 for what was on hand.
func (b BuyChange) LeftWorth() measure.Money { return b.cost(b.Left) }

func (b BuyChange) cost(n int64) measure.Money {
	if !b.Price.Set {
		return 0
	}
	return measure.Extension(n, b.Price.V)
}

// wanted returns what the job needs of the earlier estimate's boards and packs,
// and of what more is bought: all of the later takeoff, and what was cut for nothing.
func (r *reviser) wanted() estimate.Takeoff {
	t := estimate.Takeoff{Openings: slices.Clone(r.now.Takeoff.Openings), Requirements: slices.Clone(r.now.Takeoff.Requirements)}
	for _, w := range r.wrong() {
		t.Requirements = append(t.Requirements, estimate.Requirement{
			Opening: len(t.Openings), Item: w.Item, Dim: estimate.Lengthwise, Name: w.Piece, Length: w.Length, Count: w.Count})
		t.Openings = append(t.Openings, estimate.Sized{Opening: estimate.Opening{Mark: w.Mark + " (cut before)", Qty: 1}})
	}
	return t
}

// buy plans what more the job needs, item by item.
func (r *reviser) buy() []BuyChange {
	t := r.wanted()
	var out []BuyChange
	seen := map[string]bool{}
	for _, n := range pricing.ItemNeeds(r.now.Book, &t, r.now.Lists) {
		seen[n.Item.Key] = true
		out = append(out, r.change(n)...)
	}
	for _, p := range r.was.Plan.Purchases {
		if !seen[p.Item.Key] {
			seen[p.Item.Key] = true
			h := r.hadOf(p.Item)
			for i := range h.rows {
				h.rows[i].Left = h.rows[i].Had
			}
			out = append(out, h.rows...)
		}
	}
	for i := range out {
		swap := min(out[i].More, out[i].Left) // one that is left is one less to buy
		out[i].More, out[i].Left = out[i].More-swap, out[i].Left-swap
	}
	slices.SortStableFunc(out, func(a, b BuyChange) int { return cmp.Compare(pricing.ClassOrder(a.Item), pricing.ClassOrder(b.Item)) })
	return out
}

// change returns what the job has and needs of an item.
func (r *reviser) change(n pricing.ItemNeed) []BuyChange {
	h := r.hadOf(n.Item)
	earlier := slices.IndexFunc(r.was.Plan.Purchases, func(p pricing.Purchase) bool { return p.Item.Key == n.Item.Key })
	switch {
	case earlier >= 0 && r.was.Plan.Purchases[earlier].State == pricing.RunAgain:
		return []BuyChange{{Item: n.Item, State: "earlier: " + pricing.RunAgain}} // what was bought is not known
	case n.Item.Cut && earlier >= 0 && !h.onHand && r.was.Plan.Purchases[earlier].Fingerprint == n.Fingerprint():
		return h.asPlanned(r.was.Plan.Purchases[earlier].Lines)
	}
	return h.toppedUp(n, r.supplier(n.Item.Key))
}

// supplier returns where more of an item is bought: where the later estimate
// buys it, else where the earlier one did.
func (r *reviser) supplier(item string) string {
	for _, plan := range []pricing.Plan{r.now.Plan, r.was.Plan} {
		for _, p := range plan.Purchases {
			if p.Item.Key == item && p.Supplier != "" && p.State == "" {
				return p.Supplier
			}
		}
	}
	return ""
}

// had is what there is of an item by an earlier estimate.
type had struct {
	item   estimate.Item
	rows   []BuyChange
	stock  []pricing.Stock // by row
	onHand bool            // some of it was on hand
}

// hadOf returns what the earlier estimate has on hand and buys of an item.
func (r *reviser) hadOf(item estimate.Item) had {
	h := had{item: item}
	for _, s := range r.was.Book.Job.OnHand {
		if s.Item == item.Key && (s.Count > 0 || s.By != estimate.ByOwner) {
			h.onHand = true
			h.rows = append(h.rows, BuyChange{Item: item, Content: r.show(s.Length), Had: s.Count})
			h.stock = append(h.stock, pricing.Stock{Amount: int64(s.Length), Count: s.Count, Square: true})
		}
	}
	for _, p := range r.was.Plan.Purchases {
		if p.Item.Key != item.Key {
			continue
		}
		for _, l := range p.Lines {
			h.rows = append(h.rows, boughtRow(item, l.Offer, l.Count()))
			h.stock = append(h.stock, pricing.Stock{Amount: l.Offer.Amount, Count: l.Count()})
		}
	}
	return h
}

func boughtRow(item estimate.Item, o pricing.Offer, n int64) BuyChange {
	return BuyChange{Item: item, Supplier: o.Supplier, Code: o.Code, Content: o.Content, Had: n, Price: estimate.Given(o.Price)}
}

// asPlanned returns what there is of an item whose plan still holds, and of
// which nothing was on hand: more and less of it is only what the estimator
// bought otherwise.
func (h had) asPlanned(lines []pricing.Line) []BuyChange {
	for i, l := range lines {
		h.rows[i].More = max(0, l.Computed-l.Count())
		h.rows[i].Left = max(0, l.Count()-l.Computed)
	}
	return h.rows
}

// toppedUp returns what more is bought of an item and what is left of it, planned
// on what there is.
func (h had) toppedUp(n pricing.ItemNeed, supplier string) []BuyChange {
	more := n.TopUp(supplier, h.stock)
	for i, left := range more.Left {
		h.rows[i].Left = left
	}
	for _, l := range more.Lines {
		h.buy(l)
	}
	if more.State != "" {
		h.rows = append(h.rows, BuyChange{Item: h.item, State: more.State})
	}
	return h.rows
}

// buy adds a line that is bought to the rows.
func (h *had) buy(l pricing.Line) {
	i := slices.IndexFunc(h.rows, func(r BuyChange) bool {
		return r.Supplier == l.Offer.Supplier && r.Code == l.Offer.Code && r.Content == l.Offer.Content
	})
	if i < 0 {
		i = len(h.rows)
		h.rows = append(h.rows, boughtRow(h.item, l.Offer, 0))
	}
	h.rows[i].More += l.Count()
	h.rows[i].Price = estimate.Given(l.Offer.Price) // what is bought now, is bought at the price of now
}
