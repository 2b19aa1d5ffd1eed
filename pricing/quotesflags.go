package pricing

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The kinds of flags.
const (
	FlagExtension = "unit price and extension disagree"
	FlagTotal     = "total and lines disagree"
	FlagUnit      = "unit of the price"
	FlagFar       = "far from the other quotes"
	FlagOld       = "date of the price"
	FlagBlank     = "blank"
)

// QuoteFlag is something in a quote that has to be asked, at its cell.
type QuoteFlag struct {
	Quote    int // index of QuoteComparison.Quotes
	Kind     string
	Item     string // "" = of the quote as a whole
	Line     int    // index of the line that the price is in doubt of; below 0 = none
	Problem  estimate.Problem
	Readings []Reading // of a price that can be read in two ways
}

// Reading is one way to read a price, and what it would do to the ranking of
// the quotes by the items that all have. Where it cannot be known, it is not
// set.
type Reading struct {
	Governs   string // what is taken at its word
	Price     measure.UnitPrice
	Extension estimate.Maybe[measure.Money] // of the supplier's own count
	Own       estimate.Maybe[measure.Money] // sum of the supplier's own extensions
	OwnRank   int                           // by that, 0 = none
	Need      estimate.Maybe[measure.Money] // for what the job needs
	NeedRank  int
}

func sameName(a, b string) bool { return strings.EqualFold(a, b) }

func expired(l QuoteLine, day estimate.Maybe[measure.Date]) bool {
	return day.Set && l.Offer.Expires.Set && l.Offer.Expires.V < day.V
}

// flag looks at every line of every quote.
func (r *quoteRun) flag() {
	for i := range r.quotes {
		var flags []QuoteFlag
		say := func(kind, item string, at estimate.Place, what, do string) *QuoteFlag {
			flags = append(flags, QuoteFlag{Quote: i, Kind: kind, Item: item, Line: -1, Problem: estimate.Problem{Place: at, Severity: estimate.Warning, What: what, Do: do}})
			return &flags[len(flags)-1]
		}
		for k, l := range r.quotes[i].Lines {
			r.extensionFlag(i, k, l, say)
			r.unitFlag(i, k, l, say)
		}
		r.blankFlags(i, say)
		r.totalFlags(i, say)
		r.dateFlags(i, say)
		slices.SortStableFunc(flags, func(a, b QuoteFlag) int {
			return cmp.Or(cmp.Compare(a.Problem.Place.Row, b.Problem.Place.Row), cmp.Compare(a.Problem.Place.Col, b.Problem.Place.Col))
		})
		r.out.Flags = append(r.out.Flags, flags...)
	}
}

// sayFlag puts a flag on a list, and returns it to be completed.
type sayFlag func(kind, item string, at estimate.Place, what, do string) *QuoteFlag

// extensionFlag tells of a unit price and an extension that disagree, with both
// readings: which of the two governs differs in public practice, so neither is
// ever corrected here.
func (r *quoteRun) extensionFlag(i, k int, l QuoteLine, say sayFlag) {
	if !l.disagrees() {
		return
	}
	by := l.ByPrice().V
	what := fmt.Sprintf("%s: %d at %s come to %s, but the extension is %s", l.Named, l.Count.V, l.Price.V, by, l.Extension.V)
	readings := []Reading{r.reading(i, k, "unit price", l.Price.V, estimate.Given(by))}
	if p := l.fromExtension(); p.Set {
		readings = append(readings, r.reading(i, k, "extension", p.V, l.Extension))
	}
	f := say(FlagExtension, l.Offer.Item, l.At[CellExtension], what, "ask which of the two the supplier stands by; the unit price is used until then")
	f.Line, f.Readings = k, readings
}

