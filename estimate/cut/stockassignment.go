package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// cheapestStockTypes returns the stock types of the cheapest boards that hold the bins, which come
// by ascending use: one for each bin, in their order. There must be enough stock for all of them.
func (in *instance) cheapestStockTypes(bins []bin) []int {
	stocks := make([]stock, len(in.stockTypes))
	for i, st := range in.stockTypes {
		stocks[i] = stock{st.capacity, int64(st.price), st.available}
	}
	used := make([]measure.Length, len(bins))
	for i, b := range bins {
		used[i] = b.used
	}
	stockTypes := make([]int, 0, len(bins))
	for i, n := range cheapestStocks(stocks, used) {
		for range n {
			stockTypes = append(stockTypes, i)
		}
	}
	return stockTypes
}

// cheapestStocks returns how many boards of each stock, which come by ascending capacity, hold bins
// of which so much is used, also ascending, at the least cost.
//
// A set of boards can hold the bins, one each, if and only if for every capacity it has no more
// boards up to that capacity than there are bins that fit one. Such sets are the independent sets
// of a matroid, so the greedy algorithm is exact: take the cheapest board that keeps the set
// independent, again and again. Of boards at one price the shortest is taken, so that the longer
// ones on hand are spared.
func cheapestStocks(stocks []stock, used []measure.Length) (counts []int) {
	spare := make([]int, len(stocks)) // bins that fit a stock, less boards taken up to its capacity
	for i, st := range stocks {
		spare[i], _ = slices.BinarySearchFunc(used, st.capacity, func(l, capacity measure.Length) int {
			if l <= capacity {
				return -1
			}
			return 1
		})
	}
	byPrice := make([]int, len(stocks))
	for i := range byPrice {
		byPrice[i] = i
	}
	slices.SortStableFunc(byPrice, func(a, b int) int { return cmp.Compare(stocks[a].price, stocks[b].price) })
	counts = make([]int, len(stocks))
	for _, i := range byPrice {
		if spare[len(spare)-1] == 0 {
			break // every bin has its board
		}
		first := i // stocks of the same capacity share what is spare
		for first > 0 && stocks[first-1].capacity == stocks[i].capacity {
			first--
		}
		counts[i] = min(stocks[i].available, slices.Min(spare[first:]))
		for j := first; j < len(spare); j++ {
			spare[j] -= counts[i]
		}
	}
	return counts
}

// assignStocks puts patterns, by ascending length, on the boards counted, by ascending capacity.
func assignStocks(patterns []pattern, counts []int) (out []pattern) {
	counts = slices.Clone(counts)
	k := 0
	for _, p := range patterns {
		for p.count > 0 {
			for counts[k] == 0 {
				k++
			}
			n := min(p.count, counts[k])
			out = append(out, pattern{k, n, p.entries})
			counts[k] -= n
			p.count -= n
		}
	}
	return out
}
