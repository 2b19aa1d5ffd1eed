package cut

import (
	"cmp"
	"slices"
)

// hander hands the pieces of each group out to the boards of a plan: pieces of
// one length are alike to the plan, but not to the fitter.
type pieceAssignment struct {
	s           *instance
	p           Problem
	bins        []bin
	freeEnds    []int   // factory ends of each board
	binsWith    [][]int // boards that carry a piece of each group
	visited     []int   // the last round in which a board was tried
	round       int
	endPieces   []map[int]int // pieces of each group that get one, of each board
	pendingEnds []int         // pieces of each group that are still to get one
	queue       [][]int       // pieces of each group not handed out yet
	pairs       []int         // of them, those that come in pairs
	stepsLeft   int           // that may still be spent on ends
}

// hand returns the pieces of each load, in the order of the saw: from the
// longest, but for those that get a factory end, which stand first and last.
//
// As many pieces that want a factory end get one as the layouts allow. Pieces
// that come in pairs stand together where two of a length are on a board. Held
// pieces come after the others of their length, so that they gather on the last
// boards. left is the pieces that are on no board.
func (in *instance) assignPieces(p Problem, bins []bin, stockTypes []int) (boards [][]int, left []int, atEnds int) {
	a := pieceAssignment{s: in, p: p, bins: bins, stepsLeft: 50_000_000}
	usable := 0
	for _, trim := range []bool{p.Head > 0, p.Tail > 0} {
		if !trim {
			usable++
		}
	}
	for _, k := range stockTypes {
		n := usable
		if in.stockTypes[k].onHand {
			n = 0 // an offcut: nobody knows which end is the factory's
		}
		a.freeEnds, a.endPieces = append(a.freeEnds, n), append(a.endPieces, map[int]int{})
	}
	a.binsWith, a.visited = make([][]int, len(in.items)), make([]int, len(bins))
	for b, l := range bins {
		for _, e := range l.entries {
			a.binsWith[e.item] = append(a.binsWith[e.item], b)
		}
	}
	for i, item := range in.items {
		q := slices.Clone(item.pieces)
		slices.SortStableFunc(q, func(a, b int) int { return cmp.Compare(btoi(p.Pieces[a].Held), btoi(p.Pieces[b].Held)) })
		a.queue = append(a.queue, q)
		want, pairs := 0, 0
		for _, i := range q {
			want += btoi(p.Pieces[i].Factory)
			pairs += btoi(p.Pieces[i].Pair)
		}
		a.pairs = append(a.pairs, pairs)
		got := a.useFreeEnds(i, want)
		for got < want && a.augment(i) {
			got++
		}
		a.pendingEnds = append(a.pendingEnds, got)
		atEnds += got
	}
	for b := range bins {
		boards = append(boards, a.boardPieces(b))
	}
	for _, q := range a.queue {
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
func (a *pieceAssignment) useFreeEnds(i, want int) (got int) {
	for _, b := range a.binsWith[i] {
		n := min(want-got, a.freeEnds[b]-a.usedEnds(b), countOf(a.bins[b].entries, i))
		if n > 0 {
			a.endPieces[b][i] += n
			got += n
		}
	}
	return got
}

// giveMoving gives a factory end to one more piece of a group, moving others to
// other boards if need be.
func (a *pieceAssignment) augment(i int) bool {
	a.round++
	return a.augmentFrom(i)
}

// give looks for an augmenting path: where there is none, no more could be given
// in any other way.
func (a *pieceAssignment) augmentFrom(i int) bool {
	for _, b := range a.binsWith[i] {
		if a.stepsLeft--; a.stepsLeft < 0 {
			return false
		}
		if a.visited[b] == a.round || a.freeEnds[b] == 0 || a.endPieces[b][i] >= countOf(a.bins[b].entries, i) {
			continue
		}
		a.visited[b] = a.round
		if a.usedEnds(b) < a.freeEnds[b] {
			a.endPieces[b][i]++
			return true
		}
		for _, e := range a.bins[b].entries {
			if e.item != i && a.endPieces[b][e.item] > 0 && a.augmentFrom(e.item) {
				a.endPieces[b][e.item]--
				a.endPieces[b][i]++
				return true
			}
		}
	}
	return false
}

func (a *pieceAssignment) usedEnds(b int) (n int) {
	for _, e := range a.bins[b].entries {
		n += a.endPieces[b][e.item]
	}
	return n
}

// board hands out the pieces of a board.
func (a *pieceAssignment) boardPieces(b int) []int {
	var ends, rest []int
	for _, e := range a.bins[b].entries {
		n := e.count
		for range a.endPieces[b][e.item] {
			ends = append(ends, a.takeWhere(e.item, func(p Piece) bool { return p.Factory }))
			a.pendingEnds[e.item]--
			n--
		}
		rest = append(rest, a.takeMany(e.item, n)...)
	}
	switch {
	case len(ends) == 0:
		return rest
	case len(ends) == 2:
		return slices.Concat(ends[:1], rest, ends[1:])
	case a.p.Head > 0:
		return append(rest, ends[0])
	}
	return append(ends, rest...)
}

// several takes n pieces of a group: pairs while there is room for two, and a
// single one rather than half a pair. Pieces that still want a factory end are
// left for boards that give them one, as long as there are others.
func (a *pieceAssignment) takeMany(item, n int) (out []int) {
	left := a.pendingEnds[item]
	if left == 0 && a.pairs[item] == 0 {
		out, a.queue[item] = a.queue[item][:n:n], a.queue[item][n:]
		return slices.Clone(out)
	}
	for len(out) < n {
		single := n-len(out) == 1
		i := a.takeWhere(item, func(p Piece) bool { return !(p.Factory && left > 0) && !(p.Pair && single) })
		out = append(out, i)
		if a.p.Pieces[i].Pair && !single {
			if at := slices.Index(a.queue[item], i); at >= 0 {
				out = append(out, a.take(item, at))
			}
		}
	}
	return out
}

// next takes the first piece of a group out of its queue that is as asked, or
// the first at all.
func (a *pieceAssignment) takeWhere(i int, is func(Piece) bool) int {
	return a.take(i, max(0, slices.IndexFunc(a.queue[i], func(i int) bool { return is(a.p.Pieces[i]) })))
}

// pull takes a piece out of a group's queue.
func (a *pieceAssignment) take(item, at int) int {
	q := a.queue[item]
	i := q[at]
	a.pairs[item] -= btoi(a.p.Pieces[i].Pair)
	if at == 0 {
		a.queue[item] = q[1:]
	} else {
		a.queue[item] = slices.Delete(q, at, at+1)
	}
	return i
}
