package pricing

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// market is what the items of a job cost at each supplier, and what the
// suppliers ask beside. Suppliers stand in the order of their names.
type market struct {
	cost        [][]measure.Money // by item and supplier; below 0 = not from there
	terms       []Terms           // by supplier
	perSupplier measure.Money     // fixed charge of each supplier used: what another one must save
}

// selection is a supplier for each item.
type selection struct {
	supplier []int         // of each item; below 0 = nobody sells it
	value    measure.Money // of the objective, in parts of a cent: money, fixed charges, minimum orders missed
	bound    measure.Money // no selection has a lower value; less than value where the search gave up
}

// Weights of the objective. Minimum orders that are missed count before
// everything, then suppliers where another is used only for what is lacking, then
// money; of equal money, the number of suppliers.
const (
	prohibitive  measure.Money = 100_000_000_000 // a charge that no saving reaches: a thousand million
	missed                     = 100 * prohibitive
	partsPerCent               = 1024 // more than there are suppliers, each of which adds one part
)

// parts returns an amount in parts of a cent.
func parts(m measure.Money) measure.Money { return m * partsPerCent }

// use is a way to use a supplier.
type use struct {
	used  bool
	least measure.Money // what its order must come to
	adds  measure.Money // to the value
}

// uses returns the ways in which a supplier can be used, the last not at all:
// delivered free, or for its fee; below its minimum only at a forbidding price.
func (m market) uses(s int) []use {
	t := m.terms[s]
	minimum, fee, charge := t.MinimumOrder.Or(0), t.DeliveryFee.Or(0), parts(m.perSupplier)+1
	var out []use
	if fee > 0 && t.FreeOver.Set {
		out = append(out, use{true, max(minimum, t.FreeOver.V), charge})
	}
	out = append(out, use{true, minimum, charge + parts(fee)})
	if minimum > 0 {
		out = append(out, use{true, 0, charge + parts(fee) + parts(missed)})
	}
	return append(out, use{})
}

// sums adds up the materials of each supplier.
func (m market) sums(supplier []int) []measure.Money {
	sums := make([]measure.Money, len(m.terms))
	for i, s := range supplier {
		if s >= 0 {
			sums[s] += m.cost[i][s]
		}
	}
	return sums
}

// value returns the value of the objective for a supplier of each item.
func (m market) value(supplier []int) measure.Money {
	value := measure.Money(0)
	for s, sum := range m.sums(supplier) {
		if !slices.Contains(supplier, s) {
			continue
		}
		value += parts(sum+m.terms[s].Fee(sum)+m.perSupplier) + 1
		if m.terms[s].Below(sum) {
			value += parts(missed)
		}
	}
	return value
}

// best finds the supplier of each item at the least sum of materials and
// delivery fees, with what another supplier must save counted once for each; of
// equals it takes fewer suppliers, then the first by name.
//
// Branch and bound in two trees: over the suppliers, whether each is used and
// delivers free; under each such set over the items, where an order must be
// brought up to the sum that makes it free or large enough. What an order must
// come up to is relaxed with a multiplier, which gives the bound.
//
// Source: branch and bound, Land and Doig (1960); Lagrangian relaxation,
// Geoffrion (1974), both from memory
func (m market) best(work int) selection {
	c := search{market: m, use: make([]use, len(m.terms)), work: work}
	for i, costs := range m.cost {
		if slices.ContainsFunc(costs, func(c measure.Money) bool { return c >= 0 }) {
			c.items = append(c.items, i)
		}
	}
	c.incumbent.supplier = slices.Repeat([]int{-1}, len(m.cost))
	if len(c.items) == 0 {
		return c.incumbent
	}
	for s := range m.terms {
		c.uses = append(c.uses, m.uses(s))
	}
	// The items of most money are decided first: they move an order most.
	slices.SortStableFunc(c.items, func(x, y int) int { return cmp.Compare(slices.Max(m.cost[y]), slices.Max(m.cost[x])) })
	start := c.start()
	c.incumbent.supplier, c.incumbent.value = start, m.value(start)+1
	c.cutOff = c.incumbent.value - 1
	c.branch(0, 0, make([]int64, len(m.terms)))
	c.incumbent.value = m.value(c.incumbent.supplier)
	c.incumbent.bound = min(c.cutOff, c.incumbent.value)
	return c.incumbent
}

