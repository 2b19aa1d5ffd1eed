package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// fullBoards looks for a cutting in which every board is full to the last unit:
// an exact cover of the pieces by full layouts. The piece that is on the fewest
// of those that are left is placed first, after Knuth, Dancing Links (2000).
type exactCover struct {
	s           *search
	patterns    []pattern
	rowPatterns [][]int // layouts of each row: the groups, then the stocks
	remaining   []int   // pieces of each group and boards of each stock that are left
	shortRows   []int   // of each layout: rows of which there is too little left
	eligible    []int   // of each row: its layouts that lack nothing
	chosen      []int
	entries     []entry
	stepsLeft   int
	seed        uint64
}

// fillFull looks for a cutting on boards that it fills wholly, of each stock so
// many, with no more pieces on any than there are on average. It gives up where
// there are too many layouts.
func (s *search) fillCompletely(z []int) (patterns []pattern, ok bool) {
	const most, steps, tries = 5_000, 4_000_000, 5
	f := exactCover{s: s, remaining: slices.Concat(s.m.demand, z), stepsLeft: steps}
	boards := 0
	for _, n := range z {
		boards += n
	}
	pieces := (s.m.pieceCount + boards - 1) / boards
	for k, n := range z {
		if n > 0 && !f.enumerate(k, 0, s.m.stocks[k].capacity, pieces, most) {
			return nil, false
		}
	}
	f.rowPatterns, f.eligible, f.shortRows = make([][]int, len(f.remaining)), make([]int, len(f.remaining)), make([]int, len(f.patterns))
	for j, p := range f.patterns {
		f.eachRow(p, func(row, _ int) {
			f.rowPatterns[row] = append(f.rowPatterns[row], j)
			f.eligible[row]++
		})
	}
	s.work.spend(steps - max(f.stepsLeft, 0))
	for seed := uint64(1); seed <= tries && !ok && !s.work.spent(); seed++ {
		f.stepsLeft, f.seed = steps, seed*0x9E3779B97F4A7C15
		ok = f.cover()
		s.work.spend(steps - max(f.stepsLeft, 0))
		if f.stepsLeft >= 0 {
			break // there is none
		}
	}
	for _, j := range f.chosen {
		patterns = append(patterns, f.patterns[j])
	}
	return patterns, ok
}

// layouts lists the layouts that fill a room with no more pieces than so many,
// from a group on; false if there are too many.
func (c *exactCover) enumerate(stock, i int, room measure.Length, pieces, most int) bool {
	m := c.s.m
	if room == 0 {
		c.patterns = append(c.patterns, pattern{stock, 1, slices.Clone(c.entries)})
		return len(c.patterns) <= most
	}
	for ; i < len(m.sizes) && pieces > 0; i++ {
		if c.stepsLeft--; c.stepsLeft < 0 {
			return false
		}
		for n := 1; n <= min(m.demand[i], pieces) && measure.Length(n)*m.sizes[i] <= room; n++ {
			c.entries = append(c.entries, entry{i, n})
			ok := c.enumerate(stock, i+1, room-measure.Length(n)*m.sizes[i], pieces-n, most)
			c.entries = c.entries[:len(c.entries)-1]
			if !ok {
				return false
			}
		}
	}
	return true
}

// rows calls do for each row that a layout is on, with how much it takes of it.
func (c *exactCover) eachRow(p pattern, do func(row, n int)) {
	for _, e := range p.entries {
		do(e.item, e.count)
	}
	do(len(c.s.m.demand)+p.stock, 1)
}

// place covers what is left. It returns false if that cannot be, or the steps
// are spent.
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

// choices returns the layouts of a row that lack nothing, those first whose
// pieces are on the fewest others, with some sway.
func (c *exactCover) candidates(row int) (list []int) {
	worth := map[int]int{}
	for _, j := range c.rowPatterns[row] {
		if c.shortRows[j] > 0 {
			continue
		}
		c.seed = xorshift(c.seed)
		list = append(list, j)
		c.eachRow(c.patterns[j], func(r, _ int) { worth[j] += c.eligible[r] })
		worth[j] = worth[j] * int(64+c.seed%64)
		c.stepsLeft -= 10
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(worth[a], worth[b]) })
	return list
}

// move takes a layout off what is left, or puts it back.
func (c *exactCover) update(j, sign int) {
	c.eachRow(c.patterns[j], func(row, n int) {
		before := c.remaining[row]
		c.remaining[row] += sign * n
		c.stepsLeft -= len(c.rowPatterns[row])
		for _, i := range c.rowPatterns[row] {
			c.eachRow(c.patterns[i], func(r, takes int) {
				if r != row || (takes > before) == (takes > c.remaining[row]) {
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
