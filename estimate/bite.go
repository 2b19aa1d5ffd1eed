package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// Through is what a fastener passes on its way to the framing.
type Through string

// What fasteners pass.
const (
	ThroughFlange     Through = "flange"
	ThroughBrickmould Through = "brickmould"
	ThroughJamb       Through = "jamb"
	ThroughHinge      Through = "hinge" // a leaf of it, and the jamb
)

var throughWords = wordsOf(ThroughFlange, ThroughBrickmould, ThroughJamb, ThroughHinge)

// JambScrewLength returns the least length of a screw through a jamb, which
// stands in the opening.
//
//	length = jamb (and hinge leaf) + gap + penetration
//
// gap is the room between the jamb and the framing, which shims fill.
//
// Source: geometry; 1-1/4 in into solid wood: a maker's trim board guide (makers are not named here); an input
func JambScrewLength(jamb, gap, penetration measure.Length) measure.Length {
	return jamb + gap + penetration
}

// fastener returns the shortest fastener of the step's item or family that
// holds in the framing behind what it passes, and how long it has to be. Not ok
// when none on Items is long enough, which is said: a short nail holds nothing.
func (a *application) fastener() (it Item, how string, ok bool) {
	need := a.fastenerLength()
	if need == 0 {
		return a.item, "", true
	}
	it, ok = a.smallest(func(m Item) bool { return m.Length >= need }, func(m Item) measure.Length { return m.Length })
	if !ok {
		a.say(Error, "Flange", fmt.Sprintf("step %s, %s: no nail or screw on Items has the %s that pass the %s and hold %s in the framing",
			a.step.Number, a.step.Do, a.long(need), a.step.Through, a.long(a.book.Job.Penetration)), "add a longer one to Items")
	}
	return it, "; at least " + a.in(need), ok
}

// fastenerLength returns how long the step's fastener has to be; 0 where the
// step does not say what it passes.
func (a *application) fastenerLength() measure.Length {
	job := &a.book.Job
	gap := max(0, (a.o.Rough.W-a.o.Frame.W)/2)
	switch a.step.Through {
	case ThroughFlange:
		return NailLength(job.FlangeThickness, job.Sheathing, job.Insulation, job.Penetration)
	case ThroughBrickmould:
		return NailLength(job.Brickmould.Thickness, job.Sheathing, job.Insulation, job.Penetration)
	case ThroughJamb:
		return JambScrewLength(job.JambThickness, gap, job.Penetration)
	case ThroughHinge:
		return JambScrewLength(job.JambThickness+job.HingeLeaf, gap, job.Penetration)
	}
	return 0
}
