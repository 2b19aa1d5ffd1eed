package pricing

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Missing is something that no order holds, or not all of it.
type Missing struct {
	Job      string // that needs it
	Supplier string // whose order lacks it; "" = nobody knows, so each may
	Item     string // its key; "" = not an item, but what cannot be read of the job
	Name     string // the item, or what cannot be read, in words
	Need     string // how much the job needs of it; "" = not known
	Why, Do  string
}

// Of reports whether the order of a supplier lacks it.
func (m Missing) Of(supplier string) bool { return m.Supplier == "" || m.Supplier == supplier }

// sentence says in words what is missing, why, and what to do; for which job where
// the order is for several.
func (m Missing) sentence(jobs int) string {
	words := m.Name
	if m.Item != "" {
		words += " (" + m.Item + ")"
	}
	if m.Need != "" {
		words += ", " + m.Need
	}
	if jobs > 1 {
		words += ", for " + m.Job
	}
	return fmt.Sprintf("%s: %s (%s)", words, m.Why, m.Do)
}

// OrderNote is what an order says of itself in its first rows.
type OrderNote struct{ Label, Item, Words string }

// Notes say what an order for so many jobs lacks, and what it holds that waits. earlier
// is a complete order of an earlier run that stands beside this one, "" where there is
// none.
func (o SupplierOrder) Notes(jobs int, earlier string) []OrderNote {
	if len(o.Missing) == 0 {
		return o.OnHold
	}
	list := []OrderNote{{Label: "INCOMPLETE", Words: "what is listed here is missing from this order; do not send it as the whole order"}}
	for _, m := range o.Missing {
		list = append(list, OrderNote{"MISSING", m.Item, m.sentence(jobs)})
	}
	if earlier != "" {
		list = append(list, OrderNote{Label: "WARNING", Words: earlier + ", an order of an earlier run, stands beside this one: send only one of them"})
	}
	return append(list, o.OnHold...)
}

// onHold says on each order which of its items may not fit: what is not cut, and waits.
func (c *consolidation) onHold() {
	for i := range c.out.Orders {
		o := &c.out.Orders[i]
		for _, l := range o.Lines {
			for j := range c.jobs {
				if l.Shares[j] > 0 {
					o.OnHold = append(o.OnHold, c.heldIn(j, l.Item)...)
				}
			}
		}
	}
}

// heldIn says of an item that is not cut at which marks of a job it waits, and for what.
func (c *consolidation) heldIn(job int, item estimate.Item) (list []OrderNote) {
	marks := map[string][]string{}
	for _, r := range c.jobs[job].Takeoff.Requirements {
		if r.Item == item.Key && r.Dim == estimate.Each && r.Held != "" {
			marks[r.Held] = append(marks[r.Held], c.jobs[job].Takeoff.Openings[r.Opening].Mark)
		}
	}
	for _, why := range slices.Sorted(maps.Keys(marks)) {
		words := fmt.Sprintf("%s (%s) for %s: %s (settle it before this order is sent)", item.Name, item.Key, strings.Join(marks[why], ", "), why)
		if len(c.jobs) > 1 {
			words = c.jobs[job].Name + ": " + words
		}
		list = append(list, OrderNote{"ON HOLD", item.Key, words})
	}
	return list
}

// Withheld is a supplier that gets no order, because what was planned there is out
// of date.
type Withheld struct {
	Supplier string
	Rest     int // items that could be ordered there all the same
}

// noOrder is the state of an item whose supplier gets no order.
const noOrder = "no order to its supplier"

// missingWords say of the state of an item why it is missing and what to do.
var missingWords = map[string]struct{ why, do string }{
	RunAgain: {"its plan is out of date", "run estimate again, then order from that"},
	noOrder:  {"its supplier gets no order, for what was planned there is out of date", "run estimate again, then order from that"},
	NoPrice:  {NoPrice, "type its price on Prices of the estimate, or run estimate again with a list that has it; then order again"},
	NotHere:  {NotHere, "allow it on Suppliers, or find another supplier"},
}

