//go:build solvers

package cut

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// endsProgram is the integer program of the most pieces at factory ends, in any
// plan of a cost on no more than so many boards. x are the boards of each pattern
// with no more waste than all boards of such a plan have together:
//
//	maximize  Σ min(2, pieces that need an end) × x + Σ y
//
// where y are pieces of a length of which only some need an end.
type endsProgram struct {
	p        Problem
	lengths  []measure.Length
	demand   []int
	wanted   []int
	patterns []pattern
}

func newEndsProgram(p Problem, cost measure.UnitPrice, boards int) *endsProgram {
	e := &endsProgram{p: p}
	var total measure.Length
	for _, w := range p.Pieces {
		i := slices.Index(e.lengths, w.Length)
		if i < 0 {
			i = len(e.lengths)
			e.lengths, e.demand, e.wanted = append(e.lengths, w.Length), append(e.demand, 0), append(e.wanted, 0)
		}
		e.demand[i] += w.Count
		if w.FactoryEnd {
			e.wanted[i] += w.Count
		}
		total += measure.Length(w.Count) * (w.Length + p.Kerf)
	}
	spare := e.totalCapacity(cost, boards) - total
	for k, s := range p.Stocks {
		e.enumerate(k, 0, s.Length+p.Kerf, spare, nil)
	}
	return e
}

// totalCapacity returns the most that boards of a cost hold.
func (e *endsProgram) totalCapacity(cost measure.UnitPrice, boards int) measure.Length {
	holds := []map[measure.UnitPrice]measure.Length{{0: 0}}
	var most measure.Length
	for n := range boards {
		next := map[measure.UnitPrice]measure.Length{}
		for c, h := range holds[n] {
			for _, s := range e.p.Stocks {
				if c+s.Price <= cost {
					next[c+s.Price] = max(next[c+s.Price], h+s.Length+e.p.Kerf)
				}
			}
		}
		holds = append(holds, next)
		most = max(most, next[cost])
	}
	return most
}

func (e *endsProgram) enumerate(stock, i int, room, spare measure.Length, entries []entry) {
	if room <= spare && len(entries) > 0 {
		e.patterns = append(e.patterns, pattern{stock, 1, slices.Clone(entries)})
	}
	for ; i < len(e.lengths); i++ {
		size := e.lengths[i] + e.p.Kerf
		for n := 1; n <= e.demand[i] && measure.Length(n)*size <= room; n++ {
			e.enumerate(stock, i+1, room-measure.Length(n)*size, spare, append(entries, entry{i, n}))
		}
	}
}

// text is the program in the LP format; maxPatterns limits how many patterns are used,
// if it is not 0.
func (e *endsProgram) text(cost measure.UnitPrice, boards, maxPatterns int) string {
	rows := make([]strings.Builder, len(e.lengths))
	var goal, price, count, used, rest, whole, binary strings.Builder
	partly := make([]strings.Builder, len(e.lengths))
	for j, p := range e.patterns {
		wanted := 0
		for _, it := range p.entries {
			fmt.Fprintf(&rows[it.item], " + %d x%d\n", it.count, j)
			if e.wanted[it.item] == e.demand[it.item] {
				wanted += it.count
			}
		}
		ends := min(2, wanted)
		fmt.Fprintf(&goal, " + %d x%d\n", ends, j)
		sum := ""
		for _, it := range p.entries {
			if w := e.wanted[it.item]; w > 0 && w < e.demand[it.item] {
				fmt.Fprintf(&goal, " + y%d_%d\n", j, it.item)
				fmt.Fprintf(&partly[it.item], " + y%d_%d\n", j, it.item)
				fmt.Fprintf(&rest, " y%d_%d - %d x%d <= 0\n", j, it.item, it.count, j)
				fmt.Fprintf(&whole, " y%d_%d\n", j, it.item)
				sum += fmt.Sprintf(" + y%d_%d", j, it.item)
			}
		}
		if sum != "" {
			fmt.Fprintf(&rest, "%s - %d x%d <= 0\n", sum, 2-ends, j)
		}
		fmt.Fprintf(&price, " + %d x%d\n", e.p.Stocks[p.stock].Price, j)
		fmt.Fprintf(&count, " + x%d\n", j)
		fmt.Fprintf(&whole, " x%d\n", j)
		if maxPatterns > 0 {
			fmt.Fprintf(&rest, " x%d - %d b%d <= 0\n", j, boards, j)
			fmt.Fprintf(&used, " + b%d\n", j)
			fmt.Fprintf(&binary, " b%d\n", j)
		}
	}
	var out strings.Builder
	fmt.Fprintf(&out, "Maximize\n goal: %sSubject To\n", &goal)
	for i := range rows {
		fmt.Fprintf(&out, "%s = %d\n", &rows[i], e.demand[i])
		if partly[i].Len() > 0 {
			fmt.Fprintf(&out, "%s <= %d\n", &partly[i], e.wanted[i])
		}
	}
	fmt.Fprintf(&out, "%s = %d\n%s <= %d\n%s", &price, cost, &count, boards, &rest)
	if maxPatterns > 0 {
		fmt.Fprintf(&out, "%s <= %d\n", &used, maxPatterns)
	}
	fmt.Fprintf(&out, "Generals\n%s", &whole)
	if maxPatterns > 0 {
		fmt.Fprintf(&out, "Binaries\n%s", &binary)
	}
	return out.String() + "End\n"
}

// The most pieces at factory ends of the plans of trims, by CBC.
func TestSolversFactoryEnds(t *testing.T) {
	for _, c := range []struct {
		trim     trim
		patterns int // 0: any number
		most     int
	}{
		{trims[0], 0, trims[0].most},
		{trims[1], 0, trims[1].most},
		{trims[1], 9, trims[1].got},
	} {
		p := c.trim.problem()
		plan := Solve(p)
		e := newEndsProgram(p, plan.Cost, len(plan.Boards))
		dir := t.TempDir()
		model, solution := filepath.Join(dir, "ends.lp"), filepath.Join(dir, "ends.sol")
		require.NoError(t, os.WriteFile(model, []byte(e.text(plan.Cost, len(plan.Boards), c.patterns)), 0o644))
		out, err := exec.Command("cbc", model, "-sec", "600", "-ratio", "0", "-solve", "-solution", solution).CombinedOutput()
		require.NoError(t, err, "%s", out)
		text, err := os.ReadFile(solution)
		require.NoError(t, err)
		verdict, _, _ := strings.Cut(string(text), "\n")
		t.Logf("%s, %d patterns: %s", c.trim.name, len(e.patterns), verdict)
		var got float64
		_, err = fmt.Sscanf(verdict, "Optimal - objective value %f", &got)
		require.NoError(t, err, verdict)
		assert.InDelta(t, c.most, max(got, -got), 1e-6, c.trim.name)
	}
}
