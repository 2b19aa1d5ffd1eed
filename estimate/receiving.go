package estimate

import (
	"cmp"
	"slices"
	"strings"

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
	Stated      Tempered // of its glass, by the schedule
	Tempered    string   // that, and what to check; "" = not known
	Flange      Flange
	FurnishedBy FurnishedBy
	Status      Status
	Arrived     bool // by its status
}

// The headers under which schedules say what our columns do not.
var (
	operationHeaders = []string{"operating style", "function", "opens", "style"}
	handHeaders      = []string{"hand", "handing", "swing", "door hand", "hinge side"}
)

// HeadersBeside returns the headers of columns that are none of ours and are
// read all the same: those of Receiving, escape openings, and the shape.
func HeadersBeside() []string {
	return slices.Concat(operationHeaders, handHeaders, egressHeaders, []string{"shape", "head shape"})
}

// Receiving returns the units to expect, in the order of the takeoff. Pieces
// of a mark that have lines of their own are counted there.
func Receiving(t Takeoff) []Receipt {
	var out []Receipt
	for i := range t.Openings {
		o := &t.Openings[i]
		out = append(out, Receipt{
			Opening: i, Mark: o.Mark, Count: o.Qty, Units: o.Units, Kind: o.Kind, Size: o.Frame, UnitSizes: unitSizes(o), Depth: o.UnitDepth,
			Operation: cmp.Or(string(o.Operation), o.extra(operationHeaders)), Hand: o.extra(handHeaders), Stated: o.Tempered, Tempered: o.temperedWords(),
			Flange: o.Flange, FurnishedBy: o.FurnishedBy, Status: Status(o.StatusWords()),
			Arrived: o.Status.Arrived(),
		})
	}
	return out
}

// units returns the sizes of the units of an opening, which may be one.
func (o *Sized) units() []Size {
	if list := unitSizes(o); len(list) > 0 {
		return list
	}
	return []Size{o.Frame}
}

// temperedWords says what the schedule says of the glass, and which sections of the
// International Residential Code ask for a look at its label.
func (o *Sized) temperedWords() string {
	var out []string
	if o.Tempered != "" {
		out = append(out, string(o.Tempered))
	}
	if sections := o.GlazingSections(); len(sections) > 0 {
		out = append(out, "check: IRC "+strings.Join(sections, ", "))
	}
	return strings.Join(out, "; ")
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
