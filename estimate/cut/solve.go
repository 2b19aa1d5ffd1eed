package cut

import (
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
	instance *instance // nil: too many pieces
	out      outcome
	firstFit measure.UnitPrice
	model    *model // nil: nothing to improve
	search   *search
	work     *work
	refined  bool
}

// Begin plans a problem at the least cost.
func Begin(p Problem) *Draft {
	ready, ok := newInstance(p)
	if !ok {
		return &Draft{problem: p}
	}
	in := &ready
	w := &work{limit: workLimit}
	if p.Effort > 0 {
		w.limit = int64(min(float64(p.Effort*workLimit), 1<<55))
	}
	d := &Draft{problem: p, instance: in, work: w, out: outcome{best: in.firstFit(), method: byGreedy}}
	out := &d.out
	out.bound = in.lowerBound(out.best)
	out.gridBound = out.bound
	if out.best != nil && out.best.unplacedCount == 0 {
		d.firstFit = out.best.cost
	}
	if out.best != nil && out.best.unplacedCount > 0 {
		in.placeAll(out, w)
	}
	if out.best != nil && len(out.best.bins) > 0 {
		d.improve()
	}
	return d
}

// Cheapest returns the cheapest plan found; any will do.
func (d *Draft) Cheapest() Plan {
	if d.instance == nil {
		return Plan{Short: allPieces(d.problem), Method: methodTooMany}
	}
	plan, out := d.instance.plan(d.problem, d.out.best), &d.out
	plan.FirstFit = d.firstFit
	plan.Bound, plan.GridBound = out.bound, out.gridBound
	plan.Proven = plan.Bound == plan.Cost
	plan.OffcutBound, plan.OffcutProven = out.offcutBound(plan.LongestOffcut)
	plan.Method, plan.Work, plan.Grid = out.method, d.work.used, out.grid
	return plan
}

// Suited returns the plan of the same cost that suits a saw best; see Solve.
func (d *Draft) Suited() Plan {
	if d.model != nil && !d.refined {
		d.refined = true
		w := d.work
		w.limit = max(w.limit, w.used) + w.limit/10
		d.instance.refine(d.problem, &d.out, d.model, d.search, w)
	}
	return d.Cheapest()
}

// outcome is the best plan so far and what is known of it.
type outcome struct {
	best             *packing
	bound, gridBound measure.UnitPrice
	grid             measure.Length // 0 if exact
	method           string
	offcutLimit      measure.Length // no plan of the cost leaves a single offcut so long; 0 if unknown
}

// take takes a trial as the best plan.
func (o *outcome) accept(p *packing) {
	p.unplaced, p.unplacedCount = o.best.unplaced, o.best.unplacedCount
	o.best = p
}

// offcutBound returns what no offcut of a plan of the cost exceeds, 0 if that is
// not known, and whether none is an measure.Inch longer than the longest of the plan.
func (o *outcome) offcutBound(longest measure.Length) (bound measure.Length, proven bool) {
	if o.offcutLimit == 0 {
		return 0, false
	}
	return o.offcutLimit - 1, o.offcutLimit <= longest+measure.Inch
}

// placeAll looks for a plan that has room for every piece, which first fit has
// not found, whatever it costs. It spends no more than an eighth of the work.
func (in *instance) placeAll(out *outcome, w *work) {
	m, ok := newModel(in, make([]int, len(in.items)))
	if !ok {
		return
	}
	costLimit := int64(1)
	var room measure.Length
	for _, k := range m.stocks {
		costLimit += int64(k.available) * k.price
		room += measure.Length(k.available) * k.capacity
	}
	if room < m.totalSize {
		return
	}
	s := &search{m: m, work: w, incumbent: solution{cost: costLimit}}
	w.within(w.limit/8, s.run)
	if s.incumbent.patterns != nil {
		out.best = in.packingOf(m, s.incumbent.patterns)
		out.bound = in.lowerBound(out.best)
		out.gridBound = out.bound
	}
}

// improve looks for the cheapest plan for the pieces that have room in the best
// one.
func (d *Draft) improve() {
	in, out, w := d.instance, &d.out, d.work
	m, ok := newModel(in, out.best.unplaced)
	if !ok {
		return
	}
	s := &search{m: m, work: w, incumbent: solution{cost: int64(out.best.cost) / m.priceUnit}, lowerBound: measure.CeilDiv(int64(out.bound), m.priceUnit)}
	s.run()
	out.method = s.method
	if s.incumbent.patterns != nil {
		out.accept(in.packingOf(m, s.incumbent.patterns))
	}
	out.gridBound = max(out.bound, measure.UnitPrice(s.lowerBound*m.priceUnit))
	if m.exact {
		out.bound = out.gridBound
	} else {
		out.grid = m.grid
		out.bound = min(out.best.cost, max(out.bound, in.exactBound(m, s)))
	}
	d.model, d.search = m, s
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
