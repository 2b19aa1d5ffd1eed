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

// usableOffers is the offers that may be used, by item, and what was left out.
type usableOffers struct {
	job      *estimate.Job
	items    estimate.Items
	neededBy map[string]estimate.Phase        // the first phase at which an item is needed, by key
	coldest  map[string]estimate.Maybe[int64] // the lowest temperature at which it has to do
	terms    map[string]Terms                 // by supplier
	offers   map[string][]Offer               // by item key, in the order of the lists
	cold     map[string]bool                  // items of which an offer was left out for the cold
	refused  map[string]bool                  // items of which an offer was left out
	late     map[string]bool                  // items of which an offer was left out for its lead days
	reported map[string]bool                  // foreign currencies that were reported
	problems []estimate.Problem
}

// newUsableOffers takes up the offers of the lists: those that must not be used
// are left out, each with a problem at its row, and prices to look at are warned
// of.
func newUsableOffers(job *estimate.Job, items estimate.Items, neededBy map[string]estimate.Phase, coldest map[string]estimate.Maybe[int64],
	lists Lists) *usableOffers {
	s := &usableOffers{
		job: job, items: items, neededBy: neededBy, coldest: coldest, terms: map[string]Terms{}, offers: map[string][]Offer{},
		cold: map[string]bool{}, refused: map[string]bool{}, late: map[string]bool{}, reported: map[string]bool{},
	}
	for _, t := range lists.Terms {
		s.terms[t.Supplier] = t.in(job.Currency)
	}
	var kept []Offer
	for i, o := range lists.Offers {
		o.Index = i
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

func (s *usableOffers) needed(item string) bool { _, ok := s.neededBy[item]; return ok }

// suppliers returns those that offer something that is needed, by name, with
// what they ask.
func (s *usableOffers) suppliers() []Terms {
	var out []Terms
	seen := map[string]bool{}
	for item := range s.neededBy {
		for _, o := range s.offers[item] {
			if !seen[o.Supplier] {
				seen[o.Supplier] = true
				t := s.terms[o.Supplier]
				t.Supplier = o.Supplier
				out = append(out, t)
			}
		}
	}
	slices.SortFunc(out, func(a, b Terms) int { return cmp.Compare(a.Supplier, b.Supplier) })
	return out
}

// lateBy returns by how many days an offer ordered on the job's date comes after
// the first day of the phase that needs its item; 0 where a date is not known.
func (s *usableOffers) lateBy(o Offer) int64 {
	day, dated := s.job.FirstDay(s.neededBy[o.Item])
	lead := o.LeadDays
	if !lead.Set {
		lead = s.terms[o.Supplier].LeadDays
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

// inTime leaves out what comes too late for its phase, where something else
// comes in time.
func (s *usableOffers) inTime() {
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
		reported := map[string]bool{}
		s.late[item] = len(early) > 0 && len(late) > 0
		for _, o := range late {
			if reported[o.Supplier] {
				continue
			}
			reported[o.Supplier] = true
			phase := s.neededBy[item]
			day, _ := s.job.FirstDay(phase)
			s.say(o, estimate.Warning,
				fmt.Sprintf("%s from %s comes %s after the start of the %s phase on %s if it is ordered on the job's date; %s",
					item, o.Supplier, dayWords(s.lateBy(o)), phase, day, does),
				"order sooner, or move the phase")
		}
	}
}

func (s *usableOffers) say(o Offer, sev estimate.Severity, what, do string) {
	s.problems = append(s.problems, estimate.Problem{Place: o.Place, Severity: sev, What: what, Do: do})
}

// refuses reports whether an offer must not be used, and says why.
func (s *usableOffers) refuses(o Offer) bool {
	item, known := s.items.Get(o.Item)
	switch {
	case !known:
		s.say(o, estimate.Error, fmt.Sprintf("item %s is not on the Items sheet", measure.Quote(o.Item)), "correct the item, or add it there")
	case o.Amount <= 0:
		s.say(o, estimate.Error, fmt.Sprintf("%s: the content %s serves nothing", o.Item, measure.Quote(o.Content)), "correct the content")
	case o.Price <= 0:
		s.say(o, estimate.Error, fmt.Sprintf("%s: a price of %s is not used", o.Item, o.Price), "ask the supplier for the price")
	case o.Currency != "" && !strings.EqualFold(o.Currency, s.job.Currency):
		s.foreign(o)
	case o.expired(s.job):
		s.say(o, estimate.Warning,
			fmt.Sprintf("%s: the price expired on %s, before the job's date %s; it is not used", o.Item, o.Expires.V, s.job.Date.V),
			"ask the supplier for a new price")
	case s.needed(o.Item) && o.tooCold(s.coldest[o.Item], item):
		what := fmt.Sprintf("%s: needs %d F or warmer, the coldest forecast is %d F; ", o.Item, o.minTempF(item).V, s.coldest[o.Item].V)
		if s.job.ColdAccepted.Of(o.Item) {
			s.say(o, estimate.Warning, what+"it is used all the same, by the word of "+s.job.ColdAccepted.Word,
				"take it off cold accepted on Job where that does not hold")
			return false
		}
		s.cold[o.Item] = true
		s.say(o, estimate.Warning, what+"it is not chosen", "wait for warmer weather, or buy a product for the cold")
	default:
		return false
	}
	s.refused[o.Item] = true
	return true
}

// foreign says once a list and currency that its prices are in another one.
func (s *usableOffers) foreign(o Offer) {
	key := o.Place.File + "\x00" + o.Place.Sheet + "\x00" + o.Currency
	if !s.reported[key] {
		s.reported[key] = true
		s.say(o, estimate.Error,
			fmt.Sprintf("%s: the price is in %s, the job in %s; no price of this list in %[2]s is used", o.Item, o.Currency, s.job.Currency),
			"convert the prices, or correct the currency")
	}
}

// add takes an offer into use. Of two with one supplier, item and content
// the cheaper stays. Those that differ in temperature are two products, not a
// slip.
func (s *usableOffers) add(o Offer) {
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
			s.say(dearer, estimate.Warning,
				fmt.Sprintf("%s: %s offers %s more than once; %s is not used, the price is %s", o.Item, o.Supplier, measure.Quote(o.Content), dearer.Price, list[i].Price),
				"delete the row that no longer holds")
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
func (s *usableOffers) agesOf(offers []Offer) {
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
