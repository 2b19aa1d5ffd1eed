package cut

import (
	"math/bits"
	"slices"
)

// master is the linear program over all layouts,
//
//	minimise  Σ price(stock of j) x(j)
//	subject to  Σ pieces of group g in layout j × x(j) ≥ need(g)  for every group
//	            low(k) ≤ Σ x(j) over layouts on stock k ≤ high(k)
//
// whose columns are made as they are asked for: Gilmore and Gomory (1961, 1963).
type master struct {
	m    *model
	lp   *program
	pack *knapsack
	work *work

	need      []int
	low, high []int
	rowHigh   []int // row of Σ ≤ high of each stock, or -1
	rowLow    []int
	made      []made // of each column of lp
	known     map[string]bool
	big       float64
	scale     uint
	shift     uint // the scale of the last pricing: less where the program lacks a solution

	value           []int64 // integer worth of a piece of each group, at the last pricing
	most            []int64 // what a board of each stock can be worth at most with it
	asked           []int64
	bound           int64 // scaled, of the last pricing
	best            int64 // the largest bound so far
	bestV, bestMost []int64
	bestShift       uint
}

// made says what a column of the master is: a layout, or else a slack or a
// stand-in for what is missing.
type made struct {
	stock int // -1 if it is none
	items []item
}

// standIn marks the columns that stand in for what is missing.
var standIn = []item{}

// newMaster returns the program with a first solution. boxed asks for rows for
// the number of every stock, so that they can be limited later; top is a cost
// that is known to do.
func newMaster(m *model, boxed bool, top int64, w *work) *master {
	n := len(m.takes)
	a := &master{
		m: m, pack: newKnapsack(m, w), work: w, need: slices.Clone(m.need),
		known: map[string]bool{}, best: -1,
		value: make([]int64, n), most: make([]int64, len(m.stocks)), asked: make([]int64, len(m.stocks)),
	}
	a.scale = uint(max(0, 40-bits.Len64(uint64(top))))
	a.scale = min(a.scale, 30)
	rows, dearest := n, int64(1)
	for k, s := range m.stocks {
		high := -1
		dearest = max(dearest, s.price)
		limit := m.count
		if s.price > 0 {
			limit = int(min(int64(limit), top/s.price))
		}
		if s.left < limit || boxed {
			high, rows = rows, rows+1
		}
		a.rowHigh = append(a.rowHigh, high)
		a.high = append(a.high, min(s.left, limit))
		low := -1
		if boxed {
			low, rows = rows, rows+1
		}
		a.rowLow = append(a.rowLow, low)
		a.low = append(a.low, 0)
		_ = k
	}
	a.big = float64(5_000 * float64(dearest))
	a.lp = newProgram(rows, float64(1e-7*float64(dearest)), w)
	a.start()
	return a
}

// start gives every row its first column: boards of one group for a group's, if
// there is a stock without limit for it, and a slack for a stock's.
func (a *master) start() {
	for g := range a.m.takes {
		stock, per := a.cheapestFor(g)
		if stock < 0 {
			a.base(a.addColumn(made{stock: -1}, column{rows: []int32{int32(g)}, vals: []float64{1}, cost: a.big}), g)
			continue
		}
		a.base(a.addLayout(stock, []item{{g, per}}), g)
	}
	for g := range a.m.takes {
		a.addColumn(made{stock: -1}, column{rows: []int32{int32(g)}, vals: []float64{-1}})
	}
	for k := range a.m.stocks {
		if r := a.rowHigh[k]; r >= 0 {
			a.base(a.addColumn(made{stock: -1}, column{rows: []int32{int32(r)}, vals: []float64{1}}), r)
		}
		if r := a.rowLow[k]; r >= 0 {
			a.base(a.addColumn(made{stock: -1}, column{rows: []int32{int32(r)}, vals: []float64{-1}}), r)
		}
	}
	a.setRHS()
	a.refresh()
}

// cheapestFor returns the stock on which a piece of a group is cheapest, of
// those without a row, and how many there are on a board.
func (a *master) cheapestFor(g int) (stock, per int) {
	stock = -1
	for k, s := range a.m.stocks {
		n := min(int(s.holds/a.m.takes[g]), a.need[g])
		if n == 0 || a.rowHigh[k] >= 0 {
			continue
		}
		if stock < 0 || s.price*int64(per) < a.m.stocks[stock].price*int64(n) {
			stock, per = k, n
		}
	}
	return stock, per
}

