package pricing

import (
	"fmt"
	"hash/fnv"
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
	Item      estimate.Item
	Supplier  string
	Quotes    []Quote        // at each supplier of the plan, by name
	Visit     estimate.Visit // the first that needs it
	Mark      string         // of what was planned: while it is the same, the counts of the plan hold
	Rows      []int          // requirements that it serves, indices into Takeoff.Requirements
	Need      int64          // of the job, before allowance, spares and laps
	Allowance measure.Rate   // on amounts; none on pieces
	ToBuy     int64          // with allowance; of cut items, pieces with their laps, and spares
	OnHand    int64          // of cut items: what is cut from stock on hand, beside ToBuy
	Spares    int64          // spare pieces in ToBuy and OnHand
	Lines     []Line         // largest content first
	Plans     []CutPlan      // of an item that is cut: how
	Bought    int64          // content of all lines
	Cost      measure.Money
	Used      measure.Money // part of Cost that the openings bear
	Unused    measure.Money // the rest: part packs, offcuts
	State     string        // "" = bought; else why it is not, or not all of it
	TooLong   []int         // requirements left out because no stock serves their pieces
}

// marked returns the mark of a purchase with its lines: what is bought of which
// content.
func (p Purchase) marked() string {
	if len(p.Lines) == 0 {
		return p.Mark
	}
	h := fnv.New32a()
	fmt.Fprintln(h, p.Mark)
	for _, l := range p.Lines {
		fmt.Fprintln(h, l.key, l.Offer.Amount, l.Computed)
	}
	return fmt.Sprintf("%08x", h.Sum32())
}

// UsedOf returns the part of a line's extension that the openings bear.
//
//	used = ROUND(ROUND(extension × min(1, to buy / bought), 6), 2)
//
// Purchase.Used is the sum over the lines.
func (p Purchase) UsedOf(l Line) measure.Money {
	if p.ToBuy >= p.Bought {
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
		p.Cost += l.Extension
	}
	for _, l := range p.Lines {
		p.Used += p.UsedOf(l)
	}
	p.Unused = p.Cost - p.Used
}

// short reports whether overrides leave less than the plan needs. Boards are
// short when there are fewer of any length: their pieces may fit no other.
func (p *Purchase) short() bool {
	if !p.Item.Cut {
		return p.Bought < p.ToBuy && measure.Packs(p.ToBuy, p.Bought) > 1
	}
	for _, l := range p.Lines {
		if l.Count() < l.Computed {
			return true
		}
	}
	return false
}
