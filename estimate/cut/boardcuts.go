package cut

import "math"

// boardRelaxation bounds the cost of boards by cuts on their numbers. Each cut says, for some
// integer dual values of the items, that the boards must be worth at least what all pieces are:
//
//	Σ coef(k) × z(k) ≥ rhs, with z(k) the number of boards of stock k
//
// where coef(k) is no less than the value of any pattern on stock k and rhs is the value of all
// pieces. Cuts hold for every solution (Benders, 1962; dual feasible functions in the terms of
// Clautiaux, Alves and Valerio de Carvalho, 2010).
//
// The linear program is the dual of
//
//	minimize Σ price z  under the cuts and low ≤ z ≤ high
//
// with one column for each lower limit, one for each upper limit and one for each cut; its dual
// values are −z.
type boardRelaxation struct {
	m    *model
	cuts []boardCut
	lp   *linearProgram
	work *work
}

// boardCut is a valid inequality for board counts.
type boardCut struct {
	coef []int64
	rhs  int64
}

// rhsBits is the number of bits that the right hand side of a cut has at most.
const rhsBits = 29

// newBoardRelaxation returns the relaxation without cuts.
func newBoardRelaxation(m *model, w *work) *boardRelaxation {
	r := &boardRelaxation{m: m, work: w}
	highestPrice := int64(1)
	for _, st := range m.stocks {
		highestPrice = max(highestPrice, st.price)
	}
	n := len(m.stocks)
	r.lp = newLinearProgram(n, float64(1e-9*float64(highestPrice)), w)
	for _, sign := range []float64{1, -1} {
		for k := range n {
			r.lp.addColumn(column{rows: []int32{int32(k)}, vals: []float64{sign}})
		}
	}
	for k, st := range m.stocks {
		r.lp.b[k] = float64(st.price) + float64(float64(float64(k%23+11)*1e-8)*float64(highestPrice))
	}
	r.reset()
	return r
}

// reset returns to the basis of the lower limits.
func (r *boardRelaxation) reset() {
	for j := range r.lp.rowOf {
		r.lp.rowOf[j] = -1
	}
	for k := range r.lp.basis {
		r.lp.basis[k], r.lp.rowOf[k] = k, k
	}
	r.lp.refactor()
}

// addCut adds a cut in numbers of few bits: the coefficients rounded up and the right hand side
// down. It returns false if nothing is left of it.
func (r *boardRelaxation) addCut(coef []int64, rhs int64) bool {
	shift := 0
	for rhs>>shift >= 1<<rhsBits {
		shift++
	}
	c := boardCut{rhs: rhs >> shift}
	scale := 0.0
	for i, w := range coef {
		c.coef = append(c.coef, (w+1<<shift-1)>>shift)
		scale = max(scale, float64(c.coef[i])/float64(max(1, r.m.stocks[i].price)))
		if c.coef[i] >= 1<<(rhsBits+1) {
			return false
		}
	}
	if c.rhs <= 0 || scale == 0 {
		return false
	}
	r.cuts = append(r.cuts, c)
	// The column is scaled to the size of the prices, for the sake of the simplex method.
	col := column{cost: -float64(c.rhs) / scale}
	for i, w := range c.coef {
		if w > 0 {
			col.rows, col.vals = append(col.rows, int32(i)), append(col.vals, float64(w)/scale)
		}
	}
	r.lp.addColumn(col)
	return true
}

// columnScale is what the column of a cut was divided by.
func (r *boardRelaxation) columnScale(i int) float64 {
	col := r.lp.cols[2*len(r.m.stocks)+i]
	return -float64(r.cuts[i].rhs) / col.cost
}

// bound returns a lower bound on the cost of boards whose numbers are within limits, and board
// counts that nearly attain it. It is computed in integers for multipliers f ≥ 0 of the cuts,
// rounded down to 1/2^scale:
//
//	Σ f × rhs + Σ min over low ≤ z ≤ high of (price − Σ f × coef) z
func (r *boardRelaxation) bound(low, high []int) (bound int64, z []float64) {
	n := len(r.m.stocks)
	for k := range n {
		r.lp.cols[k].cost = -float64(low[k])
		r.lp.cols[n+k].cost = float64(high[k])
	}
	if r.lp.pivotsSince >= refactorAfter/2 && !r.lp.refactor() {
		r.reset()
	}
	r.lp.computeDuals()
	optimal := r.lp.optimize()
	multipliers := make([]float64, len(r.cuts))
	for i, j := range r.lp.basis {
		if j >= 2*n {
			multipliers[j-2*n] = max(0, r.lp.x[i])
		}
	}
	if !optimal && len(r.lp.candidates) > 0 { // no counts satisfy the cuts: the dual is unbounded along this ray
		far := 0.0
		for _, st := range r.m.stocks {
			far += float64(float64(st.price) * 1000)
		}
		for i, j := range r.lp.basis {
			if j >= 2*n && r.lp.alpha[i] < 0 {
				multipliers[j-2*n] -= float64(far * r.lp.alpha[i])
			}
		}
		if j := r.lp.entering; j >= 2*n {
			multipliers[j-2*n] += far
		}
	}
	size := 0.0
	for i := range multipliers {
		multipliers[i] /= r.columnScale(i)
		size += float64(multipliers[i] * float64(r.cuts[i].rhs))
	}
	for k, st := range r.m.stocks {
		size += float64(float64(st.price) * float64(high[k]))
	}
	scale := 45
	for ; scale > 0 && float64(size*float64(int64(1)<<scale)) > 1<<53; scale-- {
	}
	var sum int64
	reducedCost := make([]int64, n)
	for k, st := range r.m.stocks {
		reducedCost[k] = st.price << scale
	}
	for i, f := range multipliers {
		multiplier := int64(float64(f * float64(int64(1)<<scale)))
		if multiplier == 0 {
			continue
		}
		sum += multiplier * r.cuts[i].rhs
		for k, w := range r.cuts[i].coef {
			reducedCost[k] -= multiplier * w
		}
	}
	for k, d := range reducedCost {
		count := low[k]
		if d < 0 {
			count = high[k]
		}
		if float64(abs(d))*float64(count) > 1<<60 {
			return 0, nil
		}
		sum += d * int64(count)
	}
	r.work.spend(200 + 10*n)
	z = make([]float64, n)
	for k := range z {
		z[k] = math.Min(math.Max(-r.lp.y[k], float64(low[k])), float64(high[k]))
	}
	return (max(sum, 0) + 1<<scale - 1) >> scale, z
}

// violated reports whether board counts violate a cut.
func violated(z []int, coef []int64, rhs int64) bool {
	for k, n := range z {
		rhs -= coef[k] * int64(n)
	}
	return rhs > 0
}