// reading works out what a line read in one way does to the ranking.
func (r *quoteRun) reading(i, k int, governs string, price measure.UnitPrice, extension estimate.Maybe[measure.Money]) Reading {
	out := Reading{Governs: governs, Price: price, Extension: extension}
	own := make([]estimate.Maybe[measure.Money], len(r.quotes))
	for j := range r.quotes {
		own[j] = r.ownCommon(j, func(n int, l QuoteLine) estimate.Maybe[measure.Money] {
			if j == i && n == k {
				return extension
			}
			return l.Own()
		})
	}
	out.Own, out.OwnRank = own[i], ranksOf(own)[i]
	need := r.commons()
	need[i] = r.commonRead(i, k, price)
	out.Need, out.NeedRank = need[i], ranksOf(need)[i]
	return out
}

// ownCommon adds up the lines of a quote for the items that all have, as the
// supplier counts them; not set where a line has no amount.
func (r *quoteRun) ownCommon(j int, amount func(n int, l QuoteLine) estimate.Maybe[measure.Money]) estimate.Maybe[measure.Money] {
	sum := measure.Money(0)
	for n, l := range r.quotes[j].Lines {
		if !r.isCommon(l.Offer.Item) {
			continue
		}
		m := amount(n, l)
		if !m.Set {
			return estimate.Maybe[measure.Money]{}
		}
		sum += m.V
	}
	return estimate.Given(sum)
}

func (r *quoteRun) isCommon(item string) bool {
	return slices.ContainsFunc(r.out.Items, func(n NeededItem) bool { return n.Common && n.Item.Key == item })
}

// commonRead is common with one line at another price.
func (r *quoteRun) commonRead(i, k int, price measure.UnitPrice) estimate.Maybe[measure.Money] {
	line := r.quotes[i].Lines[k]
	sum := r.out.Quotes[i].Common
	if !r.isCommon(line.Offer.Item) {
		return estimate.Given(sum)
	}
	var offers []Offer
	for n, l := range r.quotes[i].Lines {
		if n == k {
			l.Price = estimate.Given(price)
		}
		if l.Offer.Item == line.Offer.Item && l.offered() && !expired(l, r.book.Job.Date) {
			offers = append(offers, l.offer(r.quotes[i].Supplier, r.book.Job.Date))
		}
	}
	cost := costOfItem(r.book, r.takeoff, offers, line.Offer.Item)
	if !cost.Set {
		return cost
	}
	at := slices.IndexFunc(r.out.Items, func(n NeededItem) bool { return n.Item.Key == line.Offer.Item })
	return estimate.Given(sum - r.out.Quotes[i].Items[at].Cost.V + cost.V)
}

// costOfItem returns what an item costs of the offers of one supplier.
func costOfItem(book estimate.Book, t *estimate.Takeoff, offers []Offer, item string) estimate.Maybe[measure.Money] {
	b := newBuyer(book, t, Lists{Offers: offers})
	for _, n := range b.needs {
		if n.item.Key != item {
			continue
		}
		if p := b.buy(b.quote(n), 0); p.State == "" {
			return estimate.Given(p.Cost)
		}
	}
	return estimate.Maybe[measure.Money]{}
}

// blanks are what a line may lack, and what that means.
var blanks = []struct {
	cell, what, do string
	is             func(l QuoteLine, counts, extensions bool) bool
}{
	{CellPrice, "there is no price; it offers nothing", "ask for the price; blank is not free",
		func(l QuoteLine, _, _ bool) bool { return !l.UnitPrice().Set }},
	{CellPrice, "there is no unit price; it follows from extension and count", "ask for the unit price",
		func(l QuoteLine, _, _ bool) bool { return !l.Price.Set && l.UnitPrice().Set }},
	{CellCount, "there is no count, so that it is not in the supplier's sums as count times price", "ask how many the quote is for",
		func(l QuoteLine, counts, _ bool) bool { return l.Price.Set && !l.Count.Set && counts }},
	{CellExtension, "there is no extension; count times unit price stands in its place", "ask whether the line is in the supplier's total",
		func(l QuoteLine, _, extensions bool) bool { return l.ByPrice().Set && !l.Extension.Set && extensions }},
}

// handful of lines are told one by one; more of them once, at the first.
const handful = 5

