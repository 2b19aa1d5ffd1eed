package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// point is a place on the elevation of a trim frame: x to the right from the
// inside of the left leg, y up from the upper edge of the bottom board, or from
// where it would be.
type point struct{ x, y measure.Length }

// stroke is a line of a drawing, from point to point.
type stroke struct {
	what string
	line []point
	pen  xlsx.Pen
}

// caption is words beside a point: below it, to the left or to the right, or over it.
type caption struct {
	at    point
	words string
	side  string // "b", "l", "r" or "ctr", as the file format has it
}

// elevation is the drawing of a trim frame, seen from outside.
type elevation struct {
	strokes  []stroke
	captions []caption
}

// board returns the closed outline of a board by its corners.
func board(what string, corners ...point) stroke {
	return stroke{what, append(corners, corners[0]), xlsx.PenOutline}
}

// squareBoard is the outline of a square-ended board.
func squareBoard(what string, from, to point) stroke {
	return stroke{what, rectangle(from, to), xlsx.PenOutline}
}

// frameShape is what the outlines of a frame follow from.
type frameShape struct {
	inside             estimate.Size
	head, leg, bottom  estimate.FramePiece
	mull, level        estimate.FramePiece
	mitered            bool
	headPast, footPast [2]measure.Length // how far head and bottom run past the inside, left and right
}

// shapeOf takes a frame apart.
func shapeOf(f estimate.Frame) frameShape {
	s := frameShape{inside: estimate.FrameSizes{Frame: f.Size, Gap: f.Gap}.Inside()}
	for _, p := range f.Pieces {
		switch p.Name {
		case estimate.HeadPiece:
			s.head = p
		case estimate.LegPiece:
			s.leg = p
		case estimate.BottomPiece:
			s.bottom = p
		case estimate.MullPiece:
			s.mull = p
		case estimate.LevelMullPiece:
			s.level = p
		}
	}
	s.mitered = s.head.Mitered > 0
	s.headPast, s.footPast = s.past(s.head), s.past(s.bottom)
	if s.headPast[0] != s.headPast[1] { // a pinwheel: the head covers the right leg, the bottom the left
		s.headPast = [2]measure.Length{0, s.leg.Width}
		s.footPast = [2]measure.Length{s.leg.Width, 0}
	}
	return s
}

// past returns how far a level board runs past the inside of the legs. One that
// is longer by a single leg covers only one of them.
func (s frameShape) past(p estimate.FramePiece) [2]measure.Length {
	more := p.Length - s.inside.W
	switch {
	case more <= 0:
		return [2]measure.Length{}
	case more == s.leg.Width:
		return [2]measure.Length{0, more}
	}
	return [2]measure.Length{more / 2, more / 2}
}

// boardsOf returns the outlines of the boards of a frame, as they lie together.
//
// A leg ends below a head that covers it, and beside one that does not; its foot
// is where its length ends. Mitered boards meet from corner to corner.
//
// Source: geometry
func boardsOf(f estimate.Frame) []stroke {
	s := shapeOf(f)
	w, h, leg := s.inside.W, s.inside.H, s.leg.Width
	top := h + s.head.Width
	if s.mitered {
		foot := -s.bottom.Width
		a, b, c, d := point{-leg, top}, point{w + leg, top}, point{w + leg, foot}, point{-leg, foot}
		a2, b2, c2, d2 := point{0, h}, point{w, h}, point{w, 0}, point{0, 0}
		return append([]stroke{board("head", a, b, b2, a2), board("leg", a, a2, d2, d), board("leg", b, c, c2, b2), board("bottom", d, d2, c2, c)}, mullsOf(f, s)...)
	}
	out := []stroke{squareBoard("head", point{-s.headPast[0], h}, point{w + s.headPast[1], top})}
	for side, x := range [2]measure.Length{-leg, w} {
		y := top
		if s.headPast[side] > 0 {
			y = h
		}
		out = append(out, squareBoard("leg", point{x, y - s.leg.Length}, point{x + leg, y}))
	}
	if s.bottom.Length > 0 {
		out = append(out, squareBoard("bottom", point{-s.footPast[0], -s.bottom.Width}, point{w + s.footPast[1], 0}))
	}
	return append(out, mullsOf(f, s)...)
}

