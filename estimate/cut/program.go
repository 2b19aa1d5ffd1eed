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
	s      *search
	list   []layout
	limit  int64 // the cost sought is below
	rows   []row // groups, stocks that may run out, branches
	rowOf  []int // of each stock, or -1
	groups int
	plain  int // rows that are no branches
	nodes  int
	lps    []*program // of each depth, for use again
}

// row is a row of the program: the boards of the layouts it has are at least,
// or at most, so many. A branch has the layouts marked.
type row struct {
	has     []bool
	atLeast bool
	rhs     int
}

// newPatternProgram returns the program of a list, with no more boards of each stock
// than most.
func newPatternProgram(s *search, list []layout, limit int64, most []int) *patternProgram {
	p := &patternProgram{s: s, list: list, limit: limit, groups: len(s.m.takes)}
	for _, n := range s.m.need {
		p.rows = append(p.rows, row{atLeast: true, rhs: n})
	}
	for k := range s.m.stocks {
		p.rowOf = append(p.rowOf, -1)
		if most[k] < s.m.count {
			p.rowOf[k] = len(p.rows)
			p.rows = append(p.rows, row{rhs: most[k]})
		}
	}
	p.plain = len(p.rows)
	return p
}

// solve returns true if there is no cutting of the list below limit, or the
// best one has been offered.
func (p *patternProgram) solve() (closed bool) {
	basis := make([]int, len(p.rows))
	for r := range basis {
		basis[r] = -1 - r
	}
	all := make([]int, len(p.list))
	for j := range all {
		all[j] = j
	}
	return p.node(basis, all)
}

// node solves a node of the tree and those below it. basis is that of the node
// above, a layout for each row, or -1 - r for the slack of row r; list is the
// layouts that are not too dear.
func (p *patternProgram) node(basis, list []int) (closed bool) {
	const deepest = 200
	depth := len(p.rows) - p.plain
	if p.s.work.spent() || depth > deepest {
		return false
	}
	p.nodes++
	lp := p.relax(basis, list)
	if lp == nil || !lp.optimise() {
		return false
	}
	bound, kept := p.bound(lp, list)
	if bound >= p.limit {
		return true
	}
	x := make([]float64, len(p.list))
	for i, j := range lp.basis {
		switch {
		case j < len(list):
			x[list[j]] = lp.x[i]
		case j >= len(list)+len(lp.basis) && lp.x[i] > 1e-6:
			return false // no solution, and the bound does not say so: the numbers are bad
		}
	}
	if p.round(x); p.s.best.cost < p.limit {
		p.limit = p.s.best.cost
	}
	if bound >= p.limit || p.s.found() {
		return true
	}
	has, sum := p.split(x)
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
	branches := [2]row{{has, true, floor + 1}, {has, false, floor}}
	if sum-math.Floor(sum) < 0.3 {
		branches[0], branches[1] = branches[1], branches[0]
	}
	closed = true
	for _, b := range branches {
		p.rows = append(p.rows, b)
		closed = p.node(below, kept) && closed
		p.rows = p.rows[:len(p.rows)-1]
		if p.s.work.spent() {
			return false
		}
		if p.s.found() {
			return true
		}
	}
	return closed
}

// relax returns the linear program of a node, solved for a basis. Its first
// columns are the layouts of the list, then come the slacks.
func (p *patternProgram) relax(basis, list []int) *program {
	depth := len(p.rows) - p.plain
	dearest := int64(1)
	for _, s := range p.s.m.stocks {
		dearest = max(dearest, s.price)
	}
	if depth == len(p.lps) {
		p.lps = append(p.lps, newProgram(len(p.rows), float64(1e-7*float64(dearest)), p.s.work))
	}
	lp := p.lps[depth]
	lp.clear()
	for _, j := range list {
		l := &p.list[j]
		for _, it := range l.items {
			lp.put(it.group, float64(it.count))
		}
		if r := p.rowOf[l.stock]; r >= 0 {
			lp.put(r, 1)
		}
		for r := p.plain; r < len(p.rows); r++ {
			if p.rows[r].has[j] {
				lp.put(r, 1)
			}
		}
		lp.end(float64(p.s.m.stocks[l.stock].price))
		p.s.work.spend(2*len(l.items) + depth)
	}
	const hair = 1e-8
	place := make([]int, len(p.list))
	for i, j := range list {
		place[j] = i
	}
	for r, w := range p.rows {
		off := float64(float64(r%89+11) * hair)
		lp.b[r] = float64(w.rhs) + off
		sign := 1.0
		if w.atLeast {
			lp.b[r], sign = float64(w.rhs)-off, -1
		}
		lp.put(r, sign)
		lp.end(0)
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
		lp.at[j] = r
	}
	lp.restore(float64(5_000 * float64(dearest)))
	return lp
}

