package pricing

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
)

// maxNamed is how many items without a price are named.
const maxNamed = 3

// Gaps returns in words what the total of a job leaves out: rows of the schedule that
// are not in the estimate, what has no price or cost, what is on hand, what the owner brings.
// Labor is off until its hours are typed, and no gap: see NoLabor.
func Gaps(book estimate.Book, t estimate.Takeoff, p Plan, leftOut int) []string {
	var out []string
	say := func(n int, one, more string) {
		switch {
		case n == 1:
			out = append(out, "1 "+one)
		case n > 1:
			out = append(out, fmt.Sprintf("%d %s", n, more))
		}
	}
	say(leftOut, "row left out", "rows left out")
	switch missing := p.Unpriced(); {
	case len(missing) > maxNamed:
		out = append(out, fmt.Sprintf("%d items without a price", len(missing)))
	case len(missing) > 0:
		out = append(out, "no price of "+strings.Join(missing, ", "))
	}
	say(len(p.Bid.NoUnitCost), "mark without a unit cost", "marks without a unit cost")
	say(openCosts(book.Job.Costs), "other cost without its count or price", "other costs without their count or price")
	if slices.ContainsFunc(book.Job.OnHand, func(h estimate.OnHand) bool { return !h.Counted.Set && h.By != estimate.ByOwner }) {
		out = append(out, WasOnHand)
	}
	if slices.ContainsFunc(p.Purchases, func(b Purchase) bool { return b.Owner != nil }) {
		out = append(out, MaterialsByOwner)
	}
	return out
}

// What the total leaves out on purpose.
const (
	WasOnHand        = "what was on hand"
	MaterialsByOwner = "materials by owner"
)

// NoLabor are the words for a price without the crew's hours.
const NoLabor = "no labor"

// Doubts returns in words why a total is less sure: invented prices, and marks on hold.
func Doubts(t estimate.Takeoff, p Plan) []string {
	var out []string
	if p.Invented() > 0 {
		out = append(out, "invented prices")
	}
	switch n := HeldMarks(t); {
	case n == 1:
		out = append(out, "1 mark on hold")
	case n > 1:
		out = append(out, fmt.Sprintf("%d marks on hold", n))
	}
	return out
}

// Invented counts the lines that are bought at invented prices.
func (p Plan) Invented() (n int) {
	for _, buy := range p.Purchases {
		for _, l := range buy.Lines {
			if l.Offer.Invented {
				n++
			}
		}
	}
	return n
}

// HeldMarks counts the marks of which something must not be cut yet.
func HeldMarks(t estimate.Takeoff) int {
	seen := map[int]bool{}
	for _, h := range t.Holds {
		seen[h.Opening] = true
	}
	return len(seen)
}

// openCosts counts the cost lines that lack their count or price.
func openCosts(lines []estimate.CostLine) (n int) {
	for _, l := range lines {
		if _, ok := CostOf(l); !ok {
			n++
		}
	}
	return n
}
