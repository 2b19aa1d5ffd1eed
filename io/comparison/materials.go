package comparison

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// allMaterials heads the sum of the classes.
const allMaterials = "Materials"

// classCost is a column of Materials: a class, or what is priced of classes
// that are not complete.
type classCost struct {
	head string
	of   func(job) estimate.Maybe[measure.Money]
}

// classCosts returns the classes that some job needs.
func (w *jobsWriter) classCosts() []classCost {
	var out []classCost
	for i, class := range compare.CostClasses() {
		if slices.ContainsFunc(w.jobs, func(j job) bool { return j.cost.Classes[i].Items > 0 }) {
			out = append(out, classCost{class, func(j job) estimate.Maybe[measure.Money] {
				c := j.cost.Classes[i]
				return estimate.Maybe[measure.Money]{V: c.Cost, Set: c.Whole()}
			}})
		}
	}
	if slices.ContainsFunc(w.jobs, func(j job) bool { return j.inPart().Set }) {
		out = append(out, classCost{"part of incomplete classes", job.inPart})
	}
	return out
}

// inPart adds up what is priced of the classes that are not complete, if there are any.
func (j job) inPart() (sum estimate.Maybe[measure.Money]) {
	for _, c := range j.cost.Classes {
		if len(c.Missing) > 0 {
			sum = estimate.Given(sum.V + c.Cost)
		}
	}
	return sum
}

func (j job) allMaterials() estimate.Maybe[measure.Money] {
	return estimate.Given(j.Plan.Bid.Materials)
}

// materialsSheet writes what each job buys by class, and draws it.
func (w *jobsWriter) materialsSheet(p *xlsx.Sheet) func() {
	top(p, "Materials by class",
		fmt.Sprintf("In %s, as bought. A dash: the job needs nothing of the class, or not all of it has a price.", w.currency))
	classes := w.classCosts()
	w.materials = place(p, xlsx.NewTable(p, "JobMaterials", materialsColumns(classes)), len(w.jobs))
	return func() {
		fill(w.materials, w.jobs)
		var drawn []barPart
		for _, c := range classes {
			drawn = append(drawn, barPart{c.head, func(j job) measure.Money { return c.of(j).Or(0) }})
		}
		w.bars(p, w.materials, "Materials of each job by class", drawn, func(j job) measure.Money { return j.Plan.Bid.Materials })
	}
}

func materialsColumns(classes []classCost) []xlsx.Column[job] {
	columns := []xlsx.Column[job]{jobColumn}
	sum := "0"
	for _, c := range classes {
		columns = append(columns, xlsx.Column[job]{Head: c.head, Width: 12, Cell: func(j job) xlsx.Cell { return known(c.of(j), xlsx.Money) }})
		sum = fmt.Sprintf("SUM({%s..%s})", classes[0].head, c.head)
	}
	return append(columns, xlsx.Column[job]{Head: allMaterials, Width: 12, Cell: func(j job) xlsx.Cell {
		return xlsx.Formula(sum, j.Plan.Bid.Materials, xlsx.Money)
	}})
}

// openingSheet writes the classes again, for one opening.
func (w *jobsWriter) openingSheet(p *xlsx.Sheet) func() {
	top(p, "Materials per opening", fmt.Sprintf("In %s, by class: Materials divided by the number of openings.", w.currency))
	return func() { fill(xlsx.NewTable(p, "MaterialsAnOpening", w.openingColumns()), w.jobs) }
}

func (w *jobsWriter) openingColumns() []xlsx.Column[job] {
	columns := []xlsx.Column[job]{jobColumn}
	for _, c := range append(w.classCosts(), classCost{allMaterials, job.allMaterials}) {
		columns = append(columns, xlsx.Column[job]{Head: c.head, Width: 12, Cell: func(j job) xlsx.Cell {
			return quotient(w.materials.At(j.key, c.head).String(), "{Openings}", j.perOpening(c.of(j)))
		}})
	}
	return append(columns, xlsx.Column[job]{Head: "Openings", Width: 11, Cell: func(j job) xlsx.Cell {
		return xlsx.Num(j.Plan.Bid.Openings, xlsx.Count)
	}})
}

// perOpening divides an amount, where it is known, over the openings of a job that has
// some.
func (j job) perOpening(v estimate.Maybe[measure.Money]) estimate.Maybe[measure.Money] {
	if !v.Set || j.Plan.Bid.Openings <= 0 {
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(per(v.V, j.Plan.Bid.Openings, 1))
}

// per returns an amount for one unit of a size.
func per(v measure.Money, size, unit int64) measure.Money {
	return measure.Money(measure.MulDiv(int64(v), unit, size))
}
