package cut

import "sillwright/estimate/measure"

// methodTooMany is Plan.Method of a problem that is not planned.
const methodTooMany = "no plan: more than 1,000,000 pieces"

// Solve plans the cutting of a problem at the least cost, and of the cheapest plans it finds
// returns the best by the secondary goals of a saw.
//
// First fit decreasing gives the first incumbent; see firstFit. Then the gap to the lower bound is
// closed by ever more expensive methods: boards filled without waste at a cost equal to the bound;
// column generation, whose integer bound no plan can beat, and diving heuristics on its solution;
// branch and bound on the numbers of boards of each stock, with cuts; and an integer program over
// all patterns that a cheaper plan could have. Plan.Method says which one closed the gap. The work
// is counted in steps, not in time, and limited: when it is spent, Plan.Bound is below Plan.Cost.
//
// At equal cost the plan then has, as far as a tenth of the work goes: fewer boards; fewer
// patterns; fewer settings of the saw's stop; more pieces at factory ends, of those that need one;
// and a longer single offcut. See refine.
//
// Where lengths have no common unit that divides the longest stock into 65,536 or fewer, pieces are
// planned rounded up and stocks rounded down to a grid, and Plan.Bound is what can be proved of the
// lengths as they are.
//
// The order of Problem.Pieces changes the indices in the plan and nothing else. Problems of more
// than MaxPieces pieces are not planned; all their pieces are Unplaced.
func Solve(p Problem) Plan {
	return MinimizeCost(p).Refined()
}

// Draft is a problem solved for the least cost. Of several that are only compared by their cost,
// one is refined by the secondary goals.
type Draft struct {
	problem      Problem
	instance     *instance // nil: too many pieces
	outcome      outcome
	firstFitCost measure.UnitPrice
	model        *model // nil: nothing to improve
	search       *search
	work         *work
	refined      bool
}

// MinimizeCost solves a problem for the least cost.
func MinimizeCost(p Problem) *Draft {
	ready, ok := newInstance(p)
	if !ok {
		return &Draft{problem: p}
	}
	in := &ready
	w := &work{limit: FullWork}
	if p.Effort > 0 {
		w.limit = int64(min(float64(p.Effort*FullWork), 1<<55))
	}
	d := &Draft{problem: p, instance: in, work: w, outcome: outcome{best: in.firstFit(w), method: byGreedy}}
	out := &d.outcome
	out.bound = in.lowerBound(out.best)
	out.gridBound = out.bound
	if out.best != nil && out.best.unplacedCount == 0 {
		d.firstFitCost = out.best.cost
	}
	if out.best != nil && out.best.unplacedCount > 0 {
		in.placeAll(out, w)
	}
	if out.best != nil && len(out.best.bins) > 0 {
		d.improve()
	}
	return d
}

// Cheapest returns the plan of the least cost found, whatever its secondary goals.
func (d *Draft) Cheapest() Plan {
	if d.instance == nil {
		return Plan{Unplaced: allPieces(d.problem), Method: methodTooMany}
	}
	plan, out := d.instance.plan(d.problem, d.outcome.best), &d.outcome
	plan.FirstFitCost = d.firstFitCost
	plan.Bound, plan.GridBound = out.bound, out.gridBound
	plan.Proven = plan.Bound == plan.Cost
	plan.OffcutBound, plan.OffcutProven = out.offcutBound(plan.LongestOffcut)
	plan.Method, plan.Work, plan.Grid = out.method, d.work.used, out.grid
	return plan
}

// Refined returns the plan of the same cost that is best by the secondary goals; see Solve.
func (d *Draft) Refined() Plan {
	if d.model != nil && !d.refined {
		d.refined = true
		w := d.work
		w.limit = max(w.limit, w.used) + w.limit/10
		d.instance.refine(d.problem, &d.outcome, d.model, d.search, w)
	}
	return d.Cheapest()
}

// outcome is the incumbent and what is proven of it.
type outcome struct {
	best             *packing // nil: no stock
	bound, gridBound measure.UnitPrice
	grid             measure.Length // 0 if exact
	method           string
	offcutLimit      measure.Length // no plan of the cost leaves a single offcut so long; 0 if unknown
}

// accept makes a packing of the same pieces the incumbent.
func (o *outcome) accept(p *packing) {
	p.unplaced, p.unplacedCount = o.best.unplaced, o.best.unplacedCount
	o.best = p
}

// offcutBound returns what no offcut of a plan of the cost exceeds, 0 if that is not known, and
// whether none is an inch longer than the longest of the plan.
func (o *outcome) offcutBound(longest measure.Length) (bound measure.Length, proven bool) {
	if o.offcutLimit == 0 {
		return 0, false
	}
	return o.offcutLimit - 1, o.offcutLimit <= longest+measure.Inch
}

// placeAll looks for a packing of all pieces, whatever it costs, where first fit has found none. It
// spends no more than an eighth of the work.
func (in *instance) placeAll(out *outcome, w *work) {
	m, ok := newModel(in, make([]int, len(in.items)))
	if !ok {
		return
	}
	costLimit := int64(1)
	var capacity measure.Length
	for _, st := range m.stocks {
		costLimit += int64(st.available) * st.price
		capacity += measure.Length(st.available) * st.capacity
	}
	if capacity < m.totalSize {
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

// improve looks for the cheapest packing of the pieces that the incumbent places.
func (d *Draft) improve() {
	in, out, w := d.instance, &d.outcome, d.work
	m, ok := newModel(in, out.best.unplaced)
	if !ok {
		if out.bound < out.best.cost {
			out.method = byLimit
		}
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

// allPieces returns the indices of the pieces that are to be cut.
func allPieces(p Problem) []int {
	var all []int
	for i, piece := range p.Pieces {
		if piece.Length > 0 && piece.Count > 0 {
			all = append(all, i)
		}
	}
	return all
}
