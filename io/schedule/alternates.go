package schedule

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// Alternate is another way to do the job: the rows of one name on the sheet
// Alternates.
type Alternate struct {
	Name    string
	Changes []Change
	Wrong   bool // a row of it cannot be read, which the problems say
}

// Change is a row of an alternate: one column of the openings for which a
// condition holds, or one line of Job, gets another value.
type Change struct {
	Place  estimate.Place // of the value
	When   string         // as written; "" = every opening
	Column string         // the header of Openings or the key of Job as we write it
	Value  string         // as written

	cond    estimate.Condition
	value   sheet.Cell
	setting bool // Column is a key of Job
}

// CommonAlternates is the name that asks for the usual alternates beside those
// of the sheet.
const CommonAlternates = "common"

// alternateLine is a row of the sheet Alternates.
type alternateLine struct {
	name, when string
	column     cell
	value      cell
}

var alternateFields = []field[alternateLine]{
	{key: "Name", synonyms: []string{"Alternate", "Alternate name"}, required: true,
		filled: "give the alternate a name; rows of one name are one alternate", set: put(text, func(l *alternateLine) *string { return &l.name })},
	{key: "When", synonyms: []string{"Openings", "For"}, set: put(text, func(l *alternateLine) *string { return &l.when })},
	{key: "Column", synonyms: []string{"Column or key", "Key"}, required: true, set: func(c *cell, l *alternateLine) { l.column = *c }},
	{key: "Value", synonyms: []string{"Set to"}, required: true, set: func(c *cell, l *alternateLine) { l.value = *c }},
	{key: "Notes", synonyms: []string{"Note", "Remarks"}, set: func(c *cell, _ *alternateLine) { c.remark() }},
}

// AlternateColumns returns the headers of the sheet Alternates, in order.
func AlternateColumns() []string { return keys(alternateFields) }

// fixed are the columns and keys that no alternate changes, and why.
var fixed = map[string]string{
	"Mark":     "it names the opening",
	"currency": "it is that of every price",
}

// alternates reads the sheet Alternates. A row with a mistake spoils its
// alternate, which then says so.
func (r *reader) alternates(s *sheet.Sheet) {
	if s == nil {
		return
	}
	t, problems := open(s, alternateFields, r.out.Book.Job.Bare())
	r.problems = append(r.problems, problems...)
	r.out.Alternates = t.raw()
	at := map[string]int{}
	var extras []extra
	for _, row := range t.Rows {
		r.out.Alternates.Rows = append(r.out.Alternates.Rows, alternateNow(t.rawRow(row)))
		extras = append(extras, t.extras(row, nil))
		var l alternateLine
		problems := t.read(row, &l)
		if fold(l.name) == CommonAlternates && isBlank(row.Cell("Column")) && isBlank(row.Cell("Value")) {
			r.out.Common = true
			r.problems = append(r.problems, problems...)
			continue
		}
		change := r.change(row, l, &problems)
		r.problems = append(r.problems, problems...)
		if l.name == "" {
			continue
		}
		i, known := at[fold(l.name)]
		if !known {
			i = len(r.out.Changes)
			at[fold(l.name)] = i
			r.out.Changes = append(r.out.Changes, Alternate{Name: l.name})
		}
		a := &r.out.Changes[i]
		a.Changes = append(a.Changes, change)
		a.Wrong = a.Wrong || estimate.Errors(problems) > 0
	}
	r.out.Alternates.addExtras(extras)
	r.out.Alternates.nameApart()
}

// alternateNow puts the words used now for those of earlier versions into a
// copied row: its condition, its column and its value.
func alternateNow(r RawRow) RawRow {
	column := ""
	for i, f := range alternateFields {
		c := &r.Cells[i]
		if c.Kind != sheet.Text {
			continue
		}
		switch f.key {
		case "When":
			c.Text = estimate.ConditionNow(c.Text)
		case "Column":
			c.Text = estimate.FormerSettings.Now(estimate.FormerColumns.Now(c.Text))
			column = c.Text
		case "Value":
			c.Text = valueNow(column, c.Text)
		}
	}
	return r
}

