package schedule

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// openings reads the sheet Openings.
type openings struct {
	table[estimate.Opening]
	out      *Schedule
	problems []estimate.Problem
	basis    bool                      // the sheet's headers say what its sizes are of, and what counts its openings
	marks    map[string]marked         // by mark, folded
	extras   []extra                   // by row of out.Openings
	kept     []sheet.Column            // that the sheet has beside ours
	counting map[string]sheet.Counting // what a header that is not used says of a number of openings
	totals   map[string]*otherTotal    // headers that may be totals and differ from Qty
}

// otherTotal is a column beside Qty that may count openings too, where it differs.
type otherTotal struct {
	first sheet.Cell
	qty   int64 // in its row
	rows  int
}

// marked is the first row of a mark: its cell, and the index of its opening in
// Book.Openings, -1 when it was left out.
type marked struct {
	cell  sheet.Cell
	index int
}

// openings puts the openings of a sheet into the schedule, behind those of the
// sheets before it.
func (r *reader) openings(s *sheet.Sheet) {
	before := r.out.Openings
	first := r.marks == nil
	if first {
		r.marks = map[string]marked{}
	}
	o := &openings{out: r.out, marks: r.marks, basis: true, counting: map[string]sheet.Counting{}, totals: map[string]*otherTotal{}}
	fields := openingFields(sheet.TrimLayout(r.out.Book.Layouts))
	cols := openingColumns(s, fields)
	o.table, o.problems = openColumns(s, fields, cols, r.out.Book.Job.Bare())
	o.currency = r.out.Book.Job.Currency
	o.kept = slices.DeleteFunc(cols, func(c sheet.Column) bool { return !c.Aside || !o.HasColumn(c.Key) })
	o.problems = append(o.problems, o.unclear()...)
	o.out.Openings = o.raw()
	for _, row := range o.Rows {
		o.row(row)
	}
	for _, row := range o.Longer {
		o.longer(row)
	}
	o.problems = append(o.problems, o.otherTotals()...)
	o.out.Openings.addExtras(o.extras)
	if !first {
		r.out.Openings = before.joined(r.out.Openings, len(fields))
	}
	r.out.Openings.nameApart()
	r.problems = append(r.problems, o.problems...)
}

// Example is the example row of a blank schedule, by column. It is never an opening.
var Example = map[string]string{
	"Mark": "EXAMPLE", "Qty": "1", "Kind": "window", "Frame width": "35-1/2", "Frame height": "59-1/2",
	"Flange": "integral", "Furnished by": "owner", "Notes": "example: overwrite it",
}

// example reports whether a row is the example row, and whether it was changed half-way:
// it has a mark of its own or its own values, and something of the example still.
func (o *openings) example(r sheet.Row) (untouched bool, problem *estimate.Problem) {
	mark := strings.EqualFold(r.Cell("Mark").Word(), Example["Mark"])
	same := true
	for _, f := range o.fields {
		same = same && strings.EqualFold(r.Cell(f.key).Word(), Example[f.key])
	}
	notes := r.Cell("Notes")
	switch {
	case mark && same:
		return true, nil
	case mark:
		p := r.Cell("Mark").Problem(estimate.Error, "the example row is filled in, and has the example's mark still", "give the opening its own mark, or delete the row")
		return false, &p
	case strings.EqualFold(notes.Word(), Example["Notes"]):
		p := notes.Problem(estimate.Warning, "the note of the example row stands here still", "check that every value of the row is yours, and clear the note")
		return false, &p
	}
	return false, nil
}

