package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// feasibleDuals returns the integer duals of the master's best bound, lowered until they are dual
// feasible: until no pattern on a stock without limit is worth more than its price. patternValue is
// the largest value of a pattern on each stock, or the stock's price if that is more; bound is
// their Lagrangian bound, 0 if no such duals were found.
func (s *search) feasibleDuals(mp *master) (duals, patternValue []int64, bound int64) {
	if mp.bestDuals == nil || mp.bestShift != mp.scale {
		return nil, nil, 0
	}
	duals = append(duals, mp.bestDuals...)
	patternValue = make([]int64, len(s.m.stocks))
	for range 20 {
		for k, st := range s.m.stocks {
			patternValue[k] = st.price << mp.scale
		}
		if mp.knapsack.solve(duals, mp.demand, patternValue); mp.knapsack.overflow {
			return nil, nil, 0
		}
		copy(patternValue, mp.knapsack.target)
		factor := 1.0
		for k, st := range s.m.stocks {
			if p := st.price << mp.scale; mp.rowHigh[k] < 0 && patternValue[k] > p {
				factor = min(factor, float64(p)/float64(patternValue[k]))
			}
		}
		if factor == 1 {
			return duals, patternValue, mp.lagrangianBound(duals, patternValue, mp.low, mp.high, mp.scale)
		}
		for i, v := range duals {
			duals[i] = min(v-min(v, 1), int64(float64(float64(v)*factor)))
		}
	}
	return nil, nil, 0
}

// enumeration lists every pattern that a solution of no more than a certain cost can have, by
// reduced cost: those with
//
//	patternValue(k) − Σ y(i) × pieces(i) ≤ cost − bound
//
// for the integer duals y of a lower bound. Only maximal patterns, to which no piece can be added,
// are listed: they suffice to cover the demand of every such solution.
type enumeration struct {
	m                   *model
	duals, patternValue []int64
	order               []int // items by descending value per length
	work                *work
	limit               int // of the number of patterns
	patterns            []slackPattern
	overflow            bool

	// Of the present stock.
	stock    int
	minValue int64
	entries  []entry
}

// slackPattern is a pattern and how much less it is worth than the best one on its stock.
type slackPattern struct {
	pattern
	slack int64
}

// enumerate returns the patterns whose slack is at most maxSlack, and false if there are more than
// limit or the work is spent.
func enumerate(m *model, duals, patternValue []int64, maxSlack int64, limit int, w *work) ([]slackPattern, bool) {
	en := &enumeration{m: m, duals: duals, patternValue: patternValue, work: w, limit: limit}
	rates := make([]float64, len(duals))
	for i, v := range duals {
		en.order = append(en.order, i)
		rates[i] = float64(v) / float64(m.sizes[i])
	}
	slices.SortStableFunc(en.order, func(a, b int) int { return cmp.Compare(rates[b], rates[a]) })
	for k, st := range m.stocks {
		en.stock, en.minValue = k, patternValue[k]-maxSlack
		en.extend(0, st.capacity, 0)
	}
	return en.patterns, !en.overflow
}

// extend branches on the number of pieces of the next item of the order, the most first.
func (en *enumeration) extend(next int, room measure.Length, value int64) {
	if en.overflow {
		return
	}
	if en.work.spend(1); en.work.spent() {
		en.overflow = true
		return
	}
	for next < len(en.order) && en.m.sizes[en.order[next]] > room {
		next++
	}
	if next == len(en.order) {
		en.record(room, value)
		return
	}
	i := en.order[next]
	size := en.m.sizes[i]
	if value+en.fractionalBound(next, room) < en.minValue {
		return
	}
	for n := min(en.m.demand[i], int(room/size)); n >= 0; n-- {
		if n > 0 {
			en.entries = append(en.entries, entry{i, n})
		}
		en.extend(next+1, room-measure.Length(n)*size, value+int64(n)*en.duals[i])
		if n > 0 {
			en.entries = en.entries[:len(en.entries)-1]
		}
	}
}

// fractionalBound returns an upper bound on the value of the room from the next item of the order
// on: the fractional knapsack, whose last piece is taken in part.
func (en *enumeration) fractionalBound(next int, room measure.Length) int64 {
	var sum int64
	for ; next < len(en.order); next++ {
		i := en.order[next]
		n := measure.Length(en.m.demand[i]) * en.m.sizes[i]
		if n >= room {
			return sum + int64(float64(float64(en.duals[i])*float64(room))/float64(en.m.sizes[i])) + 1
		}
		sum += int64(en.m.demand[i]) * en.duals[i]
		room -= n
		en.work.spend(1)
	}
	return sum
}

// record lists the pattern if it is worth enough and no piece can be added.
func (en *enumeration) record(room measure.Length, value int64) {
	if value < en.minValue || room >= en.m.sizes[len(en.m.sizes)-1] && en.extendable(room) {
		return
	}
	if len(en.patterns) == en.limit {
		en.overflow = true
		return
	}
	p := pattern{stock: en.stock, count: 0}
	for _, e := range en.entries {
		p.entries = insertPieces(p.entries, e.item, e.count)
	}
	en.patterns = append(en.patterns, slackPattern{p, en.patternValue[en.stock] - value})
	en.work.spend(20)
}

// extendable reports whether a piece of some item can be added.
func (en *enumeration) extendable(room measure.Length) bool {
	on := make([]int, len(en.m.sizes))
	for _, e := range en.entries {
		on[e.item] = e.count
	}
	for i, size := range en.m.sizes {
		if size <= room && on[i] < en.m.demand[i] {
			return true
		}
	}
	return false
}
