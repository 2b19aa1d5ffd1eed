package learn

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Value is a figure in millionths of its unit; of a percentage of one.
type Value int64

// One is the figure 1, or 100 %.
const One Value = 1_000_000

// The units of figures.
const (
	Percent = "%"
	HoursOf = "h"
	CountOf = "count"
)

// Figure is a rate that an estimate uses, as a job took it and as its estimate had it.
type Figure struct {
	Name     string
	Unit     string
	Measured estimate.Maybe[Value]
	Had      estimate.Maybe[Value] // by the estimate
	Why      string                // why it is not measured; "" = it is, or the job has none of it
	Sets     Target                // what it may set; none = it only shows
}

// Target is what a figure sets in the next schedule: a key of Job, or hours on Labor.
type Target struct {
	Key   string
	Kind  estimate.Kind
	Phase estimate.Phase
}

// ratio returns a / b as a figure; not set where b is 0.
func ratio(a, b int64) estimate.Maybe[Value] {
	if b <= 0 {
		return estimate.Maybe[Value]{}
	}
	return estimate.Given(Value(measure.MulDiv(a, int64(One), b)))
}

// Figures returns what a job took, rate by rate: first material, then hours, then what
// the whole job took of what its estimate had.
func Figures(j Job) []Figure {
	m := measurer{Job: j, accounts: Accounts(j)}
	out := m.waste()
	out = append(out, m.sealants()...)
	out = append(out, m.perOpening()...)
	out = append(out, m.broken())
	out = append(out, m.hours()...)
	return append(out, m.material(), m.allHours(), m.prices())
}

// measurer measures the figures of a job.
type measurer struct {
	Job
	accounts []Account
}

// purchase returns what was planned of an item, nil for none.
func (m *measurer) purchase(key string) *pricing.Purchase {
	i := slices.IndexFunc(m.Plan.Purchases, func(p pricing.Purchase) bool { return p.Item.Key == key })
	if i < 0 {
		return nil
	}
	return &m.Plan.Purchases[i]
}

// of returns the accounts of some items, none where one of them is not known, and why.
func (m *measurer) of(which func(estimate.Item) bool) (known []Account, why string) {
	if known, why = m.known(which); why != "" {
		return nil, why
	}
	return known, ""
}

// known returns the accounts of some items that are known, and why others are not.
func (m *measurer) known(which func(estimate.Item) bool) (known []Account, why string) {
	var words []string
	for _, a := range m.accounts {
		switch {
		case !which(a.Item) || a.Needed == 0 && !a.Undone:
		case a.Known():
			known = append(known, a)
		case a.Undone:
			words = append(words, a.Item.Key+": not all is done, by Status")
		case len(a.Uncounted) > 0:
			words = append(words, fmt.Sprintf("%s: Left of %s is blank", a.Item.Key, strings.Join(a.Uncounted, ", ")))
		default:
			words = append(words, a.Item.Key+": nothing on Purchases says that it was bought")
		}
	}
	return known, strings.Join(words, "; ")
}

// waste returns what the items of each waste percentage took beyond the takeoff. Items
// that are not measured alike are not added: those count on whose account most was spent.
//
//	waste = used / needed − 1
func (m *measurer) waste() (out []Figure) {
	job := m.Book.Job
	for _, name := range slices.Sorted(maps.Keys(job.Allowance)) {
		f := Figure{Name: "Waste, " + name, Unit: Percent, Had: estimate.Given(Value(job.Allowance[name])), Sets: Target{Key: estimate.WastePrefix + name}}
		spent := map[estimate.Dimension]measure.Money{}
		mine := func(it estimate.Item) bool { return it.Allowance == name && !it.Cut }
		for _, p := range m.Plan.Purchases {
			if mine(p.Item) {
				spent[p.Item.Dim] += p.Cost
			}
		}
		if len(spent) == 0 {
			continue // the job needs none of it
		}
		dim := estimate.Dimension(0)
		for d := range estimate.Dimension(len(estimate.DimensionWords)) {
			if spent[d] > spent[dim] {
				dim = d
			}
		}
		known, why := m.known(func(it estimate.Item) bool { return mine(it) && it.Dim == dim })
		var over, needed int64
		for _, a := range known {
			over, needed = over+a.Unexplained(), needed+a.Needed
		}
		f.Measured, f.Why = ratio(over, needed), why
		out = append(out, f)
	}
	return out
}

// sealants returns how many packs of each sealant 100 ft of bead or joint took.
func (m *measurer) sealants() (out []Figure) {
	run := map[string]int64{}
	for _, r := range m.Takeoff.Requirements {
		run[r.Item] += int64(r.Run) * m.Takeoff.Openings[r.Opening].Qty
	}
	hundred := 100 * int64(measure.Foot)
	for _, p := range m.Plan.Purchases {
		if p.Item.Class != estimate.ClassSealant || p.Item.Dim != estimate.Volumewise || run[p.Item.Key] == 0 || len(p.Lines) == 0 {
			continue
		}
		l := p.Lines[0]
		f := Figure{Name: fmt.Sprintf("%s, packs of %s for 100 LF of bead", p.Item.Name, l.Offer.Content), Unit: CountOf}
		per := func(amount int64) estimate.Maybe[Value] {
			packs := ratio(amount, l.Offer.Amount)
			return ratio(measure.MulDiv(int64(packs.V), hundred, int64(One)), run[p.Item.Key])
		}
		f.Had = per(p.NeedWithAllowance())
		known, why := m.of(func(it estimate.Item) bool { return it.Key == p.Item.Key })
		if f.Why = why; len(known) == 1 {
			f.Measured = per(known[0].Used())
		}
		out = append(out, f)
	}
	return out
}

