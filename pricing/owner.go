package pricing

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// ByOwner stands where a price would, of an item that the owner brings.
const ByOwner = "by owner"

// Owner is how an item stands that the owner brings: it is never bought. Amounts are in
// base units of the item's dimension; of an item that is cut, in lengths of its pieces.
type Owner struct {
	Place     estimate.Place // of Count in his first row, of those that do not say how much where one is
	Stated    string         // what his rows say that he brings; "" = nothing
	NotStated bool           // a row does not say how much: whether it is enough is not known
	Needed    int64          // with waste
	Pieces    int64          // of an item that is cut: how many are needed
	Packs     int64          // of packs that do not keep: how many are opened at least
	Longest   measure.Length // of them
	Short     int64          // what of Needed nobody has, where all rows say how much
	Lacking   int64          // how many pieces of an item that is cut, or packs that do not keep, are short

	item estimate.Item
	mm   bool
}

// IsShort reports whether something is needed that nobody has.
func (o Owner) IsShort() bool { return !o.NotStated && o.Short+o.Lacking > 0 }

// State says in words how the item stands.
func (o Owner) State() string {
	switch {
	case o.NotStated:
		return ByOwner + ", not stated how much: ask"
	case o.IsShort():
		return ByOwner + ", " + o.ShortWords() + " short"
	}
	return ByOwner
}

// ShortWords say how much nobody has; "" for nothing.
func (o Owner) ShortWords() string {
	if !o.IsShort() {
		return ""
	}
	var words []string
	switch {
	case o.Lacking > 0 && o.item.Cut:
		words = append(words, countOf(o.Lacking, "piece"))
	case o.Lacking > 0:
		words = append(words, countOf(o.Lacking, "pack"))
	}
	if o.Short > 0 {
		words = append(words, amountWords(o.item.Dim, roundedUp(o.item.Dim, o.Short, o.mm), o.mm))
	}
	return strings.Join(words, ", ")
}

