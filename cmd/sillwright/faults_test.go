//go:build linux

package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/audit"
)

// other is a schedule whose estimate differs from that of oneWindow.
var other = strings.ReplaceAll(oneWindow, "W1", "X1")

const old = "what was there"

// anEstimate puts an estimate where that of good.csv is written.
func anEstimate(t *testing.T) {
	t.Helper()
	write(t, "before/good.csv", other)
	succeed(t, "estimate", "before/good.csv", "--out", "out")
}

// faults are what can go wrong with outputs. The run is of good.csv into the
// folder out, unless args say something else.
var faults = []struct {
	shows  string
	place  func(t *testing.T) // what is there before
	env    []string
	args   string
	code   int
	says   string
	target string // whose content stays; "" for none
}{
	{"the target is a folder", func(t *testing.T) { write(t, "out/good-estimate.xlsx/kept.txt", old) }, nil, "", exitNothing,
		"out/good-estimate.xlsx: error: it is a folder (choose another --out", "out/good-estimate.xlsx/kept.txt"},
	{"the target is read-only", func(t *testing.T) {
		write(t, "out/good-estimate.xlsx", old)
		require.NoError(t, os.Chmod("out/good-estimate.xlsx", 0o444))
	}, nil, "", exitNothing, "out/good-estimate.xlsx: error: it is read-only, so it stays", "out/good-estimate.xlsx"},
	{"the target is a device", func(t *testing.T) {
		require.NoError(t, os.MkdirAll("out", 0o755))
		require.NoError(t, os.Symlink("/dev/null", "out/good-estimate.xlsx"))
	}, nil, "", exitNothing, "it is not an ordinary file (choose another --out", ""},
	{"the target is a link to nothing", func(t *testing.T) {
		require.NoError(t, os.MkdirAll("out", 0o755))
		require.NoError(t, os.Symlink("nowhere", "out/good-estimate.xlsx"))
	}, nil, "estimate good.csv --out out", exitNothing, "out/good-estimate.xlsx: error: it is a link to a file that is not there (remove the link, or choose another --out)", ""},
	{"the target is there, without --force", func(t *testing.T) { write(t, "out/good-estimate.xlsx", old) }, nil, "estimate good.csv --out out", exitNothing,
		"it exists (--force replaces it)", "out/good-estimate.xlsx"},
	{"the folder is a file", func(t *testing.T) { write(t, "out", old) }, nil, "", exitNothing, "out: error: not a directory", "out"},
	{"the folder takes no files", func(*testing.T) {}, nil, "estimate good.csv --out /proc/self --force", exitNothing,
		"/proc/self/good-estimate.xlsx: error: not written", ""},
	{"the name is too long with its ending", func(t *testing.T) { write(t, strings.Repeat("n", 245)+".csv", oneWindow) }, nil,
		"estimate " + strings.Repeat("n", 245) + ".csv --force", exitNothing, "file name too long", ""},
	{"the disk is full at once", anEstimate, []string{fullAfter + "=16"}, "", exitNothing,
		"out/good-estimate.xlsx: error: not written: file too large", "out/good-estimate.xlsx"},
	{"the disk is full half way", anEstimate, []string{fullAfter + "=65536"}, "", exitNothing,
		"out/good-estimate.xlsx: error: not written: file too large", "out/good-estimate.xlsx"},
	{"the disk is full when an order is written", func(t *testing.T) {
		succeed(t, "estimate", "good.csv", "--out", "out")
		write(t, "out/good-order-north-yard-invented.csv", old)
	}, []string{fullAfter + "=4096"}, "order out/good-estimate.xlsx --force", exitNothing, "file too large", "out/good-order-north-yard-invented.csv"},
	{"the disk is full when the second of two files of new is written",
		func(t *testing.T) { write(t, "job/schedule.xlsx", old); write(t, "job/prices.csv", old) }, []string{fullAfter + "=32768"}, "new job --force",
		exitNothing, "job/schedule.xlsx: error: file too large", "job/prices.csv"},
	{"the disk is full when a plan is written", func(t *testing.T) { write(t, "plan.xlsx", old) }, []string{fullAfter + "=512"},
		"cut pieces.csv --stock stock.csv --out plan.xlsx --force", exitNothing, "plan.xlsx: error: not written: file too large", "plan.xlsx"},
	{"the disk is full when a schedule is imported", func(t *testing.T) { write(t, "new.xlsx", old) }, []string{fullAfter + "=512"},
		"import theirs.csv --basis frame --out new.xlsx --force", exitNothing, "new.xlsx: error: not written: file too large", "new.xlsx"},
	{"the disk is full when a copy is marked", func(t *testing.T) { write(t, "bad-marked.xlsx", old) }, []string{fullAfter + "=512"},
		"check bad.csv --marked --force", exitNothing, "bad-marked.xlsx: error: not written: file too large", "bad-marked.xlsx"},
	{"the plan would replace the pieces", func(*testing.T) {}, nil, "cut pieces.csv --stock stock.csv --out ./pieces.csv --force", exitNothing,
		"it is an input of this run", ""},
	{"the plan would replace the stock by a link", func(t *testing.T) { require.NoError(t, os.Symlink("stock.csv", "plan.csv")) }, nil,
		"cut pieces.csv --stock stock.csv --out plan.csv --force", exitNothing, "it is an input of this run", ""},
	{"the schedule would replace the list it is imported from", func(*testing.T) {}, nil, "import theirs.csv --basis frame --out ./theirs.csv --force",
		exitNothing, "it is an input of this run", ""},
	{"the list has a second name, that of the schedule", func(t *testing.T) { require.NoError(t, os.Link("theirs.csv", "new.xlsx")) }, nil,
		"import theirs.csv --basis frame --out new.xlsx --force", exitNothing, "it is an input of this run", ""},
	{"the marked copy would replace a schedule of the run", func(t *testing.T) { write(t, "bad-marked.xlsx", other) }, nil,
		"check bad.csv bad-marked.xlsx --marked --force", exitIncomplete, "it is an input of this run", ""},
	{"an order would replace an estimate of the run", func(t *testing.T) {
		succeed(t, "estimate", "good.csv", "--out", ".")
		write(t, "more.csv", other)
		succeed(t, "estimate", "more.csv")
		require.NoError(t, os.Rename("more-estimate.xlsx", "good-and-1-more-order-north-yard-invented.xlsx"))
	}, nil, "order good-estimate.xlsx good-and-1-more-order-north-yard-invented.xlsx --force", exitNothing, "it is an input of this run", ""},
	{"two schedules would write one estimate, its path written two ways", func(t *testing.T) {
		require.NoError(t, os.Symlink(".", "here"))
		write(t, "good.xlsx", other)
	}, nil, "estimate good.csv here/good.xlsx --force", exitIncomplete, "here/good.xlsx: error: its estimate would replace that of good.csv", ""},
	{"one job of three is no table", func(t *testing.T) { write(t, "noise.xlsx", "PK\x03\x04") }, nil, "estimate good.csv noise.xlsx other.csv --out out",
		exitIncomplete, "noise.xlsx: error: the workbook is cut short", ""},
	{"no folder for temporary files", func(*testing.T) {}, []string{"TMPDIR=/nowhere"}, "", exitOK, "good-estimate.xlsx", ""},
}

