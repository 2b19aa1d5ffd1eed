package pricing

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// terms of a supplier in whole units of money; below 0 = not asked.
func asks(name string, fee, freeOver, minimum measure.Money) Terms {
	t := Terms{Supplier: name}
	set := func(m *estimate.Maybe[measure.Money], v measure.Money) {
		if v >= 0 {
			*m = estimate.Given(v * 100)
		}
	}
	set(&t.DeliveryFee, fee)
	set(&t.FreeOver, freeOver)
	set(&t.MinimumOrder, minimum)
	return t
}

// byHand is a case of three suppliers, small enough to work out on paper, in
// whole units of money:
//
//	             A     B     C
//	boards     300   280   310
//	strip      100   110    90
//	sealant     60    50    70
//	pan          -     -    40
//
// A delivers for 30, free from 400 up; B for 20; C for 15, free from 100 up.
var byHand = [][]measure.Money{
	{30000, 28000, 31000},
	{10000, 11000, 9000},
	{6000, 5000, 7000},
	{-1, -1, 4000},
}

// The sums are arithmetic on the table of byHand.
func TestSelectionByHand(t *testing.T) {
	abc := []Terms{asks("A", 30, 400, -1), asks("B", 20, -1, -1), asks("C", 15, 100, -1)}
	with := func(s int, t Terms) []Terms {
		out := slices.Clone(abc)
		out[s] = t
		return out
	}
	for _, c := range []struct {
		name  string
		terms []Terms
		stop  measure.Money
		want  string
		cost  measure.Money
	}{
		{"best split: B boards 280 and sealant 50 and its fee 20; C strip 90 and pan 40, 130 is free", abc, 0, "BCBC", 48000},
		{"C free only from 131 up: sealant at C as well, 20 more than at B, is dearer than C's fee of 15", with(2, asks("C", 15, 131, -1)), 0, "BCBC", 49500},
		{"C's fee 25, free from 131 up: now the sealant goes to C, 70 for 50, and 200 is free", with(2, asks("C", 25, 131, -1)), 0, "BCCC", 50000},
		{"another stop must save 40: C alone is 310 + 90 + 70 + 40 = 510, B and C save 30", abc, 4000, "CCCC", 51000},
		{"another stop must save 25: B and C, 480 against 510", abc, 2500, "BCBC", 48000},
		{
			"B takes no order below 350, its boards and sealant are 330; with strip 440 + 20, and 40 + 15 at C, 515; C alone is 310 + 90 + 70 + 40 = 510 and free",
			with(1, asks("B", 20, -1, 350)), 0, "CCCC", 51000,
		},
	} {
		m := market{cost: byHand, terms: c.terms, perSupplier: c.stop}
		got := m.best(searchWork)
		names := ""
		for _, s := range got.supplier {
			names += c.terms[s].Supplier
		}
		w := m.way(got.supplier)
		assert.Equal(t, c.want, names, c.name)
		assert.Equal(t, c.cost, w.Cost(), c.name)
		assert.Equal(t, got.value, got.bound, c.name)
	}
}

// bruteForce tries every supplier for every item.
func bruteForce(m market) (best selection) {
	of := make([]int, len(m.cost))
	best.value = -1
	var try func(i int)
	try = func(i int) {
		if i == len(of) {
			if v := m.value(of); best.value < 0 || v < best.value {
				best.value, best.supplier = v, slices.Clone(of)
			}
			return
		}
		sold := false
		for s, c := range m.cost[i] {
			if c >= 0 {
				sold = true
				of[i] = s
				try(i + 1)
			}
		}
		if !sold {
			of[i] = -1
			try(i + 1)
		}
	}
	try(0)
	return best
}

// randomMarket is an invented market. Its orders are near the sums that make
// them free or large enough, where a choice is hard.
func randomMarket(r *rand.Rand, items, suppliers int) market {
	m := market{perSupplier: []measure.Money{0, 500, 2500, prohibitive}[r.IntN(4)]}
	money := func(least, most int) measure.Money { return measure.Money(least + r.IntN(most-least+1)) }
	for s := range suppliers {
		t := Terms{Supplier: fmt.Sprintf("S%02d", s)}
		if r.IntN(3) > 0 {
			t.DeliveryFee = estimate.Given(money(500, 9000))
			if r.IntN(3) > 0 {
				t.FreeOver = estimate.Given(money(1000, items*4000))
			}
		}
		if r.IntN(3) == 0 {
			t.MinimumOrder = estimate.Given(money(1000, items*2500))
		}
		m.terms = append(m.terms, t)
	}
	for range items {
		base, costs := int(money(200, 20000)), make([]measure.Money, suppliers)
		for s := range costs {
			costs[s] = -1
			if r.IntN(4) > 0 {
				costs[s] = measure.Money(base + base*r.IntN(30)/100)
			}
		}
		m.cost = append(m.cost, costs)
	}
	return m
}

