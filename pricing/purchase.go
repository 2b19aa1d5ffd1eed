package pricing

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Why an item, or a part of it, is not bought. An item that no product is
// warm enough for has "no product for 5 F".
const (
	NoPrice = "no price"
	TooLong = "longer than any stock"
	TooWide = "wider than the coil"
	TooMany = "more pieces than can be planned"
	NotHere = "no supplier allowed"
)

// Line is one pack, board, roll or stick size of a purchase.
type Line struct {
	Offer     Offer
	Computed  int64                 // how many the plan takes
	Override  estimate.Maybe[int64] // typed by the estimator instead
	Extension measure.Money         // Count × price

	key string
}

// Count returns how many are bought: the override, else the computed number.
func (l Line) Count() int64 { return l.Override.Or(l.Computed) }

// Key returns the name of the line that stays the same from run to run:
// item, supplier and code, or the content where there is no code or the
// supplier has one code for several contents.
func (l Line) Key() string { return l.key }

// lineKeys returns the keys of lines of one supplier's offers of an item.
func lineKeys(offers []Offer) []string {
	contents := map[string]int{}
	for _, o := range offers {
		contents[o.Code]++
	}
	keys := make([]string, len(offers))
	for i, o := range offers {
		last := o.Code
		if last == "" || contents[o.Code] > 1 {
			last = o.Content
		}
		keys[i] = strings.Join([]string{o.Item, o.Supplier, last}, "|")
	}
	return keys
}

// Purchase is one item of the job: what is needed and what is bought of it.
// Amounts are in base units of the item's dimension; of an item that is cut,
// in lengths.
type Purchase struct {
	Item     estimate.Item
	Supplier string
	Quotes   []Quote        // at each supplier of the plan, by name
	Phase    estimate.Phase // the first that needs it
	// Fingerprint is of what was planned: while it is the same, the counts of the
	// plan hold.
	Fingerprint string
	Rows        []int        // requirements that it serves, indices into Takeoff.Requirements
	Need        int64        // of the job, before allowance, spares and laps
	Allowance   measure.Rate // on amounts; none on pieces
	Opened      int64        // of packs: how many at least, see estimate.PacksOpened
	ToBuy       int64        // with allowance; of cut items, pieces with their laps, and spares
	OnHand      int64        // what is taken from stock on hand, beside ToBuy
	Spares      int64        // spare pieces in ToBuy and OnHand
	Lines       []Line       // largest content first
	Plans       []CutPlan    // of an item that is cut: how
	Owner       *Owner       // of an item that the owner brings: nothing is bought; nil = it is bought
	Bought      int64        // content of all lines
	Cost        measure.Money
	Used        measure.Money // part of Cost that the openings bear
	Unused      measure.Money // the rest: part packs, offcuts
	State       string        // "" = bought; else why it is not, or not all of it
	TooLong     []int         // requirements left out because no stock serves their pieces
	Tight       []int         // requirements on hold whose extra length no stock gives, or not all of it
	ByPlan      bool          // of an estimate that is followed: the counts are those of its plan, not counted from the need
}

// NeedWithAllowance returns the need with the job's allowance for waste.
func (p Purchase) NeedWithAllowance() int64 { return withAllowance(p.Need, p.Allowance) }

// UsedOf returns the part of a line's extension that the openings bear.
//
//	used = ROUND(ROUND(extension × min(1, to buy / bought), 6), 2)
//
// Packs that do not keep once they are opened are used up.
//
// Purchase.Used is the sum over the lines.
func (p Purchase) UsedOf(l Line) measure.Money {
	if p.ToBuy >= p.Bought || p.Opened > 0 {
		return l.Extension
	}
	return measure.Shares(l.Extension, []int64{p.ToBuy, p.Bought - p.ToBuy})[0]
}

// total fills in what follows from the lines' counts.
func (p *Purchase) total() {
	p.Bought, p.Cost, p.Used = 0, 0, 0
	for i := range p.Lines {
		l := &p.Lines[i]
		l.Extension = measure.Extension(l.Count(), l.Offer.Price)
		p.Bought += l.Count() * l.Offer.Amount
		p.Cost = p.Cost.Plus(l.Extension)
	}
	for _, l := range p.Lines {
		p.Used = p.Used.Plus(p.UsedOf(l))
	}
	p.Unused = p.Cost - p.Used
}

