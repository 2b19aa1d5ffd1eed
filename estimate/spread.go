package estimate

import (
	"fmt"
	"math/big"
	"strings"

	"sillwright/estimate/measure"
)

// Spread is what something may come to, in parts of what the estimate has for it: the
// least, the likeliest and the most.
type Spread struct{ Low, Likely, High measure.Rate }

// maxSpread is the most that is believed: five times the estimate.
const maxSpread = 5 * measure.One

// ParseSpread reads three percentages of the estimate's figure, the least first:
// "90 / 100 / 130".
func ParseSpread(s string) (Spread, error) {
	var rates []measure.Rate
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune("/;,", r) }) {
		r, err := measure.ParseRate(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(part), "%")) + " %")
		if err != nil {
			return Spread{}, &measure.FormError{What: fmt.Sprintf("%q is not three percentages", s), Do: spreadAdvice}
		}
		rates = append(rates, r)
	}
	if len(rates) != 3 {
		return Spread{}, &measure.FormError{What: fmt.Sprintf("%q is not three percentages", s), Do: spreadAdvice}
	}
	out := Spread{rates[0], rates[1], rates[2]}
	if out.Low <= 0 || out.Low > out.Likely || out.Likely > out.High || out.High > maxSpread {
		return Spread{}, &measure.FormError{What: fmt.Sprintf("%q does not go from less to more, above 0 and up to %s", s, maxSpread), Do: spreadAdvice}
	}
	return out, nil
}

const spreadAdvice = "write the least, the likeliest and the most in percent of the estimate's own figure: 90 / 100 / 130"

// Words writes a spread as it is read.
func (s Spread) Words() string {
	words := make([]string, 3)
	for i, r := range []measure.Rate{s.Low, s.Likely, s.High} {
		words[i] = strings.TrimSuffix(r.String(), " %")
	}
	return strings.Join(words, " / ")
}

// At returns the value below which a part of all cases lies, in parts of measure.One:
// that of a triangle from Low to High whose peak stands at Likely.
//
//	below the peak  low + √(part × (high − low) × (likely − low))
//	above it        high − √((1 − part) × (high − low) × (high − likely))
func (s Spread) At(part measure.Rate) measure.Rate {
	wide, below, above := int64(s.High-s.Low), int64(s.Likely-s.Low), int64(s.High-s.Likely)
	if wide == 0 {
		return s.Low
	}
	if int64(part)*wide <= below*int64(measure.One) {
		return s.Low + root(measure.MulDiv(int64(part), wide*below, int64(measure.One)))
	}
	return s.High - root(measure.MulDiv(int64(measure.One-part), wide*above, int64(measure.One)))
}

// root returns the square root of the square of a rate, rounded down to a millionth.
func root(square int64) measure.Rate {
	n := big.NewInt(square)
	return measure.Rate(n.Sqrt(n).Int64())
}

// spread reads a spread that may be missing.
func spread(at func(*Job) *Maybe[Spread]) func(*Job, string) error {
	return func(j *Job, s string) error {
		v, err := ParseSpread(s)
		if err == nil {
			*at(j) = Given(v)
		}
		return err
	}
}
