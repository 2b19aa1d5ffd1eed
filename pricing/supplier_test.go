package pricing

import (
	"math/rand"
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
		{"C delivers for 6.00, free from 60.00 up: at 61.00 all at C is free", saving(0), []Terms{feeB, {Supplier: "C", DeliveryFee: saving(600), FreeOver: saving(6000)}}, nil, "CCC", 6100},
		{"free from 62.00 up flips it: 61.00 and 6.00 at C, or 42.00 and 6.00, and 18.00 at A", saving(0), []Terms{feeB, {Supplier: "C", DeliveryFee: saving(600), FreeOver: saving(6200)}}, nil, "ACC", 6600},
		{"one yard plus what it lacks: C has all", estimate.Maybe[measure.Money]{}, nil, nil, "CCC", 6100},
		{"one yard plus what it lacks: screws are kept to A, glue comes from C all the same", estimate.Maybe[measure.Money]{}, nil, map[string]Pin{"screw": {Supplier: "A"}}, "ACC", 6000},
		{"A asks 30.00 at least: screws alone are 18.00, so glue is bought there too", saving(0), []Terms{{Supplier: "A", MinimumOrder: saving(3000)}}, map[string]Pin{"screw": {Supplier: "A"}}, "AAC", 6200},
		{"never at C but what is kept there", saving(0), []Terms{{Supplier: "C", Never: []string{"glue"}}}, nil, "BAC", 6000},
		{"always: screws at C", saving(0), []Terms{{Supplier: "C", Always: []string{"screw"}}}, nil, "CCC", 6100},
	} {
		j := job()
		j.LeastSaving = c.saving
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
	j.LeastSaving = estimate.Maybe[measure.Money]{}
	p := Make(estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers, Terms: []Terms{{Supplier: "A", DeliveryFee: estimate.Given(measure.Money(700))}}})
	c := p.Choice
	assert.Equal(t, Way{Suppliers: []string{"C"}, Materials: 6100}, c.Chosen)
	assert.Equal(t, Way{Suppliers: []string{"B", "C"}, Materials: 5800}, c.Best)
	require.Len(t, c.Yards, 3)
	a := c.Yards[0]
	assert.Equal(t, []any{2, 1, Way{Suppliers: []string{"A"}, Materials: 4200, Delivery: 700}}, []any{a.Sells, a.Lacks, a.Alone})
	assert.Equal(t, Way{Suppliers: []string{"A", "C"}, Materials: 6200, Delivery: 700}, a.WithRest)
	assert.Equal(t, []Quote{{Supplier: "A", Cost: estimate.Given(measure.Money(1800))}, {Supplier: "B", Cost: estimate.Given(measure.Money(1600))}, {Supplier: "C", Cost: estimate.Given(measure.Money(1900))}}, p.Purchases[1].Quotes)
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
			[]string{`job.xlsx: Orders!A7: nail-8d is to be bought at "A", which has no price of it that can be used (choose among C, or clear it; it is bought where it costs least)`}},
		{"a pin for what is not needed", Lists{Pins: map[string]Pin{"primer": {at("Orders", 9), "A"}}},
			[]string{`job.xlsx: Orders!A9: note: primer is not needed; its supplier is not looked at`}},
		{"terms of nobody", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "D"}}},
			[]string{`job.xlsx: Suppliers!A5: warning: no price list has a supplier "D" (write the name as it stands in the price list)`}},
		{"terms in another currency", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "A", Currency: "CAD"}}},
			[]string{`job.xlsx: Suppliers!A5: the terms of A are in CAD, the job in USD; its fee and limits are not used (convert them, or correct the currency)`}},
		{"a minimum that is not to be reached", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "C", MinimumOrder: minimum}}},
			[]string{`job.xlsx: Suppliers!A5: warning: the order at C comes to 42.00, below its minimum of 100.00 (order together with another job, ask for less, or keep its items to another supplier)`}},
		{"not bought where alone it is sold", Lists{Terms: []Terms{{Place: at("Suppliers", 5), Supplier: "C", Never: []string{"all"}}}},
			[]string{`nail-8d, needed by W1, has no price: it is offered only where it is not to be bought (allow it at C on Suppliers, or find another supplier)`}},
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
		takeoff.Requirements[i].Visit = "set"
	}
	j := job()
	j.Date = day(t, "2026-11-16")
	j.VisitDate = map[estimate.Visit]measure.Date{estimate.VisitSet: day(t, "2026-11-23").V}
	for i := range offers {
		offers[i].Effective = j.Date
	}
	terms := []Terms{{Supplier: "B", LeadDays: estimate.Given(int64(8))}, {Supplier: "C", LeadDays: estimate.Given(int64(10))}}
	offers[3].LeadDays = estimate.Given(int64(7)) // glue from A comes on the day
	p := Make(estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers, Terms: terms})
	names, _ := boughtAt(p)
	assert.Equal(t, "AAC", names, "screws and glue from A come in time, nails from C alone")
	assert.Equal(t, []string{
		`prices.csv: line 3: warning: screw from B comes 1 day after the set visit of 2026-11-23 if it is ordered on the job's date; it is not chosen (order sooner, or move the visit)`,
		`prices.csv: line 4: warning: screw from C comes 3 days after the set visit of 2026-11-23 if it is ordered on the job's date; it is not chosen (order sooner, or move the visit)`,
		`prices.csv: line 6: warning: glue from B comes 1 day after the set visit of 2026-11-23 if it is ordered on the job's date; it is not chosen (order sooner, or move the visit)`,
		`prices.csv: line 7: warning: glue from C comes 3 days after the set visit of 2026-11-23 if it is ordered on the job's date; it is not chosen (order sooner, or move the visit)`,
		`prices.csv: line 8: warning: nail-8d from C comes 3 days after the set visit of 2026-11-23 if it is ordered on the job's date; nothing comes sooner (order sooner, or move the visit)`,
	}, words(p.Problems))
}