// unclear asks what the columns are of which the header does not say it. Where
// the sheet has no other size, or count, to go by, nothing can be taken from it.
func (o *openings) unclear() []estimate.Problem {
	var problems []estimate.Problem
	say := func(key string, sev estimate.Severity, what, do string) {
		c := o.Header[key]
		c.Place.Column = c.Word()
		problems = append(problems, c.Problem(sev, fmt.Sprintf("%q%s", c.Word(), what), do))
	}
	for _, u := range unclear {
		if !o.HasColumn(u.Key) {
			continue
		}
		sev, do := estimate.Warning, u.do
		switch beside := slices.ContainsFunc(u.unless, o.HasColumn); {
		case u.rows && beside:
			do += " if it matters; it is kept as a note"
		case u.rows:
			sev, o.basis = estimate.Error, false
		case beside:
			sev = estimate.Note
		}
		say(u.Key, sev, ": "+u.what, do)
	}
	for _, c := range o.kept {
		if counting := sheet.CountingOf(c.Key); !o.HasColumn("Qty") && counting > sheet.Counts {
			say(c.Key, estimate.Error, " "+counting.Doubt().What(), counting.Doubt().Do)
			o.basis = false
		}
	}
	for _, cells := range o.Unheaded() {
		var texts []string
		for _, c := range cells {
			texts = append(texts, c.Word())
		}
		if !o.HasColumn("Qty") && sheet.UnheadedCounts(texts) {
			problems = append(problems, cells[0].Problem(estimate.Error, "a column without a header "+sheet.DoubtfulCount.What(),
				"head it Qty where it does; else add a column Qty, and head this by what it is"))
			o.basis = false
		}
	}
	return problems
}

// row reads one row: an opening, or something passed over, or neither.
func (o *openings) row(r sheet.Row) {
	i := len(o.out.Openings.Rows)
	o.out.Openings.Rows = append(o.out.Openings.Rows, o.rawRow(r).now(o.fields))
	o.extras = append(o.extras, o.table.extras(r, o.kept))
	if note := o.passed(r, o.extras[i]); note != "" {
		o.out.Passed++
		o.problems = append(o.problems, estimate.Problem{Place: r.Place, Severity: estimate.Note, What: note})
		return
	}
	untouched, halfway := o.example(r)
	if untouched {
		o.out.Passed++
		o.problems = append(o.problems, estimate.Problem{Place: r.Place, Severity: estimate.Note, What: "the example row is no opening", Do: "overwrite it with one of yours"})
		return
	}
	opening := estimate.Opening{Place: r.Place, At: o.places(r), Qty: 1, Extra: o.extras[i].cells()}
	problems := o.read(r, &opening)
	settle(&opening, &cell{Cell: r.Cell("Kind"), name: "Kind", problems: &problems})
	if halfway != nil {
		problems = append(problems, *halfway)
	}
	problems = append(problems, o.otherCounts(r, opening.Qty)...)
	remarkOnOperation(&cell{Cell: r.Cell("Operation"), name: "Operation", problems: &problems}, &opening)
	index := len(o.out.Book.Openings)
	if !o.basis || estimate.Errors(problems) > 0 {
		index = -1
	}
	if again := o.again(r, index); again != nil {
		problems = append(problems, *again)
		index = -1
	}
	o.problems = append(o.problems, problems...)
	if index < 0 {
		o.out.LeftOut++
		return
	}
	o.out.Rows++
	o.out.Openings.Rows[i].Index = index
	o.out.Book.Openings = append(o.out.Book.Openings, opening)
}

// longer leaves out a line of a CSV file that is out of step with its header. Its mark
// alone is kept, so that an estimate read again still lacks the opening.
func (o *openings) longer(r sheet.Row) {
	raw := o.rawRow(r)
	for i, f := range o.fields {
		c := &raw.Cells[i]
		switch {
		case f.key == "Mark" && isBlank(*c):
			*c = sheet.Cell{Kind: sheet.Text, Text: where(r.Place), Place: c.Place}
		case f.key != "Mark":
			*c = sheet.Cell{Place: c.Place}
		}
	}
	o.out.Openings.Rows = append(o.out.Openings.Rows, raw)
	o.extras = append(o.extras, extra{})
	o.out.LeftOut++
}

