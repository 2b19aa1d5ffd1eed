package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// callTolerance is how far a call size may be from the sizes given with it:
// slabs, frames and openings of one call size differ by up to 2-1/4 in.
const callTolerance = 3 * measure.Inch

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
		z.say(Error, "Call size", fmt.Sprintf("call size %q has no stated meaning for a %s", o.Call, o.Kind),
			fmt.Sprintf("set 'call size %s' on Job to opening or unit, or fill in the frame", o.Kind))
		return
	}
	o.RoughFrom, o.FrameFrom = from, from
}
