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
func (s *search) fillByMinSlack() {
	const tries = 12
	for _, z := range s.boardSetsCosting(s.lowerBound) {
		if s.spareOn(z) == 0 {
			if patterns, ok := s.fillCompletely(z); ok {
				s.offer(patterns)
			}
			if s.closed() || s.work.spent() {
				return
			}
		}
		if s.fillBoardSet(z, tries); s.closed() || s.work.spent() {
			return
		}
	}
}

// fillSet tries to fill boards, of each stock so many, until the search is
// closed.
func (s *search) fillBoardSet(z []int, tries int) {
	at := make(map[measure.Length]int, len(s.m.sizes))
	for i, size := range s.m.sizes {
		at[size] = i
	}
	boards := 0
	for _, n := range z {
		boards += n
	}
	for try := range tries {
		f := slackFiller{s: s, itemOfSize: at, demand: slices.Clone(s.m.demand), seed: uint64(try) * 0x9E3779B97F4A7C15}
		patterns, ok := f.fillBoards(z, boards, s.spareOn(z))
		if s.work.spent() {
			return
		}
		if ok {
			if s.offer(patterns); s.closed() {
				return
			}
		}
	}
}

// filler fills boards from the pieces that are left.
type slackFiller struct {
	s          *search
	demand     []int
	seed       uint64
	itemOfSize map[measure.Length]int // the group of a length
	longest    int                    // the first group of which there are pieces

	entries, bestEntries []entry
	bestSlack            measure.Length // of best
	allowedSlack         measure.Length
	stepsLeft            int
}

// all fills boards, of each stock so many, that have some room to spare. ok is
// false if pieces are left.
func (f *slackFiller) fillBoards(z []int, boards int, spare measure.Length) (patterns []pattern, ok bool) {
	left := append([]int(nil), z...)
	for ; boards > 0; boards-- {
		for f.longest < len(f.demand) && f.demand[f.longest] == 0 {
			f.longest++
		}
		if f.longest == len(f.demand) {
			return patterns, true
		}
		k := f.nextStock(left)
		if k < 0 {
			return nil, false
		}
		left[k]--
		f.fillBoard(f.s.m.stocks[k].capacity, spare/measure.Length(boards))
		if f.bestSlack > spare {
			return nil, false
		}
		spare -= f.bestSlack
		for _, e := range f.bestEntries {
			f.demand[e.item] -= e.count
		}
		patterns = append(patterns, pattern{k, 1, append([]entry(nil), f.bestEntries...)})
	}
	for _, n := range f.demand {
		if n > 0 {
			return nil, false
		}
	}
	return patterns, true
}

// stock returns the shortest stock left that holds the longest piece, or with
// some sway the longest; below 0, there is none.
func (f *slackFiller) nextStock(left []int) int {
	k := -1
	for i, n := range left {
		if n > 0 && f.s.m.stocks[i].capacity >= f.s.m.sizes[f.longest] {
			if k = i; f.seed&1 == 0 {
				break
			}
		}
	}
	return k
}

// board sets best to the pieces that leave the least of a board, the longest
// piece among them; it stops at enough.
func (f *slackFiller) fillBoard(capacity, enough measure.Length) {
	const most = 3000
	f.stepsLeft, f.bestSlack, f.allowedSlack = most, math.MaxInt64, enough
	i := f.longest
	f.entries = append(f.entries[:0], entry{i, 1})
	f.demand[i]--
	f.extend(i, capacity-f.s.m.sizes[i])
	f.demand[i]++
	f.s.work.spend(4 * (most - max(f.stepsLeft, 0)))
	if f.bestSlack > enough && f.stepsLeft < 0 {
		f.subsetSum(capacity)
	}
	merged := f.bestEntries[:0]
	for _, e := range f.bestEntries {
		merged = insertPieces(merged, e.item, e.count)
	}
	f.bestEntries = merged
}

// extend tries to fill the room with pieces from a group on. It returns true
// when the search is over.
func (f *slackFiller) extend(i int, room measure.Length) bool {
	if room < f.bestSlack {
		f.bestSlack = room
		f.bestEntries = append(f.bestEntries[:0], f.entries...)
		if room <= f.allowedSlack {
			return true
		}
	}
	if last, ok := f.itemOfSize[room]; ok && last >= i && f.demand[last] > 0 {
		f.entries = append(f.entries, entry{last, 1})
		f.bestSlack = 0
		f.bestEntries = append(f.bestEntries[:0], f.entries...)
		f.entries = f.entries[:len(f.entries)-1]
		return true
	}
	for ; i < len(f.demand); i++ {
		size := f.s.m.sizes[i]
		if f.demand[i] == 0 || size > room {
			continue
		}
		if f.stepsLeft--; f.stepsLeft < 0 {
			return true
		}
		if f.seed != 0 {
			if f.seed = xorshift(f.seed); f.seed%5 == 0 {
				continue
			}
		}
		n := min(f.demand[i], int(room/size))
		for c := n; c > 0; c-- {
			f.entries = append(f.entries, entry{i, c})
			done := f.extend(i+1, room-measure.Length(c)*size)
			f.entries = f.entries[:len(f.entries)-1]
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
func (f *slackFiller) subsetSum(capacity measure.Length) {
	room := int(capacity - f.s.m.sizes[f.longest])
	if room > maxUnits || room*(len(f.demand)-f.longest) > 20_000_000 {
		return
	}
	const none = -1
	last, count := make([]int32, room+1), make([]int32, room+1) // the last group in a sum, and its pieces
	for i := range last {
		last[i] = none
	}
	last[0] = 0
	left := 0
	for item := f.longest; item < len(f.demand) && last[room] == none; item++ {
		n := f.demand[item]
		if item == f.longest {
			n--
		}
		w := int(f.s.m.sizes[item])
		if n == 0 || w > room {
			continue
		}
		clear(count)
		for i := w; i <= room; i++ {
			if last[i] == none && last[i-w] != none && int(count[i-w]) < n {
				last[i], count[i] = int32(item), count[i-w]+1
			}
		}
		left += room
	}
	f.s.work.spend(left)
	sum := room
	for last[sum] == none {
		sum--
	}
	if f.bestSlack = measure.Length(room - sum); f.bestSlack < 0 {
		return
	}
	f.bestEntries = append(f.bestEntries[:0], entry{f.longest, 1})
	for sum > 0 {
		item := int(last[sum])
		f.bestEntries = append(f.bestEntries, entry{item, 1})
		sum -= int(f.s.m.sizes[item])
	}
}
