package estimate

import (
	"fmt"
	"math"

	"sillwright/estimate/measure"
)

// TrimPiece is one sort of piece of an opening's trim.
type TrimPiece struct {
	LayoutPiece
	Item   Item
	Length measure.Length
	Number int64 // pieces of one opening
}

// trim is the trim frame of one opening, worked out.
type trim struct {
	sizes  FrameSizes
	pieces []TrimPiece
}

// trimBoards are the names by which a step asks for the boards of the trim set.
var trimBoards = []string{"trim boards"}

// legDrop returns the leg drop to plan with: the opening's own, else, of doors
// that people walk through, the job's assumption, with which legs are ordered
// and held. An overhead door stands on its slab.
func legDrop(o *Sized, job *Job) Maybe[measure.Length] {
	if !o.LegDrop.Set && o.Kind.Walked() {
		return Given(job.AssumedDrop)
	}
	return o.LegDrop
}

// gapsOf returns the joints round the frame of an opening: each board wants
// its own, or else takes the job's.
func gapsOf(k Kind, job *Job, items Items) Gaps {
	gap := func(board Board) measure.Length {
		item, _ := items.Get(job.Trim[k].board(board))
		return item.Gap.Or(job.Gap)
	}
	return Gaps{gap(HeadBoard), gap(LegBoard), gap(BottomBoard)}
}

// trimOf works out the trim of an opening; without pieces when it has none.
func trimOf(o *Sized, job *Job, items Items, layouts Layouts) (trim, error) {
	board := func(b Board) Item {
		item, _ := items.Get(job.Trim[o.Kind].board(b))
		return item
	}
	t := trim{sizes: FrameSizes{
		Frame: o.TrimSize, Gap: gapsOf(o.Kind, job, items), Overhang: job.Overhang, Horn: job.Horn,
		HeadBoard: board(HeadBoard).Width, Leg: board(LegBoard).Width, Bottom: board(BottomBoard).Width,
	}}
	if drop := legDrop(o, job); drop.Set {
		t.sizes.Drop = drop.V - job.LegClearance[o.SitsOn]
	}
	for _, row := range layouts.Of(o.Layout) {
		p := TrimPiece{LayoutPiece: row, Item: board(row.Board), Number: row.Count * o.mulls(row)}
		if p.Number == 0 {
			continue
		}
		if p.Item.Key == "" {
			return trim{}, fmt.Errorf("the trim set of a %s names no %s board", o.Kind, row.Board)
		}
		if row.Equal && p.Item.Width != t.sizes.Leg {
			return trim{}, fmt.Errorf("layout %s needs boards of one width, but its %s is %s and its legs %s", row.Layout, row.Piece, measure.FormatInches(p.Item.Width, 16), measure.FormatInches(t.sizes.Leg, 16))
		}
		if p.Length = PieceLength(row, t.sizes); p.Length <= 0 {
			return trim{}, fmt.Errorf("its %s would be %s long", row.Piece, measure.FormatInches(p.Length, 16))
		}
		t.pieces = append(t.pieces, p)
	}
	return t, nil
}

// mulls returns how often an opening has a row of its layout: a mull as often
// as units are joined that way, any other piece once.
func (o *Sized) mulls(row LayoutPiece) int64 {
	switch {
	case row.Board != MullBoard:
		return 1
	case (row.Piece == LevelMullPiece) != o.Stacked():
		return 0
	}
	return o.Units - 1
}

// piece returns the piece of a name.
func (t trim) piece(name PieceName) (TrimPiece, bool) {
	for _, p := range t.pieces {
		if p.Piece == name {
			return p, true
		}
	}
	return TrimPiece{}, false
}

// width returns how wide the frame is at its head or bottom: a board that
// stands between the legs does not reach its corners.
func (t trim) width(name PieceName) measure.Length {
	p, _ := t.piece(name)
	return max(p.Length, t.sizes.Inside().W+2*t.sizes.Leg)
}

// outside returns the outside of the frame, horns and overhang included.
func (t trim) outside() Size {
	h := t.sizes.HeadBoard
	if _, four := t.piece(BottomPiece); four {
		h += t.sizes.Inside().H + t.sizes.Bottom
	} else if leg, ok := t.piece(LegPiece); ok {
		h += leg.Length
	}
	return Size{max(t.width(HeadPiece), t.width(BottomPiece)), h}
}

// corners returns how many corners of a frame are mitred.
func (t trim) corners() int64 {
	ends := int64(0)
	for _, p := range t.pieces {
		ends += p.Number * p.Mitred
	}
	return ends / 2
}

// across returns the width of the board that a mitred piece meets; of a leg,
// the wider of the two.
func (t trim) across(p TrimPiece) measure.Length {
	if p.Piece == LegPiece {
		return max(t.sizes.HeadBoard, t.sizes.Bottom)
	}
	return t.sizes.Leg
}

// drops reports whether the legs of a layout end above the surface below.
func (l Layouts) drops(name string) bool {
	for _, p := range l.Of(name) {
		if p.Drop != 0 {
			return true
		}
	}
	return false
}

// FrameDiagonal returns both diagonals of a square frame, which is as wide at
// the head as top and at the foot as bottom.
//
//	diagonal = sqrt(((top + bottom) / 2)² + height²)
//
// Source: geometry
func FrameDiagonal(top, bottom, height measure.Length) measure.Length {
	return hypotenuse((top+bottom)/2, height)
}

// MitreCut returns the length of the cut across a mitred end.
//
//	cut = sqrt(own width² + width of the other board²)
//
// Source: geometry
func MitreCut(own, other measure.Length) measure.Length { return hypotenuse(own, other) }

// MitreAngle returns the saw angle of a mitred end from square, in tenths of a
// degree.
//
//	angle = atan(width of the other board / own width)
//
// Source: geometry
func MitreAngle(own, other measure.Length) int64 {
	return int64(math.Round(math.Atan2(float64(other), float64(own)) * 1800 / math.Pi))
}

// SquareTolerance is how far the diagonals of a trim frame may differ.
//
// Source: common practice, no source: 1/16 in
const SquareTolerance = measure.Inch / 16
