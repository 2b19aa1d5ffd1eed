package main

import (
	"cmp"
	"fmt"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"

	"sillwright/io/workbook"
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
	// gcPercent was measured on estimates: less takes longer, more gains nothing. Up to
	// smallJobOpenings there is little to collect, and it is done less often.
	gcPercent         = 200
	smallJobGCPercent = 250
	smallJobOpenings  = 100
)

// What a job needs at most while its estimate is written, in bytes: measured on jobs of
// 500 to 30,000 openings, with room for a busy machine, which collects garbage late.
const (
	memoryOfAny   = 280 << 20
	memoryOfRow   = 3 << 10  // of takeoff, with all that is written of it
	memoryOfFrame = 60 << 10 // a different trim frame: its card
	memoryOfDrawn = 100 << 10
	memoryOfRead  = 14 << 10 // a row of field measurements, and the pieces that it makes different
	// defaultMemory is what one job may need unless --memory says otherwise. The most
	// rows that a sheet holds stay within it.
	defaultMemory = 4 << 30
)

// jobSize is what a job's memory goes into.
type jobSize struct {
	rows     int // of takeoff
	frames   int // different trim frames
	readings int // rows of field measurements
}

// memoryNeeded returns about how many bytes an estimate takes while it is written.
func (s jobSize) memoryNeeded() int64 {
	drawn := min(s.frames, workbook.MaxDrawnFrames)
	return memoryOfAny + memoryOfRow*int64(s.rows) + memoryOfFrame*int64(s.frames) + memoryOfDrawn*int64(drawn) + memoryOfRead*int64(s.readings)
}

// String says the size in words.
func (s jobSize) String() string {
	words := fmt.Sprintf("%d rows of takeoff, %d different trim frames", s.rows, s.frames)
	if s.readings > 0 {
		words += fmt.Sprintf(", %d rows of field measurements", s.readings)
	}
	return words
}

// memory is the one of this process, as the limit is.
var memory memoryUse

// memoryUse keeps the soft memory limit at what the jobs under way need.
type memoryUse struct {
	mu        sync.Mutex
	largeJobs int   // under way
	reserved  int64 // for jobs under way, in bytes
	allowed   int64 // for one job; 0 is defaultMemory
}

// allow sets what one job may need; 0 is the default.
func (m *memoryUse) allow(n int64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.allowed = n
}

// mayUse returns what one job may need.
func (m *memoryUse) mayUse() int64 {
	m.mu.Lock()
	defer m.mu.Unlock()
	return cmp.Or(m.allowed, defaultMemory)
}

// reserve keeps the limit above what a job needs until its end, which also calls end.
func (m *memoryUse) reserve(n int64, end func()) func() {
	m.addReserved(n)
	return sync.OnceFunc(func() {
		m.addReserved(-n)
		end()
	})
}

// addReserved counts bytes in or out, and sets the limit.
func (m *memoryUse) addReserved(n int64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.reserved += n
	m.setLimit()
}

// begin sets the limit for a job of so many openings. The job calls end when it
// is done with; further calls of end do nothing.
func (m *memoryUse) begin(openings int64) (end func()) {
	if openings > smallJobOpenings {
		debug.SetGCPercent(gcPercent)
	}
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
	m.setLimit()
}

// setLimit sets the limit to what the jobs under way need.
func (m *memoryUse) setLimit() {
	limit := int64(memoryLimit)
	if m.largeJobs > 0 {
		limit = largeJobMemoryLimit
	}
	debug.SetMemoryLimit(max(limit, m.reserved))
}

// memorySize matches a size as --memory takes it.
var memorySize = regexp.MustCompile(`(?i)^([0-9]{1,6})(?:\.([0-9]))? ?(MB|GB)$`)

// parseMemory reads a size such as "900 MB" or "2.5 GB".
func parseMemory(s string) (int64, error) {
	parts := memorySize.FindStringSubmatch(strings.TrimSpace(s))
	if parts == nil {
		return 0, misuse("--memory %q is not a size (write 900 MB or 2.5 GB)", s)
	}
	unit := int64(1 << 20)
	if strings.EqualFold(parts[3], "GB") {
		unit = 1 << 30
	}
	whole, _ := strconv.ParseInt(parts[1], 10, 64) // digits
	tenths, _ := strconv.ParseInt(cmp.Or(parts[2], "0"), 10, 64)
	n := whole*unit + tenths*unit/10
	if n == 0 {
		return 0, misuse("--memory is 0 (write 900 MB or 2.5 GB)")
	}
	return n, nil
}

// sizeWords writes a size as people read it, rounded up.
func sizeWords(n int64) string {
	if n < 1<<30 {
		return fmt.Sprintf("%d MB", (n+1<<20-1)>>20)
	}
	tenths := (n*10 + 1<<30 - 1) >> 30
	return fmt.Sprintf("%d.%d GB", tenths/10, tenths%10)
}

// configureGC makes the settings of a process that has just begun.
func configureGC() {
	debug.SetGCPercent(smallJobGCPercent)
	memory.addLargeJobs(0)
}
