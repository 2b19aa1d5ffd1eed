package cut

import (
	"sillwright/estimate/measure"
)

// costs knows which costs a set of boards can have at all, and how much they
// hold at most at that cost.
type costTable struct {
	capacity   []measure.Length // for each cost; below 0, there is no such set
	totalSize  measure.Length
	priceScale int64 // what a cost is divided by to look it up
}

// maxCosts is how many costs are looked into; a bound above is not raised.
const maxTableCost = 1 << 20

// newCosts works out all costs up to top.
//
//	holds(c) = max Σ holds(k) × n(k)  subject to  Σ price(k) × n(k) = c, n(k) ≤ left(k)
func newCostTable(m *model, costLimit int64, w *work) *costTable {
	c := &costTable{totalSize: m.totalSize, priceScale: 1}
	if costLimit >= maxTableCost {
		return c
	}
	n := int(costLimit) + 1
	c.capacity = make([]measure.Length, n)
	for i := 1; i < n; i++ {
		c.capacity[i] = -1
	}
	for _, s := range m.stocks {
		c.addStock(s)
		w.spend(n)
	}
	return c
}

func (c *costTable) addStock(s stock) {
	worth := s.capacity
	price := int(s.price)
	switch {
	case price == 0:
		for i := range c.capacity {
			if c.capacity[i] >= 0 {
				c.capacity[i] += measure.Length(s.available) * worth
			}
		}
	case s.available >= len(c.capacity)/price:
		for i := price; i < len(c.capacity); i++ {
			if before := c.capacity[i-price]; before >= 0 {
				c.capacity[i] = max(c.capacity[i], before+worth)
			}
		}
	default:
		for left, lot := s.available, 1; left > 0; lot *= 2 {
			lot = min(lot, left)
			left -= lot
			for i := len(c.capacity) - 1; i >= lot*price; i-- {
				if before := c.capacity[i-lot*price]; before >= 0 {
					c.capacity[i] = max(c.capacity[i], before+measure.Length(lot)*worth)
				}
			}
		}
	}
}

// from returns the least cost from low on that boards can have which hold all
// pieces, or the first cost that was not looked into.
func (c *costTable) roundUp(low int64) int64 {
	low = max(low, 0)
	for c.capacity != nil && low/c.priceScale < int64(len(c.capacity)) && c.capacity[low/c.priceScale] < c.totalSize {
		low = (low/c.priceScale + 1) * c.priceScale
	}
	return low
}
