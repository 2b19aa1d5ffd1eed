package cut

import (
	"cmp"
	"slices"
)

// pieceAssignment assigns the pieces of each item to the boards of a plan. Pieces of one length are
// alike to the optimization; here factory ends, pairs and held pieces tell them apart.
type pieceAssignment struct {
	in          *instance
	p           Problem
	bins        []bin
	factoryEnds []int         // of each board
	endPieces   []map[int]int // of each board: pieces of each item that get a factory end
	binsWith    [][]int       // boards that carry a piece of each item
	visited     []int         // of each board: the last round that reached it
	round       int
	stepsLeft   int     // of the search for augmenting paths
	pendingEnds []int   // of each item: pieces that are still to get an end
	unassigned  [][]int // pieces of each item
	pairs       []int   // of them, those that come in pairs
}

// assignPieces returns the pieces of each bin, in cutting order: longest first, but for
// those that get a factory end, which are first and last.
//
// As many pieces that need a factory end get one as the patterns allow: a maximum flow from items
// to boards, found by augmenting paths. Pieces that come in pairs are together where two of a
// length are on a board. Held pieces come after the others of their length, so that they gather on
// the last boards. unplaced is the pieces that are on no board.
func (in *instance) assignPieces(p Problem, bins []bin, stockTypes []int) (boards [][]int, unplaced []int, atEnds int) {
	a := pieceAssignment{in: in, p: p, bins: bins, stepsLeft: 50_000_000}
	untrimmed := 0
	for _, trimmed := range []bool{p.HeadTrim > 0, p.TailTrim > 0} {
		if !trimmed {
			untrimmed++
		}
	}
	for _, k := range stockTypes {
		n := untrimmed
		if in.stockTypes[k].onHand {
			n = 0 // an offcut on hand: which of its ends is a factory end is not known
		}
		a.factoryEnds, a.endPieces = append(a.factoryEnds, n), append(a.endPieces, map[int]int{})
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
		a.unassigned = append(a.unassigned, q)
		wanted, pairs := 0, 0
		for _, i := range q {
			wanted += btoi(p.Pieces[i].FactoryEnd)
			pairs += btoi(p.Pieces[i].Pair)
		}
		a.pairs = append(a.pairs, pairs)
		reached := a.useFreeEnds(i, wanted)
		for reached < wanted && a.augment(i) {
			reached++
		}
		a.pendingEnds = append(a.pendingEnds, reached)
		atEnds += reached
	}
	for b := range bins {
		boards = append(boards, a.boardPieces(b))
	}
	for _, q := range a.unassigned {
		unplaced = append(unplaced, q...)
	}
	return boards, unplaced, atEnds
}

// btoi is 1 if b is true.
func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// useFreeEnds gives pieces of an item free factory ends, as many as are wanted at most, and returns
// how many.
func (a *pieceAssignment) useFreeEnds(i, wanted int) (reached int) {
	for _, b := range a.binsWith[i] {
		n := min(wanted-reached, a.factoryEnds[b]-a.usedEnds(b), countOf(a.bins[b].entries, i))
		if n > 0 {
			a.endPieces[b][i] += n
			reached += n
		}
	}
	return reached
}

// augment gives a factory end to one more piece of an item, moving the ends of others to other
// boards if need be.
func (a *pieceAssignment) augment(i int) bool {
	a.round++
	return a.augmentFrom(i)
}

// augmentFrom looks for an augmenting path from an item. If there is none, the number of pieces
// with an end is the largest possible.
func (a *pieceAssignment) augmentFrom(i int) bool {
	for _, b := range a.binsWith[i] {
		if a.stepsLeft--; a.stepsLeft < 0 {
			return false
		}
		if a.visited[b] == a.round || a.factoryEnds[b] == 0 || a.endPieces[b][i] >= countOf(a.bins[b].entries, i) {
			continue
		}
		a.visited[b] = a.round
		if a.usedEnds(b) < a.factoryEnds[b] {
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

// usedEnds returns how many ends of a board are given.
func (a *pieceAssignment) usedEnds(b int) (n int) {
	for _, e := range a.bins[b].entries {
		n += a.endPieces[b][e.item]
	}
	return n
}

// boardPieces assigns the pieces of a board.
func (a *pieceAssignment) boardPieces(b int) []int {
	var ends, rest []int
	for _, e := range a.bins[b].entries {
		n := e.count
		for range a.endPieces[b][e.item] {
			ends = append(ends, a.takeWhere(e.item, func(p Piece) bool { return p.FactoryEnd }))
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
	case a.p.HeadTrim > 0:
		return append(rest, ends[0])
	}
	return append(ends, rest...)
}

// takeMany assigns n pieces of an item: pairs while there is room for two, and a single piece
// rather than half a pair. Pieces that still need a factory end are left for boards that give them
// one, as long as there are others.
func (a *pieceAssignment) takeMany(item, n int) (out []int) {
	pendingEnds := a.pendingEnds[item]
	if pendingEnds == 0 && a.pairs[item] == 0 {
		out, a.unassigned[item] = a.unassigned[item][:n:n], a.unassigned[item][n:]
		return slices.Clone(out)
	}
	for len(out) < n {
		single := n-len(out) == 1
		i := a.takeWhere(item, func(p Piece) bool { return !(p.FactoryEnd && pendingEnds > 0) && !(p.Pair && single) })
		out = append(out, i)
		if a.p.Pieces[i].Pair && !single {
			if at := slices.Index(a.unassigned[item], i); at >= 0 {
				out = append(out, a.take(item, at))
			}
		}
	}
	return out
}

// takeWhere assigns the first unassigned piece of an item that meets a condition, or the first at
// all.
func (a *pieceAssignment) takeWhere(i int, condition func(Piece) bool) int {
	return a.take(i, max(0, slices.IndexFunc(a.unassigned[i], func(i int) bool { return condition(a.p.Pieces[i]) })))
}

// take assigns an unassigned piece of an item.
func (a *pieceAssignment) take(item, at int) int {
	q := a.unassigned[item]
	i := q[at]
	a.pairs[item] -= btoi(a.p.Pieces[i].Pair)
	if at == 0 {
		a.unassigned[item] = q[1:]
	} else {
		a.unassigned[item] = slices.Delete(q, at, at+1)
	}
	return i
}
