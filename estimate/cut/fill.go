package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// fillTight looks for a cutting at the bound by filling board after board with
// the pieces that leave the least, the longest piece that is left first: the
// minimum bin slack heuristic of Gupta and Ho (1999). The boards are those sets
// that cost the bound and hold all pieces; each try sways the search in
// another way.
func (s *search) fillTight() {
	const tries = 12
	for _, z := range s.boardsAt(s.bound) {
		if s.roomOn(z) == 0 {
			if list, ok := s.fillFull(z); ok {
				s.offer(list)
			}
			if s.closed() || s.work.spent() {
				return
			}
		}
		if s.fillSet(z, tries); s.closed() || s.work.spent() {
			return
		}
	}
}

// roomOn returns what boards, of each stock so many, hold more than the pieces
// take.
func (s *search) roomOn(z []int) measure.Length {
	room := -s.m.total
	for k, n := range z {
		room += measure.Length(n) * s.m.stocks[k].holds
	}
	return room
}

// fillSet tries to fill boards, of each stock so many, until the search is
// closed.
func (s *search) fillSet(z []int, tries int) {
	at := make(map[measure.Length]int, len(s.m.takes))
	for g, takes := range s.m.takes {
		at[takes] = g
	}
	boards := 0
	for _, n := range z {
		boards += n
	}
	for try := range tries {
		f := filler{s: s, at: at, need: slices.Clone(s.m.need), sway: uint64(try) * 0x9E3779B97F4A7C15}
		list, ok := f.all(z, boards, s.roomOn(z))
		if s.work.spent() {
			return
		}
		if ok {
			if s.offer(list); s.closed() {
				return
			}
		}
	}
}

// boardsAt returns sets of boards that have a cost and hold all pieces, some if
// there are many.
func (s *search) boardsAt(cost int64) (sets [][]int) {
	const most, steps = 6, 20_000
	n := len(s.m.stocks)
	z := make([]int, n)
	left := steps
	var choose func(k int, cost int64, room measure.Length)
	choose = func(k int, cost int64, room measure.Length) {
		if left--; left < 0 || len(sets) == most {
			return
		}
		if k < 0 {
			if cost == 0 && room >= 0 {
				sets = append(sets, append([]int(nil), z...))
			}
			return
		}
		t := s.m.stocks[k]
		top := t.left
		if t.price > 0 {
			top = int(min(int64(top), cost/t.price))
		}
		for c := top; c >= 0; c-- {
			if k == 0 && t.price > 0 && int64(c)*t.price != cost {
				break
			}
			z[k] = c
			choose(k-1, cost-int64(c)*t.price, room+measure.Length(c)*t.holds)
		}
		z[k] = 0
	}
	choose(n-1, cost, -s.m.total)
	s.work.spend(steps - max(left, 0))
	return sets
}

// filler fills boards from the pieces that are left.
type filler struct {
	s     *search
	need  []int
	sway  uint64
	at    map[measure.Length]int // the group of a length
	first int                    // the first group of which there are pieces

	items, best []item
	slack       measure.Length // of best
	enough      measure.Length
	steps       int
}

// all fills boards, of each stock so many, that have some room to spare. ok is
// false if pieces are left.
func (f *filler) all(z []int, boards int, spare measure.Length) (list []layout, ok bool) {
	left := append([]int(nil), z...)
	for ; boards > 0; boards-- {
		for f.first < len(f.need) && f.need[f.first] == 0 {
			f.first++
		}
		if f.first == len(f.need) {
			return list, true
		}
		k := f.stock(left)
		if k < 0 {
			return nil, false
		}
		left[k]--
		f.board(f.s.m.stocks[k].holds, spare/measure.Length(boards))
		if f.slack > spare {
			return nil, false
		}
		spare -= f.slack
		for _, it := range f.best {
			f.need[it.group] -= it.count
		}
		list = append(list, layout{k, 1, append([]item(nil), f.best...)})
	}
	for _, n := range f.need {
		if n > 0 {
			return nil, false
		}
	}
	return list, true
}