// TestFaults wants the old file whole, no temporary file left, no input
// touched, and the reason said. The disk is not really full: a limit on the
// size of files makes every write fail at the same point.
func TestFaults(t *testing.T) {
	inputs := map[string]string{"good.csv": oneWindow, "other.csv": other, "bad.csv": oneWindow + "W2,porthole,1,1,owner\n",
		"pieces.csv": "length,count\n84,64\n", "stock.csv": "length,price\n192,14.40\n", "theirs.csv": theirWindows}
	var lines [][]string
	for _, c := range faults {
		t.Run(c.shows, func(t *testing.T) {
			t.Chdir(t.TempDir())
			for name, data := range inputs {
				write(t, name, data)
			}
			c.place(t)
			before := ""
			if c.target != "" {
				before = read(t, c.target)
			}
			args := strings.Fields(c.args)
			if c.args == "" {
				args = []string{"estimate", "good.csv", "--out", "out", "--force"}
			}
			m := processed(t, c.env, args...)
			lines = append(lines, []string{c.shows, fmt.Sprint(m.code), lineWith(m.ran, c.says), fmt.Sprintf("%.0f MB", float64(m.peak)/1024),
				m.time.Round(10 * time.Millisecond).String()})
			assert.Equal(t, c.code, m.code, "%s%s", m.stdout, m.stderr)
			assert.Contains(t, m.stdout+m.stderr, c.says)
			assert.Less(t, m.peak, maxMemory)
			if c.target != "" {
				assert.True(t, before == read(t, c.target), "the target stays")
			}
			for name, data := range inputs {
				assert.Equal(t, data, read(t, name))
			}
			assert.Empty(t, leftovers(t))
		})
	}
	printed(t, lines)
}