// blankFlags tells of what lines about our items lack.
func (r *quoteRun) blankFlags(i int, say sayFlag) {
	q := r.quotes[i]
	counts := slices.ContainsFunc(q.Lines, func(l QuoteLine) bool { return l.Count.Set })
	extensions := slices.ContainsFunc(q.Lines, func(l QuoteLine) bool { return l.Extension.Set })
	for _, b := range blanks {
		var lines []QuoteLine
		for _, l := range q.Lines {
			if l.Offer.Item != "" && !l.Unread && b.is(l, counts, extensions) {
				lines = append(lines, l)
			}
		}
		if len(lines) > handful {
			say(FlagBlank, "", lines[0].At[b.cell], fmt.Sprintf("%d lines, the first that of %s: %s", len(lines), lines[0].Named, b.what), b.do)
			continue
		}
		for _, l := range lines {
			say(FlagBlank, l.Offer.Item, l.At[b.cell], l.Named+": "+b.what, b.do)
		}
	}
}

// totalFlags holds the supplier's sums against its lines.
func (r *quoteRun) totalFlags(i int, say sayFlag) {
	q := r.out.Quotes[i]
	if !q.Own.Set {
		return
	}
	check := func(s QuoteSum, lines measure.Money, of string) {
		if s.Amount != lines {
			say(FlagTotal, "", s.Place, fmt.Sprintf("%s is %s, but %s %s: %s apart", s.Label, s.Amount, of, lines, signless(s.Amount-lines)), "ask what the supplier's total holds")
		}
	}
	if s, ok := q.last(SumSubtotal); ok {
		check(s, q.Own.V, "the lines come to")
	}
	if s, ok := q.Written(); ok {
		check(s, q.Own.V+q.beside(), "lines, delivery, tax and the like come to")
	}
}

func signless(m measure.Money) measure.Money { return max(m, -m) }

// dateFlags tells of prices that are old, expired or without a date on the job's
// date: once for each date of a quote, at the first of its cells.
func (r *quoteRun) dateFlags(i int, say sayFlag) {
	job := &r.book.Job
	if !job.Date.Set {
		return
	}
	type dated struct {
		at    estimate.Place
		what  string
		lines int
	}
	var found []dated
	add := func(at estimate.Place, what string) {
		k := slices.IndexFunc(found, func(d dated) bool { return d.what == what })
		if k < 0 {
			k = len(found)
			found = append(found, dated{at: at, what: what})
		}
		found[k].lines++
	}
	for _, l := range r.quotes[i].Lines {
		age := int64(job.Date.V) - int64(l.Offer.Effective.V)
		switch {
		case !l.offered():
		case expired(l, job.Date):
			add(l.At[CellExpires], fmt.Sprintf("expired on %s, before the job's date %s: it is not used", l.Offer.Expires.V, job.Date.V))
		case !l.Offer.Effective.Set:
			add(l.At[CellEffective], "has no date")
		case age > job.PriceAgeDays:
			add(l.At[CellEffective], fmt.Sprintf("is from %s, %d days before the job's date (limit %d)", l.Offer.Effective.V, age, job.PriceAgeDays))
		}
	}
	for _, d := range found {
		lines := ""
		if d.lines > 1 {
			lines = fmt.Sprintf(" (%d lines, the first here)", d.lines)
		}
		say(FlagOld, "", d.at, "the price "+d.what+lines, "ask whether it still holds")
	}
}

// Prices of one pack differ by less than near; a factor of far is out of line.
const (
	nearNum, nearDen = 3, 2
	far              = 3
)

// alike reports whether two prices are within a factor of 1.5.
func alike(a, b int64) bool { return nearDen*a <= nearNum*b && nearDen*b <= nearNum*a }

// leastFactor is the least content, in thousandths, by which a price is believed
// to be that of another unit: a smaller one is no further than prices differ.
const leastFactor = thousand * nearNum * nearNum / nearDen / nearDen

// thousand keeps three decimals of a price that is turned from one content into
// another.
const thousand = 1000

