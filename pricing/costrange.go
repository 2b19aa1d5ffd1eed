package pricing

import (
	"cmp"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// CostRange is what the direct cost of a job may come to, by the spreads of Job. It is
// never in the price.
type CostRange struct {
	Low, Likely, High measure.Money // so much or less in 10, 50 and 90 of 100 cases
	Estimated         measure.Money // the direct cost of the bid
	Draws             int           // how many cases were drawn; 0 = the three are exact
	Moves             []Move        // what moves it, the most first
}

// Move is what one spread does to the cost at its ends, the others at their likeliest.
type Move struct {
	What      string // the key of Job
	Low, High measure.Money
}

// Swing is how far it moves the cost.
func (m Move) Swing() measure.Money { return m.High - m.Low }

// Draws is how many cases are drawn where more than one thing may differ.
const Draws = 10_000

// Chances are the parts of all cases that cost no more than Low, Likely and High.
var Chances = [3]measure.Rate{measure.One / 10, measure.One / 2, measure.One * 9 / 10}

// RangeOf returns the range of a job's direct cost; nil where Job has no spread. Three
// things may differ, each by a triangle of its own and none with another: the amounts of
// what is bought in packs, which are bought in whole packs again; the crew's hours; the
// prices of material. All else is as bid. Draw gives 64 random bits at a time: where but
// one thing differs it is not called, for what is dearer costs more, and the parts of
// the cases are those of its triangle.
//
//	cost = rest + hours × labor + price × material at its amounts, and the tax on it
func RangeOf(book estimate.Book, t estimate.Takeoff, lists Lists, plan Plan, draw func() uint64) *CostRange {
	job := book.Job
	spreads := []*estimate.Maybe[estimate.Spread]{&job.MaterialSpread, &job.HoursSpread, &job.PriceSpread}
	keys := []string{"range of material", "range of hours", "range of prices"}
	var differ []int
	var likely [3]measure.Rate
	for i, s := range spreads {
		likely[i] = measure.One
		if s.Set {
			differ, likely[i] = append(differ, i), s.V.Likely
		}
	}
	if len(differ) == 0 {
		return nil
	}
	m := costModel{
		job: &job, labor: plan.Bid.Labor, rest: plan.Bid.Direct - plan.Materials - plan.Bid.Labor - Tax(plan.Materials, job.Tax),
		buyer: newBuyer(book, &t, lists), plan: plan, at: map[measure.Rate]measure.Money{},
	}
	out := &CostRange{Estimated: plan.Bid.Direct}
	with := func(i int, r measure.Rate) measure.Money {
		at := likely
		at[i] = r
		return m.cost(at)
	}
	for _, i := range differ {
		out.Moves = append(out.Moves, Move{keys[i], with(i, spreads[i].V.Low), with(i, spreads[i].V.High)})
	}
	slices.SortStableFunc(out.Moves, func(a, b Move) int { return cmp.Compare(b.Swing(), a.Swing()) })
	if len(differ) == 1 {
		i := differ[0]
		of := func(chance measure.Rate) measure.Money { return with(i, spreads[i].V.At(chance)) }
		out.Low, out.Likely, out.High = of(Chances[0]), of(Chances[1]), of(Chances[2])
		return out
	}
	out.Draws = Draws
	costs := make([]measure.Money, Draws)
	for k := range costs {
		at := likely
		for _, i := range differ {
			at[i] = spreads[i].V.At(measure.Rate(draw() % uint64(measure.One)))
		}
		costs[k] = m.cost(at)
	}
	slices.Sort(costs)
	of := func(chance measure.Rate) measure.Money {
		return costs[measure.CeilDiv(int64(chance)*Draws, int64(measure.One))-1]
	}
	out.Low, out.Likely, out.High = of(Chances[0]), of(Chances[1]), of(Chances[2])
	return out
}

// costModel tells what a job costs when things differ.
type costModel struct {
	job         *estimate.Job
	labor, rest measure.Money
	buyer       *buyer
	plan        Plan
	at          map[measure.Rate]measure.Money // material at the prices of the estimate, by its amounts
}

// step is how finely amounts are told apart: to a tenth of a percent.
const step = measure.One / 1000

// cost returns the direct cost where material, hours and prices are so much of what the
// estimate has for them.
func (m *costModel) cost(of [3]measure.Rate) measure.Money {
	amounts := measure.Rate(measure.MulDiv(int64(of[0]), 1, int64(step))) * step
	material, known := m.at[amounts]
	if !known {
		for _, p := range m.plan.Purchases {
			material = material.Plus(m.purchase(p, amounts))
		}
		m.at[amounts] = material
	}
	material = material.Scale(of[2])
	return m.rest.Plus(m.labor.Scale(of[1]), material, Tax(material, m.job.Tax))
}

// purchase returns what an item costs when its openings take so much of its amount. What
// is cut has its spares, and counts that were typed hold.
func (m *costModel) purchase(p Purchase, amounts measure.Rate) measure.Money {
	typed := slices.ContainsFunc(p.Lines, func(l Line) bool { return l.Override.Set })
	if p.Item.Cut || len(p.Lines) == 0 || typed || amounts == measure.One {
		return p.Cost
	}
	toBuy := ceilMulDiv(p.NeedWithAllowance(), int64(amounts), int64(measure.One)) - m.onHand(p)
	var offers []Offer
	for _, o := range m.buyer.usable.offers[p.Item.Key] {
		if o.Supplier == p.Supplier {
			offers = append(offers, o)
		}
	}
	cost := measure.Money(0)
	for _, l := range m.buyer.candidate(offers, need{item: p.Item}, max(0, toBuy), p.Opened).lines {
		cost = cost.Plus(measure.Extension(l.Computed, l.Offer.Price))
	}
	return cost
}

// onHand returns how much of an item is there before any is bought.
func (m *costModel) onHand(p Purchase) (sum int64) {
	for _, h := range m.buyer.onHand(p.Item.Key) {
		sum += h.Amount * h.Count
	}
	return sum
}
