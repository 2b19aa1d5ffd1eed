package pricing

import (
	"cmp"
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

// Order is what one supplier gets.
type Order struct {
	Terms     Terms
	Materials measure.Money // of all lines
	Delivery  measure.Money
	Tax       measure.Money
	Below     bool // the materials are less than the supplier's minimum order
}

// Total is what the order comes to.
func (o Order) Total() measure.Money { return o.Materials + o.Delivery + o.Tax }

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
	WithRest Way // all that it sells, and the rest at the fewest further stops
}

// Choice is how the list was divided over the suppliers. What is said of costs
// is at the counts planned, before the estimator's own.
type Choice struct {
	Yards  []Yard // by name
	Best   Way    // the least cost of all, whatever the number of stops
	Chosen Way
	// How much less another choice may cost at most; 0 = proven.
	Gap, BestGap measure.Money
}

// quoted is an item with what it takes from each supplier.
type quoted struct {
	p     Purchase
	n     need
	at    []candidate // by supplier
	costs []measure.Money
	least []measure.Money // what the plan costs at least
	state string          // it is not to be had
	none  bool            // nothing has to be bought
}

// quote plans an item at each supplier that offers it.
func (b *buyer) quote(n need) quoted {
	q := quoted{n: n, p: b.purchase(n)}
	q.at = make([]candidate, len(b.suppliers))
	q.costs, q.least = slices.Repeat([]measure.Money{-1}, len(b.suppliers)), slices.Repeat([]measure.Money{-1}, len(b.suppliers))
	bySupplier := suppliers(b.shelf.offers[n.item.Key])
	if len(bySupplier) == 0 && n.item.Cut && len(b.onHand(n.item.Key)) > 0 {
		if c := b.from(nil, n, q.p.ToBuy); len(c.left) == 0 {
			q.none, q.at = true, []candidate{c}
			return q
		}
	}
	if len(bySupplier) == 0 {
		q.state = b.noOffer(n)
		return q
	}
	q.p.Quotes = make([]Quote, len(b.suppliers))
	for s, t := range b.suppliers {
		q.p.Quotes[s] = Quote{Supplier: t.Supplier, Why: "not offered"}
	}
	var best *candidate
	for _, offers := range bySupplier {
		s := b.supplier(offers[0].Supplier)
		c := b.from(offers, n, q.p.ToBuy)
		q.at[s] = c
		q.p.Quotes[s] = Quote{Supplier: b.suppliers[s].Supplier, Cost: estimate.Given(c.money())}
		if best == nil || c.serves(*best, n.item.Joint) < 0 {
			best = &q.at[s]
		}
	}
	for s := range q.p.Quotes {
		if quote := &q.p.Quotes[s]; quote.Why == "" {
			quote.Why = b.bars(n.item, s, q.at[s], *best)
		}
	}
	b.follow(&q)
	for s, quote := range q.p.Quotes {
		if quote.Why != "" {
			continue
		}
		if q.costs[s], q.least[s] = quote.Cost.V, q.at[s].atLeast(); len(q.at[s].lines) == 0 {
			// What is on hand serves, or nothing does: the same wherever it is bought.
			q.none, q.at = true, q.at[s:s+1]
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
	case c.serves(best, item.Joint) > 0:
		return "would need a joint"
	case t.bans(item.Key):
		return "not bought here"
	}
	return ""
}

// follow keeps an item to the supplier that the estimator chose for it.
func (b *buyer) follow(q *quoted) {
	key := q.n.item.Key
	pin, pinned := b.pinOf(key)
	if pinned {
		s := b.supplier(pin.Supplier)
		if s < 0 || !q.p.Quotes[s].Cost.Set {
			b.say(pin.Place, estimate.Error, fmt.Sprintf("%s is to be bought at %s, which has no price of it that can be used", key, measure.Quote(pin.Supplier)), "choose among "+b.sellers(q)+", or clear it; it is bought where it costs least")
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
	b.say(estimate.Place{}, estimate.Error, fmt.Sprintf("%s, needed by %s, has no price: it is offered only where it is not to be bought", key, b.marks(q.n.rows)), "allow it at "+b.sellers(q)+" on Suppliers, or find another supplier")
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
func (b *buyer) sellers(q *quoted) string {
	var names []string
	for _, quote := range q.p.Quotes {
		if quote.Cost.Set {
			names = append(names, quote.Supplier)
		}
	}
	return strings.Join(names, ", ")
}

// serves compares how two candidates serve an item: the one that leaves out
// less; the one that has fewer joints where a joint is the last resort.
func (c candidate) serves(d candidate, joint estimate.Joint) int {
	joints := 0
	if joint == estimate.JointForced {
		joints = cmp.Compare(len(c.joined), len(d.joined))
	}
	return cmp.Or(cmp.Compare(len(c.left), len(d.left)), joints)
}

// money returns what the lines of a candidate come to.
func (c candidate) money() measure.Money {
	sum := measure.Money(0)
	for _, l := range c.lines {
		sum += measure.Extension(l.Computed, l.Offer.Price)
	}
	return sum
}

// atLeast returns what the candidate's need costs at least: of a plan that is
// not proven, its bound.
func (c candidate) atLeast() measure.Money {
	for _, p := range c.plans {
		if !p.Plan.Proven {
			return min(c.money(), measure.Money(p.Plan.Bound/100))
		}
	}
	return c.money()
}

// divide chooses the supplier of each item.
func (b *buyer) divide(all []quoted) ([]int, Choice) {
	m, low := market{terms: b.suppliers}, market{terms: b.suppliers}
	for _, q := range all {
		if q.none || q.state != "" {
			m.cost, low.cost = append(m.cost, nil), append(low.cost, nil)
			continue
		}
		m.cost, low.cost = append(m.cost, q.costs), append(low.cost, q.least)
	}
	best, chosen := m.choose(chooseWork), b.asked(m).choose(chooseWork)
	out := Choice{Best: m.way(best.of), Chosen: m.way(chosen.of)}
	atBest, atChosen := best.bound, chosen.bound
	if !slices.EqualFunc(m.cost, low.cost, slices.Equal) {
		atBest, atChosen = low.choose(chooseWork).bound, b.asked(low).choose(chooseWork).bound
	}
	out.BestGap = measure.Money(measure.CeilDiv(int64(best.value-atBest), most))
	out.Gap = measure.Money(measure.CeilDiv(int64(chosen.value-atChosen), most))
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
			y.WithRest = m.way(m.firstAt(s).choose(chooseWork / 20).of)
		}
		out.Yards = append(out.Yards, y)
	}
	return chosen.of, out
}

// asked returns the market with what another stop must save as the job asks:
// with a least saving so much; without, a stop is made only for what is lacking,
// one yard plus what it lacks.
func (b *buyer) asked(m market) market {
	m.stop = noStop
	if b.job.LeastSaving.Set {
		m.stop = min(b.job.LeastSaving.V, noStop)
	}
	return m
}

// firstAt returns the market in which whatever a supplier sells is bought there,
// and another stop is made only for what it lacks.
func (m market) firstAt(s int) market {
	out := market{terms: m.terms, stop: noStop, cost: make([][]measure.Money, len(m.cost))}
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

// way says what a choice comes to.
func (m market) way(of []int) Way {
	var w Way
	for s, sum := range m.sums(of) {
		if slices.Contains(of, s) {
			w.Suppliers = append(w.Suppliers, m.terms[s].Supplier)
			w.Materials += sum
			w.Delivery += m.terms[s].fee(sum)
		}
	}
	return w
}

// supplier returns the place of a supplier in the list, below 0 if it is not
// there.
func (b *buyer) supplier(name string) int {
	return slices.IndexFunc(b.suppliers, func(t Terms) bool { return strings.EqualFold(t.Supplier, name) })
}

// orders adds up what each supplier gets, and warns of orders that are too
// small.
func (b *buyer) orders(purchases []Purchase) []Order {
	var out []Order
	for _, t := range b.suppliers {
		o, lines := Order{Terms: t}, 0
		for _, p := range purchases {
			for _, l := range p.Lines {
				if l.Offer.Supplier == t.Supplier {
					o.Materials += l.Extension
					o.Tax += b.lineTax(l)
					lines++
				}
			}
		}
		if lines == 0 {
			continue
		}
		o.Delivery = t.fee(o.Materials)
		o.Tax += b.orderTax(o)
		o.Below = t.below(o.Materials)
		if o.Below {
			b.say(t.Place, estimate.Warning, fmt.Sprintf("the order at %s comes to %s, below its minimum of %s", t.Supplier, o.Materials, t.MinimumOrder.V), "order together with another job, ask for less, or keep its items to another supplier")
		}
		out = append(out, o)
	}
	return out
}

// lineTax returns the tax of a line where it is rounded line by line.
func (b *buyer) lineTax(l Line) measure.Money {
	if !b.job.TaxByItem {
		return 0
	}
	return Tax(l.Extension, b.job.Tax)
}

// orderTax returns the tax of an order that is not found line by line.
func (b *buyer) orderTax(o Order) measure.Money {
	taxable := measure.Money(0)
	if !b.job.TaxByItem {
		taxable += o.Materials
	}
	if b.job.TaxDelivery {
		taxable += o.Delivery
	}
	return Tax(taxable, b.job.Tax)
}
