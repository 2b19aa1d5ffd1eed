package workbook

import (
	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// laborColumns are the columns of Labor. Hours have as many decimals as a unit price, and
// so its looks.
func laborColumns() []xlsx.Column[estimate.LaborTask] {
	type task = estimate.LaborTask
	return []xlsx.Column[task]{
		{Head: "Task", Width: 30, Frozen: true, Cell: func(l task) xlsx.Cell { return filled(xlsx.InputText, l.Task) }},
		{Head: "Kind", Width: 14, Cell: func(l task) xlsx.Cell { return filled(xlsx.InputText, string(l.Kind)) }},
		{Head: "Per", Width: 10, Cell: func(l task) xlsx.Cell { return filled(xlsx.InputText, l.Per) }},
		{Head: "Hours", Width: 10, Cell: func(l task) xlsx.Cell { return hoursCell(xlsx.InputUnitPrice, l.Hours) }},
		{Head: "Phase", Width: 10, Cell: func(l task) xlsx.Cell { return filled(xlsx.InputText, string(l.Phase)) }},
		{Head: "Published hours", Width: 12, Cell: func(l task) xlsx.Cell { return hoursCell(xlsx.UnitPrice, l.Public) }},
		{Head: "Covers", Width: 50, Cell: func(l task) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Covers) }},
		{Head: "Basis", Width: 12, Cell: func(l task) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Basis) }},
		{Head: "Source", Width: 36, Cell: func(l task) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Source) }},
	}
}

var laborRoles = inputRoles{
	live:  map[string]liveKind{"Task": anyText, "Kind": oneOf(estimate.Kinds...), "Per": oneOf(estimate.LaborPer...), "Hours": hoursInput},
	shown: []string{"Published hours", "Covers", "Basis", "Source"},
}

// Rows without a task, for the crew's own.
const (
	ownTasks      = 5  // in an estimate: they are worked out as soon as they are filled in
	ownTasksBlank = 10 // in a blank schedule
)

// laborSheet writes the tasks, with the crew's hours and the published ones beside
// them, and rows without a task. What the hours come to stands on Added costs.
func (w *writer) laborSheet(p *xlsx.Sheet) {
	w.lead(p, "Labor", "Off until you type your own Hours, with labor rate on Job: the loaded cost of one person-hour, payroll taxes and insurance in. "+
		"The published hours are there to compare, never used: they are for what Covers says, direct labor only, and no standard of production.")
	t := xlsx.NewTable(p, "LaborTasks", roled(w, laborRoles, laborColumns()))
	t.Header()
	tasks, own := w.in.Book.Labor, 0
	if w.checked {
		tasks, own = nil, ownTasks
		for _, l := range w.in.Plan.Labor {
			tasks = append(tasks, l.Task)
		}
	}
	if w.blank {
		own = ownTasksBlank
	}
	for _, task := range tasks {
		t.Row(task)
	}
	for range own {
		t.Row(estimate.LaborTask{})
	}
	t.Finish()
	t.Column("Kind").Choice(estimate.Kinds, "Kind", "What the hours are at.")
	t.Column("Per").Choice(estimate.LaborPer, "Per", "What the hours are for: an opening, each of its mulled units, a foot or meter of its frame's perimeter.")
	t.Column("Phase").Choice(estimate.PhaseWords, "Phase", "In which phase it is done. Blank = not stated.")
	t.Column("Hours").Decimals(0, hoursInput.most, "Hours", "Your own, of one: 1.5. Blank = not in the price.")
	w.help(&t.Grid, "Labor")
	if w.checked {
		w.watchedLabor = watch("Labor", &t.Grid, laborRoles, "Task", "Kind")
		w.hold(w.watchedLabor)
	}
}

// hoursCell is a cell of hours that may be missing.
func hoursCell(l xlsx.Look, h estimate.Maybe[estimate.Hours]) xlsx.Cell {
	if !h.Set {
		return xlsx.Blank(l)
	}
	return xlsx.Num(hoursValue(h.V), l)
}

func hoursValue(h estimate.Hours) float64 { return float64(h) / float64(estimate.Hour) }
