package cut

import (
	"math/bits"
	"slices"

	"sillwright/estimate/measure"
)

// boardsAt returns sets of boards that have a cost and hold all pieces, some if
// there are many.
func (s *search) boardSetsCosting(cost int64) (sets [][]int) {
	const most, steps = 6, 20_000
	n := len(s.m.stocks)
	z := make([]int, n)
	left := steps
	var choose func(k int, cost int64, room measure.Length)
	choose = func(k int, cost int64, room measure.Length) {
		if left--; left < 0 || len(sets) == most {
			return
		}
		if k < 0 {
			if cost == 0 && room >= 0 {
				sets = append(sets, append([]int(nil), z...))
			}
			return
		}
		t := s.m.stocks[k]
		top := t.available
		if t.price > 0 {
			top = int(min(int64(top), cost/t.price))
		}
		for c := top; c >= 0; c-- {
			if k == 0 && t.price > 0 && int64(c)*t.price != cost {
				break
			}
			z[k] = c
			choose(k-1, cost-int64(c)*t.price, room+measure.Length(c)*t.capacity)
		}
		z[k] = 0
	}
	choose(n-1, cost, -s.m.totalSize)
	s.work.spend(steps - max(left, 0))
	return sets
}

// roomOn returns what boards, of each stock so many, hold more than the pieces
// take.
func (s *search) spareOn(z []int) measure.Length {
	room := -s.m.totalSize
	for k, n := range z {
		room += measure.Length(n) * s.m.stocks[k].capacity
	}
	return room
}

// chooser lists the numbers of boards that hold a length within a cost.
type boardSetEnumerator struct {
	stocks             []stock
	order              []int // of the stocks that are chosen from, the lowest price for a length last
	z                  []int
	sets               [][]int
	maxSets, stepsLeft int
	unspent            int64 // of the cost, at most
}

// choose chooses boards of the stocks from a place of the order on, for what
// lacks in length and the rest of the cost.
func (c *boardSetEnumerator) extend(at int, rest int64, uncovered measure.Length) {
	if c.stepsLeft--; c.stepsLeft < 0 || len(c.sets) > c.maxSets {
		return
	}
	if at == len(c.order) {
		if uncovered <= 0 && rest <= c.unspent {
			c.sets = append(c.sets, slices.Clone(c.z))
		}
		return
	}
	k, last := c.order[at], c.order[len(c.order)-1]
	t, n := c.stocks[k], int64(0)
	if k == last {
		n = max(measure.CeilDiv(max(int64(uncovered), 0), int64(t.capacity)), measure.CeilDiv(max(rest-c.unspent, 0), t.price))
	}
	for costLimit := min(int64(t.available), rest/t.price); n <= costLimit; n++ {
		rest, uncovered := rest-n*t.price, uncovered-measure.Length(n)*t.capacity
		if uncovered > 0 && c.dearer(c.stocks[last], rest, uncovered) {
			break // not even at the lowest price
		}
		c.z[k] = int(n)
		c.extend(at+1, rest, uncovered)
	}
	c.z[k] = 0
}

// dearer reports whether a length of a stock costs more than so much, as if
// boards could be bought in part.
func (c *boardSetEnumerator) dearer(t stock, cost int64, length measure.Length) bool {
	hi, lo := bits.Mul64(uint64(t.price), uint64(length))
	hj, lj := bits.Mul64(uint64(cost), uint64(t.capacity))
	return hi > hj || hi == hj && lo > lj
}
