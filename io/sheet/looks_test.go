package sheet

import (
	"encoding/xml"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

// colorAttrs are the attributes of a color element, name and value by turns.
func colorAttrs(pairs ...string) (out []xml.Attr) {
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, xml.Attr{Name: xml.Name{Local: pairs[i]}, Value: pairs[i+1]})
	}
	return out
}

// Source: ECMA-376-1, 18.8.3 (bgColor, fgColor), 18.8.27 (the indexed colors: 1 and 9 are
// white, 0 and 8 black, 64 that of letters); theme 0 is its first light color.
func TestColors(t *testing.T) {
	for _, c := range []struct {
		attrs []xml.Attr
		white bool
		color string
	}{
		{colorAttrs("rgb", "FFFFFFFF"), true, white},
		{colorAttrs("rgb", "00ffffff"), true, white},
		{colorAttrs("rgb", "FFC00000"), false, "C00000"},
		{colorAttrs("theme", "0"), true, white},
		{colorAttrs("theme", "0", "tint", "-0.25"), false, ""},
		{colorAttrs("theme", "1"), false, ""},
		{colorAttrs("indexed", "1"), true, white},
		{colorAttrs("indexed", "9"), true, white},
		{colorAttrs("indexed", "8"), false, "000000"},
		{colorAttrs("indexed", "64"), false, "000000"},
		{colorAttrs("indexed", "10"), false, ""},
		{colorAttrs("auto", "1"), false, "000000"},
		{nil, false, ""},
	} {
		assert.Equal(t, c.white, whiteColor(c.attrs), "%v", c.attrs)
		assert.Equal(t, c.color, colorOf(c.attrs), "%v", c.attrs)
	}
}

func TestEntryByNumber(t *testing.T) {
	list := []string{"first", "second"}
	for number, want := range map[string]string{"0": "first", "1": "second", "2": "", "-1": "", "": "", "one": ""} {
		assert.Equal(t, want, at(list, number), number)
	}
}

// Source: ISO 4217 for the codes.
func TestCurrencyOfAnAmount(t *testing.T) {
	for amount, want := range map[string]string{
		"€12.50": "EUR", "12.50 €": "EUR", "£9": "GBP", "US$ 4": "USD", "CA$4": "CAD", "$4": "", "¥100": "", "usd 12": "USD", "12.50 chf": "CHF", "12.50": "",
		"-eur 3": "EUR", "12 pcs": "PCS",
	} {
		assert.Equal(t, want, CurrencyIn(amount), amount)
	}
}

func TestNamesThatAreNone(t *testing.T) {
	what, _ := NotName("W1")
	assert.Empty(t, what)
	what, do := NotName(strings.Repeat("a", MaxName+1))
	assert.Contains(t, what, "characters long")
	assert.NotEmpty(t, do)
	what, _ = NotName(strings.Repeat("a", MaxName))
	assert.Empty(t, what, "as long as a name may be")
}

func TestGlueIsTwoItems(t *testing.T) {
	items := NewItemNames(estimate.NewItems(nil))
	_, doubt, ok := items.Find("glue")
	assert.False(t, ok)
	if assert.NotNil(t, doubt) {
		assert.Equal(t, "wood-glue", doubt.Usual)
	}
}
