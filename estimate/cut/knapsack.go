package cut

import (
	"sillwright/estimate/measure"
)

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
	sizes      []measure.Length
	capacities []measure.Length // ascending
	work       *work

	order                    []int
	cur, next, shifted, prev []state
	steps                    []step
	floorNow, floorNext      []float64
	target                   []int64
	maxStates                int  // list that is followed
	overflow                 bool // the lists grew too long: nothing was found out
	bestStep                 []int32
}

// sum is a sum of lengths, what it is worth, and the last step to it.
type state struct {
	length   measure.Length
	value    int64
	lastStep int32
}

// step adds a piece of a group to the sum reached by the step before.
type step struct{ previous, item int32 }

const noStep = -1

// longestList is the longest list of sums that is followed, unless less is asked
// for.
const defaultMaxStates = 1 << 18

func newKnapsack(m *model, w *work) *knapsack {
	k := &knapsack{sizes: m.sizes, work: w, maxStates: defaultMaxStates}
	for _, s := range m.stocks {
		k.capacities = append(k.capacities, s.capacity)
	}
	n := len(k.capacities)
	k.floorNow, k.floorNext, k.target, k.bestStep = make([]float64, n), make([]float64, n), make([]int64, n), make([]int32, n)
	return k
}

// solve looks, for each stock, for pieces worth more than asked[stock], of each
// group no more than there are; value is the worth of a piece of each group.
// After it, k.best holds the last step of the most valuable sum of each stock,
// or noStep if none is worth more, and k.asked its value, or what was asked.
// Values must be below 2^45.
func (k *knapsack) solve(duals []int64, most []int, threshold []int64) {
	k.sortByEfficiency(duals, most)
	copy(k.target, threshold)
	for i := range k.bestStep {
		k.bestStep[i] = noStep
	}
	k.steps = k.steps[:0]
	k.cur = append(k.cur[:0], state{lastStep: noStep})
	longest := k.capacities[len(k.capacities)-1]
	for at, i := range k.order {
		rate := 0.0
		if at+1 < len(k.order) {
			n := k.order[at+1]
			rate = float64(duals[n]) / float64(k.sizes[n])
		}
		own := float64(duals[i]) / float64(k.sizes[i])
		k.setFloor(k.floorNow, own)
		k.setFloor(k.floorNext, rate)
		k.add(i, duals[i], most[i], own, rate, longest)
		k.raiseTargets()
		if k.overflow = len(k.cur) > k.maxStates; k.overflow || len(k.cur) == 0 {
			return
		}
	}
}

// sortByRate puts the groups worth anything in the order of value per length.
func (k *knapsack) sortByEfficiency(duals []int64, most []int) {
	k.order = k.order[:0]
	for i, v := range duals {
		if v > 0 && most[i] > 0 {
			k.order = append(k.order, i)
		}
	}
	rates := make([]float64, len(duals))
	for _, i := range k.order {
		rates[i] = float64(duals[i]) / float64(k.sizes[i])
	}
	sortBy(k.order, func(a, b int) bool { return rates[a] > rates[b] })
}

// setFloor sets, for each stock, the least of asked − rate × holds among it and
// the longer ones: a sum stays only if value − rate × length is above it.
func (k *knapsack) setFloor(floor []float64, rate float64) {
	low := 1e300
	for i := len(k.capacities) - 1; i >= 0; i-- {
		low = min(low, float64(k.target[i])-float64(rate*float64(k.capacities[i])))
		floor[i] = low + 0.9 // values are whole: more than asked is one more
	}
}

// add extends the list by 0 to most pieces of a group. own is its rate, rate
// that of the group to come.
func (k *knapsack) add(item int, value int64, most int, own, rate float64, longest measure.Length) {
	size := k.sizes[item]
	from := k.cur
	k.next = k.prune(k.next[:0], k.cur, k.floorNext, rate)
	for range most {
		k.shifted = k.shifted[:0]
		i := 0
		for _, s := range from {
			s.length += size
			s.value += value
			if s.length > longest {
				break
			}
			for k.capacities[i] < s.length {
				i++
			}
			if float64(s.value)-float64(own*float64(s.length)) < k.floorNow[i] {
				continue
			}
			k.steps = append(k.steps, step{s.lastStep, int32(item)})
			s.lastStep = int32(len(k.steps) - 1)
			k.shifted = append(k.shifted, s)
		}
		k.work.spend(len(from))
		if len(k.shifted) == 0 {
			break
		}
		k.shifted, k.prev = k.prev, k.shifted
		from = k.prev
		k.shifted = k.prune(k.shifted[:0], from, k.floorNext, rate)
		if len(k.shifted) == 0 {
			continue
		}
		k.cur = mergeStates(k.cur[:0], k.next, k.shifted)
		k.work.spend(len(k.cur))
		k.cur, k.next = k.next, k.cur
	}
	k.cur, k.next = k.next, k.cur
}

// prune appends the sums that can still come to be worth more than asked.
func (k *knapsack) prune(to, from []state, floor []float64, rate float64) []state {
	i := 0
	for _, s := range from {
		for k.capacities[i] < s.length {
			i++
		}
		if float64(s.value)-float64(rate*float64(s.length)) >= floor[i] {
			to = append(to, s)
		}
	}
	return to
}

// merge joins two lists that rise in length and value to one that does.
func mergeStates(to, a, b []state) []state {
	costLimit := int64(-1)
	for len(a) > 0 || len(b) > 0 {
		var s state
		if len(b) == 0 || len(a) > 0 && (a[0].length < b[0].length || a[0].length == b[0].length && a[0].value >= b[0].value) {
			s, a = a[0], a[1:]
		} else {
			s, b = b[0], b[1:]
		}
		if s.value > costLimit {
			costLimit = s.value
			to = append(to, s)
		}
	}
	return to
}

// raise asks from now on for more than the best found so far.
func (k *knapsack) raiseTargets() {
	i := 0
	for j, h := range k.capacities {
		for i < len(k.cur) && k.cur[i].length <= h {
			i++
		}
		if i > 0 && k.cur[i-1].value > k.target[j] {
			k.target[j], k.bestStep[j] = k.cur[i-1].value, k.cur[i-1].lastStep
		}
	}
}

// items returns the pieces of the sum that ends in a step, longest first.
func (k *knapsack) entriesOf(last int32) []entry {
	var out []entry
	for ; last != noStep; last = k.steps[last].previous {
		out = insertPieces(out, int(k.steps[last].item), 1)
	}
	return out
}