// short reports whether overrides leave less than the plan needs. Boards are
// short when there are fewer of any length: their pieces may fit no other. So are packs
// of which some are opened for their number.
func (p *Purchase) short() bool {
	if !p.Item.Cut && p.Opened == 0 {
		return p.Bought < p.ToBuy && measure.Packs(p.ToBuy, p.Bought) > 1
	}
	for _, l := range p.Lines {
		if l.Count() < l.Computed {
			return true
		}
	}
	return false
}

// purchase returns what is needed of an item, before anything is bought.
func (b *buyer) purchase(n need) Purchase {
	p := Purchase{Item: n.item, Rows: n.rows, Need: n.total, ToBuy: n.total, Phase: b.phases[n.item.Key]}
	if !n.item.Cut {
		p.Allowance = b.allowance(n.item)
		p.ToBuy = withAllowance(n.total, p.Allowance)
		p.Opened = b.opened(n)
		for _, h := range b.onHand(n.item.Key) {
			p.OnHand += h.Amount * h.Count
			p.Opened = max(0, p.Opened-h.Count)
		}
		p.OnHand = min(p.OnHand, p.ToBuy)
		p.ToBuy -= p.OnHand
	}
	p.Fingerprint = b.fingerprint(n, p.ToBuy)
	return p
}

// opened returns how many packs of an item are opened at least.
func (b *buyer) opened(n need) int64 {
	return estimate.PacksOpened(b.openings(n), n.item.Openings, b.job.OpeningsADay.V, n.item.DaysOpen)
}

// buy makes the purchase of one item from the supplier chosen for it.
func (b *buyer) buy(q itemCosts, supplier int) Purchase {
	p := q.p
	if p.Owner != nil {
		return p
	}
	if q.state != "" {
		p.State = q.state
		return p
	}
	best := q.candidates[max(0, supplier)]
	if supplier >= 0 {
		p.Supplier = b.suppliers[supplier].Supplier
	}
	best.improve(p.Item)
	p.Lines, p.Plans, p.ToBuy, p.Spares = best.lines, best.plans, best.toBuy, best.spares
	if p.Item.Cut {
		p.OnHand = best.onHand
	}
	for _, l := range best.left {
		p.State = l.state
		p.TooLong = append(p.TooLong, l.row)
		b.say(b.takeoff.Openings[b.takeoff.Requirements[l.row].Opening].Place, estimate.Error, l.what, l.do)
	}
	if p.Item.Joint == estimate.JointForced {
		b.sayJoined(p.Item, best.joined)
	}
	for _, l := range best.tight {
		p.Tight = append(p.Tight, l.row)
	}
	b.sayTight(p.Item, best.tight)
	p.Fingerprint = b.boughtFingerprint(p)
	b.counted(&p)
	return p
}

// counted puts the estimator's counts on the lines and adds them up.
func (b *buyer) counted(p *Purchase) {
	b.override(p)
	p.total()
	if p.short() {
		b.say(onMaterials, estimate.Warning,
			fmt.Sprintf("%s: the counts typed are less than the job needs", p.Item.Key), "clear the override, or make sure of the rest")
	}
}

// onMaterials is the place of what is typed on the sheet Materials of an
// estimate.
var onMaterials = estimate.Place{Sheet: "Materials"}

// sayJoined warns of pieces that are joined because no stock is long enough.
func (b *buyer) sayJoined(item estimate.Item, all []joined) {
	for _, j := range all {
		r := b.takeoff.Requirements[j.row]
		o := b.takeoff.Openings[r.Opening]
		b.say(o.Place, estimate.Warning,
			fmt.Sprintf("%s: %s is longer than any stock of %s and is spliced at %s", o.Mark, r.Name, item.Key, j.at),
			"offer a longer stock in the price list to have it in one piece")
	}
}

// sayTight warns of pieces on hold whose extra length no stock gives.
func (b *buyer) sayTight(item estimate.Item, all []tight) {
	c := cutter{b: b}
	for _, l := range all {
		r := b.takeoff.Requirements[l.row]
		o := b.takeoff.Openings[r.Opening]
		b.say(o.Place, estimate.Warning,
			fmt.Sprintf("%s: %s of %s is not measured, and planned only %s long: no stock of %s on offer gives its extra length", o.Mark, r.Name,
				c.feet(r.Length), c.feet(l.planned), item.Key),
			"measure before it is cut; offer a longer stock in the price list to be sure of its length")
	}
}
