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
	sizes        []measure.Length // of a piece of each group, from the longest
	demand       []int            // pieces of each group
	stocks       []stock          // from the shortest
	allStocks    []stock          // before they were tidied
	usableLength []measure.Length // of each length of board, if known; see sums
	priceUnit    int64            // the unit of prices
	grid         measure.Length   // the unit of lengths
	exact        bool             // every length is a multiple of grid
	totalSize    measure.Length   // of all pieces
	pieceCount   int              // of all pieces
}

// stock is a length of board: what it holds, its price and how many there are.
type stock struct {
	capacity  measure.Length
	price     int64
	available int
}

// finest is the largest number of units that a board may hold. Beyond it, lists
// of sums grow long.
const maxUnits = 65_536

// grids are the units of length that may stand in for the exact one, from the
// finest.
var coarseGrids = [...]measure.Length{
	measure.Millimetre / 10, measure.Inch / 64, measure.Millimetre / 2, measure.Inch / 32,
	measure.Millimetre, measure.Inch / 16, measure.Inch / 8,
}

// newModel returns the model of a shop on a grid on which no board holds more
// than finest units, with pieces rounded up and boards down. ok is false if the
// shop has nothing to cut, or a piece fits no board any more.
func newModel(in *instance, missing []int) (m *model, ok bool) {
	if len(in.items) == 0 || len(in.stockTypes) == 0 {
		return nil, false
	}
	exact := in.lengthUnit()
	return in.modelOn(gridFor(exact, in.stockTypes[len(in.stockTypes)-1].capacity), exact, missing)
}

// unit is the greatest common divisor of all lengths.
func (in *instance) lengthUnit() measure.Length {
	common := int64(0)
	for _, item := range in.items {
		common = gcd(common, int64(item.size))
	}
	for _, st := range in.stockTypes {
		common = gcd(common, int64(st.capacity))
	}
	return measure.Length(common)
}

// gridFor returns the unit of a model whose exact unit and longest board are
// given.
func gridFor(exact, longest measure.Length) measure.Length {
	if longest/exact <= maxUnits {
		return exact
	}
	for _, g := range coarseGrids {
		if longest/g <= maxUnits {
			return g
		}
	}
	g := coarseGrids[len(coarseGrids)-1]
	for longest/g > maxUnits {
		g *= 2
	}
	return g
}

// model returns the model of a shop on a grid.
func (in *instance) modelOn(grid, exact measure.Length, missing []int) (m *model, ok bool) {
	m = &model{grid: grid, exact: grid == exact}
	for i, item := range in.items {
		n := len(item.pieces) - missing[i]
		size := measure.Length(measure.CeilDiv(int64(item.size), int64(grid)))
		m.sizes, m.demand = append(m.sizes, size), append(m.demand, n)
		m.totalSize += measure.Length(n) * size
		m.pieceCount += n
	}
	for _, st := range in.stockTypes {
		m.priceUnit = gcd(m.priceUnit, int64(st.price))
	}
	m.priceUnit = max(m.priceUnit, 1)
	shortest := m.sizes[len(m.sizes)-1]
	for _, st := range in.stockTypes {
		t := stock{capacity: st.capacity / grid, price: int64(st.price) / m.priceUnit, available: st.available}
		if t.capacity >= shortest {
			m.stocks = append(m.stocks, t)
		}
	}
	m.allStocks = slices.Clone(m.stocks)
	m.reduceStocks()
	if m.pieceCount == 0 || len(m.stocks) == 0 || m.sizes[0] > m.stocks[len(m.stocks)-1].capacity {
		return nil, false
	}
	return m, true
}

// tidyStocks cuts every stock down to what sums of pieces can use of it, joins
// equal ones, and leaves out those that a stock of unlimited number serves as
// well at no more.
func (m *model) reduceStocks() {
	if m.grid > 0 && len(m.stocks) > 0 && m.stocks[len(m.stocks)-1].capacity <= maxUnits {
		m.usableLength = m.usableLengths()
		for i := range m.stocks {
			m.stocks[i].capacity = m.usableLength[m.stocks[i].capacity]
		}
	}
	slices.SortStableFunc(m.stocks, func(a, b stock) int {
		return cmp.Or(cmp.Compare(a.capacity, b.capacity), cmp.Compare(a.price, b.price))
	})
	var joined []stock
	for _, s := range m.stocks {
		if n := len(joined); n > 0 && joined[n-1].capacity == s.capacity && joined[n-1].price == s.price {
			joined[n-1].available = min(m.pieceCount, joined[n-1].available+s.available)
			continue
		}
		joined = append(joined, s)
	}
	m.stocks = nil
	for _, s := range joined {
		if !slices.ContainsFunc(joined, func(t stock) bool {
			return t != s && t.available >= m.pieceCount && t.capacity >= s.capacity && t.price <= s.price
		}) {
			m.stocks = append(m.stocks, s)
		}
	}
}

// sums returns, for every length up to the longest board, the longest sum of
// pieces that is no longer.
func (m *model) usableLengths() []measure.Length {
	longest := int(m.stocks[len(m.stocks)-1].capacity)
	const none = -1
	used := make([]int, longest+1) // pieces of the group at hand in the sum, or none
	for i := 1; i <= longest; i++ {
		used[i] = none
	}
	for item, size := range m.sizes {
		w := int(size)
		for i := range used {
			if used[i] > 0 {
				used[i] = 0
			}
		}
		for i := w; i <= longest; i++ {
			if used[i] == none && used[i-w] != none && used[i-w] < m.demand[item] {
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
type pattern struct {
	stock, count int
	entries      []entry
}

// layouts is a cutting of all pieces, and what its boards cost.
type solution struct {
	patterns []pattern
	cost     int64
}

func (m *model) lengthOf(entries []entry) measure.Length {
	var sum measure.Length
	for _, e := range entries {
		sum += measure.Length(e.count) * m.sizes[e.item]
	}
	return sum
}

// cost returns what the boards of a cutting cost.
func (m *model) cost(patterns []pattern) (sum int64) {
	for _, p := range patterns {
		sum += int64(p.count) * m.stocks[p.stock].price
	}
	return sum
}

// fits reports whether there are as many pieces as items has.
func withinDemand(entries []entry, demand []int) bool {
	for _, e := range entries {
		if e.count > demand[e.item] {
			return false
		}
	}
	return true
}

// trimmed returns items without those of which there are no more.
func limitedToDemand(entries []entry, demand []int) []entry {
	var out []entry
	for _, e := range entries {
		if n := min(e.count, demand[e.item]); n > 0 {
			out = append(out, entry{e.item, n})
		}
	}
	return out
}

// bare returns a cutting without what is more than needed of a group.
func (m *model) withoutSurplus(patterns []pattern) (out []pattern) {
	demand := slices.Clone(m.demand)
	for _, p := range patterns {
		for p.count > 0 {
			entries := limitedToDemand(p.entries, demand)
			n := p.count
			for _, e := range entries {
				n = min(n, demand[e.item]/e.count)
			}
			if len(entries) == 0 {
				break
			}
			for _, e := range entries {
				demand[e.item] -= n * e.count
			}
			out = append(out, pattern{p.stock, n, entries})
			p.count -= n
		}
	}
	return mergePatterns(out)
}
