package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/gocarina/gocsv"
	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

const (
	outputEnding = "-estimate.xlsx"
	notComplete  = "not complete"
)

func estimateCommand() *cli.Command {
	return &cli.Command{
		Name: "estimate", Usage: "price schedules: writes NAME-estimate.xlsx for each",
		ArgsUsage:   "FILE|FOLDER...",
		Description: "Example:\n  sillwright estimate duplex.xlsx --prices yard.csv --prices metal.csv --out bids\n\nA folder stands for the workbooks in it, without those that sillwright\nwrote. Without --prices the sheet Prices of the schedule is used, else a starter\nlist of invented prices.",
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "prices", Usage: "price list, CSV or workbook; may be repeated", TakesFile: true},
			&cli.StringFlag{Name: "out", Usage: "folder for the estimates; default: beside each schedule"},
			&cli.BoolFlag{Name: "force", Usage: "replace estimates that exist"},
			&cli.IntFlag{Name: "jobs", Usage: "how many schedules are worked on at once; default: the processors there are"},
			problemsFlag(),
		},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return misuse{"estimate needs a schedule: sillwright estimate FILE"}
			}
			workers := runtime.GOMAXPROCS(0)
			if c.IsSet("jobs") {
				if workers = c.Int("jobs"); workers < 1 {
					return misuse{"--jobs is " + c.String("jobs") + "; write 1 or more"}
				}
			}
			files, unread := schedules(c.Args().Slice(), c.App.ErrWriter)
			r := estimateRun{prices: c.StringSlice("prices"), out: c.String("out"), force: c.Bool("force"), workers: workers, problems: c.String("problems"), unread: unread, stdout: c.App.Writer, stderr: c.App.ErrWriter}
			return ended(r.all(files))
		},
	}
}

// schedules lists the files that the arguments stand for, and says how many of
// the folders cannot be read.
func schedules(args []string, stderr io.Writer) (files []string, unread int) {
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil || !info.IsDir() {
			files = append(files, a) // what cannot be opened is said when it is opened
			continue
		}
		entries, err := os.ReadDir(a)
		if err != nil {
			fmt.Fprintf(stderr, "sillwright: %s: %v\n", a, reason(err))
			unread++
		}
		names := map[string]bool{}
		for _, e := range entries {
			names[strings.ToLower(e.Name())] = true
		}
		for _, e := range entries {
			name := strings.ToLower(e.Name())
			workbook := strings.HasSuffix(name, ".xlsx") || strings.HasSuffix(name, ".xlsm")
			hidden := strings.HasPrefix(name, "~$") || strings.HasPrefix(name, ".")
			if workbook && !e.IsDir() && !hidden && !produced(name, names) {
				files = append(files, filepath.Join(a, e.Name()))
			}
		}
	}
	if len(files) == 0 {
		fmt.Fprintln(stderr, "sillwright: no schedule found")
	}
	return files, unread
}

// produced reports whether a workbook among the files of a folder is one that the
// program writes: an order stands beside its CSV file. Names are in lower case.
func produced(name string, folder map[string]bool) bool {
	order := strings.Contains(name, orderInfix) && folder[strings.TrimSuffix(name, ".xlsx")+".csv"]
	return order || name == comparisonFile || strings.HasPrefix(name, indexName) || strings.HasSuffix(name, outputEnding) || strings.HasSuffix(name, markedEnding)
}

// exitCode returns the exit code of a run over several schedules: how many
// came through, and how many of those with nothing left out.
func exitCode(through, complete, all int) int {
	switch {
	case through == 0:
		return exitNothing
	case complete < all:
		return exitIncomplete
	}
	return exitOK
}

// estimateRun is one call of estimate.
type estimateRun struct {
	prices         []string
	out            string
	force          bool
	workers        int
	problems       string // file for the problems, "" = none
	unread         int    // folders that cannot be read
	stdout, stderr io.Writer
}

// resultLine is a line of the closing table.
type resultLine struct{ file, openings, total, held, problems, state string }

// finished is what became of a schedule.
type finished struct {
	said     bytes.Buffer // what it has to say, for stderr
	problems []estimate.Problem
	index    workbook.IndexRow
	line     resultLine
	written  bool
}

