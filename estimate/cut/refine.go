package cut

import (
	"cmp"

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
