package cut

import (
	"cmp"
	"math"
	"slices"
)

// patternProgram is the integer program over a list of patterns that holds all that a solution of
// the cost sought can have,
//
//	minimize  Σ price × x  subject to  Σ pieces × x ≥ demand,  Σ x on stock k ≤ available(k),  x integer,
//
// solved by branch and bound, depth first. It branches on sums of boards: of all, of a stock, with
// so many pieces of an item, with pieces of two items, of one pattern; after Vance (1998) and
// Vanderbeck (2000). Patterns whose reduced cost is too high for what is sought in a subtree are
// left out of it.
type patternProgram struct {
	s           *search
	patterns    []pattern
	costLimit   int64 // solutions below it are sought
	constraints []constraint
	stockRow    []int            // row of each stock, or -1: enough are available
	baseRows    int              // constraints before those of branches: the items, then stocks
	lps         []*linearProgram // of each depth, for use again
}

// constraint limits the sum of the boards of some patterns from below or above. Only constraints of
// branches list their members.
type constraint struct {
	members []bool // by pattern
	atLeast bool
	rhs     int
}

// newPatternProgram returns the program of a list of patterns, with no more than the available
// boards of each stock.
func newPatternProgram(s *search, patterns []pattern, costLimit int64, available []int) *patternProgram {
	p := &patternProgram{s: s, patterns: patterns, costLimit: costLimit}
	for _, n := range s.m.demand {
		p.constraints = append(p.constraints, constraint{atLeast: true, rhs: n})
	}
	for k := range s.m.stocks {
		p.stockRow = append(p.stockRow, -1)
		if available[k] < s.m.pieceCount {
			p.stockRow[k] = len(p.constraints)
			p.constraints = append(p.constraints, constraint{rhs: available[k]})
		}
	}
	p.baseRows = len(p.constraints)
	return p
}

// solve returns true if there is no solution of these patterns below the cost limit, or the best
// one has been offered.
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

