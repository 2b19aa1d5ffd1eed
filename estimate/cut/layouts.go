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
type reducer struct {
	m    *model
	work *work
	list []layout
	d    divider
}

// reduce returns layouts that use as many boards of each stock as those given,
// and as many pieces, no more of them distinct.
func (r *reducer) reduce(list []layout) []layout {
	r.list = gather(list)
	for n := 2; n <= 4; n++ {
		for !r.work.spent() && r.fewer(n) {
			n = 2
		}
	}
	return r.list
}

// gather joins layouts that are alike.
func gather(list []layout) (out []layout) {
	at := make(map[string]int, len(list))
	var key []byte
	for _, l := range list {
		key = l.key(key[:0])
		i, ok := at[string(key)]
		if !ok {
			i = len(out)
			at[string(key)] = i
			out = append(out, layout{stock: l.stock, items: l.items})
		}
		out[i].count += l.count
	}
	return out
}

// key appends bytes that tell a layout from others.
func (l layout) key(key []byte) []byte {
	key = binary.AppendUvarint(key, uint64(l.stock))
	for _, it := range l.items {
		key = binary.AppendUvarint(key, uint64(it.group))
		key = binary.AppendUvarint(key, uint64(it.count))
	}
	return key
}

// fewer replaces n layouts by one fewer and returns true if it could. The
// layouts of the fewest boards are tried first: they are the easiest to give up.
func (r *reducer) fewer(n int) bool {
	slices.SortStableFunc(r.list, func(a, b layout) int { return cmp.Compare(a.count, b.count) })
	return r.choose(len(r.list), n, nil)
}

// choose chooses n more layouts out of the first ones and replaces them all by
// one fewer.
func (r *reducer) choose(among, n int, which []int) bool {
	if n == 0 {
		return r.replace(which)
	}
	for i := n - 1; i < among; i++ {
		if r.work.spent() {
			return false
		}
		if r.choose(i, n-1, append(which, i)) {
			return true
		}
	}
	return false
}

// replace puts the pieces of some layouts, which come from the last to the
// first, on the same boards in one layout fewer. It returns true if it could.
func (r *reducer) replace(which []int) bool {
	d := r.divider(which)
	ok := len(d.stocks) < len(which) && d.split(len(which)-1)
	r.work.spend(30 + 4*(dividerSteps-max(0, d.steps)))
	if !ok {
		return false
	}
	for _, i := range which {
		r.list = slices.Delete(r.list, i, i+1)
	}
	r.list = gather(append(r.list, d.copied()...))
	return true
}

// settle makes the visits fewer, and with no more of them the leftovers longer,
// by dividing the pieces of two layouts in another way between them.
func (r *reducer) settle(list []layout) []layout {
	r.list = gather(list)
	for better := true; better; {
		better = false
		for i := range r.list {
			for j := range i {
				if r.work.spent() {
					return gather(r.list)
				}
				better = r.divideAnew(i, j) || better
			}
		}
	}
	return gather(r.list)
}

// divideAnew divides the pieces of two layouts so that visits are fewest, and
// then the longer leftover longest. It returns true if that is better.
func (r *reducer) divideAnew(i, j int) bool {
	d := r.divider([]int{i, j})
	a, b := r.list[i], r.list[j]
	d.most = visits([]layout{a, b})
	longest := max(r.spare(a), r.spare(b))
	var best [2]layout
	d.judge = func() bool {
		if left := slices.Max(d.room); d.visits < d.most || left > longest {
			d.most, longest = d.visits, left
			copy(best[:], d.copied())
		}
		return false
	}
	d.split(2)
	r.work.spend(30 + 4*(dividerSteps-max(0, d.steps)))
	if best[0].count == 0 {
		return false
	}
	r.list[i], r.list[j] = best[0], best[1]
	return true
}

// visits is how many boards there are at each setting of the stop, in all.
func visits(list []layout) (n int) {
	for _, l := range list {
		n += l.count * len(l.items)
	}
	return n
}

// spare is what a board of a layout has left.
func (r *reducer) spare(l layout) measure.Length {
	return r.m.stocks[l.stock].holds - r.m.length(l.items)
}

// divider returns the divider of all pieces of some layouts.
func (r *reducer) divider(which []int) *divider {
	d := &r.d
	d.reset(r.m)
	for _, i := range which {
		l := &r.list[i]
		if d.boards[l.stock] == 0 {
			d.stocks = append(d.stocks, l.stock)
		}
		d.boards[l.stock] += l.count
		d.waste += measure.Length(l.count) * r.spare(*l)
		for _, it := range l.items {
			d.all = put(d.all, it.group, it.count*l.count)
		}
	}
	return d
}

