package workbook

import (
	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
)

// testWriter returns the writer of an estimate of which the inputs are written that
// results refer to; of Openings the column Qty alone.
func testWriter(in Input) *writer {
	in.File = "job.xlsx"
	in.Openings = Table{Columns: []string{"Qty"}, Headers: []string{"Qty"}}
	for i, o := range in.Takeoff.Openings {
		in.Book.Openings = append(in.Book.Openings, o.Opening)
		in.Openings.Rows = append(in.Openings.Rows, []sheet.Cell{{Kind: sheet.Number, Number: float64(o.Qty)}})
		in.Openings.Opening = append(in.Openings.Opening, i)
	}
	w := newWriter(in)
	w.jobSheet(w.page("Job"))
	w.openingsSheet(w.page("Openings"))
	w.costsSheet(w.page("Other costs"))
	w.laborSheet(w.page("Labor"))
	w.whenEstimatedSheet(w.page(WhenEstimated))
	return w
}

// page returns a sheet of the estimate.
func (w *writer) page(name string) *xlsx.Sheet { return w.out.Sheet(name) }

// laborRate is the setting of that name.
func laborRate(rate string) estimate.Setting {
	return estimate.Setting{Key: "labor rate", Unit: "money", Text: rate}
}
