package measure

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMulDiv(t *testing.T) {
	for _, c := range []struct {
		source  string
		a, b, c int64
		want    int64
	}{
		{"arithmetic: half goes away from zero", 1, 1, 2, 1},
		{"arithmetic: half goes away from zero", -1, 1, 2, -1},
		{"arithmetic: half of a negative divisor", 1, 1, -2, -1},
		{"arithmetic: below half", 1, 1, 3, 0},
		{"arithmetic: above half", 2, 1, 3, 1},
		{"arithmetic: product of 80 bits", 1 << 40, 1 << 40, 1 << 30, 1 << 50},
		{"arithmetic: rounding up would pass the limit", math.MaxInt64, 3, 2, math.MaxInt64},
		{"arithmetic: the lower limit is reached, not passed", math.MinInt64, 1, 1, math.MinInt64},
		{"arithmetic: 2^63 is one too many", math.MinInt64, -1, 1, math.MaxInt64},
		{"arithmetic: saturates below", math.MinInt64, 2, 1, math.MinInt64},
		{"documented: divisor 0 saturates by sign", 1, 1, 0, math.MaxInt64},
		{"documented: divisor 0 saturates by sign", -1, 1, 0, math.MinInt64},
		{"documented: 0 / 0", 0, 5, 0, 0},
	} {
		assert.Equal(t, c.want, MulDiv(c.a, c.b, c.c), "%d × %d / %d: %s", c.a, c.b, c.c, c.source)
	}
}

// bigMulDiv is MulDiv by math/big, for c other than 0.
func bigMulDiv(a, b, c int64) int64 {
	num := new(big.Int).Mul(big.NewInt(a), big.NewInt(b))
	den := big.NewInt(c)
	sign := num.Sign() * den.Sign()
	num.Abs(num).Mul(num, big.NewInt(2))
	den.Abs(den)
	num.Add(num, den).Div(num, den.Mul(den, big.NewInt(2))) // floor((2n + d) / 2d)
	if sign < 0 {
		num.Neg(num)
	}
	switch {
	case num.IsInt64():
		return num.Int64()
	case sign < 0:
		return math.MinInt64
	default:
		return math.MaxInt64
	}
}

func FuzzMulDiv(f *testing.F) {
	f.Add(int64(3_048_000_000), int64(3_048_000_000), int64(1_000_000))
	f.Add(int64(math.MinInt64), int64(math.MinInt64), int64(math.MinInt64))
	f.Add(int64(math.MaxInt64), int64(3), int64(2))
	f.Add(int64(-7), int64(1), int64(2))
	f.Fuzz(func(t *testing.T, a, b, c int64) {
		if c == 0 {
			c = 1
		}
		assert.Equal(t, bigMulDiv(a, b, c), MulDiv(a, b, c), "%d × %d / %d", a, b, c)
	})
}

// What several tests cite.
const (
	handbook44 = "National Institute of Standards and Technology, Handbook 44, appendix C: "
	sp811      = "National Institute of Standards and Technology, Special Publication 811: "
)

func TestCeilDiv(t *testing.T) {
	for _, c := range []struct {
		source     string
		a, b, want int64
	}{
		{"issuhub.com, document 4050, page 182: soffit 156 ft² / 32 ft² a sheet is 5 sheets", 156, 32, 5},
		{"US Army subcourse EN0069A, para. 4-9: 97.297 lb of nails are 98", 7200, 74, 98},
		{"arithmetic: exact", 64, 32, 2},
		{"arithmetic: nothing", 0, 32, 0},
		{"arithmetic: up is towards zero for a negative", -5, 2, -2},
		{"documented: saturates without a positive divisor", 5, 0, math.MaxInt64},
		{"documented: saturates without a positive divisor", -5, -1, math.MinInt64},
		{"documented: saturates without a positive divisor", 0, 0, 0},
	} {
		assert.Equal(t, c.want, CeilDiv(c.a, c.b), "%d / %d: %s", c.a, c.b, c.source)
	}
}

func TestAreaAndVolume(t *testing.T) {
	inch2 := AreaOf(Inch, Inch)
	inch3 := VolumeOf(inch2, Inch)
	assert.Equal(t, Area(645_160_000), inch2, sp811+"1 in² = 6.4516 cm²")
	assert.Equal(t, Volume(16_387_064), inch3, sp811+"1 in³ = 16.387064 cm³")
	assert.Equal(t, Volume(3_785_411_784), 231*inch3, handbook44+"a US gallon is 231 in³, 3.785411784 L")
	assert.Equal(t, Area(929_030_400_000_000), AreaOf(100*Foot, 100*Foot), sp811+"1 ft² = 929.0304 cm²; past int64 in nm²")
	assert.Equal(t, 144*inch3, VolumeOf(AreaOf(Foot, Foot), Inch), "US Army EN5155, para. 1-5: a board foot is 1 in × 12 in × 1 ft")
	assert.Equal(t, Area(-1), AreaOf(-Millimeter, Millimeter/1_000_000), "arithmetic: a sign is kept")
}

func TestScale(t *testing.T) {
	assert.Equal(t, Length(110*Inch), (100 * Inch).Scale(1_100_000), "arithmetic: + 10 %")
	assert.Equal(t, Area(500_001), Area(1_000_001).Scale(500_000), "arithmetic: half away from zero")
	assert.Equal(t, Money(9333), Money(128_735).Scale(72_500), "tax of 7.25 % on 1,287.35 is 93.33 (RI Gen. Laws 44-18.1-25)")
	assert.Equal(t, Money(250), Money(3030).Scale(82_500), "tax of 8.25 % on an invoice of 30.30 is 2.50 (RI Gen. Laws 44-18.1-25)")
	assert.Equal(t, Money(83), Money(1010).Scale(82_500), "tax of 8.25 % on an item of 10.10 is 0.83 (RI Gen. Laws 44-18.1-25)")
}

