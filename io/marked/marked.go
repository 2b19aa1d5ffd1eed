package marked

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// Marks is a copy of a file with its bad cells marked.
type Marks struct {
	Data      []byte
	Cells     int    // cells marked
	Unmarked  int    // bad cells beyond the first MaxMarks
	NotesKept int    // cells marked whose own note was left as it was
	Nowhere   int    // problems of the file that stand in no cell: on the sheet of problems alone
	Lost      string // why the copy holds values and marks only; "": all of the file is in it
}

const (
	// MaxMarks is how many cells are marked; who has more looks at the first.
	MaxMarks  = 2_000
	maxValues = 100_000 // cells of a copy of values
	csvSheet  = "CSV"
)

// markedCell is a bad cell.
type markedCell struct {
	row, col int
	severity estimate.Severity
	words    string
	sign     sign
	shown    int // characters of a number
}

// at returns the cell's name: B5.
func (c markedCell) at() string { return formula.Cell(c.row, c.col) }

// Marked returns a copy of a workbook or CSV file in which each cell with an
// error or a warning has a thick border, a fill, a sign and a note of the problem's
// words, and whose first sheet lists the problems with links to their cells. All else
// stays as it is; of a workbook of another form than usual, or with macros, the copy
// holds the values instead, and Lost says why. Without a bad cell Data is nil.
func Marked(data []byte, book *sheet.Book, problems []estimate.Problem) (Marks, error) {
	m, cells, lines := marksOf(book, problems)
	if m.Cells == 0 {
		return m, nil
	}
	isCSV := len(book.Sheets) == 1 && book.Sheets[0].Name == ""
	if !isCSV {
		copied, kept, err := annotated(data, book.File, cells, lines, m.Unmarked)
		if err == nil && !sameContents(copied, book) {
			err = errForm
		}
		if err == nil {
			m.Data, m.NotesKept = copied, kept
			return m, nil
		}
		m.Lost = err.Error()
	}
	values, err := valuesOf(book)
	if err != nil {
		return m, err
	}
	m.Data, _, err = annotated(values, book.File, cells, lines, m.Unmarked)
	return m, err
}

// marksOf sorts a file's problems by sheet and cell, and lists those that are shown.
func marksOf(book *sheet.Book, problems []estimate.Problem) (m Marks, cells map[string][]markedCell, lines []listed) {
	cells = map[string][]markedCell{}
	for _, p := range problems {
		if p.Place.File != book.File || p.Severity == estimate.Note {
			continue
		}
		s := book.Sheet(p.Place.Sheet)
		if s == nil || p.Place.Row == 0 && p.Place.Col == 0 {
			m.Nowhere++
			lines = append(lines, listed{place: cmp.Or(p.Place.Sheet, "the file"), Problem: p})
			continue
		}
		name := cmp.Or(s.Name, csvSheet)
		words := cmp.Or(p.Place.Column, p.Severity.String()) + ": " + p.What
		if p.Do != "" {
			words += " (" + p.Do + ")"
		}
		c := markedCell{row: max(p.Place.Row, 1), col: max(p.Place.Col, 1), severity: p.Severity, words: words}
		list := cells[name]
		last := len(list) - 1
		switch {
		case last >= 0 && list[last].at() == c.at(): // problems are sorted
			list[last].words += "\n" + words
			list[last].severity = max(list[last].severity, p.Severity)
		case m.Cells == MaxMarks:
			m.Unmarked++
			continue
		default:
			m.Cells++
			c.sign, c.shown = signFor(s, c.row, c.col)
			cells[name] = append(list, c)
		}
		lines = append(lines, listed{name + "!" + c.at(), formula.QuoteSheet(name) + "!" + c.at(), p})
	}
	return m, cells, lines
}

// signFor returns the sign that can be shown in a cell, and how many characters of a
// number there are.
func signFor(s *sheet.Sheet, row, col int) (sign, int) {
	i := row - 1
	if s.Name == "" { // a record of a CSV file stands at its line
		i = slices.IndexFunc(s.Rows, func(r []sheet.Cell) bool { return len(r) > 0 && r[0].Place.Row == row })
	}
	if i < 0 || i >= len(s.Rows) || col > len(s.Rows[i]) {
		return cross, 0
	}
	switch c := s.Rows[i][col-1]; {
	case c.Merged:
		return noSign, 0
	case c.Blank():
		return cross, 0
	case c.Kind == sheet.Number:
		return inFigures, len(c.Text)
	case c.Kind == sheet.Text:
		return inWords, 0
	}
	return noSign, 0
}

// valuesOf writes a workbook of a book's values. A record of a CSV file stands in the row
// of its line.
func valuesOf(book *sheet.Book) ([]byte, error) {
	filled := 0
	for _, s := range book.Sheets {
		for _, row := range s.Rows {
			filled += len(row)
		}
	}
	if filled > maxValues {
		return nil, fmt.Errorf("it has %d cells, more than %d; split it", filled, maxValues)
	}
	f := excelize.NewFile()
	defer func() { _ = f.Close() }()
	percent, err := f.NewStyle(&excelize.Style{NumFmt: 10})
	if err != nil {
		return nil, err
	}
	for i, s := range book.Sheets {
		name := cmp.Or(s.Name, csvSheet)
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), name)
		} else {
			_, err = f.NewSheet(name)
		}
		if err != nil {
			return nil, fmt.Errorf("the sheet %q: %w", name, err)
		}
		if last := len(s.Rows) - 1; last >= 0 && len(s.Rows[last]) > 0 && s.Rows[last][0].Place.Row > excelize.TotalRows {
			return nil, errors.New("it has more lines than a sheet has rows; split it")
		}
		lastRow, lastCol := 1, 1
		for _, row := range s.Rows {
			for _, c := range row {
				lastRow, lastCol = max(lastRow, c.Place.Row), max(lastCol, c.Place.Col)
				if err := setValue(f, name, c, percent); err != nil {
					return nil, err
				}
			}
		}
		if err := f.SetSheetDimension(name, formula.Range(1, 1, lastRow, lastCol)); err != nil {
			return nil, err
		}
	}
	return xlsx.Save(f, nil)
}

func setValue(f *excelize.File, name string, c sheet.Cell, percent int) error {
	at := formula.Cell(c.Place.Row, c.Place.Col)
	switch {
	case c.Kind == sheet.Empty, c.Kind == sheet.Uncalculated, c.Merged:
		return nil
	case c.Kind == sheet.Number && c.Percent:
		return errors.Join(f.SetCellFloat(name, at, c.Number, -1, 64), f.SetCellStyle(name, at, at, percent))
	case c.Kind == sheet.Number:
		return f.SetCellFloat(name, at, c.Number, -1, 64)
	}
	return f.SetCellStr(name, at, formula.CleanText(c.Text))
}