// leftovers lists the temporary files below the working folder.
func leftovers(t testing.TB) (out []string) {
	for _, f := range listing(t, ".") {
		if ours, _ := filepath.Match(temporary, filepath.Base(f)); ours {
			out = append(out, f)
		}
	}
	return out
}

// estimates returns the bytes of the estimates of two schedules, which are to
// be written to one target.
func estimates(t *testing.T) (one, two string) {
	t.Helper()
	write(t, "a/x.csv", oneWindow)
	write(t, "b/x.csv", other)
	succeed(t, "estimate", "a/x.csv")
	succeed(t, "estimate", "b/x.csv")
	one, two = read(t, "a/x-estimate.xlsx"), read(t, "b/x-estimate.xlsx")
	require.NotEqual(t, one, two)
	return one, two
}

// TestKilled kills 200 runs, each at a moment of its own, and wants the target
// to be the old file or the new one, byte for byte.
func TestKilled(t *testing.T) {
	t.Chdir(t.TempDir())
	before, after := estimates(t)
	const target, kills = "out/x-estimate.xlsx", 40
	args := []string{"estimate", "b/x.csv", "--out", "out", "--force"}
	write(t, target, before)
	begun := time.Now()
	require.NoError(t, program(t, args...).Run())
	whole := time.Since(begun)
	require.Equal(t, after, read(t, target))

	when := rand.New(rand.NewPCG(1, 2))
	kept, replaced, left := 0, 0, 0
	for range kills {
		write(t, target, before)
		c := program(t, args...)
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(when.Int64N(int64(whole * 5 / 4))))
		_ = c.Process.Kill() // it may have come to its end
		_ = c.Wait()
		switch read(t, target) {
		case before:
			kept++
		case after:
			replaced++
		default:
			require.Fail(t, "the target is neither the old file nor the new one")
		}
		found := leftovers(t)
		require.LessOrEqual(t, len(found), 1, "a killed run leaves one temporary file at most")
		for _, f := range found {
			left++
			require.NoError(t, os.Remove(f))
		}
	}
	assert.Equal(t, kills, kept+replaced)
	t.Logf("%d kills within %v: %d old files, %d new ones, %d temporary files left", kills, whole, kept, replaced, left)
}

// TestAbandoned wants what killed runs left to go with the next run, and
// nothing else.
func TestAbandoned(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	yesterday := time.Now().Add(-24 * time.Hour)
	for _, name := range []string{".sillwright-1.tmp", ".sillwright-22.tmp", "notes.tmp", ".sillwright-1.tmp.xlsx"} {
		write(t, name, old)
		require.NoError(t, os.Chtimes(name, yesterday, yesterday))
	}
	write(t, ".sillwright-3.tmp", old) // another run may be at work
	require.NoError(t, os.Mkdir(".sillwright-4.tmp", 0o755))
	require.NoError(t, os.Chtimes(".sillwright-4.tmp", yesterday, yesterday))
	write(t, "elsewhere/.sillwright-5.tmp", old)
	require.NoError(t, os.Symlink("notes.tmp", ".sillwright-6.tmp"))
	succeed(t, "estimate", "good.csv")
	assert.Equal(t, []string{".sillwright-1.tmp.xlsx", ".sillwright-3.tmp", ".sillwright-6.tmp", "elsewhere/.sillwright-5.tmp", "good-estimate.xlsx",
		"good.csv", "notes.tmp"}, listing(t, "."))
	assert.DirExists(t, ".sillwright-4.tmp")
}

