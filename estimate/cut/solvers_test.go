//go:build solvers

package cut

import (
	"context"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// These tests compare with two general solvers of integer programs, which have
// to be installed: go test -tags solvers ./estimate/cut -run Solvers

// solverSeconds is what a solver may take for one problem.
const solverSeconds = 10

// reply is what a solver says of a problem. One that is not closed may still
// have a cost, of the best plan found. A closed one without a cost can not be cut.
type reply struct {
	closed, found bool
	cost          measure.UnitPrice
}

// solver is a program that reads an MPS file. read takes its solution file apart:
// the verdict and the values of the variables z0, z1 …
type solver struct {
	name, program, debian string
	arguments             func(model, solution string) []string
	read                  func(text string) (closed, found bool, stocks map[int]string)
}

var solvers = []solver{
	{
		"CBC", "cbc", "coinor-cbc",
		func(model, solution string) []string {
			return []string{model, "-sec", strconv.Itoa(solverSeconds), "-ratio", "0", "-solve", "-solution", solution}
		},
		readCBC,
	},
	{
		"GLPK", "glpsol", "glpk-utils",
		func(model, solution string) []string {
			return []string{"--mps", model, "--tmlim", strconv.Itoa(solverSeconds), "-w", solution}
		},
		readGLPK,
	},
}

// readCBC reads a first line with the verdict, then "index name value cost" for
// what is not 0, marked with ** where a bound is broken.
func readCBC(text string) (closed, found bool, stocks map[int]string) {
	verdict, lines, _ := strings.Cut(text, "\n")
	stocks = map[int]string{}
	switch {
	case strings.HasPrefix(verdict, "Optimal"):
		closed, found = true, true
	case strings.HasPrefix(verdict, "Infeasible"), strings.HasPrefix(verdict, "Integer infeasible"):
		return true, false, stocks
	case strings.Contains(verdict, "no integer solution"):
		return false, false, stocks
	default:
		found = strings.HasPrefix(verdict, "Stopped")
	}
	for line := range strings.Lines(lines) {
		fields := strings.Fields(strings.TrimPrefix(line, "**"))
		if len(fields) < 3 {
			continue
		}
		if name, ok := strings.CutPrefix(fields[1], "z"); ok {
			if i, err := strconv.Atoi(name); err == nil {
				stocks[i] = fields[2]
			}
		}
	}
	return closed, found, stocks
}

// readGLPK reads "s mip rows columns status objective" and "j column value",
// columns from 1.
func readGLPK(text string) (closed, found bool, stocks map[int]string) {
	stocks = map[int]string{}
	for line := range strings.Lines(text) {
		switch f := strings.Fields(line); {
		case len(f) >= 5 && f[0] == "s" && f[1] == "mip":
			closed, found = f[4] == "o" || f[4] == "n", f[4] == "o" || f[4] == "f"
		case len(f) >= 3 && f[0] == "j":
			if i, err := strconv.Atoi(f[1]); err == nil {
				stocks[i-1] = f[2]
			}
		}
	}
	return closed, found, stocks
}

// need fails where a solver is not installed.
func need(tb testing.TB, s solver) {
	tb.Helper()
	_, err := exec.LookPath(s.program)
	require.NoError(tb, err, "%s is needed with -tags solvers: apt-get install %s", s.program, s.debian)
}

// solve has a solver read and solve a model in a folder. The time is what the
// processor spent on it, so that other programs make it no longer.
func (s solver) solve(tb testing.TB, m arcFlow, folder string) (reply, time.Duration) {
	tb.Helper()
	model, solution := filepath.Join(folder, "model.mps"), filepath.Join(folder, s.program+".txt")
	file, err := os.Create(model)
	require.NoError(tb, err)
	require.NoError(tb, m.writeMPS(file))
	require.NoError(tb, file.Close())
	if err := os.Remove(solution); err != nil {
		require.ErrorIs(tb, err, os.ErrNotExist)
	}

	ctx, cancel := context.WithTimeout(context.Background(), 3*solverSeconds*time.Second)
	defer cancel()
	start := time.Now()
	command := exec.CommandContext(ctx, s.program, s.arguments(model, solution)...)
	said, err := command.CombinedOutput()
	late := time.Since(start) >= (solverSeconds-1)*time.Second
	if ctx.Err() != nil {
		return reply{}, solverSeconds * time.Second
	}
	require.NoError(tb, err, "%s: %s", s.name, said)
	took := command.ProcessState.UserTime() + command.ProcessState.SystemTime()
	text, err := os.ReadFile(solution)
	require.NoError(tb, err, "%s: %s", s.name, said)

	var a reply
	var bought map[int]string
	a.closed, a.found, bought = s.read(string(text))
	if !a.found {
		a.closed = a.closed && !late // CBC also says infeasible when its time runs out
		return a, took
	}
	for i, stock := range m.stocks {
		if bought[i] == "" {
			continue
		}
		value, err := strconv.ParseFloat(bought[i], 64)
		require.NoError(tb, err)
		whole := math.Round(value)
		require.InDelta(tb, whole, value, 1e-5, "%s: boards of stock %d", s.name, i)
		a.cost += measure.UnitPrice(whole) * stock.price
	}
	return a, took
}

// agree says where a plan and a reply differ.
func agree(tb testing.TB, plan Plan, a reply, name string) {
	tb.Helper()
	switch {
	case a.closed && !a.found:
		assert.NotEmpty(tb, plan.Unplaced, "%s: can not be cut", name)
	case a.closed:
		assert.Empty(tb, plan.Unplaced, name)
		assert.Equal(tb, a.cost, plan.Cost, name)
	case a.found:
		assert.LessOrEqual(tb, plan.Bound, a.cost, "%s: the bound is above a plan", name)
	}
}

// smallJob returns a job that a general solver can close: two to four stock
// lengths at uneven prices, of some only a few, kerf and end trims.
func smallJob(r *rand.Rand) Problem {
	p := Problem{Kerf: measure.Length(r.Intn(3)) * inch / 16, HeadTrim: measure.Length(r.Intn(2)) * inch / 4, TailTrim: measure.Length(r.Intn(2)) * inch / 4}
	feet := []measure.Length{8, 10, 12, 14, 16, 20}
	r.Shuffle(len(feet), func(i, j int) { feet[i], feet[j] = feet[j], feet[i] })
	cents := 80 + r.Intn(60)
	few := r.Intn(8) == 0 // of everything, so that it may not be enough
	for _, f := range feet[:2+r.Intn(3)] {
		s := Stock{f * foot, measure.UnitPrice(int(f)*cents + r.Intn(250)), unlimited, false}
		if few {
			s.Available = r.Intn(10)
		} else if r.Intn(4) == 0 {
			s.Available = r.Intn(5)
		}
		p.Stocks = append(p.Stocks, s)
	}
	if r.Intn(2) == 0 {
		p.Stocks[0] = Stock{measure.Length(26+r.Intn(60)) * inch, 0, 1 + r.Intn(3), true}
	}
	for range 4 + r.Intn(7) {
		p.Pieces = append(p.Pieces, Piece{Length: measure.Length(36+r.Intn(120)) * inch / 2, Count: 1 + r.Intn(5)})
	}
	return p
}

func TestSolversAgree(t *testing.T) {
	const of, wanted = 240, 200
	for _, s := range solvers {
		need(t, s)
	}
	closed := make([]atomic.Int32, len(solvers))
	var impossible, open atomic.Int32
	t.Run("job", func(t *testing.T) {
		for seed := range of {
			t.Run(strconv.Itoa(seed), func(t *testing.T) {
				t.Parallel()
				p := smallJob(rand.New(rand.NewSource(int64(seed))))
				plan := Solve(p)
				check(t, p, plan)
				if len(plan.Unplaced) > 0 {
					impossible.Add(1)
				} else if !plan.Proven {
					open.Add(1)
				}
				m := newArcFlow(p)
				for i, s := range solvers {
					a, _ := s.solve(t, m, t.TempDir())
					agree(t, plan, a, s.name)
					if a.closed && a.found {
						closed[i].Add(1)
					}
				}
			})
		}
	})
	for i, s := range solvers {
		t.Logf("%s closed %d of %d in %d s each", s.name, closed[i].Load(), of, solverSeconds)
		assert.GreaterOrEqual(t, int(closed[i].Load()), wanted, s.name)
	}
	t.Logf("%d can not be cut from what there is", impossible.Load())
	assert.Positive(t, impossible.Load())
	assert.Zero(t, open.Load(), "not proven")
}

// BenchmarkAgainstCBC plans every fifth of the known jobs, one after the other, and
// has CBC close them: it logs times and their ratios, and checks the costs. Ours
// is the best of three, by the clock; CBC's is the processor's.
//
//	go test -tags solvers ./estimate/cut -run '^$' -bench AgainstCBC -benchtime 1x
func BenchmarkAgainstCBC(b *testing.B) {
	cbc := solvers[0]
	need(b, cbc)
	for b.Loop() {
		start := time.Hour // what CBC takes for nothing
		for range 5 {
			_, took := cbc.solve(b, newArcFlow(Problem{Pieces: pieces(inch, 1), Stocks: stocks(inch, 1)}), b.TempDir())
			start = min(start, took)
		}
		var all []timing
		for _, f := range knownFamilies {
			var family []timing
			for i, j := range ofFamily(f.name) {
				if i%5 == 0 {
					family = append(family, compare(b, cbc, j))
				}
			}
			report(b, f.name, family, start)
			all = append(all, family...)
		}
		b.ReportMetric(report(b, "all", all, start), "median-ratio")
	}
}

// timing is that of a job. A solver that did not close it needs more than it took.
type timing struct {
	closed       bool
	theirs, ours time.Duration
}

func compare(b *testing.B, s solver, j job) timing {
	p := j.problem()
	t := timing{ours: time.Hour}
	var plan Plan
	for range 3 {
		start := time.Now()
		plan = MinimizeCost(p).Cheapest()
		t.ours = min(t.ours, time.Since(start))
	}
	a, took := s.solve(b, newArcFlow(p), b.TempDir())
	agree(b, plan, a, j.name)
	t.closed, t.theirs = a.closed, took
	return t
}

// report logs timings and returns the median ratio of those that were closed.
func report(b *testing.B, name string, list []timing, start time.Duration) float64 {
	var theirs, ours, ratios, bare, all []float64
	for _, t := range list {
		ratio := t.theirs.Seconds() / t.ours.Seconds()
		all = append(all, ratio)
		if !t.closed {
			continue
		}
		theirs = append(theirs, t.theirs.Seconds()*1000)
		ours = append(ours, t.ours.Seconds()*1000)
		ratios = append(ratios, ratio)
		bare = append(bare, max(0, t.theirs-start).Seconds()/t.ours.Seconds())
	}
	median := func(list []float64) float64 { return quantile(list, 0.5) }
	b.Logf("%s: CBC closed %d of %d in %d s each; of these median CBC %.1f ms, ours %.2f ms, median of the ratios %.0f "+
		"(quartiles %.0f and %.0f), %.0f without the %.0f ms that CBC takes to start; of all jobs above %.0f",
		name, len(theirs), len(list), solverSeconds, median(theirs), median(ours), median(ratios),
		quantile(ratios, 0.25), quantile(ratios, 0.75), median(bare), start.Seconds()*1000, median(all))
	return median(ratios)
}

// quantile returns the value below which a share of the list lies; 0 of none.
func quantile(list []float64, share float64) float64 {
	if len(list) == 0 {
		return 0
	}
	return slices.Sorted(slices.Values(list))[int(share*float64(len(list)-1))]
}
