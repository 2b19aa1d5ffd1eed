package cut

import (
	"cmp"
	"slices"
)

// plan writes a packing out as boards with the pieces of the problem. best is nil when there is no
// stock.
func (in *instance) plan(p Problem, best *packing) Plan {
	plan := Plan{Unplaced: slices.Clone(in.tooLong)}
	if best != nil {
		plan.Cost = best.cost
		var bins []bin
		var stockTypes []int
		for _, i := range in.boardOrder(best) {
			bins, stockTypes = append(bins, best.bins[i]), append(stockTypes, best.stockTypes[i])
		}
		pieces, unplaced, atEnds := in.assignPieces(p, bins, stockTypes)
		plan.AtFactoryEnds = atEnds
		lots := make([]lotCursor, len(in.stockTypes))
		for i, b := range bins {
			k := stockTypes[i]
			plan.Boards = append(plan.Boards, Board{Stock: lots[k].next(in.stockTypes[k]), Pieces: pieces[i], Offcut: in.offcut(b, k)})
			plan.LongestOffcut = max(plan.LongestOffcut, plan.Boards[i].Offcut)
			if i == 0 || stockTypes[i] != stockTypes[i-1] || !slices.Equal(b.entries, bins[i-1].entries) {
				plan.Patterns = append(plan.Patterns, Pattern{First: i})
			}
			plan.Patterns[len(plan.Patterns)-1].Count++
			plan.StopSettings += len(b.entries)
		}
		plan.Unplaced = append(plan.Unplaced, unplaced...)
	}
	slices.Sort(plan.Unplaced)
	plan.Unplaced = slices.Compact(plan.Unplaced)
	return plan
}

// boardOrder returns the bins in the order of a plan: longest stock first, then by the longest
// piece, then by its number, and so on.
func (in *instance) boardOrder(p *packing) []int {
	order := make([]int, len(p.bins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(
			cmp.Compare(p.stockTypes[b], p.stockTypes[a]),
			slices.CompareFunc(p.bins[a].entries, p.bins[b].entries, func(x, y entry) int {
				return cmp.Or(cmp.Compare(x.item, y.item), cmp.Compare(y.count, x.count))
			}),
		)
	})
	return order
}
