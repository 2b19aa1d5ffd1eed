package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/templates"
)

func TestExitCodes(t *testing.T) {
	const unknownKind = "Mark,Kind,Frame width,Frame height,Supplied by\nW1,window,36,60,owner\nW2,porthole,20,20,owner\n"
	for _, c := range []struct {
		shows  string
		args   string
		code   int
		stderr string // somewhere in it
		stdout string
	}{
		{"help", "--help", exitOK, "", "Exit codes:"},
		{"help in short", "-h", exitOK, "", "Exit codes:"},
		{"nothing at all is help", "", exitOK, "", "COMMANDS:"},
		{"help of a command", "estimate --help", exitOK, "", "--prices"},
		{"help of a command by its word", "help estimate", exitOK, "", "--prices"},
		{"help wins over a file name", "estimate good.csv --help", exitOK, "", "--prices"},
		{"all well", "check good.csv --prices own.csv", exitOK, "", "good.csv: 1 opening, 0 rows left out, 0 errors"},
		{"a note is no error", "check good.csv", exitOK, "invented", "0 errors"},
		{"flags before the file", "estimate --prices own.csv --out a good.csv", exitOK, "", "good-estimate.xlsx"},
		{"flags after the file", "estimate good.csv --out b --prices own.csv", exitOK, "", "good-estimate.xlsx"},
		{"flags between files", "estimate good.csv --prices own.csv folder/other.csv --out=c", exitOK, "", "other-estimate.xlsx"},
		{"the unit's cost is a gap that is named, no error", "estimate nocost.csv --prices own.csv --out f", exitOK, "no unit cost", "1 mark without a unit cost"},
		{"starter prices stay invented under another name", "check good.csv --prices renamed.csv", exitOK,
			"renamed.csv: note: prices of this list are invented", "0 errors"},
		{"several price lists: every offer counts", "estimate good.csv --prices half1.csv --prices half2.csv --out d", exitOK, "", "good-estimate.xlsx"},
		{"after -- all are files", "check --prices own.csv -- --odd.csv", exitOK, "", "--odd.csv: 1 opening"},

		{"no such schedule", "estimate nowhere.xlsx", exitNothing, `nowhere.xlsx: error: there is no file`, "not written"},
		{"no such price list: nothing is priced from another", "estimate good.csv --prices nowhere.csv", exitNothing, `nowhere.csv: error: there is no file`,
			"not written"},
		{"one price list of two is not there", "check good.csv --prices own.csv --prices nowhere.csv", exitNothing, `nowhere.csv: error: there is no file`,
			"not readable"},
		{"no such schedule to check", "check nowhere.xlsx", exitNothing, `nowhere.xlsx: error: there is no file`, "not readable"},
		{"not a table at all", "estimate noise.xlsx", exitNothing, "noise.xlsx", "not written"},
		{"a price list is no schedule", "estimate own.csv", exitNothing, "own.csv", "not written"},
		{"headers and no row", "check headers.csv", exitNothing, "headers.csv: error: it holds no opening", "not readable"},
		{"a folder without schedules", "estimate empty", exitNothing, "no schedule found", ""},
		{"a folder without schedules to check", "check empty", exitNothing, "no schedule found", ""},
		{"a file where the folder should be", "estimate good.csv --out own.csv", exitNothing, "own.csv", ""},
		{"demo into a file", "demo own.csv", exitNothing, "own.csv", ""},

		{"no command of that name", "guess good.csv", exitUsage, `no command "guess"`, ""},
		{"no such flag", "estimate good.csv --colour", exitUsage, "colour", ""},
		{"no such flag before the command", "--colour estimate good.csv", exitUsage, "colour", ""},
		{"flag of another command", "check good.csv --out x", exitUsage, "out", ""},
		{"flag without its value", "estimate good.csv --prices", exitUsage, "prices", ""},
		{"no file", "estimate", exitUsage, "it needs a schedule", ""},
		{"no file but a price list", "estimate --prices own.csv", exitUsage, "it needs a schedule", ""},
		{"nothing to check", "check", exitUsage, "it needs a schedule", ""},
		{"no folder", "new", exitUsage, "it needs one folder", ""},
		{"two folders", "demo x y", exitUsage, "it needs one folder", ""},

		{"a row left out", "check unknown.csv --prices own.csv", exitIncomplete, `unknown.csv: line 3, Kind: error: Kind "porthole"`, "1 row left out"},
		{"a row left out of an estimate", "estimate unknown.csv --prices own.csv", exitIncomplete, "porthole", "1 row left out"},
		{"no price", "estimate good.csv --prices half1.csv --out e", exitIncomplete, "has no price", "11 items without a price"},
		{"one file of two", "check nowhere.xlsx good.csv", exitIncomplete, "nowhere.xlsx", "good.csv: 1 opening"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			inTemp(t)
			lines := strings.SplitAfter(ownPrices(t), "\n")
			half := len(lines) / 2
			for name, data := range map[string]string{
				"good.csv": oneWindow, "folder/other.csv": oneWindow, "--odd.csv": oneWindow, "unknown.csv": unknownKind,
				"own.csv": ownPrices(t), "half1.csv": strings.Join(lines[:half], ""), "half2.csv": lines[0] + strings.Join(lines[half:], ""),
				"nocost.csv":  strings.ReplaceAll(oneWindow, "owner", "builder"),
				"renamed.csv": strings.ReplaceAll(string(templates.Prices), " (invented)", ""),
				"headers.csv": "Mark,Kind,Frame width,Frame height\n", "noise.xlsx": "PK\x03\x04 and then noise",
			} {
				write(t, name, data)
			}
			require.NoError(t, os.Mkdir("empty", 0o755))
			r := sillwright(strings.Fields(c.args)...)
			assert.Equal(t, c.code, r.code, "%s%s", r.stdout, r.stderr)
			assert.Contains(t, r.stderr, c.stderr)
			assert.Contains(t, r.stdout, c.stdout)
			if c.stderr == "" {
				assert.Empty(t, r.besideAsides())
			}
			if c.code == exitUsage {
				assert.True(t, strings.HasPrefix(r.stderr, "sillwright"), r.stderr)
				assert.Empty(t, r.stdout)
			}
			if c.code == exitNothing || c.code == exitUsage || strings.HasPrefix(c.args, "check") {
				written, err := filepath.Glob("*-estimate.xlsx")
				require.NoError(t, err)
				assert.Empty(t, written)
			}
		})
	}
}