// solveNode solves a node of the tree and those below it. basis is that of the parent: a pattern
// for each row, or -1 - r for the slack of row r; columns is the patterns of the node.
func (p *patternProgram) solveNode(basis, columns []int) (closed bool) {
	const maxDepth = 200
	depth := len(p.constraints) - p.baseRows
	if p.s.work.spent() || depth > maxDepth {
		return false
	}
	lp := p.relaxation(basis, columns)
	if lp == nil || !lp.optimize() {
		return false
	}
	bound, kept := p.bound(lp, columns)
	if bound >= p.costLimit {
		return true
	}
	x := make([]float64, len(p.patterns))
	for i, j := range lp.basis {
		switch {
		case j < len(columns):
			x[columns[j]] = lp.x[i]
		case j >= len(columns)+len(lp.basis) && lp.x[i] > 1e-6:
			return false // an artificial variable is left, but the bound does not prove infeasibility: rounding errors
		}
	}
	if p.roundSolution(x); p.s.incumbent.cost < p.costLimit {
		p.costLimit = p.s.incumbent.cost
	}
	if bound >= p.costLimit || p.s.foundAny() {
		return true
	}
	members, sum := p.branchingSet(x)
	if members == nil {
		return false
	}
	childBasis := make([]int, 0, len(lp.basis)+1)
	for r, j := range lp.basis {
		switch {
		case j < len(columns):
			childBasis = append(childBasis, columns[j])
		case j < len(columns)+len(lp.basis):
			childBasis = append(childBasis, len(columns)-1-j)
		default:
			childBasis = append(childBasis, -1-r)
		}
	}
	childBasis = append(childBasis, -1-len(lp.basis))
	floor := int(math.Floor(sum))
	branches := [2]constraint{{members, true, floor + 1}, {members, false, floor}}
	if sum-math.Floor(sum) < 0.3 {
		branches[0], branches[1] = branches[1], branches[0]
	}
	closed = true
	for _, b := range branches {
		p.constraints = append(p.constraints, b)
		closed = p.solveNode(childBasis, kept) && closed
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

// relaxation returns the linear program of a node, with the basis given made feasible. Its first
// columns are the patterns of the node, then come the slacks.
func (p *patternProgram) relaxation(basis, columns []int) *linearProgram {
	depth := len(p.constraints) - p.baseRows
	highestPrice := int64(1)
	for _, st := range p.s.m.stocks {
		highestPrice = max(highestPrice, st.price)
	}
	if depth == len(p.lps) {
		p.lps = append(p.lps, newLinearProgram(len(p.constraints), float64(1e-7*float64(highestPrice)), p.s.work))
	}
	lp := p.lps[depth]
	lp.clear()
	for _, j := range columns {
		pat := &p.patterns[j]
		for _, e := range pat.entries {
			lp.addCoefficient(e.item, float64(e.count))
		}
		if r := p.stockRow[pat.stock]; r >= 0 {
			lp.addCoefficient(r, 1)
		}
		for r := p.baseRows; r < len(p.constraints); r++ {
			if p.constraints[r].members[j] {
				lp.addCoefficient(r, 1)
			}
		}
		lp.endColumn(float64(p.s.m.stocks[pat.stock].price))
		p.s.work.spend(2*len(pat.entries) + depth)
	}
	const perturbation = 1e-8
	position := make([]int, len(p.patterns))
	for i, j := range columns {
		position[j] = i
	}
	for r, c := range p.constraints {
		shift := float64(float64(r%89+11) * perturbation)
		lp.b[r] = float64(c.rhs) + shift
		sign := 1.0
		if c.atLeast {
			lp.b[r], sign = float64(c.rhs)-shift, -1
		}
		lp.addCoefficient(r, sign)
		lp.endColumn(0)
		lp.basis[r] = len(columns) + r
	}
	slackBasis := slices.Clone(lp.basis)
	for r, j := range basis {
		if j >= 0 {
			lp.basis[r] = position[j]
		} else {
			lp.basis[r] = len(columns) - 1 - j
		}
	}
	if !lp.refactor() {
		if copy(lp.basis, slackBasis); !lp.refactor() {
			return nil
		}
	}
	for r, j := range lp.basis {
		lp.rowOf[j] = r
	}
	lp.restoreFeasibility(float64(5_000 * float64(highestPrice)))
	return lp
}

// bound returns a lower bound on the cost of solutions under the constraints, in integers, and the
// patterns that a solution below the limit can have, by their reduced cost. y are the dual values,
// rounded to 1/2^scale and to the sign that they must have:
//
//	Σ y b + Σ over patterns of min(0, price − y A) × the most boards of it
func (p *patternProgram) bound(lp *linearProgram, columns []int) (bound int64, kept []int) {
	size := 1.0
	for r, y := range lp.y {
		size += math.Abs(float64(y * lp.b[r]))
	}
	scale := 30
	for ; scale > 0 && float64(size*float64(int64(1)<<scale)) > 1<<50; scale-- {
	}
	if size > 1<<56 {
		return 0, columns
	}
	y := make([]int64, len(p.constraints))
	var sum int64
	for r, c := range p.constraints {
		y[r] = int64(float64(lp.y[r] * float64(int64(1)<<scale)))
		if c.atLeast {
			y[r] = max(0, y[r])
		} else {
			y[r] = min(0, y[r])
		}
		sum += y[r] * int64(c.rhs)
	}
	reducedCost := make([]int64, len(columns))
	for i, j := range columns {
		pat := &p.patterns[j]
		d := p.s.m.stocks[pat.stock].price << scale
		maxBoards := 0
		for _, e := range pat.entries {
			d -= y[e.item] * int64(e.count)
			maxBoards = max(maxBoards, (p.s.m.demand[e.item]+e.count-1)/e.count)
		}
		if r := p.stockRow[pat.stock]; r >= 0 {
			d -= y[r]
			maxBoards = min(maxBoards, p.constraints[r].rhs)
		}
		for r := p.baseRows; r < len(p.constraints); r++ {
			if p.constraints[r].members[j] {
				d -= y[r]
			}
		}
		if reducedCost[i] = d; d < 0 {
			sum += max(d*int64(maxBoards), -1<<50)
		}
		p.s.work.spend(2*len(pat.entries) + 2 + len(p.constraints) - p.baseRows)
	}
	cost := func(sum int64) int64 { return (max(sum, 0) + 1<<scale - 1) >> scale }
	bound = p.s.costTable.roundUp(cost(sum))
	for i, j := range columns {
		if reducedCost[i] <= 0 || cost(sum+reducedCost[i]) < p.costLimit {
			kept = append(kept, j)
		}
	}
	return bound, kept
}

// roundSolution rounds the solution down, then up where the pattern still fits the demand,
// completes it by first fit decreasing and offers it.
func (p *patternProgram) roundSolution(x []float64) {
	demand := slices.Clone(p.s.m.demand)
	available := p.s.availability()
	var fixed []pattern
	fix := func(j, n int) {
		entries := limitedToDemand(p.patterns[j].entries, demand)
		for _, e := range entries {
			n = min(n, max(1, demand[e.item]/e.count))
		}
		n = min(n, available[p.patterns[j].stock])
		if n <= 0 || len(entries) == 0 {
			return
		}
		for _, e := range entries {
			demand[e.item] -= n * e.count
		}
		available[p.patterns[j].stock] -= n
		fixed = append(fixed, pattern{p.patterns[j].stock, n, entries})
	}
	var order []int
	for j, v := range x {
		if v > 1e-6 {
			order = append(order, j)
			fix(j, int(v+1e-6))
		}
	}
	frac := func(j int) float64 { return x[j] - math.Floor(x[j]+1e-6) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(frac(b), frac(a)) })
	for _, j := range order {
		if frac(j) > 0.4 && withinDemand(p.patterns[j].entries, demand) {
			fix(j, 1)
		}
	}
	p.s.completeByFirstFit(fixed, demand)
}

// branchingSet returns a set of patterns whose sum of boards is fractional, and the sum; nil if
// there is none. The kinds of sets are tried in a fixed order, and of a kind the sum closest to one
// half is taken.
func (p *patternProgram) branchingSet(x []float64) (members []bool, sum float64) {
	var positive []int
	for j, v := range x {
		if v > 1e-6 {
			positive = append(positive, j)
		}
	}
	membership := func(member func(pat *pattern) bool) []bool {
		out := make([]bool, len(p.patterns))
		for j := range p.patterns {
			out[j] = member(&p.patterns[j])
		}
		p.s.work.spend(len(out))
		return out
	}
	sumOf := func(member func(pat *pattern) bool) float64 {
		s := 0.0
		for _, j := range positive {
			if member(&p.patterns[j]) {
				s += x[j]
			}
		}
		return s
	}
	var bestMember func(pat *pattern) bool
	closest := 0.5 - 1e-4
	consider := func(member func(pat *pattern) bool) {
		s := sumOf(member)
		if d := math.Abs(s - math.Floor(s) - 0.5); d < closest-1e-9 {
			closest, bestMember, sum = d, member, s
		}
	}
	chosen := func() bool {
		if bestMember != nil {
			members = membership(bestMember)
		}
		return bestMember != nil
	}
	if consider(func(*pattern) bool { return true }); chosen() {
		return members, sum
	}
	for k := range p.s.m.stocks {
		consider(func(pat *pattern) bool { return pat.stock == k })
	}
	if chosen() {
		return members, sum
	}
	for i := range p.s.m.sizes {
		for count := 1; count <= 6; count++ {
			member := func(pat *pattern) bool { return countOf(pat.entries, i) >= count }
			if sumOf(member) < 1e-6 {
				break
			}
			consider(member)
		}
	}
	if chosen() {
		return members, sum
	}
	for _, j := range positive {
		for a, e := range p.patterns[j].entries {
			for _, other := range p.patterns[j].entries[a+1:] {
				consider(func(pat *pattern) bool {
					return countOf(pat.entries, e.item) > 0 && countOf(pat.entries, other.item) > 0
				})
			}
		}
	}
	if chosen() {
		return members, sum
	}
	for _, j := range positive {
		one := &p.patterns[j]
		consider(func(pat *pattern) bool { return pat == one })
	}
	chosen()
	return members, sum
}
