package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// boardSetsCosting returns board counts that cost exactly so much and have room for all pieces: the
// first few, if there are many.
func (s *search) boardSetsCosting(cost int64) (sets [][]int) {
	const maxSets, maxSteps = 6, 20_000
	n := len(s.m.stocks)
	z := make([]int, n)
	stepsLeft := maxSteps
	var extend func(k int, cost int64, spare measure.Length)
	extend = func(k int, cost int64, spare measure.Length) {
		if stepsLeft--; stepsLeft < 0 || len(sets) == maxSets {
			return
		}
		if k < 0 {
			if cost == 0 && spare >= 0 {
				sets = append(sets, slices.Clone(z))
			}
			return
		}
		st := s.m.stocks[k]
		maxBoards := st.available
		if st.price > 0 {
			maxBoards = int(min(int64(maxBoards), cost/st.price))
		}
		for c := maxBoards; c >= 0; c-- {
			if k == 0 && st.price > 0 && int64(c)*st.price != cost {
				break
			}
			z[k] = c
			extend(k-1, cost-int64(c)*st.price, spare+measure.Length(c)*st.capacity)
		}
		z[k] = 0
	}
	extend(n-1, cost, -s.m.totalSize)
	s.work.spend(maxSteps - max(stepsLeft, 0))
	return sets
}

// spareOn returns the capacity of boards, so many of each stock, beyond the size of all pieces.
func (s *search) spareOn(z []int) measure.Length {
	spare := -s.m.totalSize
	for k, n := range z {
		spare += measure.Length(n) * s.m.stocks[k].capacity
	}
	return spare
}

// totalBoards returns the number of boards of all stocks.
func totalBoards(z []int) (n int) {
	for _, count := range z {
		n += count
	}
	return n
}

// boardSetEnumerator lists the board counts within a budget that have room for a total size.
type boardSetEnumerator struct {
	stocks             []stock
	order              []int // stocks with counts to choose, the lowest price for a length last
	z                  []int // the counts
	sets               [][]int
	maxSets, stepsLeft int
	unspent            int64 // the most that may be left of the budget
}

// extend chooses the counts of the stocks from the next of the order on, for the size not yet
// covered and the rest of the budget.
func (c *boardSetEnumerator) extend(next int, budget int64, uncovered measure.Length) {
	if c.stepsLeft--; c.stepsLeft < 0 || len(c.sets) > c.maxSets {
		return
	}
	if next == len(c.order) {
		if uncovered <= 0 && budget <= c.unspent {
			c.sets = append(c.sets, slices.Clone(c.z))
		}
		return
	}
	k, last := c.order[next], c.order[len(c.order)-1]
	st, n := c.stocks[k], int64(0)
	if k == last {
		n = max(measure.CeilDiv(max(int64(uncovered), 0), int64(st.capacity)), measure.CeilDiv(max(budget-c.unspent, 0), st.price))
	}
	for maxBoards := min(int64(st.available), budget/st.price); n <= maxBoards; n++ {
		budget, uncovered := budget-n*st.price, uncovered-measure.Length(n)*st.capacity
		if low := c.stocks[last]; uncovered > 0 && comparePricePerLength(low.price, low.capacity, budget, uncovered) > 0 {
			break // what is uncovered costs more than the budget even at the lowest price
		}
		c.z[k] = int(n)
		c.extend(next+1, budget, uncovered)
	}
	c.z[k] = 0
}
