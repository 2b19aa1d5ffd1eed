package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Revision is what changed from an earlier estimate of a job to a later one.
type Revision struct {
	Marks []MarkChange // in the order of the marks: those of the later, then those dropped
	Cut   []WrongCut   // what was cut already and serves no more, by mark
	Buy   []BuyChange  // by class and item
}

// RevisionSums says how much changed.
type RevisionSums struct {
	Marks     int64 // that changed
	More      int64 // lines of which more is to buy, or cannot be
	MoreCost  measure.Money
	Left      int64 // lines of which some is left over
	LeftWorth measure.Money
	Wrong     int64 // pieces that were cut and are asked for no more
}

// Sums adds up a revision.
func (r Revision) Sums() RevisionSums {
	var s RevisionSums
	marks := map[string]bool{}
	for _, m := range r.Marks {
		marks[m.Mark] = true
	}
	s.Marks = int64(len(marks))
	for _, b := range r.Buy {
		if b.More > 0 || b.State != "" {
			s.More++
		}
		if b.Left > 0 {
			s.Left++
		}
		s.MoreCost += b.MoreCost()
		s.LeftWorth += b.LeftWorth()
	}
	for _, c := range r.Cut {
		s.Wrong += c.Count
	}
	return s
}

// Revise compares an estimate with an earlier one of the same job, or with what
// was ordered, which has no marks. Lengths in words are those of the later job.
//
// What more to buy is planned anew: all that the job needs now, with what was
// cut for nothing, from the boards, rolls and packs of the earlier estimate
// first. What the later estimate has on hand is not counted again: it came from
// those. Suppliers are called as the later estimate calls them.
func Revise(was, now Side) Revision {
	var names pricing.SupplierNames
	now.Lists, now.Plan = names.Lists(now.Lists), names.Plan(now.Plan)
	was.Plan = names.Plan(was.Plan)
	r := reviser{
		was: was, now: now, wasMarks: marksOf(&was.Takeoff), nowMarks: marksOf(&now.Takeoff),
		cut: map[piece]cutBefore{}, asked: map[piece]int64{},
	}
	r.pieces()
	out := Revision{Cut: r.wrong(), Buy: r.buy()}
	if !was.Ordered {
		out.Marks = r.marks()
	}
	return out
}

// Ordered returns what was ordered as the side of a comparison with an
// estimate whose items it is of.
func Ordered(name string, lines []pricing.Line, book estimate.Book) Side {
	s := Side{Name: name, File: name, Ordered: true, Book: estimate.Book{Job: book.Job, Items: book.Items}}
	s.Book.Job.OnHand = nil
	var names pricing.SupplierNames
	lines = slices.Clone(lines)
	for i := range lines {
		lines[i].Offer.Supplier = names.Of(lines[i].Offer.Supplier)
	}
	s.Plan.Purchases = pricing.OrderedPurchases(lines, book.Items)
	for _, p := range s.Plan.Purchases {
		s.Plan.Materials += p.Cost
	}
	s.Plan.Bid.Materials = s.Plan.Materials
	return s
}

// reviser compares two estimates of a job.
type reviser struct {
	was, now           Side
	wasMarks, nowMarks byMark
	cut                map[piece]cutBefore // by the earlier estimate
	asked              map[piece]int64     // by the later one
}