// searchWork is how many costs a search may look at. Real jobs take some
// thousands; the best selection found by then is used, and its gap is said.
const searchWork = 200_000_000

// search is a branch and bound over the suppliers and the items.
type search struct {
	market
	items     []int   // those that somebody sells
	uses      [][]use // of each supplier
	use       []use   // decided, of the suppliers up to where the search is
	incumbent selection
	work      int           // costs that may still be looked at
	cutOff    measure.Money // the least value that a branch not followed may have
}

// start returns a selection as good as is quickly found, which cuts off branches
// from the first: that of one or two suppliers, or of all, with one move after
// another as long as one makes it cheaper.
func (c *search) start() []int {
	var best []int
	try := func(open func(s int) bool) {
		supplier := slices.Repeat([]int{-1}, len(c.cost))
		for _, i := range c.items {
			if supplier[i] = c.cheapest(i, open); supplier[i] < 0 {
				return
			}
		}
		c.improve(supplier)
		if best == nil || c.value(supplier) < c.value(best) {
			best = supplier
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
// the selection cheaper.
func (c *search) improve(supplier []int) {
	value := c.value(supplier)
	keep := func(before []int) bool {
		c.work -= len(supplier)
		if v := c.value(supplier); v < value {
			value = v
			return true
		}
		copy(supplier, before)
		return false
	}
	for better := true; better && c.work > 0; {
		better = false
		for _, i := range c.items {
			for s, cost := range c.cost[i] {
				if cost >= 0 && s != supplier[i] {
					before := slices.Clone(supplier)
					supplier[i] = s
					better = keep(before) || better
				}
			}
		}
		for from := range c.terms {
			for to := range c.terms {
				before := slices.Clone(supplier)
				for _, i := range c.items {
					if supplier[i] == from && c.cost[i][to] >= 0 {
						supplier[i] = to
					}
				}
				better = keep(before) || better
			}
		}
	}
}

// cheapest returns the supplier among those open that sells an item for least,
// below 0 if none does.
func (c *search) cheapest(item int, open func(s int) bool) int {
	best := -1
	for s, cost := range c.cost[item] {
		if cost >= 0 && open(s) && (best < 0 || cost < c.cost[item][best]) {
			best = s
		}
	}
	return best
}

// branch decides how the suppliers from s on are used; value is what the
// decisions so far add. multipliers are, for each supplier whose order must come
// up to a sum, what a cent of the order counts for, in parts of whole.
func (c *search) branch(s int, value measure.Money, multipliers []int64) {
	bound, multipliers, ok := c.atLeast(s, value, multipliers)
	if !ok || bound >= c.incumbent.value {
		return
	}
	if c.work <= 0 {
		c.cutOff = min(c.cutOff, bound)
		return
	}
	if s == len(c.terms) {
		c.assignItems(value, multipliers)
		return
	}
	for _, u := range c.uses[s] {
		c.use[s] = u
		c.branch(s+1, value+u.adds, multipliers)
	}
	c.use[s] = use{}
}

// whole is the multiplier at which a cent of an order counts for a cent.
const whole = 1024

// reduced returns the reduced cost of an item at a supplier, times whole: its
// cost less what that counts for in bringing up the order.
func (c *search) reduced(item, s int, multipliers []int64) int64 {
	return int64(parts(c.cost[item][s])) * (whole - multipliers[s])
}

// atLeast returns a value below which no selection can stay whose suppliers before
// s are decided, and the multipliers that show it; false if an item is not to be
// had, or an order cannot come up to what its use asks. The multipliers are
// raised and lowered by what the orders lack (subgradient steps).
func (c *search) atLeast(s int, value measure.Money, multipliers []int64) (measure.Money, []int64, bool) {
	asked := false
	for k := range s {
		if u := c.use[k]; u.used && u.least > 0 {
			asked = true
			if u.least > c.atMost(k) {
				return 0, nil, false
			}
		}
	}
	best, bestMultipliers := measure.Money(-1), multipliers
	multipliers = slices.Clone(multipliers)
	sums := make([]measure.Money, len(c.terms))
	rounds, step := 12, int64(whole/2)
	if s == len(c.terms) {
		rounds = 100 // the assignment of the items rests on it
	}
	for range rounds {
		bound, ok := c.relaxed(s, multipliers, sums)
		if !ok {
			return 0, nil, false
		}
		if bound+value > best {
			best, bestMultipliers = bound+value, slices.Clone(multipliers)
		} else {
			step = step * 3 / 4
		}
		if !asked || best >= c.incumbent.value || step == 0 {
			break
		}
		for k := range s {
			if u := c.use[k]; u.used && u.least > 0 {
				by := measure.MulDiv(step, int64(u.least-sums[k]), int64(u.least))
				multipliers[k] = min(max(0, multipliers[k]+by), 4*whole)
			}
		}
	}
	return best, bestMultipliers, true
}

// relaxed returns what all items cost at least where each goes to the supplier
// of the least reduced cost, and fills in what the orders then come to.
func (c *search) relaxed(s int, multipliers []int64, sums []measure.Money) (measure.Money, bool) {
	clear(sums)
	c.work -= len(c.items) * len(c.terms)
	total := int64(0)
	for k := range s {
		total += int64(parts(c.use[k].least)) * multipliers[k]
	}
	for _, i := range c.items {
		at, least := -1, int64(0)
		for k, cost := range c.cost[i] {
			if cost < 0 || k < s && !c.use[k].used {
				continue
			}
			if r := c.reduced(i, k, multipliers); at < 0 || r < least {
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
func (c *search) atMost(s int) measure.Money {
	sum := measure.Money(0)
	for _, i := range c.items {
		sum += max(0, c.cost[i][s])
	}
	return sum
}

// assignItems gives the items to the suppliers that are used.
func (c *search) assignItems(value measure.Money, multipliers []int64) {
	n := len(c.items)
	a := assignment{
		search: c, multipliers: multipliers, work: max(0, c.work/4),
		supplier: slices.Repeat([]int{-1}, len(c.cost)), sums: make([]measure.Money, len(c.terms)),
		at: make([][]int, n), open: make([][]measure.Money, n+1), reducedFrom: make([]int64, n+1),
	}
	for s, u := range c.use {
		if u.used && u.least > 0 {
			a.required = append(a.required, s)
			a.reducedFrom[n] += int64(parts(u.least)) * multipliers[s]
		}
	}
	a.open[n] = make([]measure.Money, len(c.terms))
	for k := n - 1; k >= 0; k-- {
		i := c.items[k]
		open := slices.Clone(a.open[k+1])
		for s, cost := range c.cost[i] {
			if cost >= 0 && c.use[s].used {
				a.at[k] = append(a.at[k], s)
				open[s] += cost
			}
		}
		slices.SortStableFunc(a.at[k], func(x, y int) int {
			return cmp.Compare(c.reduced(i, x, multipliers), c.reduced(i, y, multipliers))
		})
		a.open[k] = open
		a.reducedFrom[k] = a.reducedFrom[k+1] + c.reduced(i, a.at[k][0], multipliers)
	}
	a.branch(0, value, 0)
}

// assignment is a search for the supplier of each item among those used.
type assignment struct {
	*search
	required    []int             // suppliers whose orders must come up to a sum
	at          [][]int           // of each item, the suppliers that it can go to, the best first
	open        [][]measure.Money // what each order can still get from the items from here on
	reducedFrom []int64           // reduced cost of the items from here on at least, with what the orders ask
	multipliers []int64
	work        int // of the search's, for this set of suppliers
	supplier    []int
	sums        []measure.Money
}

// branch gives the items from k on to suppliers; value is what is spent so far,
// credit what of it counts for in bringing up the orders, times whole.
func (a *assignment) branch(k int, value measure.Money, credit int64) {
	for _, s := range a.required {
		if a.sums[s]+a.open[k][s] < a.use[s].least {
			return
		}
	}
	bound := value + measure.Money(measure.CeilDiv(a.reducedFrom[k]-credit, whole))
	if bound >= a.incumbent.value {
		return
	}
	a.work -= 10
	a.search.work -= 10
	if a.work <= 0 {
		a.cutOff = min(a.cutOff, bound)
		return
	}
	if k == len(a.at) {
		if value < a.incumbent.value {
			a.incumbent = selection{supplier: slices.Clone(a.supplier), value: value}
		}
		return
	}
	item := a.items[k]
	for _, s := range a.at[k] {
		cost := a.cost[item][s]
		a.supplier[item] = s
		a.sums[s] += cost
		a.branch(k+1, value+parts(cost), credit+int64(parts(cost))*a.multipliers[s])
		a.sums[s] -= cost
		if len(a.required) == 0 {
			break // no order has to be brought up: the cheapest is best
		}
	}
	a.supplier[item] = -1
}
