package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// firstFit returns the best plan by first fit, nil if there is no stock.
//
// For every ordered pair of stock lengths, the pieces are taken from the
// longest down and each goes on the first board that takes it; if none does, a
// board of the shorter length of the pair is begun, or of the longer for a
// piece that the shorter cannot hold. The longer length of a pair holds every
// piece that any stock of unlimited number holds. Then the boards are exchanged
// for the cheapest set of stocks that holds what is on them. Of all pairs the
// cheapest plan wins, then the one with the fewest boards, then the one with
// the longest offcut, then the first pair by length.
//
// Where stock is limited, a length that has run out is replaced by the shortest
// one left that holds the piece, and each pair is tried once more with what is
// on hand for nothing filled before anything is bought. Plans that leave fewer
// pieces without stock win over all others.
func (s *shop) firstFit() (best *trial) {
	for _, try := range s.trials() {
		t := s.run(try)
		if best == nil || t.betterThan(best) {
			best = t
		}
	}
	return best
}

// opening says which boards are begun: kinds by index, and whether what is on
// hand for nothing is filled first.
type opening struct {
	long, short int
	onHandFirst bool
}

// trials returns every way to begin boards that is tried, in a fixed order.
func (s *shop) trials() []opening {
	var tries []opening
	must := s.mustHold()
	onHand := slices.ContainsFunc(s.kinds, func(k kind) bool { return k.onHand })
	for long := range s.kinds {
		if s.kinds[long].holds < must || s.sameAsBefore(long) {
			continue
		}
		for short := 0; short <= long; short++ {
			if s.sameAsBefore(short) {
				continue
			}
			tries = append(tries, opening{long, short, false})
			if onHand {
				tries = append(tries, opening{long, short, true})
			}
		}
	}
	return tries
}

// sameAsBefore reports whether the kind before this one is of the same length,
// so that boards begun of it would be the same.
func (s *shop) sameAsBefore(i int) bool {
	return i > 0 && s.kinds[i-1].holds == s.kinds[i].holds
}

// mustHold returns the longest piece that a stock of unlimited number holds.
func (s *shop) mustHold() measure.Length {
	var longest measure.Length
	for _, k := range s.kinds {
		if k.left >= s.count {
			longest = max(longest, k.holds)
		}
	}
	for _, g := range s.groups {
		if g.takes <= longest {
			return g.takes
		}
	}
	return 0
}

// trial is a way to cut the pieces: the loads, from the least used to the most,
// the kind of each, and how many pieces of each group found no board.
type trial struct {
	loads   []load
	kinds   []int
	missing []int
	cost    measure.UnitPrice
	unmet   int
	offcut  measure.Length
}

func (t *trial) betterThan(u *trial) bool {
	return cmp.Or(
		cmp.Compare(t.unmet, u.unmet),
		cmp.Compare(t.cost, u.cost),
		cmp.Compare(len(t.loads), len(u.loads)),
		cmp.Compare(u.offcut, t.offcut),
	) < 0
}

// run fills boards by first fit, then exchanges them.
func (s *shop) run(o opening) *trial {
	t := &trial{missing: make([]int, len(s.groups))}
	rack := s.newRack(o)
	if o.onHandFirst {
		t.loads = rack.takeOnHand()
	}
	for g, grp := range s.groups {
		n := len(grp.pieces)
		for i := 0; i < len(t.loads) && n > 0; i++ {
			n -= t.loads[i].fill(g, grp.takes, n)
		}
		for n > 0 {
			l, ok := rack.begin(grp.takes)
			if !ok {
				break
			}
			n -= l.fill(g, grp.takes, n)
			t.loads = append(t.loads, l)
		}
		t.missing[g] = n
		t.unmet += n
	}
	t.loads = slices.DeleteFunc(t.loads, func(l load) bool { return len(l.items) == 0 })
	slices.SortStableFunc(t.loads, func(a, b load) int { return cmp.Compare(a.used, b.used) })
	t.kinds = s.exchange(t.loads)
	for i, k := range t.kinds {
		t.cost += s.kinds[k].price
		t.offcut = max(t.offcut, s.offcut(t.loads[i], k))
	}
	return t
}

