package estimate

import (
	"fmt"
	"slices"
)

// Held is what can wait at a mark.
type Held string

// What can wait.
const (
	HoldTrim     Held = "trim"
	HoldPan      Held = "pan"
	HoldFlashing Held = "flashing"
)

// Hold is something that waits: what, at which mark, for what.
type Hold struct {
	Opening int
	What    Held
	Why     string
	Do      string // what releases it
}

// trimHeld says for which reasons the trim of an opening must not be cut yet, and what
// releases it; "" when it may, or when it is cut already. drops says whether
// the legs of its layout end above the surface below.
func (o *Sized) trimHeld(drops bool) (why, do string) {
	if o.Status.TrimDone() {
		return "", ""
	}
	why, do = o.sizeHeld()
	if !o.Kind.IsDoor() || !drops || o.LegDrop.Set || o.Kind == OverheadDoor && o.SitsOn == OnSlab {
		return why, do // the legs of an overhead door on a slab end there
	}
	const noDrop, measureIt = "no leg drop", "measure from the foot of the frame down to the surface below"
	if why == "" {
		return noDrop, measureIt
	}
	return why + "; " + noDrop, do + "; " + measureIt
}

// panHeld says why the pan of an opening waits for the depth of its unit, which
// is not stated and follows from the wall only for doors that the builder buys;
// what releases it. "" when the depth is known.
func (o *Sized) panHeld(job *Job) (why, do string) {
	switch {
	case o.UnitDepth.Set || job.Depth[o.Kind] > 0 && o.FurnishedBy != ByOwner:
		return "", ""
	case o.FurnishedBy == ByOwner:
		return "jamb depth of the owner's unit is not known", "ask the owner for the depth of the frame"
	case o.Kind == Window:
		return "jamb depth of the window is not known", "write the depth behind its flange in Jamb depth: many are shallower than the wall"
	case !JambDepth(o.framed(job)).Set:
		return "no stocked jamb is as deep as the wall", "write Jamb depth"
	}
	return "", ""
}

// planeHeld says why flashing and pan wait where insulation lies outside of the
// sheathing: nobody said on which of its faces the WRB lies.
func planeHeld(job *Job) (why, do string) {
	if job.Insulation == 0 || job.WRBPlane != "" {
		return "", ""
	}
	return "it is not stated where the WRB lies", "write 'WRB plane' on Job: sheathing, or outside of insulation"
}

// sampled reports whether some pieces that were measured stand for all of the mark, by
// the word of somebody. Doors are measured one by one: their legs and leg drops differ.
func (o *Sized) sampled(measured int64) bool {
	return o.Sample != "" && measured > 0 && measured < o.Qty && !o.Kind.IsDoor()
}

// measuredPieces returns how many pieces of a mark have both sides read, and whether any
// reading of a frame was taken.
func (o *Sized) measuredPieces() (n int64, taken bool) {
	pieces := map[int64]bool{}
	for _, r := range o.Readings {
		if r.Of == ReadAtOpening {
			continue
		}
		taken = true
		if slices.Max(r.Widths[:]) > 0 && slices.Max(r.Heights[:]) > 0 {
			pieces[r.Piece] = true
		}
	}
	return int64(len(pieces)), taken
}

// releaseSample says how a mark is released of which some pieces are measured.
func (o *Sized) releaseSample() string {
	if o.Kind.IsDoor() {
		return "measure the others, each door by itself, or give each piece its own row"
	}
	return "measure the others, give each piece its own row, or write in Sample accepted by whose word they stand for all"
}

// sizeHeld says why the size of the unit in the wall is not known yet, and what makes it
// known.
func (o *Sized) sizeHeld() (why, do string) {
	pieces, taken := o.measuredPieces()
	switch {
	case o.Doubt != "":
		return o.Doubt, "settle the measurement"
	case taken && pieces < o.Qty && !o.sampled(pieces):
		return fmt.Sprintf("%d of %d measured", pieces, o.Qty), o.releaseSample()
	case o.Measured.Known():
		return "", ""
	case !o.Status.Arrived():
		return "not delivered", "set the unit, then measure it out to out"
	default:
		return "not measured", "measure the frame out to out after setting"
	}
}
