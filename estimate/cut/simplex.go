package cut

import "math"

// linearProgram is a linear program to which columns may be added at any time; its rows are fixed,
//
//	minimize c x  subject to  A x = b, x ≥ 0,
//
// solved by the revised simplex method with an explicit inverse of the basis. Its numbers are
// floating point and only guide the search: every bound that is claimed is computed again in
// integers.
//
// Every product is rounded by itself, written float64(x*y), so that no machine fuses it with a sum
// and all machines compute the same.
type linearProgram struct {
	cols           []column
	b              []float64
	basis          []int // the column of each row
	rowOf          []int // the row of each column, or -1
	inverse        []float64
	x, y           []float64 // the basic solution and the dual values
	tol            float64   // the smallest tolerance of reduced costs
	reducedCostTol float64   // the tolerance at the present dual values
	pivotsSince    int       // pivots since the last refactorization
	work           *work
	alpha          []float64 // the entering column in terms of the basis, see ftran
	entering       int
	cursor         int   // the last column that was priced
	candidates     []int // columns with a negative reduced cost

	rowBuf      []int32 // columns made by addCoefficient
	valBuf      []float64
	columnStart int
}

// column is a column of the program: its nonzero coefficients by row, and its cost.
type column struct {
	rows []int32
	vals []float64
	cost float64
}

const (
	refactorAfter  = 80 // pivots
	pivotTol       = 1e-9
	feasibilityTol = 1e-9
	ratioTol       = 1e-11 // of the ratio test: rows closer than that are tied, and the larger pivot is taken
)

// newLinearProgram returns a program without columns.
func newLinearProgram(rows int, tol float64, w *work) *linearProgram {
	return &linearProgram{
		b: make([]float64, rows), basis: make([]int, rows), inverse: make([]float64, rows*rows),
		x: make([]float64, rows), y: make([]float64, rows), alpha: make([]float64, rows), tol: tol, work: w,
	}
}

// clone returns a copy that shares no state but the contents of the columns.
func (p *linearProgram) clone() *linearProgram {
	q := *p
	q.cols = append([]column(nil), p.cols...)
	q.b = append([]float64(nil), p.b...)
	q.basis = append([]int(nil), p.basis...)
	q.rowOf = append([]int(nil), p.rowOf...)
	q.inverse = append([]float64(nil), p.inverse...)
	q.x = append([]float64(nil), p.x...)
	q.y = append([]float64(nil), p.y...)
	q.alpha = make([]float64, len(p.alpha))
	q.candidates = nil
	p.work.spend(len(p.inverse) / 8)
	return &q
}

// clear removes all columns.
func (p *linearProgram) clear() {
	p.cols, p.rowOf, p.cursor = p.cols[:0], p.rowOf[:0], 0
	p.rowBuf, p.valBuf, p.columnStart = p.rowBuf[:0], p.valBuf[:0], 0
}

// addCoefficient adds a coefficient to the column that is being made.
func (p *linearProgram) addCoefficient(row int, val float64) {
	p.rowBuf, p.valBuf = append(p.rowBuf, int32(row)), append(p.valBuf, val)
}

// endColumn adds the column made by addCoefficient.
func (p *linearProgram) endColumn(cost float64) {
	n := len(p.rowBuf)
	p.addColumn(column{p.rowBuf[p.columnStart:n:n], p.valBuf[p.columnStart:n:n], cost})
	p.columnStart = n
}

// addColumn adds a column and returns its index.
func (p *linearProgram) addColumn(c column) int {
	p.cols = append(p.cols, c)
	p.rowOf = append(p.rowOf, -1)
	return len(p.cols) - 1
}

// reducedCost returns the reduced cost of a column.
func (p *linearProgram) reducedCost(j int) float64 {
	c := &p.cols[j]
	d := c.cost
	for i, r := range c.rows {
		d -= float64(p.y[r] * c.vals[i])
	}
	return d
}

