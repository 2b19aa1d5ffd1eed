package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// noLaborRate stands where hours have no cost for want of a rate.
const noLaborRate = "no labor rate"

// laborColumns are the columns of Labor. What follows from the openings stands in an
// estimate only. Hours have as many decimals as a unit price, and so its looks.
func (w *writer) laborColumns(isEstimate bool) []xlsx.Column[estimate.LabourLine] {
	type line = estimate.LabourLine
	return []xlsx.Column[line]{
		{Head: "Task", Width: 30, Frozen: true, Cell: func(l line) xlsx.Cell { return filled(xlsx.InputText, l.Task.Task) }},
		{Head: "Kind", Width: 14, Cell: func(l line) xlsx.Cell { return filled(xlsx.InputText, string(l.Task.Kind)) }},
		{Head: "Per", Width: 10, Cell: func(l line) xlsx.Cell { return filled(xlsx.InputText, l.Task.Per) }},
		{Head: "Hours", Width: 10, Cell: func(l line) xlsx.Cell { return hoursCell(xlsx.InputUnitPrice, l.Task.Hours) }},
		{Head: "Quantity", Width: 10, Absent: !isEstimate, Cell: w.laborQuantity},
		{Head: "Total hours", Width: 11, Absent: !isEstimate, Cell: func(l line) xlsx.Cell { return totalHours("{Hours}", l.Hours) }},
		{Head: "Cost", Width: 12, Absent: !isEstimate, Cell: w.laborCost},
		{Head: "Published hours", Width: 12, Cell: func(l line) xlsx.Cell { return hoursCell(xlsx.UnitPrice, l.Task.Public) }},
		{Head: "Published total", Width: 12, Absent: !isEstimate, Cell: func(l line) xlsx.Cell { return totalHours("{Published hours}", l.Public) }},
		{Head: "Covers", Width: 50, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Task.Covers) }},
		{Head: "Basis", Width: 12, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Task.Basis) }},
		{Head: "Source", Width: 36, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Task.Source) }},
	}
}

// Rows without a task, for the crew's own.
const (
	ownTasks      = 5  // in an estimate: they are worked out as soon as they are filled in
	ownTasksBlank = 10 // in a blank schedule
)

// laborSheet writes the crew's hours, what they come to, and the published hours
// beside them.
func (w *writer) laborSheet(p *xlsx.Sheet) {
	t := w.laborTable(p, w.in.Plan.Labour, true, ownTasks)
	hours := estimate.Hours(0)
	for _, l := range w.in.Plan.Labour {
		hours += l.Hours.V
	}
	const totals = inputHeader - 1 // the row of the master check
	t.Put(totals, map[string]xlsx.Cell{
		"Hours":       xlsx.Str(xlsx.TotalText, "Of the hours typed"),
		"Quantity":    xlsx.Blank(xlsx.TotalText),
		"Total hours": xlsx.Formula(t.Sum("Total hours"), hoursValue(hours), xlsx.TotalNumber),
		"Cost":        xlsx.Formula(t.Sum("Cost"), estimate.LabourCost(w.in.Plan.Labour), xlsx.Total),
	})
	w.laborTotal = t.Cell(totals, "Cost").String()
}

// laborInputs writes the sheet of a schedule: the same without results.
func (w *writer) laborInputs(p *xlsx.Sheet) {
	var lines []estimate.LabourLine
	for _, task := range w.in.Book.Labour {
		lines = append(lines, estimate.LabourLine{Task: task})
	}
	own := 0
	if w.blank {
		own = ownTasksBlank
	}
	t := w.laborTable(p, lines, false, own)
	w.help(&t.Grid, "Labor")
}

// laborTable writes the tasks and as many rows without one.
func (w *writer) laborTable(p *xlsx.Sheet, lines []estimate.LabourLine, isEstimate bool, own int) *xlsx.Table[estimate.LabourLine] {
	w.lead(p, "Labor", "Off until you type your own Hours, with labor rate on Job: the loaded cost of one person-hour, payroll taxes and insurance in. "+
		"The published hours are there to compare, never used: they are for what Covers says, direct labor only, and no standard of production.")
	t := xlsx.NewTable(p, "LaborTasks", w.laborColumns(isEstimate))
	t.Header()
	for _, l := range lines {
		t.Row(l)
	}
	for range own {
		t.Row(estimate.LabourLine{})
	}
	t.Finish()
	t.Column("Kind").Choice(estimate.Kinds, "Kind", "What the hours are at.")
	t.Column("Per").Choice(estimate.LabourPer, "Per", "What the hours are for: an opening, each of its mulled units, a foot or meter of its frame's perimeter.")
	t.Column("Hours").Decimals(0, 1000, "Hours", "Your own, of one: 1.5. Blank = not in the price.")
	return t
}

// laborQuantity counts what a task is done at, over the rows of By opening.
func (w *writer) laborQuantity(l estimate.LabourLine) xlsx.Cell {
	o := w.byOpening
	kinds, qty := o.Column("Kind").String(), o.Column("Qty").String()
	over := func(each string) string { return "SUMPRODUCT((" + kinds + "={Kind})*" + qty + "*" + each + ")" }
	perMeter := estimate.LabourPer[len(estimate.LabourPer)-1]
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
	return xlsx.Formula(f, float64(l.Quantity)/float64(l.Base), xlsx.Number)
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
func (w *writer) laborCost(l estimate.LabourLine) xlsx.Cell {
	rate := w.setting("labor rate")
	f := fmt.Sprintf(`IF(ISNUMBER({Total hours}),IF(ISNUMBER(%s),%s,"%s"),"")`, rate, formula.Cents("{Total hours}*"+rate, hoursCostDecimals), noLaborRate)
	switch {
	case l.Cost.Set:
		return xlsx.Formula(f, l.Cost.V, xlsx.Money)
	case l.Hours.Set:
		return xlsx.Formula(f, noLaborRate, xlsx.Money)
	}
	return xlsx.Formula(f, "", xlsx.Money)
}

// hoursCostDecimals: hours with four decimals at a rate with two.
const hoursCostDecimals = 6

func hoursValue(h estimate.Hours) float64 { return float64(h) / float64(estimate.Hour) }

// hoursCell is a cell of hours that may be missing.
func hoursCell(l xlsx.Look, h estimate.Maybe[estimate.Hours]) xlsx.Cell {
	if !h.Set {
		return xlsx.Blank(l)
	}
	return xlsx.Num(hoursValue(h.V), l)
}
