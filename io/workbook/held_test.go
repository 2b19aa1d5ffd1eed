package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
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
		{"its boards", estimate.Hold{Opening: 1, Why: "not measured"}, "board-1x4 layout 1 (2 x 16'-0\"), 2 (16'-0\"), 3 (8'-4\" on hand)"},
		{"another mark", estimate.Hold{Opening: 0, Why: "not measured"}, ""},
		{"waits for something else", estimate.Hold{Opening: 1, Why: "not delivered"}, ""},
	} {
		assert.Equal(t, x.want, w.reservedOn()[keptBack{x.hold.Opening, x.hold.Why}], x.why)
	}
	c.Plan.Boards[0].Pieces, c.Plan.Boards[2].Pieces = []int{0, 2}, []int{0, 3}
	assert.Equal(t, []string{"1 (16'-0\")", "3 (8'-4\" on hand)"}, w.layoutsOf(c)[keptBack{1, "not measured"}], "only boards that carry it")
}
