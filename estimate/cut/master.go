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
	m        *model
	lp       *linearProgram
	knapsack *knapsack
	work     *work

	demand    []int
	low, high []int
	rowHigh   []int // row of Σ ≤ high of each stock, or -1
	rowLow    []int
	columns   []masterColumn // of each column of lp
	present   map[string]bool
	bigM      float64
	scale     uint
	shift     uint // the scale of the last pricing: less where the program lacks a solution

	duals                       []int64 // integer worth of a piece of each group, at the last pricing
	patternValue                []int64 // what a board of each stock can be worth at most with it
	threshold                   []int64
	bound                       int64 // scaled, of the last pricing
	bestBound                   int64 // the largest bound so far
	bestDuals, bestPatternValue []int64
	bestShift                   uint
}

// made says what a column of the master is: a layout, or else a slack or a
// stand-in for what is missing.
type masterColumn struct {
	stock   int // -1 if it is none
	entries []entry
}

// standIn marks the columns that stand in for what is missing.
var artificial = []entry{}

// newMaster returns the program with a first solution. boxed asks for rows for
// the number of every stock, so that they can be limited later; top is a cost
// that is known to do.
func newMaster(m *model, boxed bool, costLimit int64, w *work) *master {
	n := len(m.sizes)
	mp := &master{
		m: m, knapsack: newKnapsack(m, w), work: w, demand: slices.Clone(m.demand),
		present: map[string]bool{}, bestBound: -1,
		duals: make([]int64, n), patternValue: make([]int64, len(m.stocks)), threshold: make([]int64, len(m.stocks)),
	}
	mp.scale = uint(max(0, 40-bits.Len64(uint64(costLimit))))
	mp.scale = min(mp.scale, 30)
	rows, highestPrice := n, int64(1)
	for k, s := range m.stocks {
		high := -1
		highestPrice = max(highestPrice, s.price)
		limit := m.pieceCount
		if s.price > 0 {
			limit = int(min(int64(limit), costLimit/s.price))
		}
		if s.available < limit || boxed {
			high, rows = rows, rows+1
		}
		mp.rowHigh = append(mp.rowHigh, high)
		mp.high = append(mp.high, min(s.available, limit))
		low := -1
		if boxed {
			low, rows = rows, rows+1
		}
		mp.rowLow = append(mp.rowLow, low)
		mp.low = append(mp.low, 0)
		_ = k
	}
	mp.bigM = float64(5_000 * float64(highestPrice))
	mp.lp = newLinearProgram(rows, float64(1e-7*float64(highestPrice)), w)
	mp.startBasis()
	return mp
}

// start gives every row its first column: boards of one group for a group's, if
// there is a stock without limit for it, and a slack for a stock's.
func (mp *master) startBasis() {
	for i := range mp.m.sizes {
		stock, per := mp.cheapestFor(i)
		if stock < 0 {
			mp.setBasic(mp.addColumn(masterColumn{stock: -1}, column{rows: []int32{int32(i)}, vals: []float64{1}, cost: mp.bigM}), i)
			continue
		}
		mp.setBasic(mp.addPattern(stock, []entry{{i, per}}), i)
	}
	for i := range mp.m.sizes {
		mp.addColumn(masterColumn{stock: -1}, column{rows: []int32{int32(i)}, vals: []float64{-1}})
	}
	for k := range mp.m.stocks {
		if r := mp.rowHigh[k]; r >= 0 {
			mp.setBasic(mp.addColumn(masterColumn{stock: -1}, column{rows: []int32{int32(r)}, vals: []float64{1}}), r)
		}
		if r := mp.rowLow[k]; r >= 0 {
			mp.setBasic(mp.addColumn(masterColumn{stock: -1}, column{rows: []int32{int32(r)}, vals: []float64{-1}}), r)
		}
	}
	mp.setRHS()
	mp.warmStart()
}

// cheapestFor returns the stock on which a piece of a group is cheapest, of
// those without a row, and how many there are on a board.
func (mp *master) cheapestFor(i int) (stock, per int) {
	stock = -1
	for k, s := range mp.m.stocks {
		n := min(int(s.capacity/mp.m.sizes[i]), mp.demand[i])
		if n == 0 || mp.rowHigh[k] >= 0 {
			continue
		}
		if stock < 0 || s.price*int64(per) < mp.m.stocks[stock].price*int64(n) {
			stock, per = k, n
		}
	}
	return stock, per
}

