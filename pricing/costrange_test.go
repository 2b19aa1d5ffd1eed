package pricing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// sealedJob needs 100 fl oz of sealant in 10 fl oz tubes at 7.00 and 30 ft of board from
// 16 ft boards at 20.00, at a tax of 8 %, with 1,000.00 of labor.
func sealedJob(t *testing.T, spreads func(*estimate.Job)) (estimate.Book, estimate.Takeoff, Lists) {
	t.Helper()
	sealant := estimate.Item{Key: "sealant", Dim: estimate.Volumewise, Class: estimate.ClassSealant}
	board := estimate.Item{Key: "board", Dim: estimate.Lengthwise, Cut: true, Class: "boards"}
	take := need1(1, amount(sealant, 100*tubeOunce), pieces(board, "leg", 3, feet(10)))
	take.Openings[0].Kind = estimate.Window
	j := job()
	j.Tax, j.LaborRate = 80_000, estimate.Given[measure.Money](50_00)
	spreads(&j)
	book := estimate.Book{Job: j, Items: estimate.NewItems([]estimate.Item{sealant, board}),
		Labor: []estimate.LaborTask{{Task: "all", Kind: estimate.Window, Per: "opening", Hours: estimate.Given(20 * estimate.Hour)}}}
	return book, take, Lists{Offers: []Offer{line(1, "north", sealant, "10 fl oz", 7_00), line(2, "north", board, "16 ft", 20_00)}}
}

// tubeOunce is a US fluid ounce in nanoliters, as the content of a pack is read.
const tubeOunce = 29_573_529

func rangeOf(t *testing.T, seed uint64, spreads func(*estimate.Job)) *CostRange {
	t.Helper()
	book, take, lists := sealedJob(t, spreads)
	plan := Make(book, take, lists)
	require.Empty(t, plan.Unpriced())
	require.Equal(t, measure.Money(10*7_00+3*20_00), plan.Materials)
	return RangeOf(book, take, lists, plan, rand.NewPCG(seed, 0).Uint64)
}

func TestNoSpreadNoRange(t *testing.T) {
	assert.Nil(t, rangeOf(t, 1, func(*estimate.Job) {}))
}

// Where one thing differs, the range is exact: no case is drawn.
// Source: arithmetic. Tubes 70.00, boards 60.00, tax of both 10.40, labor 1,000.00.
func TestRangeOfOneThing(t *testing.T) {
	of := func(low, likely, high measure.Rate) estimate.Maybe[estimate.Spread] {
		return estimate.Given(estimate.Spread{Low: low, Likely: likely, High: high})
	}
	never := func() uint64 { panic("a case is drawn") }
	hours := func(j *estimate.Job) { j.HoursSpread = of(800_000, 1_000_000, 1_200_000) }
	book, take, lists := sealedJob(t, hours)
	got := RangeOf(book, take, lists, Make(book, take, lists), never)
	// A triangle with its peak in the middle, 0.4 wide: a tenth lies below 0.8 + sqrt(0.1 × 0.4 × 0.2).
	low := measure.Money(math.Round(1000_00 * (0.8 + math.Sqrt(0.1*0.4*0.2))))
	assert.InDelta(t, float64(low+140_40), float64(got.Low), 1)
	assert.Equal(t, measure.Money(1140_40), got.Likely)
	assert.InDelta(t, 2*1140_40, float64(got.Low+got.High), 1, "it is as wide on either side")
	assert.Equal(t, measure.Money(1140_40), got.Estimated)
	assert.Equal(t, []Move{{"range of hours", 940_40, 1340_40}}, got.Moves)
	assert.Zero(t, got.Draws)

	// More of what is in tubes is bought in whole tubes; boards have their spares.
	book, take, lists = sealedJob(t, func(j *estimate.Job) { j.MaterialSpread = of(850_000, 1_000_000, 1_210_000) })
	got = RangeOf(book, take, lists, Make(book, take, lists), never)
	assert.Equal(t, []Move{{"range of material", 1000_00 + 123_00 + 9_84, 1000_00 + 151_00 + 12_08}}, got.Moves, "9 and 13 tubes for 85 and 121 fl oz")

	book, take, lists = sealedJob(t, func(j *estimate.Job) { j.PriceSpread = of(1_000_000, 1_000_000, 1_100_000) })
	got = RangeOf(book, take, lists, Make(book, take, lists), never)
	assert.Equal(t, []Move{{"range of prices", 1140_40, 1000_00 + 143_00 + 11_44}}, got.Moves)
}

// 10,000 true costs of jobs whose hours, prices and use of sealant differ by the ranges
// typed, drawn by another generator and in floating point: 80 of 100 lie inside, and 10
// below and above.
func TestRangeHoldsTrueCosts(t *testing.T) {
	got := rangeOf(t, 1, func(j *estimate.Job) {
		j.HoursSpread = estimate.Given(estimate.Spread{Low: 850_000, Likely: 1_000_000, High: 1_400_000})
		j.PriceSpread = estimate.Given(estimate.Spread{Low: 900_000, Likely: 1_000_000, High: 1_300_000})
		j.MaterialSpread = estimate.Given(estimate.Spread{Low: 900_000, Likely: 1_050_000, High: 1_500_000})
	})
	require.Equal(t, Draws, got.Draws)
	r := rand.New(rand.NewChaCha8([32]byte{22}))
	triangle := func(low, peak, high float64) float64 { // by rejection: no inverse is used
		for {
			x, y := low+(high-low)*r.Float64(), r.Float64()
			if x < peak && y*(peak-low) < x-low || x >= peak && y*(high-peak) <= high-x {
				return x
			}
		}
	}
	var costs []float64
	inside, below := 0, 0
	for range 10_000 {
		tubes := math.Ceil(100 * triangle(0.9, 1.05, 1.5) / 10)
		cost := 1000*triangle(0.85, 1, 1.4) + 1.08*triangle(0.9, 1, 1.3)*(7*tubes+60)
		costs = append(costs, cost)
		switch {
		case cost < float64(got.Low)/100:
			below++
		case cost <= float64(got.High)/100:
			inside++
		}
	}
	slices.Sort(costs)
	t.Logf("of 10,000 true costs %d inside %s to %s, %d below; medians %.2f and %s", inside, got.Low, got.High, below, costs[5000], got.Likely)
	// Both are drawn: 80 of 100 within three times sqrt(2 × 0.8 × 0.2 / 10,000).
	assert.InDelta(t, 8000, inside, 170)
	assert.InDelta(t, 1000, below, 130)
	assert.InDelta(t, costs[5000], float64(got.Likely)/100, 6)
	assert.Equal(t, "range of hours", got.Moves[0].What)
}

func TestRangeIsTheSameForOneSeed(t *testing.T) {
	both := func(j *estimate.Job) {
		j.HoursSpread = estimate.Given(estimate.Spread{Low: 850_000, Likely: 1_000_000, High: 1_400_000})
		j.PriceSpread = estimate.Given(estimate.Spread{Low: 900_000, Likely: 1_000_000, High: 1_300_000})
	}
	assert.Equal(t, rangeOf(t, 1, both), rangeOf(t, 1, both))
	a, b := rangeOf(t, 1, both), rangeOf(t, 2, both)
	assert.NotEqual(t, a.Low, b.Low)
	assert.InDelta(t, float64(a.Low), float64(b.Low), float64(a.Estimated)/100, "another seed moves it little")
}
