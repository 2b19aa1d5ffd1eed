package cut

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// reducer makes the boards of a plan alike: fewer distinct layouts for the same
// pieces on the same boards. It replaces two layouts by one and three by two
// wherever that can be, after the method of Foerster and Wäscher (2000).
type reducer struct {
	takes []measure.Length // of a piece of each group
	holds []measure.Length // of each kind
	work  *work
	list  []layout
}

// reduce returns layouts that use as many boards of each kind as those given,
// and as many pieces, no more of them distinct.
func (r *reducer) reduce(list []layout) []layout {
	r.list = gather(list)
	for !r.work.spent() && (r.pairs() || r.triples()) {
	}
	return r.list
}

// gather joins layouts that are alike.
func gather(list []layout) (out []layout) {
	at := map[string]int{}
	for _, l := range list {
		key := fmt.Sprint(l.stock, l.items)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, layout{stock: l.stock, items: l.items})
		}
		out[i].count += l.count
	}
	return out
}

// pairs replaces two layouts by one and returns true if it could.
func (r *reducer) pairs() bool {
	for i := range r.list {
		for j := range i {
			if r.work.spent() {
				return false
			}
			if r.replace([]int{j, i}, 1) {
				return true
			}
		}
	}
	return false
}

// triples replaces three layouts by two and returns true if it could. The
// layouts of the fewest boards are tried first: they are the easiest to give up.
func (r *reducer) triples() bool {
	slices.SortStableFunc(r.list, func(a, b layout) int { return cmp.Compare(a.count, b.count) })
	for i := range r.list {
		for j := range i {
			for k := range j {
				if r.replace([]int{k, j, i}, 2) {
					return true
				}
				if r.work.spent() {
					return false
				}
			}
		}
	}
	return false
}

// replace puts the pieces of some layouts on the same boards in fewer layouts,
// one or two. It returns true if it could.
func (r *reducer) replace(which []int, by int) bool {
	r.work.spend(30)
	var kinds, counts []int
	for _, i := range which {
		l := r.list[i]
		if k := slices.Index(kinds, l.stock); k >= 0 {
			counts[k] += l.count
		} else {
			kinds, counts = append(kinds, l.stock), append(counts, l.count)
		}
	}
	if len(kinds) > by {
		return false
	}
	all := r.pieces(which)
	if by == 1 {
		kinds, counts = append(kinds, kinds[0]), append(counts, 0)
		return r.divide(which, kinds, counts, all)
	}
	if len(kinds) == 2 {
		return r.divide(which, kinds, counts, all)
	}
	n := counts[0]
	for a := 1; a <= n/2; a++ {
		if r.divide(which, []int{kinds[0], kinds[0]}, []int{n - a, a}, all) {
			return true
		}
	}
	return false
}

// pieces returns the pieces of all boards of some layouts, those with the
// longest first.
func (r *reducer) pieces(which []int) (all []item) {
	for _, i := range which {
		for _, it := range r.list[i].items {
			all = put(all, it.group, it.count*r.list[i].count)
		}
	}
	return all
}

// divide looks for two layouts on boards of two kinds, so many of each, that
// take all pieces:
//
//	count(0) × first(g) + count(1) × second(g) = all(g)  for every group
func (r *reducer) divide(which, kinds, counts []int, all []item) bool {
	d := divider{r: r, counts: counts, all: all, room: [2]measure.Length{r.holds[kinds[0]], r.holds[kinds[1]]}, steps: 400}
	ok := d.from(0)
	r.work.spend(20 + 4*(400-max(0, d.steps)))
	if !ok {
		return false
	}
	slices.Sort(which)
	for _, i := range slices.Backward(which) {
		r.list = slices.Delete(r.list, i, i+1)
	}
	for i := range 2 {
		if counts[i] > 0 {
			r.list = append(r.list, layout{kinds[i], counts[i], d.items[i]})
		}
	}
	r.list = gather(r.list)
	return true
}

type divider struct {
	r      *reducer
	counts []int
	all    []item
	room   [2]measure.Length
	items  [2][]item
	steps  int
}

// from divides the pieces from a place of the list on.
func (d *divider) from(at int) bool {
	if at == len(d.all) {
		return len(d.items[0]) > 0 && (d.counts[1] == 0 || len(d.items[1]) > 0)
	}
	if d.steps--; d.steps < 0 {
		return false
	}
	it := d.all[at]
	takes := d.r.takes[it.group]
	for second := 0; second*d.counts[1] <= it.count; second++ {
		rest := it.count - second*d.counts[1]
		if d.counts[1] == 0 && second > 0 {
			break
		}
		if rest%d.counts[0] != 0 {
			continue
		}
		n := [2]int{rest / d.counts[0], second}
		if takes*measure.Length(n[0]) > d.room[0] || takes*measure.Length(n[1]) > d.room[1] {
			continue
		}
		kept := d.items
		for i := range 2 {
			d.room[i] -= takes * measure.Length(n[i])
			if n[i] > 0 {
				d.items[i] = append(slices.Clone(d.items[i]), item{it.group, n[i]})
			}
		}
		if d.from(at + 1) {
			return true
		}
		d.items = kept
		for i := range 2 {
			d.room[i] += takes * measure.Length(n[i])
		}
	}
	return false
}
