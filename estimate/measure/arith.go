package measure

import (
	"math"
	"math/bits"
)

// MulDiv returns a × b / c, rounded half away from zero, with the product held
// in 128 bits: a length squared passes int64 at ten feet. A result outside
// int64 saturates at its limit. c must not be 0; if it is, the result is the
// limit with the sign of a × b, and 0 if that is 0.
func MulDiv(a, b, c int64) int64 {
	neg := (a < 0) != (b < 0) != (c < 0)
	q, rem, fits := mulDivRem(magnitude(a), magnitude(b), magnitude(c))
	if !fits {
		return saturated(neg)
	}
	return signed(neg, q, rem >= magnitude(c)-rem && rem > 0)
}

// mulDivRem returns quotient and remainder of a × b / c; fits is false when
// the quotient does not fit 64 bits. 0 / 0 is 0.
func mulDivRem(a, b, c uint64) (q, rem uint64, fits bool) {
	hi, lo := bits.Mul64(a, b)
	if hi == 0 && lo == 0 {
		return 0, 0, true
	}
	if hi >= c {
		return 0, 0, false
	}
	q, rem = bits.Div64(hi, lo, c)
	return q, rem, true
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return -uint64(a)
	}
	return uint64(a)
}

// signed returns q, or q + 1 when up, with its sign, saturating.
func signed(neg bool, q uint64, up bool) int64 {
	if q > math.MaxInt64 {
		return saturated(neg)
	}
	if up {
		if q++; q > math.MaxInt64 {
			return saturated(neg)
		}
	}
	if neg {
		return -int64(q)
	}
	return int64(q)
}

func saturated(neg bool) int64 {
	if neg {
		return math.MinInt64
	}
	return math.MaxInt64
}

// CeilDiv returns a / b rounded up. b must be positive; otherwise the result
// saturates by the sign of a, as MulDiv's does for a zero divisor.
func CeilDiv(a, b int64) int64 {
	switch {
	case b <= 0 && a == 0:
		return 0
	case b <= 0:
		return saturated(a < 0)
	case a%b > 0:
		return a/b + 1
	default:
		return a / b
	}
}

// GCD returns the greatest common divisor of two numbers, 0 or more; that of 0
// and n is n.
func GCD(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// AreaOf returns the area of a rectangle with sides a and b.
//
//	1 nm × 1 nm = 10⁻⁶ µm²
func AreaOf(a, b Length) Area { return Area(MulDiv(int64(a), int64(b), 1_000_000)) }

// VolumeOf returns the volume of a prism with base a and length l.
//
//	1 µm² × 1 nm = 10⁻⁹ nL
func VolumeOf(a Area, l Length) Volume { return Volume(MulDiv(int64(a), int64(l), 1_000_000_000)) }

// Scale returns l × r, to the nearest nanometer.
func (l Length) Scale(r Rate) Length { return Length(r.of(int64(l))) }

// Scale returns a × r, to the nearest square micrometer.
func (a Area) Scale(r Rate) Area { return Area(r.of(int64(a))) }

// Scale returns m × r, to the nearest cent, half away from zero.
func (m Money) Scale(r Rate) Money { return Money(r.of(int64(m))) }

func (r Rate) of(x int64) int64 { return MulDiv(x, int64(r), int64(One)) }

// Plus returns the sum of amounts. One outside int64 saturates at its limit, which no
// amount of a job comes near: who adds up a job reports it.
func (m Money) Plus(more ...Money) Money {
	for _, x := range more {
		switch sum := m + x; {
		case x > 0 && sum < m:
			m = math.MaxInt64
		case x < 0 && sum > m:
			m = math.MinInt64
		default:
			m = sum
		}
	}
	return m
}

// Cents rounds a unit price to the cent, half away from zero.
func (p UnitPrice) Cents() Money { return Extension(1, p) }

// Extension returns what count units cost at price p, to the cent.
//
//	extension = ROUND(ROUND(count × price, 4), 2)
//
// The inner rounding is exact here because a unit price has four decimals; a
// worksheet needs it to shed the noise of its floating point product, so that
// both come to the same cent. Halves go away from zero.
func Extension(count int64, p UnitPrice) Money {
	return Money(MulDiv(count, int64(p), pricesPerCent))
}

// Money returns the price of one unit to the cent, half away from zero.
func (p UnitPrice) Money() Money { return Extension(1, p) }

// Shares splits total in proportion to weights, in whole cents that foot: the
// shares always add up to total.
//
//	share(i) = R(T × cum(i) / W) − R(T × cum(i−1) / W)
//
// cum(i) is the sum of the weights up to i, W the sum of all. R rounds to a
// millionth of a dollar and then to the cent, both half away from zero: the
// same two ROUNDs as in the worksheet's formula, so that both agree. If W is 0
// there is nothing to split by and every share is 0. The weights should not be
// negative, and their sum must fit int64.
func Shares(total Money, weights []int64) []Money {
	shares := make([]Money, len(weights))
	var sum int64
	for _, w := range weights {
		sum += w
	}
	if sum == 0 {
		return shares
	}
	var cum int64
	var before Money
	for i, w := range weights {
		cum += w
		upTo := shareUpTo(total, cum, sum)
		shares[i] = upTo - before
		before = upTo
	}
	return shares
}

// shareUpTo returns ROUND(ROUND(total × cum / sum, 6 dollar decimals), 2). The
// whole cents are split off first, so that no total is too large for it.
func shareUpTo(total Money, cum, sum int64) Money {
	neg := (total < 0) != (cum < 0) != (sum < 0)
	cents, rem, fits := mulDivRem(magnitude(int64(total)), magnitude(cum), magnitude(sum))
	if !fits {
		return Money(saturated(neg))
	}
	return Money(signed(neg, cents, roundedPart(rem, magnitude(sum), 10_000) >= 5_000))
}

// roundedPart returns rem / div × scale rounded half up, for rem < div.
func roundedPart(rem, div, scale uint64) uint64 {
	q, r, _ := mulDivRem(rem, scale, div)
	if r > 0 && r >= div-r {
		q++
	}
	return q
}

// Packs returns how many whole packs of content cover need, both in the same
// unit.
//
//	packs = ROUNDUP(ROUND(need / content, 6), 0)
//
// A shortfall under half a millionth of a pack is not a pack: it is below what
// any pack is filled to, and the worksheet's formula, which must shed the noise
// of a floating point quotient, says the same. A need of 0 or less takes no
// pack. content must be positive; otherwise no number of packs is enough and
// the result is the largest int64.
func Packs(need, content int64) int64 {
	switch {
	case need <= 0:
		return 0
	case content <= 0:
		return math.MaxInt64
	case roundedPart(uint64(need%content), uint64(content), 1_000_000) > 0:
		return need/content + 1
	default:
		return need / content
	}
}
