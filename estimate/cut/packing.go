package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// load is a board being filled: the sum that its stock holds, what of it is
// used, and how many pieces of which group are on it, longest first.
type bin struct {
	capacity, used measure.Length
	entries        []entry
}

// fill puts as many as it can of n pieces of group g on the board and returns
// how many.
func (l *bin) place(i int, size measure.Length, n int) int {
	n = min(n, int((l.capacity-l.used)/size))
	if n > 0 {
		l.used += measure.Length(n) * size
		l.entries = append(l.entries, entry{i, n})
	}
	return n
}

// loadOf returns a board with pieces on it.
func (in *instance) binOf(entries []entry) bin {
	b := bin{entries: entries}
	for _, e := range entries {
		b.used += measure.Length(e.count) * in.items[e.item].size
	}
	return b
}

// trial is a way to cut the pieces: the loads, from the least used to the most,
// the kind of each, and how many pieces of each group found no board.
type packing struct {
	bins          []bin
	stockTypes    []int
	unplaced      []int
	cost          measure.UnitPrice
	unplacedCount int
	offcut        measure.Length
}

func (p *packing) betterThan(q *packing) bool {
	return cmp.Or(
		cmp.Compare(p.unplacedCount, q.unplacedCount),
		cmp.Compare(p.cost, q.cost),
		cmp.Compare(len(p.bins), len(q.bins)),
		cmp.Compare(q.offcut, p.offcut),
	) < 0
}

// offcut returns what is left of a kind after the last cut of the load.
func (in *instance) offcut(b bin, kind int) measure.Length {
	return max(0, in.stockTypes[kind].capacity-b.used-in.kerf)
}

// trial writes a cutting of a model out in boards, each exchanged for the
// cheapest that holds it.
func (in *instance) packingOf(m *model, patterns []pattern) *packing {
	p := &packing{unplaced: make([]int, len(in.items))}
	for _, lay := range m.withoutSurplus(patterns) {
		for range lay.count {
			p.bins = append(p.bins, in.binOf(lay.entries))
		}
	}
	slices.SortStableFunc(p.bins, func(a, b bin) int { return cmp.Compare(a.used, b.used) })
	p.stockTypes = in.cheapestStockTypes(p.bins)
	for i, k := range p.stockTypes {
		p.cost += in.stockTypes[k].price
		p.offcut = max(p.offcut, in.offcut(p.bins[i], k))
	}
	return p
}

// onKinds writes a cutting out in boards of the kinds that its stocks stand for,
// alike ones of the same kind as far as there are enough. A piece of the group
// after the last takes extra and is room to be left. It returns nil if the kinds
// run out.
func (in *instance) packingOn(m *model, patterns []pattern, extra measure.Length) *packing {
	needs := make([]boardRequest, 0, len(patterns))
	for _, p := range patterns {
		n := boardRequest{price: measure.UnitPrice(m.stocks[p.stock].price * m.priceUnit), count: p.count}
		entries := p.entries
		if last := len(entries) - 1; entries[last].item == len(in.items) {
			n.holds = measure.Length(entries[last].count) * extra
			entries = entries[:last:last]
		}
		if len(entries) > 0 {
			n.bin = in.binOf(entries)
			n.holds += n.bin.used
			needs = append(needs, n)
		}
	}
	slices.SortStableFunc(needs, func(a, b boardRequest) int { return cmp.Compare(b.holds, a.holds) })
	p := &packing{unplaced: make([]int, len(in.items))}
	left := make([]int, len(in.stockTypes))
	for k, kind := range in.stockTypes {
		left[k] = kind.available
	}
	for _, n := range needs {
		for n.count > 0 {
			k := in.stockTypeFor(n, left)
			if k < 0 {
				return nil
			}
			boards := min(n.count, left[k])
			n.count -= boards
			left[k] -= boards
			for range boards {
				p.bins, p.stockTypes = append(p.bins, n.bin), append(p.stockTypes, k)
			}
			p.cost += measure.UnitPrice(boards) * in.stockTypes[k].price
			p.offcut = max(p.offcut, in.offcut(n.bin, k))
		}
	}
	return p
}

// boardNeed is what is asked of the boards of a layout: a price, and a length
// that they hold.
type boardRequest struct {
	bin   bin
	price measure.UnitPrice
	holds measure.Length
	count int
}

// kindFor returns the shortest kind that is left of what is asked, if there is
// one of which enough are; below 0, none is left.
func (in *instance) stockTypeFor(n boardRequest, left []int) int {
	best := -1
	for k, kind := range in.stockTypes {
		if kind.price == n.price && kind.capacity >= n.holds && left[k] > 0 && (best < 0 || min(left[k], n.count) > min(left[best], n.count)) {
			best = k
		}
	}
	return best
}

// layoutsOf returns the boards of a trial as layouts of a model, each on the
// cheapest stock.
func (in *instance) patternsOf(m *model, p *packing) (patterns []pattern) {
	for _, b := range p.bins {
		k := 0
		for k < len(m.stocks)-1 && m.stocks[k].capacity < m.lengthOf(b.entries) {
			k++
		}
		patterns = append(patterns, pattern{k, 1, b.entries})
	}
	return patterns
}
