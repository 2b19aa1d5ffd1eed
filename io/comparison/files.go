package comparison

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// filesSheet says of each job where it comes from and by which rates.
func (w *jobsWriter) filesSheet(p *xlsx.Sheet) func() {
	top(p, "The files", fmt.Sprintf("In %s. A total in a file that is not what it comes to is not used; "+
		"rates that differ make totals differ: compare the direct cost.", w.currency))
	return func() {
		t := xlsx.NewTable(p, "JobFiles", w.fileColumns())
		fill(t, w.jobs)
		differs := t.Column("Difference")
		differs.Highlight(fmt.Sprintf("AND(ISNUMBER(%[1]s),%[1]s<>0)", differs.FixedColumn()), xlsx.Warn)
	}
}

func (w *jobsWriter) fileColumns() []xlsx.Column[job] {
	return []xlsx.Column[job]{
		jobColumn,
		{Head: "File", Width: 40, Cell: func(j job) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, j.File) }},
		{Head: "Written in", Width: 11, Cell: func(j job) xlsx.Cell { return xlsx.Str(xlsx.Text, oneOf(j.Book.Job.MM, "mm", "in")) }},
		{Head: "Tax", Width: 9, Cell: func(j job) xlsx.Cell { return xlsx.Num(j.Book.Job.Tax, xlsx.Percent) }},
		{Head: "Overhead", Width: 11, Cell: func(j job) xlsx.Cell { return xlsx.Num(j.Book.Job.Overhead, xlsx.Percent) }},
		{Head: "Contingency", Width: 12, Cell: func(j job) xlsx.Cell { return xlsx.Num(j.Book.Job.Contingency, xlsx.Percent) }},
		{Head: "Profit", Width: 10, Cell: func(j job) xlsx.Cell { return xlsx.Num(j.Book.Job.Profit, xlsx.Percent) }},
		{Head: "Profit is", Width: 20, Cell: func(j job) xlsx.Cell {
			return xlsx.Str(xlsx.Text, oneOf(j.Book.Job.Margin, "margin of the price", "markup on cost"))
		}},
		{Head: "Total", Width: 13, Cell: func(j job) xlsx.Cell {
			return xlsx.Formula(w.totals.At(j.key, "Total").String(), j.Plan.Bid.Total, xlsx.Money)
		}},
		{Head: "Total in the file", Width: 13, Cell: func(j job) xlsx.Cell { return known(j.Stored, xlsx.Money) }},
		{Head: "Difference", Width: 12, Cell: func(j job) xlsx.Cell {
			if !j.Stored.Set {
				return xlsx.Str(xlsx.TextRight, "not read")
			}
			return xlsx.Formula("ROUND({Total in the file}-{Total},2)", less(j.Stored, estimate.Given(j.Plan.Bid.Total)).V, xlsx.Money)
		}},
	}
}

func oneOf(is bool, yes, no string) string {
	if is {
		return yes
	}
	return no
}