// valueNow returns a value of a column or a line of Job as it is written now.
func valueNow(column, value string) string {
	for word, former := range map[string]string{"flange": "flange", "sill pan": "pan", "pan ": "pan", "trim": "layout", "wrb": "WRB"} {
		if strings.HasPrefix(fold(column), word) && !strings.HasPrefix(fold(column), "pan sl") {
			return estimate.FormerWords[former].Now(value)
		}
	}
	return estimate.FormerItems.Now(value)
}

// change reads a row, and tries its value.
func (r *reader) change(row sheet.Row, l alternateLine, problems *[]estimate.Problem) Change {
	refuse := func(key, what, do string) {
		*problems = append(*problems, row.Cell(key).Problem(estimate.Error, what, do))
	}
	for _, key := range []string{"Column", "Value"} {
		if isBlank(row.Cell(key)) {
			refuse(key, key+" is blank", map[string]string{"Column": "write a column of Openings or a key of Job", "Value": "write what it is set to"}[key])
		}
	}
	c := Change{Place: row.Cell("Value").Place, When: l.when, Value: strings.TrimSpace(row.Cell("Value").Word()), value: row.Cell("Value")}
	c.When = estimate.ConditionNow(c.When)
	cond, errs := estimate.ParseCondition(c.When)
	c.cond = cond
	for _, err := range errs {
		at := &cell{Cell: row.Cell("When"), name: "When", problems: problems}
		at.form(err)
	}
	if isBlank(row.Cell("Column")) {
		return c
	}
	word := row.Cell("Column").Word()
	var known bool
	c.Column, c.setting, known = r.out.columnOf(word)
	why := fixed[c.Column]
	switch {
	case !known:
		refuse("Column", fmt.Sprintf("Column %q is neither a column of Openings nor a key of Job", sheet.Excerpt(word)), r.out.nearColumn(word))
	case why != "":
		refuse("Column", fmt.Sprintf("%s cannot be changed: %s", c.Column, why), "delete the row")
	case c.setting && l.when != "":
		refuse("When", fmt.Sprintf("%q is a line of Job, which holds for the whole job", c.Column), "leave When blank, or change a column of Openings")
	case !isBlank(row.Cell("Value")):
		*problems = append(*problems, r.out.try(c)...)
	}
	return c
}

// columnOf finds a column of Openings or a key of Job by what people write for
// it.
func (s *Schedule) columnOf(word string) (name string, setting, known bool) {
	f := fold(word)
	fields := openingFields(sheet.Vocabulary{})
	for _, o := range fields {
		if fold(o.key) == f {
			return o.key, false, true
		}
	}
	if key := settingWords(s.Settings)[sheet.WordKey(word)]; key != "" {
		return key, true, true
	}
	for _, o := range fields {
		if slices.ContainsFunc(o.synonyms, func(w string) bool { return fold(w) == f }) {
			return o.key, false, true
		}
	}
	return "", false, false
}

func (s *Schedule) nearColumn(word string) string {
	const do = "write a column of Openings or a key of Job"
	names := OpeningColumns()
	for _, x := range s.Settings {
		names = append(names, x.Key)
	}
	return sheet.Suggest(word, names, do)
}

// Changed returns the book of an alternate, and which openings of a takeoff of
// the schedule it changes: of a line of Job those that it concerns. The
// conditions are asked of the openings as they stand in the schedule.
func (s *Schedule) Changed(a Alternate, t estimate.Takeoff) (b estimate.Book, openings []int, problems []estimate.Problem) {
	b, problems = s.settingsChanged(s.Book, a.Changes)
	touched := map[int]bool{}
	for _, c := range a.Changes {
		rows := map[int]bool{} // of Book.Openings
		for i := range t.Openings {
			if o := &t.Openings[i]; c.setting && concerns(c.Column, o.Kind) || !c.setting && c.cond.Holds(s.Book.FactsOf(o)) {
				rows[o.Order] = true
				touched[i] = true
			}
		}
		if len(rows) == 0 {
			problems = append(problems, c.nothing(a.Name))
		}
		if !c.setting {
			problems = append(problems, c.put(&b, rows)...)
		}
	}
	return b, slices.Sorted(maps.Keys(touched)), problems
}

