package pricing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
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
	Labour    []estimate.LabourLine
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

// Overrides are counts typed by the estimator, by Line.Key.
type Overrides map[string]int64

// Lists are what the suppliers offer and ask, and what the estimator wants of
// them.
type Lists struct {
	Offers    []Offer
	Terms     []Terms
	Pins      map[string]Pin // by item key; before what Terms say
	Overrides Overrides
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
	all := make([]quoted, len(b.needs))
	for i, n := range b.needs {
		all[i] = b.quote(n)
	}
	of, choice := b.divide(all)
	plan := Plan{Share: make([]measure.Money, len(t.Requirements)), Choice: choice}
	for i, q := range all {
		p := b.buy(q, of[i])
		b.share(p, plan.Share)
		plan.Purchases = append(plan.Purchases, p)
		plan.Materials += p.Cost
		plan.Unused += p.Unused
	}
	b.finish(book, &plan)
	return plan
}

// buyer turns needs into purchases.
type buyer struct {
	*gatherer
	job       *estimate.Job
	shelf     *shelf
	suppliers []Terms // that offer something that is needed, by name
	terms     []Terms // of all suppliers, as written
	pins      map[string]Pin
	over      Overrides
	typed     map[string]bool // overrides that found their line
	problems  []estimate.Problem
}

func newBuyer(book estimate.Book, t *estimate.Takeoff, lists Lists) *buyer {
	b := &buyer{gatherer: gather(book.Items, t), job: &book.Job, terms: lists.Terms, over: lists.Overrides, pins: lists.Pins, typed: map[string]bool{}}
	b.shelf = stock(b.job, book.Items, b.neededBy(), lists)
	b.suppliers = b.shelf.suppliers()
	b.checkTerms(lists)
	return b
}

// finish adds up what follows from the purchases of a plan.
func (b *buyer) finish(book estimate.Book, plan *Plan) {
	plan.Orders = b.orders(plan.Purchases)
	b.unusedOverrides()
	b.inventedNote(plan.Purchases)
	labour, ps := estimate.Labour(*b.job, book.Labour, *b.takeoff)
	plan.Labour = labour
	bid, more := makeBid(b.job, b.takeoff, *plan)
	plan.Bid = bid
	plan.Problems = estimate.SortProblems(slices.Concat(b.gatherer.problems, b.shelf.problems, b.problems, ps, more))
}

// purchase returns what is needed of an item, before anything is bought.
func (b *buyer) purchase(n need) Purchase {
	p := Purchase{Item: n.item, Rows: n.rows, Need: n.total, ToBuy: n.total, Visit: b.shelf.neededBy[n.item.Key]}
	if !n.item.Cut {
		p.Allowance = b.allowance(n.item)
		p.ToBuy = withAllowance(n.total, p.Allowance)
	}
	p.Mark = b.markOf(n, p.ToBuy)
	return p
}

func (b *buyer) say(at estimate.Place, sev estimate.Severity, what, do string) {
	b.problems = append(b.problems, estimate.Problem{Place: at, Severity: sev, What: what, Do: do})
}

// candidate is what an item would take from one supplier.
type candidate struct {
	lines  []Line
	plans  []CutPlan
	toBuy  int64
	onHand int64
	spares int64
	left   []leftOut
	joined []joined
	cost   measure.UnitPrice
}

// better reports whether c serves an item better than d, or as well and for
// less.
func (c candidate) better(d candidate, joint estimate.Joint) bool {
	return cmp.Or(c.serves(d, joint), cmp.Compare(c.cost, d.cost)) < 0
}

// buy makes the purchase of one item from the supplier chosen for it.
func (b *buyer) buy(q quoted, supplier int) Purchase {
	p := q.p
	if q.state != "" {
		p.State = q.state
		return p
	}
	best := q.at[max(0, supplier)]
	if supplier >= 0 {
		p.Supplier = b.suppliers[supplier].Supplier
	}
	best.suit(p.Item)
	p.Lines, p.Plans, p.ToBuy, p.OnHand, p.Spares = best.lines, best.plans, best.toBuy, best.onHand, best.spares
	for _, l := range best.left {
		p.State = l.state
		p.TooLong = append(p.TooLong, l.row)
		b.say(b.takeoff.Openings[b.takeoff.Requirements[l.row].Opening].Place, estimate.Error, l.what, l.do)
	}
	if p.Item.Joint == estimate.JointForced {
		b.sayJoined(p.Item, best.joined)
	}
	p.Mark = p.marked()
	b.counted(&p)
	return p
}

