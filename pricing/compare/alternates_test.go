package compare

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// costing is a book of one cost line, with 10 % overhead; a price below 0 is
// missing.
func costing(cents int64) estimate.Book {
	l := estimate.CostLine{Text: "lift", Count: estimate.Given(int64(2))}
	if cents >= 0 {
		l.Price = estimate.Given(measure.UnitPrice(100 * cents))
	}
	j := job()
	j.Costs, j.Overhead = []estimate.CostLine{l}, 100_000
	return estimate.Book{Job: j}
}

// Source: arithmetic. 2 x 50.00 and 10 % are 110.00; 2 x 75.00 and 10 % are 165.00.
func TestPriceAlternate(t *testing.T) {
	b := NewBasis(costing(5000), pricing.Lists{})
	assert.Equal(t, measure.Money(11_000), b.Bid.Total)
	a := b.Price(Alternate{Name: "a larger lift", Book: costing(7500), Openings: 3}, pricing.Lists{})
	assert.True(t, a.Computed)
	assert.Equal(t, measure.Money(5_500), a.Difference)
	assert.Equal(t, estimate.Given(measure.Money(1_833)), a.PerOpening, "55.00 / 3")
	assert.Equal(t, measure.Money(-5_500), b.Price(Alternate{Book: costing(2500)}, pricing.Lists{}).Difference)
	assert.False(t, b.Price(Alternate{Book: costing(2500)}, pricing.Lists{}).PerOpening.Set, "of no opening")
}

// An alternate without all of its costs, or beside a job without, has no figure.
func TestAlternateWithoutFigure(t *testing.T) {
	const lacks = `the cost "lift" lacks its count or its price; it is not in the bid`
	whole, gap := NewBasis(costing(5000), pricing.Lists{}), NewBasis(costing(-1), pricing.Lists{})
	const noProfit = "a profit of 100 % cannot be a margin of the price; the bid has no profit"
	unpriceable := costing(-1)
	unpriceable.Job.Margin, unpriceable.Job.Profit = true, measure.One
	broken := Alternate{Name: "broken",
		Problems: []estimate.Problem{{Severity: estimate.Error, What: "cannot be read"}, {Severity: estimate.Note, What: "a note"}},
	}
	for _, c := range []struct {
		why  string
		of   Basis
		a    Alternate
		want []string
	}{
		{"it lacks a price", whole, Alternate{Book: costing(-1)}, []string{lacks}},
		{"the job lacks one that it has", gap, Alternate{Book: costing(5000)}, []string{"the job as it stands leaves out what this alternate has: " + lacks}},
		{"the job lacks something else", gap, Alternate{Book: unpriceable}, []string{noProfit}},
		{"both lack the same", gap, Alternate{Book: costing(-1)}, nil},
		{"it cannot be read", whole, broken, []string{"cannot be read"}},
	} {
		got := c.of.Price(c.a, pricing.Lists{})
		var words []string
		for _, p := range got.Why {
			words = append(words, p.What)
		}
		assert.Equal(t, c.want, words, c.why)
		assert.Equal(t, c.want == nil, got.Computed, c.why)
		assert.Zero(t, got.Difference, c.why)
	}
}
