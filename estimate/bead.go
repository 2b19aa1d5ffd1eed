package estimate

import (
	"fmt"
	"strings"

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
// Source: geometry; legs of at least 1/4 in: ASTM International, C1193
func FilletArea(leg measure.Length) measure.Area {
	return measure.Area(measure.MulDiv(int64(measure.AreaOf(leg, leg)), 1, 2))
}

// BeadVolume returns the sealant in a bead, before allowance.
//
//	volume = length × section
//
// Source: geometry; yields of 1/4 x 1/4 in: 308 ft a gallon, arithmetic from 231 in³ (National Institute of Standards and Technology, Handbook 44)
func BeadVolume(length measure.Length, section measure.Area) measure.Volume {
	return measure.VolumeOf(section, length)
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

// offsetWords says where beads lie.
func (u Units) offsetWords(at []measure.Length) string {
	words := make([]string, len(at))
	for i, l := range at {
		words[i] = u.Shop(l)
	}
	return fmt.Sprintf("at %s %s from the outer edge", strings.Join(words, ", "), u.Name(Lengthwise))
}

func (a *application) bead() []Requirement {
	length, how := a.total()
	n := a.step.Runs.For(0)
	if at := a.step.Offsets; len(at) > 0 {
		n = int64(len(at))
		how = fmt.Sprintf("%s; %s", UnitsOf(a.book.Job.MM).offsetWords(at), how)
	}
	if n > 1 {
		how = fmt.Sprintf("%d beads; %s", n, how)
	}
	v := BeadVolume(measure.Length(n)*length, a.step.Size.area(0))
	r := amount(a.item, Volumewise, int64(v), how+"; section "+a.step.Text.Fields["Size"])
	r.Run = measure.Length(n) * length
	return one(r)
}
