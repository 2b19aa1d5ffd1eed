package cut

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"sillwright/estimate/measure"
)

// points decides a search set of boards by set of boards: all those that cost
// less than the best cutting and hold all pieces. It is for a cost that is known
// to a hair, where they are few. Boards that are had for nothing are in every
// set, as many as there are.
type points struct {
	s    *search
	t    *tree
	open [][]int // the sets that may hold a cutting: boards of each stock

	// What the pieces are worth in cuts that were of use, for other searches with
	// one piece more that differ only in its length. The group of it stands at a
	// place here, and last in values.
	at     int
	values [][]int64
}

// newPoints lists the sets, those with the most to spare first. A stock below
// the price of free is had for nothing. all is false if there are too many.
func newPoints(s *search, free int64) (p *points, all bool) {
	const most, steps = 5_000, 500_000
	p = &points{s: s}
	c := chooser{stocks: s.m.stocks, z: make([]int, len(s.m.stocks)), most: most, steps: steps, unspent: s.best.cost - 1 - s.bound}
	lack := s.m.total
	for k, t := range s.m.stocks {
		if t.price < free {
			c.z[k] = t.left
			lack -= measure.Length(t.left) * t.holds
		} else {
			c.order = append(c.order, k)
		}
	}
	sortBy(c.order, func(a, b int) bool { return c.dearer(s.m.stocks[a], s.m.stocks[b].price, s.m.stocks[b].holds) })
	c.choose(0, s.best.cost-1, lack)
	s.work.spend(steps - max(c.steps, 0))
	p.open = c.sets
	slices.SortStableFunc(p.open, func(a, b []int) int { return cmp.Compare(s.roomOn(b), s.roomOn(a)) })
	return p, c.steps >= 0 && len(c.sets) <= most
}

// chooser lists the numbers of boards that hold a length within a cost.
type chooser struct {
	stocks      []stock
	order       []int // of the stocks that are chosen from, the lowest price for a length last
	z           []int
	sets        [][]int
	most, steps int
	unspent     int64 // of the cost, at most
}

// choose chooses boards of the stocks from a place of the order on, for what
// lacks in length and the rest of the cost.
func (c *chooser) choose(at int, rest int64, lack measure.Length) {
	if c.steps--; c.steps < 0 || len(c.sets) > c.most {
		return
	}
	if at == len(c.order) {
		if lack <= 0 && rest <= c.unspent {
			c.sets = append(c.sets, slices.Clone(c.z))
		}
		return
	}
	k, last := c.order[at], c.order[len(c.order)-1]
	t, n := c.stocks[k], int64(0)
	if k == last {
		n = max(measure.CeilDiv(max(int64(lack), 0), int64(t.holds)), measure.CeilDiv(max(rest-c.unspent, 0), t.price))
	}
	for top := min(int64(t.left), rest/t.price); n <= top; n++ {
		rest, lack := rest-n*t.price, lack-measure.Length(n)*t.holds
		if lack > 0 && c.dearer(c.stocks[last], rest, lack) {
			break // not even at the lowest price
		}
		c.z[k] = int(n)
		c.choose(at+1, rest, lack)
	}
	c.z[k] = 0
}

// dearer reports whether a length of a stock costs more than so much, as if
// boards could be bought in part.
func (c *chooser) dearer(t stock, cost int64, length measure.Length) bool {
	hi, lo := bits.Mul64(uint64(t.price), uint64(length))
	hj, lj := bits.Mul64(uint64(cost), uint64(t.holds))
	return hi > hj || hi == hj && lo > lj
}

