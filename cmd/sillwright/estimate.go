package main

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/workbook"
	"sillwright/pricing"
)

func estimateCommand() *cli.Command {
	return &cli.Command{
		Name: "estimate", Usage: "price schedules: writes NAME-estimate.xlsx for each",
		ArgsUsage: "FILE|FOLDER...",
		Description: "Example:\n  sillwright estimate duplex.xlsx --prices yard.csv --prices metal.csv --out bids\n\n" +
			"A folder means every workbook in it, except those that sillwright wrote, and the\n" +
			"CSV files in it that are schedules. Without --prices, the schedule's own sheet Prices\n" +
			"is used; if there is none, a starter list of invented prices.",
		Flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "prices", Usage: "price list `FILE`, CSV or workbook; may be repeated", TakesFile: true},
			&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the estimates; default: beside each schedule"},
			&cli.BoolFlag{Name: "force", Usage: "replace estimates that exist; one with edits stays, and its edits are listed"},
			&cli.BoolFlag{Name: "keep-edits", Usage: "with --force: carry the edits of an estimate over into the new one"},
			&cli.BoolFlag{Name: "drop-edits", Usage: "with --force: replace estimates with edits too, without them"},
			&cli.IntFlag{Name: "jobs", Usage: "work on `N` schedules at once", DefaultText: "one per processor"},
			&cli.StringFlag{Name: "memory", DefaultText: sizeWords(defaultMemory),
				Usage: "refuse a schedule whose estimate needs more memory than this `SIZE`, such as \"900 MB\""},
			problemsFlag(),
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			if !c.Args().Present() {
				return failed, misuse("it needs a schedule (sillwright estimate FILE)")
			}
			workers := processors()
			if c.IsSet("jobs") {
				if workers = c.Int("jobs"); workers < 1 {
					return failed, misuse("--jobs is %s (write 1 or more)", c.String("jobs"))
				}
			}
			allowed := int64(0)
			if c.IsSet("memory") {
				n, err := parseMemory(c.String("memory"))
				if err != nil {
					return failed, err
				}
				allowed = n
			}
			edits, err := choiceOf(c.Bool("force"), c.Bool("keep-edits"), c.Bool("drop-edits"))
			if err != nil {
				return failed, err
			}
			r := estimateRun{
				schedules: findSchedules(c.Args().Slice(), append(c.StringSlice("prices"), c.String("problems")), c.App.ErrWriter),
				prices:    c.StringSlice("prices"), out: c.String("out"),
				force: c.Bool("force"), edits: edits, workers: workers, problems: c.String("problems"), streams: streamsOf(c),
			}
			memory.allow(allowed)
			defer memory.allow(0)
			return r.run()
		}),
	}
}

// processors returns how many schedules are worked on at once.
func processors() int { return runtime.GOMAXPROCS(0) }

// estimateRun is one run of estimate.
type estimateRun struct {
	schedules batch
	prices    []string
	out       string
	force     bool
	edits     editChoice // of the estimates that are replaced
	workers   int
	problems  string // file for the problems, "" = none
	streams
}

// fileResult is what became of a schedule.
type fileResult struct {
	outcome  outcome
	err      error // why no estimate is written; nil where problems say it
	problems []estimate.Problem
	backup   string // of the estimate that was replaced, "" for none
	index    workbook.IndexRow
	row      []string // of the closing table
}

