package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
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

// next is the generator of Marsaglia (2003); 0 stays 0.
func xorshift(seed uint64) uint64 {
	seed ^= seed << 13
	seed ^= seed >> 7
	return seed ^ seed<<17
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

// finish cuts the pieces that are left by first fit on boards of each stock and
// offers the outcome with what is fixed.
func (s *search) completeByFirstFit(fixed []pattern, demand, high []int) {
	for base := range s.m.stocks {
		if rest, ok := s.firstFitOn(base, demand); ok {
			s.offer(append(slices.Clone(fixed), rest...))
		}
	}
}

// fill cuts pieces from the longest, each board of the base stock as full as it
// gets, or of the shortest stock that holds the longest piece.
func (s *search) firstFitOn(base int, demand []int) (out []pattern, ok bool) {
	left := slices.Clone(demand)
	for i := range left {
		for left[i] > 0 {
			k := base
			for k < len(s.m.stocks) && s.m.stocks[k].capacity < s.m.sizes[i] {
				k++
			}
			if k == len(s.m.stocks) {
				return nil, false
			}
			p := pattern{stock: k, count: left[i]}
			room := s.m.stocks[k].capacity
			for h := i; h < len(left) && room > 0; h++ {
				if n := min(left[h], int(room/s.m.sizes[h])); n > 0 {
					p.entries = append(p.entries, entry{h, n})
					room -= measure.Length(n) * s.m.sizes[h]
					p.count = min(p.count, left[h]/n)
				}
			}
			for _, e := range p.entries {
				left[e.item] -= p.count * e.count
			}
			out = append(out, p)
			s.work.spend(len(left) - i)
		}
	}
	return out, true
}

// offer takes layouts as the best cutting if they are cheaper, each board
// exchanged for the cheapest that holds it.
func (s *search) offer(patterns []pattern) {
	cost := int64(0)
	patterns = slices.Clone(patterns)
	used := make([]measure.Length, 0, s.m.pieceCount)
	slices.SortStableFunc(patterns, func(a, b pattern) int { return cmp.Compare(s.m.lengthOf(a.entries), s.m.lengthOf(b.entries)) })
	for _, p := range patterns {
		for range p.count {
			used = append(used, s.m.lengthOf(p.entries))
		}
	}
	s.work.spend(2 * len(used))
	take := cheapestStocks(s.m.stocks, used)
	boards := 0
	for k, n := range take {
		boards += n
		cost += int64(n) * s.m.stocks[k].price
	}
	if boards < len(used) || cost >= s.incumbent.cost {
		return
	}
	s.incumbent = solution{cost: cost, patterns: assignStocks(patterns, take)}
}

// assign gives layouts, from the least used, the boards taken, from the
// shortest.
func assignStocks(patterns []pattern, take []int) (out []pattern) {
	take = slices.Clone(take)
	k := 0
	for _, p := range patterns {
		for p.count > 0 {
			for take[k] == 0 {
				k++
			}
			n := min(p.count, take[k])
			out = append(out, pattern{k, n, p.entries})
			take[k] -= n
			p.count -= n
		}
	}
	return out
}
