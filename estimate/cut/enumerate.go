package cut

import (
	"sillwright/estimate/measure"
)

// tight returns the values of the master's best bound, lowered until no board
// of a stock without limit is worth more than its price; what a board of each
// stock is worth at most, or its price if that is more; and the bound.
func (s *search) feasibleDuals(mp *master) (duals, patternValue []int64, bound int64) {
	if mp.bestDuals == nil || mp.bestShift != mp.scale {
		return nil, nil, 0
	}
	duals = append(duals, mp.bestDuals...)
	patternValue = make([]int64, len(s.m.stocks))
	for range 20 {
		for k, t := range s.m.stocks {
			patternValue[k] = t.price << mp.scale
		}
		if mp.knapsack.solve(duals, mp.demand, patternValue); mp.knapsack.overflow {
			return nil, nil, 0
		}
		copy(patternValue, mp.knapsack.target)
		over := 1.0
		for k, t := range s.m.stocks {
			if p := t.price << mp.scale; mp.rowHigh[k] < 0 && patternValue[k] > p {
				over = min(over, float64(p)/float64(patternValue[k]))
			}
		}
		if over == 1 {
			return duals, patternValue, mp.lagrangianBound(duals, patternValue, mp.low, mp.high, mp.scale)
		}
		for i, v := range duals {
			duals[i] = min(v-min(v, 1), int64(float64(float64(v)*over)))
		}
	}
	return nil, nil, 0
}

// enumeration lists every layout that a cutting of no more than a certain cost
// can have: those whose pieces are worth so much that
//
//	price(k) − Σ y(g) × pieces(g) ≤ cost − bound
//
// for the integer values y of a bound. Only layouts to which no piece can be
// added are listed: with them every cutting can be covered.
type enumeration struct {
	m                   *model
	duals, patternValue []int64
	order               []int
	work                *work
	limit               int
	patterns            []slackPattern
	entries             []entry
	overflow            bool
	stock               int
	minValue            int64
}

// priced is a layout and how much less it is worth than its board could be.
type slackPattern struct {
	pattern
	slack int64
}

// enumerate returns the layouts whose slack is at most gap, and false if there are more than max or the work is spent.
func enumerate(m *model, duals, patternValue []int64, gap int64, max int, w *work) ([]slackPattern, bool) {
	en := &enumeration{m: m, duals: duals, patternValue: patternValue, work: w, limit: max}
	rates := make([]float64, len(duals))
	for i, v := range duals {
		en.order = append(en.order, i)
		rates[i] = float64(v) / float64(m.sizes[i])
	}
	sortBy(en.order, func(a, b int) bool { return rates[a] > rates[b] })
	for k, s := range m.stocks {
		en.stock, en.minValue = k, patternValue[k]-gap
		en.extend(0, s.capacity, 0)
	}
	return en.patterns, !en.overflow
}

// extend adds 0 to all pieces of the group at a place of the order, the most
// first, and goes on.
func (en *enumeration) extend(at int, room measure.Length, value int64) {
	if en.overflow {
		return
	}
	if en.work.spend(1); en.work.spent() {
		en.overflow = true
		return
	}
	for at < len(en.order) && en.m.sizes[en.order[at]] > room {
		at++
	}
	if at == len(en.order) {
		en.record(room, value)
		return
	}
	i := en.order[at]
	size := en.m.sizes[i]
	if value+en.fractionalBound(at, room) < en.minValue {
		return
	}
	for n := min(en.m.demand[i], int(room/size)); n >= 0; n-- {
		if n > 0 {
			en.entries = append(en.entries, entry{i, n})
		}
		en.extend(at+1, room-measure.Length(n)*size, value+int64(n)*en.duals[i])
		if n > 0 {
			en.entries = en.entries[:len(en.entries)-1]
		}
	}
}

// most returns at least what the room can be worth from a place of the order
// on: the last piece in part.
func (en *enumeration) fractionalBound(at int, room measure.Length) int64 {
	var sum int64
	for ; at < len(en.order); at++ {
		i := en.order[at]
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

// leaf lists the pieces if they are worth enough and none can be added.
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
