package comparison

import (
	"fmt"

	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// outliersSheet lists what stands out among the jobs.
func (w *jobsWriter) outliersSheet(p *xlsx.Sheet) func() {
	top(p, "What stands out", fmt.Sprintf("In %s: the cost of each class per opening, and unit prices. Median of the jobs; "+
		"the usual spread is the median of their distances from it, at least 2 %% of it.", w.currency))
	return func() {
		fillOr(xlsx.NewTable(p, "StandsOut", w.outlierColumns()), w.in.Comparison.Odd, map[string]xlsx.Cell{
			"Figure": xlsx.Str(xlsx.TextWrap, "nothing: no figure that three jobs or more have is over 5.2 times the usual spread from the median"),
		})
	}
}

func (w *jobsWriter) outlierColumns() []xlsx.Column[compare.Outlier] {
	type odd = compare.Outlier
	return []xlsx.Column[odd]{
		{Head: "Figure", Width: 44, Frozen: true, Cell: func(o odd) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, o.What) }},
		{Head: "Job", Width: 18, Cell: func(o odd) xlsx.Cell { return xlsx.Str(xlsx.Text, w.jobs[o.Job].Name) }},
		{Head: "Value", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Value, xlsx.UnitPrice) }},
		{Head: "Median", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Usual, xlsx.UnitPrice) }},
		{Head: "Usual spread", Width: 12, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Spread, xlsx.UnitPrice) }},
		{Head: "Times the usual spread", Width: 12, Cell: func(o odd) xlsx.Cell {
			return xlsx.Formula("ROUND(ROUND(ABS({Value}-{Median})/{Usual spread},6),1)", float64(o.Times)/10, xlsx.Number)
		}},
		{Head: "vs. median", Width: 12, Cell: func(o odd) xlsx.Cell { return excess("{Value}", "{Median}", o.Value, o.Usual) }},
		{Head: "Jobs", Width: 8, Cell: func(o odd) xlsx.Cell { return xlsx.Num(o.Of, xlsx.Count) }},
	}
}
