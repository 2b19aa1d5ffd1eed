package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// fillByMinSlack looks for a solution at the lower bound by filling board after board with the
// longest remaining piece and those that leave the least slack beside it: the minimum bin slack
// heuristic of Gupta and Ho (1999). It tries board counts that cost the bound and have room for all
// pieces, each several times with a perturbed search.
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

// fillBoardSet tries to pack all pieces on boards, so many of each stock, until the search is
// closed.
func (s *search) fillBoardSet(z []int, tries int) {
	itemOfSize := make(map[measure.Length]int, len(s.m.sizes))
	for i, size := range s.m.sizes {
		itemOfSize[size] = i
	}
	for try := range uint64(tries) {
		f := slackFiller{s: s, itemOfSize: itemOfSize, demand: slices.Clone(s.m.demand), seed: try * seedStep}
		patterns, ok := f.fillBoards(z, s.spareOn(z))
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

// slackFiller fills boards one after the other from the remaining demand.
type slackFiller struct {
	s          *search
	demand     []int
	seed       uint64 // perturbs the search; 0: not
	itemOfSize map[measure.Length]int
	longest    int // the first item with demand

	// Of the present board.
	entries, bestEntries []entry
	bestSlack            measure.Length
	allowedSlack         measure.Length // ends the search for a better filling
	stepsLeft            int
}

// fillBoards fills boards, so many of each stock, that together may leave so much spare. ok is
// false if pieces remain.
func (f *slackFiller) fillBoards(z []int, spare measure.Length) (patterns []pattern, ok bool) {
	available := slices.Clone(z)
	for boards := totalBoards(z); boards > 0; boards-- {
		for f.longest < len(f.demand) && f.demand[f.longest] == 0 {
			f.longest++
		}
		if f.longest == len(f.demand) {
			return patterns, true
		}
		k := f.nextStock(available)
		if k < 0 {
			return nil, false
		}
		available[k]--
		f.fillBoard(f.s.m.stocks[k].capacity, spare/measure.Length(boards))
		if f.bestSlack > spare {
			return nil, false
		}
		spare -= f.bestSlack
		for _, e := range f.bestEntries {
			f.demand[e.item] -= e.count
		}
		patterns = append(patterns, pattern{k, 1, slices.Clone(f.bestEntries)})
	}
	return patterns, !slices.ContainsFunc(f.demand, func(n int) bool { return n > 0 })
}

// nextStock returns the shortest available stock that holds the longest piece, or with odd seeds
// the longest; below 0, there is none.
func (f *slackFiller) nextStock(available []int) int {
	k := -1
	for i, n := range available {
		if n > 0 && f.s.m.stocks[i].capacity >= f.s.m.sizes[f.longest] {
			if k = i; f.seed&1 == 0 {
				break
			}
		}
	}
	return k
}

// fillBoard sets bestEntries to the longest piece and those that leave the least slack beside it; a
// slack that is allowed ends the search.
func (f *slackFiller) fillBoard(capacity, allowedSlack measure.Length) {
	const maxSteps = 3000
	f.stepsLeft, f.bestSlack, f.allowedSlack = maxSteps, math.MaxInt64, allowedSlack
	i := f.longest
	f.entries = append(f.entries[:0], entry{i, 1})
	f.demand[i]--
	f.extend(i, capacity-f.s.m.sizes[i])
	f.demand[i]++
	f.s.work.spend(4 * (maxSteps - max(f.stepsLeft, 0)))
	if f.bestSlack > allowedSlack && f.stepsLeft < 0 {
		f.subsetSum(capacity)
	}
	merged := f.bestEntries[:0]
	for _, e := range f.bestEntries {
		merged = insertPieces(merged, e.item, e.count)
	}
	f.bestEntries = merged
}

// extend tries to fill the room with pieces from an item on. It returns true when the search is
// over.
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

// subsetSum sets bestEntries to the longest piece and those that leave the least slack of all, by
// dynamic programming over the lengths, each reached with the longest pieces. It gives up where the
// table would be too large.
func (f *slackFiller) subsetSum(capacity measure.Length) {
	room := int(capacity - f.s.m.sizes[f.longest])
	if room > maxUnits || room*(len(f.demand)-f.longest) > 20_000_000 {
		return
	}
	const none = -1
	last, count := make([]int32, room+1), make([]int32, room+1) // the last item in a sum, and its pieces
	for i := range last {
		last[i] = none
	}
	last[0] = 0
	steps := 0
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
		steps += room
	}
	f.s.work.spend(steps)
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
