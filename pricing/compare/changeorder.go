package compare

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// ChangeEntries is what an estimator types about a change. What is not set is
// blank: not known, and never zero.
//
// A change order is in writing before the work, and states the scope, the amount
// added or subtracted, and the effect on the payments and on the completion date:
// hence the words of the page.
//
// Source: one state's Business and Professions Code 7159(e)(3), quoted in contract
// forms
type ChangeEntries struct {
	Number, Reason string
	Date           estimate.Maybe[measure.Date]
	Original       estimate.Maybe[measure.Money] // contract price
	Earlier        estimate.Maybe[measure.Money] // changes before this one, with their signs
	Days           estimate.Maybe[int64]         // added to completion; fewer than 0 = it is done earlier
	Payments       string                        // effect on the payment schedule
	Hidden         string                        // what may still be hidden
	ValidUntil     estimate.Maybe[measure.Date]

	LaborRate estimate.Maybe[measure.Money] // of an hour to undo
	Markup    estimate.Maybe[measure.Rate]  // on what it costs to undo; not set = the later job's own rates
	Marks     map[string]MarkEntry          // by mark in lower case
	Surplus   map[string]SurplusEntry       // by BuyChange.Key
}

// MarkEntry is what is typed about a mark.
type MarkEntry struct {
	Hours estimate.Maybe[estimate.Hours] // to undo what was done
	Again estimate.Maybe[measure.Money]  // worth of what was cut and serves again
}

// SurplusEntry is what is typed about a line that is left over.
type SurplusEntry struct {
	Back       estimate.Maybe[int64] // how many go back to the supplier
	Restocking estimate.Maybe[measure.Rate]
	Credit     estimate.Maybe[measure.Money] // what the supplier credits, in place of the worth less restocking
	Kept       string                        // why it cannot be returned; "" = it can
}

// Key tells lines of what was bought apart.
func (b BuyChange) Key() string {
	return strings.ToLower(strings.Join([]string{b.Item.Key, b.Supplier, b.Code, b.Content}, "\n"))
}

// Entry returns what is typed about a mark.
func (e ChangeEntries) Entry(m MarkPrice) MarkEntry { return e.Marks[strings.ToLower(m.Mark)] }

