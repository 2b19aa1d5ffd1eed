package comparison

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	sheets "sillwright/io/sheet"
	"sillwright/pricing/compare"
)

// ReadChange is what was typed on the sheet Change of a comparison.
type ReadChange struct {
	Entries  compare.ChangeEntries
	Found    bool                          // there is such a sheet
	Was, Now estimate.Maybe[measure.Money] // the totals that the comparison was made of

	at map[string]estimate.Place // of what is typed at marks and lines, by their keys
}

// ReadEntries reads what was typed on the sheet Change. Cells are found by the heads
// and keys beside them, wherever they stand; a formula's stored value is never
// taken. What cannot be read is a problem, and blank.
func ReadEntries(b *sheets.Book) (ReadChange, []estimate.Problem) {
	out := ReadChange{at: map[string]estimate.Place{}}
	out.Entries.Marks, out.Entries.Surplus = map[string]compare.MarkEntry{}, map[string]compare.SurplusEntry{}
	s := b.Sheet(ChangeSheet)
	if s == nil || s.Skipped {
		return out, []estimate.Problem{{Place: estimate.Place{File: b.File}, Severity: estimate.Error, What: "it has no sheet " + ChangeSheet,
			Do: "name a comparison of two estimates of one job, as compare wrote it"}}
	}
	out.Found = true
	r := entryReader{date1904: b.Date1904}
	found, whole := out.labeled(s, &r), sheets.Cell{Place: estimate.Place{File: b.File, Sheet: s.Name}}
	for _, label := range []string{earlierBid, laterBid} {
		if !found[label] {
			r.say(whole, estimate.Error, "there is no line "+label, "leave the words in the first column as compare wrote them")
		}
	}
	markTable := out.rows(s, []string{markHead, hoursHead, againHead}, &r, func(key []string, cell func(string) sheets.Cell) {
		out.mark(key[0], cell, &r)
	})
	surplusHeads := []string{itemHead, supplierHead, codeHead, packHead, backHead, restockHead, creditHead, keptHead}
	surplusTable := out.rows(s, surplusHeads, &r, func(key []string, cell func(string) sheets.Cell) {
		out.line(key, cell, &r)
	})
	if !markTable || !surplusTable {
		r.say(whole, estimate.Error, "a table of it has lost its heads", "leave the heads of its columns as compare wrote them")
	}
	return out, r.problems
}

// labeled reads the entries, each beside its label in the first column.
func (x *ReadChange) labeled(s *sheets.Sheet, r *entryReader) map[string]bool {
	found := map[string]bool{}
	basis := map[string]*estimate.Maybe[measure.Money]{earlierBid: &x.Was, laterBid: &x.Now}
	for _, row := range s.Rows {
		if len(row) < 2 {
			continue
		}
		label := row[0].Word()
		if found[label] {
			continue // below, in a table
		}
		r.cell, r.name = row[1], label
		if at, is := basis[label]; is {
			found[label], *at = true, r.money()
		}
		for _, e := range slices.Concat(pageEntries, priceEntries) {
			if e.label == label {
				found[label] = true
				e.read(r, &x.Entries)
			}
		}
	}
	return found
}

// rows reads the rows below the row that has all heads, up to the first one that is
// empty. The key of a row is the texts under the heads that are not for typing.
func (x *ReadChange) rows(s *sheets.Sheet, heads []string, r *entryReader, read func(key []string, cell func(string) sheets.Cell)) bool {
	keys := heads[:1]
	if heads[0] == itemHead {
		keys = heads[:4]
	}
	for i, row := range s.Rows {
		at := columnsOf(row, heads)
		if at == nil {
			continue
		}
		for _, below := range s.Rows[i+1:] {
			under := func(head string) sheets.Cell {
				if at[head] < len(below) {
					return below[at[head]]
				}
				return sheets.Cell{}
			}
			key := make([]string, len(keys))
			for k, head := range keys {
				key[k] = under(head).Word()
			}
			if key[0] == "" || key[0] == bidDifference || key[0] == allSurplus {
				break
			}
			read(key, func(head string) sheets.Cell {
				c := under(head)
				r.cell, r.name = c, head
				return c
			})
		}
		return true
	}
	return false
}

