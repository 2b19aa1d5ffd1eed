package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// maxUnits is the largest capacity of a board in units of the grid. Dynamic programs over lengths
// grow with it.
const maxUnits = 65_536

// coarseGrids are the units that lengths are rounded to where their exact unit is too small, from
// the finest.
var coarseGrids = [...]measure.Length{
	measure.Millimeter / 10, measure.Inch / 64, measure.Millimeter / 2, measure.Inch / 32,
	measure.Millimeter, measure.Inch / 16, measure.Inch / 8,
}

// lengthUnit returns the greatest common divisor of all sizes and capacities.
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

// gridFor returns the unit of a model whose exact unit and longest board are given.
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

// exactBound returns a lower bound on the cost of any plan for the lengths as they are, from the
// integer dual values that bound the plans on a grid: the pricing problem is solved again with the
// exact lengths. It is 0 if that would be too much work.
func (in *instance) exactBound(m *model, s *search) measure.UnitPrice {
	unplaced := make([]int, len(in.items))
	for i, n := range m.demand {
		unplaced[i] = len(in.items[i].pieces) - n
	}
	unit := in.lengthUnit()
	exact, ok := in.modelOn(unit, unit, unplaced)
	if !ok || exact.priceUnit != m.priceUnit {
		return 0
	}
	root := s.root
	if s.tooLarge(1) || (&search{m: exact}).tooLarge(1) {
		return 0
	}
	if root == nil {
		root = newMaster(m, false, s.incumbent.cost, s.work)
		root.solve(s.incumbent.cost)
	}
	if root.bestDuals == nil || root.bestShift != root.scale {
		return 0
	}
	mp := newMaster(exact, false, s.incumbent.cost, s.work)
	copy(mp.duals, root.bestDuals)
	for k, st := range exact.stocks {
		mp.threshold[k] = st.price << mp.scale
	}
	if mp.knapsack.solve(mp.duals, exact.demand, mp.threshold); mp.knapsack.overflow {
		return 0
	}
	mp.bestBound = mp.lagrangianBound(mp.duals, slices.Clone(mp.knapsack.target), mp.low, mp.high, mp.scale)
	c := newCostTable(exact, s.incumbent.cost, s.work)
	return measure.UnitPrice(c.roundUp(mp.integerBound()) * exact.priceUnit)
}
