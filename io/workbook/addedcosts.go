package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// addedCostsSheet writes what the lines of Other costs and Labor come to.
func (w *writer) addedCostsSheet(p *xlsx.Sheet) {
	w.top(p, "Added costs", "What the lines of Other costs and Labor come to; type them there. Empty lines are for what is typed later."+w.moneyWords())
	w.costRows(p)
	w.laborRows(p)
}

// addedCost is a line of Other costs by its row there; one that is nil is empty.
type addedCost struct {
	row  int
	line *estimate.CostLine
}

// costsTotal and laborTotal are the labels of the sums.
const (
	costsTotal = "Other costs"
	laborTotal = "Labor, of the hours typed"
)

func (w *writer) addedCostColumns() []xlsx.Column[addedCost] {
	type row = addedCost
	x := w.watchedCosts
	of := func(head string, value func(*estimate.CostLine) any, l xlsx.Look) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			v := any("")
			if r.line != nil {
				v = value(r.line)
			}
			return xlsx.Formula(x.now(r.row, head), v, l)
		}
	}
	return []xlsx.Column[row]{
		{Head: "What", Width: 40, Frozen: true, Cell: of("Text", func(c *estimate.CostLine) any { return c.Text }, xlsx.Text)},
		{Head: "Count", Width: 14, Cell: of("Count", func(c *estimate.CostLine) any { return setOr(c.Count, "") }, xlsx.Count)},
		{Head: "Price", Width: 10, Cell: of("Price", func(c *estimate.CostLine) any { return setOr(c.Price, "") }, xlsx.UnitPrice)},
		{Head: "Taxable", Width: 10, Cell: of("Taxable", func(c *estimate.CostLine) any { return xlsx.YesNo(c.Taxable) }, xlsx.Text)},
		{Head: "Extension", Width: 12, Cell: func(r row) xlsx.Cell { return costExtension(r.line) }},
		{Head: "No.", Width: 6, Numbered: true},
	}
}

// setOr is a value that may be missing, or what stands in its place.
func setOr[T any](m estimate.Maybe[T], other any) any {
	if m.Set {
		return m.V
	}
	return other
}

// costExtension is what a cost line comes to: nothing while it is empty, and in words
// while its count or its price is missing.
func costExtension(r *estimate.CostLine) xlsx.Cell {
	extension := formula.Cents("{Count}*{Price}", formula.ExtensionDecimals)
	c := xlsx.Formula(`IF(AND(ISNUMBER({Count}),ISNUMBER({Price})),`+extension+`,IF({What}&{Count}&{Price}="","","`+notStated+`"))`, "", xlsx.Money)
	switch {
	case r == nil:
	case r.Count.Set && r.Price.Set:
		c.V = measure.Extension(r.Count.V, r.Price.V)
	default:
		c.V = notStated
	}
	return c
}

func (w *writer) costRows(p *xlsx.Sheet) {
	w.costs = xlsx.NewTable(p, "AddedCosts", w.addedCostColumns())
	t := w.costs
	t.Header()
	lines := w.in.Book.Job.Costs
	for i, row := range w.watchedCosts.rows {
		r := addedCost{row: row}
		if i < len(lines) {
			r.line = &lines[i]
		}
		t.Row(r)
	}
	t.Seal()
	t.Total(costsTotal, map[string]xlsx.Cell{"Extension": xlsx.Formula(t.Sum("Extension"), w.in.Plan.Bid.Costs, xlsx.Total)})
}

// addedLabor is a line of Labor by its row there.
type addedLabor struct {
	row int
	estimate.LaborLine
}

// noLaborRate stands where hours have no cost for want of a rate.
const noLaborRate = "no labor rate"

