package estimate

import (
	"math/big"

	"sillwright/estimate/measure"
)

// Size is a width and a height. A zero side is not known.
type Size struct{ W, H measure.Length }

// Known reports whether both sides are known.
func (s Size) Known() bool { return s.W > 0 && s.H > 0 }

// Perimeter returns 2 × (W + H).
func (s Size) Perimeter() measure.Length { return 2 * (s.W + s.H) }

// Area returns W × H.
func (s Size) Area() measure.Area { return measure.AreaOf(s.W, s.H) }

// apart returns how far two lengths differ.
func apart(a, b measure.Length) measure.Length { return max(a-b, b-a) }

func sizeWords(s Size) string {
	return measure.FormatInches(s.W, 32) + " x " + measure.FormatInches(s.H, 32)
}

// hypotenuse returns sqrt(a² + b²) to the nanometer below.
func hypotenuse(a, b measure.Length) measure.Length {
	x, y := big.NewInt(int64(a)), big.NewInt(int64(b))
	sum := new(big.Int).Add(x.Mul(x, x), y.Mul(y, y))
	return measure.Length(sum.Sqrt(sum).Int64())
}
