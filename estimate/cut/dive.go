package cut

import (
	"cmp"
	"slices"
)

// dive rounds the solution of the master to whole boards: what is whole is
// fixed, else the layout with the largest part of a board; then the master is
// solved again for the pieces that are left. At every step the rest is also
// filled by first fit. The master given is used up; fixed is what has been taken
// off it before.
//
// seed, if not 0, sways the choice of the layout.
func (s *search) dive(mp *master, fixed []pattern, seed uint64) {
	cost := s.m.cost(fixed)
	for {
		mp.bestBound = -1
		ok := mp.solve(s.incumbent.cost - cost)
		if mp.integerBound()+cost >= s.incumbent.cost || !ok && s.work.spent() {
			return
		}
		took := s.fixPatterns(mp, &fixed, seed)
		if took == nil {
			return
		}
		cost += s.m.cost(took)
		seed = xorshift(seed)
		if !slices.ContainsFunc(mp.demand, func(n int) bool { return n > 0 }) {
			s.offer(fixed)
			return
		}
		s.completeByFirstFit(fixed, mp.demand, mp.high)
		if s.foundAny() || cost >= s.incumbent.cost || !mp.warmStart() {
			return
		}
	}
}

// fix takes boards out of the master's solution and returns them; none, if its
// solution has none.
func (s *search) fixPatterns(mp *master, fixed *[]pattern, seed uint64) (took []pattern) {
	type part struct {
		col   int
		x     float64
		score float64
	}
	var parts []part
	for i, j := range mp.lp.basis {
		d := mp.columns[j]
		if d.stock >= 0 && mp.lp.x[i] > 1e-4 && mp.high[d.stock] > 0 && withinDemand(d.entries, mp.demand) {
			parts = append(parts, part{j, mp.lp.x[i], 0})
		}
	}
	for i := range parts {
		p := &parts[i]
		p.score = p.x + 1e-4 - float64(int(p.x+1e-4))
		if seed != 0 {
			seed = xorshift(seed)
			p.score = float64(p.score * (0.6 + float64(float64(float64(seed%1024)*0.4)/1024)))
		}
	}
	slices.SortStableFunc(parts, func(p, q part) int {
		return cmp.Or(cmp.Compare(q.score, p.score), cmp.Compare(p.col, q.col))
	})
	for _, p := range parts {
		if n := int(p.x + 1e-4); n > 0 {
			took = append(took, s.fixBoards(mp, mp.columns[p.col], n)...)
		}
	}
	if len(took) == 0 && len(parts) > 0 {
		took = s.fixBoards(mp, mp.columns[parts[0].col], 1)
	}
	*fixed = append(*fixed, took...)
	return took
}

// take takes up to n boards of a layout off the needs and the stock of a
// master.
func (s *search) fixBoards(mp *master, d masterColumn, n int) []pattern {
	n = min(n, mp.high[d.stock])
	for _, e := range d.entries {
		n = min(n, mp.demand[e.item]/e.count)
	}
	if n <= 0 {
		return nil
	}
	for _, e := range d.entries {
		mp.demand[e.item] -= n * e.count
	}
	mp.high[d.stock] -= n
	mp.low[d.stock] = max(0, mp.low[d.stock]-n)
	return []pattern{{d.stock, n, d.entries}}
}

// next is the generator of Marsaglia (2003); 0 stays 0.
func xorshift(seed uint64) uint64 {
	seed ^= seed << 13
	seed ^= seed >> 7
	return seed ^ seed<<17
}
