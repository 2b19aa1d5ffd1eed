package estimate

import "sillwright/estimate/measure"

// DiagonalTolerance returns how far the diagonals of a frame may differ.
//
//	1/8 in up to 20 ft² of frame, 1/4 in above
//
// Source: a maker's window dimension guide (makers are not named here)
func DiagonalTolerance(frame measure.Area) measure.Length {
	if frame > 20*measure.AreaOf(measure.Foot, measure.Foot) {
		return measure.Inch / 4
	}
	return measure.Inch / 8
}

// OpeningTolerance is how far the diagonals of an opening may differ.
//
// Source: silltosash.com (page not on record): 3 mm (1/8 in)
const OpeningTolerance = measure.Inch / 8

// SquareTolerance is how far the diagonals of a trim frame may differ.
//
// Source: common practice: 1/16 in
const SquareTolerance = measure.Inch / 16

// FrameDiagonal returns both diagonals of a square frame, which is as wide at
// the head as top and at the foot as bottom.
//
//	diagonal = sqrt(((top + bottom) / 2)² + height²)
//
// Source: geometry
func FrameDiagonal(top, bottom, height measure.Length) measure.Length {
	return hypotenuse((top+bottom)/2, height)
}

// Rack returns how far the head of a frame stands off square when its
// diagonals differ.
//
//	offset = difference × sqrt(width² + height²) / (2 × width)
//
// for differences small against the frame.
//
// Source: geometry
func Rack(width, height, difference measure.Length) measure.Length {
	if width <= 0 {
		return 0
	}
	return measure.Length(measure.MulDiv(int64(difference), int64(hypotenuse(width, height)), int64(2*width)))
}
