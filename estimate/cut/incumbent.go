package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

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
