package compare

import (
	"cmp"
	"fmt"
	"slices"

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

// Flag is something in a quote that has to be asked, at its cell.
type Flag struct {
	Quote    int // index of Tabulation.Quotes
	Kind     string
	Item     string // "" = of the quote as a whole
	Line     int    // index of the line that the price is in doubt of; below 0 = none
	Problem  estimate.Problem
	Readings []Reading // of a price that can be read in two ways
}

func expired(l QuoteLine, day estimate.Maybe[measure.Date]) bool {
	return day.Set && l.Offer.Expires.Set && l.Offer.Expires.V < day.V
}

// flag looks at every line of every quote.
func (r *tabulator) flag() {
	for i := range r.quotes {
		var flags []Flag
		say := func(kind, item string, at estimate.Place, what, do string) *Flag {
			flags = append(flags, Flag{Quote: i, Kind: kind, Item: item, Line: -1, Problem: estimate.Problem{Place: at, Severity: estimate.Warning, What: what, Do: do}})
			return &flags[len(flags)-1]
		}
		for k, l := range r.quotes[i].Lines {
			r.extensionFlag(i, k, l, say)
			r.unitFlag(i, k, l, say)
		}
		r.blankFlags(i, say)
		r.totalFlags(i, say)
		r.dateFlags(i, say)
		slices.SortStableFunc(flags, func(a, b Flag) int {
			return cmp.Or(cmp.Compare(a.Problem.Place.Row, b.Problem.Place.Row), cmp.Compare(a.Problem.Place.Col, b.Problem.Place.Col))
		})
		r.out.Flags = append(r.out.Flags, flags...)
	}
}

// sayFlag puts a flag on a list, and returns it to be completed.
type sayFlag func(kind, item string, at estimate.Place, what, do string) *Flag

// extensionFlag reports a unit price and an extension that disagree, with both
// readings: which of the two governs differs in public practice, so neither is
// ever corrected here.
func (r *tabulator) extensionFlag(i, k int, l QuoteLine, say sayFlag) {
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

// handful of lines are flagged one by one; more of them once, at the first.
const handful = 5

// blankFlags reports what lines about our items lack.
func (r *tabulator) blankFlags(i int, say sayFlag) {
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
func (r *tabulator) totalFlags(i int, say sayFlag) {
	q := r.out.Quotes[i]
	if !q.Own.Set {
		return
	}
	check := func(s QuoteSum, lines measure.Money, of string) {
		if s.Amount != lines {
			say(FlagTotal, "", s.Place,
				fmt.Sprintf("%s is %s, but %s %s: %s apart", s.Label, s.Amount, of, lines, max(s.Amount-lines, lines-s.Amount)),
				"ask what the supplier's total holds")
		}
	}
	if s, ok := q.last(SumSubtotal); ok {
		check(s, q.Own.V, "the lines come to")
	}
	if s, ok := q.Written(); ok {
		check(s, q.Own.V+q.beside(), "lines, delivery, tax and the like come to")
	}
}

// dateFlags reports prices that are old, expired or without a date on the job's
// date: once for each date of a quote, at the first of its cells.
func (r *tabulator) dateFlags(i int, say sayFlag) {
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
