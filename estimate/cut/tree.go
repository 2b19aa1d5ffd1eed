package cut

import (
	"container/heap"
	"fmt"
	"math"
	"slices"
)

// box is a part of all cuttings: those with a number of boards of each stock
// within limits. No cutting in it costs less than bound.
type box struct {
	low, high []int
	bound     int64 // a cost
	born      int
}

// boxes is a heap: the lowest bound first, then the youngest.
type boxes []box

func (b boxes) Len() int { return len(b) }
func (b boxes) Less(i, j int) bool {
	if b[i].bound != b[j].bound {
		return b[i].bound < b[j].bound
	}
	return b[i].born > b[j].born
}
func (b boxes) Swap(i, j int) { b[i], b[j] = b[j], b[i] }
func (b *boxes) Push(x any)   { *b = append(*b, x.(box)) }
func (b *boxes) Pop() any {
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
	s     *search
	a     *master
	open  boxes
	stuck []box // that could not be decided
	cover *cover
	asked map[string]bool // numbers of boards that have been looked into: whether they are decided
	firm  int             // visits whose fractions are worth a cut
	born  int
}

func newTree(s *search) *tree {
	return &tree{s: s, cover: newCover(s.m, s.work), asked: map[string]bool{}}
}

// run goes on with the tree until it is done or the work is spent. It raises
// the bound of the search.
func (t *tree) run() {
	s := t.s
	if t.a == nil {
		t.a = newMaster(s.m, true, s.best.cost, s.work)
		t.open = boxes{{low: slices.Clone(t.a.low), high: slices.Clone(t.a.high), bound: s.bound}}
		t.cut(t.open[0].low, t.open[0].high)
	}
	for len(t.open) > 0 && !s.work.spent() && !s.found() {
		b := heap.Pop(&t.open).(box)
		if b.bound >= s.best.cost {
			continue
		}
		s.raise(min(b.bound, t.lowest(t.stuck)))
		t.visit(b)
	}
	s.raise(min(s.best.cost, t.lowest(t.stuck), t.lowest(t.open)))
	if len(t.open) == 0 {
		t.open, t.stuck = t.stuck, nil
		for key, decided := range t.asked {
			if !decided {
				delete(t.asked, key)
			}
		}
		heap.Init(&t.open)
	}
}

func (t *tree) lowest(list []box) int64 {
	low := int64(math.MaxInt64)
	for _, b := range list {
		low = min(low, b.bound)
	}
	return low
}

