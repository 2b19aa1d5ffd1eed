package estimate

import "sillwright/estimate/measure"

// HeadFlashingNeeded reports whether a head flashing is called for under the
// eave rule of a code that has one.
//
//	needed when drop > overhang / 4
//
// drop is from the underside of the eave to the top of the trim. The rule is
// no waiver where the code in force has none.
//
// Source: Ontario Building Code 9.27.3.8.(3), read
func HeadFlashingNeeded(overhang, drop measure.Length) bool { return 4*drop > overhang }

// DamHeight returns the least height of a back dam or end dam against a wind
// pressure in pascals.
//
//	height in mm = pressure / 10
//
// Source: Ontario Building Code appendix A-9.27.3.8.(5), read
func DamHeight(pascals int64) measure.Length {
	return measure.Length(measure.MulDiv(pascals, int64(measure.Millimetre), 10))
}

// GuardNeeded reports whether a wall opening calls for fall protection while
// the work goes on.
//
//	needed when inside sill height < 39 in and outside drop >= 6 ft
//
// Source: 29 CFR 1926.501(b)(14), read in summary
func GuardNeeded(sillHeight, drop measure.Length) bool {
	return sillHeight < 39*measure.Inch && drop >= 6*measure.Foot
}

// LadderFoot returns how far the foot of a ladder stands out from the wall.
//
//	foot = working length / 4
//
// Source: 29 CFR 1926.1053(b)(5), read in summary
func LadderFoot(working measure.Length) measure.Length { return working / 4 }

// LeadWork reports whether work on paint of a house built before 1978 falls
// under the lead renovation rule.
//
//	exempt only when no window is replaced, nothing is demolished, and at most
//	6 ft² a room inside and 20 ft² outside are disturbed
//
// Source: 40 CFR 745.83, read in excerpts
func LeadWork(window, demolition bool, inside, outside measure.Area) bool {
	const squareFoot = 144 * 645_160_000
	return window || demolition || inside > 6*squareFoot || outside > 20*squareFoot
}
