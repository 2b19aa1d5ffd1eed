package cut

import (
	"math"
	"slices"
)

// patternProgram is the integer program over a list of layouts that holds all
// that a cutting of the cost sought can have,
//
//	minimise  Σ price × x  subject to  Σ pieces × x ≥ need,  Σ x on stock k ≤ left(k),  x whole,
//
// solved by branching. It branches on sums of boards: of all, of a stock, with
// so many pieces of a group, with pieces of two groups, of one layout; after
// Vance (1998) and Vanderbeck (2000). Layouts that are too dear for what is
// sought in a part of the tree are left out of it.
type patternProgram struct {
	s           *search
	patterns    []pattern
	costLimit   int64        // the cost sought is below
	constraints []constraint // groups, stocks that may run out, branches
	stockRow    []int        // of each stock, or -1
	groups      int
	baseRows    int // rows that are no branches
	nodes       int
	lps         []*linearProgram // of each depth, for use again
}

// row is a row of the program: the boards of the layouts it has are at least,
// or at most, so many. A branch has the layouts marked.
type constraint struct {
	members []bool
	atLeast bool
	rhs     int
}

// newPatternProgram returns the program of a list, with no more boards of each stock
// than most.
func newPatternProgram(s *search, patterns []pattern, limit int64, most []int) *patternProgram {
	p := &patternProgram{s: s, patterns: patterns, costLimit: limit, groups: len(s.m.sizes)}
	for _, n := range s.m.demand {
		p.constraints = append(p.constraints, constraint{atLeast: true, rhs: n})
	}
	for k := range s.m.stocks {
		p.stockRow = append(p.stockRow, -1)
		if most[k] < s.m.pieceCount {
			p.stockRow[k] = len(p.constraints)
			p.constraints = append(p.constraints, constraint{rhs: most[k]})
		}
	}
	p.baseRows = len(p.constraints)
	return p
}

// solve returns true if there is no cutting of the list below limit, or the
// best one has been offered.
func (p *patternProgram) solve() (closed bool) {
	basis := make([]int, len(p.constraints))
	for r := range basis {
		basis[r] = -1 - r
	}
	all := make([]int, len(p.patterns))
	for j := range all {
		all[j] = j
	}
	return p.solveNode(basis, all)
}

// node solves a node of the tree and those below it. basis is that of the node
// above, a layout for each row, or -1 - r for the slack of row r; list is the
// layouts that are not too dear.
func (p *patternProgram) solveNode(basis, list []int) (closed bool) {
	const deepest = 200
	depth := len(p.constraints) - p.baseRows
	if p.s.work.spent() || depth > deepest {
		return false
	}
	p.nodes++
	lp := p.relaxation(basis, list)
	if lp == nil || !lp.optimize() {
		return false
	}
	bound, kept := p.bound(lp, list)
	if bound >= p.costLimit {
		return true
	}
	x := make([]float64, len(p.patterns))
	for i, j := range lp.basis {
		switch {
		case j < len(list):
			x[list[j]] = lp.x[i]
		case j >= len(list)+len(lp.basis) && lp.x[i] > 1e-6:
			return false // no solution, and the bound does not say so: the numbers are bad
		}
	}
	if p.roundSolution(x); p.s.incumbent.cost < p.costLimit {
		p.costLimit = p.s.incumbent.cost
	}
	if bound >= p.costLimit || p.s.foundAny() {
		return true
	}
	has, sum := p.branchingSet(x)
	if has == nil {
		return false
	}
	below := make([]int, 0, len(lp.basis)+1)
	for r, j := range lp.basis {
		switch {
		case j < len(list):
			below = append(below, list[j])
		case j < len(list)+len(lp.basis):
			below = append(below, len(list)-1-j)
		default:
			below = append(below, -1-r)
		}
	}
	below = append(below, -1-len(lp.basis))
	floor := int(math.Floor(sum))
	branches := [2]constraint{{has, true, floor + 1}, {has, false, floor}}
	if sum-math.Floor(sum) < 0.3 {
		branches[0], branches[1] = branches[1], branches[0]
	}
	closed = true
	for _, b := range branches {
		p.constraints = append(p.constraints, b)
		closed = p.solveNode(below, kept) && closed
		p.constraints = p.constraints[:len(p.constraints)-1]
		if p.s.work.spent() {
			return false
		}
		if p.s.foundAny() {
			return true
		}
	}
	return closed
}

