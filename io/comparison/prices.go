package comparison

import (
	"fmt"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// priceSheet builds each job's price up from its parts, and draws them.
func (w *jobsWriter) priceSheet(p *xlsx.Sheet) func() {
	top(p, "How the price is made up", fmt.Sprintf("In %s. Direct cost, cost and total are sums of their parts; the rates stand on Files.", w.currency))
	w.price = place(p, xlsx.NewTable(p, "JobPrices", w.priceColumns()), len(w.jobs))
	return func() {
		fill(w.price, w.jobs)
		var drawn []barPart
		for _, x := range bidParts {
			if !x.isSum() {
				drawn = append(drawn, barPart{x.label, func(j job) measure.Money { return x.in(j.Side).V }})
			}
		}
		w.bars(p, w.price, "Parts of each job's total", drawn, func(j job) measure.Money { return j.Plan.Bid.Total })
	}
}

func (w *jobsWriter) priceColumns() []xlsx.Column[job] {
	columns := []xlsx.Column[job]{jobColumn}
	for _, x := range bidParts {
		columns = append(columns, xlsx.Column[job]{Head: x.label, Width: x.width, Cell: func(j job) xlsx.Cell {
			switch v := x.in(j.Side); {
			case x.label == materialsPart:
				return xlsx.Formula(w.materials.At(j.key, allMaterials).String(), v.V, xlsx.Money)
			case x.isSum():
				return xlsx.Formula(x.across(), v.V, xlsx.Money)
			default:
				return known(v, xlsx.Money)
			}
		}})
	}
	return columns
}
