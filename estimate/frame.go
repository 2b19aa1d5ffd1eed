package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// LayoutPiece is a row of a trim layout: how long a piece is, as a sum of
// whole multiples of the sizes that shape it.
type LayoutPiece struct {
	Layout string
	Piece  string // head, leg, bottom, mull
	Board  string // whose width it takes: head, leg, bottom, mull
	Count  int64  // a frame; for mulls, each mull
	W, H   int64  // of the frame with its joints: w = W + 2 gap, h = H + 2 gap
	Gap    int64
	Head   int64 // board widths
	Leg    int64
	Bottom int64
	Over   int64 // head overhang
	Drop   int64 // leg drop less clearance
	Bored  int64 // ends of the piece that are screwed to another
	Pair   bool
}

// Layouts are the rows of all layouts.
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
	var out []LayoutPiece
	for _, p := range l {
		if p.Layout == name {
			out = append(out, p)
		}
	}
	return out
}

// FrameSizes are what shapes a trim frame.
type FrameSizes struct {
	Frame                  Size // what the trim goes round
	Gap, Overhang          measure.Length
	HeadBoard, Leg, Bottom measure.Length // board widths
	Drop                   measure.Length // foot of a leg below the foot of the frame; negative = above it
}

// PieceLength returns the length of a piece of a trim frame.
//
//	length = W·w + H·h + Gap·g + Head·head + Leg·leg + Bottom·bottom + Over·overhang + Drop·drop
//	w = frame width + 2 g, h = frame height + 2 g
//
// Head over legs, for one: head = w + 2 leg + 2 overhang, bottom = w, each leg
// = h + bottom. Three sided: head the same, each leg = h - g + drop.
//
// Source: geometry; square-edged boards butt at the head: US Navy NAVEDTRA 14044 p. 6-17, read
func PieceLength(p LayoutPiece, s FrameSizes) measure.Length {
	w, h := s.Frame.W+2*s.Gap, s.Frame.H+2*s.Gap
	n := func(k int64, l measure.Length) measure.Length { return measure.Length(k) * l }
	return n(p.W, w) + n(p.H, h) + n(p.Gap, s.Gap) + n(p.Head, s.HeadBoard) + n(p.Leg, s.Leg) +
		n(p.Bottom, s.Bottom) + n(p.Over, s.Overhang) + n(p.Drop, s.Drop)
}

// MullWidth returns the joint between joined units.
//
//	mull = (frame width - sum of the unit widths) / (units - 1)
//
// Source: geometry
func MullWidth(frame measure.Length, widths []measure.Length) measure.Length {
	if len(widths) < 2 {
		return 0
	}
	sum := measure.Length(0)
	for _, w := range widths {
		sum += w
	}
	return (frame - sum) / measure.Length(len(widths)-1)
}

// MullCentres returns where the middle of each mull stands, from the inside of
// the left leg.
//
//	centre k = unit widths before + (k - 1/2) mull + g
//
// Source: geometry
func MullCentres(widths []measure.Length, mull, gap measure.Length) []measure.Length {
	var out []measure.Length
	at := gap
	for k, w := range widths {
		if k == len(widths)-1 {
			break
		}
		at += w
		out = append(out, at+mull/2)
		at += mull
	}
	return out
}

// TrimPiece is one sort of piece of an opening's trim.
type TrimPiece struct {
	LayoutPiece
	Item   Item
	Length measure.Length
	Number int64 // pieces of one opening
}

// trimBoards are the names by which a step asks for the boards of the trim set.
var trimBoards = []string{"trim boards"}

// legDrop returns the leg drop to plan with: the opening's own, else, of doors
// that people walk through, the job's assumption, with which legs are ordered
// and held. An overhead door stands on its slab.
func legDrop(o *Sized, job *Job) Maybe[measure.Length] {
	if !o.LegDrop.Set && (o.Kind == EntryDoor || o.Kind == PatioDoor) {
		return Given(job.AssumedDrop)
	}
	return o.LegDrop
}

// trimPieces returns the pieces of an opening's trim, none when it has none.
func trimPieces(o *Sized, job *Job, items Items, layouts Layouts) ([]TrimPiece, error) {
	rows := layouts.Of(o.Layout)
	set := job.Trim[o.Kind]
	board := map[string]Item{}
	for role, key := range map[string]string{"head": set.Head, "leg": set.Leg, "bottom": set.Bottom, "mull": set.Mull} {
		board[role], _ = items.Get(key)
	}
	sizes := FrameSizes{
		Frame: o.TrimSize, Gap: job.Gap, Overhang: job.Overhang,
		HeadBoard: board["head"].Width, Leg: board["leg"].Width, Bottom: board["bottom"].Width,
	}
	if drop := legDrop(o, job); drop.Set {
		sizes.Drop = drop.V - job.LegClearance[o.SitsOn]
	}
	var out []TrimPiece
	for _, row := range rows {
		p := TrimPiece{LayoutPiece: row, Item: board[row.Board], Number: row.Count}
		if row.Board == "mull" {
			p.Number *= o.Units - 1
		}
		if p.Number == 0 {
			continue
		}
		if p.Item.Key == "" {
			return nil, fmt.Errorf("the trim set of a %s names no %s board", o.Kind, row.Board)
		}
		p.Length = PieceLength(row, sizes)
		if p.Length <= 0 {
			return nil, fmt.Errorf("its %s would be %s long", row.Piece, measure.FormatInches(p.Length, 16))
		}
		out = append(out, p)
	}
	return out, nil
}
