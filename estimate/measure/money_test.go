package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseMoney(t *testing.T) {
	for text, want := range map[string]Money{
		"12.50": 1250, "12.5": 1250, "12": 1200, ".5": 50, "0": 0, "007": 700,
		"1,234.56": 123_456, "1234.56": 123_456, "2,688,065.60": 268_806_560,
		"$12.50": 1250, "$ 12.50": 1250, "USD 12.50": 1250, "usd12.50": 1250, "€12.50": 1250, "C$12.50": 1250, "＄12.50": 1250,
		"-12.50": -1250, "-$12.50": -1250, "$-12.50": -1250, "$ -12.50": -1250, "−12.50": -1250,
		" 12.50\u00a0": 1250,
	} {
		got, err := ParseMoney(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
		}
	}
	const write = " (write digits and a decimal point, such as 1,234.50)"
	for text, want := range map[string]string{
		"":                      `"" is blank` + write,
		"1,5":                   `"1,5" has a comma that is not between thousands` + write,
		"12,34.5":               `"12,34.5" has a comma that is not between thousands` + write,
		"1.234,50":              `"1.234,50" has a comma that is not between thousands` + write,
		",500":                  `",500" has a comma that is not between thousands` + write,
		"1.250":                 `"1.250" has too many decimals (write at most 2)`, // may be 1,250
		"call":                  `"call" is not an amount` + write,
		"$":                     `"$" is not an amount` + write,
		".":                     `"." is not an amount` + write,
		"--5":                   `"--5" is not an amount` + write,
		"-$-5":                  `"-$-5" is not an amount` + write,
		"12.50 each":            `"12.50 each" is not an amount` + write,
		"FOB 12.50":             `"FOB 12.50" is not an amount` + write,
		"(12.50)":               `"(12.50)" is not an amount` + write,
		"1e3":                   `"1e3" is not an amount` + write,
		"1 234.50":              `"1 234.50" is not an amount` + write,
		"99999999999999999.99 ": `"99999999999999999.99 " is too large (check the number)`,
	} {
		_, err := ParseMoney(text)
		assert.EqualError(t, err, want)
	}
}

