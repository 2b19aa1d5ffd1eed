package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// LevelingVolume returns the compound that brings a sloping sill level: a
// wedge as wide and deep as the sill.
//
//	volume = width × depth × rise / 2
//
// Source: geometry
func LevelingVolume(width, depth, rise measure.Length) measure.Volume {
	return measure.Volume(measure.MulDiv(int64(measure.AreaOf(width, depth)), int64(rise), 2_000_000_000)) // as VolumeOf, halved
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
// Source: a replacement-window measure page (publisher not on record) and a maker's door sheet (makers are not named here): 1/8 in
const LevelTolerance = measure.Inch / 8

// LockMargin is the gap between a swing door and its jamb at the lock, which a
// leaning frame takes up.
//
// Source: a maker's door warranty (makers are not named here): hinge 1/16, lock 1/8
const LockMargin = measure.Inch / 8

func (a *application) leveling() []Requirement {
	rise, _ := a.o.rise()
	depth := a.wallDepth()
	if rise <= LevelTolerance {
		return nil
	}
	width := measure.Length(0)
	for _, w := range a.o.roughWidths() {
		width += w
	}
	return one(amount(a.item, Volumewise, int64(LevelingVolume(width, depth, rise)),
		fmt.Sprintf("W %s x %s deep x rise %s / 2", a.in(width), a.in(depth), a.in(rise))))
}

// levelWork says what to do about a sill that rises by so much.
func levelWork(o *Sized, rise, lean measure.Length) string {
	within := rise <= LevelTolerance
	switch {
	case within && (o.Kind != EntryDoor || lean <= LockMargin):
		return ""
	case o.Status.InPlace():
		return "the unit is set: where it cannot be lifted again, its lean stays and the trim follows it"
	case within:
		return leanAdvice
	}
	return levelAdvice(o)
}

// leanAdvice is for a swing door on a sill within tolerance.
const leanAdvice = "shim under the whole length of the pan, then plumb the hinge side"

// levelAdvice says how a sill is brought level before the unit is set.
func levelAdvice(o *Sized) string {
	if o.SitsOn != OnWood {
		return "level the slab before the pan is set"
	}
	return "plane the sill, or taper under the whole length of the pan, before it is set"
}
