package compare

import (
	"fmt"
	"slices"
	"strings"

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
func (s *Side) Gaps() []string {
	var out []string
	say := func(n int, one, more string) {
		switch {
		case n == 1:
			out = append(out, "1 "+one)
		case n > 1:
			out = append(out, fmt.Sprintf("%d %s", n, more))
		}
	}
	say(s.LeftOut, "row left out", "rows left out")
	if missing := s.Plan.Unpriced(); len(missing) > 0 {
		out = append(out, "no price of "+strings.Join(missing, ", "))
	}
	say(len(s.Plan.Bid.NoUnitCost), "mark without a unit cost", "marks without a unit cost")
	say(s.openCosts(), "cost line without its count or price", "cost lines without their count or price")
	say(s.cutMarks(), "mark whose trim was cut before", "marks whose trim was cut before")
	if len(s.Book.Job.OnHand) > 0 {
		out = append(out, "what was on hand")
	}
	return out
}

// openCosts counts the cost lines that lack their count or price.
func (s *Side) openCosts() (n int) {
	for _, l := range s.Book.Job.Costs {
		if _, ok := pricing.CostOf(l); !ok {
			n++
		}
	}
	return n
}

// cutMarks counts the marks of which something was cut before.
func (s *Side) cutMarks() int {
	seen := map[int]bool{}
	for _, r := range s.Takeoff.Requirements {
		if r.Done {
			seen[r.Opening] = true
		}
	}
	return len(seen)
}

// HasLabour reports whether the crew's hours are in the price.
func (s *Side) HasLabour() bool { return s.Plan.Bid.Labour != 0 }