// bound returns a bound on the cost of any cutting of the list under the
// branches, in integers, and the layouts that a cutting below the limit can
// have. y are the row prices cut off to 1/2^scale, of the sign that they must
// have:
//
//	Σ y b + Σ over layouts of min(0, price − y A) × most
func (p *patternProgram) bound(lp *program, list []int) (bound int64, kept []int) {
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
	y := make([]int64, len(p.rows))
	var sum int64
	for r, w := range p.rows {
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
		l := &p.list[j]
		d := p.s.m.stocks[l.stock].price << scale
		most := 0
		for _, it := range l.items {
			d -= y[it.group] * int64(it.count)
			most = max(most, (p.s.m.need[it.group]+it.count-1)/it.count)
		}
		if r := p.rowOf[l.stock]; r >= 0 {
			d -= y[r]
			most = min(most, p.rows[r].rhs)
		}
		for r := p.plain; r < len(p.rows); r++ {
			if p.rows[r].has[j] {
				d -= y[r]
			}
		}
		if over[i] = d; d < 0 {
			sum += max(d*int64(most), -1<<50)
		}
		p.s.work.spend(2*len(l.items) + 2 + len(p.rows) - p.plain)
	}
	cost := func(sum int64) int64 { return (max(sum, 0) + 1<<scale - 1) >> scale }
	bound = p.s.costs.from(cost(sum))
	for i, j := range list {
		if over[i] <= 0 || cost(sum+over[i]) < p.limit {
			kept = append(kept, j)
		}
	}
	return bound, kept
}

// round offers the solution rounded up if that is a cutting below the limit,
// else rounded down and filled by first fit.
func (p *patternProgram) round(x []float64) {
	need := slices.Clone(p.s.m.need)
	left := make([]int, len(p.s.m.stocks))
	for k, s := range p.s.m.stocks {
		left[k] = s.left
	}
	var fixed []layout
	take := func(j, n int) {
		items := trimmed(p.list[j].items, need)
		for _, it := range items {
			n = min(n, max(1, need[it.group]/it.count))
		}
		n = min(n, left[p.list[j].stock])
		if n <= 0 || len(items) == 0 {
			return
		}
		for _, it := range items {
			need[it.group] -= n * it.count
		}
		left[p.list[j].stock] -= n
		fixed = append(fixed, layout{p.list[j].stock, n, items})
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
		if frac(j) > 0.4 && fits(p.list[j].items, need) {
			take(j, 1)
		}
	}
	p.s.finish(fixed, need, left)
}

// split returns a set of layouts whose sum of boards is not whole, and the sum;
// nil if there is none.
func (p *patternProgram) split(x []float64) (has []bool, sum float64) {
	var used []int
	for j, v := range x {
		if v > 1e-6 {
			used = append(used, j)
		}
	}
	mark := func(in func(l *layout) bool) []bool {
		out := make([]bool, len(p.list))
		for j := range p.list {
			out[j] = in(&p.list[j])
		}
		p.s.work.spend(len(out))
		return out
	}
	sumOf := func(in func(l *layout) bool) float64 {
		s := 0.0
		for _, j := range used {
			if in(&p.list[j]) {
				s += x[j]
			}
		}
		return s
	}
	var best func(l *layout) bool
	closest := 0.5 - 1e-4
	try := func(in func(l *layout) bool) {
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
	if try(func(*layout) bool { return true }); done() {
		return has, sum
	}
	for k := range p.s.m.stocks {
		try(func(l *layout) bool { return l.stock == k })
	}
	if done() {
		return has, sum
	}
	for g := range p.s.m.takes {
		for q := 1; q <= 6; q++ {
			in := func(l *layout) bool { return countOf(l.items, g) >= q }
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
		for a, it := range p.list[j].items {
			for _, other := range p.list[j].items[a+1:] {
				try(func(l *layout) bool { return countOf(l.items, it.group) > 0 && countOf(l.items, other.group) > 0 })
			}
		}
	}
	if done() {
		return has, sum
	}
	for _, j := range used {
		one := &p.list[j]
		try(func(l *layout) bool { return l == one })
	}
	done()
	return has, sum
}

func countOf(items []item, g int) int {
	for _, it := range items {
		if it.group == g {
			return it.count
		}
	}
	return 0
}
