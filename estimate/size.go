package estimate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// Limits of a size that is taken as an opening at all; outside them a unit or
// a digit is wrong.
const (
	smallestSide = 4 * measure.Inch
	largestSide  = 40 * measure.Foot
)

// Accepted room between a unit and its opening, before a warning.
//
// Source: renovation texts and installation sheets, read in excerpts: 1/2 to 1 in
const (
	leastClearance = measure.Inch / 2
	mostClearance  = measure.Inch
)

// mostMull is the widest joint between joined units that is believed.
const mostMull = 2 * measure.Inch

// sizer works out the sizes of one opening and collects what is wrong.
type sizer struct {
	job      *Job
	o        Sized
	problems []Problem
}

func (z *sizer) say(sev Severity, column, what, do string) {
	z.problems = append(z.problems, Problem{z.o.PlaceOf(column), sev, z.o.Mark + ": " + what, do})
}

// size fills in what the schedule leaves to the job's defaults: sizes by the
// clearance table, units and mulls, pan, flange, layout. Errors cost the row.
func size(o Opening, order int, job *Job, layouts Layouts) (Sized, []Problem) {
	z := &sizer{job: job, o: Sized{Opening: o, Order: order}}
	z.defaults()
	z.sizes()
	if Errors(z.problems) == 0 {
		z.openingRead()
		z.clearances()
		z.mulls()
		z.measured()
		z.layout(layouts)
	}
	return z.o, z.problems
}

func (z *sizer) defaults() {
	o, job := &z.o, z.job
	o.SitsOn = cmp.Or(o.SitsOn, job.SitsOn[o.Kind])
	o.Flange = cmp.Or(o.Flange, job.Flange[o.Kind], FlangeNone)
	o.SuppliedBy = cmp.Or(o.SuppliedBy, ByBuilder)
	o.Pan = cmp.Or(o.Pan, job.Pan[o.Kind], PanNone)
	if o.Kind == OverheadDoor {
		o.Pan = PanNone // not watertight at the floor: a pan would hold nothing
	}
	o.Units, o.Qty = cmp.Or(o.Units, 1), cmp.Or(o.Qty, 1)
}

// sizes finds the frame and the rough opening, each given or derived.
func (z *sizer) sizes() {
	o, job := &z.o, z.job
	o.RoughFrom, o.FrameFrom = "given", "given"
	room := job.Clearance[o.Kind]
	z.whole("Frame", &o.Frame)
	z.whole("RO", &o.Rough)
	if o.Call != "" && !o.Frame.Known() && !o.Rough.Known() {
		z.fromCall()
	} else if o.Call != "" && len(z.problems) == 0 {
		z.againstCall()
	}
	switch {
	case o.Frame.Known() && !o.Rough.Known():
		o.Rough = Size{o.Frame.W + room.W, o.Frame.H + room.H}
		o.RoughFrom = "frame + clearance"
	case o.Rough.Known() && !o.Frame.Known():
		o.Frame = Size{o.Rough.W - room.W, o.Rough.H - room.H}
		o.FrameFrom = "opening - clearance"
	case !o.Frame.Known() && len(z.problems) == 0:
		z.say(Error, "Frame width", "neither the frame nor the rough opening has a size", "fill in one of the two; the other follows from the clearance table")
		return
	}
	for _, s := range []struct {
		column string
		l      measure.Length
	}{{"Frame width", o.Frame.W}, {"Frame height", o.Frame.H}, {"RO width", o.Rough.W}, {"RO height", o.Rough.H}} {
		if len(z.problems) == 0 && (s.l < smallestSide || s.l > largestSide) {
			z.say(Error, s.column, fmt.Sprintf("%s of %s in is no size of an opening", strings.ToLower(s.column[:1])+s.column[1:], measure.FormatInches(s.l, 16)), "check the number and its unit")
		}
	}
}

// whole refuses half a size.
func (z *sizer) whole(name string, s *Size) {
	if s.W > 0 == (s.H > 0) {
		return
	}
	missing := name + " height"
	if s.W == 0 {
		missing = name + " width"
	}
	z.say(Error, missing, fmt.Sprintf("%s is missing while the other side is given", missing), "fill in both sides, or neither")
	*s = Size{}
}

