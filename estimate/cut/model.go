package cut

import (
	"slices"

	"sillwright/estimate/measure"
)

// model is an instance in small integers: lengths in units of a grid, prices in units of their
// greatest common divisor, without dominated stocks.
type model struct {
	sizes        []measure.Length // of each item, descending
	demand       []int            // pieces of each item
	stocks       []stock          // by ascending capacity
	allStocks    []stock          // before reduceStocks
	usableLength []measure.Length // see usableLengths; nil if not computed
	priceUnit    int64
	grid         measure.Length // the unit of lengths
	exact        bool           // every length is a multiple of grid
	totalSize    measure.Length // of all pieces
	pieceCount   int
}

// stock is a stock type of a model.
type stock struct {
	capacity  measure.Length
	price     int64
	available int
}

// maxRows is the most rows of a linear program: one of each length of piece, and one of each stock
// that is not dominated, in the tree two. The memory of its inverse grows with their square. What has
// more lengths is planned by first fit and by filling boards without waste; above maxLengths, of
// pieces and stocks, by first fit alone.
const maxRows, maxLengths = 1_500, 4_000

// newModel returns the model of an instance on a grid on which no board has more than maxUnits
// units, with pieces rounded up and boards down. ok is false if there is nothing to cut, a rounded
// piece fits no board any more, or the model would be too large.
func newModel(in *instance, unplaced []int) (m *model, ok bool) {
	if len(in.items) == 0 || len(in.stockTypes) == 0 || len(in.items) > maxLengths {
		return nil, false
	}
	exact := in.lengthUnit()
	return in.modelOn(gridFor(exact, in.stockTypes[len(in.stockTypes)-1].capacity), exact, unplaced)
}

// modelOn returns the model of an instance on a grid.
func (in *instance) modelOn(grid, exact measure.Length, unplaced []int) (m *model, ok bool) {
	m = &model{grid: grid, exact: grid == exact}
	for i, item := range in.items {
		n := len(item.pieces) - unplaced[i]
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
		st := stock{capacity: st.capacity / grid, price: int64(st.price) / m.priceUnit, available: st.available}
		if st.capacity >= shortest {
			m.stocks = append(m.stocks, st)
		}
	}
	m.allStocks = slices.Clone(m.stocks)
	m.reduceStocks()
	if len(m.sizes)+len(m.stocks) > maxLengths {
		return nil, false
	}
	if m.pieceCount == 0 || len(m.stocks) == 0 || m.sizes[0] > m.stocks[len(m.stocks)-1].capacity {
		return nil, false
	}
	return m, true
}