// all estimates every file, several at a time; one that fails costs its own job.
// What is said of a file comes in the order of the files.
func (r estimateRun) all(files []string) int {
	if len(files) == 0 {
		return exitNothing
	}
	debug.SetGCPercent(gcPercent)
	if r.out != "" {
		if err := os.MkdirAll(r.out, 0o755); err != nil {
			fmt.Fprintf(r.stderr, "sillwright: %s: %v\n", r.out, reason(err))
			return exitNothing
		}
	}
	taken := map[string]string{}
	targets, others := make([]string, len(files)), make([]string, len(files)) // "" = the output is another file's
	for i, f := range files {
		t := onePath(r.target(f))
		if other, is := sameTarget(t, taken); is {
			others[i] = other
			continue
		}
		targets[i], taken[t] = r.target(f), f
	}
	ctx, stop := untilInterrupt()
	defer stop()
	written, complete := 0, 0
	lines := []resultLine{{"Job", "Openings", "Total", "Held", "Errors/warnings", ""}}
	var rows []workbook.IndexRow
	var problems []estimate.Problem
	inputs := slices.Concat(files, r.prices)
	done := inOrder(ctx, len(files), r.workers, func(i int) *finished {
		if targets[i] == "" {
			e := fail(files[i])
			fmt.Fprintf(&e.said, "%s: its estimate would replace that of %s (give one of them another name)\n", files[i], others[i])
			return e
		}
		return r.one(files[i], targets[i], inputs)
	}, func(i int, e *finished) {
		_, _ = r.stderr.Write(e.said.Bytes())
		r.progress(i+1, len(files))
		lines, rows, problems = append(lines, e.line), append(rows, e.index), append(problems, e.problems...)
		if e.written {
			written++
			if e.line.state != notComplete {
				complete++
			}
		}
	})
	if done < len(files) {
		fmt.Fprintf(r.stderr, "sillwright: interrupted: %d of %d schedules were not begun; what is written is whole\n", len(files)-done, len(files))
	}
	printTable(r.stdout, lines)
	if len(files) > 1 && written > 0 {
		r.index(filepath.Dir(r.target(files[0])), rows)
	}
	if err := writeProblems(r.problems, problems, r.force, inputs); err != nil {
		fmt.Fprintf(r.stderr, "%s: not written: %v\n", r.problems, reason(err))
	}
	return exitCode(written, complete, len(files)+r.unread)
}

// progress shows a person at a terminal how far a batch is.
func (r estimateRun) progress(done, all int) {
	if all > 1 && onTerminal(r.stderr) {
		end := "\r"
		if done == all {
			end = "\n"
		}
		fmt.Fprintf(r.stderr, "%d of %d schedules%s", done, all, end)
	}
}

// index writes the list of a batch's jobs beside its estimates, as a workbook
// and as CSV.
func (r estimateRun) index(dir string, rows []workbook.IndexRow) {
	out := newFiles(dir, r.force)
	data, err := workbook.Index(rows)
	out.add(indexName+".xlsx", data, err)
	data, err = indexCSV(rows)
	out.add(indexName+".csv", data, err)
	if err := out.write(); err != nil {
		fmt.Fprintf(r.stderr, "sillwright: the list of the jobs is not written: %v\n", err)
	}
}

// indexName is the file, without its ending, that lists the jobs of a batch.
const indexName = "estimates-index"

// indexCSV returns the list of a batch's jobs as CSV.
func indexCSV(rows []workbook.IndexRow) ([]byte, error) {
	type line struct {
		Schedule  string `csv:"schedule"`
		Estimate  string `csv:"estimate"`
		Number    string `csv:"job_number"`
		Name      string `csv:"name"`
		Openings  int64  `csv:"openings"`
		Materials string `csv:"materials"`
		Total     string `csv:"total"`
		Currency  string `csv:"currency"`
		Held      int    `csv:"marks_held"`
		Errors    int    `csv:"errors"`
		Warnings  int    `csv:"warnings"`
		State     string `csv:"state"`
	}
	lines := make([]line, len(rows))
	for i, r := range rows {
		l := line{Schedule: sheet.GuardCSV(r.Schedule), Estimate: sheet.GuardCSV(r.Estimate), Number: sheet.GuardCSV(r.Number), Name: sheet.GuardCSV(r.Name), Openings: r.Openings, Currency: r.Currency, Held: r.Held, Errors: r.Errors, Warnings: r.Warnings, State: r.State}
		if r.Estimate != "" {
			l.Materials, l.Total = strings.ReplaceAll(r.Materials.String(), ",", ""), strings.ReplaceAll(r.Total.String(), ",", "")
		}
		lines[i] = l
	}
	return gocsv.MarshalBytes(lines)
}

