package compare

import (
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Alternate is another way to do a job: the book as it would then be.
type Alternate struct {
	Name     string
	What     string // the changes in words
	Book     estimate.Book
	Marks    []string           // of the openings that it changes
	Openings int64              // how many those are
	Problems []estimate.Problem // of the alternate itself; with an error it is not computed
}

// Alternative is what an alternate comes to: a whole estimate of its own, whole
// packs and boards included. Without a figure Why says what stands against one.
type Alternative struct {
	Alternate
	Computed   bool
	Bid        pricing.Bid
	Classes    []measure.Money // of what is bought, by CostClasses
	Boards     int64           // pieces of stock that are cut
	Difference measure.Money   // total less that of the job as it stands
	PerOpening estimate.Maybe[measure.Money]
	Orders     []string // suppliers
	Why        []estimate.Problem
}

// Basis is the job as it stands, which alternates are held against.
type Basis struct {
	Alternative
	Plan     pricing.Plan
	Problems []estimate.Problem // of takeoff and plan
}

// NewBasis works out the job as it stands.
func NewBasis(book estimate.Book, lists pricing.Lists) Basis {
	takeoff, problems := estimate.Make(book)
	plan := pricing.Make(book, takeoff, lists)
	b := Basis{Plan: plan, Problems: estimate.SortProblems(slices.Concat(problems, plan.Problems))}
	b.Alternative = alternativeOf(Alternate{Name: "As it stands", Book: book}, plan)
	for _, o := range takeoff.Openings {
		b.Openings += o.Qty
	}
	return b
}

func alternativeOf(a Alternate, p pricing.Plan) Alternative {
	out := Alternative{Alternate: a, Computed: true, Bid: p.Bid, Classes: make([]measure.Money, len(CostClasses()))}
	for _, buy := range p.Purchases {
		out.Classes[pricing.ClassOrder(buy.Item)] += buy.Cost
		for _, l := range buy.Lines {
			if buy.Item.Cut {
				out.Boards += l.Count()
			}
		}
	}
	for _, o := range p.Orders {
		out.Orders = append(out.Orders, o.Terms.Supplier)
	}
	return out
}

// Price works out a whole estimate of an alternate and holds it against the job
// as it stands:
//
//	difference = total − total as it stands
//
// Two totals that do not leave out the same cannot be held against each other:
// an alternate with an error that the job does not have, or without one that it
// has, gets no figure.
func (b Basis) Price(a Alternate, lists pricing.Lists) Alternative {
	if estimate.Errors(a.Problems) > 0 {
		return Alternative{Alternate: a, Why: errorsIn(a.Problems)}
	}
	takeoff, problems := estimate.Make(a.Book)
	plan := pricing.Make(a.Book, takeoff, lists)
	all := estimate.SortProblems(slices.Concat(problems, plan.Problems))
	out := alternativeOf(a, plan)
	if out.Why = lacking(all, b.Problems); len(out.Why) == 0 {
		for _, p := range lacking(b.Problems, all) {
			p.What = "the job as it stands leaves out what this alternate has: " + p.What
			out.Why = append(out.Why, p)
		}
	}
	if len(out.Why) > 0 {
		return Alternative{Alternate: a, Why: out.Why}
	}
	out.Difference = plan.Bid.Total - b.Bid.Total
	out.PerOpening = pricing.PerUnit(out.Difference, a.Openings, 1)
	return out
}

// lacking returns the errors, and the openings without a unit cost, that are
// not among others.
func lacking(problems, others []estimate.Problem) []estimate.Problem {
	var out []estimate.Problem
	for _, p := range errorsIn(problems) {
		if !slices.ContainsFunc(others, func(o estimate.Problem) bool { return o.Severity == p.Severity && o.What == p.What }) {
			out = append(out, p)
		}
	}
	return out
}

func errorsIn(problems []estimate.Problem) []estimate.Problem {
	var out []estimate.Problem
	for _, p := range problems {
		if p.Severity == estimate.Error {
			out = append(out, p)
		}
	}
	return out
}