func TestCheckWritesNothing(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	succeed(t, "check", "good.csv", ".")
	assert.Equal(t, []string{"good.csv"}, listing(t, "."))
}

func TestFolderArgument(t *testing.T) {
	inTemp(t)
	made, err := folderSchedule(fstest.MapFS{"job/Openings.csv": {Data: []byte(oneWindow)}}, "job")
	require.NoError(t, err)
	schedule := string(made)
	for _, name := range []string{"b.xlsx", "A.XLSX", "macro.xlsm", "~$b.xlsx", ".hidden.xlsx", "old-estimate.xlsx", "OLD-Estimate.xlsx",
		"b-order-yard.xlsx", "b-order-mill-INCOMPLETE.xlsx", "oak-order-2.xlsx", "comparison.xlsx", "b-marked.xlsx"} {
		write(t, "jobs/"+name, schedule)
	}
	write(t, "jobs/b-order-yard.csv", "an order has its file; without one a name says nothing")
	write(t, "jobs/b-order-mill-INCOMPLETE.csv", "so has an incomplete one")
	write(t, "jobs/prices.csv", ownPrices(t))
	write(t, "jobs/notes.txt", "none of ours")
	write(t, "jobs/deeper/c.xlsx", schedule)
	r := succeed(t, "estimate", "jobs", "--out", "bids")
	assert.Equal(t, []string{"bids/A-estimate.xlsx", "bids/b-estimate.xlsx", "bids/estimates-index.csv", "bids/estimates-index.xlsx",
		"bids/macro-estimate.xlsx", "bids/oak-order-2-estimate.xlsx"}, listing(t, "bids"), r.stdout)
	// Beside their schedules, the estimates of the first run are no schedules of the next.
	succeed(t, "estimate", "jobs/deeper")
	succeed(t, "estimate", "jobs/deeper", "--force")
	assert.Equal(t, []string{"jobs/deeper/c-estimate.xlsx", "jobs/deeper/c.xlsx"}, listing(t, "jobs/deeper"))
}