// onePath writes a path in one way, whichever links lead to its folder.
func onePath(path string) string {
	dir, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err == nil {
		dir, err = filepath.Abs(dir)
	}
	if err != nil {
		return path // said when it is written to
	}
	return filepath.Join(dir, filepath.Base(path))
}

// sameTarget finds the input whose output, however its path is written, is the
// file at target. Outputs are in targets with their inputs.
func sameTarget(target string, targets map[string]string) (input string, taken bool) {
	if input, taken = targets[target]; taken {
		return input, true
	}
	here, err := os.Stat(target)
	if err != nil {
		return "", false
	}
	for _, other := range slices.Sorted(maps.Keys(targets)) {
		if there, err := os.Stat(other); err == nil && os.SameFile(here, there) {
			return targets[other], true
		}
	}
	return "", false
}

// target returns the file that the estimate of a schedule is written to.
func (r estimateRun) target(schedule string) string {
	dir := r.out
	if dir == "" {
		dir = filepath.Dir(schedule)
	}
	return filepath.Join(dir, stem(schedule)+outputEnding)
}

// fail is what becomes of a schedule that no estimate is written for.
func fail(file string) *finished {
	base := filepath.Base(file)
	return &finished{line: resultLine{file: base, state: "not written"}, index: workbook.IndexRow{Schedule: base}}
}

// one estimates a file.
func (r estimateRun) one(file, target string, inputs []string) *finished {
	e := fail(file)
	if err := checkTarget(target, r.force, inputs); err != nil {
		fmt.Fprintf(&e.said, "%s: %v\n", target, reason(err))
		return e
	}
	j, problems := load(file, r.prices)
	report(&e.said, problems)
	e.problems = problems
	e.index.Errors, e.index.Warnings = tally(problems)
	if j == nil {
		return e
	}
	data, err := j.workbook()
	if err == nil {
		err = writeFile(target, data, r.force)
	}
	if err != nil {
		fmt.Fprintf(&e.said, "%s: not written: %v\n", target, reason(err))
		return e
	}
	job, bid, held := j.schedule.Book.Job, j.plan.Bid, heldMarks(j.takeoff)
	e.written = true
	e.line = resultLine{filepath.Base(target), fmt.Sprint(bid.Openings), bid.Total.String() + " " + job.Currency, fmt.Sprint(held), fmt.Sprintf("%d/%d", e.index.Errors, e.index.Warnings), j.state()}
	e.index.Estimate, e.index.Number, e.index.Name = filepath.Base(target), job.Number, job.Name
	e.index.Openings, e.index.Materials, e.index.Total, e.index.Currency = bid.Openings, bid.Materials, bid.Total, job.Currency
	e.index.Held, e.index.State = held, j.state()
	return e
}

func heldMarks(t estimate.Takeoff) int {
	seen := map[int]bool{}
	for _, h := range t.Holds {
		seen[h.Opening] = true
	}
	return len(seen)
}

func tally(ps []estimate.Problem) (errors, warnings int) {
	for _, p := range ps {
		if p.Severity == estimate.Warning {
			warnings++
		}
	}
	return estimate.Errors(ps), warnings
}

// report prints problems, sorted, one a line.
func report(w io.Writer, ps []estimate.Problem) {
	for _, p := range ps {
		fmt.Fprintln(w, strings.ReplaceAll(p.String(), "\n", " "))
	}
}

// reason says what went wrong with a file, without the program's own words.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}

// printTable prints the closing table.
func printTable(w io.Writer, lines []resultLine) {
	rows := make([][]string, len(lines))
	for i, l := range lines {
		rows[i] = []string{l.file, l.openings, l.total, l.held, l.problems, l.state}
	}
	printColumns(w, rows, "Job", "")
}

// printColumns prints rows, the first of which is the header: words at the left
// under the headers named in left, numbers at the right under the others.
func printColumns(w io.Writer, rows [][]string, left ...string) {
	width := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, s := range r {
			width[i] = max(width[i], utf8.RuneCountInString(s))
		}
	}
	for _, r := range rows {
		var b strings.Builder
		for i, s := range r {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(s))
			if slices.Contains(left, rows[0][i]) {
				b.WriteString(s + pad + "  ")
			} else {
				b.WriteString(pad + s + "  ")
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
}
