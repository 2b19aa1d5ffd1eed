package schedule

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Raw is a table as it was written, for copying into the estimate so that
// reading the estimate gives the same again. Two things are tidied: a plain
// number that was stored as text in a column of numbers is a number, and a
// number whose cell shows a unit that neither its header nor the job states is
// the text that was seen ("914 mm").
type Raw struct {
	Columns []string // canonical headers, all of them, then the sheet's others
	Headers []string // what to write over each column: the canonical header and the unit that the sheet's own states, "Frame width (mm)"
	Rows    []RawRow
}

// RawRow is a row of a Raw; Cells are by column, blank where there was none.
type RawRow struct {
	Place estimate.Place
	Cells []sheet.Cell
	Index int // of the opening in Book.Openings that the row is or belongs to, -1 for none
}

// raw starts the copy of a table.
func (t table[T]) raw() Raw {
	r := Raw{Columns: keys(t.fields)}
	for _, key := range r.Columns {
		header := key
		if u := t.units[key]; u != measure.NoUnit {
			header = fmt.Sprintf("%s (%s)", key, u)
		}
		r.Headers = append(r.Headers, header)
	}
	return r
}

// rawRow copies a row's canonical cells.
func (t table[T]) rawRow(r sheet.Row) RawRow {
	out := RawRow{Place: r.Place, Index: -1, Cells: make([]sheet.Cell, 0, len(t.fields))}
	for _, f := range t.fields {
		c := r.Cell(f.key)
		if f.number {
			c = t.tidy(c, t.units[f.key])
		}
		out.Cells = append(out.Cells, c)
	}
	return out
}

// formerWords are the words that stood for those of a closed column, by header.
var formerWords = map[string]estimate.Former{
	"Flange": estimate.FormerWords["flange"], "Sill pan": estimate.FormerWords["pan"], "Trim": estimate.FormerWords["layout"], "Detail": estimate.FormerDetails,
}

// now puts the words used now for those of earlier versions.
func (r RawRow) now(fields []field[estimate.Opening]) RawRow {
	for i, f := range fields {
		if c := &r.Cells[i]; c.Kind == sheet.Text {
			c.Text = formerWords[f.key].Now(c.Text)
		}
	}
	return r
}

// joined returns a copy of two sheets under one header. Their own columns are
// the first so many; where the two state another unit for one, its numbers are
// written with theirs.
func (r Raw) joined(other Raw, own int) Raw {
	for i := range own {
		if r.Headers[i] == other.Headers[i] {
			continue
		}
		for _, part := range []Raw{r, other} {
			unit, _ := measure.ParseUnit(strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(part.Headers[i], part.Columns[i]), " ("), ")"))
			for k := range part.Rows {
				part.Rows[k].Cells[i] = withUnit(part.Rows[k].Cells[i], unit)
			}
		}
		r.Headers[i] = r.Columns[i]
	}
	mine, theirs := r.Columns[own:], other.Columns[own:]
	for k := range r.Rows {
		r.Rows[k].Cells = append(r.Rows[k].Cells, make([]sheet.Cell, len(theirs))...)
	}
	for _, row := range other.Rows {
		cells := append(slices.Clone(row.Cells[:own]), make([]sheet.Cell, len(mine))...)
		row.Cells = append(cells, row.Cells[own:]...)
		r.Rows = append(r.Rows, row)
	}
	r.Columns, r.Headers = append(r.Columns, theirs...), append(r.Headers, other.Headers[own:]...)
	return r
}

func (t table[T]) tidy(c sheet.Cell, stated measure.Unit) sheet.Cell {
	shown, _ := measure.ParseUnit(c.FormatUnit())
	switch {
	case c.Kind == sheet.Number && shown != measure.NoUnit && stated == measure.NoUnit && shown != t.bare:
		return sheet.Cell{Kind: sheet.Text, Text: c.Text + " " + shown.String(), Place: c.Place}
	case c.Kind == sheet.Text && plainNumber(c.Word()):
		if v, err := strconv.ParseFloat(c.Word(), 64); err == nil {
			return sheet.Cell{Kind: sheet.Number, Number: v, Text: c.Word(), Place: c.Place}
		}
	}
	return c
}

