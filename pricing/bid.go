package pricing

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Bid is the price of a job, built up from what it buys.
type Bid struct {
	Materials    measure.Money
	Delivery     measure.Money // of all orders
	Labor        measure.Money // of the hours that the crew typed
	Units        measure.Money // windows and doors of builder and installer
	UnitsTaxable measure.Money // the builder's, when the job taxes them
	Costs        measure.Money // the job's own cost lines
	CostsTaxable measure.Money
	Taxable      measure.Money // materials, delivery where it is taxed, units and costs
	Tax          measure.Money // of the orders, each rounded as the job says, and of units and costs
	Direct       measure.Money // materials, delivery, units, costs, labor and tax
	Overhead     measure.Money
	Contingency  measure.Money
	Cost         measure.Money // direct, overhead and contingency
	Profit       measure.Money
	Total        measure.Money

	Markup estimate.Maybe[measure.Rate] // profit over cost
	Margin estimate.Maybe[measure.Rate] // profit over total

	Openings      int64
	Perimeter     measure.Length // of all frames
	Area          measure.Area   // of all frames
	PerOpening    estimate.Maybe[measure.Money]
	PerFoot       estimate.Maybe[measure.Money] // of perimeter
	PerSquareFoot estimate.Maybe[measure.Money]

	NoUnitCost []int // openings whose unit belongs in the price, but has none; indices into Takeoff.Openings
}

// Tax returns the sales tax on an invoice, to the cent.
//
//	tax = ROUND(taxable × rate, 2)
//
// The tax is carried to the third decimal and goes up to the next cent when
// that is greater than 4, which is rounding once, half up. It is found once an
// order (the invoice basis), or line by line where the job says so.
//
// Source: Rhode Island General Laws 44-18.1-25 (Streamlined Sales and Use Tax
// Agreement, section 324)
func Tax(taxable measure.Money, rate measure.Rate) measure.Money { return taxable.Scale(rate) }

// Overhead returns the part of a job's direct cost that pays for the firm.
//
//	overhead = ROUND(direct × rate, 2)
//
// Source: common practice, no source
func Overhead(direct measure.Money, rate measure.Rate) measure.Money { return direct.Scale(rate) }

// Contingency returns what is put by for the unforeseen.
//
//	contingency = ROUND((direct + overhead) × rate, 2)
//
// Source: common practice, no source
func Contingency(direct, overhead measure.Money, rate measure.Rate) measure.Money {
	return direct.Plus(overhead).Scale(rate)
}

// MarkupProfit returns the profit that is a part of the cost.
//
//	profit = ROUND(cost × markup, 2)
//
// Source: algebra; a markup of 25 % is a margin of 20 %
func MarkupProfit(cost measure.Money, markup measure.Rate) measure.Money { return cost.Scale(markup) }

// MarginTotal returns the price of which the profit is a part.
//
//	total = ROUND(cost / (1 − margin), 2)
//
// The profit is total − cost. The margin must be below 100 %: at that and over
// no price is high enough, and the result is the cost.
//
// Source: algebra; a margin of 25 % is a markup of 33.3 %
func MarginTotal(cost measure.Money, margin measure.Rate) measure.Money {
	if margin >= measure.One {
		return cost
	}
	return measure.Money(measure.MulDiv(int64(cost), int64(measure.One), int64(measure.One-margin)))
}

// PartOf returns part over whole as a rate, to a millionth; a whole of 0 has no
// rate.
//
//	rate = part / whole
//
// Source: arithmetic
func PartOf(part, whole measure.Money) estimate.Maybe[measure.Rate] {
	if whole == 0 {
		return estimate.Maybe[measure.Rate]{}
	}
	return estimate.Given(measure.Rate(measure.MulDiv(int64(part), int64(measure.One), int64(whole))))
}

