package estimate

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

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

// diagonals returns the two diagonals of a reading.
func (r Reading) diagonals() span { return spanOf(nil, r.Diagonals[:], r.Cells.Diagonals[:]) }

// levelRead reports whether the level of the sill was read.
func (r Reading) levelRead() bool { return r.HighEnd != "" || r.Rise > 0 }

// reading is one length that was read, and its cell.
type reading struct {
	l  measure.Length
	at Place
}

// span is the readings of one side, without those not taken.
type span []reading

// spanOf gathers readings with their cells.
func spanOf(s span, ls []measure.Length, at []Place) span {
	for i, l := range ls {
		if l > 0 {
			s = append(s, reading{l, at[i]})
		}
	}
	return s
}

func byLength(a, b reading) int { return cmp.Compare(a.l, b.l) }

func (s span) least() reading {
	if len(s) == 0 {
		return reading{}
	}
	return slices.MinFunc(s, byLength)
}

func (s span) most() reading {
	if len(s) == 0 {
		return reading{}
	}
	return slices.MaxFunc(s, byLength)
}

func (s span) spread() measure.Length { return s.most().l - s.least().l }

// spans returns what was read of the frames, or of the openings, of a mark.
func (o *Opening) spans(at ReadAt) (widths, heights span) {
	for _, r := range o.Readings {
		if (r.Of == ReadAtOpening) == (at == ReadAtOpening) {
			widths = spanOf(widths, r.Widths[:], r.Cells.Widths[:])
			heights = spanOf(heights, r.Heights[:], r.Cells.Heights[:])
		}
	}
	return widths, heights
}

// rise returns the largest measured rise of the sill, and whether any was read.
func (o *Sized) rise() (measure.Length, bool) {
	var most measure.Length
	read := false
	for _, r := range o.Readings {
		if r.levelRead() {
			read = true
			most = max(most, r.Rise)
		}
	}
	return most, read
}
