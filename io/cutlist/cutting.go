package cutlist

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// Cutting is a list of pieces with the stock for it and the way it is cut.
type Cutting struct {
	Pieces  []Piece
	Stocks  []Stock
	Problem cut.Problem // its Pieces and Stocks are those above, in their order
	Plan    cut.Plan
	Unit    measure.Unit // in which lengths are written: Millimeters, or else inches
}

// New returns the cutting of pieces out of stock with a saw of the given kerf,
// its plan still to be made. trim is squared off both ends of every board.
func New(pieces []Piece, stocks []Stock, kerf, trim measure.Length, unit measure.Unit) Cutting {
	c := Cutting{Pieces: pieces, Stocks: stocks, Unit: unit, Problem: cut.Problem{Kerf: kerf, HeadTrim: trim, TailTrim: trim}}
	for _, p := range pieces {
		c.Problem.Pieces = append(c.Problem.Pieces, p.Piece)
	}
	for _, s := range stocks {
		c.Problem.Stocks = append(c.Problem.Stocks, s.Stock)
	}
	return c
}

// Layout is boards that are cut alike, the labels of the pieces included.
type Layout struct {
	Boards []int // of Plan.Boards
	Runs   []Run // from the longest piece
}

// Run is Count pieces on a board that have all in common: length, label and
// marks. Piece is the first such of Pieces.
type Run struct{ Count, Piece int }

// Layouts returns the boards of the plan by layout, from the longest stock.
func (c Cutting) Layouts() []Layout {
	alike := c.alike()
	var out []Layout
	at := map[string]int{}
	for i, b := range c.Plan.Boards {
		runs := c.runs(b, alike)
		key := fmt.Sprint(b.Stock, runs)
		k, known := at[key]
		if !known {
			k = len(out)
			at[key] = k
			out = append(out, Layout{Runs: runs})
		}
		out[k].Boards = append(out[k].Boards, i)
	}
	return out
}

// alike returns, for each piece, the first that has all in common with it.
func (c Cutting) alike() []int {
	type kind struct {
		length        measure.Length
		label         string
		held, factory bool
	}
	first := map[kind]int{}
	out := make([]int, len(c.Pieces))
	for i, p := range c.Pieces {
		k := kind{p.Length, p.Label, p.Held, p.FactoryEnd}
		if _, known := first[k]; !known {
			first[k] = i
		}
		out[i] = first[k]
	}
	return out
}

func (c Cutting) runs(b cut.Board, alike []int) (out []Run) {
	pieces := make([]int, len(b.Pieces))
	for k, i := range b.Pieces {
		pieces[k] = alike[i]
	}
	slices.SortFunc(pieces, func(i, j int) int {
		return cmp.Or(cmp.Compare(c.Pieces[j].Length, c.Pieces[i].Length), cmp.Compare(i, j))
	})
	for _, i := range pieces {
		if n := len(out); n > 0 && out[n-1].Piece == i {
			out[n-1].Count++
			continue
		}
		out = append(out, Run{1, i})
	}
	return out
}

// Offcut is the Piece of a Part that is left over.
const Offcut = -1

// Part is a part of a board: a piece by its index, or Offcut. Start is where it
// begins, measured from the end of the board that the saw begins at.
type Part struct {
	Piece         int
	Start, Length measure.Length
}

// Parts returns what becomes of a board, in cutting order. An offcut
// stands last, or before a last piece that is to have the other factory end.
func (c Cutting) Parts(b cut.Board) []Part {
	var parts []Part
	at := c.Problem.HeadTrim
	add := func(piece int, l measure.Length) {
		parts = append(parts, Part{piece, at, l})
		at += l + c.Problem.Kerf
	}
	last := len(b.Pieces) - 1
	for k, i := range b.Pieces {
		if far := k == last && k > 0 && c.farEnd(b, i); far {
			if b.Offcut > 0 {
				add(Offcut, b.Offcut)
			}
			at = c.Stocks[b.Stock].Length - c.Pieces[i].Length
			add(i, c.Pieces[i].Length)
			return parts
		}
		add(i, c.Pieces[i].Length)
	}
	if b.Offcut > 0 {
		add(Offcut, b.Offcut)
	}
	return parts
}

