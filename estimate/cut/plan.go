package cut

import (
	"cmp"
	"slices"
)

// plan writes a trial out as boards with the pieces of the problem. best is nil
// when there is no stock.
func (s *shop) plan(p Problem, best *trial) Plan {
	plan := Plan{Short: slices.Clone(s.short)}
	if best != nil {
		plan.Cost = best.cost
		var loads []load
		var kinds []int
		for _, i := range s.boardOrder(best) {
			loads, kinds = append(loads, best.loads[i]), append(kinds, best.kinds[i])
		}
		pieces, left, atEnds := s.hand(p, loads, kinds)
		plan.AtEnds = atEnds
		for i, l := range loads {
			plan.Boards = append(plan.Boards, Board{Stock: s.kinds[kinds[i]].stock, Pieces: pieces[i], Offcut: s.offcut(l, kinds[i])})
			plan.LongestOffcut = max(plan.LongestOffcut, plan.Boards[i].Offcut)
			if i == 0 || kinds[i] != kinds[i-1] || !slices.Equal(l.items, loads[i-1].items) {
				plan.Layouts = append(plan.Layouts, Layout{First: i})
			}
			plan.Layouts[len(plan.Layouts)-1].Count++
			plan.Visits += len(l.items)
		}
		plan.Short = append(plan.Short, left...)
	}
	slices.Sort(plan.Short)
	plan.Short = slices.Compact(plan.Short)
	return plan
}

// boardOrder returns the loads as a plan lists them: longest stock first, then
// by the longest piece, then by the number of it, and so on.
func (s *shop) boardOrder(t *trial) []int {
	order := make([]int, len(t.loads))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(
			cmp.Compare(t.kinds[b], t.kinds[a]),
			slices.CompareFunc(t.loads[a].items, t.loads[b].items, func(x, y item) int {
				return cmp.Or(cmp.Compare(x.group, y.group), cmp.Compare(y.count, x.count))
			}),
		)
	})
	return order
}
