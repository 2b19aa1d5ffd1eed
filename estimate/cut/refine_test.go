package cut

import (
	"cmp"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

var update = flag.Bool("update", false, "write the golden files anew")

// distinctPatterns counts the distinct patterns of a plan, by lengths.
func distinctPatterns(p Problem, plan Plan) int {
	seen := map[string]bool{}
	for _, b := range plan.Boards {
		var lengths []measure.Length
		for _, i := range b.Pieces {
			lengths = append(lengths, p.Pieces[i].Length)
		}
		slices.Sort(lengths)
		seen[fmt.Sprint(p.Stocks[b.Stock].Length, p.Stocks[b.Stock].Price, lengths)] = true
	}
	return len(seen)
}

func distinctLengths(p Problem) int {
	seen := map[measure.Length]bool{}
	for _, w := range p.Pieces {
		seen[w.Length] = true
	}
	return len(seen)
}

func TestFactoryEnds(t *testing.T) {
	four := []Piece{{Length: 40 * inch, Count: 4, FactoryEnd: true}, {Length: 30 * inch, Count: 4}}
	for _, c := range []struct {
		reason     string
		pieces     []Piece
		head, tail measure.Length
		stock      Stock
		atEnds     int
	}{
		// arithmetic: 2 boards of 144 take 2 x 40 and 2 x 30 each
		{"two ends a board, all four pieces", four, 0, 0, Stock{144 * inch, 1, unlimited, false}, 4},
		{"one end trimmed", four, inch, 0, Stock{144 * inch, 1, unlimited, false}, 2},
		{"the other", four, 0, inch, Stock{144 * inch, 1, unlimited, false}, 2},
		{"both", four, inch, inch, Stock{144 * inch, 1, unlimited, false}, 0},
		{"offcuts on hand have none that is known", four, 0, 0, Stock{144 * inch, 0, 2, false}, 0},
		{"no piece needs one", pieces(40*inch, 4), 0, 0, Stock{144 * inch, 1, unlimited, false}, 0},
		{"three on a board with two ends", []Piece{{Length: 40 * inch, Count: 3, FactoryEnd: true}}, 0, 0, Stock{144 * inch, 1, unlimited, false}, 2},
	} {
		p := Problem{Pieces: c.pieces, Stocks: []Stock{c.stock}, HeadTrim: c.head, TailTrim: c.tail}
		plan := Solve(p)
		check(t, p, plan)
		assert.Equal(t, c.atEnds, plan.AtFactoryEnds, c.reason)
		ends := 0
		for _, b := range plan.Boards {
			n := len(b.Pieces)
			if c.stock.Price > 0 && c.head == 0 && p.Pieces[b.Pieces[0]].FactoryEnd {
				ends++
			}
			if c.stock.Price > 0 && c.tail == 0 && n > 1 && p.Pieces[b.Pieces[n-1]].FactoryEnd {
				ends++
			}
		}
		assert.Equal(t, c.atEnds, ends, "%s: %v", c.reason, plan.Boards)
	}
}

// Pieces of one length are assigned so that those which need a factory end are on
// boards that have one.
func TestFactoryEndsAreAssigned(t *testing.T) {
	p := Problem{Stocks: []Stock{{100 * inch, 1, unlimited, false}}, Pieces: []Piece{
		{Length: 30 * inch, Count: 6}, {Length: 30 * inch, Count: 6, FactoryEnd: true},
	}}
	plan := Solve(p)
	check(t, p, plan)
	require.Len(t, plan.Boards, 4)
	assert.Equal(t, 6, plan.AtFactoryEnds, "three a board, two ends each: %v", plan.Boards)
}

func TestPairsShareABoard(t *testing.T) {
	p := Problem{Stocks: []Stock{{130 * inch, 1, unlimited, false}}, Pieces: []Piece{
		{Length: 40 * inch, Count: 1}, {Length: 40 * inch, Count: 2, Pair: true},
		{Length: 40 * inch, Count: 2, Pair: true}, {Length: 40 * inch, Count: 1},
	}}
	plan := Solve(p)
	check(t, p, plan)
	require.Len(t, plan.Boards, 2)
	for _, b := range plan.Boards {
		for _, pair := range []int{1, 2} {
			n := 0
			for _, i := range b.Pieces {
				if i == pair {
					n++
				}
			}
			assert.NotEqual(t, 1, n, "piece %d of %v", pair, b.Pieces)
		}
	}
}

func TestHeldPiecesComeLast(t *testing.T) {
	p := Problem{Stocks: []Stock{{100 * inch, 1, unlimited, false}}, Pieces: []Piece{
		{Length: 30 * inch, Count: 3, Held: true}, {Length: 30 * inch, Count: 6},
	}}
	plan := Solve(p)
	check(t, p, plan)
	require.Len(t, plan.Boards, 3)
	assert.Equal(t, []int{0, 0, 0}, plan.Boards[2].Pieces)
	q := p
	q.Pieces = []Piece{{Length: 30 * inch, Count: 3}, {Length: 30 * inch, Count: 6}}
	assert.Equal(t, Solve(q).Cost, plan.Cost, "measuring it later needs no board more")
}

// settingsOf counts the settings of the stop, from the lengths.
func settingsOf(p Problem, plan Plan) (n int) {
	for _, b := range plan.Boards {
		seen := map[measure.Length]bool{}
		for _, i := range b.Pieces {
			seen[p.Pieces[i].Length] = true
		}
		n += len(seen)
	}
	return n
}

// Generated jobs; patterns and settings for 100 lengths are what this program
// reached, and may only fall.
func TestPatternsAreFew(t *testing.T) {
	limits := map[string]struct{ patterns, settings int }{
		"new":                    {76, 350},
		"new with few lengths":   {69, 465},
		"large":                  {94, 2945},
		"retro":                  {36, 131},
		"retro at uneven prices": {49, 140},
		"rolls":                  {15, 319},
		"sticks":                 {72, 632},
	}
	for _, f := range families {
		patterns, settings, before, lengths := 0, 0, 0, 0
		for seed := range int64(f.of) {
			p := f.generate(seed)
			plan := Solve(p)
			check(t, p, plan)
			require.Equal(t, distinctPatterns(p, plan), len(plan.Patterns))
			require.Equal(t, settingsOf(p, plan), plan.StopSettings)
			patterns += len(plan.Patterns)
			settings += plan.StopSettings
			lengths += distinctLengths(p)
			plain := MinimizeCost(p).Cheapest()
			before += len(plain.Patterns)
			require.Equal(t, plain.Cost, plan.Cost)
			require.LessOrEqual(t, comparePlans(plan, plain, p.Roll), 0, "%s, seed %d", f.name, seed)
		}
		t.Logf("%s: for 100 lengths %d patterns, %d before they were reduced, and %d settings", f.name, 100*patterns/lengths,
			100*before/lengths, 100*settings/lengths)
		assert.LessOrEqual(t, 100*patterns/lengths, limits[f.name].patterns, f.name)
		assert.LessOrEqual(t, 100*settings/lengths, limits[f.name].settings, f.name)
		assert.Less(t, patterns, before, f.name)
	}
}

// Each plan is worse than the one before it, by a goal that comes later the
// better it is by all others.
func TestGoalsComeInTurn(t *testing.T) {
	boards := func(n int) []Board { return make([]Board, n) }
	patterns := func(n int) []Pattern { return make([]Pattern, n) }
	plans := []Plan{
		{Cost: 1, Boards: boards(2), Patterns: patterns(2), StopSettings: 4, AtFactoryEnds: 2, LongestOffcut: 9},
		{Cost: 1, Boards: boards(2), Patterns: patterns(2), StopSettings: 4, AtFactoryEnds: 2, LongestOffcut: 8},
		{Cost: 1, Boards: boards(2), Patterns: patterns(2), StopSettings: 4, AtFactoryEnds: 1, LongestOffcut: 99},
		{Cost: 1, Boards: boards(2), Patterns: patterns(2), StopSettings: 5, AtFactoryEnds: 3, LongestOffcut: 99},
		{Cost: 1, Boards: boards(2), Patterns: patterns(3), StopSettings: 3, AtFactoryEnds: 3, LongestOffcut: 99},
		{Cost: 1, Boards: boards(3), Patterns: patterns(1), StopSettings: 3, AtFactoryEnds: 3, LongestOffcut: 99},
		{Cost: 2, Boards: boards(1), Patterns: patterns(1), StopSettings: 1, AtFactoryEnds: 3, LongestOffcut: 99},
	}
	for i, a := range plans {
		for j, b := range plans {
			assert.Equal(t, cmp.Compare(i, j), comparePlans(a, b, false), "%d %d", i, j)
		}
	}
	assert.Negative(t, comparePlans(plans[4], plans[1], true), "of a roll, one long offcut comes before patterns")
	assert.Positive(t, comparePlans(plans[5], plans[1], true), "and after boards")
}

// Source: arithmetic.
func TestOrderOfGoals(t *testing.T) {
	for _, c := range []struct {
		reason                     string
		p                          Problem
		boards, patterns, settings int
		longest, bound             measure.Length
	}{
		{"8 of 30 in from 100 in: three, three and two",
			Problem{Pieces: pieces(30*inch, 8), Stocks: []Stock{{100 * inch, 1, unlimited, false}}}, 3, 2, 3, 40 * inch, 40 * inch},
		{"9 of 20 in from 100 in, two boards: five and four, for 20 in",
			Problem{Pieces: pieces(20*inch, 9), Stocks: []Stock{{100 * inch, 1, unlimited, false}}}, 2, 2, 2, 20 * inch, 20 * inch},
		{"8 of 20 in from 100 in: four and four are one pattern, and leave 20 in where five and three would leave 40",
			Problem{Pieces: pieces(20*inch, 8), Stocks: []Stock{{100 * inch, 1, unlimited, false}}}, 2, 1, 2, 20 * inch, 40 * inch},
		{"one board rather than two at the price of one",
			Problem{Pieces: pieces(40*inch, 2), Stocks: []Stock{{50 * inch, 1, unlimited, false}, {100 * inch, 2, unlimited, false}}}, 1, 1, 1, 20 * inch, 20 * inch},
		{"all boards alike, though boards of one length each would halve the settings",
			Problem{Pieces: pieces(50*inch, 4, 40*inch, 4), Stocks: []Stock{{100 * inch, 1, unlimited, false}}}, 4, 1, 8, 10 * inch, 20 * inch},
	} {
		plan := Solve(c.p)
		check(t, c.p, plan)
		assert.Equal(t, c.boards, len(plan.Boards), c.reason)
		assert.Equal(t, c.patterns, len(plan.Patterns), c.reason)
		assert.Equal(t, c.settings, plan.StopSettings, c.reason)
		assert.Equal(t, c.longest, plan.LongestOffcut, c.reason)
		assert.Equal(t, c.bound, plan.OffcutBound/inch*inch, c.reason)
		assert.Equal(t, plan.LongestOffcut > plan.OffcutBound-inch, plan.OffcutProven, c.reason)
	}
}

// Millimeters and eighths of an inch have a unit of 0.025 mm in common, too
// fine for 20 ft boards: plans are made on 0.1 mm, and bounds are of the exact
// lengths. Source: arithmetic
func TestCoarseGrid(t *testing.T) {
	r := rand.New(rand.NewSource(9))
	proven := 0
	for range 60 {
		p := Problem{Kerf: eighth}
		for range 3 + r.Intn(8) {
			p.Pieces = append(p.Pieces,
				Piece{Length: measure.Length(300+r.Intn(1800)) * measure.Millimeter, Count: 1 + r.Intn(4)},
				Piece{Length: measure.Length(100+r.Intn(600)) * eighth, Count: 1 + r.Intn(4)})
		}
		p.Stocks = boards(880, 1122, 1372, 1632, 1900, 2463)
		plan := Solve(p)
		check(t, p, plan)
		require.Equal(t, measure.Millimeter/10, plan.Grid)
		require.LessOrEqual(t, plan.Bound, plan.GridBound)
		require.LessOrEqual(t, plan.GridBound, plan.Cost)
		if plan.Proven {
			proven++
		}
	}
	t.Logf("%d of 60 proven on exact lengths", proven)
	assert.Greater(t, proven, 0)
}

func TestWorkIsLimited(t *testing.T) {
	p := jobs[1].problem()
	little := p
	little.Effort = 0.001
	few, all := Solve(little), Solve(p)
	check(t, little, few)
	assert.Equal(t, "work limit", few.Method)
	assert.False(t, few.Proven)
	assert.Less(t, few.Work, all.Work)
	assert.GreaterOrEqual(t, few.Cost, all.Cost)
	assert.LessOrEqual(t, few.Bound, all.Bound)
	assert.Positive(t, few.Gap())
}

// The goldens show whole plans, so that a change is seen; they are the same on
// every machine.
func TestGoldenPlans(t *testing.T) {
	for _, j := range jobs {
		p := j.problem()
		p.Pieces[0].FactoryEnd = true
		plan := Solve(p)
		check(t, p, plan)
		var b strings.Builder
		fmt.Fprintf(&b, "cost %d bound %d by %s, work %d\n", plan.Cost, plan.Bound, plan.Method, plan.Work)
		fmt.Fprintf(&b, "%d boards, %d layouts, %d visits, %d at factory ends, longest offcut %d/32 of at most %d/32\n",
			len(plan.Boards), len(plan.Patterns), plan.StopSettings, plan.AtFactoryEnds, plan.LongestOffcut*32/inch, plan.OffcutBound*32/inch)
		for _, l := range plan.Patterns {
			board := plan.Boards[l.First]
			fmt.Fprintf(&b, "%d x %d:", l.Count, p.Stocks[board.Stock].Length*32/inch)
			for _, i := range board.Pieces {
				fmt.Fprintf(&b, " %d", p.Pieces[i].Length*32/inch)
			}
			b.WriteString("\n")
		}
		file := filepath.Join("testdata", j.name+".golden")
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), b.String(), j.name)
	}
}
