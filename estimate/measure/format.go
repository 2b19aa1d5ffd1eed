package measure

import (
	"fmt"
	"strconv"
	"strings"
)

// Inches returns l in inches, for writing a cell: the decimal number nearest
// to l with at most six places, which is exact for 64ths and for lengths typed
// with up to six decimals. FromNumber reads it back.
func (l Length) Inches() float64 {
	return float64(MulDiv(int64(l), 1_000_000, int64(Inch))) / 1_000_000
}

// FormatInches returns l in inches with a fraction in lowest terms, rounded to
// 1/denom, halves away from zero: 36-1/2, 35-7/8, 3/16, 0, -1-1/4. There is no
// inch mark. denom is the finest division of the tape, 16 or 32 as a rule; one
// below 1 counts as 1.
func FormatInches(l Length, denom int) string {
	minus, n, d := divisions(l, denom)
	whole, part := n/d, fractionText(n%d, d)
	switch {
	case part == "":
		return minus + strconv.FormatUint(whole, 10)
	case whole == 0:
		return minus + part
	default:
		return fmt.Sprintf("%s%d-%s", minus, whole, part)
	}
}

// FormatFeetInches returns l in feet and inches, rounded to 1/denom in as
// FormatInches does: 3'-0 1/2", 0'-5 1/4", 12'-0".
func FormatFeetInches(l Length, denom int) string {
	minus, n, d := divisions(l, denom)
	inches, part := n/d, fractionText(n%d, d)
	if part != "" {
		part = " " + part
	}
	return fmt.Sprintf(`%s%d'-%d%s"`, minus, inches/12, inches%12, part)
}

// divisions returns l as n parts of 1/d in, and the minus sign if it has one.
func divisions(l Length, denom int) (minus string, n, d uint64) {
	denom = max(denom, 1)
	parts := MulDiv(int64(l), int64(denom), int64(Inch))
	if parts < 0 {
		minus = "-"
	}
	return minus, magnitude(parts), uint64(denom)
}

// fractionText returns num/den in lowest terms, "" for 0.
func fractionText(num, den uint64) string {
	if num == 0 {
		return ""
	}
	divisor := uint64(GCD(int64(num), int64(den)))
	return fmt.Sprintf("%d/%d", num/divisor, den/divisor)
}

// FormatMM returns l in millimeters to the nearest tenth, halves away from
// zero, without unit: 914.4, 915, -3.2.
func FormatMM(l Length) string {
	return trimZeros(point(MulDiv(int64(l), 10, int64(Millimeter)), 1), 0)
}

// String returns the amount with two decimals and commas between thousands:
// 1,234.56, -0.05. The currency is not part of it.
func (m Money) String() string { return thousands(point(int64(m), moneyPlaces)) }

// String returns the price with two to four decimals and commas between
// thousands: 12.50, 0.0375, 1,250.00.
func (p UnitPrice) String() string {
	return thousands(trimZeros(point(int64(p), pricePlaces), moneyPlaces))
}

// String returns the rate in percent, without needless decimals: 10 %, 8.25 %.
func (r Rate) String() string { return trimZeros(point(int64(r), percentPlaces), 0) + " %" }

// point returns n / 10^places in decimals.
func point(n int64, places int) string {
	minus := ""
	if n < 0 {
		minus = "-"
	}
	digits := fmt.Sprintf("%0*d", places+1, magnitude(n))
	return minus + digits[:len(digits)-places] + "." + digits[len(digits)-places:]
}

// trimZeros drops zeros at the end of the decimals, down to keep of them.
func trimZeros(s string, keep int) string {
	whole, part, _ := strings.Cut(s, ".")
	for len(part) > keep && strings.HasSuffix(part, "0") {
		part = part[:len(part)-1]
	}
	if part == "" {
		return whole
	}
	return whole + "." + part
}

// thousands puts commas into the whole part of a decimal number.
func thousands(s string) string {
	minus := ""
	if strings.HasPrefix(s, "-") {
		minus, s = "-", s[1:]
	}
	whole, part, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return minus + whole + "." + part
}
