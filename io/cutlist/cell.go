package cutlist

import (
	"errors"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// fields reads the cells of one row and gathers what is wrong with them.
type fields struct {
	sheet.Row
	stated, bare measure.Unit // of a length without one: by the header, and where that states none
	problems     []estimate.Problem
}

func (f *fields) say(c sheet.Cell, sev estimate.Severity, what, do string) {
	f.problems = append(f.problems, c.Problem(sev, what, do))
}

// required reads a cell that must be filled. write says what with.
func required[V any](f *fields, key, write string, parse func(sheet.Cell) (V, error)) V {
	var none V
	if c := f.Cell(key); c.Blank() {
		f.say(c, estimate.Error, "the "+key+" is missing", "write "+write)
		return none
	}
	return optional(f, key, none, parse)
}

// optional reads a cell that may be blank, and then means absent.
func optional[V any](f *fields, key string, absent V, parse func(sheet.Cell) (V, error)) V {
	c := f.Cell(key)
	if c.Blank() {
		return absent
	}
	if p, bad := c.Unfit("the cell", "type it again"); bad {
		f.problems = append(f.problems, p)
		return absent
	}
	v, err := parse(c)
	var form *measure.FormError
	switch {
	case errors.As(err, &form):
		f.say(c, estimate.Error, form.What, form.Do)
	case err != nil:
		f.say(c, estimate.Error, err.Error(), "")
	}
	return v
}

func wrong(c sheet.Cell, what, do string) error {
	return &measure.FormError{What: `"` + c.Word() + `" ` + what, Do: do}
}

// side reads a length above 0.
func (f *fields) side(c sheet.Cell) (measure.Length, error) {
	l, err := f.length(c)
	if err == nil && l == 0 {
		return 0, wrong(c, "is no length to cut", "write a length above 0, or delete the row")
	}
	return l, err
}

func (f *fields) length(c sheet.Cell) (measure.Length, error) {
	l, note, err := c.Length(f.stated, f.bare)
	if note != "" {
		f.say(c, estimate.Note, note, "")
	}
	return l, err
}

// whole reads a number of pieces or boards.
func whole(c sheet.Cell) (int, error) {
	n, err := measure.ParseCount(c.Text)
	if err == nil && n > cut.MaxPieces {
		return 0, wrong(c, "is more than 1,000,000", "check the number")
	}
	return int(n), err
}

// amount reads a price, 0 too.
func amount(c sheet.Cell) (p measure.UnitPrice, err error) {
	if c.Kind == sheet.Number {
		p, err = measure.UnitPriceFromNumber(c.Number)
	} else {
		p, err = measure.ParseUnitPrice(c.Text)
	}
	switch {
	case err != nil:
		return 0, err
	case p < 0:
		return 0, wrong(c, "is negative", "write the price of one, or 0 for stock on hand")
	}
	return p, nil
}

func word(c sheet.Cell) (string, error) { return c.Word(), nil }

func yesNo(c sheet.Cell) (bool, error) {
	switch strings.ToLower(c.Word()) {
	case "yes", "y", "true":
		return true, nil
	case "no", "n", "false":
		return false, nil
	}
	return false, wrong(c, "is neither yes nor no", "write yes or no, or leave it blank for no")
}
