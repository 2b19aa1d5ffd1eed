package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// instance is a problem in the standard form of cutting stock: item types with sizes and stock
// types with capacities, without kerf or end trims. A piece of length w has the size w + kerf, and
// a board of length L the capacity L − head − tail + kerf; then pieces can be cut from a board if
// and only if their sizes add up to no more than its capacity.
type instance struct {
	kerf       measure.Length
	stockTypes []stockType // by ascending capacity, then price
	items      []itemType  // by descending size
	pieceCount int
	tooLong    []int // pieces longer than every stock, by index into Problem.Pieces
}

// stockType is a stock that can be used, or several that are alike.
type stockType struct {
	lots      []stockLot
	capacity  measure.Length
	price     measure.UnitPrice
	available int  // no more than there are pieces
	onHand    bool // had for nothing, in limited number
}

// stockLot is the boards of one of Problem.Stocks.
type stockLot struct{ index, available int }

// itemType is all pieces of one size. pieces holds an index into Problem.Pieces for each.
type itemType struct {
	size   measure.Length
	pieces []int
}

// newInstance returns the instance of a problem; ok is false if it has more than MaxPieces pieces.
func newInstance(p Problem) (in instance, ok bool) {
	in.kerf = clamp(p.Kerf)
	trim := clamp(p.HeadTrim) + clamp(p.TailTrim)
	for i, piece := range p.Pieces {
		if piece.Length > 0 && piece.Count > 0 {
			if piece.Count > MaxPieces-in.pieceCount {
				return in, false
			}
			in.pieceCount += piece.Count
			in.addItem(i, piece)
		}
	}
	slices.SortStableFunc(in.items, func(a, b itemType) int { return cmp.Compare(b.size, a.size) })
	in.items = mergeEqual(in.items)
	for i, s := range p.Stocks {
		length := s.Length
		if !s.Trimmed {
			length -= trim
		}
		if !isUsable(s) || length <= 0 {
			continue
		}
		st := stockType{capacity: length + in.kerf, price: s.Price, available: in.pieceCount}
		if s.Available > 0 {
			st.available = min(s.Available, in.pieceCount)
			st.onHand = s.Price == 0
		}
		st.lots = []stockLot{{i, st.available}}
		in.stockTypes = append(in.stockTypes, st)
	}
	slices.SortStableFunc(in.stockTypes, func(a, b stockType) int {
		return cmp.Or(cmp.Compare(a.capacity, b.capacity), cmp.Compare(a.price, b.price))
	})
	in.mergeAlike()
	in.removeTooLong()
	return in, true
}

// mergeAlike joins stock types of the same capacity and price, which are neighbors.
func (in *instance) mergeAlike() {
	var out []stockType
	for _, st := range in.stockTypes {
		n := len(out)
		if n == 0 || out[n-1].capacity != st.capacity || out[n-1].price != st.price || out[n-1].onHand != st.onHand {
			out = append(out, st)
			continue
		}
		out[n-1].lots = append(out[n-1].lots, st.lots...)
		out[n-1].available = min(in.pieceCount, out[n-1].available+st.available)
	}
	in.stockTypes = out
}

// lotCursor counts the boards that are taken of a stock type, lot by lot.
type lotCursor struct{ lot, taken int }

// next returns the index into Problem.Stocks of the next board of a stock type.
func (c *lotCursor) next(st stockType) int {
	for c.lot < len(st.lots)-1 && c.taken >= st.lots[c.lot].available {
		c.lot, c.taken = c.lot+1, 0
	}
	c.taken++
	return st.lots[c.lot].index
}

func isUsable(st Stock) bool {
	return st.Length > 0 && st.Length <= maxLength && st.Price >= 0 && st.Price <= maxPrice && st.Available != 0
}

func clamp(l measure.Length) measure.Length { return min(max(l, 0), maxLength) }

func (in *instance) addItem(i int, piece Piece) {
	item := itemType{size: min(piece.Length, 2*maxLength) + in.kerf, pieces: make([]int, piece.Count)}
	for j := range item.pieces {
		item.pieces[j] = i
	}
	in.items = append(in.items, item)
}

// mergeEqual joins neighboring item types of equal size.
func mergeEqual(items []itemType) []itemType {
	var out []itemType
	for _, item := range items {
		if n := len(out); n > 0 && out[n-1].size == item.size {
			out[n-1].pieces = append(out[n-1].pieces, item.pieces...)
			continue
		}
		out = append(out, item)
	}
	return out
}

// removeTooLong takes out the items larger than every stock.
func (in *instance) removeTooLong() {
	var longest measure.Length
	if n := len(in.stockTypes); n > 0 {
		longest = in.stockTypes[n-1].capacity
	}
	for len(in.items) > 0 && in.items[0].size > longest {
		in.tooLong = append(in.tooLong, in.items[0].pieces...)
		in.pieceCount -= len(in.items[0].pieces)
		in.items = in.items[1:]
	}
}