// relax returns the linear program of a node, solved for a basis. Its first
// columns are the layouts of the list, then come the slacks.
func (p *patternProgram) relaxation(basis, list []int) *linearProgram {
	depth := len(p.constraints) - p.baseRows
	highestPrice := int64(1)
	for _, s := range p.s.m.stocks {
		highestPrice = max(highestPrice, s.price)
	}
	if depth == len(p.lps) {
		p.lps = append(p.lps, newLinearProgram(len(p.constraints), float64(1e-7*float64(highestPrice)), p.s.work))
	}
	lp := p.lps[depth]
	lp.clear()
	for _, j := range list {
		l := &p.patterns[j]
		for _, e := range l.entries {
			lp.addCoefficient(e.item, float64(e.count))
		}
		if r := p.stockRow[l.stock]; r >= 0 {
			lp.addCoefficient(r, 1)
		}
		for r := p.baseRows; r < len(p.constraints); r++ {
			if p.constraints[r].members[j] {
				lp.addCoefficient(r, 1)
			}
		}
		lp.endColumn(float64(p.s.m.stocks[l.stock].price))
		p.s.work.spend(2*len(l.entries) + depth)
	}
	const perturbation = 1e-8
	place := make([]int, len(p.patterns))
	for i, j := range list {
		place[j] = i
	}
	for r, w := range p.constraints {
		off := float64(float64(r%89+11) * perturbation)
		lp.b[r] = float64(w.rhs) + off
		sign := 1.0
		if w.atLeast {
			lp.b[r], sign = float64(w.rhs)-off, -1
		}
		lp.addCoefficient(r, sign)
		lp.endColumn(0)
		lp.basis[r] = len(list) + r
	}
	slacks := slices.Clone(lp.basis)
	for r, j := range basis {
		if j >= 0 {
			lp.basis[r] = place[j]
		} else {
			lp.basis[r] = len(list) - 1 - j
		}
	}
	if !lp.refactor() {
		if copy(lp.basis, slacks); !lp.refactor() {
			return nil
		}
	}
	for r, j := range lp.basis {
		lp.rowOf[j] = r
	}
	lp.restoreFeasibility(float64(5_000 * float64(highestPrice)))
	return lp
}

// bound returns a bound on the cost of any cutting of the list under the
// branches, in integers, and the layouts that a cutting below the limit can
// have. y are the row prices cut off to 1/2^scale, of the sign that they must
// have:
//
//	Σ y b + Σ over layouts of min(0, price − y A) × most
func (p *patternProgram) bound(lp *linearProgram, list []int) (bound int64, kept []int) {
	size := 1.0
	for r, y := range lp.y {
		size += math.Abs(float64(y * lp.b[r]))
	}
	scale := 30
	for ; scale > 0 && float64(size*float64(int64(1)<<scale)) > 1<<50; scale-- {
	}
	if size > 1<<56 {
		return 0, list
	}
	y := make([]int64, len(p.constraints))
	var sum int64
	for r, w := range p.constraints {
		y[r] = int64(float64(lp.y[r] * float64(int64(1)<<scale)))
		if w.atLeast {
			y[r] = max(0, y[r])
		} else {
			y[r] = min(0, y[r])
		}
		sum += y[r] * int64(w.rhs)
	}
	over := make([]int64, len(list))
	for i, j := range list {
		l := &p.patterns[j]
		d := p.s.m.stocks[l.stock].price << scale
		most := 0
		for _, e := range l.entries {
			d -= y[e.item] * int64(e.count)
			most = max(most, (p.s.m.demand[e.item]+e.count-1)/e.count)
		}
		if r := p.stockRow[l.stock]; r >= 0 {
			d -= y[r]
			most = min(most, p.constraints[r].rhs)
		}
		for r := p.baseRows; r < len(p.constraints); r++ {
			if p.constraints[r].members[j] {
				d -= y[r]
			}
		}
		if over[i] = d; d < 0 {
			sum += max(d*int64(most), -1<<50)
		}
		p.s.work.spend(2*len(l.entries) + 2 + len(p.constraints) - p.baseRows)
	}
	cost := func(sum int64) int64 { return (max(sum, 0) + 1<<scale - 1) >> scale }
	bound = p.s.costTable.roundUp(cost(sum))
	for i, j := range list {
		if over[i] <= 0 || cost(sum+over[i]) < p.costLimit {
			kept = append(kept, j)
		}
	}
	return bound, kept
}