// counted puts the estimator's counts on the lines and adds them up.
func (b *buyer) counted(p *Purchase) {
	b.override(p)
	p.total()
	if p.short() {
		b.say(onMaterials, estimate.Warning, fmt.Sprintf("%s: the counts typed are less than the job needs", p.Item.Key), "clear the override, or make sure of the rest")
	}
}

// onMaterials is the place of what is typed on the sheet Materials of an
// estimate.
var onMaterials = estimate.Place{Sheet: "Materials"}

// onHand returns what the crew has of an item.
func (b *buyer) onHand(item string) (list []estimate.OnHand) {
	for _, h := range b.job.OnHand {
		if h.Item == item {
			list = append(list, h)
		}
	}
	return list
}

// sayJoined warns of pieces that are joined because no stock is long enough.
func (b *buyer) sayJoined(item estimate.Item, all []joined) {
	for _, j := range all {
		r := b.takeoff.Requirements[j.row]
		o := b.takeoff.Openings[r.Opening]
		b.say(o.Place, estimate.Warning, fmt.Sprintf("%s: %s is longer than any stock of %s and is joined at %s", o.Mark, r.Name, item.Key, j.at), "offer a longer stock in the price list to have it in one piece")
	}
}

// allowance returns the job's allowance for the item.
func (b *buyer) allowance(item estimate.Item) measure.Rate {
	rate, known := b.job.Allowance[item.Allowance]
	if item.Allowance != "" && !known {
		b.say(item.Place, estimate.Error, fmt.Sprintf("%s: the job has no allowance %s; none is added", item.Key, measure.Quote(item.Allowance)), "correct the item's allowance, or add the line 'allowance "+item.Allowance+"' to Job")
	}
	return rate
}

// noOffer returns the state of an item that nobody offers, and says so once.
func (b *buyer) noOffer(n need) string {
	state, what, do := NoPrice, "no price list offers it", "add it to a price list; the estimate is not complete without it"
	switch {
	case b.shelf.cold[n.item.Key]:
		state = fmt.Sprintf("no product for %d F", b.job.ColdestF.V)
		what, do = state, "wait for warmer weather, or add a product for the cold"
	case !n.known:
		what, do = "it is not on the Items sheet", "add the item and its price"
	case b.shelf.refused[n.item.Key]:
		what, do = "no price of it can be used", "see the messages at its prices"
	}
	b.say(estimate.Place{}, estimate.Error, fmt.Sprintf("%s, needed by %s, has no price: %s", n.item.Key, b.marks(n.rows), what), do)
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

// from plans the purchase of an item from the offers of one supplier.
func (b *buyer) from(offers []Offer, n need, toBuy int64) candidate {
	slices.SortStableFunc(offers, func(x, y Offer) int { return cmp.Compare(y.Amount, x.Amount) })
	if n.item.Cut {
		return b.cut(offers, n)
	}
	packs := make([]pack, len(offers))
	for i, o := range offers {
		packs[i] = pack{o.Amount, o.Price}
	}
	c := candidate{toBuy: toBuy}
	c.take(offers, mix(toBuy, packs))
	return c
}

// take makes the lines of the counts of the offers.
func (c *candidate) take(offers []Offer, counts []int64) {
	keys := lineKeys(offers)
	for i, n := range counts {
		if n > 0 {
			c.lines = append(c.lines, Line{Offer: offers[i], Computed: n, key: keys[i]})
			c.cost += times(n, offers[i].Price)
		}
	}
}

// override puts the estimator's counts on the lines.
func (b *buyer) override(p *Purchase) {
	for i := range p.Lines {
		l := &p.Lines[i]
		n, ok := b.over[l.Key()]
		if !ok {
			continue
		}
		b.typed[l.Key()] = true
		if n < 0 {
			b.say(onMaterials, estimate.Error, fmt.Sprintf("%s: an override of %d is not used", l.Key(), n), "type how many to buy, or clear it")
			continue
		}
		l.Override = estimate.Given(n)
	}
}

// unusedOverrides reports counts typed for what is not bought.
func (b *buyer) unusedOverrides() {
	for _, key := range slices.Sorted(maps.Keys(b.over)) {
		if !b.typed[key] {
			b.say(onMaterials, estimate.Warning, fmt.Sprintf("the override of %d for %s is not used: nothing of that name is bought", b.over[key], measure.Quote(key)), "clear it, or type it at a line that is bought")
		}
	}
}

// inventedNote says once that a price list with invented prices was used.
func (b *buyer) inventedNote(purchases []Purchase) {
	for _, p := range purchases {
		for _, l := range p.Lines {
			if l.Offer.Invented {
				b.say(estimate.Place{File: l.Offer.Place.File, Sheet: l.Offer.Place.Sheet}, estimate.Note, "prices of this list are invented", "put your suppliers' prices in before you bid")
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
