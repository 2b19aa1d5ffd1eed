package main

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// progress shows a person at a terminal how far a batch is, in one line that is
// written over and over.
type progress struct {
	terminal io.Writer // nil: nothing is shown
	now      func() time.Time
	files    []string
	begun    time.Time
	width    int // of the line that stands there
}

// newProgress begins to count the time. A single file has no progress.
func newProgress(terminal io.Writer, now func() time.Time, files []string) *progress {
	p := &progress{now: now, files: files, begun: now()}
	if len(files) > 1 {
		p.terminal = terminal
	}
	return p
}

// show shows that so many files are done, the first ones.
func (p *progress) show(done int) {
	if p.terminal == nil || done >= len(p.files) {
		return
	}
	line := escapeControls(progressLine(done, p.files, p.now().Sub(p.begun)))
	p.clear()
	fmt.Fprint(p.terminal, line)
	p.width = utf8.RuneCountInString(line)
}

// clear takes the line away, so that messages stand alone.
func (p *progress) clear() {
	if p.width > 0 {
		fmt.Fprint(p.terminal, "\r"+strings.Repeat(" ", p.width)+"\r")
		p.width = 0
	}
}

const (
	// manyFiles is from how many on the time left is told.
	manyFiles = 10
	// surely is how many must be done before it is: the first few tell little.
	surely = 3
	// longestName keeps the line on one row of a terminal.
	longestName = 36
)

// progressLine says how many files are done, which is under way, and, when they
// are many, how long the others take at the pace so far.
func progressLine(done int, files []string, elapsed time.Duration) string {
	name := files[done]
	if n := []rune(name); len(n) > longestName {
		name = "..." + string(n[len(n)-longestName+3:])
	}
	line := fmt.Sprintf("%d of %d done, now %s", done, len(files), name)
	if len(files) < manyFiles || done < surely {
		return line
	}
	left := elapsed / time.Duration(done) * time.Duration(len(files)-done)
	if left < time.Minute {
		return fmt.Sprintf("%s, about %d s left", line, int(left.Round(time.Second).Seconds()))
	}
	return fmt.Sprintf("%s, about %d min left", line, int(left.Round(time.Minute).Minutes()))
}
