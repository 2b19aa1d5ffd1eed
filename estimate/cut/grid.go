package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// exactBound returns a bound on the cost of any plan for the lengths as they
// are, from the integer values of the pieces that bound their plans on a grid:
// the most valuable boards are found again with the exact lengths. It is 0 if
// that is too much to list.
func (s *shop) exactBound(m *model, q *search) measure.UnitPrice {
	missing := make([]int, len(s.groups))
	for g, n := range m.need {
		missing[g] = len(s.groups[g].pieces) - n
	}
	unit := s.unit()
	e, ok := s.model(unit, unit, missing)
	if !ok || e.step != m.step {
		return 0
	}
	root := q.root
	if root == nil {
		root = newMaster(m, false, q.best.cost, q.work)
		root.solve(q.best.cost)
	}
	if root.bestV == nil || root.bestShift != root.scale {
		return 0
	}
	a := newMaster(e, false, q.best.cost, q.work)
	copy(a.value, root.bestV)
	for k, t := range e.stocks {
		a.asked[k] = t.price << a.scale
	}
	if a.pack.solve(a.value, e.need, a.asked); a.pack.over {
		return 0
	}
	a.best = a.boundOf(a.value, slices.Clone(a.pack.asked), a.low, a.high, a.scale)
	c := newCosts(e, q.best.cost, q.work)
	return measure.UnitPrice(c.from(a.whole()) * e.step)
}
