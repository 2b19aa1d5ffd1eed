// Package comparison writes workbooks that hold estimates against something: other
// jobs (jobs.go), suppliers' quotes (quotes.go), other ways to do the job
// (alternates.go), an earlier estimate of it (revision.go). Each begins with the table
// of its sheets. Of a revision it reads what is typed about a change order (changeread.go)
// and writes the customer's page (changepage.go).
package comparison

import (
	"slices"
	"strconv"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// sheet is a line of the table of a workbook's sheets, in their order.
type sheet struct {
	name    string
	upright bool // of the paper; the others lie across

	// begin writes what stands above the sheet's table and gives the table its place;
	// what it returns writes the rest.
	begin func(*xlsx.Sheet) (finish func())
}

// write writes the sheets of a workbook. All begin before one is finished, so that each
// can refer to the tables of all. They are finished from the last to the first: the first
// ones add up what the others hold.
func write(o *xlsx.Book, sheets []sheet) ([]byte, error) {
	finish := make([]func(), len(sheets))
	for i, s := range sheets {
		p := o.AddSheet(s.name)
		p.Landscape(!s.upright)
		finish[i] = s.begin(p)
	}
	for _, f := range slices.Backward(finish) {
		f()
	}
	return o.Bytes()
}

// top writes what a sheet is and how to read it.
func top(p *xlsx.Sheet, title string, how ...string) {
	p.Row(xlsx.Str(xlsx.Title, title))
	for _, s := range how {
		p.Row(xlsx.Str(xlsx.Subtitle, s))
	}
	p.Skip(1)
}

// key is by what a row is found that stands for a place in a list.
func key(i int) string { return strconv.Itoa(i) }

// place gives a table with n rows its place, below what is written.
func place[R any](p *xlsx.Sheet, t *xlsx.Table[R], n int) *xlsx.Table[R] {
	keys := make([]string, n)
	for i := range keys {
		keys[i] = key(i)
	}
	t.Place(p.Next(), keys)
	return t
}

// fill writes a table with a row for each of a list.
func fill[R any](t *xlsx.Table[R], list []R) { fillOr(t, list, nil) }

// fillOr writes a table with a row for each of a list, or with what it says where the
// list is empty.
func fillOr[R any](t *xlsx.Table[R], list []R, nothing map[string]xlsx.Cell) {
	t.Header()
	for i, r := range list {
		t.Keyed(key(i), r)
	}
	if len(list) == 0 && nothing != nil {
		t.Nothing(nothing)
	}
	t.Finish()
}

// none stands where there is nothing to count.
const none = "-"

// dash is a cell of that.
func dash() xlsx.Cell { return xlsx.Str(xlsx.TextRight, none) }

// known is a cell of a value, or a dash where it is missing.
func known[T any](v estimate.Maybe[T], l xlsx.Look) xlsx.Cell {
	if !v.Set {
		return dash()
	}
	return xlsx.Num(v.V, l)
}

// optional is a cell of a value, empty where it is missing.
func optional[T any](v estimate.Maybe[T], l xlsx.Look) xlsx.Cell {
	if !v.Set {
		return xlsx.Blank(l)
	}
	return xlsx.Num(v.V, l)
}

// computed is a cell of a formula, whose result is a dash where the value is missing.
func computed[T any](f string, v estimate.Maybe[T], l xlsx.Look) xlsx.Cell {
	if !v.Set {
		return xlsx.Formula(f, none, xlsx.TextRight)
	}
	return xlsx.Formula(f, v.V, l)
}
