package pricing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Ordering is a job that is ordered: an estimate as it was edited.
type Ordering struct {
	Name    string // what its share is called: job number, or file
	Book    estimate.Book
	Takeoff estimate.Takeoff
	Lists   Lists
	Plan    Plan // by Follow
}

// OrderLine is a line of a supplier's order.
type OrderLine struct {
	Offer     Offer
	Item      estimate.Item
	Count     int64
	Extension measure.Money
	Phase     estimate.Phase               // the first that needs it
	NeededBy  estimate.Maybe[measure.Date] // first day of the phase, where the job says it
	Shares    []measure.Money              // what each job bears of the extension
	weights   []int64
}

// SupplierOrder is what one supplier gets, of one job or of several.
type SupplierOrder struct {
	Order
	Lines  []OrderLine     // by class and item, largest content first
	Shares []measure.Money // what each job bears of the total
	Plans  []JointPlan     // of cut items that were planned for several jobs at once
	// Missing is what the order lacks: it is not to be sent as the whole.
	Missing []Missing
	// OnHold is what the order holds and nobody knows yet whether it fits.
	OnHold []OrderNote
}

// JointPlan is a cutting plan for several jobs at once: it takes the place of
// those in their estimates.
type JointPlan struct {
	Item    estimate.Item
	Cut     CutPlan
	Takeoff *estimate.Takeoff // that the plan's pieces refer to; marks begin with the job's name
}

// Consolidation is the orders of one or several jobs.
type Consolidation struct {
	Jobs     []string
	Orders   []SupplierOrder // by supplier
	Withheld []Withheld      // by supplier
	Missing  []Missing       // what no order holds, or not all of it
	Apart    measure.Money   // what the jobs' orders come to when each is ordered alone
	Packs    int64           // packs, boards and rolls ordered
	PacksOf  int64           // the same, each job ordered alone
	Problems []estimate.Problem
}

// Total is what all orders come to.
func (c Consolidation) Total() measure.Money {
	sum := measure.Money(0)
	for _, o := range c.Orders {
		sum += o.Total()
	}
	return sum
}

// Consolidate makes the orders of jobs. Of one job they are its plan as followed.
// Of several, what more than one of them buys from one supplier is planned once
// for all, packs and boards alike, where that costs less; lines with a count of
// the estimator's stay as they are. A supplier is called as the first job calls
// it. Each job's shares add up to the cent.
//
// Each order says what it lacks: what the plans leave out, and of what cannot be read
// of the jobs all that is in lacking. A supplier with nothing left that follows a plan
// gets no order (see withhold), unless it may be partial.
func Consolidate(jobs []Ordering, lacking []Missing, partial bool) Consolidation {
	var names SupplierNames
	c := consolidation{jobs: slices.Clone(jobs), lines: map[string][]OrderLine{}, plans: map[string][]JointPlan{}}
	for i := range c.jobs {
		j := &c.jobs[i]
		j.Lists, j.Plan = names.Lists(j.Lists), names.Plan(j.Plan)
		c.usable = append(c.usable, newBuyer(j.Book, &j.Takeoff, j.Lists).usable)
		c.out.Jobs = append(c.out.Jobs, j.Name)
	}
	c.withhold(partial)
	for _, j := range c.jobs {
		for _, o := range j.Plan.Orders {
			c.out.Apart += o.Total()
		}
		for _, p := range j.Plan.Purchases {
			for _, l := range p.Lines {
				c.out.PacksOf += l.Count()
			}
		}
	}
	for _, key := range c.items() {
		c.item(key)
	}
	c.orders()
	c.onHold()
	c.missing(lacking)
	c.out.Problems = estimate.SortProblems(c.problems)
	return c.out
}

// consolidation gathers the orders of jobs.
type consolidation struct {
	jobs     []Ordering
	lines    map[string][]OrderLine // by supplier
	plans    map[string][]JointPlan // by supplier
	usable   []*usableOffers        // what each job may buy
	out      Consolidation
	problems []estimate.Problem
}

