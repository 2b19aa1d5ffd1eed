package learn

import (
	"math/bits"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate/measure"
)

// Source: counting. Each of n figures lies below the median or above it: of all 2^n ways
// those in which the median lies between the k-th and the k-th last.
func TestSureOf(t *testing.T) {
	for n := 1; n <= 16; n++ {
		for k := 1; 2*k <= n+1; k++ {
			inside := 0
			for way := range 1 << n {
				below := bits.OnesCount(uint(way))
				if below >= k && n-below >= k {
					inside++
				}
			}
			assert.Equal(t, measure.Rate(inside*1_000_000/(1<<n)), max(0, sureOf(n, k)), "%d of %d", k, n)
		}
	}
}

// Source: tables of the interval of a median by signs, 95 % wanted, from memory: 6 figures
// from the first to the last, 96.9 %; 10 from the second, 97.9 %; 20 from the sixth, 95.9 %.
func TestMiddleOf(t *testing.T) {
	for _, c := range []struct {
		n, k int
		sure measure.Rate
	}{{6, 1, 968_750}, {10, 2, 978_515}, {20, 6, 958_610}} {
		var figures []Value
		for i := range c.n {
			figures = append(figures, Value(10*(i+1)))
		}
		slices.Reverse(figures)
		m := MiddleOf(figures)
		assert.Equal(t, Middle{Median: Value(5 * (c.n + 1)), Low: Value(10 * c.k), High: Value(10 * (c.n + 1 - c.k)), Sure: c.sure, Jobs: c.n}, m)
		assert.True(t, slices.IsSortedFunc(figures, func(a, b Value) int { return int(b - a) }), "the figures are as they were")
	}
	assert.Equal(t, Middle{Median: 7, Low: 7, High: 7, Jobs: 1}, MiddleOf([]Value{7}))
	assert.Equal(t, measure.Rate(750_000), MiddleOf([]Value{1, 2, 3}).Sure)
}
