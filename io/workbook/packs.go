package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// What the crew reads is in trade units: lengths in feet, areas in square feet, volumes
// in the tubes, cans or bags that are bought.

// purchase returns what is bought of an item, nil for one that the plan does not have.
func (w *writer) purchase(key string) *pricing.Purchase {
	if w.purchases == nil {
		w.purchases = map[string]*pricing.Purchase{}
		for i := range w.in.Plan.Purchases {
			buy := &w.in.Plan.Purchases[i]
			w.purchases[buy.Item.Key] = buy
		}
	}
	return w.purchases[key]
}

// mainLine returns the line of a purchase that brings most, nil where nothing is bought.
func mainLine(buy *pricing.Purchase) (most *pricing.Line) {
	if buy == nil {
		return nil
	}
	for i := range buy.Lines {
		l := &buy.Lines[i]
		if most == nil || l.Count()*l.Offer.Amount > most.Count()*most.Offer.Amount {
			most = l
		}
	}
	return most
}

// crewAmount returns an amount of an item as the crew reads it, with its unit.
func (w *writer) crewAmount(item string, d estimate.Dimension, amount int64) (float64, string) {
	switch d {
	case estimate.Lengthwise:
		return w.u.FarOf(measure.Length(amount)), w.u.Far()
	case estimate.Volumewise:
		if l := mainLine(w.purchase(item)); l != nil && l.Offer.Amount > 0 {
			return float64(amount) / float64(l.Offer.Amount), packUnit(l.Offer) + contentWords(l.Offer)
		}
		return fluid(w.u, amount)
	}
	return w.u.Of(d, amount), w.u.Name(d)
}

// crewWords writes an amount of an item as the crew reads it.
func (w *writer) crewWords(item string, d estimate.Dimension, amount int64) string {
	if d == estimate.Each {
		return fmt.Sprintf("%d x", amount)
	}
	n, unit := w.crewAmount(item, d, amount)
	return xlsx.ShownNumber(n, crewFormat) + " " + unit
}

// crewFormat is how amounts are written in words for the crew.
const crewFormat = "#,##0.0#"

// fluid returns a volume in fluid ounces, or in milliliters.
//
// Source: National Institute of Standards and Technology, Handbook 44, appendix C:
// a gallon is 231 in³ and 128 fl oz
func fluid(u estimate.Units, amount int64) (float64, string) {
	n := u.Of(estimate.Volumewise, amount)
	if u.MM {
		return n, u.Name(estimate.Volumewise)
	}
	return n * 128 / 231, "fl oz"
}

// fluidWords writes a volume in fluid ounces, or in milliliters.
func fluidWords(u estimate.Units, amount int64) string {
	n, unit := fluid(u, amount)
	return xlsx.ShownNumber(n, crewFormat) + " " + unit
}

// packUnit is what a pack of an offer is called.
func packUnit(o pricing.Offer) string {
	if o.Unit == "" {
		return "pack"
	}
	return o.Unit
}

// contentWords say what a pack holds, nothing of a single one.
func contentWords(o pricing.Offer) string {
	if o.Content == "" || o.Content == "1 each" {
		return ""
	}
	return " (" + o.Content + ")"
}

// packWords writes packs of an offer: "2 tubes (10.1 fl oz)".
func packWords(n int64, o pricing.Offer) string {
	unit := packUnit(o)
	switch {
	case n == 1 || unit == "each":
	case strings.HasSuffix(unit, "x") || strings.HasSuffix(unit, "s") || strings.HasSuffix(unit, "ch"):
		unit += "es"
	default:
		unit += "s"
	}
	return fmt.Sprintf("%d %s%s", n, unit, contentWords(o))
}

// fetched is what the openings of a phase take of an item together.
type fetched struct {
	item   string
	dim    estimate.Dimension
	amount int64
	rows   int   // requirements
	stands int64 // openings of the wall that need it
}

// fetchWords list what to fetch for all openings of a phase, packs first.
func (w *writer) fetchWords(in estimate.Install) []string {
	type need struct {
		item    string
		opening int
	}
	var list []fetched
	at, counted := map[string]int{}, map[need]bool{}
	for _, s := range in.Steps {
		for _, k := range s.Needs {
			r := w.in.Takeoff.Requirements[k]
			i, known := at[r.Item]
			if !known {
				i = len(list)
				at[r.Item], list = i, append(list, fetched{item: r.Item, dim: r.Dim})
			}
			o := &w.in.Takeoff.Openings[r.Opening]
			list[i].amount += r.Amount * o.Qty
			if of := (need{r.Item, r.Opening}); !counted[of] {
				counted[of] = true
				list[i].stands += o.Qty * o.Stands()
			}
			list[i].rows++
		}
	}
	out := make([]string, len(list))
	for i, f := range list {
		out[i] = w.packsOf(f) + " " + w.shortName(f.item)
	}
	return out
}

// packsOf says how many packs of an item are fetched. Where nothing else takes of the
// item they are those that are bought.
func (w *writer) packsOf(f fetched) string {
	buy, l := w.purchase(f.item), mainLine(w.purchase(f.item))
	switch {
	case buy == nil || l == nil && buy.State != "":
		return "NOT BOUGHT: " + w.crewWords(f.item, f.dim, f.amount)
	case buy.Owner != nil:
		return w.owner(f.item).State() + ": " + w.crewWords(f.item, f.dim, f.amount)
	case l == nil:
		return "on hand: " + w.crewWords(f.item, f.dim, f.amount)
	case f.rows == len(buy.Rows):
		packs := make([]string, 0, len(buy.Lines))
		for _, x := range buy.Lines {
			if x.Count() > 0 {
				packs = append(packs, packWords(x.Count(), x.Offer))
			}
		}
		return strings.Join(packs, " + ")
	case buy.Item.Cut && !rolled(buy):
		return "cut as on Cut list: " + w.crewWords(f.item, f.dim, f.amount)
	}
	part := pricing.Purchase{Need: f.amount, Allowance: buy.Allowance}
	opened := estimate.PacksOpened(f.stands, buy.Item.Openings, w.in.Book.Job.OpeningsADay.V, buy.Item.DaysOpen)
	return packWords(min(max(opened, measure.Packs(part.NeedWithAllowance(), l.Offer.Amount)), max(1, l.Count())), l.Offer)
}

// rolled reports whether an item that is cut comes in rolls, of which pieces are cut off
// where they are used.
func rolled(buy *pricing.Purchase) bool {
	for _, p := range buy.Plans {
		if !p.Problem.Roll {
			return false
		}
	}
	return true
}
