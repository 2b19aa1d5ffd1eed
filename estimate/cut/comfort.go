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
func (s *shop) comfort(p Problem, out *outcome, m *model, q *search, w *work) {
	if q.best.list == nil {
		q.best.list = s.layoutsOf(m, out.best)
	}
	offer := func(m *model, list []layout, extra measure.Length) {
		if t := s.onKinds(m, list, extra); t != nil && suits(s.plan(p, t), s.plan(p, out.best), p.Roll) < 0 {
			out.take(t)
		}
	}
	end := w.used + w.limit/11 // which is a tenth more than the search might spend
	w.within(w.limit/40, q.fewer)
	offer(m, m.few(m.bare(q.best.list), w), 0)
	g := gathering{q: q, kerf: s.kerf, below: s.kinds[len(s.kinds)-1].holds, boards: len(out.best.loads)}
	w.within(end-w.limit/100-w.used, func() { g.run(out.best.offcut) })
	if m.exact && out.best.cost == measure.UnitPrice(q.best.cost*m.step) {
		out.offcutBelow = max(1, g.below)
	}
	if g.list != nil {
		list := g.list
		offer(g.m, moved(list, g.at, len(m.takes)), g.keeps)
		offer(g.m, moved(g.m.few(list, w), g.at, len(m.takes)), g.keeps)
		offer(g.m, moved(g.m.few(without(list, g.at), w), g.at, len(m.takes)), 0)
	}
}

// suits compares plans of one cost by what a saw wants: fewest boards to
// handle; fewest layouts, then fewest boards at each setting of the stop; most
// pieces at factory ends; the longest single offcut, which for a roll comes
// before the layouts.
func suits(a, b Plan, roll bool) int {
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
func (m *model) few(list []layout, w *work) []layout {
	r := reducer{m: m, work: w}
	w.within(w.limit/400, func() { list = r.reduce(list) })
	w.within(w.limit/400, func() { list = r.settle(list) })
	return list
}

// offcutBound returns what no offcut of a plan of the cost exceeds, 0 if that is
// not known, and whether none is an measure.Inch longer than the longest of the plan.
func (o *outcome) offcutBound(longest measure.Length) (bound measure.Length, proven bool) {
	if o.offcutBelow == 0 {
		return 0, false
	}
	return o.offcutBelow - 1, o.offcutBelow <= longest+measure.Inch
}

// onKinds writes a cutting out in boards of the kinds that its stocks stand for,
// alike ones of the same kind as far as there are enough. A piece of the group
// after the last takes extra and is room to be left. It returns nil if the kinds
// run out.
func (s *shop) onKinds(m *model, list []layout, extra measure.Length) *trial {
	needs := make([]boardNeed, 0, len(list))
	for _, l := range list {
		n := boardNeed{price: measure.UnitPrice(m.stocks[l.stock].price * m.step), count: l.count}
		items := l.items
		if last := len(items) - 1; items[last].group == len(s.groups) {
			n.holds = measure.Length(items[last].count) * extra
			items = items[:last:last]
		}
		if len(items) > 0 {
			n.load = s.loadOf(items)
			n.holds += n.load.used
			needs = append(needs, n)
		}
	}
	slices.SortStableFunc(needs, func(a, b boardNeed) int { return cmp.Compare(b.holds, a.holds) })
	t := &trial{missing: make([]int, len(s.groups))}
	left := make([]int, len(s.kinds))
	for k, kind := range s.kinds {
		left[k] = kind.left
	}
	for _, n := range needs {
		for n.count > 0 {
			k := s.kindFor(n, left)
			if k < 0 {
				return nil
			}
			boards := min(n.count, left[k])
			n.count -= boards
			left[k] -= boards
			for range boards {
				t.loads, t.kinds = append(t.loads, n.load), append(t.kinds, k)
			}
			t.cost += measure.UnitPrice(boards) * s.kinds[k].price
			t.offcut = max(t.offcut, s.offcut(n.load, k))
		}
	}
	return t
}

// boardNeed is what is asked of the boards of a layout: a price, and a length
// that they hold.
type boardNeed struct {
	load  load
	price measure.UnitPrice
	holds measure.Length
	count int
}

// kindFor returns the shortest kind that is left of what is asked, if there is
// one of which enough are; below 0, none is left.
func (s *shop) kindFor(n boardNeed, left []int) int {
	best := -1
	for k, kind := range s.kinds {
		if kind.price == n.price && kind.holds >= n.holds && left[k] > 0 && (best < 0 || min(left[k], n.count) > min(left[best], n.count)) {
			best = k
		}
	}
	return best
}