// perOpening returns how many cans of foam and how many nails an opening took, of those
// that need any.
func (m *measurer) perOpening() (out []Figure) {
	for _, x := range []struct {
		name  string
		waste string
		packs bool
	}{{"Foam, cans an opening", "foam", true}, {"Nails an opening", "nails", false}} {
		mine := func(it estimate.Item) bool { return it.Allowance == x.waste && !it.Cut }
		openings := m.openings(mine)
		if openings == 0 {
			continue
		}
		in := func(key string, amount int64) int64 { // a count, or cans in millionths
			if !x.packs {
				return amount * int64(One)
			}
			if p := m.purchase(key); p != nil && len(p.Lines) > 0 {
				return int64(ratio(amount, p.Lines[0].Offer.Amount).V)
			}
			return 0
		}
		var used, had int64
		for _, p := range m.Plan.Purchases {
			if mine(p.Item) {
				had += in(p.Item.Key, p.NeedWithAllowance())
			}
		}
		known, why := m.of(mine)
		for _, a := range known {
			used += in(a.Item.Key, a.Used())
		}
		f := Figure{Name: x.name, Unit: CountOf, Why: why, Had: estimate.Given(Value(had / openings))}
		if why == "" && len(known) > 0 {
			f.Measured = estimate.Given(Value(measure.MulDiv(used, 1, openings)))
		}
		out = append(out, f)
	}
	return out
}

// openings counts those that need some items.
func (m *measurer) openings(which func(estimate.Item) bool) (n int64) {
	counted := map[int]bool{}
	for _, r := range m.Takeoff.Requirements {
		item, known := m.Book.Items.Get(r.Item)
		if known && which(item) && !counted[r.Opening] {
			counted[r.Opening] = true
			n += m.Takeoff.Openings[r.Opening].Qty
		}
	}
	return n
}

// broken returns how many of 100 boards served nothing.
func (m *measurer) broken() Figure {
	f := Figure{Name: "Boards broken or lost, of those bought", Unit: Percent}
	var bought, lost int64
	for _, b := range m.Book.Job.Purchases {
		if item, known := m.Book.Items.Get(b.Item); known && item.Class == estimate.ClassBoards && b.Counts() {
			bought, lost = bought+b.Taken(), lost+b.Lost.V
		}
	}
	stated := false
	for _, l := range m.Book.Job.Actuals.Left {
		if item, known := m.Book.Items.Get(l.Item); known && item.Class == estimate.ClassBoards {
			lost, stated = lost+l.Broken.V, stated || l.Left.Set
		}
	}
	switch f.Measured = ratio(lost, bought); {
	case bought == 0:
		f.Why = "no board stands on Purchases"
	case !stated:
		f.Measured, f.Why = estimate.Maybe[Value]{}, "no board of Actuals has Left: nobody says that none was broken"
	}
	return f
}

// material returns what the job took of what is bought in packs, of what its estimate had
// with waste, each item by its cost. It is not known where most of the cost is of items
// that are not.
func (m *measurer) material() Figure {
	f := Figure{Name: "Material in packs, of the estimate", Unit: Percent, Had: estimate.Given(One), Sets: Target{Key: "range of material"}}
	known, why := m.known(func(it estimate.Item) bool { return !it.Cut })
	var part, whole, all int64
	for _, p := range m.Plan.Purchases {
		if !p.Item.Cut {
			all += int64(p.Cost)
		}
	}
	for _, a := range known {
		if p := m.purchase(a.Item.Key); p != nil && p.State == "" {
			whole += int64(p.Cost)
			part += measure.MulDiv(int64(p.Cost)*int64(One), a.Used(), p.NeedWithAllowance())
		}
	}
	if f.Why = why; 2*whole > all {
		f.Measured = estimate.Given(Value(part / whole))
	}
	return f
}

// prices returns what material cost of what the estimate had for the same packs.
func (m *measurer) prices() Figure {
	f := Figure{Name: "Prices paid for material, of the estimate", Unit: Percent, Had: estimate.Given(One), Sets: Target{Key: "range of prices"}}
	var paid, had int64
	for _, b := range m.Book.Job.Purchases {
		n := b.Taken()
		if b.Item == "" || n == 0 || !b.Price.Set {
			continue
		}
		if p := m.purchase(b.Item); p != nil {
			for _, l := range p.Lines {
				if l.Offer.Amount == b.Amount {
					paid += int64(measure.Extension(n, b.Price.V))
					had += int64(measure.Extension(n, l.Offer.Price))
					break
				}
			}
		}
	}
	if f.Measured = ratio(paid, had); !f.Measured.Set {
		f.Why = "no pack on Purchases is one that the estimate prices"
	}
	return f
}
