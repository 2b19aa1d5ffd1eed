package estimate

import "sillwright/estimate/measure"

// GuardNeeded reports whether a wall opening calls for fall protection while
// the work goes on.
//
//	needed when inside sill height < 39 in and outside drop >= 6 ft
//
// Source: US Code of Federal Regulations, 29 CFR 1926.501(b)(14)
func GuardNeeded(sillHeight, drop measure.Length) bool {
	return sillHeight < 39*measure.Inch && drop >= 6*measure.Foot
}

// LadderFoot returns how far the foot of a ladder stands out from the wall.
//
//	foot = working length / 4
//
// Source: US Code of Federal Regulations, 29 CFR 1926.1053(b)(5)
func LadderFoot(working measure.Length) measure.Length { return working / 4 }

// LeadWork reports whether work on paint of a house built before 1978 falls
// under the lead renovation rule.
//
//	exempt only when no window is replaced, nothing is demolished, and at most
//	6 ft² a room inside and 20 ft² outside are disturbed
//
// Source: US Code of Federal Regulations, 40 CFR 745.83
func LeadWork(window, demolition bool, inside, outside measure.Area) bool {
	return window || demolition || inside > 6*squareFoot || outside > 20*squareFoot
}

// GlassWeight returns the weight of an insulating unit's glass in hundredths
// of a pound, taken over the whole frame: an upper estimate.
//
//	weight = area × lites × 1.64 lb/ft²
//
// for 1/8 in glass.
//
// Source: whatthingsweigh.com, "How Much Does Glass Weigh?": 1.63 to 1.64 lb/ft² for 1/8 in
func GlassWeight(area measure.Area, lites int64) int64 {
	return measure.MulDiv(int64(area), lites*164, int64(measure.AreaOf(measure.Foot, measure.Foot)))
}

// sashes are the parts of a unit's frame that its operation makes: how many
// stand side by side, how many one above the other. What is not here (a bay, a
// door with sidelites) does not tell the size of its parts.
//
// Source: geometry of equal sashes; common practice
var sashes = map[Operation]struct{ across, up int64 }{
	Fixed: {1, 1}, Picture: {1, 1}, Casement: {1, 1}, Awning: {1, 1}, Hopper: {1, 1}, TiltTurn: {1, 1}, Single: {1, 1},
	SingleHung: {1, 2}, DoubleHung: {1, 2},
	Slider: {2, 1}, Pair: {2, 1},
}

// SashArea returns the area of one of the equal sashes or leaves of a unit,
// frame and all: an upper estimate. Not set when the operation does not tell it.
func SashArea(op Operation, unit Size) Maybe[measure.Area] {
	parts, ok := sashes[op]
	if !ok {
		return Maybe[measure.Area]{}
	}
	return Given(measure.Area(measure.MulDiv(int64(unit.Area()), 1, parts.across*parts.up)))
}

// LargestSash returns the area of the largest sash of an opening's units, not
// set when the operation does not tell it.
func (o *Sized) LargestSash() Maybe[measure.Area] {
	units := o.units()
	largest := SashArea(o.Operation, units[0])
	for _, u := range units[1:] {
		largest.V = max(largest.V, SashArea(o.Operation, u).V)
	}
	return largest
}
