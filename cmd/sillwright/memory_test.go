package main

import (
	"fmt"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// limitNow returns the soft memory limit of the process.
func limitNow() int64 { return debug.SetMemoryLimit(-1) }

// The limit is raised from the first large job to the end of the last, however
// many workers begin and end them.
func TestMemoryLimitOfJobs(t *testing.T) {
	configureGC()
	small := memory.begin(largeJobOpenings)
	assert.EqualValues(t, memoryLimit, limitNow(), "a small job does not raise it")
	const jobs = 50
	ends := make(chan func(), jobs)
	var begun sync.WaitGroup
	for range jobs {
		begun.Go(func() { ends <- memory.begin(largeJobOpenings + 1) })
	}
	begun.Wait()
	close(ends)
	assert.EqualValues(t, largeJobMemoryLimit, limitNow())
	last := <-ends
	var ended sync.WaitGroup
	for end := range ends {
		ended.Go(func() { end(); end() })
	}
	small()
	ended.Wait()
	assert.EqualValues(t, largeJobMemoryLimit, limitNow(), "one is under way")
	last()
	assert.EqualValues(t, memoryLimit, limitNow())
	last()
	assert.EqualValues(t, memoryLimit, limitNow(), "an end counts once")
}

// A job raises the limit from its reading to its end, whether or not there is an
// estimate of it.
func TestMemoryLimitOfLargeJob(t *testing.T) {
	inTemp(t)
	configureGC()
	var rows strings.Builder
	rows.WriteString("Mark,Kind,Qty,Frame width,Frame height,Supplied by\n")
	for i := range 6 {
		fmt.Fprintf(&rows, "W%d,window,900,36,%d,owner\n", i, 60+i%2)
	}
	write(t, "large.csv", rows.String())
	write(t, "small.csv", oneWindow)

	j, problems := load("large.csv", nil)
	require.NotNil(t, j, "%v", problems)
	assert.EqualValues(t, largeJobMemoryLimit, limitNow())
	j.close()
	assert.EqualValues(t, memoryLimit, limitNow())

	j, _ = load("large.csv", []string{"nowhere.csv"})
	require.Nil(t, j)
	assert.EqualValues(t, memoryLimit, limitNow(), "there is no job of it")

	for _, args := range [][]string{
		{"estimate", "large.csv", "small.csv", "--jobs", "2"},
		{"order", "large-estimate.xlsx"},
		{"compare", "large-estimate.xlsx", "small-estimate.xlsx"},
	} {
		r := sillwright(args...)
		require.NotEqual(t, exitNothing, r.code, "%v: %s", args, r.stderr)
		assert.EqualValues(t, memoryLimit, limitNow(), "after %v", args)
	}
}
