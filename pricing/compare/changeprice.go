package compare

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// PriceChange says where the price of a job changed from an earlier estimate to
// a later one. The changes of Marks and Rest add up, column by column, to the
// difference of the two bids.
type PriceChange struct {
	Was, Now measure.Money // totals of the bids
	Marks    []MarkPrice   // that changed, or of which something was cut for nothing
	Rest     []RestPrice   // what is no changed mark's
	Surplus  []BuyChange   // lines of the earlier estimate that were bought and are left over, whole
}

// Amounts are the parts of a price that something bears.
type Amounts struct {
	Materials, Units, Labor measure.Money
	Others                  measure.Money // delivery and other costs
	Tax                     measure.Money
	Markup                  measure.Money // overhead, contingency and profit
}

// MarkPrice is a mark in both estimates, with its odd pieces: an amount of zero
// where it is not there.
type MarkPrice struct {
	Mark   string
	Sorts  []string // Added, Resized …, each once
	Change Amounts  // later less earlier
	Before bool     // it is in the earlier estimate: something of it may have to be undone
	NoUnit bool     // in one of them a unit belongs in the price and has no cost: Change is without it
	Cut    CutLoss
}

// CutLoss is what was cut of a mark and serves no more.
type CutLoss struct {
	Pieces int64
	Length measure.Length // of all pieces
	Worth  measure.Money  // at what the earlier estimate pays for the boards
	// Unknown says that a board was not bought by the earlier estimate: Worth is
	// without it.
	Unknown bool
}

// RestPrice is a part of the price that is no changed mark's.
type RestPrice struct {
	What   string
	Change Amounts // later less earlier
}

// The lines of the rest.
const (
	RestMarks    = "Marks that did not change"
	RestSurplus  = "Surplus of boards and packs"
	RestDelivery = "Delivery"
	RestCosts    = "Other costs"
	RestRounding = "Rounding"
)

// Total returns the price that the parts add up to.
func (a Amounts) Total() measure.Money { return a.Direct().Plus(a.Markup) }

// Direct returns the cost before the markup.
func (a Amounts) Direct() measure.Money { return a.Materials.Plus(a.Units, a.Labor, a.Others, a.Tax) }

// parts are the amounts one by one.
func (a *Amounts) parts() []*measure.Money {
	return []*measure.Money{&a.Materials, &a.Units, &a.Labor, &a.Others, &a.Tax, &a.Markup}
}

// Plus returns the sum of two, part by part.
func (a Amounts) Plus(b Amounts) Amounts {
	for i, p := range a.parts() {
		*p += *b.parts()[i]
	}
	return a
}

// Less returns the difference of two, part by part.
func (a Amounts) Less(b Amounts) Amounts {
	for i, p := range a.parts() {
		*p -= *b.parts()[i]
	}
	return a
}

// ChangeOf returns where the price of a revision changed.
//
// A mark bears what its openings use of the materials, its units, its hours at
// the labor rate, the sales tax on those, and of overhead, contingency and profit
// what its own cost has by the rates of its estimate:
//
//	tax    = ROUND((materials + taxed units) × rate, 2)
//	markup = price of (materials + units + labor + tax) by the job's rates, less that cost
//
// What whole packs, boards, deliveries and rounding add is the rest.
func ChangeOf(was, now Side, r Revision) PriceChange {
	c := changer{was: pricedOf(&was), now: pricedOf(&now), marks: map[string]int{}}
	c.out = PriceChange{Was: was.Plan.Bid.Total, Now: now.Plan.Bid.Total}
	for _, m := range r.Marks {
		c.mark(m.Mark).sort(m.Sort)
	}
	for _, w := range r.Cut {
		c.mark(w.Mark).cut(w, &was)
	}
	c.rest()
	for _, b := range r.Buy {
		if b.Left > 0 && b.Supplier != "" {
			c.out.Surplus = append(c.out.Surplus, b)
		}
	}
	return c.out
}

