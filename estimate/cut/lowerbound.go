package cut

import (
	"cmp"
	"math/bits"
	"slices"

	"sillwright/estimate/measure"
)

// lowerBound returns a lower bound on the cost of packing the pieces that a packing has placed, in
// integers alone: the largest of three simple bounds, raised to a multiple of the greatest common
// divisor of the prices, which every cost is.
func (in *instance) lowerBound(p *packing) measure.UnitPrice {
	if p == nil || len(p.bins) == 0 {
		return 0
	}
	bd := in.newBoundData(p)
	bound := max(bd.lengthBound(), bd.countBound(), in.minPrice(bd.incompatible))
	step := int64(bd.stockTypes[0].price)
	for _, st := range bd.stockTypes[1:] {
		step = gcd(step, int64(st.price))
	}
	if step == 0 {
		return bound
	}
	return measure.UnitPrice(measure.CeilDiv(int64(bound), step) * step)
}

// boundData is what the bounds are computed from.
type boundData struct {
	stockTypes   []stockType    // that hold any of the pieces
	totalSize    measure.Length // of the pieces
	incompatible []bin          // one for each of some pieces of which no two fit on one board, by ascending size
}

func (in *instance) newBoundData(p *packing) boundData {
	var bd boundData
	var shortest measure.Length
	half := in.stockTypes[len(in.stockTypes)-1].capacity / 2
	for i, item := range in.items {
		n := len(item.pieces) - p.unplaced[i]
		if n == 0 {
			continue
		}
		shortest = item.size
		bd.totalSize += measure.Length(n) * item.size
		if item.size <= half {
			n = 1 - min(1, len(bd.incompatible)) // without larger ones, the largest piece alone still needs a board
		}
		for range n {
			bd.incompatible = append(bd.incompatible, bin{used: item.size})
		}
	}
	slices.Reverse(bd.incompatible)
	for _, st := range in.stockTypes {
		if st.capacity >= shortest {
			bd.stockTypes = append(bd.stockTypes, st)
		}
	}
	return bd
}

// minPrice returns the cost of the cheapest boards that hold the bins. For pieces of which no two
// fit on one board it is a lower bound.
func (in *instance) minPrice(bins []bin) measure.UnitPrice {
	var sum measure.UnitPrice
	for _, k := range in.cheapestStockTypes(bins) {
		sum += in.stockTypes[k].price
	}
	return sum
}

// lengthBound returns the cost of the total size at the lowest price for a unit of length, stock
// type by stock type as far as each is available, as if the last board could be bought in part.
//
//	Σ price × number + ⌈price × rest / capacity⌉
func (bd boundData) lengthBound() measure.UnitPrice {
	stockTypes := slices.Clone(bd.stockTypes)
	slices.SortStableFunc(stockTypes, func(a, b stockType) int {
		return comparePricePerLength(int64(a.price), a.capacity, int64(b.price), b.capacity)
	})
	var cost measure.UnitPrice
	rest := bd.totalSize
	for _, st := range stockTypes {
		n := min(measure.Length(st.available), rest/st.capacity)
		cost += measure.UnitPrice(n) * st.price
		rest -= n * st.capacity
		if n < measure.Length(st.available) { // rest is less than a board of it
			return cost + proportionalPrice(st, rest)
		}
	}
	return cost
}

// comparePricePerLength compares prices per unit of length without division or overflow. No value
// may be negative.
func comparePricePerLength(price int64, length measure.Length, otherPrice int64, otherLength measure.Length) int {
	hi, lo := bits.Mul64(uint64(price), uint64(otherLength))
	otherHi, otherLo := bits.Mul64(uint64(otherPrice), uint64(length))
	return cmp.Or(cmp.Compare(hi, otherHi), cmp.Compare(lo, otherLo))
}

// proportionalPrice returns ⌈price × rest / capacity⌉ for rest below the capacity.
func proportionalPrice(st stockType, rest measure.Length) measure.UnitPrice {
	hi, lo := bits.Mul64(uint64(st.price), uint64(rest))
	q, r := bits.Div64(hi, lo, uint64(st.capacity))
	if r > 0 {
		q++
	}
	return measure.UnitPrice(q)
}

// countBound returns the price of as many of the cheapest boards as any packing needs: enough of
// the longest ones for the total size, and one for each of the incompatible pieces.
func (bd boundData) countBound() measure.UnitPrice {
	boards := 0
	rest := bd.totalSize
	for _, st := range slices.Backward(bd.stockTypes) {
		n := min(st.available, int(measure.CeilDiv(int64(rest), int64(st.capacity))))
		boards += n
		rest = max(0, rest-measure.Length(n)*st.capacity)
	}
	boards = max(boards, len(bd.incompatible))

	stockTypes := slices.Clone(bd.stockTypes)
	slices.SortStableFunc(stockTypes, func(a, b stockType) int { return cmp.Compare(a.price, b.price) })
	var cost measure.UnitPrice
	for _, st := range stockTypes {
		n := min(st.available, boards)
		cost += measure.UnitPrice(n) * st.price
		boards -= n
	}
	return cost
}