// againstCall questions a call size that contradicts the sizes given with it.
func (z *sizer) againstCall() {
	w, h, err := measure.ParseCallSize(z.o.Call)
	given := z.o.Frame
	if !given.Known() {
		given = z.o.Rough
	}
	far := func(a, b measure.Length) bool { return apart(a, b) > callTolerance }
	if err == nil && (far(w, given.W) || far(h, given.H)) {
		z.say(Warning, "Call size", fmt.Sprintf("call size %s is far from the size given, %s, which is used", z.o.Call, sizeWords(given)), "correct one of the two")
	}
}

// callTolerance is how far a call size may be from the sizes given with it:
// slabs, frames and openings of one call size differ by up to 2-1/4 in.
const callTolerance = 3 * measure.Inch

// fromCall reads the call size by the job's meaning of one.
func (z *sizer) fromCall() {
	o, job := &z.o, z.job
	w, h, err := measure.ParseCallSize(o.Call)
	if err != nil {
		z.problems = append(z.problems, formProblem(o.PlaceOf("Call size"), o.Mark+": call size", err))
		return
	}
	room, from := job.Clearance[o.Kind], "call size "+o.Call
	switch job.CallMeans[o.Kind] {
	case CallSlab:
		o.Rough = Size{w + job.SlabClearance.W, h + job.SlabClearance.H}
		o.Frame = Size{o.Rough.W - room.W, o.Rough.H - room.H}
	case CallOpening:
		o.Rough = Size{w, h}
		o.Frame = Size{w - room.W, h - room.H}
	case CallUnit:
		o.Frame = Size{w, h}
		o.Rough = Size{w + room.W, h + room.H}
	default:
		z.say(Error, "Call size", fmt.Sprintf("call size %q has no stated meaning for a %s", o.Call, o.Kind), fmt.Sprintf("set 'call size %s' on Job to opening or unit, or fill in the frame", o.Kind))
		return
	}
	o.RoughFrom, o.FrameFrom = from, from
}

// clearances checks the room between frame and opening.
func (z *sizer) clearances() {
	o := &z.o
	for _, s := range []struct {
		column       string
		rough, frame measure.Length
		want         measure.Length
	}{
		{"RO width", o.Rough.W, o.Frame.W, z.job.Clearance[o.Kind].W},
		{"RO height", o.Rough.H, o.Frame.H, z.job.Clearance[o.Kind].H},
	} {
		room := s.rough - s.frame
		side := strings.ToLower(strings.TrimPrefix(s.column, "RO "))
		switch {
		case room < 0:
			z.say(Error, s.column, fmt.Sprintf("the opening is %s in smaller in %s than the frame", measure.FormatInches(-room, 16), side), "check both sizes; are they swapped?")
		case o.Kind == OverheadDoor && room != s.want:
			z.say(Warning, s.column, fmt.Sprintf("the framed opening has %s in of room in %s over the finished opening, not %s", measure.FormatInches(room, 16), side, measure.FormatInches(s.want, 16)), "check the opening against the door before the jambs are cut")
		case o.Kind != OverheadDoor && (room < leastClearance || room > mostClearance):
			z.say(Warning, s.column, fmt.Sprintf("the opening has %s in of room in %s; 1/2 to 1 is usual", measure.FormatInches(room, 16), side), "measure the opening; shims, foam and rod follow the gap")
		}
	}
	z.proportions()
	if o.Frame.H == o.Rough.W-z.job.Clearance[o.Kind].W && o.Frame.W == o.Rough.H-z.job.Clearance[o.Kind].H && o.Frame.W != o.Frame.H {
		z.say(Warning, "Frame width", "width and height of frame and opening are swapped", "width comes first in both")
	}
}

// The heights between which a door that people walk through is believed.
const (
	leastDoorHeight = 72 * measure.Inch
	mostDoorHeight  = 120 * measure.Inch
)

// proportions questions doors that are as wide as doors are high: width and
// height were probably swapped.
func (z *sizer) proportions() {
	o := &z.o
	switch {
	case o.Kind.Walked() && (o.Frame.H < leastDoorHeight || o.Frame.H > mostDoorHeight):
		z.say(Warning, "Frame height", fmt.Sprintf("a frame %s in high is unusual for a door", measure.FormatInches(o.Frame.H, 16)), "are width and height swapped? width comes first")
	case o.Kind == OverheadDoor && 4*o.Frame.H > 5*o.Frame.W:
		z.say(Warning, "Frame height", fmt.Sprintf("an overhead door of %s is much higher than wide", sizeWords(o.Frame)), "are width and height swapped? width comes first")
	}
}

