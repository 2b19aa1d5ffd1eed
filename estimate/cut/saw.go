package cut

import (
	"cmp"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// fewer looks for a cutting of the same cost on fewer boards: it dives on sets
// of boards that cost as much and hold all pieces.
func (s *search) fewer() {
	cost, boards := s.best.cost, countBoards(s.best.list)
	longest := s.m.stocks[len(s.m.stocks)-1].holds
	if int64(boards) <= measure.CeilDiv(int64(s.m.total), int64(longest)) || len(s.m.stocks) == 1 {
		return
	}
	sets := s.boardsAt(cost)
	sum := func(z []int) (n int) {
		for _, c := range z {
			n += c
		}
		return n
	}
	slices.SortStableFunc(sets, func(a, b []int) int { return cmp.Compare(sum(a), sum(b)) })
	for _, z := range sets {
		if sum(z) >= boards || s.work.spent() {
			return
		}
		t := &search{m: s.m, work: s.work, best: layouts{cost: cost + 1}, bound: s.bound, costs: s.costs}
		a := newMaster(s.m, true, cost+1, s.work)
		copy(a.high, z)
		if a.refresh() {
			t.dive(a, nil, 0)
		}
		if t.best.list != nil && t.best.cost == cost && countBoards(t.best.list) < boards {
			s.best = t.best
			return
		}
	}
}

func countBoards(list []layout) (n int) {
	for _, l := range list {
		n += l.count
	}
	return n
}

// with returns the model with one piece more, and the group of it.
func (m *model) with(takes measure.Length) (*model, int) {
	n := *m
	at, _ := slices.BinarySearchFunc(m.takes, takes, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	n.takes, n.need = slices.Insert(slices.Clone(m.takes), at, takes), slices.Insert(slices.Clone(m.need), at, 1)
	n.total, n.count = m.total+takes, m.count+1
	n.stocks = slices.Clone(m.raw)
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

// gathering looks for the longest single offcut that a cutting of the cost of
// the best one, on no more boards, can leave.
type gathering struct {
	q      *search
	kerf   measure.Length
	below  measure.Length // no cutting leaves one so long
	costs  *costs         // of the stocks with their whole lengths
	boards int

	// The cutting with the longest that was found, if any, with a piece as long in it.
	list  []layout
	m     *model
	at    int            // the group of the piece
	keeps measure.Length // what it takes
}

// run narrows the gap between from, the longest offcut so far, and below to an
// inch, by bisection with a piece more of the length asked for.
func (g *gathering) run(from measure.Length) {
	g.boards = countBoards(g.q.best.list)
	low := from / measure.Inch
	if g.q.root != nil && low < g.whole() {
		g.setBelow(g.mostByPrices(low, g.whole()))
	}
	if low < g.whole() {
		g.setBelow(g.mostSpare())
	}
	if g.q.root == nil && low < g.whole() {
		g.q.root = newMaster(g.q.m, false, g.q.best.cost, g.q.work)
		g.q.root.solve(math.MaxInt64)
		g.setBelow(g.mostByPrices(low, g.whole()))
	}
	each := (g.q.work.limit - g.q.work.used) / 4
	for high := g.whole(); low < high && !g.q.work.spent(); {
		mid := low + (high-low+1)/2
		found := false
		if g.q.work.within(each, func() { found = g.try(mid) }); found {
			low = mid
		} else {
			high = mid - 1
		}
	}
}

// whole is the most inches that an offcut may have.
func (g *gathering) whole() measure.Length { return (g.below - 1) / measure.Inch }

// takes returns what a piece of some inches takes, and in units of the model.
func (g *gathering) takes(inches measure.Length) (takes, units measure.Length) {
	takes = inches*measure.Inch + g.kerf
	return takes, measure.Length(measure.CeilDiv(int64(takes), int64(g.q.m.grid)))
}

func (g *gathering) setBelow(below measure.Length) { g.below = min(g.below, below) }

// try looks for a cutting that leaves so many inches.
func (g *gathering) try(inches measure.Length) bool {
	const dearest = 1 << 56
	s, many := g.q, int64(g.boards+1)
	if s.best.cost >= dearest/many {
		return false
	}
	takes, units := g.takes(inches)
	m, at := s.m.with(units)
	t := &search{
		m: m.countingBoards(many), work: s.work, warm: m.adopt(s.root, at),
		best: layouts{cost: (s.best.cost + 1) * many}, bound: s.bound * many, costs: &costs{g.costs.holds, m.total, many},
	}
	if t.run(); t.best.list == nil {
		if t.closed() {
			g.setBelow(inches * measure.Inch)
		}
		return false
	}
	g.list, g.m, g.at, g.keeps = t.best.list, m, at, takes
	return true
}

// mostSpare returns what an offcut is below because the boards of a cutting of
// the cost have no more than so much to spare. Stocks count with their whole
// length, not with what the pieces can use of it.
func (g *gathering) mostSpare() measure.Length {
	s := g.q
	if g.costs = s.costs; !slices.Equal(s.m.raw, s.m.stocks) {
		whole := *s.m
		whole.stocks = s.m.raw
		g.costs = newCosts(&whole, s.best.cost, s.work)
	}
	if s.best.cost >= int64(len(g.costs.holds)) {
		return g.below
	}
	return (g.costs.holds[s.best.cost]-s.m.total)*s.m.grid - g.kerf + 1
}

// mostByPrices returns what an offcut of low to high inches is below because a
// board that leaves it has so little on it that the cutting would cost more: its
// pieces are worth less than its price by more than the gap that the bound of the
// linear program leaves.
func (g *gathering) mostByPrices(low, high measure.Length) measure.Length {
	s := g.q
	value, worth, bound := s.tight(s.root)
	gap := s.best.cost<<s.root.scale - bound
	if bound <= 0 || gap < 0 {
		return g.below
	}
	least := make([]int64, len(s.m.raw)) // that a board of each stock is worth
	for k, r := range s.m.raw {
		least[k] = worth[s.m.standsFor(r)] - gap
	}
	for low < high {
		mid := low + (high-low+1)/2
		if _, units := g.takes(mid); s.canBeWorth(value, least, units) {
			low = mid
		} else {
			high = mid - 1
		}
	}
	return (high + 1) * measure.Inch
}

// canBeWorth reports whether a board of some stock, cut short by a length, can
// be worth what is asked of the stock.
func (s *search) canBeWorth(value, least []int64, short measure.Length) bool {
	cut := model{takes: s.m.takes}
	var asked []int64
	for k, r := range s.m.raw {
		if r.holds -= short; r.holds >= 0 {
			if least[k] <= 0 {
				return true
			}
			cut.stocks, asked = append(cut.stocks, r), append(asked, least[k]-1)
		}
	}
	if len(asked) == 0 {
		return false
	}
	pack := newKnapsack(&cut, s.work)
	pack.solve(value, s.m.need, asked)
	return pack.over || !slices.Equal(pack.asked, asked)
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
