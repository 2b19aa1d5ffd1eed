package pricing

import (
	"cmp"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TooLate is why something stays that its supplier took back up to a day that has passed.
const TooLate = "too late"

// Return is a line of what is left whole, as its supplier takes it back. What is not
// stated is not set, and never assumed.
type Return struct {
	LeftWhole
	By         estimate.Maybe[measure.Date] // the last day, by the date of its order
	Late       bool                         // By is before the job's date
	Restocking estimate.Maybe[measure.Rate]
}

// Stays says why it cannot go back; "" = as far as is stated, it can.
func (r Return) Stays() string {
	if r.NoReturn == "" && r.Late {
		return TooLate
	}
	return string(r.NoReturn)
}

// Net is what the supplier pays back, before tax; gross where restocking is not stated;
// not set without a price.
//
//	net = ROUND(count × price × (1 − restocking), 2)
//
// Source: arithmetic
func (r Return) Net() estimate.Maybe[measure.Money] {
	if !r.Price.Set {
		return estimate.Maybe[measure.Money]{}
	}
	const perCent = 100 // of the units of a price
	return estimate.Given(measure.Money(measure.MulDiv(r.Count*int64(r.Price.V), int64(measure.One-r.Restocking.V), int64(measure.One)*perCent)))
}

// Returns lists what is left whole by supplier and item, with what each supplier says of
// returns.
func (r *Remaining) Returns() []Return {
	out := make([]Return, len(r.Whole))
	for i, w := range r.Whole {
		out[i].LeftWhole = w
		at := slices.IndexFunc(r.Lists.Terms, func(t Terms) bool { return t.Supplier == w.Supplier })
		if at < 0 {
			continue
		}
		terms := r.Lists.Terms[at]
		out[i].Restocking = terms.Restocking
		if terms.ReturnDays.Set && w.Date.Set {
			out[i].By = estimate.Given(w.Date.V + measure.Date(terms.ReturnDays.V))
			out[i].Late = r.Book.Job.Date.Set && r.Book.Job.Date.V > out[i].By.V
		}
	}
	slices.SortStableFunc(out, func(a, b Return) int { return cmp.Or(cmp.Compare(a.Supplier, b.Supplier), cmp.Compare(a.Item, b.Item)) })
	return out
}
