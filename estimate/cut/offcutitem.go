package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// withItem returns the model with one piece of one more item, and the index of that item. Stocks
// that hold the piece but no other beside it are reduced to what the other pieces can use of them:
// a board with nothing but the offcut on it would not be bought.
func (m *model) withItem(size measure.Length) (*model, int) {
	n := *m
	at, _ := slices.BinarySearchFunc(m.sizes, size, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	n.sizes, n.demand = slices.Insert(slices.Clone(m.sizes), at, size), slices.Insert(slices.Clone(m.demand), at, 1)
	n.totalSize, n.pieceCount = m.totalSize+size, m.pieceCount+1
	n.stocks = slices.Clone(m.allStocks)
	for k := range n.stocks {
		if st := &n.stocks[k]; m.usableLength != nil && st.capacity < size+m.sizes[len(m.sizes)-1] {
			st.capacity = m.usableLength[st.capacity]
		}
	}
	n.reduceStocks()
	return &n, at
}

// withBoardCost returns the model at prices that count the boards too: of two solutions of one
// cost, the one on fewer boards is cheaper. costFactor is more than the boards of any solution that
// is sought.
//
//	price'(k) = price(k) × costFactor + 1
func (m *model) withBoardCost(costFactor int64) *model {
	n := *m
	n.stocks = slices.Clone(m.stocks)
	for k := range n.stocks {
		n.stocks[k].price = n.stocks[k].price*costFactor + 1
	}
	return &n
}

// representative returns the stock that replaces a stock of allStocks, see reduceStocks.
func (m *model) representative(original stock) int {
	capacity := original.capacity
	if m.usableLength != nil {
		capacity = m.usableLength[capacity]
	}
	return slices.IndexFunc(m.stocks, func(st stock) bool {
		return st.price == original.price && st.capacity == capacity || st.price <= original.price && st.capacity >= capacity && st.available >= m.pieceCount
	})
}

// importPatterns returns the patterns of a master as those of the model, which has one item more,
// at a place.
func (m *model) importPatterns(mp *master, at int) (patterns []pattern) {
	for _, col := range mp.columns {
		if col.stock < 0 {
			continue
		}
		p := pattern{entries: slices.Clone(col.entries)}
		for i, e := range p.entries {
			if e.item >= at {
				p.entries[i].item++
			}
		}
		length, price := m.lengthOf(p.entries), mp.m.stocks[col.stock].price
		p.stock = slices.IndexFunc(m.stocks, func(st stock) bool { return st.price == price && st.capacity >= length })
		if p.stock >= 0 {
			patterns = append(patterns, p)
		}
	}
	return patterns
}

// withoutItem returns patterns without the pieces of an item.
func withoutItem(patterns []pattern, item int) (out []pattern) {
	for _, p := range patterns {
		p.entries = slices.DeleteFunc(slices.Clone(p.entries), func(e entry) bool { return e.item == item })
		if len(p.entries) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// renumbered gives the item at a place the index last, and those after it the indices that they
// have without it.
func renumbered(patterns []pattern, at, last int) (out []pattern) {
	for _, p := range patterns {
		var entries []entry
		count := 0
		for _, e := range p.entries {
			switch {
			case e.item == at:
				count = e.count
			case e.item > at:
				entries = append(entries, entry{e.item - 1, e.count})
			default:
				entries = append(entries, e)
			}
		}
		if count > 0 {
			entries = append(entries, entry{last, count})
		}
		out = append(out, pattern{p.stock, p.count, entries})
	}
	return out
}

// joinLoneItem moves a piece to the board of an item of which there is one, if no other is on that
// board. It returns false if no piece fits there.
func (m *model) joinLoneItem(patterns []pattern, at int) ([]pattern, bool) {
	lone := slices.IndexFunc(patterns, func(p pattern) bool { return len(p.entries) == 1 && p.entries[0].item == at })
	if lone < 0 {
		return patterns, true
	}
	room := m.stocks[patterns[lone].stock].capacity - m.sizes[at]
	for i, p := range patterns {
		for _, e := range p.entries {
			if i == lone || m.sizes[e.item] > room {
				continue
			}
			patterns[lone].entries = insertPieces(slices.Clone(patterns[lone].entries), e.item, 1)
			patterns[i].count--
			rest := pattern{p.stock, 1, slices.Clone(p.entries)}
			rest.entries = slices.DeleteFunc(rest.entries, func(r entry) bool { return r == entry{e.item, 1} })
			for j := range rest.entries {
				if rest.entries[j].item == e.item {
					rest.entries[j].count--
				}
			}
			if len(rest.entries) > 0 {
				patterns = append(patterns, rest)
			}
			return slices.DeleteFunc(patterns, func(p pattern) bool { return p.count == 0 }), true
		}
	}
	return patterns, false
}