// mulls finds the widths of joined units and the joint between them.
func (z *sizer) mulls() {
	o := &z.o
	o.Widths = []measure.Length{o.Frame.W}
	if len(o.UnitHeights) > 1 || len(o.UnitHeights) == 1 && o.Units > 1 {
		z.stacked()
		return
	}
	if o.Units < 2 {
		if len(o.UnitWidths) > 1 {
			z.say(Error, "Unit widths", fmt.Sprintf("%d unit widths for one unit", len(o.UnitWidths)), "set Units to the number joined")
		}
		return
	}
	switch len(o.UnitWidths) {
	case 0:
		o.Mull = z.job.MullJoint
		each := (o.Frame.W - measure.Length(o.Units-1)*o.Mull) / measure.Length(o.Units)
		if each < smallestSide {
			z.say(Error, "Units", fmt.Sprintf("%d units do not fit a frame of %s in", o.Units, measure.FormatInches(o.Frame.W, 16)), "check the number of units and the overall width")
			return
		}
		o.Widths = slices.Repeat([]measure.Length{each}, int(o.Units))
	case int(o.Units):
		o.Widths = o.UnitWidths
		o.Mull = MullWidth(o.Frame.W, o.UnitWidths)
		if o.Mull < 0 || o.Mull > mostMull {
			z.say(Error, "Unit widths", fmt.Sprintf("the unit widths leave joints of %s in in a frame of %s", measure.FormatInches(o.Mull, 16), measure.FormatInches(o.Frame.W, 16)), "the overall width is the units and the joints between them, 0 to 2 in each")
		}
	default:
		z.say(Error, "Unit widths", fmt.Sprintf("%d unit widths for %d units", len(o.UnitWidths), o.Units), "write one width a unit, parted by semicolons, or none for equal units")
	}
}

func (z *sizer) layout(layouts Layouts) {
	o := &z.o
	o.Layout = cmp.Or(o.Trim, z.job.Trim[o.Kind].Layout)
	if o.Layout != NoTrim && len(layouts.Of(o.Layout)) == 0 {
		z.say(Error, "Trim", fmt.Sprintf("%q is no trim layout", o.Layout), "write none or one of: "+strings.Join(layouts.Names(), ", "))
	}
}

// stacked finds the joint between units that stand one on the other.
func (z *sizer) stacked() {
	o := &z.o
	n := int64(len(o.UnitHeights))
	switch {
	case len(o.UnitWidths) > 1:
		z.say(Error, "Unit heights", "both widths and heights of joined units are given", "write widths for units side by side, heights for stacked ones; a grid of both is a row for each stack")
		return
	case n != o.Units:
		z.say(Error, "Unit heights", fmt.Sprintf("%d unit heights, but Units is %d", n, o.Units), "set Units to the number stacked, and write one height a unit from the top down")
		return
	}
	o.Widths = slices.Repeat([]measure.Length{o.Frame.W}, int(n))
	o.Mull = MullWidth(o.Frame.H, o.UnitHeights)
	if o.Mull < 0 || o.Mull > mostMull {
		z.say(Error, "Unit heights", fmt.Sprintf("the unit heights leave joints of %s in in a frame %s in high", measure.FormatInches(o.Mull, 16), measure.FormatInches(o.Frame.H, 16)), "the overall height is the units and the joints between them, 0 to 2 in each")
	}
}

// mullCentres returns where the mulls stand, and from where that is measured.
func (o *Sized) mullCentres(gaps Gaps) (at []measure.Length, from string) {
	if o.Stacked() {
		return MullCentres(o.UnitHeights, o.Mull, gaps.Head), "the underside of the head"
	}
	return MullCentres(o.Widths, o.Mull, gaps.Legs), "the inside of the left leg"
}

// naturalCompare orders marks as people do, W2 before W10; of marks that differ
// in leading zeros alone, as text.
func naturalCompare(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		nx, rx := leadingDigits(x)
		ny, ry := leadingDigits(y)
		if nx != "" && ny != "" {
			nx, ny = strings.TrimLeft(nx, "0"), strings.TrimLeft(ny, "0")
			if c := cmp.Or(cmp.Compare(len(nx), len(ny)), strings.Compare(nx, ny)); c != 0 {
				return c
			}
			x, y = rx, ry
			continue
		}
		if x[0] != y[0] {
			return cmp.Compare(x[0], y[0])
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(a, b))
}

func leadingDigits(s string) (digits, rest string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}
