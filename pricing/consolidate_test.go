package pricing

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Two jobs of 60 screws each fill one box of 120 less than two of 100 do; boards
// of both come out of one plan.
func TestConsolidate(t *testing.T) {
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
	got := Consolidate([]Ordering{a, b}, nil, false)
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
func TestConsolidationFoots(t *testing.T) {
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
		got := Consolidate(jobs, nil, false)
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

// Jobs that write a supplier in different cases order from one.
func TestConsolidateSpellings(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws})
	ordering := func(name, supplier string) Ordering {
		book, lists := estimate.Book{Job: job(), Items: items}, Lists{Offers: []Offer{line(2, supplier, screws, "100 each", 900)}}
		takeoff := need1(1, amount(screws, 50))
		return Ordering{Name: name, Book: book, Takeoff: takeoff, Lists: lists, Plan: Follow(book, takeoff, lists, planOf(Make(book, takeoff, lists)))}
	}
	got := Consolidate([]Ordering{ordering("A-1", "Yard A"), ordering("B-2", "YARD a")}, nil, false)
	require.Len(t, got.Orders, 1)
	assert.Equal(t, "Yard A", got.Orders[0].Terms.Supplier)
	assert.Equal(t, []int64{1, 2}, []int64{got.Packs, got.PacksOf}, "one box serves both")
}

// A pan whose depth is not known is ordered, and the order says that it waits; a board
// that waits to be cut needs no word.
func TestOrderOnHold(t *testing.T) {
	pan := estimate.Item{Key: "pan-30", Name: "Rigid pan 3-0", Dim: estimate.Each}
	items := estimate.NewItems([]estimate.Item{pan, board})
	held, waits := amount(pan, 1), pieces(board, "leg", 2, feet(5))
	held.Held, waits.Held = "jamb depth is not known", "not measured"
	takeoff := need1(1, held, waits)
	takeoff.Openings[0].Mark = "D1"
	offers := []Offer{line(2, "A", pan, "1 each", 900), line(3, "A", board, "16 ft", 2000)}
	book, lists := estimate.Book{Job: job(), Items: items}, Lists{Offers: offers}
	got := Consolidate([]Ordering{{Name: "J", Book: book, Takeoff: takeoff, Lists: lists, Plan: Make(book, takeoff, lists)}}, nil, false)
	require.Len(t, got.Orders, 1)
	assert.Empty(t, got.Orders[0].Missing)
	assert.Equal(t, []OrderNote{{"ON HOLD", "pan-30", "Rigid pan 3-0 (pan-30) for D1: jamb depth is not known (settle it before this order is sent)"}},
		got.Orders[0].Notes(1, ""))
}

// What an order lacks is said of the supplier that it is to be bought from; where that is
// not known, of each. Of a supplier with nothing left that follows a plan there is no
// order, unless it may be partial.
func TestMissing(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, board, glue})
	takeoff := need1(1, amount(screws, 60), amount(glue, 1), pieces(board, "leg", 2, feet(5)))
	// Of A boards and screws, of B glue.
	offers := []Offer{line(2, "A", screws, "100 each", 900), line(3, "A", board, "16 ft", 2000), line(4, "B", glue, "1 each", 1200)}
	book, lists := estimate.Book{Job: job(), Items: items}, Lists{Offers: offers}
	plan := planOf(Make(book, takeoff, lists))
	for _, c := range []struct {
		name     string
		edit     func(t *estimate.Takeoff, l *Lists)
		partial  bool
		orders   []string // each with what it lacks
		withheld []Withheld
	}{
		{"nothing", func(*estimate.Takeoff, *Lists) {}, false, []string{"A:", "B:"}, nil},
		{"more of what is cut: screws alone are no order", func(t *estimate.Takeoff, _ *Lists) { t.Openings[0].Qty = 2 }, false,
			[]string{"B:"}, []Withheld{{"A", 1}}},
		{"but a partial one", func(t *estimate.Takeoff, _ *Lists) { t.Openings[0].Qty = 2 }, true, []string{"A: board-1x4", "B:"}, nil},
		{"to be bought elsewhere: that order lacks it", func(_ *estimate.Takeoff, l *Lists) { l.Pins = map[string]Pin{"screw": {Supplier: "B"}} }, false,
			[]string{"A:", "B: screw"}, nil},
		{"no price is left at B, which sold nothing else", func(_ *estimate.Takeoff, l *Lists) { l.Offers = l.Offers[:2] }, false, []string{"A:"}, nil},
		{"nothing is left, so nothing is partial", func(t *estimate.Takeoff, l *Lists) {
			t.Openings[0].Qty = 2
			l.Offers = l.Offers[1:] // no screws
		}, true, []string{"B:"}, []Withheld{{"A", 0}}},
		{"barred where it was planned: any may lack it", func(_ *estimate.Takeoff, l *Lists) {
			l.Offers = append(l.Offers, line(5, "B", screws, "100 each", 900))
			l.Terms = []Terms{{Supplier: "A", Never: []string{"screw"}}}
		}, false, []string{"A: screw", "B: screw"}, nil},
	} {
		tk, l := takeoff, Lists{Offers: append([]Offer{}, offers...)}
		tk.Openings = append([]estimate.Sized{}, takeoff.Openings...)
		c.edit(&tk, &l)
		l = new(SupplierNames).Lists(l)
		got := Consolidate([]Ordering{{Name: "J", Book: book, Takeoff: tk, Lists: l, Plan: Follow(book, tk, l, plan)}}, nil, c.partial)
		var orders []string
		for _, o := range got.Orders {
			words := o.Terms.Supplier + ":"
			for _, m := range o.Missing {
				words += " " + m.Item
			}
			orders = append(orders, words)
			assert.Equal(t, len(o.Missing) > 0, len(o.Notes(1, "")) > 0, c.name)
		}
		assert.Equal(t, c.orders, orders, c.name)
		assert.Equal(t, c.withheld, got.Withheld, c.name)
	}
	// What cannot be read of a job is lacking everywhere.
	got := Consolidate([]Ordering{{Name: "J", Book: book, Takeoff: takeoff, Lists: lists, Plan: Follow(book, takeoff, lists, plan)}},
		[]Missing{{Job: "K", Name: "all of K.xlsx", Why: "it cannot be read", Do: "mend it"}}, false)
	for _, o := range got.Orders {
		assert.Equal(t, []OrderNote{
			{"INCOMPLETE", "", "what is listed here is missing from this order; do not send it as the whole order"},
			{"MISSING", "", "all of K.xlsx, for K: it cannot be read (mend it)"},
			{"WARNING", "", "old.xlsx, an order of an earlier run, stands beside this one: send only one of them"},
		}, o.Notes(2, "old.xlsx"))
	}
}

