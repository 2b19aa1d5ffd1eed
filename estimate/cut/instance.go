package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// shop is a problem made ready for planning. A piece of length w takes
// w + kerf, a board of length L holds L − head − tail + kerf; then a board
// takes pieces if and only if their sum is no more than it holds.
type instance struct {
	kerf       measure.Length
	stockTypes []stockType // from the shortest, and from the cheapest among equal ones
	items      []itemType  // from the longest
	pieceCount int         // of pieces
	tooLong    []int       // pieces longer than every stock
}

// kind is a usable stock.
type stockType struct {
	index     int // index into Problem.Stocks
	capacity  measure.Length
	price     measure.UnitPrice
	available int // how many there are, never more than there are pieces
	onHand    bool
}

// group is all pieces of one length, by their indices into Problem.Pieces.
type itemType struct {
	size   measure.Length
	pieces []int
}

// newShop returns the shop of a problem; ok is false if it has more than
// MaxPieces pieces.
func newInstance(p Problem) (in instance, ok bool) {
	in.kerf = clamp(p.Kerf)
	trim := clamp(p.Head) + clamp(p.Tail)
	for i, w := range p.Pieces {
		if w.Length > 0 && w.Count > 0 {
			if w.Count > MaxPieces-in.pieceCount {
				return in, false
			}
			in.pieceCount += w.Count
			in.addItem(i, w)
		}
	}
	slices.SortStableFunc(in.items, func(a, b itemType) int { return cmp.Compare(b.size, a.size) })
	in.items = mergeEqual(in.items)
	for i, st := range p.Stocks {
		length := st.Length
		if !st.Square {
			length -= trim
		}
		if !isUsable(st) || length <= 0 {
			continue
		}
		k := stockType{index: i, capacity: length + in.kerf, price: st.Price, available: in.pieceCount}
		if st.Available > 0 {
			k.available = min(st.Available, in.pieceCount)
			k.onHand = st.Price == 0
		}
		in.stockTypes = append(in.stockTypes, k)
	}
	slices.SortStableFunc(in.stockTypes, func(a, b stockType) int {
		return cmp.Or(cmp.Compare(a.capacity, b.capacity), cmp.Compare(a.price, b.price))
	})
	in.removeTooLong()
	return in, true
}

func isUsable(st Stock) bool {
	return st.Length > 0 && st.Length <= maxLength && st.Price >= 0 && st.Price <= maxPrice && st.Available != 0
}

func clamp(l measure.Length) measure.Length { return min(max(l, 0), maxLength) }

func (in *instance) addItem(i int, w Piece) {
	item := itemType{size: min(w.Length, 2*maxLength) + in.kerf, pieces: make([]int, w.Count)}
	for j := range item.pieces {
		item.pieces[j] = i
	}
	in.items = append(in.items, item)
}

// merged joins neighbours of one length.
func mergeEqual(groups []itemType) []itemType {
	var out []itemType
	for _, item := range groups {
		if n := len(out); n > 0 && out[n-1].size == item.size {
			out[n-1].pieces = append(out[n-1].pieces, item.pieces...)
			continue
		}
		out = append(out, item)
	}
	return out
}

// setAsideTooLong moves pieces that no stock can hold to short.
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
