package estimate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestParseSpread(t *testing.T) {
	for s, want := range map[string]estimate.Spread{
		"90 / 100 / 130":  {Low: 900_000, Likely: 1_000_000, High: 1_300_000},
		"97.5/100/108 %":  {Low: 975_000, Likely: 1_000_000, High: 1_080_000},
		"95 %, 100, 100%": {Low: 950_000, Likely: 1_000_000, High: 1_000_000},
	} {
		got, err := estimate.ParseSpread(s)
		require.NoError(t, err, s)
		assert.Equal(t, want, got, s)
		again, err := estimate.ParseSpread(got.Words())
		require.NoError(t, err, got.Words())
		assert.Equal(t, got, again)
	}
	for _, s := range []string{"", "100", "90 / 110", "110 / 100 / 90", "0 / 100 / 120", "90 / 100 / 600", "-5 / 100 / 110", "low / 100 / 110", "90/100/110/120"} {
		_, err := estimate.ParseSpread(s)
		assert.Error(t, err, s)
	}
}

// Source: the area under the triangle, added up in thin strips from its low end, apart
// from the square roots of the rule.
func TestSpreadAt(t *testing.T) {
	for _, s := range []estimate.Spread{
		{Low: 900_000, Likely: 1_000_000, High: 1_300_000}, {Low: 800_000, Likely: 800_000, High: 1_500_000}, {Low: 950_000, Likely: 1_000_000, High: 1_000_000},
	} {
		low, peak, high := float64(s.Low), float64(s.Likely), float64(s.High)
		const strips = 200_000
		width := (high - low) / strips
		area, next := 0.0, 1
		for k := range strips {
			x := low + (float64(k)+0.5)*width
			height := 2 / (high - low)
			switch {
			case x < peak:
				height *= (x - low) / (peak - low)
			case x > peak:
				height *= (high - x) / (high - peak)
			}
			for area += height * width; next < 10 && area >= float64(next)/10; next++ {
				at := s.At(measure.Rate(next) * measure.One / 10)
				assert.Less(t, math.Abs(float64(at)-x), 12.0, "%s at %d in 10", s.Words(), next)
			}
		}
		assert.Equal(t, 10, next)
		assert.Equal(t, s.Low, s.At(0))
		assert.Equal(t, s.High, s.At(measure.One))
	}
	assert.Equal(t, measure.Rate(1_000_000), estimate.Spread{Low: 1_000_000, Likely: 1_000_000, High: 1_000_000}.At(300_000))
}

func FuzzParseSpread(f *testing.F) {
	for _, s := range []string{"90 / 100 / 130", "97.5/100/108 %", "0/0/0", "1e9/2/3", "90,100;130"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := estimate.ParseSpread(text)
		if err != nil {
			return
		}
		again, err := estimate.ParseSpread(s.Words())
		require.NoError(t, err)
		assert.Equal(t, s, again)
		last := measure.Rate(0)
		for part := measure.Rate(0); part <= measure.One; part += measure.One / 20 {
			at := s.At(part)
			assert.True(t, at >= last && at >= s.Low && at <= s.High, "%s at %d", s.Words(), part)
			last = at
		}
	})
}
