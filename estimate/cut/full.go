package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// fullBoards looks for a cutting in which every board is full to the last unit:
// an exact cover of the pieces by full layouts. The piece that is on the fewest
// of those that are left is placed first, after Knuth, Dancing Links (2000).
type fullBoards struct {
	s     *search
	list  []layout
	on    [][]int // layouts of each row: the groups, then the stocks
	need  []int   // pieces of each group and boards of each stock that are left
	lacks []int   // of each layout: rows of which there is too little left
	alive []int   // of each row: its layouts that lack nothing
	taken []int
	items []item
	steps int
	seed  uint64
}

// fillFull looks for a cutting on boards that it fills wholly, of each stock so
// many, with no more pieces on any than there are on average. It gives up where
// there are too many layouts.
func (s *search) fillFull(z []int) (list []layout, ok bool) {
	const most, steps, tries = 5_000, 4_000_000, 5
	f := fullBoards{s: s, need: slices.Concat(s.m.need, z), steps: steps}
	boards := 0
	for _, n := range z {
		boards += n
	}
	pieces := (s.m.count + boards - 1) / boards
	for k, n := range z {
		if n > 0 && !f.layouts(k, 0, s.m.stocks[k].holds, pieces, most) {
			return nil, false
		}
	}
	f.on, f.alive, f.lacks = make([][]int, len(f.need)), make([]int, len(f.need)), make([]int, len(f.list))
	for j, l := range f.list {
		f.rows(l, func(row, _ int) {
			f.on[row] = append(f.on[row], j)
			f.alive[row]++
		})
	}
	s.work.spend(steps - max(f.steps, 0))
	for seed := uint64(1); seed <= tries && !ok && !s.work.spent(); seed++ {
		f.steps, f.seed = steps, seed*0x9E3779B97F4A7C15
		ok = f.place()
		s.work.spend(steps - max(f.steps, 0))
		if f.steps >= 0 {
			break // there is none
		}
	}
	for _, j := range f.taken {
		list = append(list, f.list[j])
	}
	return list, ok
}

// layouts lists the layouts that fill a room with no more pieces than so many,
// from a group on; false if there are too many.
func (f *fullBoards) layouts(stock, g int, room measure.Length, pieces, most int) bool {
	m := f.s.m
	if room == 0 {
		f.list = append(f.list, layout{stock, 1, slices.Clone(f.items)})
		return len(f.list) <= most
	}
	for ; g < len(m.takes) && pieces > 0; g++ {
		if f.steps--; f.steps < 0 {
			return false
		}
		for n := 1; n <= min(m.need[g], pieces) && measure.Length(n)*m.takes[g] <= room; n++ {
			f.items = append(f.items, item{g, n})
			ok := f.layouts(stock, g+1, room-measure.Length(n)*m.takes[g], pieces-n, most)
			f.items = f.items[:len(f.items)-1]
			if !ok {
				return false
			}
		}
	}
	return true
}

// rows calls do for each row that a layout is on, with how much it takes of it.
func (f *fullBoards) rows(l layout, do func(row, n int)) {
	for _, it := range l.items {
		do(it.group, it.count)
	}
	do(len(f.s.m.need)+l.stock, 1)
}

// place covers what is left. It returns false if that cannot be, or the steps
// are spent.
func (f *fullBoards) place() bool {
	row := -1
	for g, n := range f.need[:len(f.s.m.need)] {
		if n > 0 && (row < 0 || f.alive[g] < f.alive[row]) {
			row = g
		}
	}
	if row < 0 {
		return true
	}
	f.steps -= len(f.s.m.need)
	for _, j := range f.choices(row) {
		if f.steps < 0 {
			return false
		}
		f.move(j, -1)
		f.taken = append(f.taken, j)
		if f.place() {
			return true
		}
		f.taken = f.taken[:len(f.taken)-1]
		f.move(j, 1)
	}
	return false
}

// choices returns the layouts of a row that lack nothing, those first whose
// pieces are on the fewest others, with some sway.
func (f *fullBoards) choices(row int) (list []int) {
	worth := map[int]int{}
	for _, j := range f.on[row] {
		if f.lacks[j] > 0 {
			continue
		}
		f.seed = next(f.seed)
		list = append(list, j)
		f.rows(f.list[j], func(r, _ int) { worth[j] += f.alive[r] })
		worth[j] = worth[j] * int(64+f.seed%64)
		f.steps -= 10
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(worth[a], worth[b]) })
	return list
}

// move takes a layout off what is left, or puts it back.
func (f *fullBoards) move(j, sign int) {
	f.rows(f.list[j], func(row, n int) {
		before := f.need[row]
		f.need[row] += sign * n
		f.steps -= len(f.on[row])
		for _, i := range f.on[row] {
			f.rows(f.list[i], func(r, takes int) {
				if r != row || (takes > before) == (takes > f.need[row]) {
					return
				}
				was := f.lacks[i]
				f.lacks[i] -= sign
				if was == 0 || f.lacks[i] == 0 {
					f.rows(f.list[i], func(r, _ int) { f.alive[r] += sign })
				}
			})
		}
	})
}
