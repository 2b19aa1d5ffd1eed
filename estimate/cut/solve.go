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
// boards; fewer layouts; fewer visits of boards to the stop; more pieces at
// factory ends, of those that want one; and what is left over in a longer single
// offcut. See comfort.
//
// Where lengths have no common unit that divides the longest stock into 65,536
// or fewer, pieces are planned rounded up and stocks rounded down to a grid, and
// Plan.Bound is what can be proved of the lengths as they are.
//
// The order of Problem.Pieces changes the indices in the plan and nothing else.
// Problems of more than MaxPieces pieces are not planned; all their pieces are
// Short.
func Solve(p Problem) Plan {
	return Begin(p).Suited()
}

// Draft is the search for a plan of a problem, as far as the least cost: of many
// that are only compared by their cost, one goes on to suit a saw.
type Draft struct {
	problem  Problem
	shop     *shop // nil: too many pieces
	out      outcome
	firstFit measure.UnitPrice
	model    *model // nil: nothing to improve
	search   *search
	work     *work
	suited   bool
}

// Begin plans a problem at the least cost.
func Begin(p Problem) *Draft {
	ready, ok := newShop(p)
	if !ok {
		return &Draft{problem: p}
	}
	s := &ready
	w := &work{limit: workLimit}
	if p.Effort > 0 {
		w.limit = int64(min(float64(p.Effort*workLimit), 1<<55))
	}
	d := &Draft{problem: p, shop: s, work: w, out: outcome{best: s.firstFit(), method: byGreedy}}
	out := &d.out
	out.bound = s.lowerBound(out.best)
	out.gridBound = out.bound
	if out.best != nil && out.best.unmet == 0 {
		d.firstFit = out.best.cost
	}
	if out.best != nil && out.best.unmet > 0 {
		s.placeAll(out, w)
	}
	if out.best != nil && len(out.best.loads) > 0 {
		d.improve()
	}
	return d
}

// Cheapest returns the cheapest plan found; any will do.
func (d *Draft) Cheapest() Plan {
	if d.shop == nil {
		return Plan{Short: allPieces(d.problem), Method: methodTooMany}
	}
	plan, out := d.shop.plan(d.problem, d.out.best), &d.out
	plan.FirstFit = d.firstFit
	plan.Bound, plan.GridBound = out.bound, out.gridBound
	plan.Proven = plan.Bound == plan.Cost
	plan.OffcutBound, plan.OffcutProven = out.offcutBound(plan.LongestOffcut)
	plan.Method, plan.Work, plan.Grid = out.method, d.work.used, out.grid
	return plan
}

// Suited returns the plan of the same cost that suits a saw best; see Solve.
func (d *Draft) Suited() Plan {
	if d.model != nil && !d.suited {
		d.suited = true
		w := d.work
		w.limit = max(w.limit, w.used) + w.limit/10
		d.shop.comfort(d.problem, &d.out, d.model, d.search, w)
	}
	return d.Cheapest()
}

// outcome is the best plan so far and what is known of it.
type outcome struct {
	best             *trial
	bound, gridBound measure.UnitPrice
	grid             measure.Length // 0 if exact
	method           string
	offcutBelow      measure.Length // no plan of the cost leaves a single offcut so long; 0 if unknown
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
		out.best = s.trial(m, q.best.list)
		out.bound = s.lowerBound(out.best)
		out.gridBound = out.bound
	}
}

// improve looks for the cheapest plan for the pieces that have room in the best
// one.
func (d *Draft) improve() {
	s, out, w := d.shop, &d.out, d.work
	m, ok := newModel(s, out.best.missing)
	if !ok {
		return
	}
	q := &search{m: m, work: w, best: layouts{cost: int64(out.best.cost) / m.step}, bound: measure.CeilDiv(int64(out.bound), m.step)}
	q.run()
	out.method = q.method
	if q.best.list != nil {
		out.take(s.trial(m, q.best.list))
	}
	out.gridBound = max(out.bound, measure.UnitPrice(q.bound*m.step))
	if m.exact {
		out.bound = out.gridBound
	} else {
		out.grid = m.grid
		out.bound = min(out.best.cost, max(out.bound, s.exactBound(m, q)))
	}
	d.model, d.search = m, q
}

// take takes a trial as the best plan.
func (o *outcome) take(t *trial) {
	t.missing, t.unmet = o.best.missing, o.best.unmet
	o.best = t
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

// trial writes a cutting of a model out in boards, each exchanged for the
// cheapest that holds it.
func (s *shop) trial(m *model, list []layout) *trial {
	t := &trial{missing: make([]int, len(s.groups))}
	for _, lay := range m.bare(list) {
		for range lay.count {
			t.loads = append(t.loads, s.loadOf(lay.items))
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

// loadOf returns a board with pieces on it.
func (s *shop) loadOf(items []item) load {
	l := load{items: items}
	for _, it := range items {
		l.used += measure.Length(it.count) * s.groups[it.group].takes
	}
	return l
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
