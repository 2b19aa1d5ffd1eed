package compare

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// ItemPaid is what jobs paid for the same item.
type ItemPaid struct {
	Item estimate.Item
	Per  string // what the price is of, in words: "LF", "100 each"
	Unit int64  // the same in base units of the item's dimension
	Paid []Paid // by job
}

// Paid is what one job paid for an item, over all packs or lengths of it.
type Paid struct {
	Job      int // index into the sides
	Supplier string
	Bought   int64 // base units
	Cost     measure.Money
	Price    measure.UnitPrice            // of one Unit
	From, To estimate.Maybe[measure.Date] // of its prices
}

// Ends returns the least and the most that was paid.
func (p ItemPaid) Ends() (least, most Paid) {
	byPrice := func(a, b Paid) int { return cmp.Compare(a.Price, b.Price) }
	return slices.MinFunc(p.Paid, byPrice), slices.MaxFunc(p.Paid, byPrice)
}

// Median returns the middle of what was paid.
func (p ItemPaid) Median() measure.UnitPrice {
	prices := make([]measure.UnitPrice, len(p.Paid))
	for i, x := range p.Paid {
		prices[i] = x.Price
	}
	return Median(prices)
}

// Spread returns how much the most is over the least.
func (p ItemPaid) Spread() estimate.Maybe[measure.Rate] {
	least, most := p.Ends()
	return OverLowest(measure.Money(most.Price), measure.Money(least.Price))
}

// itemsPaid returns the items that two jobs or more paid for, by class, then in
// the order in which the jobs list them.
func itemsPaid(sides []Side, mm bool) []ItemPaid {
	var out []ItemPaid
	at := map[string]int{}
	for j := range sides {
		for _, p := range sides[j].Plan.Purchases {
			if p.State != "" || p.Bought <= 0 {
				continue
			}
			k, seen := at[sameAs(p.Item)]
			if !seen {
				k = len(out)
				at[sameAs(p.Item)] = k
				out = append(out, ItemPaid{Item: p.Item})
			}
			out[k].Paid = append(out[k].Paid, paid(j, p))
		}
	}
	out = slices.DeleteFunc(out, func(p ItemPaid) bool { return len(p.Paid) < 2 })
	slices.SortStableFunc(out, func(a, b ItemPaid) int { return cmp.Compare(pricing.ClassOrder(a.Item), pricing.ClassOrder(b.Item)) })
	for i := range out {
		out[i].price(mm)
	}
	return out
}

// sameAs is alike for items whose prices can be compared: their amounts count
// the same.
func sameAs(it estimate.Item) string {
	return fmt.Sprint(it.Key, "|", it.Dim, it.Cut, it.Coil, it.Coverage, it.CoverageUnit)
}

// paid adds up what a job paid for an item, whose prices may be of several days.
func paid(job int, p pricing.Purchase) Paid {
	out := Paid{Job: job, Supplier: p.Supplier, Bought: p.Bought, Cost: p.Cost}
	for _, l := range p.Lines {
		day := l.Offer.Effective
		if !day.Set || l.Count() == 0 {
			continue
		}
		if !out.From.Set || day.V < out.From.V {
			out.From = day
		}
		if !out.To.Set || day.V > out.To.V {
			out.To = day
		}
	}
	return out
}

// price works out the prices of one unit; of a hundred, where one costs less
// than 0.10 in every job, lest the decimals of a price tell nothing.
//
//	price = ROUND(cost × unit / bought, 4)
func (p *ItemPaid) price(mm bool) {
	p.Unit, p.Per = unitPriced(p.Item.Dim, mm)
	most := measure.UnitPrice(0)
	for i := range p.Paid {
		most = max(most, p.Paid[i].of(p.Unit))
	}
	if most < 1_000 {
		p.Unit, p.Per = 100*p.Unit, "100 "+p.Per
	}
	for i := range p.Paid {
		p.Paid[i].Price = p.Paid[i].of(p.Unit)
	}
}

// of returns what so many base units cost.
func (p Paid) of(unit int64) measure.UnitPrice {
	return measure.UnitPrice(measure.MulDiv(int64(p.Cost)*100, unit, p.Bought))
}

// unitPriced returns what prices are of, in base units and in words.
func unitPriced(d estimate.Dimension, mm bool) (int64, string) {
	type unit struct {
		size int64
		name string
	}
	of := [...]struct{ inches, metric unit }{
		estimate.Each:       {unit{1, "each"}, unit{1, "each"}},
		estimate.Lengthwise: {unit{int64(measure.Foot), "LF"}, unit{1000 * int64(measure.Millimeter), "m"}},
		estimate.Areawise:   {unit{int64(measure.SquareFoot), "SF"}, unit{int64(measure.SquareMeter), "m2"}},
		estimate.Volumewise: {unit{int64(measure.CubicInch), "in3"}, unit{int64(measure.Millilitre), "ml"}},
	}[d]
	if mm {
		return of.metric.size, of.metric.name
	}
	return of.inches.size, of.inches.name
}
