package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Days are counted from the order, and nothing that is not stated is assumed. Source:
// arithmetic: 3 x 8.805 x (1 - 0.125) = 23.113125, 4 x 23.125 x 0.85 = 78.625.
func TestReturns(t *testing.T) {
	bought := func(supplier, item string, price measure.UnitPrice, day measure.Date, no estimate.NoReturn) estimate.Bought {
		return estimate.Bought{Supplier: supplier, Item: item, NoReturn: no, Date: estimate.Maybe[measure.Date]{V: day, Set: day > 0},
			Price: estimate.Maybe[measure.UnitPrice]{V: price, Set: price > 0}}
	}
	r := Remaining{
		Lists: Lists{Terms: []Terms{{Supplier: "A", ReturnDays: estimate.Given[int64](30), Restocking: estimate.Given[measure.Rate](150_000)},
			{Supplier: "B", Restocking: estimate.Given[measure.Rate](125_000)}, {Supplier: "C", ReturnDays: estimate.Given[int64](30)}}},
		Whole: []LeftWhole{
			{bought("C", "tape", 100_000, 0, ""), 1}, {bought("B", "cap", 88_050, 1000, ""), 3}, {bought("A", "nail", 231_250, 1000, ""), 4},
			{bought("A", "board", 231_250, 1000, estimate.NoReturnCut), 1}, {bought("A", "shim", 231_250, 999, ""), 1}, {bought("D", "glue", 0, 1000, ""), 1},
			{bought("A", "foam", 231_250, 1, estimate.NoReturnOpened), 1},
		},
	}
	r.Book.Job.Date = estimate.Given[measure.Date](1030)
	type line struct {
		item  string
		by    estimate.Maybe[measure.Date]
		stays string
		net   estimate.Maybe[measure.Money]
	}
	var got []line
	for _, x := range r.Returns() {
		got = append(got, line{x.Item, x.By, x.Stays(), x.Net()})
	}
	day, cents := estimate.Given[measure.Date], estimate.Given[measure.Money]
	assert.Equal(t, []line{
		{"board", day(1030), "cut", cents(1966)}, {"foam", day(31), "opened", cents(1966)}, {"nail", day(1030), "", cents(7863)},
		{"shim", day(1029), "too late", cents(1966)}, {"cap", estimate.Maybe[measure.Date]{}, "", cents(2311)},
		{"tape", estimate.Maybe[measure.Date]{}, "", cents(1000)}, {"glue", estimate.Maybe[measure.Date]{}, "", estimate.Maybe[measure.Money]{}},
	}, got)
	r.Book.Job.Date.Set = false
	assert.Empty(t, r.Returns()[3].Stays(), "without a job date nothing is known to be late")
}
