package cut

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// firstFitByTheBook is first fit decreasing as its definition says, bin after bin.
func firstFitByTheBook(in *instance, rule openingRule) (bins []bin, unplaced int) {
	inv := in.newInventory(rule)
	if rule.onHandFirst {
		for i, st := range in.stockTypes {
			for st.onHand && inv.available[i] > 0 {
				bins = append(bins, inv.take(i))
			}
		}
	}
	for i, item := range in.items {
		n := len(item.pieces)
		for j := range bins {
			n -= bins[j].place(i, item.size, n)
		}
		for n > 0 {
			b, ok := inv.open(item.size)
			if !ok {
				break
			}
			n -= b.place(i, item.size, n)
			bins = append(bins, b)
		}
		unplaced += n
	}
	var filled []bin
	for _, b := range bins {
		if len(b.entries) > 0 {
			filled = append(filled, b)
		}
	}
	return filled, unplaced
}

// Trees find the bins that going through all of them finds, on random problems.
func TestFirstFitFindsTheFirstBin(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for range 200 {
		var p Problem
		for range 1 + r.IntN(12) {
			p.Pieces = append(p.Pieces, Piece{Length: measure.Length(1 + r.IntN(60)), Count: 1 + r.IntN(9)})
		}
		for range 1 + r.IntN(6) {
			p.Stocks = append(p.Stocks, Stock{Length: measure.Length(20 + r.IntN(60)), Price: measure.UnitPrice(r.IntN(3) * 100), Available: r.IntN(6) - 1})
		}
		in, ok := newInstance(p)
		require.True(t, ok)
		for _, rule := range in.openingRules() {
			wanted, unplaced := firstFitByTheBook(&in, rule)
			got := in.firstFitWith(rule, &work{limit: FullWork})
			require.Equal(t, unplaced, got.unplacedCount)
			var pieces, wantedPieces []entry
			for _, b := range got.bins {
				pieces = append(pieces, b.entries...)
			}
			require.Len(t, got.bins, len(wanted))
			in.useCheapestStock(&packing{bins: wanted})
			for _, b := range wanted {
				wantedPieces = append(wantedPieces, b.entries...)
			}
			require.Equal(t, wantedPieces, pieces)
		}
	}
}

// Boards alike on several lines are one stock, and each line gives no more than it has.
func TestAlikeStocksAreOne(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 50, Count: 5}},
		Stocks: []Stock{{Length: 60, Available: 2}, {Length: 90, Price: 7, Available: -1}, {Length: 60, Available: 1}, {Length: 60, Available: 1}},
	}
	in, _ := newInstance(p)
	assert.Len(t, in.stockTypes, 2)
	plan := Solve(p)
	counts := make([]int, len(p.Stocks))
	for _, b := range plan.Boards {
		counts[b.Stock]++
	}
	assert.Equal(t, []int{2, 1, 1, 1}, counts, "four are on hand, the fifth is bought")
	assert.EqualValues(t, 7, plan.Cost)
}

// A length at no less cost that is shorter than another of which there is no end is left out of the
// model; one of which there is an end replaces none.
func TestDominatedStocks(t *testing.T) {
	m := &model{pieceCount: 10}
	free, some := 10, 3
	assert.Equal(t, []stock{{60, 2, some}, {80, 3, free}, {90, 4, some}, {100, 5, free}},
		m.withoutDominated([]stock{{50, 3, free}, {60, 2, some}, {60, 3, free}, {80, 3, free}, {80, 4, some}, {90, 4, some}, {90, 5, some}, {100, 5, free},
			{100, 9, free}}))
}

// Thousands of lengths are planned within the work of one problem, the bound holds, and each piece
// has its place.
func TestManyStockLengths(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	var pieces []Piece
	for range 60 {
		pieces = append(pieces, Piece{Length: measure.Length(20+r.IntN(70)) * measure.Inch, Count: 1 + r.IntN(9)})
	}
	for _, c := range []struct {
		name      string
		lengths   int
		available func() int
		price     func(i int) measure.UnitPrice
	}{
		{"as many as wanted, the longer the dearer", 1_000, func() int { return -1 }, func(i int) measure.UnitPrice { return measure.UnitPrice(50_000 + 90*i) }},
		{"one of each on hand", 600, func() int { return 1 }, func(int) measure.UnitPrice { return 0 }},
		{"a million of each on hand", 5_000, func() int { return 1_000_000 }, func(int) measure.UnitPrice { return 0 }},
		{"some of each, each at its price", 5_000, func() int { return 1 + r.IntN(3) }, func(int) measure.UnitPrice { return measure.UnitPrice(r.IntN(90_000)) }},
	} {
		p := Problem{Pieces: pieces, Kerf: measure.Inch / 8, Stocks: []Stock{{Length: 192 * measure.Inch, Price: 144_000, Available: -1}}}
		for i := range c.lengths {
			p.Stocks = append(p.Stocks, Stock{Length: 20*measure.Inch + measure.Length(i)*measure.Inch/32, Price: c.price(i), Available: c.available()})
		}
		plan := Solve(p)
		assert.Empty(t, plan.Unplaced, c.name)
		assert.LessOrEqual(t, plan.Bound, plan.Cost, c.name)
		assert.Less(t, plan.Work, int64(FullWork*5/4), c.name)
	}
}
