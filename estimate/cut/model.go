package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// model is a shop in small integers: lengths in units of grid, prices in units
// of their greatest common divisor, stocks that another serves as well left
// out.
type model struct {
	takes  []measure.Length // of a piece of each group, from the longest
	need   []int            // pieces of each group
	stocks []stock          // from the shortest
	raw    []stock          // before they were tidied
	usable []measure.Length // of each length of board, if known; see sums
	step   int64            // the unit of prices
	grid   measure.Length   // the unit of lengths
	exact  bool             // every length is a multiple of grid
	total  measure.Length   // of all pieces
	count  int              // of all pieces
}

// stock is a length of board: what it holds, its price and how many there are.
type stock struct {
	holds measure.Length
	price int64
	left  int
}

// finest is the largest number of units that a board may hold. Beyond it, lists
// of sums grow long.
const finest = 65_536

// grids are the units of length that may stand in for the exact one, from the
// finest.
var grids = [...]measure.Length{
	measure.Millimetre / 10, measure.Inch / 64, measure.Millimetre / 2, measure.Inch / 32,
	measure.Millimetre, measure.Inch / 16, measure.Inch / 8,
}

// newModel returns the model of a shop on a grid on which no board holds more
// than finest units, with pieces rounded up and boards down. ok is false if the
// shop has nothing to cut, or a piece fits no board any more.
func newModel(s *shop, missing []int) (m *model, ok bool) {
	if len(s.groups) == 0 || len(s.kinds) == 0 {
		return nil, false
	}
	exact := s.unit()
	return s.model(gridFor(exact, s.kinds[len(s.kinds)-1].holds), exact, missing)
}

// unit is the greatest common divisor of all lengths.
func (s *shop) unit() measure.Length {
	common := int64(0)
	for _, g := range s.groups {
		common = gcd(common, int64(g.takes))
	}
	for _, k := range s.kinds {
		common = gcd(common, int64(k.holds))
	}
	return measure.Length(common)
}

// gridFor returns the unit of a model whose exact unit and longest board are
// given.
func gridFor(exact, longest measure.Length) measure.Length {
	if longest/exact <= finest {
		return exact
	}
	for _, g := range grids {
		if longest/g <= finest {
			return g
		}
	}
	g := grids[len(grids)-1]
	for longest/g > finest {
		g *= 2
	}
	return g
}

// model returns the model of a shop on a grid.
func (s *shop) model(grid, exact measure.Length, missing []int) (m *model, ok bool) {
	m = &model{grid: grid, exact: grid == exact}
	for i, g := range s.groups {
		n := len(g.pieces) - missing[i]
		takes := measure.Length(measure.CeilDiv(int64(g.takes), int64(grid)))
		m.takes, m.need = append(m.takes, takes), append(m.need, n)
		m.total += measure.Length(n) * takes
		m.count += n
	}
	for _, k := range s.kinds {
		m.step = gcd(m.step, int64(k.price))
	}
	m.step = max(m.step, 1)
	shortest := m.takes[len(m.takes)-1]
	for _, k := range s.kinds {
		t := stock{holds: k.holds / grid, price: int64(k.price) / m.step, left: k.left}
		if t.holds >= shortest {
			m.stocks = append(m.stocks, t)
		}
	}
	m.raw = slices.Clone(m.stocks)
	m.tidyStocks()
	if m.count == 0 || len(m.stocks) == 0 || m.takes[0] > m.stocks[len(m.stocks)-1].holds {
		return nil, false
	}
	return m, true
}

// tidyStocks cuts every stock down to what sums of pieces can use of it, joins
// equal ones, and leaves out those that a stock of unlimited number serves as
// well at no more.
func (m *model) tidyStocks() {
	if m.grid > 0 && len(m.stocks) > 0 && m.stocks[len(m.stocks)-1].holds <= finest {
		m.usable = m.sums()
		for i := range m.stocks {
			m.stocks[i].holds = m.usable[m.stocks[i].holds]
		}
	}
	slices.SortStableFunc(m.stocks, func(a, b stock) int {
		return cmp.Or(cmp.Compare(a.holds, b.holds), cmp.Compare(a.price, b.price))
	})
	var joined []stock
	for _, s := range m.stocks {
		if n := len(joined); n > 0 && joined[n-1].holds == s.holds && joined[n-1].price == s.price {
			joined[n-1].left = min(m.count, joined[n-1].left+s.left)
			continue
		}
		joined = append(joined, s)
	}
	m.stocks = nil
	for _, s := range joined {
		if !slices.ContainsFunc(joined, func(t stock) bool {
			return t != s && t.left >= m.count && t.holds >= s.holds && t.price <= s.price
		}) {
			m.stocks = append(m.stocks, s)
		}
	}
}

// sums returns, for every length up to the longest board, the longest sum of
// pieces that is no longer.
func (m *model) sums() []measure.Length {
	longest := int(m.stocks[len(m.stocks)-1].holds)
	const none = -1
	used := make([]int, longest+1) // pieces of the group at hand in the sum, or none
	for i := 1; i <= longest; i++ {
		used[i] = none
	}
	for g, takes := range m.takes {
		w := int(takes)
		for i := range used {
			if used[i] > 0 {
				used[i] = 0
			}
		}
		for i := w; i <= longest; i++ {
			if used[i] == none && used[i-w] != none && used[i-w] < m.need[g] {
				used[i] = used[i-w] + 1
			}
		}
	}
	best := make([]measure.Length, longest+1)
	for i := 1; i <= longest; i++ {
		best[i] = best[i-1]
		if used[i] != none {
			best[i] = measure.Length(i)
		}
	}
	return best
}

// layout is a way to fill a board of a stock, longest pieces first, and how
// many boards are filled so.
type layout struct {
	stock, count int
	items        []item
}

// layouts is a cutting of all pieces, and what its boards cost.
type layouts struct {
	list []layout
	cost int64
}

func (m *model) length(items []item) measure.Length {
	var sum measure.Length
	for _, it := range items {
		sum += measure.Length(it.count) * m.takes[it.group]
	}
	return sum
}

// cost returns what the boards of a cutting cost.
func (m *model) cost(list []layout) (sum int64) {
	for _, l := range list {
		sum += int64(l.count) * m.stocks[l.stock].price
	}
	return sum
}

// fits reports whether there are as many pieces as items has.
func fits(items []item, need []int) bool {
	for _, it := range items {
		if it.count > need[it.group] {
			return false
		}
	}
	return true
}

// trimmed returns items without those of which there are no more.
func trimmed(items []item, need []int) []item {
	var out []item
	for _, it := range items {
		if n := min(it.count, need[it.group]); n > 0 {
			out = append(out, item{it.group, n})
		}
	}
	return out
}

// bare returns a cutting without what is more than needed of a group.
func (m *model) bare(list []layout) (out []layout) {
	need := slices.Clone(m.need)
	for _, l := range list {
		for l.count > 0 {
			items := trimmed(l.items, need)
			n := l.count
			for _, it := range items {
				n = min(n, need[it.group]/it.count)
			}
			if len(items) == 0 {
				break
			}
			for _, it := range items {
				need[it.group] -= n * it.count
			}
			out = append(out, layout{l.stock, n, items})
			l.count -= n
		}
	}
	return gather(out)
}
