package estimate

import (
	"math/big"

	"sillwright/estimate/measure"
)

// PanMiddle returns the length of the middle of a three-piece rigid pan.
//
//	middle = width - 2 × end + 2 × lap
//
// width is the rough opening's, end the length of an end section along the
// sill, lap the cemented lap at each end (at least 1-1/2 in). Not above zero:
// the two ends meet and no middle is needed.
//
// Source: trade article repeating a pan maker's sheet (laps of 1-1/2 in, middles of 3-0, 6-0 and 9-0), read
func PanMiddle(width, end, lap measure.Length) measure.Length { return width - 2*end + 2*lap }

// PanCouplers returns how many couplers join middles to a length.
//
//	couplers = ceil(middle / longest section) - 1, at least 0
//
// Each coupler is one more pair of cemented laps.
//
// Source: common practice, no source
func PanCouplers(middle, longest measure.Length) int64 {
	if middle <= longest || longest <= 0 {
		return 0
	}
	return measure.CeilDiv(int64(middle), int64(longest)) - 1
}

// PanLaps returns the number of cemented laps of a rigid pan: two at the ends
// and two at each coupler.
//
//	laps = 2 + 2 × couplers
//
// Source: common practice, no source
func PanLaps(couplers int64) int64 { return 2 + 2*couplers }

// FormedBlank returns the developed width of a formed pan.
//
//	blank = hem + front leg + sqrt(depth² + (slope × depth)²) + back leg
//
// depth is the sill's, front to back. Bends of thin coil take about 0.03 in
// each, which is ignored.
//
// Source: geometry; slope 6 % from a summary of CSA A440.4, read second-hand
func FormedBlank(hem, front, depth, back measure.Length, slope measure.Rate) measure.Length {
	return hem + front + hypotenuse(depth, depth.Scale(slope)) + back
}

// FormedLength returns the length of a formed pan's blank.
//
//	length = width + 2 × end dam
//
// Source: geometry
func FormedLength(width, endDam measure.Length) measure.Length { return width + 2*endDam }

// DamPressure returns the wind pressure in pascals against which a back dam or
// end dam of a height holds water, rounded down.
//
//	pressure = 10 × height in mm
//
// It is printed, and sizes no dam.
//
// Source: Ontario Building Code appendix A-9.27.3.8.(5), read
func DamPressure(height measure.Length) int64 { return 10 * int64(height) / int64(measure.Millimetre) }

// LapPieces returns the pieces of a length when none may be longer than
// longest and each laps the next.
//
//	pieces = ceil((length - lap) / (longest - lap))
//
// All but the last are longest; together they measure length + (pieces - 1) × lap.
// A longest piece no longer than its lap gives none.
//
// Source: New Zealand metal roof and wall code of practice (laps: at least 100 mm sealed, 150 mm not), read
func LapPieces(length, longest, lap measure.Length) []measure.Length {
	if longest <= lap || length <= 0 {
		return nil
	}
	if length <= longest {
		return []measure.Length{length}
	}
	n := measure.CeilDiv(int64(length-lap), int64(longest-lap))
	out := make([]measure.Length, n)
	for i := range out {
		out[i] = longest
	}
	out[n-1] = length + measure.Length(n-1)*(lap-longest)
	return out
}

// hypotenuse returns sqrt(a² + b²) to the nanometre below.
func hypotenuse(a, b measure.Length) measure.Length {
	x, y := big.NewInt(int64(a)), big.NewInt(int64(b))
	sum := new(big.Int).Add(x.Mul(x, x), y.Mul(y, y))
	return measure.Length(sum.Sqrt(sum).Int64())
}
