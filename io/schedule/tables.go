package schedule

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/templates"
)

// shippedTables are the tables that ship, as read. A batch reads them once, so
// nothing in them is written to.
type shippedTables struct {
	settings []estimate.Setting
	layouts  []estimate.LayoutPiece
	items    []estimate.Item
	labour   []estimate.LabourTask
	details  steps
	problems []estimate.Problem // none, as a test holds
}

var shipped = sync.OnceValue(func() shippedTables {
	r := newReader(&sheet.Book{})
	table := func(name string, data []byte) *sheet.Sheet {
		book, problems := sheet.Parse(name, data)
		r.problems = append(r.problems, problems...)
		if book == nil {
			return &sheet.Sheet{File: name}
		}
		return book.Sheets[0]
	}
	t := shippedTables{
		settings: rows(r, table("settings.csv", templates.Settings), settingFields(),
			func(row sheet.Row) estimate.Setting { return estimate.Setting{Place: row.Place} }, nil),
		layouts: rows(r, table("layouts.csv", templates.Layouts), layoutFields(), func(sheet.Row) estimate.LayoutPiece { return estimate.LayoutPiece{} }, nil),
		items:   rows(r, table("items.csv", templates.Items), itemFields(), freshItem, checkItem),
		labour: rows(r, table("labour.csv", templates.Labour), publicFields,
			func(row sheet.Row) estimate.LabourTask { return estimate.LabourTask{Place: row.Place} }, nil),
		details: r.steps(table("details.csv", templates.Details)),
	}
	t.problems = r.problems
	return t
})

// rows reads the rows of a table that are sound, and reports the others.
func rows[T any](r *reader, s *sheet.Sheet, fields []field[T], fresh func(sheet.Row) T, check func(sheet.Row, *T) []estimate.Problem) []T {
	t, problems := open(s, fields, measure.Inches)
	var out []T
	for _, row := range t.Rows {
		v := fresh(row)
		ps := t.read(row, &v)
		if check != nil {
			ps = append(ps, check(row, &v)...)
		}
		if estimate.Errors(ps) == 0 {
			out = append(out, v)
		}
		problems = append(problems, ps...)
	}
	r.problems = append(r.problems, problems...)
	return out
}

// freshItem begins an item. Where its row does not say where it is used, the cold
// counts.
func freshItem(row sheet.Row) estimate.Item {
	return estimate.Item{Place: row.Cell("key").Place, Site: true}
}

// items reads the shipped items, and over them those of the sheet Items.
func (r *reader) items(s *sheet.Sheet) {
	r.out.Book.Items = estimate.NewItems(shipped().items)
	if s == nil {
		return
	}
	known := itemKeys(r.out.Book.Items)
	first := map[string]estimate.Place{}
	own := rows(r, s, itemFields(), freshItem, func(row sheet.Row, it *estimate.Item) []estimate.Problem {
		problems := checkItem(row, it)
		if key, ok := known.find(it.Key); ok {
			it.Key = key
		}
		c, key := row.Cell("key"), fold(it.Key)
		if at, again := first[key]; again && key != "" {
			problems = append(problems, c.Problem(estimate.Error, fmt.Sprintf("key %q stands in %s too", it.Key, where(at)), "keep one of the two"))
		} else {
			first[key] = c.Place
		}
		return problems
	})
	r.out.Book.Items = estimate.NewItems(slices.Concat(shipped().items, own))
}

// checkItem holds the columns of an item against each other.
func checkItem(row sheet.Row, it *estimate.Item) []estimate.Problem {
	var problems []estimate.Problem
	missing := func(column, what, do string) {
		if isBlank(row.Cell(column)) {
			problems = append(problems, row.Cell(column).Problem(estimate.Error, column+" is blank: "+what, do))
		}
	}
	if it.Cut && slices.Contains([]string{estimate.ClassBoards, estimate.ClassStrip}, it.Class) {
		missing("width", "the lengths of other pieces follow from it", "write the actual width")
	}
	if it.Coverage > 0 {
		missing("coverage unit", "coverage of what?", "write lb, gal or each")
	}
	if it.FitsFrom > it.FitsTo {
		c := row.Cell("fits to")
		problems = append(problems, c.Problem(estimate.Error, fmt.Sprintf("fits to is %q, less than fits from", c.Word()), "correct one of the two"))
	}
	return problems
}

