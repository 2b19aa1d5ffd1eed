package pricing

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// CutPiece is Count like pieces of a cutting plan.
type CutPiece struct {
	Requirement int // index into Takeoff.Requirements, -1 of a spare
	Opening     int // index into Takeoff.Openings, -1 of a spare
	Length      measure.Length
	Width       measure.Length // across a coil, else 0
	Count       int64
	Part, Parts int // of a piece that is joined of parts; 1 of 1 is whole
}

// Spare reports whether the piece serves no opening.
func (p CutPiece) Spare() bool { return p.Requirement < 0 }

// CutPlan is how the pieces of an item are cut. Problem.Pieces are Pieces in
// their order; of a coil, whose pieces lie side by side, they are Shelves.
type CutPlan struct {
	Pieces  []CutPiece
	Shelves [][]int // of a coil: the pieces that lie side by side, indices into Pieces
	Offers  []Offer // of Problem.Stocks, in their order
	Problem cut.Problem
	Plan    cut.Plan
}

// On returns the pieces of a board, indices into Pieces, in the order of the
// saw: one list for each length cut off, with several pieces in it when they
// lie side by side on a coil.
func (c CutPlan) On(b cut.Board) [][]int {
	out := make([][]int, len(b.Pieces))
	for i, k := range b.Pieces {
		out[i] = []int{k}
		if c.Shelves != nil {
			out[i] = c.Shelves[k]
		}
	}
	return out
}

// leftOut is a requirement whose pieces no stock serves.
type leftOut struct {
	row             int
	state, what, do string
}

// cutter plans an item that is cut from the stock of one supplier.
type cutter struct {
	b              *buyer
	item           estimate.Item
	rows           []int
	offers         []Offer // longest first
	kerf, squaring measure.Length
}

// cut plans the cutting of an item from one supplier's stock.
//
// Pieces of an item that may be joined are split where they are longer than a
// limit, which is tried at each stock's length: a further stock on offer then
// never makes the plan dearer. Of equal costs the fewest joints win.
func (b *buyer) cut(offers []Offer, n need) candidate {
	c := cutter{b: b, item: n.item, rows: n.rows, offers: offers}
	if n.item.Class == "boards" {
		c.kerf, c.squaring = b.job.Kerf, b.job.Squaring
	}
	c.kerf, c.squaring = n.item.Kerf.Or(c.kerf), n.item.Squaring.Or(c.squaring)
	var best candidate
	for i, limit := range c.limits() {
		if i > 0 && c.longest() <= limit {
			continue // nothing is split: the same as before
		}
		if plan := c.plan(limit); i == 0 || plan.better(best) {
			best = plan
		}
	}
	return best
}

// limits returns the lengths of piece to try, longest first: what each stock
// gives, and of a coil at most what the brake bends. An item without joint has
// only the first.
func (c *cutter) limits() []measure.Length {
	var out []measure.Length
	for i, o := range c.offers {
		l := measure.Length(o.Amount) - 2*c.squaring
		if c.item.Coil > 0 && c.b.job.LongestBend > 0 {
			l = min(l, c.b.job.LongestBend)
		}
		if i == 0 || c.item.Joint && l > c.item.Lap && l != out[len(out)-1] {
			out = append(out, l)
		}
	}
	return out
}

func (c *cutter) longest() measure.Length {
	var longest measure.Length
	for _, row := range c.rows {
		longest = max(longest, c.planned(c.b.takeoff.Requirements[row]))
	}
	return longest
}

// planned returns the length that a piece takes on its board: one that waits
// for a measurement a little more, so that what is measured comes out of it.
func (c *cutter) planned(r estimate.Requirement) measure.Length {
	if r.Held != "" {
		return r.Length + c.b.job.MeasuringAllowance
	}
	return r.Length
}

// plan plans the cutting with pieces up to a limit.
func (c *cutter) plan(limit measure.Length) candidate {
	var out candidate
	var pieces []CutPiece
	for _, row := range c.rows {
		parts, left := c.pieces(row, limit)
		pieces = append(pieces, parts...)
		out.left = append(out.left, left...)
	}
	if spare, ok := c.spare(pieces); ok {
		pieces = append(pieces, spare)
		out.spares = spare.Count
	}
	for _, p := range pieces {
		out.toBuy += p.Count * stockLength(p.Length, p.Width, c.item)
	}
	if len(pieces) == 0 {
		return out
	}
	p, ok := c.solve(pieces)
	if !ok {
		return c.tooMany()
	}
	out.plans = []CutPlan{p}
	counts := make([]int64, len(c.offers))
	for _, board := range p.Plan.Boards {
		counts[board.Stock]++
	}
	out.take(c.offers, counts)
	return out
}

