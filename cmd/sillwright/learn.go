package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/comparison"
	"sillwright/io/schedule"
	"sillwright/pricing/learn"
)

func learnCommand() *cli.Command {
	return &cli.Command{
		Name: "learn", Usage: "hold the rates of estimates against what the jobs really took",
		ArgsUsage: "ESTIMATE.xlsx...",
		Description: "Example:\n  sillwright learn elm-estimate.xlsx plum-hill-estimate.xlsx\n\n" +
			"Reads what was bought on Purchases, and what was left and worked on Actuals, of each\n" +
			"estimate. Writes " + learnedFile + ", " + learnedSettings + " for new --settings and " + learnedOnHand + "\n" +
			"for new --on-hand. It changes nothing by itself.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "`FOLDER` to write to; default: beside the first estimate"},
			&cli.BoolFlag{Name: "force", Usage: "replace files that exist"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			if !c.Args().Present() {
				return failed, misuse("it needs estimates (sillwright learn ESTIMATE.xlsx...)")
			}
			return learnRun{out: c.String("out"), force: c.Bool("force"), streams: streamsOf(c)}.run(c.Args().Slice())
		}),
	}
}

// learnRun is one run of learn.
type learnRun struct {
	out   string // folder, "" = that of the first estimate
	force bool
	streams
}

func (r learnRun) run(paths []string) (outcome, error) {
	jobs, read := readEstimates(paths, r.stderr)
	defer closeJobs(jobs)
	var took []learn.Job
	named := map[string]bool{}
	for _, j := range jobs {
		if name := strings.ToLower(jobName(j)); named[name] {
			printMessage(r.stderr, j.path, estimate.Warning, fmt.Sprintf("job %s is named twice: only the first counts", jobName(j)), "name each job once")
			read = max(read, incomplete)
			continue
		}
		named[strings.ToLower(jobName(j))] = true
		if a := j.schedule.Book.Job.Actuals; len(a.Left)+len(a.Hours) == 0 {
			printMessage(r.stderr, j.path, estimate.Warning, "nothing stands on its sheet "+schedule.ActualsSheet+": it teaches nothing, and is left out", "fill it in")
			read = max(read, incomplete)
			continue
		}
		took = append(took, learn.Job{Name: jobName(j), File: filepath.Base(j.path), Book: j.schedule.Book, Takeoff: j.takeoff, Lists: j.lists, Plan: j.plan})
	}
	if len(took) == 0 {
		return failed, nil
	}
	lessons := learn.Learn(took)
	again := lessons.WithSettings(comparison.LastJobs(lessons))
	out := newOutputSet(outFolder(r.out, paths[0]), r.force, paths...)
	data, err := comparison.Learned(comparison.LearnedInput{Lessons: lessons, Again: again})
	out.add(learnedFile, data, err)
	data, err = writeSettings(lessons)
	out.add(learnedSettings, data, err)
	latest := lessons.Jobs[len(lessons.Jobs)-1]
	data, err = writeLeftovers(latest)
	out.add(learnedOnHand, data, err)
	if err := out.write(); err != nil {
		return failed, err
	}
	r.print(lessons, again)
	fmt.Fprintf(r.stdout, "\nWritten: %s. Next job:\n  sillwright new FOLDER --settings %s --on-hand %s\nOn hand is what %s left.\n",
		onOneLine(out.names[0]), onOneLine(out.names[1]), onOneLine(out.names[2]), onOneLine(latest.Name))
	return read, nil
}

// print prints the rates that were measured, and what the last jobs would have cost.
func (r learnRun) print(l learn.Lessons, again []learn.Again) {
	rows := [][]string{{"Rate", "Last jobs", "Jobs", "Median", "From", "To", "Sure", "Estimate", "State"}}
	first := len(l.Jobs) - len(comparison.LastJobs(l))
	for _, x := range l.Rates {
		if x.Middle == nil {
			continue
		}
		var last []string
		for _, v := range x.ByJob[first:] {
			if v.Set {
				last = append(last, x.Words(v.V))
			} else {
				last = append(last, "-")
			}
		}
		row := []string{x.Name, strings.Join(last, " "), fmt.Sprint(x.Middle.Jobs), x.Words(x.Middle.Median), "", "", "", "-", x.State()}
		if x.Enough() {
			row[4], row[5], row[6] = x.Words(x.Middle.Low), x.Words(x.Middle.High), x.Middle.Sure.String()
		}
		if x.Had.Set {
			row[7] = x.Words(x.Had.V)
		}
		rows = append(rows, row)
	}
	printColumns(r.stdout, rows, "Rate", "Last jobs", "State")
	if len(l.Settings) == 0 {
		fmt.Fprintf(r.stdout, "\nNothing is put into the next schedule: no rate differs beyond chance over %d jobs or more.\n", learn.FewestJobs)
		return
	}
	fmt.Fprintln(r.stdout)
	rows = [][]string{{"Job", "As estimated", "With the settings", "Difference", ""}}
	for _, a := range again {
		row := []string{a.Job.Name, a.Was.String(), a.Now.String(), signed(a.Now - a.Was), a.Why}
		if a.Why != "" {
			row[2], row[3] = "-", "-"
		}
		rows = append(rows, row)
	}
	printColumns(r.stdout, rows, "Job", "")
}
