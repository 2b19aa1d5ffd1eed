package cut

import (
	"cmp"
	"math/bits"
	"slices"

	"sillwright/estimate/measure"
)

// lowerBound returns a cost below which no plan for the pieces that the trial
// has on boards can be, all in integers: the largest of byLength, byCount and
// apart, raised to a multiple of the greatest common divisor of the prices,
// which every cost is.
func (in *instance) lowerBound(p *packing) measure.UnitPrice {
	if p == nil || len(p.bins) == 0 {
		return 0
	}
	d := in.boundData(p)
	bound := max(d.lengthBound(), d.countBound(), in.leastPrice(d.incompatible))
	step := int64(d.stockTypes[0].price)
	for _, st := range d.stockTypes[1:] {
		step = gcd(step, int64(st.price))
	}
	if step == 0 {
		return bound
	}
	return measure.UnitPrice(measure.CeilDiv(int64(bound), step) * step)
}

// demand is what the bounds are worked out from: the kinds that hold any of the
// pieces, the sum that the pieces take, and pieces of which no two fit on a
// board together, as loads from the least used to the most.
type boundData struct {
	stockTypes   []stockType
	totalSize    measure.Length
	incompatible []bin
}

func (in *instance) boundData(p *packing) boundData {
	var d boundData
	var shortest measure.Length
	half := in.stockTypes[len(in.stockTypes)-1].capacity / 2
	for i, item := range in.items {
		n := len(item.pieces) - p.unplaced[i]
		if n == 0 {
			continue
		}
		shortest = item.size
		d.totalSize += measure.Length(n) * item.size
		if item.size <= half {
			n = 1 - min(1, len(d.incompatible)) // the longest piece is on some board, if no other is
		}
		for range n {
			d.incompatible = append(d.incompatible, bin{used: item.size})
		}
	}
	slices.Reverse(d.incompatible)
	for _, st := range in.stockTypes {
		if st.capacity >= shortest {
			d.stockTypes = append(d.stockTypes, st)
		}
	}
	return d
}

// priceOf returns the least that boards for the loads cost: pieces that stand
// apart cannot be had for less.
func (in *instance) leastPrice(bins []bin) measure.UnitPrice {
	var sum measure.UnitPrice
	for _, k := range in.cheapestStockTypes(bins) {
		sum += in.stockTypes[k].price
	}
	return sum
}

// byLength returns the cost of the total length at the lowest price for a unit
// of length, kind by kind as far as each goes, as if the last board could be
// bought in part.
//
//	Σ price × number + ⌈price × rest / holds⌉
func (d boundData) lengthBound() measure.UnitPrice {
	stockTypes := slices.Clone(d.stockTypes)
	slices.SortStableFunc(stockTypes, func(a, b stockType) int {
		hi, lo := bits.Mul64(uint64(a.price), uint64(b.capacity))
		hj, lj := bits.Mul64(uint64(b.price), uint64(a.capacity))
		return cmp.Or(cmp.Compare(hi, hj), cmp.Compare(lo, lj))
	})
	var cost measure.UnitPrice
	rest := d.totalSize
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

// partPrice returns ⌈price × rest / holds⌉ for rest below holds.
func proportionalPrice(st stockType, rest measure.Length) measure.UnitPrice {
	hi, lo := bits.Mul64(uint64(st.price), uint64(rest))
	q, r := bits.Div64(hi, lo, uint64(st.capacity))
	if r > 0 {
		q++
	}
	return measure.UnitPrice(q)
}

// byCount returns the price of as many of the cheapest boards as there must be
// at least: enough of the longest ones for the total length, and one for each
// piece that stands apart.
func (d boundData) countBound() measure.UnitPrice {
	boards := 0
	rest := d.totalSize
	for _, st := range slices.Backward(d.stockTypes) {
		n := min(st.available, int(measure.CeilDiv(int64(rest), int64(st.capacity))))
		boards += n
		rest = max(0, rest-measure.Length(n)*st.capacity)
	}
	boards = max(boards, len(d.incompatible))

	stockTypes := slices.Clone(d.stockTypes)
	slices.SortStableFunc(stockTypes, func(a, b stockType) int { return cmp.Compare(a.price, b.price) })
	var cost measure.UnitPrice
	for _, st := range stockTypes {
		n := min(st.available, boards)
		cost += measure.UnitPrice(n) * st.price
		boards -= n
	}
	return cost
}