// pieces returns the pieces of a requirement at all its openings, in parts
// where they are longer than the limit and may be joined.
func (c *cutter) pieces(row int, limit measure.Length) ([]CutPiece, []leftOut) {
	r := c.b.takeoff.Requirements[row]
	o := c.b.takeoff.Openings[r.Opening]
	whole := CutPiece{Requirement: row, Opening: r.Opening, Length: c.planned(r), Width: widthOf(r, c.item), Count: r.Count * o.Qty, Part: 1, Parts: 1}
	if whole.Width > c.item.Coil {
		return nil, []leftOut{{row, TooWide,
			fmt.Sprintf("%s: %s %s wide is wider than the coil of %s, %s; it is left out", o.Mark, r.Name, c.feet(whole.Width), c.item.Key, c.feet(c.item.Coil)),
			"choose a wider coil on Items, or another way to make the piece"}}
	}
	if whole.Length <= limit {
		return []CutPiece{whole}, nil
	}
	var lengths []measure.Length
	if c.item.Joint {
		lengths = estimate.LapPieces(whole.Length, limit, c.item.Lap)
	}
	if len(lengths) == 0 {
		return nil, []leftOut{{row, TooLong,
			fmt.Sprintf("%s: %s of %s is longer than any stock of %s, the longest piece it gives is %s; it is left out", o.Mark, r.Name, c.feet(whole.Length), c.item.Key, c.feet(max(0, limit))),
			"offer a longer stock in the price list, or allow a joint on Items"}}
	}
	parts := make([]CutPiece, len(lengths))
	for i, l := range lengths {
		parts[i] = whole
		parts[i].Length, parts[i].Part, parts[i].Parts = l, i+1, len(lengths)
	}
	return parts, nil
}

func (c *cutter) feet(l measure.Length) string {
	if c.b.job.MM {
		return measure.FormatMM(l) + " mm"
	}
	return measure.FormatFeetInches(l, 16)
}

// spare returns the job's spare pieces of the item, as long as its longest
// piece.
func (c *cutter) spare(pieces []CutPiece) (CutPiece, bool) {
	n := c.b.job.SpareStrips
	if c.item.Class == "boards" {
		n = c.b.job.SpareBoards
	}
	if n <= 0 || len(pieces) == 0 {
		return CutPiece{}, false
	}
	s := slices.MaxFunc(pieces, func(p, q CutPiece) int {
		return cmp.Or(cmp.Compare(p.Length, q.Length), cmp.Compare(p.Width, q.Width))
	})
	s.Requirement, s.Opening, s.Count, s.Part, s.Parts = -1, -1, n, 1, 1
	return s, true
}

// tooMany leaves out all pieces: there are more than can be planned.
func (c *cutter) tooMany() candidate {
	var out candidate
	for _, row := range c.rows {
		r := c.b.takeoff.Requirements[row]
		out.left = append(out.left, leftOut{row, TooMany,
			fmt.Sprintf("%s: %s is left out: %s has more pieces than can be planned", c.b.takeoff.Openings[r.Opening].Mark, r.Name, c.item.Key),
			"divide the job, or check Qty"})
	}
	return out
}

// solve plans the boards of the pieces, every one of which fits a stock. ok is
// false if there are too many.
func (c *cutter) solve(pieces []CutPiece) (p CutPlan, ok bool) {
	p = CutPlan{Pieces: pieces, Offers: c.offers, Problem: cut.Problem{Kerf: c.kerf, Head: c.squaring, Tail: c.squaring, CostOnly: true}}
	for _, o := range c.offers {
		p.Problem.Stocks = append(p.Problem.Stocks, cut.Stock{Length: measure.Length(o.Amount), Price: o.Price, Available: -1})
	}
	if c.item.Coil > 0 {
		p.Problem.Pieces, p.Shelves = c.shelves(pieces)
	} else {
		for _, piece := range pieces {
			p.Problem.Pieces = append(p.Problem.Pieces, cut.Piece{Length: piece.Length, Count: int(piece.Count), Label: c.label(piece)})
		}
	}
	p.Plan = cut.Solve(p.Problem)
	return p, len(p.Plan.Boards) > 0 && len(p.Plan.Short) == 0
}

// shelves lays pieces side by side on the coil. Its shelves are what is cut
// off the coil's lengths.
func (c *cutter) shelves(pieces []CutPiece) (lengths []cut.Piece, on [][]int) {
	strips := make([]cut.Strip, len(pieces))
	for i, p := range pieces {
		strips[i] = cut.Strip{Length: p.Length, Width: p.Width, Count: int(p.Count)}
	}
	shelves, _ := cut.Shelves(strips, c.item.Coil)
	for _, s := range shelves {
		label := c.label(pieces[s.Strips[0]])
		if n := len(s.Strips); n > 1 {
			label += fmt.Sprintf(" and %d more", n-1)
		}
		lengths = append(lengths, cut.Piece{Length: s.Length, Count: 1, Label: label})
		on = append(on, s.Strips)
	}
	return lengths, on
}

// label names a piece for a cutting list: mark and name, and the part.
func (c *cutter) label(p CutPiece) string {
	if p.Spare() {
		return "spare"
	}
	r := c.b.takeoff.Requirements[p.Requirement]
	label := c.b.takeoff.Openings[p.Opening].Mark + " " + r.Name
	if p.Parts > 1 {
		label += fmt.Sprintf(" %d of %d", p.Part, p.Parts)
	}
	return label
}
