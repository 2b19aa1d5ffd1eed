package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// exchange returns the cheapest kinds that hold the loads, which come from the
// least used to the most: kind i of the result is for load i. There must be
// stock for all of them.
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

// exchange returns how many boards of each stock, which come from the shortest,
// hold the lengths used, from the least, at the least cost.
//
// A set of boards can hold the loads, one each, if and only if for every length
// it has no more boards up to that length than there are loads that fit one.
// Such sets are the independent sets of a matroid, so taking the cheapest board
// that keeps to this, again and again, gives the least cost. Of boards at one
// price the shortest is taken, to spare the longer ones on hand.
func cheapestStocks(stocks []stock, used []measure.Length) (take []int) {
	room := make([]int, len(stocks)) // loads that fit a stock, less boards taken up to its length
	for i, k := range stocks {
		room[i], _ = slices.BinarySearchFunc(used, k.capacity, func(l, capacity measure.Length) int {
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
	take = make([]int, len(stocks))
	for _, i := range byPrice {
		from := i // stocks of the same length share their room
		for from > 0 && stocks[from-1].capacity == stocks[i].capacity {
			from--
		}
		take[i] = min(stocks[i].available, slices.Min(room[from:]))
		for j := from; j < len(room); j++ {
			room[j] -= take[i]
		}
	}
	return take
}

// assign gives layouts, from the least used, the boards taken, from the
// shortest.
func assignStocks(patterns []pattern, take []int) (out []pattern) {
	take = slices.Clone(take)
	k := 0
	for _, p := range patterns {
		for p.count > 0 {
			for take[k] == 0 {
				k++
			}
			n := min(p.count, take[k])
			out = append(out, pattern{k, n, p.entries})
			take[k] -= n
			p.count -= n
		}
	}
	return out
}
