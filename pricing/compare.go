package pricing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Side is a job that is compared: an estimate as it was edited.
type Side struct {
	Name    string // job number, or file; each side has its own
	File    string // base name
	Book    estimate.Book
	Takeoff estimate.Takeoff
	Lists   Lists
	Plan    Plan // by Follow
	LeftOut int  // rows of the schedule that are not in the estimate
	Ordered bool // what was ordered, not an estimate: the plan has its lines, and nothing else is known
	// Stored is the total that the file holds; it is compared with Plan.Bid.Total,
	// which counts.
	Stored      estimate.Maybe[measure.Money]
	StoredPlace estimate.Place
}

// OtherClass is the class of items that have none of estimate.Classes.
const OtherClass = "other"

// CostClasses returns the classes of a comparison, in the order of the work.
func CostClasses() []string { return append(slices.Clone(estimate.Classes), OtherClass) }

// Comparison is jobs side by side.
type Comparison struct {
	Jobs     []JobCost
	Items    []ItemPaid // that two jobs or more paid for, by class and item
	Odd      []Odd      // what stands out, furthest first
	Problems []estimate.Problem
}

// JobCost is what one job comes to.
type JobCost struct {
	Classes []ClassCost // by CostClasses
	Kinds   []KindCost  // by estimate.Kinds; those the job has
	Stock   []StockUse  // by class, cut items before packs; those the job buys
	Gaps    []string    // what its total leaves out, in words
}

// ClassCost is what a job buys of one class of material.
type ClassCost struct {
	Class      string
	Items      int           // needed; 0 = nothing of the class
	Missing    []string      // items of it without a price: the class is not complete
	Cost       measure.Money // of what has a price
	PerOpening estimate.Maybe[measure.Money]
}

// Whole reports whether the class has a cost: something is needed, and all of
// it has a price.
func (c ClassCost) Whole() bool { return c.Items > 0 && len(c.Missing) == 0 }

// KindCost is what the openings of one kind take of a job. Materials are all
// that was bought, shared by need.
type KindCost struct {
	Kind      estimate.Kind
	Openings  int64
	Perimeter measure.Length // of all frames
	Area      measure.Area
	Materials measure.Money
	Units     measure.Money // in the price
	NoUnit    int64         // openings whose unit belongs in the price and has no cost
}

// StockUse is how much of what was bought of a class the openings need: of
// items that are cut by length, without saw cuts, squared ends and spares; of
// packs with the allowance.
type StockUse struct {
	Class        string
	Cut          bool
	Items        int
	Need, Bought measure.Length // of cut items
	Cost         measure.Money
	Unused       measure.Money
	NotTold      []string // items not in it: stock on hand serves them too, or they have no price
}

// OverLowest returns how much a price is over the lowest, as a part of the
// lowest, to a millionth; a lowest price of 0 has none.
//
//	over = (price - lowest) / lowest
//
// Source: arithmetic, as in the tabulations of bids of public works
func OverLowest(price, lowest measure.Money) estimate.Maybe[measure.Rate] {
	return PartOf(price-lowest, lowest)
}

// PerLength returns the total for a foot of frame perimeter, or for a metre.
func (b Bid) PerLength(mm bool) estimate.Maybe[measure.Money] {
	if mm {
		return per(b.Total, int64(b.Perimeter), 1000*int64(measure.Millimetre))
	}
	return b.PerFoot
}

// PerArea returns the total for a square foot of frame, or for a square metre.
func (b Bid) PerArea(mm bool) estimate.Maybe[measure.Money] {
	if mm {
		return per(b.Total, int64(b.Area), units["m2"].num)
	}
	return b.PerSquareFoot
}

// CompareJobs sets jobs side by side. They must be in one currency; lengths are
// shown in millimetres or inches, as mm says. What is missing in a job is
// missing here: it is no zero, and nothing is compared with it.
func CompareJobs(sides []Side, mm bool) Comparison {
	var out Comparison
	for i := range sides {
		out.Jobs = append(out.Jobs, costOf(&sides[i]))
	}
	out.Items = itemsPaid(sides, mm)
	out.Odd = oddOnes(out.Jobs, out.Items)
	out.Problems = SideNotes(sides, mm)
	return out
}

func costOf(s *Side) JobCost {
	return JobCost{Classes: s.Classes(), Kinds: s.kinds(), Stock: s.stock(), Gaps: s.Gaps()}
}

// classOf returns the place of an item's class in CostClasses.
func classOf(item estimate.Item) int { return min(classOrder(item), len(estimate.Classes)) }

// Classes returns what the job buys of each class of material, by CostClasses.
func (s *Side) Classes() []ClassCost {
	out := make([]ClassCost, len(estimate.Classes)+1)
	for i, name := range CostClasses() {
		out[i].Class = name
	}
	for _, p := range s.Plan.Purchases {
		c := &out[classOf(p.Item)]
		c.Items++
		c.Cost += p.Cost
		if p.State != "" {
			c.Missing = append(c.Missing, p.Item.Key)
		}
	}
	for i := range out {
		if out[i].Whole() {
			out[i].PerOpening = per(out[i].Cost, s.Plan.Bid.Openings, 1)
		}
	}
	return out
}

// kinds divides what was bought over the kinds of opening.
func (s *Side) kinds() []KindCost {
	materials := s.bearing()
	var out []KindCost
	for _, kind := range estimate.Kinds {
		k := KindCost{Kind: estimate.Kind(kind)}
		for i := range s.Takeoff.Openings {
			if o := &s.Takeoff.Openings[i]; o.Kind == k.Kind {
				k.add(o)
				k.Materials += materials[i]
			}
		}
		if k.Openings > 0 {
			out = append(out, k)
		}
	}
	return out
}