// itemAt is an item from a supplier.
type itemAt struct{ item, supplier string }

// bought is a job's purchase of an item.
type bought struct {
	job int
	p   Purchase
}

// items lists what is bought, by class and item, then supplier.
func (c *consolidation) items() []itemAt {
	var out []itemAt
	order := map[string]int{}
	for _, j := range c.jobs {
		for i, it := range j.Book.Items.List() {
			if _, known := order[it.Key]; !known {
				order[it.Key] = i + 1_000_000*ClassOrder(it)
			}
		}
		for _, p := range j.Plan.Purchases {
			k := itemAt{p.Item.Key, p.Supplier}
			if len(p.Lines) > 0 && !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b itemAt) int {
		return cmp.Or(cmp.Compare(order[a.item], order[b.item]), cmp.Compare(a.supplier, b.supplier))
	})
	return out
}

// item adds the lines of an item from a supplier.
func (c *consolidation) item(key itemAt) {
	var own, free []bought
	for j := range c.jobs {
		for _, p := range c.jobs[j].Plan.Purchases {
			if p.Item.Key != key.item || p.Supplier != key.supplier || len(p.Lines) == 0 {
				continue
			}
			if slices.ContainsFunc(p.Lines, func(l Line) bool { return l.Override.Set }) {
				own = append(own, bought{j, p})
			} else {
				free = append(free, bought{j, p})
			}
		}
	}
	if lines, ok := c.joint(key, free); ok {
		c.add(key.supplier, lines)
	} else {
		own = append(own, free...)
	}
	for _, b := range own {
		c.add(key.supplier, c.linesOf(b))
	}
}

// linesOf returns the lines of one job.
func (c *consolidation) linesOf(b bought) []OrderLine {
	var out []OrderLine
	for _, l := range b.p.Lines {
		line := c.line(l, b.p, []bought{b})
		line.weights = make([]int64, len(c.jobs))
		line.weights[b.job] = l.Count() * packParts
		out = append(out, line)
	}
	return out
}

// packParts is what a pack is divided into for the shares of jobs.
const packParts = 1_000_000

func (c *consolidation) line(l Line, p Purchase, of []bought) OrderLine {
	out := OrderLine{Offer: l.Offer, Item: p.Item, Count: l.Count(), Phase: p.Phase}
	for _, b := range of {
		if phaseOrder(b.p.Phase) < phaseOrder(out.Phase) {
			out.Phase = b.p.Phase
		}
		if day, ok := c.jobs[b.job].Book.Job.FirstDay(b.p.Phase); ok && (!out.NeededBy.Set || day < out.NeededBy.V) {
			out.NeededBy = estimate.Given(day)
		}
	}
	return out
}

// add puts lines into a supplier's order; those of one offer become one.
func (c *consolidation) add(supplier string, lines []OrderLine) {
	for _, l := range lines {
		if l.Count == 0 {
			continue
		}
		list := c.lines[supplier]
		i := slices.IndexFunc(list, func(had OrderLine) bool {
			return had.Offer.Item == l.Offer.Item && had.Offer.Code == l.Offer.Code && had.Offer.Content == l.Offer.Content && had.Offer.Price == l.Offer.Price
		})
		if i < 0 {
			c.lines[supplier] = append(list, l)
			continue
		}
		had := &list[i]
		had.Count += l.Count
		for j := range had.weights {
			had.weights[j] += l.weights[j]
		}
		if phaseOrder(l.Phase) < phaseOrder(had.Phase) {
			had.Phase = l.Phase
		}
		if l.NeededBy.Set && (!had.NeededBy.Set || l.NeededBy.V < had.NeededBy.V) {
			had.NeededBy = l.NeededBy
		}
	}
}

