package cut

import (
	"cmp"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// boardSetSearch decides a search by complete enumeration of the board counts that cost less than
// the incumbent and have room for all pieces. It is for gaps so small that these are few. Boards
// that cost nothing are in every set, as many as are available.
type boardSetSearch struct {
	s    *search
	tree *tree
	open [][]int // board counts that may have a solution

	// Duals whose cuts excluded board counts, for searches that differ only in the length of the
	// offcut item: that item's dual is last here, and at its place in the model.
	offcutItem    int
	reusableDuals [][]int64
}

// newBoardSetSearch enumerates the board counts, those with the most spare length first. A stock
// with a price below paidFrom counts as free. all is false if there are too many.
func newBoardSetSearch(s *search, paidFrom int64) (bs *boardSetSearch, all bool) {
	const maxSets, maxSteps = 5_000, 500_000
	bs = &boardSetSearch{s: s}
	c := boardSetEnumerator{
		stocks: s.m.stocks, z: make([]int, len(s.m.stocks)), maxSets: maxSets, stepsLeft: maxSteps,
		unspent: s.incumbent.cost - 1 - s.lowerBound,
	}
	uncovered := s.m.totalSize
	for k, st := range s.m.stocks {
		if st.price < paidFrom {
			c.z[k] = st.available
			uncovered -= measure.Length(st.available) * st.capacity
		} else {
			c.order = append(c.order, k)
		}
	}
	slices.SortStableFunc(c.order, func(a, b int) int { // descending price for a length
		x, y := s.m.stocks[a], s.m.stocks[b]
		return comparePricePerLength(y.price, y.capacity, x.price, x.capacity)
	})
	c.extend(0, s.incumbent.cost-1, uncovered)
	s.work.spend(maxSteps - max(c.stepsLeft, 0))
	bs.open = c.sets
	slices.SortStableFunc(bs.open, func(a, b []int) int { return cmp.Compare(s.spareOn(b), s.spareOn(a)) })
	return bs, c.stepsLeft >= 0 && len(c.sets) <= maxSets
}

// run examines the board counts: first whether they hold the pieces fractionally, and if no more
// than maxExamined do, by dives and a pattern program for each. It returns true if that decides the
// search.
func (bs *boardSetSearch) run(maxExamined int) bool {
	s := bs.s
	bs.tree = newTree(s)
	mp := newMaster(s.m, true, s.incumbent.cost, s.work)
	bs.tree.master = mp
	for _, p := range s.startPatterns {
		mp.addPattern(p.stock, p.entries)
	}
	for _, v := range bs.reusableDuals {
		bs.reuseCut(v)
	}
	mp.solve(math.MaxInt64)
	if len(bs.open) > maxExamined {
		s.work.within((s.work.limit-s.work.used)/2, func() { bs.filter(func([]int) bool { return false }) })
	}
	if len(bs.open) <= maxExamined {
		bs.filter(func([]int) bool {
			for seed := range uint64(2) {
				s.dive(mp.clone(), seed*seedStep)
			}
			return false
		})
		each := max((s.work.limit-s.work.used)/int64(2*len(bs.open)+1), 100_000)
		bs.filter(func(z []int) (none bool) {
			s.work.within(each, func() { none = bs.solveSet(z) })
			return none
		})
	}
	return s.foundAny() || len(bs.open) == 0
}

// reuseCut adds the cut of duals from a search with another length of the offcut item.
func (bs *boardSetSearch) reuseCut(duals []int64) {
	mp, last := bs.tree.master, len(duals)-1
	copy(mp.duals, slices.Insert(slices.Clone(duals[:last]), bs.offcutItem, duals[last]))
	mp.shift = mp.scale
	for k, st := range bs.s.m.stocks {
		mp.patternValue[k] = st.price << mp.scale
	}
	bs.tree.addCut(nil)
}

// filter removes the board counts that do not hold the pieces even fractionally, and those that are
// found closed: that have no solution. When closed is called, the master has been solved for the
// counts.
func (bs *boardSetSearch) filter(closed func(z []int) bool) {
	var open [][]int
	for i, z := range bs.open {
		if bs.s.work.spent() || bs.s.foundAny() {
			open = append(open, bs.open[i:]...)
			break
		}
		if !bs.tree.cutsOff(z) && !bs.infeasible(z) && !closed(z) {
			open = append(open, z)
		}
	}
	bs.open = open
}

// infeasible reports whether board counts do not hold the pieces even fractionally, at less than
// the cost of the incumbent. It solves the master for them.
func (bs *boardSetSearch) infeasible(z []int) bool {
	const maxReusable = 50
	mp := bs.tree.master
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
		if fullScale := mp.shift == mp.scale; mp.bound > mp.bestBound || fullScale && mp.bestShift != mp.scale {
			mp.keepBest()
		}
		if mp.integerBound() >= bs.s.incumbent.cost {
			return true
		}
		if bs.tree.addCut(z) {
			if mp.shift == mp.scale && len(bs.reusableDuals) < maxReusable {
				others := slices.Delete(slices.Clone(mp.duals), bs.offcutItem, bs.offcutItem+1)
				bs.reusableDuals = append(bs.reusableDuals, append(others, mp.duals[bs.offcutItem]))
			}
			return true
		}
		if added == 0 {
			return false
		}
	}
}

// solveSet looks for a solution on board counts, for which the master has been solved, by pattern
// programs over ever more of the patterns that it can have, by ascending slack. It returns true if
// there is none, or the best one is found.
func (bs *boardSetSearch) solveSet(z []int) bool {
	s := bs.s
	patterns, all := bs.patternsFor(z)
	for n := 150; ; n *= 4 {
		n = min(n, len(patterns))
		closed := newPatternProgram(s, patterns[:n], s.incumbent.cost, z).solve()
		if s.foundAny() || s.work.spent() || n == len(patterns) {
			return closed && all
		}
	}
}

// patternsFor returns the patterns that a solution on board counts can have, by ascending slack;
// all is false if there are too many. Patterns that waste more than the boards have to spare are
// left out.
func (bs *boardSetSearch) patternsFor(z []int) (patterns []pattern, all bool) {
	const maxPatterns = 10_000
	s, mp := bs.s, bs.tree.master
	duals, patternValue, bound := s.feasibleDuals(mp)
	if bound <= 0 {
		return nil, false
	}
	found, all := enumerate(s.m, duals, patternValue, max((s.incumbent.cost-1)<<mp.scale-bound, 0), maxPatterns, s.work)
	slices.SortStableFunc(found, func(a, b slackPattern) int { return cmp.Compare(a.slack, b.slack) })
	waste := s.spareOn(z)
	for _, sp := range found {
		if z[sp.stock] > 0 && s.m.stocks[sp.stock].capacity-s.m.lengthOf(sp.entries) <= waste {
			patterns = append(patterns, sp.pattern)
		}
	}
	return patterns, all
}
