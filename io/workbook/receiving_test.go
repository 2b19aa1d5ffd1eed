package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/audit"
)

func TestReceivingCells(t *testing.T) {
	assert.Equal(t, xlsx.Blank(xlsx.Tick), toFill(""), "a box to fill in")
	assert.Equal(t, xlsx.Str(xlsx.TextWrap, "left"), toFill("left"))
	w := &writer{u: estimate.UnitsOf(false)}
	in := measure.Inch
	a, b := estimate.Size{W: 24 * in, H: 53*in + in/2}, estimate.Size{W: 36 * in, H: 53*in + in/2}
	for _, x := range []struct {
		why   string
		sizes []estimate.Size
		want  string
	}{
		{"one unit has no list", nil, ""},
		{"left to right", []estimate.Size{a, b, a}, "24 x 53-1/2; 36 x 53-1/2; 24 x 53-1/2"},
		{"like ones side by side", []estimate.Size{a, a, b}, "2 x (24 x 53-1/2); 36 x 53-1/2"},
	} {
		assert.Equal(t, x.want, w.mulledWords(estimate.Receipt{UnitSizes: x.sizes}), x.why)
	}
	assert.Equal(t, "24 x 53-1/2", w.orderedWords(estimate.Receipt{Size: a}))
	assert.Equal(t, "24 x 53-1/2\n4-9/16 jamb depth", w.orderedWords(estimate.Receipt{Size: a, Depth: estimate.Given(4*in + 9*in16)}))
}

// The sum of openings follows the schedule; what has come is not ticked again; of the
// job's cautions those on lifting are said.
func TestReceivingSheet(t *testing.T) {
	w := clipboard(false)
	w.in.Takeoff.Openings[1].Status = "delivered"
	w.in.Book.Job.YearBuilt = estimate.Given(int64(1950))
	assert.Equal(t, "CAUTION  lift with two or more: pre-hung doors, their weight not stated (D1)", w.liftWords()[1])
	assert.Len(t, w.liftWords(), 2)
	w.receivingSheet(w.page("Receiving"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	s := written(t, data, "Receiving", "Rec'd")
	w1, d1, sum := s.find("Mark", "W1"), s.find("Mark", "D1"), s.find("Mark", "Openings")
	assert.Equal(t, []string{"", "4", "36 x 60"}, s.texts(w1, "Rec'd", "Count", "Size ordered"))
	assert.Equal(t, []string{"on site", "2", "38 x 82"}, s.texts(d1, "Rec'd", "Count", "Size ordered"))
	assert.Equal(t, []string{"", "6"}, s.texts(sum, "Rec'd", "Count")) // 4 and 2
	assert.Equal(t, "SUM("+s.at(w1, "Count")+":"+s.at(d1, "Count")+")", s.formula(sum, "Count"))
	assert.Equal(t, w.qtyCell(0), s.formula(w1, "Count"), "the count follows the schedule")
}

// A job of units that are all there has nothing to tick, and no sum.
func TestReceivingNothing(t *testing.T) {
	w := clipboard(false)
	w.in.Takeoff.Openings = nil
	w.receivingSheet(w.page("Receiving"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	s := written(t, data, "Receiving", "Rec'd")
	assert.Equal(t, s.header+1, s.find("Rec'd", "No units to receive."))
	assert.Len(t, s.rows, s.header+1)
}
