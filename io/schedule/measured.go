package schedule

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// measured is a line of the sheet Measured on its way to its opening.
type measured struct {
	estimate.Reading
	mark string
	rise estimate.Maybe[measure.Length]
}

// measuredFields is the sheet Measured and the form Measuring.
func measuredFields() []field[measured] {
	out := []field[measured]{
		{key: "Mark", required: true, filled: "write the mark that was measured", set: put(text, func(m *measured) *string { return &m.mark })},
		{key: "Piece", number: true, synonyms: []string{"Piece no", "No"}, set: put(count(1, 9999), func(m *measured) *int64 { return &m.Piece })},
	}
	reading := func(key string, at func(m *measured) *measure.Length, synonyms ...string) {
		out = append(out, field[measured]{key: key, number: true, synonyms: synonyms, set: put(side, at)})
	}
	reading("Width 1", func(m *measured) *measure.Length { return &m.Widths[0] }, "Width top")
	reading("Width 2", func(m *measured) *measure.Length { return &m.Widths[1] }, "Width middle")
	reading("Width 3", func(m *measured) *measure.Length { return &m.Widths[2] }, "Width bottom")
	reading("Height 1", func(m *measured) *measure.Length { return &m.Heights[0] }, "Height left")
	reading("Height 2", func(m *measured) *measure.Length { return &m.Heights[1] }, "Height middle")
	reading("Height 3", func(m *measured) *measure.Length { return &m.Heights[2] }, "Height right")
	reading("Diagonal 1", func(m *measured) *measure.Length { return &m.Diagonals[0] })
	reading("Diagonal 2", func(m *measured) *measure.Length { return &m.Diagonals[1] })
	return append(out,
		field[measured]{key: "High end", set: put(word[estimate.HighEnd](sheet.HighEnd), func(m *measured) *estimate.HighEnd { return &m.HighEnd })},
		field[measured]{key: "Rise", number: true, set: give(length, func(m *measured) *estimate.Maybe[measure.Length] { return &m.rise })},
		field[measured]{key: "Initials", synonyms: []string{"Measured by"}, set: put(remark, func(m *measured) *string { return &m.Initials })},
		field[measured]{key: "Of", synonyms: []string{"Read at", "Measured at"},
			set: put(word[estimate.ReadAt](sheet.ReadAt), func(m *measured) *estimate.ReadAt { return &m.Of })},
	)
}

// MeasuredColumns returns the headers of the sheet Measured, in order.
func MeasuredColumns() []string { return keys(measuredFields()) }

// readings attaches the lines of the sheet Measured, and of the form Measuring
// as far as it was filled in, to their openings.
func (r *reader) readings() {
	fields := measuredFields()
	r.out.Measured = Raw{Columns: keys(fields), Headers: keys(fields)}
	taken := map[string]measured{} // by mark and piece
	for _, name := range []string{MeasuredSheet, MeasuringSheet} {
		s := r.sheet(name)
		if s == nil {
			continue
		}
		t, problems := open(s, fields, r.out.Book.Job.Bare())
		if name == MeasuringSheet {
			problems = t.withoutNotes(problems)
		}
		r.problems = append(r.problems, problems...)
		for _, row := range t.Rows {
			r.reading(t, row, taken)
		}
	}
}

// withoutNotes drops the notes on columns that are not used: the sheet is ours
// and has them on purpose.
func (t table[T]) withoutNotes(problems []estimate.Problem) []estimate.Problem {
	header := 0
	for _, c := range t.Header {
		header = c.Place.Row
	}
	return slices.DeleteFunc(problems, func(p estimate.Problem) bool {
		return p.Severity == estimate.Note && p.Place.Row == header && p.Place.Col > 0
	})
}

// filled reports whether a row holds anything of the sheet's own columns: in an
// empty row of ours only formulas stand.
func (t table[T]) filled(row sheet.Row) bool {
	return slices.ContainsFunc(t.fields, func(f field[T]) bool { return !isBlank(row.Cell(f.key)) })
}

// reading reads one line. A line without any reading is a form not filled in.
func (r *reader) reading(t table[measured], row sheet.Row, taken map[string]measured) {
	if !slices.ContainsFunc(t.fields, func(f field[measured]) bool { return isReading(f.key) && !isBlank(row.Cell(f.key)) }) {
		return
	}
	m := measured{Reading: estimate.Reading{Place: row.Place, Cells: t.cellsOf(row)}}
	problems := t.read(row, &m)
	i, ps := r.opening(row, &m)
	problems = append(problems, ps...)
	problems = append(problems, m.check(row)...)
	key := fmt.Sprintf("%s %d %t", fold(m.mark), m.Piece, m.Of == estimate.ReadAtOpening)
	if first, again := taken[key]; again {
		if first.same(m) {
			return
		}
		problems = append(problems,
			row.Cell("Mark").Problem(estimate.Error,
				fmt.Sprintf("piece %d of %q was read in %s too, differently", m.Piece, m.mark, whereElse(first.Place, row.Place)), "keep the reading that is right"))
	}
	r.problems = append(r.problems, problems...)
	raw := t.explicit(row)
	if estimate.Errors(problems) == 0 && i >= 0 {
		taken[key] = m
		raw.Index = i
		o := &r.out.Book.Openings[i]
		o.Readings = append(o.Readings, m.Reading)
	}
	r.out.Measured.Rows = append(r.out.Measured.Rows, raw)
}