func (a *master) base(col, row int) {
	a.lp.basis[row], a.lp.at[col] = col, row
}

func (a *master) addColumn(d made, c column) int {
	a.made = append(a.made, d)
	return a.lp.add(c)
}

// addLayout adds a layout as a column and returns it; below 0, it was there.
func (a *master) addLayout(stock int, items []item) int {
	key := layout{stock: stock, items: items}.key(make([]byte, 0, 4+4*len(items)))
	if a.known[string(key)] {
		return -1
	}
	a.known[string(key)] = true
	c := column{cost: float64(a.m.stocks[stock].price)}
	for _, it := range items {
		c.rows, c.vals = append(c.rows, int32(it.group)), append(c.vals, float64(it.count))
	}
	for _, r := range []int{a.rowHigh[stock], a.rowLow[stock]} {
		if r >= 0 {
			c.rows, c.vals = append(c.rows, int32(r)), append(c.vals, 1)
		}
	}
	return a.addColumn(made{stock, items}, c)
}

// setRHS sets the right hand sides. They are moved by a hair, each by another,
// so that the simplex method does not stand still; what is claimed does not
// depend on it.
func (a *master) setRHS() {
	const hair = 1e-6
	for g, n := range a.need {
		d := float64(float64(g%89+11)*hair) / 100
		if n == 0 {
			d = -d
		}
		a.lp.b[g] = float64(n) + d
	}
	for k := range a.m.stocks {
		d := float64(float64(k%23+11)*hair) / 100
		if r := a.rowHigh[k]; r >= 0 {
			a.lp.b[r] = float64(a.high[k]) + d
		}
		if r := a.rowLow[k]; r >= 0 {
			a.lp.b[r] = float64(a.low[k]) - d
		}
	}
}

// refresh solves the basis again after a change to needs or limits: layouts
// with more pieces than are needed become dear, and what the basis lacks is
// stood in for.
func (a *master) refresh() bool {
	for j, d := range a.made {
		if d.stock < 0 {
			if d.items != nil && a.lp.at[j] < 0 {
				a.lp.cols[j] = column{cost: a.big} // it has stood in once, and is done
			}
			continue
		}
		cost := float64(a.m.stocks[d.stock].price)
		if a.high[d.stock] == 0 || !fits(d.items, a.need) {
			cost = a.big
		}
		a.lp.cols[j].cost = cost
	}
	a.setRHS()
	if a.lp.since >= refactorAfter/2 || !a.inverted() {
		if !a.lp.refactor() {
			return false
		}
	} else {
		a.lp.reprice()
		a.lp.resolve()
	}
	before := len(a.lp.cols)
	a.lp.restore(a.big)
	for range len(a.lp.cols) - before {
		a.made = append(a.made, made{stock: -1, items: standIn})
	}
	return true
}

func (a *master) inverted() bool { return len(a.lp.inv) == 0 || a.lp.inv[0] != 0 || a.lp.since > 0 }

// clone returns a copy that can be changed by itself. It shares the knapsack.
func (a *master) clone() *master {
	b := *a
	b.lp = a.lp.clone()
	b.need, b.low, b.high = slices.Clone(a.need), slices.Clone(a.low), slices.Clone(a.high)
	b.made = slices.Clone(a.made)
	b.value, b.most, b.asked = slices.Clone(a.value), slices.Clone(a.most), slices.Clone(a.asked)
	b.known = make(map[string]bool, len(a.known))
	for k := range a.known {
		b.known[k] = true
	}
	a.work.spend(60 * len(a.made))
	b.best, b.bestV, b.bestMost = -1, nil, nil
	return &b
}

// solve makes columns until the program is solved, or its bound, raised to a
// whole cost, reaches its value or enough. ok is false if the work was spent or
// the numbers went bad; the bound holds nevertheless.
func (a *master) solve(enough int64) (ok bool) {
	for {
		if !a.lp.optimise() {
			return false
		}
		added := a.price()
		if a.bound > a.best {
			a.best = a.bound
			a.bestShift = a.shift
			a.bestV, a.bestMost = append(a.bestV[:0], a.value...), append(a.bestMost[:0], a.most...)
		}
		if added == 0 {
			return true
		}
		if a.whole() >= enough {
			return true
		}
	}
}