// changer takes two prices apart.
type changer struct {
	was, now priced
	marks    map[string]int // index of a line of marks, by what finds it
	out      PriceChange
}

// mark returns the line of a mark, or of the mark that a piece is of.
func (c *changer) mark(name string) *MarkPrice {
	line := name
	for _, p := range []priced{c.was, c.now} {
		if of, known := p.lineOf[strings.ToLower(name)]; known {
			line = of
		}
	}
	key := strings.ToLower(line)
	i, known := c.marks[key]
	if !known {
		i = len(c.out.Marks)
		c.marks[key] = i
		_, before := c.was.lines[key]
		c.out.Marks = append(c.out.Marks, MarkPrice{Mark: line, Change: c.now.lines[key].Less(c.was.lines[key]), Before: before,
			NoUnit: c.was.noUnit[key] || c.now.noUnit[key]})
	}
	return &c.out.Marks[i]
}

func (m *MarkPrice) sort(sort string) {
	if !slices.Contains(m.Sorts, sort) {
		m.Sorts = append(m.Sorts, sort)
	}
}

// cut adds pieces that were cut for nothing, at what the earlier estimate pays
// for boards of the item.
//
//	worth = ROUND(cost of the boards × length of the pieces / length of the boards, 2)
func (m *MarkPrice) cut(w WrongCut, was *Side) {
	length := measure.Length(w.Count) * w.Length
	m.Cut.Pieces, m.Cut.Length = m.Cut.Pieces+w.Count, m.Cut.Length+length
	i := slices.IndexFunc(was.Plan.Purchases, func(p pricing.Purchase) bool { return p.Item.Key == w.Item && p.Bought > 0 })
	if i < 0 {
		m.Cut.Unknown = true
		return
	}
	p := was.Plan.Purchases[i]
	m.Cut.Worth += measure.Money(measure.MulDiv(int64(p.Cost), int64(length), p.Bought))
}

// rest lists what is no changed mark's.
func (c *changer) rest() {
	same := func(p priced) (sum Amounts) {
		for key, a := range p.lines {
			if _, changed := c.marks[key]; !changed {
				sum = sum.Plus(a)
			}
		}
		return sum
	}
	c.out.Rest = append(c.out.Rest, RestPrice{RestMarks, same(c.now).Less(same(c.was))})
	for i, r := range c.now.rest {
		c.out.Rest = append(c.out.Rest, RestPrice{r.What, r.Change.Less(c.was.rest[i].Change)})
	}
}

// priced is the price of an estimate, taken apart.
type priced struct {
	lines  map[string]Amounts // by mark in lower case, odd pieces with it
	lineOf map[string]string  // the mark of an opening's line, by the opening's mark in lower case
	noUnit map[string]bool    // by mark in lower case
	rest   []RestPrice        // always the same lines
}

// pricedOf takes the price of an estimate apart.
func pricedOf(s *Side) priced {
	job, bid := &s.Book.Job, s.Plan.Bid
	out := priced{lines: map[string]Amounts{}, lineOf: map[string]string{}, noUnit: map[string]bool{}}
	materials := s.used()
	var sum Amounts
	for i := range s.Takeoff.Openings {
		o := &s.Takeoff.Openings[i]
		line := lineOf(o)
		out.lineOf[strings.ToLower(o.Mark)] = line
		a := marked(job, s.markCost(i, materials[i]), s.taxedUnits(o))
		key := strings.ToLower(line)
		out.noUnit[key] = out.noUnit[key] || slices.Contains(bid.NoUnitCost, i)
		out.lines[key] = out.lines[key].Plus(a)
		sum = sum.Plus(a)
	}
	surplus := marked(job, Amounts{Materials: bid.Materials - sum.Materials}, 0)
	taxedDelivery := measure.Money(0)
	if job.TaxDelivery {
		taxedDelivery = bid.Delivery
	}
	delivery, costs := marked(job, Amounts{Others: bid.Delivery}, taxedDelivery), marked(job, Amounts{Others: bid.Costs}, bid.CostsTaxable)
	whole := Amounts{bid.Materials, bid.Units, bid.Labor, bid.Delivery + bid.Costs, bid.Tax, bid.Total - bid.Direct}
	out.rest = []RestPrice{{RestSurplus, surplus}, {RestDelivery, delivery}, {RestCosts, costs},
		{RestRounding, whole.Less(sum).Less(surplus).Less(delivery).Less(costs)}}
	return out
}

