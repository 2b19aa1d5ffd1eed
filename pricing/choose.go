package pricing

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// market is what the items of a job cost at each supplier, and what the
// suppliers ask beside. Suppliers stand in the order of their names.
type market struct {
	cost  [][]measure.Money // by item and supplier; below 0 = not from there
	terms []Terms           // by supplier
	stop  measure.Money     // what another supplier must save
}

// choice is a supplier for each item.
type choice struct {
	of    []int         // supplier of each item; below 0 = nobody sells it
	value measure.Money // what the search made least: money, stops, minimum orders missed
	bound measure.Money // no choice has a lower value; less than value where the search gave up
}

// Weights of the objective. Minimum orders that are missed count before
// everything, then stops where only what is lacking is worth one, then money;
// of equal money, fewer suppliers.
const (
	noStop   measure.Money = 100_000_000_000 // of an amount that no saving reaches: a thousand million
	tooSmall               = 100 * noStop
	most                   = 1024 // suppliers
)

// fee returns what the delivery of an order costs.
func (t Terms) fee(order measure.Money) measure.Money {
	if order <= 0 || !t.DeliveryFee.Set || t.FreeOver.Set && order >= t.FreeOver.V {
		return 0
	}
	return t.DeliveryFee.V
}

// below reports whether an order is smaller than the supplier takes.
func (t Terms) below(order measure.Money) bool {
	return order > 0 && t.MinimumOrder.Set && order < t.MinimumOrder.V
}

// mode is how a supplier is used.
type mode struct {
	used  bool
	least measure.Money // what its order must come to
	adds  measure.Money // to the value
}

// modes returns the ways in which a supplier can be used, the last not at all:
// delivered free, or for its fee; below its minimum only at a forbidding price.
func (m market) modes(s int) []mode {
	t := m.terms[s]
	minimum, fee, stop := t.MinimumOrder.Or(0), t.DeliveryFee.Or(0), scaled(m.stop)+1
	var out []mode
	if fee > 0 && t.FreeOver.Set {
		out = append(out, mode{true, max(minimum, t.FreeOver.V), stop})
	}
	out = append(out, mode{true, minimum, stop + scaled(fee)})
	if minimum > 0 {
		out = append(out, mode{true, 0, stop + scaled(fee) + scaled(tooSmall)})
	}
	return append(out, mode{})
}

// scaled makes room below a cent for the number of suppliers.
func scaled(m measure.Money) measure.Money { return m * most }

// choose finds the supplier of each item at the least sum of materials and
// delivery fees, with what another stop must save counted once for each
// supplier; of equals it takes fewer suppliers, then the first by name.
//
// Branch and bound in two trees: over the suppliers, whether each is used and
// delivers free; under each such set over the items, where an order must be
// brought up to the sum that makes it free or large enough. What an order must
// come up to is relaxed at a price, which gives the bound.
//
// Source: branch and bound, Land and Doig (1960); Lagrangian relaxation,
// Geoffrion (1974), both from memory
func (m market) choose(work int) choice {
	c := chooser{market: m, mode: make([]mode, len(m.terms)), work: work}
	for i, costs := range m.cost {
		if slices.ContainsFunc(costs, func(c measure.Money) bool { return c >= 0 }) {
			c.items = append(c.items, i)
		}
	}
	c.best.of = slices.Repeat([]int{-1}, len(m.cost))
	if len(c.items) == 0 {
		return c.best
	}
	for s := range m.terms {
		c.modes = append(c.modes, m.modes(s))
	}
	// The items of most money are decided first: they move an order most.
	slices.SortStableFunc(c.items, func(x, y int) int { return cmp.Compare(slices.Max(m.cost[y]), slices.Max(m.cost[x])) })
	start := c.start()
	c.best.of, c.best.value = start, m.valueOf(start)+1
	c.cutOff = c.best.value - 1
	c.suppliers(0, 0, make([]int64, len(m.terms)))
	c.best.value = m.valueOf(c.best.of)
	c.best.bound = min(c.cutOff, c.best.value)
	return c.best
}

// chooseWork is how many costs a choice may look at. Real jobs take some
// thousands; the best choice found by then is used, and its gap is said.
const chooseWork = 200_000_000

// chooser is a search for a choice.
type chooser struct {
	market
	items  []int    // those that somebody sells
	modes  [][]mode // of each supplier
	mode   []mode   // chosen, of the suppliers up to where the search is
	best   choice
	work   int           // costs that may still be looked at
	cutOff measure.Money // the least value that a branch not followed may have
}

