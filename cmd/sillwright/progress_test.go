package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestProgressLine(t *testing.T) {
	var many []string
	for i := range 40 {
		many = append(many, fmt.Sprintf("job%d.xlsx", i))
	}
	for _, c := range []struct {
		why     string
		done    int
		files   []string
		elapsed time.Duration
		want    string
	}{
		{"the first is under way", 0, many, 0, "0 of 40 done, now job0.xlsx"},
		{"too few are done to tell", 2, many, time.Minute, "2 of 40 done, now job2.xlsx"},
		{"seconds", 30, many, time.Minute, "30 of 40 done, now job30.xlsx, about 20 s left"},
		{"minutes", 10, many, time.Minute, "10 of 40 done, now job10.xlsx, about 3 min left"},
		{"few files need no forecast", 4, many[:9], time.Minute, "4 of 9 done, now job4.xlsx"},
		{"a long path is cut in front", 0, []string{strings.Repeat("deep/", 20) + "job.xlsx"}, 0,
			"0 of 1 done, now ...deep/deep/deep/deep/deep/job.xlsx"},
	} {
		assert.Equal(t, c.want, progressLine(c.done, c.files, c.elapsed), c.why)
	}
}

// The line is written over, and gone before a message is printed.
func TestProgress(t *testing.T) {
	var terminal bytes.Buffer
	clock := time.Unix(0, 0)
	p := newProgress(&terminal, func() time.Time { return clock }, []string{"a.xlsx", "b\x1b.xlsx", "c.xlsx"})
	p.show(0)
	assert.Equal(t, "0 of 3 done, now a.xlsx", terminal.String())
	p.clear()
	p.clear()
	blank := "\r" + strings.Repeat(" ", 23) + "\r"
	assert.Equal(t, "0 of 3 done, now a.xlsx"+blank, terminal.String())
	terminal.Reset()
	p.show(1)
	assert.Equal(t, `1 of 3 done, now b\x1b.xlsx`, terminal.String(), "a name does not steer the terminal")
	terminal.Reset()
	p.clear()
	p.show(3)
	assert.Equal(t, "\r"+strings.Repeat(" ", 27)+"\r", terminal.String(), "in the end nothing stands there")

	terminal.Reset()
	newProgress(&terminal, time.Now, []string{"a.xlsx"}).show(0)
	newProgress(nil, time.Now, []string{"a.xlsx", "b.xlsx"}).show(0)
	assert.Empty(t, terminal.String(), "one file, or no terminal")
}

// A batch shows each file under way at a terminal, and prints the same to stderr
// as without one.
func TestBatchShowsProgress(t *testing.T) {
	inTemp(t)
	for _, f := range []string{"a.csv", "b.csv"} {
		write(t, f, oneWindow)
	}
	var stdout, stderr, terminal bytes.Buffer
	r := estimateRun{
		schedules: batch{files: []string{"a.csv", "b.csv"}}, workers: 2,
		streams: streams{stdout: &stdout, stderr: &stderr, terminal: &terminal},
	}
	result, err := r.run()
	assert.NoError(t, err)
	assert.Equal(t, succeeded, result)
	assert.Contains(t, terminal.String(), "0 of 2 done, now a.csv")
	assert.Contains(t, terminal.String(), "1 of 2 done, now b.csv")
	assert.Equal(t, 1, strings.Count(stderr.String(), "prices of this list are invented"), "of a price list once a run: %s", stderr.String())
	assert.NotContains(t, stderr.String(), "\r")
}
