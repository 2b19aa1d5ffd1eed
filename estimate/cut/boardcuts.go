package cut

import (
	"math"
)

// cover bounds the cost of boards by what the pieces need of them. Each cut
// says, for some whole values of the pieces, that boards must be worth at
// least what all pieces are:
//
//	Σ worth(k) × z(k) ≥ total, with z(k) the number of boards of stock k
//
// where worth(k) is no less than the most valuable board of stock k. Cuts hold
// for every cutting (Benders, 1962; dual feasible functions in the terms of
// Clautiaux, Alves and Valerio de Carvalho, 2010).
type boardRelaxation struct {
	m    *model
	cuts []boardCut
	lp   *linearProgram
	work *work
}

type boardCut struct {
	coef []int64
	rhs  int64
}

// cutBits is the number of bits that the totals of cuts have at most.
const rhsBits = 29

func newBoardRelaxation(m *model, w *work) *boardRelaxation {
	c := &boardRelaxation{m: m, work: w}
	highestPrice := int64(1)
	for _, s := range m.stocks {
		highestPrice = max(highestPrice, s.price)
	}
	n := len(m.stocks)
	c.lp = newLinearProgram(n, float64(1e-9*float64(highestPrice)), w)
	// The dual of  min Σ price z  under the cuts and low ≤ z ≤ high: a column a
	// cut, one for each low and high; its row prices are -z.
	for _, sign := range []float64{1, -1} {
		for k := range n {
			c.lp.addColumn(column{rows: []int32{int32(k)}, vals: []float64{sign}})
		}
	}
	for k, s := range m.stocks {
		c.lp.b[k] = float64(s.price) + float64(float64(float64(k%23+11)*1e-8)*float64(highestPrice))
	}
	c.reset()
	return c
}

// reset starts the linear program from the columns of the lows.
func (c *boardRelaxation) reset() {
	for j := range c.lp.rowOf {
		c.lp.rowOf[j] = -1
	}
	for k := range c.lp.basis {
		c.lp.basis[k], c.lp.rowOf[k] = k, k
	}
	c.lp.refactor()
}

// add adds a cut, in coarser numbers: worth rounded up and total down. It
// returns false if it is none.
func (c *boardRelaxation) addCut(patternValue []int64, total int64) bool {
	shift := 0
	for total>>shift >= 1<<rhsBits {
		shift++
	}
	k := boardCut{rhs: total >> shift}
	size := 0.0
	for i, w := range patternValue {
		k.coef = append(k.coef, (w+1<<shift-1)>>shift)
		size = max(size, float64(k.coef[i])/float64(max(1, c.m.stocks[i].price)))
		if k.coef[i] >= 1<<(rhsBits+1) {
			return false
		}
	}
	if k.rhs <= 0 || size == 0 {
		return false
	}
	c.cuts = append(c.cuts, k)
	// The column is scaled to the size of the prices.
	col := column{cost: -float64(k.rhs) / size}
	for i, w := range k.coef {
		if w > 0 {
			col.rows, col.vals = append(col.rows, int32(i)), append(col.vals, float64(w)/size)
		}
	}
	c.lp.addColumn(col)
	return true
}

// size is what the column of a cut has been divided by.
func (c *boardRelaxation) columnScale(i int) float64 {
	col := c.lp.cols[2*len(c.m.stocks)+i]
	return -float64(c.cuts[i].rhs) / col.cost
}

// bound returns a bound on the cost of boards whose numbers are within limits,
// and numbers that come near it. It is worked out in integers for factors f ≥ 0
// of the cuts, cut off to 1/2^scale:
//
//	Σ f × total + Σ min over low ≤ z ≤ high of (price − Σ f × worth) z
func (c *boardRelaxation) bound(low, high []int) (bound int64, z []float64) {
	n := len(c.m.stocks)
	for k := range n {
		c.lp.cols[k].cost = -float64(low[k])
		c.lp.cols[n+k].cost = float64(high[k])
	}
	if c.lp.pivotsSince >= refactorAfter/2 && !c.lp.refactor() {
		c.reset()
	}
	c.lp.computeDuals()
	done := c.lp.optimize()
	x := make([]float64, len(c.cuts))
	for i, j := range c.lp.basis {
		if j >= 2*n {
			x[j-2*n] = max(0, c.lp.x[i])
		}
	}
	if !done && len(c.lp.candidates) > 0 { // no numbers satisfy the cuts: follow the ray
		far := 0.0
		for _, s := range c.m.stocks {
			far += float64(float64(s.price) * 1000)
		}
		for i, j := range c.lp.basis {
			if j >= 2*n && c.lp.alpha[i] < 0 {
				x[j-2*n] -= float64(far * c.lp.alpha[i])
			}
		}
		if j := c.lp.entering; j >= 2*n {
			x[j-2*n] += far
		}
	}
	sum := 0.0
	for i := range x {
		x[i] /= c.columnScale(i)
		sum += float64(x[i] * float64(c.cuts[i].rhs))
	}
	for k, s := range c.m.stocks {
		sum += float64(float64(s.price) * float64(high[k]))
	}
	scale := 45
	for ; scale > 0 && float64(sum*float64(int64(1)<<scale)) > 1<<53; scale-- {
	}
	var total int64
	left := make([]int64, n)
	for k, s := range c.m.stocks {
		left[k] = s.price << scale
	}
	for i, f := range x {
		g := int64(float64(f * float64(int64(1)<<scale)))
		if g == 0 {
			continue
		}
		total += g * c.cuts[i].rhs
		for k, w := range c.cuts[i].coef {
			left[k] -= g * w
		}
	}
	for k, d := range left {
		at := low[k]
		if d < 0 {
			at = high[k]
		}
		if float64(abs(d))*float64(at) > 1<<60 {
			return 0, nil
		}
		total += d * int64(at)
	}
	c.work.spend(200 + 10*n)
	z = make([]float64, n)
	for k := range z {
		z[k] = math.Min(math.Max(-c.lp.y[k], float64(low[k])), float64(high[k]))
	}
	return (max(total, 0) + 1<<scale - 1) >> scale, z
}

// broken reports whether numbers of boards do not satisfy a cut.
func violated(z []int, patternValue []int64, total int64) bool {
	for k, n := range z {
		total -= patternValue[k] * int64(n)
	}
	return total > 0
}