// missingOf lists what a job's plan does not buy, or not all of.
func missingOf(j Ordering) (list []Missing) {
	for _, p := range j.Plan.Purchases {
		if p.State == "" {
			continue
		}
		words, known := missingWords[p.State]
		if !known {
			words.why, words.do = p.State, "see its lines on Checks of the estimate, and find what is missing elsewhere"
		}
		list = append(list, Missing{
			Job: j.Name, Supplier: p.Supplier, Item: p.Item.Key, Name: p.Item.Name, Need: p.needWords(j.Book.Job.MM), Why: words.why, Do: words.do,
		})
	}
	return list
}

// needWords write how much of an item a job needs.
func (p Purchase) needWords(mm bool) string { return amountWords(p.Item.Dim, p.ToBuy, mm) }

// amountWords write an amount in trade units.
func amountWords(dim estimate.Dimension, amount int64, mm bool) string {
	switch {
	case dim == estimate.Each:
		return fmt.Sprintf("%d pieces", amount)
	case dim == estimate.Lengthwise && mm:
		return measure.FormatMM(measure.Length(amount)) + " mm in total"
	case dim == estimate.Lengthwise:
		return measure.FormatFeetInches(measure.Length(amount), 16) + " in total"
	case dim == estimate.Areawise && mm:
		return fmt.Sprintf("%.2f m2", float64(amount)/float64(measure.SquareMeter))
	case dim == estimate.Areawise:
		return fmt.Sprintf("%.2f SF", float64(amount)/float64(measure.SquareFoot))
	case mm:
		return fmt.Sprintf("%.0f mL", float64(amount)/float64(measure.Millilitre))
	}
	// A gallon is 231 cubic inches, and 128 fluid ounces.
	return fmt.Sprintf("%.1f fl oz", float64(amount)/float64(measure.CubicInch)*128/231)
}

// withhold leaves out the orders of suppliers where no item that follows a plan is
// left beside those that are out of date: what happens to be counted by the pack is
// no order to send. A partial order is written all the same, unless it had no line.
func (c *consolidation) withhold(partial bool) {
	stale, rest := map[string][]Purchase{}, map[string][]Purchase{} // by supplier
	for _, j := range c.jobs {
		for _, p := range j.Plan.Purchases {
			switch {
			case p.State == RunAgain && p.Supplier != "":
				stale[p.Supplier] = append(stale[p.Supplier], p)
			case len(p.Lines) > 0:
				rest[p.Supplier] = append(rest[p.Supplier], p)
			}
		}
	}
	planned := func(list []Purchase) bool {
		return slices.ContainsFunc(list, func(p Purchase) bool { return p.ByPlan })
	}
	for _, supplier := range slices.Sorted(maps.Keys(stale)) {
		left := rest[supplier]
		if len(left) > 0 && (partial || planned(left) || !planned(stale[supplier])) {
			continue
		}
		c.out.Withheld = append(c.out.Withheld, Withheld{supplier, len(left)})
		for i := range c.jobs {
			c.jobs[i].Plan.withoutOrder(supplier)
		}
	}
}

// withoutOrder leaves out what a plan buys at a supplier.
func (p *Plan) withoutOrder(supplier string) {
	p.Orders = slices.DeleteFunc(p.Orders, func(o Order) bool { return o.Terms.Supplier == supplier })
	for i := range p.Purchases {
		if b := &p.Purchases[i]; b.Supplier == supplier && len(b.Lines) > 0 {
			b.State, b.Lines = noOrder, nil
		}
	}
}

// missing says what no order holds, and of each order what it lacks.
func (c *consolidation) missing(lacking []Missing) {
	c.out.Missing = slices.Clone(lacking)
	for _, j := range c.jobs {
		c.out.Missing = append(c.out.Missing, missingOf(j)...)
	}
	for i := range c.out.Orders {
		o := &c.out.Orders[i]
		for _, m := range c.out.Missing {
			if m.Of(o.Terms.Supplier) {
				o.Missing = append(o.Missing, m)
			}
		}
	}
}
