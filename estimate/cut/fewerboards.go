package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// findFewerBoards looks for a solution of the same cost on fewer boards, by diving within board
// counts that cost as much and have room for all pieces.
func (s *search) findFewerBoards() {
	cost, boards := s.incumbent.cost, boardCount(s.incumbent.patterns)
	longest := s.m.stocks[len(s.m.stocks)-1].capacity
	if int64(boards) <= measure.CeilDiv(int64(s.m.totalSize), int64(longest)) || len(s.m.stocks) == 1 {
		return
	}
	sets := s.boardSetsCosting(cost)
	slices.SortStableFunc(sets, func(a, b []int) int { return cmp.Compare(totalBoards(a), totalBoards(b)) })
	for _, z := range sets {
		if totalBoards(z) >= boards || s.work.spent() {
			return
		}
		sub := &search{m: s.m, work: s.work, incumbent: solution{cost: cost + 1}, lowerBound: s.lowerBound, costTable: s.costTable}
		mp := newMaster(s.m, true, cost+1, s.work)
		copy(mp.high, z)
		if mp.warmStart() {
			sub.dive(mp, 0)
		}
		if sub.incumbent.patterns != nil && sub.incumbent.cost == cost && boardCount(sub.incumbent.patterns) < boards {
			s.incumbent = sub.incumbent
			return
		}
	}
}
