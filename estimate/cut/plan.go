package cut

import (
	"cmp"
	"slices"
)

// plan writes a trial out as boards with the pieces of the problem. best is nil
// when there is no stock.
func (s *shop) plan(best *trial) Plan {
	plan := Plan{Short: slices.Clone(s.short)}
	if best != nil {
		plan.Cost = best.cost
		next := make([]int, len(s.groups)) // pieces of the group already on boards
		for _, i := range s.boardOrder(best) {
			l, k := best.loads[i], best.kinds[i]
			board := Board{Stock: s.kinds[k].stock, Offcut: s.offcut(l, k)}
			for _, it := range l.items {
				from := next[it.group]
				next[it.group] += it.count
				board.Pieces = append(board.Pieces, s.groups[it.group].pieces[from:next[it.group]]...)
			}
			plan.Boards = append(plan.Boards, board)
		}
		for g, grp := range s.groups {
			plan.Short = append(plan.Short, grp.pieces[next[g]:]...)
		}
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
