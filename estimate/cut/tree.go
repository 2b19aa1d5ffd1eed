package cut

import (
	"container/heap"
	"fmt"
	"math"
	"slices"
)

// box is a part of all cuttings: those with a number of boards of each stock
// within limits. No cutting in it costs less than bound.
type node struct {
	low, high []int
	bound     int64 // a cost
	created   int
}

// boxes is a heap: the lowest bound first, then the youngest.
type nodeQueue []node

func (b nodeQueue) Len() int { return len(b) }

func (b nodeQueue) Less(i, j int) bool {
	if b[i].bound != b[j].bound {
		return b[i].bound < b[j].bound
	}
	return b[i].created > b[j].created
}

func (b nodeQueue) Swap(i, j int) { b[i], b[j] = b[j], b[i] }

func (b *nodeQueue) Push(x any) { *b = append(*b, x.(node)) }

func (b *nodeQueue) Pop() any {
	x := (*b)[len(*b)-1]
	*b = (*b)[:len(*b)-1]
	return x
}

// tree divides all cuttings by their numbers of boards of each stock, box by
// box, the one with the lowest bound first. Once all numbers are fixed, so is
// the cost: there the master tells whether the boards can hold the pieces in
// part, and dives or the pattern program look for a cutting.
//
// Branching on the number of boards: Alves and Valerio de Carvalho (2008).
type tree struct {
	s              *search
	master         *master
	open           nodeQueue
	unresolved     []node // that could not be decided
	relaxation     *boardRelaxation
	examined       map[string]bool // numbers of boards that have been looked into: whether they are decided
	fractionalCuts int             // visits whose fractions are worth a cut
	createdCount   int
}

func newTree(s *search) *tree {
	return &tree{s: s, relaxation: newBoardRelaxation(s.m, s.work), examined: map[string]bool{}}
}

