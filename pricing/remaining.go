package pricing

import (
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Remaining is what a job still has to buy, after what was bought for it and what is
// done. The bid of its plan is of no use: Finish is what it costs.
type Remaining struct {
	Book    estimate.Book // with what there is as stock on hand
	Takeoff estimate.Takeoff
	Lists   Lists
	Plan    Plan
	Items   []ItemLeft // of all that the job needs or bought, by class and item
	Bought  BoughtSum
	Finish  Finish
	Whole   []LeftWhole // what the plan leaves whole of what was bought, in the order of Items

	Problems []estimate.Problem // beside those of the whole job's plan
}

// ItemLeft is how an item stands, in base units of its dimension; of an item that is
// cut, in lengths.
type ItemLeft struct {
	Item    estimate.Item
	Need    int64                        // since the first order, with its allowance; of cut items its pieces
	Done    int64                        // part of Need that is used, by the statuses of the marks
	OnHand  int64                        // that was there before, or was counted
	Bought  int64                        // that there is or is to come, by Purchases
	Counted estimate.Maybe[measure.Date] // OnHand is a count of that day, and what was bought before is in it
}

// LeftWhole is so many packs, boards or rolls of a line of Purchases that neither what is
// done nor what is left needs: they could go back.
type LeftWhole struct {
	estimate.Bought
	Count int64
}

// BoughtSum is what the lines of Purchases come to.
type BoughtSum struct {
	Lines    int
	Cost     measure.Money
	Unpriced int // lines without a price, which Cost leaves out
}

// Finish is what a job still costs, at cost: without overhead, contingency and profit.
type Finish struct {
	Materials, Delivery measure.Money
	Units               measure.Money // of marks whose units are not ordered yet
	Labor               measure.Money
	Costs               measure.Money // all other costs: nothing says which of them are spent
	Tax                 measure.Money
}

// Total is the cost to finish.
func (f Finish) Total() measure.Money {
	return f.Materials.Plus(f.Delivery, f.Units, f.Labor, f.Costs, f.Tax)
}

// Remain plans what a job still has to buy: nil where nothing was bought, done or counted,
// so that all is to be bought. Problems that are known are not said again.
//
// What is done by the statuses of the marks needs nothing more, and is taken off what was
// bought; what was done before the first order came from elsewhere. What was bought, placed
// or later, and what is on hand is stock at no cost, less what is done. Stock that was
// counted on a day is all there is of its item that day: of it only what was bought
// later is added, and nothing is taken off.
//
// Boards that were bought are planned with the pieces that are cut already, so that
// those of the plan that the shop had stay where they are; those that do not fit what was
// bought came from elsewhere. Where such a plan would lay one on a board to be bought, or
// is dearer, what is left is planned on what the pieces that are cut leave, planned alone.
func Remain(book estimate.Book, t estimate.Takeoff, lists Lists, known []estimate.Problem) *Remaining {
	if len(book.Job.Purchases) == 0 && !t.AnyDone() && !slices.ContainsFunc(book.Job.OnHand, func(h estimate.OnHand) bool { return h.Counted.Set }) {
		return nil
	}
	var names SupplierNames
	before := book.Job.DoneBefore()
	if !slices.ContainsFunc(book.Job.Purchases, estimate.Bought.Counts) {
		before = estimate.ProgressOf(t) // all that is done came from elsewhere
	}
	r := remainder{book: book, all: t.Since(before), left: t.Left(), done: t.DoneSince(before), alone: map[string][]estimate.OnHand{}}
	r.whole, r.rest = newBuyer(book, &r.all, lists), newBuyer(book, &r.left, lists)
	r.out.Lists = names.Lists(lists)
	for _, b := range book.Job.Purchases {
		b.Supplier = names.Of(b.Supplier)
		r.bought = append(r.bought, b)
	}
	r.out.Lists.Overrides = r.typedSince(lists.Overrides)
	r.out.Takeoff = r.left
	job := &r.book.Job
	job.OnHand = ownersRows(job.OnHand)
	for _, n := range r.whole.needs {
		r.stock(n)
	}
	needed := len(r.out.Items)
	for _, b := range r.bought {
		r.notNeeded(b)
	}
	slices.SortFunc(r.out.Items[needed:], func(a, b ItemLeft) int { return strings.Compare(a.Item.Key, b.Item.Key) })
	r.plan()
	for _, p := range r.out.Plan.Problems {
		if p.Severity == estimate.Warning && !slices.ContainsFunc(known, func(k estimate.Problem) bool { return k.Place == p.Place && k.What == p.What }) {
			p.What = "still to buy: " + p.What
			r.out.Problems = append(r.out.Problems, p)
		}
	}
	for _, item := range r.out.Items {
		r.out.Whole = append(r.out.Whole, r.leftWhole(item)...)
	}
	r.sums(t)
	return &r.out
}

// plan plans what is left, with the pieces that are cut on what was bought. Of an item of
// which more is bought all the same it is tried without them, too: see planAlone.
func (r *remainder) plan() {
	with := *r
	with.out.Plan = Make(r.book, r.out.Takeoff, r.out.Lists)
	bad, buys := with.cutFromNew(), map[string]bool{}
	for _, p := range with.out.Plan.Purchases {
		if _, cut := r.alone[p.Item.Key]; cut && len(p.Lines) > 0 {
			buys[p.Item.Key] = true
		}
	}
	if len(buys) > 0 {
		alone := *r
		alone.planAlone(buys)
		for _, p := range Make(alone.book, alone.out.Takeoff, alone.out.Lists).Purchases {
			i := slices.IndexFunc(with.out.Plan.Purchases, func(q Purchase) bool { return q.Item.Key == p.Item.Key })
			if i >= 0 && !bad[p.Item.Key] && p.Cost >= with.out.Plan.Purchases[i].Cost {
				delete(buys, p.Item.Key)
			}
		}
	}
	r.out.Plan = with.out.Plan
	if len(buys) > 0 {
		r.planAlone(buys)
		r.out.Plan = Make(r.book, r.out.Takeoff, r.out.Lists)
	}
	r.out.Book = r.book
}

// remainder works out what remains of a job.
type remainder struct {
	book        estimate.Book
	whole, rest *buyer
	all         estimate.Takeoff // but what was done before the first order
	left, done  estimate.Takeoff
	bought      []estimate.Bought
	alone       map[string][]estimate.OnHand // what the pieces of an item that are cut leave, planned alone
	out         Remaining
}

// stock puts what there is of an item on hand for the plan of what is left.
func (r *remainder) stock(n need) {
	item := ItemLeft{Item: n.item}
	had, counted := r.hand(n.item.Key)
	item.Counted = counted
	for _, h := range had {
		item.OnHand += h.Count * max(h.Amount, int64(h.Length))
	}
	var bought []estimate.OnHand
	trim := r.whole.cutter(nil, n).endTrim
	for _, b := range r.bought {
		k := b.There()
		if b.Item != n.item.Key || k == 0 {
			continue
		}
		item.Bought += k * b.Amount
		if counted.Set && (!b.Date.Set || b.Date.V <= counted.V) {
			continue // it is in the count
		}
		h := estimate.OnHand{Place: b.Place, Item: b.Item, Content: b.Pack, Amount: b.Amount, Count: k}
		if n.item.Cut {
			h.Amount, h.Length = 0, measure.Length(b.Amount)-2*trim
		}
		bought = append(bought, h)
	}
	left := needOf(r.rest, n.item)
	if len(had) > 0 && !counted.Set && left.total < n.total {
		r.out.Problems = append(r.out.Problems, estimate.Problem{Place: had[0].Place, Severity: estimate.Warning,
			What: n.item.Key + ": what is on hand counts as there before anything was bought, beside all that was bought",
			Do:   "if it was counted since, type the day under Counted; what was bought before is in it then"})
	}
	if !n.item.Cut {
		item.Need = withAllowance(n.total, r.whole.allowance(n.item))
		item.Done = item.Need - withAllowance(left.total, r.whole.allowance(n.item))
		r.out.Items = append(r.out.Items, item)
		r.packs(n, left, append(had, bought...), item)
		return
	}
	item.Need, item.Done = n.total, n.total-left.total
	r.out.Items = append(r.out.Items, item)
	stock := append(had, bought...)
	r.book.Job.OnHand = append(r.book.Job.OnHand, stock...)
	if item.Done == 0 || counted.Set || len(stock) == 0 {
		return
	}
	r.cutAlready(n, stock)
}

// leftWhole returns what the plan leaves whole of the lines of an item, of packs the
// latest lines first.
func (r *remainder) leftWhole(item ItemLeft) (list []LeftWhole) {
	free := r.freePacks(item)
	if item.Item.Cut {
		free = r.freeLengths(item)
	}
	for i := len(r.bought) - 1; i >= 0; i-- {
		if b := r.bought[i]; b.Item == item.Item.Key {
			if n := free(b); n > 0 {
				list = append(list, LeftWhole{b, n})
			}
		}
	}
	slices.Reverse(list)
	return list
}

// freePacks tells how many packs of a line are neither needed nor to be opened.
func (r *remainder) freePacks(item ItemLeft) func(estimate.Bought) int64 {
	n := needOf(r.whole, item.Item)
	surplus, packs := item.OnHand+item.Bought-item.Need, -r.whole.opened(n)
	for _, b := range r.bought {
		if b.Item == item.Item.Key {
			packs += b.There()
		}
	}
	if item.Counted.Set {
		surplus = 0 // what of a count is whole is not known
	}
	return func(b estimate.Bought) int64 {
		k := min(b.There(), packs)
		if b.Amount > 0 {
			k = min(k, surplus/b.Amount)
		}
		k = max(0, k)
		surplus, packs = surplus-k*b.Amount, packs-k
		return k
	}
}

// freeLengths tells how many boards or rolls of a line no plan cuts.
func (r *remainder) freeLengths(item ItemLeft) func(estimate.Bought) int64 {
	used := map[estimate.Place]int64{}
	at := slices.IndexFunc(r.out.Plan.Purchases, func(p Purchase) bool { return p.Item.Key == item.Item.Key })
	known := at >= 0 && len(r.out.Plan.Purchases[at].Plans) > 0
	if known {
		var stock []estimate.OnHand
		for _, h := range r.out.Book.Job.OnHand {
			if h.Item == item.Item.Key && !saysNoMore(h) {
				stock = append(stock, h)
			}
		}
		for _, plan := range r.out.Plan.Purchases[at].Plans {
			for _, board := range plan.Plan.Boards {
				if plan.OnHand(board) {
					used[stock[board.Stock-len(plan.Offers)].Place]++
				}
			}
		}
	}
	return func(b estimate.Bought) int64 {
		if !known && item.Need > 0 || item.Counted.Set {
			return 0 // all is done, or counted: what is whole is not known
		}
		return b.There() - used[b.Place]
	}
}

// hand returns what is on hand of an item: what was counted last, else what was there
// before anything was bought.
func (r *remainder) hand(item string) (list []estimate.OnHand, counted estimate.Maybe[measure.Date]) {
	for _, h := range r.whole.job.OnHand {
		if h.Item == item && h.Counted.Set && (!counted.Set || h.Counted.V > counted.V) {
			counted = h.Counted
		}
	}
	for _, h := range r.whole.job.OnHand {
		if h.Item == item && h.Counted == counted && !saysNoMore(h) {
			h.Counted = estimate.Maybe[measure.Date]{}
			list = append(list, h)
		}
	}
	return list, counted
}

// packs puts packs on hand, less what is done.
func (r *remainder) packs(n, left need, stock []estimate.OnHand, item ItemLeft) {
	if item.Counted.Set || len(stock) == 0 {
		r.book.Job.OnHand = append(r.book.Job.OnHand, stock...)
		return
	}
	if all := r.whole.opened(n); all > 0 { // packs that do not keep are used by the pack
		used := all - r.rest.opened(left)
		for _, h := range stock {
			gone := min(used, h.Count)
			used, h.Count = used-gone, h.Count-gone
			if h.Count > 0 {
				r.book.Job.OnHand = append(r.book.Job.OnHand, h)
			}
		}
		if used > 0 {
			r.usedUp(n.item, stock)
		}
		return
	}
	there := -item.Done
	for _, h := range stock {
		there += h.Amount * h.Count
	}
	switch {
	case there > 0:
		r.book.Job.OnHand = append(r.book.Job.OnHand, estimate.OnHand{Item: n.item.Key, Amount: there, Count: 1})
	case there < 0:
		r.usedUp(n.item, stock)
	}
}

// usedUp warns of an item of which more is done, by the statuses, than was bought.
func (r *remainder) usedUp(item estimate.Item, stock []estimate.OnHand) {
	at := item.Place
	if len(stock) > 0 {
		at = stock[0].Place
	}
	p := estimate.Problem{Place: at, Severity: estimate.Warning,
		What: item.Key + ": more is used, by Status, than was bought, is on hand and is not lost: it counts as used up",
		Do:   "type what there is on On hand, with the day under Counted; correct Status, or what was bought and lost"}
	if !slices.Contains(r.out.Problems, p) {
		r.out.Problems = append(r.out.Problems, p)
	}
}

// needOf returns what a buyer needs of an item; nothing, if it does not need it.
func needOf(b *buyer, item estimate.Item) need {
	i := slices.IndexFunc(b.needs, func(n need) bool { return n.item.Key == item.Key })
	if i < 0 {
		return need{item: item}
	}
	return b.needs[i]
}

// cutAlready adds the pieces of an item that are cut to what is planned: they lie on what
// was bought, as far as it holds them. The others came from elsewhere.
func (r *remainder) cutAlready(n need, stock []estimate.OnHand) {
	job := r.book.Job
	job.OnHand, job.SpareBoards, job.SpareTape = stock, 0, 0
	b := newBuyer(estimate.Book{Job: job, Items: r.book.Items}, &r.done, Lists{})
	longest, beyond := measure.Length(0), map[int]bool{}
	for _, h := range stock {
		longest = max(longest, h.Length)
	}
	alone := b.cut(nil, needOf(b, n.item))
	r.alone[n.item.Key] = alone.leaves(stock)
	for _, l := range alone.left {
		if beyond[l.row] = true; r.done.Requirements[l.row].Length <= longest {
			r.usedUp(n.item, stock)
		}
	}
	t := &r.out.Takeoff
	t.Openings, t.Requirements = slices.Clone(t.Openings), slices.Clone(t.Requirements)
	at := map[int]int{}
	for i, q := range r.done.Requirements {
		if q.Item != n.item.Key || beyond[i] {
			continue
		}
		here, known := at[q.Opening]
		if !known {
			here = len(t.Openings)
			at[q.Opening] = here
			t.Openings = append(t.Openings, r.done.Openings[q.Opening])
		}
		q.Opening, q.Cut = here, true
		t.Requirements = append(t.Requirements, q)
	}
}

// leaves returns what a plan on stock leaves of it: boards that it does not cut, and the
// offcuts of the others.
func (c candidate) leaves(stock []estimate.OnHand) (left []estimate.OnHand) {
	left = slices.Clone(stock)
	for _, p := range c.plans {
		for _, board := range p.Plan.Boards {
			if !p.OnHand(board) {
				continue
			}
			of := &left[board.Stock-len(p.Offers)]
			of.Count--
			if board.Offcut > 0 {
				left = append(left, estimate.OnHand{Item: of.Item, Length: board.Offcut, Count: 1})
			}
		}
	}
	return slices.DeleteFunc(left, func(h estimate.OnHand) bool { return h.Count <= 0 })
}

// cutFromNew returns the items of which a plan lays a piece that is cut already on a board
// that is still to be bought.
func (r *remainder) cutFromNew() map[string]bool {
	out := map[string]bool{}
	for _, p := range r.out.Plan.Purchases {
		for _, plan := range p.Plans {
			for _, board := range plan.Plan.Boards {
				for _, side := range plan.On(board) {
					for _, i := range side {
						piece := plan.Pieces[i]
						if !plan.OnHand(board) && !piece.Spare() && r.out.Takeoff.Requirements[piece.Requirement].Cut {
							out[p.Item.Key] = true
						}
					}
				}
			}
		}
	}
	return out
}

// planAlone plans items without the pieces that are cut: on what those leave of the boards
// that they take by themselves.
func (r *remainder) planAlone(items map[string]bool) {
	t, job := &r.out.Takeoff, &r.book.Job
	t.Requirements = slices.DeleteFunc(slices.Clone(t.Requirements), func(q estimate.Requirement) bool { return q.Cut && items[q.Item] })
	job.OnHand = slices.DeleteFunc(slices.Clone(job.OnHand), func(h estimate.OnHand) bool { return items[h.Item] })
	for _, item := range slices.Sorted(maps.Keys(items)) {
		job.OnHand = append(job.OnHand, r.alone[item]...)
	}
}

// notNeeded adds an item that was bought and that the job does not need.
func (r *remainder) notNeeded(b estimate.Bought) {
	same := func(x ItemLeft) bool { return x.Item.Key == b.Item }
	if b.Item == "" || b.There() == 0 || slices.ContainsFunc(r.whole.needs, func(n need) bool { return n.item.Key == b.Item }) {
		return
	}
	i := slices.IndexFunc(r.out.Items, same)
	if i < 0 {
		i = len(r.out.Items)
		item, _ := r.book.Items.Get(b.Item)
		left := ItemLeft{Item: item}
		had, counted := r.hand(b.Item)
		left.Counted = counted
		for _, h := range had {
			left.OnHand += h.Count * max(h.Amount, int64(h.Length))
		}
		r.out.Items = append(r.out.Items, left)
	}
	r.out.Items[i].Bought += b.There() * b.Amount
}

// sums adds up what was bought, and what finishing costs.
func (r *remainder) sums(t estimate.Takeoff) {
	for _, b := range r.bought {
		if !b.Counts() {
			continue
		}
		cost := b.Cost()
		r.out.Bought.Lines++
		r.out.Bought.Cost = r.out.Bought.Cost.Plus(cost.V)
		if !cost.Set {
			r.out.Bought.Unpriced++
		}
	}
	job, f := &r.book.Job, &r.out.Finish
	f.Materials = r.out.Plan.Materials
	for _, o := range r.out.Plan.Orders {
		f.Delivery, f.Tax = f.Delivery.Plus(o.Delivery), f.Tax.Plus(o.Tax)
	}
	var open estimate.Takeoff // openings whose units are not ordered
	for _, o := range t.Openings {
		o.Qty = o.NotOrdered()
		open.Openings = append(open.Openings, o)
	}
	var bid Bid
	bid.units(job, &open)
	bid.costs(job)
	f.Units, f.Costs = bid.Units, bid.Costs
	f.Tax = f.Tax.Plus(Tax(bid.UnitsTaxable.Plus(bid.CostsTaxable), job.Tax))
	f.Labor = estimate.LaborLeft(*job, r.book.Labor, t)
}

// typedSince returns what the estimator's counts, which are of the whole job, leave to
// buy. Of an item that was bought a count that is there already says nothing more.
func (r *remainder) typedSince(over Overrides) Overrides {
	out := Overrides{}
	for key, n := range over {
		item, _, _ := strings.Cut(key, "|")
		if had := hadOf(r.bought, key, item); had.Set {
			if n -= had.V; n <= 0 {
				continue
			}
		}
		out[key] = n
	}
	return out
}

// hadOf returns how many of a line were bought, by Line.Key; not set where nothing of its
// item was.
func hadOf(bought []estimate.Bought, key, item string) (n estimate.Maybe[int64]) {
	for _, b := range bought {
		if b.Item != item || b.There() == 0 {
			continue
		}
		n.Set = true
		for _, last := range []string{b.Code, b.Pack} {
			if last != "" && strings.EqualFold(key, strings.Join([]string{b.Item, b.Supplier, last}, "|")) {
				n.V += b.There()
				break
			}
		}
	}
	return n
}

// Had returns how many of a line of the plan were bought; not set where nothing of its
// item was, so that a count of the estimator's is all of what is to buy.
func (r *Remaining) Had(l Line) estimate.Maybe[int64] {
	return hadOf(r.Book.Job.Purchases, l.Key(), l.Offer.Item)
}

// HoldTo leaves out what the estimate that is ordered from does not say: items of which
// another count is planned by now than it shows, by Line.Key, and those whose plan an
// edit has overtaken. Without counts only the latter are.
func (r *Remaining) HoldTo(shown map[string]int64, followed Plan) {
	for i := range r.Plan.Purchases {
		p := &r.Plan.Purchases[i]
		again := slices.ContainsFunc(followed.Purchases, func(f Purchase) bool { return f.Item.Key == p.Item.Key && f.State == RunAgain })
		if shown != nil && !again {
			there := 0
			for key := range shown {
				if strings.HasPrefix(key, p.Item.Key+"|") {
					there++
				}
			}
			again = there != len(p.Lines) || slices.ContainsFunc(p.Lines, func(l Line) bool { return shown[l.Key()] != l.Computed })
		}
		if again {
			r.Plan.Materials -= p.Cost
			p.State, p.Lines, p.Cost = RunAgain, nil, 0
		}
	}
	r.Plan.Orders = newBuyer(r.Book, &r.Takeoff, r.Lists).orders(r.Plan.Purchases)
}
