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
	t := estimate.Takeoff{Openings: []estimate.Sized{{Opening: estimate.Opening{Mark: "W1", Qty: 1, SuppliedBy: "owner"}}},
		Requirements: []estimate.Requirement{{Item: shim.Key, Dim: shim.Dim, Amount: 250}}}
	var quotes []compare.SupplierQuote
	for i, p := range prices {
		l := compare.QuoteLine{Offer: pricing.Offer{Place: estimate.Place{File: "q.csv", Row: 2}, Item: shim.Key, Content: "100 each", Amount: 100}, Named: shim.Key, Count: estimate.Given(int64(3)),
			At: map[string]estimate.Place{compare.CellPrice: {File: "q.csv", Row: 2, Column: "price"}, compare.CellExtension: {File: "q.csv", Row: 2, Column: "extension"}}}
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
		rank, err := f.GetCellValue("Quotes", "L5")
		require.NoError(t, err)
		assert.Equal(t, c.rank, rank, c.why)
		offer, err := f.GetCellValue("Quotes", "P5")
		require.NoError(t, err)
		assert.Equal(t, c.offer, offer, c.why)
		item, err := f.GetCellFormula("By item", "A5")
		require.NoError(t, err)
		assert.Empty(t, item, "text that looks like a formula stays text")
	}
	empty, err := Quotes(QuotesInput{File: "x.xlsx", Comparison: compare.Quotes(estimate.Book{}, &estimate.Takeoff{}, nil, []compare.SupplierQuote{{Supplier: "A"}})})
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(empty), "a job that needs nothing, and a quote of nothing")
}

func TestAlternatesWorkbook(t *testing.T) {
	book := estimate.Book{Job: estimate.Job{Currency: "USD", Overhead: 100_000, Profit: measure.One, Margin: true}}
	basis := compare.NewBasis(book, pricing.Lists{})
	why := estimate.Problem{Severity: estimate.Error, What: "no rigid pan fits", Do: "choose another"}
	in := AlternatesInput{File: "=shed.xlsx", Basis: basis, Problems: []estimate.Problem{why}, All: []compare.Alternative{
		basis.Price(compare.Alternate{Name: "=1+1", What: "nothing & <more>", Book: book}, pricing.Lists{}),
		basis.Price(compare.Alternate{Name: "no pan", Problems: []estimate.Problem{why, why}}, pricing.Lists{}),
	}}
	data, err := Alternates(in)
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	f := opened(t, data)
	rows, err := f.GetRows("Alternates")
	require.NoError(t, err)
	assert.Equal(t, []string{"=1+1", "nothing & <more>", "", "0", "0", "0", "-"}, rows[6])
	assert.Equal(t, []string{"no pan", "", "", "0", "no figure", "no figure", "no figure", "no rigid pan fits (choose another); and 1 more: see Problems"}, rows[7])
}
