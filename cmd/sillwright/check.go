package main

import (
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
)

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
				fmt.Fprintf(c.App.Writer, "%s: %d openings, %d rows left out, %d errors\n", name, j.plan.Bid.Openings, j.leftOut(), estimate.Errors(problems))
			}
			return ended(exitCode(read, complete, len(files)+unread))
		},
	}
}
