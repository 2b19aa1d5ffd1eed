package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Side is a job that is compared: an estimate as it was edited.
type Side struct {
	Name    string // job number, or file; each side has its own
	File    string // base name
	Book    estimate.Book
	Takeoff estimate.Takeoff
	Lists   pricing.Lists
	Plan    pricing.Plan // by Follow
	LeftOut int          // rows of the schedule that are not in the estimate
	Ordered bool         // what was ordered, not an estimate: the plan has its lines, and nothing else is known
	// Stored is the total that the file holds; it is compared with Plan.Bid.Total,
	// which counts.
	Stored      estimate.Maybe[measure.Money]
	StoredPlace estimate.Place
}

// OtherClass is the class of items that have none of estimate.Classes.
const OtherClass = "other"

// CostClasses returns the classes of a comparison, in the order of the work.
func CostClasses() []string { return append(slices.Clone(estimate.Classes), OtherClass) }

// Classes returns what the job buys of each class of material, by CostClasses.
func (s *Side) Classes() []ClassCost {
	out := make([]ClassCost, len(estimate.Classes)+1)
	for i, name := range CostClasses() {
		out[i].Class = name
	}
	for _, p := range s.Plan.Purchases {
		c := &out[pricing.ClassOrder(p.Item)]
		c.Items++
		c.Cost += p.Cost
		if p.State != "" {
			c.Missing = append(c.Missing, p.Item.Key)
		}
	}
	for i := range out {
		if out[i].Whole() {
			out[i].PerOpening = pricing.PerUnit(out[i].Cost, s.Plan.Bid.Openings, 1)
		}
	}
	return out
}

// Gaps returns what the total of a job leaves out, in words.
func (s *Side) Gaps() []string { return pricing.Gaps(s.Book, s.Takeoff, s.Plan, s.LeftOut) }

// NotIn returns what the total of a job leaves out, labor too.
func (s *Side) NotIn() []string {
	if s.HasLabor() {
		return s.Gaps()
	}
	return append(s.Gaps(), pricing.NoLabor)
}

// HasLabor reports whether the crew's hours are in the price.
func (s *Side) HasLabor() bool { return s.Plan.Bid.Labor != 0 }
