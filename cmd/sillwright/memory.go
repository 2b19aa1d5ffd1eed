package main

import (
	"runtime/debug"
	"sync"
)

// The garbage collector's settings: see SetMemoryLimit and SetGCPercent of
// runtime/debug.
const (
	// memoryLimit is the soft memory limit, in bytes: it keeps files that are
	// built to fill the memory from doing so.
	memoryLimit = 400 << 20
	// largeJobMemoryLimit holds while a job of more than largeJobOpenings is
	// worked on: close to its limit a program does little but collect garbage.
	largeJobMemoryLimit = 800 << 20
	largeJobOpenings    = 5_000
	// gcPercent was measured on estimates: less takes longer, more gains nothing.
	gcPercent = 200
)

// memory is the one of this process, as the limit is.
var memory memoryUse

// memoryUse keeps the soft memory limit at what the jobs under way need.
type memoryUse struct {
	mu        sync.Mutex
	largeJobs int // under way
}

// begin sets the limit for a job of so many openings. The job calls end when it
// is done with; further calls of end do nothing.
func (m *memoryUse) begin(openings int64) (end func()) {
	if openings <= largeJobOpenings {
		return func() {}
	}
	m.addLargeJobs(1)
	return sync.OnceFunc(func() { m.addLargeJobs(-1) })
}

// addLargeJobs counts jobs in or out, and sets the limit.
func (m *memoryUse) addLargeJobs(n int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.largeJobs += n
	limit := int64(memoryLimit)
	if m.largeJobs > 0 {
		limit = largeJobMemoryLimit
	}
	debug.SetMemoryLimit(limit)
}

// configureGC makes the settings of a process that has just begun.
func configureGC() {
	debug.SetGCPercent(gcPercent)
	memory.addLargeJobs(0)
}