// otherCounts holds what else in a row counts openings against its Qty. Two counts that
// differ cost the row; so does what may be the total where Qty is blank.
func (o *openings) otherCounts(r sheet.Row, qty int64) (problems []estimate.Problem) {
	if !o.HasColumn("Qty") {
		return nil
	}
	for _, c := range r.Extra() {
		header := c.Place.Column
		counting, known := o.counting[header]
		if !known {
			counting = sheet.CountingOf(header)
			o.counting[header] = counting
		}
		n, isCount := sheet.CountIn(c.Word())
		blank := isBlank(r.Cell("Qty"))
		switch {
		case !isCount || n == qty:
		case counting == sheet.Counts, (counting == sheet.MayTotal || counting == sheet.MayShare) && blank:
			has := fmt.Sprintf("Qty is %d", qty)
			if blank {
				has = "Qty is blank"
			}
			problems = append(problems, c.Problem(estimate.Error, fmt.Sprintf("%s is %d, and %s: how many openings are they?", header, n, has),
				"write the number under Qty, and clear the other"))
		case counting == sheet.MayTotal && o.totals[header] == nil:
			o.totals[header] = &otherTotal{c, qty, 1}
		case counting == sheet.MayTotal:
			o.totals[header].rows++
		}
	}
	return problems
}

// otherTotals warns of columns that may count openings too and differ from Qty, once each.
func (o *openings) otherTotals() (problems []estimate.Problem) {
	for header, t := range o.totals {
		what := fmt.Sprintf("%s is %s, and Qty is %d: Qty is used", header, t.first.Word(), t.qty)
		if t.rows > 1 {
			what += fmt.Sprintf("; they differ in %d rows, the first here", t.rows)
		}
		problems = append(problems, t.first.Problem(estimate.Warning, what, "write under Qty how many openings each row stands for"))
	}
	return problems
}

// again reports a mark that stands in an earlier row too, and remembers the
// others.
func (o *openings) again(r sheet.Row, index int) *estimate.Problem {
	c := r.Cell("Mark")
	mark := fold(c.Text)
	if isBlank(c) || mark == "" {
		return nil
	}
	first, again := o.marks[mark]
	if !again {
		o.marks[mark] = marked{c, index}
		return nil
	}
	p := c.Problem(estimate.Error, fmt.Sprintf("Mark %q stands in %s too", sheet.Excerpt(c.Word()), whereElse(first.cell.Place, c.Place)),
		"give each its own mark, or write one row with the Qty")
	return &p
}

// sizes are the columns of which one at least tells the size of an opening.
var sizes = []string{"Frame width", "Frame height", "RO width", "RO height", "Call size", "Measured width", "Measured height"}

// passed says why a row is no opening: a heading between the openings, a sum
// under them, or leftovers without mark, kind and size. "" is an opening.
func (o *openings) passed(r sheet.Row, more extra) string {
	mark, kind := r.Cell("Mark"), r.Cell("Kind")
	var filled []sheet.Cell
	for _, f := range o.fields {
		if c := r.Cell(f.key); !isBlank(c) {
			filled = append(filled, c)
		}
	}
	sized := slices.ContainsFunc(sizes, func(key string) bool { return !isBlank(r.Cell(key)) })
	for _, c := range more {
		filled = append(filled, c)
	}
	alone := len(filled) == 1 && filled[0].Kind == sheet.Text && !sized && !isKind(filled[0].Text)
	switch {
	case alone && isBlank(mark) && filled[0].Place.Col == 1, alone && !isBlank(mark) && !likeMark(mark.Word()):
		return fmt.Sprintf("%q stands alone in its row and is taken for a heading", sheet.Excerpt(filled[0].Word()))
	case isBlank(kind) && slices.Contains(sheet.TotalWords, strings.TrimRight(fold(mark.Text), ": ")):
		return fmt.Sprintf("the row %q is no opening and is passed over", sheet.Excerpt(mark.Word()))
	case isBlank(mark) && isBlank(kind) && !sized:
		return "the row has no mark, kind or size and is passed over"
	}
	return ""
}

// likeMark reports whether a text that stands alone may be a mark: one short
// word, or one with a digit, or a few letters and a number (W 7, Door 2).
func likeMark(s string) bool {
	words := strings.Fields(s)
	digits := strings.ContainsAny(s, "0123456789")
	switch len(words) {
	case 1:
		return digits || len(s) <= 3
	case 2:
		return digits && (len(words[0]) <= 3 || isKind(words[0]) || fold(words[0]) == "opening")
	}
	return false
}
