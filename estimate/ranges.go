package estimate

import (
	"fmt"
	"slices"
	"strconv"

	"sillwright/estimate/measure"
)

// readInBase reads a value of a unit as a whole number of the least that it is counted
// in; bare is the unit of a length without one.
var readInBase = map[string]func(s string, bare measure.Unit) (int64, error){
	UnitLength: func(s string, bare measure.Unit) (int64, error) {
		l, err := measure.ParseLength(s, bare)
		return int64(l), err
	},
	UnitPercent: func(s string, _ measure.Unit) (int64, error) { r, err := percent(s); return int64(r), err },
	UnitMoney:   func(s string, _ measure.Unit) (int64, error) { m, err := measure.ParseMoney(s); return int64(m), err },
}

// likeDollars are the currencies in which an hour costs a two- or three-digit number.
// In others the ranges of money are this many times as wide.
//
// From memory, no source.
var likeDollars = []string{"USD", "CAD", "AUD", "NZD", "SGD", "EUR", "GBP", "CHF"}

const otherCurrencies = 1000

// outOfRange returns the error of a value that is read, and that the range of its
// setting does not hold. The ranges stand beside the settings; lengths are in inches
// there, whatever the job's unit.
func (s Setting) outOfRange(job *Job) error {
	read := readInBase[s.Unit]
	if read == nil {
		read = func(s string, _ measure.Unit) (int64, error) { return strconv.ParseInt(s, 10, 64) }
	}
	v, err := read(s.Text, job.Bare())
	least, noLeast := read(s.Least, measure.Inches)
	most, noMost := read(s.Most, measure.Inches)
	if err != nil || noLeast != nil || noMost != nil {
		return nil // not read as its kind: the bind says so; or a setting without a range
	}
	if s.Unit == UnitMoney && !slices.Contains(likeDollars, job.Currency) {
		most *= otherCurrencies
	}
	if v >= least && v <= most {
		return nil
	}
	return &measure.FormError{What: fmt.Sprintf("%q is outside %s to %s%s", s.Text, s.Least, s.Most, rangeUnits[s.Unit]),
		Do: "check the number and its unit; the default holds"}
}

// rangeUnits are written behind a range.
var rangeUnits = map[string]string{UnitLength: " in", UnitPercent: " %"}
