package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// with returns the model with one piece more, and the group of it. Stocks that
// hold the piece and no other beside it are cut down to what the others can use
// of them: a board with nothing but what is left over is none.
func (m *model) withItem(size measure.Length) (*model, int) {
	n := *m
	at, _ := slices.BinarySearchFunc(m.sizes, size, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	n.sizes, n.demand = slices.Insert(slices.Clone(m.sizes), at, size), slices.Insert(slices.Clone(m.demand), at, 1)
	n.totalSize, n.pieceCount = m.totalSize+size, m.pieceCount+1
	n.stocks = slices.Clone(m.allStocks)
	for k := range n.stocks {
		if t := &n.stocks[k]; m.usableLength != nil && t.capacity < size+m.sizes[len(m.sizes)-1] {
			t.capacity = m.usableLength[t.capacity]
		}
	}
	n.reduceStocks()
	return &n, at
}

// countingBoards returns the model at prices that count the boards too: of two
// cuttings of one cost, the one on fewer boards is cheaper. many is more than
// the boards of any cutting that is looked for.
//
//	price'(k) = price(k) × many + 1
func (m *model) withBoardCost(many int64) *model {
	n := *m
	n.stocks = slices.Clone(m.stocks)
	for k := range n.stocks {
		n.stocks[k].price = n.stocks[k].price*many + 1
	}
	return &n
}

// standsFor returns the stock that stands for one that was tidied.
func (m *model) representative(raw stock) int {
	capacity := raw.capacity
	if m.usableLength != nil {
		capacity = m.usableLength[capacity]
	}
	return slices.IndexFunc(m.stocks, func(t stock) bool {
		return t.price == raw.price && t.capacity == capacity || t.price <= raw.price && t.capacity >= capacity && t.available >= m.pieceCount
	})
}

// adopt returns the layouts of a master as those of the model, which has one
// group more, at a place.
func (m *model) importPatterns(mp *master, at int) (patterns []pattern) {
	for _, d := range mp.columns {
		if d.stock < 0 {
			continue
		}
		p := pattern{entries: slices.Clone(d.entries)}
		for i, e := range p.entries {
			if e.item >= at {
				p.entries[i].item++
			}
		}
		length, price := m.lengthOf(p.entries), mp.m.stocks[d.stock].price
		p.stock = slices.IndexFunc(m.stocks, func(t stock) bool { return t.price == price && t.capacity >= length })
		if p.stock >= 0 {
			patterns = append(patterns, p)
		}
	}
	return patterns
}

// without returns layouts without the pieces of a group.
func withoutItem(patterns []pattern, group int) (out []pattern) {
	for _, p := range patterns {
		p.entries = slices.DeleteFunc(slices.Clone(p.entries), func(e entry) bool { return e.item == group })
		if len(p.entries) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// moved gives the group at a place the number last, and those behind it their
// numbers without it.
func renumbered(patterns []pattern, at, last int) (out []pattern) {
	for _, p := range patterns {
		var entries []entry
		more := 0
		for _, e := range p.entries {
			switch {
			case e.item == at:
				more = e.count
			case e.item > at:
				entries = append(entries, entry{e.item - 1, e.count})
			default:
				entries = append(entries, e)
			}
		}
		if more > 0 {
			entries = append(entries, entry{last, more})
		}
		out = append(out, pattern{p.stock, p.count, entries})
	}
	return out
}

// beside moves a piece to the one of a group, of which there is one, if it stands
// alone on a board. It returns false if none fits there.
func (m *model) joinLoneItem(patterns []pattern, at int) ([]pattern, bool) {
	alone := slices.IndexFunc(patterns, func(p pattern) bool { return len(p.entries) == 1 && p.entries[0].item == at })
	if alone < 0 {
		return patterns, true
	}
	room := m.stocks[patterns[alone].stock].capacity - m.sizes[at]
	for i, p := range patterns {
		for _, e := range p.entries {
			if i == alone || m.sizes[e.item] > room {
				continue
			}
			patterns[alone].entries = insertPieces(slices.Clone(patterns[alone].entries), e.item, 1)
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