// start returns a choice as good as is quickly found, which cuts off branches
// from the first: that of one or two suppliers, or of all, with one move after
// another as long as one makes it cheaper.
func (c *chooser) start() []int {
	var best []int
	try := func(open func(s int) bool) {
		of := slices.Repeat([]int{-1}, len(c.cost))
		for _, i := range c.items {
			if of[i] = c.cheapest(i, open); of[i] < 0 {
				return
			}
		}
		c.improve(of)
		if best == nil || c.valueOf(of) < c.valueOf(best) {
			best = of
		}
	}
	try(func(int) bool { return true })
	for a := range c.terms {
		try(func(s int) bool { return s == a })
		for b := range min(a, fewSuppliers) {
			try(func(s int) bool { return s == a || s == b })
		}
	}
	return best
}

// fewSuppliers is of how many suppliers every pair is tried at the start.
const fewSuppliers = 12

// improve moves items, one or all that two suppliers share, while that makes
// the choice cheaper.
func (c *chooser) improve(of []int) {
	value := c.valueOf(of)
	keep := func(before []int) bool {
		c.work -= len(of)
		if v := c.valueOf(of); v < value {
			value = v
			return true
		}
		copy(of, before)
		return false
	}
	for better := true; better && c.work > 0; {
		better = false
		for _, i := range c.items {
			for s, cost := range c.cost[i] {
				if cost >= 0 && s != of[i] {
					before := slices.Clone(of)
					of[i] = s
					better = keep(before) || better
				}
			}
		}
		for from := range c.terms {
			for to := range c.terms {
				before := slices.Clone(of)
				for _, i := range c.items {
					if of[i] == from && c.cost[i][to] >= 0 {
						of[i] = to
					}
				}
				better = keep(before) || better
			}
		}
	}
}

// cheapest returns the supplier among those open that sells an item for least,
// below 0 if none does.
func (c *chooser) cheapest(item int, open func(s int) bool) int {
	best := -1
	for s, cost := range c.cost[item] {
		if cost >= 0 && open(s) && (best < 0 || cost < c.cost[item][best]) {
			best = s
		}
	}
	return best
}

// sums adds up the materials of each supplier.
func (m market) sums(of []int) []measure.Money {
	sums := make([]measure.Money, len(m.terms))
	for i, s := range of {
		if s >= 0 {
			sums[s] += m.cost[i][s]
		}
	}
	return sums
}

// valueOf returns the value of a choice.
func (m market) valueOf(of []int) measure.Money {
	value := measure.Money(0)
	for s, sum := range m.sums(of) {
		if !slices.Contains(of, s) {
			continue
		}
		value += scaled(sum+m.terms[s].fee(sum)+m.stop) + 1
		if m.terms[s].below(sum) {
			value += scaled(tooSmall)
		}
	}
	return value
}

// suppliers decides how the suppliers from s on are used; value is what the
// decisions so far add, worth what an order that must come up to a sum is paid
// for each cent of it.
func (c *chooser) suppliers(s int, value measure.Money, worth []int64) {
	bound, worth, ok := c.atLeast(s, value, worth)
	if !ok || bound >= c.best.value {
		return
	}
	if c.work <= 0 {
		c.cutOff = min(c.cutOff, bound)
		return
	}
	if s == len(c.terms) {
		c.assign(value, worth)
		return
	}
	for _, m := range c.modes[s] {
		c.mode[s] = m
		c.suppliers(s+1, value+m.adds, worth)
	}
	c.mode[s] = mode{}
}

// whole is a worth of one cent for a cent.
const whole = 1024

// reduced returns the cost of an item at a supplier less what it is worth there
// to bring up the order, times whole.
func (c *chooser) reduced(item, s int, worth []int64) int64 {
	return int64(scaled(c.cost[item][s])) * (whole - worth[s])
}

// atLeast returns a value below which no choice can stay whose suppliers before
// s are decided, and the worths that show it; false if an item is not to be had,
// or an order cannot come up to what its mode asks.
func (c *chooser) atLeast(s int, value measure.Money, worth []int64) (measure.Money, []int64, bool) {
	asked := false
	for k := range s {
		if m := c.mode[k]; m.used && m.least > 0 {
			asked = true
			if m.least > c.atMost(k) {
				return 0, nil, false
			}
		}
	}
	best, bestWorth := measure.Money(-1), worth
	worth = slices.Clone(worth)
	sums := make([]measure.Money, len(c.terms))
	rounds, step := 12, int64(whole/2)
	if s == len(c.terms) {
		rounds = 100 // the items hang on it
	}
	for range rounds {
		bound, ok := c.relaxed(s, worth, sums)
		if !ok {
			return 0, nil, false
		}
		if bound+value > best {
			best, bestWorth = bound+value, slices.Clone(worth)
		} else {
			step = step * 3 / 4
		}
		if !asked || best >= c.best.value || step == 0 {
			break
		}
		for k := range s {
			if m := c.mode[k]; m.used && m.least > 0 {
				by := measure.MulDiv(step, int64(m.least-sums[k]), int64(m.least))
				worth[k] = min(max(0, worth[k]+by), 4*whole)
			}
		}
	}
	return best, bestWorth, true
}

