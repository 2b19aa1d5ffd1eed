package estimate

import "sillwright/estimate/measure"

// PieceName is a piece of a trim frame.
type PieceName string

// The pieces of a trim frame.
const (
	HeadPiece      PieceName = "head"
	LegPiece       PieceName = "leg"
	BottomPiece    PieceName = "bottom"
	MullPiece      PieceName = "mull"       // upright, between units side by side
	LevelMullPiece PieceName = "level mull" // between stacked units
)

// PieceNames are the words of the column piece of the trim layouts.
var PieceNames = wordsOf(HeadPiece, LegPiece, BottomPiece, MullPiece, LevelMullPiece)

// Board is a board of a trim set: both mulls are cut from one.
type Board string

// The boards of a trim set.
const (
	HeadBoard   Board = "head"
	LegBoard    Board = "leg"
	BottomBoard Board = "bottom"
	MullBoard   Board = "mull"
)

// BoardNames are the words of the column board of the trim layouts.
var BoardNames = wordsOf(HeadBoard, LegBoard, BottomBoard, MullBoard)

// LayoutPiece is a row of a trim layout: how long a piece is, as a sum of
// whole multiples of the sizes that shape it.
type LayoutPiece struct {
	Layout  string
	Piece   PieceName
	Board   Board // whose width it takes
	Count   int64 // a frame; for mulls, each mull
	W, H    int64 // of the frame with its joints: w = W + 2 gap, h = H + gap above + gap below
	Gap     int64 // below
	Head    int64 // board widths
	Leg     int64
	Bottom  int64
	Over    int64  // head overhang
	Horn    int64  // horn of the sill
	Drop    int64  // leg drop less clearance
	Bored   int64  // ends of the piece that are screwed to another
	Mitered int64  // ends of the piece that are mitered; its length is over the long points
	Equal   bool   // fits only boards of one width
	Pair    bool   // the pieces of a frame are cut at one setting
	Ends    string // how the ends are made, in words
}

// Layouts are the rows of all layouts, those of a layout one after the other.
type Layouts []LayoutPiece

// Names returns the layouts in their order.
func (l Layouts) Names() []string {
	var out []string
	for _, p := range l {
		if len(out) == 0 || out[len(out)-1] != p.Layout {
			out = append(out, p.Layout)
		}
	}
	return out
}

// Of returns the pieces of a layout.
func (l Layouts) Of(name string) []LayoutPiece {
	first := 0
	for first < len(l) && l[first].Layout != name {
		first++
	}
	end := first
	for end < len(l) && l[end].Layout == name {
		end++
	}
	return l[first:end]
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

// Gaps are the joints between a trim frame and what it goes round.
type Gaps struct{ Head, Legs, Bottom measure.Length }

// FrameSizes are what shapes a trim frame.
type FrameSizes struct {
	Frame                  Size // what the trim goes round
	Gap                    Gaps
	Overhang               measure.Length // head past the outside of a leg, each end
	Horn                   measure.Length // sill past the outside of a leg, each end
	HeadBoard, Leg, Bottom measure.Length // board widths
	Drop                   measure.Length // foot of a leg below the foot of the frame; negative = above it
}

// Inside returns the frame with its joints: what the boards stand round.
func (s FrameSizes) Inside() Size {
	return Size{s.Frame.W + 2*s.Gap.Legs, s.Frame.H + s.Gap.Head + s.Gap.Bottom}
}

// PieceLength returns the length of a piece of a trim frame.
//
//	length = W·w + H·h + Gap·g + Head·head + Leg·leg + Bottom·bottom + Over·overhang + Horn·horn + Drop·drop
//	w = frame width + 2 g, h = frame height + 2 g
//
// Each side has its own g; the one counted apart is that below. Head over
// legs, for one: head = w + 2 leg + 2 overhang, bottom = w, each leg = h +
// bottom. Three sided: head the same, each leg = h - g + drop.
//
// Source: geometry; square-edged boards butt at the head: US Navy training manual NAVEDTRA 14044, p. 6-17, on interior casing
func PieceLength(p LayoutPiece, s FrameSizes) measure.Length {
	in := s.Inside()
	n := func(k int64, l measure.Length) measure.Length { return measure.Length(k) * l }
	return n(p.W, in.W) + n(p.H, in.H) + n(p.Gap, s.Gap.Bottom) + n(p.Head, s.HeadBoard) + n(p.Leg, s.Leg) +
		n(p.Bottom, s.Bottom) + n(p.Over, s.Overhang) + n(p.Horn, s.Horn) + n(p.Drop, s.Drop)
}
