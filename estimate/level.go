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
