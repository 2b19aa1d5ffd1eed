package estimate

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate/measure"
)

// Sized is an opening with every size known and its detail chosen.
type Sized struct {
	Opening
	DetailName string
	Layout     string // trim layout, NoTrim = none
	ShapeSaid  string // words of the schedule for another shape than a rectangle, where Shape does not settle it
	TrimSize   Size   // what the trim goes round: the largest outside reading, else the frame
	Mull       measure.Length
	Widths     []measure.Length // of the units, left to right; stacked units are all as wide as the frame
	OnSite     string           // why the trim frame is put together on site; "" = in the shop
	Piece      int64            // the odd piece that this line is for; 0 = the line is for the mark
	Apart      int64            // pieces of the mark that have lines of their own; Qty is without them
	RoughFrom  string           // "given" or how it was derived
	FrameFrom  string
	Doubt      string // what puts the measurement in doubt, and holds the trim; "" = nothing
	Order      int    // row order of the schedule, from 0
}

// sizer works out the sizes of one opening and collects what is wrong.
type sizer struct {
	job      *Job
	o        Sized
	problems []Problem
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
		if Errors(z.problems) == 0 {
			z.separate()
		}
		z.shape()
		if Errors(z.problems) == 0 {
			z.unusual()
		}
		z.measured()
		z.layout(layouts)
	}
	return z.o, z.problems
}

func (z *sizer) say(sev Severity, column, what, do string) {
	z.problems = append(z.problems, Problem{z.o.PlaceOf(column), sev, z.o.Mark + ": " + what, do})
}

func (z *sizer) defaults() {
	o, job := &z.o, z.job
	o.SitsOn = cmp.Or(o.SitsOn, job.SitsOn[o.Kind])
	o.Flange = cmp.Or(o.Flange, job.Flange[o.Kind], FlangeNone)
	o.FurnishedBy = cmp.Or(o.FurnishedBy, ByBuilder)
	o.Pan = cmp.Or(o.Pan, job.Pan[o.Kind], PanNone)
	if o.Kind == OverheadDoor {
		o.Pan = PanNone // not watertight at the floor: a pan would hold nothing
	}
	o.Units, o.Qty = cmp.Or(o.Units, 1), cmp.Or(o.Qty, 1)
}

// Limits of a size that is taken as an opening at all; outside them a unit or
// a digit is wrong.
const (
	smallestSide = 4 * measure.Inch
	largestSide  = 40 * measure.Foot
)

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
		z.say(Error, "Frame width", "neither the frame nor the rough opening has a size", "fill in one of the two; the other follows from the clearances on Job")
		return
	}
	for _, s := range []struct {
		column string
		l      measure.Length
	}{{"Frame width", o.Frame.W}, {"Frame height", o.Frame.H}, {"RO width", o.Rough.W}, {"RO height", o.Rough.H}} {
		if len(z.problems) == 0 && (s.l < smallestSide || s.l > largestSide) {
			do := "check the number and its unit"
			if s.l > largestSide {
				do += "; a size such as 3068 belongs under Call size"
			}
			z.say(Error, s.column, fmt.Sprintf("%s of %s in is no size of an opening", strings.ToLower(s.column[:1])+s.column[1:],
				measure.FormatInches(s.l, 16)), do)
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

func (z *sizer) layout(layouts Layouts) {
	o := &z.o
	o.Layout = cmp.Or(o.Trim, z.job.Trim[o.Kind].Layout)
	if o.Trim == "" && o.Flange == FlangeBrickmould || !o.rectangular() {
		o.Layout = NoTrim // its factory casing is the trim; see shapeHeld
	}
	if o.Layout != NoTrim && len(layouts.Of(o.Layout)) == 0 {
		z.say(Error, "Trim", fmt.Sprintf("%q is no trim layout", o.Layout), "write none or one of: "+strings.Join(layouts.Names(), ", "))
	}
}