// visit bounds a box and divides it.
func (t *tree) visit(b box) {
	s := t.s
	bound, z := t.cover.bound(b.low, b.high)
	bound = s.costs.from(max(bound, b.bound))
	if bound >= s.best.cost {
		return
	}
	if z == nil {
		t.stuck = append(t.stuck, b)
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
	if whole(z) && t.forbidden(point) {
		t.without(b, point, true)
		return
	}
	if !whole(z) {
		if t.firm < 40 {
			t.firm++
			if t.cut(b.low, b.high) {
				t.push(b)
				return
			}
		}
		t.halve(b, z)
		return
	}
	key := fmt.Sprint(point)
	decided, asked := t.asked[key]
	if !asked {
		switch t.ask(point) {
		case again:
			t.push(b)
			return
		case spent:
			t.push(b)
			return
		case no:
			decided = true
		}
		t.asked[key] = decided
		if b.bound >= s.best.cost {
			return
		}
	}
	t.without(b, point, decided)
}

// forbidden reports whether a cut forbids a point, be it by less than the
// numbers of the linear program show.
func (t *tree) forbidden(point []int) bool {
	return slices.ContainsFunc(t.cover.cuts, func(c cut) bool { return broken(point, c.worth, c.total) })
}

// What asking about numbers of boards comes to.
type answer int

const (
	again answer = iota // a cut forbids them now
	no                  // they hold no cutting, or the best one is found
	open                // undecided
	spent               // the work is spent
)

// ask looks for a cutting with so many boards of each stock, or for a cut that
// forbids them.
func (t *tree) ask(point []int) answer {
	a := t.a
	copy(a.low, point)
	copy(a.high, point)
	for k := range a.low {
		a.low[k] = 0
	}
	a.best = -1
	if !a.refresh() {
		return open
	}
	for {
		if !a.lp.optimise() {
			if t.s.work.spent() {
				return spent
			}
			return open
		}
		added := a.price()
		if t.addCut(point) {
			return again
		}
		if added == 0 {
			break
		}
	}
	if t.s.work.spent() {
		return spent
	}
	t.dive(point)
	cost := int64(0)
	for k, n := range point {
		cost += int64(n) * t.s.m.stocks[k].price
	}
	if cost >= t.s.best.cost {
		return no
	}
	if t.leaf(point, cost) {
		return no
	}
	return open
}

// cut solves the master within limits and adds the cut of its bound.
func (t *tree) cut(low, high []int) bool {
	a := t.a
	copy(a.low, low)
	copy(a.high, high)
	a.best = -1
	if !a.refresh() || !a.solve(math.MaxInt64) || a.best <= 0 {
		return false
	}
	copy(a.value, a.bestV)
	copy(a.most, a.bestMost)
	return t.addCut(nil)
}

// addCut adds the cut of the last prices of the master, with what boards are
// worth found more closely. If a point is given, the cut is added only if it
// forbids the point.
func (t *tree) addCut(point []int) bool {
	a := t.a
	var total int64
	for g, v := range a.value {
		total += v * int64(a.need[g])
	}
	if point != nil && !broken(point, a.most, total) {
		return false
	}
	asked := make([]int64, len(a.most))
	for k, m := range a.most {
		m = min(m, t.s.m.stocks[k].price<<a.shift)
		asked[k] = m - m>>4
	}
	a.pack.solve(a.value, a.m.need, asked)
	if a.pack.over || !t.cover.add(a.pack.asked, total) {
		return false
	}
	last := t.cover.cuts[len(t.cover.cuts)-1]
	return point == nil || broken(point, last.worth, last.total)
}

// halve divides a box at the number farthest from whole.
func (t *tree) halve(b box, z []float64) {
	k, closest := -1, 1.0
	for i, v := range z {
		if d := math.Abs(v - math.Floor(v) - 0.5); b.low[i] < b.high[i] && d < closest-1e-9 {
			k, closest = i, d
		}
	}
	if k < 0 {
		t.stuck = append(t.stuck, b)
		return
	}
	at := min(max(int(math.Floor(z[k])), b.low[k]), b.high[k]-1)
	t.push(b.part(k, b.low[k], at))
	t.push(b.part(k, at+1, b.high[k]))
}

// without divides a box so that a point stands alone; it is stuck if it is not
// decided.
func (t *tree) without(b box, point []int, decided bool) {
	for k, at := range point {
		if b.low[k] < at {
			t.push(b.part(k, b.low[k], at-1))
		}
		if at < b.high[k] {
			t.push(b.part(k, at+1, b.high[k]))
		}
		b = b.part(k, at, at)
	}
	if !decided {
		t.stuck = append(t.stuck, b)
	}
}

// part returns the box with other limits for a stock.
func (b box) part(k, low, high int) box {
	b.low, b.high = slices.Clone(b.low), slices.Clone(b.high)
	b.low[k], b.high[k] = low, high
	return b
}

func (t *tree) push(b box) {
	t.born++
	b.born = t.born
	heap.Push(&t.open, b)
}

func whole(z []float64) bool {
	return !slices.ContainsFunc(z, func(v float64) bool { return math.Abs(v-math.Round(v)) > 1e-4 })
}

// dive looks for a cutting with so many boards of each stock.
func (t *tree) dive(point []int) {
	for seed := range 2 {
		c := t.a.clone()
		before := t.s.best.cost
		t.s.dive(c, nil, uint64(seed)*0x9E3779B97F4A7C15)
		if t.s.best.cost < before || t.s.work.spent() {
			return
		}
	}
}

// leaf solves the pattern program for so many boards of each stock, at a cost.
// It returns true if that decides it.
func (t *tree) leaf(point []int, cost int64) (closed bool) {
	s := t.s
	if s.list == nil || s.list.top <= cost {
		return false
	}
	var list []layout
	for _, l := range s.list.below(cost + 1) {
		if point[l.stock] > 0 {
			list = append(list, l)
		}
	}
	s.work.within(s.work.limit/20, func() {
		closed = newPatternProgram(s, list, s.best.cost, point).solve()
	})
	return closed
}
