package measure

import (
	"errors"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseContent(t *testing.T) {
	for _, c := range []struct {
		from string // where the number comes from
		text string
		base *big.Rat
		of   Quantity
		word string
	}{
		{handbook44 + "231/128 in³ to the fluid ounce", "10.1 fl. oz.", big.NewRat(101*231*16_387_064, 1280), ByVolume, "fl oz"},
		{"half of 231 in³", "½ gal", big.NewRat(231*16_387_064, 2), ByVolume, "gal"},
		{"an eighth of 231 in³", "⅛ gal", big.NewRat(231*16_387_064, 8), ByVolume, "gal"},
		{"an eighth of 231 in³", "1/8 gal", big.NewRat(231*16_387_064, 8), ByVolume, "gal"},
		{"a third of it", "⅓ gallon", big.NewRat(231*16_387_064, 3), ByVolume, "gallon"},
		{"346.5 in³", "1-1/2 gal", big.NewRat(693*16_387_064, 2), ByVolume, "gal"},
		{"346.5 in³, an en dash", "1–1/2 gal", big.NewRat(693*16_387_064, 2), ByVolume, "gal"},
		{"346.5 in³, an en dash before a fraction", "1–½ gal", big.NewRat(693*16_387_064, 2), ByVolume, "gal"},
		{"346.5 in³, a fraction alone", "1½ GAL", big.NewRat(693*16_387_064, 2), ByVolume, "gal"},
		{"a narrow no-break space", "10.1\u202ffl\u00a0oz", big.NewRat(101*231*16_387_064, 1280), ByVolume, "fl oz"},
		{"thousands", "1,500 each", big.NewRat(1500, 1), ByCount, "each"},
		{"a word of lengths", "16 feet", big.NewRat(16*304_800_000, 1), ByLength, "feet"},
		{"a mark as a word processor writes it", "16’", big.NewRat(16*304_800_000, 1), ByLength, "'"},
		{"feet and inches are feet", `16'-0"`, big.NewRat(16*304_800_000, 1), ByLength, "ft"},
		{"feet and inches, marks of a word processor", `8′–6″`, big.NewRat(102*25_400_000, 1), ByLength, "ft"},
		{"an avoirdupois ounce is 1/16 lb", "8 oz", big.NewRat(453_592_370_000, 2), ByWeight, "oz"},
	} {
		got, err := ParseContent(c.text, "16 ft")
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, c.base.String(), got.Base().String(), "%s: %s", c.text, c.from)
			assert.Equal(t, []any{c.of, c.word}, []any{got.Unit.Of, got.Word}, c.text)
		}
	}
}

func TestParseContentRefuses(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"blank", "  ", `"  " is blank (write 16 ft)`},
		{"no unit", "100", `"100" has no unit (write 16 ft)`},
		{"decimal comma", "10,1 fl oz", `"10,1 fl oz" has a comma that is not between thousands (write a decimal point: 16 ft)`},
		{"a box of how many?", "1 box", `"1 box" is not a content (write 16 ft)`},
		{"division by zero", "1/0 gal", `"1/0 gal" is not a content (write 16 ft)`},
		{"negative, with a minus sign", "−½ gal", `"−½ gal" is not a content (write 16 ft)`},
		{"a range is no mixed number", "1–2 gal", `"1–2 gal" is not a content (write 16 ft)`},
	} {
		_, err := ParseContent(c.text, "16 ft")
		var form *FormError
		require.True(t, errors.As(err, &form), c.why)
		assert.Equal(t, c.want, err.Error(), c.why)
	}
}

func TestContentUnitsAreExact(t *testing.T) {
	// A gallon is 128 fluid ounces, 8 pints, 4 quarts, 231 in³; a foot 12 in.
	for _, c := range []struct {
		unit string
		n    int64
		same string
	}{
		{"fl oz", 128, "gal"}, {"pt", 8, "gal"}, {"qt", 4, "gal"}, {"in3", 231, "gal"}, {"in", 12, "ft"}, {"in2", 144, "ft2"},
		{"in3", 1728, "ft3"}, {"oz", 16, "lb"}, {"mm", 1000, "m"}, {"ml", 1000, "l"},
	} {
		u, known := ContentUnitOf(c.unit)
		same, also := ContentUnitOf(c.same)
		require.True(t, known && also, c.unit)
		assert.Equal(t, same.Size(), new(big.Rat).Mul(u.Size(), big.NewRat(c.n, 1)), "%d %s = 1 %s", c.n, c.unit, c.same)
		assert.Equal(t, same.Of, u.Of)
	}
	assert.Equal(t, SquareFoot, AreaOf(Foot, Foot))
	assert.Equal(t, SquareMeter, AreaOf(1000*Millimeter, 1000*Millimeter))
	assert.Equal(t, CubicInch, VolumeOf(AreaOf(Inch, Inch), Inch))
	assert.Equal(t, Millilitre, VolumeOf(AreaOf(10*Millimeter, 10*Millimeter), 10*Millimeter))
	for word := range contentWords {
		_, known := wordUnit(word)
		assert.True(t, known, word)
	}
	for word, u := range unitWords {
		got, known := wordUnit(word)
		assert.True(t, known, word)
		assert.Equal(t, big.NewRat(int64(u.length()), 1), got.Size(), word)
	}
}
