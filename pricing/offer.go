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

// Offer is a row of a price list: one pack, board, roll or stick of an item at
// one supplier.
type Offer struct {
	Place                             estimate.Place
	Supplier, Item, Code, Description string
	Content                           string            // as written: "10.1 fl oz", "16 ft", "5 lb"
	Amount                            int64             // what one serves, base units of the item's dimension; of an item that is cut, its length
	Unit                              string            // how it is sold: tube, box, board
	Price                             measure.UnitPrice // of one
	Currency                          string            // "" = the job's
	MinTempF                          estimate.Maybe[int64]
	LeadDays                          estimate.Maybe[int64]
	Effective, Expires                estimate.Maybe[measure.Date] // the price holds from, and up to and including
	Invented                          bool                         // of a list whose prices are made up
}

// minTempF returns the lowest temperature at which the offer can be used: its
// own, else the item's.
func (o Offer) minTempF(item estimate.Item) estimate.Maybe[int64] {
	if o.MinTempF.Set {
		return o.MinTempF
	}
	return item.MinTempF
}

// tooColdFor reports whether the item is used on site and the coldest forecast
// is below what the offer takes.
func (o Offer) tooColdFor(job *estimate.Job, item estimate.Item) bool {
	least := o.minTempF(item)
	return item.Site && job.ColdestF.Set && least.Set && least.V > job.ColdestF.V
}

// shelf is the offers that may be used, by item, and what was left out.
type shelf struct {
	job      *estimate.Job
	items    estimate.Items
	neededBy map[string]estimate.Visit // the first visit at which an item is needed, by key
	terms    map[string]Terms          // by supplier in lower case
	offers   map[string][]Offer        // by item key, in the order of the lists
	cold     map[string]bool           // items of which an offer was left out for the cold
	refused  map[string]bool           // items of which an offer was left out
	late     map[string]bool           // items of which an offer was left out for its lead days
	told     map[string]bool           // foreign currencies that were reported
	problems []estimate.Problem
}

// stock fills a shelf: offers that must not be used are left out, each with a
// problem at its row, and prices to look at are warned of.
func stock(job *estimate.Job, items estimate.Items, neededBy map[string]estimate.Visit, lists Lists) *shelf {
	s := &shelf{job: job, items: items, neededBy: neededBy, terms: map[string]Terms{}, offers: map[string][]Offer{}, cold: map[string]bool{}, refused: map[string]bool{}, late: map[string]bool{}, told: map[string]bool{}}
	for _, t := range lists.Terms {
		s.terms[strings.ToLower(t.Supplier)] = t.in(job.Currency)
	}
	var kept []Offer
	spelling := map[string]string{} // a supplier is one whatever the case
	for _, o := range lists.Offers {
		folded := strings.ToLower(o.Supplier)
		if _, seen := spelling[folded]; !seen {
			spelling[folded] = o.Supplier
		}
		o.Supplier = spelling[folded]
		if s.refuses(o) {
			continue
		}
		s.add(o)
		kept = append(kept, o)
	}
	s.inTime()
	s.agesOf(kept)
	return s
}

func (s *shelf) needed(item string) bool { _, ok := s.neededBy[item]; return ok }

// suppliers returns those that offer something that is needed, by name, with
// what they ask.
func (s *shelf) suppliers() []Terms {
	var out []Terms
	seen := map[string]bool{}
	for item := range s.neededBy {
		for _, o := range s.offers[item] {
			if !seen[o.Supplier] {
				seen[o.Supplier] = true
				t := s.terms[strings.ToLower(o.Supplier)]
				t.Supplier = o.Supplier
				out = append(out, t)
			}
		}
	}
	slices.SortFunc(out, func(a, b Terms) int { return cmp.Compare(a.Supplier, b.Supplier) })
	return out
}

// lateBy returns by how many days an offer ordered on the job's date comes after
// the first day of the visit that needs its item; 0 where a date is not known.
func (s *shelf) lateBy(o Offer) int64 {
	day, dated := s.job.VisitDate[s.neededBy[o.Item]]
	lead := o.LeadDays
	if !lead.Set {
		lead = s.terms[strings.ToLower(o.Supplier)].LeadDays
	}
	if !dated || !s.job.Date.Set || !lead.Set {
		return 0
	}
	return max(0, int64(s.job.Date.V)+lead.V-int64(day))
}

func dayWords(n int64) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// inTime leaves out what comes too late for its visit, where something else
// comes in time.
func (s *shelf) inTime() {
	for _, item := range slices.Sorted(maps.Keys(s.neededBy)) {
		var early, late []Offer
		for _, o := range s.offers[item] {
			if s.lateBy(o) > 0 {
				late = append(late, o)
			} else {
				early = append(early, o)
			}
		}
		does := "it is not chosen"
		if len(early) > 0 {
			s.offers[item] = early
		} else {
			does = "nothing comes sooner"
		}
		told := map[string]bool{}
		s.late[item] = len(early) > 0 && len(late) > 0
		for _, o := range late {
			if told[o.Supplier] {
				continue
			}
			told[o.Supplier] = true
			visit := s.neededBy[item]
			s.say(o, estimate.Warning, fmt.Sprintf("%s from %s comes %s after the %s visit of %s if it is ordered on the job's date; %s", item, o.Supplier, dayWords(s.lateBy(o)), visit, s.job.VisitDate[visit], does), "order sooner, or move the visit")
		}
	}
}

