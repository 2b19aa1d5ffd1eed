package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFormatInches(t *testing.T) {
	for _, c := range []struct {
		source       string
		l            Length
		denom        int
		inches, feet string
	}{
		{"trim frame head (geometry)", 42*Inch + in(56), 16, "42-7/8", `3'-6 7/8"`},
		{"trim frame legs (geometry)", 63*Inch + in(24), 16, "63-3/8", `5'-3 3/8"`},
		{"drawing program export as seen in a real document", 52*Inch + in(50), 32, "52-25/32", `4'-4 25/32"`},
		{"whole inches", 36 * Inch, 16, "36", `3'-0"`},
		{"a fraction alone", in(12), 16, "3/16", `0'-0 3/16"`},
		{"under a foot", 5*Inch + in(16), 16, "5-1/4", `0'-5 1/4"`},
		{"nothing", 0, 16, "0", `0'-0"`},
		{"lowest terms", 36*Inch + in(32), 64, "36-1/2", `3'-0 1/2"`},
		{"arithmetic: 1/64 is half a 32nd and goes up", in(1), 32, "1/32", `0'-0 1/32"`},
		{"arithmetic: rounding carries into the inch and the foot", 12*Inch - in(1), 32, "12", `1'-0"`},
		{"arithmetic: below half goes down", in(1), 16, "0", `0'-0"`},
		{"arithmetic: half away from zero", -in(1), 32, "-1/32", `-0'-0 1/32"`},
		{"negative", -(36*Inch + Inch/2), 16, "-36-1/2", `-3'-0 1/2"`},
		{"a negative that rounds to nothing has no sign", -1, 16, "0", `0'-0"`},
		{"documented: denom below 1 counts as 1", 36*Inch + Inch/2, 0, "37", `3'-1"`},
		{"largest", math.MaxInt64, 64, "363124883340-47/64", `30260406945'-0 47/64"`},
		{"smallest", math.MinInt64, 1, "-363124883341", `-30260406945'-1"`},
	} {
		assert.Equal(t, c.inches, FormatInches(c.l, c.denom), c.source)
		assert.Equal(t, c.feet, FormatFeetInches(c.l, c.denom), c.source)
	}
}

func TestFormatMM(t *testing.T) {
	for l, want := range map[Length]string{
		36 * Inch:                 "914.4", // 1 in = 25.4 mm
		915 * Millimeter:          "915",
		35*Inch + in(56):          "911.2", // 911.225
		50_000:                    "0.1",   // half away from zero
		-50_000:                   "-0.1",
		0:                         "0",
		-3*Millimeter - 2*100_000: "-3.2",
	} {
		assert.Equal(t, want, FormatMM(l))
	}
}

func TestInches(t *testing.T) {
	for l, want := range map[Length]float64{
		36*Inch + Inch/2: 36.5,
		SixtyFourth:      0.015625, // exact: 1/64
		318_770_000:      12.55,    // exact: a decimal
		-Inch:            -1,
		915 * Millimeter: 36.023622, // 36.0236220…
	} {
		assert.Equal(t, want, l.Inches())
	}
}

func TestMoneyStrings(t *testing.T) {
	for m, want := range map[Money]string{
		268_806_560:   "2,688,065.60", // a city contract, SF Public Works 2977J
		123_456:       "1,234.56",
		-123_456:      "-1,234.56",
		100_000:       "1,000.00",
		99_999:        "999.99",
		-5:            "-0.05",
		0:             "0.00",
		math.MinInt64: "-92,233,720,368,547,758.08",
	} {
		assert.Equal(t, want, m.String())
	}
	for p, want := range map[UnitPrice]string{
		125_000:    "12.50",
		375:        "0.0375",
		12_345_670: "1,234.567",
		-45:        "-0.0045",
		0:          "0.00",
	} {
		assert.Equal(t, want, p.String())
	}
	for r, want := range map[Rate]string{
		100_000: "10 %",
		82_500:  "8.25 %",
		One:     "100 %",
		1:       "0.0001 %",
		-50_000: "-5 %",
		0:       "0 %",
	} {
		assert.Equal(t, want, r.String())
	}
}
