package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// tidyStocks cuts every stock down to what sums of pieces can use of it, joins
// equal ones, and leaves out those that a stock of unlimited number serves as
// well at no more.
func (m *model) reduceStocks() {
	if m.grid > 0 && len(m.stocks) > 0 && m.stocks[len(m.stocks)-1].capacity <= maxUnits {
		m.usableLength = m.usableLengths()
		for i := range m.stocks {
			m.stocks[i].capacity = m.usableLength[m.stocks[i].capacity]
		}
	}
	slices.SortStableFunc(m.stocks, func(a, b stock) int {
		return cmp.Or(cmp.Compare(a.capacity, b.capacity), cmp.Compare(a.price, b.price))
	})
	var joined []stock
	for _, s := range m.stocks {
		if n := len(joined); n > 0 && joined[n-1].capacity == s.capacity && joined[n-1].price == s.price {
			joined[n-1].available = min(m.pieceCount, joined[n-1].available+s.available)
			continue
		}
		joined = append(joined, s)
	}
	m.stocks = nil
	for _, s := range joined {
		if !slices.ContainsFunc(joined, func(t stock) bool {
			return t != s && t.available >= m.pieceCount && t.capacity >= s.capacity && t.price <= s.price
		}) {
			m.stocks = append(m.stocks, s)
		}
	}
}

// sums returns, for every length up to the longest board, the longest sum of
// pieces that is no longer.
func (m *model) usableLengths() []measure.Length {
	longest := int(m.stocks[len(m.stocks)-1].capacity)
	const none = -1
	used := make([]int, longest+1) // pieces of the group at hand in the sum, or none
	for i := 1; i <= longest; i++ {
		used[i] = none
	}
	for item, size := range m.sizes {
		w := int(size)
		for i := range used {
			if used[i] > 0 {
				used[i] = 0
			}
		}
		for i := w; i <= longest; i++ {
			if used[i] == none && used[i-w] != none && used[i-w] < m.demand[item] {
				used[i] = used[i-w] + 1
			}
		}
	}
	best := make([]measure.Length, longest+1)
	for i := 1; i <= longest; i++ {
		best[i] = best[i-1]
		if used[i] != none {
			best[i] = measure.Length(i)
		}
	}
	return best
}