// Source: trim.md W14 (three of 10.10 at 8.25 %: 0.83 each on items, 2.50 on the
// invoice)
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

// planOf returns the lines of a plan as an estimate holds them.
func planOf(p Plan) []Planned {
	var out []Planned
	for _, b := range p.Purchases {
		if len(b.Lines) == 0 {
			out = append(out, Planned{Item: b.Item.Key, For: b.Mark, State: b.State})
		}
		for i, l := range b.Lines {
			out = append(out, Planned{Place: estimate.Place{File: "job.xlsx", Sheet: "Materials", Row: 6 + i, Col: 15}, Item: b.Item.Key, Supplier: b.Supplier,
				Key: l.Key(), Computed: estimate.Given(l.Computed), For: b.Mark, State: b.State, Extension: estimate.Given(l.Extension)})
		}
	}
	return out
}

// What an estimate planned is ordered as it stands, whatever the job.
func TestFollowIsThePlan(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	lines := 0
	for range 200 {
		j, items, takeoff, offers := randomJob(r)
		book, lists := estimate.Book{Job: j, Items: items}, Lists{Offers: offers}
		p := Make(book, takeoff, lists)
		f := Follow(book, takeoff, lists, planOf(p))
		require.Equal(t, p.Orders, f.Orders)
		require.Equal(t, p.Materials, f.Materials)
		for i, b := range p.Purchases {
			g := f.Purchases[i]
			require.Equal(t, b.Lines, g.Lines)
			require.Equal(t, b.State, g.State)
			lines += len(b.Lines)
		}
	}
	assert.Greater(t, lines, 500)
}

