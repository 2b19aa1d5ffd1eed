package comparison

import (
	"fmt"

	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// outliersSheet lists what stands out among the jobs.
func (w *jobsWriter) outliersSheet(p *xlsx.Sheet) func() {
	top(p, "What stands out", fmt.Sprintf("In %s: the cost of each class for an opening, and unit prices. Usual is the median of the jobs; "+
		"the spread is the median of their distances from it, at least 2 %% of it.", w.currency))
	return func() {
		fillOr(xlsx.NewTable(p, "StandsOut", w.outlierColumns()), w.in.Comparison.Odd, map[string]xlsx.Cell{
			"Figure": xlsx.Str(xlsx.TextWrap, "nothing: no figure that three jobs or more have is over 5.2 spreads from the usual"),
		})
	}
}

func (w *jobsWriter) outlierColumns() []xlsx.Column[compare.Outlier] {
	type odd = compare.Outlier
	return []xlsx.Column[odd]{
		{Head: "Figure", Width: 44, Frozen: true, Cell: func(o odd) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, o.What) }},
		{Head: "Job", Width: 18, Cell: func(o odd) xlsx.Cell { return xlsx.Str(xlsx.Text, w.jobs[o.Job].Name) }},
		{Head: "Value", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Value, xlsx.UnitPrice) }},
		{Head: "Usual", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Usual, xlsx.UnitPrice) }},
		{Head: "Spread", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Spread, xlsx.UnitPrice) }},
		{Head: "Spreads away", Width: 12, Cell: func(o odd) xlsx.Cell {
			return xlsx.Formula("ROUND(ROUND(ABS({Value}-{Usual})/{Spread},6),1)", float64(o.Times)/10, xlsx.Number)
		}},
		{Head: "Over the usual", Width: 12, Cell: func(o odd) xlsx.Cell { return excess("{Value}", "{Usual}", o.Value, o.Usual) }},
		{Head: "Jobs", Width: 8, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Of, xlsx.Count) }},
	}
}
