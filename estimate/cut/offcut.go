package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// offcutSearch looks for the longest single offcut that a solution of the cost of the incumbent, on
// no more boards, can leave. An offcut of a length can be left if and only if the pieces can be cut
// together with an item of that length, the offcut item.
type offcutSearch struct {
	search        *search
	kerf          measure.Length
	unreachable   measure.Length // no solution leaves an offcut so long
	costTable     *costTable     // of the stocks with their whole lengths
	boards        int            // of the incumbent
	reusableDuals [][]int64      // see boardSetSearch

	// The solution with the longest offcut found, if any, with the offcut item in it.
	patterns   []pattern
	m          *model
	offcutItem int
	offcutSize measure.Length
}

// run narrows the gap between from, the longest offcut so far, and the upper bound to an inch. It
// tries the longest length that is not excluded, and then bisects.
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

// maxInches is the longest offcut that is not excluded, in whole inches.
func (o *offcutSearch) maxInches() measure.Length { return (o.unreachable - 1) / measure.Inch }

// sizeOf returns the size of an offcut item of some inches, and the size in units of the model.
func (o *offcutSearch) sizeOf(inches measure.Length) (size, units measure.Length) {
	size = inches*measure.Inch + o.kerf
	return size, measure.Length(measure.CeilDiv(int64(size), int64(o.search.m.grid)))
}

// setUnreachable excludes offcuts of a length and longer.
func (o *offcutSearch) setUnreachable(length measure.Length) {
	o.unreachable = min(o.unreachable, length)
}

// tryLength looks for a solution that leaves an offcut of so many inches.
func (o *offcutSearch) tryLength(inches measure.Length) bool {
	const maxCost = 1 << 56
	s, costFactor := o.search, int64(o.boards+1)
	if s.incumbent.cost >= maxCost/costFactor {
		return false
	}
	size, units := o.sizeOf(inches)
	m, at := s.m.withItem(units)
	sub := &search{
		m: m.withBoardCost(costFactor), work: s.work, startPatterns: m.importPatterns(s.root, at),
		anySolution: true, incumbent: solution{cost: (s.incumbent.cost + 1) * costFactor}, lowerBound: s.lowerBound * costFactor,
		costTable: &costTable{o.costTable.capacity, m.totalSize, costFactor},
	}
	decided := o.decide(sub, costFactor, at)
	if !sub.foundAny() {
		if decided {
			o.setUnreachable(inches * measure.Inch)
		}
		return false
	}
	patterns, ok := m.joinLoneItem(m.withoutSurplus(sub.incumbent.patterns), at)
	if !ok {
		return false
	}
	o.patterns, o.m, o.offcutItem, o.offcutSize = patterns, m, at, size
	return true
}

// decide looks for any solution below the cost of a search for an offcut item. A stock with a price
// below paidFrom counts as free. It returns true if it found one or there is none.
func (o *offcutSearch) decide(sub *search, paidFrom int64, at int) bool {
	const maxExamined, maxFiltered = 16, 64
	bs, all := newBoardSetSearch(sub, paidFrom)
	if all && len(bs.open) == 0 {
		return true
	}
	for _, z := range bs.open[:min(len(bs.open), 2)] {
		sub.work.within((sub.work.limit-sub.work.used)/8, func() { sub.fillBoardSet(z, 3) })
		if sub.foundAny() {
			return true
		}
	}
	if !all || len(bs.open) > maxExamined {
		if sub.runHeuristics(); sub.closed() {
			return true
		}
	}
	if all && len(bs.open) <= maxFiltered {
		bs.reusableDuals, bs.offcutItem = o.reusableDuals, at
		decided := false
		sub.work.within((sub.work.limit-sub.work.used)/2, func() { decided = bs.run(maxExamined) })
		if o.reusableDuals = bs.reusableDuals; decided {
			return true
		}
	}
	if sub.root == nil {
		sub.runHeuristics()
	}
	if !sub.closed() {
		sub.runExact()
	}
	return sub.closed()
}

// boundBySpare returns a length that no offcut reaches because the boards of a solution have no
// more than so much to spare. Stocks count with their whole length, not with what the pieces can
// use of it.
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

// boundByDuals returns a length that no offcut reaches, where up to high inches are still possible
// and low are attained: the pattern of a longer offcut's board would have a slack above the gap
// that the bound of the linear program leaves.
func (o *offcutSearch) boundByDuals(low, high measure.Length) measure.Length {
	s := o.search
	duals, patternValue, bound := s.feasibleDuals(s.root)
	gap := s.incumbent.cost<<s.root.scale - bound
	if bound <= 0 || gap < 0 {
		return o.unreachable
	}
	minValue := make([]int64, len(s.m.allStocks)) // of a pattern on each stock
	for k, st := range s.m.allStocks {
		minValue[k] = patternValue[s.m.representative(st)] - gap
	}
	for low < high {
		mid := low + (high-low+1)/2
		if _, units := o.sizeOf(mid); s.patternCanReach(duals, minValue, units) {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return (high + 1) * measure.Inch
}

// patternCanReach reports whether a pattern on a board of some stock, shortened by an offcut, can
// have the value that a solution needs on that stock.
func (s *search) patternCanReach(duals, minValue []int64, offcut measure.Length) bool {
	shortened := model{sizes: s.m.sizes}
	var threshold []int64
	for k, st := range s.m.allStocks {
		if st.capacity -= offcut; st.capacity >= 0 {
			if minValue[k] <= 0 {
				return true
			}
			shortened.stocks, threshold = append(shortened.stocks, st), append(threshold, minValue[k]-1)
		}
	}
	if len(threshold) == 0 {
		return false
	}
	const maxStates = 1 << 10 // a rough answer does: lengths that are not excluded here are tried
	knapsack := newKnapsack(&shortened, s.work)
	knapsack.maxStates = maxStates
	knapsack.solve(duals, s.m.demand, threshold)
	return knapsack.overflow || !slices.Equal(knapsack.target, threshold)
}
