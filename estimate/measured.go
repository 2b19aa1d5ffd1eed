package estimate

import (
	"fmt"

	"sillwright/estimate/measure"
)

// orderTolerance is how far a measured frame may differ from the ordered one
// before it is questioned.
const orderTolerance = measure.Inch / 4

// maxCladding is how much larger a clad unit may be outside than the frame it
// is ordered by, before it is some other unit.
const maxCladding = 3 * measure.Inch

// SpreadTolerance is how far readings of one side may differ before a mark is
// held.
//
// Source: a replacement-window measure page (publisher not on record): three readings within 1/8 in
const SpreadTolerance = measure.Inch / 8

// sayAt is say at the cell that was read, or at a column of Openings when the
// reading has none.
func (z *sizer) sayAt(at Place, sev Severity, column, what, do string) {
	if at.Row == 0 {
		at = z.o.PlaceOf(column)
	}
	z.problems = append(z.problems, Problem{at, sev, z.o.Mark + ": " + what, do})
}

// doubt warns of a measurement and holds the trim until it is settled.
func (z *sizer) doubt(at Place, column, what, do string) {
	z.sayAt(at, Warning, column, what, do)
	if z.o.Doubt == "" {
		z.o.Doubt = what
	}
}

// openingRead takes an opening as it was measured: the smallest reading rules,
// since the unit must pass it.
func (z *sizer) openingRead() {
	o := &z.o
	widths, heights := o.spans(ReadAtOpening)
	for _, s := range []struct {
		side   string
		read   span
		rough  *measure.Length
		column string
	}{{"width", widths, &o.Rough.W, "RO width"}, {"height", heights, &o.Rough.H, "RO height"}} {
		least := s.read.least()
		if least.l == 0 {
			continue
		}
		if d := s.read.spread(); d > SpreadTolerance {
			z.sayAt(least.at, Warning, s.column, fmt.Sprintf("readings of the opening's %s differ by %s in", s.side, measure.FormatInches(d, 32)),
				"the smallest counts; correct the framing, or give openings that differ a row each")
		}
		if off := apart(*s.rough, least.l); off > orderTolerance {
			z.sayAt(least.at, Warning, s.column, fmt.Sprintf("the opening measures %s in in %s, the schedule says %s", measure.FormatInches(least.l, 32),
				s.side, measure.FormatInches(*s.rough, 32)), "check the unit against the opening before it is set; the measured opening counts")
		}
		*s.rough, o.RoughFrom = least.l, "smallest reading"
	}
	for _, r := range o.Readings {
		if d := r.diagonals(); r.Of == ReadAtOpening && len(d) == 2 && d.spread() > OpeningTolerance {
			z.sayAt(d.most().at, Warning, "RO width",
				fmt.Sprintf("the diagonals of opening %d differ by %s in", r.Piece, measure.FormatInches(d.spread(), 32)), "square the framing before the unit is set")
		}
	}
}

// measured finds what the trim goes round: the largest outside reading. What
// puts a measurement in doubt holds the trim.
func (z *sizer) measured() {
	o := &z.o
	z.whole("Measured", &o.Measured)
	o.TrimSize = o.Outside(z.job.Brickmould)
	w, h := z.readings()
	read := Size{w.l, h.l}
	if read.Known() && o.Measured.Known() && (apart(read.W, o.Measured.W) > SpreadTolerance || apart(read.H, o.Measured.H) > SpreadTolerance) {
		z.doubt(Place{}, "Measured width",
			fmt.Sprintf("the largest readings on Field measurements are %s, but Openings says %s", sizeWords(read), sizeWords(o.Measured)), "correct one of the two")
	}
	if read.Known() {
		o.Measured = read
	}
	if o.Measured.Known() {
		o.TrimSize = o.Measured
		z.againstOrder(w.at, h.at)
	}
}

// againstOrder holds the measured frame against the one that was ordered. at
// are the cells of the largest width and height.
func (z *sizer) againstOrder(atW, atH Place) {
	o := &z.o
	got, want := o.Measured, o.Outside(z.job.Brickmould)
	off := func(a, b measure.Length) bool { return apart(a, b) > orderTolerance }
	overW, overH := got.W-want.W, got.H-want.H
	at, column := atW, "Measured width"
	if !off(got.W, want.W) {
		at, column = atH, "Measured height"
	}
	switch {
	case !off(got.W, want.W) && !off(got.H, want.H):
	case !off(got.W, want.H) && !off(got.H, want.W):
		z.doubt(at, column, "measured width and height look swapped against the order", "width comes first; measure again before anything is cut")
	case overW > orderTolerance && overH > orderTolerance && overW <= maxCladding && overH <= maxCladding:
		z.doubt(at, column, fmt.Sprintf("measured %s is larger both ways than the ordered frame %s", sizeWords(got), sizeWords(want)),
			"a clad unit is larger outside than inside: the trim goes round the outside; if it is one, write its outside as the frame and its opening as "+
				"the RO, else measure again")
	default:
		z.doubt(at, column, fmt.Sprintf("measured %s differs from the ordered frame %s", sizeWords(got), sizeWords(want)),
			"measure again, out to out of the frame, before the trim is cut")
	}
}

// readings returns the largest readings of a mark's frames, and puts in doubt
// those that differ more than one frame size can serve.
func (z *sizer) readings() (w, h reading) {
	o := &z.o
	for _, r := range o.Readings {
		if d := r.diagonals(); r.Of != ReadAtOpening && d.spread() > DiagonalTolerance(o.Frame.Area()) {
			z.doubt(d.most().at, "Measured width", fmt.Sprintf("the diagonals of piece %d differ by %s in", r.Piece, measure.FormatInches(d.spread(), 32)),
				"square the unit before its trim is cut")
		}
	}
	widths, heights := o.spans(ReadAtFrame)
	for _, side := range []struct {
		read   span
		column string
	}{{widths, "Measured width"}, {heights, "Measured height"}} {
		if d := side.read.spread(); d > SpreadTolerance {
			z.doubt(side.read.most().at, side.column, fmt.Sprintf("readings of one side differ by %s in", measure.FormatInches(d, 32)),
				"correct the unit, measure again, or give pieces that differ a row each")
		}
	}
	return widths.most(), heights.most()
}
