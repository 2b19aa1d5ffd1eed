package pricing

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Quote is what an item costs at a supplier.
type Quote struct {
	Supplier string
	Cost     estimate.Maybe[measure.Money] // of all that the job needs of it
	Why      string                        // why it is not bought there whatever it costs; "" = it may be
}

// Way is one way to divide the list over the suppliers.
type Way struct {
	Suppliers []string
	Materials measure.Money
	Delivery  measure.Money
}

// Cost is materials and delivery.
func (w Way) Cost() measure.Money { return w.Materials + w.Delivery }

// Yard is what buying at one supplier comes to.
type Yard struct {
	Terms    Terms
	Sells    int // items of the list
	Lacks    int
	Alone    Way // what it sells
	WithRest Way // all that it sells, and the rest at the fewest further suppliers
}

// Choice is how the list was divided over the suppliers. What is said of costs
// is at the counts planned, before the estimator's own.
type Choice struct {
	Yards  []Yard // by name
	Best   Way    // the least cost of all, however many suppliers it takes
	Chosen Way
	// How much less another choice may cost at most; 0 = proven.
	Gap, BestGap measure.Money
}

// itemCosts is an item with what it takes from each supplier.
type itemCosts struct {
	p          Purchase
	n          need
	candidates []candidate // by supplier
	costs      []measure.Money
	least      []measure.Money // what the plan costs at least
	state      string          // it is not to be had
	nothing    bool            // nothing has to be bought
}

// costs plans an item at each supplier that offers it.
func (b *buyer) costs(n need) itemCosts {
	q := itemCosts{n: n, p: b.purchase(n)}
	q.candidates = make([]candidate, len(b.suppliers))
	q.costs, q.least = slices.Repeat([]measure.Money{-1}, len(b.suppliers)), slices.Repeat([]measure.Money{-1}, len(b.suppliers))
	if o := b.ownerBrings(n); o != nil {
		q.nothing, q.p = true, b.byOwner(q.p, n, o)
		return q
	}
	if !n.item.Cut && q.p.ToBuy == 0 && q.p.Opened == 0 { // all of it is on hand
		q.nothing, q.candidates = true, []candidate{{}}
		return q
	}
	divided := bySupplier(b.usable.offers[n.item.Key])
	if len(divided) == 0 && n.item.Cut && len(b.onHand(n.item.Key)) > 0 {
		if c := b.candidate(nil, n, q.p.ToBuy, q.p.Opened); len(c.left) == 0 {
			q.nothing, q.candidates = true, []candidate{c}
			return q
		}
	}
	if len(divided) == 0 {
		q.state = b.noOffer(n)
		return q
	}
	q.p.Quotes = make([]Quote, len(b.suppliers))
	for s, t := range b.suppliers {
		q.p.Quotes[s] = Quote{Supplier: t.Supplier, Why: "not offered"}
	}
	var best *candidate
	for _, offers := range divided {
		s := b.supplier(offers[0].Supplier)
		c := b.candidate(offers, n, q.p.ToBuy, q.p.Opened)
		q.candidates[s] = c
		q.p.Quotes[s] = Quote{Supplier: b.suppliers[s].Supplier, Cost: estimate.Given(c.money())}
		if best == nil || c.serves(*best, n.item.Joint) < 0 {
			best = &q.candidates[s]
		}
	}
	for s := range q.p.Quotes {
		if quote := &q.p.Quotes[s]; quote.Why == "" {
			quote.Why = b.bars(n.item, s, q.candidates[s], *best)
		}
	}
	b.keepToPin(&q)
	for s, quote := range q.p.Quotes {
		if quote.Why != "" {
			continue
		}
		if q.costs[s], q.least[s] = quote.Cost.V, q.candidates[s].atLeast(); len(q.candidates[s].lines) == 0 {
			// What is on hand serves, or nothing does: the same wherever it is bought.
			q.nothing, q.candidates = true, q.candidates[s:s+1]
			break
		}
	}
	return q
}

// bars says why an item is not bought at a supplier though it is offered there.
func (b *buyer) bars(item estimate.Item, s int, c, best candidate) string {
	t := b.suppliers[s]
	switch {
	case c.serves(best, item.Joint) > 0 && len(c.left) > len(best.left):
		return "lacks a length"
	case c.serves(best, item.Joint) > 0 && len(c.joined) > len(best.joined):
		return "would need a joint"
	case c.serves(best, item.Joint) > 0:
		return "lacks the extra length"
	case t.bans(item.Key):
		return "not bought here"
	}
	return ""
}

