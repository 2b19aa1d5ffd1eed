package cut

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// boardsByLinearFoot is what buying boards of one length by the linear foot comes to: the
// sum of the pieces and a tenth more, in whole boards. Source: the allowance of
// ten percent is common practice, no source
func boardsByLinearFoot(p Problem, stock measure.Length) int {
	total := measure.Length(0)
	for _, w := range p.Pieces {
		total += w.Length * measure.Length(w.Count)
	}
	return int(measure.CeilDiv(int64(total)*11, int64(stock)*10))
}

// buyingRule is a way to buy, over many jobs.
type buyingRule struct {
	name        string
	jobs, short int // of those that it can be used for, how many it leaves short
	most        int // boards short
	cost, least measure.UnitPrice
	above       []float64 // percent, of each job
}

func (c *buyingRule) add(cost, least measure.UnitPrice, short int) {
	c.jobs++
	c.cost, c.least = c.cost+cost, c.least+least
	c.above = append(c.above, 100*float64(cost-least)/float64(least))
	if short > 0 {
		c.short, c.most = c.short+1, max(c.most, short)
	}
}

// row is a line of the table in README.
func (c buyingRule) row() string {
	short := fmt.Sprintf("%d of %d, by up to %d", c.short, c.jobs, c.most)
	if c.short == 0 {
		short = fmt.Sprintf("none of %d", c.jobs)
	}
	slices.Sort(c.above)
	return fmt.Sprintf("| %s | %+.1f %% | %+.1f %% | %s |", c.name, 100*float64(c.cost-c.least)/float64(c.least), c.above[len(c.above)-1], short)
}

// The generated house jobs of testdata/known.txt, without offcuts on hand, at
// their invented prices: the README shows the table.
func TestTableOfREADME(t *testing.T) {
	lengths := []measure.Length{8, 10, 12, 16, 20}
	fit := buyingRule{name: "longest piece first, best stock lengths, by hand"}
	rules := make([]buyingRule, len(lengths))
	for i, feet := range lengths {
		rules[i].name = fmt.Sprintf("linear feet + 10 %%, all %d ft", feet)
	}
	for _, j := range known {
		if j.family() != "new" {
			continue
		}
		p := j.problem()
		p.Stocks = slices.DeleteFunc(p.Stocks, func(s Stock) bool { return s.Price == 0 })
		best := MinimizeCost(p).Cheapest()
		require.True(t, best.Proven, j.name)
		fit.add(best.FirstFitCost, best.Cost, 0)
		for i, feet := range lengths {
			at := slices.IndexFunc(p.Stocks, func(s Stock) bool { return s.Length == feet*foot })
			if at < 0 {
				continue // not sold at this yard
			}
			only := p
			only.Stocks = p.Stocks[at : at+1]
			one := Solve(only)
			if len(one.Unplaced) > 0 {
				continue // the rule says nothing of a piece longer than the stock
			}
			require.True(t, one.Proven)
			n := boardsByLinearFoot(p, feet*foot)
			rules[i].add(measure.UnitPrice(n)*p.Stocks[at].Price, best.Cost, len(one.Boards)-n)
		}
	}
	rows := []string{fit.row()}
	for _, c := range rules {
		rows = append(rows, c.row())
	}
	table := strings.Join(rows, "\n")
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	assert.True(t, strings.Contains(string(readme), table), "README has another table than\n%s", table)
	t.Logf("%d profiles, %.2f a profile at least cost\n%s", fit.jobs, float64(fit.least)/100/float64(fit.jobs), table)
}
