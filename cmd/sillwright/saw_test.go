package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/cut"
)

// wishes is what a saw wants of plans, added up.
type wishes struct{ boards, layouts, phases, wanted, atEnds int }

func (w *wishes) add(p cut.Plan, wanted, atEnds int) {
	w.boards += len(p.Boards)
	w.layouts += len(p.Patterns)
	w.phases += p.StopSettings
	w.wanted += wanted
	w.atEnds += atEnds
}

// The plans of the demo jobs as they are bought, against the first plans of the
// same cost: never dearer, no more boards, no more layouts, as many factory ends
// at least. Phases come after layouts: boards that are cut alike have more
// lengths on each.
func TestDemoPlansSuitTheSaw(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	for _, name := range []string{"duplex", "workshop"} {
		j, problems := load("demo/"+name+".xlsx", []string{"demo/prices.csv"})
		require.NotNil(t, j, "%v", problems)
		var before, after wishes
		lengths := 0
		for _, buy := range j.plan.Purchases {
			for _, c := range buy.Plans {
				p := c.Problem
				plain := p
				plain.Pieces = slices.Clone(p.Pieces)
				wanted := 0
				for i := range plain.Pieces {
					if plain.Pieces[i].FactoryEnd {
						wanted += plain.Pieces[i].Count
						plain.Pieces[i].FactoryEnd = false
					}
				}
				first := cut.MinimizeCost(plain).Cheapest()
				require.Equal(t, first.Cost, c.Plan.Cost, buy.Item.Key)
				require.LessOrEqual(t, len(c.Plan.Boards), len(first.Boards), buy.Item.Key)
				before.add(first, wanted, byChance(p, first))
				after.add(c.Plan, wanted, c.Plan.AtFactoryEnds)
				lengths += settings(p)
			}
		}
		t.Logf("%s: %d stop settings; before %+v, after %+v", name, lengths, before, after)
		assert.LessOrEqual(t, after.layouts, before.layouts)
		assert.GreaterOrEqual(t, after.atEnds, before.atEnds)
	}
}

// byChance counts the pieces that need a factory end and lie at one.
func byChance(p cut.Problem, plan cut.Plan) (n int) {
	for _, b := range plan.Boards {
		if p.HeadTrim == 0 && p.Pieces[b.Pieces[0]].FactoryEnd {
			n++
		}
		if last := len(b.Pieces) - 1; p.TailTrim == 0 && last > 0 && p.Pieces[b.Pieces[last]].FactoryEnd {
			n++
		}
	}
	return n
}

// settings counts the stop settings of a problem: its distinct lengths.
func settings(p cut.Problem) int {
	seen := map[int64]bool{}
	for _, w := range p.Pieces {
		seen[int64(w.Length)] = true
	}
	return len(seen)
}
