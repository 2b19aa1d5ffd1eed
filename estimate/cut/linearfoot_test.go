package cut

import (
	"fmt"
	"os"
	"slices"
	"strconv"
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

// row is a line of a table, with the way to buy as a text calls it: cost above the
// lowest over all jobs and at worst, and how many jobs it leaves short.
func (c buyingRule) row(name string) string {
	short := fmt.Sprintf("%d of %d", c.short, c.jobs)
	if c.short == 0 {
		short = "none of " + strconv.Itoa(c.jobs)
	}
	slices.Sort(c.above)
	return fmt.Sprintf("%s | %+.1f %% | %+.1f %% | %s", name, 100*float64(c.cost-c.least)/float64(c.least), c.above[len(c.above)-1], short)
}

// tableText reads a text without what only lines up its tables.
func tableText(t *testing.T, file string) string {
	b, err := os.ReadFile(file)
	require.NoError(t, err)
	return strings.Join(strings.Fields(string(b)), " ")
}

// The generated house jobs of testdata/known.txt, without offcuts on hand, at
// their invented prices: README and the help on cutting show them in tables.
func TestTablesOfCutting(t *testing.T) {
	lengths := []measure.Length{8, 10, 12, 16, 20}
	fit := buyingRule{}
	rules := make([]buyingRule, len(lengths))
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
	readme, help := tableText(t, "../../README.md"), tableText(t, "../../templates/help/cutting.md")
	assert.Contains(t, readme, fit.row("by hand, longest piece first"))
	assert.Contains(t, help, fit.row("| longest first, best stock"))
	assert.Contains(t, help, fmt.Sprintf("%.2f a profile at the lowest cost", float64(fit.least)/100/float64(fit.jobs)))
	for i, feet := range lengths {
		c, name := rules[i], "the same"
		if i == 0 {
			name = "linear feet + 10 %"
		}
		row := c.row(fmt.Sprintf("| %s, all %d ft", name, feet))
		if c.short > 0 {
			row += fmt.Sprintf(", up to %d", c.most)
		}
		assert.Contains(t, help, row+" |")
		if feet == 12 || feet == 16 {
			assert.Contains(t, readme, c.row(fmt.Sprintf("linear feet + 10 %%, all %d ft", feet)))
		}
	}
}
