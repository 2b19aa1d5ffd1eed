package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// redistributionSteps limits the search of a redistribution.
const redistributionSteps = 400

// redistribution looks for patterns on the boards of given patterns that have exactly their pieces:
//
//	Σ count(j) × pieces(j, i) = pieces(i)  for every item i
//
// It enumerates how the boards of each stock are divided among patterns, and for each division how
// the pieces are distributed.
type redistribution struct {
	m           *model
	stocks      []int // with boards that are not yet in a pattern
	boards      []int // of each stock that are not yet in a pattern
	pieces      []entry
	stepsLeft   int
	maxSettings int         // settings of the stop, at most
	accept      func() bool // whether a complete distribution will do; nil: any does

	patterns []pattern
	room     []measure.Length // of a board of each pattern
	waste    measure.Length   // that all boards together may still have
	minSize  measure.Length   // of a piece
	settings int
	buffers  [][]entry // for the entries of each pattern
}

// reset prepares for other pieces.
func (d *redistribution) reset(m *model) {
	if d.m == nil {
		d.m, d.boards = m, make([]int, len(m.stocks))
		d.minSize = m.sizes[len(m.sizes)-1]
	}
	clear(d.boards)
	d.stocks, d.pieces, d.patterns, d.room = d.stocks[:0], d.pieces[:0], d.patterns[:0], d.room[:0]
	d.waste, d.settings, d.stepsLeft, d.maxSettings, d.accept = 0, 0, redistributionSteps, math.MaxInt, nil
}

// copied returns a copy of the patterns, which the search goes on to change.
func (d *redistribution) copied() []pattern {
	out := slices.Clone(d.patterns)
	for i := range out {
		out[i].entries = slices.Clone(out[i].entries)
	}
	return out
}

// splitBoards divides the remaining boards of each stock into n patterns in all, in every way,
// until the pieces can be distributed.
func (d *redistribution) splitBoards(n int) bool {
	if len(d.stocks) == 0 {
		return n == 0 && d.distribute(0)
	}
	k := d.stocks[0]
	boards := d.boards[k]
	maxCount := boards
	if i := len(d.patterns); i > 0 && d.patterns[i-1].stock == k {
		maxCount = min(boards, d.patterns[i-1].count)
	}
	if n == len(d.stocks) {
		return boards <= maxCount && d.addPattern(boards, n)
	}
	for c := maxCount; c > 0 && d.stepsLeft > 0; c-- {
		d.stepsLeft--
		if (c < boards || len(d.stocks) > 1) && d.addPattern(c, n) {
			return true
		}
	}
	return false
}

// addPattern puts so many boards of the first stock in a pattern, the first of n.
func (d *redistribution) addPattern(count, n int) bool {
	k, stocks := d.stocks[0], d.stocks
	if len(d.buffers) == len(d.patterns) {
		d.buffers = append(d.buffers, make([]entry, 0, len(d.m.sizes)))
	}
	d.patterns = append(d.patterns, pattern{k, count, d.buffers[len(d.patterns)]})
	d.room = append(d.room, d.m.stocks[k].capacity)
	if d.boards[k] -= count; d.boards[k] == 0 {
		d.stocks = stocks[1:]
	}
	if d.splitBoards(n - 1) {
		return true
	}
	d.boards[k] += count
	d.stocks = stocks
	d.patterns, d.room = d.patterns[:len(d.patterns)-1], d.room[:len(d.room)-1]
	return false
}

// distribute distributes the pieces from an entry on.
func (d *redistribution) distribute(at int) bool {
	if at == len(d.pieces) {
		return !slices.ContainsFunc(d.patterns, func(p pattern) bool { return len(p.entries) == 0 }) && (d.accept == nil || d.accept())
	}
	if d.stepsLeft--; d.stepsLeft < 0 {
		return false
	}
	return d.distributeItem(at, 0, d.pieces[at].count)
}

// distributeItem distributes the rest of an item's pieces among the patterns from i on.
func (d *redistribution) distributeItem(at, i, rest int) bool {
	item := d.pieces[at].item
	size, pat := d.m.sizes[item], &d.patterns[i]
	maxPieces := min(rest/pat.count, int(d.room[i]/size))
	minPieces := 0
	if i == len(d.patterns)-1 {
		if rest%pat.count != 0 || rest/pat.count > maxPieces {
			return false
		}
		minPieces = maxPieces
	}
	room, entries, waste, settings := d.room[i], pat.entries, d.waste, d.settings
	for n := maxPieces; n >= minPieces; n-- {
		if n > 0 {
			pat.entries = append(entries, entry{item, n})
			d.room[i] -= measure.Length(n) * size
			d.settings += pat.count
			if d.room[i] < d.minSize {
				d.waste -= measure.Length(pat.count) * d.room[i]
			}
		}
		ok := d.waste >= 0 && d.settings <= d.maxSettings
		if ok && i < len(d.patterns)-1 {
			ok = d.distributeItem(at, i+1, rest-n*pat.count)
		} else if ok {
			ok = d.distribute(at + 1)
		}
		if ok {
			return true
		}
		d.room[i], pat.entries, d.waste, d.settings = room, entries, waste, settings
	}
	return false
}
