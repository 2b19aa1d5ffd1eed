package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// patternReducer reduces the number of distinct patterns, for the same pieces on the same boards.
// It replaces patterns by one fewer wherever that is possible, after the method of Foerster and
// Wäscher (2000).
type patternReducer struct {
	m        *model
	work     *work
	patterns []pattern
	buffer   redistribution
}

// reduce returns patterns with as many boards of each stock and as many pieces as those given, and
// no more distinct ones.
func (r *patternReducer) reduce(patterns []pattern) []pattern {
	r.patterns = mergePatterns(patterns)
	for n := 2; n <= 4; n++ {
		for !r.work.spent() && r.replaceSome(n) {
			n = 2
		}
	}
	return r.patterns
}

// replaceSome replaces n patterns by one fewer and returns true if it could. The patterns of the
// fewest boards are tried first: they are the easiest to replace.
func (r *patternReducer) replaceSome(n int) bool {
	slices.SortStableFunc(r.patterns, func(a, b pattern) int { return cmp.Compare(a.count, b.count) })
	return r.replaceAny(len(r.patterns), n, nil)
}

// replaceAny chooses n more of the first patterns and replaces all that are chosen by one fewer.
func (r *patternReducer) replaceAny(first, n int, which []int) bool {
	if n == 0 {
		return r.replace(which)
	}
	for i := n - 1; i < first; i++ {
		if r.work.spent() {
			return false
		}
		if r.replaceAny(i, n-1, append(which, i)) {
			return true
		}
	}
	return false
}

// replace puts the pieces of some patterns, whose indices descend, on the same boards in one
// pattern fewer. It returns true if it could.
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

// reduceSettings reduces the settings of the stop, and with no more of them lengthens the offcuts,
// by distributing the pieces of two patterns in another way between them.
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

// redistribute distributes the pieces of two patterns so that the settings are fewest, and then the
// longer offcut longest. It returns true if that is better.
func (r *patternReducer) redistribute(i, j int) bool {
	d := r.redistributionOf([]int{i, j})
	a, b := r.patterns[i], r.patterns[j]
	d.maxSettings = stopSettings([]pattern{a, b})
	longest := max(r.spareOf(a), r.spareOf(b))
	var best [2]pattern
	d.accept = func() bool {
		if spare := slices.Max(d.room); d.settings < d.maxSettings || spare > longest {
			d.maxSettings, longest = d.settings, spare
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

// stopSettings is how often the saw's stop is set if every board is cut by itself: the different
// lengths on each board, in all.
func stopSettings(patterns []pattern) (n int) {
	for _, p := range patterns {
		n += p.count * len(p.entries)
	}
	return n
}

// spareOf is the waste of a board of a pattern.
func (r *patternReducer) spareOf(p pattern) measure.Length {
	return r.m.stocks[p.stock].capacity - r.m.lengthOf(p.entries)
}

// redistributionOf returns the redistribution of all pieces of some patterns.
func (r *patternReducer) redistributionOf(which []int) *redistribution {
	d := &r.buffer
	d.reset(r.m)
	for _, i := range which {
		pat := &r.patterns[i]
		if d.boards[pat.stock] == 0 {
			d.stocks = append(d.stocks, pat.stock)
		}
		d.boards[pat.stock] += pat.count
		d.waste += measure.Length(pat.count) * r.spareOf(*pat)
		for _, e := range pat.entries {
			d.pieces = insertPieces(d.pieces, e.item, e.count*pat.count)
		}
	}
	return d
}
