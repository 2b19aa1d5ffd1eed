package schedule

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// actual is a row of the sheet Actuals: what is left of a pack size stands beside hours of
// a day, and neither has to do with the other.
type actual struct {
	left  estimate.Leftover
	hours estimate.Worked
	time  estimate.Maybe[estimate.Hours]
}

// actualFields is the sheet Actuals.
func actualFields(items estimate.Items, date1904 bool) []field[actual] {
	packs := func(key string, at func(*actual) *estimate.Maybe[estimate.Packs], synonyms ...string) field[actual] {
		return field[actual]{key: key, number: true, synonyms: synonyms, set: give(partPacks, at)}
	}
	return []field[actual]{
		{key: "Item", required: true, set: put(anItem(items), func(a *actual) *string { return &a.left.Item })},
		{key: "Pack", required: true, synonyms: []string{"Content"}, set: put(text, func(a *actual) *string { return &a.left.Pack })},
		packs("Left", func(a *actual) *estimate.Maybe[estimate.Packs] { return &a.left.Left }, "Left over"),
		{key: "Broken", number: true, set: give(count(0, 1_000_000), func(a *actual) *estimate.Maybe[int64] { return &a.left.Broken })},
		packs("Carried", func(a *actual) *estimate.Maybe[estimate.Packs] { return &a.left.Carried }, "To another job"),
		{key: "Date", synonyms: []string{"Day"}, set: give(day(date1904), func(a *actual) *estimate.Maybe[measure.Date] { return &a.hours.Date })},
		{key: "Phase", set: put(word[estimate.Phase](phases), func(a *actual) *estimate.Phase { return &a.hours.Phase })},
		{key: "Time", set: put(word[estimate.Worktime](worktimes), func(a *actual) *estimate.Worktime { return &a.hours.Time })},
		{key: "Hours", number: true, required: true, set: give(hours, func(a *actual) *estimate.Maybe[estimate.Hours] { return &a.time })},
		{key: "Marks", synonyms: []string{"Mark"}, set: func(c *cell, a *actual) {
			if words, ok := c.text(); ok {
				a.hours.Marks = strings.FieldsFunc(words, func(r rune) bool { return strings.ContainsRune(";,", r) })
				for i := range a.hours.Marks {
					a.hours.Marks[i] = strings.TrimSpace(a.hours.Marks[i])
				}
			}
		}},
		{key: "Notes", set: put(remark, func(a *actual) *string { return &a.hours.Notes })},
	}
}

// worktimes are the words of what hours went into.
var worktimes = sheet.NewVocabulary(estimate.WorktimeWords, map[estimate.Worktime][]string{
	estimate.TimeWork: {"working", "job", "productive"}, estimate.TimeTravel: {"drive", "driving", "road"},
	estimate.TimeSetUp: {"setup", "unloading", "loading"}, estimate.TimeCleanup: {"clean up", "clean", "dump run"},
	estimate.TimeCallBack: {"callback", "warranty", "punch list", "rework"},
}, nil)

// partPacks reads a count of packs with at most four decimals: 2.5.
func partPacks(c *cell) (estimate.Packs, bool) {
	n, ok := amount(c, measure.UnitPriceFromNumber, measure.ParseUnitPrice) // as many decimals
	return estimate.Packs(n), ok
}

// ActualColumns are the columns of the sheet Actuals, and of its CSV file.
func ActualColumns() []string { return keys(actualFields(estimate.Items{}, false)) }

// actuals reads what the job took. A row with a mistake is left out.
func (r *reader) actuals(s *sheet.Sheet) {
	if s == nil {
		return
	}
	job := &r.out.Book.Job
	t, problems := open(s, actualFields(r.out.Book.Items, r.out.date1904), job.Bare())
	r.problems = append(r.problems, t.withoutNotes(problems)...)
	for _, row := range t.Rows {
		if !t.filled(row) {
			continue
		}
		a := actual{left: estimate.Leftover{Place: row.Place}, hours: estimate.Worked{Place: row.Place}}
		problems := t.read(row, &a)
		if estimate.Errors(problems) == 0 {
			problems = append(problems, a.check(row, r.out.Book.Items)...)
		}
		r.problems = append(r.problems, problems...)
		if estimate.Errors(problems) > 0 {
			continue
		}
		if a.counted() {
			job.Actuals.Left = append(job.Actuals.Left, a.left)
		}
		if a.time.V > 0 {
			a.hours.Hours = a.time.V
			job.Actuals.Hours = append(job.Actuals.Hours, a.hours)
		}
	}
}

// counted reports whether a row says anything of what is left.
func (a actual) counted() bool { return a.left.Left.Set || a.left.Broken.Set || a.left.Carried.Set }

// check completes a row, and says what it lacks.
func (a *actual) check(row sheet.Row, items estimate.Items) (problems []estimate.Problem) {
	refuse := func(column, what, do string) {
		problems = append(problems, row.Cell(column).Problem(estimate.Error, what, do))
	}
	if a.counted() {
		item, known := items.Get(a.left.Item)
		switch {
		case !known:
			refuse("Item", "Item is blank: what is left is of nothing", "write a key of the Items sheet")
		case a.left.Pack == "":
			refuse("Pack", "Pack is blank: what one holds is not known", "write it, such as 16 ft, 10.1 fl oz or 1 lb")
		default:
			amount, err := pricing.ParseContent(a.left.Pack, item)
			if err != nil {
				(&cell{Cell: row.Cell("Pack"), name: "Pack", problems: &problems}).form(err)
			}
			a.left.Amount = amount
		}
	}
	if a.hours.Time == "" {
		a.hours.Time = estimate.TimeWork
	}
	worked := slices.ContainsFunc([]string{"Date", "Phase", "Time", "Marks"}, func(head string) bool { return !isBlank(row.Cell(head)) })
	switch {
	case worked && !a.time.Set:
		refuse("Hours", "Hours is blank: nothing is known to be worked", "write the hours of all persons together")
	case a.time.V > 0 && a.hours.Time == estimate.TimeWork && a.hours.Phase == "":
		refuse("Phase", fmt.Sprintf("%s hours of work are of no phase", row.Cell("Hours").Word()),
			"write "+sheet.OneOf(estimate.PhaseWords)+"; or under Time what they went into")
	}
	return problems
}
