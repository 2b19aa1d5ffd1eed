package cutting

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// pattern is boards that are cut alike: from one stock, the same lengths in the same
// cutting order, which is the plan's. The boards of a cutting pattern of the plan have the
// same lengths, but may be cut in several orders, and are then several of these.
type pattern struct {
	number, count int // of the cutting pattern in the plan; the boards that are cut so
	stock         cut.Stock
	parts         []part         // in cutting order
	farEnd        bool           // the last part has the end where the board ends: the offcut lies before it
	saw, offcut   measure.Length // cuts and squared ends; what is left
	words         string         // what is cut, in cutting order, and what for
}

// part is one piece of a pattern, or several like ones.
type part struct {
	length measure.Length // of each
	count  int
	marks  Groups[string, string] // of all boards of the pattern
	held   bool                   // any of its pieces is on hold
}

// total returns what the pieces of a part measure together.
func (t part) total() measure.Length { return t.length * measure.Length(t.count) }

// near returns the parts that lie before the offcut.
func (x pattern) near() []part {
	if x.farEnd {
		return x.parts[:len(x.parts)-1]
	}
	return x.parts
}

// nearPart returns the k-th of them, from 0; ok is false if there are fewer.
func (x pattern) nearPart(k int) (t part, ok bool) {
	if k < len(x.near()) {
		t, ok = x.near()[k], true
	}
	return t, ok
}

// far returns the part behind the offcut; ok is false if there is none.
func (x pattern) far() (t part, ok bool) {
	if x.farEnd {
		t = x.parts[len(x.parts)-1]
	}
	return t, x.farEnd
}

// maxParts are those of a pattern: beyond, like pieces are one part.
const maxParts = 14

// patterns returns the ways in which the boards of a plan are cut.
func (b Plan) patterns() (out []pattern) {
	single := !slices.ContainsFunc(b.Plan.Boards, func(board cut.Board) bool { return len(board.Pieces) > maxParts })
	for i, l := range b.Plan.Patterns {
		for _, boards := range b.inOneOrder(b.Plan.Boards[l.First : l.First+l.Count]) {
			x := pattern{number: i + 1, count: len(boards), stock: b.Problem.Stocks[boards[0].Stock], offcut: boards[0].Offcut}
			x.farEnd = b.farEnd(boards)
			x.parts, x.words = b.parts(boards, single, x.farEnd), b.cutWords(boards)
			x.saw = x.stock.Length - x.offcut
			for _, t := range x.parts {
				x.saw -= t.total()
			}
			out = append(out, x)
		}
	}
	return out
}

// inOneOrder divides boards by the order of the lengths that are cut from them.
func (b Plan) inOneOrder(boards []cut.Board) (out [][]cut.Board) {
	sameLength := func(i, j int) bool { return b.Problem.Pieces[i].Length == b.Problem.Pieces[j].Length }
	for _, board := range boards {
		at := slices.IndexFunc(out, func(others []cut.Board) bool { return slices.EqualFunc(others[0].Pieces, board.Pieces, sameLength) })
		if at < 0 {
			at = len(out)
			out = append(out, nil)
		}
		out[at] = append(out[at], board)
	}
	return out
}

// farEnd reports whether the last piece of one of some boards that are cut alike is to
// have the end where the board ends. A board on hand, or one that is squared off there,
// has no factory end.
func (b Plan) farEnd(boards []cut.Board) bool {
	last := len(boards[0].Pieces) - 1
	if last < 1 || boards[0].Offcut == 0 || b.Problem.TailTrim > 0 || isOnHand(b.Problem.Stocks[boards[0].Stock]) {
		return false
	}
	return slices.ContainsFunc(boards, func(x cut.Board) bool { return b.Problem.Pieces[x.Pieces[last]].FactoryEnd })
}

// maxNear returns how many parts before the offcut that pattern has which has most.
func maxNear(patterns []pattern) (most int) {
	for _, x := range patterns {
		most = max(most, len(x.near()))
	}
	return most
}

// parts returns the parts of boards that are cut alike: single pieces, or like ones in a
// row. A last piece that has the far end is a part of its own.
func (b Plan) parts(boards []cut.Board, single, farEnd bool) (parts []part) {
	pieces := boards[0].Pieces
	for i, piece := range pieces {
		length, apart := b.Problem.Pieces[piece].Length, single || farEnd && i == len(pieces)-1
		if n := len(parts); apart || n == 0 || parts[n-1].length != length {
			parts = append(parts, part{length: length})
		}
		at := &parts[len(parts)-1]
		at.count++
		for _, board := range boards {
			t := b.Piece(board.Pieces[i])
			mark := t.Mark
			if t.Held {
				mark += " ON HOLD"
				at.held = true
			}
			m, _ := at.marks.Group(mark)
			*m = mark
		}
	}
	return parts
}

// cutOff is pieces of one length that are cut one after the other from boards that are
// cut alike.
type cutOff struct {
	length measure.Length
	words  string
	each   int // pieces of one board
	uses   Groups[Text, pieceUse]
}

// pieceUse is what pieces are for, and how many.
type pieceUse struct {
	text  Text
	count int
}

// cutWords lists what is cut from each of some boards that are cut alike, in cutting
// order, and what the pieces of all of them are for.
func (b Plan) cutWords(boards []cut.Board) string {
	var cuts []cutOff
	for i, piece := range boards[0].Pieces {
		length := b.Problem.Pieces[piece].Length
		if n := len(cuts); n == 0 || cuts[n-1].length != length {
			cuts = append(cuts, cutOff{length: length, words: b.Piece(piece).Length})
		}
		c := &cuts[len(cuts)-1]
		c.each++
		for _, board := range boards {
			t := b.Piece(board.Pieces[i])
			u, _ := c.uses.Group(t)
			u.text = t
			u.count++
		}
	}
	out := make([]string, len(cuts))
	for i, c := range cuts {
		out[i] = c.String()
	}
	return strings.Join(out, "; ")
}

// String writes "2 x 63  (4 W1 leg, D3 leg ON HOLD)".
func (c cutOff) String() string {
	var uses []string
	for _, u := range c.uses.List {
		what := u.text.What
		if u.text.Held {
			what = strings.TrimSpace(what + " ON HOLD")
		}
		switch {
		case what == "":
		case u.count > 1:
			uses = append(uses, fmt.Sprintf("%d %s", u.count, what))
		default:
			uses = append(uses, what)
		}
	}
	words := fmt.Sprintf("%d x %s", c.each, c.words)
	if len(uses) > 0 {
		words += "  (" + strings.Join(uses, ", ") + ")"
	}
	return words
}
