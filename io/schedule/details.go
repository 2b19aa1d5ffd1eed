package schedule

import (
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// detailFields is the sheet Details; a cell is kept as text, with its place,
// for estimate.ParseDetails.
func detailFields() []field[estimate.StepText] {
	var out []field[estimate.StepText]
	for _, header := range estimate.StepColumns {
		f := field[estimate.StepText]{key: header, synonyms: formerStepColumns[header], required: slices.Contains([]string{"Detail", "Step", "Do", "Rule"}, header)}
		f.set = func(c *cell, s *estimate.StepText) {
			if w, ok := c.text(); ok {
				s.Fields[header] = w
			}
		}
		out = append(out, f)
	}
	return out
}

// formerStepColumns are what columns of details were called.
var formerStepColumns = map[string][]string{"Phase": {"Visit"}}

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
			estimate.StepNow(one.Fields)
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
