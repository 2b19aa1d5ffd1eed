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
	row      sheet.Row
	problems []estimate.Problem
	told     map[string]bool // columns of which something is said already
	unpriced bool
}

func (c *checker) say(key string, sev estimate.Severity, what, do string) {
	cell := c.row.Cell(key)
	if !c.told[cell.Place.Column] {
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

// item finds the item of a row, whatever the case it is written in.
func (c *checker) item(name string, items estimate.Items) (estimate.Item, bool) {
	if c.required(item, name, "the key of an item on the Items sheet") == "" {
		return estimate.Item{}, false
	}
	if it, ok := items.Get(name); ok {
		return it, true
	}
	var keys []string
	for _, it := range items.List() {
		if strings.EqualFold(it.Key, name) {
			return it, true
		}
		keys = append(keys, it.Key)
	}
	do := "write the key of an item on the Items sheet, or add the item there"
	if near, ok := sheet.Nearest(name, keys); ok {
		do = fmt.Sprintf("did you mean %s?", near)
	}
	c.say(item, estimate.Error, fmt.Sprintf("%q is not on the Items sheet", name), do)
	return estimate.Item{}, false
}

// content returns what the content of a known item serves.
func (c *checker) content(text string, it estimate.Item) int64 {
	if it.Key == "" {
		return 0
	}
	n, err := pricing.ParseContent(text, it)
	if err != nil {
		c.fail(content, err)
	}
	return n
}

func (c *checker) price(p amount) measure.UnitPrice {
	switch {
	case p.text == "":
		c.unpriced = true
		c.say(price, estimate.Warning, "there is no price; the row is not used", "write the price, or delete the row")
	case p.err != nil:
		c.fail(price, p.err)
	case p.v <= 0:
		c.say(price, estimate.Error, fmt.Sprintf("%q is not a price", p.text), "write a price above 0, or leave the cell blank")
	}
	return p.v
}

// currency returns the currency of a row: its own, or that of its price.
func (c *checker) currency(text string, p amount) string {
	own, written := strings.ToUpper(text), currencyIn(p.text)
	switch {
	case own == "":
		return written
	case !codeForm.MatchString(own):
		c.say(currency, estimate.Error, fmt.Sprintf("%q is not a currency", text), "write its three letters, such as USD")
	case written != "" && written != own:
		c.say(price, estimate.Error, fmt.Sprintf("%q is not in %s", p.text, own), "write the price and the currency of one kind")
	}
	return own
}

func (c *checker) dates(o pricing.Offer) {
	if o.Effective.Set && o.Expires.Set && o.Expires.V < o.Effective.V {
		c.say(expires, estimate.Error, fmt.Sprintf("the price expires on %s, before it begins on %s", o.Expires.V, o.Effective.V), "correct the dates")
	}
}
