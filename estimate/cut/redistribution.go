package cut

import (
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// dividerSteps is how many divisions are looked into.
const redistributionSteps = 400

// divider looks for layouts on boards of given stocks that take all of some
// pieces:
//
//	Σ count(i) × pieces(i, g) = all(g)  for every group
type redistribution struct {
	m           *model
	stocks      []int
	boards      []int // of each stock
	pieces      []entry
	stepsLeft   int
	maxSettings int         // visits, at most
	accept      func() bool // says whether a division will do; nil: every one does

	patterns []pattern
	room     []measure.Length // of a board of each
	waste    measure.Length   // that all boards together may still have
	minSize  measure.Length   // that a piece takes
	settings int
	buffers  [][]entry // for the pieces of each layout
}

func (d *redistribution) reset(m *model) {
	if d.m == nil {
		d.m, d.boards = m, make([]int, len(m.stocks))
		d.minSize = m.sizes[len(m.sizes)-1]
	}
	clear(d.boards)
	d.stocks, d.pieces, d.patterns, d.room = d.stocks[:0], d.pieces[:0], d.patterns[:0], d.room[:0]
	d.waste, d.settings, d.stepsLeft, d.maxSettings, d.accept = 0, 0, redistributionSteps, math.MaxInt, nil
}

// copied returns the layouts found, which the divider goes on to change.
func (d *redistribution) copied() []pattern {
	out := slices.Clone(d.patterns)
	for i := range out {
		out[i].entries = slices.Clone(out[i].entries)
	}
	return out
}

// split divides the boards of each stock into n layouts in all, in every way,
// until the pieces can be divided so.
func (d *redistribution) splitBoards(n int) bool {
	if len(d.stocks) == 0 {
		return n == 0 && d.distribute(0)
	}
	k := d.stocks[0]
	left := d.boards[k]
	most := left
	if i := len(d.patterns); i > 0 && d.patterns[i-1].stock == k {
		most = min(left, d.patterns[i-1].count)
	}
	if n == len(d.stocks) {
		return left <= most && d.addPattern(left, n)
	}
	for c := most; c > 0 && d.stepsLeft > 0; c-- {
		d.stepsLeft--
		if (c < left || len(d.stocks) > 1) && d.addPattern(c, n) {
			return true
		}
	}
	return false
}

// layOut gives so many boards of the first stock a layout, the first of n.
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

// from divides the pieces from a place of the list on.
func (d *redistribution) distribute(at int) bool {
	if at == len(d.pieces) {
		return !slices.ContainsFunc(d.patterns, func(p pattern) bool { return len(p.entries) == 0 }) && (d.accept == nil || d.accept())
	}
	if d.stepsLeft--; d.stepsLeft < 0 {
		return false
	}
	return d.distributeItem(at, 0, d.pieces[at].count)
}

// deal divides the rest of a group's pieces among the layouts from i on.
func (d *redistribution) distributeItem(at, i, rest int) bool {
	item := d.pieces[at].item
	size, l := d.m.sizes[item], &d.patterns[i]
	most := min(rest/l.count, int(d.room[i]/size))
	least := 0
	if i == len(d.patterns)-1 {
		if rest%l.count != 0 || rest/l.count > most {
			return false
		}
		least = most
	}
	room, entries, waste, visits := d.room[i], l.entries, d.waste, d.settings
	for n := most; n >= least; n-- {
		if n > 0 {
			l.entries = append(entries, entry{item, n})
			d.room[i] -= measure.Length(n) * size
			d.settings += l.count
			if d.room[i] < d.minSize {
				d.waste -= measure.Length(l.count) * d.room[i]
			}
		}
		ok := d.waste >= 0 && d.settings <= d.maxSettings
		if ok && i < len(d.patterns)-1 {
			ok = d.distributeItem(at, i+1, rest-n*l.count)
		} else if ok {
			ok = d.distribute(at + 1)
		}
		if ok {
			return true
		}
		d.room[i], l.entries, d.waste, d.settings = room, entries, waste, visits
	}
	return false
}
