package cut

import "sillwright/estimate/measure"

// costs knows which costs a set of boards can have at all, and how much they
// hold at most at that cost.
type costs struct {
	holds []measure.Length // for each cost; below 0, there is no such set
	total measure.Length
	unit  int64 // what a cost is divided by to look it up
}

// maxCosts is how many costs are looked into; a bound above is not raised.
const maxCosts = 1 << 20

// newCosts works out all costs up to top.
//
//	holds(c) = max Σ holds(k) × n(k)  subject to  Σ price(k) × n(k) = c, n(k) ≤ left(k)
func newCosts(m *model, top int64, w *work) *costs {
	c := &costs{total: m.total, unit: 1}
	if top >= maxCosts {
		return c
	}
	n := int(top) + 1
	c.holds = make([]measure.Length, n)
	for i := 1; i < n; i++ {
		c.holds[i] = -1
	}
	for _, s := range m.stocks {
		c.addStock(s)
		w.spend(n)
	}
	return c
}

func (c *costs) addStock(s stock) {
	worth := s.holds
	price := int(s.price)
	switch {
	case price == 0:
		for i := range c.holds {
			if c.holds[i] >= 0 {
				c.holds[i] += measure.Length(s.left) * worth
			}
		}
	case s.left >= len(c.holds)/price:
		for i := price; i < len(c.holds); i++ {
			if before := c.holds[i-price]; before >= 0 {
				c.holds[i] = max(c.holds[i], before+worth)
			}
		}
	default:
		for left, lot := s.left, 1; left > 0; lot *= 2 {
			lot = min(lot, left)
			left -= lot
			for i := len(c.holds) - 1; i >= lot*price; i-- {
				if before := c.holds[i-lot*price]; before >= 0 {
					c.holds[i] = max(c.holds[i], before+measure.Length(lot)*worth)
				}
			}
		}
	}
}

// from returns the least cost from low on that boards can have which hold all
// pieces, or the first cost that was not looked into.
func (c *costs) from(low int64) int64 {
	low = max(low, 0)
	for c.holds != nil && low/c.unit < int64(len(c.holds)) && c.holds[low/c.unit] < c.total {
		low = (low/c.unit + 1) * c.unit
	}
	return low
}
