package pricing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

var (
	sealant = estimate.Item{Key: "sealant", Class: "sealant", Dim: estimate.Volumewise, Allowance: "sealant", Site: true}
	nails   = estimate.Item{Key: "nail-8d", Class: "fastening", Dim: estimate.Each, Coverage: 190, CoverageUnit: "lb"}
	primer  = estimate.Item{Key: "primer", Class: "finish", Dim: estimate.Areawise, Coverage: 400, CoverageUnit: "gal"}
	cement  = estimate.Item{Key: "cement", Class: "pan", Dim: estimate.Each, Coverage: 12, CoverageUnit: "each"}
	rod     = estimate.Item{Key: "rod", Class: "sealant", Dim: estimate.Lengthwise}
	board   = estimate.Item{Key: "board-1x4", Class: "boards", Dim: estimate.Lengthwise, Cut: true}
	screws  = estimate.Item{Key: "screw", Class: "fastening", Dim: estimate.Each}
)

func TestParseContent(t *testing.T) {
	const handbook44 = "National Institute of Standards and Technology, Handbook 44, appendix C: "
	for _, c := range []struct {
		from string // where the number comes from
		text string
		item estimate.Item
		want int64
	}{
		{handbook44 + "10.1 × 231/128 in³ × 16.387064 mL", "10.1 fl oz", sealant, 298_692_648},
		{"another way to write it", "10.1 fl. oz.", sealant, 298_692_648},
		{"SI", "300 mL", sealant, 300_000_000},
		{handbook44 + "a quart is 57.75 in³", "1 qt", sealant, 946_352_946},
		{"half a gallon is two quarts, 231/2 in³", "1/2 gal", sealant, 1_892_705_892},
		{"as a phone writes it", "½ gal", sealant, 1_892_705_892},
		{"⅛ of 231 in³, as a phone writes it", "⅛ gal", sealant, 473_176_473},
		{"the same with an en dash, as a word processor writes it", "1–1/2 gal", sealant, 5_678_117_676},
		{"the same with dash and fraction", "1–½ gal", sealant, 5_678_117_676},
		{"1-1/2 gal = 346.5 in³ = 5,678,117,676 nL", "1-1/2 gal", sealant, 5_678_117_676},
		{"1728 in³", "1 ft3", sealant, 28_316_846_592},
		{"US General Services Administration, A-A-1963, table I: 8d are 190 a pound", "5 lb", nails, 950},
		{"kg = 1/0.45359237 lb: 418.878, down", "1 kg", nails, 418},
		{"16 oz to the pound", "8 oz", nails, 95},
		{"count of nails themselves", "1,000 each", nails, 1000},
		{"400 ft² a gallon × 92,903,040,000 µm²", "1 gal", primer, 37_161_216_000_000},
		{"a quarter of it", "1 qt", primer, 9_290_304_000_000},
		{"area itself", "10 ft2", primer, 929_030_400_000},
		{"12 joints a can", "2 each", cement, 24},
		{"a pair is 2", "1 pair", screws, 2},
		{"feet are 304.8 mm", "16 ft", board, 4_876_800_000},
		{"feet and inches", `16'-0"`, board, 4_876_800_000},
		{"feet with its mark", "16'", board, 4_876_800_000},
		{"metres", "4.8 m", board, 4_800_000_000},
		{"2.4 cm", "2.4 cm", board, 24_000_000},
		{"8-1/2 ft = 102 in", "8 1/2 ft", board, 2_590_800_000},
		{"rod by the foot", "100 ft", rod, 30_480_000_000},
	} {
		got, err := ParseContent(c.text, c.item)
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, c.want, got, "%s: %s", c.text, c.from)
		}
	}
}

func TestParseContentRefuses(t *testing.T) {
	for _, c := range []struct {
		why, text string
		item      estimate.Item
		want      string
	}{
		{"blank", " ", sealant, `" " is blank (write 10.1 fl oz)`},
		{"no unit: pieces or pounds?", "100", nails, `"100" has no unit (write 100 each or 5 lb)`},
		{"decimal comma", "10,1 fl oz", sealant, `"10,1 fl oz" has a comma that is not between thousands (write a decimal point: 10.1 fl oz)`},
		{"ounces of weight or volume", "10.1 oz", sealant, `"10.1 oz" may be a weight or a volume (write "fl oz" for a volume)`},
		{"wrong kind", "5 gal", nails, `"5 gal" is a volume, but nail-8d is bought by count or weight (write 100 each or 5 lb)`},
		{"an area", "32 ft2", board, `"32 ft2" is an area, but board-1x4 is bought by length (write 16 ft)`},
		{"boards are not counted", "10 each", board, `"10 each" is a count, but board-1x4 is bought by length (write 16 ft)`},
		{"a box of how many?", "1 box", screws, `"1 box" is not a content (write 100 each)`},
		{"negative", "-5 lb", nails, `"-5 lb" is not a content (write 100 each or 5 lb)`},
		{"negative fraction", "-1/2 gal", sealant, `"-1/2 gal" is not a content (write 10.1 fl oz)`},
		{"nothing", "0 ft", board, `"0 ft" serves nothing (write 16 ft)`},
		{"rounds down to no nail", "0.001 lb", nails, `"0.001 lb" serves nothing (write 100 each or 5 lb)`},
		{"division by zero", "1/0 gal", sealant, `"1/0 gal" is not a content (write 10.1 fl oz)`},
		{"exponent", "1e3 ft", board, `"1e3 ft" is not a content (write 16 ft)`},
		{"slip of the unit", "99999999 m", board, `"99999999 m" is too large (check the number and its unit)`},
		{"line break and length", "a\nb" + strings.Repeat("c", 70), screws, `"a b` + strings.Repeat("c", 57) + `…" is not a content (write 100 each)`},
		{"does not fit 64 bits", "99999999999999999999 gal", sealant, `"99999999999999999999 gal" is too large (check the number and its unit)`},
	} {
		_, err := ParseContent(c.text, c.item)
		if assert.Error(t, err, c.text) {
			assert.Equal(t, c.want, err.Error(), c.why)
		}
		var form *measure.FormError
		assert.True(t, errors.As(err, &form), c.why)
	}
}

func FuzzParseContent(f *testing.F) {
	for _, s := range []string{"10.1 fl oz", "16 ft", "5 lb", "100 each", "1-1/2 gal", "½ gal", `16'-0"`, "1,500 each", "1/0 gal",
		"9999999999 gal", "-3 ft", "10,1 oz", "m²",
	} {
		f.Add(s)
	}
	all := []estimate.Item{sealant, nails, primer, cement, rod, board, screws}
	f.Fuzz(func(t *testing.T, text string) {
		for _, item := range all {
			n, err := ParseContent(text, item)
			if err != nil {
				var form *measure.FormError
				require.True(t, errors.As(err, &form), "%q: %v", text, err)
				continue
			}
			assert.Positive(t, n, text)
			assert.LessOrEqual(t, n, int64(largest), text)
		}
	})
}

// Needs are counted in the quantities that packs are sold in.
func TestQuantityOfNeed(t *testing.T) {
	for d, word := range map[estimate.Dimension]string{estimate.Each: "count", estimate.Lengthwise: "length", estimate.Areawise: "area",
		estimate.Volumewise: "volume",
	} {
		assert.Equal(t, word, quantityOf(d).String())
	}
	assert.Less(t, int64(largest), int64(math.MaxInt64/900), "room to multiply by a count")
}
