package schedule

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// cell is a filled cell on its way into a value. What is wrong with it is
// collected; each reading returns false when there is no value to take.
type cell struct {
	sheet.Cell
	name     string       // canonical header, or the key of a line of the Job sheet
	stated   measure.Unit // by the header
	bare     measure.Unit // of a number for which nobody states one
	currency string       // of the job, "" where amounts are not in it
	problems *[]estimate.Problem
}

func (c *cell) say(sev estimate.Severity, what, do string) {
	*c.problems = append(*c.problems, c.Problem(sev, what, do))
}

func (c *cell) refuse(what, do string) { c.say(estimate.Error, what, do) }

// form reports what a parser said, the column's name before its quotation.
func (c *cell) form(err error) {
	var f *measure.FormError
	if errors.As(err, &f) {
		c.refuse(c.name+" "+f.What, f.Do)
		return
	}
	c.refuse(c.name+": "+err.Error(), "")
}

// take reports an error, if there is one, and passes a value on.
func take[V any](c *cell, v V, err error) (V, bool) {
	if err != nil {
		c.form(err)
		return v, false
	}
	return v, true
}

// isBlank reports whether a cell is empty or holds one of the marks with which
// people say that there is nothing to write.
func isBlank(c sheet.Cell) bool {
	return c.Blank() || c.Kind == sheet.Text && slices.Contains([]string{"-", "--", "---", "–", "—", "n/a", "n.a."}, strings.ToLower(c.Word()))
}

// fold returns a text as words are compared: without case, and with one space
// for each run of spaces, hyphens and underscores.
func fold(s string) string {
	s = strings.NewReplacer("-", " ", "_", " ").Replace(sheet.Cell{Text: s}.Word())
	return strings.ToLower(strings.Join(strings.Fields(s), " "))
}

// unfit refuses what is no text and no plain number; TRUE and FALSE too.
func (c *cell) unfit(retype string) bool {
	p, bad := c.Unfit(c.name, retype)
	if c.Kind == sheet.Bool {
		p, bad = c.Problem(estimate.Error, fmt.Sprintf("%s holds %s", c.name, c.Text), retype), true
	}
	if bad {
		*c.problems = append(*c.problems, p)
	}
	return bad
}

// text reads words, and numbers as they are written.
func (c *cell) text() (string, bool) {
	if c.unfit("type it again") {
		return "", false
	}
	return c.Word(), true
}

// naming reads the name of a thing.
func (c *cell) naming() (string, bool) {
	s, ok := c.text()
	if what, do := sheet.NotName(s); ok && what != "" {
		c.refuse(c.name+" "+what, do)
		return "", false
	}
	return s, ok
}

// remark reads a text that nothing is computed from. Dates and truth values
// are taken as shown; what cannot be read costs a warning, not the row.
func (c *cell) remark() (string, bool) {
	if p, bad := c.Refuse(); bad {
		p.Severity = estimate.Warning
		*c.problems = append(*c.problems, p)
		return "", false
	}
	return strings.TrimSpace(c.Text), true
}

const retypeLength = `type the size with its unit, such as 3'-6", 42 in or 1/2 in`

// length reads a length, 0 too.
func (c *cell) length() (measure.Length, bool) {
	if c.unfit(retypeLength) || c.unsized() {
		return 0, false
	}
	l, note, err := c.Length(c.stated, c.bare)
	if note != "" {
		c.say(estimate.Note, c.name+": "+note, "")
	}
	if shown, bad := measure.ParseLength(c.Rounded(), c.LengthUnit(c.stated, c.bare)); err == nil && bad == nil && max(l-shown, shown-l) >= hiddenLength {
		c.sayRounded(estimate.Warning)
	}
	return take(c, l, err)
}

// hiddenLength is how much of a length a number format may leave away without a word:
// no tape shows less.
const hiddenLength = measure.Inch / 64

// sayRounded says that a cell shows another number than it holds.
func (c *cell) sayRounded(sev estimate.Severity) {
	c.say(sev, fmt.Sprintf("%s shows %s and holds %s, which is taken", c.name, c.Rounded(), c.Text), "type what is meant, or show more places")
}

// side reads a length that cannot be 0.
func (c *cell) side() (measure.Length, bool) {
	l, ok := c.length()
	if ok && l == 0 {
		c.refuse(c.name+" is 0", "leave it blank when it is not known")
		return 0, false
	}
	return l, ok
}

// sides reads several lengths parted by semicolons, plus signs or commas with a space, none of them 0.
func (c *cell) sides() ([]measure.Length, bool) {
	parts := []string{c.Text}
	if c.Kind == sheet.Text {
		parts = sideTexts(c.Text)
	}
	var out []measure.Length
	for _, p := range parts {
		one := *c
		one.Text = p
		l, ok := one.side()
		if !ok {
			return nil, false
		}
		out = append(out, l)
	}
	return out, true
}

