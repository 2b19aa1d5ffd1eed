package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// completeByFirstFit packs the rest of the demand by first fit decreasing on each stock in turn and
// offers the patterns together with those that are fixed.
func (s *search) completeByFirstFit(fixed []pattern, demand []int) {
	for base := range s.m.stocks {
		if base >= maxRuleLengths && s.work.spent() {
			return // few stocks are all tried
		}
		if patterns, ok := s.firstFitOn(base, demand); ok {
			s.offer(append(slices.Clone(fixed), patterns...))
		}
	}
}

// firstFitOn packs a demand by first fit decreasing, board by board: of the base stock, or of the
// shortest that holds the longest piece.
func (s *search) firstFitOn(base int, demand []int) (out []pattern, ok bool) {
	rest := slices.Clone(demand)
	for i := range rest {
		for rest[i] > 0 {
			k := base
			for k < len(s.m.stocks) && s.m.stocks[k].capacity < s.m.sizes[i] {
				k++
			}
			if k == len(s.m.stocks) {
				return nil, false
			}
			p := pattern{stock: k, count: rest[i]}
			room := s.m.stocks[k].capacity
			for j := i; j < len(rest) && room > 0; j++ {
				if n := min(rest[j], int(room/s.m.sizes[j])); n > 0 {
					p.entries = append(p.entries, entry{j, n})
					room -= measure.Length(n) * s.m.sizes[j]
					p.count = min(p.count, rest[j]/n)
				}
			}
			for _, e := range p.entries {
				rest[e.item] -= p.count * e.count
			}
			out = append(out, p)
			s.work.spend(len(rest) - i)
		}
	}
	return out, true
}

// offer puts patterns on the cheapest boards that hold them and makes them the incumbent if they
// cost less.
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
	s.work.spend(2*len(used) + len(s.m.stocks)*(len(s.m.stocks)/16))
	counts := cheapestStocks(s.m.stocks, used)
	boards := 0
	for k, n := range counts {
		boards += n
		cost += int64(n) * s.m.stocks[k].price
	}
	if boards < len(used) || cost >= s.incumbent.cost {
		return
	}
	s.incumbent = solution{cost: cost, patterns: assignStocks(patterns, counts)}
}
