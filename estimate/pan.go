package estimate

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// PanMiddle returns the length of the middle of a three-piece rigid pan.
//
//	middle = width - 2 × end + 2 × lap
//
// width is the rough opening's, end the length of an end section along the
// sill, lap the cemented lap at each end (at least 1-1/2 in). Not above zero:
// the two ends meet and no middle is needed.
//
// Source: cycookery.com, "Measure for Door Sill Pan": laps of 1-1/2 in
func PanMiddle(width, end, lap measure.Length) measure.Length { return width - 2*end + 2*lap }

// PanCouplers returns how many couplers join middles to a length.
//
//	couplers = ceil(middle / longest section) - 1, at least 0
//
// Each coupler is one more pair of cemented laps.
//
// Source: common practice
func PanCouplers(middle, longest measure.Length) int64 {
	if middle <= longest || longest <= 0 {
		return 0
	}
	return measure.CeilDiv(int64(middle), int64(longest)) - 1
}

// PanLaps returns the number of cemented laps of a rigid pan: two at the ends
// and two at each coupler.
//
//	laps = 2 + 2 × couplers
//
// Source: common practice
func PanLaps(couplers int64) int64 { return 2 + 2*couplers }

// BentBlank returns the developed width of a formed pan.
//
//	blank = hem + front leg + sqrt(depth² + (slope × depth)²) + back leg
//
// depth is the sill's, front to back. Bends of thin coil take about 0.03 in
// each, which is ignored.
//
// Source: geometry; slope 6 %: CSA Group, A440.4, by a maker's page (makers are not named here)
func BentBlank(hem, front, depth, back measure.Length, slope measure.Rate) measure.Length {
	return hem + front + hypotenuse(depth, depth.Scale(slope)) + back
}

// BentLength returns the length of a formed pan's blank.
//
//	length = width + 2 × end dam
//
// Source: geometry
func BentLength(width, endDam measure.Length) measure.Length { return width + 2*endDam }

// DamPressure returns the wind pressure in pascals against which a back dam or
// end dam of a height holds water, rounded down.
//
//	pressure = 10 × height in mm
//
// It is printed, and sizes no dam.
//
// Source: Ontario Building Code, appendix A-9.27.3.8.(5)
func DamPressure(height measure.Length) int64 { return 10 * int64(height) / int64(measure.Millimeter) }

// LapPieces returns the pieces of a length when none may be longer than
// longest and each laps the next.
//
//	pieces = ceil((length - lap) / (longest - lap))
//
// All but the last are longest; together they measure length + (pieces - 1) × lap.
// A longest piece no longer than its lap gives none.
//
// Source: New Zealand Metal Roof and Wall Cladding Code of Practice (metalroofing.org.nz): laps of at least 100 mm sealed, 150 mm not
func LapPieces(length, longest, lap measure.Length) []measure.Length {
	if longest <= lap || length <= 0 {
		return nil
	}
	if length <= longest {
		return []measure.Length{length}
	}
	n := measure.CeilDiv(int64(length-lap), int64(longest-lap))
	out := make([]measure.Length, n)
	for i := range out {
		out[i] = longest
	}
	out[n-1] = length + measure.Length(n-1)*(lap-longest)
	return out
}

// stockedJambs are the depths in which jambs of doors are stocked, the least
// first.
//
// Source: common practice: 4-9/16 for a wall of 2x4, 6-9/16 for one of 2x6
var stockedJambs = []measure.Length{73 * measure.Inch / 16, 105 * measure.Inch / 16}

// JambDepth returns the depth of a jamb for a wall; not set when none is stocked.
// framed is the depth of the framing and sheathing.
//
//	wall = framing and sheathing + 1/2 in of drywall, up to the next stocked jamb
//
// Source: geometry; 1/2 in of drywall and the stocked depths: common practice
func JambDepth(framed measure.Length) Maybe[measure.Length] {
	for _, d := range stockedJambs {
		if d >= framed+measure.Inch/2 {
			return Given(d)
		}
	}
	return Maybe[measure.Length]{}
}