// run goes on with the tree until it is done or the work is spent. It raises
// the bound of the search.
func (t *tree) run() {
	s := t.s
	if t.master == nil {
		t.master = newMaster(s.m, true, s.incumbent.cost, s.work)
		t.open = nodeQueue{{low: slices.Clone(t.master.low), high: slices.Clone(t.master.high), bound: s.lowerBound}}
		t.cutAt(t.open[0].low, t.open[0].high)
	}
	for len(t.open) > 0 && !s.work.spent() && !s.foundAny() {
		b := heap.Pop(&t.open).(node)
		if b.bound >= s.incumbent.cost {
			continue
		}
		s.raiseBound(min(b.bound, t.lowestBound(t.unresolved)))
		t.process(b)
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

func (t *tree) lowestBound(list []node) int64 {
	low := int64(math.MaxInt64)
	for _, b := range list {
		low = min(low, b.bound)
	}
	return low
}

// visit bounds a box and divides it.
func (t *tree) process(b node) {
	s := t.s
	bound, z := t.relaxation.bound(b.low, b.high)
	bound = s.costTable.roundUp(max(bound, b.bound))
	if bound >= s.incumbent.cost {
		return
	}
	if z == nil {
		t.unresolved = append(t.unresolved, b)
		return
	}
	if bound > b.bound {
		b.bound = bound
		t.push(b)
		return
	}
	point := make([]int, len(z))
	for k, v := range z {
		point[k] = min(max(int(math.Round(v)), b.low[k]), b.high[k])
	}
	if isIntegral(z) && t.cutsOff(point) {
		t.isolate(b, point, true)
		return
	}
	if !isIntegral(z) {
		if t.fractionalCuts < 40 {
			t.fractionalCuts++
			if t.cutAt(b.low, b.high) {
				t.push(b)
				return
			}
		}
		t.branch(b, z)
		return
	}
	key := fmt.Sprint(point)
	decided, asked := t.examined[key]
	if !asked {
		switch t.examine(point) {
		case pointCutOff:
			t.push(b)
			return
		case outOfWork:
			t.push(b)
			return
		case pointClosed:
			decided = true
		}
		t.examined[key] = decided
		if b.bound >= s.incumbent.cost {
			return
		}
	}
	t.isolate(b, point, decided)
}

// forbidden reports whether a cut forbids a point, be it by less than the
// numbers of the linear program show.
func (t *tree) cutsOff(point []int) bool {
	return slices.ContainsFunc(t.relaxation.cuts, func(c boardCut) bool { return violated(point, c.coef, c.rhs) })
}

// What asking about numbers of boards comes to.
type pointStatus int

const (
	pointCutOff pointStatus = iota // a cut forbids them now
	pointClosed                    // they hold no cutting, or the best one is found
	pointOpen                      // undecided
	outOfWork                      // the work is spent
)

// ask looks for a cutting with so many boards of each stock, or for a cut that
// forbids them.
func (t *tree) examine(point []int) pointStatus {
	mp := t.master
	copy(mp.low, point)
	copy(mp.high, point)
	for k := range mp.low {
		mp.low[k] = 0
	}
	mp.bestBound = -1
	if !mp.warmStart() {
		return pointOpen
	}
	for {
		if !mp.lp.optimize() {
			if t.s.work.spent() {
				return outOfWork
			}
			return pointOpen
		}
		added := mp.priceColumns()
		if t.addCut(point) {
			return pointCutOff
		}
		if added == 0 {
			break
		}
	}
	if t.s.work.spent() {
		return outOfWork
	}
	t.diveAt(point)
	cost := int64(0)
	for k, n := range point {
		cost += int64(n) * t.s.m.stocks[k].price
	}
	if cost >= t.s.incumbent.cost {
		return pointClosed
	}
	if t.solvePoint(point, cost) {
		return pointClosed
	}
	return pointOpen
}

// cut solves the master within limits and adds the cut of its bound.
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

// addCut adds the cut of the last prices of the master, with what boards are
// worth found more closely. If a point is given, the cut is added only if it
// forbids the point.
func (t *tree) addCut(point []int) bool {
	mp := t.master
	var total int64
	for i, v := range mp.duals {
		total += v * int64(mp.demand[i])
	}
	if point != nil && !violated(point, mp.patternValue, total) {
		return false
	}
	threshold := make([]int64, len(mp.patternValue))
	for k, m := range mp.patternValue {
		m = min(m, t.s.m.stocks[k].price<<mp.shift)
		threshold[k] = m - m>>4
	}
	mp.knapsack.solve(mp.duals, mp.m.demand, threshold)
	if mp.knapsack.overflow || !t.relaxation.addCut(mp.knapsack.target, total) {
		return false
	}
	last := t.relaxation.cuts[len(t.relaxation.cuts)-1]
	return point == nil || violated(point, last.coef, last.rhs)
}

// halve divides a box at the number farthest from whole.
func (t *tree) branch(b node, z []float64) {
	k, closest := -1, 1.0
	for i, v := range z {
		if d := math.Abs(v - math.Floor(v) - 0.5); b.low[i] < b.high[i] && d < closest-1e-9 {
			k, closest = i, d
		}
	}
	if k < 0 {
		t.unresolved = append(t.unresolved, b)
		return
	}
	at := min(max(int(math.Floor(z[k])), b.low[k]), b.high[k]-1)
	t.push(b.child(k, b.low[k], at))
	t.push(b.child(k, at+1, b.high[k]))
}

// without divides a box so that a point stands alone; it is stuck if it is not
// decided.
func (t *tree) isolate(b node, point []int, decided bool) {
	for k, at := range point {
		if b.low[k] < at {
			t.push(b.child(k, b.low[k], at-1))
		}
		if at < b.high[k] {
			t.push(b.child(k, at+1, b.high[k]))
		}
		b = b.child(k, at, at)
	}
	if !decided {
		t.unresolved = append(t.unresolved, b)
	}
}

// part returns the box with other limits for a stock.
func (b node) child(k, low, high int) node {
	b.low, b.high = slices.Clone(b.low), slices.Clone(b.high)
	b.low[k], b.high[k] = low, high
	return b
}

func (t *tree) push(b node) {
	t.createdCount++
	b.created = t.createdCount
	heap.Push(&t.open, b)
}

func isIntegral(z []float64) bool {
	return !slices.ContainsFunc(z, func(v float64) bool { return math.Abs(v-math.Round(v)) > 1e-4 })
}

// dive looks for a cutting with so many boards of each stock.
func (t *tree) diveAt(point []int) {
	for seed := range 2 {
		c := t.master.clone()
		before := t.s.incumbent.cost
		t.s.dive(c, nil, uint64(seed)*0x9E3779B97F4A7C15)
		if t.s.incumbent.cost < before || t.s.work.spent() {
			return
		}
	}
}

// leaf solves the pattern program for so many boards of each stock, at a cost.
// It returns true if that decides it.
func (t *tree) solvePoint(point []int, cost int64) (closed bool) {
	s := t.s
	if s.pool == nil || s.pool.costLimit <= cost {
		return false
	}
	var patterns []pattern
	for _, p := range s.pool.patternsBelow(cost + 1) {
		if point[p.stock] > 0 {
			patterns = append(patterns, p)
		}
	}
	s.work.within(s.work.limit/20, func() {
		closed = newPatternProgram(s, patterns, s.incumbent.cost, point).solve()
	})
	return closed
}
