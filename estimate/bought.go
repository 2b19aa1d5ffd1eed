package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// BuyState is how far an order of materials is.
type BuyState string

// The states of an order. A draft is written and not sent.
const (
	BuyDraft       BuyState = "draft"
	BuyPlaced      BuyState = "placed"
	BuyConfirmed   BuyState = "confirmed"
	BuyBackOrdered BuyState = "back-ordered"
	BuyReceived    BuyState = "received"
	BuyCancelled   BuyState = "cancelled"
	BuyReturned    BuyState = "returned"
)

// BuyStates are the words of the column State of Purchases.
var BuyStates = wordsOf(BuyDraft, BuyPlaced, BuyConfirmed, BuyBackOrdered, BuyReceived, BuyCancelled, BuyReturned)

// Bought is a line of the sheet Purchases: so many packs, boards or rolls of an order,
// or, without an item, what an order costs beside its lines.
type Bought struct {
	Place        Place
	Date         Maybe[measure.Date]
	Supplier     string
	Order        string
	Invoice      string
	State        BuyState
	Item         string // key; "" = the row is of the whole order
	Code         string
	Pack         string // as ordered
	PackReceived string // "" = as ordered
	Amount       int64  // what one holds as it is there, base units; of an item that is cut its length
	Count        Maybe[int64]
	Received     Maybe[int64]
	Returned     Maybe[int64]
	Lost         Maybe[int64]             // broken, spoiled or gone
	Price        Maybe[measure.UnitPrice] // of one
	Tax          Maybe[measure.Money]
	Freight      Maybe[measure.Money]
	Credit       Maybe[measure.Money]
	// Before is what was done when the first order of the job was written: from what was
	// bought elsewhere, which no line holds.
	Before   []Progress
	Notes    string
	NoReturn NoReturn // why it cannot go back; "" = nothing says that it cannot
}

// NoReturn is why a supplier does not take something back.
type NoReturn string

// Why something cannot be returned.
const (
	NoReturnSpecial NoReturn = "special order"
	NoReturnCut     NoReturn = "cut"
	NoReturnOpened  NoReturn = "opened"
	NoReturnDated   NoReturn = "dated" // beyond its date of use
)

// NoReturns are the words of the column Cannot be returned of Purchases.
var NoReturns = wordsOf(NoReturnSpecial, NoReturnCut, NoReturnOpened, NoReturnDated)

// Progress is how far the openings of a mark were.
type Progress struct {
	Mark   string
	Stages []Stage
}

// DoneBefore returns what was done at the marks before the first order of the job.
func (j *Job) DoneBefore() (list []Progress) {
	for _, b := range j.Purchases {
		if b.Counts() {
			list = append(list, b.Before...)
		}
	}
	return list
}

// ProgressOf returns how far the marks of a takeoff are, those at which anything is done.
func ProgressOf(t Takeoff) (list []Progress) {
	for i := range t.Openings {
		o := &t.Openings[i]
		if o.Done(PhaseInstall) == 0 {
			continue
		}
		stages := slices.DeleteFunc(slices.Clone(o.Stages), func(s Stage) bool { return !s.Status.Done(PhaseInstall) })
		if o.Stages == nil {
			stages = []Stage{{o.Status, o.Qty}}
		}
		list = append(list, Progress{o.Mark, stages})
	}
	return list
}

// Words writes how far a mark was: "W1: 2 set, 1 cut".
func (p Progress) Words() string {
	words := make([]string, len(p.Stages))
	for i, s := range p.Stages {
		words[i] = fmt.Sprintf("%d %s", s.Count, s.Status)
	}
	return p.Mark + ": " + strings.Join(words, ", ")
}

// Counts reports whether the line is bought: only what was placed is.
func (b Bought) Counts() bool {
	return b.State != BuyDraft && b.State != BuyCancelled
}

// Taken returns how many the job got, or will get, before returns.
func (b Bought) Taken() int64 {
	switch {
	case !b.Counts():
		return 0
	case b.State == BuyReceived || b.State == BuyReturned:
		return b.Received.Or(b.Count.V)
	}
	return max(b.Count.V, b.Received.V) // the rest is still to come
}

// WentBack returns how many went back to the supplier.
func (b Bought) WentBack() int64 {
	switch n := b.Taken(); {
	case !b.Counts():
		return 0
	case b.State == BuyReturned:
		return b.Returned.Or(n)
	}
	return b.Returned.V
}

// There returns how many the job has, or will get.
func (b Bought) There() int64 { return max(0, b.Taken()-b.WentBack()-b.Lost.V) }

// Cost returns what the line costs: all that was taken, what the order adds, less what
// was credited. It is not set where a price is missing.
//
//	cost = ROUND(taken × price, 2) + tax + freight − credit
func (b Bought) Cost() Maybe[measure.Money] {
	n := b.Taken()
	if n > 0 && !b.Price.Set {
		return Maybe[measure.Money]{}
	}
	cost := measure.Money(0)
	if n > 0 {
		cost = measure.Extension(n, b.Price.V)
	}
	if b.Counts() {
		cost = cost.Plus(b.Tax.V, b.Freight.V) - b.Credit.V
	}
	return Given(cost)
}
