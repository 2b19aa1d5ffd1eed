package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// fewer looks for a cutting of the same cost on fewer boards: it dives on sets
// of boards that cost as much and hold all pieces.
func (s *search) fewer() {
	cost, boards := s.best.cost, countBoards(s.best.list)
	longest := s.m.stocks[len(s.m.stocks)-1].holds
	if int64(boards) <= measure.CeilDiv(int64(s.m.total), int64(longest)) || len(s.m.stocks) == 1 {
		return
	}
	sets := s.boardsAt(cost)
	sum := func(z []int) (n int) {
		for _, c := range z {
			n += c
		}
		return n
	}
	slices.SortStableFunc(sets, func(a, b []int) int { return cmp.Compare(sum(a), sum(b)) })
	for _, z := range sets {
		if sum(z) >= boards || s.work.spent() {
			return
		}
		t := &search{m: s.m, work: s.work, best: layouts{cost: cost + 1}, bound: s.bound, costs: s.costs}
		a := newMaster(s.m, true, cost+1, s.work)
		copy(a.high, z)
		if a.refresh() {
			t.dive(a, 0)
		}
		if t.best.list != nil && t.best.cost == cost && countBoards(t.best.list) < boards {
			s.best = t.best
			return
		}
	}
}

func countBoards(list []layout) (n int) {
	for _, l := range list {
		n += l.count
	}
	return n
}

// with returns the model with one piece more, and the group of it.
func (m *model) with(takes measure.Length) (*model, int) {
	n := *m
	at, _ := slices.BinarySearchFunc(m.takes, takes, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	n.takes, n.need = slices.Insert(slices.Clone(m.takes), at, takes), slices.Insert(slices.Clone(m.need), at, 1)
	n.total, n.count = m.total+takes, m.count+1
	n.stocks = slices.Clone(m.raw)
	n.tidyStocks()
	return &n, at
}

// gather looks for a cutting of the same cost on no more boards that leaves a
// single offcut as long as can be, by bisection, with a piece more of the
// length asked for. from is the longest offcut so far; units gives what a piece
// of a length takes. Lengths are in inches. It returns the longest offcut that
// there is a cutting for, with the piece in it as of a last group, and whether
// no cutting of the cost leaves a longer one.
func (s *search) gather(from int64, units func(inches int64) measure.Length) (found int64, list []layout, exact bool) {
	boards, spare := countBoards(s.best.list), s.mostSpare()
	low, high := from, from
	for units(high+1) <= spare {
		high = 2*high + 1
	}
	exact = true
	for low < high && !s.work.spent() {
		mid := low + (high-low+1)/2
		if units(mid) > spare {
			high = mid - 1
			continue
		}
		m, at := s.m.with(units(mid))
		t := &search{m: m, work: s.work, best: layouts{cost: s.best.cost + 1}, bound: s.bound}
		if slices.Equal(m.stocks, s.m.stocks) {
			t.costs = &costs{s.costs.holds, m.total}
		}
		t.run()
		found := t.best.list != nil && t.best.cost <= s.best.cost
		if found && countBoards(t.best.list) <= boards {
			low, list = mid, moved(t.best.list, at, len(s.m.takes))
			continue
		}
		exact = exact && !found && t.closed()
		high = mid - 1
	}
	return low, list, exact && low >= high
}

// mostSpare returns how much a single board can have to spare at most, among
// boards of the cost of the best cutting that hold all pieces. Stocks count with
// their whole length, not with what the pieces can use of it.
func (s *search) mostSpare() measure.Length {
	whole := *s.m
	whole.stocks = s.m.raw
	longest := whole.stocks[len(whole.stocks)-1].holds
	c := newCosts(&whole, s.best.cost, s.work)
	if s.best.cost < int64(len(c.holds)) {
		return min(longest, c.holds[s.best.cost]-s.m.total)
	}
	return longest
}

// moved gives the group at a place the number last, and those behind it their
// numbers without it.
func moved(list []layout, at, last int) (out []layout) {
	for _, l := range list {
		var items []item
		more := 0
		for _, it := range l.items {
			switch {
			case it.group == at:
				more = it.count
			case it.group > at:
				items = append(items, item{it.group - 1, it.count})
			default:
				items = append(items, it)
			}
		}
		if more > 0 {
			items = append(items, item{last, more})
		}
		out = append(out, layout{l.stock, l.count, items})
	}
	return out
}