// relaxed returns what all items cost at least where each goes to the supplier
// of the least reduced cost, and fills in what the orders then come to.
func (c *chooser) relaxed(s int, worth []int64, sums []measure.Money) (measure.Money, bool) {
	clear(sums)
	c.work -= len(c.items) * len(c.terms)
	total := int64(0)
	for k := range s {
		total += int64(scaled(c.mode[k].least)) * worth[k]
	}
	for _, i := range c.items {
		at, least := -1, int64(0)
		for k, cost := range c.cost[i] {
			if cost < 0 || k < s && !c.mode[k].used {
				continue
			}
			if r := c.reduced(i, k, worth); at < 0 || r < least {
				at, least = k, r
			}
		}
		if at < 0 {
			return 0, false
		}
		total += least
		sums[at] += c.cost[i][at]
	}
	return measure.Money(measure.CeilDiv(total, whole)), true
}

// atMost returns what a supplier's order comes to with all that it sells.
func (c *chooser) atMost(s int) measure.Money {
	sum := measure.Money(0)
	for _, i := range c.items {
		sum += max(0, c.cost[i][s])
	}
	return sum
}

// assign gives the items to the suppliers that are used.
func (c *chooser) assign(value measure.Money, worth []int64) {
	a := assignment{c: c, of: slices.Repeat([]int{-1}, len(c.cost)), sums: make([]measure.Money, len(c.terms)), paid: make([]int64, len(c.items)+1)}
	for s, m := range c.mode {
		if m.used && m.least > 0 {
			a.wants = append(a.wants, s)
			a.paid[len(c.items)] += int64(scaled(m.least)) * worth[s]
		}
	}
	a.rest = make([][]measure.Money, len(c.items)+1)
	a.rest[len(c.items)] = make([]measure.Money, len(c.terms))
	for k := len(c.items) - 1; k >= 0; k-- {
		i := c.items[k]
		var at []int
		rest := slices.Clone(a.rest[k+1])
		for s, cost := range c.cost[i] {
			if cost >= 0 && c.mode[s].used {
				at = append(at, s)
				rest[s] += cost
			}
		}
		slices.SortStableFunc(at, func(x, y int) int { return cmp.Compare(c.reduced(i, x, worth), c.reduced(i, y, worth)) })
		a.at = append(a.at, at)
		a.rest[k] = rest
		a.paid[k] = a.paid[k+1] + c.reduced(i, at[0], worth)
	}
	slices.Reverse(a.at)
	a.worth, a.work = worth, max(0, c.work/4)
	a.place(0, value, 0)
}

// assignment is a search for the supplier of each item among those used.
type assignment struct {
	c     *chooser
	wants []int             // suppliers whose orders must come up to a sum
	at    [][]int           // of each item, the suppliers that it can go to, the best first
	rest  [][]measure.Money // what each order can still get from the items from here on
	paid  []int64           // what the items from here on cost at least, reduced, with what the orders ask
	worth []int64
	work  int // of the chooser's, for this set
	of    []int
	sums  []measure.Money
}

// place gives the items from k on to suppliers; value is what is spent so far,
// credit what of it was worth something to the orders, times whole.
func (a *assignment) place(k int, value measure.Money, credit int64) {
	for _, s := range a.wants {
		if a.sums[s]+a.rest[k][s] < a.c.mode[s].least {
			return
		}
	}
	bound := value + measure.Money(measure.CeilDiv(a.paid[k]-credit, whole))
	if bound >= a.c.best.value {
		return
	}
	a.work -= 10
	a.c.work -= 10
	if a.work <= 0 {
		a.c.cutOff = min(a.c.cutOff, bound)
		return
	}
	if k == len(a.at) {
		if value < a.c.best.value {
			a.c.best = choice{of: slices.Clone(a.of), value: value}
		}
		return
	}
	item := a.c.items[k]
	for _, s := range a.at[k] {
		cost := a.c.cost[item][s]
		a.of[item] = s
		a.sums[s] += cost
		a.place(k+1, value+scaled(cost), credit+int64(scaled(cost))*a.worth[s])
		a.sums[s] -= cost
		if len(a.wants) == 0 {
			break // no order has to be brought up: the cheapest is best
		}
	}
	a.of[item] = -1
}