// round offers the solution rounded up if that is a cutting below the limit,
// else rounded down and filled by first fit.
func (p *patternProgram) roundSolution(x []float64) {
	demand := slices.Clone(p.s.m.demand)
	left := make([]int, len(p.s.m.stocks))
	for k, s := range p.s.m.stocks {
		left[k] = s.available
	}
	var fixed []pattern
	take := func(j, n int) {
		entries := limitedToDemand(p.patterns[j].entries, demand)
		for _, e := range entries {
			n = min(n, max(1, demand[e.item]/e.count))
		}
		n = min(n, left[p.patterns[j].stock])
		if n <= 0 || len(entries) == 0 {
			return
		}
		for _, e := range entries {
			demand[e.item] -= n * e.count
		}
		left[p.patterns[j].stock] -= n
		fixed = append(fixed, pattern{p.patterns[j].stock, n, entries})
	}
	var order []int
	for j, v := range x {
		if v > 1e-6 {
			order = append(order, j)
			take(j, int(v+1e-6))
		}
	}
	frac := func(j int) float64 { return x[j] - math.Floor(x[j]+1e-6) }
	sortBy(order, func(a, b int) bool { return frac(a) > frac(b) })
	for _, j := range order {
		if frac(j) > 0.4 && withinDemand(p.patterns[j].entries, demand) {
			take(j, 1)
		}
	}
	p.s.completeByFirstFit(fixed, demand, left)
}

// split returns a set of layouts whose sum of boards is not whole, and the sum;
// nil if there is none.
func (p *patternProgram) branchingSet(x []float64) (has []bool, sum float64) {
	var used []int
	for j, v := range x {
		if v > 1e-6 {
			used = append(used, j)
		}
	}
	mark := func(in func(l *pattern) bool) []bool {
		out := make([]bool, len(p.patterns))
		for j := range p.patterns {
			out[j] = in(&p.patterns[j])
		}
		p.s.work.spend(len(out))
		return out
	}
	sumOf := func(in func(l *pattern) bool) float64 {
		s := 0.0
		for _, j := range used {
			if in(&p.patterns[j]) {
				s += x[j]
			}
		}
		return s
	}
	var best func(l *pattern) bool
	closest := 0.5 - 1e-4
	try := func(in func(l *pattern) bool) {
		s := sumOf(in)
		if d := math.Abs(s - math.Floor(s) - 0.5); d < closest-1e-9 {
			closest, best, sum = d, in, s
		}
	}
	done := func() bool {
		if best != nil {
			has = mark(best)
		}
		return best != nil
	}
	if try(func(*pattern) bool { return true }); done() {
		return has, sum
	}
	for k := range p.s.m.stocks {
		try(func(l *pattern) bool { return l.stock == k })
	}
	if done() {
		return has, sum
	}
	for i := range p.s.m.sizes {
		for q := 1; q <= 6; q++ {
			in := func(l *pattern) bool { return countOf(l.entries, i) >= q }
			if sumOf(in) < 1e-6 {
				break
			}
			try(in)
		}
	}
	if done() {
		return has, sum
	}
	for _, j := range used {
		for a, e := range p.patterns[j].entries {
			for _, other := range p.patterns[j].entries[a+1:] {
				try(func(l *pattern) bool { return countOf(l.entries, e.item) > 0 && countOf(l.entries, other.item) > 0 })
			}
		}
	}
	if done() {
		return has, sum
	}
	for _, j := range used {
		one := &p.patterns[j]
		try(func(l *pattern) bool { return l == one })
	}
	done()
	return has, sum
}
