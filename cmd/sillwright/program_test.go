//go:build linux

package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The test binary is the program itself when the environment says so: faults
// and hostile files want a process of its own, to be measured and killed.
const (
	asProgram = "SILLWRIGHT_TEST_PROGRAM" // any value: be the program
	peakFile  = "SILLWRIGHT_TEST_PEAK"    // file for the most memory used, in kB
	fullAfter = "SILLWRIGHT_TEST_FULL"    // bytes after which any file is full
	dataLimit = "SILLWRIGHT_TEST_DATA"    // bytes of memory that the system gives at most
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) == "" {
		os.Exit(inTwo(m))
	}
	if limit, err := strconv.ParseUint(os.Getenv(fullAfter), 10, 64); err == nil {
		fillDisk(limit)
	}
	if limit, err := strconv.ParseUint(os.Getenv(dataLimit), 10, 64); err == nil {
		if err := syscall.Setrlimit(syscall.RLIMIT_DATA, &syscall.Rlimit{Cur: limit, Max: limit}); err != nil {
			panic(err)
		}
	}
	code := run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if name := os.Getenv(peakFile); name != "" {
		if err := os.WriteFile(name, []byte(peakMemory()), 0o600); err != nil {
			panic(err)
		}
	}
	os.Exit(code)
}

// besides are the tests of a second process. Nearly all tests change the working folder,
// so that a process runs them one by one; these take about half of the time.
const besides = `^(TestEditedEstimate|TestHostileFiles|TestHouses|TestJobs|TestKilled|TestLeftEdits|TestMemoryOf\w+|TestOlderFiles)$`

// inTwo runs all tests in two processes at once; of a choice of tests it is Run.
func inTwo(m *testing.M) int {
	flag.Parse()
	for _, name := range []string{"run", "skip", "list", "bench", "fuzz", "cpuprofile", "memprofile", "coverprofile"} {
		if flag.Lookup("test."+name).Value.String() != "" {
			return m.Run()
		}
	}
	// What the second process reads, go test does not know: a result is never kept.
	_, _ = os.Stat("/proc/uptime")
	args := slices.DeleteFunc(slices.Clone(os.Args[1:]), func(a string) bool { return strings.HasPrefix(a, "-test.testlogfile=") })
	second := exec.Command(os.Args[0], append(args, "-test.run="+besides)...)
	var said bytes.Buffer
	second.Stdout, second.Stderr = &said, &said
	if err := second.Start(); err != nil {
		panic(err)
	}
	if err := flag.Set("test.skip", besides); err != nil {
		panic(err)
	}
	code := m.Run()
	if err := second.Wait(); err != nil {
		code = max(code, 1)
	}
	fmt.Print(said.String())
	return code
}

// peakMemory is the most memory that this process held, in kB. The system's
// account of a child (ru_maxrss) is no measure: a child begins with the
// parent's peak.
func peakMemory() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		panic(err)
	}
	_, peak, _ := strings.Cut(string(status), "VmHWM:")
	return strings.Fields(peak)[0]
}

// maxTime ends a run that hangs.
const maxTime = 2 * time.Minute

// program returns a call of the program in a process of its own.
func program(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(t.Context(), maxTime)
	t.Cleanup(cancel)
	c := exec.CommandContext(ctx, self, args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	return c
}

// measured is what a process left behind.
type measured struct {
	ran
	peak int // kB
	time time.Duration
}

// processed runs the program in a process of its own.
func processed(t testing.TB, env []string, args ...string) measured {
	t.Helper()
	return processedIn(t, ".", env, args...)
}

// processedIn is processed in a folder.
func processedIn(t testing.TB, dir string, env []string, args ...string) measured {
	t.Helper()
	peak := t.TempDir() + "/peak"
	c := program(t, args...)
	c.Dir = dir
	c.Env = append(append(c.Env, peakFile+"="+peak), env...)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	begun := time.Now()
	err := c.Run()
	m := measured{ran{c.ProcessState.ExitCode(), stdout.String(), stderr.String()}, 0, time.Since(begun)}
	if _, exited := err.(*exec.ExitError); !exited {
		require.NoError(t, err)
	}
	require.NotContains(t, m.stderr, "goroutine ", "a panic")
	data, err := os.ReadFile(peak)
	require.NoError(t, err, "the process did not come to its end: %s", m.stderr)
	m.peak, err = strconv.Atoi(string(data))
	require.NoError(t, err)
	return m
}

// fillDisk makes every file of this process full after so many bytes, as a
// full disk would: the write fails half way.
func fillDisk(limit uint64) {
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: limit, Max: limit}); err != nil {
		panic(err)
	}
}