// columnsOf returns where heads stand in a row; nil where one is not there.
func columnsOf(row []sheets.Cell, heads []string) map[string]int {
	at := map[string]int{}
	for _, head := range heads {
		i := slices.IndexFunc(row, func(c sheets.Cell) bool { return c.Word() == head })
		if i < 0 {
			return nil
		}
		at[head] = i
	}
	return at
}

// mark reads what is typed at a mark. A line of the rest has dashes.
func (x *ReadChange) mark(name string, cell func(string) sheets.Cell, r *entryReader) {
	var e compare.MarkEntry
	hours := cell(hoursHead)
	e.Hours = r.hours()
	again := cell(againHead)
	e.Again = notNegative(r, r.money())
	if e == (compare.MarkEntry{}) {
		return
	}
	key := strings.ToLower(name)
	x.Entries.Marks[key], x.at[key] = e, hours.Place
	if hours.Blank() {
		x.at[key] = again.Place
	}
}

// line reads what is typed at a line of what was bought for nothing.
func (x *ReadChange) line(key []string, cell func(string) sheets.Cell, r *entryReader) {
	var e compare.SurplusEntry
	at := cell(backHead).Place
	e.Back = r.count()
	cell(restockHead)
	if e.Restocking = r.rate(); e.Restocking.V > measure.One {
		r.say(r.cell, estimate.Error, restockHead+" is more than the price", "write at most 100%")
		e.Restocking = estimate.Maybe[measure.Rate]{}
	}
	cell(creditHead)
	e.Credit = notNegative(r, r.money())
	cell(keptHead)
	e.Kept = r.text()
	if e == (compare.SurplusEntry{}) {
		return
	}
	b := compare.BuyChange{Item: estimate.Item{Key: key[0]}, Supplier: key[1], Code: key[2], Content: key[3]}
	x.Entries.Surplus[b.Key()], x.at[b.Key()] = e, at
}

// Unplaced reports what was typed at marks and lines that a change has not: it is not
// carried over.
func (x ReadChange) Unplaced(c compare.PriceChange) []estimate.Problem {
	has := map[string]bool{}
	for _, m := range c.Marks {
		has[strings.ToLower(m.Mark)] = true
	}
	for _, b := range c.Surplus {
		has[b.Key()] = true
	}
	var out []estimate.Problem
	for key, at := range x.at {
		if !has[key] {
			out = append(out, estimate.Problem{Place: at, Severity: estimate.Error, What: "the change has no such mark or line now; what is typed there is left out",
				Do: "compare again, and type it where it belongs"})
		}
	}
	return estimate.SortProblems(out)
}

// Basis says whether a comparison was made of other totals than two estimates have now.
func (x ReadChange) Basis(was, now measure.Money) (difference string) {
	if x.Was == estimate.Given(was) && x.Now == estimate.Given(now) {
		return ""
	}
	words := func(v estimate.Maybe[measure.Money]) string {
		if !v.Set {
			return "no total"
		}
		return v.V.String()
	}
	return fmt.Sprintf("it was made of bids of %s and %s; they are %s and %s now", words(x.Was), words(x.Now), was, now)
}

// entryReader reads typed cells, one after the other, and keeps what is wrong.
type entryReader struct {
	cell     sheets.Cell
	name     string
	date1904 bool
	problems []estimate.Problem
}

func (r *entryReader) say(c sheets.Cell, sev estimate.Severity, what, do string) {
	r.problems = append(r.problems, c.Problem(sev, what, do))
}

// blank reports whether nothing can be taken of the cell: it is blank, or a dash, or
// something that no typed value is, which is reported.
func (r *entryReader) blank(retype string) bool {
	c := r.cell
	if c.Blank() && !c.Formula || c.Word() == none {
		return true
	}
	if c.Formula {
		r.say(c, estimate.Error, r.name+" is a formula; its value is not taken", retype)
		return true
	}
	p, bad := c.Refuse()
	if c.Kind == sheets.Bool {
		p, bad = c.Problem(estimate.Error, fmt.Sprintf("%s holds %s", r.name, c.Text), retype), true
	}
	if bad {
		r.problems = append(r.problems, p)
	}
	return bad
}

// took keeps what a parser says, and gives its value where it says nothing.
func took[V any](r *entryReader, v V, err error) estimate.Maybe[V] {
	var f *measure.FormError
	switch {
	case errors.As(err, &f):
		r.say(r.cell, estimate.Error, r.name+" "+f.What, f.Do)
	case err != nil:
		r.say(r.cell, estimate.Error, r.name+": "+err.Error(), "")
	default:
		return estimate.Given(v)
	}
	return estimate.Maybe[V]{}
}