// mullsOf returns the outlines of the boards over the joints of joined units.
func mullsOf(f estimate.Frame, s frameShape) (out []stroke) {
	for _, at := range f.MullCenters {
		if s.level.Length > 0 {
			y := s.inside.H - at
			out = append(out, squareBoard("level mull", point{0, y - s.level.Width/2}, point{s.level.Length, y + s.level.Width/2}))
		} else if s.mull.Length > 0 {
			out = append(out, squareBoard("mull", point{at - s.mull.Width/2, s.inside.H - s.mull.Length}, point{at + s.mull.Width/2, s.inside.H}))
		}
	}
	return out
}

// bounds returns the lower left and the upper right corner of a drawing.
func bounds(strokes []stroke) (low, high point) {
	low, high = strokes[0].line[0], strokes[0].line[0]
	for _, s := range strokes {
		for _, p := range s.line {
			low = point{min(low.x, p.x), min(low.y, p.y)}
			high = point{max(high.x, p.x), max(high.y, p.y)}
		}
	}
	return low, high
}

// drawFrame returns the elevation of a frame with the sizes that a saw and a
// tape need; words writes a length, offset is how far dimension lines stand off.
func drawFrame(f estimate.Frame, offset measure.Length, words func(measure.Length) string) elevation {
	s := shapeOf(f)
	e := elevation{strokes: boardsOf(f)}
	low, high := bounds(e.strokes)
	mid := point{s.inside.W / 2, s.inside.H / 2}
	say := func(at point, side, what string) { e.captions = append(e.captions, caption{at, what, side}) }
	above := func(x, y measure.Length, what string) { say(point{x, y + offset*2/3}, "ctr", what) }
	named := func(p estimate.FramePiece) string { return string(p.Name) + " " + words(p.Length) }

	g := f.Gap
	round := rectangle(point{g.Legs, g.Bottom}, point{s.inside.W - g.Legs, s.inside.H - g.Head})
	e.strokes = append(e.strokes, stroke{"frame", round, xlsx.PenDashed})
	right := s.inside.W + s.leg.Width
	above(mid.x, high.y, named(s.head))
	say(point{right, mid.y}, "r", named(s.leg))
	if s.bottom.Length > 0 {
		x := mid.x
		if s.mull.Length > 0 {
			x = f.MullCenters[0] / 2 // clear of the mulls
		}
		above(x, g.Bottom, named(s.bottom))
	}
	e.dimension(point{low.x - offset, low.y}, point{low.x - offset, high.y}, offset/3)
	say(point{low.x - offset, mid.y}, "l", words(high.y-low.y))
	e.dimension(point{low.x, low.y - offset}, point{high.x, low.y - offset}, offset/3)
	say(point{mid.x, low.y - offset}, "b", words(high.x-low.x))
	before := measure.Length(0)
	for i, at := range f.MullCenters {
		middle := (before + at) / 2 // clear of the mull before
		before = at
		step := measure.Length(2*i+2) * offset
		if s.level.Length > 0 {
			x := step
			e.dimension(point{x, s.inside.H}, point{x, s.inside.H - at}, offset/3)
			say(point{x, s.inside.H - middle}, "r", words(at))
			continue
		}
		y := s.inside.H - step
		e.dimension(point{0, y}, point{at, y}, offset/3)
		say(point{middle, y}, "b", words(at))
	}
	if len(f.MullCenters) == 0 {
		say(mid, "ctr", "fits "+words(f.Size.W)+" x "+words(f.Size.H))
	}
	if n := len(f.MullCenters); n > 0 {
		last := f.MullCenters[n-1]
		if s.level.Length > 0 {
			above(mid.x, s.inside.H-last+s.level.Width/2, named(s.level))
		} else if s.mull.Length > 0 {
			say(point{last + s.mull.Width/2, mid.y}, "r", named(s.mull))
		}
	}
	return e
}

// rectangle returns the closed line round a rectangle by two opposite corners.
func rectangle(from, to point) []point {
	return []point{from, {to.x, from.y}, to, {from.x, to.y}, from}
}

// dimension adds a line with a tick at either end, along an axis.
func (e *elevation) dimension(from, to point, tick measure.Length) {
	across := point{tick, 0}
	if from.y == to.y {
		across = point{0, tick}
	}
	ends := func(p point) [2]point {
		return [2]point{{p.x - across.x, p.y - across.y}, {p.x + across.x, p.y + across.y}}
	}
	a, b := ends(from), ends(to)
	e.strokes = append(e.strokes, stroke{"size", []point{a[0], a[1], from, to, b[0], b[1]}, xlsx.PenThin})
}
