package schedule

import (
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// field is a column of a table whose rows become a T each: how it is headed,
// and what its cell does to the T.
type field[T any] struct {
	key      string
	synonyms []string
	fits     func(header string) bool // another header that is taken for it
	required bool                     // the column must be there
	filled   string                   // advice for a blank cell, if its cells must be filled
	number   bool                     // its cells are numbers where they can be
	marks    bool                     // a dash or n/a is not the same as a blank cell here
	set      func(*cell, *T)          // for filled cells; nil = the column is known and not read
}

// put returns the set function of a value that a T holds.
func put[T, V any](read func(*cell) (V, bool), at func(*T) *V) func(*cell, *T) {
	return func(c *cell, t *T) {
		if v, ok := read(c); ok {
			*at(t) = v
		}
	}
}

// give is put for a value that may be missing.
func give[T, V any](read func(*cell) (V, bool), at func(*T) *estimate.Maybe[V]) func(*cell, *T) {
	return func(c *cell, t *T) {
		if v, ok := read(c); ok {
			*at(t) = estimate.Given(v)
		}
	}
}

// table is a sheet's table with the fields that its rows are read through.
type table[T any] struct {
	*sheet.Table
	fields []field[T]
	units  map[string]measure.Unit // that the headers state, by key
	bare   measure.Unit
	// currency is that of the job, "" where the table has no amounts.
	currency string
}

// open finds the table of a sheet. bare is the unit of a number in a column
// whose header states none.
func open[T any](s *sheet.Sheet, fields []field[T], bare measure.Unit) (table[T], []estimate.Problem) {
	return openColumns(s, fields, columns(fields), bare)
}

// openColumns is open with columns that are more, or others, than the fields'.
func openColumns[T any](s *sheet.Sheet, fields []field[T], cols []sheet.Column, bare measure.Unit) (table[T], []estimate.Problem) {
	t, problems := s.Table(ownHeaders(s, cols))
	units := map[string]measure.Unit{}
	for _, f := range fields {
		units[f.key], _ = measure.ParseUnit(t.HeaderUnit(f.key))
	}
	return table[T]{Table: t, fields: fields, units: units, bare: bare}, problems
}

func columns[T any](fields []field[T]) []sheet.Column {
	out := make([]sheet.Column, len(fields))
	for i, f := range fields {
		out[i] = sheet.Column{Key: f.key, Synonyms: f.synonyms, Fits: f.fits, Required: f.required}
	}
	return out
}

// ownHeaders takes the synonyms from columns whose own header the sheet has:
// beside a Mark, an ID is a column of its own.
func ownHeaders(s *sheet.Sheet, cols []sheet.Column) []sheet.Column {
	bare := slices.Clone(cols)
	for i := range bare {
		bare[i].Synonyms, bare[i].Fits, bare[i].Required = nil, nil, false
	}
	all, own := s.Headers(cols), s.Headers(bare)
	out := slices.Clone(cols)
	for i, c := range cols {
		if h, ok := own[c.Key]; ok && h.Place.Row == all[c.Key].Place.Row {
			out[i].Synonyms, out[i].Fits = nil, nil
		}
	}
	return out
}

// keys returns the canonical headers of the fields.
func keys[T any](fields []field[T]) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.key
	}
	return out
}

// read puts a row's cells into v and returns what is wrong with them.
func (t table[T]) read(r sheet.Row, v *T) []estimate.Problem {
	var problems []estimate.Problem
	for _, f := range t.fields {
		c := &cell{Cell: r.Cell(f.key), name: f.key, stated: t.units[f.key], bare: t.bare, currency: t.currency, problems: &problems}
		switch {
		case (!isBlank(c.Cell) || f.marks && !c.Blank()) && f.set != nil:
			f.set(c, v)
		case isBlank(c.Cell) && f.filled != "":
			c.refuse(f.key+" is blank", f.filled)
		}
		for _, other := range r.Twice(f.key) {
			if f.key == "Qty" {
				break // see otherCounts
			}
			problems = append(problems, other.Unlike(c.Cell)...)
		}
	}
	return problems
}

// places returns the cell of every column that the table has.
func (t table[T]) places(r sheet.Row) map[string]estimate.Place {
	at := map[string]estimate.Place{}
	for _, f := range t.fields {
		if t.HasColumn(f.key) {
			at[f.key] = r.Cell(f.key).Place
		}
	}
	return at
}

// where names a row of the same file.
func where(p estimate.Place) string {
	if p.Sheet == "" {
		return fmt.Sprintf("line %d", p.Row)
	}
	return fmt.Sprintf("row %d", p.Row)
}