// unitFlag tells of a price that seems to be that of another unit: its factor to
// the other quotes' is about the content of a pack. What is out of line and is
// no unit's is told too, and never corrected.
//
// Source: outliers are asked back, not corrected: Comptroller General B-208469
// (1982), B-265659 (1995), read in excerpts
func (r *quoteRun) unitFlag(i, k int, l QuoteLine, say sayFlag) {
	if !l.offered() || l.Offer.Amount <= 0 {
		return
	}
	others := r.othersOf(i, l)
	if len(others) == 0 {
		return
	}
	var refs []measure.UnitPrice
	for _, o := range others {
		refs = append(refs, measure.UnitPrice(measure.MulDiv(int64(o.UnitPrice().V)*thousand, l.Offer.Amount, o.Offer.Amount)))
	}
	price, ref := l.UnitPrice().V, int64(Median(refs))
	own := int64(price) * thousand
	if slices.ContainsFunc(refs, func(x measure.UnitPrice) bool { return alike(own, int64(x)) }) {
		return // somebody asks about the same
	}
	what := fmt.Sprintf("%s: %s for %s, where the others ask about %s", l.Named, price, measure.Quote(l.Offer.Content), measure.UnitPrice(measure.MulDiv(ref, 1, thousand)))
	flag := func(kind, what, do string) *QuoteFlag {
		f := say(kind, l.Offer.Item, l.At[CellPrice], what, do)
		f.Line = k
		return f
	}
	meant := func(unit string, read int64) {
		what := fmt.Sprintf("%s: it may be the price of %s, which would be %s", what, unit, measure.UnitPrice(read))
		flag(FlagUnit, what, "ask what the price is for").Readings = r.readings(i, k, l, "price of "+unit, measure.UnitPrice(read))
	}
	if n, unit := contentNumber(l.Offer); n > leastFactor && alike(measure.MulDiv(own, n, thousand), ref) {
		meant("one "+unit, measure.MulDiv(int64(price), n, thousand))
		return
	}
	for _, o := range others {
		n := measure.MulDiv(o.Offer.Amount, thousand, l.Offer.Amount)
		if n > leastFactor && alike(own, measure.MulDiv(ref, n, thousand)) {
			meant(measure.Quote(o.Offer.Content), measure.MulDiv(int64(price), thousand, n))
			return
		}
	}
	if !slices.ContainsFunc(refs, func(x measure.UnitPrice) bool { return own <= far*int64(x) && int64(x) <= far*own }) {
		flag(FlagFar, what, "ask whether it is meant")
	}
}

// readings are a price as it is written, and as it may be meant.
func (r *quoteRun) readings(i, k int, l QuoteLine, meant string, price measure.UnitPrice) []Reading {
	extension := estimate.Maybe[measure.Money]{}
	if l.Count.Set {
		extension = estimate.Given(measure.Extension(l.Count.V, price))
	}
	return []Reading{r.reading(i, k, "as written", l.UnitPrice().V, l.Own()), r.reading(i, k, meant, price, extension)}
}

// othersOf returns the line of each other quote that is nearest in content.
func (r *quoteRun) othersOf(i int, l QuoteLine) []QuoteLine {
	var out []QuoteLine
	for j, q := range r.quotes {
		best := -1
		apart := func(k int) int64 {
			return max(q.Lines[k].Offer.Amount-l.Offer.Amount, l.Offer.Amount-q.Lines[k].Offer.Amount)
		}
		for k, x := range q.Lines {
			if j != i && x.offered() && x.Offer.Item == l.Offer.Item && (best < 0 || apart(k) < apart(best)) {
				best = k
			}
		}
		if best >= 0 {
			out = append(out, q.Lines[best])
		}
	}
	return out
}

// contentNumber returns the number of a content in thousandths, and its unit as
// written: "16 ft" is 16,000 ft. A length in feet and inches is in feet. 0 =
// none.
func contentNumber(o Offer) (thousandths int64, unit string) {
	c, err := measure.ParseContent(o.Content, "")
	if err != nil {
		return 0, ""
	}
	n := new(big.Rat).Mul(c.Number, big.NewRat(thousand, 1))
	whole := new(big.Int).Quo(n.Num(), n.Denom())
	if !whole.IsInt64() {
		return 0, ""
	}
	return whole.Int64(), c.Word
}
