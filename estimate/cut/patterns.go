package cut

import "sillwright/estimate/measure"

// enumeration lists every layout that a cutting of no more than a certain cost
// can have: those whose pieces are worth so much that
//
//	price(k) − Σ y(g) × pieces(g) ≤ cost − bound
//
// for the integer values y of a bound. Only layouts to which no piece can be
// added are listed: with them every cutting can be covered.
type enumeration struct {
	m            *model
	value, worth []int64
	order        []int
	work         *work
	max          int
	list         []priced
	items        []item
	over         bool
	stock        int
	least        int64
}

// priced is a layout and how much less it is worth than its board could be.
type priced struct {
	layout
	slack int64
}

// enumerate returns the layouts whose slack is at most gap, and false if there are more than max or the work is spent.
func enumerate(m *model, value, worth []int64, gap int64, max int, w *work) ([]priced, bool) {
	e := &enumeration{m: m, value: value, worth: worth, work: w, max: max}
	rates := make([]float64, len(value))
	for g, v := range value {
		e.order = append(e.order, g)
		rates[g] = float64(v) / float64(m.takes[g])
	}
	sortBy(e.order, func(a, b int) bool { return rates[a] > rates[b] })
	for k, s := range m.stocks {
		e.stock, e.least = k, worth[k]-gap
		e.extend(0, s.holds, 0)
	}
	return e.list, !e.over
}

// extend adds 0 to all pieces of the group at a place of the order, the most
// first, and goes on.
func (e *enumeration) extend(at int, room measure.Length, value int64) {
	if e.over {
		return
	}
	if e.work.spend(1); e.work.spent() {
		e.over = true
		return
	}
	for at < len(e.order) && e.m.takes[e.order[at]] > room {
		at++
	}
	if at == len(e.order) {
		e.leaf(room, value)
		return
	}
	g := e.order[at]
	takes := e.m.takes[g]
	if value+e.most(at, room) < e.least {
		return
	}
	for n := min(e.m.need[g], int(room/takes)); n >= 0; n-- {
		if n > 0 {
			e.items = append(e.items, item{g, n})
		}
		e.extend(at+1, room-measure.Length(n)*takes, value+int64(n)*e.value[g])
		if n > 0 {
			e.items = e.items[:len(e.items)-1]
		}
	}
}

// most returns at least what the room can be worth from a place of the order
// on: the last piece in part.
func (e *enumeration) most(at int, room measure.Length) int64 {
	var sum int64
	for ; at < len(e.order); at++ {
		g := e.order[at]
		n := measure.Length(e.m.need[g]) * e.m.takes[g]
		if n >= room {
			return sum + int64(float64(float64(e.value[g])*float64(room))/float64(e.m.takes[g])) + 1
		}
		sum += int64(e.m.need[g]) * e.value[g]
		room -= n
		e.work.spend(1)
	}
	return sum
}

// leaf lists the pieces if they are worth enough and none can be added.
func (e *enumeration) leaf(room measure.Length, value int64) {
	if value < e.least || room >= e.m.takes[len(e.m.takes)-1] && e.roomForMore(room) {
		return
	}
	if len(e.list) == e.max {
		e.over = true
		return
	}
	l := layout{stock: e.stock, count: 0}
	for _, it := range e.items {
		l.items = put(l.items, it.group, it.count)
	}
	e.list = append(e.list, priced{l, e.worth[e.stock] - value})
	e.work.spend(20)
}

func (e *enumeration) roomForMore(room measure.Length) bool {
	on := make([]int, len(e.m.takes))
	for _, it := range e.items {
		on[it.group] = it.count
	}
	for g, takes := range e.m.takes {
		if takes <= room && on[g] < e.m.need[g] {
			return true
		}
	}
	return false
}
