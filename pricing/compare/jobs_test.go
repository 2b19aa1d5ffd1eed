package compare

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Source: Illinois Department of Transportation, tabulations of bids 62J62 of 12 Jun
// 2020 and 60T21 of 26 Apr 2019; the percentages are printed there to two decimals
func TestOverLowest(t *testing.T) {
	for _, c := range []struct {
		contract string
		bids     []measure.Money
		over     []string
	}{
		{"62J62", []measure.Money{2_130_976_62, 2_295_885_39, 2_496_443_11, 2_582_879_48, 2_728_780_25}, []string{"0.00", "7.74", "17.15", "21.21", "28.05"}},
		{"60T21", []measure.Money{9_758_131_47, 10_550_432_90, 11_256_413_80}, []string{"0.00", "8.12", "15.35"}},
	} {
		for i, bid := range c.bids {
			v := OverLowest(bid, c.bids[0])
			require.True(t, v.Set)
			assert.Equal(t, c.over[i], fmt.Sprintf("%.2f", float64(v.V)/10_000), "%s, bid %d", c.contract, i+1)
		}
	}
	assert.False(t, OverLowest(1, 0).Set, "nothing is so many percent over nothing")
}

func TestMedian(t *testing.T) {
	assert.Equal(t, measure.UnitPrice(7), Median([]measure.UnitPrice{9, 7, 1}))
	assert.Equal(t, measure.UnitPrice(5), Median([]measure.UnitPrice{9, 6, 1, 3}), "4.5, half up")
	assert.Zero(t, Median[measure.UnitPrice](nil))
}

// Arithmetic: of 10, 11, 12, 13, 40 the median is 12, the distances 2, 1, 0, 1,
// 28, their median 1: 40 is 28 spreads away, 10 two. The mean, 17.2, and its
// deviation, 12.8, would find nothing: the one that stands out hides itself.
func TestStandsOut(t *testing.T) {
	f := figure{what: "boards"}
	for i, v := range []measure.UnitPrice{10_0000, 11_0000, 12_0000, 13_0000, 40_0000} {
		f.add(i, v)
	}
	assert.Equal(t, []Outlier{{"boards", 4, 40_0000, 12_0000, 1_0000, 280, 5}}, f.outliers())

	f = figure{}
	for i, v := range []measure.UnitPrice{10_0000, 10_0000, 10_1000, 10_0000} {
		f.add(i, v)
	}
	assert.Empty(t, f.outliers(), "where all pay the same, one percent more does not stand out: the spread is at least two")
	f.add(4, 11_0500)
	assert.Equal(t, []Outlier{{"", 4, 11_0500, 10_0000, 2000, 53, 5}}, f.outliers(), "1.05 / 0.20 = 5.25 spreads")

	f = figure{}
	f.add(0, 1)
	f.add(1, 1000)
	assert.Empty(t, f.outliers(), "of two nobody can say which")
}

// side is a job with one mark of so many windows, each of 75 screws and two legs
// of 60 in, at the prices of a hundred screws and a board of 10 ft; below 0 =
// nobody offers it.
func side(name string, qty, screwPrice, boardPrice int64) Side {
	t := oneMark(qty, amount(screws, 75), pieces(board, "leg", 2, 60*in))
	t.Openings[0].Kind = estimate.Window
	book := estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws, board})}
	var lists pricing.Lists
	if screwPrice >= 0 {
		lists.Offers = append(lists.Offers, line(2, "Yard A", screws, "100 each", screwPrice))
	}
	if boardPrice >= 0 {
		lists.Offers = append(lists.Offers, line(3, "Yard A", board, "10 ft", boardPrice))
	}
	s := Side{Name: name, File: name + ".xlsx", Book: book, Takeoff: t, Lists: lists, Plan: pricing.Make(book, t, lists)}
	s.Stored = estimate.Given(s.Plan.Bid.Total)
	return s
}

