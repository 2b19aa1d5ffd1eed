package cut

import (
	"cmp"
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
//
// Of more than maxRuleLengths lengths only so many are paired, and no further pair is tried once a
// quarter of the work is spent. The first firstFitSteps count for nothing: few lengths take fewer.
func (in *instance) firstFit(w *work) (best *packing) {
	own := work{limit: w.limit / 4}
	defer func() { w.spend(int(max(0, own.used-firstFitSteps))) }()
	for _, rule := range in.openingRules() {
		if best != nil && own.spent() {
			break
		}
		p := in.firstFitWith(rule, &own)
		if best == nil || p.betterThan(best) {
			best = p
		}
	}
	return best
}

const firstFitSteps = 1 << 22

// openingRule says which bins are opened: those of the short stock type for the pieces that it
// holds, else those of the long one. Both are indices of stock types.
type openingRule struct {
	long, short int
	onHandFirst bool // open all stock on hand before the first piece is placed
}

// maxRuleLengths is how many stock lengths of unlimited number, and of limited, are tried in pairs.
const maxRuleLengths = 16

// openingRules returns every rule that is tried, in a fixed order.
func (in *instance) openingRules() []openingRule {
	var rules []openingRule
	required := in.requiredCapacity()
	onHand := slices.ContainsFunc(in.stockTypes, func(st stockType) bool { return st.onHand })
	lengths := in.ruleLengths(required)
	for i, long := range lengths {
		if in.stockTypes[long].capacity < required {
			continue
		}
		for _, short := range lengths[:i+1] {
			rules = append(rules, openingRule{long, short, false})
			if onHand {
				rules = append(rules, openingRule{long, short, true})
			}
		}
	}
	return rules
}

// ruleLengths returns a stock type for each length that rules are made of, by ascending length: all
// lengths, or where there are many, some from the shortest to the longest, and of those that hold all
// that must be held the shortest.
func (in *instance) ruleLengths(required measure.Length) []int {
	var limited, unlimited []int
	fits := -1
	for i := 0; i < len(in.stockTypes); {
		isUnlimited, j := false, i
		for ; j < len(in.stockTypes) && in.stockTypes[j].capacity == in.stockTypes[i].capacity; j++ {
			isUnlimited = isUnlimited || in.stockTypes[j].available >= in.pieceCount
		}
		if isUnlimited {
			unlimited = append(unlimited, i)
		} else {
			limited = append(limited, i)
		}
		if fits < 0 && in.stockTypes[i].capacity >= required {
			fits = i
		}
		i = j
	}
	lengths := slices.Concat(evenly(limited), evenly(unlimited))
	if fits >= 0 {
		lengths = append(lengths, fits)
	}
	slices.Sort(lengths)
	return slices.Compact(lengths)
}

// evenly returns no more than maxRuleLengths of a list, the first and the last among them.
func evenly(list []int) []int {
	if len(list) <= maxRuleLengths {
		return list
	}
	out := make([]int, maxRuleLengths)
	for i := range out {
		out[i] = list[i*(len(list)-1)/(maxRuleLengths-1)]
	}
	return out
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
func (in *instance) firstFitWith(rule openingRule, w *work) *packing {
	p := &packing{unplaced: make([]int, len(in.items))}
	inv := in.newInventory(rule)
	open := newOpenBins(inv)
	for i, item := range in.items {
		n := len(item.pieces)
		for n > 0 {
			placed, ok := open.place(i, item.size, n)
			if !ok {
				b, ok := inv.open(item.size)
				if !ok {
					break
				}
				placed = b.place(i, item.size, n)
				open.add(b)
			}
			n -= placed
			w.spend(20)
		}
		p.unplaced[i] = n
		p.unplacedCount += n
	}
	p.bins = open.bins()
	in.useCheapestStock(p)
	w.spend(len(in.items) + 40*len(p.bins) + len(in.stockTypes)*len(in.stockTypes)/16) // bins are sorted, each is moved often
	return p
}

// inventory is the stock that is available during one run of first fit, and the stock types that
// are tried first when a bin is opened.
type inventory struct {
	stockTypes  []stockType
	available   []int
	first       []int // before all others
	next        []int // of each stock type: itself, or one after it, before which none is available
	onHandFirst bool
}

func (in *instance) newInventory(rule openingRule) *inventory {
	n := len(in.stockTypes)
	inv := &inventory{stockTypes: in.stockTypes, available: make([]int, n), next: make([]int, n+1), onHandFirst: rule.onHandFirst}
	for i, st := range in.stockTypes {
		inv.available[i], inv.next[i] = st.available, i
	}
	inv.next[n] = n
	for _, base := range []int{rule.short, rule.long} { // and all others of the same length
		for i := base; i < n && in.stockTypes[i].capacity == in.stockTypes[base].capacity; i++ {
			inv.first = append(inv.first, i)
		}
	}
	return inv
}

// open opens a bin of the first stock type that is available and holds the piece.
func (inv *inventory) open(size measure.Length) (bin, bool) {
	for _, i := range inv.first {
		if inv.available[i] > 0 && inv.stockTypes[i].capacity >= size {
			return inv.take(i), true
		}
	}
	i, _ := slices.BinarySearchFunc(inv.stockTypes, size, func(st stockType, size measure.Length) int { return cmp.Compare(st.capacity, size) })
	if i = inv.availableFrom(i); i == len(inv.stockTypes) {
		return bin{}, false
	}
	return inv.take(i), true
}

// take opens a bin of a stock type.
func (inv *inventory) take(i int) bin {
	inv.available[i]--
	return bin{capacity: inv.stockTypes[i].capacity}
}

// availableFrom returns the first stock type from one on that is available.
func (inv *inventory) availableFrom(from int) int {
	i := from
	for i < len(inv.available) && inv.available[i] == 0 {
		if inv.next[i] == i {
			inv.next[i] = i + 1
		}
		i = inv.next[i]
	}
	for from < i {
		from, inv.next[from] = inv.next[from], i
	}
	return i
}