// run tries the sets: whether they hold the pieces in part, and if no more than
// several do, dives and the pattern program for each. It returns true if that
// decides the search.
func (p *points) run(several int) bool {
	s := p.s
	p.t = newTree(s)
	a := newMaster(s.m, true, s.best.cost, s.work)
	p.t.a = a
	for _, l := range s.warm {
		a.addLayout(l.stock, l.items)
	}
	for _, v := range p.values {
		p.cutAgain(v)
	}
	a.solve(math.MaxInt64)
	if len(p.open) > several {
		s.work.within((s.work.limit-s.work.used)/2, func() { p.keep(func([]int) bool { return false }) })
	}
	if len(p.open) <= several {
		p.keep(func([]int) bool {
			for seed := range 2 {
				s.dive(a.clone(), nil, uint64(seed)*0x9E3779B97F4A7C15)
			}
			return false
		})
		each := max((s.work.limit-s.work.used)/int64(2*len(p.open)+1), 100_000)
		p.keep(func(z []int) (none bool) {
			s.work.within(each, func() { none = p.program(z) })
			return none
		})
	}
	return s.found() || len(p.open) == 0
}

// cutAgain adds the cut of values from a search with another length of the one
// piece more.
func (p *points) cutAgain(values []int64) {
	a, last := p.t.a, len(values)-1
	copy(a.value, slices.Insert(slices.Clone(values[:last]), p.at, values[last]))
	a.shift = a.scale
	for k, t := range p.s.m.stocks {
		a.most[k] = t.price << a.scale
	}
	p.t.addCut(nil)
}

// keep leaves out the sets that do not hold the pieces even in part, and those
// that decide decides: it returns true where there is no cutting. For it, the
// master has been solved for the set.
func (p *points) keep(decide func(z []int) bool) {
	var open [][]int
	for i, z := range p.open {
		if p.s.work.spent() || p.s.found() {
			open = append(open, p.open[i:]...)
			break
		}
		if !p.t.forbidden(z) && !p.holdsNot(z) && !decide(z) {
			open = append(open, z)
		}
	}
	p.open = open
}

// holdsNot reports whether a set does not hold the pieces even in part, at the
// cost. It solves the master for the set.
func (p *points) holdsNot(z []int) bool {
	const most = 50 // values to keep
	a := p.t.a
	copy(a.high, z)
	clear(a.low)
	a.best = -1
	if !a.refresh() {
		return false
	}
	for {
		if !a.lp.optimise() {
			return false
		}
		added := a.price()
		if whole := a.shift == a.scale; a.bound > a.best || whole && a.bestShift != a.scale {
			a.best, a.bestShift = a.bound, a.shift
			a.bestV, a.bestMost = append(a.bestV[:0], a.value...), append(a.bestMost[:0], a.most...)
		}
		if a.whole() >= p.s.best.cost {
			return true
		}
		if p.t.addCut(z) {
			if a.shift == a.scale && len(p.values) < most {
				p.values = append(p.values, append(slices.Delete(slices.Clone(a.value), p.at, p.at+1), a.value[p.at]))
			}
			return true
		}
		if added == 0 {
			return false
		}
	}
}

// program looks for a cutting on a set of boards, for which the master has been
// solved, among the layouts that it can have: first those nearest to what the
// boards are worth. It returns true if there is none, or the best one is found.
func (p *points) program(z []int) bool {
	s := p.s
	list, all := p.layouts(z)
	for n := 150; ; n *= 4 {
		n = min(n, len(list))
		closed := newPatternProgram(s, list[:n], s.best.cost, z).solve()
		if s.found() || s.work.spent() || n == len(list) {
			return closed && all
		}
	}
}

// layouts returns the layouts that a cutting on a set of boards can have, those
// first that are worth most of what a board can be; all is false if there are
// too many.
//
// Boards that waste more than the set has to spare are none of them.
func (p *points) layouts(z []int) (list []layout, all bool) {
	const most = 10_000
	s, a := p.s, p.t.a
	value, worth, bound := s.tight(a)
	if bound <= 0 {
		return nil, false
	}
	found, all := enumerate(s.m, value, worth, max((s.best.cost-1)<<a.scale-bound, 0), most, s.work)
	slices.SortStableFunc(found, func(a, b priced) int { return cmp.Compare(a.slack, b.slack) })
	waste := s.roomOn(z)
	for _, l := range found {
		if z[l.stock] > 0 && s.m.stocks[l.stock].holds-s.m.length(l.items) <= waste {
			list = append(list, l.layout)
		}
	}
	return list, all
}
