package schedule

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// ofEstimate reports whether a book has enough sheets of an estimate to be one, whatever
// was renamed or deleted. Results are the sheets that an estimate alone has.
func ofEstimate(b *sheet.Book, results []string) bool {
	found := 0
	for _, s := range b.Sheets {
		if s.Name == WhenEstimatedSheet {
			return true
		}
		if isOne(results, s.Name) || isOne([]string{MaterialsSheet, OrdersSheet}, s.Name) {
			found++
		}
	}
	return found >= 4
}

// needed are the sheets without which an estimate means something else: openings would
// be none, settings the defaults, prices those of a starter list, counts none.
var needed = []struct{ sheet, without string }{
	{OpeningsSheet, "its openings"}, {JobSheet, "its settings"}, {PricesSheet, "its prices"}, {MaterialsSheet, "what is bought"},
}

// laterSheets are input sheets that estimates of earlier versions do not have.
var laterSheets = []string{PurchasesSheet, ActualsSheet}

// LostSheets returns an error for each sheet that an estimate has and a book has not,
// though other sheets show that it is one. Priced says that price lists were named, so
// that it needs none of its own; hidden is the book with the sheet When estimated,
// which tells of other inputs whether anything stood there: where nothing did, it is a
// warning.
func LostSheets(b, hidden *sheet.Book, results []string, priced bool) (problems []estimate.Problem) {
	if !ofEstimate(b, results) {
		return nil
	}
	was := inputSet{}
	if s := hidden.Sheet(WhenEstimatedSheet); s != nil && !s.Skipped {
		was, _ = whenEstimated(s)
	}
	lost := func(name string) bool { // whether its cells were asked for or not
		return !slices.ContainsFunc(b.Sheets, func(s *sheet.Sheet) bool { return inputOf(s.Name) == name })
	}
	report := func(name, without string) {
		problems = append(problems, estimate.Problem{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
			What: fmt.Sprintf("the sheet %q of this estimate is not there, so that nothing is known of %s", name, without), Do: whereLost(b, results, name)})
	}
	for _, n := range needed {
		if lost(n.sheet) && !(n.sheet == PricesSheet && priced) {
			report(n.sheet, n.without)
		}
	}
	if len(was) == 0 {
		return problems // of an earlier version, which had other sheets
	}
	for _, t := range inputTables {
		isNeeded := slices.ContainsFunc(needed, func(n struct{ sheet, without string }) bool { return n.sheet == t.sheet })
		_, known := was[t.sheet]
		switch there := slices.ContainsFunc(was[t.sheet], func(x inputRow) bool { return !t.blank(x) }); {
		case isNeeded || !lost(t.sheet) || t.sheet == SuppliersSheet && priced || slices.Contains(laterSheets, t.sheet) && !known: // of an earlier version
		case there:
			report(t.sheet, "what stood there")
		default:
			report(t.sheet, "what was typed there")
			problems[len(problems)-1].Severity = estimate.Warning // nothing stood there when it was written
		}
	}
	return problems
}

// whereLost says where a sheet may be found again: under a name that is like it.
func whereLost(b *sheet.Book, results []string, name string) string {
	var strange []string
	for _, s := range b.Sheets {
		if inputOf(s.Name) == "" && !isOne(results, s.Name) && s.Name != WhenEstimatedSheet {
			strange = append(strange, s.Name)
		}
	}
	do := "copy it back from the estimate as it was written, or estimate the schedule again"
	for _, s := range strange {
		if strings.Contains(fold(s), fold(name)) {
			return fmt.Sprintf("if %q is it, name that %s; else %s", s, name, do)
		}
	}
	if near, ok := sheet.Nearest(name, strange); ok {
		return fmt.Sprintf("if %q is it, name that %s; else %s", near, name, do)
	}
	if len(strange) > 0 {
		return fmt.Sprintf("if it has another name, such as %q, name it %s again; else %s", strange[0], name, do)
	}
	return do
}

// AsEstimated puts the inputs of an estimate back, in memory, to what they were when it
// was written, and reports whether that is known and can be done; changed whether
// anything was put back. Hidden is the book with the sheet When estimated.
func AsEstimated(b, hidden *sheet.Book) (changed, ok bool) {
	s := hidden.Sheet(WhenEstimatedSheet)
	if s == nil || s.Skipped {
		return false, false
	}
	was, _ := whenEstimated(s)
	r, editors := newReader(b), map[string]*sheet.Editor{}
	edits := heldAgainst(was, typedInputs(b, was), false, nil).Edits
	for _, e := range edits {
		t := tableOf(e.Sheet)
		in := r.sheet(e.Sheet)
		if in == nil || e.Kind == RowMoved || e.Kind != CellChanged && e.Sheet == DetailsSheet {
			return true, false // the order of steps has a meaning
		}
		if editors[e.Sheet] == nil {
			editors[e.Sheet] = sheet.NewEditor(in, t.readColumns(was[e.Sheet]))
		}
		switch e.Kind {
		case CellChanged:
			c := e.Was
			c.Place = e.Place
			if e.Now.Kind == sheet.Date && c.Kind == sheet.Number {
				c.Kind, c.Text = sheet.Date, dayOf(c, b.Date1904)
			}
			c.Percent = c.Percent || e.Now.Percent
			editors[e.Sheet].Put(e.Place.Row, e.Column, c)
		case RowAdded:
			editors[e.Sheet].Remove(e.Place.Row)
		case RowRemoved:
			editors[e.Sheet].Append(e.Place, e.row.heads, e.row.cells)
		}
	}
	return len(edits) > 0, true
}
