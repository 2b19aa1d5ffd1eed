package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// in returns n/64 in.
func in(n int64) Length { return Length(n) * SixtyFourth }

func TestParseLength(t *testing.T) {
	const (
		notation = "accepted forms"
		export   = "drawing program exports as seen in a real document"
		common   = "common practice, no source"
		si       = sp811 + "1 in = 25.4 mm"
	)
	for _, c := range []struct {
		source string
		text   string
		bare   Unit
		want   Length
	}{
		{notation, `5'-4 1/2"`, NoUnit, 64*Inch + Inch/2},
		{notation, `5' 4-1/2"`, NoUnit, 64*Inch + Inch/2},
		{notation, `5ft 4.5in`, NoUnit, 64*Inch + Inch/2},
		{notation, `64 1/2`, Inches, 64*Inch + Inch/2},
		{"a fraction set small (" + common + ")", "64 ¹/₂", Inches, 64*Inch + Inch/2},
		{"a fraction set small (" + common + ")", "64¹⁄₂\"", NoUnit, 64*Inch + Inch/2},
		{notation, `64.5`, Inches, 64*Inch + Inch/2},
		{notation, `1625 mm`, NoUnit, 1625 * Millimeter},
		{notation, `5/4 1/2`, NoUnit, 64*Inch + Inch/2},

		{export, `5' - 0"`, NoUnit, 60 * Inch},
		{export, `5' - 10 3/4"`, NoUnit, 70*Inch + in(48)},
		{export, `4' - 4 25/32"`, NoUnit, 52*Inch + in(50)},
		{export, `3' - 0 1/4"`, NoUnit, 36*Inch + in(16)},
		{export, `0' - 1 3/4"`, NoUnit, Inch + in(48)},
		{export, `0'-1 3/8"`, NoUnit, Inch + in(24)},
		{export, `5'- 4 25/32"`, NoUnit, 64*Inch + in(50)},
		{export + ": decimal feet", `5.66666666666667`, Feet, 68 * Inch},
		{export + ": decimal feet", `8.75`, Feet, 105 * Inch},
		{export + ": float noise", `1.49999999999987`, Feet, 18 * Inch},
		{export + ": float noise", `0.9149999999999999`, Meters, 915 * Millimeter},
		{export + ": float noise", `809.999999999999 mm`, NoUnit, 810 * Millimeter},
		{export + ": zero decimals", `2500.000000000000000`, Millimeters, 2500 * Millimeter},
		{export + ": 46 in in mm with a tail", `1168.4001`, Millimeters, 46 * Inch},
		{export + ": 37 in in metres", `0.9398`, Meters, 37 * Inch},
		{export, `36.25 inches`, NoUnit, 36*Inch + in(16)},
		{export + ": zero in front", `0762`, Millimeters, 30 * Inch},

		{si, `914.4 mm`, NoUnit, 36 * Inch},
		{si, `91.44 cm`, NoUnit, 36 * Inch},
		{si, `0.9144 m`, NoUnit, 36 * Inch},
		{si, `914.4 Millimeters`, NoUnit, 36 * Inch},

		{common, `36`, Inches, 36 * Inch},
		{common, `3`, Feet, 36 * Inch},
		{common, `36.`, Inches, 36 * Inch},
		{common, `.5`, Inches, Inch / 2},
		{common, `36-1/2"`, NoUnit, 36*Inch + Inch/2},
		{common, `36 - 1/2 in.`, NoUnit, 36*Inch + Inch/2},
		{common, `3 1/2`, Feet, 42 * Inch},
		{common, `3 1/2 ft`, NoUnit, 42 * Inch},
		{common, `3'-0"`, NoUnit, 36 * Inch},
		{common, `3'`, NoUnit, 36 * Inch},
		{common, `3' 0 1/2"`, NoUnit, 36*Inch + Inch/2},
		{common, `3'-0-1/2"`, NoUnit, 36*Inch + Inch/2},
		{common, `3'-1/2"`, NoUnit, 36*Inch + Inch/2},
		{common + ": bare inches after feet", `3'-6`, NoUnit, 42 * Inch},
		{common + ": bare inches after feet", `3'6`, Millimeters, 42 * Inch},
		{common, `3ft 6in`, NoUnit, 42 * Inch},
		{common, `3 ft. 6 in.`, NoUnit, 42 * Inch},
		{common, `3 Feet 6 Inches`, NoUnit, 42 * Inch},
		{common, `3'-11 63/64"`, NoUnit, 4*Foot - SixtyFourth},
		{common, `36''`, NoUnit, 36 * Inch},
		{common, `36 2/4"`, NoUnit, 36*Inch + Inch/2},
		{common, `0`, Inches, 0},
		{"1/64 in to the decimal a calculator shows", `0.01563`, Inches, SixtyFourth},
		{"decimals to five places are exact in nanometres: 12.55 in of an audit", `12.55`, Inches, 318_770_000},
		{"documented limit", `1000'`, NoUnit, MaxLength},

		{"3/0 can only be feet and inches", `3/0`, Inches, 36 * Inch},
		{"3/0 can only be feet and inches", `3/0`, NoUnit, 36 * Inch},
		{"a tape has 1/2", `1/2`, Inches, Inch / 2},
		{"a tape has 3/16", `3/16`, NoUnit, in(12)},
		{"the mark settles it", `2/8"`, Feet, Inch / 4},

		{"primes", `3′-6″`, NoUnit, 42 * Inch},
		{"curly quotes", `3’-6”`, NoUnit, 42 * Inch},
		{"vulgar fraction", `36½`, Inches, 36*Inch + Inch/2},
		{"vulgar fractions", `3' 6⅜"`, NoUnit, 42*Inch + in(24)},
		{"fraction slash", "36 1⁄4", Inches, 36*Inch + in(16)},
		{"no-break and thin space", "36\u00a01/2\u2009in", NoUnit, 36*Inch + Inch/2},
		{"zero-width space and mark", "\ufeff36\u200b in", NoUnit, 36 * Inch},
		{"full width", "３６．５", Inches, 36*Inch + Inch/2},
		{"en dash", "3'–6\"", NoUnit, 42 * Inch},
		{"minus sign between", "36−1/2", Inches, 36*Inch + Inch/2},
	} {
		got, err := ParseLength(c.text, c.bare)
		if assert.NoError(t, err, "%s: %s", c.text, c.source) {
			assert.Equal(t, c.want, got, "%s: %s", c.text, c.source)
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct {
		source string
		text   string
		bare   Unit
		want   string
	}{
		{"lost punctuation as seen in a real file", `7 11 2`, Inches, `"7 11 2" is not a length (write 7'-11 1/2" or 95.5)`},
		{"lost digits as seen in a real document", "2′-”", NoUnit, `"2′-”" lacks its inches (write 2'-0", or the inches that were meant)`},
		{"a range as seen in a real document", "60” – 72”", NoUnit, `"60” – 72”" is a range (write one size)`},
		{"feet and inches, or a power", "3⁰", Inches, `"3⁰" has a digit that stands high or low (write 3'-0" for feet and inches, or a fraction such as 1/2)`},
		{"no fraction of the tape", "3¹/₃", Inches, `"3¹/₃" has a digit that stands high or low (write 3'-0" for feet and inches, or a fraction such as 1/2)`},
		{"two sizes", `36x80`, Inches, `"36x80" holds two sizes (write one size in a cell)`},
		{"two sizes", `36" × 80"`, Inches, `"36" × 80"" holds two sizes (write one size in a cell)`},
		{"two sizes as seen in a real document", `2 ft 4 in. by 3 ft 10 in`, NoUnit, `"2 ft 4 in. by 3 ft 10 in" holds two sizes (write one size in a cell)`},
		{"feet and inches or a range", `36-40`, Inches, `"36-40" may be feet and inches or a range (write 3'-6", or one size)`},
		{"a number alone may be anything", `36`, NoUnit, `"36" has no unit (write the unit after it: in, ft, mm, cm or m)`},
		{"a number alone may be anything", `36 1/2`, NoUnit, `"36 1/2" has no unit (write the unit after it: in, ft, mm, cm or m)`},
		{"2'-8\" or 1/4\" (common practice, no source)", `2/8`, Inches, `"2/8" may be feet and inches or a fraction (write 2'-8" or 1/4")`},
		{"6'-8\" or 3/4\"", `6/8`, NoUnit, `"6/8" may be feet and inches or a fraction (write 6'-8" or 3/4")`},
		{"5'-4\" or five quarters (common practice, no source)", `5/4`, Inches, `"5/4" may be feet and inches or a fraction (write 5'-4" or 1-1/4")`},
		{"a tape has no sixths", `3/6`, Inches, `"3/6" may be feet and inches or a fraction (write 3'-6")`},
		{"of a foot or of an inch", `1/2`, Feet, `"1/2" may be feet and inches or a fraction (write 1'-2" or 1/2")`},
		{"of a foot or of an inch", `3/16`, Feet, `"3/16" is a fraction without a unit (write 3/16")`},
		{"inches, and not feet as seen in a real document", `30/30`, Inches, `"30/30" is not a length (write 7'-11 1/2" or 95.5)`},
		{"decimal comma", `36,5`, Inches, `"36,5" has a comma (write a decimal point, and no comma for thousands: 36.5 or 1200 mm)`},
		{"thousands or decimals", `1,200 mm`, NoUnit, `"1,200 mm" has a comma (write a decimal point, and no comma for thousands: 36.5 or 1200 mm)`},
		{"a length is not negative", `-36`, Inches, `"-36" is negative (write it without the minus sign)`},
		{"minus sign", "−36 in", Inches, `"−36 in" is negative (write it without the minus sign)`},
		{"inches pass a foot", `3'-14"`, NoUnit, `"3'-14"" has 12 inches or more after the feet (write 4'-2" for 3'-14")`},
		{"inches pass a foot", `5/12 1/2`, NoUnit, `"5/12 1/2" has 12 inches or more after the feet (write 4'-2" for 3'-14")`},
		{"words as seen in a real document", `24-7/8"w`, NoUnit, `"24-7/8"w" has words beside the length (write the size alone, with in, ft, mm, cm or m)`},
		{"words", `36 in clear`, NoUnit, `"36 in clear" has words beside the length (write the size alone, with in, ft, mm, cm or m)`},
		{"a unit the trade does not use", `12 yd`, NoUnit, `"12 yd" has words beside the length (write the size alone, with in, ft, mm, cm or m)`},
		{"words alone", `n/a`, Inches, `"n/a" is not a length (write 7'-11 1/2" or 95.5)`},
		{"blank marker", `--`, Inches, `"--" is not a length (write 7'-11 1/2" or 95.5)`},
		{"blank", " \u00a0", Inches, "\" \u00a0\" is blank (write 7'-11 1/2\" or 95.5)"},
		{"exponent", `1e3`, Inches, `"1e3" is written with an exponent (write the number out)`},
		{"fraction of a metric unit", `914 1/2 mm`, NoUnit, `"914 1/2 mm" has a fraction of a metric unit (write decimals)`},
		{"decimals and fraction", `36.5 1/2`, Inches, `"36.5 1/2" has decimals and a fraction (write one of the two)`},
		{"no such fraction on a tape", `36 1/3`, Inches, `"36 1/3" has the fraction 1/3 (write a fraction below 1 in halves to 64ths, or decimals)`},
		{"11/2 for 1 1/2 must not be read as 1 1/2 nor as 11", `36 11/2"`, Inches, `"36 11/2"" has the fraction 11/2 (write a fraction below 1 in halves to 64ths, or decimals)`},
		{"no division by 0", `36 1/0"`, Inches, `"36 1/0"" has the fraction 1/0 (write a fraction below 1 in halves to 64ths, or decimals)`},
		{"limit", `1000.1'`, NoUnit, `"1000.1'" is longer than 1,000 ft (check the number and its unit)`},
		{"limit", `99999999999999999999`, Meters, `"99999999999999999999" is longer than 1,000 ft (check the number and its unit)`},
		{"feet must be whole before inches", `3.5' 6"`, NoUnit, `"3.5' 6"" is not a length (write 7'-11 1/2" or 95.5)`},
	} {
		got, err := ParseLength(c.text, c.bare)
		assert.EqualError(t, err, c.want, c.source)
		assert.Zero(t, got, c.text)
		var form *FormError
		require.ErrorAs(t, err, &form)
		assert.Equal(t, c.want, form.What+" ("+form.Do+")")
	}
}

func TestQuoteIsOneShortLine(t *testing.T) {
	_, err := ParseLength("36\n\x00"+string(make([]byte, 100)), Inches)
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "\n")
	assert.NotContains(t, err.Error(), "\x00")
	assert.Less(t, len(err.Error()), 160)
}

func TestFromNumber(t *testing.T) {
	for _, c := range []struct {
		source string
		v      float64
		unit   Unit
		want   Length
		note   string
	}{
		{"float noise of an export as seen in a real file", 0.9149999999999999, Meters, 915 * Millimeter, ""},
		{"float noise of an export as seen in a real file", 809.999999999999, Millimeters, 810 * Millimeter, ""},
		{"float noise of an export as seen in a real file", 1168.4001, Millimeters, 46 * Inch, ""},
		{"float noise of an export as seen in a real file", 2.99999999999995, Feet, 36 * Inch, ""},
		{"decimal feet as seen in a real document", 5.66666666666667, Feet, 68 * Inch, ""},
		{"a 64th", 35.015625, Inches, 35*Inch + SixtyFourth, ""},
		{"a 64th as a calculator shows it", 35.01563, Inches, 35*Inch + SixtyFourth, ""},
		{"nothing", 0, Inches, 0, ""},
		{"limit", 1000, Feet, MaxLength, ""},
		{"decimals of an audit as seen in a real file", 12.55, Inches, 318_770_000, "12.55 in is on no mark of 1/64 in or 0.1 mm; taken as it is"},
		{"decimals of an audit: 0.1 mm is 0.00394 in", 9.42, Inches, 239_268_000, "9.42 in is on no mark of 1/64 in or 0.1 mm; taken as it is"},
		{"arithmetic: 1,001 nm off a mark is off it", 25.401001, Millimeters, 25_401_001, "25.401001 mm is on no mark of 1/64 in or 0.1 mm; taken as it is"},
		{"arithmetic: 1,000 nm off a mark is on it", 25.401, Millimeters, Inch, ""},
	} {
		got, note, err := FromNumber(c.v, c.unit)
		require.NoError(t, err, c.source)
		assert.Equal(t, c.want, got, "%v: %s", c.v, c.source)
		assert.Equal(t, c.note, note, c.source)
	}
	for _, c := range []struct {
		v    float64
		unit Unit
		want string
	}{
		{math.NaN(), Inches, `"NaN" is not a number (write 7'-11 1/2" or 95.5)`},
		{math.Inf(1), Inches, `"+Inf" is not a number (write 7'-11 1/2" or 95.5)`},
		{36, NoUnit, `"36" has no unit (write the unit after it: in, ft, mm, cm or m)`},
		{36, Unit(99), `"36" has no unit (write the unit after it: in, ft, mm, cm or m)`},
		{-36, Inches, `"-36" is negative (write it without the minus sign)`},
		{1000.5, Feet, `"1000.5 ft" is longer than 1,000 ft (check the number and its unit)`},
		{1e300, Meters, `"1e+300 m" is longer than 1,000 ft (check the number and its unit)`},
	} {
		_, _, err := FromNumber(c.v, c.unit)
		assert.EqualError(t, err, c.want)
	}
}

func TestParseUnit(t *testing.T) {
	for text, want := range map[string]Unit{
		"in": Inches, "IN.": Inches, " inches ": Inches, "”": Inches, "''": Inches,
		"ft": Feet, "Feet": Feet, "′": Feet, "mm": Millimeters, "Millimetres": Millimeters,
		"cm": Centimeters, "centimeter": Centimeters, "m": Meters, "meters": Meters,
	} {
		got, ok := ParseUnit(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "yd", "36", "inche"} {
		_, ok := ParseUnit(text)
		assert.False(t, ok, text)
	}
	for u := Inches; u <= Meters; u++ {
		got, ok := ParseUnit(u.String())
		assert.True(t, ok && got == u, "a unit reads its own name %s", u)
	}
	assert.Empty(t, Unit(-1).String())
}

// FuzzParseLength: no input panics; what is read is in range, and reads the
// same when printed and read again.
func FuzzParseLength(f *testing.F) {
	for _, s := range []string{`36`, `3'-0 1/2"`, `3/0`, `5/4 1/2`, `2/8`, `914.4 mm`, "2′-”", `36x80`, "３６½", `7 11 2`, "\xff", `3'-14"`, "35 ¹/₂", "3⁰"} {
		f.Add(s, int(Inches))
	}
	f.Fuzz(func(t *testing.T, s string, bare int) {
		l, err := ParseLength(s, Unit(bare))
		if err != nil {
			assert.Zero(t, l)
			return
		}
		assert.True(t, l >= 0 && l <= MaxLength, "%d", l)
		assert.Equal(t, l, onMark(l), "a length read is where reading puts it")
	})
}

// FuzzLengthRoundTrip: what each format prints is read back as it was.
func FuzzLengthRoundTrip(f *testing.F) {
	f.Add(int64(0))
	f.Add(int64(36*64 + 32))
	f.Add(int64(63))
	f.Add(int64(12_345_678))
	f.Fuzz(func(t *testing.T, n int64) {
		n = int64(magnitude(n) % uint64(MaxLength/SixtyFourth+1))
		inch, metric := Length(n)*SixtyFourth, Length(n)*Millimeter/10
		for _, c := range []struct {
			text string
			bare Unit
			want Length
		}{
			{FormatInches(inch, 64), Inches, inch},
			{FormatInches(inch, 64) + `"`, NoUnit, inch},
			{FormatFeetInches(inch, 64), NoUnit, inch},
			{FormatMM(metric), Millimeters, metric},
		} {
			got, err := ParseLength(c.text, c.bare)
			require.NoError(t, err)
			assert.Equal(t, c.want, got, c.text)
		}
		for _, l := range []Length{inch, metric} {
			got, note, err := FromNumber(l.Inches(), Inches)
			require.NoError(t, err)
			assert.Empty(t, note)
			assert.Equal(t, l, got, "%v in", l.Inches())
		}
	})
}
