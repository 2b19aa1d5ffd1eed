package cut

import "sillwright/estimate/measure"

// knapsack finds the most valuable pieces for a board, for boards of all
// lengths at once: one list of the sums of length that are worth more than
// every shorter one serves them all.
//
// Pieces are taken in the order of value per length. A sum is dropped when the
// length it leaves, filled at the rate of the next piece, cannot bring it above
// the value asked for at any length of board.
//
// Gilmore and Gomory, "A Linear Programming Approach to the Cutting Stock
// Problem", parts I (1961) and II (1963); lists of undominated sums: Nemhauser
// and Ullmann (1969).
type knapsack struct {
	takes []measure.Length
	holds []measure.Length // ascending
	work  *work

	order                []int
	cur, next, shf, prev []sum
	trail                []step
	now, then            []float64
	asked                []int64
	longest              int  // list that is followed
	over                 bool // the lists grew too long: nothing was found out
	best                 []int32
}

// sum is a sum of lengths, what it is worth, and the last step to it.
type sum struct {
	length measure.Length
	value  int64
	last   int32
}

// step adds a piece of a group to the sum reached by the step before.
type step struct{ before, group int32 }

const noStep = -1

// longestList is the longest list of sums that is followed, unless less is asked
// for.
const longestList = 1 << 18

func newKnapsack(m *model, w *work) *knapsack {
	k := &knapsack{takes: m.takes, work: w, longest: longestList}
	for _, s := range m.stocks {
		k.holds = append(k.holds, s.holds)
	}
	n := len(k.holds)
	k.now, k.then, k.asked, k.best = make([]float64, n), make([]float64, n), make([]int64, n), make([]int32, n)
	return k
}

// solve looks, for each stock, for pieces worth more than asked[stock], of each
// group no more than there are; value is the worth of a piece of each group.
// After it, k.best holds the last step of the most valuable sum of each stock,
// or noStep if none is worth more, and k.asked its value, or what was asked.
// Values must be below 2^45.
func (k *knapsack) solve(value []int64, most []int, asked []int64) {
	k.sortByRate(value, most)
	copy(k.asked, asked)
	for i := range k.best {
		k.best[i] = noStep
	}
	k.trail = k.trail[:0]
	k.cur = append(k.cur[:0], sum{last: noStep})
	longest := k.holds[len(k.holds)-1]
	for at, g := range k.order {
		rate := 0.0
		if at+1 < len(k.order) {
			n := k.order[at+1]
			rate = float64(value[n]) / float64(k.takes[n])
		}
		own := float64(value[g]) / float64(k.takes[g])
		k.setFloor(k.now, own)
		k.setFloor(k.then, rate)
		k.add(g, value[g], most[g], own, rate, longest)
		k.raise()
		if k.over = len(k.cur) > k.longest; k.over || len(k.cur) == 0 {
			return
		}
	}
}

// sortByRate puts the groups worth anything in the order of value per length.
func (k *knapsack) sortByRate(value []int64, most []int) {
	k.order = k.order[:0]
	for g, v := range value {
		if v > 0 && most[g] > 0 {
			k.order = append(k.order, g)
		}
	}
	rates := make([]float64, len(value))
	for _, g := range k.order {
		rates[g] = float64(value[g]) / float64(k.takes[g])
	}
	sortBy(k.order, func(a, b int) bool { return rates[a] > rates[b] })
}

// setFloor sets, for each stock, the least of asked − rate × holds among it and
// the longer ones: a sum stays only if value − rate × length is above it.
func (k *knapsack) setFloor(floor []float64, rate float64) {
	low := 1e300
	for i := len(k.holds) - 1; i >= 0; i-- {
		low = min(low, float64(k.asked[i])-float64(rate*float64(k.holds[i])))
		floor[i] = low + 0.9 // values are whole: more than asked is one more
	}
}

// add extends the list by 0 to most pieces of a group. own is its rate, rate
// that of the group to come.
func (k *knapsack) add(g int, value int64, most int, own, rate float64, longest measure.Length) {
	takes := k.takes[g]
	from := k.cur
	k.next = k.prune(k.next[:0], k.cur, k.then, rate)
	for range most {
		k.shf = k.shf[:0]
		i := 0
		for _, s := range from {
			s.length += takes
			s.value += value
			if s.length > longest {
				break
			}
			for k.holds[i] < s.length {
				i++
			}
			if float64(s.value)-float64(own*float64(s.length)) < k.now[i] {
				continue
			}
			k.trail = append(k.trail, step{s.last, int32(g)})
			s.last = int32(len(k.trail) - 1)
			k.shf = append(k.shf, s)
		}
		k.work.spend(len(from))
		if len(k.shf) == 0 {
			break
		}
		k.shf, k.prev = k.prev, k.shf
		from = k.prev
		k.shf = k.prune(k.shf[:0], from, k.then, rate)
		if len(k.shf) == 0 {
			continue
		}
		k.cur = merge(k.cur[:0], k.next, k.shf)
		k.work.spend(len(k.cur))
		k.cur, k.next = k.next, k.cur
	}
	k.cur, k.next = k.next, k.cur
}

// prune appends the sums that can still come to be worth more than asked.
func (k *knapsack) prune(to, from []sum, floor []float64, rate float64) []sum {
	i := 0
	for _, s := range from {
		for k.holds[i] < s.length {
			i++
		}
		if float64(s.value)-float64(rate*float64(s.length)) >= floor[i] {
			to = append(to, s)
		}
	}
	return to
}

// merge joins two lists that rise in length and value to one that does.
func merge(to, a, b []sum) []sum {
	top := int64(-1)
	for len(a) > 0 || len(b) > 0 {
		var s sum
		if len(b) == 0 || len(a) > 0 && (a[0].length < b[0].length || a[0].length == b[0].length && a[0].value >= b[0].value) {
			s, a = a[0], a[1:]
		} else {
			s, b = b[0], b[1:]
		}
		if s.value > top {
			top = s.value
			to = append(to, s)
		}
	}
	return to
}

// raise asks from now on for more than the best found so far.
func (k *knapsack) raise() {
	i := 0
	for j, h := range k.holds {
		for i < len(k.cur) && k.cur[i].length <= h {
			i++
		}
		if i > 0 && k.cur[i-1].value > k.asked[j] {
			k.asked[j], k.best[j] = k.cur[i-1].value, k.cur[i-1].last
		}
	}
}

// items returns the pieces of the sum that ends in a step, longest first.
func (k *knapsack) items(last int32) []item {
	var out []item
	for ; last != noStep; last = k.trail[last].before {
		out = put(out, int(k.trail[last].group), 1)
	}
	return out
}

// put adds n pieces of a group to items sorted by group.
func put(items []item, group, n int) []item {
	i := 0
	for i < len(items) && items[i].group < group {
		i++
	}
	if i < len(items) && items[i].group == group {
		items[i].count += n
		return items
	}
	items = append(items, item{})
	copy(items[i+1:], items[i:])
	items[i] = item{group, n}
	return items
}
