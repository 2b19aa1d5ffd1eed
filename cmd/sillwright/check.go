package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/marked"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
)

// markedEnding is put behind the name of a schedule for its marked copy.
const markedEnding = "-marked.xlsx"

// many writes a number of things: 1 opening, 2 openings.
func many(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func checkCommand() *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "report every problem of schedules, with its cell",
		ArgsUsage: "FILE|FOLDER...",
		Description: "Example:\n  sillwright check duplex.xlsx --marked\n\nWithout --marked nothing is written. With it, a copy NAME" + markedEnding + " has each bad cell\n" +
			"filled, with the problem in a note; the file itself is never written to.",
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "prices", Usage: "price list, CSV or workbook; may be repeated", TakesFile: true},
			&cli.BoolFlag{Name: "marked", Usage: "write a copy of each file with its bad cells marked"},
			&cli.StringFlag{Name: "out", Usage: "folder for the marked copies; default: beside each file"},
			&cli.BoolFlag{Name: "force", Usage: "replace marked copies, and a file of problems, that exist"},
			problemsFlag(),
		},
		Action: func(c *cli.Context) error {
			r := checkRun{prices: c.StringSlice("prices"), marked: c.Bool("marked"), force: c.Bool("force"), out: c.String("out"), problems: c.String("problems"), stdout: c.App.Writer, stderr: c.App.ErrWriter}
			switch {
			case !c.Args().Present():
				return misuse{"check needs a schedule: sillwright check FILE"}
			case !r.marked && (c.IsSet("out") || r.force && r.problems == ""):
				return misuse{"--out and --force are for the copies of --marked; check itself writes nothing"}
			}
			files, unread := schedules(c.Args().Slice(), c.App.ErrWriter)
			return ended(r.all(files, unread))
		},
	}
}

// checkRun is one call of check.
type checkRun struct {
	prices         []string
	marked         bool
	out, problems  string // folder of the copies, file of the problems
	force          bool
	stdout, stderr io.Writer
}

// all checks every file, and says which code ends the program.
func (r checkRun) all(files []string, unread int) int {
	if r.out != "" && len(files) > 0 {
		if err := os.MkdirAll(r.out, 0o755); err != nil {
			fmt.Fprintf(r.stderr, "sillwright: %s: %v\n", r.out, reason(err))
			return exitNothing
		}
	}
	through, complete := 0, 0
	targets := map[string]string{}
	var all []estimate.Problem
	for _, f := range files {
		problems, read, whole := r.one(f)
		all = append(all, problems...)
		if r.marked {
			target := filepath.Join(outFolder(r.out, f), stem(f)+markedEnding)
			if err := r.mark(f, target, problems, files, targets); err != nil {
				read = false
				fmt.Fprintf(r.stderr, "%s: not written: %v\n", target, reason(err))
			}
		}
		if read {
			through++
		}
		if read && whole {
			complete++
		}
	}
	if err := writeProblems(r.problems, all, r.force, slices.Concat(files, r.prices)); err != nil {
		fmt.Fprintf(r.stderr, "%s: not written: %v\n", r.problems, reason(err))
		return exitNothing
	}
	return exitCode(through, complete, len(files)+unread)
}

// one checks a file and says whether it was read, and whole.
func (r checkRun) one(file string) (problems []estimate.Problem, read, whole bool) {
	j, problems := load(file, r.prices)
	report(r.stderr, problems)
	name := filepath.Base(file)
	if j == nil {
		fmt.Fprintf(r.stdout, "%s: not readable\n", name)
		return problems, false, false
	}
	fmt.Fprintf(r.stdout, "%s: %s, %s left out, %s\n", name, many(j.plan.Bid.Openings, "opening"), many(int64(j.leftOut()), "row"), many(int64(estimate.Errors(problems)), "error"))
	return problems, true, j.complete()
}

// outFolder returns the folder of an output: the one that was named, else that of
// the input.
func outFolder(named, input string) string {
	if named != "" {
		return named
	}
	return filepath.Dir(input)
}

// mark writes the marked copy of a file, and says what became of it. A file
// that cannot be opened has no copy, and no error: why was said.
func (r checkRun) mark(file, target string, problems []estimate.Problem, files []string, targets map[string]string) error {
	data, _ := sheet.Bytes(file)
	book, _ := sheet.Parse(file, data)
	if book == nil { // a sheet that nobody asks for may be beyond all limits
		if book, _ = sheet.ParseSheets(file, data, schedule.Wanted); book == nil {
			return nil
		}
	}
	if other, taken := sameTarget(target, targets); taken {
		return fmt.Errorf("it would replace the copy of %s; give one of the files another name", other)
	}
	m, err := marked.Marked(data, book, problems)
	if err != nil {
		return err
	}
	if m.Data == nil {
		fmt.Fprintf(r.stdout, "%s: no cell to mark, so no copy\n", filepath.Base(file))
		return nil
	}
	if err := checkTarget(target, r.force, slices.Concat(files, r.prices)); err != nil {
		return err
	}
	if err := writeFile(target, m.Data, r.force); err != nil {
		return err
	}
	targets[target] = file
	fmt.Fprintf(r.stdout, "%s: %s marked in %s%s\n", filepath.Base(file), many(int64(m.Cells), "cell"), target, markedRest(m))
	return nil
}

// markedRest says what a marked copy lacks.
func markedRest(m marked.Marks) string {
	var b strings.Builder
	if len(m.Lost) > 0 {
		fmt.Fprintf(&b, "; it holds values and marks only, since a copy would lose %s", strings.Join(m.Lost, ", "))
	}
	if m.NotesKept > 0 {
		fmt.Fprintf(&b, "; %s filled without a note, because of the note that stands there", many(int64(m.NotesKept), "cell"))
	}
	if m.Unmarked > 0 {
		fmt.Fprintf(&b, "; %s more not marked", many(int64(m.Unmarked), "cell"))
	}
	if m.Nowhere > 0 {
		fmt.Fprintf(&b, "; %s of no cell not in it", many(int64(m.Nowhere), "problem"))
	}
	return b.String()
}
