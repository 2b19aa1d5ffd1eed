package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// with returns the model with one piece more, and the group of it. Stocks that
// hold the piece and no other beside it are cut down to what the others can use
// of them: a board with nothing but what is left over is none.
func (m *model) with(takes measure.Length) (*model, int) {
	n := *m
	at, _ := slices.BinarySearchFunc(m.takes, takes, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	n.takes, n.need = slices.Insert(slices.Clone(m.takes), at, takes), slices.Insert(slices.Clone(m.need), at, 1)
	n.total, n.count = m.total+takes, m.count+1
	n.stocks = slices.Clone(m.raw)
	for k := range n.stocks {
		if t := &n.stocks[k]; m.usable != nil && t.holds < takes+m.takes[len(m.takes)-1] {
			t.holds = m.usable[t.holds]
		}
	}
	n.tidyStocks()
	return &n, at
}

// countingBoards returns the model at prices that count the boards too: of two
// cuttings of one cost, the one on fewer boards is cheaper. many is more than
// the boards of any cutting that is looked for.
//
//	price'(k) = price(k) × many + 1
func (m *model) countingBoards(many int64) *model {
	n := *m
	n.stocks = slices.Clone(m.stocks)
	for k := range n.stocks {
		n.stocks[k].price = n.stocks[k].price*many + 1
	}
	return &n
}

// standsFor returns the stock that stands for one that was tidied.
func (m *model) standsFor(raw stock) int {
	holds := raw.holds
	if m.usable != nil {
		holds = m.usable[holds]
	}
	return slices.IndexFunc(m.stocks, func(t stock) bool {
		return t.price == raw.price && t.holds == holds || t.price <= raw.price && t.holds >= holds && t.left >= m.count
	})
}

// adopt returns the layouts of a master as those of the model, which has one
// group more, at a place.
func (m *model) adopt(a *master, at int) (list []layout) {
	for _, d := range a.made {
		if d.stock < 0 {
			continue
		}
		l := layout{items: slices.Clone(d.items)}
		for i, it := range l.items {
			if it.group >= at {
				l.items[i].group++
			}
		}
		length, price := m.length(l.items), a.m.stocks[d.stock].price
		l.stock = slices.IndexFunc(m.stocks, func(t stock) bool { return t.price == price && t.holds >= length })
		if l.stock >= 0 {
			list = append(list, l)
		}
	}
	return list
}

// without returns layouts without the pieces of a group.
func without(list []layout, group int) (out []layout) {
	for _, l := range list {
		l.items = slices.DeleteFunc(slices.Clone(l.items), func(it item) bool { return it.group == group })
		if len(l.items) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// moved gives the group at a place the number last, and those behind it their
// numbers without it.
func moved(list []layout, at, last int) (out []layout) {
	for _, l := range list {
		var items []item
		more := 0
		for _, it := range l.items {
			switch {
			case it.group == at:
				more = it.count
			case it.group > at:
				items = append(items, item{it.group - 1, it.count})
			default:
				items = append(items, it)
			}
		}
		if more > 0 {
			items = append(items, item{last, more})
		}
		out = append(out, layout{l.stock, l.count, items})
	}
	return out
}

// beside moves a piece to the one of a group, of which there is one, if it stands
// alone on a board. It returns false if none fits there.
func (m *model) beside(list []layout, at int) ([]layout, bool) {
	alone := slices.IndexFunc(list, func(l layout) bool { return len(l.items) == 1 && l.items[0].group == at })
	if alone < 0 {
		return list, true
	}
	room := m.stocks[list[alone].stock].holds - m.takes[at]
	for i, l := range list {
		for _, it := range l.items {
			if i == alone || m.takes[it.group] > room {
				continue
			}
			list[alone].items = put(slices.Clone(list[alone].items), it.group, 1)
			list[i].count--
			rest := layout{l.stock, 1, slices.Clone(l.items)}
			rest.items = slices.DeleteFunc(rest.items, func(r item) bool { return r == item{it.group, 1} })
			for j := range rest.items {
				if rest.items[j].group == it.group {
					rest.items[j].count--
				}
			}
			if len(rest.items) > 0 {
				list = append(list, rest)
			}
			return slices.DeleteFunc(list, func(l layout) bool { return l.count == 0 }), true
		}
	}
	return list, false
}