// panApart is how far a pan's depth and a door's may differ before the pan waits.
//
// Source: common practice: 1/2 in
const panApart = measure.Inch / 2

// frameDepth returns the depth of the unit behind its flange or brickmould,
// which a pan must fit so that its back dam stands behind the unit. A pan whose
// unit's depth is not known waits, and is planned for one that fits the wall.
func (a *application) frameDepth() measure.Length {
	job := &a.book.Job
	wall := JambDepth(a.o.framed(job)).Or(stockedJambs[len(stockedJambs)-1])
	return a.o.UnitDepth.Or(cmp.Or(job.Depth[a.o.Kind], wall))
}

// eachRough asks for what each opening in the wall needs by its width, those alike
// together.
func (a *application) eachRough(needs func(width measure.Length) []Requirement) (out []Requirement) {
	widths := a.o.roughWidths()
	for i, w := range widths {
		if slices.Contains(widths[:i], w) {
			continue
		}
		n := int64(0)
		for _, other := range widths {
			if other == w {
				n++
			}
		}
		for _, r := range needs(w) {
			if n > 1 {
				r.Count, r.Amount, r.Inputs = n*r.Count, n*r.Amount, fmt.Sprintf("%d openings; %s", n, r.Inputs)
			}
			out = append(out, r)
		}
	}
	return out
}

// panKit finds the kit for a rough opening: the smallest that covers, else the
// longest, and the middle it must make up.
func (a *application) panKit(width measure.Length) (kit Item, middle measure.Length, ok bool) {
	depth := a.frameDepth()
	fits := func(m Item) bool { return m.FitsFrom <= depth && depth <= m.FitsTo }
	middleOf := func(m Item) measure.Length { return PanMiddle(width, m.End, m.Lap) }
	length := func(m Item) measure.Length { return m.Length }
	kit, ok = a.smallest(func(m Item) bool { return fits(m) && m.Length >= middleOf(m) }, length)
	if !ok {
		kit, ok = a.smallest(fits, func(m Item) measure.Length { return -m.Length })
	}
	if !ok {
		a.say(Error, "Jamb depth", fmt.Sprintf("no rigid pan on Items fits a frame %s deep", a.long(depth)), "choose a metal pan, or add the pan to Items")
		return Item{}, 0, false
	}
	return kit, middleOf(kit), true
}

// holdPan lets the pan of the opening wait; "" = it does not. The first reason
// stands.
func (a *application) holdPan(why, do string) {
	if a.panHold == "" {
		a.panHold, a.panRelease = why, do
	}
}

// kitHeld says why a kit waits whose depth is not that of its door: a deeper pan
// would end in front of its back dam. Behind a window it is a shelf, of which a
// note is said.
func (a *application) kitHeld(kit Item, depth measure.Length) (why, do string) {
	if apart(kit.FitsTo, depth) <= panApart {
		return "", ""
	}
	what := fmt.Sprintf("the rigid pan is for %s, the unit is %s deep", a.long(kit.FitsTo), a.long(depth))
	if a.o.Kind.IsDoor() {
		return what, "choose a pan of that depth, or a metal one"
	}
	a.say(Note, "Jamb depth", what+": it stands out behind the window", "trim it, or choose a metal or flexible pan")
	return "", ""
}

func (a *application) panRigid() []Requirement {
	family := a.family
	return a.eachRough(func(width measure.Length) []Requirement {
		a.family = family
		return a.rigidPan(width)
	})
}

