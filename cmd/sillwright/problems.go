package main

import (
	"strconv"

	"github.com/gocarina/gocsv"
	"github.com/urfave/cli/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// problemsFlag is the flag that asks for the problems as a file for machines.
func problemsFlag() cli.Flag {
	return &cli.StringFlag{Name: "problems", Usage: "write every problem, one per row, to this CSV `FILE`", TakesFile: true}
}

// writeProblems writes problems as CSV, a row each, in the order in which they
// are reported; a file of "" is none. It is never one of the inputs or of the other
// outputs.
func writeProblems(file string, problems []estimate.Problem, force bool, inputs, outputs []string) error {
	if file == "" {
		return nil
	}
	type line struct {
		File     string `csv:"file"`
		Sheet    string `csv:"sheet"`
		Cell     string `csv:"cell"`
		Row      string `csv:"row"`
		Column   string `csv:"column"`
		Severity string `csv:"severity"`
		What     string `csv:"what"`
		Do       string `csv:"do"`
	}
	lines := make([]line, len(problems))
	for i, p := range problems {
		l := line{
			File: sheet.GuardCSV(p.Place.File), Sheet: sheet.GuardCSV(p.Place.Sheet), Column: sheet.GuardCSV(p.Place.Column),
			Severity: p.Severity.String(), What: sheet.GuardCSV(p.What), Do: sheet.GuardCSV(p.Do),
		}
		if p.Place.Row > 0 {
			l.Row = strconv.Itoa(p.Place.Row)
		}
		if p.Place.Row > 0 && p.Place.Col > 0 {
			l.Cell = estimate.CellName(p.Place.Row, p.Place.Col)
		}
		lines[i] = l
	}
	data, err := gocsv.MarshalBytes(lines)
	if err == nil {
		err = checkApart(file, outputs)
	}
	if err == nil {
		err = checkTarget(file, force, inputs)
	}
	return save(file, data, err, force)
}
