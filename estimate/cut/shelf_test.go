package cut

import (
	"cmp"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

func TestShelves(t *testing.T) {
	// common practice, no source: strips 3-3/4 in wide for head flashing, six across a
	// coil of 24 in: floor(24 / 3.75).
	strips := []Strip{
		{Length: 40 * inch, Width: 15 * inch / 4, Count: 7},
		{Length: 74 * inch, Width: 15 * inch / 4, Count: 2},
		{Length: 30 * inch, Width: 25 * inch, Count: 1},
		{Length: 30 * inch, Width: 9 * inch, Count: 2},
		{Length: 0, Width: inch, Count: 5},
	}
	shelves, short := Shelves(strips, 24*inch)
	assert.Equal(t, []int{2}, short, "wider than the coil")
	assert.Equal(t, []Shelf{
		{74 * inch, []int{1, 1, 0, 0, 0, 0}, 3 * inch / 2},
		{40 * inch, []int{0, 0, 0, 3}, 15 * inch / 4},
		{30 * inch, []int{3}, 15 * inch},
	}, shelves)

	shelves, short = Shelves([]Strip{{inch, inch, MaxPieces, ""}, {inch, inch, 1, ""}, {inch, 0, 1, ""}}, 24*inch)
	assert.Empty(t, shelves)
	assert.Equal(t, []int{0, 1}, short, "more than MaxPieces")
}

func TestRandomShelves(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for range 2000 {
		width := measure.Length(12+r.Intn(25)) * inch
		var strips []Strip
		for range 1 + r.Intn(8) {
			strips = append(strips, Strip{measure.Length(20+r.Intn(120)) * inch, measure.Length(1+r.Intn(30)) * inch, r.Intn(9), ""})
		}
		shelves, short := Shelves(strips, width)
		laid := make([]int, len(strips))
		for _, s := range shelves {
			across := s.Rest
			for _, i := range s.Strips {
				laid[i]++
				across += strips[i].Width
				require.LessOrEqual(t, strips[i].Length, s.Length)
			}
			require.Equal(t, width, across)
			require.GreaterOrEqual(t, s.Rest, measure.Length(0))
			require.Equal(t, strips[s.Strips[0]].Length, s.Length)
		}
		for i, s := range strips {
			if s.Width > width && s.Count > 0 {
				require.Contains(t, short, i)
				require.Zero(t, laid[i])
			} else {
				require.Equal(t, s.Count, laid[i])
			}
		}
		require.True(t, slices.IsSortedFunc(shelves, func(a, b Shelf) int { return cmp.Compare(b.Length, a.Length) }))
	}
}
