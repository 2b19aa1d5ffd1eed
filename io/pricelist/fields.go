package pricelist

import (
	"regexp"
	"strconv"
	"strings"

	"sillwright/estimate/measure"
)

// row is a row of a price list for the CSV library. Text is taken as it is;
// every number has a type of its own, because the library would read 1,500 as
// 1.5 and 2.7 as 2. An amount stays text until its column's header has said how
// it is written.
type row struct {
	Supplier    string `csv:"supplier"`
	Item        string `csv:"item"`
	Code        string `csv:"code"`
	Description string `csv:"description"`
	Content     string `csv:"content"`
	Unit        string `csv:"unit"`
	Price       string `csv:"price"`
	Currency    string `csv:"currency"`
	MinTempF    degree `csv:"min_temp_f"`
	LeadDays    days   `csv:"lead_days"`
	Effective   date   `csv:"effective"`
	Expires     date   `csv:"expires"`
}

// parsed is a field as it was read. The library stops at the first error it is
// given, so the error is kept here until the whole row can be reported.
type parsed[T any] struct {
	text string
	v    T
	err  error
}

func (p *parsed[T]) parse(text string, parse func(string) (T, error)) {
	p.text = text
	if text != "" {
		p.v, p.err = parse(text)
	}
}

type (
	degree struct{ parsed[int64] }
	days   struct{ parsed[int64] }
	date   struct{ parsed[measure.Date] }
	rate   struct{ parsed[measure.Rate] }
)

// UnmarshalCSV reads a temperature in degrees Fahrenheit.
func (d *degree) UnmarshalCSV(text string) error { d.parse(text, parseDegrees); return nil }

// UnmarshalCSV reads a number of days.
func (d *days) UnmarshalCSV(text string) error { d.parse(text, parseDays); return nil }

// UnmarshalCSV reads a date.
func (d *date) UnmarshalCSV(text string) error { d.parse(text, measure.ParseDate); return nil }

// UnmarshalCSV reads a part of a price that is kept back, as a percentage.
func (d *rate) UnmarshalCSV(text string) error { d.parse(text, parsePart); return nil }

var (
	degreeForm = regexp.MustCompile(`^([+-]?\d{1,3}) ?(?:°? ?[Ff])?$`)
	daysForm   = regexp.MustCompile(`^(\d{1,4})(?: ?days?)?$`)
	codeForm   = regexp.MustCompile(`^[A-Z]{3}$`)
)

func parseDegrees(text string) (int64, error) {
	m := degreeForm.FindStringSubmatch(strings.ReplaceAll(text, "−", "-"))
	if m == nil {
		return 0, &measure.FormError{What: `"` + text + `" is not a temperature in whole degrees Fahrenheit`, Do: "write a number such as 40 or -20"}
	}
	return strconv.ParseInt(m[1], 10, 64)
}

func parseDays(text string) (int64, error) {
	m := daysForm.FindStringSubmatch(strings.ToLower(text))
	if m == nil {
		return 0, &measure.FormError{What: `"` + text + `" is not a number of days`, Do: "write a whole number such as 5"}
	}
	return strconv.ParseInt(m[1], 10, 64)
}

// parsePart reads a rate of no more than 100 %.
func parsePart(text string) (measure.Rate, error) {
	r, err := measure.ParseRate(text)
	if err == nil && r > measure.One {
		return 0, &measure.FormError{What: `"` + text + `" is more than 100 %`, Do: "write the part of the price that is kept back, such as 15 %"}
	}
	return r, err
}