func (mp *master) setBasic(col, row int) {
	mp.lp.basis[row], mp.lp.rowOf[col] = col, row
}

func (mp *master) addColumn(d masterColumn, c column) int {
	mp.columns = append(mp.columns, d)
	return mp.lp.addColumn(c)
}

// addLayout adds a layout as a column and returns it; below 0, it was there.
func (mp *master) addPattern(stock int, entries []entry) int {
	key := pattern{stock: stock, entries: entries}.key(make([]byte, 0, 4+4*len(entries)))
	if mp.present[string(key)] {
		return -1
	}
	mp.present[string(key)] = true
	c := column{cost: float64(mp.m.stocks[stock].price)}
	for _, e := range entries {
		c.rows, c.vals = append(c.rows, int32(e.item)), append(c.vals, float64(e.count))
	}
	for _, r := range []int{mp.rowHigh[stock], mp.rowLow[stock]} {
		if r >= 0 {
			c.rows, c.vals = append(c.rows, int32(r)), append(c.vals, 1)
		}
	}
	return mp.addColumn(masterColumn{stock, entries}, c)
}

// setRHS sets the right hand sides. They are moved by a hair, each by another,
// so that the simplex method does not stand still; what is claimed does not
// depend on it.
func (mp *master) setRHS() {
	const perturbation = 1e-6
	for i, n := range mp.demand {
		d := float64(float64(i%89+11)*perturbation) / 100
		if n == 0 {
			d = -d
		}
		mp.lp.b[i] = float64(n) + d
	}
	for k := range mp.m.stocks {
		d := float64(float64(k%23+11)*perturbation) / 100
		if r := mp.rowHigh[k]; r >= 0 {
			mp.lp.b[r] = float64(mp.high[k]) + d
		}
		if r := mp.rowLow[k]; r >= 0 {
			mp.lp.b[r] = float64(mp.low[k]) - d
		}
	}
}

// refresh solves the basis again after a change to needs or limits: layouts
// with more pieces than are needed become dear, and what the basis lacks is
// stood in for.
func (mp *master) warmStart() bool {
	for j, d := range mp.columns {
		if d.stock < 0 {
			if d.entries != nil && mp.lp.rowOf[j] < 0 {
				mp.lp.cols[j] = column{cost: mp.bigM} // it has stood in once, and is done
			}
			continue
		}
		cost := float64(mp.m.stocks[d.stock].price)
		if mp.high[d.stock] == 0 || !withinDemand(d.entries, mp.demand) {
			cost = mp.bigM
		}
		mp.lp.cols[j].cost = cost
	}
	mp.setRHS()
	if mp.lp.pivotsSince >= refactorAfter/2 || !mp.hasInverse() {
		if !mp.lp.refactor() {
			return false
		}
	} else {
		mp.lp.computeDuals()
		mp.lp.computeSolution()
	}
	before := len(mp.lp.cols)
	mp.lp.restoreFeasibility(mp.bigM)
	for range len(mp.lp.cols) - before {
		mp.columns = append(mp.columns, masterColumn{stock: -1, entries: artificial})
	}
	return true
}

func (mp *master) hasInverse() bool {
	return len(mp.lp.inverse) == 0 || mp.lp.inverse[0] != 0 || mp.lp.pivotsSince > 0
}

// clone returns a copy that can be changed by itself. It shares the knapsack.
func (mp *master) clone() *master {
	b := *mp
	b.lp = mp.lp.clone()
	b.demand, b.low, b.high = slices.Clone(mp.demand), slices.Clone(mp.low), slices.Clone(mp.high)
	b.columns = slices.Clone(mp.columns)
	b.duals, b.patternValue, b.threshold = slices.Clone(mp.duals), slices.Clone(mp.patternValue), slices.Clone(mp.threshold)
	b.present = make(map[string]bool, len(mp.present))
	for k := range mp.present {
		b.present[k] = true
	}
	mp.work.spend(60 * len(mp.columns))
	b.bestBound, b.bestDuals, b.bestPatternValue = -1, nil, nil
	return &b
}

