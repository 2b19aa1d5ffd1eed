//go:build linux

package main

import (
	"bytes"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// permissions returns those of a file or folder.
func permissions(t testing.TB, name string) fs.FileMode {
	t.Helper()
	info, err := os.Stat(name)
	require.NoError(t, err)
	return info.Mode().Perm()
}

// New files and folders have the permissions that the umask leaves of 0666 and 0777.
func TestPermissionsFollowTheUmask(t *testing.T) {
	for umask, want := range map[int]struct{ file, folder fs.FileMode }{0o077: {0o600, 0o700}, 0o002: {0o664, 0o775}, 0: {0o666, 0o777}} {
		inTemp(t)
		before := syscall.Umask(umask)
		r := sillwright("new", "deep/job")
		syscall.Umask(before)
		require.Equal(t, exitOK, r.code, r.stderr)
		for _, folder := range []string{"deep", "deep/job"} {
			assert.Equal(t, want.folder, permissions(t, folder), "umask %o: %s", umask, folder)
		}
		for _, file := range listing(t, "deep") {
			assert.Equal(t, want.file, permissions(t, file), "umask %o: %s", umask, file)
		}
	}
}

// A file that is replaced keeps its permissions and its names.
func TestLinksAndPermissionsStay(t *testing.T) {
	inTemp(t)
	succeed(t, "new", "fresh")
	write(t, "real/sheet.xlsx", strings.Repeat("longer than what comes ", 10_000))
	write(t, "job/prices.csv", old)
	require.NoError(t, os.Symlink("../real/sheet.xlsx", "job/schedule.xlsx"))
	require.NoError(t, os.Link("job/prices.csv", "real/second.csv"))
	require.NoError(t, os.Chmod("real/sheet.xlsx", 0o640))
	require.NoError(t, os.Chmod("real/second.csv", 0o604))
	succeed(t, "new", "job", "--force")
	link, err := os.Readlink("job/schedule.xlsx")
	require.NoError(t, err)
	assert.Equal(t, "../real/sheet.xlsx", link)
	assert.Equal(t, read(t, "fresh/schedule.xlsx"), read(t, "real/sheet.xlsx"))
	assert.Equal(t, read(t, "fresh/prices.csv"), read(t, "real/second.csv"), "both names are of one file")
	assert.Equal(t, fs.FileMode(0o640), permissions(t, "real/sheet.xlsx"))
	assert.Equal(t, fs.FileMode(0o604), permissions(t, "real/second.csv"))
	assert.Empty(t, leftovers(t))
}

// A backup is open to no more users than the estimate was.
func TestBackupHasThePermissionsOfTheEstimate(t *testing.T) {
	inTemp(t)
	write(t, "kept/job-estimate.xlsx", old)
	require.NoError(t, os.Chmod("kept/job-estimate.xlsx", 0o600))
	require.NoError(t, writeFileLike("kept/job-estimate.bak.xlsx", "kept/job-estimate.xlsx", []byte(old), true))
	assert.Equal(t, fs.FileMode(0o600), permissions(t, "kept/job-estimate.bak.xlsx"))
	require.NoError(t, os.RemoveAll("kept"))
}

// Two outputs of a set that are links to one file would leave one of the two.
func TestOutputsOfOneFile(t *testing.T) {
	inTemp(t)
	write(t, "job/prices.csv", old)
	require.NoError(t, os.Symlink("prices.csv", "job/schedule.xlsx"))
	r := sillwright("new", "job", "--force")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "job/prices.csv: error: it would replace job/schedule.xlsx, an output of this run")
	assert.Equal(t, old, read(t, "job/prices.csv"))
}

// A folder in which nothing could be written is not left.
func TestNoEmptyFolderIsLeft(t *testing.T) {
	for _, args := range []string{"new deep/job", "demo deep/job", "estimate good.csv --out deep/job", "order good-estimate.xlsx --out deep/job",
		"check bad.csv --marked --out deep/job"} {
		t.Run(args, func(t *testing.T) {
			inTemp(t)
			write(t, "good.csv", oneWindow)
			write(t, "bad.csv", oneWindow+"W2,porthole,1,1,owner\n")
			succeed(t, "estimate", "good.csv")
			m := processed(t, []string{fullAfter + "=16"}, strings.Fields(args)...)
			assert.Equal(t, exitNothing, m.code, m.stderr)
			assert.Contains(t, m.stderr, "file too large")
			notWritten(t, "deep")
		})
	}
}

// The file of problems takes the place of no other output.
func TestProblemsReplaceNoOutput(t *testing.T) {
	for args, kept := range map[string]string{
		"estimate bad.csv":          "bad-estimate.xlsx",
		"estimate bad.csv --out .":  "./bad-estimate.xlsx",
		"estimate bad.csv good.csv": "estimates-index.csv",
		"check bad.csv --marked":    "bad-marked.xlsx",
	} {
		t.Run(args, func(t *testing.T) {
			inTemp(t)
			write(t, "good.csv", oneWindow)
			write(t, "bad.csv", oneWindow+"W2,porthole,1,1,owner\n")
			without := sillwright(append(strings.Fields(args), "--force")...)
			require.Equal(t, exitIncomplete, without.code, without.stderr)
			want := read(t, kept)
			r := sillwright(append(strings.Fields(args), "--force", "--problems", kept)...)
			assert.Equal(t, exitNothing, r.code)
			assert.Contains(t, r.stderr, kept+": error: not written: it would replace "+filepath.Clean(kept)+", an output of this run")
			assert.Equal(t, want, read(t, kept))
		})
	}
}

