package cut

import (
	"cmp"
	"slices"

	"sillwright/estimate/measure"
)

// knapsack solves the pricing problem: it finds the most valuable pattern for the boards of all
// stocks at once, by dynamic programming over a list of undominated states. A state is dominated if
// another is no longer and worth at least as much.
//
// Items are added by descending value per length. A state is pruned when the length it leaves,
// filled at the rate of the next item, cannot bring it above the target of any stock.
//
// Gilmore and Gomory, "A Linear Programming Approach to the Cutting Stock Problem", parts I (1961)
// and II (1963); lists of undominated states: Nemhauser and Ullmann (1969).
type knapsack struct {
	sizes      []measure.Length
	capacities []measure.Length // ascending
	work       *work
	maxStates  int // ends the search when the list grows longer

	target   []int64 // of each stock: the value that a state has to exceed
	bestStep []int32 // of each stock: the last step of its best state, or noStep
	overflow bool    // the list grew too long: nothing is proven

	order                    []int // items by descending value per length
	cur, next, shifted, prev []state
	steps                    []step
	floorNow, floorNext      []float64 // see setFloor, at the rate of the present and of the next item
}

// state is a sum of lengths, its value, and the last step to it.
type state struct {
	length   measure.Length
	value    int64
	lastStep int32
}

// step adds a piece of an item to the state reached by the previous step.
type step struct{ previous, item int32 }

// noStep ends the steps to a state.
const noStep = -1

// defaultMaxStates is the longest list of states, unless less is asked for.
const defaultMaxStates = 1 << 18

// newKnapsack returns a knapsack for the stocks of a model.
func newKnapsack(m *model, w *work) *knapsack {
	k := &knapsack{sizes: m.sizes, work: w, maxStates: defaultMaxStates}
	for _, st := range m.stocks {
		k.capacities = append(k.capacities, st.capacity)
	}
	n := len(k.capacities)
	k.floorNow, k.floorNext, k.target, k.bestStep = make([]float64, n), make([]float64, n), make([]int64, n), make([]int32, n)
	return k
}

// solve looks, for each stock, for a pattern with a value above its threshold and no more pieces of
// any item than are demanded; value is that of a piece of each item. After it, bestStep holds the
// last step of the best state of each stock, or noStep if none is above the threshold, and target
// its value, or the threshold. Values must be below 2^45.
func (k *knapsack) solve(value []int64, demand []int, threshold []int64) {
	k.sortByEfficiency(value, demand)
	copy(k.target, threshold)
	for i := range k.bestStep {
		k.bestStep[i] = noStep
	}
	k.steps = k.steps[:0]
	k.cur = append(k.cur[:0], state{lastStep: noStep})
	longest := k.capacities[len(k.capacities)-1]
	for place, i := range k.order {
		nextRate := 0.0
		if place+1 < len(k.order) {
			n := k.order[place+1]
			nextRate = float64(value[n]) / float64(k.sizes[n])
		}
		rate := float64(value[i]) / float64(k.sizes[i])
		k.setFloor(k.floorNow, rate)
		k.setFloor(k.floorNext, nextRate)
		k.work.spend(len(k.capacities) / 16)
		k.add(i, value[i], demand[i], rate, nextRate, longest)
		k.raiseTargets()
		if k.overflow = len(k.cur) > k.maxStates; k.overflow || len(k.cur) == 0 {
			return
		}
	}
}

// sortByEfficiency puts the items with a value in descending order of value per length.
func (k *knapsack) sortByEfficiency(value []int64, demand []int) {
	k.order = k.order[:0]
	for i, v := range value {
		if v > 0 && demand[i] > 0 {
			k.order = append(k.order, i)
		}
	}
	rates := make([]float64, len(value))
	for _, i := range k.order {
		rates[i] = float64(value[i]) / float64(k.sizes[i])
	}
	slices.SortStableFunc(k.order, func(a, b int) int { return cmp.Compare(rates[b], rates[a]) })
}

// setFloor sets, for each stock, the least of target − rate × capacity among it and the longer
// ones: a state stays only if value − rate × length is above it.
func (k *knapsack) setFloor(floor []float64, rate float64) {
	low := 1e300
	for i := len(k.capacities) - 1; i >= 0; i-- {
		low = min(low, float64(k.target[i])-float64(rate*float64(k.capacities[i])))
		floor[i] = low + 0.9 // values are integers: above the target is at least one more
	}
}

// add extends the states by 0 to demand pieces of an item. rate is its value per length, nextRate
// that of the next item.
func (k *knapsack) add(item int, value int64, demand int, rate, nextRate float64, longest measure.Length) {
	size := k.sizes[item]
	from := k.cur
	k.next = k.prune(k.next[:0], k.cur, k.floorNext, nextRate)
	for range demand {
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
			if float64(s.value)-float64(rate*float64(s.length)) < k.floorNow[i] {
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
		k.shifted = k.prune(k.shifted[:0], from, k.floorNext, nextRate)
		if len(k.shifted) == 0 {
			continue
		}
		k.cur = mergeStates(k.cur[:0], k.next, k.shifted)
		k.work.spend(len(k.cur))
		k.cur, k.next = k.next, k.cur
	}
	k.cur, k.next = k.next, k.cur
}

// prune appends the states that can still be extended to a value above a target.
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

// mergeStates merges two lists that ascend in length and value into one without dominated states.
func mergeStates(to, a, b []state) []state {
	best := int64(-1)
	for len(a) > 0 || len(b) > 0 {
		var s state
		if len(b) == 0 || len(a) > 0 && (a[0].length < b[0].length || a[0].length == b[0].length && a[0].value >= b[0].value) {
			s, a = a[0], a[1:]
		} else {
			s, b = b[0], b[1:]
		}
		if s.value > best {
			best = s.value
			to = append(to, s)
		}
	}
	return to
}

// raiseTargets raises the targets to the best values found so far.
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

// entriesOf returns the pattern of the state that ends in a step.
func (k *knapsack) entriesOf(last int32) []entry {
	var out []entry
	for ; last != noStep; last = k.steps[last].previous {
		out = insertPieces(out, int(k.steps[last].item), 1)
	}
	return out
}
