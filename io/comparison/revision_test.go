package comparison

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/audit"
	"sillwright/pricing/compare"
)

// A revision without any change, and one of nothing at all, are workbooks too.
func TestRevisionOfNothing(t *testing.T) {
	sides := comparedSides(1)
	for _, now := range []compare.Side{sides[0], {Name: "x", File: "x.xlsx"}} {
		data, err := Revision(RevisionInput{Was: sides[0], Now: now, How: "in the order named"})
		require.NoError(t, err)
		assert.Empty(t, audit.Lint(data))
	}
}