// stock returns the shortest stock left that holds the longest piece, or with
// some sway the longest; below 0, there is none.
func (f *filler) stock(left []int) int {
	k := -1
	for i, n := range left {
		if n > 0 && f.s.m.stocks[i].holds >= f.s.m.takes[f.first] {
			if k = i; f.sway&1 == 0 {
				break
			}
		}
	}
	return k
}

// board sets best to the pieces that leave the least of a board, the longest
// piece among them; it stops at enough.
func (f *filler) board(holds, enough measure.Length) {
	const most = 3000
	f.steps, f.slack, f.enough = most, math.MaxInt64, enough
	g := f.first
	f.items = append(f.items[:0], item{g, 1})
	f.need[g]--
	f.extend(g, holds-f.s.m.takes[g])
	f.need[g]++
	f.s.work.spend(4 * (most - max(f.steps, 0)))
	if f.slack > enough && f.steps < 0 {
		f.exact(holds)
	}
	merged := f.best[:0]
	for _, it := range f.best {
		merged = put(merged, it.group, it.count)
	}
	f.best = merged
}

// extend tries to fill the room with pieces from a group on. It returns true
// when the search is over.
func (f *filler) extend(g int, room measure.Length) bool {
	if room < f.slack {
		f.slack = room
		f.best = append(f.best[:0], f.items...)
		if room <= f.enough {
			return true
		}
	}
	if last, ok := f.at[room]; ok && last >= g && f.need[last] > 0 {
		f.items = append(f.items, item{last, 1})
		f.slack = 0
		f.best = append(f.best[:0], f.items...)
		f.items = f.items[:len(f.items)-1]
		return true
	}
	for ; g < len(f.need); g++ {
		takes := f.s.m.takes[g]
		if f.need[g] == 0 || takes > room {
			continue
		}
		if f.steps--; f.steps < 0 {
			return true
		}
		if f.sway != 0 {
			if f.sway = next(f.sway); f.sway%5 == 0 {
				continue
			}
		}
		n := min(f.need[g], int(room/takes))
		for c := n; c > 0; c-- {
			f.items = append(f.items, item{g, c})
			done := f.extend(g+1, room-measure.Length(c)*takes)
			f.items = f.items[:len(f.items)-1]
			if done {
				return true
			}
		}
	}
	return false
}

// exact sets best to the pieces that fill a board with the longest piece on it
// best of all, by listing the sums that can be reached, each by the longest
// pieces; unless that is too much to list.
func (f *filler) exact(holds measure.Length) {
	room := int(holds - f.s.m.takes[f.first])
	if room > finest || room*(len(f.need)-f.first) > 20_000_000 {
		return
	}
	const none = -1
	last, count := make([]int32, room+1), make([]int32, room+1) // the last group in a sum, and its pieces
	for i := range last {
		last[i] = none
	}
	last[0] = 0
	left := 0
	for g := f.first; g < len(f.need) && last[room] == none; g++ {
		n := f.need[g]
		if g == f.first {
			n--
		}
		w := int(f.s.m.takes[g])
		if n == 0 || w > room {
			continue
		}
		clear(count)
		for i := w; i <= room; i++ {
			if last[i] == none && last[i-w] != none && int(count[i-w]) < n {
				last[i], count[i] = int32(g), count[i-w]+1
			}
		}
		left += room
	}
	f.s.work.spend(left)
	sum := room
	for last[sum] == none {
		sum--
	}
	if f.slack = measure.Length(room - sum); f.slack < 0 {
		return
	}
	f.best = append(f.best[:0], item{f.first, 1})
	for sum > 0 {
		g := int(last[sum])
		f.best = append(f.best, item{g, 1})
		sum -= int(f.s.m.takes[g])
	}
}