// run estimates every file, several at a time; one that fails costs its own job.
// Messages are printed in the order of the files.
func (r estimateRun) run() (outcome, error) {
	files := r.schedules.files
	if len(files) == 0 {
		return failed, nil
	}
	if r.out != "" {
		removeIfEmpty, err := unfinished.makeFolder(r.out)
		if err != nil {
			return failed, fileError{r.out, reason(err)}
		}
		defer removeIfEmpty()
	}
	inputs := slices.Concat(files, r.prices)
	replaces := r.clashes(files)
	outcomes := make([]outcome, 0, len(files))
	table := [][]string{{"Job", "Openings", "Total", "On hold", "Errors/warnings", "Open items"}}
	var index []workbook.IndexRow
	var problems []estimate.Problem
	var outputs []string
	ctx := context.Background()
	if len(files) > 1 { // what is begun is finished; a single file is whole or not there
		until, stop := unfinished.untilInterrupt()
		defer stop()
		ctx = until
	}
	printer, shown := newRunPrinter(r.stderr), newProgress(r.terminal, time.Now, files)
	shown.show(0)
	done := inOrder(ctx, len(files), r.workers, func(i int) *fileResult {
		if other := replaces[i]; other != "" {
			result := failedFile(files[i])
			result.err = fileError{files[i], fmt.Errorf("its estimate would replace that of %s (give one of them another name)", other)}
			return result
		}
		return r.estimateFile(files[i], inputs)
	}, func(i int, result *fileResult) {
		shown.clear()
		printer.print(files[i], result.problems)
		if result.err != nil {
			printError(r.stderr, result.err)
		}
		shown.show(i + 1)
		outputs = append(outputs, outputOf(files[i], r.out, outputEnding))
		if result.backup != "" {
			outputs = append(outputs, result.backup)
		}
		table, index, problems = append(table, result.row), append(index, result.index), append(problems, result.problems...)
		outcomes = append(outcomes, result.outcome)
	})
	if done < len(files) {
		shown.clear()
		printMessage(r.stderr, programName, estimate.Error, fmt.Sprintf("interrupted: %d of %d schedules were not begun", len(files)-done, len(files)),
			"what is written is complete; run it again for the others")
		outcomes = append(outcomes, slices.Repeat([]outcome{failed}, len(files)-done)...)
	}
	printColumns(r.stdout, table, "Job", "Open items")
	indexed := true
	if len(files) > 1 && slices.ContainsFunc(outcomes, func(o outcome) bool { return o != failed }) {
		var names []string
		names, indexed = r.writeIndex(outFolder(r.out, files[0]), index, inputs, outputs)
		outputs = append(outputs, names...)
	}
	if err := writeProblems(r.problems, problems, r.force, inputs, outputs); err != nil {
		return failed, err
	}
	return max(r.schedules.outcome(outcomes), succeededIf(indexed)), nil
}

// clashes returns, for each file whose estimate would replace that of an earlier
// one, the earlier one; "" for the others.
func (r estimateRun) clashes(files []string) []string {
	earlier := make([]string, len(files))
	inputOf := map[string]string{} // of a target
	for i, f := range files {
		target := canonicalPath(outputOf(f, r.out, outputEnding))
		if other, taken := sameTarget(target, inputOf); taken {
			earlier[i] = other
		} else {
			inputOf[target] = f
		}
	}
	return earlier
}

// failedFile is what becomes of a schedule that no estimate is written for.
func failedFile(file string) *fileResult {
	base := filepath.Base(file)
	return &fileResult{outcome: failed, row: []string{base, "", "", "", "", "not written"}, index: workbook.IndexRow{Schedule: base}}
}

// estimateFile estimates a file.
func (r estimateRun) estimateFile(file string, inputs []string) *fileResult {
	result := failedFile(file)
	target := outputOf(file, r.out, outputEnding)
	if err := checkTarget(target, r.force, inputs); err != nil {
		result.err = fileError{target, reason(err)}
		return result
	}
	old, err := r.replacing(file, target)
	if err != nil {
		result.err = fileError{target, err}
		return result
	}
	if old != nil && r.edits == refuseEdits && len(old.outcomes) > 0 {
		result.problems, result.err = old.problems(r.edits, ""), fileError{target, old.refusal()}
		result.index.Errors, _ = countProblems(result.problems)
		return result
	}
	j, problems := r.estimated(file, old)
	result.problems = problems
	result.index.Errors, result.index.Warnings = countProblems(problems)
	if j == nil {
		return result
	}
	defer j.close()
	if result.backup, result.err = r.backUp(old, j, inputs); result.err != nil {
		return result
	}
	result.problems = j.problems
	result.index.Errors, result.index.Warnings = countProblems(j.problems)
	data, err := j.workbook()
	if err := save(target, data, err, r.force); err != nil {
		result.err = err
		return result
	}
	job, bid, held := j.schedule.Book.Job, j.plan.Bid, pricing.HeldMarks(j.takeoff)
	result.outcome = succeededIf(j.complete())
	result.row = []string{
		filepath.Base(target), fmt.Sprint(bid.Openings), bid.Total.String() + " " + job.Currency, fmt.Sprint(held),
		fmt.Sprintf("%d/%d", result.index.Errors, result.index.Warnings), j.state(),
	}
	index := &result.index
	index.Estimate, index.Number, index.Name = filepath.Base(target), job.Number, job.Name
	index.Openings, index.Materials, index.Total, index.Currency = bid.Openings, bid.Materials, bid.Total, job.Currency
	index.Held, index.State = held, j.state()
	return result
}

func countProblems(ps []estimate.Problem) (errors, warnings int) {
	for _, p := range ps {
		if p.Severity == estimate.Warning {
			warnings++
		}
	}
	return estimate.Errors(ps), warnings
}
