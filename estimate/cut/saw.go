package cut

import (
	"cmp"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// fewer looks for a cutting of the same cost on fewer boards: it dives on sets
// of boards that cost as much and hold all pieces.
func (s *search) fewer() {
	cost, boards := s.best.cost, countBoards(s.best.list)
	longest := s.m.stocks[len(s.m.stocks)-1].holds
	if int64(boards) <= measure.CeilDiv(int64(s.m.total), int64(longest)) || len(s.m.stocks) == 1 {
		return
	}
	sets := s.boardsAt(cost)
	sum := func(z []int) (n int) {
		for _, c := range z {
			n += c
		}
		return n
	}
	slices.SortStableFunc(sets, func(a, b []int) int { return cmp.Compare(sum(a), sum(b)) })
	for _, z := range sets {
		if sum(z) >= boards || s.work.spent() {
			return
		}
		t := &search{m: s.m, work: s.work, best: layouts{cost: cost + 1}, bound: s.bound, costs: s.costs}
		a := newMaster(s.m, true, cost+1, s.work)
		copy(a.high, z)
		if a.refresh() {
			t.dive(a, nil, 0)
		}
		if t.best.list != nil && t.best.cost == cost && countBoards(t.best.list) < boards {
			s.best = t.best
			return
		}
	}
}

func countBoards(list []layout) (n int) {
	for _, l := range list {
		n += l.count
	}
	return n
}

// gathering looks for the longest single offcut that a cutting of the cost of
// the best one, on no more boards, can leave.
type gathering struct {
	q      *search
	kerf   measure.Length
	below  measure.Length // no cutting leaves one so long
	costs  *costs         // of the stocks with their whole lengths
	boards int            // of the plan
	values [][]int64      // see points

	// The cutting with the longest that was found, if any, with a piece as long in it.
	list  []layout
	m     *model
	at    int            // the group of the piece
	keeps measure.Length // what it takes
}

// run narrows the gap between from, the longest offcut so far, and below to an
// inch, with a piece more of the length asked for: the longest that may be, and
// then by bisection.
func (g *gathering) run(from measure.Length) {
	w := g.q.work
	low := from / measure.Inch
	if g.q.root != nil && low < g.whole() {
		g.setBelow(g.mostByPrices(low, g.whole()))
	}
	if low < g.whole() {
		g.setBelow(g.mostSpare())
	}
	if g.q.root == nil && low < g.whole() {
		g.q.root = newMaster(g.q.m, false, g.q.best.cost, w)
		w.within((w.limit-w.used)/4, func() { g.q.root.solve(math.MaxInt64) })
		g.setBelow(g.mostByPrices(low, g.whole()))
	}
	next := g.whole()
	for high := next; low < high && !w.spent(); next = low + (high-low+1)/2 {
		if g.try(next) {
			low = next
		} else {
			high = min(g.whole(), next-1)
		}
	}
}

// whole is the most inches that an offcut may have.
func (g *gathering) whole() measure.Length { return (g.below - 1) / measure.Inch }

// takes returns what a piece of some inches takes, and in units of the model.
func (g *gathering) takes(inches measure.Length) (takes, units measure.Length) {
	takes = inches*measure.Inch + g.kerf
	return takes, measure.Length(measure.CeilDiv(int64(takes), int64(g.q.m.grid)))
}

func (g *gathering) setBelow(below measure.Length) { g.below = min(g.below, below) }

// try looks for a cutting that leaves so many inches.
func (g *gathering) try(inches measure.Length) bool {
	const dearest = 1 << 56
	s, many := g.q, int64(g.boards+1)
	if s.best.cost >= dearest/many {
		return false
	}
	takes, units := g.takes(inches)
	m, at := s.m.with(units)
	t := &search{
		m: m.countingBoards(many), work: s.work, warm: m.adopt(s.root, at),
		any: true, best: layouts{cost: (s.best.cost + 1) * many}, bound: s.bound * many, costs: &costs{g.costs.holds, m.total, many},
	}
	decided := g.decide(t, many, at)
	if !t.found() {
		if decided {
			g.setBelow(inches * measure.Inch)
		}
		return false
	}
	list, ok := m.beside(m.bare(t.best.list), at)
	if !ok {
		return false
	}
	g.list, g.m, g.at, g.keeps = list, m, at, takes
	return true
}

// decide looks for any cutting below the cost of a search, in which a stock
// below the price of free is had for nothing and the piece more is the group at
// a place. It returns true if it found one or there is none.
func (g *gathering) decide(t *search, free int64, at int) bool {
	const several, many = 16, 64
	p, all := newPoints(t, free)
	if all && len(p.open) == 0 {
		return true
	}
	for _, z := range p.open[:min(len(p.open), 2)] {
		t.work.within((t.work.limit-t.work.used)/8, func() { t.fillSet(z, 3) })
		if t.found() {
			return true
		}
	}
	if !all || len(p.open) > several {
		if t.begin(); t.closed() {
			return true
		}
	}
	if all && len(p.open) <= many {
		p.values, p.at = g.values, at
		decided := false
		t.work.within((t.work.limit-t.work.used)/2, func() { decided = p.run(several) })
		if g.values = p.values; decided {
			return true
		}
	}
	if t.root == nil {
		t.begin()
	}
	if !t.closed() {
		t.goOn()
	}
	return t.closed()
}

// mostSpare returns what an offcut is below because the boards of a cutting of
// the cost have no more than so much to spare. Stocks count with their whole
// length, not with what the pieces can use of it.
func (g *gathering) mostSpare() measure.Length {
	s := g.q
	if g.costs = s.costs; !slices.Equal(s.m.raw, s.m.stocks) {
		whole := *s.m
		whole.stocks = s.m.raw
		g.costs = newCosts(&whole, s.best.cost, s.work)
	}
	if s.best.cost >= int64(len(g.costs.holds)) {
		return g.below
	}
	return (g.costs.holds[s.best.cost]-s.m.total)*s.m.grid - g.kerf + 1
}

// mostByPrices returns what an offcut of low to high inches is below because a
// board that leaves it has so little on it that the cutting would cost more: its
// pieces are worth less than its price by more than the gap that the bound of the
// linear program leaves.
func (g *gathering) mostByPrices(low, high measure.Length) measure.Length {
	s := g.q
	value, worth, bound := s.tight(s.root)
	gap := s.best.cost<<s.root.scale - bound
	if bound <= 0 || gap < 0 {
		return g.below
	}
	least := make([]int64, len(s.m.raw)) // that a board of each stock is worth
	for k, r := range s.m.raw {
		least[k] = worth[s.m.standsFor(r)] - gap
	}
	for low < high {
		mid := low + (high-low+1)/2
		if _, units := g.takes(mid); s.canBeWorth(value, least, units) {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return (high + 1) * measure.Inch
}

// canBeWorth reports whether a board of some stock, cut short by a length, can
// be worth what is asked of the stock.
func (s *search) canBeWorth(value, least []int64, short measure.Length) bool {
	cut := model{takes: s.m.takes}
	var asked []int64
	for k, r := range s.m.raw {
		if r.holds -= short; r.holds >= 0 {
			if least[k] <= 0 {
				return true
			}
			cut.stocks, asked = append(cut.stocks, r), append(asked, least[k]-1)
		}
	}
	if len(asked) == 0 {
		return false
	}
	const longest = 1 << 10 // a rough answer does: what is not ruled out here is tried
	pack := newKnapsack(&cut, s.work)
	pack.longest = longest
	pack.solve(value, s.m.need, asked)
	return pack.over || !slices.Equal(pack.asked, asked)
}
