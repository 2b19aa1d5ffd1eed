package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// comfort changes the plan to the one of its cost that suits a saw best of those
// it comes by, and bounds the longest offcut that any plan of the cost leaves.
//
// The layouts are made fewer of the cutting at hand, and of the one with the
// longest offcut that is found, both with that offcut kept and without. For that
// a hundredth of the work is kept back.
func (in *instance) refine(p Problem, out *outcome, m *model, s *search, w *work) {
	if s.incumbent.patterns == nil {
		s.incumbent.patterns = in.patternsOf(m, out.best)
	}
	offer := func(m *model, patterns []pattern, extra measure.Length) {
		if t := in.packingOn(m, patterns, extra); t != nil && comparePlans(in.plan(p, t), in.plan(p, out.best), p.Roll) < 0 {
			out.accept(t)
		}
	}
	end := w.used + w.limit/11 // which is a tenth more than the search might spend
	w.within(w.limit/40, s.findFewerBoards)
	offer(m, m.reducePatterns(m.withoutSurplus(s.incumbent.patterns), w), 0)
	o := offcutSearch{search: s, kerf: in.kerf, unreachable: in.stockTypes[len(in.stockTypes)-1].capacity, boards: len(out.best.bins)}
	w.within(end-w.limit/100-w.used, func() { o.run(out.best.offcut) })
	if m.exact && out.best.cost == measure.UnitPrice(s.incumbent.cost*m.priceUnit) {
		out.offcutLimit = max(1, o.unreachable)
	}
	if o.patterns != nil {
		patterns := o.patterns
		offer(o.m, renumbered(patterns, o.offcutItem, len(m.sizes)), o.offcutSize)
		offer(o.m, renumbered(o.m.reducePatterns(patterns, w), o.offcutItem, len(m.sizes)), o.offcutSize)
		offer(o.m, renumbered(o.m.reducePatterns(withoutItem(patterns, o.offcutItem), w), o.offcutItem, len(m.sizes)), 0)
	}
}

// suits compares plans of one cost by what a saw wants: fewest boards to
// handle; fewest layouts, then fewest boards at each setting of the stop; most
// pieces at factory ends; the longest single offcut, which for a roll comes
// before the layouts.
func comparePlans(a, b Plan, roll bool) int {
	offcut, onRoll := cmp.Compare(b.LongestOffcut, a.LongestOffcut), 0
	if roll {
		onRoll = offcut
	}
	return cmp.Or(
		cmp.Compare(a.Cost, b.Cost),
		cmp.Compare(len(a.Boards), len(b.Boards)),
		onRoll,
		cmp.Compare(len(a.Layouts), len(b.Layouts)),
		cmp.Compare(a.Visits, b.Visits),
		cmp.Compare(b.AtEnds, a.AtEnds),
		offcut,
	)
}

// few makes the layouts of a cutting fewer, and then its visits.
func (m *model) reducePatterns(patterns []pattern, w *work) []pattern {
	r := patternReducer{m: m, work: w}
	w.within(w.limit/400, func() { patterns = r.reduce(patterns) })
	w.within(w.limit/400, func() { patterns = r.reduceSettings(patterns) })
	return patterns
}

// offcutBound returns what no offcut of a plan of the cost exceeds, 0 if that is
// not known, and whether none is an measure.Inch longer than the longest of the plan.
func (o *outcome) offcutBound(longest measure.Length) (bound measure.Length, proven bool) {
	if o.offcutLimit == 0 {
		return 0, false
	}
	return o.offcutLimit - 1, o.offcutLimit <= longest+measure.Inch
}

// onKinds writes a cutting out in boards of the kinds that its stocks stand for,
// alike ones of the same kind as far as there are enough. A piece of the group
// after the last takes extra and is room to be left. It returns nil if the kinds
// run out.
func (in *instance) packingOn(m *model, patterns []pattern, extra measure.Length) *packing {
	needs := make([]boardRequest, 0, len(patterns))
	for _, p := range patterns {
		n := boardRequest{price: measure.UnitPrice(m.stocks[p.stock].price * m.priceUnit), count: p.count}
		entries := p.entries
		if last := len(entries) - 1; entries[last].item == len(in.items) {
			n.holds = measure.Length(entries[last].count) * extra
			entries = entries[:last:last]
		}
		if len(entries) > 0 {
			n.bin = in.binOf(entries)
			n.holds += n.bin.used
			needs = append(needs, n)
		}
	}
	slices.SortStableFunc(needs, func(a, b boardRequest) int { return cmp.Compare(b.holds, a.holds) })
	p := &packing{unplaced: make([]int, len(in.items))}
	left := make([]int, len(in.stockTypes))
	for k, kind := range in.stockTypes {
		left[k] = kind.available
	}
	for _, n := range needs {
		for n.count > 0 {
			k := in.stockTypeFor(n, left)
			if k < 0 {
				return nil
			}
			boards := min(n.count, left[k])
			n.count -= boards
			left[k] -= boards
			for range boards {
				p.bins, p.stockTypes = append(p.bins, n.bin), append(p.stockTypes, k)
			}
			p.cost += measure.UnitPrice(boards) * in.stockTypes[k].price
			p.offcut = max(p.offcut, in.offcut(n.bin, k))
		}
	}
	return p
}

// boardNeed is what is asked of the boards of a layout: a price, and a length
// that they hold.
type boardRequest struct {
	bin   bin
	price measure.UnitPrice
	holds measure.Length
	count int
}

// kindFor returns the shortest kind that is left of what is asked, if there is
// one of which enough are; below 0, none is left.
func (in *instance) stockTypeFor(n boardRequest, left []int) int {
	best := -1
	for k, kind := range in.stockTypes {
		if kind.price == n.price && kind.capacity >= n.holds && left[k] > 0 && (best < 0 || min(left[k], n.count) > min(left[best], n.count)) {
			best = k
		}
	}
	return best
}