func countOf(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// roundedUp rounds an amount up to what amountWords writes of it: what is short is never
// written as nothing.
func roundedUp(dim estimate.Dimension, amount int64, mm bool) int64 {
	up := func(parts, of int64) int64 { return ceilMulDiv(ceilMulDiv(amount, parts, of), of, parts) }
	switch {
	case dim == estimate.Each:
		return amount
	case dim == estimate.Lengthwise && mm:
		return up(1, int64(measure.Millimeter))
	case dim == estimate.Lengthwise:
		return up(16, int64(measure.Inch))
	case dim == estimate.Areawise && mm:
		return up(100, int64(measure.SquareMeter))
	case dim == estimate.Areawise:
		return up(100, int64(measure.SquareFoot))
	case mm:
		return up(1, int64(measure.Millilitre))
	}
	return up(1280, 231*int64(measure.CubicInch))
}

// ownerBrings returns what the owner brings of an item; nil where he brings none.
func (b *buyer) ownerBrings(n need) *Owner {
	if !b.job.OwnerBrings(n.item.Key) {
		return nil
	}
	out := &Owner{item: n.item, mm: b.job.MM}
	var stated []string
	for _, h := range b.job.OnHand {
		if h.Item != n.item.Key || h.By != estimate.ByOwner {
			continue
		}
		if out.Place == (estimate.Place{}) || h.NotStated && !out.NotStated {
			out.Place = h.At
		}
		out.NotStated = out.NotStated || h.NotStated
		if h.Count > 0 {
			one := h.Content
			if n.item.Cut {
				one = (&cutter{b: b}).feet(h.Length)
			}
			stated = append(stated, fmt.Sprintf("%d x %s", h.Count, one))
		}
	}
	out.Stated = strings.Join(stated, ", ")
	return out
}

// byOwner makes the purchase of an item that the owner brings: nothing is bought. What
// is cut is planned on what there is, without spares, as far as it goes.
func (b *buyer) byOwner(p Purchase, n need, o *Owner) Purchase {
	p.Owner = o
	o.Short, o.Lacking, p.ToBuy, p.Opened = p.ToBuy, p.Opened, 0, 0
	o.Needed, o.Packs = withAllowance(n.total, p.Allowance), b.opened(n)
	if n.item.Cut {
		b.cutOfOwner(&p, n)
	}
	return p
}

// cutOfOwner plans what is cut on what there is of it. A piece of parts that do not all
// have a place is short whole, with those that are like it.
func (b *buyer) cutOfOwner(p *Purchase, n need) {
	c, o := b.cutter(nil, n), p.Owner
	o.Short, o.Needed = 0, 0
	var pieces []CutPiece
	var all []joined
	for _, row := range n.rows {
		r := b.takeoff.Requirements[row]
		if !r.Cut {
			count := r.Count * b.takeoff.Openings[r.Opening].Qty
			o.Needed += count * stockLength(c.withExtra(r), widthOf(r, n.item), n.item)
			o.Pieces += count
			o.Longest = max(o.Longest, c.withExtra(r))
		}
		var parts []CutPiece
		if len(c.onHand) > 0 {
			parts, _ = c.pieces(row, c.limits()[0])
		}
		switch len(parts) {
		case 0:
			b.lacks(o, row, c.withExtra(r), r.Count*b.takeoff.Openings[r.Opening].Qty)
		case 1:
		default:
			all = append(all, c.joint(row, parts))
		}
		pieces = append(pieces, parts...)
	}
	for len(pieces) > 0 {
		plan := c.solve(pieces)
		plan.Plan, plan.draft = plan.draft.Refined(), nil
		placed := plan.placed()
		if row := brokenRow(pieces, placed); row >= 0 {
			r := b.takeoff.Requirements[row]
			b.lacks(o, row, c.withExtra(r), r.Count*b.takeoff.Openings[r.Opening].Qty)
			pieces = slices.DeleteFunc(pieces, func(p CutPiece) bool { return p.Requirement == row })
			all = slices.DeleteFunc(all, func(j joined) bool { return j.row == row })
			continue
		}
		for i, piece := range pieces {
			b.lacks(o, piece.Requirement, piece.Length, piece.Count-placed[i])
			plan.Pieces[i].Count = placed[i]
		}
		if len(plan.Plan.Boards) > 0 {
			p.Plans = []CutPlan{plan}
			_, p.OnHand = plan.used(n.item)
		}
		break
	}
	if n.item.Joint == estimate.JointForced {
		b.sayJoined(n.item, all)
	}
}

// lacks counts pieces of a requirement that nothing is there for; those that are cut
// already are not needed.
func (b *buyer) lacks(o *Owner, row int, length measure.Length, count int64) {
	if r := b.takeoff.Requirements[row]; !r.Cut {
		o.Lacking += count
		o.Short += count * stockLength(length, widthOf(r, o.item), o.item)
	}
}

// placed counts the pieces that lie on boards, by their places in Pieces.
func (c CutPlan) placed() []int64 {
	out := make([]int64, len(c.Pieces))
	for _, board := range c.Plan.Boards {
		for _, side := range c.On(board) {
			for _, i := range side {
				out[i]++
			}
		}
	}
	return out
}

// brokenRow returns the first requirement whose pieces are of parts that do not all have
// a place, below 0 if there is none.
func brokenRow(pieces []CutPiece, placed []int64) int {
	for i, p := range pieces {
		if p.Parts > 1 && placed[i] < p.Count {
			return p.Requirement
		}
	}
	return -1
}

// ownerOf returns what an owner brings of an item in a plan; nil where he brings none.
func (p Plan) ownerOf(item string) *Owner {
	i := slices.IndexFunc(p.Purchases, func(b Purchase) bool { return b.Item.Key == item })
	if i < 0 {
		return nil
	}
	return p.Purchases[i].Owner
}

// OwnerOf returns how an item stands that the owner brings, of what is left where some of
// the job is bought or done; nil where he brings none.
func OwnerOf(plan Plan, rest *Remaining, item string) *Owner {
	o := plan.ownerOf(item)
	if o == nil || rest == nil {
		return o
	}
	if left := rest.Plan.ownerOf(item); left != nil {
		now := *left
		now.Place, now.Stated = o.Place, o.Stated
		return &now
	}
	return &Owner{Place: o.Place, Stated: o.Stated, item: o.item, mm: o.mm} // nothing of it is left to do
}

// OwnerProblems warn of items that the owner brings too little of, or does not say how
// much.
func OwnerProblems(plan Plan, rest *Remaining) (list []estimate.Problem) {
	for _, p := range plan.Purchases {
		o := OwnerOf(plan, rest, p.Item.Key)
		if o == nil {
			continue
		}
		stated := o.Stated
		if stated == "" {
			stated = "none"
		}
		switch {
		case o.NotStated:
			list = append(list, estimate.Problem{Place: o.Place, Severity: estimate.Warning, What: p.Item.Key + ": by owner, how much he has is not stated",
				Do: "ask him, and type it under Count; it is not bought"})
		case o.IsShort():
			list = append(list, estimate.Problem{Place: o.Place, Severity: estimate.Warning,
				What: fmt.Sprintf("%s: by owner: %s stated, %s short: nobody has them", p.Item.Key, stated, o.ShortWords()),
				Do:   "ask him for more; an item of which any row is by owner is not bought"})
		}
	}
	return list
}

// saysNoMore reports whether a row says that the owner brings an item, and not what.
func saysNoMore(h estimate.OnHand) bool { return h.By == estimate.ByOwner && h.Count == 0 }

// ownersRows returns rows that say which items the owner brings, without what he brings.
func ownersRows(rows []estimate.OnHand) (list []estimate.OnHand) {
	for _, h := range rows {
		if h.By == estimate.ByOwner {
			h.Count, h.Counted = 0, estimate.Maybe[measure.Date]{}
			list = append(list, h)
		}
	}
	return list
}