// readingColumns are the columns of lengths in the order of a reading's fields.
var readingColumns = struct {
	widths, heights [3]string
	diagonals       [2]string
}{[3]string{"Width 1", "Width 2", "Width 3"}, [3]string{"Height 1", "Height 2", "Height 3"}, [2]string{"Diagonal 1", "Diagonal 2"}}

// cellsOf returns the cells of what was read.
func (t table[T]) cellsOf(r sheet.Row) estimate.ReadingCells {
	var out estimate.ReadingCells
	for i := range out.Widths {
		out.Widths[i], out.Heights[i] = r.Cell(readingColumns.widths[i]).Place, r.Cell(readingColumns.heights[i]).Place
	}
	for i := range out.Diagonals {
		out.Diagonals[i] = r.Cell(readingColumns.diagonals[i]).Place
	}
	return out
}

// isReading reports whether a column of the sheet Measured holds what was read.
func isReading(key string) bool {
	return !slices.Contains([]string{"Mark", "Piece", "Of", "Initials"}, key)
}

// opening finds the opening of a line, -1 when its row was left out or when
// there is none; it fills in the piece of a mark that has only one.
func (r *reader) opening(row sheet.Row, m *measured) (int, []estimate.Problem) {
	if m.mark == "" {
		return -1, nil
	}
	known, ok := r.marks[fold(m.mark)]
	switch {
	case !ok:
		return -1, []estimate.Problem{row.Cell("Mark").Problem(estimate.Error, fmt.Sprintf("Mark %q is not on the sheet Openings", sheet.Excerpt(m.mark)),
			r.nearestMark(m.mark))}
	case known.index < 0:
		return -1, nil
	}
	i, o := known.index, &r.out.Book.Openings[known.index]
	piece := row.Cell("Piece")
	switch {
	case !isBlank(piece) && m.Piece > o.Qty:
		return i, []estimate.Problem{piece.Problem(estimate.Error, fmt.Sprintf("Piece %d of %s, of which there are %d", m.Piece, o.Mark, o.Qty),
			fmt.Sprintf("write 1 to %d, or correct the Qty", o.Qty))}
	case isBlank(piece) && o.Qty > 1:
		return i, []estimate.Problem{piece.Problem(estimate.Error, fmt.Sprintf("Piece is blank; there are %d of %s", o.Qty, o.Mark), "number the pieces from 1")}
	case isBlank(piece):
		m.Piece = 1
	}
	return i, nil
}

const (
	// maxSuggest is among how many marks a near one is looked for.
	maxSuggest = 2_000
	// maxSuggested is for how many marks that are not known a near one is looked for: more are no
	// slips, but of another schedule.
	maxSuggested = 50
)

// nearestMark says what to write for a mark that is not known.
func (r *reader) nearestMark(mark string) string {
	const do = "write a mark of the sheet Openings"
	if r.suggested++; len(r.marks) > maxSuggest || r.suggested > maxSuggested {
		return do
	}
	var marks []string
	for _, k := range slices.Sorted(maps.Keys(r.marks)) {
		marks = append(marks, r.marks[k].cell.Word())
	}
	return sheet.Suggest(mark, marks, do)
}

// check holds the rise of a sill against its high end. A rise of 0 was read
// and found level, which is not the same as not read.
func (m *measured) check(row sheet.Row) []estimate.Problem {
	rise, end := row.Cell("Rise"), row.Cell("High end")
	m.Rise = m.rise.V
	switch {
	case m.HighEnd == "" && m.rise.Set && m.rise.V == 0:
		m.HighEnd = estimate.HighNeither
	case m.HighEnd == "" && m.rise.Set && isBlank(end):
		return []estimate.Problem{end.Problem(estimate.Warning, "High end is blank while the sill rises", "write left or right, so that the right end is shimmed")}
	case m.HighEnd == estimate.HighNeither && m.rise.V > 0:
		return []estimate.Problem{rise.Problem(estimate.Error, fmt.Sprintf("Rise is %q at a sill that is level", rise.Word()), "correct the rise or the high end")}
	case (m.HighEnd == estimate.HighLeft || m.HighEnd == estimate.HighRight) && isBlank(rise):
		return []estimate.Problem{rise.Problem(estimate.Error, "Rise is blank while a high end is given", "write by how much that end is higher")}
	}
	return nil
}

// same reports whether two lines say the same.
func (m measured) same(other measured) bool {
	a, b := m.Reading, other.Reading
	a.Place, a.Cells, a.Initials = b.Place, b.Cells, b.Initials
	a.Of, b.Of = cmp.Or(a.Of, estimate.ReadAtFrame), cmp.Or(b.Of, estimate.ReadAtFrame) // the frame, said or not
	return a == b
}

// whereElse names a place seen from another.
func whereElse(p, from estimate.Place) string {
	if p.Sheet != from.Sheet {
		return where(p) + " of " + p.Sheet
	}
	return where(p)
}

// explicit copies a row with the unit of its header behind every length without one, so
// that lines of two sheets can stand under one header.
func (t table[T]) explicit(r sheet.Row) RawRow {
	out := t.rawRow(r)
	for i, f := range t.fields {
		out.Cells[i] = withUnit(out.Cells[i], t.units[f.key])
	}
	return out
}
