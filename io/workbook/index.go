package workbook

import (
	"fmt"

	"sillwright/estimate/measure"
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
	o := newOut(docProps{Title: "Estimates", Subject: "Jobs of one run", Description: "Written by Sillwright"})
	o.header = "Estimates"
	p := o.sheet("Estimates")
	p.landscape(true)
	p.row(str(title, "Estimates"))
	p.row(str(subtitle, fmt.Sprintf("%d jobs of one run. Totals are those of the run: an estimate edited since says its own.", len(rows))))
	p.skip(1)
	heads := []string{"Schedule", "Estimate", "Job number", "Name", "Openings", "Materials", "Total", "Currency", "Marks held", "Errors", "Warnings", "State"}
	header := p.row(strs(heading, heads...)...)
	first := p.next()
	currencies := map[string]bool{}
	var sum IndexRow
	for _, r := range rows {
		if r.Estimate == "" {
			p.row(str(text, r.Schedule), str(text, "not written"), blank(text), blank(text), blank(count), blank(money), blank(money), blank(text), blank(count), num(r.Errors, count), num(r.Warnings, count), str(bad, "not written"))
			continue
		}
		state := str(good, "complete")
		if r.State != "" {
			state = str(warn, r.State)
		}
		p.row(str(text, r.Schedule), linkTo(fileLink+r.Estimate, r.Estimate), str(text, r.Number), str(textWrap, r.Name), num(r.Openings, count), num(r.Materials, money), num(r.Total, money),
			str(text, r.Currency), num(r.Held, count), num(r.Errors, count), num(r.Warnings, count), state)
		currencies[r.Currency] = true
		sum.Openings += r.Openings
		sum.Materials += r.Materials
		sum.Total += r.Total
	}
	last := p.next() - 1
	p.finish("Jobs", header, len(heads), 1)
	cells := make([]cell, len(heads))
	for i := range cells {
		cells[i] = blank(totalText)
	}
	cells[0] = str(totalText, "All jobs")
	cells[4] = formula(sumOf("E", first, last), sum.Openings, totalCount)
	if len(currencies) == 1 {
		cells[5] = formula(sumOf("F", first, last), sum.Materials, total)
		cells[6] = formula(sumOf("G", first, last), sum.Total, total)
	} else if len(currencies) > 1 {
		cells[6] = str(totalText, "several currencies")
	}
	p.row(cells...)
	p.autoWidth(8, 34)
	return o.bytes()
}
