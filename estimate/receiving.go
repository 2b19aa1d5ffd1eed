package estimate

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// Receipt is a line of the list to tick when units arrive. What the schedule
// does not say is blank, to be filled in at the tailgate.
type Receipt struct {
	Opening     int // index into Takeoff.Openings
	Mark        string
	Count       int64 // openings; mulled units come as Units each
	Units       int64
	Kind        Kind
	Size        Size   // of the frame, as ordered
	UnitSizes   []Size // of mulled units: left to right, or from the top down
	Depth       Maybe[measure.Length]
	Operation   string
	Hand        string
	Tempered    string // safety glass; "" = not known
	Flange      Flange
	FurnishedBy FurnishedBy
	Status      Status
	Arrived     bool // by its status
}

// The headers under which schedules say what our columns do not.
var (
	operationHeaders = []string{"operating style", "function", "opens", "style"}
	handHeaders      = []string{"hand", "handing", "swing", "door hand", "hinge side"}
	temperedHeaders  = []string{"tempered", "tempered glass", "temp", "temp glass", "safety glass", "safety glazing"}
)

// HeadersBeside returns the headers of columns that are none of ours and are
// read all the same: those of Receiving, and the shape.
func HeadersBeside() []string {
	return slices.Concat(operationHeaders, handHeaders, temperedHeaders, []string{"shape", "head shape"})
}

// Receiving returns the units to expect, in the order of the takeoff. Pieces
// of a mark that have lines of their own are counted there.
func Receiving(t Takeoff) []Receipt {
	var out []Receipt
	for i := range t.Openings {
		o := &t.Openings[i]
		out = append(out, Receipt{
			Opening: i, Mark: o.Mark, Count: o.Qty, Units: o.Units, Kind: o.Kind, Size: o.Frame, UnitSizes: unitSizes(o), Depth: o.UnitDepth,
			Operation: cmp.Or(string(o.Operation), o.extra(operationHeaders)), Hand: o.extra(handHeaders), Tempered: o.extra(temperedHeaders),
			Flange: o.Flange, FurnishedBy: o.FurnishedBy, Status: o.Status,
			Arrived: o.Status.Arrived(),
		})
	}
	return out
}

// unitSizes returns the sizes of mulled units.
func unitSizes(o *Sized) []Size {
	if o.Units < 2 {
		return nil
	}
	var out []Size
	for i, w := range o.Widths {
		s := Size{w, o.Frame.H}
		if o.Stacked() {
			s.H = o.UnitHeights[i]
		}
		out = append(out, s)
	}
	return out
}
