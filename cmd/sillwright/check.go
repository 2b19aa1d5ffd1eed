package main

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/marked"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
)

func checkCommand() *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "report every problem in schedules, with its cell",
		ArgsUsage: "FILE|FOLDER...",
		Description: "Example:\n  sillwright check duplex.xlsx --marked\n\n" +
			"Without --marked, check writes nothing. With it, each bad cell is marked in a copy,\n" +
			"NAME" + markedEnding + ", with the problem in a note; the copy's first sheet lists all, with\n" +
			"links to the cells. The file itself is never changed.",
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "prices", Usage: "price list `FILE`, CSV or workbook; may be repeated", TakesFile: true},
			&cli.BoolFlag{Name: "marked", Usage: "write a copy of each file with its bad cells marked"},
			&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the marked copies; default: beside each file"},
			&cli.BoolFlag{Name: "force", Usage: "replace marked copies, and a file of problems, that exist"},
			problemsFlag(),
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			r := checkRun{
				prices: c.StringSlice("prices"), marked: c.Bool("marked"), force: c.Bool("force"), out: c.String("out"),
				problems: c.String("problems"), streams: streamsOf(c),
			}
			switch {
			case !c.Args().Present():
				return failed, misuse("it needs a schedule (sillwright check FILE)")
			case !r.marked && (c.IsSet("out") || r.force && r.problems == ""):
				return failed, misuse("--out and --force are for the marked copies; check writes nothing else (add --marked)")
			}
			r.schedules = findSchedules(c.Args().Slice(), append(slices.Clone(r.prices), r.problems), c.App.ErrWriter)
			return r.run()
		}),
	}
}

// checkRun is one run of check.
type checkRun struct {
	schedules     batch
	prices        []string
	marked        bool
	out, problems string // folder of the copies, file of the problems
	force         bool
	streams
}

// run checks every file.
func (r checkRun) run() (outcome, error) {
	files := r.schedules.files
	if r.out != "" && len(files) > 0 {
		removeIfEmpty, err := unfinished.makeFolder(r.out)
		if err != nil {
			return failed, fileError{r.out, reason(err)}
		}
		defer removeIfEmpty()
	}
	inputs := slices.Concat(files, r.prices)
	outcomes := make([]outcome, len(files))
	printer := newRunPrinter(r.stderr)
	copies := map[string]string{} // files by their marked copies
	var all []estimate.Problem
	for i, f := range files {
		var problems []estimate.Problem
		problems, outcomes[i] = r.checkFile(f, printer)
		all = append(all, problems...)
		if r.marked {
			if err := r.mark(f, problems, inputs, copies); err != nil {
				printError(r.stderr, err)
				outcomes[i] = failed
			}
		}
	}
	if err := writeProblems(r.problems, all, r.force, inputs, slices.Collect(maps.Keys(copies))); err != nil {
		return failed, err
	}
	return r.schedules.outcome(outcomes), nil
}

// checkFile checks a file, and prints and returns its problems.
func (r checkRun) checkFile(file string, printer *runPrinter) ([]estimate.Problem, outcome) {
	j, problems := load(file, r.prices)
	printer.print(file, problems)
	name := onOneLine(filepath.Base(file))
	if j == nil {
		fmt.Fprintf(r.stdout, "%s: not readable\n", name)
		return problems, failed
	}
	defer j.close()
	fmt.Fprintf(r.stdout, "%s: %s, %s left out, %s\n", name,
		plural(j.plan.Bid.Openings, "opening"), plural(j.leftOut(), "row"), plural(estimate.Errors(problems), "error"))
	return problems, succeededIf(j.complete())
}

// mark writes the marked copy of a file, and prints what became of it. A file
// that cannot be opened has no copy, and no error: its problems say why.
func (r checkRun) mark(file string, problems []estimate.Problem, inputs []string, copies map[string]string) error {
	data, _ := sheet.Bytes(file)
	book, _ := sheet.Parse(file, data)
	if book == nil { // a sheet that nobody asks for may be beyond all limits
		if book, _ = sheet.ParseSheets(file, data, schedule.Wanted); book == nil {
			return nil
		}
	}
	target := outputOf(file, r.out, markedEnding)
	if other, taken := sameTarget(target, copies); taken {
		return writeError(target, fmt.Errorf("it would replace the copy of %s (give one of the files another name)", other))
	}
	m, err := marked.Marked(data, book, problems)
	if err == nil && m.Data == nil {
		fmt.Fprintf(r.stdout, "%s: no cell to mark, so no copy\n", onOneLine(filepath.Base(file)))
		return nil
	}
	if err == nil {
		err = checkTarget(target, r.force, inputs)
	}
	if err := save(target, m.Data, err, r.force); err != nil {
		return err
	}
	copies[target] = file
	fmt.Fprintf(r.stdout, "%s: %s marked in %s%s\n", onOneLine(filepath.Base(file)), plural(m.Cells, "cell"), onOneLine(target), missingMarks(m))
	return nil
}

// missingMarks says what a marked copy lacks.
func missingMarks(m marked.Marks) string {
	var b strings.Builder
	if m.Lost != "" {
		fmt.Fprintf(&b, "; it holds values and marks only, since the file has %s", m.Lost)
	}
	if m.NotesKept > 0 {
		fmt.Fprintf(&b, "; %s marked without a note, because of the note that stands there", plural(m.NotesKept, "cell"))
	}
	if m.Unmarked > 0 {
		fmt.Fprintf(&b, "; %s more not marked", plural(m.Unmarked, "cell"))
	}
	if m.Nowhere > 0 {
		fmt.Fprintf(&b, "; %s that belong to no cell are on its first sheet", plural(m.Nowhere, "problem"))
	}
	return b.String()
}