// Every assignment of up to 7 items to up to 4 suppliers is tried.
func TestSelectionAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 500))
	missed, split, free := 0, 0, 0
	for k := range 600 {
		m := randomMarket(r, 1+r.IntN(7), 1+r.IntN(4))
		want, got := bruteForce(m), m.best(searchWork)
		require.Equal(t, m.value(want.supplier), m.value(got.supplier), "case %d: %+v", k, m)
		require.Equal(t, got.value, got.bound, "case %d", k)
		if slices.Max(got.supplier) >= 0 {
			require.Equal(t, m.value(got.supplier), got.value, "case %d", k)
		}
		for s, sum := range m.sums(got.supplier) {
			if m.terms[s].Below(sum) {
				missed++
			}
			if m.terms[s].FreeOver.Set && sum >= m.terms[s].FreeOver.V && sum > 0 {
				free++
			}
		}
		if len(m.way(got.supplier).Suppliers) > 1 {
			split++
		}
	}
	// The cases are of every sort.
	assert.Positive(t, missed)
	assert.Greater(t, split, 100)
	assert.Greater(t, free, 50)
}

// Of equal choices the one with fewer suppliers is taken, then the first name.
func TestSelectionTies(t *testing.T) {
	m := market{terms: []Terms{{Supplier: "A"}, {Supplier: "B"}, {Supplier: "C"}}, cost: [][]measure.Money{{-1, 500, 500}, {700, 700, 700}, {900, 900, 900}}}
	assert.Equal(t, []int{1, 1, 1}, m.best(searchWork).supplier)
	m.cost[1] = []measure.Money{600, 700, 700}
	assert.Equal(t, []int{1, 0, 0}, m.best(searchWork).supplier)
	m.perSupplier = 99
	assert.Equal(t, []int{1, 0, 0}, m.best(searchWork).supplier, "another stop saves more than is asked")
	m.perSupplier = 100
	assert.Equal(t, []int{1, 1, 1}, m.best(searchWork).supplier, "another stop saves no more than is asked")
}

// BenchmarkSelection is ten suppliers and forty items, all sold nearly everywhere.
func BenchmarkSelection(b *testing.B) {
	r := rand.New(rand.NewPCG(10, 40))
	markets := make([]market, 20)
	for i := range markets {
		markets[i] = randomMarket(r, 40, 10)
	}
	for b.Loop() {
		proven := 0
		for _, m := range markets {
			if c := m.best(searchWork); c.value == c.bound {
				proven++
			}
		}
		b.ReportMetric(float64(proven), "proven")
	}
	b.ReportMetric(float64(len(markets)), "markets")
}

// BenchmarkTenSuppliers plans a job of forty items, ten of them cut, at ten
// suppliers that sell nearly everything, with fees, free delivery and minimum
// orders: the cutting of each cut item at each supplier, and the choice.
func BenchmarkTenSuppliers(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 7))
	var items []estimate.Item
	var offers []Offer
	var takeoff estimate.Takeoff
	takeoff.Openings = need1(1).Openings
	var terms []Terms
	for s := range 10 {
		terms = append(terms, asks(fmt.Sprintf("S%d", s), measure.Money(20+r.IntN(60)), measure.Money(300+r.IntN(900)), measure.Money(r.IntN(100))))
	}
	for i := range 40 {
		it := estimate.Item{Key: fmt.Sprintf("item-%02d", i), Class: "fastening", Dim: estimate.Each}
		contents := []string{"25 each", "100 each"}
		if i < 10 {
			it.Class, it.Dim, it.Cut, it.Width = "boards", estimate.Lengthwise, true, 3*in
			contents = []string{"8 ft", "12 ft", "16 ft"}
			for range 12 {
				takeoff.Requirements = append(takeoff.Requirements, pieces(it, "piece", int64(1+r.IntN(6)), measure.Length(20+r.IntN(70))*in))
			}
		} else {
			takeoff.Requirements = append(takeoff.Requirements, amount(it, int64(20+r.IntN(400))))
		}
		items = append(items, it)
		base := 300 + r.IntN(900)
		for s := range 10 {
			if r.IntN(5) == 0 {
				continue
			}
			for k, c := range contents {
				offers = append(offers, line(len(offers)+2, terms[s].Supplier, it, c, int64(base*(k+1)*(90+r.IntN(30))/100)))
			}
		}
	}
	j := job()
	j.Kerf = in / 8
	book, lists := estimate.Book{Job: j, Items: estimate.NewItems(items)}, Lists{Offers: offers, Terms: terms}
	for b.Loop() {
		p := Make(book, takeoff, lists)
		b.ReportMetric(float64(p.Choice.Gap), "gap-cents")
		b.ReportMetric(float64(len(p.Orders)), "orders")
	}
}
