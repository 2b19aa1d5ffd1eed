package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// exactCover looks for a solution without waste: an exact cover of the demand and the boards by
// patterns that fill a board completely. The item that the fewest eligible patterns have is covered
// first, after Knuth, Dancing Links (2000).
type exactCover struct {
	s           *search
	patterns    []pattern
	rowPatterns [][]int // patterns of each row: the items, then the stocks
	remaining   []int   // pieces of each item and boards of each stock still to cover
	shortRows   []int   // of each pattern: rows with less remaining than it takes
	eligible    []int   // of each row: its patterns without short rows
	chosen      []int
	entries     []entry
	stepsLeft   int
	seed        uint64
}

// fillCompletely looks for a solution on boards, so many of each stock, that it fills without
// waste, with no more pieces on any than there are on average. It gives up where there are too many
// patterns.
func (s *search) fillCompletely(z []int) (patterns []pattern, ok bool) {
	const maxPatterns, maxSteps, tries = 5_000, 4_000_000, 5
	c := exactCover{s: s, remaining: slices.Concat(s.m.demand, z), stepsLeft: maxSteps}
	boards := totalBoards(z)
	pieces := (s.m.pieceCount + boards - 1) / boards
	for k, n := range z {
		if n > 0 && !c.enumerate(k, 0, s.m.stocks[k].capacity, pieces, maxPatterns) {
			return nil, false
		}
	}
	c.rowPatterns, c.eligible, c.shortRows = make([][]int, len(c.remaining)), make([]int, len(c.remaining)), make([]int, len(c.patterns))
	for j, p := range c.patterns {
		c.eachRow(p, func(row, _ int) {
			c.rowPatterns[row] = append(c.rowPatterns[row], j)
			c.eligible[row]++
		})
	}
	s.work.spend(maxSteps - max(c.stepsLeft, 0))
	for seed := uint64(1); seed <= tries && !ok && !s.work.spent(); seed++ {
		c.stepsLeft, c.seed = maxSteps, seed*seedStep
		ok = c.cover()
		s.work.spend(maxSteps - max(c.stepsLeft, 0))
		if c.stepsLeft >= 0 {
			break // the search was complete: there is no exact cover
		}
	}
	for _, j := range c.chosen {
		patterns = append(patterns, c.patterns[j])
	}
	return patterns, ok
}

// enumerate lists the patterns that fill a room with no more than so many pieces, from an item on;
// false if there are too many.
func (c *exactCover) enumerate(stock, i int, room measure.Length, pieces, maxPatterns int) bool {
	m := c.s.m
	if room == 0 {
		c.patterns = append(c.patterns, pattern{stock, 1, slices.Clone(c.entries)})
		return len(c.patterns) <= maxPatterns
	}
	for ; i < len(m.sizes) && pieces > 0; i++ {
		if c.stepsLeft--; c.stepsLeft < 0 {
			return false
		}
		for n := 1; n <= min(m.demand[i], pieces) && measure.Length(n)*m.sizes[i] <= room; n++ {
			c.entries = append(c.entries, entry{i, n})
			ok := c.enumerate(stock, i+1, room-measure.Length(n)*m.sizes[i], pieces-n, maxPatterns)
			c.entries = c.entries[:len(c.entries)-1]
			if !ok {
				return false
			}
		}
	}
	return true
}

// eachRow calls do for each row that a pattern covers, with how much it takes of it.
func (c *exactCover) eachRow(p pattern, do func(row, n int)) {
	for _, e := range p.entries {
		do(e.item, e.count)
	}
	do(len(c.s.m.demand)+p.stock, 1)
}

// cover covers what remains. It returns false if that is impossible, or the steps are spent.
func (c *exactCover) cover() bool {
	row := -1
	for i, n := range c.remaining[:len(c.s.m.demand)] {
		if n > 0 && (row < 0 || c.eligible[i] < c.eligible[row]) {
			row = i
		}
	}
	if row < 0 {
		return true
	}
	c.stepsLeft -= len(c.s.m.demand)
	for _, j := range c.candidates(row) {
		if c.stepsLeft < 0 {
			return false
		}
		c.update(j, -1)
		c.chosen = append(c.chosen, j)
		if c.cover() {
			return true
		}
		c.chosen = c.chosen[:len(c.chosen)-1]
		c.update(j, 1)
	}
	return false
}

// candidates returns the eligible patterns of a row, those first whose rows have the fewest other
// eligible patterns, in a perturbed order.
func (c *exactCover) candidates(row int) (list []int) {
	score := map[int]int{}
	for _, j := range c.rowPatterns[row] {
		if c.shortRows[j] > 0 {
			continue
		}
		c.seed = xorshift(c.seed)
		list = append(list, j)
		c.eachRow(c.patterns[j], func(r, _ int) { score[j] += c.eligible[r] })
		score[j] *= int(64 + c.seed%64)
		c.stepsLeft -= 10
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(score[a], score[b]) })
	return list
}

// update takes a pattern off what remains, with sign -1, or puts it back, with 1.
func (c *exactCover) update(j, sign int) {
	c.eachRow(c.patterns[j], func(row, n int) {
		before := c.remaining[row]
		c.remaining[row] += sign * n
		c.stepsLeft -= len(c.rowPatterns[row])
		for _, i := range c.rowPatterns[row] {
			c.eachRow(c.patterns[i], func(r, need int) {
				if r != row || (need > before) == (need > c.remaining[row]) {
					return
				}
				was := c.shortRows[i]
				c.shortRows[i] -= sign
				if was == 0 || c.shortRows[i] == 0 {
					c.eachRow(c.patterns[i], func(r, _ int) { c.eligible[r] += sign })
				}
			})
		}
	})
}
