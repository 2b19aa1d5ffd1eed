package comparison

import (
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

// quoted returns a comparison of quotes for 250 shims, by suppliers of names that
// no sheet may trip over; prices in cents, below 0 = blank.
func quoted(names []string, prices ...int64) QuotesInput {
	shim := estimate.Item{Key: "=shim", Name: "Shim & <wedge>", Class: "shims and screws", Dim: estimate.Each}
	job := estimate.Job{Currency: "USD", Name: "A shed"}
	t := estimate.Takeoff{Openings: []estimate.Sized{{Opening: estimate.Opening{Mark: "W1", Qty: 1, FurnishedBy: "owner"}}},
		Requirements: []estimate.Requirement{{Item: shim.Key, Dim: shim.Dim, Amount: 250}}}
	var quotes []compare.SupplierQuote
	for i, p := range prices {
		l := compare.QuoteLine{Offer: pricing.Offer{Place: estimate.Place{File: "q.csv", Row: 2}, Item: shim.Key, Content: "100 each", Amount: 100},
			Named: shim.Key, Count: estimate.Given(int64(3)),
			At: map[string]estimate.Place{compare.CellPrice: {File: "q.csv", Row: 2, Column: "price"},
				compare.CellExtension: {File: "q.csv", Row: 2, Column: "extension"}}}
		if p >= 0 {
			l.Price = estimate.Given(measure.UnitPrice(100 * p))
			l.Extension = estimate.Given(measure.Money(3*p + 1)) // a cent apart: two readings
		}
		quotes = append(quotes, compare.SupplierQuote{Supplier: names[i], Place: estimate.Place{File: "q.csv"}, Lines: []compare.QuoteLine{l}})
	}
	c := compare.Quotes(estimate.Book{Job: job, Items: estimate.NewItems([]estimate.Item{shim})}, &t, nil, quotes)
	return QuotesInput{File: "shed-estimate.xlsx", Job: job, Comparison: c}
}

func TestQuotes(t *testing.T) {
	hostile := []string{"Item", "=1+1", "Yard 'A' & <Sons>, " + strings.Repeat("long ", 20)}
	for _, c := range []struct {
		why    string
		prices []int64
		rank   string
		offer  string
	}{
		{"all quote", []int64{1000, 900, 1100}, "2", "30"},
		{"one lacks it: no ranking", []int64{1000, -1, 1100}, "-", "30"},
		{"one quote alone", []int64{1000}, "1", "30"},
		{"nobody quotes it", []int64{-1, -1}, "-", "0"},
	} {
		in := quoted(hostile, c.prices...)
		data, err := Quotes(in)
		require.NoError(t, err, c.why)
		assert.Empty(t, audit.Lint(data), c.why)
		again, err := Quotes(in)
		require.NoError(t, err)
		assert.Equal(t, data, again, "the same bytes")
		f := opened(t, data)
		first := records(t, f, "Quotes", "Quote")[0]
		assert.Equal(t, c.rank, first["Rank"], c.why)
		assert.Equal(t, c.offer, first["Quoted total"], c.why)
		items, err := f.SearchSheet("By item", "=shim")
		require.NoError(t, err)
		require.Len(t, items, 1)
		item, err := f.GetCellFormula("By item", items[0])
		require.NoError(t, err)
		assert.Empty(t, item, "text that looks like a formula stays text")
	}
	nothing := compare.Quotes(estimate.Book{}, &estimate.Takeoff{}, nil, []compare.SupplierQuote{{Supplier: "A"}})
	empty, err := Quotes(QuotesInput{File: "x.xlsx", Comparison: nothing})
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(empty), "a job that needs nothing, and a quote of nothing")
	assert.NotContains(t, parts(t, empty)["xl/worksheets/sheet2.xml"], "SUM(", "a sum of no rows would name its own cell")

	// A supplier's name gives way to the heads that formulas and readers know.
	clash, err := Quotes(quoted([]string{"Lowest", "lowest"}, 1000, 900))
	require.NoError(t, err)
	item := records(t, opened(t, clash), "By item", "Item")[0]
	assert.Equal(t, []string{"30", "27", "27"}, []string{item["Lowest (quote)"], item["lowest (quote) (quote)"], item["Lowest"]})
}

// What has no total has no rank, and says so instead of rank 0.
func TestRankWords(t *testing.T) {
	assert.Equal(t, "rank 2", rankWords(2))
	assert.Equal(t, "not ranked", rankWords(0))
	assert.Equal(t, "quoted sum: not ranked, not rank 1", rankingWords([]compare.Reading{{OwnRank: 1}, {}}, 1))
}
