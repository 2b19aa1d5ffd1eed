package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// firstFit returns the best plan by first fit, nil if there is no stock.
//
// For every ordered pair of stock lengths, the pieces are taken from the
// longest down and each goes on the first board that takes it; if none does, a
// board of the shorter length of the pair is begun, or of the longer for a
// piece that the shorter cannot hold. The longer length of a pair holds every
// piece that any stock of unlimited number holds. Then the boards are exchanged
// for the cheapest set of stocks that holds what is on them. Of all pairs the
// cheapest plan wins, then the one with the fewest boards, then the one with
// the longest offcut, then the first pair by length.
//
// Where stock is limited, a length that has run out is replaced by the shortest
// one left that holds the piece, and each pair is tried once more with what is
// on hand for nothing filled before anything is bought. Plans that leave fewer
// pieces without stock win over all others.
func (in *instance) firstFit() (best *packing) {
	for _, try := range in.openingRules() {
		p := in.firstFitWith(try)
		if best == nil || p.betterThan(best) {
			best = p
		}
	}
	return best
}

// opening says which boards are begun: kinds by index, and whether what is on
// hand for nothing is filled first.
type openingRule struct {
	long, short int
	onHandFirst bool
}

// trials returns every way to begin boards that is tried, in a fixed order.
func (in *instance) openingRules() []openingRule {
	var tries []openingRule
	must := in.requiredCapacity()
	onHand := slices.ContainsFunc(in.stockTypes, func(st stockType) bool { return st.onHand })
	for long := range in.stockTypes {
		if in.stockTypes[long].capacity < must || in.sameLengthAsPrevious(long) {
			continue
		}
		for short := 0; short <= long; short++ {
			if in.sameLengthAsPrevious(short) {
				continue
			}
			tries = append(tries, openingRule{long, short, false})
			if onHand {
				tries = append(tries, openingRule{long, short, true})
			}
		}
	}
	return tries
}

// sameAsBefore reports whether the kind before this one is of the same length,
// so that boards begun of it would be the same.
func (in *instance) sameLengthAsPrevious(i int) bool {
	return i > 0 && in.stockTypes[i-1].capacity == in.stockTypes[i].capacity
}

// mustHold returns the longest piece that a stock of unlimited number holds.
func (in *instance) requiredCapacity() measure.Length {
	var longest measure.Length
	for _, st := range in.stockTypes {
		if st.available >= in.pieceCount {
			longest = max(longest, st.capacity)
		}
	}
	for _, item := range in.items {
		if item.size <= longest {
			return item.size
		}
	}
	return 0
}

// run fills boards by first fit, then exchanges them.
func (in *instance) firstFitWith(o openingRule) *packing {
	p := &packing{unplaced: make([]int, len(in.items))}
	inv := in.newInventory(o)
	if o.onHandFirst {
		p.bins = inv.openOnHand()
	}
	for g, item := range in.items {
		n := len(item.pieces)
		for i := 0; i < len(p.bins) && n > 0; i++ {
			n -= p.bins[i].place(g, item.size, n)
		}
		for n > 0 {
			b, ok := inv.open(item.size)
			if !ok {
				break
			}
			n -= b.place(g, item.size, n)
			p.bins = append(p.bins, b)
		}
		p.unplaced[g] = n
		p.unplacedCount += n
	}
	p.bins = slices.DeleteFunc(p.bins, func(b bin) bool { return len(b.entries) == 0 })
	slices.SortStableFunc(p.bins, func(a, b bin) int { return cmp.Compare(a.used, b.used) })
	p.stockTypes = in.cheapestStockTypes(p.bins)
	for i, k := range p.stockTypes {
		p.cost += in.stockTypes[k].price
		p.offcut = max(p.offcut, in.offcut(p.bins[i], k))
	}
	return p
}

// rack is the stock during one trial: how many of each kind are left, and the
// order in which kinds are reached for.
type inventory struct {
	stockTypes []stockType
	available  []int
	order      []int
}

func (in *instance) newInventory(o openingRule) inventory {
	r := inventory{stockTypes: in.stockTypes, available: make([]int, len(in.stockTypes)), order: make([]int, 0, len(in.stockTypes))}
	for i, st := range in.stockTypes {
		r.available[i] = st.available
	}
	for _, base := range []int{o.short, o.long} { // and all others of the same length
		for i, st := range in.stockTypes {
			if st.capacity == in.stockTypes[base].capacity {
				r.order = append(r.order, i)
			}
		}
	}
	for i := range in.stockTypes {
		r.order = append(r.order, i)
	}
	return r
}

// begin takes the first kind in order that is left and holds the piece.
func (r inventory) open(size measure.Length) (bin, bool) {
	for _, i := range r.order {
		if r.available[i] > 0 && r.stockTypes[i].capacity >= size {
			r.available[i]--
			return bin{capacity: r.stockTypes[i].capacity}, true
		}
	}
	return bin{}, false
}

// takeOnHand takes everything that is on hand for nothing, shortest first.
func (r inventory) openOnHand() []bin {
	var bins []bin
	for i, st := range r.stockTypes {
		for ; st.onHand && r.available[i] > 0; r.available[i]-- {
			bins = append(bins, bin{capacity: st.capacity})
		}
	}
	return bins
}