// sideTexts returns the texts of several lengths in one.
func sideTexts(s string) []string {
	return strings.FieldsFunc(strings.ReplaceAll(s, ", ", ";"), func(r rune) bool { return r == ';' || r == '+' })
}

// count returns a reading of whole numbers within limits, which may have a word for
// each behind them.
func count(least, most int64) func(*cell) (int64, bool) {
	return within(least, most, func(c *cell) (int64, bool) {
		one := *c
		if m := countOfEach.FindStringSubmatch(c.Word()); m != nil && c.Kind == sheet.Text {
			one.Text = m[1] + m[2] + m[3]
		}
		return one.whole()
	})
}

// packs is a reading of a count of packs: 12 pcs may be pieces or boxes of them.
var packs = within(0, 1_000_000_000, (*cell).whole)

// within returns a reading of whole numbers that holds them to limits.
func within(least, most int64, read func(*cell) (int64, bool)) func(*cell) (int64, bool) {
	return func(c *cell) (int64, bool) {
		n, ok := read(c)
		if ok && (n < least || n > most) {
			c.refuse(fmt.Sprintf("%s is %q", c.name, c.Word()), fmt.Sprintf("write a whole number from %d to %d", least, most))
			return 0, false
		}
		return n, ok
	}
}

// What people write with a count, 2 ea or (2) or x2, and behind a price of one
// unit: 350 each.
var (
	countOfEach = regexp.MustCompile(`(?i)^(?:(\d+) ?(?:ea|each|pcs?|pieces?|units?)\.?|\((\d+)\)|x ?(\d+))$`)
	priceOfEach = regexp.MustCompile(`(?i)^(.*\d)(?: ?/ ?| )(?:ea|each)\.?$`)
)

// whole reads a whole number, which may be negative.
func (c *cell) whole() (int64, bool) {
	if c.unfit("type a whole number") {
		return 0, false
	}
	if c.ShowsMoney() {
		c.refuse(fmt.Sprintf("%s %q is shown as an amount of money", c.name, c.Word()), "format the cell as a plain number")
		return 0, false
	}
	n, err := strconv.ParseInt(c.Word(), 10, 32)
	if err != nil {
		c.refuse(fmt.Sprintf("%s %q is not a whole number", c.name, sheet.Excerpt(c.Word())), "write digits only, such as 2")
		return 0, false
	}
	return n, true
}

// money reads an amount that is not negative.
func (c *cell) money() (measure.Money, bool) {
	return amount(c, measure.MoneyFromNumber, measure.ParseMoney)
}

// price reads a price of one unit that is not negative.
func (c *cell) price() (measure.UnitPrice, bool) {
	return amount(c, measure.UnitPriceFromNumber, measure.ParseUnitPrice)
}

func amount[V ~int64](c *cell, fromNumber func(float64) (V, error), parse func(string) (V, error)) (V, bool) {
	if c.unfit("type the amount") || c.numberless("amount") || c.foreign() {
		return 0, false
	}
	var v V
	var err error
	if c.Kind == sheet.Number {
		v, err = fromNumber(c.Number)
		if shown, no := parse(c.Rounded()); no == nil && err == nil {
			c.sayRounded(hiddenAmount(int64(v), int64(shown)))
		}
	} else {
		v, err = parse(priceOfEach.ReplaceAllString(c.Word(), "$1"))
	}
	if err == nil && v < 0 {
		c.refuse(fmt.Sprintf("%s %q is negative", c.name, c.Word()), "write it without the minus sign, or leave it blank when it is not known")
		return 0, false
	}
	return take(c, v, err)
}

// hiddenAmount returns how much it matters that a number format leaves away a part of
// an amount: from one in a hundred on somebody may have meant what is shown.
func hiddenAmount(held, shown int64) estimate.Severity {
	if max(held-shown, shown-held) < held/100 {
		return estimate.Note
	}
	return estimate.Warning
}

// foreign refuses an amount that the cell shows in another currency than the job's.
func (c *cell) foreign() bool {
	of := ""
	if c.currency != "" {
		of = c.ForeignTo(c.currency)
	}
	if of != "" {
		c.refuse(fmt.Sprintf("%s %q is in %s, the job in %s", c.name, c.Word(), of, c.currency), "convert it, or correct the currency on Job")
	}
	return of != ""
}

// The kinds of cell that many columns share.
var (
	length = (*cell).length
	side   = (*cell).side
	text   = (*cell).text
	name   = (*cell).naming
	remark = (*cell).remark
)
