package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

const methodTooMany = "no plan: more than 1,000,000 pieces"

// Solve plans the cutting of a problem at the least cost, and of the cheapest
// plans one that suits a saw.
//
// First fit gives a first plan; see firstFit. Then the gap to the lower bound is
// closed by ever dearer means: boards filled to the last stroke at a cost that
// the bound allows; the linear program over all layouts, whose integer bound no
// plan can beat, and dives that round its solution; a tree on the numbers of
// boards of each stock, bounded by cuts; and an integer program over all
// layouts that a cheaper plan could have. Plan.Method says which one closed it.
// The work is counted in steps and not in time, and limited: when it is spent,
// Plan.Bound is below Plan.Cost.
//
// At equal cost the plan then has, as far as a tenth of the work goes: fewer
// boards; the longest single offcut; fewer layouts; and as many of the pieces at
// factory ends as its layouts allow.
//
// Where lengths have no common unit that divides the longest stock into 65,536
// or fewer, pieces are planned rounded up and stocks rounded down to a grid, and
// Plan.Bound is what can be proved of the lengths as they are.
//
// The order of Problem.Pieces changes the indices in the plan and nothing else.
// Problems of more than MaxPieces pieces are not planned; all their pieces are
// Short.
func Solve(p Problem) Plan {
	s, ok := newShop(p)
	if !ok {
		return Plan{Short: allPieces(p), Method: methodTooMany}
	}
	s.costOnly = p.CostOnly
	w := &work{limit: workLimit}
	if p.Effort > 0 {
		w.limit = int64(min(float64(p.Effort*workLimit), 1<<55))
	}
	out := outcome{best: s.firstFit(), method: byGreedy}
	out.bound = s.lowerBound(out.best)
	out.gridBound = out.bound
	if out.best != nil && out.best.unmet > 0 {
		s.placeAll(&out, w)
	}
	if out.best != nil && len(out.best.loads) > 0 {
		s.improve(&out, w)
	}
	plan := s.plan(p, out.best)
	plan.Bound, plan.GridBound = out.bound, out.gridBound
	plan.Proven = plan.Bound == plan.Cost
	plan.OffcutProven = out.offcutProven
	plan.Method, plan.Work, plan.Grid = out.method, w.used, out.grid
	return plan
}

// outcome is the best plan so far and what is known of it.
type outcome struct {
	best             *trial
	bound, gridBound measure.UnitPrice
	grid             measure.Length // 0 if exact
	method           string
	offcutProven     bool
}

// placeAll looks for a plan that has room for every piece, which first fit has
// not found, whatever it costs. It spends no more than an eighth of the work.
func (s *shop) placeAll(out *outcome, w *work) {
	m, ok := newModel(s, make([]int, len(s.groups)))
	if !ok {
		return
	}
	top := int64(1)
	var room measure.Length
	for _, k := range m.stocks {
		top += int64(k.left) * k.price
		room += measure.Length(k.left) * k.holds
	}
	if room < m.total {
		return
	}
	q := &search{m: m, work: w, best: layouts{cost: top}}
	w.within(w.limit/8, q.run)
	if q.best.list != nil {
		out.best = s.trial(m, q.best.list, 0)
		out.bound = s.lowerBound(out.best)
		out.gridBound = out.bound
	}
}

// improve looks for the cheapest plan for the pieces that have room in the best
// one, and for the one of that cost that suits a saw best.
func (s *shop) improve(out *outcome, w *work) {
	m, ok := newModel(s, out.best.missing)
	if !ok {
		return
	}
	q := &search{m: m, work: w, best: layouts{cost: int64(out.best.cost) / m.step}, bound: measure.CeilDiv(int64(out.bound), m.step)}
	q.run()
	out.method = q.method
	out.take(s, m, q.best.list, 0)
	out.gridBound = max(out.bound, measure.UnitPrice(q.bound*m.step))
	if m.exact {
		out.bound = out.gridBound
	} else {
		out.grid = m.grid
		out.bound = min(out.best.cost, max(out.bound, s.exactBound(m, q)))
	}
	if !s.costOnly {
		w.limit = max(w.limit, w.used) + w.limit/10
		s.comfort(out, m, q, w)
	}
}

// take takes a cutting as the best plan, if there is one. extra is what a piece
// of the group after the last takes.
func (o *outcome) take(s *shop, m *model, list []layout, extra measure.Length) {
	if list != nil {
		missing, unmet := o.best.missing, o.best.unmet
		o.best = s.trial(m, list, extra)
		o.best.missing, o.best.unmet = missing, unmet
	}
}

