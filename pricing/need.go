package pricing

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// need is what the job asks for of one item.
type need struct {
	item  estimate.Item
	known bool  // the item is on the Items sheet
	rows  []int // requirements
	total int64
}

// gatherer collects needs from a takeoff.
type gatherer struct {
	takeoff  *estimate.Takeoff
	needs    []need
	weights  []int64 // of each requirement, all its openings: its part of its item's need
	problems []estimate.Problem
}

// gather returns the needs in the order of the classes, then of the items.
func gather(items estimate.Items, t *estimate.Takeoff) *gatherer {
	g := &gatherer{takeoff: t, weights: make([]int64, len(t.Requirements))}
	order := map[string]int{}
	for i, it := range items.List() {
		order[it.Key] = i
	}
	at := map[string]int{}
	for i, r := range t.Requirements {
		if r.Item == "" {
			continue
		}
		k, seen := at[r.Item]
		if !seen {
			k = len(g.needs)
			at[r.Item] = k
			item, known := items.Get(r.Item)
			if !known {
				item = estimate.Item{Key: r.Item, Name: r.Item, Dim: r.Dim}
				order[r.Item] = len(order)
			}
			g.needs = append(g.needs, need{item: item, known: known})
		}
		g.add(&g.needs[k], i)
	}
	g.needs = slices.DeleteFunc(g.needs, func(n need) bool { return n.total == 0 })
	slices.SortStableFunc(g.needs, func(a, b need) int {
		return cmp.Or(
			cmp.Compare(ClassOrder(a.item), ClassOrder(b.item)),
			cmp.Compare(order[a.item.Key], order[b.item.Key]),
		)
	})
	return g
}

// openings returns how many openings of the wall need an item.
func (g *gatherer) openings(n need) (sum int64) {
	counted := map[int]bool{}
	for _, row := range n.rows {
		if i := g.takeoff.Requirements[row].Opening; !counted[i] {
			counted[i] = true
			sum += g.takeoff.Openings[i].Qty * g.takeoff.Openings[i].Stands()
		}
	}
	return sum
}

// neededBy returns the first phase at which each item is needed; the keys are
// the items needed.
func (g *gatherer) neededBy() map[string]estimate.Phase {
	first := map[string]estimate.Phase{}
	for _, n := range g.needs {
		for _, row := range n.rows {
			phase := g.takeoff.Requirements[row].Phase
			if had, seen := first[n.item.Key]; !seen || phaseOrder(phase) < phaseOrder(had) {
				first[n.item.Key] = phase
			}
		}
	}
	return first
}

// coldest returns the lowest temperature at which each item has to do, of the phases that
// need it: what is used in the shop alone only where the shop is cold.
func (g *gatherer) coldest(job *estimate.Job) map[string]estimate.Maybe[int64] {
	out := map[string]estimate.Maybe[int64]{}
	for _, n := range g.needs {
		for _, row := range n.rows {
			phase := g.takeoff.Requirements[row].Phase
			f, had := job.Coldest(phase), out[n.item.Key]
			if f.Set && (n.item.Site || phase == estimate.PhaseShop) && (!had.Set || f.V < had.V) {
				out[n.item.Key] = f
			}
		}
	}
	return out
}

func phaseOrder(phase estimate.Phase) int { return slices.Index(estimate.Phases, phase) }

// ClassOrder returns the place of an item's class in estimate.Classes, or behind
// them all where it has none of them.
func ClassOrder(item estimate.Item) int {
	if i := slices.Index(estimate.Classes, item.Class); i >= 0 {
		return i
	}
	return len(estimate.Classes)
}

// add counts a requirement in. One that asks for the
// item in another way than it is bought is left out and reported.
func (g *gatherer) add(n *need, row int) {
	r := g.takeoff.Requirements[row]
	switch {
	case n.item.Cut && !r.Pieces():
		g.mismatch(r, fmt.Sprintf("for an amount of %s, which is cut into pieces", r.Item))
		return
	case !n.item.Cut && r.Dim != n.item.Dim:
		g.mismatch(r, fmt.Sprintf("for %s by %s, which is bought by %s", r.Item, quantityOf(r.Dim), quantityOf(n.item.Dim)))
		return
	}
	g.weights[row] = max(0, amountOf(r, n.item)) * g.takeoff.Openings[r.Opening].Qty
	if g.weights[row] > 0 {
		n.rows = append(n.rows, row)
		n.total += g.weights[row]
	}
}

// AmountsNeeded returns what each requirement, by index, takes of its item at all
// its openings, before allowance, in base units of the item's dimension; of an
// item that is cut, in length of stock.
func AmountsNeeded(items estimate.Items, t *estimate.Takeoff) []int64 {
	return gather(items, t).weights
}

func (g *gatherer) mismatch(r estimate.Requirement, asks string) {
	o := g.takeoff.Openings[r.Opening]
	g.problems = append(g.problems, estimate.Problem{Place: r.Place, Severity: estimate.Error,
		What: fmt.Sprintf("%s: step %s of %s asks %s", o.Mark, r.Step, r.Detail, asks),
		Do:   "correct the step's rule or the item; it is left out"})
}

// amountOf returns what a requirement takes of its item at one opening.
func amountOf(r estimate.Requirement, item estimate.Item) int64 {
	if !item.Cut {
		return r.Amount
	}
	return r.Count * stockLength(r.Length, widthOf(r, item), item)
}

// widthOf returns the width of a piece across a coil, 0 for other items.
func widthOf(r estimate.Requirement, item estimate.Item) measure.Length {
	switch {
	case item.Coil == 0:
		return 0
	case r.Second > 0:
		return r.Second
	case item.Width > 0:
		return item.Width
	}
	return item.Coil
}

// stockLength returns the length of stock that a piece takes: its own, and of
// a coil the part that its width takes.
//
//	length × width / coil
func stockLength(length, width measure.Length, item estimate.Item) int64 {
	if item.Coil == 0 {
		return int64(length)
	}
	return measure.MulDiv(int64(length), int64(width), int64(item.Coil))
}

// withAllowance returns amount × (1 + rate), rounded up to a base unit: an
// allowance is never lost to rounding.
func withAllowance(amount int64, rate measure.Rate) int64 {
	return ceilMulDiv(amount, int64(measure.One+rate), int64(measure.One))
}
