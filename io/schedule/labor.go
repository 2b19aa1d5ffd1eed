package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// maxHours is the longest time that one task at one opening is believed to take.
const maxHours = 1000 * estimate.Hour

// taskFields are the columns of the shipped table of labor, and of the sheet
// Labor, that say what a row is about.
var taskFields = []field[estimate.LaborTask]{
	{key: "Task", synonyms: []string{"Work"}, required: true, filled: "say what the work is",
		set: put(taskName, func(l *estimate.LaborTask) *string { return &l.Task })},
	{key: "Kind", required: true, filled: "write " + sheet.OneOf(estimate.Kinds),
		set: put(oneKind, func(l *estimate.LaborTask) *estimate.Kind { return &l.Kind })},
	{key: "Per", required: true, filled: "write " + sheet.OneOf(estimate.LaborPer),
		set: put(word[string](pers), func(l *estimate.LaborTask) *string { return &l.Per })},
	{key: "Phase", synonyms: []string{"Visit"}, set: put(word[estimate.Phase](phases), func(l *estimate.LaborTask) *estimate.Phase { return &l.Phase })},
}

// publicFields are the columns of the shipped table alone.
var publicFields = slices.Concat(taskFields, []field[estimate.LaborTask]{
	{key: "Public hours", required: true, set: give(hours, func(l *estimate.LaborTask) *estimate.Maybe[estimate.Hours] { return &l.Public })},
	{key: "Covers", required: true, set: put(text, func(l *estimate.LaborTask) *string { return &l.Covers })},
	{key: "Basis", required: true, set: put(text, func(l *estimate.LaborTask) *string { return &l.Basis })},
	{key: "Source", required: true, set: put(text, func(l *estimate.LaborTask) *string { return &l.Source })},
})

// laborFields is the sheet Labor. A published figure is never taken from it.
var laborFields = slices.Concat(taskFields, []field[estimate.LaborTask]{
	{key: "Hours", synonyms: []string{"Hours each", "Own hours"}, required: true, number: true,
		set: give(hours, func(l *estimate.LaborTask) *estimate.Maybe[estimate.Hours] { return &l.Hours })},
})

var pers = sheet.NewVocabulary(estimate.LaborPer, map[string][]string{
	"opening": {"each", "ea"}, "unit": {"each unit"}, "foot": {"ft", "feet", "lf", "linear foot"}, "meter": {"m", "metre"},
}, nil)

// phases are the words of a phase, with what people write for them.
var phases = sheet.NewVocabulary(estimate.PhaseWords, map[estimate.Phase][]string{
	estimate.PhaseInstall: {"set", "setting", "installation", "installing"}, estimate.PhaseShop: {"in the shop", "cut", "cutting"},
	estimate.PhaseTrim: {"hang", "hanging", "trimming"}, estimate.PhaseFinish: {"finishing", "caulk", "touch up"},
}, nil)

// oneKind reads a kind that stands for itself.
func oneKind(c *cell) (estimate.Kind, bool) {
	var o estimate.Opening
	kind(c, &o)
	return o.Kind, o.Kind != ""
}

// taskName reads the name of a task.
func taskName(c *cell) (string, bool) {
	s, ok := c.text()
	return estimate.FormerTasks.Now(s), ok
}

// hours reads a number of hours with at most four decimals.
func hours(c *cell) (estimate.Hours, bool) {
	if c.Kind == sheet.Text && strings.Trim(c.Word(), "0123456789.,-") != "" {
		c.refuse(fmt.Sprintf("%s %q is not a number of hours", c.name, sheet.Excerpt(c.Word())), "write hours with a decimal point, such as 1.5")
		return 0, false
	}
	// A unit price has as many decimals.
	n, ok := amount(c, measure.UnitPriceFromNumber, measure.ParseUnitPrice)
	if h := estimate.Hours(n); ok && h <= maxHours {
		return h, true
	}
	if ok {
		c.refuse(fmt.Sprintf("%s %q is more than one task takes", c.name, c.Word()), "write the hours of one opening, unit, foot or meter")
	}
	return 0, false
}

// labor reads the shipped tasks, and over them the hours of the sheet Labor.
// A row of the same task, kind and per gives a shipped task its hours; any
// other is a task of the crew's own. A row with a mistake is left out.
func (r *reader) labor(s *sheet.Sheet) {
	tasks := slices.Clone(shipped().labor)
	at := map[string]int{} // index of a task by what it is about
	for i, task := range tasks {
		at[taskKey(task)] = i
	}
	for _, own := range r.ownTasks(s) {
		i, shipped := at[taskKey(own)]
		if !shipped {
			tasks = append(tasks, own)
			continue
		}
		tasks[i].Place, tasks[i].Hours, tasks[i].Phase = own.Place, own.Hours, cmp.Or(own.Phase, tasks[i].Phase)
	}
	r.out.Book.Labor = tasks
}

// ownTasks reads the sheet Labor, each task once.
func (r *reader) ownTasks(s *sheet.Sheet) []estimate.LaborTask {
	if s == nil {
		return nil
	}
	t, problems := open(s, laborFields, measure.Inches)
	r.problems = append(r.problems, t.withoutNotes(problems)...) // an estimate adds what each row comes to
	var out []estimate.LaborTask
	first := map[string]estimate.Place{}
	for _, row := range t.Rows {
		if !t.filled(row) {
			continue
		}
		task := estimate.LaborTask{Place: row.Cell("Hours").Place}
		problems := t.read(row, &task)
		if estimate.Errors(problems) == 0 {
			key := taskKey(task)
			if before, again := first[key]; again {
				problems = append(problems,
					row.Cell("Task").Problem(estimate.Error,
						fmt.Sprintf("%q for this kind, per %s, stands in %s too", sheet.Excerpt(task.Task), task.Per, where(before)), "keep one of the two"))
			} else {
				first[key] = task.Place
				out = append(out, task)
			}
		}
		r.problems = append(r.problems, problems...)
	}
	return out
}

// taskKey tells tasks apart.
func taskKey(l estimate.LaborTask) string {
	return strings.Join([]string{fold(l.Task), string(l.Kind), l.Per}, "\n")
}
