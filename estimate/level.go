package estimate

import "sillwright/estimate/measure"

// LevellingVolume returns the compound that brings a sloping sill level: a
// wedge as wide and deep as the sill.
//
//	volume = width × depth × rise / 2
//
// Source: geometry
func LevellingVolume(width, depth, rise measure.Length) measure.Volume {
	return measure.Volume(measure.MulDiv(int64(measure.VolumeOf(measure.AreaOf(width, depth), rise)), 1, 2))
}

// Lean returns how far the head of a frame kept square on a sloping sill
// stands off plumb.
//
//	lean = rise × height / width
//
// Source: similar triangles
func Lean(width, height, rise measure.Length) measure.Length {
	if width <= 0 {
		return 0
	}
	return measure.Length(measure.MulDiv(int64(rise), int64(height), int64(width)))
}

// LevelTolerance is how far a sill may be out of level over its width before
// it must be corrected.
//
// Source: replacement-window measure page and a door sheet, read in excerpts: 1/8 in
const LevelTolerance = measure.Inch / 8

// SpreadTolerance is how far readings of one side may differ before a mark is
// held.
//
// Source: replacement-window measure page, read in excerpts: three readings within 1/8 in
const SpreadTolerance = measure.Inch / 8

// DiagonalTolerance returns how far the diagonals of a frame may differ.
//
//	1/8 in up to 20 ft² of frame, 1/4 in above
//
// Source: window dimension guide, read in excerpts
func DiagonalTolerance(frame measure.Area) measure.Length {
	if frame > 20*measure.AreaOf(measure.Foot, measure.Foot) {
		return measure.Inch / 4
	}
	return measure.Inch / 8
}

// OpeningTolerance is how far the diagonals of an opening may differ.
//
// Source: Canadian window education site, read in excerpts: 3 mm (1/8 in)
const OpeningTolerance = measure.Inch / 8

// LockMargin is the gap between a swing door and its jamb at the lock, which a
// leaning frame takes up.
//
// Source: door maker's warranty terms, read in excerpts: hinge 1/16, lock 1/8
const LockMargin = measure.Inch / 8

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
