package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Source: counted on the boards of sawn; the held head of D3 is on every
// board
func TestReservedOn(t *testing.T) {
	w, c := sawn(false)
	w.in.Plan.Purchases = []pricing.Purchase{{Item: estimate.Item{Key: "glue"}}, {Item: estimate.Item{Key: "board-1x4"}, Plans: []pricing.CutPlan{c}}}
	for _, x := range []struct {
		why  string
		hold estimate.Hold
		want string
	}{
		{"its boards", estimate.Hold{Opening: 1, Why: "not measured"}, "board-1x4, pattern 1 (2 x 16'-0\"), 2 (16'-0\"), 3 (8'-4\" on hand)"},
		{"another mark", estimate.Hold{Opening: 0, Why: "not measured"}, ""},
		{"waits for something else", estimate.Hold{Opening: 1, Why: "not delivered"}, ""},
	} {
		assert.Equal(t, x.want, w.reservedOn()[keptBack{w.in.Takeoff.Openings[x.hold.Opening].Mark, x.hold.Why}], x.why)
	}
	c.Plan.Boards[0].Pieces, c.Plan.Boards[2].Pieces = []int{0, 2}, []int{0, 3}
	assert.Equal(t, []string{"1 (16'-0\")", "3 (8'-4\" on hand)"}, w.pieces().patternsOf(c)[keptBack{"D3", "not measured"}], "only boards that carry it")
}

// A hold says what it keeps back, of its own opening and reason alone.
func TestHeldSheet(t *testing.T) {
	w := testWriter(Input{Takeoff: estimate.Takeoff{
		Openings: []estimate.Sized{{Opening: estimate.Opening{Mark: "W1", Qty: 2}}, {Opening: estimate.Opening{Mark: "D1", Qty: 1}, Order: 1}},
		Requirements: []estimate.Requirement{
			{Opening: 0, Item: "board-1x4", Dim: estimate.Lengthwise, Count: 2, Length: 60 * measure.Inch, Name: "leg", Held: "not measured"},
			{Opening: 0, Item: "glue", Held: "not measured"},
			{Opening: 0, Item: "coil", Held: "no depth"},
			{Opening: 0, Item: "foam"},
			{Opening: 1, Item: "glue", Held: "not measured"},
		},
		Holds: []estimate.Hold{{Opening: 0, What: "trim", Why: "not measured", Do: "measure it"}, {Opening: 0, What: "pan", Why: "no depth", Do: "ask"}},
	}})
	w.heldSheet(w.page("On hold"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	s := written(t, data, "On hold", "Mark")
	assert.Equal(t, []string{"W1", "2", "trim", "not measured", "measure it", "2 x leg 5'-0\", board-1x4; glue"},
		s.texts(s.header+1, "Mark", "Qty", "Item", "Reason", "Released by", "Pieces not to cut"))
	assert.Equal(t, []string{"pan", "coil"}, s.texts(s.header+2, "Item", "Pieces not to cut"))
	assert.Len(t, s.rows, s.header+2)

	w = newWriter(Input{})
	w.heldSheet(w.page("On hold"))
	data, err = w.out.Bytes()
	require.NoError(t, err)
	s = written(t, data, "On hold", "Mark")
	assert.Equal(t, s.header+1, s.find("Mark", "nothing is on hold"))
}
