package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Two offcuts of a length are one line, the longest of an item first, short ones
// are not kept.
func TestUsefulOffcuts(t *testing.T) {
	purchases := purchasesLeaving([]measure.Length{30, 12, 50, 30, 24})
	want := []remnant{{"a", 50 * measure.Inch, 1, ""}, {"a", 30 * measure.Inch, 2, ""}, {"a", 24 * measure.Inch, 1, ""}}
	assert.Equal(t, want, usefulOffcuts(purchases, 24*measure.Inch))
}

func purchasesLeaving(inches []measure.Length) []pricing.Purchase {
	var plan cut.Plan
	for _, l := range inches {
		plan.Boards = append(plan.Boards, cut.Board{Offcut: l * measure.Inch})
	}
	return []pricing.Purchase{{Item: estimate.Item{Key: "a"}, Plans: []pricing.CutPlan{{Plan: plan}}}}
}
