package cutting

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// pattern is one way to cut a board: what is cut from it, in the order of the saw.
type pattern struct {
	number, count int // its number in the plan; the boards that are cut so
	stock         cut.Stock
	parts         []part
	saw, offcut   measure.Length // cuts and squared ends; what is left
	words         string         // what is cut, and what for
}

// part is one piece of a pattern, or several like ones.
type part struct {
	length measure.Length // of each
	count  int
	marks  Groups[string, string] // of all boards of the pattern
}

// total returns what the pieces of a part measure together.
func (t part) total() measure.Length { return t.length * measure.Length(t.count) }

// mostParts are those of a pattern: beyond, like pieces are one part.
const mostParts = 14

// patterns returns the ways in which the boards of a plan are cut.
func (b Plan) patterns() []pattern {
	single := !slices.ContainsFunc(b.Plan.Boards, func(board cut.Board) bool { return len(board.Pieces) > mostParts })
	out := make([]pattern, len(b.Plan.Patterns))
	for i, l := range b.Plan.Patterns {
		boards := b.Plan.Boards[l.First : l.First+l.Count]
		x := pattern{number: i + 1, count: l.Count, stock: b.Problem.Stocks[boards[0].Stock], offcut: boards[0].Offcut}
		x.parts, x.words = b.parts(boards, single), b.cutWords(boards)
		x.saw = x.stock.Length - x.offcut
		for _, t := range x.parts {
			x.saw -= t.total()
		}
		out[i] = x
	}
	return out
}

// mostPartsOf returns how many parts that pattern has which has most.
func mostPartsOf(patterns []pattern) (most int) {
	for _, x := range patterns {
		most = max(most, len(x.parts))
	}
	return most
}

// parts returns the parts of boards that are cut alike: single pieces, or like ones in a
// row.
func (b Plan) parts(boards []cut.Board, single bool) (parts []part) {
	for i, piece := range boards[0].Pieces {
		length := b.Problem.Pieces[piece].Length
		if n := len(parts); single || n == 0 || parts[n-1].length != length {
			parts = append(parts, part{length: length})
		}
		at := &parts[len(parts)-1]
		at.count++
		for _, board := range boards {
			t := b.Piece(board.Pieces[i])
			mark := t.Mark
			if t.Held {
				mark += " ON HOLD"
			}
			m, _ := at.marks.Group(mark)
			*m = mark
		}
	}
	return parts
}

// cutOff is what is cut at one length from boards that are cut alike.
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

// cutWords lists what is cut from each of some boards that are cut alike, longest first,
// and what the pieces of all of them are for.
func (b Plan) cutWords(boards []cut.Board) string {
	var cuts Groups[measure.Length, cutOff]
	for k, board := range boards {
		for _, piece := range board.Pieces {
			length, t := b.Problem.Pieces[piece].Length, b.Piece(piece)
			c, first := cuts.Group(length)
			if first {
				c.length, c.words = length, t.Length
			}
			if k == 0 {
				c.each++
			}
			u, _ := c.uses.Group(t)
			u.text = t
			u.count++
		}
	}
	slices.SortStableFunc(cuts.List, func(x, y cutOff) int { return cmp.Compare(y.length, x.length) })
	out := make([]string, len(cuts.List))
	for i, c := range cuts.List {
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
