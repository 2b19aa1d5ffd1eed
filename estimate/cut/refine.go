package cut

import (
	"cmp"

	"sillwright/estimate/measure"
)

// refine improves the incumbent by the secondary goals at the same cost, and bounds the longest
// offcut that any plan of the cost leaves.
//
// It first looks for a solution on fewer boards, then for one with a longer offcut. Patterns are
// reduced in the solution at hand, and in that with the longest offcut, both with that offcut kept
// and without. A hundredth of the work is reserved for that.
func (in *instance) refine(p Problem, out *outcome, m *model, s *search, w *work) {
	if s.incumbent.patterns == nil {
		s.incumbent.patterns = in.patternsOf(m, out.best)
	}
	offer := func(m *model, patterns []pattern, offcutSize measure.Length) {
		if q := in.packingOn(m, patterns, offcutSize); q != nil && comparePlans(in.plan(p, q), in.plan(p, out.best), p.Roll) < 0 {
			out.accept(q)
		}
	}
	end := w.used + w.limit/11 // Draft.Refined has raised the limit by a tenth: this is the tenth
	if !s.tooLarge(2) {
		w.within(w.limit/40, s.findFewerBoards)
	}
	offer(m, m.reducePatterns(m.withoutSurplus(s.incumbent.patterns), w), 0)
	if s.tooLarge(2) {
		return // what follows solves linear programs
	}
	o := offcutSearch{search: s, kerf: in.kerf, unreachable: in.stockTypes[len(in.stockTypes)-1].capacity, boards: len(out.best.bins)}
	w.within(end-w.limit/100-w.used, func() { o.run(out.best.offcut) })
	if m.exact && out.best.cost == measure.UnitPrice(s.incumbent.cost*m.priceUnit) {
		out.offcutLimit = max(1, o.unreachable)
	}
	if o.patterns != nil {
		last := len(m.sizes)
		offer(o.m, renumbered(o.patterns, o.offcutItem, last), o.offcutSize)
		offer(o.m, renumbered(o.m.reducePatterns(o.patterns, w), o.offcutItem, last), o.offcutSize)
		offer(o.m, renumbered(o.m.reducePatterns(withoutItem(o.patterns, o.offcutItem), w), o.offcutItem, last), 0)
	}
}

// comparePlans compares plans by cost and then by the secondary goals: fewest boards; fewest
// patterns, then fewest settings of the saw's stop; most pieces at factory ends; the longest single
// offcut, which for a roll comes before the patterns.
func comparePlans(a, b Plan, roll bool) int {
	offcut, onRoll := cmp.Compare(b.LongestOffcut, a.LongestOffcut), 0
	if roll {
		onRoll = offcut
	}
	return cmp.Or(
		cmp.Compare(a.Cost, b.Cost),
		cmp.Compare(len(a.Boards), len(b.Boards)),
		onRoll,
		cmp.Compare(len(a.Patterns), len(b.Patterns)),
		cmp.Compare(a.StopSettings, b.StopSettings),
		cmp.Compare(b.AtFactoryEnds, a.AtFactoryEnds),
		offcut,
	)
}

// reducePatterns reduces the patterns of a solution, and then the settings of the stop.
func (m *model) reducePatterns(patterns []pattern, w *work) []pattern {
	r := patternReducer{m: m, work: w}
	w.within(w.limit/400, func() { patterns = r.reduce(patterns) })
	w.within(w.limit/400, func() { patterns = r.reduceSettings(patterns) })
	return patterns
}
