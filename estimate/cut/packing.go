package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// bin is a board being packed.
type bin struct {
	capacity, used measure.Length
	entries        []entry // longest pieces first
}

// place packs as many as fit of n pieces of an item and returns how many.
func (b *bin) place(item int, size measure.Length, n int) int {
	n = min(n, int((b.capacity-b.used)/size))
	if n > 0 {
		b.used += measure.Length(n) * size
		b.entries = append(b.entries, entry{item, n})
	}
	return n
}

// binOf returns a bin with the pieces of a pattern.
func (in *instance) binOf(entries []entry) bin {
	b := bin{entries: entries}
	for _, e := range entries {
		b.used += measure.Length(e.count) * in.items[e.item].size
	}
	return b
}

// packing is a plan for the instance: bins, by ascending use, each on a board of some stock type.
type packing struct {
	bins          []bin
	stockTypes    []int // of each bin
	unplaced      []int // pieces of each item that are in no bin
	unplacedCount int
	cost          measure.UnitPrice
	offcut        measure.Length // the longest
}

// betterThan compares packings by the goals of first fit.
func (p *packing) betterThan(q *packing) bool {
	return cmp.Or(
		cmp.Compare(p.unplacedCount, q.unplacedCount),
		cmp.Compare(p.cost, q.cost),
		cmp.Compare(len(p.bins), len(q.bins)),
		cmp.Compare(q.offcut, p.offcut),
	) < 0
}

// offcut returns what is left of a board after the last cut.
func (in *instance) offcut(b bin, stockType int) measure.Length {
	return max(0, in.stockTypes[stockType].capacity-b.used-in.kerf)
}

// packingOf returns the packing of a solution of a model, on the cheapest boards that hold the
// contents of its bins.
func (in *instance) packingOf(m *model, patterns []pattern) *packing {
	p := &packing{unplaced: make([]int, len(in.items))}
	for _, pat := range m.withoutSurplus(patterns) {
		for range pat.count {
			p.bins = append(p.bins, in.binOf(pat.entries))
		}
	}
	in.useCheapestStock(p)
	return p
}

// useCheapestStock puts the bins of a packing in order and on the cheapest boards that hold their
// contents.
func (in *instance) useCheapestStock(p *packing) {
	slices.SortStableFunc(p.bins, func(a, b bin) int { return cmp.Compare(a.used, b.used) })
	p.stockTypes = in.cheapestStockTypes(p.bins)
	for i, k := range p.stockTypes {
		p.cost += in.stockTypes[k].price
		p.offcut = max(p.offcut, in.offcut(p.bins[i], k))
	}
}

// packingOn returns the packing of a solution of a model on boards of the stocks that its patterns
// have. Stock types that the model has merged are told apart again, so that alike bins are on
// boards of one type as far as enough are available. An item after the last stands for an offcut:
// it takes up offcutSize and is left out of the bins. The packing is nil if the stock does not
// suffice.
func (in *instance) packingOn(m *model, patterns []pattern, offcutSize measure.Length) *packing {
	requests := make([]boardRequest, 0, len(patterns))
	for _, p := range patterns {
		r := boardRequest{price: measure.UnitPrice(m.stocks[p.stock].price * m.priceUnit), count: p.count}
		entries := p.entries
		if last := len(entries) - 1; entries[last].item == len(in.items) {
			r.capacity = measure.Length(entries[last].count) * offcutSize
			entries = entries[:last:last]
		}
		if len(entries) > 0 {
			r.bin = in.binOf(entries)
			r.capacity += r.bin.used
			requests = append(requests, r)
		}
	}
	slices.SortStableFunc(requests, func(a, b boardRequest) int { return cmp.Compare(b.capacity, a.capacity) })
	p := &packing{unplaced: make([]int, len(in.items))}
	available := make([]int, len(in.stockTypes))
	for k, st := range in.stockTypes {
		available[k] = st.available
	}
	for _, r := range requests {
		for r.count > 0 {
			k := in.stockTypeFor(r, available)
			if k < 0 {
				return nil
			}
			boards := min(r.count, available[k])
			r.count -= boards
			available[k] -= boards
			for range boards {
				p.bins, p.stockTypes = append(p.bins, r.bin), append(p.stockTypes, k)
			}
			p.cost += measure.UnitPrice(boards) * in.stockTypes[k].price
			p.offcut = max(p.offcut, in.offcut(r.bin, k))
		}
	}
	return p
}

// boardRequest is what the boards of a pattern must have: a price, and a capacity of at least so
// much.
type boardRequest struct {
	bin      bin
	price    measure.UnitPrice
	capacity measure.Length
	count    int
}

// stockTypeFor returns the shortest available stock type that meets a request, if possible one with
// enough boards for all of it; below 0, there is none.
func (in *instance) stockTypeFor(r boardRequest, available []int) int {
	best := -1
	for k, st := range in.stockTypes {
		if st.price == r.price && st.capacity >= r.capacity && available[k] > 0 && (best < 0 || min(available[k], r.count) > min(available[best], r.count)) {
			best = k
		}
	}
	return best
}

// patternsOf returns the bins of a packing as patterns of a model, each on the shortest stock that
// holds it.
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
