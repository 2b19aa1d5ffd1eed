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

// A conditional format in the newer form holds its own format, and names what it covers
// behind its rules.
//
// Source: MS-XLSX, x14:conditionalFormatting
func TestConditionalFormatWithItsOwnFormat(t *testing.T) {
	rule := func(font string) string {
		return `<x14:cfRule type="expression" priority="1"><xm:f>$D$9&gt;0</xm:f><x14:dxf><font>` + font + `</font></x14:dxf></x14:cfRule>`
	}
	extension := func(inner string) string { return `<extLst><ext>` + inner + `</ext></extLst>` }
	formats := func(rules, area string) string {
		return extension(`<x14:conditionalFormattings><x14:conditionalFormatting>` + rules + `<xm:sqref>` + area +
			`</xm:sqref></x14:conditionalFormatting></x14:conditionalFormattings>`)
	}
	// Lists of allowed values name their cells in the same way, of which there may be many.
	lists := `<x14:dataValidations>` + strings.Repeat(
		`<x14:dataValidation><xm:f>1</xm:f><xm:sqref>`+strings.Repeat("B2 ", 1000)+`</xm:sqref></x14:dataValidation>`, maxToken/3000+2) + `</x14:dataValidations>`
	const strikes = "strikes out what it covers; it is not looked at, and the cells are read as they stand " +
		"(clear what does not count, type what is meant, or take the conditional format away)"
	for _, tt := range []struct {
		why, behind string
		want        []string
	}{
		{"it strikes out", formats(rule("<strike/>"), "B2:B9"), []string{"job.xlsx: Openings!B2: warning: a conditional format of B2:B9 " + strikes}},
		{"one of two rules does", formats(rule("<strike/>")+rule("<b/>"), "B2"), []string{"job.xlsx: Openings!B2: warning: a conditional format of B2 " + strikes}},
		{"it only decorates", formats(rule("<b/>"), "B2:B9"), nil},
		{"it covers another column", formats(rule("<strike/>"), "C2:C9"), nil},
		{"areas of something else, as long together as no text may be", extension(lists), nil},
	} {
		t.Run(tt.why, func(t *testing.T) {
			rows := `<row r="1"><c r="A1" t="inlineStr"><is><t>Mark</t></is></c><c r="B1" t="inlineStr"><is><t>Qty</t></is></c></row>` +
				`<row r="2"><c r="A2" t="inlineStr"><is><t>W1</t></is></c><c r="B2"><v>2</v></c></row>`
			s, ps := parsed(t, archived(t, minimal(data(rows)+tt.behind)...))
			assert.Empty(t, ps)
			table, ps2 := s.Table([]Column{{Key: "Mark", Required: true}, {Key: "Qty"}})
			assert.ElementsMatch(t, tt.want, lines(ps2))
			assert.Equal(t, "2", table.Rows[0].Cell("Qty").Text)
		})
	}
}
