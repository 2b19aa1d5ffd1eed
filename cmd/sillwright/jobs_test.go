package main

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/templates"
)

var update = flag.Bool("update", false, "write the goldens of testdata anew")

// goldens holds a folder a job: what goes in as a CSV file a sheet, prices.csv
// where the starter prices do not do, every cell that is worked out as estimate.txt, and
// what was said as run.txt.
const goldens = "../../testdata/jobs"

// jobFolder is where the CSV files of a job are.
type jobFolder struct {
	fsys   fs.FS
	folder string
	golden string // folder of its goldens, "" for none
}

// jobFolders returns the golden jobs and the demo jobs, by name.
func jobFolders(t testing.TB) map[string]jobFolder {
	t.Helper()
	home, err := filepath.Abs(goldens)
	require.NoError(t, err)
	out := map[string]jobFolder{}
	cases, err := os.ReadDir(home)
	require.NoError(t, err)
	for _, c := range cases {
		out[c.Name()] = jobFolder{os.DirFS(home), c.Name(), filepath.Join(home, c.Name())}
	}
	require.NotEmpty(t, out)
	demos, err := fs.ReadDir(templates.Demo, "demo")
	require.NoError(t, err)
	for _, d := range demos {
		out[d.Name()] = jobFolder{templates.Demo, path.Join("demo", d.Name()), ""}
	}
	return out
}

// writtenJob is a job that was estimated, and its estimate.
type writtenJob struct {
	*job
	name    string
	args    []string
	ran     ran
	written writtenBook
}

// estimate writes the schedule of the job to the working folder, with its
// prices if it has any, and runs the program on it.
func (f jobFolder) estimate(t *testing.T, name string) writtenJob {
	t.Helper()
	sheets := fstest.MapFS{}
	files, err := fs.Glob(f.fsys, path.Join(f.folder, "*.csv"))
	require.NoError(t, err)
	w := writtenJob{name: name, args: []string{"estimate", name + ".xlsx"}}
	var prices []string
	for _, file := range files {
		data, err := fs.ReadFile(f.fsys, file)
		require.NoError(t, err)
		if path.Base(file) == "prices.csv" {
			prices = []string{"prices.csv"}
			w.args = append(w.args, "--prices", "prices.csv")
			write(t, "prices.csv", string(data))
			continue
		}
		sheets[path.Join(name, path.Base(file))] = &fstest.MapFile{Data: data}
	}
	schedule, err := folderSchedule(sheets, name)
	require.NoError(t, err)
	write(t, name+".xlsx", string(schedule))
	sound(t, name+".xlsx")
	w.ran = sillwright(w.args...)
	require.FileExists(t, name+"-estimate.xlsx", w.ran.stderr)
	w.written = open(t, name+"-estimate.xlsx")
	w.job, _ = load(name+".xlsx", prices)
	require.NotNil(t, w.job)
	return w
}

// TestJobs holds every golden and demo job against its goldens, adds it up, and
// estimates its estimate.
func TestJobs(t *testing.T) {
	for name, f := range jobFolders(t) {
		t.Run(name, func(t *testing.T) {
			inTemp(t)
			j := f.estimate(t, name)
			if f.golden != "" {
				j.isAsGolden(t, f.golden)
			}
			if hatched := j.boardsAreDrawnAsListed(t); name == "workshop" {
				assert.Positive(t, hatched, "some of its pieces are on hold")
			}
			j.moneyFoots(t)
			j.nothingRequiredIsUnlisted(t)
			j.everyPieceIsCut(t)
			j.estimatesAgain(t)
			j.holdsNoEdits(t)
			j.isTypedOverNowhere(t)
			keepsTheRules(t, name+"-estimate.xlsx", map[int]bool{})
			keep(t, name+"-estimate.xlsx")
		})
	}
}

// isAsGolden compares all that the run said and wrote, and the inputs that hold
// formulas. The sheet Sources is the same in every estimate, so one case shows
// it.
func (j writtenJob) isAsGolden(t *testing.T, folder string) {
	said := fmt.Sprintf("$ sillwright %s\nexit code %d\n\nstdout:\n%s\nstderr:\n%s", strings.Join(j.args, " "), j.ran.code, j.ran.stdout, j.ran.stderr)
	golden(t, filepath.Join(folder, "run.txt"), said)
	sheets := slices.DeleteFunc(j.written.results(), func(s string) bool { return s == "Sources" && j.name != "one-window" })
	golden(t, filepath.Join(folder, "estimate.txt"), j.written.text(append(sheets, "Other costs", "Labor")...))
}

// golden compares a text with its file and shows the first line that differs.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		write(t, file, got)
		return
	}
	want, lines := strings.Split(read(t, file), "\n"), strings.Split(got, "\n")
	for i := range min(len(want), len(lines)) {
		if want[i] != lines[i] {
			assert.Equal(t, want[i], lines[i], "%s line %d; -update writes it anew", filepath.Base(file), i+1)
			return
		}
	}
	assert.Len(t, lines, len(want), "%s; -update writes it anew", filepath.Base(file))
}

// keepDir names the folder into which the estimates of TestJobs are copied, for
// .ci/run to have other programs recalculate them.
const keepDir = "KEEP_ESTIMATES"

func keep(t *testing.T, name string) {
	dir := os.Getenv(keepDir)
	if dir == "" {
		return
	}
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
}

// estimatesAgain wants the inputs that travel in an estimate to give the same
// estimate.
func (j writtenJob) estimatesAgain(t *testing.T) {
	name := j.name + "-estimate.xlsx"
	sillwright("estimate", name, "--out", "again")
	same(t, j.written, open(t, filepath.Join("again", name)))
}

// same wants two estimates of one job to have the same results, but for what
// the files they were made from had to say: their names and problems stand on
// Checks, and under the title and among the counts of the Summary.
func same(t *testing.T, one, other writtenBook) {
	t.Helper()
	ofFile := func(c writtenCell) bool {
		return slices.Contains([]string{"Errors", "Warnings"}, one.row("Summary", c.row)[1]) || c.row == 2
	}
	for _, sheet := range one.results() {
		a, b := slices.Clone(one.cells(sheet)), slices.Clone(other.cells(sheet))
		switch sheet {
		case "Checks":
			continue
		case "Summary":
			a, b = slices.DeleteFunc(a, ofFile), slices.DeleteFunc(b, ofFile)
		}
		for i := range min(len(a), len(b)) {
			require.Equal(t, a[i], b[i], sheet)
		}
		require.Len(t, b, len(a), sheet)
	}
}