// Arithmetic: two windows take 150 screws, two packs, and four legs of 5 ft, two
// boards of 10 ft; a window is 168 in round and 12 ft2.
func TestCompareJobs(t *testing.T) {
	a, b, c := side("A", 2, 1000, 1200), side("B", 2, 1100, 1200), side("C", 2, -1, 3000)
	c.Stored = estimate.Given(measure.Money(6000_00))
	c.StoredPlace = estimate.Place{File: "C.xlsx", Sheet: "Summary", Row: 19, Col: 3}
	got := Jobs([]Side{a, b, c}, false)
	require.Len(t, got.Jobs, 3)

	fastening, boards := pricing.ClassOrder(screws), pricing.ClassOrder(board)
	assert.Equal(t, ClassCost{Class: "fastening", Items: 1, Cost: 20_00, PerOpening: estimate.Given(measure.Money(10_00))}, got.Jobs[0].Classes[fastening])
	assert.Equal(t, ClassCost{Class: "boards", Items: 1, Cost: 24_00, PerOpening: estimate.Given(measure.Money(12_00))}, got.Jobs[0].Classes[boards])
	missing := got.Jobs[2].Classes[fastening]
	assert.Equal(t, ClassCost{Class: "fastening", Items: 1, Missing: []string{"screw"}}, missing)
	assert.False(t, missing.Whole(), "without a price it is no zero")
	assert.False(t, got.Jobs[0].Classes[0].Whole(), "nor is what nobody needs")
	assert.Equal(t, StockUse{Class: "fastening", NotTold: []string{"screw"}}, got.Jobs[2].Stock[0], "of what is not bought nothing is used")
	assert.Equal(t, []string{"no price of screw"}, got.Jobs[2].Gaps)

	assert.Equal(t,
		[]KindCost{{Kind: estimate.Window, Openings: 2, Perimeter: 2 * 168 * in, Area: 2 * measure.AreaOf(36*in, 48*in), Materials: 44_00}},
		got.Jobs[0].Kinds)
	assert.Equal(t, []StockUse{
		{Class: "fastening", Items: 1, Cost: 20_00, Unused: 5_00}, // 50 screws of 200
		{Class: "boards", Cut: true, Items: 1, Need: feet(20), Bought: feet(20), Cost: 24_00},
	}, got.Jobs[0].Stock)

	require.Len(t, got.Items, 2)
	screw := got.Items[0]
	assert.Equal(t, "each", screw.Per)
	assert.Equal(t, []measure.UnitPrice{1000, 1100}, []measure.UnitPrice{screw.Paid[0].Price, screw.Paid[1].Price}, "0.10 and 0.11; C paid none")
	assert.Equal(t, measure.UnitPrice(1050), screw.Median())
	assert.Equal(t, estimate.Given(measure.Rate(100_000)), screw.Spread(), "ten percent")
	legs := got.Items[1]
	assert.Equal(t, "LF", legs.Per)
	least, most := legs.Ends()
	assert.Equal(t, []measure.UnitPrice{1_2000, 3_0000}, []measure.UnitPrice{least.Price, most.Price})

	// 12, 12, 30 an opening: usual 12, spread 2 % of it; 18 / 0.24 = 75 spreads.
	// 1.2, 1.2, 3.0 a foot: the same.
	assert.Equal(t, []Outlier{
		{"boards, an opening", 2, 30_0000, 12_0000, 2400, 750, 3},
		{"board-1x4, LF", 2, 3_0000, 1_2000, 240, 750, 3},
	}, got.Odd)
	assert.Equal(t, []string{
		"note: without a job date: A, B, C; how old its prices are is not known",
		"C.xlsx: Summary!C19: warning: the file says 6,000.00; worked out again the total is 60.00, which is used " +
			"(recalculate and save the file, or run estimate again)",
	}, words(got.Problems))
}

func TestCompareJobsThatAreNotAlike(t *testing.T) {
	a, b := side("A", 1, 400, 1200), side("B", 1, 400, 1200)
	a.Book.Job.Date, b.Book.Job.Date = day(t, "2026-11-16"), day(t, "2026-11-25")
	b.Book.Job.MM, b.Book.Job.Tax = true, 50_000
	b.Stored = estimate.Maybe[measure.Money]{}
	b.Plan.Bid.Labor = 100
	b.Book.Job.OnHand = []estimate.OnHand{{Item: board.Key, Length: feet(4), Count: 1}}
	got := Jobs([]Side{a, b}, false)
	assert.Equal(t, []string{
		"note: no labor in the total: A",
		"note: the jobs are dated 2026-11-16 to 2026-11-25; their prices are not brought to one day",
		"note: the rates of tax, overhead, contingency or profit are not those of A: B; compare the direct cost",
		"note: written in millimetres, shown in feet and inches: B",
		fmt.Sprintf("B.xlsx: note: no total can be read on its sheet Summary; worked out again it is %s, which is used", b.Plan.Bid.Total),
	}, words(got.Problems))
	assert.Equal(t, "100 each", got.Items[0].Per, "0.04 each would lose its digits")
	assert.Equal(t, measure.UnitPrice(4_0000), got.Items[0].Paid[0].Price)
	assert.Equal(t, []string{"what was on hand"}, got.Jobs[1].Gaps)
	assert.Equal(t, StockUse{Class: "boards", Cut: true, NotTold: []string{"board-1x4"}}, got.Jobs[1].Stock[1], "what came from stock on hand is not known")

	metric := Jobs([]Side{a, b}, true)
	assert.Equal(t, "m", metric.Items[1].Per)
	assert.Equal(t, measure.UnitPrice(3_9370), metric.Items[1].Paid[0].Price, "12.00 / 3.048 m = 3.93701")
}

// What counts differently is not the same item, whatever its key.
func TestItemsThatCountDifferently(t *testing.T) {
	a, b := side("A", 1, 400, 1200), side("B", 1, 400, 1200)
	b.Plan.Purchases[0].Item.Coverage = 12
	items := Jobs([]Side{a, b}, false).Items
	require.Len(t, items, 1)
	assert.Equal(t, "board-1x4", items[0].Item.Key)
}
