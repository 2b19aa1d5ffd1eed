package pricing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// joined is a requirement whose pieces, so many, are joined of parts; at is
// where, in words.
type joined struct {
	row   int
	count int64
	at    string
}

// tight is a requirement on hold whose pieces are planned shorter than with their
// extra length, for no stock is longer.
type tight struct {
	row     int
	planned measure.Length
}

// leftOut is a requirement whose pieces no stock serves.
type leftOut struct {
	row             int
	state, what, do string
}

// cutter plans an item that is cut from the stock of one supplier.
type cutter struct {
	b             *buyer
	item          estimate.Item
	rows          []int
	offers        []Offer // longest first
	onHand        []estimate.OnHand
	kerf, endTrim measure.Length
}

// cut plans the cutting of an item from one supplier's stock, at the least
// cost and no more: candidate.improve plans on what is bought.
//
// Pieces of an item that may be joined where that is cheaper are split where
// they are longer than a limit, which is tried at each stock's length: a further
// stock on offer then never makes the plan dearer. Of equal costs the fewest
// joints win. Where only a piece that is too long is joined, the limit is the
// longest stock.
func (b *buyer) cut(offers []Offer, n need) candidate {
	c := b.cutter(offers, n)
	var best candidate
	for i, limit := range c.limits() {
		if i > 0 && c.longest() <= max(limit, c.b.job.ShortestJoined) {
			continue // nothing is split: the same as before
		}
		if plan := c.plan(limit); i == 0 || plan.better(best, c.item.Joint) {
			best = plan
		}
	}
	return best
}

func (b *buyer) cutter(offers []Offer, n need) cutter {
	c := cutter{b: b, item: n.item, rows: n.rows, offers: offers, onHand: b.onHand(n.item.Key)}
	if n.item.Class == estimate.ClassBoards {
		c.kerf, c.endTrim = b.job.Kerf, b.job.EndTrim
	}
	c.kerf, c.endTrim = n.item.Kerf.Or(c.kerf), n.item.EndTrim.Or(c.endTrim)
	return c
}

// maxLimits is how many limits of joined pieces are tried.
const maxLimits = 12