func (s *shelf) say(o Offer, sev estimate.Severity, what, do string) {
	s.problems = append(s.problems, estimate.Problem{Place: o.Place, Severity: sev, What: what, Do: do})
}

// refuses reports whether an offer must not be used, and says why.
func (s *shelf) refuses(o Offer) bool {
	item, known := s.items.Get(o.Item)
	switch {
	case !known:
		s.say(o, estimate.Error, fmt.Sprintf("item %s is not on the Items sheet", quote(o.Item)), "correct the item, or add it there")
	case o.Amount <= 0:
		s.say(o, estimate.Error, fmt.Sprintf("%s: the content %s serves nothing", o.Item, quote(o.Content)), "correct the content")
	case o.Price <= 0:
		s.say(o, estimate.Error, fmt.Sprintf("%s: a price of %s is not used", o.Item, o.Price), "ask the supplier for the price")
	case o.Currency != "" && !strings.EqualFold(o.Currency, s.job.Currency):
		s.foreign(o)
	case s.job.Date.Set && o.Expires.Set && o.Expires.V < s.job.Date.V:
		s.say(o, estimate.Warning, fmt.Sprintf("%s: the price expired on %s, before the job's date %s; it is not used", o.Item, o.Expires.V, s.job.Date.V), "ask the supplier for a new price")
	case s.needed(o.Item) && o.tooColdFor(s.job, item):
		s.cold[o.Item] = true
		s.say(o, estimate.Warning, fmt.Sprintf("%s: needs %d F or warmer, the coldest forecast is %d F; it is not chosen", o.Item, o.minTempF(item).V, s.job.ColdestF.V), "wait for warmer weather, or buy a product for the cold")
	default:
		return false
	}
	s.refused[o.Item] = true
	return true
}

// foreign says once a list and currency that its prices are in another one.
func (s *shelf) foreign(o Offer) {
	key := o.Place.File + "\x00" + o.Place.Sheet + "\x00" + o.Currency
	if !s.told[key] {
		s.told[key] = true
		s.say(o, estimate.Error, fmt.Sprintf("%s: the price is in %s, the job in %s; no price of this list in %[2]s is used", o.Item, o.Currency, s.job.Currency), "convert the prices, or correct the currency")
	}
}

// add puts an offer on the shelf. Of two with one supplier, item and content
// the cheaper stays. Those that differ in temperature are two products, not a
// slip.
func (s *shelf) add(o Offer) {
	list := s.offers[o.Item]
	for i, had := range list {
		if had.Supplier != o.Supplier || had.Amount != o.Amount {
			continue
		}
		dearer := o
		if o.Price < had.Price {
			list[i], dearer = o, had
		}
		if o.MinTempF == had.MinTempF {
			s.say(dearer, estimate.Warning, fmt.Sprintf("%s: %s offers %s more than once; %s is not used, the price is %s", o.Item, o.Supplier, quote(o.Content), dearer.Price, list[i].Price), "delete the row that no longer holds")
		}
		return
	}
	s.offers[o.Item] = append(list, o)
}

// priceDay is the rows of one list that share a date of price.
type priceDay struct {
	first Offer
	rows  int
}

// agesOf warns of prices of needed items that have no date or are too old on
// the job's date: once for each list and date, for a list is priced in one go.
func (s *shelf) agesOf(offers []Offer) {
	if !s.job.Date.Set {
		return
	}
	type key struct {
		file, sheet string
		day         estimate.Maybe[measure.Date]
	}
	at := map[key]int{}
	var days []priceDay
	for _, o := range offers {
		old := !o.Effective.Set || int64(s.job.Date.V)-int64(o.Effective.V) > s.job.PriceAgeDays
		if !s.needed(o.Item) || !old {
			continue
		}
		k := key{o.Place.File, o.Place.Sheet, o.Effective}
		if _, seen := at[k]; !seen {
			at[k] = len(days)
			days = append(days, priceDay{first: o})
		}
		days[at[k]].rows++
	}
	for _, d := range days {
		s.say(d.first, estimate.Warning, d.text(s.job), "ask whether the prices still hold, and write the date in Effective")
	}
}

func (d priceDay) text(job *estimate.Job) string {
	prices, have, are := "the price of "+d.first.Item, "has", "is"
	if d.rows > 1 {
		prices, have, are = fmt.Sprintf("%d prices, the first that of %s,", d.rows, d.first.Item), "have", "are"
	}
	if !d.first.Effective.Set {
		return fmt.Sprintf("%s %s no effective date", prices, have)
	}
	age := int64(job.Date.V) - int64(d.first.Effective.V)
	return fmt.Sprintf("%s %s from %s, %d days before the job's date (limit %d)", prices, are, d.first.Effective.V, age, job.PriceAgeDays)
}

// suppliers divides offers by supplier, in the order of the names.
func suppliers(offers []Offer) [][]Offer {
	var out [][]Offer
	for _, o := range offers {
		i := 0
		for i < len(out) && out[i][0].Supplier < o.Supplier {
			i++
		}
		if i == len(out) || out[i][0].Supplier != o.Supplier {
			out = append(out, nil)
			copy(out[i+1:], out[i:])
			out[i] = nil
		}
		out[i] = append(out[i], o)
	}
	return out
}
