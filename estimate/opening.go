// Package estimate turns openings and details into requirements: what each
// opening needs, by stated rules, before anything is bought. It knows pieces
// and amounts, never stock lengths, packs or prices.
package estimate

import (
	"cmp"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// Opening is a row of the schedule: one mark, Qty times.
type Opening struct {
	Place Place            // the row
	At    map[string]Place // the cell of each column the schedule has, by header

	Mark        string
	Qty         int64
	Kind        Kind
	Operation   Operation // "" = not stated
	Opens       string    // how the unit opens, as the schedule is written
	Shape       UnitShape // as the schedule says, "" = it does not
	Frame       Size      // outside of the jambs; overhead door: the finished opening; mulled units: overall
	Rough       Size
	Call        string // the call size as written, "" when none
	Units       int64  // joined side by side, or stacked when UnitHeights are given
	Joined      Joined // "" = mulled
	UnitWidths  []measure.Length
	UnitHeights []measure.Length      // of stacked units, from the top down; none = side by side
	UnitDepth   Maybe[measure.Length] // of the frame, through the wall
	SitsOn      SitsOn
	Flange      Flange
	FurnishedBy FurnishedBy
	UnitCost    Maybe[measure.Money]  // of one opening's unit
	Sample      string                // by whose word the pieces measured stand for all; "" = they do not
	Measured    Size                  // out to out of the set frame, where the trim stands
	Readings    []Reading             // from the sheet Measured
	Status      Status                // of the openings that are least far
	Stages      []Stage               // of openings of one mark that are not equally far; nil = all are
	LegDrop     Maybe[measure.Length] // from the foot of the frame down to the surface below
	Pan         Pan
	Detail      string // asked for by name, "" = found by its first step
	Trim        string // layout asked for, "" = the job's; NoTrim = none
	Story       Maybe[int64]
	SillHeight  Maybe[measure.Length] // inside floor to sill
	Drop        Maybe[measure.Length] // outside, from the sill to the surface below
	Room        string                // where it stands, as the schedule says: bath, bedroom 2, stair
	Tempered    Tempered              // as the schedule says, "" = it does not
	WallDepth   Maybe[measure.Length]
	Elevation   string
	Notes       string
	Extra       []ExtraCell // unknown columns, kept as notes
}

// ExtraCell is a cell of a column the schedule does not know, kept as it is.
type ExtraCell struct{ Header, Text string }

// Stacked reports whether mulled units stand one on the other.
func (o *Opening) Stacked() bool { return len(o.UnitHeights) > 1 }

// StatedHeight returns the height of the frame, of the opening or of the call
// size, whichever the schedule gives; 0 when it gives none.
func (o *Opening) StatedHeight() measure.Length {
	_, called, _ := measure.ParseCallSize(o.Call)
	return cmp.Or(o.Frame.H, o.Rough.H, called, o.Measured.H)
}

// PlaceOf returns the cell of a column, or the row when the schedule lacks it.
func (o *Opening) PlaceOf(header string) Place {
	if p, ok := o.At[header]; ok {
		return p
	}
	return o.Place
}

// extra returns what the schedule says in a column that is not ours.
func (o *Opening) extra(headers []string) string {
	for _, c := range o.Extra {
		if slices.Contains(headers, strings.ToLower(strings.Join(strings.Fields(c.Header), " "))) {
			return c.Text
		}
	}
	return ""
}
