package measure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Decimals that each kind of amount holds: dollars, and percent for a rate.
const (
	moneyPlaces   = 2
	pricePlaces   = 4
	percentPlaces = 4
)

// currencies are the codes of ISO 4217 that may stand before an amount. Other
// words of three letters (FOB, EST) change what the amount means.
const currencies = `usd|cad|mxn|eur|gbp|chf|aud|nzd|sek|nok|dkk|isk|pln|czk|huf|ron|jpy|cny|inr|krw|sgd|hkd|brl|zar|ils|try`

// The forms of an amount in the spelling of plain: an optional sign, currency
// and sign, then the whole part and the decimals.
var (
	amountForm  = regexp.MustCompile(`^(-?) ?(?:(?:\p{Sc}|(?:us|ca|c|a|au|nz)\$|` + currencies + `) ?(-?) ?)?(\d+|\d{1,3}(?:,\d{3})+|)(?:\.(\d+))?$`)
	percentForm = regexp.MustCompile(`^(\d+|)(?:\.(\d+))? ?%$`)
	plainForm   = regexp.MustCompile(`^(\d+|)(?:\.(\d+))?$`)
	wholeForm   = regexp.MustCompile(`^\d+$`)
)

var currencyForm = regexp.MustCompile(`^(?:` + currencies + `)$`)

// IsCurrency reports whether a code of ISO 4217 may stand before an amount.
func IsCurrency(code string) bool { return currencyForm.MatchString(strings.ToLower(code)) }

// ParseMoney returns the amount that s writes: digits with at most two
// decimals after a point, commas only between thousands, and before it, if at
// all, a currency sign or an ISO 4217 code, which is not kept. A minus sign
// makes it a credit. Anything else is refused with a *FormError: blank cells,
// decimal commas, words, more decimals.
func ParseMoney(s string) (Money, error) {
	n, err := parseAmount(s, moneyPlaces)
	return Money(n), err
}

// ParseUnitPrice returns the price that s writes, as ParseMoney does, with at
// most four decimals.
func ParseUnitPrice(s string) (UnitPrice, error) {
	n, err := parseAmount(s, pricePlaces)
	return UnitPrice(n), err
}

// tooMuch refuses an amount of so many decimals above MaxMoney.
func tooMuch(s string, n int64, places int) error {
	most := int64(MaxMoney)
	for range places - moneyPlaces {
		most *= 10
	}
	if n < -most || n > most {
		return wrong(s, "is more than 100 million", "check the number")
	}
	return nil
}

func parseAmount(s string, places int) (int64, error) {
	const write = "write digits and a decimal point, such as 1,234.50"
	text := plain(s)
	m := amountForm.FindStringSubmatch(text)
	switch {
	case text == "":
		return 0, wrong(s, "is blank", write)
	case m == nil && strings.Contains(text, ","):
		return 0, wrong(s, "has a comma that is not between thousands", write)
	case m == nil, m[3] == "" && m[4] == "", m[1] != "" && m[2] != "":
		return 0, wrong(s, "is not an amount", write)
	}
	n, err := scaled(s, m[1]+m[2]+strings.ReplaceAll(m[3], ",", ""), m[4], places)
	if err == nil {
		err = tooMuch(s, n, places)
	}
	if err != nil {
		return 0, err
	}
	return n, nil
}

// scaled returns whole and part, the digits before and after the point, as an
// integer with places decimals. s is the text for the errors.
func scaled(s, whole, part string, places int) (int64, error) {
	if len(part) > places {
		return 0, wrong(s, "has too many decimals", fmt.Sprintf("write at most %d", places))
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", places-len(part)), 10, 64)
	if err != nil {
		return 0, wrong(s, "is too large", "check the number")
	}
	return n, nil
}

// ParseRate returns the rate that s writes: percent when it ends in a percent
// sign (10 %, 8.25%), a fraction when it is a number below 1 (0.1 is 10 %).
// From 1 up a number without the sign may be either and is refused, with a
// *FormError, as are negative rates and more than four decimals of a percent.
func ParseRate(s string) (Rate, error) {
	text := plain(s)
	if m := percentForm.FindStringSubmatch(text); m != nil && m[1]+m[2] != "" {
		n, err := scaled(s, m[1], m[2], percentPlaces)
		return Rate(n), err
	}
	m := plainForm.FindStringSubmatch(text)
	switch {
	case text == "":
		return 0, wrong(s, "is blank", writeRate)
	case m == nil || m[1]+m[2] == "":
		return 0, wrong(s, "is not a rate", writeRate)
	case strings.Trim(m[1], "0") != "":
		return 0, rateInDoubt(s)
	}
	n, err := scaled(s, m[1], m[2], percentPlaces+2)
	return Rate(n), err
}

const writeRate = "write 10 % or 0.1"

func rateInDoubt(s string) error {
	return wrong(s, "may be a percentage or a multiple", "write it with a percent sign, such as 10 %")
}

// MoneyFromNumber returns the amount that a numeric cell holds, v dollars, to
// the cent. It refuses, with a *FormError, numbers that are not finite or too
// large to be exact, and such as have more than two decimals beyond the noise
// of floating point.
func MoneyFromNumber(v float64) (Money, error) {
	n, err := fromFloat(v, moneyPlaces)
	return Money(n), err
}

// UnitPriceFromNumber returns the price that a numeric cell holds, as
// MoneyFromNumber does, with four decimals.
func UnitPriceFromNumber(v float64) (UnitPrice, error) {
	n, err := fromFloat(v, pricePlaces)
	return UnitPrice(n), err
}

// fromFloat returns v × 10^places as an integer.
func fromFloat(v float64, places int) (int64, error) {
	const exact = 1 << 53 // every integer up to here is a float64
	scaled := v * math.Pow10(places)
	whole := math.Round(scaled)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, wrong(number(v), "is not a number", "write digits and a decimal point")
	case math.Abs(scaled) > exact:
		return 0, wrong(number(v), "is too large", "check the number")
	case math.Abs(scaled-whole) > max(1e-6, math.Abs(scaled)/(1<<50)):
		return 0, wrong(number(v), "has too many decimals", fmt.Sprintf("write at most %d", places))
	}
	if err := tooMuch(number(v), int64(whole), places); err != nil {
		return 0, err
	}
	return int64(whole), nil
}

// ParseCount returns the whole number, 0 or more, that s writes in digits.
// Signs, points, commas and exponents are refused with a *FormError.
func ParseCount(s string) (int64, error) {
	text := plain(s)
	if !wholeForm.MatchString(text) {
		return 0, wrong(s, "is not a whole number", "write digits only, such as 2")
	}
	return scaled(s, text, "", 0)
}
