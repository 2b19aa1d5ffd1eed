package compare

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// ten is a line of ten hundreds at 10.00, of which three are left over.
func ten() BuyChange { return hundreds(10, 0, 3) }

func percent(n int64) estimate.Maybe[measure.Rate] { return estimate.Given(measure.Rate(n * 10_000)) }

func TestSurplusEntry(t *testing.T) {
	back := func(n int64) SurplusEntry { return SurplusEntry{Back: estimate.Given(n), Restocking: percent(15)} }
	credit := func(n measure.Money) SurplusEntry {
		e := back(3)
		e.Credit = estimate.Given(n)
		return e
	}
	kept, bare := back(3), back(2)
	kept.Kept = "opened"
	bare.Restocking = estimate.Maybe[measure.Rate]{}
	for _, c := range []struct {
		why      string
		typed    SurplusEntry
		worth    measure.Money
		credited measure.Money
		state    string
	}{
		{"blank is not zero", SurplusEntry{}, 0, 0, NotSaid},
		{"none goes back", SurplusEntry{Back: estimate.Given(int64(0))}, 0, 0, ""},
		{"two of 10.00 less 15 %", back(2), 20_00, 17_00, ""},
		{"blank restocking is not 0 %", bare, 20_00, 0, NoCredit},
		{"more than is left", back(4), 0, 0, TooManyBack},
		{"a credit in place of the restocking", credit(12_34), 30_00, 12_34, ""},
		{"a credit above what it cost", credit(30_01), 30_00, 30_00, TooMuchCredit},
		{"it cannot be returned", SurplusEntry{Kept: "special order"}, 0, 0, ""},
		{"it cannot, and goes back", kept, 0, 0, NotReturned},
		{"it cannot, and is credited", SurplusEntry{Kept: "cut", Credit: estimate.Given(measure.Money(5))}, 0, 0, NotReturned},
		{"a credit for none that goes back", SurplusEntry{Back: estimate.Given(int64(0)), Credit: estimate.Given(measure.Money(5))}, 0, 0, TooMuchCredit},
		{"a credit, and not said if it goes back", SurplusEntry{Credit: estimate.Given(measure.Money(5))}, 0, 0, NotSaid},
	} {
		t.Run(c.why, func(t *testing.T) {
			assert.Equal(t, c.worth, c.typed.BackWorth(ten()))
			assert.Equal(t, c.credited, c.typed.Credited(ten()))
			assert.Equal(t, c.state, c.typed.State(ten()))
		})
	}
}

// Bids 1,000.00 and 1,200.00. To undo: 2.5 h at 40.00 = 100.00. Cut for nothing: 30.00,
// of which 10.00 serves again. Left over: three hundreds = 30.00, two of which go back
// for 17.00. Tax 10 % of 20 + 30 − 17 = 3.30. Extra: 100 + 33 + 3.30 = 136.30; overhead
// 10 % = 13.63, contingency 5 % of 149.93 = 7.50, profit 20 % of 157.43 = 31.49.
func TestChangeSum(t *testing.T) {
	job := &estimate.Job{Tax: 100_000, Overhead: 100_000, Contingency: 50_000, Profit: 200_000}
	c := PriceChange{Was: 1000_00, Now: 1200_00, Surplus: []BuyChange{ten()}, Marks: []MarkPrice{
		{Mark: "W1", Before: true, Cut: CutLoss{Pieces: 2, Worth: 30_00}}, {Mark: "W2"}}}
	e := ChangeEntries{LaborRate: estimate.Given(measure.Money(40_00)),
		Marks:   map[string]MarkEntry{"w1": {Hours: estimate.Given(estimate.Hour * 5 / 2), Again: estimate.Given(measure.Money(10_00))}},
		Surplus: map[string]SurplusEntry{ten().Key(): {Back: estimate.Given(int64(2)), Restocking: percent(15)}}}
	want := ChangeSum{Bids: 200_00, Undo: 100_00, Cut: 20_00, Bought: 30_00, Credits: 17_00, Tax: 3_30, Extra: 136_30,
		Markup: Markup{Overhead: 13_63, Contingency: 7_50, Profit: 31_49}, Total: 388_92}
	assert.Equal(t, want, c.Sum(job, e))
	assert.Empty(t, c.Lacks(Side{}, Side{}, e))

	job.Margin = true // 157.43 / 0.8 = 196.7875
	want.Markup.Profit, want.Total = 39_36, 396_79
	assert.Equal(t, want, c.Sum(job, e))

	e.Markup = percent(50) // 68.15 in place of all three
	want.Markup, want.Typed, want.Total = Markup{}, 68_15, 404_45
	assert.Equal(t, want, c.Sum(job, e))

	e.LaborRate = estimate.Maybe[measure.Money]{}
	assert.Equal(t, []string{"1 mark: " + NoRate}, c.Lacks(Side{}, Side{}, e))
	assert.Equal(t, []string{"1 mark: " + NoHours, "1 surplus line: " + NotSaid}, c.Lacks(Side{}, Side{}, ChangeEntries{}))
	e.Marks["w1"] = MarkEntry{Again: estimate.Given(measure.Money(30_01))}
	assert.Equal(t, []string{"1 mark: " + NoHours, "1 mark: " + TooMuchAgain}, c.Lacks(Side{}, Side{}, e))
	assert.False(t, e.Lost(c.Marks[0]).Set)
}

func TestNewPrice(t *testing.T) {
	e := ChangeEntries{Original: estimate.Given(measure.Money(1000_00))}
	assert.Equal(t, estimate.Maybe[measure.Money]{}, e.NewPrice(50_00), "earlier changes are not stated")
	assert.Contains(t, e.Blanks(), "earlier changes")
	e.Earlier = estimate.Given(measure.Money(-100_00))
	assert.Equal(t, estimate.Given(measure.Money(950_00)), e.NewPrice(50_00))
	assert.NotContains(t, e.Blanks(), "earlier changes")
}
