package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// JointDepth returns the depth of sealant in a joint.
//
//	depth = min(width, clamp(width / 2, 1/4 in, 1/2 in))
//
// Source: Orange County, North Carolina, public works specification 07 92 00, item D.2; never deeper than wide: the county's table of 2016
func JointDepth(width measure.Length) measure.Length {
	half := measure.Length(measure.MulDiv(int64(width), 1, 2))
	return min(width, max(measure.Inch/4, min(half, measure.Inch/2)))
}

// RodDiameter returns the least diameter of closed-cell backer rod for a joint.
//
//	diameter = width + 1/8 in        below 3/4 in
//	diameter = width × 1.25          from 3/4 in up
//
// Source: a maker's rod note (makers are not named here); roofonline.com, "Backer Rod Sizes"
func RodDiameter(width measure.Length) measure.Length {
	if width < 3*measure.Inch/4 {
		return width + measure.Inch/8
	}
	return measure.Length(measure.MulDiv(int64(width), 5, 4))
}

// ThickestRod returns the thickest backer rod that a joint takes.
//
//	diameter = width × 1.5
//
// Source: ASTM International, C1193: closed-cell rod 25 to 50 % larger than the joint
func ThickestRod(width measure.Length) measure.Length {
	return measure.Length(measure.MulDiv(int64(width), 3, 2))
}

// CavityVolume returns the foam in the gap round a unit.
//
//	volume = length × gap × depth
//
// The seal stands near the inner face only; the gap is not filled through.
//
// Source: Journal of Light Construction, "Flashing a Flanged Window"; geometry
func CavityVolume(length, gap, depth measure.Length) measure.Volume {
	return measure.VolumeOf(measure.AreaOf(gap, depth), length)
}

// gap returns the width of the joint at an edge: along the frame that of the
// trim, else the room between unit and opening, all of it at the head of a
// door, which stands on its sill.
func (a *application) gap(e Edge) measure.Length {
	room := Size{a.o.Rough.W - a.o.Frame.W, a.o.Rough.H - a.o.Frame.H}
	switch {
	case a.step.Along == AlongFrame, a.step.Along == AlongOutside, a.step.Along == AlongTrim:
		return a.trimGap(e)
	case e == Jambs:
		return room.W / 2
	case a.o.Kind.IsDoor():
		return room.H
	}
	return room.H / 2
}

// trimGap returns the joint of the trim at an edge.
func (a *application) trimGap(e Edge) measure.Length {
	gaps := gapsOf(a.o.Kind, &a.book.Job, a.book.Items)
	switch e {
	case Head:
		return gaps.Head
	case Sill:
		return gaps.Bottom
	}
	return gaps.Legs
}

// gapped is one width of joint and the edges that have it.
type gapped struct {
	gap, length measure.Length
	how         string
}

// gaps gathers the step's edges by the width of their joint.
func (a *application) gaps() []gapped {
	var out []gapped
	for _, s := range a.segments() {
		g := a.gap(s.edge)
		l, how := measure.Length(s.count)*s.length, a.words(s, 0, 0)
		if n := len(out); n > 0 && out[n-1].gap == g {
			out[n-1].length += l
			out[n-1].how += "; " + how
			continue
		}
		out = append(out, gapped{g, l, how})
	}
	return out
}

func (a *application) joint() []Requirement {
	var out []Requirement
	for _, g := range a.gaps() {
		if g.gap <= 0 {
			a.say(Warning, "RO width", fmt.Sprintf("step %s, %s: there is no gap to seal (%s)", a.step.Number, a.step.Do, g.how),
				"check the opening, or seal the face of the frame to the wall")
			continue
		}
		how := fmt.Sprintf("%s; gap %s x depth %s", g.how, a.in(g.gap), a.in(JointDepth(g.gap)))
		if g.gap < a.book.Job.MinJoint {
			how += "; narrower than the sealant specifications ask, no rod"
		}
		r := amount(a.item, Volumewise, int64(BeadVolume(g.length, a.step.Size.area(g.gap))), how)
		r.Run = g.length
		out = append(out, one(r)...)
	}
	return out
}

func (a *application) rod() []Requirement {
	var out []Requirement
	for _, g := range a.gaps() {
		if g.gap < a.book.Job.MinJoint {
			continue
		}
		need := RodDiameter(g.gap)
		it, ok := a.smallest(func(m Item) bool { return m.Width >= need }, func(m Item) measure.Length { return m.Width })
		if !ok {
			a.say(Error, "RO width", fmt.Sprintf("a gap of %s needs rod of %s, thicker than any on Items", a.long(g.gap), a.long(need)),
				"close the gap with blocking, or add the rod to Items")
			continue
		}
		r := amount(it, Lengthwise, int64(g.length), fmt.Sprintf("%s; gap %s, rod at least %s", g.how, a.in(g.gap), a.in(need)))
		r.Widest = ThickestRod(g.gap)
		out = append(out, one(r)...)
	}
	return out
}

func (a *application) cavity() []Requirement {
	var out []Requirement
	for _, g := range a.gaps() {
		depth := a.step.Size.B
		r := amount(a.item, Volumewise, int64(CavityVolume(g.length, g.gap, depth)),
			fmt.Sprintf("%s; gap %s x %s deep", g.how, a.in(g.gap), a.in(depth)))
		r.Run = g.length
		out = append(out, one(r)...)
	}
	return out
}
