package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// glue is bought by the can.
var glue = estimate.Item{Key: "glue", Class: "sealant", Dim: estimate.Each}

// threeYards is a job of three items, an invented list of three suppliers and
// what they ask:
//
//	                        A      B      C
//	200 screws, 100 a box   9.00   8.00   9.50 a box
//	2 cans of glue        12.00  13.00  11.00
//	4 lb of nails           -      -      5.00 a pound
func threeYards() (estimate.Items, estimate.Takeoff, []Offer) {
	items := estimate.NewItems([]estimate.Item{screws, glue, nails})
	takeoff := need1(1, amount(screws, 200), amount(glue, 2), amount(nails, 4*nails.Coverage))
	return items, takeoff, []Offer{
		line(2, "A", screws, "100 each", 900), line(3, "B", screws, "100 each", 800), line(4, "C", screws, "100 each", 950),
		line(5, "A", glue, "1 each", 1200), line(6, "B", glue, "1 each", 1300), line(7, "C", glue, "1 each", 1100),
		line(8, "C", nails, "1 lb", 500),
	}
}

// boughtAt returns the supplier of each item, and what the orders come to
// before tax.
func boughtAt(p Plan) (string, measure.Money) {
	names, sum := "", measure.Money(0)
	for _, key := range []string{"screw", "glue", "nail-8d"} {
		for _, b := range p.Purchases {
			if b.Item.Key == key {
				names += b.Supplier
			}
		}
	}
	for _, o := range p.Orders {
		sum += o.Materials + o.Delivery
	}
	return names, sum
}

// The sums are arithmetic on the table of threeYards. Nails come from C alone:
// 20.00. Screws are 18.00, 16.00, 19.00, glue 24.00, 26.00, 22.00.
func TestSuppliersByHand(t *testing.T) {
	items, takeoff, offers := threeYards()
	saving := func(m measure.Money) estimate.Maybe[measure.Money] { return estimate.Given(m) }
	feeB := Terms{Supplier: "B", DeliveryFee: saving(250)}
	for _, c := range []struct {
		name   string
		saving estimate.Maybe[measure.Money]
		terms  []Terms
		pins   map[string]Pin
		want   string
		cost   measure.Money
	}{
		{"no fees: each item where it is cheapest, 16 + 22 + 20", saving(0), nil, nil, "BCC", 5800},
		{"B's fee of 2.50 makes its screws dearer than A's: 18 + 22 + 20", saving(0), []Terms{feeB}, nil, "ACC", 6000},
		{"another stop must save more than 1.00, A's saves just that: all at C, 19 + 22 + 20", saving(100), []Terms{feeB}, nil, "CCC", 6100},
		{"C delivers for 6.00, free from 60.00 up: at 61.00 all at C is free", saving(0),
			[]Terms{feeB, {Supplier: "C", DeliveryFee: saving(600), FreeOver: saving(6000)}}, nil, "CCC", 6100,
		},
		{"free from 62.00 up flips it: 61.00 and 6.00 at C, or 42.00 and 6.00, and 18.00 at A", saving(0),
			[]Terms{feeB, {Supplier: "C", DeliveryFee: saving(600), FreeOver: saving(6200)}}, nil, "ACC", 6600,
		},
		{"one yard plus what it lacks: C has all", estimate.Maybe[measure.Money]{}, nil, nil, "CCC", 6100},
		{"one yard plus what it lacks: screws are kept to A, glue comes from C all the same", estimate.Maybe[measure.Money]{}, nil,
			map[string]Pin{"screw": {Supplier: "A"}}, "ACC", 6000,
		},
		{"A asks 30.00 at least: screws alone are 18.00, so glue is bought there too", saving(0),
			[]Terms{{Supplier: "A", MinimumOrder: saving(3000)}}, map[string]Pin{"screw": {Supplier: "A"}}, "AAC", 6200,
		},
		{"never at C but what is kept there", saving(0), []Terms{{Supplier: "C", Never: []string{"glue"}}}, nil, "BAC", 6000},
		{"always: screws at C", saving(0), []Terms{{Supplier: "C", Always: []string{"screw"}}}, nil, "CCC", 6100},
	} {
		j := job()
		j.MinSaving = c.saving
		p := Make(estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers, Terms: c.terms, Pins: c.pins})
		names, cost := boughtAt(p)
		assert.Equal(t, c.want, names, c.name)
		assert.Equal(t, c.cost, cost, c.name)
		assert.Equal(t, cost, p.Choice.Chosen.Cost(), c.name)
		assert.Zero(t, p.Choice.Gap, c.name)
		assert.Equal(t, p.Bid.Materials+p.Bid.Delivery, cost, c.name)
		assert.Empty(t, words(p.Problems), c.name)
		foots(t, p)
	}
}

