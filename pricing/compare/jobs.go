package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Costs are jobs side by side.
type Costs struct {
	Jobs     []JobCost
	Items    []ItemPaid // that two jobs or more paid for, by class and item
	Odd      []Outlier  // what stands out, furthest first
	Problems []estimate.Problem
}

// JobCost is what one job comes to.
type JobCost struct {
	Classes []ClassCost // by CostClasses
	Kinds   []KindCost  // by estimate.Kinds; those the job has
	Stock   []StockUse  // by class, cut items before packs; those the job buys
	Gaps    []string    // what its total leaves out, in words
}

// ClassCost is what a job buys of one class of material.
type ClassCost struct {
	Class      string
	Items      int           // needed; 0 = nothing of the class
	Missing    []string      // items of it without a price: the class is not complete
	Cost       measure.Money // of what has a price
	PerOpening estimate.Maybe[measure.Money]
}

// Whole reports whether the class has a cost: something is needed, and all of
// it has a price.
func (c ClassCost) Whole() bool { return c.Items > 0 && len(c.Missing) == 0 }

// KindCost is what the openings of one kind take of a job. Materials are all
// that was bought, shared by need.
type KindCost struct {
	Kind      estimate.Kind
	Openings  int64
	Perimeter measure.Length // of all frames
	Area      measure.Area
	Materials measure.Money
	Units     measure.Money // in the price
	NoUnit    int64         // openings whose unit belongs in the price and has no cost
}

// StockUse is how much of what was bought of a class the openings need: of
// items that are cut by length, without saw cuts, squared ends and spares; of
// packs with the allowance.
type StockUse struct {
	Class        string
	Cut          bool
	Items        int
	Need, Bought measure.Length // of cut items
	Cost         measure.Money
	Unused       measure.Money
	NotTold      []string // items not in it: stock on hand serves them too, or they have no price
}

// Jobs sets jobs side by side. They must be in one currency; lengths are
// shown in millimeters or inches, as mm says. What is missing in a job is
// missing here: it is no zero, and nothing is compared with it.
func Jobs(sides []Side, mm bool) Costs {
	var out Costs
	for i := range sides {
		out.Jobs = append(out.Jobs, costOf(&sides[i]))
	}
	out.Items = itemsPaid(sides, mm)
	out.Odd = outliers(out.Jobs, out.Items)
	out.Problems = Notes(sides, mm)
	return out
}

func costOf(s *Side) JobCost {
	return JobCost{Classes: s.Classes(), Kinds: s.kinds(), Stock: s.stock(), Gaps: s.Gaps()}
}

// kinds divides what was bought over the kinds of opening.
func (s *Side) kinds() []KindCost {
	materials := s.bearing()
	var out []KindCost
	for _, kind := range estimate.Kinds {
		k := KindCost{Kind: estimate.Kind(kind)}
		for i := range s.Takeoff.Openings {
			if o := &s.Takeoff.Openings[i]; o.Kind == k.Kind {
				k.add(o)
				k.Materials += materials[i]
			}
		}
		if k.Openings > 0 {
			out = append(out, k)
		}
	}
	return out
}

func (k *KindCost) add(o *estimate.Sized) {
	k.Openings += o.Qty
	k.Perimeter += measure.Length(o.Qty) * o.Frame.Perimeter()
	k.Area += measure.Area(o.Qty) * o.Frame.Area()
	switch {
	case o.FurnishedBy == "owner":
	case o.UnitCost.Set:
		k.Units += measure.Money(o.Qty) * o.UnitCost.V
	default:
		k.NoUnit += o.Qty
	}
}

// bearing returns what each opening bears of all that was bought, by need.
func (s *Side) bearing() []measure.Money {
	needed := pricing.AmountsNeeded(s.Book.Items, &s.Takeoff)
	out := make([]measure.Money, len(s.Takeoff.Openings))
	for _, p := range s.Plan.Purchases {
		weights := make([]int64, len(p.Rows))
		for i, row := range p.Rows {
			weights[i] = needed[row]
		}
		for i, m := range measure.Shares(p.Cost, weights) {
			out[s.Takeoff.Requirements[p.Rows[i]].Opening] += m
		}
	}
	return out
}

// stock says how much of what was bought is needed.
func (s *Side) stock() []StockUse {
	var out []StockUse
	for i, class := range CostClasses() {
		for _, isCut := range []bool{true, false} {
			u := StockUse{Class: class, Cut: isCut}
			for _, p := range s.Plan.Purchases {
				if pricing.ClassOrder(p.Item) == i && p.Item.Cut == isCut {
					u.add(p, s.Book.Job.OnHand)
				}
			}
			if u.Items+len(u.NotTold) > 0 {
				out = append(out, u)
			}
		}
	}
	return out
}

func (u *StockUse) add(p pricing.Purchase, onHand []estimate.OnHand) {
	of := func(h estimate.OnHand) bool { return h.Item == p.Item.Key }
	if p.State != "" || p.Bought == 0 || slices.ContainsFunc(onHand, of) {
		u.NotTold = append(u.NotTold, p.Item.Key)
		return
	}
	u.Items++
	u.Cost += p.Cost
	used := p.NeedWithAllowance()
	if used < p.Bought {
		u.Unused += measure.Shares(p.Cost, []int64{used, p.Bought - used})[1]
	}
	if u.Cut {
		u.Need += measure.Length(p.Need)
		u.Bought += measure.Length(p.Bought)
	}
}

// OverLowest returns how much a price is over the lowest, as a part of the
// lowest, to a millionth; a lowest price of 0 has none.
//
//	over = (price - lowest) / lowest
//
// Source: arithmetic, as in the tabulations of bids of the Illinois Department of
// Transportation
func OverLowest(price, lowest measure.Money) estimate.Maybe[measure.Rate] {
	return pricing.PartOf(price-lowest, lowest)
}
