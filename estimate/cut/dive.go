package cut

import (
	"cmp"
	"slices"
)

// dive is the diving heuristic: it rounds the solution of the master to whole boards, fixes them,
// and solves the master again for the remaining demand, until there is none. After every step the
// remaining demand is also packed by first fit decreasing. The master given is used up.
//
// A seed other than 0 perturbs the choice of the pattern that is rounded up.
func (s *search) dive(mp *master, seed uint64) {
	var fixed []pattern
	cost := int64(0)
	for {
		mp.bestBound = -1
		ok := mp.solve(s.incumbent.cost - cost)
		if mp.integerBound()+cost >= s.incumbent.cost || !ok && s.work.spent() {
			return
		}
		taken := s.fixPatterns(mp, seed)
		if taken == nil {
			return
		}
		fixed = append(fixed, taken...)
		cost += s.m.cost(taken)
		seed = xorshift(seed)
		if !slices.ContainsFunc(mp.demand, func(n int) bool { return n > 0 }) {
			s.offer(fixed)
			return
		}
		s.completeByFirstFit(fixed, mp.demand)
		if s.foundAny() || cost >= s.incumbent.cost || !mp.warmStart() {
			return
		}
	}
}

// fixPatterns takes boards out of the master's solution and returns them: those of all whole parts,
// else one of the pattern with the largest fraction; none, if the solution has no pattern that
// still fits the demand.
func (s *search) fixPatterns(mp *master, seed uint64) (taken []pattern) {
	type candidate struct {
		col   int
		x     float64
		score float64
	}
	var candidates []candidate
	for i, j := range mp.lp.basis {
		col := mp.columns[j]
		if col.stock >= 0 && mp.lp.x[i] > 1e-4 && mp.high[col.stock] > 0 && withinDemand(col.entries, mp.demand) {
			candidates = append(candidates, candidate{j, mp.lp.x[i], 0})
		}
	}
	for i := range candidates {
		c := &candidates[i]
		c.score = c.x + 1e-4 - float64(int(c.x+1e-4))
		if seed != 0 {
			seed = xorshift(seed)
			c.score = float64(c.score * (0.6 + float64(float64(float64(seed%1024)*0.4)/1024)))
		}
	}
	slices.SortStableFunc(candidates, func(c, d candidate) int {
		return cmp.Or(cmp.Compare(d.score, c.score), cmp.Compare(c.col, d.col))
	})
	for _, c := range candidates {
		if n := int(c.x + 1e-4); n > 0 {
			taken = append(taken, s.fixBoards(mp, mp.columns[c.col], n)...)
		}
	}
	if len(taken) == 0 && len(candidates) > 0 {
		taken = s.fixBoards(mp, mp.columns[candidates[0].col], 1)
	}
	return taken
}

// fixBoards takes up to n boards of a pattern off the demand and the stock of a master.
func (s *search) fixBoards(mp *master, col masterColumn, n int) []pattern {
	n = min(n, mp.high[col.stock])
	for _, e := range col.entries {
		n = min(n, mp.demand[e.item]/e.count)
	}
	if n <= 0 {
		return nil
	}
	for _, e := range col.entries {
		mp.demand[e.item] -= n * e.count
	}
	mp.high[col.stock] -= n
	mp.low[col.stock] = max(0, mp.low[col.stock]-n)
	return []pattern{{col.stock, n, col.entries}}
}

// xorshift is the pseudorandom generator of Marsaglia (2003); 0 stays 0.
func xorshift(seed uint64) uint64 {
	seed ^= seed << 13
	seed ^= seed >> 7
	return seed ^ seed<<17
}

// seedStep spreads small numbers over the seeds of the generator: 2^64 divided by the golden ratio.
const seedStep = 0x9E3779B97F4A7C15
