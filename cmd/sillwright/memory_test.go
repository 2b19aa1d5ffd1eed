package main

import (
	"fmt"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/workbook"
)

// limitNow returns the soft memory limit of the process.
func limitNow() int64 { return debug.SetMemoryLimit(-1) }

// noJobs forgets the jobs that other tests loaded and never ended.
func noJobs() {
	memory.mu.Lock()
	defer memory.mu.Unlock()
	memory.largeJobs, memory.reserved = 0, 0
	memory.setLimit()
}

// The limit is raised from the first large job to the end of the last, however
// many workers begin and end them.
func TestMemoryLimitOfJobs(t *testing.T) {
	noJobs()
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
	noJobs()
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

// What an estimate will need is told from counts, before it is priced and written: beyond what is
// allowed nothing is written, and the message says what to do.
func TestMemoryThatAJobNeeds(t *testing.T) {
	noJobs()
	inTemp(t)
	configureGC()
	// One window of builder's grade has no row more than 40, so that 300 of different sizes need more
	// than the least, and less than the default.
	var rows strings.Builder
	rows.WriteString("Mark,Kind,Frame width,Frame height,Supplied by,Status\n")
	for i := range 300 {
		fmt.Fprintf(&rows, "W%d,window,%d,%d,owner,set\n", i, 30+i%20, 40+i/20)
	}
	write(t, "many.csv", rows.String())
	r := sillwright("estimate", "many.csv", "--memory", "100 MB")
	assert.Equal(t, exitNothing, r.code)
	assert.Regexp(t, `many.csv: error: its estimate needs about 3\d\d MB of memory \(\d+ rows of takeoff, 300 different trim frames\), `+
		`more than 100 MB \(split the schedule, or allow more with estimate --memory SIZE\)`, r.stderr)
	assert.NoFileExists(t, "many-estimate.xlsx")
	assert.EqualValues(t, memoryLimit, limitNow())
	succeed(t, "estimate", "many.csv", "--memory", "1.5 gb")
	assert.FileExists(t, "many-estimate.xlsx")
	assert.EqualValues(t, memoryLimit, limitNow())

	for _, c := range []struct{ size, says string }{
		{"900", `"900" is not a size`}, {"much", `"much" is not a size`}, {"-1 GB", `"-1 GB" is not a size`}, {"0 MB", "--memory is 0"},
	} {
		r := sillwright("estimate", "many.csv", "--memory", c.size)
		assert.Equal(t, exitUsage, r.code, c.size)
		assert.Contains(t, r.stderr, c.says)
	}
}

// The formula keeps what a sheet can hold within the default, and the words round up.
func TestMemoryWords(t *testing.T) {
	assert.Less(t, jobSize{frames: 1_000, rows: workbook.MaxTakeoffRows}.memoryNeeded(), int64(defaultMemory))
	for n, words := range map[int64]string{1: "1 MB", 100 << 20: "100 MB", 1<<30 + 1: "1.1 GB", 3 << 29: "1.5 GB"} {
		assert.Equal(t, words, sizeWords(n))
	}
}
