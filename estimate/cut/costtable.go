package cut

import "sillwright/estimate/measure"

// costTable holds, for each cost, the largest total capacity of boards that cost exactly so much.
// Lower bounds are rounded up by it to costs at which the pieces have room.
type costTable struct {
	capacity   []measure.Length // by cost; -1 where no set of boards costs so much; nil: too many costs
	totalSize  measure.Length   // of the pieces
	priceScale int64            // divides a cost before it is looked up
}

// maxTableCost limits the size of a table. Bounds above it are not rounded up.
const maxTableCost = 1 << 20

// newCostTable computes the table of all costs up to a limit by dynamic programming, an unbounded
// or bounded knapsack for each stock:
//
//	capacity(c) = max Σ capacity(k) × n(k)  subject to  Σ price(k) × n(k) = c, n(k) ≤ available(k)
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
	for _, st := range m.stocks {
		c.addStock(st)
		w.spend(n)
	}
	return c
}

// addStock admits boards of one more stock. Limited numbers are split into lots of powers of two.
func (c *costTable) addStock(st stock) {
	capacity := st.capacity
	price := int(st.price)
	switch {
	case price == 0:
		for i := range c.capacity {
			if c.capacity[i] >= 0 {
				c.capacity[i] += measure.Length(st.available) * capacity
			}
		}
	case st.available >= len(c.capacity)/price:
		for i := price; i < len(c.capacity); i++ {
			if previous := c.capacity[i-price]; previous >= 0 {
				c.capacity[i] = max(c.capacity[i], previous+capacity)
			}
		}
	default:
		for left, lot := st.available, 1; left > 0; lot *= 2 {
			lot = min(lot, left)
			left -= lot
			for i := len(c.capacity) - 1; i >= lot*price; i-- {
				if previous := c.capacity[i-lot*price]; previous >= 0 {
					c.capacity[i] = max(c.capacity[i], previous+measure.Length(lot)*capacity)
				}
			}
		}
	}
}

// roundUp returns the least attainable cost, not below a bound, of boards that have room for all
// pieces, or the first cost beyond the table.
func (c *costTable) roundUp(bound int64) int64 {
	bound = max(bound, 0)
	for c.capacity != nil && bound/c.priceScale < int64(len(c.capacity)) && c.capacity[bound/c.priceScale] < c.totalSize {
		bound = (bound/c.priceScale + 1) * c.priceScale
	}
	return bound
}
