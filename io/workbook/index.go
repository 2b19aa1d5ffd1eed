package workbook

import (
	"fmt"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// IndexRow is a job of a batch.
type IndexRow struct {
	Schedule, Estimate string // base names of the files; no estimate = not written
	Number, Name       string
	Openings           int64
	Materials, Total   measure.Money
	Currency           string
	Held               int // marks
	Errors, Warnings   int
	State              string // what the total leaves out
}

// Index returns a workbook that lists the jobs of a batch, each with a link to
// its estimate. Totals are summed only where all are of one currency. The same
// rows give the same bytes.
func Index(rows []IndexRow) ([]byte, error) {
	o := xlsx.New(xlsx.Properties{Title: "Estimates", Subject: "Jobs of one run", Description: "Written by Sillwright"})
	o.Header = "Estimates"
	p := o.AddSheet("Estimates")
	p.Landscape(true)
	p.AutoWidth(8, 34)
	p.Row(xlsx.Str(xlsx.Title, "Estimates"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%d jobs of one run. Totals are those when estimated: an estimate edited since shows its own.", len(rows))))
	p.Skip(1)
	t := xlsx.NewTable(p, "Jobs", indexColumns)
	t.Header()
	currencies := map[string]bool{}
	var sum IndexRow
	for _, r := range rows {
		t.Row(r)
		if r.Estimate == "" {
			continue
		}
		currencies[r.Currency] = true
		sum.Openings += r.Openings
		sum.Materials += r.Materials
		sum.Total += r.Total
	}
	t.Finish()
	totals := map[string]xlsx.Cell{"Openings": xlsx.Formula(t.Sum("Openings"), sum.Openings, xlsx.TotalCount)}
	if len(currencies) == 1 {
		totals["Materials"] = xlsx.Formula(t.Sum("Materials"), sum.Materials, xlsx.Total)
		totals["Total"] = xlsx.Formula(t.Sum("Total"), sum.Total, xlsx.Total)
	} else if len(currencies) > 1 {
		totals["Total"] = xlsx.Str(xlsx.TotalText, "several currencies")
	}
	t.Total("All jobs", totals)
	return o.Bytes()
}

var indexColumns = []xlsx.Column[IndexRow]{
	{Head: "Schedule", Frozen: true, Cell: func(r IndexRow) xlsx.Cell { return xlsx.Str(xlsx.Text, r.Schedule) }},
	{Head: "Estimate", Cell: IndexRow.estimateCell},
	{Head: "Job number", Cell: ofEstimate(xlsx.Text, func(r IndexRow) any { return r.Number })},
	{Head: "Name", Cell: IndexRow.nameCell},
	{Head: "Openings", Cell: ofEstimate(xlsx.Count, func(r IndexRow) any { return r.Openings })},
	{Head: "Materials", Cell: ofEstimate(xlsx.Money, func(r IndexRow) any { return r.Materials })},
	{Head: "Total", Cell: ofEstimate(xlsx.Money, func(r IndexRow) any { return r.Total })},
	{Head: "Currency", Cell: ofEstimate(xlsx.Text, func(r IndexRow) any { return r.Currency })},
	{Head: "Marks on hold", Cell: ofEstimate(xlsx.Count, func(r IndexRow) any { return r.Held })},
	{Head: "Errors", Cell: func(r IndexRow) xlsx.Cell { return xlsx.Num(r.Errors, xlsx.Count) }},
	{Head: "Warnings", Cell: func(r IndexRow) xlsx.Cell { return xlsx.Num(r.Warnings, xlsx.Count) }},
	{Head: "State", Cell: IndexRow.stateCell},
}

// ofEstimate shows what is known of a job once its estimate is written, and nothing of
// the others.
func ofEstimate(l xlsx.Look, value func(IndexRow) any) func(IndexRow) xlsx.Cell {
	return func(r IndexRow) xlsx.Cell {
		if r.Estimate == "" {
			return xlsx.Blank(l)
		}
		return xlsx.Num(value(r), l)
	}
}

const notWritten = "not written"

func (r IndexRow) estimateCell() xlsx.Cell {
	if r.Estimate == "" {
		return xlsx.Str(xlsx.Text, notWritten)
	}
	return xlsx.LinkTo(xlsx.FileLink+r.Estimate, r.Estimate)
}

func (r IndexRow) nameCell() xlsx.Cell {
	if r.Estimate == "" {
		return xlsx.Blank(xlsx.Text)
	}
	return xlsx.Str(xlsx.TextWrap, r.Name)
}

func (r IndexRow) stateCell() xlsx.Cell {
	switch {
	case r.Estimate == "":
		return xlsx.Str(xlsx.Bad, notWritten)
	case r.State != "":
		return xlsx.Str(xlsx.Warn, r.State)
	}
	return xlsx.Str(xlsx.Good, "complete")
}
