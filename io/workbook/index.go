package workbook

import (
	"fmt"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
	p.Row(xlsx.Str(xlsx.Title, "Estimates"))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("%d jobs of one run. Totals are those of the run: an estimate edited since says its own.", len(rows))))
	p.Skip(1)
	heads := []string{"Schedule", "Estimate", "Job number", "Name", "Openings", "Materials", "Total", "Currency", "Marks held", "Errors", "Warnings", "State"}
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	first := p.Next()
	currencies := map[string]bool{}
	var sum IndexRow
	for _, r := range rows {
		if r.Estimate == "" {
			p.Row(xlsx.Str(xlsx.Text, r.Schedule), xlsx.Str(xlsx.Text, "not written"), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Count), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Money), xlsx.Blank(xlsx.Text), xlsx.Blank(xlsx.Count), xlsx.Num(r.Errors, xlsx.Count), xlsx.Num(r.Warnings, xlsx.Count), xlsx.Str(xlsx.Bad, "not written"))
			continue
		}
		state := xlsx.Str(xlsx.Good, "complete")
		if r.State != "" {
			state = xlsx.Str(xlsx.Warn, r.State)
		}
		p.Row(xlsx.Str(xlsx.Text, r.Schedule), xlsx.LinkTo(xlsx.FileLink+r.Estimate, r.Estimate), xlsx.Str(xlsx.Text, r.Number), xlsx.Str(xlsx.TextWrap, r.Name), xlsx.Num(r.Openings, xlsx.Count), xlsx.Num(r.Materials, xlsx.Money), xlsx.Num(r.Total, xlsx.Money),
			xlsx.Str(xlsx.Text, r.Currency), xlsx.Num(r.Held, xlsx.Count), xlsx.Num(r.Errors, xlsx.Count), xlsx.Num(r.Warnings, xlsx.Count), state)
		currencies[r.Currency] = true
		sum.Openings += r.Openings
		sum.Materials += r.Materials
		sum.Total += r.Total
	}
	last := p.Next() - 1
	p.Finish("Jobs", header, len(heads), 1)
	cells := make([]xlsx.Cell, len(heads))
	for i := range cells {
		cells[i] = xlsx.Blank(xlsx.TotalText)
	}
	cells[0] = xlsx.Str(xlsx.TotalText, "All jobs")
	cells[4] = xlsx.Formula(formula.SumOf("E", first, last), sum.Openings, xlsx.TotalCount)
	if len(currencies) == 1 {
		cells[5] = xlsx.Formula(formula.SumOf("F", first, last), sum.Materials, xlsx.Total)
		cells[6] = xlsx.Formula(formula.SumOf("G", first, last), sum.Total, xlsx.Total)
	} else if len(currencies) > 1 {
		cells[6] = xlsx.Str(xlsx.TotalText, "several currencies")
	}
	p.Row(cells...)
	p.AutoWidth(8, 34)
	return o.Bytes()
}