// farEnd reports whether a piece that is cut last is to end where the board
// does. Stock on hand has no factory end that is known.
func (c Cutting) farEnd(b cut.Board, piece int) bool {
	s := c.Stocks[b.Stock]
	onHand := s.Price == 0 && s.Available > 0
	return c.Pieces[piece].FactoryEnd && c.Problem.TailTrim == 0 && !onHand
}

// Boards returns how many boards of each stock the plan takes.
func (c Cutting) Boards() []int {
	out := make([]int, len(c.Stocks))
	for _, b := range c.Plan.Boards {
		out[b.Stock]++
	}
	return out
}

// NotCut returns how many of each piece are on no board.
func (c Cutting) NotCut() []int {
	out := make([]int, len(c.Pieces))
	for i, p := range c.Pieces {
		out[i] = p.Count
	}
	for _, b := range c.Plan.Boards {
		for _, i := range b.Pieces {
			out[i]--
		}
	}
	return out
}

// Problems returns what the plan leaves out: pieces that are longer than every
// stock, and those for which it has run out. Stock that is all trim is worth a
// warning.
func (c Cutting) Problems() []estimate.Problem {
	var ps []estimate.Problem
	add := func(at estimate.Place, sev estimate.Severity, what, do string) {
		ps = append(ps, estimate.Problem{Place: at, Severity: sev, What: what, Do: do})
	}
	trim := c.Problem.HeadTrim + c.Problem.TailTrim
	var longest measure.Length
	for _, s := range c.Stocks {
		longest = max(longest, s.Length-trim)
		if s.Length <= trim {
			add(s.At, estimate.Warning, "nothing is left of it between the trim of both ends", "leave the row out, or cut with less --end-trim")
		}
	}
	for i, n := range c.NotCut() {
		p := c.Pieces[i]
		serves := fmt.Sprintf("stock of %s or longer", c.WithUnit(p.Length+trim))
		switch {
		case n == 0:
		case p.Length > longest:
			add(p.LengthAt, estimate.Error, fmt.Sprintf("%s is longer than every stock takes, which is %s at most", c.PieceWords(i), c.WithUnit(longest)),
				"add "+serves+", or cut the piece as two")
		default:
			add(p.CountAt, estimate.Error, fmt.Sprintf("%d of %d x %s are not cut, because the stock has run out", n, p.Count, c.PieceWords(i)),
				"add "+serves+", or make more available")
		}
	}
	return ps
}

// PieceWords names a piece: its length, its label and what is marked.
func (c Cutting) PieceWords(i int) string {
	p := c.Pieces[i]
	words := c.Words(p.Length)
	if p.Label != "" {
		words += " " + p.Label
	}
	if p.FactoryEnd {
		words += " (factory end)"
	}
	if p.Held {
		words += " ON HOLD"
	}
	return words
}

// UnitWord returns the unit in which lengths are written: in or mm.
func (c Cutting) UnitWord() string {
	if c.Unit == measure.Millimeters {
		return "mm"
	}
	return "in"
}

// Decimal returns a length as a decimal number of the unit.
func (c Cutting) Decimal(l measure.Length) string {
	v := l.Inches()
	if c.Unit == measure.Millimeters {
		v = float64(l) / float64(measure.Millimeter)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Words returns a length as people of the trade write it, without the unit:
// with a fraction in inches if it is on a mark of 1/64, else with decimals.
func (c Cutting) Words(l measure.Length) string {
	if c.Unit == measure.Millimeters || l%measure.SixtyFourth != 0 {
		return c.Decimal(l)
	}
	return measure.FormatInches(l, 64)
}

// WithUnit returns a length as Words does, with the unit.
func (c Cutting) WithUnit(l measure.Length) string { return c.Words(l) + " " + c.UnitWord() }

// Price returns an amount with two decimals, or with four if prices of the
// stock have more than two.
func (c Cutting) Price(p measure.UnitPrice) string {
	const cent, dollar = 100, 100 * 100
	fine := p%cent != 0 || slices.ContainsFunc(c.Stocks, func(s Stock) bool { return s.Price%cent != 0 })
	if fine {
		return fmt.Sprintf("%d.%04d", p/dollar, p%dollar)
	}
	return fmt.Sprintf("%d.%02d", p/dollar, p%dollar/cent)
}
