package comparison

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing/compare"
)

// notStated stands where a unit belongs in the price and has no cost.
const notStated = "not stated"

// jobKind is the openings of one kind of a job.
type jobKind struct {
	compare.KindCost
	job string
}

// kindsSheet writes what the openings of each kind take, a row a job and kind.
func (w *jobsWriter) kindsSheet(p *xlsx.Sheet) func() {
	top(p, "By kind of opening",
		fmt.Sprintf("In %s. Materials are all that was bought, shared by need; without delivery, tax and what is added to cost.", w.currency))
	return func() {
		var list []jobKind
		for _, kind := range estimate.Kinds {
			for _, j := range w.jobs {
				for _, k := range j.cost.Kinds {
					if string(k.Kind) == kind {
						list = append(list, jobKind{k, j.Name})
					}
				}
			}
		}
		fill(xlsx.NewTable(p, "JobKinds", w.kindColumns()), list)
	}
}

func (w *jobsWriter) kindColumns() []xlsx.Column[jobKind] {
	far, wide := w.u.Far(), w.u.Name(estimate.Areawise)
	materialsPer := func(whole string, k jobKind, size, unit int64) xlsx.Cell {
		return quotient("{Materials}", whole, estimate.Given(per(k.Materials, size, unit)))
	}
	return []xlsx.Column[jobKind]{
		{Head: "Kind", Width: 15, Cell: func(k jobKind) xlsx.Cell { return xlsx.Str(xlsx.Text, string(k.Kind)) }},
		{Head: "Job", Width: 17, Frozen: true, Cell: func(k jobKind) xlsx.Cell { return xlsx.Str(xlsx.Text, k.job) }},
		{Head: "Openings", Width: 11, Cell: func(k jobKind) xlsx.Cell { return xlsx.Num(k.Openings, xlsx.Count) }},
		{Key: "Perimeter", Head: "Perimeter, " + far, Width: 12, Cell: func(k jobKind) xlsx.Cell { return xlsx.Num(w.u.FarOf(k.Perimeter), xlsx.Number) }},
		{Key: "Area", Head: "Area, " + wide, Width: 11, Cell: func(k jobKind) xlsx.Cell { return w.area(k.Area) }},
		{Head: "Materials", Width: 13, Cell: func(k jobKind) xlsx.Cell { return xlsx.Num(k.Materials, xlsx.Money) }},
		{Head: "Windows and doors", Width: 13, Cell: func(k jobKind) xlsx.Cell {
			if k.NoUnit > 0 {
				return xlsx.Str(xlsx.TextRight, notStated)
			}
			return xlsx.Num(k.Units, xlsx.Money)
		}},
		{Head: "Materials per opening", Width: 13, Cell: func(k jobKind) xlsx.Cell { return materialsPer("{Openings}", k, k.Openings, 1) }},
		{Head: "Per " + far, Width: 11, Cell: func(k jobKind) xlsx.Cell {
			return materialsPer("{Perimeter}", k, int64(k.Perimeter), int64(w.u.FarBase()))
		}},
		{Head: "Per " + wide, Width: 11, Cell: func(k jobKind) xlsx.Cell {
			return materialsPer("{Area}", k, int64(k.Area), w.u.Base(estimate.Areawise))
		}},
		{Head: "With the unit, per opening", Width: 14, Cell: func(k jobKind) xlsx.Cell {
			both := formula.Cents("({Materials}+{Windows and doors})/{Openings}", formula.ShareDecimals)
			v := estimate.Maybe[measure.Money]{V: per(k.Materials+k.Units, k.Openings, 1), Set: k.NoUnit == 0}
			return computed(fmt.Sprintf("IF(ISNUMBER({Windows and doors}),%s,%q)", both, none), v, xlsx.Money)
		}},
	}
}
