package estimate

import (
	"fmt"
	"math"

	"sillwright/estimate/measure"
)

// MiterCut returns the length of the cut across a mitered end.
//
//	cut = sqrt(own width² + width of the other board²)
//
// Source: geometry
func MiterCut(own, other measure.Length) measure.Length { return hypotenuse(own, other) }

// MiterAngle returns the saw angle of a mitered end from square, in tenths of a
// degree.
//
//	angle = atan(width of the other board / own width)
//
// Source: geometry
func MiterAngle(own, other measure.Length) int64 {
	return int64(math.Round(math.Atan2(float64(other), float64(own)) * 1800 / math.Pi))
}

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

// gapsOf returns the joints round the frame of an opening: each board has
// its own, or else the job's.
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
			return trim{}, fmt.Errorf("layout %s needs boards of one width, but its %s is %s and its legs %s", row.Layout, row.Piece,
				measure.FormatInches(p.Item.Width, 16), measure.FormatInches(t.sizes.Leg, 16))
		}
		if p.Length = PieceLength(row, t.sizes); p.Length <= 0 {
			return trim{}, fmt.Errorf("its %s would be %s long", row.Piece, measure.FormatInches(p.Length, 16))
		}
		t.pieces = append(t.pieces, p)
	}
	return t, nil
}

// mulls returns how often an opening has a row of its layout: a mull as often
// as units are mulled that way, any other piece once.
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

// corners returns how many corners of a frame are mitered.
func (t trim) corners() int64 {
	ends := int64(0)
	for _, p := range t.pieces {
		ends += p.Number * p.Mitered
	}
	return ends / 2
}

// across returns the width of the board that a mitered piece meets; of a leg,
// the wider of the two.
func (t trim) across(p TrimPiece) measure.Length {
	if p.Piece == LegPiece {
		return max(t.sizes.HeadBoard, t.sizes.Bottom)
	}
	return t.sizes.Leg
}

// onSite says why a trim frame is put together on site; "" when it is not.
func onSite(o *Sized, job *Job, outside Size) string {
	switch {
	case o.Kind == OverheadDoor:
		return "the trim of an overhead door is nailed up loose"
	case outside.W > job.LargestFrame.W || outside.H > job.LargestFrame.H:
		return fmt.Sprintf("%s in is larger than the %s in to carry", sizeWords(outside), sizeWords(job.LargestFrame))
	}
	return ""
}

// rip says to what width the casing over a joint between units is ripped.
func (a *application) rip(p TrimPiece) string {
	joint, board, least := a.o.trimMull(a.book.Job.Brickmould), p.Item.Width, a.book.Job.MinJoint
	if !a.o.studsBetween() {
		return "rip to suit the joint of " + a.in(joint)
	}
	width := CasingBetween(joint, board, a.trim.sizes.Gap.Legs, least)
	if full := (joint - board) / 2; width < board && full >= 0 && full < least {
		a.say(Note, "Joined", fmt.Sprintf("a full casing of %s would leave %s beside either frame, less than the %s of a sealant joint", a.long(board), a.long(full),
			a.long(least)), "it is ripped to "+a.long(width))
	}
	if width < board {
		return fmt.Sprintf("rip to %s in the joint of %s", a.in(width), a.in(joint))
	}
	return "in the joint of " + a.in(joint)
}

func (a *application) frame() []Requirement {
	var out []Requirement
	gaps := a.trim.sizes.Gap
	gap := a.in(gaps.Head)
	if gaps.Head != gaps.Legs || gaps.Head != gaps.Bottom {
		gap = fmt.Sprintf("head %s, legs %s, bottom %s", a.in(gaps.Head), a.in(gaps.Legs), a.in(gaps.Bottom))
	}
	for _, p := range a.trim.pieces {
		how := fmt.Sprintf("frame %s x %s, gap %s, %s", a.in(a.o.TrimSize.W), a.in(a.o.TrimSize.H), gap, a.o.Layout)
		if drop := legDrop(a.o, &a.book.Job); p.Drop != 0 && drop.Set {
			how += fmt.Sprintf(", leg drop %s less %s", a.in(drop.V), a.in(a.book.Job.LegClearance[a.o.SitsOn]))
			if !a.o.LegDrop.Set {
				how += ", the drop assumed"
			}
		}
		if p.Board == MullBoard {
			at, from := a.o.mullCenters(gaps, a.book.Job.Brickmould)
			how += fmt.Sprintf(", %s; centers from %s", a.rip(p), from)
			for _, center := range at {
				how += " " + a.in(center)
			}
		}
		r := pieces(p.Item, p.Number, p.Length, string(p.Piece), how)
		r.Held, r.Pair, r.Factory = a.trimHold, p.Pair, p.Pair && p.Mitered == 0
		out = append(out, r)
	}
	return out
}