// TestTwoRunsAtOnce starts runs together on one target.
func TestTwoRunsAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	one, two := estimates(t)
	const target = "out/x-estimate.xlsx"
	for _, force := range []bool{true, false} {
		for range 5 {
			require.NoError(t, os.RemoveAll("out"))
			codes := make(chan int, 2)
			var said [2]bytes.Buffer
			for i, from := range []string{"a/x.csv", "b/x.csv"} {
				args := []string{"estimate", from, "--out", "out"}
				if force {
					args = append(args, "--force")
				}
				c := program(t, args...)
				c.Stderr = &said[i]
				require.NoError(t, c.Start())
				go func() { _ = c.Wait(); codes <- c.ProcessState.ExitCode() }()
			}
			first, second := <-codes, <-codes
			assert.Contains(t, []string{one, two}, read(t, target))
			assert.Equal(t, []string{target}, listing(t, "out"))
			if force {
				assert.Equal(t, exitOK, first+second)
				continue
			}
			assert.Equal(t, exitOK+exitNothing, first+second, "one writes, one finds that it exists")
			assert.Contains(t, said[0].String()+said[1].String(), "it exists (--force replaces it)")
		}
	}
}

// TestTargetInUse replaces an estimate that somebody is reading.
func TestTargetInUse(t *testing.T) {
	t.Chdir(t.TempDir())
	before, after := estimates(t)
	write(t, "b/x-estimate.xlsx", before)
	reader, err := os.Open("b/x-estimate.xlsx")
	require.NoError(t, err)
	defer reader.Close()
	succeed(t, "estimate", "b/x.csv", "--force")
	assert.Equal(t, after, read(t, "b/x-estimate.xlsx"))
	data, err := io.ReadAll(reader)
	require.NoError(t, err)
	assert.True(t, string(data) == before, "who reads on reads the old file whole")
}

// TestNobodyListens wants a result that cannot be printed to be no success.
func TestNobodyListens(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer full.Close()
	var stderr bytes.Buffer
	code := run([]string{"check", "good.csv"}, strings.NewReader(""), full, &stderr)
	assert.Equal(t, exitIncomplete, code)
	assert.Contains(t, stderr.String(), "sillwright: error: what it printed is lost: no space left on device\n")
}

// Every file of a batch stands in the closing table, and the code says that
// some are missing.
func TestBatchOfHostileFiles(t *testing.T) {
	inTemp(t)
	var args []string
	for i, data := range []string{"", "PK\x03\x04", compound("Workbook"), compound("EncryptedPackage"), "%PDF", "<html>", string(saved(t)[:2000])} {
		name := fmt.Sprintf("bad%d.xlsx", i)
		write(t, name, data)
		args = append(args, name)
	}
	write(t, "good.csv", oneWindow)
	r := sillwright(append([]string{"estimate", "good.csv"}, args...)...)
	assert.Equal(t, exitIncomplete, r.code)
	table := strings.Split(strings.TrimSpace(r.stdout), "\n")
	require.Len(t, table, 2+len(args))
	for i, name := range args {
		assert.Regexp(t, `^`+name+` +not written$`, table[2+i])
		assert.Contains(t, r.stderr, name+": ")
	}
	assert.Empty(t, audit.Lint([]byte(read(t, "good-estimate.xlsx"))))
	assert.Equal(t, exitNothing, sillwright(append([]string{"estimate"}, args...)...).code, "of nothing but bad files nothing is written")
}
