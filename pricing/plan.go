package pricing

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// Plan is what a job buys and what it costs.
type Plan struct {
	Purchases []Purchase      // in the order of estimate.Classes, then of the items
	Orders    []Order         // of the suppliers that something is bought from, by name
	Choice    Choice          // how the list was divided over the suppliers
	Share     []measure.Money // cost that the openings of each requirement's row bear, by index
	Materials measure.Money   // the sum of Share, and Unused
	Unused    measure.Money   // bought, not used
	Labor     []estimate.LaborLine
	Bid       Bid
	Problems  []estimate.Problem
}

// Unpriced returns the keys of the items that are not bought, or not all of
// what is needed: with any, the plan is incomplete.
func (p Plan) Unpriced() []string {
	var keys []string
	for _, b := range p.Purchases {
		if b.State != "" {
			keys = append(keys, b.Item.Key)
		}
	}
	return keys
}

// Make plans what the job buys. Every item comes whole from one supplier; which,
// is one choice over all items (see Choice). An item goes only where most of it
// is served: where no length is lacking, and no joint is needed that another
// supplier's stock would spare. Requirements without an item cost nothing.
//
// What cannot be bought is never priced at zero: its purchase has a State, and
// a problem says why.
func Make(book estimate.Book, t estimate.Takeoff, lists Lists) Plan {
	b := newBuyer(book, &t, lists)
	all := make([]itemCosts, len(b.needs))
	for i, n := range b.needs {
		all[i] = b.costs(n)
	}
	supplier, choice := b.selectSuppliers(all)
	plan := Plan{Share: make([]measure.Money, len(t.Requirements)), Choice: choice}
	for i, q := range all {
		p := b.buy(q, supplier[i])
		b.share(p, plan.Share)
		plan.Purchases = append(plan.Purchases, p)
		plan.Materials, plan.Unused = plan.Materials.Plus(p.Cost), plan.Unused.Plus(p.Unused)
	}
	b.finish(book, &plan)
	return plan
}

// buyer turns needs into purchases.
type buyer struct {
	*gatherer
	job       *estimate.Job
	usable    *usableOffers
	phases    map[string]estimate.Phase // the first that needs an item, by key
	suppliers []Terms                   // that offer something that is needed, by name
	terms     []Terms                   // of all suppliers
	pins      map[string]Pin
	over      Overrides
	typed     map[string]bool // overrides that found their line
	work      int64           // steps of cutting so far, see effort
	problems  []estimate.Problem
}

// jobEfforts is the work that a job may spend on cutting, in that of a problem at an effort of 1. It
// is counted over all items, suppliers and lengths of joined pieces.
const jobEfforts = 10

// effort returns what the next problem of the job may spend: all that a problem ever may, or a
// fourth of what the job has left if that is less.
func (b *buyer) effort() float64 {
	const least = 0.001 // 0 would be the default
	left := jobEfforts - float64(b.work)/cut.FullWork
	return min(1, max(least, left/4))
}

func newBuyer(book estimate.Book, t *estimate.Takeoff, lists Lists) *buyer {
	b := &buyer{gatherer: gather(book.Items, t), job: &book.Job, terms: lists.Terms, over: lists.Overrides, pins: lists.Pins, typed: map[string]bool{}}
	b.phases = b.neededBy()
	toBuy := maps.Clone(b.phases)
	maps.DeleteFunc(toBuy, func(item string, _ estimate.Phase) bool { return b.job.OwnerBrings(item) })
	b.usable = newUsableOffers(b.job, book.Items, toBuy, b.coldest(b.job), lists)
	b.suppliers = b.usable.suppliers()
	b.checkTerms(lists)
	return b
}

// finish adds up what follows from the purchases of a plan.
func (b *buyer) finish(book estimate.Book, plan *Plan) {
	plan.Orders = b.orders(plan.Purchases)
	b.unusedOverrides()
	b.inventedNote(plan.Purchases)
	labor, ps := estimate.Labor(*b.job, book.Labor, *b.takeoff)
	plan.Labor = labor
	bid, more := makeBid(b.job, b.takeoff, *plan)
	plan.Bid = bid
	plan.Problems = estimate.SortProblems(slices.Concat(b.gatherer.problems, b.usable.problems, b.problems, ps, more))
}

func (b *buyer) say(at estimate.Place, sev estimate.Severity, what, do string) {
	b.problems = append(b.problems, estimate.Problem{Place: at, Severity: sev, What: what, Do: do})
}

// onHand returns what is there of an item before anything is bought: what was counted
// since is of what was bought, see Remain. What the owner says that he brings is there.
func (b *buyer) onHand(item string) (list []estimate.OnHand) {
	for _, h := range b.job.OnHand {
		if h.Item == item && !h.Counted.Set && !saysNoMore(h) {
			list = append(list, h)
		}
	}
	return list
}

// allowance returns the job's allowance for the item.
func (b *buyer) allowance(item estimate.Item) measure.Rate {
	rate, known := b.job.Allowance[item.Allowance]
	if item.Allowance != "" && !known {
		b.say(item.Place, estimate.Error,
			fmt.Sprintf("%s: the job has no waste %s; none is added", item.Key, measure.Quote(item.Allowance)),
			"correct the item's waste, or add the line '"+estimate.WastePrefix+item.Allowance+"' to Job")
	}
	return rate
}

// noOffer returns the state of an item that nobody offers, and says so once.
func (b *buyer) noOffer(n need) string {
	state, what, do := NoPrice, "no price list offers it", "add it to a price list; the estimate is not complete without it"
	switch {
	case b.usable.cold[n.item.Key]:
		state = fmt.Sprintf("no product for %d F", b.usable.coldest[n.item.Key].V)
		what, do = state, "wait for warmer weather, add a product for the cold, or write on Job, under cold accepted, by whose word it is used"
	case !n.known:
		what, do = "it is not on the Items sheet", "add the item and its price"
	case b.usable.refused[n.item.Key]:
		what, do = "no price of it can be used", "see the messages at its prices"
	}
	b.say(estimate.Place{}, estimate.Error, fmt.Sprintf("%s: it has no price: %s; needed by %s", n.item.Key, what, b.marks(n.rows)), do)
	return state
}

// marks lists the openings that need something, the first three by name.
func (b *buyer) marks(rows []int) string {
	var marks []string
	for _, row := range rows {
		mark := b.takeoff.Openings[b.takeoff.Requirements[row].Opening].Mark
		if !slices.Contains(marks, mark) {
			marks = append(marks, mark)
		}
	}
	if len(marks) > 3 {
		return fmt.Sprintf("%s and %d more", strings.Join(marks[:3], ", "), len(marks)-3)
	}
	return strings.Join(marks, ", ")
}

// inventedNote says once that a price list with invented prices was used.
func (b *buyer) inventedNote(purchases []Purchase) {
	for _, p := range purchases {
		for _, l := range p.Lines {
			if l.Offer.Invented {
				b.say(estimate.Place{File: l.Offer.Place.File, Sheet: l.Offer.Place.Sheet}, estimate.Note, "prices of this list are invented",
					"put your suppliers' prices in before you bid")
				return
			}
		}
	}
}

// share splits what the openings bear of a purchase over its requirements.
func (b *buyer) share(p Purchase, shares []measure.Money) {
	weights := make([]int64, len(p.Rows))
	for i, row := range p.Rows {
		if !slices.Contains(p.TooLong, row) {
			weights[i] = b.weights[row]
		}
	}
	for i, m := range measure.Shares(p.Used, weights) {
		shares[p.Rows[i]] = m
	}
}