// A folder is taken with its schedules in CSV; what might be one and is not taken is
// named.
func TestFolderWithCSVFiles(t *testing.T) {
	inTemp(t)
	made, err := folderSchedule(fstest.MapFS{"job/Openings.csv": {Data: []byte(oneWindow)}}, "job")
	require.NoError(t, err)
	write(t, "jobs/a.xlsx", string(made))
	write(t, "jobs/A.csv", oneWindow)
	write(t, "jobs/b.csv", oneWindow)
	write(t, "jobs/theirs.csv", theirWindows)
	for name, data := range map[string]string{"prices.csv": ownPrices(t), "pieces.csv": "length,count\n84,64\n", "stock.csv": "length,price\n192,14.40\n",
		"people.csv": "name,phone\nowner,1\n", ".b.csv": oneWindow} {
		write(t, "jobs/"+name, data)
	}
	r := succeed(t, "estimate", "jobs", "--out", "bids", "--prices", "jobs/prices.csv", "--problems", "jobs/problems.csv")
	assert.Equal(t, []string{"bids/a-estimate.xlsx", "bids/b-estimate.xlsx", "bids/estimates-index.csv", "bids/estimates-index.xlsx"}, listing(t, "bids"))
	assert.Contains(t, r.stderr, "jobs/A.csv: warning: it is left out: the folder holds a workbook of the same name, and both would write one estimate")
	assert.Contains(t, r.stderr, "jobs/theirs.csv: warning: it is left out: it is a list of openings in another form "+
		"(turn it into a schedule: sillwright import jobs/theirs.csv)\n")
	assert.Equal(t, 2, strings.Count(r.stderr, "left out"), r.stderr)
	succeed(t, "order", "bids/b-estimate.xlsx", "--out", "jobs")
	again := succeed(t, "check", "jobs", "--problems", "jobs/problems.csv", "--force")
	assert.Equal(t, 2, strings.Count(again.stdout, "\n"), "orders and problems are no schedules: %s", again.stdout)
	assert.Equal(t, 2, strings.Count(again.stderr, "left out"), again.stderr)

	write(t, "jobs/broken.csv", "PK\x03\x04")
	r = sillwright("check", "jobs")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stdout, "broken.csv: not readable\n")
}

func TestOutIsMade(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	succeed(t, "estimate", "good.csv", "--out", "new/and/deep")
	assert.Equal(t, []string{"good.csv", "new/and/deep/good-estimate.xlsx"}, listing(t, "."), "no temporary file is left")
}

func TestAnEstimateStaysWithoutForce(t *testing.T) {
	inTemp(t)
	write(t, "good.csv", oneWindow)
	write(t, "good-estimate.xlsx", "what was there")
	r := sillwright("estimate", "good.csv")
	assert.Equal(t, exitNothing, r.code)
	assert.Equal(t, "good-estimate.xlsx: error: it exists (--force replaces it)\n", r.stderr)
	assert.Contains(t, r.stdout, "not written")
	assert.Equal(t, "what was there", read(t, "good-estimate.xlsx"))
	require.NoError(t, os.Remove("good-estimate.xlsx"))

	succeed(t, "estimate", "good.csv")
	assert.Equal(t, exitNothing, sillwright("estimate", "good.csv").code)
	succeed(t, "estimate", "good.csv", "--force")
	assert.NotEmpty(t, open(t, "good-estimate.xlsx").cells("Summary"))
	assert.Equal(t, []string{"good-estimate.xlsx", "good.csv"}, listing(t, "."), "no temporary file is left")
}

func TestWhatExistsStaysWithoutForce(t *testing.T) {
	for command, first := range map[string]string{"new": "schedule.xlsx", "demo": "workshop.xlsx"} {
		t.Run(command, func(t *testing.T) {
			inTemp(t)
			write(t, filepath.Join("job", first), "what was there")
			r := sillwright(command, "job")
			assert.Equal(t, exitNothing, r.code)
			assert.Contains(t, r.stderr, filepath.Join("job", first)+": error: it exists (--force replaces it)")
			assert.Equal(t, []string{filepath.Join("job", first)}, listing(t, "job"), "all targets are checked before the first is written")
			assert.Equal(t, "what was there", read(t, filepath.Join("job", first)))
			succeed(t, command, "job", "--force")
			sound(t, filepath.Join("job", first))
		})
	}
}