func TestParseUnitPrice(t *testing.T) {
	for text, want := range map[string]UnitPrice{
		"0.0375": 375, "$1,250": 12_500_000, "12.5": 125_000, "1.250": 12_500,
	} {
		got, err := ParseUnitPrice(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	_, err := ParseUnitPrice("0.03755")
	assert.EqualError(t, err, `"0.03755" has too many decimals (write at most 4)`)
}

func TestParseRate(t *testing.T) {
	for text, want := range map[string]Rate{
		"10 %": 100_000, "10%": 100_000, "8.25 %": 82_500, ".5 %": 5_000, "150 %": 1_500_000, "１０％": 100_000,
		"0.1": 100_000, ".0825": 82_500, "0": 0, "0 %": 0, "0.000001": 1,
	} {
		got, err := ParseRate(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
		}
	}
	for text, want := range map[string]string{
		"":          `"" is blank (write 10 % or 0.1)`,
		"10":        `"10" may be a percentage or a multiple (write it with a percent sign, such as 10 %)`,
		"1":         `"1" may be a percentage or a multiple (write it with a percent sign, such as 10 %)`,
		"-5 %":      `"-5 %" is not a rate (write 10 % or 0.1)`,
		"%":         `"%" is not a rate (write 10 % or 0.1)`,
		"8,25 %":    `"8,25 %" is not a rate (write 10 % or 0.1)`,
		"ten":       `"ten" is not a rate (write 10 % or 0.1)`,
		"8.12345 %": `"8.12345 %" has too many decimals (write at most 4)`,
		"0.1234567": `"0.1234567" has too many decimals (write at most 6)`,
	} {
		_, err := ParseRate(text)
		assert.EqualError(t, err, want)
	}
}

func TestAmountsFromNumbers(t *testing.T) {
	for v, want := range map[float64]Money{
		12.5: 1250, 0.30000000000000004: 30, 1.0100000000000002: 101, -4.35: -435, 0: 0, 2_688_065.60: 268_806_560,
		100_000_000: MaxMoney, -100_000_000: -MaxMoney,
	} {
		got, err := MoneyFromNumber(v)
		require.NoError(t, err, "%v", v)
		assert.Equal(t, want, got)
	}
	for v, want := range map[float64]string{
		12.505:         `"12.505" has too many decimals (write at most 2)`,
		0.001:          `"0.001" has too many decimals (write at most 2)`,
		100_000_000.01: `"1.0000000001e+08" is more than 100 million (check the number)`,
		1e15:           `"1e+15" is too large (check the number)`,
		math.Inf(-1):   `"-Inf" is not a number (write digits and a decimal point)`,
	} {
		_, err := MoneyFromNumber(v)
		assert.EqualError(t, err, want)
	}
	_, err := MoneyFromNumber(math.NaN())
	assert.EqualError(t, err, `"NaN" is not a number (write digits and a decimal point)`)

	price, err := UnitPriceFromNumber(0.0375)
	require.NoError(t, err)
	assert.Equal(t, UnitPrice(375), price)
	_, err = UnitPriceFromNumber(0.03755)
	assert.EqualError(t, err, `"0.03755" has too many decimals (write at most 4)`)
}

func TestParseCount(t *testing.T) {
	for text, want := range map[string]int64{"0": 0, "12": 12, " 007 ": 7, "１２": 12} {
		got, err := ParseCount(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"", "2.7", "2.0", "1e3", "-1", "+1", "1,200", "two", "12 ea"} {
		_, err := ParseCount(text)
		assert.EqualError(t, err, `"`+text+`" is not a whole number (write digits only, such as 2)`)
	}
	_, err := ParseCount("99999999999999999999")
	assert.EqualError(t, err, `"99999999999999999999" is too large (check the number)`)
}

// FuzzAmountRoundTrip: what is printed is read back as it was, and a numeric
// cell gives the same.
func FuzzAmountRoundTrip(f *testing.F) {
	for _, n := range []int64{0, 1, -1, 99, 100, 123_456, -100_000, math.MaxInt64, math.MinInt64} {
		f.Add(n)
	}
	f.Fuzz(func(t *testing.T, n int64) {
		n %= int64(MaxMoney) + 1
		m, err := ParseMoney(Money(n).String())
		require.NoError(t, err)
		assert.Equal(t, Money(n), m)
		p, err := ParseUnitPrice(UnitPrice(n).String())
		require.NoError(t, err)
		assert.Equal(t, UnitPrice(n), p)
		if n >= 0 {
			r, err := ParseRate(Rate(n).String())
			require.NoError(t, err)
			assert.Equal(t, Rate(n), r)
		}
		m, err = MoneyFromNumber(float64(n) / 100)
		require.NoError(t, err)
		assert.Equal(t, Money(n), m)
	})
}

// FuzzParseAmounts: no input panics, and an error goes with no value.
func FuzzParseAmounts(f *testing.F) {
	for _, s := range []string{"1,234.56", "$-5", "1,5", "10 %", "0.1", "12", "2.7", "＄", "\xff", "-"} {
		f.Add(s, 0.1)
	}
	f.Fuzz(func(t *testing.T, s string, v float64) {
		if m, err := ParseMoney(s); err != nil {
			assert.Zero(t, m)
		}
		if p, err := ParseUnitPrice(s); err != nil {
			assert.Zero(t, p)
		}
		if r, err := ParseRate(s); err != nil || r < 0 {
			assert.Zero(t, r)
		}
		if n, err := ParseCount(s); err != nil || n < 0 {
			assert.Zero(t, n)
		}
		if m, err := MoneyFromNumber(v); err != nil {
			assert.Zero(t, m)
		}
	})
}
