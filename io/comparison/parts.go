package comparison

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// bidPart is a part of a price, or a sum of the parts from one to another.
type bidPart struct {
	label    string
	of       func(pricing.Bid) measure.Money
	from, to string  // of a sum
	width    float64 // of its column where a job has a row

	sheet, tells string // which sheet of jobs side by side says more, and what
}

// Parts that are written in a way of their own.
const (
	materialsPart = "Materials" // has a sheet where jobs stand side by side
	laborPart     = "Labor"     // a price may lack it
)

// bidParts builds a price up; every sum stands behind its parts, and is the first part
// of the next.
var bidParts = []bidPart{
	{materialsPart, func(b pricing.Bid) measure.Money { return b.Materials }, "", "", 11, "Materials", "by class"},
	{"Delivery", func(b pricing.Bid) measure.Money { return b.Delivery }, "", "", 10, "Price", "what the suppliers charge"},
	{"Windows and doors", func(b pricing.Bid) measure.Money { return b.Units }, "", "", 12, "Kinds", "by kind of opening"},
	{"Other costs", func(b pricing.Bid) measure.Money { return b.Costs }, "", "", 10, "Price", "each job's own"},
	{laborPart, func(b pricing.Bid) measure.Money { return b.Labor }, "", "", 10, "Price", "of the hours typed"},
	{"Sales tax", func(b pricing.Bid) measure.Money { return b.Tax }, "", "", 10, "Files", "its rates"},
	{"Direct cost", func(b pricing.Bid) measure.Money { return b.Direct }, materialsPart, "Sales tax", 12, "Price", "the parts above"},
	{"Overhead", func(b pricing.Bid) measure.Money { return b.Overhead }, "", "", 11, "Files", "its rates"},
	{"Contingency", func(b pricing.Bid) measure.Money { return b.Contingency }, "", "", 12, "Files", "its rates"},
	{"Cost", func(b pricing.Bid) measure.Money { return b.Cost }, "Direct cost", "Contingency", 12, "Price", "with what is added"},
	{"Profit", func(b pricing.Bid) measure.Money { return b.Profit }, "", "", 11, "Files", "its rates"},
	{"Total", func(b pricing.Bid) measure.Money { return b.Total }, "Cost", "Profit", 12, "Price", "all parts, drawn"},
}

// isSum reports whether the part adds others up.
func (x bidPart) isSum() bool { return x.from != "" }

// in returns the part of a price. Where no hours are typed there is no labor, which is
// no zero.
func (x bidPart) in(s compare.Side) estimate.Maybe[measure.Money] {
	if x.label == laborPart && !s.HasLabor() {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(x.of(s.Plan.Bid))
}

// across is the formula of a sum in a row that has the parts side by side.
func (x bidPart) across() string { return fmt.Sprintf("SUM({%s..%s})", x.from, x.to) }