// The list of a batch that cannot be replaced is of an earlier run, which is said.
func TestStaleIndex(t *testing.T) {
	inTemp(t)
	write(t, "a.csv", oneWindow)
	write(t, "b.csv", other)
	write(t, "estimates-index.xlsx", old)
	r := sillwright("estimate", "a.csv", "b.csv")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "estimates-index.xlsx: error: it exists (--force replaces it)\n"+
		"estimates-index.xlsx: error: it does not list the estimates of this run (move it away, then run again with --force)\n")
	assert.Equal(t, old, read(t, "estimates-index.xlsx"))
	notWritten(t, "estimates-index.csv")

	require.NoError(t, os.Remove("estimates-index.xlsx"))
	write(t, "estimates-index.csv", ownPrices(t))
	r = sillwright("estimate", "a.csv", "b.csv", "--force", "--prices", "estimates-index.csv")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "estimates-index.csv: error: it is an input of this run")
	assert.Equal(t, ownPrices(t), read(t, "estimates-index.csv"))
}

// A name with a line end makes no line of its own.
func TestNamesAreEscaped(t *testing.T) {
	inTemp(t)
	const name, printed = "a\nb\x1b[31m.csv", `a\nb\x1b[31m.csv`
	write(t, name, oneWindow+"W2,porthole,1,1,owner\n")
	r := sillwright("check", name)
	assert.True(t, strings.HasPrefix(r.stdout, printed+": 1 opening"), r.stdout)
	assert.True(t, strings.HasPrefix(r.besideAsides(), printed+": line 3"), r.stderr)
	assert.Equal(t, 1, strings.Count(r.stdout, "\n"))
	r = sillwright("estimate", name)
	assert.Equal(t, 2, strings.Count(r.stdout, "\n"), r.stdout)
	r = sillwright("new", "x\ny")
	assert.True(t, strings.HasPrefix(r.stdout, `Fill in x\ny/schedule.xlsx, put your prices into x\ny/prices.csv, then:`), r.stdout)
}

// signals are those that end a process from outside.
var signals = []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP}

// TestSignals ends runs at moments of their own, and wants all outputs of a run or
// none, no temporary file and no empty folder.
func TestSignals(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "x.csv", oneWindow)
	begun := time.Now()
	require.NoError(t, program(t, "estimate", "x.csv", "--out", "whole").Run())
	took := time.Since(begun)
	whole := read(t, "whole/x-estimate.xlsx")
	when := rand.New(rand.NewPCG(3, 4))
	ended := 0
	const rounds = 4
	for round := range rounds {
		for _, s := range signals {
			require.NoError(t, os.RemoveAll("out"))
			c := program(t, "estimate", "x.csv", "--out", "out")
			require.NoError(t, c.Start())
			if delay := time.Duration(when.Int64N(int64(took))); round > 0 { // the first round ends each run as it begins
				time.Sleep(delay)
			}
			_ = c.Process.Signal(s) // it may have come to its end
			_ = c.Wait()
			if c.ProcessState.ExitCode() == exitOK {
				assert.Equal(t, whole, read(t, "out/x-estimate.xlsx"))
				continue
			}
			ended++
			status := c.ProcessState.Sys().(syscall.WaitStatus)
			assert.True(t, status.Signaled() && status.Signal() == s, "who started it sees the signal: %v", status)
			assert.Empty(t, leftovers(t))
			if exists("out") { // put in place before the signal came
				assert.Equal(t, whole, read(t, "out/x-estimate.xlsx"))
			}
		}
	}
	t.Logf("%d of %d runs of %v ended by a signal", ended, rounds*len(signals), took)
	assert.Positive(t, ended)
}

// The first signal lets a batch finish what is begun, and list it.
func TestSignalToABatch(t *testing.T) {
	t.Chdir(t.TempDir())
	args := []string{"estimate", "--jobs", "1"}
	for _, name := range []string{"a.csv", "b.csv", "c.csv", "d.csv", "e.csv", "f.csv"} {
		write(t, name, oneWindow)
		args = append(args, name)
	}
	c := program(t, args...)
	var stderr bytes.Buffer
	c.Stderr = &stderr
	require.NoError(t, c.Start())
	for !exists("a-estimate.xlsx") {
		time.Sleep(time.Millisecond)
	}
	require.NoError(t, c.Process.Signal(syscall.SIGTERM))
	_ = c.Wait()
	assert.Equal(t, exitIncomplete, c.ProcessState.ExitCode())
	assert.Contains(t, stderr.String(), "sillwright: error: interrupted: ")
	assert.Empty(t, leftovers(t))
	assert.True(t, exists("estimates-index.xlsx"))
	sound(t, "a-estimate.xlsx")
	notWritten(t, "f-estimate.xlsx")
}

// Who reads no further ends no run: its files are written, and the code says that
// what it printed is lost.
func TestOutputThatNobodyReads(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "job.csv", oneWindow)
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, reader.Close())
	c := program(t, "estimate", "job.csv")
	var stderr bytes.Buffer
	c.Stdout, c.Stderr = writer, &stderr
	_ = c.Run()
	assert.Equal(t, exitIncomplete, c.ProcessState.ExitCode())
	assert.Contains(t, stderr.String(), "sillwright: error: what it printed is lost: broken pipe\n")
	sound(t, "job-estimate.xlsx")

	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer full.Close()
	write(t, "x.csv", strings.Replace(oneWindow, ",owner", ",builder", 1))
	var stdout bytes.Buffer
	require.NotEmpty(t, sillwright("check", "x.csv").stderr)
	assert.Equal(t, exitIncomplete, run([]string{"check", "x.csv"}, strings.NewReader(""), &stdout, full), "warnings that are lost are no success")
}