func TestFollowEdits(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, glue, board})
	takeoff := need1(2, amount(screws, 60), amount(glue, 1), pieces(board, "leg", 2, feet(5)))
	offers := []Offer{line(2, "A", screws, "100 each", 900), line(3, "A", glue, "1 each", 1200), line(4, "A", board, "16 ft", 2000), line(5, "B", board, "16 ft", 2100)}
	book := estimate.Book{Job: job(), Items: items}
	lists := func() Lists { return Lists{Offers: append([]Offer{}, offers...)} }
	plan := planOf(Make(book, takeoff, lists()))
	for _, c := range []struct {
		name string
		edit func(t *estimate.Takeoff, l *Lists)
		sum  measure.Money
		want []string
	}{
		// 120 screws are 2 boxes, 2 cans, 4 legs of 5 ft are 2 boards: 18 + 24 + 40
		{"nothing", func(*estimate.Takeoff, *Lists) {}, 8200, nil},
		{"a price", func(_ *estimate.Takeoff, l *Lists) { l.Offers[0].Price += 100_00 }, 8400,
			[]string{`job.xlsx: Materials!O6: note: the file says 18.00; 2 at 10.00 come to 20.00, which is used`}},
		{"a count", func(_ *estimate.Takeoff, l *Lists) { l.Overrides = Overrides{"board-1x4|A|16 ft": 3} }, 10200,
			[]string{`job.xlsx: Materials!O6: note: the file says 40.00; 3 at 20.00 come to 60.00, which is used`}},
		{"a quantity: packs follow, boards do not", func(t *estimate.Takeoff, _ *Lists) { t.Openings[0].Qty = 4 }, 2700 + 4800,
			[]string{
				`job.xlsx: Materials!O6: board-1x4 is left out: what it was planned for has changed since (run estimate again)`,
				`job.xlsx: Materials!O6: note: the file says 18.00; 3 at 9.00 come to 27.00, which is used`,
				`job.xlsx: Materials!O6: note: the file says 24.00; 4 at 12.00 come to 48.00, which is used`,
			}},
		{"another supplier", func(_ *estimate.Takeoff, l *Lists) {
			l.Pins = map[string]Pin{"board-1x4": {estimate.Place{File: "job.xlsx", Sheet: "Orders", Row: 8, Col: 5}, "B"}}
		}, 4200,
			[]string{`job.xlsx: Orders!E8: board-1x4 is left out: it is planned at A, and is now to be bought at B (run estimate again)`}},
		{"the supplier that it has", func(_ *estimate.Takeoff, l *Lists) { l.Pins = map[string]Pin{"board-1x4": {Supplier: "a"}} }, 8200, nil},
		{"a board is shorter than it was", func(_ *estimate.Takeoff, l *Lists) { l.Offers[2].Amount = int64(feet(12)) }, 4200,
			[]string{`job.xlsx: Materials!O6: board-1x4 is left out: what it was planned for has changed since (run estimate again)`}},
		{"not to be bought there any more", func(_ *estimate.Takeoff, l *Lists) { l.Terms = []Terms{{Supplier: "A", Never: []string{"glue"}}} }, 5800,
			[]string{`job.xlsx: Materials!O6: glue is left out: it is planned at A, where it is not to be bought (run estimate again)`}},
		{"a count too low", func(_ *estimate.Takeoff, l *Lists) { l.Overrides = Overrides{"board-1x4|A|16 ft": 1} }, 6200,
			[]string{
				`Materials: warning: board-1x4: the counts typed are less than the job needs (clear the override, or make sure of the rest)`,
				`job.xlsx: Materials!O6: note: the file says 40.00; 1 at 20.00 come to 20.00, which is used`,
			}},
		{"an offer is gone", func(_ *estimate.Takeoff, l *Lists) { l.Offers = l.Offers[1:] }, 6400,
			[]string{`job.xlsx: Materials!O6: screw is left out: no price that can be used is left for "screw|A|100 each" (run estimate again)`}},
	} {
		tk, l := takeoff, lists()
		tk.Openings = append([]estimate.Sized{}, takeoff.Openings...)
		c.edit(&tk, &l)
		p := Follow(book, tk, l, plan)
		assert.Equal(t, c.sum, p.Materials, c.name)
		assert.Equal(t, c.want, words(p.Problems), c.name)
	}
}

