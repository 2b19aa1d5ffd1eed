package sheet

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sillwright/estimate/measure"
)

// currencySign is a sign and the codes of the currencies that have it.
type currencySign struct {
	sign  string
	codes []string
}

// currencySigns are the signs of currencies with the codes that they may stand for:
// "$" is of many.
//
// Source: ISO 4217 for the codes; the signs are common practice, no source
var currencySigns = []currencySign{
	{"€", []string{"EUR"}}, {"£", []string{"GBP"}}, {"₹", []string{"INR"}}, {"₩", []string{"KRW"}}, {"₺", []string{"TRY"}}, {"₪", []string{"ILS"}},
	{"¥", []string{"JPY", "CNY"}}, {"US$", []string{"USD"}}, {"CA$", []string{"CAD"}}, {"C$", []string{"CAD"}}, {"A$", []string{"AUD"}},
	{"AU$", []string{"AUD"}}, {"NZ$", []string{"NZD"}}, {"R$", []string{"BRL"}}, {"kr", []string{"SEK", "NOK", "DKK", "ISK"}}, {"zł", []string{"PLN"}},
	{"Kč", []string{"CZK"}}, {"Ft", []string{"HUF"}},
	{"$", []string{"USD", "CAD", "AUD", "NZD", "MXN", "SGD", "HKD"}},
}

// The code before and behind an amount.
var (
	codeBefore = regexp.MustCompile(`^-? ?([A-Za-z]{3}) ?-?[\d.,]`)
	codeBehind = regexp.MustCompile(`[\d.,] ?([A-Za-z]{3})$`)
)

// isCurrency reports whether a text is a sign or a code of a currency.
func isCurrency(text string) bool {
	r, n := utf8.DecodeRuneInString(text)
	return slices.ContainsFunc(currencySigns, func(c currencySign) bool { return c.sign == text }) ||
		measure.IsCurrency(text) || n > 0 && n == len(text) && unicode.Is(unicode.Sc, r)
}

// ShowsMoney reports whether the number format of a number shows a currency.
func (c Cell) ShowsMoney() bool { return c.Kind == Number && c.currency != "" }

// CurrencyIn returns the code of the currency that an amount is written with; "" for
// none, and for a sign of several currencies.
func CurrencyIn(amount string) string {
	for _, form := range []*regexp.Regexp{codeBefore, codeBehind} {
		if m := form.FindStringSubmatch(amount); m != nil {
			return strings.ToUpper(m[1])
		}
	}
	for _, c := range currencySigns {
		if len(c.codes) == 1 && strings.Contains(amount, c.sign) {
			return c.codes[0]
		}
	}
	return ""
}

// Currency returns the code of the currency in which a cell shows its amount, by its
// text or its number format; "" for none, and for a sign of several currencies.
func (c Cell) Currency() string {
	if c.Kind == Number {
		return CurrencyIn(c.currency + "1")
	}
	return CurrencyIn(c.Word())
}

// ForeignTo returns the currency in which a cell shows its amount, as it is written,
// if it cannot be that of the code; "" when it can.
func (c Cell) ForeignTo(code string) string {
	text := c.Word()
	if c.Kind == Number {
		text = c.currency + "1"
	}
	if of := CurrencyIn(text); of != "" {
		if strings.EqualFold(of, code) {
			return ""
		}
		return of
	}
	for _, s := range currencySigns {
		if strings.Contains(text, s.sign) {
			if slices.Contains(s.codes, strings.ToUpper(code)) {
				return ""
			}
			return s.sign
		}
	}
	if i := strings.IndexFunc(text, func(r rune) bool { return unicode.Is(unicode.Sc, r) }); i >= 0 {
		r, _ := utf8.DecodeRuneInString(text[i:])
		return string(r)
	}
	return ""
}
