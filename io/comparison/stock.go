package comparison

import (
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// jobStock is how much of what a job bought of a class it needs.
type jobStock struct {
	compare.StockUse
	job string
}

// stockSheet writes how much of what was bought is needed.
func (w *jobsWriter) stockSheet(p *xlsx.Sheet) func() {
	top(p, "Bought vs. used", "Of lengths, the surplus is kerf, end trim, spares and offcuts together: Boards in each estimate tells them apart.")
	return func() {
		var list []jobStock
		for _, class := range compare.CostClasses() {
			for _, j := range w.jobs {
				for _, u := range j.cost.Stock {
					if u.Class == class {
						list = append(list, jobStock{u, j.Name})
					}
				}
			}
		}
		fill(xlsx.NewTable(p, "JobStock", w.stockColumns()), list)
	}
}

func (w *jobsWriter) stockColumns() []xlsx.Column[jobStock] {
	length := func(u jobStock, l measure.Length) xlsx.Cell {
		return known(estimate.Maybe[float64]{V: w.u.FarOf(l), Set: u.Cut}, xlsx.Number)
	}
	return []xlsx.Column[jobStock]{
		{Head: "Class", Width: 17, Cell: func(u jobStock) xlsx.Cell { return xlsx.Str(xlsx.Text, u.Class) }},
		{Head: "Job", Width: 17, Frozen: true, Cell: func(u jobStock) xlsx.Cell { return xlsx.Str(xlsx.Text, u.job) }},
		{Head: "Bought as", Width: 11, Cell: func(u jobStock) xlsx.Cell { return xlsx.Str(xlsx.Text, oneOf(u.Cut, "lengths", "packs")) }},
		{Head: "Items", Width: 8, Cell: func(u jobStock) xlsx.Cell { return xlsx.Num(u.Items, xlsx.Count) }},
		{Head: "Cost", Width: 12, Cell: func(u jobStock) xlsx.Cell { return xlsx.Num(u.Cost, xlsx.Money) }},
		{Head: "Surplus", Width: 12, Cell: func(u jobStock) xlsx.Cell { return xlsx.Num(u.Unused, xlsx.Money) }},
		{Head: "Surplus share", Width: 11, Cell: func(u jobStock) xlsx.Cell { return rate("{Surplus}", "{Cost}", int64(u.Unused), int64(u.Cost)) }},
		{Key: "Needed", Head: "Needed, " + w.u.Far(), Width: 12, Cell: func(u jobStock) xlsx.Cell { return length(u, u.Need) }},
		{Key: "Bought", Head: "Bought, " + w.u.Far(), Width: 12, Cell: func(u jobStock) xlsx.Cell { return length(u, u.Bought) }},
		{Head: "Used of length", Width: 11, Cell: func(u jobStock) xlsx.Cell { return rate("{Needed}", "{Bought}", int64(u.Need), int64(u.Bought)) }},
		{Head: "Not counted", Width: 40, Cell: func(u jobStock) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, strings.Join(u.NotTold, ", ")) }},
	}
}

// rate is a cell of one cell divided by another, as a percentage.
func rate(part, whole string, a, b int64) xlsx.Cell {
	var v estimate.Maybe[measure.Rate]
	if b > 0 {
		v = estimate.Given(twiceRounded(a, b))
	}
	return computed(fmt.Sprintf("IF(N(%[2]s)>0,ROUND(ROUND(%[1]s/%[2]s,8),6),%[3]q)", part, whole, none), v, xlsx.Percent)
}

// twiceRounded is a part of a whole as the formulas give it: rounded to eight decimals,
// so that programs agree, and then to six.
func twiceRounded(part, whole int64) measure.Rate {
	return measure.Rate(measure.MulDiv(measure.MulDiv(part, 100*int64(measure.One), whole), 1, 100))
}
