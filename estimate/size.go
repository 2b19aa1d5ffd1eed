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

// BrickmouldOutside returns the outside of a frame with a factory casing: at the
// head and both jambs, of a window at its foot too.
//
//	width + 2 brickmould; height + brickmould, of windows + 2 brickmould
//
// Source: geometry; the width is an input
func BrickmouldOutside(frame Size, brickmould measure.Length, isWindow bool) Size {
	out := Size{frame.W + 2*brickmould, frame.H + brickmould}
	if isWindow {
		out.H += brickmould
	}
	return out
}

// Outside returns what trim, drip cap and sealant go round: the frame, or its
// brickmould.
func (o *Sized) Outside(b Brickmould) Size {
	if o.Flange != FlangeBrickmould {
		return o.Frame
	}
	return BrickmouldOutside(o.Frame, b.Width, o.Kind == Window)
}

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
