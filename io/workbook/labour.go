package workbook

import (
	"fmt"

	"sillwright/estimate"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// labourColumn is a column of the sheet Labour.
type labourColumn struct {
	head   string
	width  float64
	result bool // stands in an estimate only
	cell   func(w *writer, row int, l estimate.LabourLine) xlsx.Cell
}

// noCrewRate stands where hours have no cost for want of a rate.
const noCrewRate = "no crew rate"

// labourColumns are the sheet's columns; the results refer to the others by
// letter. Hours have as many decimals as a unit price, and so its looks.
var labourColumns = []labourColumn{
	{"Task", 30, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell { return filled(xlsx.InputText, l.Task.Task) }},
	{"Kind", 14, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell {
		return filled(xlsx.InputText, string(l.Task.Kind))
	}},
	{"Per", 10, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell { return filled(xlsx.InputText, l.Task.Per) }},
	{"Hours", 10, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell {
		return hoursCell(xlsx.InputUnitPrice, l.Task.Hours)
	}},
	{"Quantity", 10, true, (*writer).labourQuantity},
	{"Total hours", 11, true, func(_ *writer, row int, l estimate.LabourLine) xlsx.Cell { return totalHours("D", row, l.Hours) }},
	{"Cost", 12, true, (*writer).labourCost},
	{"Public hours", 12, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell {
		return hoursCell(xlsx.UnitPrice, l.Task.Public)
	}},
	{"Public total", 12, true, func(_ *writer, row int, l estimate.LabourLine) xlsx.Cell { return totalHours("H", row, l.Public) }},
	{"Covers", 50, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Task.Covers) }},
	{"Source", 36, false, func(_ *writer, _ int, l estimate.LabourLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Task.Source) }},
}

// Rows without a task, for the crew's own.
const (
	ownTasks      = 5  // in an estimate: they are worked out as soon as they are filled in
	ownTasksBlank = 10 // in a blank schedule
)

// labourSheet writes the crew's hours, what they come to, and the public table
// beside them.
func (w *writer) labourSheet(_ *xlsx.Sheet) {
	p := w.labour
	last := w.labourRows(w.in.Plan.Labour, labourColumns, ownTasks)
	hours := estimate.Hours(0)
	for _, l := range w.in.Plan.Labour {
		hours += l.Hours.V
	}
	const totals = inputHeader - 1
	p.Set(totals, 4, xlsx.Str(xlsx.TotalText, "Of the hours typed"))
	p.Set(totals, 5, xlsx.Blank(xlsx.TotalText))
	p.Set(totals, 6, xlsx.Formula(formula.SumOf("F", inputHeader+1, last), hoursValue(hours), xlsx.TotalNumber))
	p.Set(totals, 7, xlsx.Formula(formula.SumOf("G", inputHeader+1, last), estimate.LabourCost(w.in.Plan.Labour), xlsx.Total))
	w.labourTotal = p.Ref(totals, 7)
}

// labourInputs writes the sheet of a schedule: the same without results.
func (w *writer) labourInputs(p *xlsx.Sheet) {
	own := 0
	if w.blank {
		own = ownTasksBlank
	}
	w.labour = p
	var lines []estimate.LabourLine
	for _, task := range w.in.Book.Labour {
		lines = append(lines, estimate.LabourLine{Task: task})
	}
	var cols []labourColumn
	for _, c := range labourColumns {
		if !c.result {
			cols = append(cols, c)
		}
	}
	w.labourRows(lines, cols, own)
}

// labourRows writes the tasks and as many rows without one, and returns the
// last row.
func (w *writer) labourRows(lines []estimate.LabourLine, cols []labourColumn, own int) int {
	p := w.labour
	w.lead(p, "Labour", "Off until you type your own Hours, with crew rate on Job. The public table beside them is there to be compared, never used: "+
		"it is of what Covers says, direct labour only, and no standard of production.")
	var heads []string
	var widths []float64
	for _, c := range cols {
		heads, widths = append(heads, c.head), append(widths, c.width)
	}
	p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	for i, h := range heads {
		if words := otherHelp["Labour"][h]; w.blank && words != "" {
			p.NoteAt(formula.Cell(inputHeader, i+1), words)
		}
	}
	for i := range len(lines) + own {
		var l estimate.LabourLine
		if i < len(lines) {
			l = lines[i]
		}
		var cells []xlsx.Cell
		for _, c := range cols {
			cells = append(cells, c.cell(w, p.Next(), l))
		}
		p.Row(cells...)
	}
	last := p.Next() - 1
	input := func(col int) string { return formula.Range(inputHeader+1, col, max(last, inputHeader+1), col) }
	p.Choice(input(2), estimate.Kinds, "Kind", "What the hours are at.")
	p.Choice(input(3), estimate.LabourPer, "Per", "What the hours are of: an opening, each of its units, a foot or metre of its frame's perimeter.")
	p.DecimalRange(input(4), 0, 1000, "Hours", "Your own, of one: 1.5. Blank = not in the price.")
	p.Widths(widths...)
	p.Finish("LabourTasks", inputHeader, len(cols), 1)
	return last
}

// labourQuantity counts what a task is done at, over the rows of By opening.
func (w *writer) labourQuantity(row int, l estimate.LabourLine) xlsx.Cell {
	kinds, qty := w.byOpening.Column("Kind").String(), w.byOpening.Column("Qty").String()
	over := func(each string) string { return fmt.Sprintf("SUMPRODUCT((%s=B%d)*%s*%s)", kinds, row, qty, each) }
	foot, metre := "", "*0.3048"
	if w.u.MM { // By opening is in metres
		foot, metre = "/0.3048", ""
	}
	run := over(w.byOpening.Column("Perimeter each").String())
	f := fmt.Sprintf(`IF(C%[1]d="opening",SUMIF(%[2]s,B%[1]d,%[3]s),IF(C%[1]d="unit",%[4]s,IF(C%[1]d="foot",%[5]s,IF(C%[1]d="metre",%[6]s,""))))`,
		row, kinds, qty, over(w.byOpening.Column("Joined units").String()), run+foot, run+metre)
	if l.Base == 0 {
		return xlsx.Formula(f, "", xlsx.Number)
	}
	return xlsx.Formula(f, float64(l.Quantity)/float64(l.Base), xlsx.Number)
}

// totalHours multiplies the hours in a column by the quantity.
func totalHours(col string, row int, h estimate.Maybe[estimate.Hours]) xlsx.Cell {
	f := fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s%[2]d),ISNUMBER(E%[2]d)),ROUND(ROUND(%[1]s%[2]d*E%[2]d,8),4),"")`, col, row)
	if !h.Set {
		return xlsx.Formula(f, "", xlsx.UnitPrice)
	}
	return xlsx.Formula(f, hoursValue(h.V), xlsx.UnitPrice)
}

// labourCost multiplies the total hours by the crew's rate.
func (w *writer) labourCost(row int, l estimate.LabourLine) xlsx.Cell {
	rate := w.setting("crew rate")
	f := fmt.Sprintf(`IF(ISNUMBER(F%[1]d),IF(ISNUMBER(%[2]s),%[3]s,"%[4]s"),"")`, row, rate, formula.Cents(fmt.Sprintf("F%d*%s", row, rate), hoursCostDecimals), noCrewRate)
	switch {
	case l.Cost.Set:
		return xlsx.Formula(f, l.Cost.V, xlsx.Money)
	case l.Hours.Set:
		return xlsx.Formula(f, noCrewRate, xlsx.Money)
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
