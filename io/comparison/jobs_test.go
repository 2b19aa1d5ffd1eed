package comparison

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// comparedSides are jobs of one window each, that buy boards; every other one
// lacks the price.
func comparedSides(n int) []compare.Side {
	board := estimate.Item{Key: "board-1x4", Name: "Board <1x4> & more", Class: "boards", Dim: estimate.Lengthwise, Cut: true}
	var out []compare.Side
	for i := range n {
		offer := pricing.Offer{Supplier: "Yard", Item: board.Key, Content: "10 ft", Amount: int64(10 * measure.Foot), Price: measure.UnitPrice(10_0000 + 1000*i)}
		cost := measure.Extension(2, offer.Price)
		p := pricing.Purchase{Item: board, Supplier: "Yard", Need: int64(18 * measure.Foot), Bought: int64(20 * measure.Foot), Cost: cost,
			Lines: []pricing.Line{{Offer: offer, Computed: 2, Extension: cost}}}
		if i%2 == 1 {
			p, cost = pricing.Purchase{Item: board, State: pricing.NoPrice}, 0
		}
		s := compare.Side{Name: fmt.Sprintf("J-%02d <&>", i), File: "job.xlsx",
			Book: estimate.Book{Job: estimate.Job{Currency: "USD"}, Items: estimate.NewItems([]estimate.Item{board})}}
		s.Takeoff.Openings = []estimate.Sized{{Opening: estimate.Opening{Mark: "W1", Qty: 1, Kind: estimate.Window, FurnishedBy: "owner",
			Frame: estimate.Size{W: measure.Foot, H: measure.Foot}}}}
		s.Takeoff.Requirements = []estimate.Requirement{{Item: board.Key, Dim: estimate.Lengthwise, Count: 2,
			Length: 9 * measure.Foot, Amount: int64(18 * measure.Foot)}}
		if p.State == "" {
			p.Rows = []int{0}
		}
		s.Plan = pricing.Plan{Purchases: []pricing.Purchase{p}, Materials: cost, Bid: pricing.Bid{Materials: cost, Direct: cost, Cost: cost, Total: cost,
			Openings: 1, Perimeter: 4 * measure.Foot, Area: measure.AreaOf(measure.Foot, measure.Foot)}}
		out = append(out, s)
	}
	return out
}

// Fifty jobs take four pictures of each sort, and no workbook is ever refused.
func TestCompareManyJobs(t *testing.T) {
	for _, n := range []int{2, 50} {
		sides := comparedSides(n)
		data, err := Compare(CompareInput{Sides: sides, Comparison: compare.Jobs(sides, false)})
		require.NoError(t, err)
		assert.Empty(t, audit.Lint(data))
		charts := 0
		for name := range parts(t, data) {
			if strings.HasPrefix(name, "xl/charts/chart") {
				charts++
			}
		}
		pictures := (n + barsAPicture - 1) / barsAPicture
		spread := 0
		if n > 2 { // of two jobs only one has a price
			spread = 1
		}
		assert.Equal(t, 2*pictures+spread, charts)
	}
}

// What is missing is a dash, not a zero.
func TestCompareMissing(t *testing.T) {
	sides := comparedSides(2)
	data, err := Compare(CompareInput{Sides: sides, Comparison: compare.Jobs(sides, false)})
	require.NoError(t, err)
	f := opened(t, data)
	const inPart = "part of incomplete classes"
	assert.Equal(t, []map[string]string{
		{"Job": sides[0].Name, "boards": "20", inPart: none, "Materials": "20"}, // its classes are whole
		{"Job": sides[1].Name, "boards": none, inPart: "0", "Materials": "0"},   // of the boards nothing has a price
	}, records(t, f, "Materials", "Job"))
	assert.Equal(t, []map[string]string{
		{"Job": sides[0].Name, "boards": "20", inPart: none, "Materials": "20", "Openings": "1"},
		{"Job": sides[1].Name, "boards": none, inPart: "0", "Materials": "0", "Openings": "1"},
	}, records(t, f, "Per opening", "Job"))
}

// The first sheet holds two jobs against each other, unless one leaves something
// out. Source of the numbers: two boards of 10.00 and two of 10.20.
func TestCompareInOneLook(t *testing.T) {
	all := comparedSides(3)
	first := func(sides []compare.Side) map[string][]string {
		data, err := Compare(CompareInput{Sides: sides, Comparison: compare.Jobs(sides, false)})
		require.NoError(t, err)
		rows, err := opened(t, data).GetRows("Jobs")
		require.NoError(t, err)
		by := map[string][]string{}
		for _, r := range rows {
			if len(r) > 0 {
				by[r[0]] = r
			}
		}
		return by
	}
	whole := first([]compare.Side{all[0], all[2]})
	for _, part := range []string{"Materials", "Direct cost", "Total"} {
		require.Len(t, whole[part], 6, part)
		assert.Equal(t, []string{"20", "20.4", "0.4"}, whole[part][3:], part)
	}
	assert.Equal(t, []string{none, none, none}, whole[laborPart][3:], "no hours are typed: no zero")
	assert.Equal(t, "0.4", whole[all[2].Name][7])
	assert.Equal(t, "Board <1x4> & more differs most: J-02 <&> paid 2.00% above the lowest", whole["Unit prices"][1])

	gap := first(all[:2])
	assert.NotContains(t, gap, "Total")
	assert.Equal(t, none, gap[all[1].Name][7])
	assert.Contains(t, first(all), "Where to look next")
}
