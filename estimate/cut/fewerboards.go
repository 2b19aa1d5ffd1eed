package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// fewer looks for a cutting of the same cost on fewer boards: it dives on sets
// of boards that cost as much and hold all pieces.
func (s *search) findFewerBoards() {
	cost, boards := s.incumbent.cost, boardCount(s.incumbent.patterns)
	longest := s.m.stocks[len(s.m.stocks)-1].capacity
	if int64(boards) <= measure.CeilDiv(int64(s.m.totalSize), int64(longest)) || len(s.m.stocks) == 1 {
		return
	}
	sets := s.boardSetsCosting(cost)
	sum := func(z []int) (n int) {
		for _, c := range z {
			n += c
		}
		return n
	}
	slices.SortStableFunc(sets, func(a, b []int) int { return cmp.Compare(sum(a), sum(b)) })
	for _, z := range sets {
		if sum(z) >= boards || s.work.spent() {
			return
		}
		t := &search{m: s.m, work: s.work, incumbent: solution{cost: cost + 1}, lowerBound: s.lowerBound, costTable: s.costTable}
		mp := newMaster(s.m, true, cost+1, s.work)
		copy(mp.high, z)
		if mp.warmStart() {
			t.dive(mp, nil, 0)
		}
		if t.incumbent.patterns != nil && t.incumbent.cost == cost && boardCount(t.incumbent.patterns) < boards {
			s.incumbent = t.incumbent
			return
		}
	}
}
