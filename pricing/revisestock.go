package pricing

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// had is what there is of an item by an earlier estimate.
type had struct {
	rows    []BuyChange
	amounts []int64 // of one, by row
}

// stockOf returns what the earlier estimate has on hand and buys of an item.
func (r *reviser) stockOf(item estimate.Item) had {
	var h had
	for _, s := range r.was.Book.Job.OnHand {
		if s.Item == item.Key {
			h.rows = append(h.rows, BuyChange{Item: item, Content: r.show(s.Length), Had: s.Count})
			h.amounts = append(h.amounts, int64(s.Length))
		}
	}
	for _, p := range r.was.Plan.Purchases {
		if p.Item.Key != item.Key {
			continue
		}
		for _, l := range p.Lines {
			h.rows = append(h.rows, row(item, l.Offer, l.Count()))
			h.amounts = append(h.amounts, l.Offer.Amount)
		}
	}
	return h
}

func row(item estimate.Item, o Offer, n int64) BuyChange {
	return BuyChange{Item: item, Supplier: o.Supplier, Code: o.Code, Content: o.Content, Had: n, Price: estimate.Given(o.Price)}
}

// more adds lines that are bought to the rows.
func (h *had) more(item estimate.Item, lines []Line) {
	for _, l := range lines {
		i := slices.IndexFunc(h.rows, func(r BuyChange) bool {
			return strings.EqualFold(r.Supplier, l.Offer.Supplier) && r.Code == l.Offer.Code && r.Content == l.Offer.Content
		})
		if i < 0 {
			i = len(h.rows)
			h.rows = append(h.rows, row(item, l.Offer, 0))
			h.amounts = append(h.amounts, l.Offer.Amount)
		}
		h.rows[i].More += l.Count()
		h.rows[i].Price = estimate.Given(l.Offer.Price) // what is bought now, is bought at the price of now
	}
}

// lack says that not all that is needed can be had.
func (h *had) lack(item estimate.Item, state string) {
	h.rows = append(h.rows, BuyChange{Item: item, State: state})
	h.amounts = append(h.amounts, 0)
}

// packs returns what more is bought of an item that is not cut. What there is
// counts by its content; of what is too much the largest packs are left.
func (h had) packs(b *buyer, n need, supplier string) []BuyChange {
	toBuy := withAllowance(n.total, b.allowance(n.item))
	have := int64(0)
	for i, r := range h.rows {
		have += r.Had * h.amounts[i]
	}
	for i := range h.rows {
		if over := have - toBuy; over > 0 && h.amounts[i] > 0 {
			r := &h.rows[i]
			r.Left = min(r.Had, over/h.amounts[i])
			have -= r.Left * h.amounts[i]
		}
	}
	if have >= toBuy {
		return h.rows
	}
	if offers := b.offersFor(n.item.Key, supplier); len(offers) > 0 {
		h.more(n.item, b.from(offers, n, toBuy-have).lines)
	} else {
		h.lack(n.item, NoPrice)
	}
	return h.rows
}

// asPlanned returns what there is of an item whose plan still holds, and of
// which nothing was on hand: more and less of it is only what the estimator
// bought otherwise.
func (h had) asPlanned(lines []Line) []BuyChange {
	for i, l := range lines {
		h.rows[i].More = max(0, l.Computed-l.Count())
		h.rows[i].Left = max(0, l.Count()-l.Computed)
	}
	return h.rows
}

// boards returns what more is bought of an item that is cut: planned on what
// there is and what is offered, at the least further cost.
func (h had) boards(b *buyer, n need, supplier string) []BuyChange {
	b.job.OnHand = nil
	squaring := b.cutter(nil, n).squaring
	for i, r := range h.rows {
		length := measure.Length(h.amounts[i])
		if r.Supplier != "" {
			length -= 2 * squaring // its ends are not square yet
		}
		b.job.OnHand = append(b.job.OnHand, estimate.OnHand{Item: n.item.Key, Length: length, Count: r.Had})
	}
	first := len(h.rows)
	offers := b.offersFor(n.item.Key, supplier)
	c := b.from(offers, n, 0)
	c.suit(n.item) // of what costs nothing, the fewest boards
	used := make([]int64, first)
	for _, p := range c.plans {
		for _, board := range p.Plan.Boards {
			if p.OnHand(board) {
				used[board.Stock-len(p.Offers)]++
			}
		}
	}
	for i := range used {
		h.rows[i].Left = h.rows[i].Had - used[i]
	}
	h.more(n.item, c.lines)
	switch {
	case len(c.left) > 0 && len(offers) == 0:
		h.lack(n.item, NoPrice)
	case len(c.left) > 0:
		h.lack(n.item, c.left[0].state)
	}
	return h.rows
}

// offersFor returns the offers of an item at a supplier, else at the first that
// offers it.
func (b *buyer) offersFor(item, supplier string) []Offer {
	all := suppliers(b.shelf.offers[item])
	for _, offers := range all {
		if strings.EqualFold(offers[0].Supplier, supplier) {
			return offers
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all[0]
}