// rigidPan is the rigid pan of one rough opening.
func (a *application) rigidPan(width measure.Length) []Requirement {
	kit, middle, ok := a.panKit(width)
	if !ok {
		return nil
	}
	a.holdPan(a.o.panHeld(&a.book.Job))
	a.holdPan(a.kitHeld(kit, a.frameDepth()))
	how := fmt.Sprintf("W %s - 2 x %s + 2 x %s = middle %s; frame %s deep", a.in(width), a.in(kit.End), a.in(kit.Lap), a.in(middle), a.in(a.frameDepth()))
	r := amount(kit, Each, 1, how)
	r.Held = a.panHold
	out := []Requirement{r}
	n := PanCouplers(middle, kit.Length)
	if n == 0 {
		return out
	}
	for _, extra := range []struct{ family, what string }{{kit.Family + " section", "sections"}, {kit.Family + " coupler", "couplers"}} {
		a.family = a.book.Items.Family(extra.family)
		it, ok := a.smallest(func(m Item) bool { return m.FitsTo == kit.FitsTo }, func(m Item) measure.Length { return -m.Length })
		if len(a.family) == 0 || !ok {
			a.say(Error, "RO width", fmt.Sprintf("a pan middle of %s needs %s that Items does not have", a.long(middle), extra.what),
				"add family '"+extra.family+"' to Items, or choose a metal pan")
			continue
		}
		r := amount(it, Each, n, fmt.Sprintf("middle %s over sections of %s", a.in(middle), a.in(kit.Length)))
		r.Held = a.panHold
		out = append(out, r)
	}
	return out
}

func (a *application) panJoints() []Requirement {
	family := a.book.Items.Family("rigid pan")
	cement := a.item
	a.family = family
	return a.eachRough(func(width measure.Length) []Requirement {
		kit, middle, ok := a.panKit(width)
		if !ok {
			return nil
		}
		n := PanCouplers(middle, kit.Length)
		return one(amount(cement, Each, PanLaps(n), fmt.Sprintf("2 ends, %d couplers", n)))
	})
}

func (a *application) panMetal() []Requirement { return a.eachRough(a.metalPan) }

// metalPan is the bent pan of one rough opening.
func (a *application) metalPan(width measure.Length) []Requirement {
	job := &a.book.Job
	depth, slope := a.frameDepth(), job.PanSlope
	a.holdPan(a.o.panHeld(job))
	if a.o.SitsOn != OnWood {
		slope = 0 // flat on a slab: its back dam holds
	}
	blank := BentBlank(job.PanHem, job.PanFront, depth, job.PanBack, slope)
	length := BentLength(width, job.PanEndDam)
	how := fmt.Sprintf("W %s + 2 x %s; blank %s + %s + sill %s at %s + %s", a.in(width), a.in(job.PanEndDam), a.in(job.PanHem), a.in(job.PanFront),
		a.in(depth), slope, a.in(job.PanBack))
	how += fmt.Sprintf("; back leg %s holds against %d Pa of wind", a.in(job.PanBack), DamPressure(job.PanBack))
	if a.item.Coil > 0 && blank > a.item.Coil {
		a.say(Error, "Jamb depth", fmt.Sprintf("the pan's blank of %s is wider than the trim coil", a.long(blank)), "choose a flexible or rigid pan")
		return nil
	}
	lengths := LapPieces(length, job.BrakeLength, job.SealedLap)
	if len(lengths) == 0 {
		a.say(Error, "Sill pan", fmt.Sprintf("no metal pan can be made of pieces of %s with laps of %s", a.long(job.BrakeLength), a.long(job.SealedLap)),
			"correct 'brake length' and 'sealed lap' on Job")
		return nil
	}
	var out []Requirement
	for _, l := range lengths {
		if n := len(out); n > 0 && out[n-1].Length == l {
			out[n-1] = coilPieces(a.item, out[n-1].Count+1, l, blank, how)
			continue
		}
		out = append(out, coilPieces(a.item, 1, l, blank, how))
	}
	for i := range out {
		out[i].Held = a.panHold
	}
	return out
}

// coilPieces returns pieces of a length and width cut from a coil, in amounts
// of coil length: a piece half as wide as the coil takes half its length.
func coilPieces(it Item, n int64, l, width measure.Length, how string) Requirement {
	r := pieces(it, n, l, "pan", how)
	r.Second = width
	if it.Coil > 0 {
		r.Amount = measure.MulDiv(r.Amount, int64(width), int64(it.Coil))
	}
	return r
}
