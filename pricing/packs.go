package pricing

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"sillwright/estimate/measure"
)

// pack is a size in which an item is sold. Both numbers are above 0.
type pack struct {
	content int64
	price   measure.UnitPrice
}

// mix returns how many of each pack cover need at the least total price, of all packs
// together at least so many as are opened.
//
// One kind of pack alone takes measure.Packs of it, the worksheet's ROUNDUP. A
// mix of kinds must cover the need in full. The cheapest mix is found by branch
// and bound: kinds are tried from the lowest price for their content up, the
// most packs first, and a branch is cut off when even the rest at the price of
// the next kind, rounded up to a price that packs can add up to, is no cheaper
// than the best mix so far. A further pack on offer never makes the result
// dearer. Of equal totals one kind alone wins, then the larger packs.
func mix(need, opened int64, packs []pack) []int64 {
	counts := make([]int64, len(packs))
	if need <= 0 && opened <= 0 || len(packs) == 0 {
		return counts
	}
	s := newMixer(need, opened, packs)
	for i, p := range packs {
		n := max(measure.Packs(need, p.content), opened)
		if cost := times(n, p.price); s.best == nil || cost < s.cost || cost == s.cost && n < s.total {
			s.cost, s.total = cost, n
			s.best = make([]int64, len(packs))
			s.best[i] = n
		}
	}
	s.search(0, need, opened, 0)
	return s.best
}

// mixNodes is how many branches a search may try. Real price lists take a few
// dozen; contents and prices made to be awkward could take years. The best mix
// found by then is used.
const mixNodes = 2_000_000

type mixer struct {
	packs []pack
	least []measure.UnitPrice // by place in order: the lowest price from there on
	order []int               // of the kinds worth buying, by price for content
	most  []int64             // by place in order: no best mix needs more
	step  measure.UnitPrice   // every total is a multiple of it
	taken []int64
	best  []int64
	cost  measure.UnitPrice // of best
	total int64             // packs of best
	nodes int
}

func newMixer(need, opened int64, packs []pack) *mixer {
	s := &mixer{packs: packs, taken: make([]int64, len(packs))}
	for i, p := range packs {
		s.step = measure.UnitPrice(measure.GCD(int64(s.step), int64(p.price)))
		beaten := slices.ContainsFunc(packs, func(q pack) bool {
			return q != p && q.content >= p.content && q.price <= p.price
		})
		if !beaten && slices.Index(packs, p) == i {
			s.order = append(s.order, i)
		}
	}
	slices.SortFunc(s.order, func(a, b int) int {
		p, q := packs[a], packs[b]
		return cmp.Or(compareRatio(p, q), cmp.Compare(q.content, p.content))
	})
	for k, i := range s.order {
		limit := max(measure.CeilDiv(need, packs[i].content), opened)
		if opened <= 0 { // an exchange may take fewer packs than are opened
			for _, j := range s.order[:k] {
				limit = min(limit, replaceable(packs[i], packs[j], limit))
			}
		}
		s.most = append(s.most, limit)
	}
	s.least = make([]measure.UnitPrice, len(s.order)+1)
	s.least[len(s.order)] = beyond
	for k, i := range slices.Backward(s.order) {
		s.least[k] = min(s.least[k+1], packs[i].price)
	}
	return s
}

// compareRatio compares price for content.
func compareRatio(p, q pack) int {
	ph, pl := bits.Mul64(uint64(p.price), uint64(q.content))
	qh, ql := bits.Mul64(uint64(q.price), uint64(p.content))
	return cmp.Or(cmp.Compare(ph, qh), cmp.Compare(pl, ql))
}

// replaceable returns the most packs p that a best mix can hold: one more could
// be exchanged for packs q, which cost no more and hold no less. q is not
// dearer for its content. limit is returned when no such exchange is near.
func replaceable(p, q pack, limit int64) int64 {
	const near = 10_000
	for n := int64(1); n <= min(limit, near); n++ {
		m := ceilMulDiv(n, p.content, q.content)
		if times(m, q.price) <= times(n, p.price) {
			return n - 1
		}
	}
	return limit
}

// search takes kinds from order[k] on to cover need with so many packs as are still to be
// opened, with cost spent so far.
func (s *mixer) search(k int, need, opened int64, cost measure.UnitPrice) {
	if need <= 0 && opened <= 0 {
		if cost < s.cost {
			s.cost = cost
			copy(s.best, s.taken)
		}
		return
	}
	if k == len(s.order) {
		return
	}
	i := s.order[k]
	p := s.packs[i]
	defer func() { s.taken[i] = 0 }()
	for n := min(s.most[k], max(measure.CeilDiv(need, p.content), opened)); n >= 0; n-- {
		if s.nodes++; s.nodes > mixNodes {
			return
		}
		spent, left, closed := cost+times(n, p.price), need-n*p.content, opened-n
		if s.atLeast(k+1, spent, left, closed) >= s.cost {
			if left <= 0 || opened > 0 {
				continue // one pack fewer and a smaller one may do
			}
			return // fewer of this kind leave more to the dearer ones
		}
		s.taken[i] = n
		s.search(k+1, left, closed, spent)
	}
}

// atLeast returns a total below which no mix can stay that has spent so much
// and covers what is left, with so many packs more, with kinds from order[k] on.
func (s *mixer) atLeast(k int, spent measure.UnitPrice, left, opened int64) measure.UnitPrice {
	least := spent + times(max(0, opened), s.least[k])
	if left <= 0 {
		return least
	}
	if k == len(s.order) {
		return beyond
	}
	p := s.packs[s.order[k]]
	bound := int64(spent) + ceilMulDiv(left, int64(p.price), p.content)
	return max(least, measure.UnitPrice(measure.CeilDiv(bound, int64(s.step)))*s.step)
}

// beyond is a total that is never reached, with room to add to it.
const beyond = math.MaxInt64 / 4

// times returns n × p, at most beyond.
func times(n int64, p measure.UnitPrice) measure.UnitPrice {
	return min(measure.UnitPrice(measure.MulDiv(n, int64(p), 1)), beyond)
}

// ceilMulDiv returns a × b / c rounded up, for positive numbers, at most beyond.
func ceilMulDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if hi >= uint64(c) {
		return beyond
	}
	q, r := bits.Div64(hi, lo, uint64(c))
	if r > 0 {
		q++
	}
	return int64(min(q, beyond))
}
