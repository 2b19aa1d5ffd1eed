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
func (s *shop) lowerBound(t *trial) measure.UnitPrice {
	if t == nil || len(t.loads) == 0 {
		return 0
	}
	d := s.demand(t)
	bound := max(d.byLength(), d.byCount(), s.priceOf(d.apart))
	step := int64(d.kinds[0].price)
	for _, k := range d.kinds[1:] {
		step = gcd(step, int64(k.price))
	}
	if step == 0 {
		return bound
	}
	return measure.UnitPrice(measure.CeilDiv(int64(bound), step) * step)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// demand is what the bounds are worked out from: the kinds that hold any of the
// pieces, the sum that the pieces take, and pieces of which no two fit on a
// board together, as loads from the least used to the most.
type demand struct {
	kinds []kind
	total measure.Length
	apart []load
}

func (s *shop) demand(t *trial) demand {
	var d demand
	var shortest measure.Length
	half := s.kinds[len(s.kinds)-1].holds / 2
	for g, grp := range s.groups {
		n := len(grp.pieces) - t.missing[g]
		if n == 0 {
			continue
		}
		shortest = grp.takes
		d.total += measure.Length(n) * grp.takes
		if grp.takes <= half {
			n = 1 - min(1, len(d.apart)) // the longest piece is on some board, if no other is
		}
		for range n {
			d.apart = append(d.apart, load{used: grp.takes})
		}
	}
	slices.Reverse(d.apart)
	for _, k := range s.kinds {
		if k.holds >= shortest {
			d.kinds = append(d.kinds, k)
		}
	}
	return d
}

// priceOf returns the least that boards for the loads cost: pieces that stand
// apart cannot be had for less.
func (s *shop) priceOf(loads []load) measure.UnitPrice {
	var sum measure.UnitPrice
	for _, k := range s.exchange(loads) {
		sum += s.kinds[k].price
	}
	return sum
}

// byLength returns the cost of the total length at the lowest price for a unit
// of length, kind by kind as far as each goes, as if the last board could be
// bought in part.
//
//	Σ price × number + ⌈price × rest / holds⌉
func (d demand) byLength() measure.UnitPrice {
	kinds := slices.Clone(d.kinds)
	slices.SortStableFunc(kinds, func(a, b kind) int {
		hi, lo := bits.Mul64(uint64(a.price), uint64(b.holds))
		hj, lj := bits.Mul64(uint64(b.price), uint64(a.holds))
		return cmp.Or(cmp.Compare(hi, hj), cmp.Compare(lo, lj))
	})
	var cost measure.UnitPrice
	rest := d.total
	for _, k := range kinds {
		n := min(measure.Length(k.left), rest/k.holds)
		cost += measure.UnitPrice(n) * k.price
		rest -= n * k.holds
		if n < measure.Length(k.left) { // rest is less than a board of it
			return cost + partPrice(k, rest)
		}
	}
	return cost
}

// partPrice returns ⌈price × rest / holds⌉ for rest below holds.
func partPrice(k kind, rest measure.Length) measure.UnitPrice {
	hi, lo := bits.Mul64(uint64(k.price), uint64(rest))
	q, r := bits.Div64(hi, lo, uint64(k.holds))
	if r > 0 {
		q++
	}
	return measure.UnitPrice(q)
}

// byCount returns the price of as many of the cheapest boards as there must be
// at least: enough of the longest ones for the total length, and one for each
// piece that stands apart.
func (d demand) byCount() measure.UnitPrice {
	boards := 0
	rest := d.total
	for _, k := range slices.Backward(d.kinds) {
		n := min(k.left, int(measure.CeilDiv(int64(rest), int64(k.holds))))
		boards += n
		rest = max(0, rest-measure.Length(n)*k.holds)
	}
	boards = max(boards, len(d.apart))

	kinds := slices.Clone(d.kinds)
	slices.SortStableFunc(kinds, func(a, b kind) int { return cmp.Compare(a.price, b.price) })
	var cost measure.UnitPrice
	for _, k := range kinds {
		n := min(k.left, boards)
		cost += measure.UnitPrice(n) * k.price
		boards -= n
	}
	return cost
}
