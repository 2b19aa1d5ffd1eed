package main

import (
	"slices"
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

// writeIndex writes the list of a batch's jobs beside its estimates, as a workbook
// and as CSV, and returns its names. It replaces none of the run's inputs and other
// outputs. Of a list that cannot be written it reports false, and says that the one
// that is there is of an earlier run.
func (r estimateRun) writeIndex(dir string, rows []workbook.IndexRow, inputs, outputs []string) (names []string, ok bool) {
	out := newOutputSet(dir, r.force, inputs...)
	out.others = outputs
	data, err := workbook.Index(rows)
	out.add(indexName+".xlsx", data, err)
	data, err = indexCSV(rows)
	out.add(indexName+".csv", data, err)
	if err := out.write(); err != nil {
		printError(r.stderr, err)
		for _, name := range slices.DeleteFunc(slices.Clone(out.names), func(n string) bool { return !exists(n) }) {
			printMessage(r.stderr, name, estimate.Error, "it does not list the estimates of this run", "move it away, then run again with --force")
		}
		return out.names, false
	}
	return out.names, true
}

// indexCSV returns the list of a batch's jobs as CSV.
func indexCSV(rows []workbook.IndexRow) ([]byte, error) {
	type line struct {
		Schedule  string `csv:"schedule"`
		Estimate  string `csv:"estimate"`
		Number    string `csv:"job_number"`
		Name      string `csv:"name"`
		Openings  int64  `csv:"openings"`
		Materials string `csv:"materials"`
		Total     string `csv:"total"`
		Currency  string `csv:"currency"`
		Held      int    `csv:"marks_held"`
		Errors    int    `csv:"errors"`
		Warnings  int    `csv:"warnings"`
		State     string `csv:"state"`
	}
	lines := make([]line, len(rows))
	for i, r := range rows {
		l := line{
			Schedule: sheet.GuardCSV(r.Schedule), Estimate: sheet.GuardCSV(r.Estimate), Number: sheet.GuardCSV(r.Number), Name: sheet.GuardCSV(r.Name),
			Openings: r.Openings, Currency: r.Currency, Held: r.Held, Errors: r.Errors, Warnings: r.Warnings, State: r.State,
		}
		if r.Estimate != "" {
			l.Materials, l.Total = strings.ReplaceAll(r.Materials.String(), ",", ""), strings.ReplaceAll(r.Total.String(), ",", "")
		}
		lines[i] = l
	}
	return gocsv.MarshalBytes(lines)
}