// solve makes columns until the program is solved, or its bound, raised to a
// whole cost, reaches its value or enough. ok is false if the work was spent or
// the numbers went bad; the bound holds nevertheless.
func (mp *master) solve(enough int64) (ok bool) {
	for {
		if !mp.lp.optimize() {
			return false
		}
		added := mp.priceColumns()
		if mp.bound > mp.bestBound {
			mp.bestBound = mp.bound
			mp.bestShift = mp.shift
			mp.bestDuals, mp.bestPatternValue = append(mp.bestDuals[:0], mp.duals...), append(mp.bestPatternValue[:0], mp.patternValue...)
		}
		if added == 0 {
			return true
		}
		if mp.integerBound() >= enough {
			return true
		}
	}
}

// whole is the best bound as a cost.
func (mp *master) integerBound() int64 {
	if mp.bestBound <= 0 {
		return 0
	}
	return (mp.bestBound + 1<<mp.scale - 1) >> mp.scale
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
func (mp *master) priceColumns() (added int) {
	worth := 0.0
	for i, n := range mp.demand {
		worth += float64(max(0, mp.lp.y[i]) * float64(n))
	}
	mp.shift = mp.scale
	for ; mp.shift > 0 && float64(worth*float64(int64(1)<<mp.shift)) > 1<<41; mp.shift-- {
	}
	unit := float64(int64(1) << mp.shift)
	for i := range mp.duals {
		mp.duals[i] = toInt(float64(mp.lp.y[i] * unit))
		if mp.demand[i] == 0 {
			mp.duals[i] = 0
		}
	}
	for k, s := range mp.m.stocks {
		p := float64(s.price)
		if r := mp.rowHigh[k]; r >= 0 {
			p -= mp.lp.y[r]
		}
		if r := mp.rowLow[k]; r >= 0 {
			p -= mp.lp.y[r]
		}
		mp.threshold[k] = toInt(float64(p * unit))
		if mp.high[k] == 0 {
			mp.threshold[k] = maxPatternValue
		}
	}
	mp.knapsack.solve(mp.duals, mp.demand, mp.threshold)
	if mp.knapsack.overflow {
		mp.bound = 0
		return 0
	}
	tol := toInt(float64(mp.lp.tol * unit))
	for k, last := range mp.knapsack.bestStep {
		mp.patternValue[k] = mp.knapsack.target[k]
		if last != noStep && mp.knapsack.target[k] > mp.threshold[k]+tol && mp.addPattern(k, mp.knapsack.entriesOf(last)) >= 0 {
			added++
		}
	}
	mp.bound = mp.lagrangianBound(mp.duals, mp.patternValue, mp.low, mp.high, mp.shift)
	return added
}

// maxValue is more than any board is worth.
const maxPatternValue = 1 << 45

func toInt(f float64) int64 {
	if !(f > 0) {
		return 0
	}
	if f > maxPatternValue {
		return maxPatternValue
	}
	return int64(f)
}

// boundOf returns the scaled bound of integer values for pieces, given what a
// board of each stock is worth at most and how many of it there may be. If
// boards of a stock without limit are worth more than their price, all values
// are scaled down.
func (mp *master) lagrangianBound(duals, patternValue []int64, low, high []int, shift uint) int64 {
	const fine = 20 // bits of the factor
	factor := int64(1 << fine)
	for k, s := range mp.m.stocks {
		price := s.price << shift
		if mp.rowHigh[k] < 0 && patternValue[k] > price {
			factor = min(factor, int64(float64(float64(price)/float64(patternValue[k]))*float64(int64(1)<<fine)))
		}
	}
	var sum int64
	for i, v := range duals {
		sum += v * int64(mp.demand[i])
	}
	if sum >= 1<<62>>fine {
		return 0
	}
	bound := sum * factor
	for k, s := range mp.m.stocks {
		if high[k] == 0 {
			continue
		}
		price := s.price << shift
		if patternValue[k] > 1<<42 {
			return 0
		}
		d := price<<fine - patternValue[k]*factor
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
	if up := mp.scale - shift; bound < 1<<60>>up {
		return bound << up
	}
	return 1 << 60
}

func abs(a int64) int64 { return max(a, -a) }
