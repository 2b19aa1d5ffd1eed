package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// gathering looks for the longest single offcut that a cutting of the cost of
// the best one, on no more boards, can leave.
type offcutSearch struct {
	search        *search
	kerf          measure.Length
	unreachable   measure.Length // no cutting leaves one so long
	costTable     *costTable     // of the stocks with their whole lengths
	boards        int            // of the plan
	reusableDuals [][]int64      // see points

	// The cutting with the longest that was found, if any, with a piece as long in it.
	patterns   []pattern
	m          *model
	offcutItem int            // the group of the piece
	offcutSize measure.Length // what it takes
}

// run narrows the gap between from, the longest offcut so far, and below to an
// inch, with a piece more of the length asked for: the longest that may be, and
// then by bisection.
func (o *offcutSearch) run(from measure.Length) {
	w := o.search.work
	low := from / measure.Inch
	if o.search.root != nil && low < o.maxInches() {
		o.setUnreachable(o.boundByDuals(low, o.maxInches()))
	}
	if low < o.maxInches() {
		o.setUnreachable(o.boundBySpare())
	}
	if o.search.root == nil && low < o.maxInches() {
		o.search.root = newMaster(o.search.m, false, o.search.incumbent.cost, w)
		w.within((w.limit-w.used)/4, func() { o.search.root.solve(math.MaxInt64) })
		o.setUnreachable(o.boundByDuals(low, o.maxInches()))
	}
	next := o.maxInches()
	for high := next; low < high && !w.spent(); next = low + (high-low+1)/2 {
		if o.tryLength(next) {
			low = next
		} else {
			high = min(o.maxInches(), next-1)
		}
	}
}

// whole is the most inches that an offcut may have.
func (o *offcutSearch) maxInches() measure.Length { return (o.unreachable - 1) / measure.Inch }

// takes returns what a piece of some inches takes, and in units of the model.
func (o *offcutSearch) sizeOf(inches measure.Length) (size, units measure.Length) {
	size = inches*measure.Inch + o.kerf
	return size, measure.Length(measure.CeilDiv(int64(size), int64(o.search.m.grid)))
}

func (o *offcutSearch) setUnreachable(below measure.Length) {
	o.unreachable = min(o.unreachable, below)
}

// try looks for a cutting that leaves so many inches.
func (o *offcutSearch) tryLength(inches measure.Length) bool {
	const dearest = 1 << 56
	s, many := o.search, int64(o.boards+1)
	if s.incumbent.cost >= dearest/many {
		return false
	}
	size, units := o.sizeOf(inches)
	m, at := s.m.withItem(units)
	t := &search{
		m: m.withBoardCost(many), work: s.work, startPatterns: m.importPatterns(s.root, at),
		anySolution: true, incumbent: solution{cost: (s.incumbent.cost + 1) * many}, lowerBound: s.lowerBound * many, costTable: &costTable{o.costTable.capacity, m.totalSize, many},
	}
	decided := o.decide(t, many, at)
	if !t.foundAny() {
		if decided {
			o.setUnreachable(inches * measure.Inch)
		}
		return false
	}
	patterns, ok := m.joinLoneItem(m.withoutSurplus(t.incumbent.patterns), at)
	if !ok {
		return false
	}
	o.patterns, o.m, o.offcutItem, o.offcutSize = patterns, m, at, size
	return true
}

// decide looks for any cutting below the cost of a search, in which a stock
// below the price of free is had for nothing and the piece more is the group at
// a place. It returns true if it found one or there is none.
func (o *offcutSearch) decide(t *search, free int64, at int) bool {
	const several, many = 16, 64
	p, all := newBoardSetSearch(t, free)
	if all && len(p.open) == 0 {
		return true
	}
	for _, z := range p.open[:min(len(p.open), 2)] {
		t.work.within((t.work.limit-t.work.used)/8, func() { t.fillBoardSet(z, 3) })
		if t.foundAny() {
			return true
		}
	}
	if !all || len(p.open) > several {
		if t.runHeuristics(); t.closed() {
			return true
		}
	}
	if all && len(p.open) <= many {
		p.reusableDuals, p.extraItem = o.reusableDuals, at
		decided := false
		t.work.within((t.work.limit-t.work.used)/2, func() { decided = p.run(several) })
		if o.reusableDuals = p.reusableDuals; decided {
			return true
		}
	}
	if t.root == nil {
		t.runHeuristics()
	}
	if !t.closed() {
		t.runExact()
	}
	return t.closed()
}

// mostSpare returns what an offcut is below because the boards of a cutting of
// the cost have no more than so much to spare. Stocks count with their whole
// length, not with what the pieces can use of it.
func (o *offcutSearch) boundBySpare() measure.Length {
	s := o.search
	if o.costTable = s.costTable; !slices.Equal(s.m.allStocks, s.m.stocks) {
		whole := *s.m
		whole.stocks = s.m.allStocks
		o.costTable = newCostTable(&whole, s.incumbent.cost, s.work)
	}
	if s.incumbent.cost >= int64(len(o.costTable.capacity)) {
		return o.unreachable
	}
	return (o.costTable.capacity[s.incumbent.cost]-s.m.totalSize)*s.m.grid - o.kerf + 1
}

// mostByPrices returns what an offcut of low to high inches is below because a
// board that leaves it has so little on it that the cutting would cost more: its
// pieces are worth less than its price by more than the gap that the bound of the
// linear program leaves.
func (o *offcutSearch) boundByDuals(low, high measure.Length) measure.Length {
	s := o.search
	duals, patternValue, bound := s.feasibleDuals(s.root)
	gap := s.incumbent.cost<<s.root.scale - bound
	if bound <= 0 || gap < 0 {
		return o.unreachable
	}
	least := make([]int64, len(s.m.allStocks)) // that a board of each stock is worth
	for k, r := range s.m.allStocks {
		least[k] = patternValue[s.m.representative(r)] - gap
	}
	for low < high {
		mid := low + (high-low+1)/2
		if _, units := o.sizeOf(mid); s.patternCanReach(duals, least, units) {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return (high + 1) * measure.Inch
}

// canBeWorth reports whether a board of some stock, cut short by a length, can
// be worth what is asked of the stock.
func (s *search) patternCanReach(duals, least []int64, short measure.Length) bool {
	cut := model{sizes: s.m.sizes}
	var threshold []int64
	for k, r := range s.m.allStocks {
		if r.capacity -= short; r.capacity >= 0 {
			if least[k] <= 0 {
				return true
			}
			cut.stocks, threshold = append(cut.stocks, r), append(threshold, least[k]-1)
		}
	}
	if len(threshold) == 0 {
		return false
	}
	const longest = 1 << 10 // a rough answer does: what is not ruled out here is tried
	pack := newKnapsack(&cut, s.work)
	pack.maxStates = longest
	pack.solve(duals, s.m.demand, threshold)
	return pack.overflow || !slices.Equal(pack.target, threshold)
}
