package estimate

import "sillwright/estimate/measure"

// CutEndArea returns the area of primer that cut ends take.
//
//	area = ends × thickness × width × coats
//
// End grain drinks: it is counted as two to three times its area.
//
// Source: common practice, no source
func CutEndArea(ends int64, thickness, width measure.Length, coats int64) measure.Area {
	return measure.Area(ends*coats) * measure.AreaOf(thickness, width)
}

// GlassWeight returns the weight of an insulating unit's glass in hundredths
// of a pound, taken over the whole frame: an upper estimate.
//
//	weight = area × lites × 1.64 lb/ft²
//
// for 1/8 in glass.
//
// Source: glass weight tables (1.63 to 1.64 lb/ft² for 1/8 in), read
func GlassWeight(area measure.Area, lites int64) int64 {
	return measure.MulDiv(int64(area), lites*164, int64(measure.AreaOf(measure.Foot, measure.Foot)))
}