// comfort changes the plan to what a saw wants: fewest boards, then the longest
// single offcut, then fewest layouts.
func (s *shop) comfort(out *outcome, m *model, q *search, w *work) {
	extra := measure.Length(0)
	if q.best.list == nil {
		q.best.list = s.layoutsOf(m, out.best)
	}
	w.within(w.limit/40, q.fewer)
	out.take(s, m, q.best.list, 0)
	w.within(w.limit/20, func() {
		takes := func(inches int64) measure.Length { return measure.Length(inches)*measure.Inch + s.kerf }
		units := func(inches int64) measure.Length {
			return measure.Length(measure.CeilDiv(int64(takes(inches)), int64(m.grid)))
		}
		found, list, exact := q.gather(int64(out.best.offcut/measure.Inch), units)
		out.offcutProven = exact && m.exact && out.bound == out.best.cost
		if list != nil {
			extra = takes(found)
			out.take(s, m, list, extra)
		}
	})
	s.alike(out.best, extra, w)
}

// alike makes the layouts of a plan fewer. extra is what a piece of the group
// after the last takes: room to be left, which is given up in the end.
func (s *shop) alike(t *trial, extra measure.Length, w *work) {
	if extra == 0 {
		extra = s.keepOffcut(t)
	}
	r := reducer{work: w}
	for _, g := range s.groups {
		r.takes = append(r.takes, g.takes)
	}
	r.takes = append(r.takes, max(extra, 1))
	for _, k := range s.kinds {
		r.holds = append(r.holds, k.holds)
	}
	var list []layout
	for i, l := range t.loads {
		list = append(list, layout{t.kinds[i], 1, l.items})
	}
	list = r.reduce(list)
	t.loads, t.kinds, t.offcut = nil, nil, 0
	for _, l := range list {
		b := load{}
		for _, it := range l.items {
			if it.group < len(s.groups) {
				b.items = append(b.items, it)
				b.used += measure.Length(it.count) * s.groups[it.group].takes
			}
		}
		for range l.count {
			if len(b.items) == 0 {
				t.cost -= s.kinds[l.stock].price
				continue
			}
			t.loads, t.kinds = append(t.loads, b), append(t.kinds, l.stock)
			t.offcut = max(t.offcut, s.offcut(b, l.stock))
		}
	}
}

// keepOffcut puts a piece of the group after the last on the board with the
// longest offcut, as long as that, and returns what it takes.
func (s *shop) keepOffcut(t *trial) measure.Length {
	for i := range t.loads {
		if l := &t.loads[i]; t.offcut > 0 && s.offcut(*l, t.kinds[i]) == t.offcut {
			l.items = append(slices.Clone(l.items), item{len(s.groups), 1})
			return t.offcut + s.kerf
		}
	}
	return 0
}

// layoutsOf returns the boards of a trial as layouts of a model, each on the
// cheapest stock.
func (s *shop) layoutsOf(m *model, t *trial) (list []layout) {
	for _, l := range t.loads {
		k := 0
		for k < len(m.stocks)-1 && m.stocks[k].holds < m.length(l.items) {
			k++
		}
		list = append(list, layout{k, 1, l.items})
	}
	return list
}

// trial writes a cutting of a model out in boards. extra is what a piece of the
// group after the last takes, of which there is one.
func (s *shop) trial(m *model, list []layout, extra measure.Length) *trial {
	t := &trial{missing: make([]int, len(s.groups))}
	need := append(slices.Clone(m.need), 1)
	for _, lay := range list {
		for range lay.count {
			b := load{items: trimmed(lay.items, need)}
			for _, it := range b.items {
				need[it.group] -= it.count
				takes := extra
				if it.group < len(s.groups) {
					takes = s.groups[it.group].takes
				}
				b.used += measure.Length(it.count) * takes
			}
			if len(b.items) > 0 {
				t.loads = append(t.loads, b)
			}
		}
	}
	slices.SortStableFunc(t.loads, func(a, b load) int { return cmp.Compare(a.used, b.used) })
	t.kinds = s.exchange(t.loads)
	for i, k := range t.kinds {
		t.cost += s.kinds[k].price
		t.offcut = max(t.offcut, s.offcut(t.loads[i], k))
	}
	return t
}

func allPieces(p Problem) []int {
	var all []int
	for i, w := range p.Pieces {
		if w.Length > 0 && w.Count > 0 {
			all = append(all, i)
		}
	}
	return all
}