// keepToPin keeps an item to the supplier that the estimator chose for it.
func (b *buyer) keepToPin(q *itemCosts) {
	key := q.n.item.Key
	pin, pinned := b.pinOf(key)
	if pinned {
		s := b.supplier(pin.Supplier)
		if s < 0 || !q.p.Quotes[s].Cost.Set {
			b.say(pin.Place, estimate.Error,
				fmt.Sprintf("%s is to be bought at %s, which has no price of it that can be used", key, measure.Quote(pin.Supplier)),
				"choose among "+b.sellers(q)+", or clear it; it is bought where it costs least")
		} else {
			for k := range q.p.Quotes {
				if k != s && q.p.Quotes[k].Cost.Set {
					q.p.Quotes[k].Why = "kept to " + b.suppliers[s].Supplier
				}
			}
			q.p.Quotes[s].Why = ""
			return
		}
	}
	if slices.ContainsFunc(q.p.Quotes, func(q Quote) bool { return q.Why == "" }) {
		return
	}
	q.state = NotHere
	b.say(estimate.Place{}, estimate.Error,
		fmt.Sprintf("%s: it has no price: it is offered only where it is not to be bought; needed by %s", key, b.marks(q.n.rows)),
		"allow it at "+b.sellers(q)+" on Suppliers, or find another supplier")
}

// pinOf returns the supplier that the estimator chose for an item.
func (b *buyer) pinOf(item string) (Pin, bool) {
	if pin, ok := b.pins[item]; ok {
		return pin, true
	}
	for _, t := range b.terms {
		if slices.Contains(t.Always, item) {
			return Pin{t.Place, t.Supplier}, true
		}
	}
	return Pin{}, false
}

// sellers names the suppliers that offer an item.
func (b *buyer) sellers(q *itemCosts) string {
	var names []string
	for _, quote := range q.p.Quotes {
		if quote.Cost.Set {
			names = append(names, quote.Supplier)
		}
	}
	return strings.Join(names, ", ")
}

// selectSuppliers chooses the supplier of each item, and works out what the other
// ways to divide the list would come to.
func (b *buyer) selectSuppliers(all []itemCosts) ([]int, Choice) {
	m, low := market{terms: b.suppliers}, market{terms: b.suppliers}
	for _, q := range all {
		if q.nothing || q.state != "" {
			m.cost, low.cost = append(m.cost, nil), append(low.cost, nil)
			continue
		}
		m.cost, low.cost = append(m.cost, q.costs), append(low.cost, q.least)
	}
	best, chosen := m.best(searchWork), b.withMinSaving(m).best(searchWork)
	out := Choice{Best: m.way(best.supplier), Chosen: m.way(chosen.supplier)}
	atBest, atChosen := best.bound, chosen.bound
	if !slices.EqualFunc(m.cost, low.cost, slices.Equal) {
		atBest, atChosen = low.best(searchWork).bound, b.withMinSaving(low).best(searchWork).bound
	}
	out.BestGap = measure.Money(measure.CeilDiv(int64(best.value-atBest), partsPerCent))
	out.Gap = measure.Money(measure.CeilDiv(int64(chosen.value-atChosen), partsPerCent))
	for s, t := range b.suppliers {
		alone := slices.Repeat([]int{-1}, len(m.cost))
		y := Yard{Terms: t}
		for i, costs := range m.cost {
			switch {
			case costs == nil:
			case costs[s] >= 0:
				alone[i] = s
				y.Sells++
			default:
				y.Lacks++
			}
		}
		y.Alone = m.way(alone)
		if y.Sells > 0 {
			y.WithRest = m.way(m.withMain(s).best(searchWork / 20).supplier)
		}
		out.Yards = append(out.Yards, y)
	}
	return chosen.supplier, out
}

// withMinSaving returns the market with what another supplier must save as the
// job asks: with a least saving so much; without, another is used only for what
// the main one lacks.
func (b *buyer) withMinSaving(m market) market {
	m.perSupplier = prohibitive
	if b.job.MinSaving.Set {
		m.perSupplier = min(b.job.MinSaving.V, prohibitive)
	}
	return m
}

// withMain returns the market in which whatever the main supplier sells is bought
// there, and another is used only for what it lacks.
func (m market) withMain(s int) market {
	out := market{terms: m.terms, perSupplier: prohibitive, cost: make([][]measure.Money, len(m.cost))}
	for i, costs := range m.cost {
		out.cost[i] = costs
		if costs != nil && costs[s] >= 0 {
			only := slices.Repeat([]measure.Money{-1}, len(costs))
			only[s] = costs[s]
			out.cost[i] = only
		}
	}
	return out
}

// way says what a supplier for each item comes to.
func (m market) way(supplier []int) Way {
	var w Way
	for s, sum := range m.sums(supplier) {
		if slices.Contains(supplier, s) {
			w.Suppliers = append(w.Suppliers, m.terms[s].Supplier)
			w.Materials += sum
			w.Delivery += m.terms[s].Fee(sum)
		}
	}
	return w
}

// supplier returns the place of a supplier in the list, below 0 if it is not
// there.
func (b *buyer) supplier(name string) int {
	return slices.IndexFunc(b.suppliers, func(t Terms) bool { return t.Supplier == name })
}
