package cut

import (
	"cmp"
	"math"
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
	m.stocks = m.withoutDominated(joined)
}

// withoutDominated returns the stocks, which come by ascending capacity and price, that none of
// unlimited number replaces: one no shorter and no dearer. No two are alike.
func (m *model) withoutDominated(stocks []stock) (kept []stock) {
	cheapest := int64(math.MaxInt64) // of the unlimited ones no shorter than the present
	for end := len(stocks); end > 0; {
		begin := end - 1
		for begin > 0 && stocks[begin-1].capacity == stocks[end-1].capacity {
			begin--
		}
		// Of one capacity the cheapest comes first.
		group := stocks[begin:end]
		for i, s := range group {
			if s.price >= cheapest {
				group = group[:i]
				break
			}
			if s.available >= m.pieceCount {
				cheapest = s.price
			}
		}
		for _, s := range slices.Backward(group) {
			kept = append(kept, s)
		}
		end = begin
	}
	slices.Reverse(kept)
	return kept
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
