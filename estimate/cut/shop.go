package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// shop is a problem made ready for planning. A piece of length w takes
// w + kerf, a board of length L holds L − head − tail + kerf; then a board
// takes pieces if and only if their sum is no more than it holds.
type shop struct {
	kerf   measure.Length
	kinds  []kind  // from the shortest, and from the cheapest among equal ones
	groups []group // from the longest
	count  int     // of pieces
	short  []int   // pieces longer than every stock
}

// kind is a usable stock.
type kind struct {
	stock  int // index into Problem.Stocks
	holds  measure.Length
	price  measure.UnitPrice
	left   int // how many there are, never more than there are pieces
	onHand bool
}

// group is all pieces of one length, by their indices into Problem.Pieces.
type group struct {
	takes  measure.Length
	pieces []int
}

// newShop returns the shop of a problem; ok is false if it has more than
// MaxPieces pieces.
func newShop(p Problem) (s shop, ok bool) {
	s.kerf = clamp(p.Kerf)
	trim := clamp(p.Head) + clamp(p.Tail)
	for i, w := range p.Pieces {
		if w.Length > 0 && w.Count > 0 {
			if w.Count > MaxPieces-s.count {
				return s, false
			}
			s.count += w.Count
			s.add(i, w)
		}
	}
	slices.SortStableFunc(s.groups, func(a, b group) int { return cmp.Compare(b.takes, a.takes) })
	s.groups = merged(s.groups)
	for i, st := range p.Stocks {
		length := st.Length
		if !st.Square {
			length -= trim
		}
		if !usable(st) || length <= 0 {
			continue
		}
		k := kind{stock: i, holds: length + s.kerf, price: st.Price, left: s.count}
		if st.Available > 0 {
			k.left = min(st.Available, s.count)
			k.onHand = st.Price == 0
		}
		s.kinds = append(s.kinds, k)
	}
	slices.SortStableFunc(s.kinds, func(a, b kind) int {
		return cmp.Or(cmp.Compare(a.holds, b.holds), cmp.Compare(a.price, b.price))
	})
	s.setAsideTooLong()
	return s, true
}

func usable(st Stock) bool {
	return st.Length > 0 && st.Length <= maxLength && st.Price >= 0 && st.Price <= maxPrice && st.Available != 0
}

func clamp(l measure.Length) measure.Length { return min(max(l, 0), maxLength) }

func (s *shop) add(i int, w Piece) {
	g := group{takes: min(w.Length, 2*maxLength) + s.kerf, pieces: make([]int, w.Count)}
	for j := range g.pieces {
		g.pieces[j] = i
	}
	s.groups = append(s.groups, g)
}

// merged joins neighbours of one length.
func merged(groups []group) []group {
	var out []group
	for _, g := range groups {
		if n := len(out); n > 0 && out[n-1].takes == g.takes {
			out[n-1].pieces = append(out[n-1].pieces, g.pieces...)
			continue
		}
		out = append(out, g)
	}
	return out
}

// setAsideTooLong moves pieces that no stock can hold to short.
func (s *shop) setAsideTooLong() {
	var longest measure.Length
	if n := len(s.kinds); n > 0 {
		longest = s.kinds[n-1].holds
	}
	for len(s.groups) > 0 && s.groups[0].takes > longest {
		s.short = append(s.short, s.groups[0].pieces...)
		s.count -= len(s.groups[0].pieces)
		s.groups = s.groups[1:]
	}
}

// load is a board being filled: the sum that its stock holds, what of it is
// used, and how many pieces of which group are on it, longest first.
type load struct {
	holds, used measure.Length
	items       []item
}

type item struct{ group, count int }

// fill puts as many as it can of n pieces of group g on the board and returns
// how many.
func (l *load) fill(g int, takes measure.Length, n int) int {
	n = min(n, int((l.holds-l.used)/takes))
	if n > 0 {
		l.used += measure.Length(n) * takes
		l.items = append(l.items, item{g, n})
	}
	return n
}