// joint plans what several jobs need of an item at once; false where that does
// not serve or saves nothing.
func (c *consolidation) joint(key itemAt, of []bought) ([]OrderLine, bool) {
	if len(of) < 2 {
		return nil, false
	}
	if why := c.differ(key, of); why != "" {
		c.say(estimate.Note, fmt.Sprintf("%s from %s is ordered for each job apart: %s", key.item, key.supplier, why))
		return nil, false
	}
	book, takeoff, weights := c.merged(key, of)
	b := newBuyer(book, takeoff, c.jobs[of[0].job].Lists)
	i := slices.IndexFunc(b.needs, func(n need) bool { return n.item.Key == key.item })
	if i < 0 || len(c.common(key, of)) == 0 {
		return nil, false
	}
	toBuy, apart := int64(0), measure.Money(0)
	for _, x := range of {
		toBuy += x.p.ToBuy
		apart += x.p.Cost
	}
	best := b.candidate(c.common(key, of), b.needs[i], toBuy, b.opened(b.needs[i]))
	if len(best.left) > 0 || len(best.lines) == 0 || best.money() >= apart {
		return nil, false
	}
	if len(best.tight) > 0 {
		return nil, false // the job's own plan says which piece is to be measured first
	}
	best.improve(b.needs[i].item)
	var out []OrderLine
	for _, l := range best.lines {
		line := c.line(l, of[0].p, of)
		line.weights = make([]int64, len(c.jobs))
		for k, w := range measure.Shares(measure.Money(l.Count()*packParts), weights) {
			line.weights[of[k].job] = int64(w)
		}
		out = append(out, line)
	}
	for _, p := range best.plans {
		c.plans[key.supplier] = append(c.plans[key.supplier], JointPlan{b.needs[i].item, p, takeoff})
	}
	return out, true
}

// differ says why jobs cannot be planned at once.
func (c *consolidation) differ(key itemAt, of []bought) string {
	first := c.jobs[of[0].job]
	for _, x := range of[1:] {
		j := c.jobs[x.job]
		switch {
		case !samePrices(c.usableOf(of[0], key), c.usableOf(x, key)):
			return "the estimates have different prices of it"
		case !sameItem(of[0].p.Item, x.p.Item):
			return "the item is not the same in the estimates"
		case x.p.Item.Cut && !cutAlike(&first.Book.Job, &j.Book.Job):
			return "the jobs cut differently (kerf, end trim, joints, brake length, waste or spares on Job)"
		case sealed(x.p.Item) && first.Book.Job.SecondGun != j.Book.Job.SecondGun:
			return "the jobs ask differently what a second gun has to save"
		case x.p.Item.DaysOpen > 0 && first.Book.Job.OpeningsADay != j.Book.Job.OpeningsADay:
			return "the crews close in another number of openings a day"
		}
	}
	for _, x := range of {
		for _, h := range c.jobs[x.job].Book.Job.OnHand {
			if h.Item == key.item {
				return "some is on hand for " + c.jobs[x.job].Name
			}
		}
	}
	return ""
}

// cutAlike reports whether two jobs cut by the same settings.
func cutAlike(a, b *estimate.Job) bool {
	return a.Kerf == b.Kerf && a.EndTrim == b.EndTrim && a.BrakeLength == b.BrakeLength &&
		a.ShortestJoined == b.ShortestJoined && a.MinPart == b.MinPart &&
		a.MeasuringAllowance == b.MeasuringAllowance && a.SpareBoards == b.SpareBoards && a.SpareTape == b.SpareTape
}

func sameItem(a, b estimate.Item) bool {
	a.Place, b.Place = estimate.Place{}, estimate.Place{}
	return a == b
}

// usableOf returns the offers of an item at a supplier that a job may use: not too
// cold, in time, not expired.
func (c *consolidation) usableOf(x bought, key itemAt) []Offer {
	return offersAt(c.usable[x.job].offers[key.item], key.supplier)
}

// common returns the offers that all of the jobs may use.
func (c *consolidation) common(key itemAt, of []bought) []Offer {
	return slices.DeleteFunc(c.usableOf(of[0], key), func(o Offer) bool {
		return slices.ContainsFunc(of[1:], func(x bought) bool {
			return !slices.ContainsFunc(c.usableOf(x, key), func(p Offer) bool { return sameGoods(o, p) })
		})
	})
}