// UndoCost returns what the hours to undo of a mark cost; not set where the hours
// or the labor rate are not.
//
//	cost = ROUND(ROUND(hours × labor rate, 6), 2)
func (e ChangeEntries) UndoCost(m MarkPrice) estimate.Maybe[measure.Money] {
	hours := e.Entry(m).Hours
	if !m.Before || !hours.Set || !e.LaborRate.Set {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(measure.Money(measure.MulDiv(int64(hours.V), int64(e.LaborRate.V), int64(estimate.Hour))))
}

// Lost returns the worth of what was cut of a mark and does not serve again; not set
// where that worth is not known, or is less than what serves again.
func (e ChangeEntries) Lost(m MarkPrice) estimate.Maybe[measure.Money] {
	if e.cutState(m) != "" {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(m.Cut.Worth - e.Entry(m).Again.V)
}

// UndoState says what the cost to undo lacks at a mark; "" = nothing.
func (e ChangeEntries) UndoState(m MarkPrice) string {
	hours := e.Entry(m).Hours
	switch {
	case m.Before && !hours.Set:
		return NoHours
	case m.Before && !e.LaborRate.Set:
		return NoRate
	}
	return ""
}

// cutState says what the worth of what was cut lacks at a mark; "" = nothing.
func (e ChangeEntries) cutState(m MarkPrice) string {
	switch {
	case m.Cut.Unknown:
		return NoWorth
	case e.Entry(m).Again.V > m.Cut.Worth:
		return TooMuchAgain
	}
	return ""
}

// What the change price lacks at a mark, or at a line that is left over.
const (
	NoHours       = "no hours to undo"
	NoRate        = "hours without a labor rate"
	NoWorth       = "worth of what was cut is not known"
	TooMuchAgain  = "more serves again than was cut"
	NotSaid       = "not said if it goes back: counted as kept"
	NoCredit      = "no restocking and no credit: nothing is credited"
	NotReturned   = "cannot be returned: nothing is credited"
	TooManyBack   = "more goes back than is left: nothing is credited"
	TooMuchCredit = "credit is more than it cost"
)

// BackWorth returns what was paid for what goes back of a line; 0 where it cannot.
func (s SurplusEntry) BackWorth(b BuyChange) measure.Money {
	if s.Kept != "" || s.Back.V > b.Left {
		return 0
	}
	return b.cost(s.Back.V)
}

// Credited returns what comes back for a line: the worth of what goes back less
// its restocking, or the credit typed, at most that worth. Without either it is
// nothing, and State says so.
func (s SurplusEntry) Credited(b BuyChange) measure.Money {
	worth := s.BackWorth(b)
	switch {
	case s.Credit.Set:
		return min(s.Credit.V, worth)
	case s.Restocking.Set:
		return worth - worth.Scale(s.Restocking.V)
	}
	return 0
}

// State says what is open at a line that is left over; "" = nothing.
func (s SurplusEntry) State(b BuyChange) string {
	switch worth := s.BackWorth(b); {
	case !s.Back.Set && s.Kept == "":
		return NotSaid
	case s.Kept != "" && (s.Back.V > 0 || s.Credit.V > 0):
		return NotReturned
	case s.Kept != "":
		return ""
	case s.Back.V > b.Left:
		return TooManyBack
	case worth > 0 && !s.Restocking.Set && !s.Credit.Set:
		return NoCredit
	case s.Credit.V > worth:
		return TooMuchCredit
	}
	return ""
}

// ChangeSum is what a change comes to, line by line.
//
// The later bid is planned as a whole job from scratch: what was cut or bought
// for nothing is in neither bid, and is added here, with what it costs to undo.
// Boards that were cut for nothing count as used, so that they are not left over
// too.
type ChangeSum struct {
	Bids    measure.Money // later less earlier
	Undo    measure.Money // hours at the labor rate
	Cut     measure.Money // for nothing, without what serves again
	Bought  measure.Money // for nothing: whole boards and packs that are left over
	Credits measure.Money // for what goes back
	Tax     measure.Money // on what was cut and bought for nothing, less credits
	Extra   measure.Money // Undo + Cut + Bought − Credits + Tax
	Markup  Markup        // on Extra, by the later job's own rates
	Typed   measure.Money // on Extra, at the rate typed
	Total   measure.Money
}

// Sum adds up a change; job is the later one.
//
//	tax   = ROUND((cut + bought − credits) × rate, 2)
//	total = difference of the bids + extra costs + markup on them
func (c PriceChange) Sum(job *estimate.Job, e ChangeEntries) ChangeSum {
	s := ChangeSum{Bids: c.Now - c.Was}
	for _, m := range c.Marks {
		s.Undo = s.Undo.Plus(e.UndoCost(m).V)
		s.Cut = s.Cut.Plus(e.Lost(m).V)
	}
	for _, b := range c.Surplus {
		s.Bought = s.Bought.Plus(b.LeftWorth())
		s.Credits = s.Credits.Plus(e.Surplus[b.Key()].Credited(b))
	}
	materials := s.Cut.Plus(s.Bought) - s.Credits
	s.Tax = pricing.Tax(materials, job.Tax)
	s.Extra = s.Undo.Plus(materials, s.Tax)
	if e.Markup.Set {
		s.Typed = s.Extra.Scale(e.Markup.V)
	} else {
		s.Markup = MarkupOf(job, s.Extra)
	}
	s.Total = s.Bids.Plus(s.Extra, s.Markup.Sum(), s.Typed)
	return s
}

// BidLacks says in words what a difference of two bids is without.
func BidLacks(was, now Side) []string {
	var out []string
	for _, s := range []struct {
		which string
		side  Side
	}{{"earlier", was}, {"later", now}} {
		for _, gap := range s.side.changeGaps() {
			out = append(out, fmt.Sprintf("the %s bid: %s", s.which, gap))
		}
	}
	if was.HasLabor() != now.HasLabor() {
		out = append(out, "labor: one of the bids has it, the other none")
	}
	return out
}

// Lacks says in words what the price of a change is without: what either bid
// leaves out, and what is open at the marks and at what is left over.
func (c PriceChange) Lacks(was, now Side, e ChangeEntries) []string {
	out := BidLacks(was, now)
	var open tally
	for _, m := range c.Marks {
		open.add(e.UndoState(m), "mark")
		open.add(e.cutState(m), "mark")
	}
	for _, b := range c.Surplus {
		open.add(e.Surplus[b.Key()].State(b), "surplus line")
	}
	return append(out, open.words()...)
}

// tally counts what is open, in the order in which it is met.
type tally []struct {
	what, at string
	n        int
}

func (t *tally) add(what, at string) {
	if what == "" {
		return
	}
	for i := range *t {
		if x := &(*t)[i]; x.what == what {
			x.n++
			return
		}
	}
	*t = append(*t, struct {
		what, at string
		n        int
	}{what, at, 1})
}

func (t tally) words() (out []string) {
	for _, x := range t {
		if x.n > 1 {
			x.at += "s"
		}
		out = append(out, fmt.Sprintf("%d %s: %s", x.n, x.at, x.what))
	}
	return out
}

// changeGaps returns in words what a bid leaves out that a price of a change must
// have. What is on hand costs no bid anything, and is no gap here.
func (s *Side) changeGaps() []string {
	book := s.Book
	book.Job.OnHand = nil
	out := pricing.Gaps(book, s.Takeoff, s.Plan, s.LeftOut)
	if s.Plan.Invented() > 0 {
		out = append(out, "invented prices")
	}
	return out
}

// Blanks lists what a page for the customer does not state.
func (e ChangeEntries) Blanks() []string {
	var out []string
	for _, x := range []struct {
		what string
		set  bool
	}{
		{"change number", e.Number != ""}, {"date", e.Date.Set}, {"reason", e.Reason != ""},
		{"original contract price", e.Original.Set}, {"earlier changes", e.Earlier.Set}, {"days added to completion", e.Days.Set},
		{"effect on the payment schedule", e.Payments != ""}, {"what may still be hidden", e.Hidden != ""}, {"valid until", e.ValidUntil.Set},
	} {
		if !x.set {
			out = append(out, x.what)
		}
	}
	return out
}

// NewPrice returns the contract price with this change; not set where the original
// price or the earlier changes are not stated.
func (e ChangeEntries) NewPrice(change measure.Money) estimate.Maybe[measure.Money] {
	if !e.Original.Set || !e.Earlier.Set {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(e.Original.V.Plus(e.Earlier.V, change))
}