func (k *KindCost) add(o *estimate.Sized) {
	k.Openings += o.Qty
	k.Perimeter += measure.Length(o.Qty) * o.Frame.Perimeter()
	k.Area += measure.Area(o.Qty) * o.Frame.Area()
	switch {
	case o.SuppliedBy == estimate.ByOwner:
	case o.UnitCost.Set:
		k.Units += measure.Money(o.Qty) * o.UnitCost.V
	default:
		k.NoUnit += o.Qty
	}
}

// bearing returns what each opening bears of all that was bought, by need.
func (s *Side) bearing() []measure.Money {
	g := gather(s.Book.Items, &s.Takeoff)
	out := make([]measure.Money, len(s.Takeoff.Openings))
	for _, p := range s.Plan.Purchases {
		weights := make([]int64, len(p.Rows))
		for i, row := range p.Rows {
			weights[i] = g.weights[row]
		}
		for i, m := range measure.Shares(p.Cost, weights) {
			out[s.Takeoff.Requirements[p.Rows[i]].Opening] += m
		}
	}
	return out
}

// stock says how much of what was bought is needed.
func (s *Side) stock() []StockUse {
	var out []StockUse
	for i, class := range CostClasses() {
		for _, isCut := range []bool{true, false} {
			u := StockUse{Class: class, Cut: isCut}
			for _, p := range s.Plan.Purchases {
				if classOf(p.Item) == i && p.Item.Cut == isCut {
					u.add(p, s.Book.Job.OnHand)
				}
			}
			if u.Items+len(u.NotTold) > 0 {
				out = append(out, u)
			}
		}
	}
	return out
}

func (u *StockUse) add(p Purchase, onHand []estimate.OnHand) {
	of := func(h estimate.OnHand) bool { return h.Item == p.Item.Key }
	if p.State != "" || p.Bought == 0 || slices.ContainsFunc(onHand, of) {
		u.NotTold = append(u.NotTold, p.Item.Key)
		return
	}
	u.Items++
	u.Cost += p.Cost
	used := withAllowance(p.Need, p.Allowance)
	if used < p.Bought {
		u.Unused += measure.Shares(p.Cost, []int64{used, p.Bought - used})[1]
	}
	if u.Cut {
		u.Need += measure.Length(p.Need)
		u.Bought += measure.Length(p.Bought)
	}
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
		if _, ok := CostOf(l); !ok {
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

// Odd is a figure that stands out among those of the other jobs.
type Odd struct {
	What   string // the figure: "boards, an opening"
	Job    int    // index into the sides
	Value  measure.UnitPrice
	Usual  measure.UnitPrice // median of all jobs that have the figure
	Spread measure.UnitPrice // median of the distances from it
	Times  int64             // distance from Usual over Spread, in tenths
	Of     int               // jobs that have the figure
}

// figure is one thing that is looked at in several jobs.
type figure struct {
	what   string
	jobs   []int
	values []measure.UnitPrice
}

// fewestToTell is the fewest jobs among which one can stand out.
const fewestToTell = 3

// standsOut is how many spreads from the usual, in tenths, a figure stands out:
// 0.6745 × distance / spread > 3.5.
//
// Source: the modified z-score of Iglewicz and Hoaglin (1993), from memory
const standsOut = 52

// leastSpread is the part of the usual value that the spread is at least: where
// most jobs paid the same to the cent, a cent more does not stand out.
const leastSpread = 50

// oddOnes returns the figures that stand out, furthest first: the cost of each
// class for an opening, and the prices paid for an item.
func oddOnes(jobs []JobCost, items []ItemPaid) []Odd {
	var out []Odd
	for i, class := range CostClasses() {
		f := figure{what: class + ", an opening"}
		for j, job := range jobs {
			if c := job.Classes[i].PerOpening; c.Set {
				f.add(j, measure.UnitPrice(c.V)*100)
			}
		}
		out = append(out, f.odd()...)
	}
	for _, it := range items {
		f := figure{what: fmt.Sprintf("%s, %s", it.Item.Key, it.Per)}
		for _, p := range it.Paid {
			f.add(p.Job, p.Price)
		}
		out = append(out, f.odd()...)
	}
	slices.SortStableFunc(out, func(a, b Odd) int { return cmp.Compare(b.Times, a.Times) })
	return out
}

func (f *figure) add(job int, v measure.UnitPrice) {
	f.jobs, f.values = append(f.jobs, job), append(f.values, v)
}

// odd returns the values of a figure that stand out.
func (f *figure) odd() []Odd {
	if len(f.values) < fewestToTell {
		return nil
	}
	usual := Median(f.values)
	away := make([]measure.UnitPrice, len(f.values))
	for i, v := range f.values {
		away[i] = max(v-usual, usual-v)
	}
	spread := max(Median(away), usual/leastSpread, 1)
	var out []Odd
	for i, d := range away {
		if times := measure.MulDiv(int64(d), 10, int64(spread)); times > standsOut {
			out = append(out, Odd{f.what, f.jobs[i], f.values[i], usual, spread, times, len(f.values)})
		}
	}
	return out
}

// Median returns the middle one of values, of an even number the mean of the
// two in the middle, half away from zero; of none, 0.
//
// Source: arithmetic
func Median(values []measure.UnitPrice) measure.UnitPrice {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	low, high := sorted[(len(sorted)-1)/2], sorted[len(sorted)/2]
	return measure.UnitPrice(measure.MulDiv(int64(low+high), 1, 2))
}
