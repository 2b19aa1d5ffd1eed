package main

import (
	"fmt"
	"path/filepath"

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
		Flags:       []cli.Flag{&cli.StringSliceFlag{Name: "prices", Usage: "price list, CSV or workbook; may be repeated", TakesFile: true}},
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return misuse{"check needs a schedule: sillwright check FILE"}
			}
			files, unread := schedules(c.Args().Slice(), c.App.ErrWriter)
			read, complete := 0, 0
			for _, f := range files {
				j, problems := load(f, c.StringSlice("prices"))
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
			return ended(exitCode(read, complete, len(files)+unread))
		},
	}
}
