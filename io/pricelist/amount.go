package pricelist

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"sillwright/estimate/measure"
)

// The forms of an amount beside those that package measure reads: a currency
// behind it, and a decimal comma with points or spaces between thousands.
var (
	currencyBehind = regexp.MustCompile(`^(-?[\d.,]+(?: \d{3})*(?:,\d+)?) ?(\p{Sc}|[A-Za-z]{3})$`)
	commaForm      = regexp.MustCompile(`^([^\d.,]*)(\d+|\d{1,3}(?:[. ]\d{3})+|)(?:,(\d+))?$`)
	decimalForm    = regexp.MustCompile(`\d,(\d{1,2}|\d{4,})$`)
)

// parseAmount reads an amount with parse, which takes a decimal point and a
// currency before it. A currency may stand behind it too, and with comma the
// decimals stand behind a comma: 1.234,50. A point is then refused unless it
// parts thousands.
func parseAmount[T any](text string, comma bool, parse func(string) (T, error)) (T, error) {
	before := currencyFirst(text)
	if comma {
		return parseComma(text, before, parse)
	}
	v, err := parse(before)
	if err == nil || before == text {
		return v, withComma(err)
	}
	_, err = parse(text) // which quotes what is written
	return v, withComma(err)
}

// withComma adds to the advice on a decimal comma how to declare it.
func withComma(err error) error {
	var form *measure.FormError
	if !errors.As(err, &form) || !strings.Contains(form.What, "has a comma") {
		return err
	}
	return &measure.FormError{What: form.What, Do: form.Do + `; if the whole column is so, add` + decimalComma + ` to its header`}
}

// parseComma reads an amount with a decimal comma; before is the text with the
// currency before it.
func parseComma[T any](text, before string, parse func(string) (T, error)) (T, error) {
	var none T
	m := commaForm.FindStringSubmatch(before)
	if m == nil {
		return none, &measure.FormError{What: fmt.Sprintf(`"%s" is not an amount with a decimal comma, which the header declares`, text),
			Do: "write digits and a decimal comma, such as 1.234,50",
		}
	}
	point := m[1] + strings.NewReplacer(".", "", " ", "").Replace(m[2])
	if m[3] != "" {
		point += "." + m[3]
	}
	v, err := parse(point)
	var form *measure.FormError
	if errors.As(err, &form) {
		return none, &measure.FormError{What: strings.Replace(form.What, point, text, 1), Do: "write it such as 1.234,50"}
	}
	return v, err
}

// currencyFirst returns an amount with its currency before it.
func currencyFirst(text string) string {
	if m := currencyBehind.FindStringSubmatch(text); m != nil {
		return m[2] + " " + m[1]
	}
	return text
}
