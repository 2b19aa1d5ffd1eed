package cut

import (
	"cmp"
	"slices"
)

// hander hands the pieces of each group out to the boards of a plan: pieces of
// one length are alike to the plan, but not to the fitter.
type hander struct {
	s      *shop
	p      Problem
	loads  []load
	ends   []int   // factory ends of each board
	on     [][]int // boards that carry a piece of each group
	seen   []int   // the last round in which a board was tried
	round  int
	atEnds []map[int]int // pieces of each group that get one, of each board
	left   []int         // pieces of each group that are still to get one
	queue  [][]int       // pieces of each group not handed out yet
	pairs  []int         // of them, those that come in pairs
	steps  int           // that may still be spent on ends
}

// hand returns the pieces of each load, in the order of the saw: from the
// longest, but for those that get a factory end, which stand first and last.
//
// As many pieces that want a factory end get one as the layouts allow. Pieces
// that come in pairs stand together where two of a length are on a board. Held
// pieces come after the others of their length, so that they gather on the last
// boards. left is the pieces that are on no board.
func (s *shop) hand(p Problem, loads []load, kinds []int) (boards [][]int, left []int, atEnds int) {
	h := hander{s: s, p: p, loads: loads, steps: 50_000_000}
	usable := 0
	for _, trim := range []bool{p.Head > 0, p.Tail > 0} {
		if !trim {
			usable++
		}
	}
	for _, k := range kinds {
		n := usable
		if s.kinds[k].onHand {
			n = 0 // an offcut: nobody knows which end is the factory's
		}
		h.ends, h.atEnds = append(h.ends, n), append(h.atEnds, map[int]int{})
	}
	h.on, h.seen = make([][]int, len(s.groups)), make([]int, len(loads))
	for b, l := range loads {
		for _, it := range l.items {
			h.on[it.group] = append(h.on[it.group], b)
		}
	}
	for g, grp := range s.groups {
		q := slices.Clone(grp.pieces)
		slices.SortStableFunc(q, func(a, b int) int { return cmp.Compare(btoi(p.Pieces[a].Held), btoi(p.Pieces[b].Held)) })
		h.queue = append(h.queue, q)
		want, pairs := 0, 0
		for _, i := range q {
			want += btoi(p.Pieces[i].Factory)
			pairs += btoi(p.Pieces[i].Pair)
		}
		h.pairs = append(h.pairs, pairs)
		got := h.giveFree(g, want)
		for got < want && h.giveMoving(g) {
			got++
		}
		h.left = append(h.left, got)
		atEnds += got
	}
	for b := range loads {
		boards = append(boards, h.board(b))
	}
	for _, q := range h.queue {
		left = append(left, q...)
	}
	return boards, left, atEnds
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// giveFree gives pieces of a group the factory ends that are free, so many at
// most, and returns how many it gave.
func (h *hander) giveFree(g, want int) (got int) {
	for _, b := range h.on[g] {
		n := min(want-got, h.ends[b]-h.used(b), countOf(h.loads[b].items, g))
		if n > 0 {
			h.atEnds[b][g] += n
			got += n
		}
	}
	return got
}

// giveMoving gives a factory end to one more piece of a group, moving others to
// other boards if need be.
func (h *hander) giveMoving(g int) bool {
	h.round++
	return h.give(g)
}

// give looks for an augmenting path: where there is none, no more could be given
// in any other way.
func (h *hander) give(g int) bool {
	for _, b := range h.on[g] {
		if h.steps--; h.steps < 0 {
			return false
		}
		if h.seen[b] == h.round || h.ends[b] == 0 || h.atEnds[b][g] >= countOf(h.loads[b].items, g) {
			continue
		}
		h.seen[b] = h.round
		if h.used(b) < h.ends[b] {
			h.atEnds[b][g]++
			return true
		}
		for _, it := range h.loads[b].items {
			if it.group != g && h.atEnds[b][it.group] > 0 && h.give(it.group) {
				h.atEnds[b][it.group]--
				h.atEnds[b][g]++
				return true
			}
		}
	}
	return false
}

func (h *hander) used(b int) (n int) {
	for _, it := range h.loads[b].items {
		n += h.atEnds[b][it.group]
	}
	return n
}

// board hands out the pieces of a board.
func (h *hander) board(b int) []int {
	var ends, rest []int
	for _, it := range h.loads[b].items {
		n := it.count
		for range h.atEnds[b][it.group] {
			ends = append(ends, h.next(it.group, func(p Piece) bool { return p.Factory }))
			h.left[it.group]--
			n--
		}
		rest = append(rest, h.several(it.group, n)...)
	}
	switch {
	case len(ends) == 0:
		return rest
	case len(ends) == 2:
		return slices.Concat(ends[:1], rest, ends[1:])
	case h.p.Head > 0:
		return append(rest, ends[0])
	}
	return append(ends, rest...)
}

// next takes the first piece of a group out of its queue that is as asked, or
// the first at all.
func (h *hander) next(g int, is func(Piece) bool) int {
	return h.pull(g, max(0, slices.IndexFunc(h.queue[g], func(i int) bool { return is(h.p.Pieces[i]) })))
}

// pull takes a piece out of a group's queue.
func (h *hander) pull(g, at int) int {
	q := h.queue[g]
	i := q[at]
	h.pairs[g] -= btoi(h.p.Pieces[i].Pair)
	if at == 0 {
		h.queue[g] = q[1:]
	} else {
		h.queue[g] = slices.Delete(q, at, at+1)
	}
	return i
}

// several takes n pieces of a group: pairs while there is room for two, and a
// single one rather than half a pair. Pieces that still want a factory end are
// left for boards that give them one, as long as there are others.
func (h *hander) several(g, n int) (out []int) {
	left := h.left[g]
	if left == 0 && h.pairs[g] == 0 {
		out, h.queue[g] = h.queue[g][:n:n], h.queue[g][n:]
		return slices.Clone(out)
	}
	for len(out) < n {
		single := n-len(out) == 1
		i := h.next(g, func(p Piece) bool { return !(p.Factory && left > 0) && !(p.Pair && single) })
		out = append(out, i)
		if h.p.Pieces[i].Pair && !single {
			if at := slices.Index(h.queue[g], i); at >= 0 {
				out = append(out, h.pull(g, at))
			}
		}
	}
	return out
}