// optimize pivots until no reduced cost is negative. ok is false if the work is spent, the program
// is unbounded or the simplex method cycles for rounding errors.
func (p *linearProgram) optimize() (ok bool) {
	pivotsLeft := 1000 + 50*len(p.basis) + len(p.cols)/4 // more pivots mean cycling
	for !p.work.spent() {
		p.collectCandidates()
		if len(p.candidates) == 0 {
			return true
		}
		pivoted := false
		for len(p.candidates) > 0 {
			best, lowest := -1, -p.reducedCostTol
			keep := p.candidates[:0]
			for _, j := range p.candidates {
				if d := p.reducedCost(j); d < -p.reducedCostTol {
					keep = append(keep, j)
					if d < lowest {
						best, lowest = j, d
					}
				}
			}
			p.candidates = keep
			if best < 0 {
				break
			}
			if pivotsLeft--; pivotsLeft < 0 || p.work.spent() || !p.enter(best) {
				return false
			}
			pivoted = true
		}
		if !pivoted {
			return true
		}
	}
	return false
}

// collectCandidates is partial pricing: it collects the columns with the most negative reduced
// costs from the first part of all columns, in turn, that has any.
func (p *linearProgram) collectCandidates() {
	const maxCandidates = 8
	p.candidates = p.candidates[:0]
	size := 0.0
	for _, y := range p.y {
		size = max(size, math.Abs(y))
	}
	p.reducedCostTol = max(p.tol, float64(1e-10*size))
	var costs [maxCandidates]float64
	n := len(p.y)
	part := max(300, len(p.cols)/6)
	for seen := range p.cols {
		if seen > 0 && seen%part == 0 && len(p.candidates) > 0 {
			break
		}
		if p.cursor++; p.cursor >= len(p.cols) {
			p.cursor = 0
		}
		j := p.cursor
		if p.rowOf[j] >= 0 {
			continue
		}
		n += len(p.cols[j].rows) + 2
		d := p.reducedCost(j)
		if d >= -p.reducedCostTol || len(p.candidates) == maxCandidates && d >= costs[maxCandidates-1] {
			continue
		}
		i := len(p.candidates)
		if i < maxCandidates {
			p.candidates = append(p.candidates, j)
		} else {
			i--
		}
		for ; i > 0 && costs[i-1] > d; i-- {
			costs[i], p.candidates[i] = costs[i-1], p.candidates[i-1]
		}
		costs[i], p.candidates[i] = d, j
	}
	p.work.spend(n)
}

// enter brings a column into the basis. It returns false if the program is unbounded along it or
// the basis becomes singular.
func (p *linearProgram) enter(j int) bool {
	p.ftran(j)
	p.entering = j
	row := -1
	least := math.Inf(1)
	for i, a := range p.alpha {
		if a <= pivotTol {
			continue
		}
		r := max(0, p.x[i]) / a
		if row < 0 || r < least-float64(ratioTol*(1+least)) || r <= least+float64(ratioTol*(1+least)) && a > p.alpha[row] {
			row = i
			least = r
		}
	}
	if row < 0 {
		return false
	}
	p.pivot(row, j)
	if p.pivotsSince >= refactorAfter {
		return p.refactor()
	}
	return true
}

// ftran sets alpha to a column in terms of the basis.
func (p *linearProgram) ftran(j int) {
	n := len(p.basis)
	c := &p.cols[j]
	for i := range p.alpha {
		row := p.inverse[i*n : i*n+n]
		a := 0.0
		for k, r := range c.rows {
			a += float64(row[r] * c.vals[k])
		}
		p.alpha[i] = a
	}
	p.work.spend(n * len(c.rows))
}

// pivot exchanges the basic column of a row for column j; alpha must be that of j.
func (p *linearProgram) pivot(row, j int) {
	n := len(p.basis)
	d := p.reducedCost(j)
	pivotRow := p.inverse[row*n : row*n+n]
	f := 1 / p.alpha[row]
	for k := range pivotRow {
		pivotRow[k] = float64(pivotRow[k] * f)
	}
	step := float64(p.x[row] * f)
	for i, a := range p.alpha {
		if i == row || a == 0 {
			continue
		}
		p.x[i] -= float64(a * step)
		r := p.inverse[i*n : i*n+n]
		for k, v := range pivotRow {
			r[k] -= float64(a * v)
		}
		p.work.spend(n / 2)
	}
	p.work.spend(300)
	p.x[row] = step
	for k, v := range pivotRow {
		p.y[k] += float64(d * v)
	}
	p.rowOf[p.basis[row]] = -1
	p.basis[row], p.rowOf[j] = j, row
	p.pivotsSince++
}