func TestExtension(t *testing.T) {
	for _, c := range []struct {
		source string
		count  int64
		price  UnitPrice
		want   Money
	}{
		{"double rounding: 0.0045 is 0.00, not 0.005 and then 0.01 (RI Gen. Laws 44-18.1-25)", 1, 45, 0},
		{"double rounding: 3 × 0.0015", 3, 15, 0},
		{"arithmetic: half a cent goes up", 1, 50, 1},
		{"arithmetic: half a cent of a credit goes down", -1, 50, -1},
		{"arithmetic: 250 nails at 0.0375 are 9.375", 250, 375, 938},
		{"public bid: an extension at 2.10 a foot and at 210.00 differ by 207.90 (Tukwila WA specification, 2016)", 1, 2_100_000 - 21_000, 20_790},
	} {
		assert.Equal(t, c.want, Extension(c.count, c.price), "%d × %s: %s", c.count, c.price, c.source)
	}
	assert.Equal(t, Money(1), UnitPrice(50).Money())
	assert.Equal(t, Money(1250), UnitPrice(125_049).Money(), "12.5049")
}

func TestShares(t *testing.T) {
	for _, c := range []struct {
		source  string
		total   Money
		weights []int64
		want    []Money
	}{
		{"arithmetic: the odd cent falls where the sum passes half", 100, []int64{1, 1, 1}, []Money{33, 34, 33}},
		{"arithmetic: half away, 0.5 and 1 cent", 1, []int64{1, 1}, []Money{1, 0}},
		{"arithmetic: a credit mirrors it", -1, []int64{1, 1}, []Money{-1, 0}},
		{"arithmetic: 10.00 over 3, 0 and 1", 1000, []int64{3, 0, 1}, []Money{750, 0, 250}},
		{"two ROUNDs: 1 × 499999/10^6 cents is 0.00499999 dollars, first 0.005000, then 0.01", 1, []int64{499_999, 500_001}, []Money{1, 0}},
		{"two ROUNDs: 1 × 49994/10^5 cents is first 0.004999, then 0.00", 1, []int64{49_994, 50_006}, []Money{0, 1}},
		{"nothing to split by", 500, []int64{0, 0}, []Money{0, 0}},
		{"nobody to split among", 500, nil, []Money{}},
		{"arithmetic: largest total", math.MaxInt64, []int64{1, 1}, []Money{1 << 62, 1<<62 - 1}},
	} {
		assert.Equal(t, c.want, Shares(c.total, c.weights), c.source)
	}
}

func FuzzShares(f *testing.F) {
	f.Add(int64(2_688_065_60), int64(138_000), int64(1), int64(912_716))
	f.Add(int64(-1), int64(0), int64(0), int64(7))
	f.Fuzz(func(t *testing.T, total, a, b, c int64) {
		const top = math.MaxInt64 / 3
		weights := []int64{max(a, -a, 0) % top, max(b, -b, 0) % top, max(c, -c, 0) % top}
		w := weights[0] + weights[1] + weights[2]
		if w == 0 {
			return
		}
		var sum Money
		var cum int64
		for i, s := range Shares(Money(total), weights) {
			sum += s
			cum += weights[i]
			assert.Equal(t, bigRound(total, cum, w), int64(sum), "up to share %d", i)
		}
		assert.Equal(t, Money(total), sum, "the shares foot")
	})
}

// bigRound is ROUND(ROUND(total × cum / w, 6 dollar decimals), 2) in cents by
// math/big, for w above 0.
func bigRound(total, cum, w int64) int64 {
	n := new(big.Int).Mul(big.NewInt(total), big.NewInt(cum))
	n = halfAway(n.Mul(n, big.NewInt(10_000)), big.NewInt(w))
	return halfAway(n, big.NewInt(10_000)).Int64()
}

func halfAway(n, d *big.Int) *big.Int {
	sign := int64(n.Sign())
	n = new(big.Int).Abs(n)
	n.Mul(n, big.NewInt(2)).Add(n, d)
	n.Div(n, new(big.Int).Mul(d, big.NewInt(2)))
	return n.Mul(n, big.NewInt(sign))
}

func TestPacks(t *testing.T) {
	for _, c := range []struct {
		source              string
		need, content, want int64
	}{
		{"issuhub.com, document 4050, page 182: soffit 156 ft² / 32 ft² a sheet is 5 sheets", 156, 32, 5},
		{"arithmetic: exact", 64, 32, 2},
		{"arithmetic: one over", 65, 32, 3},
		{"documented: 0.0000004 of a pack is none", 10_000_004, 10_000_000, 1},
		{"documented: 0.0000005 of a pack rounds to a millionth and is one", 10_000_005, 10_000_000, 2},
		{"documented: no need", 0, 32, 0},
		{"documented: no need", -5, 32, 0},
		{"documented: no content", 5, 0, math.MaxInt64},
		{"documented: no content", 5, -1, math.MaxInt64},
		{"arithmetic: largest need", math.MaxInt64, 2, 1 << 62},
	} {
		assert.Equal(t, c.want, Packs(c.need, c.content), "%d / %d: %s", c.need, c.content, c.source)
	}
}
