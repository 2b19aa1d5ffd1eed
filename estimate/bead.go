package estimate

import (
	"sillwright/estimate/measure"
)

// RoundArea returns the section of a round bead.
//
//	area = π × diameter² / 4
//
// Source: geometry
func RoundArea(diameter measure.Length) measure.Area {
	const piE9 = 3_141_592_654 // π × 10⁹; a bead's section needs no more
	return measure.Area(measure.MulDiv(int64(measure.AreaOf(diameter, diameter)), piE9, 4_000_000_000))
}

// FilletArea returns the section of a fillet with two equal legs.
//
//	area = leg² / 2
//
// Source: geometry; legs of at least 1/4 in from memory of ASTM C1193
func FilletArea(leg measure.Length) measure.Area {
	return measure.Area(measure.MulDiv(int64(measure.AreaOf(leg, leg)), 1, 2))
}

// BeadVolume returns the sealant in a bead, before allowance.
//
//	volume = length × section
//
// Source: geometry; yields of 1/4 x 1/4 in: 308 ft a gallon, arithmetic from 231 in³ (NIST HB 44)
func BeadVolume(length measure.Length, section measure.Area) measure.Volume {
	return measure.VolumeOf(section, length)
}

// JointDepth returns the depth of sealant in a joint.
//
//	depth = min(width, clamp(width / 2, 1/4 in, 1/2 in))
//
// Source: public-works specification 07 92 00, Orange County NC, item D.2, read; never deeper than wide: its 2016 table, read
func JointDepth(width measure.Length) measure.Length {
	half := measure.Length(measure.MulDiv(int64(width), 1, 2))
	return min(width, max(measure.Inch/4, min(half, measure.Inch/2)))
}

// RodDiameter returns the least diameter of closed-cell backer rod for a joint.
//
//	diameter = width + 1/8 in        below 3/4 in
//	diameter = width × 1.25          from 3/4 in up
//
// Source: foam-rod maker's note, read in excerpts; the same rule on a roofing reference page
func RodDiameter(width measure.Length) measure.Length {
	if width < 3*measure.Inch/4 {
		return width + measure.Inch/8
	}
	return measure.Length(measure.MulDiv(int64(width), 5, 4))
}

// CavityVolume returns the foam in the gap round a unit.
//
//	volume = length × gap × depth
//
// The seal stands near the inner face only; the gap is not filled through.
//
// Source: trade magazine on flashing a flanged window, read; geometry
func CavityVolume(length, gap, depth measure.Length) measure.Volume {
	return measure.VolumeOf(measure.AreaOf(gap, depth), length)
}

// area returns the section of a bead; gap is the joint's own width.
func (s Section) area(gap measure.Length) measure.Area {
	depth := s.B
	if s.Clamp {
		depth = JointDepth(gap)
	}
	switch s.Shape {
	case Round:
		return RoundArea(s.A)
	case Fillet:
		return FilletArea(s.A)
	case Square:
		return measure.AreaOf(s.A, s.A)
	case Rectangle:
		return measure.AreaOf(s.A, s.B)
	case OfGap:
		return measure.AreaOf(gap, depth)
	}
	return 0
}
