package main

import (
	"context"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/workbook"
	"sillwright/io/xlsx/audit"
)

// Results are taken in order, however long each takes, and never more work at
// once than there are workers.
func TestInOrder(t *testing.T) {
	for _, workers := range []int{1, 2, 7, 100} {
		var running, most atomic.Int64
		var taken []int
		n := inOrder(context.Background(), 40, workers, func(i int) int {
			now := running.Add(1)
			for old := most.Load(); now > old && !most.CompareAndSwap(old, now); old = most.Load() {
			}
			time.Sleep(time.Duration(rand.Intn(300)) * time.Microsecond)
			running.Add(-1)
			return i * i
		}, func(i, v int) {
			assert.Equal(t, i*i, v)
			taken = append(taken, i)
		})
		assert.Equal(t, 40, n)
		assert.True(t, slices.IsSorted(taken) && len(taken) == 40)
		assert.LessOrEqual(t, most.Load(), int64(workers))
	}
	assert.Zero(t, inOrder(context.Background(), 0, 3, func(int) int { return 0 }, func(int, int) { t.Error("nothing is taken") }))
}

// What was begun is finished and taken; nothing is begun after an interrupt.
func TestInOrderInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var begun atomic.Int64
	var taken []int
	n := inOrder(ctx, 100, 3, func(i int) int {
		begun.Add(1)
		switch {
		case i == 10:
			cancel()
		case i > 10:
			<-ctx.Done()
		}
		return i
	}, func(i, _ int) { taken = append(taken, i) })
	assert.Equal(t, len(taken), n)
	assert.Equal(t, int(begun.Load()), n, "all that was begun is taken")
	assert.GreaterOrEqual(t, n, 11)
	assert.LessOrEqual(t, n, 11+2+1, "what two workers had begun, and one that was being handed over")
}

// A batch says and writes the same whatever the number of workers; one bad job
// costs that job.
func TestBatchIsTheSameForAnyJobs(t *testing.T) {
	inTemp(t)
	write(t, "prices.csv", ownPrices(t))
	for i := range 9 {
		schedule := strings.ReplaceAll(twoWindows, ",36,", fmt.Sprintf(",%d,", 30+i))
		if i == 4 {
			schedule = "Mark,Kind,Frame width\nW1,window,x\n"
		}
		if i == 6 {
			schedule = "no schedule\n"
		}
		write(t, fmt.Sprintf("year/job%d.csv", i), schedule)
	}
	var files []string
	for i := range 9 {
		files = append(files, fmt.Sprintf("year/job%d.csv", i))
	}
	var first ran
	for k, jobs := range []string{"1", "2", "8"} {
		args := append([]string{"estimate", "--prices", "prices.csv", "--jobs", jobs, "--out", "out" + jobs, "--problems", "out" + jobs + ".csv"}, files...)
		r := sillwright(args...)
		assert.Equal(t, exitIncomplete, r.code)
		if k == 0 {
			first = r
			continue
		}
		assert.Equal(t, first.stdout, r.stdout)
		assert.Equal(t, strings.ReplaceAll(first.stderr, "out1", "out"+jobs), r.stderr)
		assert.Equal(t, read(t, "out1.csv"), read(t, "out"+jobs+".csv"))
		was, now := listing(t, "out1"), listing(t, "out"+jobs)
		require.Equal(t, len(was), len(now))
		for i := range was {
			assert.Equal(t, read(t, was[i]), read(t, now[i]), now[i])
		}
	}
	sound(t, "out1/estimates-index.xlsx")
	b := open(t, "out1/estimates-index.xlsx")
	rows := b.table("Estimates", "Schedule", "Estimate", "Total")
	require.Len(t, rows, 10, "nine jobs, and the sum")
	assert.Equal(t, "job0-estimate.xlsx", rows[0]["Estimate"])
	assert.Equal(t, "not written", rows[6]["Estimate"])
	assert.Equal(t, sum(t, rows[:9], "Total"), cents(t, rows[9]["Total"]))
	assert.Contains(t, read(t, "out1.csv"), "job4.csv")
}

func TestIndexOfSeveralCurrencies(t *testing.T) {
	data, err := workbook.Index([]workbook.IndexRow{
		{Schedule: "a.xlsx", Estimate: "a-estimate.xlsx", Currency: "USD", Total: 100},
		{Schedule: "b.xlsx", Estimate: "b b-estimate.xlsx", Currency: "CAD", Total: 200},
	})
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	write(t, t.TempDir()+"/index.xlsx", string(data))
}

// A file of problems that cannot be written costs the exit code, and nothing
// that was written.
func TestProblemsNotWritten(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	for _, command := range []string{"check", "estimate"} {
		for _, c := range []struct{ shows, file, says string }{
			{"no such folder", "nowhere/found.csv", "nowhere/found.csv: error: not written: no such file or directory\n"},
			{"an input", "job.csv", "job.csv: error: not written: it is an input of this run"},
		} {
			r := sillwright(command, "job.csv", "--force", "--problems", c.file)
			assert.Equal(t, exitNothing, r.code, "%s: %s", command, c.shows)
			assert.True(t, strings.Contains(r.stderr, "\n"+c.says), "%s: %s: %s", command, c.shows, r.stderr)
			assert.Contains(t, r.stdout, "job", "%s: %s: the rest is printed", command, c.shows)
			assert.Equal(t, oneWindow, read(t, "job.csv"))
		}
	}
	sound(t, "job-estimate.xlsx")
}

// The file of problems holds what is reported, and never takes the place of an
// input.
func TestProblemsAsCSV(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", "Mark,Kind,Frame width,Frame height\n=W1,window,wide,60\n")
	r := sillwright("check", "job.csv", "--problems", "found.csv")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	lines := strings.Split(strings.TrimSpace(read(t, "found.csv")), "\n")
	assert.Equal(t, "file,sheet,cell,row,column,severity,what,do", lines[0])
	assert.Len(t, lines, 1+strings.Count(r.stderr, "\n"))
	assert.NotContains(t, read(t, "found.csv"), "\n=")
	before := read(t, "job.csv")
	r = sillwright("check", "job.csv", "--problems", "job.csv", "--force")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "inputs are never overwritten")
	assert.Equal(t, before, read(t, "job.csv"))
	assert.Contains(t, sillwright("check", "job.csv", "--problems", "found.csv").stderr, "--force")
}