// dividerSteps is how many divisions are looked into.
const dividerSteps = 400

// divider looks for layouts on boards of given stocks that take all of some
// pieces:
//
//	Σ count(i) × pieces(i, g) = all(g)  for every group
type divider struct {
	m      *model
	stocks []int
	boards []int // of each stock
	all    []item
	steps  int
	most   int         // visits, at most
	judge  func() bool // says whether a division will do; nil: every one does

	into   []layout
	room   []measure.Length // of a board of each
	waste  measure.Length   // that all boards together may still have
	least  measure.Length   // that a piece takes
	visits int
	spare  [][]item // for the pieces of each layout
}

func (d *divider) reset(m *model) {
	if d.m == nil {
		d.m, d.boards = m, make([]int, len(m.stocks))
		d.least = m.takes[len(m.takes)-1]
	}
	clear(d.boards)
	d.stocks, d.all, d.into, d.room = d.stocks[:0], d.all[:0], d.into[:0], d.room[:0]
	d.waste, d.visits, d.steps, d.most, d.judge = 0, 0, dividerSteps, math.MaxInt, nil
}

// copied returns the layouts found, which the divider goes on to change.
func (d *divider) copied() []layout {
	out := slices.Clone(d.into)
	for i := range out {
		out[i].items = slices.Clone(out[i].items)
	}
	return out
}

// split divides the boards of each stock into n layouts in all, in every way,
// until the pieces can be divided so.
func (d *divider) split(n int) bool {
	if len(d.stocks) == 0 {
		return n == 0 && d.from(0)
	}
	k := d.stocks[0]
	left := d.boards[k]
	most := left
	if i := len(d.into); i > 0 && d.into[i-1].stock == k {
		most = min(left, d.into[i-1].count)
	}
	if n == len(d.stocks) {
		return left <= most && d.layOut(left, n)
	}
	for c := most; c > 0 && d.steps > 0; c-- {
		d.steps--
		if (c < left || len(d.stocks) > 1) && d.layOut(c, n) {
			return true
		}
	}
	return false
}

// layOut gives so many boards of the first stock a layout, the first of n.
func (d *divider) layOut(count, n int) bool {
	k, stocks := d.stocks[0], d.stocks
	if len(d.spare) == len(d.into) {
		d.spare = append(d.spare, make([]item, 0, len(d.m.takes)))
	}
	d.into = append(d.into, layout{k, count, d.spare[len(d.into)]})
	d.room = append(d.room, d.m.stocks[k].holds)
	if d.boards[k] -= count; d.boards[k] == 0 {
		d.stocks = stocks[1:]
	}
	if d.split(n - 1) {
		return true
	}
	d.boards[k] += count
	d.stocks = stocks
	d.into, d.room = d.into[:len(d.into)-1], d.room[:len(d.room)-1]
	return false
}

// from divides the pieces from a place of the list on.
func (d *divider) from(at int) bool {
	if at == len(d.all) {
		return !slices.ContainsFunc(d.into, func(l layout) bool { return len(l.items) == 0 }) && (d.judge == nil || d.judge())
	}
	if d.steps--; d.steps < 0 {
		return false
	}
	return d.deal(at, 0, d.all[at].count)
}

// deal divides the rest of a group's pieces among the layouts from i on.
func (d *divider) deal(at, i, rest int) bool {
	g := d.all[at].group
	takes, l := d.m.takes[g], &d.into[i]
	most := min(rest/l.count, int(d.room[i]/takes))
	least := 0
	if i == len(d.into)-1 {
		if rest%l.count != 0 || rest/l.count > most {
			return false
		}
		least = most
	}
	room, items, waste, visits := d.room[i], l.items, d.waste, d.visits
	for n := most; n >= least; n-- {
		if n > 0 {
			l.items = append(items, item{g, n})
			d.room[i] -= measure.Length(n) * takes
			d.visits += l.count
			if d.room[i] < d.least {
				d.waste -= measure.Length(l.count) * d.room[i]
			}
		}
		ok := d.waste >= 0 && d.visits <= d.most
		if ok && i < len(d.into)-1 {
			ok = d.deal(at, i+1, rest-n*l.count)
		} else if ok {
			ok = d.from(at + 1)
		}
		if ok {
			return true
		}
		d.room[i], l.items, d.waste, d.visits = room, items, waste, visits
	}
	return false
}