func (w *writer) addedLaborColumns() []xlsx.Column[addedLabor] {
	type row = addedLabor
	x := w.watchedLabor
	return []xlsx.Column[row]{
		{Head: "Task", Cell: func(r row) xlsx.Cell { return xlsx.Formula(x.now(r.row, "Task"), r.Task.Task, xlsx.Text) }},
		{Head: "Kind", Cell: func(r row) xlsx.Cell { return xlsx.Formula(x.now(r.row, "Kind"), string(r.Task.Kind), xlsx.Text) }},
		{Head: "Per", Cell: func(r row) xlsx.Cell { return xlsx.Formula(x.now(r.row, "Per"), r.Task.Per, xlsx.Text) }},
		{Head: "Hours", Cell: func(r row) xlsx.Cell {
			v := any("")
			if r.Task.Hours.Set {
				v = hoursValue(r.Task.Hours.V)
			}
			return xlsx.Formula(x.now(r.row, "Hours"), v, xlsx.UnitPrice)
		}},
		{Head: "Quantity", Cell: w.laborQuantity},
		{Head: "No.", Numbered: true},
		{Head: "Total hours", Width: 11, Cell: func(r row) xlsx.Cell { return totalHours("{Hours}", r.Hours) }},
		{Head: "Cost", Width: 12, Cell: w.laborCost},
		{Head: "Published hours", Width: 12, Cell: func(r row) xlsx.Cell { return hoursCell(xlsx.UnitPrice, r.Task.Public) }},
		{Head: "Published total", Width: 12, Cell: func(r row) xlsx.Cell { return totalHours("{Published hours}", r.Public) }},
	}
}

func (w *writer) laborRows(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Labor"))
	w.labor = xlsx.NewTable(p, "AddedLabor", w.addedLaborColumns())
	t := w.labor
	t.HeaderOnly()
	hours := estimate.Hours(0)
	for i, row := range w.watchedLabor.rows {
		r := addedLabor{row: row}
		if i < len(w.in.Plan.Labor) {
			r.LaborLine = w.in.Plan.Labor[i]
			hours += r.LaborLine.Hours.V
		}
		t.Row(r)
	}
	t.Fix()
	t.Total(laborTotal, map[string]xlsx.Cell{
		"Total hours": xlsx.Formula(t.Sum("Total hours"), hoursValue(hours), xlsx.TotalNumber),
		"Cost":        xlsx.Formula(t.Sum("Cost"), estimate.LaborCost(w.in.Plan.Labor), xlsx.Total),
	})
}

// laborQuantity counts what a task is done at, over the rows of By opening.
func (w *writer) laborQuantity(l addedLabor) xlsx.Cell {
	o := w.byOpening
	kinds, qty := o.Column("Kind").String(), o.Column("Qty").String()
	over := func(each string) string { return "SUMPRODUCT((" + kinds + "={Kind})*" + qty + "*" + each + ")" }
	perMeter := estimate.LaborPer[len(estimate.LaborPer)-1]
	foot, meter := "", "*0.3048"
	if w.u.MM { // By opening is in meters
		foot, meter = "/0.3048", ""
	}
	perimeter := over(o.Column("Perimeter each").String())
	f := fmt.Sprintf(`IF({Per}="opening",SUMIF(%s,{Kind},%s),IF({Per}="unit",%s,IF({Per}="foot",%s,IF({Per}="%s",%s,""))))`,
		kinds, qty, over(o.Column("Mulled units").String()), perimeter+foot, perMeter, perimeter+meter)
	if l.Base == 0 {
		return xlsx.Formula(f, "", xlsx.Number)
	}
	return xlsx.Formula(f, float64(l.LaborLine.Quantity)/float64(l.Base), xlsx.Number)
}

// totalHours multiplies hours of one by the quantity.
func totalHours(of string, h estimate.Maybe[estimate.Hours]) xlsx.Cell {
	f := fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s),ISNUMBER({Quantity})),ROUND(ROUND(%[1]s*{Quantity},8),4),"")`, of)
	if !h.Set {
		return xlsx.Formula(f, "", xlsx.UnitPrice)
	}
	return xlsx.Formula(f, hoursValue(h.V), xlsx.UnitPrice)
}

// laborCost multiplies the total hours by the labor rate.
func (w *writer) laborCost(l addedLabor) xlsx.Cell {
	rate := w.setting("labor rate")
	f := fmt.Sprintf(`IF(ISNUMBER({Total hours}),IF(ISNUMBER(%s),%s,"%s"),"")`, rate, formula.Cents("{Total hours}*"+rate, hoursCostDecimals), noLaborRate)
	switch {
	case l.Cost.Set:
		return xlsx.Formula(f, l.Cost.V, xlsx.Money)
	case l.LaborLine.Hours.Set:
		return xlsx.Formula(f, noLaborRate, xlsx.Money)
	}
	return xlsx.Formula(f, "", xlsx.Money)
}

// hoursCostDecimals: hours with four decimals at a rate with two.
const hoursCostDecimals = 6
