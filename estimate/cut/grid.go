package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// exactBound returns a bound on the cost of any plan for the lengths as they
// are, from the integer values of the pieces that bound their plans on a grid:
// the most valuable boards are found again with the exact lengths. It is 0 if
// that is too much to list.
func (in *instance) exactBound(m *model, s *search) measure.UnitPrice {
	missing := make([]int, len(in.items))
	for i, n := range m.demand {
		missing[i] = len(in.items[i].pieces) - n
	}
	unit := in.lengthUnit()
	e, ok := in.modelOn(unit, unit, missing)
	if !ok || e.priceUnit != m.priceUnit {
		return 0
	}
	root := s.root
	if root == nil {
		root = newMaster(m, false, s.incumbent.cost, s.work)
		root.solve(s.incumbent.cost)
	}
	if root.bestDuals == nil || root.bestShift != root.scale {
		return 0
	}
	mp := newMaster(e, false, s.incumbent.cost, s.work)
	copy(mp.duals, root.bestDuals)
	for k, t := range e.stocks {
		mp.threshold[k] = t.price << mp.scale
	}
	if mp.knapsack.solve(mp.duals, e.demand, mp.threshold); mp.knapsack.overflow {
		return 0
	}
	mp.bestBound = mp.lagrangianBound(mp.duals, slices.Clone(mp.knapsack.target), mp.low, mp.high, mp.scale)
	c := newCostTable(e, s.incumbent.cost, s.work)
	return measure.UnitPrice(c.roundUp(mp.integerBound()) * e.priceUnit)
}