// indexed returns a reading of one of some words as its place in their list.
func indexed[I ~int](words []string) func(*cell) (I, bool) {
	return func(c *cell) (I, bool) {
		w, ok := word[string](vocabulary{words: words})(c)
		return I(max(0, slices.Index(words, w))), ok
	}
}

// allowances returns the names of the job's allowances.
func allowances() []string {
	var out []string
	for _, key := range estimate.SettingKeys() {
		if name, ok := strings.CutPrefix(key, "allowance "); ok {
			out = append(out, name)
		}
	}
	return out
}

// detailFields is the sheet Details; a cell is kept as text, with its place,
// for estimate.ParseDetails.
func detailFields() []field[estimate.StepText] {
	var out []field[estimate.StepText]
	for _, header := range estimate.StepColumns {
		f := field[estimate.StepText]{key: header, required: slices.Contains([]string{"Detail", "Step", "Do", "Rule"}, header)}
		f.set = func(c *cell, s *estimate.StepText) {
			if w, ok := c.text(); ok {
				s.Fields[header] = w
			}
		}
		out = append(out, f)
	}
	return out
}

// steps are the rows of details, one detail a row, gathered by detail.
type steps struct {
	order  []string // names of the details, folded, in the order of their first rows
	rows   map[string][]estimate.StepText
	broken map[string]bool // a row of it has a cell that cannot be read
}

// details reads the shipped details and those of the sheet Details: one named
// there replaces the shipped one whole, a new one comes before all of them.
func (r *reader) details(s *sheet.Sheet) {
	shipped, own := shipped().details, steps{}
	if s != nil {
		own = r.steps(s)
	}
	var order []string
	for _, name := range own.order {
		if _, replaced := shipped.rows[name]; !replaced {
			order = append(order, name)
		}
	}
	for _, name := range append(order, shipped.order...) {
		from := shipped
		if _, replaced := own.rows[name]; replaced {
			from = own
		}
		if !from.broken[name] {
			r.out.Steps = append(r.out.Steps, from.rows[name]...)
		}
	}
	roles := slices.Sorted(maps.Keys(r.out.Book.Job.Role))
	details, problems := estimate.ParseDetails(r.out.Steps, r.out.Book.Items, roles)
	r.out.Book.Details = details
	r.problems = append(r.problems, problems...)
}

// steps reads the rows of a table of details. A row may name several, parted
// by semicolons. A detail with a step missing would be wrong without a sign,
// so a cell that cannot be read costs the whole of it.
func (r *reader) steps(s *sheet.Sheet) steps {
	t, problems := open(s, detailFields(), measure.Inches)
	r.problems = append(r.problems, problems...)
	out := steps{rows: map[string][]estimate.StepText{}, broken: map[string]bool{}}
	for _, row := range t.Rows {
		step := estimate.StepText{Place: row.Place, At: t.places(row), Fields: map[string]string{}}
		problems := t.read(row, &step)
		r.problems = append(r.problems, problems...)
		for _, name := range strings.Split(step.Fields["Detail"], ";") {
			one := step
			one.Fields = maps.Clone(step.Fields)
			one.Fields["Detail"] = strings.TrimSpace(name)
			key := strings.ToLower(one.Fields["Detail"])
			if _, known := out.rows[key]; !known {
				out.order = append(out.order, key)
			}
			out.rows[key] = append(out.rows[key], one)
			out.broken[key] = out.broken[key] || estimate.Errors(problems) > 0
		}
	}
	return out
}

// costs reads the sheet Cost lines. A line lacks what cannot be read and stays
// in the estimate as a gap.
func (r *reader) costs(s *sheet.Sheet) {
	if s == nil {
		return
	}
	t, problems := open(s, costFields, measure.Inches)
	r.problems = append(r.problems, t.withoutNotes(problems)...) // an estimate adds what each line comes to
	for _, row := range t.Rows {
		if !t.filled(row) {
			continue
		}
		l := estimate.CostLine{Place: row.Place}
		r.problems = append(r.problems, t.read(row, &l)...)
		for _, gap := range []struct{ column, what, do string }{
			{"Count", "the line has no cost yet", "write how many"},
			{"Price", "the line has no cost yet", "write the price of one"},
			{"Taxable", "the line counts as not taxable", "write yes or no"},
		} {
			if c := row.Cell(gap.column); isBlank(c) {
				r.problems = append(r.problems, c.Problem(estimate.Warning, gap.column+" is blank: "+gap.what, gap.do))
			}
		}
		r.out.Book.Job.Costs = append(r.out.Book.Job.Costs, l)
	}
}
