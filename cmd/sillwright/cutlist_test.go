package main

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// TestCutListOfDemo wants each length of a profile on Cut list once, with as many
// pieces as may be cut, and nothing that is held; what is held is on the plans
// that are ordered.
func TestCutListOfDemo(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	for _, name := range []string{"duplex", "workshop"} {
		j, problems := load("demo/"+name+".xlsx", []string{"demo/prices.csv"})
		require.NotNil(t, j, "%v", problems)
		listed := open(t, "demo/"+name+"-estimate.xlsx").settings()
		held := 0
		takeoff, plan := j.shop()
		for _, buy := range plan.Purchases {
			if buy.Item.Class != "boards" {
				continue
			}
			want := map[string]int{}
			for _, c := range buy.Plans {
				for _, b := range c.Plan.Boards {
					for _, i := range b.Pieces {
						p := c.Pieces[i]
						switch {
						case p.Spare():
						case takeoff.Requirements[p.Requirement].Held != "":
							held++
						default:
							want[measure.FormatInches(p.Length, 32)]++
						}
					}
				}
			}
			if len(want) == 0 {
				assert.Empty(t, listed[buy.Item.Name])
				continue
			}
			assert.Equal(t, want, listed[buy.Item.Name], "%s: %s", name, buy.Item.Key)
		}
		assert.Positive(t, held, "some pieces wait")
	}
}

// settings returns the counts of the lengths on Cut list by the name of the item. A length that
// stands twice fails.
func (b writtenBook) settings() map[string]map[string]int {
	out, item := map[string]map[string]int{}, ""
	names := map[string]bool{}
	for _, r := range b.table("Items", "Key", "Name") {
		names[r["Name"]] = true
	}
	last := 0
	for _, c := range b.cells("Cut list") {
		if c.col == 1 && names[c.value] {
			item = c.value
		}
		if c.row == last {
			continue
		}
		last = c.row
		row := b.row("Cut list", c.row)
		n, err := strconv.Atoi(row[2])
		if err != nil || row[3] == "" {
			continue
		}
		if out[item] == nil {
			out[item] = map[string]int{}
		}
		require.NotContains(b.t, out[item], row[3], "%s: each length once", item)
		out[item][row[3]] = n
	}
	return out
}