// whole is the best bound as a cost.
func (a *master) whole() int64 {
	if a.best <= 0 {
		return 0
	}
	return (a.best + 1<<a.scale - 1) >> a.scale
}

// price looks for layouts that improve the solution, adds them and returns how
// many. It sets bound.
//
// The prices of the rows are cut off to integers y(g) ≥ 0 of 1/2^scale. Then no
// board of stock k is worth more than most(k), found in integers, and
//
//	Σ y(g) × need(g) + Σ min over low(k) ≤ z ≤ high(k) of (price(k) − most(k)) z
//
// is a bound whatever the y are, after Farley (1990) and Lagrange.
func (a *master) price() (added int) {
	worth := 0.0
	for g, n := range a.need {
		worth += float64(max(0, a.lp.y[g]) * float64(n))
	}
	a.shift = a.scale
	for ; a.shift > 0 && float64(worth*float64(int64(1)<<a.shift)) > 1<<41; a.shift-- {
	}
	unit := float64(int64(1) << a.shift)
	for g := range a.value {
		a.value[g] = toInt(float64(a.lp.y[g] * unit))
		if a.need[g] == 0 {
			a.value[g] = 0
		}
	}
	for k, s := range a.m.stocks {
		p := float64(s.price)
		if r := a.rowHigh[k]; r >= 0 {
			p -= a.lp.y[r]
		}
		if r := a.rowLow[k]; r >= 0 {
			p -= a.lp.y[r]
		}
		a.asked[k] = toInt(float64(p * unit))
		if a.high[k] == 0 {
			a.asked[k] = maxValue
		}
	}
	a.pack.solve(a.value, a.need, a.asked)
	if a.pack.over {
		a.bound = 0
		return 0
	}
	tol := toInt(float64(a.lp.tol * unit))
	for k, last := range a.pack.best {
		a.most[k] = a.pack.asked[k]
		if last != noStep && a.pack.asked[k] > a.asked[k]+tol && a.addLayout(k, a.pack.items(last)) >= 0 {
			added++
		}
	}
	a.bound = a.boundOf(a.value, a.most, a.low, a.high, a.shift)
	return added
}

// maxValue is more than any board is worth.
const maxValue = 1 << 45

func toInt(f float64) int64 {
	if !(f > 0) {
		return 0
	}
	if f > maxValue {
		return maxValue
	}
	return int64(f)
}

// boundOf returns the scaled bound of integer values for pieces, given what a
// board of each stock is worth at most and how many of it there may be. If
// boards of a stock without limit are worth more than their price, all values
// are scaled down.
func (a *master) boundOf(value, most []int64, low, high []int, shift uint) int64 {
	const fine = 20 // bits of the factor
	factor := int64(1 << fine)
	for k, s := range a.m.stocks {
		price := s.price << shift
		if a.rowHigh[k] < 0 && most[k] > price {
			factor = min(factor, int64(float64(float64(price)/float64(most[k]))*float64(int64(1)<<fine)))
		}
	}
	var sum int64
	for g, v := range value {
		sum += v * int64(a.need[g])
	}
	if sum >= 1<<62>>fine {
		return 0
	}
	bound := sum * factor
	for k, s := range a.m.stocks {
		if high[k] == 0 {
			continue
		}
		price := s.price << shift
		if most[k] > 1<<42 {
			return 0
		}
		d := price<<fine - most[k]*factor
		n := int64(low[k])
		if d < 0 {
			n = int64(high[k])
		}
		hi, lo := bits.Mul64(uint64(abs(d)), uint64(n))
		if hi != 0 || lo >= 1<<62 {
			return 0
		}
		if d < 0 {
			bound -= int64(lo)
		} else {
			bound += int64(lo)
		}
		if bound < -1<<62 || bound > 1<<62 {
			return 0
		}
	}
	if bound <= 0 {
		return 0
	}
	bound = (bound + 1<<fine - 1) >> fine
	if up := a.scale - shift; bound < 1<<60>>up {
		return bound << up
	}
	return 1 << 60
}

func abs(a int64) int64 { return max(a, -a) }
