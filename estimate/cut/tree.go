package cut

import (
	"container/heap"
	"fmt"
	"math"
	"slices"
)

// node is a node of the branch and bound tree: the solutions with board counts within limits. None
// of them costs less than bound.
type node struct {
	low, high []int
	bound     int64
	created   int // its place in the order of creation
}

// nodeQueue is a heap of open nodes: the lowest bound first, then the newest.
type nodeQueue []node

func (q nodeQueue) Len() int { return len(q) }

func (q nodeQueue) Less(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound < q[j].bound
	}
	return q[i].created > q[j].created
}

func (q nodeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

func (q *nodeQueue) Push(last any) { *q = append(*q, last.(node)) }

func (q *nodeQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// tree is branch and bound on the numbers of boards of each stock, best bound first. Once all
// numbers are fixed, so is the cost: there the master tells whether the boards can hold the pieces
// fractionally, and dives or the pattern program look for a solution.
//
// Branching on the number of boards: Alves and Valerio de Carvalho (2008).
type tree struct {
	s              *search
	master         *master
	open           nodeQueue
	unresolved     []node // that could not be decided
	relaxation     *boardRelaxation
	examined       map[string]bool // board counts that were examined: whether they are closed
	fractionalCuts int             // attempts to cut off fractional counts
	createdCount   int
}

// newTree returns a tree that is not yet begun.
func newTree(s *search) *tree {
	return &tree{s: s, relaxation: newBoardRelaxation(s.m, s.work), examined: map[string]bool{}}
}

// run continues the search of the tree until it is done or the work is spent, and raises the lower
// bound. When all open nodes are done, the unresolved ones are open for the next run.
func (t *tree) run() {
	s := t.s
	if t.master == nil {
		t.master = newMaster(s.m, true, s.incumbent.cost, s.work)
		t.open = nodeQueue{{low: slices.Clone(t.master.low), high: slices.Clone(t.master.high), bound: s.lowerBound}}
		t.cutAt(t.open[0].low, t.open[0].high)
	}
	for len(t.open) > 0 && !s.work.spent() && !s.foundAny() {
		n := heap.Pop(&t.open).(node)
		if n.bound >= s.incumbent.cost {
			continue
		}
		s.raiseBound(min(n.bound, t.lowestBound(t.unresolved)))
		t.process(n)
	}
	s.raiseBound(min(s.incumbent.cost, t.lowestBound(t.unresolved), t.lowestBound(t.open)))
	if len(t.open) == 0 {
		t.open, t.unresolved = t.unresolved, nil
		for key, decided := range t.examined {
			if !decided {
				delete(t.examined, key)
			}
		}
		heap.Init(&t.open)
	}
}

// lowestBound returns the least bound of nodes.
func (t *tree) lowestBound(list []node) int64 {
	low := int64(math.MaxInt64)
	for _, n := range list {
		low = min(low, n.bound)
	}
	return low
}

// process bounds a node and prunes or branches it.
func (t *tree) process(n node) {
	s := t.s
	bound, z := t.relaxation.bound(n.low, n.high)
	bound = s.costTable.roundUp(max(bound, n.bound))
	if bound >= s.incumbent.cost {
		return
	}
	if z == nil {
		t.unresolved = append(t.unresolved, n)
		return
	}
	if bound > n.bound {
		n.bound = bound
		t.push(n)
		return
	}
	counts := make([]int, len(z))
	for k, v := range z {
		counts[k] = min(max(int(math.Round(v)), n.low[k]), n.high[k])
	}
	if isIntegral(z) && t.cutsOff(counts) {
		t.isolate(n, counts, true)
		return
	}
	if !isIntegral(z) {
		if t.fractionalCuts < 40 {
			t.fractionalCuts++
			if t.cutAt(n.low, n.high) {
				t.push(n)
				return
			}
		}
		t.branch(n, z)
		return
	}
	key := fmt.Sprint(counts)
	decided, seen := t.examined[key]
	if !seen {
		switch t.examine(counts) {
		case countsCutOff, outOfWork:
			t.push(n)
			return
		case countsClosed:
			decided = true
		}
		t.examined[key] = decided
		if n.bound >= s.incumbent.cost {
			return
		}
	}
	t.isolate(n, counts, decided)
}

// cutsOff reports whether a cut is violated by board counts, be it by less than the tolerance of
// the linear program.
func (t *tree) cutsOff(counts []int) bool {
	return slices.ContainsFunc(t.relaxation.cuts, func(c boardCut) bool { return violated(counts, c.coef, c.rhs) })
}

// countsStatus is the result of examining board counts.
type countsStatus int

const (
	countsCutOff countsStatus = iota // a new cut is violated by them
	countsClosed                     // they have no solution, or their best one is found
	countsOpen                       // undecided
	outOfWork
)

// examine looks for a solution with no more than so many boards of each stock, or for a cut that
// they violate.
func (t *tree) examine(counts []int) countsStatus {
	mp := t.master
	clear(mp.low)
	copy(mp.high, counts)
	mp.bestBound = -1
	if !mp.warmStart() {
		return countsOpen
	}
	for {
		if !mp.lp.optimize() {
			if t.s.work.spent() {
				return outOfWork
			}
			return countsOpen
		}
		added := mp.priceColumns()
		if t.addCut(counts) {
			return countsCutOff
		}
		if added == 0 {
			break
		}
	}
	if t.s.work.spent() {
		return outOfWork
	}
	t.diveTwice()
	cost := int64(0)
	for k, n := range counts {
		cost += int64(n) * t.s.m.stocks[k].price
	}
	if cost >= t.s.incumbent.cost || t.solveAt(counts, cost) {
		return countsClosed
	}
	return countsOpen
}

// cutAt solves the master within limits and adds the cut of its bound.
func (t *tree) cutAt(low, high []int) bool {
	mp := t.master
	copy(mp.low, low)
	copy(mp.high, high)
	mp.bestBound = -1
	if !mp.warmStart() || !mp.solve(math.MaxInt64) || mp.bestBound <= 0 {
		return false
	}
	copy(mp.duals, mp.bestDuals)
	copy(mp.patternValue, mp.bestPatternValue)
	return t.addCut(nil)
}

// addCut adds the cut of the last dual values of the master, with pattern values computed with
// closer thresholds. If board counts are given, the cut is added only if they violate it.
func (t *tree) addCut(counts []int) bool {
	mp := t.master
	var rhs int64
	for i, v := range mp.duals {
		rhs += v * int64(mp.demand[i])
	}
	if counts != nil && !violated(counts, mp.patternValue, rhs) {
		return false
	}
	threshold := make([]int64, len(mp.patternValue))
	for k, v := range mp.patternValue {
		v = min(v, t.s.m.stocks[k].price<<mp.shift)
		threshold[k] = v - v>>4
	}
	mp.knapsack.solve(mp.duals, mp.m.demand, threshold)
	if mp.knapsack.overflow || !t.relaxation.addCut(mp.knapsack.target, rhs) {
		return false
	}
	last := t.relaxation.cuts[len(t.relaxation.cuts)-1]
	return counts == nil || violated(counts, last.coef, last.rhs)
}

// branch divides a node at the count that is farthest from a whole number.
func (t *tree) branch(n node, z []float64) {
	k, closest := -1, 1.0
	for i, v := range z {
		if distance := math.Abs(v - math.Floor(v) - 0.5); n.low[i] < n.high[i] && distance < closest-1e-9 {
			k, closest = i, distance
		}
	}
	if k < 0 {
		t.unresolved = append(t.unresolved, n)
		return
	}
	floor := min(max(int(math.Floor(z[k])), n.low[k]), n.high[k]-1)
	t.push(n.child(k, n.low[k], floor))
	t.push(n.child(k, floor+1, n.high[k]))
}

// isolate divides a node into the given board counts alone and nodes without them. The counts
// themselves are closed, or unresolved.
func (t *tree) isolate(n node, counts []int, decided bool) {
	for k, v := range counts {
		if n.low[k] < v {
			t.push(n.child(k, n.low[k], v-1))
		}
		if v < n.high[k] {
			t.push(n.child(k, v+1, n.high[k]))
		}
		n = n.child(k, v, v)
	}
	if !decided {
		t.unresolved = append(t.unresolved, n)
	}
}

// child returns the node with other limits for a stock.
func (n node) child(k, low, high int) node {
	n.low, n.high = slices.Clone(n.low), slices.Clone(n.high)
	n.low[k], n.high[k] = low, high
	return n
}

// push adds an open node.
func (t *tree) push(n node) {
	t.createdCount++
	n.created = t.createdCount
	heap.Push(&t.open, n)
}

// isIntegral reports whether all counts are whole, within the tolerance.
func isIntegral(z []float64) bool {
	return !slices.ContainsFunc(z, func(v float64) bool { return math.Abs(v-math.Round(v)) > 1e-4 })
}

// diveTwice looks for a solution within the limits of the master by diving.
func (t *tree) diveTwice() {
	before := t.s.incumbent.cost
	for seed := range uint64(2) {
		t.s.dive(t.master.clone(), seed*seedStep)
		if t.s.incumbent.cost < before || t.s.work.spent() {
			return
		}
	}
}

// solveAt solves the pattern program for board counts of a cost. It returns true if that decides
// them.
func (t *tree) solveAt(counts []int, cost int64) (closed bool) {
	s := t.s
	if s.pool == nil || s.pool.costLimit <= cost {
		return false
	}
	var patterns []pattern
	for _, p := range s.pool.patternsBelow(cost + 1) {
		if counts[p.stock] > 0 {
			patterns = append(patterns, p)
		}
	}
	s.work.within(s.work.limit/20, func() {
		closed = newPatternProgram(s, patterns, s.incumbent.cost, counts).solve()
	})
	return closed
}
