package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// point is a place on the elevation of a trim frame: x to the right from the
// inside of the left leg, y up from the upper edge of the bottom board, or from
// where it would be.
type point struct{ x, y measure.Length }

// stroke is a line of a drawing, from point to point.
type stroke struct {
	what string
	line []point
	pen  pen
}

// pen is how a line is drawn.
type pen int

const (
	penBoard pen = iota // outline of a board
	penUnit             // what the frame goes round
	penSize             // a size, with a tick at either end
)

// caption is words beside a point: above it, below, to the left or to the right,
// or over it.
type caption struct {
	at    point
	words string
	side  string // "t", "b", "l", "r" or "ctr", as the file format has it
}

// elevation is the drawing of a trim frame, seen from outside.
type elevation struct {
	strokes  []stroke
	captions []caption
}

// board returns the closed outline of a board by its corners.
func board(what string, corners ...point) stroke {
	return stroke{what, append(corners, corners[0]), penBoard}
}

// oblong is the outline of a square-ended board.
func oblong(what string, from, to point) stroke {
	return board(what, from, point{to.x, from.y}, to, point{from.x, to.y})
}

// frameShape is what the outlines of a frame follow from.
type frameShape struct {
	inside             estimate.Size
	head, leg, bottom  estimate.FramePiece
	mull, level        estimate.FramePiece
	mitred             bool
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
	s.mitred = s.head.Mitred > 0
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
// is where its length ends. Mitred boards meet from corner to corner.
//
// Source: geometry
func boardsOf(f estimate.Frame) []stroke {
	s := shapeOf(f)
	w, h, leg := s.inside.W, s.inside.H, s.leg.Width
	top := h + s.head.Width
	if s.mitred {
		foot := -s.bottom.Width
		a, b, c, d := point{-leg, top}, point{w + leg, top}, point{w + leg, foot}, point{-leg, foot}
		a2, b2, c2, d2 := point{0, h}, point{w, h}, point{w, 0}, point{0, 0}
		return append([]stroke{board("head", a, b, b2, a2), board("leg", a, a2, d2, d), board("leg", b, c, c2, b2), board("bottom", d, d2, c2, c)}, mullsOf(f, s)...)
	}
	out := []stroke{oblong("head", point{-s.headPast[0], h}, point{w + s.headPast[1], top})}
	for side, x := range [2]measure.Length{-leg, w} {
		y := top
		if s.headPast[side] > 0 {
			y = h
		}
		out = append(out, oblong("leg", point{x, y - s.leg.Length}, point{x + leg, y}))
	}
	if s.bottom.Length > 0 {
		out = append(out, oblong("bottom", point{-s.footPast[0], -s.bottom.Width}, point{w + s.footPast[1], 0}))
	}
	return append(out, mullsOf(f, s)...)
}

// mullsOf returns the outlines of the boards over the joints of joined units.
func mullsOf(f estimate.Frame, s frameShape) (out []stroke) {
	for _, at := range f.MullCentres {
		if s.level.Length > 0 {
			y := s.inside.H - at
			out = append(out, oblong("level mull", point{0, y - s.level.Width/2}, point{s.level.Length, y + s.level.Width/2}))
		} else if s.mull.Length > 0 {
			out = append(out, oblong("mull", point{at - s.mull.Width/2, s.inside.H - s.mull.Length}, point{at + s.mull.Width/2, s.inside.H}))
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
// tape need; words writes a length, unit is how far sizes stand off.
func drawFrame(f estimate.Frame, unit measure.Length, words func(measure.Length) string) elevation {
	s := shapeOf(f)
	e := elevation{strokes: boardsOf(f)}
	low, high := bounds(e.strokes)
	mid := point{s.inside.W / 2, s.inside.H / 2}
	say := func(at point, side, what string) { e.captions = append(e.captions, caption{at, what, side}) }
	named := func(p estimate.FramePiece) string { return string(p.Name) + " " + words(p.Length) }

	g := f.Gap
	e.strokes = append(e.strokes, stroke{"goes round", closed4(point{g.Legs, g.Bottom}, point{s.inside.W - g.Legs, s.inside.H - g.Head}), penUnit})
	right := s.inside.W + s.leg.Width
	say(point{mid.x, high.y}, "t", named(s.head))
	say(point{right, mid.y}, "r", named(s.leg))
	if s.bottom.Length > 0 {
		say(point{mid.x, g.Bottom}, "t", named(s.bottom))
	}
	e.size(point{low.x - unit, low.y}, point{low.x - unit, high.y}, unit/3)
	say(point{low.x - unit, mid.y}, "l", words(high.y-low.y))
	e.size(point{low.x, low.y - unit}, point{high.x, low.y - unit}, unit/3)
	say(point{mid.x, low.y - unit}, "b", words(high.x-low.x))
	before := measure.Length(0)
	for i, at := range f.MullCentres {
		middle := (before + at) / 2 // clear of the mull before
		before = at
		step := measure.Length(2*i+2) * unit
		if s.level.Length > 0 {
			x := step
			e.size(point{x, s.inside.H}, point{x, s.inside.H - at}, unit/3)
			say(point{x, s.inside.H - middle}, "r", words(at))
			continue
		}
		y := s.inside.H - step
		e.size(point{0, y}, point{at, y}, unit/3)
		say(point{middle, y}, "b", words(at))
	}
	if len(f.MullCentres) == 0 {
		say(mid, "ctr", "round "+words(f.Size.W)+" x "+words(f.Size.H))
	}
	if n := len(f.MullCentres); n > 0 {
		last := f.MullCentres[n-1]
		if s.level.Length > 0 {
			say(point{mid.x, s.inside.H - last + s.level.Width/2}, "t", named(s.level))
		} else if s.mull.Length > 0 {
			say(point{last + s.mull.Width/2, mid.y}, "r", named(s.mull))
		}
	}
	return e
}

// closed4 returns the closed line round an oblong.
func closed4(from, to point) []point {
	return []point{from, {to.x, from.y}, to, {from.x, to.y}, from}
}

// size adds a line with a tick at either end, along an axis.
func (e *elevation) size(from, to point, tick measure.Length) {
	across := point{tick, 0}
	if from.y == to.y {
		across = point{0, tick}
	}
	ends := func(p point) [2]point {
		return [2]point{{p.x - across.x, p.y - across.y}, {p.x + across.x, p.y + across.y}}
	}
	a, b := ends(from), ends(to)
	e.strokes = append(e.strokes, stroke{"size", []point{a[0], a[1], from, to, b[0], b[1]}, penSize})
}

// mostPoints is how many points the longest stroke of a drawing has.
func (e elevation) mostPoints() int {
	return len(slices.MaxFunc(e.strokes, func(a, b stroke) int { return cmp.Compare(len(a.line), len(b.line)) }).line)
}

// Sizes of a drawing, in pixels.
const (
	drawingHeight = 440
	drawingMargin = 34 // beyond the lines, for the words beside them
)

// frameDrawing draws the elevation of a frame below what is written. The points
// of its lines stand behind the printed columns.
func (w *writer) frameDrawing(f estimate.Frame) {
	if shapeOf(f).leg.Length == 0 {
		return
	}
	p := w.frames
	p.banner(note, "Seen from outside, to scale. Dashed: what it goes round.", cardCols)
	low, high := bounds(boardsOf(f))
	// Sizes stand 14 pixels off whatever the scale.
	unit := max(high.x-low.x, high.y-low.y) * 14 / (drawingHeight - 2*drawingMargin)
	e := drawFrame(f, unit, w.u.shop)
	c := lineChart{row: p.next(), col: 1, width: pixelsOf(cardWidths), height: drawingHeight, about: "Trim frame of " + f.MarksText() + " seen from outside, to scale"}
	c.fit(e, w.u)
	most, row := e.mostPoints(), p.next()
	p.skip((c.height + rowPixels - 1) / rowPixels)
	const first = cardCols + 1
	heads := []string{"Drawn"}
	for _, axis := range [2]string{"x", "y"} {
		for i := range most {
			heads = append(heads, fmt.Sprintf("%s %d, %s", axis, i+1, w.u.name(estimate.Lengthwise)))
		}
	}
	put := func(row int, cells ...cell) {
		for i, x := range cells {
			if x.v != nil {
				p.set(row, first+i, x)
			}
		}
	}
	put(row, strs(heading, heads...)...)
	write := func(what string, line []point) lineSeries {
		row++
		xs, ys := make([]cell, most), make([]cell, most)
		for i, at := range line {
			xs[i], ys[i] = num(w.u.length(at.x), inches), num(w.u.length(at.y), inches)
		}
		put(row, append(append([]cell{str(text, what)}, xs...), ys...)...)
		n := len(line)
		return lineSeries{name: p.ref(row, first), x: p.span(row, first+1, row, first+n), y: p.span(row, first+1+most, row, first+most+n)}
	}
	for _, s := range e.strokes {
		l := write(s.what, s.line)
		l.pen = s.pen
		c.lines = append(c.lines, l)
	}
	for _, x := range e.captions {
		l := write(x.words, []point{x.at})
		l.words, l.side = x.words, x.side
		c.lines = append(c.lines, l)
	}
	p.chart(c)
}