// refactor computes the inverse of the basis again, by elimination with partial pivoting. It
// returns false if the basis is singular.
func (p *linearProgram) refactor() bool {
	n := len(p.basis)
	a := make([]float64, n*n)
	for i, j := range p.basis {
		for k, r := range p.cols[j].rows {
			a[int(r)*n+i] = p.cols[j].vals[k]
		}
	}
	clear(p.inverse)
	for i := range n {
		p.inverse[i*n+i] = 1
	}
	for c := range n {
		big := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r*n+c]) > math.Abs(a[big*n+c]) {
				big = r
			}
		}
		if math.Abs(a[big*n+c]) < pivotTol {
			return false
		}
		if big != c {
			for k := range n {
				a[c*n+k], a[big*n+k] = a[big*n+k], a[c*n+k]
				p.inverse[c*n+k], p.inverse[big*n+k] = p.inverse[big*n+k], p.inverse[c*n+k]
			}
		}
		f := 1 / a[c*n+c]
		ac, ic := a[c*n:c*n+n], p.inverse[c*n:c*n+n]
		for k := range n {
			ac[k] = float64(ac[k] * f)
			ic[k] = float64(ic[k] * f)
		}
		for r := range n {
			g := a[r*n+c]
			if r == c || g == 0 {
				continue
			}
			ar, ir := a[r*n:r*n+n], p.inverse[r*n:r*n+n]
			for k := c; k < n; k++ {
				ar[k] -= float64(g * ac[k])
			}
			for k := range n {
				ir[k] -= float64(g * ic[k])
			}
			p.work.spend(n)
		}
	}
	p.pivotsSince = 0
	p.computeDuals()
	p.computeSolution()
	return true
}

// computeDuals computes the dual values from the costs of the basis.
func (p *linearProgram) computeDuals() {
	n := len(p.basis)
	clear(p.y)
	for i, j := range p.basis {
		c := p.cols[j].cost
		if c == 0 {
			continue
		}
		for k, v := range p.inverse[i*n : i*n+n] {
			p.y[k] += float64(c * v)
		}
		p.work.spend(n / 2)
	}
}

// computeSolution computes the basic solution from the right hand side.
func (p *linearProgram) computeSolution() {
	n := len(p.basis)
	for i := range n {
		v := 0.0
		for k, w := range p.inverse[i*n : i*n+n] {
			v += float64(w * p.b[k])
		}
		p.x[i] = v
	}
	p.work.spend(n * n / 2)
}

// restoreFeasibility makes the basic solution feasible after a change of the right hand side, by
// one artificial variable of the cost given:
//
//	a = B min(x, 0), so that the solution is max(x, 0) with one unit of it
func (p *linearProgram) restoreFeasibility(cost float64) {
	worst := 0
	for i := range p.x {
		if p.x[i] < p.x[worst] {
			worst = i
		}
	}
	if len(p.x) == 0 || p.x[worst] >= -feasibilityTol {
		return
	}
	sum := make([]float64, len(p.basis))
	for i, j := range p.basis {
		if p.x[i] >= 0 {
			continue
		}
		for k, r := range p.cols[j].rows {
			sum[r] += float64(p.cols[j].vals[k] * p.x[i])
		}
	}
	c := column{cost: cost}
	for r, v := range sum {
		if v != 0 {
			c.rows, c.vals = append(c.rows, int32(r)), append(c.vals, v)
		}
	}
	j := p.addColumn(c)
	p.ftran(j)
	if p.alpha[worst] > -pivotTol {
		return
	}
	p.pivot(worst, j)
}
