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
func (s *search) dive(a *master, fixed []layout, seed uint64) {
	cost := s.m.cost(fixed)
	for {
		a.best = -1
		ok := a.solve(s.best.cost - cost)
		if a.whole()+cost >= s.best.cost || !ok && s.work.spent() {
			return
		}
		took := s.fix(a, &fixed, seed)
		if took == nil {
			return
		}
		cost += s.m.cost(took)
		seed = next(seed)
		if !slices.ContainsFunc(a.need, func(n int) bool { return n > 0 }) {
			s.offer(fixed)
			return
		}
		s.finish(fixed, a.need, a.high)
		if s.found() || cost >= s.best.cost || !a.refresh() {
			return
		}
	}
}

// next is the generator of Marsaglia (2003); 0 stays 0.
func next(seed uint64) uint64 {
	seed ^= seed << 13
	seed ^= seed >> 7
	return seed ^ seed<<17
}

// fix takes boards out of the master's solution and returns them; none, if its
// solution has none.
func (s *search) fix(a *master, fixed *[]layout, seed uint64) (took []layout) {
	type part struct {
		col   int
		x     float64
		score float64
	}
	var parts []part
	for i, j := range a.lp.basis {
		d := a.made[j]
		if d.stock >= 0 && a.lp.x[i] > 1e-4 && a.high[d.stock] > 0 && fits(d.items, a.need) {
			parts = append(parts, part{j, a.lp.x[i], 0})
		}
	}
	for i := range parts {
		p := &parts[i]
		p.score = p.x + 1e-4 - float64(int(p.x+1e-4))
		if seed != 0 {
			seed = next(seed)
			p.score = float64(p.score * (0.6 + float64(float64(float64(seed%1024)*0.4)/1024)))
		}
	}
	slices.SortStableFunc(parts, func(p, q part) int {
		return cmp.Or(cmp.Compare(q.score, p.score), cmp.Compare(p.col, q.col))
	})
	for _, p := range parts {
		if n := int(p.x + 1e-4); n > 0 {
			took = append(took, s.take(a, a.made[p.col], n)...)
		}
	}
	if len(took) == 0 && len(parts) > 0 {
		took = s.take(a, a.made[parts[0].col], 1)
	}
	*fixed = append(*fixed, took...)
	return took
}

// take takes up to n boards of a layout off the needs and the stock of a
// master.
func (s *search) take(a *master, d made, n int) []layout {
	n = min(n, a.high[d.stock])
	for _, it := range d.items {
		n = min(n, a.need[it.group]/it.count)
	}
	if n <= 0 {
		return nil
	}
	for _, it := range d.items {
		a.need[it.group] -= n * it.count
	}
	a.high[d.stock] -= n
	a.low[d.stock] = max(0, a.low[d.stock]-n)
	return []layout{{d.stock, n, d.items}}
}

// finish cuts the pieces that are left by first fit on boards of each stock and
// offers the outcome with what is fixed.
func (s *search) finish(fixed []layout, need, high []int) {
	for base := range s.m.stocks {
		if rest, ok := s.fill(base, need); ok {
			s.offer(append(slices.Clone(fixed), rest...))
		}
	}
}

// fill cuts pieces from the longest, each board of the base stock as full as it
// gets, or of the shortest stock that holds the longest piece.
func (s *search) fill(base int, need []int) (out []layout, ok bool) {
	left := slices.Clone(need)
	for g := range left {
		for left[g] > 0 {
			k := base
			for k < len(s.m.stocks) && s.m.stocks[k].holds < s.m.takes[g] {
				k++
			}
			if k == len(s.m.stocks) {
				return nil, false
			}
			l := layout{stock: k, count: left[g]}
			room := s.m.stocks[k].holds
			for h := g; h < len(left) && room > 0; h++ {
				if n := min(left[h], int(room/s.m.takes[h])); n > 0 {
					l.items = append(l.items, item{h, n})
					room -= measure.Length(n) * s.m.takes[h]
					l.count = min(l.count, left[h]/n)
				}
			}
			for _, it := range l.items {
				left[it.group] -= l.count * it.count
			}
			out = append(out, l)
			s.work.spend(len(left) - g)
		}
	}
	return out, true
}

// offer takes layouts as the best cutting if they are cheaper, each board
// exchanged for the cheapest that holds it.
func (s *search) offer(list []layout) {
	cost := int64(0)
	list = slices.Clone(list)
	used := make([]measure.Length, 0, s.m.count)
	slices.SortStableFunc(list, func(a, b layout) int { return cmp.Compare(s.m.length(a.items), s.m.length(b.items)) })
	for _, l := range list {
		for range l.count {
			used = append(used, s.m.length(l.items))
		}
	}
	s.work.spend(2 * len(used))
	take := exchange(s.m.stocks, used)
	boards := 0
	for k, n := range take {
		boards += n
		cost += int64(n) * s.m.stocks[k].price
	}
	if boards < len(used) || cost >= s.best.cost {
		return
	}
	s.best = layouts{cost: cost, list: assign(list, take)}
}

// assign gives layouts, from the least used, the boards taken, from the
// shortest.
func assign(list []layout, take []int) (out []layout) {
	take = slices.Clone(take)
	k := 0
	for _, l := range list {
		for l.count > 0 {
			for take[k] == 0 {
				k++
			}
			n := min(l.count, take[k])
			out = append(out, layout{k, n, l.items})
			take[k] -= n
			l.count -= n
		}
	}
	return out
}