// What the sheet Orders shows beside the choice.
func TestWaysToBuy(t *testing.T) {
	items, takeoff, offers := threeYards()
	j := job()
	j.MinSaving = estimate.Maybe[measure.Money]{}
	p := Make(estimate.Book{Job: j, Items: items}, takeoff,
		Lists{Offers: offers, Terms: []Terms{{Supplier: "A", DeliveryFee: estimate.Given(measure.Money(700))}}})
	c := p.Choice
	assert.Equal(t, Way{Suppliers: []string{"C"}, Materials: 6100}, c.Chosen)
	assert.Equal(t, Way{Suppliers: []string{"B", "C"}, Materials: 5800}, c.Best)
	require.Len(t, c.Yards, 3)
	a := c.Yards[0]
	assert.Equal(t, []any{2, 1, Way{Suppliers: []string{"A"}, Materials: 4200, Delivery: 700}}, []any{a.Sells, a.Lacks, a.Alone})
	assert.Equal(t, Way{Suppliers: []string{"A", "C"}, Materials: 6200, Delivery: 700}, a.WithRest)
	assert.Equal(t, []Quote{{Supplier: "A", Cost: estimate.Given(measure.Money(1800))},
		{Supplier: "B", Cost: estimate.Given(measure.Money(1600))},
		{Supplier: "C", Cost: estimate.Given(measure.Money(1900))},
	}, p.Purchases[1].Quotes)
}

func TestSupplierProblems(t *testing.T) {
	items, takeoff, offers := threeYards()
	at := func(sheet string, row int) estimate.Place {
		return estimate.Place{File: "job.xlsx", Sheet: sheet, Row: row, Col: 1}
	}
	minimum := estimate.Given(measure.Money(10_000))
	for _, c := range []struct {
		name  string
		lists Lists
		want  []string
	}{
		{"a pin where nothing is offered", Lists{Pins: map[string]Pin{"nail-8d": {at("Orders", 7), "A"}}},
			[]string{`job.xlsx: Orders!A7: nail-8d is to be bought at "A", which has no price of it that can be used ` +
				`(choose among C, or clear it; it is bought where it costs least)`}},
		{"a pin for what is not needed", Lists{Pins: map[string]Pin{"primer": {at("Orders", 9), "A"}}},
			[]string{`job.xlsx: Orders!A9: note: primer is not needed; its supplier is not looked at`}},
		{"terms of nobody", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "D"}}},
			[]string{`job.xlsx: Suppliers!A5: warning: no price list has a supplier "D" (write the name as it stands in the price list)`}},
		{"terms in another currency", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "A", Currency: "CAD"}}},
			[]string{`job.xlsx: Suppliers!A5: the terms of A are in CAD, the job in USD; its fee and limits are not used (convert them, or correct the currency)`}},
		{"a minimum that is not to be reached", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "C", MinimumOrder: minimum}}},
			[]string{`job.xlsx: Suppliers!A5: warning: the order at C comes to 42.00, below its minimum of 100.00 ` +
				`(order together with another job, ask for less, or keep its items to another supplier)`}},
		{"not bought where alone it is sold", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "C", Never: []string{"all"}}}},
			[]string{`nail-8d: it has no price: it is offered only where it is not to be bought; needed by W1 (allow it at C on Suppliers, or find another supplier)`}},
	} {
		c.lists.Offers = offers
		p := Make(estimate.Book{Job: job(), Items: items}, takeoff, c.lists)
		assert.Equal(t, c.want, words(p.Problems), c.name)
		foots(t, p)
	}
}

