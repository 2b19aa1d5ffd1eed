package pricelist

import (
	"errors"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// checker holds the fields of one row against what they must be, and gathers
// what is wrong.
type checker struct {
	list     *list
	row      sheet.Row
	problems []estimate.Problem
	reported map[string]bool // columns of which something is said already
	unpriced bool
}

func (c *checker) say(key string, sev estimate.Severity, what, do string) {
	cell := c.row.Cell(key)
	if !c.reported[cell.Place.Column] {
		c.problems = append(c.problems, cell.Problem(sev, what, do))
	}
}

// fail reports the error of a field.
func (c *checker) fail(key string, err error) {
	var form *measure.FormError
	if errors.As(err, &form) {
		c.say(key, estimate.Error, form.What, form.Do)
		return
	}
	c.say(key, estimate.Error, err.Error(), "")
}

// value returns a field that may be blank.
func value[T any](c *checker, key string, p parsed[T]) estimate.Maybe[T] {
	switch {
	case p.err != nil:
		c.fail(key, p.err)
	case p.text != "":
		return estimate.Given(p.v)
	}
	return estimate.Maybe[T]{}
}

func (c *checker) required(key, text, what string) string {
	if text == "" {
		c.say(key, estimate.Error, "the "+key+" is missing", "write "+what)
	}
	return text
}

// seller returns the supplier of a row.
func (c *checker) seller(name, what string) string {
	if what, do := sheet.NotName(name); what != "" {
		c.say(supplier, estimate.Error, what, do)
		return ""
	}
	return c.required(supplier, name, what)
}

// content returns what the content of a known item serves.
func (c *checker) content(text string, it estimate.Item) int64 {
	if it.Key == "" {
		return 0
	}
	n, err := pricing.ParseContent(text, it)
	var form *measure.FormError
	if text == "" && errors.As(err, &form) {
		err = &measure.FormError{What: "the content is missing", Do: form.Do}
	}
	if err != nil {
		c.fail(content, err)
	}
	return n
}

// amount reads the amount of a column as its header says that it is written.
func amount[T any](c *checker, key, text string, parse func(string) (T, error)) (T, error) {
	v, err := parseAmount(text, c.list.hasComma(key, c.row.Cell(key)), parse)
	if err == nil && strings.Contains(text, ",") && !strings.Contains(text, ".") {
		if other, ok := c.list.comma(key); ok {
			return v, &measure.FormError{What: fmt.Sprintf("%q may have a decimal comma, as %q in %s has", text, other.Word(), rowOf(other.Place)),
				Do: "write digits and a decimal point, or add" + decimalComma + " to the header",
			}
		}
	}
	return v, err
}

// price returns what a row asks for one; it must ask something. 0 has been
// reported.
func (c *checker) price(text string) measure.UnitPrice {
	if text == "" {
		c.unpriced = true
		c.say(price, estimate.Warning, "there is no price; the row is not used", "write the price, or delete the row")
		return 0
	}
	return c.quoted(text).V
}

// field is the text of a column.
type field struct{ key, text string }

// currency returns the currency of a row: its own, or that of its amounts; ""
// when neither says.
func (c *checker) currency(text string, amounts ...field) string {
	of := strings.ToUpper(text)
	if of != "" && !codeForm.MatchString(of) {
		c.say(currency, estimate.Error, fmt.Sprintf("%q is not a currency", text), "write its three letters, such as USD")
		return ""
	}
	for _, f := range amounts {
		switch cell := c.row.Cell(f.key); {
		case of == "":
			of = cell.Currency()
		case cell.ForeignTo(of) != "":
			c.say(f.key, estimate.Error, fmt.Sprintf("%q is not in %s", f.text, of), "write the "+f.key+" and the currency of one kind")
		}
	}
	return of
}

func (c *checker) dates(o pricing.Offer) {
	if o.Effective.Set && o.Expires.Set && o.Expires.V < o.Effective.V {
		c.say(expires, estimate.Error, fmt.Sprintf("the price expires on %s, before it begins on %s", o.Expires.V, o.Effective.V), "correct the dates")
	}
}

// position names the row of a place to a reader who looks at another: by the
// file too unless it is the same.
func position(of, from estimate.Place) string {
	if of.File != from.File || of.Sheet != from.Sheet {
		return estimate.Place{File: of.File, Sheet: of.Sheet, Row: of.Row}.String()
	}
	return rowOf(of)
}

// rowOf names the row of a place in a list that is known.
func rowOf(p estimate.Place) string {
	if p.Sheet == "" {
		return fmt.Sprintf("line %d", p.Row)
	}
	return fmt.Sprintf("row %d", p.Row)
}