// TestJobsCutAlike: pieces of two jobs are cut from one board only where every setting
// that a plan follows is the same.
func TestJobsCutAlike(t *testing.T) {
	a := estimate.Job{Kerf: in / 8, EndTrim: in / 4, BrakeLength: 120 * in, ShortestJoined: 100 * in, MinPart: 24 * in, MeasuringAllowance: in / 2, SpareBoards: 1, SpareTape: 1}
	same := a
	assert.True(t, cutAlike(&a, &same))
	for what, change := range map[string]func(*estimate.Job){
		"kerf": func(j *estimate.Job) { j.Kerf++ }, "end trim": func(j *estimate.Job) { j.EndTrim++ }, "brake": func(j *estimate.Job) { j.BrakeLength++ },
		"shortest joined": func(j *estimate.Job) { j.ShortestJoined++ }, "shortest part": func(j *estimate.Job) { j.MinPart++ },
		"extra length": func(j *estimate.Job) { j.MeasuringAllowance++ }, "spare boards": func(j *estimate.Job) { j.SpareBoards++ },
		"spare tape": func(j *estimate.Job) { j.SpareTape++ },
	} {
		b := a
		change(&b)
		assert.False(t, cutAlike(&a, &b), what)
	}
}

// TestJointOrderSavesAtLeastACent: two jobs need 30 screws each and take a box of 30 at
// 5.00. A box of 60 is bought for both only where it costs less than two. And where a job
// alone asks another fee, the suppliers' terms are not the same. Source: arithmetic
func TestJointOrderSavesAtLeastACent(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws})
	ordering := func(name string, cents int64) Ordering {
		lists := Lists{Offers: []Offer{line(2, "A", screws, "30 each", 500), line(3, "A", screws, "60 each", cents)}}
		book, takeoff := estimate.Book{Job: job(), Items: items}, need1(1, amount(screws, 30))
		return Ordering{Name: name, Book: book, Takeoff: takeoff, Lists: lists, Plan: Follow(book, takeoff, lists, planOf(Make(book, takeoff, lists)))}
	}
	for cents, want := range map[int64]string{999: "1 x 60 each", 1000: "2 x 30 each", 1001: "2 x 30 each"} {
		got := Consolidate([]Ordering{ordering("A-1", cents), ordering("B-2", cents)}, nil, false)
		require.Len(t, got.Orders, 1)
		var lines []string
		for _, l := range got.Orders[0].Lines {
			lines = append(lines, fmt.Sprintf("%d x %s", l.Count, l.Offer.Content))
		}
		assert.Equal(t, []string{want}, lines, "60 at %d cents", cents)
	}
}

// TestTermsThatDiffer: whatever a supplier asks otherwise in another job is said.
func TestTermsThatDiffer(t *testing.T) {
	money := func(cents measure.Money) estimate.Maybe[measure.Money] { return estimate.Given(cents) }
	first := Terms{Supplier: "A", DeliveryFee: money(3000), FreeOver: money(9000), MinimumOrder: money(500)}
	for _, c := range []struct {
		change func(*Terms)
		said   bool
	}{
		{func(*Terms) {}, false},
		{func(x *Terms) { x.DeliveryFee = money(1) }, true},
		{func(x *Terms) { x.FreeOver = estimate.Maybe[measure.Money]{} }, true},
		{func(x *Terms) { x.MinimumOrder = money(501) }, true},
	} {
		other := first
		c.change(&other)
		cons := consolidation{jobs: []Ordering{{Name: "one", Plan: Plan{Orders: []Order{{Terms: first}}}}, {Name: "two", Plan: Plan{Orders: []Order{{Terms: other}}}}}}
		assert.Equal(t, first, cons.termsOf("A"))
		assert.Equal(t, c.said, len(cons.problems) == 1)
	}
}
