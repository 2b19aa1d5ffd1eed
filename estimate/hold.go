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

// sizeHeld says why the size of the unit in the wall is not known yet, and what makes it
// known.
func (o *Sized) sizeHeld() (why, do string) {
	pieces, taken := map[int64]bool{}, false
	for _, r := range o.Readings {
		if r.Of == ReadAtOpening {
			continue
		}
		taken = true
		if slices.Max(r.Widths[:]) > 0 && slices.Max(r.Heights[:]) > 0 {
			pieces[r.Piece] = true
		}
	}
	switch {
	case o.Doubt != "":
		return o.Doubt, "settle the measurement"
	case taken && int64(len(pieces)) < o.Qty:
		return fmt.Sprintf("%d of %d measured", len(pieces), o.Qty), "measure the others, or give each piece its own row"
	case o.Measured.Known():
		return "", ""
	case !o.Status.Arrived():
		return "not delivered", "set the unit, then measure it out to out"
	default:
		return "not measured", "measure the frame out to out after setting"
	}
}
