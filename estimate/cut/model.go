package cut

import (
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
