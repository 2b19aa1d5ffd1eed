package estimate

import (
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// line is an opening as it stands in the takeoff: all of a mark that is alike,
// or one odd piece of it.
type line struct {
	Opening
	piece int64 // the odd piece; 0 = the mark
	apart int64 // pieces of the mark that have lines of their own
}

// maxSizes is the most different readings that are tried as the size of the mark.
const maxSizes = 32

// oddPieces gives the pieces of a mark whose frames measure unlike the others
// a line each: one trim frame cannot serve both. Most of the pieces measured
// must agree; else the mark stays whole, and is held for its spread.
func oddPieces(o Opening) ([]line, []Problem) {
	whole := []line{{Opening: o}}
	ofPiece := map[int64][]Reading{}
	for _, r := range o.Readings {
		ofPiece[r.Piece] = append(ofPiece[r.Piece], r)
	}
	alike := maxAlike(o)
	odd := 0
	for _, like := range alike {
		if !like {
			odd++
		}
	}
	if odd == 0 || 2*odd >= len(alike) {
		return whole, nil
	}
	main := line{Opening: o}
	main.Readings = slices.DeleteFunc(slices.Clone(o.Readings), func(r Reading) bool { like, read := alike[r.Piece]; return read && !like })
	var lines []line
	var notes []Problem
	for piece := int64(1); piece <= o.Qty; piece++ {
		if like, read := alike[piece]; !read || like {
			continue
		}
		l := line{Opening: main.Opening.apart(), piece: piece}
		l.Mark, l.Readings, l.Measured = fmt.Sprintf("%s piece %d", o.Mark, piece), ofPiece[piece], Size{}
		lines = append(lines, l)
		at := ofPiece[piece][0].Place
		if at.Row == 0 {
			at = o.PlaceOf("Qty")
		}
		notes = append(notes, Problem{at, Note, fmt.Sprintf("%s: piece %d measures unlike the others of its mark and has a line of its own", o.Mark, piece),
			"write its number on the unit and on its trim"})
	}
	main.apart = int64(len(lines))
	return append([]line{main}, lines...), notes
}

// box is the least and most of a piece's frame readings.
type box struct {
	piece       int64
	least, most Size
}

// within reports whether a frame size that is no smaller than w x h, nor larger
// than the spread allows, serves the piece.
func (b box) within(w, h measure.Length) bool {
	return b.least.W >= w && b.most.W <= w+SpreadTolerance && b.least.H >= h && b.most.H <= h+SpreadTolerance
}

// boxes returns the pieces of a mark whose frames were measured and that are
// alike in themselves: the others are held, not odd.
func boxes(o Opening) []box {
	var out []box
	for _, r := range o.Readings {
		one := Opening{Readings: []Reading{r}}
		w, h := one.spans(ReadAtFrame)
		if len(w) > 0 && len(h) > 0 && w.spread() <= SpreadTolerance && h.spread() <= SpreadTolerance {
			out = append(out, box{r.Piece, Size{w.least().l, h.least().l}, Size{w.most().l, h.most().l}})
		}
	}
	return out
}

// maxAlike says of each piece of a mark whose frame was measured whether it
// belongs to the largest number that one frame size serves.
func maxAlike(o Opening) map[int64]bool {
	all := boxes(o)
	var widths, heights []measure.Length
	for _, b := range all {
		widths, heights = append(widths, b.least.W), append(heights, b.least.H)
	}
	best, most := Size{}, 0
	for _, w := range distinct(widths) {
		for _, h := range distinct(heights) {
			n := 0
			for _, b := range all {
				if b.within(w, h) {
					n++
				}
			}
			if n > most {
				best, most = Size{w, h}, n
			}
		}
	}
	out := map[int64]bool{}
	for _, b := range all {
		if most > 0 {
			out[b.piece] = b.within(best.W, best.H)
		}
	}
	return out
}

// distinct returns the distinct lengths in order, none when there are too many to
// try: such readings are no one size.
func distinct(ls []measure.Length) []measure.Length {
	slices.Sort(ls)
	if ls = slices.Compact(ls); len(ls) > maxSizes {
		return nil
	}
	return ls
}
