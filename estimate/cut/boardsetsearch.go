package cut

import (
	"cmp"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// points decides a search set of boards by set of boards: all those that cost
// less than the best cutting and hold all pieces. It is for a cost that is known
// to a hair, where they are few. Boards that are had for nothing are in every
// set, as many as there are.
type boardSetSearch struct {
	s    *search
	tree *tree
	open [][]int // the sets that may hold a cutting: boards of each stock

	// What the pieces are worth in cuts that were of use, for other searches with
	// one piece more that differ only in its length. The group of it stands at a
	// place here, and last in values.
	extraItem     int
	reusableDuals [][]int64
}

// newPoints lists the sets, those with the most to spare first. A stock below
// the price of free is had for nothing. all is false if there are too many.
func newBoardSetSearch(s *search, free int64) (p *boardSetSearch, all bool) {
	const most, steps = 5_000, 500_000
	p = &boardSetSearch{s: s}
	c := boardSetEnumerator{stocks: s.m.stocks, z: make([]int, len(s.m.stocks)), maxSets: most, stepsLeft: steps, unspent: s.incumbent.cost - 1 - s.lowerBound}
	uncovered := s.m.totalSize
	for k, t := range s.m.stocks {
		if t.price < free {
			c.z[k] = t.available
			uncovered -= measure.Length(t.available) * t.capacity
		} else {
			c.order = append(c.order, k)
		}
	}
	sortBy(c.order, func(a, b int) bool { return c.dearer(s.m.stocks[a], s.m.stocks[b].price, s.m.stocks[b].capacity) })
	c.extend(0, s.incumbent.cost-1, uncovered)
	s.work.spend(steps - max(c.stepsLeft, 0))
	p.open = c.sets
	slices.SortStableFunc(p.open, func(a, b []int) int { return cmp.Compare(s.spareOn(b), s.spareOn(a)) })
	return p, c.stepsLeft >= 0 && len(c.sets) <= most
}

// run tries the sets: whether they hold the pieces in part, and if no more than
// several do, dives and the pattern program for each. It returns true if that
// decides the search.
func (p *boardSetSearch) run(several int) bool {
	s := p.s
	p.tree = newTree(s)
	mp := newMaster(s.m, true, s.incumbent.cost, s.work)
	p.tree.master = mp
	for _, p := range s.startPatterns {
		mp.addPattern(p.stock, p.entries)
	}
	for _, v := range p.reusableDuals {
		p.reuseCut(v)
	}
	mp.solve(math.MaxInt64)
	if len(p.open) > several {
		s.work.within((s.work.limit-s.work.used)/2, func() { p.filter(func([]int) bool { return false }) })
	}
	if len(p.open) <= several {
		p.filter(func([]int) bool {
			for seed := range 2 {
				s.dive(mp.clone(), nil, uint64(seed)*0x9E3779B97F4A7C15)
			}
			return false
		})
		each := max((s.work.limit-s.work.used)/int64(2*len(p.open)+1), 100_000)
		p.filter(func(z []int) (none bool) {
			s.work.within(each, func() { none = p.solveSet(z) })
			return none
		})
	}
	return s.foundAny() || len(p.open) == 0
}

// cutAgain adds the cut of values from a search with another length of the one
// piece more.
func (p *boardSetSearch) reuseCut(values []int64) {
	mp, last := p.tree.master, len(values)-1
	copy(mp.duals, slices.Insert(slices.Clone(values[:last]), p.extraItem, values[last]))
	mp.shift = mp.scale
	for k, t := range p.s.m.stocks {
		mp.patternValue[k] = t.price << mp.scale
	}
	p.tree.addCut(nil)
}

// keep leaves out the sets that do not hold the pieces even in part, and those
// that decide decides: it returns true where there is no cutting. For it, the
// master has been solved for the set.
func (p *boardSetSearch) filter(decide func(z []int) bool) {
	var open [][]int
	for i, z := range p.open {
		if p.s.work.spent() || p.s.foundAny() {
			open = append(open, p.open[i:]...)
			break
		}
		if !p.tree.cutsOff(z) && !p.infeasible(z) && !decide(z) {
			open = append(open, z)
		}
	}
	p.open = open
}

// holdsNot reports whether a set does not hold the pieces even in part, at the
// cost. It solves the master for the set.
func (p *boardSetSearch) infeasible(z []int) bool {
	const most = 50 // values to keep
	mp := p.tree.master
	copy(mp.high, z)
	clear(mp.low)
	mp.bestBound = -1
	if !mp.warmStart() {
		return false
	}
	for {
		if !mp.lp.optimize() {
			return false
		}
		added := mp.priceColumns()
		if whole := mp.shift == mp.scale; mp.bound > mp.bestBound || whole && mp.bestShift != mp.scale {
			mp.bestBound, mp.bestShift = mp.bound, mp.shift
			mp.bestDuals, mp.bestPatternValue = append(mp.bestDuals[:0], mp.duals...), append(mp.bestPatternValue[:0], mp.patternValue...)
		}
		if mp.integerBound() >= p.s.incumbent.cost {
			return true
		}
		if p.tree.addCut(z) {
			if mp.shift == mp.scale && len(p.reusableDuals) < most {
				p.reusableDuals = append(p.reusableDuals, append(slices.Delete(slices.Clone(mp.duals), p.extraItem, p.extraItem+1), mp.duals[p.extraItem]))
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
func (p *boardSetSearch) solveSet(z []int) bool {
	s := p.s
	patterns, all := p.patternsFor(z)
	for n := 150; ; n *= 4 {
		n = min(n, len(patterns))
		closed := newPatternProgram(s, patterns[:n], s.incumbent.cost, z).solve()
		if s.foundAny() || s.work.spent() || n == len(patterns) {
			return closed && all
		}
	}
}

// layouts returns the layouts that a cutting on a set of boards can have, those
// first that are worth most of what a board can be; all is false if there are
// too many.
//
// Boards that waste more than the set has to spare are none of them.
func (p *boardSetSearch) patternsFor(z []int) (patterns []pattern, all bool) {
	const most = 10_000
	s, mp := p.s, p.tree.master
	duals, patternValue, bound := s.feasibleDuals(mp)
	if bound <= 0 {
		return nil, false
	}
	found, all := enumerate(s.m, duals, patternValue, max((s.incumbent.cost-1)<<mp.scale-bound, 0), most, s.work)
	slices.SortStableFunc(found, func(a, b slackPattern) int { return cmp.Compare(a.slack, b.slack) })
	waste := s.spareOn(z)
	for _, l := range found {
		if z[l.stock] > 0 && s.m.stocks[l.stock].capacity-s.m.lengthOf(l.entries) <= waste {
			patterns = append(patterns, l.pattern)
		}
	}
	return patterns, all
}