// concerns reports whether a line of Job is about a kind of opening: those that
// its key names, or all.
func concerns(key string, k estimate.Kind) bool {
	for _, kind := range estimate.Kinds {
		if strings.Contains(key, kind) {
			return kind == string(k)
		}
	}
	if strings.HasSuffix(key, " door") {
		return k == estimate.EntryDoor || k == estimate.PatioDoor
	}
	return true
}

// nothing says that a change concerns no opening.
func (c Change) nothing(name string) estimate.Problem {
	what := fmt.Sprintf("%s: no opening is so that %s", name, c.When)
	if c.setting {
		what = fmt.Sprintf("%s: %q concerns no opening of the schedule", name, c.Column)
	}
	return estimate.Problem{Place: c.Place, Severity: estimate.Error, What: what, Do: "correct the row, or delete it"}
}

// try returns what is wrong with the value of a change.
func (s *Schedule) try(c Change) []estimate.Problem {
	if c.setting {
		_, problems := s.settingsChanged(s.Book, []Change{c})
		return problems
	}
	book := s.Book
	return c.put(&book, nil)
}

// put writes the value of a column of Openings into rows of a book.
func (c Change) put(b *estimate.Book, rows map[int]bool) []estimate.Problem {
	fields := openingFields(sheet.TrimLayout(b.Layouts))
	f := fields[slices.IndexFunc(fields, func(f field[estimate.Opening]) bool { return f.key == c.Column })]
	var problems []estimate.Problem
	value := func(o *estimate.Opening) {
		problems = nil // the same at every opening
		if at := (&cell{Cell: c.value, name: c.Column, bare: b.Job.Bare(), currency: b.Job.Currency, problems: &problems}); c.Column == "Kind" {
			o.Kind = ""
			f.set(at, o)
			settle(o, at)
		} else {
			f.set(at, o)
		}
	}
	if value(&estimate.Opening{}); estimate.Errors(problems) > 0 {
		return problems
	}
	b.Openings = slices.Clone(b.Openings)
	for i := range rows {
		o := &b.Openings[i]
		o.At = maps.Clone(o.At)
		o.At[c.Column] = c.Place
		value(o)
	}
	return problems
}

// settingsChanged returns a book whose job is filled from the lines of Job as
// changes leave them.
func (s *Schedule) settingsChanged(b estimate.Book, changes []Change) (estimate.Book, []estimate.Problem) {
	var problems []estimate.Problem
	lines := slices.Clone(s.valid)
	at := map[estimate.Place]bool{}
	j := newJobReader(b, s.date1904, b.Job.Bare())
	for _, c := range changes {
		if !c.setting {
			continue
		}
		line := &lines[slices.IndexFunc(lines, func(x estimate.Setting) bool { return x.Key == c.Column })]
		if words, ok := j.read(*line, &cell{Cell: c.value, name: c.Column, bare: j.bare, currency: b.Job.Currency, problems: &problems}); ok {
			line.Text, line.Place = words, c.Place
			at[c.Place] = true
		}
	}
	if len(at) == 0 {
		return b, problems
	}
	job, ps := estimate.NewJob(lines, b.Items)
	for _, p := range ps {
		if at[p.Place] { // the others were said when Job was read
			problems = append(problems, p)
		}
	}
	job.Costs, job.OnHand, job.Purchases = b.Job.Costs, b.Job.OnHand, b.Job.Purchases
	b.Job = job
	return b, problems
}
