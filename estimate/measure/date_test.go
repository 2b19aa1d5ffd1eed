package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseDate(t *testing.T) {
	for text, want := range map[string]Date{
		"1970-01-01": 0, "1970-01-02": 1, "1969-12-31": -1, "2000-03-01": 11_017, "2024-02-29": 19_782,
		" 2026‐11‐25 ": 20_782,
	} {
		got, err := ParseDate(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	const write = " (write year-month-day, such as 2026-11-25)"
	for text, want := range map[string]string{
		"":                 `"" is blank` + write,
		"3/4/26":           `"3/4/26" is ambiguous: day and month cannot be told apart` + write,
		"03.04.2026":       `"03.04.2026" is ambiguous: day and month cannot be told apart` + write,
		"2026-2-3":         `"2026-2-3" is not a date` + write,
		"2026-02-30":       `"2026-02-30" is not a date` + write,
		"2026-11-25 08:00": `"2026-11-25 08:00" is not a date` + write,
		"Nov 25":           `"Nov 25" is not a date` + write,
		"46351":            `"46351" is not a date` + write,
		"0000-01-01":       `"0000-01-01" is not a date` + write,
	} {
		_, err := ParseDate(text)
		assert.EqualError(t, err, want)
	}
}

func TestDateFromSerial(t *testing.T) {
	for _, c := range []struct {
		source   string
		serial   float64
		date1904 bool
		want     string
	}{
		{"ISO/IEC 29500-1 18.17.4.1: 1 is 1900-01-01", 1, false, "1900-01-01"},
		{"day before the 29 February that never was", 59, false, "1900-02-28"},
		{"day after it", 61, false, "1900-03-01"},
		{"arithmetic: 70 years and 17 leap days on", 25_569, false, "1970-01-01"},
		{"a time of day is dropped", 46_351.75, false, "2026-11-25"},
		{"last day", 2_958_465, false, "9999-12-31"},
		{"ISO/IEC 29500-1 18.17.4.1: 0 is 1904-01-01 in the 1904 system", 0, true, "1904-01-01"},
		{"arithmetic: 1,462 days less", 46_351 - 1_462, true, "2026-11-25"},
		{"last day", 2_958_465 - 1_462, true, "9999-12-31"},
	} {
		got, err := DateFromSerial(c.serial, c.date1904)
		require.NoError(t, err, c.source)
		assert.Equal(t, c.want, got.String(), c.source)
	}
	for _, serial := range []float64{0, 60, 60.5, -1, 2_958_466, math.NaN(), math.Inf(1)} {
		_, err := DateFromSerial(serial, false)
		assert.ErrorContains(t, err, "is not the number of a date")
	}
	for _, serial := range []float64{-1, 2_957_004, math.NaN()} {
		_, err := DateFromSerial(serial, true)
		assert.ErrorContains(t, err, "is not the number of a date")
	}
}

// FuzzParseDate: no input panics, and what is read prints as it was written.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-11-25", "3/4/26", "0001-01-01", "9999-12-31", "２０２６-01-01", "\xff"} {
		f.Add(s, 46_351.0)
	}
	f.Fuzz(func(t *testing.T, s string, serial float64) {
		if d, err := ParseDate(s); err == nil {
			assert.Equal(t, plain(s), d.String())
		}
		if d, err := DateFromSerial(serial, false); err == nil {
			back, err := ParseDate(d.String())
			require.NoError(t, err)
			assert.Equal(t, d, back)
		}
	})
}