// PerUnit returns a total for one unit of a size, to the cent; a size of 0 has
// none.
//
//	per unit = ROUND(total × unit / size, 2)
func PerUnit(total measure.Money, size, unit int64) estimate.Maybe[measure.Money] {
	if size <= 0 {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(measure.Money(measure.MulDiv(int64(total), unit, size)))
}

// maxTotal is the largest bid that is believed: below it every sum on the way fits an
// integer, and a worksheet's numbers hold each cent.
const maxTotal measure.Money = 10_000_000_000_000_00

// makeBid builds the bid up from the orders of a plan.
func makeBid(job *estimate.Job, t *estimate.Takeoff, p Plan) (Bid, []estimate.Problem) {
	b := Bid{Materials: p.Materials, Labor: estimate.LaborCost(p.Labor)}
	ps := b.units(job, t)
	ps = append(ps, b.costs(job)...)
	b.Tax = Tax(b.UnitsTaxable.Plus(b.CostsTaxable), job.Tax)
	for _, o := range p.Orders {
		b.Delivery, b.Tax = b.Delivery.Plus(o.Delivery), b.Tax.Plus(o.Tax)
	}
	b.Taxable = b.Materials.Plus(b.UnitsTaxable, b.CostsTaxable)
	if job.TaxDelivery {
		b.Taxable = b.Taxable.Plus(b.Delivery)
	}
	b.Direct = b.Materials.Plus(b.Delivery, b.Units, b.Costs, b.Labor, b.Tax)
	b.Overhead = Overhead(b.Direct, job.Overhead)
	b.Contingency = Contingency(b.Direct, b.Overhead, job.Contingency)
	b.Cost = b.Direct.Plus(b.Overhead, b.Contingency)
	b.Profit = MarkupProfit(b.Cost, job.Profit)
	if job.Margin {
		b.Profit = MarginTotal(b.Cost, job.Profit) - b.Cost
		if job.Profit >= measure.One {
			ps = append(ps, estimate.Problem{Severity: estimate.Error,
				What: fmt.Sprintf("a profit of %s cannot be a margin of the price; the bid has no profit", job.Profit),
				Do:   "write a margin below 100 %, or set 'profit is' to markup"})
		}
	}
	b.Total = b.Cost.Plus(b.Profit)
	if b.Total > maxTotal {
		ps = append(ps, estimate.Problem{Severity: estimate.Error, What: "the bid comes to more than 10 trillion; its sums are not to be relied on",
			Do: "check the largest amounts and counts"})
	}
	b.Markup, b.Margin = PartOf(b.Profit, b.Cost), PartOf(b.Profit, b.Total)
	b.sizes(t)
	return b, ps
}

// units adds up the units that belong in the price: the builder's, and the
// installer's, who sells them installed; an owner's are his own.
func (b *Bid) units(job *estimate.Job, t *estimate.Takeoff) []estimate.Problem {
	var ps []estimate.Problem
	for i := range t.Openings {
		o := &t.Openings[i]
		if o.FurnishedBy == estimate.ByOwner {
			continue
		}
		if !o.UnitCost.Set {
			b.NoUnitCost = append(b.NoUnitCost, i)
			ps = append(ps, estimate.Problem{Place: o.PlaceOf("Unit cost"), Severity: estimate.Warning,
				What: fmt.Sprintf("%s: the unit is furnished by the %s, but has no unit cost; it is not in the bid", o.Mark, o.FurnishedBy),
				Do:   "write the cost of one unit, or owner in Furnished by"})
			continue
		}
		cost := measure.Money(o.Qty) * o.UnitCost.V
		b.Units = b.Units.Plus(cost)
		if o.FurnishedBy == estimate.ByBuilder && job.TaxUnits {
			b.UnitsTaxable = b.UnitsTaxable.Plus(cost)
		}
	}
	return ps
}

// costs adds up the job's own cost lines.
func (b *Bid) costs(job *estimate.Job) []estimate.Problem {
	var ps []estimate.Problem
	for _, l := range job.Costs {
		cost, ok := CostOf(l)
		if !ok {
			ps = append(ps, estimate.Problem{Place: l.Place, Severity: estimate.Error,
				What: fmt.Sprintf("the cost %s lacks its count or its price; it is not in the bid", measure.Quote(l.Text)),
				Do:   "write both; 0 if it costs nothing"})
			continue
		}
		b.Costs = b.Costs.Plus(cost)
		if l.Taxable {
			b.CostsTaxable = b.CostsTaxable.Plus(cost)
		}
	}
	return ps
}

// CostOf returns what a cost line comes to, and whether it has both count and
// price.
//
//	cost = ROUND(ROUND(count × price, 4), 2)
//
// Source: arithmetic
func CostOf(l estimate.CostLine) (measure.Money, bool) {
	if !l.Count.Set || !l.Price.Set {
		return 0, false
	}
	return measure.Extension(l.Count.V, l.Price.V), true
}

// sizes fills in what the total comes to for an opening, a foot and a square
// foot.
func (b *Bid) sizes(t *estimate.Takeoff) {
	for _, o := range t.Openings {
		b.Openings += o.Qty
		b.Perimeter += measure.Length(o.Qty) * o.Frame.Perimeter()
		b.Area += measure.Area(o.Qty) * o.Frame.Area()
	}
	b.PerOpening = PerUnit(b.Total, b.Openings, 1)
	b.PerFoot = PerUnit(b.Total, int64(b.Perimeter), int64(measure.Foot))
	b.PerSquareFoot = PerUnit(b.Total, int64(b.Area), int64(measure.SquareFoot))
}

// PerLength returns the total for a foot of frame perimeter, or for a meter.
func (b Bid) PerLength(mm bool) estimate.Maybe[measure.Money] {
	if mm {
		return PerUnit(b.Total, int64(b.Perimeter), 1000*int64(measure.Millimeter))
	}
	return b.PerFoot
}

// PerArea returns the total for a square foot of frame, or for a square meter.
func (b Bid) PerArea(mm bool) estimate.Maybe[measure.Money] {
	if mm {
		return PerUnit(b.Total, int64(b.Area), int64(measure.SquareMeter))
	}
	return b.PerSquareFoot
}
