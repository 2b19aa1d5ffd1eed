package cut

import (
	"cmp"
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
