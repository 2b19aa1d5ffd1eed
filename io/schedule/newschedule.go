package schedule

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// With returns the schedule that the tables which ship make with some settings, and with
// what is on hand: CSV files that learn writes, or that have their columns. Either may be
// nil.
func With(settings, onHand *sheet.Book) (*Schedule, []estimate.Problem) {
	r := newReader(&sheet.Book{})
	if settings != nil {
		sheets, problems := settingSheets(settings.Sheets[0])
		r.book.Sheets, r.problems = sheets, problems
	}
	if onHand != nil {
		s := *onHand.Sheets[0]
		s.Name = OnHandSheet
		r.book.Sheets = append(r.book.Sheets, &s)
	}
	r.shared()
	return r.out, estimate.SortProblems(r.problems)
}

// settingTables are the sheets whose rows a file of settings holds: by its columns those
// of the sheet.
var settingTables = []struct {
	sheet string
	heads [][2]string
}{
	{JobSheet, [][2]string{{"Key", "Key"}, {"Value", "Value"}}},
	{LaborSheet, [][2]string{{"Key", "Task"}, {"Kind", "Kind"}, {"Per", "Per"}, {"Phase", "Phase"}, {"Value", "Hours"}}},
}

// settingSheets divides a file of settings into the sheets that its rows are of. A row
// that does not say is of Job.
func settingSheets(s *sheet.Sheet) (out []*sheet.Sheet, problems []estimate.Problem) {
	columns := make([]sheet.Column, 0, 6)
	for _, head := range []string{"Sheet", "Key", "Kind", "Per", "Phase", "Value"} {
		columns = append(columns, sheet.Column{Key: head, Required: head == "Key" || head == "Value"})
	}
	t, found := s.Table(columns)
	problems = slices.DeleteFunc(found, func(p estimate.Problem) bool { return p.Severity == estimate.Note }) // columns for people
	for _, of := range settingTables {
		part := &sheet.Sheet{Name: of.sheet, File: s.File}
		heads := make([]sheet.Cell, len(of.heads))
		for i, h := range of.heads {
			heads[i] = sheet.Cell{Kind: sheet.Text, Text: h[1], Place: estimate.Place{File: s.File, Row: 1, Col: i + 1}}
		}
		part.Rows = append(part.Rows, heads)
		for _, row := range t.Rows {
			if word := row.Cell("Sheet").Word(); !strings.EqualFold(word, of.sheet) && !(word == "" && of.sheet == JobSheet) {
				continue
			}
			cells := make([]sheet.Cell, len(of.heads))
			for i, h := range of.heads {
				cells[i] = row.Cell(h[0])
			}
			part.Rows = append(part.Rows, cells)
		}
		if len(part.Rows) > 1 {
			out = append(out, part)
		}
	}
	for _, row := range t.Rows {
		word := row.Cell("Sheet").Word()
		if word != "" && !strings.EqualFold(word, JobSheet) && !strings.EqualFold(word, LaborSheet) {
			problems = append(problems, row.Cell("Sheet").Problem(estimate.Error, fmt.Sprintf("Sheet %q has no settings", sheet.Excerpt(word)), "write Job or Labor"))
		}
	}
	return out, problems
}
