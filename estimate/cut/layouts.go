package cut

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"

	"sillwright/estimate/measure"
)

// reducer makes the boards of a plan alike: fewer distinct layouts for the same
// pieces on the same boards. It replaces layouts by one fewer wherever that can
// be, after the method of Foerster and Wäscher (2000).
type patternReducer struct {
	m        *model
	work     *work
	patterns []pattern
	buffer   redistribution
}

// reduce returns layouts that use as many boards of each stock as those given,
// and as many pieces, no more of them distinct.
func (r *patternReducer) reduce(patterns []pattern) []pattern {
	r.patterns = mergePatterns(patterns)
	for n := 2; n <= 4; n++ {
		for !r.work.spent() && r.replaceSome(n) {
			n = 2
		}
	}
	return r.patterns
}

// gather joins layouts that are alike.
func mergePatterns(patterns []pattern) (out []pattern) {
	at := make(map[string]int, len(patterns))
	var key []byte
	for _, p := range patterns {
		key = p.key(key[:0])
		i, ok := at[string(key)]
		if !ok {
			i = len(out)
			at[string(key)] = i
			out = append(out, pattern{stock: p.stock, entries: p.entries})
		}
		out[i].count += p.count
	}
	return out
}

// key appends bytes that tell a layout from others.
func (p pattern) key(key []byte) []byte {
	key = binary.AppendUvarint(key, uint64(p.stock))
	for _, e := range p.entries {
		key = binary.AppendUvarint(key, uint64(e.item))
		key = binary.AppendUvarint(key, uint64(e.count))
	}
	return key
}

// fewer replaces n layouts by one fewer and returns true if it could. The
// layouts of the fewest boards are tried first: they are the easiest to give up.
func (r *patternReducer) replaceSome(n int) bool {
	slices.SortStableFunc(r.patterns, func(a, b pattern) int { return cmp.Compare(a.count, b.count) })
	return r.replaceAny(len(r.patterns), n, nil)
}

// choose chooses n more layouts out of the first ones and replaces them all by
// one fewer.
func (r *patternReducer) replaceAny(among, n int, which []int) bool {
	if n == 0 {
		return r.replace(which)
	}
	for i := n - 1; i < among; i++ {
		if r.work.spent() {
			return false
		}
		if r.replaceAny(i, n-1, append(which, i)) {
			return true
		}
	}
	return false
}

// replace puts the pieces of some layouts, which come from the last to the
// first, on the same boards in one layout fewer. It returns true if it could.
func (r *patternReducer) replace(which []int) bool {
	d := r.redistributionOf(which)
	ok := len(d.stocks) < len(which) && d.splitBoards(len(which)-1)
	r.work.spend(30 + 4*(redistributionSteps-max(0, d.stepsLeft)))
	if !ok {
		return false
	}
	for _, i := range which {
		r.patterns = slices.Delete(r.patterns, i, i+1)
	}
	r.patterns = mergePatterns(append(r.patterns, d.copied()...))
	return true
}

// settle makes the visits fewer, and with no more of them the leftovers longer,
// by dividing the pieces of two layouts in another way between them.
func (r *patternReducer) reduceSettings(patterns []pattern) []pattern {
	r.patterns = mergePatterns(patterns)
	for better := true; better; {
		better = false
		for i := range r.patterns {
			for j := range i {
				if r.work.spent() {
					return mergePatterns(r.patterns)
				}
				better = r.redistribute(i, j) || better
			}
		}
	}
	return mergePatterns(r.patterns)
}

// divideAnew divides the pieces of two layouts so that visits are fewest, and
// then the longer leftover longest. It returns true if that is better.
func (r *patternReducer) redistribute(i, j int) bool {
	d := r.redistributionOf([]int{i, j})
	a, b := r.patterns[i], r.patterns[j]
	d.maxSettings = stopSettings([]pattern{a, b})
	longest := max(r.spareOf(a), r.spareOf(b))
	var best [2]pattern
	d.accept = func() bool {
		if left := slices.Max(d.room); d.settings < d.maxSettings || left > longest {
			d.maxSettings, longest = d.settings, left
			copy(best[:], d.copied())
		}
		return false
	}
	d.splitBoards(2)
	r.work.spend(30 + 4*(redistributionSteps-max(0, d.stepsLeft)))
	if best[0].count == 0 {
		return false
	}
	r.patterns[i], r.patterns[j] = best[0], best[1]
	return true
}

// visits is how many boards there are at each setting of the stop, in all.
func stopSettings(patterns []pattern) (n int) {
	for _, p := range patterns {
		n += p.count * len(p.entries)
	}
	return n
}

// spare is what a board of a layout has left.
func (r *patternReducer) spareOf(p pattern) measure.Length {
	return r.m.stocks[p.stock].capacity - r.m.lengthOf(p.entries)
}

// divider returns the divider of all pieces of some layouts.
func (r *patternReducer) redistributionOf(which []int) *redistribution {
	d := &r.buffer
	d.reset(r.m)
	for _, i := range which {
		l := &r.patterns[i]
		if d.boards[l.stock] == 0 {
			d.stocks = append(d.stocks, l.stock)
		}
		d.boards[l.stock] += l.count
		d.waste += measure.Length(l.count) * r.spareOf(*l)
		for _, e := range l.entries {
			d.pieces = insertPieces(d.pieces, e.item, e.count*l.count)
		}
	}
	return d
}

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
