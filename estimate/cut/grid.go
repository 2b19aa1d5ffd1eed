package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// finest is the largest number of units that a board may hold. Beyond it, lists
// of sums grow long.
const maxUnits = 65_536

// grids are the units of length that may stand in for the exact one, from the
// finest.
var coarseGrids = [...]measure.Length{
	measure.Millimetre / 10, measure.Inch / 64, measure.Millimetre / 2, measure.Inch / 32,
	measure.Millimetre, measure.Inch / 16, measure.Inch / 8,
}

// unit is the greatest common divisor of all lengths.
func (in *instance) lengthUnit() measure.Length {
	common := int64(0)
	for _, item := range in.items {
		common = gcd(common, int64(item.size))
	}
	for _, st := range in.stockTypes {
		common = gcd(common, int64(st.capacity))
	}
	return measure.Length(common)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// gridFor returns the unit of a model whose exact unit and longest board are
// given.
func gridFor(exact, longest measure.Length) measure.Length {
	if longest/exact <= maxUnits {
		return exact
	}
	for _, g := range coarseGrids {
		if longest/g <= maxUnits {
			return g
		}
	}
	g := coarseGrids[len(coarseGrids)-1]
	for longest/g > maxUnits {
		g *= 2
	}
	return g
}

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
