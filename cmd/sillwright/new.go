package main

import (
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/schedule"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
	"sillwright/templates"
)

func newCommand() *cli.Command {
	return &cli.Command{
		Name: "new", Usage: "write a blank schedule workbook and a starter price list",
		ArgsUsage: "FOLDER",
		Description: "Example:\n  sillwright new plum-hill\n\nWrites schedule.xlsx, to fill in, and prices.csv, whose prices are invented:\n" +
			"replace them with your suppliers'.",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "settings", Usage: "CSV `FILE` of settings to take in, as learn writes it"},
			&cli.StringFlag{Name: "on-hand", Usage: "CSV `FILE` of what is on hand, as learn writes it"},
			&cli.BoolFlag{Name: "force", Usage: "replace files that exist"},
		},
		Action: action(func(c *cli.Context) (outcome, error) {
			if c.NArg() != 1 {
				return failed, misuse("it needs one folder (sillwright new FOLDER)")
			}
			settings, onHand, err := newTables(c)
			if err != nil {
				return failed, err
			}
			s, problems := schedule.With(settings, onHand)
			printProblems(c.App.ErrWriter, problems)
			if estimate.Errors(problems) > 0 {
				return failed, errors.New("no schedule is written: correct the rows, or leave the file away")
			}
			in := scheduleInput(s, "Fill in one row per mark. Mark, Kind and one size are required; what is blank follows the defaults on Job.")
			in.Blank = true
			data, err := workbook.Schedule(in)
			out := newOutputSet(c.Args().First(), c.Bool("force"))
			out.add(scheduleFile, data, err)
			out.add(pricesFile, templates.Prices, nil)
			if err := out.write(); err != nil {
				return failed, err
			}
			fmt.Fprintf(c.App.Writer, "Fill in %s, put your prices into %s, then:\n  sillwright estimate %[1]s --prices %[2]s\n", onOneLine(out.names[0]),
				onOneLine(out.names[1]))
			return succeeded, nil
		}),
	}
}

// newTables opens the tables that a new schedule takes in, nil for those not named.
func newTables(c *cli.Context) (settings, onHand *sheet.Book, err error) {
	for _, t := range []struct {
		flag string
		to   **sheet.Book
	}{{"settings", &settings}, {"on-hand", &onHand}} {
		path := c.String(t.flag)
		if path == "" {
			continue
		}
		book, problems := sheet.Open(path)
		if book == nil {
			printProblems(c.App.ErrWriter, problems)
			return nil, nil, fileError{path, errors.New("it cannot be read")}
		}
		*t.to = book
	}
	return settings, onHand, nil
}
