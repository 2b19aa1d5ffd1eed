package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// firstFit returns the best packing by first fit decreasing, nil if there is no stock.
//
// For every ordered pair of stock lengths, the pieces are taken from the longest down and each goes
// into the first open bin with room for it; if none has, a bin of the shorter length of the pair is
// opened, or of the longer for a piece that the shorter cannot hold. The longer length of a pair
// holds every piece that any stock of unlimited number holds. The cheapest stocks that hold the
// contents then take the place of those opened; see cheapestStocks. Of all pairs the cheapest
// packing wins, then the one on the fewest boards, then the one with the longest offcut, then the
// first pair by length.
//
// Where stock is limited, a length that has run out is replaced by the shortest one available that
// holds the piece, and each pair is tried once more with all stock on hand opened before any is
// bought. Packings that leave fewer pieces unplaced win over all others.
func (in *instance) firstFit() (best *packing) {
	for _, rule := range in.openingRules() {
		p := in.firstFitWith(rule)
		if best == nil || p.betterThan(best) {
			best = p
		}
	}
	return best
}

// openingRule says which bins are opened: those of the short stock type for the pieces that it
// holds, else those of the long one. Both are indices of stock types.
type openingRule struct {
	long, short int
	onHandFirst bool // open all stock on hand before the first piece is placed
}

// openingRules returns every rule that is tried, in a fixed order.
func (in *instance) openingRules() []openingRule {
	var rules []openingRule
	required := in.requiredCapacity()
	onHand := slices.ContainsFunc(in.stockTypes, func(st stockType) bool { return st.onHand })
	for long := range in.stockTypes {
		if in.stockTypes[long].capacity < required || in.sameLengthAsPrevious(long) {
			continue
		}
		for short := 0; short <= long; short++ {
			if in.sameLengthAsPrevious(short) {
				continue
			}
			rules = append(rules, openingRule{long, short, false})
			if onHand {
				rules = append(rules, openingRule{long, short, true})
			}
		}
	}
	return rules
}

// sameLengthAsPrevious reports whether the stock type before this one has the same capacity, so
// that opening bins of it would give the same packing.
func (in *instance) sameLengthAsPrevious(i int) bool {
	return i > 0 && in.stockTypes[i-1].capacity == in.stockTypes[i].capacity
}

// requiredCapacity returns the size of the largest item that a stock of unlimited number holds. The
// long stock type of a rule has at least this capacity.
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

// firstFitWith packs the pieces by first fit decreasing under an opening rule.
func (in *instance) firstFitWith(rule openingRule) *packing {
	p := &packing{unplaced: make([]int, len(in.items))}
	inv := in.newInventory(rule)
	if rule.onHandFirst {
		p.bins = inv.openOnHand()
	}
	for i, item := range in.items {
		n := len(item.pieces)
		for j := 0; j < len(p.bins) && n > 0; j++ {
			n -= p.bins[j].place(i, item.size, n)
		}
		for n > 0 {
			b, ok := inv.open(item.size)
			if !ok {
				break
			}
			n -= b.place(i, item.size, n)
			p.bins = append(p.bins, b)
		}
		p.unplaced[i] = n
		p.unplacedCount += n
	}
	p.bins = slices.DeleteFunc(p.bins, func(b bin) bool { return len(b.entries) == 0 })
	in.useCheapestStock(p)
	return p
}

// inventory is the stock that is available during one run of first fit, and the order in which
// stock types are tried when a bin is opened.
type inventory struct {
	stockTypes []stockType
	available  []int
	order      []int
}

func (in *instance) newInventory(rule openingRule) inventory {
	inv := inventory{stockTypes: in.stockTypes, available: make([]int, len(in.stockTypes)), order: make([]int, 0, len(in.stockTypes))}
	for i, st := range in.stockTypes {
		inv.available[i] = st.available
	}
	for _, base := range []int{rule.short, rule.long} { // and all others of the same length
		for i, st := range in.stockTypes {
			if st.capacity == in.stockTypes[base].capacity {
				inv.order = append(inv.order, i)
			}
		}
	}
	for i := range in.stockTypes {
		inv.order = append(inv.order, i)
	}
	return inv
}

// open opens a bin of the first stock type in order that is available and holds the piece.
func (inv inventory) open(size measure.Length) (bin, bool) {
	for _, i := range inv.order {
		if inv.available[i] > 0 && inv.stockTypes[i].capacity >= size {
			inv.available[i]--
			return bin{capacity: inv.stockTypes[i].capacity}, true
		}
	}
	return bin{}, false
}

// openOnHand opens a bin for every board on hand, shortest first.
func (inv inventory) openOnHand() []bin {
	var bins []bin
	for i, st := range inv.stockTypes {
		for ; st.onHand && inv.available[i] > 0; inv.available[i]-- {
			bins = append(bins, bin{capacity: st.capacity})
		}
	}
	return bins
}
