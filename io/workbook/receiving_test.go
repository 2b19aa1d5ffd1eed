package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestReceivingCells(t *testing.T) {
	assert.Equal(t, blank(tick), toFill(""), "a box to fill in")
	assert.Equal(t, str(textWrap, "left"), toFill("left"))
	w := &writer{u: unitsOf(false)}
	in := measure.Inch
	assert.Equal(t, "24 x 53-1/2; 36 x 53-1/2", w.joinedWords(estimate.Receipt{UnitSizes: []estimate.Size{{W: 24 * in, H: 53*in + in/2}, {W: 36 * in, H: 53*in + in/2}}}))
	assert.Empty(t, w.joinedWords(estimate.Receipt{}))
}
