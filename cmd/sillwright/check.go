package main

import (
	"fmt"
	"path/filepath"
	"slices"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
)

// many writes a number of things: 1 opening, 2 openings.
func many(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func checkCommand() *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "report every problem of schedules, with its cell; writes nothing",
		ArgsUsage:   "FILE|FOLDER...",
		Description: "Example:\n  sillwright check duplex.xlsx",
		Flags:       []cli.Flag{&cli.StringSliceFlag{Name: "prices", Usage: "price list, CSV or workbook; may be repeated", TakesFile: true}, problemsFlag(), &cli.BoolFlag{Name: "force", Usage: "replace a file of problems that exists"}},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return misuse{"check needs a schedule: sillwright check FILE"}
			}
			files, unread := schedules(c.Args().Slice(), c.App.ErrWriter)
			read, complete := 0, 0
			var all []estimate.Problem
			for _, f := range files {
				j, problems := load(f, c.StringSlice("prices"))
				all = append(all, problems...)
				report(c.App.ErrWriter, problems)
				name := filepath.Base(f)
				if j == nil {
					fmt.Fprintf(c.App.Writer, "%s: not readable\n", name)
					continue
				}
				read++
				if j.complete() {
					complete++
				}
				fmt.Fprintf(c.App.Writer, "%s: %s, %s left out, %s\n", name, many(j.plan.Bid.Openings, "opening"), many(int64(j.leftOut()), "row"), many(int64(estimate.Errors(problems)), "error"))
			}
			if err := writeProblems(c.String("problems"), all, c.Bool("force"), slices.Concat(files, c.StringSlice("prices"))); err != nil {
				return fmt.Errorf("%s: not written: %w", c.String("problems"), reason(err))
			}
			return ended(exitCode(read, complete, len(files)+unread))
		},
	}
}