func sameGoods(a, b Offer) bool { return a.Code == b.Code && a.Content == b.Content }

// samePrices reports whether no goods have different prices in two lists.
func samePrices(a, b []Offer) bool {
	return !slices.ContainsFunc(a, func(o Offer) bool {
		return slices.ContainsFunc(b, func(p Offer) bool { return sameGoods(o, p) && o.Price != p.Price })
	})
}

// merged returns one takeoff of what the jobs need of an item, and how much of
// it each needs. Every mark begins with its job.
func (c *consolidation) merged(key itemAt, of []bought) (estimate.Book, *estimate.Takeoff, []int64) {
	out := &estimate.Takeoff{}
	var weights []int64
	for _, x := range of {
		j := c.jobs[x.job]
		weights = append(weights, max(1, x.p.Need))
		place := map[int]int{}
		for _, row := range x.p.Rows {
			r := j.Takeoff.Requirements[row]
			if _, seen := place[r.Opening]; !seen {
				place[r.Opening] = len(out.Openings)
				o := j.Takeoff.Openings[r.Opening]
				o.Mark = j.Name + " " + o.Mark
				out.Openings = append(out.Openings, o)
			}
			r.Opening = place[r.Opening]
			out.Requirements = append(out.Requirements, r)
		}
	}
	return c.jobs[of[0].job].Book, out, weights
}

// orders closes the orders: sums, delivery, tax and shares.
func (c *consolidation) orders() {
	b := buyer{job: &c.jobs[0].Book.Job}
	for _, name := range slices.Sorted(maps.Keys(c.lines)) {
		o := SupplierOrder{Lines: c.lines[name], Plans: c.plans[name]}
		o.Terms = c.termsOf(name)
		for i := range o.Lines {
			l := &o.Lines[i]
			l.Extension = measure.Extension(l.Count, l.Offer.Price)
			l.Shares = measure.Shares(l.Extension, l.weights)
			o.Materials += l.Extension
			o.Tax += b.lineTax(Line{Extension: l.Extension})
			c.out.Packs += l.Count
		}
		o.Delivery = o.Terms.Fee(o.Materials)
		o.Tax += b.orderTax(o.Order)
		o.Below = o.Terms.Below(o.Materials)
		if o.Below {
			c.say(estimate.Warning, fmt.Sprintf("the order at %s comes to %s, below its minimum of %s", name, o.Materials, o.Terms.MinimumOrder.V))
		}
		o.Shares = make([]measure.Money, len(c.jobs))
		for _, l := range o.Lines {
			for j, m := range l.Shares {
				o.Shares[j] += m
			}
		}
		for j, m := range measure.Shares(o.Delivery+o.Tax, moneyWeights(o.Shares)) {
			o.Shares[j] += m
		}
		c.out.Orders = append(c.out.Orders, o)
	}
}

func moneyWeights(m []measure.Money) []int64 {
	out := make([]int64, len(m))
	for i, v := range m {
		out[i] = int64(v)
	}
	return out
}

// termsOf returns what a supplier asks: of several jobs that say something else,
// what the first does, and that is said.
func (c *consolidation) termsOf(supplier string) Terms {
	out, of := Terms{Supplier: supplier}, ""
	for _, j := range c.jobs {
		for _, o := range j.Plan.Orders {
			if o.Terms.Supplier != supplier {
				continue
			}
			own := o.Terms
			switch {
			case of == "":
				out, of = own, j.Name
			case own.DeliveryFee != out.DeliveryFee || own.FreeOver != out.FreeOver || own.MinimumOrder != out.MinimumOrder:
				c.say(estimate.Warning, fmt.Sprintf("%s asks other terms in %s than in %s; those of %s are used", supplier, j.Name, of, of))
			}
		}
	}
	return out
}

func (c *consolidation) say(sev estimate.Severity, what string) {
	c.problems = append(c.problems, estimate.Problem{Severity: sev, What: what})
}