// Lead days count from the job's date.
func TestWhatComesTooLate(t *testing.T) {
	items, takeoff, offers := threeYards()
	for i := range takeoff.Requirements {
		takeoff.Requirements[i].Phase = estimate.PhaseInstall
	}
	j := job()
	j.Date = day(t, "2026-11-16")
	j.PhaseDate = map[estimate.Phase]measure.Date{estimate.PhaseInstall: day(t, "2026-11-23").V}
	for i := range offers {
		offers[i].Effective = j.Date
	}
	terms := []Terms{{Supplier: "B", LeadDays: estimate.Given(int64(8))}, {Supplier: "C", LeadDays: estimate.Given(int64(10))}}
	offers[3].LeadDays = estimate.Given(int64(7)) // glue from A comes on the day
	p := Make(estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers, Terms: terms})
	names, _ := boughtAt(p)
	assert.Equal(t, "AAC", names, "screws and glue from A come in time, nails from C alone")
	assert.Equal(t, []string{
		`prices.csv: line 3: warning: screw from B comes 1 day after the start of the install phase on 2026-11-23 if it is ordered on the job's date; it is not chosen ` +
			`(order sooner, or move the phase)`,
		`prices.csv: line 4: warning: screw from C comes 3 days after the start of the install phase on 2026-11-23 if it is ordered on the job's date; it is not chosen ` +
			`(order sooner, or move the phase)`,
		`prices.csv: line 6: warning: glue from B comes 1 day after the start of the install phase on 2026-11-23 if it is ordered on the job's date; it is not chosen ` +
			`(order sooner, or move the phase)`,
		`prices.csv: line 7: warning: glue from C comes 3 days after the start of the install phase on 2026-11-23 if it is ordered on the job's date; it is not chosen ` +
			`(order sooner, or move the phase)`,
		`prices.csv: line 8: warning: nail-8d from C comes 3 days after the start of the install phase on 2026-11-23 if it is ordered on the job's date; nothing comes sooner (order sooner, or move the phase)`,
	}, words(p.Problems))
}

// Source: arithmetic by Rhode Island General Laws 44-18.1-25: three of 10.10 at
// 8.25 % are 0.83 each on items, 2.50 on the invoice
func TestTaxOfOrders(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, glue, nails})
	takeoff := need1(1, amount(screws, 100), amount(glue, 1), amount(nails, nails.Coverage))
	offers := []Offer{line(2, "A", screws, "100 each", 1010), line(3, "A", glue, "1 each", 1010), line(4, "A", nails, "1 lb", 1010)}
	j := job()
	j.Tax = 82_500
	terms := []Terms{{Supplier: "A", DeliveryFee: estimate.Given(measure.Money(4000))}}
	tax := func() measure.Money {
		return Make(estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers, Terms: terms}).Orders[0].Tax
	}
	assert.Equal(t, measure.Money(250), tax(), "on the invoice: 2.49975")
	j.TaxDelivery = true
	assert.Equal(t, measure.Money(580), tax(), "with the fee: 8.25 % of 70.30 is 5.79975")
	j.TaxByItem = true
	assert.Equal(t, measure.Money(249+330), tax(), "3 × 0.83, and 3.30 of the fee")
	j.TaxDelivery = false
	assert.Equal(t, measure.Money(249), tax())
}