// Two jobs of 60 screws each fill one box of 120 less than two of 100 do; boards
// of both come out of one plan.
func TestOrderTogether(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, board, glue})
	offers := []Offer{line(2, "A", screws, "100 each", 900), line(3, "A", board, "16 ft", 2000), line(4, "A", glue, "1 each", 1200)}
	j := job()
	j.Tax = 100_000
	terms := []Terms{{Supplier: "A", DeliveryFee: estimate.Given(measure.Money(3000)), FreeOver: estimate.Given(measure.Money(9000))}}
	ordering := func(name string, over Overrides, rs ...estimate.Requirement) Ordering {
		book, lists := estimate.Book{Job: j, Items: items}, Lists{Offers: offers, Terms: terms, Overrides: over}
		takeoff := need1(1, rs...)
		return Ordering{Name: name, Book: book, Takeoff: takeoff, Lists: lists, Plan: Follow(book, takeoff, lists, planOf(Make(book, takeoff, lists)))}
	}
	a := ordering("A-1", nil, amount(screws, 45), pieces(board, "leg", 2, feet(5)), amount(glue, 1))
	b := ordering("B-2", Overrides{"glue|A|1 each": 3}, amount(screws, 55), pieces(board, "head", 1, feet(6)), amount(glue, 1))
	// A-1 alone: 9 + 20 + 12 = 41, fee 30, tax 4.10: 75.10. B-2 alone: 9 + 20 + 36
	// = 65, fee 30, tax 6.50: 101.50.
	got := OrderTogether([]Ordering{a, b})
	assert.Equal(t, measure.Money(7510+10150), got.Apart)
	assert.Empty(t, got.Problems)
	require.Len(t, got.Orders, 1)
	o := got.Orders[0]
	// One box of 100 screws, one board for 5 + 5 + 6 ft, 1 + 3 cans: 9 + 20 + 48 = 77.
	assert.Equal(t, measure.Money(7700), o.Materials)
	assert.Equal(t, measure.Money(3000), o.Delivery)
	assert.Equal(t, measure.Money(770), o.Tax)
	assert.Equal(t, []int64{6, 8}, []int64{got.Packs, got.PacksOf})
	require.Len(t, o.Plans, 1)
	assert.Equal(t, "A-1 W1", o.Plans[0].Takeoff.Openings[0].Mark)
	shares := map[string][]measure.Money{}
	for _, l := range o.Lines {
		shares[l.Offer.Item] = l.Shares
	}
	assert.Equal(t, []measure.Money{405, 495}, shares["screw"], "45 and 55 of 100")
	assert.Equal(t, []measure.Money{1250, 750}, shares["board-1x4"], "10 ft and 6 ft of 16")
	assert.Equal(t, []measure.Money{1200, 3600}, shares["glue"], "one and three cans")
	// Delivery and tax, 37.70, by 28.55 and 48.45 of 77: 13.98 and 23.72.
	assert.Equal(t, []measure.Money{2855 + 1398, 4845 + 2372}, o.Shares)
	assert.Equal(t, o.Total(), o.Shares[0]+o.Shares[1])
}

// Shares always add up, and together never costs more than apart.
func TestOrderTogetherFoots(t *testing.T) {
	r := rand.New(rand.NewSource(12))
	saved := 0
	for range 60 {
		j, items, takeoff, offers := randomJob(r)
		j.Tax = measure.Rate(r.Intn(100_000))
		var jobs []Ordering
		materials := measure.Money(0)
		for _, name := range []string{"one", "two", "three"} {
			_, _, other, _ := randomJob(r)
			if name != "one" {
				takeoff = other
			}
			book, lists := estimate.Book{Job: j, Items: items}, Lists{Offers: offers}
			p := Follow(book, takeoff, lists, planOf(Make(book, takeoff, lists)))
			materials += p.Materials
			jobs = append(jobs, Ordering{Name: name, Book: book, Takeoff: takeoff, Lists: lists, Plan: p})
		}
		got := OrderTogether(jobs)
		together := measure.Money(0)
		for _, o := range got.Orders {
			sums := make([]measure.Money, len(jobs))
			for _, l := range o.Lines {
				sum := measure.Money(0)
				for k, m := range l.Shares {
					sum += m
					sums[k] += m
				}
				require.Equal(t, l.Extension, sum)
			}
			total := measure.Money(0)
			for _, m := range o.Shares {
				total += m
			}
			require.Equal(t, o.Total(), total)
			together += o.Materials
		}
		require.LessOrEqual(t, together, materials+measure.Money(len(got.Orders)))
		require.LessOrEqual(t, got.Packs, got.PacksOf+100)
		if together < materials {
			saved++
		}
	}
	assert.Greater(t, saved, 30)
}
