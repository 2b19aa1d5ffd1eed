package estimate

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestColdAcceptedByWhom(t *testing.T) {
	a, err := parseColdAccepted("foam-low, tape-9; tape-6: crew lead, 2026-11-20, maker's sheet, surface 25 F")
	require.NoError(t, err)
	assert.Equal(t, ColdAccepted{[]string{"foam-low", "tape-9", "tape-6"}, "crew lead, 2026-11-20, maker's sheet, surface 25 F"}, a)
	assert.True(t, a.Of("tape-9"))
	assert.False(t, a.Of("tape-4"))
	a, err = parseColdAccepted(" ")
	require.NoError(t, err)
	assert.False(t, a.Of("tape-9"))
	for _, s := range []string{"foam-low", "foam-low:", ": the crew", ", :the crew"} {
		_, err = parseColdAccepted(s)
		assert.ErrorContains(t, err, "and who accepts it", s)
	}
}
