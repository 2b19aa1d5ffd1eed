package pricing

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Stock is what there is of an item before more of it is bought: so many packs
// or lengths of one size.
type Stock struct {
	Amount int64 // of one, base units of the item's dimension; of an item that is cut, its length
	Count  int64
	Square bool // of a length: its ends are square already
}

// ItemNeed is what a job needs of one item, of which some may be there.
type ItemNeed struct {
	Item estimate.Item

	buyer *buyer
	need  need
}

// ItemNeeds returns what a takeoff needs, item by item, in the order of the
// classes, then of the items. What the book has on hand does not count: TopUp is
// told what there is.
func ItemNeeds(book estimate.Book, t *estimate.Takeoff, lists Lists) []ItemNeed {
	book.Job.OnHand = ownersRows(book.Job.OnHand)
	b := newBuyer(book, t, lists)
	var out []ItemNeed
	for _, n := range b.needs {
		out = append(out, ItemNeed{Item: n.item, buyer: b, need: n})
	}
	return out
}

// Fingerprint returns the fingerprint of a plan of the need with nothing on
// hand, as Purchase.Fingerprint: two needs of one fingerprint are planned alike.
func (n ItemNeed) Fingerprint() string { return n.buyer.fingerprint(n.need, n.need.total) }

// TopUp is what more is bought of an item of which there is some.
type TopUp struct {
	Lines []Line
	Left  []int64 // of each Stock, how many whole ones are not needed
	State string  // why not all that is needed can be had; "" = it can
}

// TopUp plans what more of the item is bought beside what there is of it, at the
// least further cost: from a supplier, or where that one does not offer it, from
// the first that does; what the owner brings is not. Of an item that is not cut, stock counts by its content,
// and of what is too much the stock named first is left.
func (n ItemNeed) TopUp(supplier string, stock []Stock) TopUp {
	if n.buyer.job.OwnerBrings(n.Item.Key) {
		out := n.topUp(nil, stock)
		if out.State != "" {
			out.State = ByOwner
		}
		return out
	}
	return n.topUp(n.offersAt(supplier), stock)
}

func (n ItemNeed) topUp(offers []Offer, stock []Stock) TopUp {
	if n.Item.Cut {
		return n.topUpLengths(offers, stock)
	}
	return n.topUpPacks(offers, stock)
}

// offersAt returns the offers of the item at a supplier, else at the first that
// offers it.
func (n ItemNeed) offersAt(supplier string) []Offer {
	all := bySupplier(n.buyer.usable.offers[n.Item.Key])
	for _, offers := range all {
		if offers[0].Supplier == supplier {
			return offers
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all[0]
}

func (n ItemNeed) topUpPacks(offers []Offer, stock []Stock) TopUp {
	out := TopUp{Left: make([]int64, len(stock))}
	toBuy := withAllowance(n.need.total, n.buyer.allowance(n.Item))
	have, opened := int64(0), n.buyer.opened(n.need)
	for _, s := range stock {
		have, opened = have+s.Count*s.Amount, opened-s.Count
	}
	for i, s := range stock {
		if over := have - toBuy; over > 0 && s.Amount > 0 {
			out.Left[i] = min(s.Count, over/s.Amount, max(0, -opened))
			have, opened = have-out.Left[i]*s.Amount, opened+out.Left[i]
		}
	}
	switch {
	case have >= toBuy && opened <= 0:
	case len(offers) == 0:
		out.State = NoPrice
	default:
		out.Lines = n.buyer.candidate(offers, n.need, toBuy-have, opened).lines
	}
	return out
}

// topUpLengths plans the cutting from what there is, at no cost, and from what
// is offered.
func (n ItemNeed) topUpLengths(offers []Offer, stock []Stock) TopUp {
	b, job := *n.buyer, *n.buyer.job
	b.job = &job
	endTrim := b.cutter(nil, n.need).endTrim
	out := TopUp{Left: make([]int64, len(stock))}
	for i, s := range stock {
		length := measure.Length(s.Amount)
		if !s.Square {
			length -= 2 * endTrim
		}
		job.OnHand = append(job.OnHand, estimate.OnHand{Item: n.Item.Key, Length: length, Count: s.Count})
		out.Left[i] = s.Count
	}
	c := b.candidate(offers, n.need, 0, 0)
	c.improve(n.Item) // of what costs nothing, the fewest boards
	for _, p := range c.plans {
		for _, board := range p.Plan.Boards {
			if p.OnHand(board) {
				out.Left[board.Stock-len(p.Offers)]--
			}
		}
	}
	out.Lines = c.lines
	switch {
	case len(c.left) > 0 && len(offers) == 0:
		out.State = NoPrice
	case len(c.left) > 0:
		out.State = c.left[0].state
	}
	return out
}

// OrderedPurchases returns lines that were ordered as purchases, an item and
// supplier each, in the order of the lines.
func OrderedPurchases(lines []Line, items estimate.Items) []Purchase {
	var out []Purchase
	for _, l := range lines {
		i := slices.IndexFunc(out, func(p Purchase) bool { return p.Item.Key == l.Offer.Item && p.Supplier == l.Offer.Supplier })
		if i < 0 {
			i = len(out)
			item, _ := items.Get(l.Offer.Item)
			out = append(out, Purchase{Item: item, Supplier: l.Offer.Supplier})
		}
		out[i].Lines = append(out[i].Lines, l)
	}
	for i := range out {
		out[i].total()
	}
	return out
}
