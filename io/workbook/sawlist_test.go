package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// Two boards cut alike and one other; a held head and a spare stay whole. Source:
// arithmetic
func TestSawProfile(t *testing.T) {
	in := measure.Inch
	w := &writer{u: unitsOf(false)}
	w.in.Takeoff = estimate.Takeoff{
		Openings:     []estimate.Sized{{Opening: estimate.Opening{Mark: "W1"}}, {Opening: estimate.Opening{Mark: "D3"}}},
		Requirements: []estimate.Requirement{{Name: "leg"}, {Name: "head", Held: "not measured"}, {Name: "leg"}},
	}
	c := pricing.CutPlan{
		Pieces: []pricing.CutPiece{
			{Requirement: 0, Opening: 0, Length: 63 * in, Count: 3}, {Requirement: 1, Opening: 1, Length: 40 * in, Count: 2},
			{Requirement: 2, Opening: 1, Length: 63 * in, Count: 1}, {Requirement: -1, Opening: -1, Length: 63 * in, Count: 1},
		},
		Problem: cut.Problem{
			Pieces: []cut.Piece{{Length: 63 * in, Count: 3, Factory: true}, {Length: 40 * in, Count: 2}, {Length: 63 * in, Count: 1}, {Length: 63 * in, Count: 1}},
			Stocks: []cut.Stock{{Length: 144 * in, Price: 1, Available: -1}},
		},
		Plan: cut.Plan{
			Boards:  []cut.Board{{Pieces: []int{0, 0}}, {Pieces: []int{0, 2}}, {Pieces: []int{3, 1}}, {Pieces: []int{1}}},
			Layouts: []cut.Layout{{First: 0, Count: 2}, {First: 2, Count: 1}, {First: 3, Count: 1}},
			AtEnds:  3,
		},
	}
	p := w.sawProfile(c)
	assert.Len(t, p.settings, 1, "each length once; what is held is not there")
	s := p.settings[0]
	assert.Equal(t, []any{63 * in, "63", 4, 3}, []any{s.length, s.words, s.count, s.factory})
	assert.Equal(t, "3 W1 leg, D3 leg", s.labelWords())
	assert.Equal(t, "1: 4", layoutWords(s.boards))
	assert.Equal(t, []string{"40 for D3 head, held", "40 for D3 head, held", "63 spare"}, p.whole)
	assert.Equal(t, "2 x 40 for D3 head, held, 63 spare", countedWords(p.whole))
	assert.Equal(t, "Fetch 4 x 12'-0\".", w.fetchWords(c))
	assert.Equal(t, "Settings of the stop: 1, for 4 pieces; 3 stay whole; saw cut 0; 3 of 3 feet get a factory end, prime the others and every other cut.", sawWords(w.u, c, p))
}

func TestBoardsComeFirst(t *testing.T) {
	plans := []pricing.CutPlan{{}}
	list := boardsFirst([]pricing.Purchase{
		{Item: estimate.Item{Key: "strip", Class: "strip"}, Plans: plans}, {Item: estimate.Item{Key: "glue"}},
		{Item: estimate.Item{Key: "board", Class: "boards"}, Plans: plans},
	})
	assert.Equal(t, []string{"board", "strip"}, []string{list[0].Item.Key, list[1].Item.Key})
}
