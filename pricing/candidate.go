package pricing

import (
	"cmp"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// candidate is what an item would take from one supplier.
type candidate struct {
	lines  []Line
	plans  []CutPlan
	toBuy  int64
	onHand int64
	spares int64
	left   []leftOut
	joined []joined
	tight  []tight
	cost   measure.UnitPrice
}

// better reports whether c serves an item better than d, or as well and for
// less.
func (c candidate) better(d candidate, joint estimate.Joint) bool {
	return cmp.Or(c.serves(d, joint), cmp.Compare(c.cost, d.cost)) < 0
}

// candidate plans the purchase of an item from the offers of one supplier. Of packs so
// many are bought at least as are opened.
func (b *buyer) candidate(offers []Offer, n need, toBuy, opened int64) candidate {
	slices.SortStableFunc(offers, func(x, y Offer) int { return cmp.Compare(y.Amount, x.Amount) })
	if n.item.Cut {
		return b.cut(offers, n)
	}
	c := candidate{toBuy: toBuy}
	c.take(offers, b.mixed(offers, n.item, toBuy, opened))
	return c
}

// mixed returns how many of each offer to buy. Sealant in cartridges and in sausages
// takes two guns: one of the two is bought unless both save more than the job asks.
func (b *buyer) mixed(offers []Offer, item estimate.Item, toBuy, opened int64) []int64 {
	counts, cost := mixOf(offers, toBuy, opened, func(Offer) bool { return true })
	if !sealed(item) {
		return counts
	}
	best, least := counts, measure.UnitPrice(beyond)
	for _, gun := range []func(Offer) bool{inCartridges, inSausages} {
		if one, its := mixOf(offers, toBuy, opened, gun); one != nil && its < least {
			best, least = one, its
		}
	}
	if saving := least - cost; saving > measure.UnitPrice(b.job.SecondGun.V)*100 {
		return counts
	}
	return best
}

// sealed reports whether an item is a sealant that is pressed out of a gun.
func sealed(item estimate.Item) bool {
	return item.Class == estimate.ClassSealant && item.Dim == estimate.Volumewise
}

func inSausages(o Offer) bool { return strings.Contains(strings.ToLower(o.Unit), "sausage") }

func inCartridges(o Offer) bool { return !inSausages(o) }

// mixOf returns the cheapest mix of the offers of a kind, and what it costs; nil where
// none is of the kind.
func mixOf(offers []Offer, toBuy, opened int64, of func(Offer) bool) (counts []int64, cost measure.UnitPrice) {
	var packs []pack
	var at []int
	for i, o := range offers {
		if of(o) {
			packs, at = append(packs, pack{o.Amount, o.Price}), append(at, i)
		}
	}
	if len(packs) == 0 {
		return nil, 0
	}
	counts = make([]int64, len(offers))
	for k, n := range mix(toBuy, opened, packs) {
		counts[at[k]] = n
		cost += times(n, packs[k].price)
	}
	return counts, cost
}

// take makes the lines of the counts of the offers.
func (c *candidate) take(offers []Offer, counts []int64) {
	keys := lineKeys(offers)
	for i, n := range counts {
		if n > 0 {
			c.lines = append(c.lines, Line{Offer: offers[i], Computed: n, key: keys[i]})
			c.cost += times(n, offers[i].Price)
		}
	}
}

// serves compares how two candidates serve an item: the one that leaves out
// less; the one that has fewer joints where a joint is the last resort; the one
// that keeps the extra length of more pieces, unless a joint that is cheaper does.
func (c candidate) serves(d candidate, joint estimate.Joint) int {
	joints, kept := 0, 0
	if joint == estimate.JointForced {
		joints = cmp.Compare(len(c.joined), len(d.joined))
	}
	if joint != estimate.JointCheap {
		kept = cmp.Compare(len(c.tight), len(d.tight))
	}
	return cmp.Or(cmp.Compare(len(c.left), len(d.left)), joints, kept)
}

// money returns what the lines of a candidate come to.
func (c candidate) money() measure.Money {
	sum := measure.Money(0)
	for _, l := range c.lines {
		sum += measure.Extension(l.Computed, l.Offer.Price)
	}
	return sum
}

// atLeast returns what the candidate's need costs at least: of a plan that is
// not proven, its bound.
func (c candidate) atLeast() measure.Money {
	for _, p := range c.plans {
		if !p.Plan.Proven {
			return min(c.money(), measure.Money(p.Plan.Bound/100))
		}
	}
	return c.money()
}

// improve plans the boards on at the same cost, by what makes them easier to cut.
// Only the purchase that is made is worth that work.
func (c *candidate) improve(item estimate.Item) {
	if len(c.plans) == 0 {
		return
	}
	p := c.plans[0]
	p.Plan, p.draft = p.draft.Refined(), nil
	c.buyFor(p, item)
}

// buyFor makes the lines that a cutting plan asks for.
func (c *candidate) buyFor(p CutPlan, item estimate.Item) {
	c.lines, c.cost, c.plans = nil, 0, []CutPlan{p}
	c.toBuy, c.onHand = p.used(item)
	c.take(p.Offers, p.counts())
}
