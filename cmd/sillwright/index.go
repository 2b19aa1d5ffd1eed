package main

import (
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/io/sheet"
	"sillwright/io/workbook"
)

// writeIndex writes the list of a batch's jobs beside its estimates, as a workbook
// and as CSV.
func (r estimateRun) writeIndex(dir string, rows []workbook.IndexRow) {
	out := newOutputSet(dir, r.force)
	data, err := workbook.Index(rows)
	out.add(indexName+".xlsx", data, err)
	data, err = indexCSV(rows)
	out.add(indexName+".csv", data, err)
	if err := out.write(); err != nil {
		printError(r.stderr, err)
	}
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
