package cut

import (
	"math"
)

// program is a linear program in the making,
//
//	minimise c x  subject to  A x = b, x ≥ 0,
//
// solved by the revised simplex method with an explicit inverse. Columns may be
// added at any time; rows are fixed when it is made. Its numbers are floating
// point and guide the search only: what is claimed is recomputed in integers.
//
// Every product is rounded by itself, written float64(x*y), so that no machine
// fuses it with a sum.
type linearProgram struct {
	cols        []column
	b           []float64
	basis       []int // the column of each row
	rowOf       []int // the row of each column, or -1
	inverse     []float64
	x, y        []float64 // of the basis, and the prices of the rows
	tol         float64   // a reduced cost above -tol is none
	pivotsSince int       // pivots since the inverse was made afresh
	dualTol     float64   // the tolerance with the present row prices
	cursor      int       // the column looked at last
	work        *work
	alpha       []float64
	candidates  []int
	entering    int

	rowBuf      []int32 // columns made by put
	valBuf      []float64
	columnStart int
}

// column is a column of the program: what is in its rows, and its cost.
type column struct {
	rows []int32
	vals []float64
	cost float64
}

const (
	refactorAfter  = 80
	pivotTol       = 1e-9
	feasibilityTol = 1e-9
	ratioTol       = 1e-11
)

func newLinearProgram(rows int, tol float64, w *work) *linearProgram {
	return &linearProgram{
		b: make([]float64, rows), basis: make([]int, rows), inverse: make([]float64, rows*rows),
		x: make([]float64, rows), y: make([]float64, rows), alpha: make([]float64, rows), tol: tol, work: w,
	}
}

// clone returns a copy that shares no state but the columns' contents.
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

// clear takes all columns out.
func (p *linearProgram) clear() {
	p.cols, p.rowOf, p.cursor = p.cols[:0], p.rowOf[:0], 0
	p.rowBuf, p.valBuf, p.columnStart = p.rowBuf[:0], p.valBuf[:0], 0
}

// put puts a number into the column that is being made.
func (p *linearProgram) addCoefficient(row int, val float64) {
	p.rowBuf, p.valBuf = append(p.rowBuf, int32(row)), append(p.valBuf, val)
}

// end adds the column made by put.
func (p *linearProgram) endColumn(cost float64) {
	n := len(p.rowBuf)
	p.addColumn(column{p.rowBuf[p.columnStart:n:n], p.valBuf[p.columnStart:n:n], cost})
	p.columnStart = n
}

// add adds a column and returns its index.
func (p *linearProgram) addColumn(c column) int {
	p.cols = append(p.cols, c)
	p.rowOf = append(p.rowOf, -1)
	return len(p.cols) - 1
}

// reduced returns the reduced cost of a column.
func (p *linearProgram) reducedCost(j int) float64 {
	c := &p.cols[j]
	d := c.cost
	for i, r := range c.rows {
		d -= float64(p.y[r] * c.vals[i])
	}
	return d
}

// optimise pivots until no column improves the solution. ok is false if the
// work is spent, or the numbers have gone bad.
func (p *linearProgram) optimize() (ok bool) {
	most := 1000 + 50*len(p.basis) + len(p.cols)/4 // pivots: more is going round in circles
	for !p.work.spent() {
		p.collectCandidates()
		if len(p.candidates) == 0 {
			return true
		}
		moved := false
		for len(p.candidates) > 0 {
			best, low := -1, -p.dualTol
			keep := p.candidates[:0]
			for _, j := range p.candidates {
				if d := p.reducedCost(j); d < -p.dualTol {
					keep = append(keep, j)
					if d < low {
						best, low = j, d
					}
				}
			}
			p.candidates = keep
			if best < 0 {
				break
			}
			if most--; most < 0 || p.work.spent() || !p.enter(best) {
				return false
			}
			moved = true
		}
		if !moved {
			return true
		}
	}
	return false
}

// candidates collects the columns with the lowest reduced costs, of the first
// part of all in turn that has any.
func (p *linearProgram) collectCandidates() {
	const most = 8
	p.candidates = p.candidates[:0]
	size := 0.0
	for _, y := range p.y {
		size = max(size, math.Abs(y))
	}
	p.dualTol = max(p.tol, float64(1e-10*size))
	var costs [most]float64
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
		if d >= -p.dualTol || len(p.candidates) == most && d >= costs[most-1] {
			continue
		}
		i := len(p.candidates)
		if i < most {
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

// enter brings a column into the basis. It returns false if there is no bound
// to it or the inverse cannot be made again.
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

// ftran sets alpha to the column in terms of the basis.
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

// pivot exchanges the column of a row for j; alpha must be that of j.
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

// refactor makes the inverse afresh, by elimination with the largest pivot. It
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

// reprice works the row prices out from the costs of the basis.
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

// resolve works the solution out from the right hand side.
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

// restore makes the solution feasible again after a change to the right hand
// side, by one column of the cost given that stands for all that is missing:
//
//	a = B min(x, 0), so that x = max(x, 0) with one unit of it
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