// markCost returns what an opening costs before tax and markup.
func (s *Side) markCost(i int, materials measure.Money) Amounts {
	o := &s.Takeoff.Openings[i]
	a := Amounts{Materials: materials}
	if o.FurnishedBy != estimate.ByOwner {
		a.Units = measure.Money(o.Qty) * o.UnitCost.V
	}
	hours, _ := estimate.Labor(s.Book.Job, s.Book.Labor, estimate.Takeoff{Openings: s.Takeoff.Openings[i : i+1]})
	a.Labor = estimate.LaborCost(hours)
	return a
}

// taxedUnits returns the part of an opening's units that the job taxes.
func (s *Side) taxedUnits(o *estimate.Sized) measure.Money {
	if o.FurnishedBy != estimate.ByBuilder || !s.Book.Job.TaxUnits {
		return 0
	}
	return measure.Money(o.Qty) * o.UnitCost.V
}

// marked returns a cost with its tax, that on its materials and on what else of
// it is taxed, and with the markup of a job.
func marked(job *estimate.Job, a Amounts, taxed measure.Money) Amounts {
	a.Tax = pricing.Tax(a.Materials.Plus(taxed), job.Tax)
	a.Markup = MarkupOf(job, a.Direct()).Sum()
	return a
}

// Markup is what a job adds to a direct cost.
type Markup struct{ Overhead, Contingency, Profit measure.Money }

// Sum returns all of it.
func (m Markup) Sum() measure.Money { return m.Overhead.Plus(m.Contingency, m.Profit) }

// MarkupOf returns what a job adds to a direct cost, by its own rates and rounded
// as its bid is.
func MarkupOf(job *estimate.Job, direct measure.Money) Markup {
	m := Markup{Overhead: pricing.Overhead(direct, job.Overhead)}
	m.Contingency = pricing.Contingency(direct, m.Overhead, job.Contingency)
	cost := direct.Plus(m.Overhead, m.Contingency)
	m.Profit = pricing.MarkupProfit(cost, job.Profit)
	if job.Margin {
		m.Profit = pricing.MarginTotal(cost, job.Profit) - cost
	}
	return m
}

// used returns what each opening bears of the materials, without what is bought
// and not used: what the estimate shows by opening.
//
// A plan that is followed does not say how much of the boards it uses, with spares
// and laps: that is told by planning again, as the estimate did.
func (s *Side) used() []measure.Money {
	out := make([]measure.Money, len(s.Takeoff.Openings))
	again := map[string]pricing.Purchase{}
	for _, p := range pricing.Make(s.Book, s.Takeoff, s.Lists).Purchases {
		again[p.Item.Key] = p
	}
	needed := pricing.AmountsNeeded(s.Book.Items, &s.Takeoff)
	for _, p := range s.Plan.Purchases {
		if made, known := again[p.Item.Key]; known && p.Item.Cut && made.Bought > 0 {
			p.ToBuy, p.TooLong = made.ToBuy, made.TooLong
		}
		used := measure.Money(0)
		for _, l := range p.Lines {
			used = used.Plus(p.UsedOf(l))
		}
		weights := make([]int64, len(p.Rows))
		for i, row := range p.Rows {
			if !slices.Contains(p.TooLong, row) {
				weights[i] = needed[row]
			}
		}
		for i, m := range measure.Shares(used, weights) {
			out[s.Takeoff.Requirements[p.Rows[i]].Opening] += m
		}
	}
	return out
}
