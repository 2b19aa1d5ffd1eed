// Package estimate turns openings and details into requirements: what each
// opening needs, by stated rules, before anything is bought. It knows pieces
// and amounts, never stock lengths, packs or prices.
package estimate

import "sillwright/estimate/measure"

// Maybe is a value that the schedule may leave out: missing is never zero.
type Maybe[T any] struct {
	V   T
	Set bool
}

// Given returns a value that is there.
func Given[T any](v T) Maybe[T] { return Maybe[T]{V: v, Set: true} }

// Or returns the value, or other when it is missing.
func (m Maybe[T]) Or(other T) T {
	if m.Set {
		return m.V
	}
	return other
}

// Size is a width and a height. A zero side is not known.
type Size struct{ W, H measure.Length }

// Known reports whether both sides are known.
func (s Size) Known() bool { return s.W > 0 && s.H > 0 }

// Perimeter returns 2 × (W + H).
func (s Size) Perimeter() measure.Length { return 2 * (s.W + s.H) }

// Area returns W × H.
func (s Size) Area() measure.Area { return measure.AreaOf(s.W, s.H) }

// Opening is a row of the schedule: one mark, Qty times.
type Opening struct {
	Place Place            // the row
	At    map[string]Place // the cell of each column the schedule has, by header

	Mark        string
	Qty         int64
	Kind        Kind
	Frame       Size // outside of the jambs; overhead door: the finished opening; joined units: overall
	Rough       Size
	Call        string // the call size as written, "" when none
	Units       int64  // joined side by side, or stacked when UnitHeights are given
	UnitWidths  []measure.Length
	UnitHeights []measure.Length      // of stacked units, from the top down; none = side by side
	UnitDepth   Maybe[measure.Length] // of the frame, through the wall
	SitsOn      SitsOn
	Flange      Flange
	SuppliedBy  SuppliedBy
	UnitCost    Maybe[measure.Money] // of one opening's unit
	Measured    Size                 // out to out of the set frame, where the trim stands
	Readings    []Reading            // from the sheet Measured
	Status      Status
	LegDrop     Maybe[measure.Length] // from the foot of the frame down to the surface below
	Pan         Pan
	Detail      string // asked for by name, "" = found by its first step
	Trim        string // layout asked for, "" = the job's; NoTrim = none
	Storey      Maybe[int64]
	SillHeight  Maybe[measure.Length] // inside floor to sill
	Drop        Maybe[measure.Length] // outside, from the sill to the surface below
	WallDepth   Maybe[measure.Length]
	Elevation   string
	Notes       string
	Extra       []ExtraCell // unknown columns, kept as notes
}

// ExtraCell is a cell of a column the schedule does not know, kept as it is.
type ExtraCell struct{ Header, Text string }

// Stacked reports whether joined units stand one on the other.
func (o *Opening) Stacked() bool { return len(o.UnitHeights) > 1 }

// Reading is a line of the sheet Measured: what was read at one piece of a
// mark, of its frame after setting or of its opening before. Zero lengths were
// not read.
type Reading struct {
	Place     Place
	Cells     ReadingCells
	Piece     int64  // 1 to Qty
	Of        ReadAt // "" = the frame
	Widths    [3]measure.Length
	Heights   [3]measure.Length
	Diagonals [2]measure.Length
	HighEnd   HighEnd
	Rise      measure.Length
	Initials  string
}

// ReadingCells are the cells of what was read.
type ReadingCells struct {
	Widths, Heights [3]Place
	Diagonals       [2]Place
}

// PlaceOf returns the cell of a column, or the row when the schedule lacks it.
func (o *Opening) PlaceOf(header string) Place {
	if p, ok := o.At[header]; ok {
		return p
	}
	return o.Place
}
