package schedule

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// costFields is the sheet Cost lines.
var costFields = []field[estimate.CostLine]{
	{key: "Text", synonyms: []string{"Description", "Item"}, required: true, filled: "say what the cost is for",
		set: put(text, func(l *estimate.CostLine) *string { return &l.Text })},
	{key: "Count", number: true, synonyms: []string{"Qty", "Quantity"},
		set: give(count(0, 1_000_000), func(l *estimate.CostLine) *estimate.Maybe[int64] { return &l.Count })},
	{key: "Unit", set: put(text, func(l *estimate.CostLine) *string { return &l.Unit })},
	{key: "Price", number: true, synonyms: []string{"Unit price", "Price each"},
		set: give((*cell).price, func(l *estimate.CostLine) *estimate.Maybe[measure.UnitPrice] { return &l.Price })},
	{key: "Taxable", synonyms: []string{"Tax"}, set: put(choice("yes", "no"), func(l *estimate.CostLine) *bool { return &l.Taxable })},
}

// costs reads the sheet Cost lines. A line lacks what cannot be read and stays
// in the estimate as a gap.
func (r *reader) costs(s *sheet.Sheet) {
	if s == nil {
		return
	}
	t, problems := open(s, costFields, measure.Inches)
	t.currency = r.out.Book.Job.Currency
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
