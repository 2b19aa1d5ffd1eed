package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// reduceStocks reduces every capacity to the longest sum of pieces up to it, merges equal stocks
// and removes dominated ones: those that another of unlimited number replaces at no higher price.
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
		if !slices.ContainsFunc(joined, func(st stock) bool {
			return st != s && st.available >= m.pieceCount && st.capacity >= s.capacity && st.price <= s.price
		}) {
			m.stocks = append(m.stocks, s)
		}
	}
}

// usableLengths returns, for every length up to the longest board, the longest sum of pieces that
// is no longer. It is the subset sum problem, solved by dynamic programming.
func (m *model) usableLengths() []measure.Length {
	longest := int(m.stocks[len(m.stocks)-1].capacity)
	const none = -1
	used := make([]int, longest+1) // pieces of the present item in the sum, or none
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