func TestAnInputIsNeverOverwritten(t *testing.T) {
	for _, c := range []struct {
		shows string
		// place puts the schedule, a workbook, where it is wanted.
		place    func(t *testing.T, schedule string)
		args     []string
		schedule string // the input, wherever it is found
	}{
		{"an estimate is estimated where it lies", func(t *testing.T, s string) { write(t, "a-estimate.xlsx", s) },
			[]string{"a-estimate.xlsx"}, "a-estimate.xlsx"},
		{"the same folder by --out", func(t *testing.T, s string) { write(t, "jobs/a-estimate.xlsx", s) },
			[]string{"jobs/a-estimate.xlsx", "--out", "jobs/../jobs"}, "jobs/a-estimate.xlsx"},
		{"the target is a link to the input", func(t *testing.T, s string) {
			write(t, "a.xlsx", s)
			require.NoError(t, os.Symlink("a.xlsx", "a-estimate.xlsx"))
		}, []string{"a.xlsx"}, "a.xlsx"},
		{"the folder of the target is a link", func(t *testing.T, s string) {
			write(t, "jobs/a-estimate.xlsx", s)
			require.NoError(t, os.Symlink("jobs", "bids"))
		}, []string{"jobs/a-estimate.xlsx", "--out", "bids"}, "jobs/a-estimate.xlsx"},
		{"the input has a second name", func(t *testing.T, s string) {
			write(t, "a.xlsx", s)
			require.NoError(t, os.Link("a.xlsx", "a-estimate.xlsx"))
		}, []string{"a.xlsx"}, "a.xlsx"},
		{"the target is another schedule of the run", func(t *testing.T, s string) {
			write(t, "a.xlsx", s)
			write(t, "a-estimate.xlsx", s)
		}, []string{"a.xlsx", "a-estimate.xlsx"}, "a-estimate.xlsx"},
		{"the target is a price list of the run", func(t *testing.T, s string) {
			write(t, "a.xlsx", s)
			write(t, "a-estimate.xlsx", s)
		}, []string{"a.xlsx", "--prices", "a-estimate.xlsx"}, "a-estimate.xlsx"},
	} {
		t.Run(c.shows, func(t *testing.T) {
			inTemp(t)
			succeed(t, "new", "made")
			schedule := read(t, "made/schedule.xlsx")
			c.place(t, schedule)
			r := sillwright(append([]string{"estimate", "--force"}, c.args...)...)
			assert.Equal(t, exitNothing, r.code)
			assert.Contains(t, r.stderr, "it is an input of this run, and inputs are never overwritten")
			assert.Equal(t, schedule, read(t, c.schedule))
		})
	}
}

func TestABadFileCostsItsOwnJob(t *testing.T) {
	inTemp(t)
	write(t, "bad.xlsx", "PK\x03\x04 and then noise")
	write(t, "good.csv", oneWindow)
	write(t, "own.csv", ownPrices(t))
	r := sillwright("estimate", "bad.xlsx", "nowhere.xlsx", "good.csv", "--prices", "own.csv")
	assert.Equal(t, exitIncomplete, r.code)
	table := strings.Split(strings.TrimSpace(r.stdout), "\n")
	require.Len(t, table, 4)
	assert.Regexp(t, `^bad\.xlsx +not written$`, table[1])
	assert.Regexp(t, `^nowhere\.xlsx +not written$`, table[2])
	assert.Regexp(t, `^good-estimate\.xlsx +1 +[\d.]+ USD +1 +0/0  no labor$`, table[3])
	assert.Len(t, strings.Split(strings.TrimSpace(r.besideAsides()), "\n"), 2, "a line a bad file: %s", r.stderr)
	notWritten(t, "bad-estimate.xlsx")
	notWritten(t, "nowhere-estimate.xlsx")
}

func TestTwoSchedulesOfOneTarget(t *testing.T) {
	inTemp(t)
	write(t, "a.csv", oneWindow)
	write(t, "north/a.csv", strings.ReplaceAll(oneWindow, "W1", "N1"))
	r := sillwright("estimate", "a.csv", "north/a.csv", "--out", "bids", "--force")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "north/a.csv: error: its estimate would replace that of a.csv")
	assert.Equal(t, []string{"bids/a-estimate.xlsx", "bids/estimates-index.csv", "bids/estimates-index.xlsx"}, listing(t, "bids"))
	marks := open(t, "bids/a-estimate.xlsx").table("By opening", "Mark", "Kind")
	assert.Equal(t, "W1", marks[0]["Mark"], "the first keeps its estimate")
	// Each beside its own schedule, they are no trouble.
	succeed(t, "estimate", "a.csv", "north/a.csv")
}

func TestSameInputSameBytes(t *testing.T) {
	inTemp(t)
	for _, dir := range []string{"one", "two"} {
		succeed(t, "demo", dir)
		succeed(t, "new", dir+"/new")
		overwriteExample(t, dir+"/new/schedule.xlsx")
		succeed(t, "estimate", dir+"/new", "--prices", dir+"/new/prices.csv")
	}
	files := listing(t, "one")
	assert.Len(t, files, 10)
	for _, f := range files {
		assert.Equal(t, read(t, f), read(t, "two"+strings.TrimPrefix(f, "one")), f)
	}
}