func (r *entryReader) text() string {
	if r.blank("type the words") {
		return ""
	}
	return r.cell.Word()
}

// unfit reports a cell of another kind than a plain number or text.
func (r *entryReader) unfit(retype string) bool {
	if r.blank(retype) {
		return true
	}
	p, bad := r.cell.Unfit(r.name, retype)
	if bad {
		r.problems = append(r.problems, p)
	}
	return bad
}

func (r *entryReader) money() (out estimate.Maybe[measure.Money]) {
	if r.unfit("type the amount") {
		return out
	}
	if r.cell.Kind == sheets.Number {
		v, err := measure.MoneyFromNumber(r.cell.Number)
		return took(r, v, err)
	}
	v, err := measure.ParseMoney(r.cell.Word())
	return took(r, v, err)
}

// notNegative refuses an amount below 0.
func notNegative[V ~int64](r *entryReader, v estimate.Maybe[V]) estimate.Maybe[V] {
	if v.V < 0 {
		r.say(r.cell, estimate.Error, fmt.Sprintf("%s %q is negative", r.name, sheets.Excerpt(r.cell.Word())),
			"write it without the minus sign, or leave it blank when it is not known")
		return estimate.Maybe[V]{}
	}
	return v
}

// hours have as many decimals as a unit price.
func (r *entryReader) hours() (out estimate.Maybe[estimate.Hours]) {
	if r.unfit("type a number of hours") {
		return out
	}
	v, err := measure.ParseUnitPrice(r.cell.Word())
	if r.cell.Kind == sheets.Number {
		v, err = measure.UnitPriceFromNumber(r.cell.Number)
	}
	out = notNegative(r, took(r, estimate.Hours(v), err))
	if out.V > maxUndoHours*estimate.Hour {
		r.say(r.cell, estimate.Error, fmt.Sprintf("%s %q is more than a mark takes", r.name, r.cell.Word()), fmt.Sprintf("write at most %d", maxUndoHours))
		return estimate.Maybe[estimate.Hours]{}
	}
	return out
}

func (r *entryReader) rate() (out estimate.Maybe[measure.Rate]) {
	const retype = "type a percentage, such as 15%"
	if r.blank(retype) {
		return out
	}
	if r.cell.Kind == sheets.Number && r.cell.Percent {
		n := math.Round(r.cell.Number * float64(measure.One))
		if n < 0 || n > maxMarkup*float64(measure.One) {
			r.say(r.cell, estimate.Error, fmt.Sprintf("%s %q is no percentage that can be used", r.name, sheets.Excerpt(r.cell.Word())), retype)
			return out
		}
		return estimate.Given(measure.Rate(n))
	}
	if r.unfit(retype) {
		return out
	}
	v, err := measure.ParseRate(r.cell.Word())
	if out = took(r, v, err); out.V > maxMarkup*measure.One {
		r.say(r.cell, estimate.Error, fmt.Sprintf("%s %q is no percentage that can be used", r.name, sheets.Excerpt(r.cell.Word())), retype)
		return estimate.Maybe[measure.Rate]{}
	}
	return out
}

func (r *entryReader) count() estimate.Maybe[int64] {
	return notNegative(r, r.wholeUpTo(maxEntry))
}

func (r *entryReader) whole() estimate.Maybe[int64] { return r.wholeUpTo(maxDays) }

func (r *entryReader) wholeUpTo(most int64) (out estimate.Maybe[int64]) {
	if r.unfit("type a whole number") {
		return out
	}
	n, err := strconv.ParseInt(r.cell.Word(), 10, 64)
	if err != nil || n > most || n < -most {
		r.say(r.cell, estimate.Error, fmt.Sprintf("%s %q is no whole number that can be used", r.name, sheets.Excerpt(r.cell.Word())),
			fmt.Sprintf("write digits only, at most %d", most))
		return out
	}
	return estimate.Given(n)
}

func (r *entryReader) date() (out estimate.Maybe[measure.Date]) {
	if r.blank("type a date, such as 2026-01-31") {
		return out
	}
	if r.cell.Kind == sheets.Date {
		v, err := measure.DateFromSerial(r.cell.Number, r.date1904)
		return took(r, v, err)
	}
	v, err := measure.ParseDate(r.cell.Word())
	return took(r, v, err)
}
