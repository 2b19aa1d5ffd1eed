package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
)

const (
	outputEnding = "-estimate.xlsx"
	notComplete  = "not complete"
)

func estimateCommand() *cli.Command {
	return &cli.Command{
		Name: "estimate", Usage: "price schedules: writes NAME-estimate.xlsx for each",
		ArgsUsage:   "FILE|FOLDER...",
		Description: "Example:\n  sillwright estimate duplex.xlsx --prices yard.csv --prices metal.csv --out bids\n\nA folder stands for the workbooks in it, estimates left out. Without --prices the\nsheet Prices of the schedule is used, else a starter list of invented prices.",
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "prices", Usage: "price list, CSV or workbook; may be repeated", TakesFile: true},
			&cli.StringFlag{Name: "out", Usage: "folder for the estimates; default: beside each schedule"},
			&cli.BoolFlag{Name: "force", Usage: "replace estimates that exist"},
		},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return misuse{"estimate needs a schedule: sillwright estimate FILE"}
			}
			files, unread := schedules(c.Args().Slice(), c.App.ErrWriter)
			r := estimateRun{prices: c.StringSlice("prices"), out: c.String("out"), force: c.Bool("force"), unread: unread, stdout: c.App.Writer, stderr: c.App.ErrWriter}
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
		for _, e := range entries {
			name := strings.ToLower(e.Name())
			ours := strings.HasSuffix(name, outputEnding) || strings.HasPrefix(name, "~$") || strings.HasPrefix(name, ".")
			if !e.IsDir() && !ours && (strings.HasSuffix(name, ".xlsx") || strings.HasSuffix(name, ".xlsm")) {
				files = append(files, filepath.Join(a, e.Name()))
			}
		}
	}
	if len(files) == 0 {
		fmt.Fprintln(stderr, "sillwright: no schedule found")
	}
	return files, unread
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
	unread         int // folders that cannot be read
	stdout, stderr io.Writer
}

// resultLine is a line of the closing table.
type resultLine struct{ file, openings, total, held, problems, state string }

// all estimates every file; one that fails costs its own job.
func (r estimateRun) all(files []string) int {
	if len(files) == 0 {
		return exitNothing
	}
	if r.out != "" {
		if err := os.MkdirAll(r.out, 0o755); err != nil {
			fmt.Fprintf(r.stderr, "sillwright: %s: %v\n", r.out, reason(err))
			return exitNothing
		}
	}
	written, complete := 0, 0
	targets := map[string]string{}
	lines := []resultLine{{"Job", "Openings", "Total", "Held", "Errors/warnings", ""}}
	for _, f := range files {
		target := r.target(f)
		line := resultLine{file: filepath.Base(f), state: "not written"}
		if other, taken := targets[target]; taken {
			fmt.Fprintf(r.stderr, "%s: its estimate would replace that of %s (give one of them another name)\n", f, other)
			lines = append(lines, line)
			continue
		}
		targets[target] = f
		line, ok := r.one(f, target, slices.Concat(files, r.prices))
		lines = append(lines, line)
		if ok {
			written++
			if line.state != notComplete {
				complete++
			}
		}
	}
	printTable(r.stdout, lines)
	return exitCode(written, complete, len(files)+r.unread)
}

// target returns the file that the estimate of a schedule is written to.
func (r estimateRun) target(schedule string) string {
	dir := r.out
	if dir == "" {
		dir = filepath.Dir(schedule)
	}
	return filepath.Join(dir, stem(schedule)+outputEnding)
}

// one estimates a file. What it says of the file comes before the table.
func (r estimateRun) one(file, target string, inputs []string) (resultLine, bool) {
	line := resultLine{file: filepath.Base(file), state: "not written"}
	if err := checkTarget(target, r.force, inputs); err != nil {
		fmt.Fprintf(r.stderr, "%s: %v\n", target, reason(err))
		return line, false
	}
	j, problems := load(file, r.prices)
	report(r.stderr, problems)
	if j == nil {
		return line, false
	}
	data, err := j.workbook()
	if err == nil {
		err = writeFile(target, data, r.force)
	}
	if err != nil {
		fmt.Fprintf(r.stderr, "%s: not written: %v\n", target, reason(err))
		return line, false
	}
	bid := j.plan.Bid
	line = resultLine{filepath.Base(target), fmt.Sprint(bid.Openings), bid.Total.String() + " " + j.schedule.Book.Job.Currency, fmt.Sprint(heldMarks(j.takeoff)), tally(j.problems), j.state()}
	return line, true
}

func heldMarks(t estimate.Takeoff) int {
	seen := map[int]bool{}
	for _, h := range t.Holds {
		seen[h.Opening] = true
	}
	return len(seen)
}

func tally(ps []estimate.Problem) string {
	warnings := 0
	for _, p := range ps {
		if p.Severity == estimate.Warning {
			warnings++
		}
	}
	return fmt.Sprintf("%d/%d", estimate.Errors(ps), warnings)
}

// report prints problems, sorted, one a line.
func report(w io.Writer, ps []estimate.Problem) {
	for _, p := range ps {
		fmt.Fprintln(w, p)
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