// withUnit returns a cell that says the same where no header states the unit: behind a
// number, and behind each length of a text that has none, stands the unit.
func withUnit(c sheet.Cell, u measure.Unit) sheet.Cell {
	if u == measure.NoUnit || c.Kind != sheet.Number && c.Kind != sheet.Text {
		return c
	}
	if c.Kind == sheet.Number {
		return sheet.Cell{Kind: sheet.Text, Text: c.Text + " " + u.String(), Place: c.Place}
	}
	texts, bare := sideTexts(c.Text), false
	for i, text := range texts {
		_, wrong := measure.ParseLength(text, u)
		if _, unitless := measure.ParseLength(text, measure.NoUnit); wrong == nil && unitless != nil {
			texts[i], bare = text+" "+u.String(), true
		}
	}
	if !bare {
		return c
	}
	return sheet.Cell{Kind: sheet.Text, Text: sheet.Cell{Text: strings.Join(texts, "; ")}.Word(), Place: c.Place}
}

// plainNumber reports whether a text is digits with at most one point, few
// enough of them to be exact.
func plainNumber(s string) bool {
	whole, part, _ := strings.Cut(s, ".")
	return len(s) <= 15 && strings.Trim(whole, "0123456789") == "" && strings.Trim(part, "0123456789") == ""
}

// extra is the filled cells of a row in columns that the schedule does not
// know, by column number.
type extra map[int]sheet.Cell

// extras returns the row's cells in unknown columns and in the known ones
// listed, which stand for no field.
func (t table[T]) extras(r sheet.Row, known []sheet.Column) extra {
	out := extra{}
	cells := r.Extra()
	for _, k := range known {
		if c := r.Cell(k.Key); t.HasColumn(k.Key) && !c.Blank() {
			cells = append(cells, c)
		}
	}
	for _, c := range cells {
		out[c.Place.Col] = c
	}
	return out
}

// cells returns the extra cells in the order of their columns.
func (e extra) cells() []estimate.ExtraCell {
	var out []estimate.ExtraCell
	for _, col := range slices.Sorted(maps.Keys(e)) {
		out = append(out, estimate.ExtraCell{Header: header(e[col]), Text: strings.TrimSpace(e[col].Text)})
	}
	return out
}

// header returns the header of an extra cell, or words for a column without.
func header(c sheet.Cell) string {
	if c.Place.Column != "" {
		return c.Place.Column
	}
	name := estimate.CellName(0, c.Place.Col)
	return "column " + strings.TrimSuffix(name, "0")
}

// nameApart numbers columns of one name, which a table cannot have: Room, Room 2.
func (r *Raw) nameApart() {
	seen := map[string]bool{}
	for i, name := range r.Columns {
		for n := 2; seen[strings.ToLower(r.Columns[i])]; n++ {
			r.Columns[i] = fmt.Sprintf("%s %d", name, n)
			r.Headers[i] = r.Columns[i]
		}
		seen[strings.ToLower(r.Columns[i])] = true
	}
}

// addExtras appends the unknown columns to a copy whose rows have only the
// canonical cells.
func (r *Raw) addExtras(rows []extra) {
	title := map[int]string{}
	for _, row := range rows {
		for col, c := range row {
			title[col] = header(c)
		}
	}
	for _, col := range slices.Sorted(maps.Keys(title)) {
		r.Columns = append(r.Columns, title[col])
		r.Headers = append(r.Headers, title[col])
		for i := range r.Rows {
			r.Rows[i].Cells = append(r.Rows[i].Cells, rows[i][col])
		}
	}
}
