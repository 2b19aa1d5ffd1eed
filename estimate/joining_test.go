package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// Source: arithmetic; laps as in the New Zealand Metal Roof and Wall Cladding Code of
// Practice, a least part is common practice, no source
func TestJoinedPieces(t *testing.T) {
	for _, c := range []struct {
		why                         string
		length, longest, lap, least float64
		want                        []float64
	}{
		{"whole", 120, 120, 4, 24, []float64{120}},
		{"two of 10 ft lapped 4", 194, 120, 4, 24, []float64{120, 78}},
		{"the last part just long enough", 140, 120, 4, 24, []float64{120, 24}},
		{"the last part lengthened", 125, 120, 4, 24, []float64{105, 24}},
		{"a butt", 200, 120, 0, 24, []float64{120, 80}},
		{"three parts", 250, 120, 4, 24, []float64{120, 114, 24}},
		{"parts of half the length are too short", 190, 120, 4, 100, nil},
		{"no part is that long", 190, 120, 4, 130, nil},
		{"the lap takes all", 190, 4, 4, 0, nil},
	} {
		got := estimate.JoinedPieces(in(c.length), in(c.longest), in(c.lap), in(c.least))
		var want []measure.Length
		for _, l := range c.want {
			want = append(want, in(l))
		}
		assert.Equal(t, want, got, c.why)
		if len(got) > 0 {
			sum := -in(c.lap) * measure.Length(len(got)-1)
			for _, l := range got {
				sum += l
			}
			assert.Equal(t, in(c.length), sum, c.why)
		}
	}
}