// limits returns the lengths of piece to try, longest first, no more than maxLimits: what is on hand,
// what each stock gives, and of a coil at most what the brake bends. An item
// that is not joined has only the first, one that is joined as the last resort
// no stock but the longest.
func (c *cutter) limits() []measure.Length {
	longest := measure.Length(0)
	for _, h := range c.onHand {
		longest = max(longest, h.Length)
	}
	var out []measure.Length
	add := func(l measure.Length) {
		l = c.bent(l)
		if n := len(out); n == 0 || c.item.Joint != estimate.JointNever && l > c.item.Lap && l < out[n-1] {
			out = append(out, l)
		}
	}
	for i, o := range c.offers {
		l := measure.Length(o.Amount) - 2*c.endTrim
		if i == 0 && longest > l {
			add(longest)
		}
		if i == 0 || c.item.Joint == estimate.JointCheap {
			add(l)
		}
	}
	if len(out) == 0 {
		add(longest)
	}
	if n := len(out) - 1; n >= maxLimits {
		for i := range maxLimits {
			out[i] = out[i*n/(maxLimits-1)]
		}
		out = out[:maxLimits]
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

// withExtra returns the length that a piece is to take on its board: one that waits
// for a measurement a little more, so that what is measured comes out of it.
func (c *cutter) withExtra(r estimate.Requirement) measure.Length {
	if r.Held != "" {
		return r.Length + c.b.job.MeasuringAllowance
	}
	return r.Length
}

// planned returns the length that a piece takes on its board in one piece: with its
// extra length, or all of the longest stock where only without it the piece fits.
func (c *cutter) planned(r estimate.Requirement) measure.Length {
	if longest := c.limits()[0]; r.Length <= longest {
		return min(c.withExtra(r), longest)
	}
	return c.withExtra(r)
}

// plan plans the cutting with pieces up to a limit.
func (c *cutter) plan(limit measure.Length) candidate {
	var out candidate
	var pieces []CutPiece
	for _, row := range c.rows {
		parts, left := c.pieces(row, limit)
		pieces = append(pieces, parts...)
		out.left = append(out.left, left...)
		if len(parts) > 1 {
			out.joined = append(out.joined, c.joint(row, parts))
		}
		if len(parts) == 1 && parts[0].Length < c.withExtra(c.b.takeoff.Requirements[row]) {
			out.tight = append(out.tight, tight{row, parts[0].Length})
		}
	}
	for len(pieces) > 0 {
		all := pieces
		out.spares = 0
		if spare, ok := c.spare(pieces); ok {
			all = append(slices.Clone(pieces), spare)
			out.spares = spare.Count
		}
		p := c.solve(all)
		short := c.short(p)
		if len(short) == 0 && len(p.Plan.Boards) > 0 {
			out.buyFor(p, c.item)
			break
		}
		if len(short) == 0 || len(p.Plan.Boards) == 0 {
			return c.tooMany()
		}
		short = slices.DeleteFunc(short, func(l leftOut) bool { return c.shorten(pieces, l.row, &out) })
		out.left = append(out.left, short...)
		pieces = slices.DeleteFunc(pieces, func(p CutPiece) bool {
			return slices.ContainsFunc(short, func(l leftOut) bool { return l.row == p.Requirement })
		})
	}
	return out
}

// shorten plans the pieces of a requirement as long as the longest stock on offer, where
// with their extra length only what is on hand holds them, and there is too little of it.
// It reports false where they do not fit that either.
func (c *cutter) shorten(pieces []CutPiece, row int, out *candidate) bool {
	offered := c.offered()
	i := slices.IndexFunc(pieces, func(p CutPiece) bool { return p.Requirement == row })
	if pieces[i].Parts > 1 || pieces[i].Length <= offered || c.b.takeoff.Requirements[row].Length > offered {
		return false
	}
	pieces[i].Length = offered
	out.tight = append(slices.DeleteFunc(out.tight, func(t tight) bool { return t.row == row }), tight{row, offered})
	return true
}

// offered returns the longest piece that the stock on offer gives.
func (c *cutter) offered() measure.Length {
	if len(c.offers) == 0 {
		return 0
	}
	return c.bent(measure.Length(c.offers[0].Amount) - 2*c.endTrim)
}

// bent returns a length of the item, of a coil no more than the brake bends.
func (c *cutter) bent(l measure.Length) measure.Length {
	if c.item.Coil > 0 && c.b.job.BrakeLength > 0 {
		return min(l, c.b.job.BrakeLength)
	}
	return l
}

// short returns the requirements that a plan has no board for: what is on hand
// is too short, or too little of it is long enough.
func (c *cutter) short(p CutPlan) (left []leftOut) {
	for _, i := range p.Plan.Unplaced {
		piece := p.Pieces[i]
		if p.Shelves != nil {
			piece = p.Pieces[p.Shelves[i][0]]
		}
		if piece.Spare() || slices.ContainsFunc(left, func(l leftOut) bool { return l.row == piece.Requirement }) {
			continue
		}
		left = append(left, c.tooLong(piece.Requirement, piece.Length, c.limits()[0]))
	}
	return left
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
	if whole.Length <= limit || !c.joinable(r.Length) && whole.Length <= c.limits()[0] {
		return []CutPiece{whole}, nil
	}
	var lengths []measure.Length
	if c.joinable(r.Length) {
		whole.Length = c.withExtra(r)
		lengths = estimate.JoinedPieces(whole.Length, limit, c.item.Lap, c.b.job.MinPart)
	}
	if len(lengths) == 0 {
		return nil, []leftOut{c.tooLong(row, whole.Length, limit)}
	}
	parts := make([]CutPiece, len(lengths))
	for i, l := range lengths {
		parts[i] = whole
		parts[i].Length, parts[i].Part, parts[i].Parts = l, i+1, len(lengths)
	}
	return parts, nil
}

// tooLong leaves out a requirement for a piece that no stock is long enough for.
func (c *cutter) tooLong(row int, length, limit measure.Length) leftOut {
	r := c.b.takeoff.Requirements[row]
	return leftOut{row, TooLong,
		fmt.Sprintf("%s: %s of %s is longer than any stock of %s, the longest piece it gives is %s; it is left out",
			c.b.takeoff.Openings[r.Opening].Mark, r.Name, c.feet(length), c.item.Key, c.feet(max(0, limit))),
		c.longer(length)}
}

// joinable reports whether a piece of a length may be joined of parts.
func (c *cutter) joinable(length measure.Length) bool {
	return c.item.Joint != estimate.JointNever && length > c.b.job.ShortestJoined
}

// longer says what would serve a piece that no stock is long enough for.
func (c *cutter) longer(length measure.Length) string {
	stock := "offer stock of " + c.feet(length+2*c.endTrim) + " or longer in the price list"
	switch {
	case c.item.Joint == estimate.JointNever:
		return stock + ", or allow a joint on Items"
	case !c.joinable(length):
		return stock + "; Job joins no piece up to " + c.feet(c.b.job.ShortestJoined)
	}
	return stock + "; no joint leaves parts of at least " + c.feet(c.b.job.MinPart)
}

// joint says where the parts of a requirement meet, from its left or top end.
func (c *cutter) joint(row int, parts []CutPiece) joined {
	var at []string
	end := measure.Length(0)
	for _, p := range parts[:len(parts)-1] {
		end += p.Length
		at = append(at, c.feet(end))
		end -= c.item.Lap
	}
	return joined{row, parts[0].Count, strings.Join(at, ", ")}
}

func (c *cutter) feet(l measure.Length) string {
	if c.b.job.MM {
		return measure.FormatMM(l) + " mm"
	}
	return measure.FormatFeetInches(l, 16)
}

// spares returns how many spare pieces of the item the job asks for.
func (c *cutter) spares() int64 {
	if c.item.Class == estimate.ClassBoards {
		return c.b.job.SpareBoards
	}
	return c.b.job.SpareTape
}

// spare returns the job's spare pieces of the item, as long as the longest of its pieces
// that is cut with others: beside it the longest stock has room for the shortest one. For
// a piece that takes a board of its own no second board is bought.
func (c *cutter) spare(pieces []CutPiece) (CutPiece, bool) {
	n := c.spares()
	if n <= 0 || len(pieces) == 0 {
		return CutPiece{}, false
	}
	shortest := slices.MinFunc(pieces, func(p, q CutPiece) int { return cmp.Compare(p.Length, q.Length) }).Length
	stock := c.longestStock()
	shared := slices.DeleteFunc(slices.Clone(pieces), func(p CutPiece) bool { return p.Length+c.kerf+shortest > stock })
	if len(shared) == 0 {
		return CutPiece{}, false
	}
	s := slices.MaxFunc(shared, func(p, q CutPiece) int {
		return cmp.Or(cmp.Compare(p.Length, q.Length), cmp.Compare(p.Width, q.Width))
	})
	s.Requirement, s.Opening, s.Count, s.Part, s.Parts = -1, -1, n, 1, 1
	return s, true
}

// longestStock returns the longest stock on offer or on hand, without what its ends are
// squared by.
func (c *cutter) longestStock() measure.Length {
	longest := measure.Length(0)
	for _, o := range c.offers {
		longest = max(longest, measure.Length(o.Amount)-2*c.endTrim)
	}
	for _, h := range c.onHand {
		longest = max(longest, h.Length)
	}
	return longest
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

// solve plans the boards of the pieces, from what is on hand and what is
// offered. The ends of what is on hand are square.
func (c *cutter) solve(pieces []CutPiece) CutPlan {
	p := CutPlan{Pieces: pieces, Offers: c.offers, Problem: cut.Problem{Kerf: c.kerf, HeadTrim: c.endTrim, TailTrim: c.endTrim, Roll: c.kerf == 0}}
	for _, o := range c.offers {
		p.Problem.Stocks = append(p.Problem.Stocks, cut.Stock{Length: measure.Length(o.Amount), Price: o.Price, Available: -1})
	}
	for _, h := range c.onHand {
		p.Problem.Stocks = append(p.Problem.Stocks, cut.Stock{Length: h.Length, Available: int(min(h.Count, cut.MaxPieces)), Trimmed: true})
	}
	if c.item.Coil > 0 {
		p.Problem.Pieces, p.Shelves = c.shelves(pieces)
	} else {
		for _, piece := range pieces {
			p.Problem.Pieces = append(p.Problem.Pieces, c.cutPiece(piece))
		}
	}
	p.Problem.Effort = c.b.effort()
	p.draft = cut.MinimizeCost(p.Problem)
	p.Plan = p.draft.Cheapest()
	c.b.work += p.Plan.Work
	return p
}

// cutPiece returns a piece with its preferences for a place on the board. A spare
// is left whole, as what is held.
func (c *cutter) cutPiece(p CutPiece) cut.Piece {
	out := cut.Piece{Length: p.Length, Count: int(p.Count), Label: c.label(p), Held: p.Spare()}
	if !p.Spare() {
		r := c.b.takeoff.Requirements[p.Requirement]
		out.Held, out.FactoryEnd, out.Pair = r.Held != "", r.Factory, r.Pair
	}
	return out
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