// offcut returns what is left of a kind after the last cut of the load.
func (s *shop) offcut(l load, kind int) measure.Length {
	return max(0, s.kinds[kind].holds-l.used-s.kerf)
}

// rack is the stock during one trial: how many of each kind are left, and the
// order in which kinds are reached for.
type rack struct {
	kinds []kind
	left  []int
	order []int
}

func (s *shop) newRack(o opening) rack {
	r := rack{kinds: s.kinds, left: make([]int, len(s.kinds)), order: make([]int, 0, len(s.kinds))}
	for i, k := range s.kinds {
		r.left[i] = k.left
	}
	for _, base := range []int{o.short, o.long} { // and all others of the same length
		for i, k := range s.kinds {
			if k.holds == s.kinds[base].holds {
				r.order = append(r.order, i)
			}
		}
	}
	for i := range s.kinds {
		r.order = append(r.order, i)
	}
	return r
}

// begin takes the first kind in order that is left and holds the piece.
func (r rack) begin(takes measure.Length) (load, bool) {
	for _, i := range r.order {
		if r.left[i] > 0 && r.kinds[i].holds >= takes {
			r.left[i]--
			return load{holds: r.kinds[i].holds}, true
		}
	}
	return load{}, false
}

// takeOnHand takes everything that is on hand for nothing, shortest first.
func (r rack) takeOnHand() []load {
	var loads []load
	for i, k := range r.kinds {
		for ; k.onHand && r.left[i] > 0; r.left[i]-- {
			loads = append(loads, load{holds: k.holds})
		}
	}
	return loads
}

// exchange returns the cheapest kinds that hold the loads, which come from the
// least used to the most: kind i of the result is for load i. There must be
// stock for all of them.
func (s *shop) exchange(loads []load) []int {
	stocks := make([]stock, len(s.kinds))
	for i, k := range s.kinds {
		stocks[i] = stock{k.holds, int64(k.price), k.left}
	}
	used := make([]measure.Length, len(loads))
	for i, l := range loads {
		used[i] = l.used
	}
	kinds := make([]int, 0, len(loads))
	for i, n := range exchange(stocks, used) {
		for range n {
			kinds = append(kinds, i)
		}
	}
	return kinds
}

// exchange returns how many boards of each stock, which come from the shortest,
// hold the lengths used, from the least, at the least cost.
//
// A set of boards can hold the loads, one each, if and only if for every length
// it has no more boards up to that length than there are loads that fit one.
// Such sets are the independent sets of a matroid, so taking the cheapest board
// that keeps to this, again and again, gives the least cost. Of boards at one
// price the shortest is taken, to spare the longer ones on hand.
func exchange(stocks []stock, used []measure.Length) (take []int) {
	room := make([]int, len(stocks)) // loads that fit a stock, less boards taken up to its length
	for i, k := range stocks {
		room[i], _ = slices.BinarySearchFunc(used, k.holds, func(l, holds measure.Length) int {
			if l <= holds {
				return -1
			}
			return 1
		})
	}
	byPrice := make([]int, len(stocks))
	for i := range byPrice {
		byPrice[i] = i
	}
	slices.SortStableFunc(byPrice, func(a, b int) int { return cmp.Compare(stocks[a].price, stocks[b].price) })
	take = make([]int, len(stocks))
	for _, i := range byPrice {
		from := i // stocks of the same length share their room
		for from > 0 && stocks[from-1].holds == stocks[i].holds {
			from--
		}
		take[i] = min(stocks[i].left, slices.Min(room[from:]))
		for j := from; j < len(room); j++ {
			room[j] -= take[i]
		}
	}
	return take
}
