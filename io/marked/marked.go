package marked

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// Marks is a copy of a file with its bad cells marked.
type Marks struct {
	Data      []byte
	Cells     int      // cells filled
	Unmarked  int      // bad cells beyond the first MostMarks
	NotesKept int      // cells filled whose own note was left as it was
	Nowhere   int      // problems of the file that stand in no cell
	Lost      []string // why the copy holds values and marks only; empty: all of the file is in it
}

const (
	// MostMarks is how many cells are marked; who has more looks at the first.
	MostMarks = 2_000
	// maxCopied is how much XML is opened whole: in memory it is twentyfold.
	maxCopied = 16 << 20
	maxValues = 100_000 // cells of a copy of values
	csvSheet  = "CSV"
)

// markedCell is a bad cell.
type markedCell struct {
	at       string // B5
	severity estimate.Severity
	words    string
}

// Marked returns a copy of a workbook or CSV file in which each cell with an
// error or a warning is filled and has a note of the problem's words. All else
// stays; where the library would lose something of the workbook, the copy
// holds the book's values instead, and Lost says what. Without a bad cell Data
// is nil.
func Marked(data []byte, book *sheet.Book, problems []estimate.Problem) (Marks, error) {
	m, cells := marksOf(book, problems)
	if m.Cells == 0 {
		return m, nil
	}
	isCSV := len(book.Sheets) == 1 && book.Sheets[0].Name == ""
	if !isCSV {
		if m.Lost = m.copyOf(data, cells); len(m.Lost) == 0 {
			return m, nil
		}
	}
	var err error
	m.NotesKept = 0
	m.Data, err = valuesOf(book, cells)
	return m, err
}

// marksOf sorts a file's problems by sheet and cell.
func marksOf(book *sheet.Book, problems []estimate.Problem) (Marks, map[string][]markedCell) {
	var m Marks
	cells := map[string][]markedCell{}
	for _, p := range problems {
		if p.Place.File != book.File || p.Severity == estimate.Note {
			continue
		}
		if book.Sheet(p.Place.Sheet) == nil || p.Place.Row == 0 && p.Place.Col == 0 {
			m.Nowhere++
			continue
		}
		words := cmp.Or(p.Place.Column, p.Severity.String()) + ": " + p.What
		if p.Do != "" {
			words += " (" + p.Do + ")"
		}
		list, at := cells[p.Place.Sheet], formula.Cell(max(p.Place.Row, 1), max(p.Place.Col, 1))
		switch i := slices.IndexFunc(list[max(0, len(list)-1):], func(c markedCell) bool { return c.at == at }); {
		case i == 0: // problems are sorted
			last := &list[len(list)-1]
			last.words += "\n" + words
			last.severity = max(last.severity, p.Severity)
		case m.Cells == MostMarks:
			m.Unmarked++
		default:
			m.Cells++
			cells[p.Place.Sheet] = append(list, markedCell{at, p.Severity, words})
		}
	}
	return m, cells
}

// copyOf marks a copy of the workbook itself, and returns what would be lost
// in it.
func (m *Marks) copyOf(data []byte, cells map[string][]markedCell) (lost []string) {
	defer func() {
		if recover() != nil { // the library trips over notes of some files
			lost = []string{"what the spreadsheet library cannot read"}
		}
	}()
	before, err := unpacked(data)
	switch {
	case err != nil:
		return []string{err.Error()}
	case before["xl/vbaProject.bin"] != nil:
		return []string{"macros"}
	case hasUnnamedRows(before):
		return []string{"rows that do not say their numbers"}
	}
	before, err = notesRenamed(before)
	if err != nil {
		return []string{err.Error()}
	}
	archive, err := repacked(before)
	if err != nil {
		return []string{err.Error()}
	}
	f, err := excelize.OpenReader(bytes.NewReader(archive), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxCopied * 32, UnzipXMLSizeLimit: maxCopied * 32})
	if err != nil {
		return []string{"what the spreadsheet library cannot read"}
	}
	defer func() { _ = f.Close() }()
	renameShapes(f)
	kept, err := mark(f, cells)
	if err != nil {
		return []string{"what the spreadsheet library cannot read"}
	}
	copied, err := xlsx.Save(f, nil)
	if err != nil {
		return []string{"what the spreadsheet library cannot write"}
	}
	after, err := unpacked(copied)
	if err != nil {
		return []string{err.Error()}
	}
	if !allNoted(copied, cells) {
		return []string{"notes"}
	}
	m.Data, m.NotesKept = copied, kept
	return lostParts(before, after)
}

// rowTag matches the start of a row. Over rows without a number the library
// needs time by their square; every usual program writes them.
var rowTag = regexp.MustCompile(`<(?:\w+:)?row(?:\s[^>]*|/)?>`)

func hasUnnamedRows(parts map[string][]byte) bool {
	for name, part := range parts {
		if !strings.HasPrefix(strings.ToLower(name), "xl/worksheets/") {
			continue // drawings have rows of their own
		}
		for _, at := range rowTag.FindAllIndex(part, -1) {
			if !bytes.Contains(part[at[0]:at[1]], []byte(" r=")) {
				return true
			}
		}
	}
	return false
}

// shapeName matches the name of a note's shape as some programs write it.
var shapeName = regexp.MustCompile(`id="shape_([0-9]{1,6})"`)

// renameShapes gives the shapes of notes names of the one form that the
// library can count on from. No one sees them.
func renameShapes(f *excelize.File) {
	f.Pkg.Range(func(name, data any) bool {
		if b, ok := data.([]byte); ok && strings.EqualFold(path.Ext(name.(string)), ".vml") {
			f.Pkg.Store(name, shapeName.ReplaceAll(b, []byte(`id="_x0000_s${1}"`)))
		}
		return true
	})
}

// allNoted reports whether a copy that is read anew has a note at every cell.
func allNoted(data []byte, cells map[string][]markedCell) bool {
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		return false
	}
	defer func() { _ = f.Close() }()
	for name, list := range cells {
		notes, err := f.GetComments(name)
		if err != nil {
			return false
		}
		at := map[string]bool{}
		for _, n := range notes {
			at[n.Cell] = true
		}
		if slices.ContainsFunc(list, func(c markedCell) bool { return !at[c.at] }) {
			return false
		}
	}
	return true
}

// mark fills cells and puts notes into them. It returns how many have a note
// already.
func mark(f *excelize.File, cells map[string][]markedCell) (kept int, err error) {
	tint := painter{file: f, styles: map[[2]int]int{}}
	for _, name := range slices.Sorted(maps.Keys(cells)) {
		notes, err := f.GetComments(name)
		if err != nil {
			return 0, err
		}
		taken := map[string]bool{}
		for _, n := range notes {
			taken[n.Cell] = true
		}
		for _, c := range cells[name] {
			if err := tint.fill(name, c); err != nil {
				return 0, err
			}
			if taken[c.at] {
				kept++
				continue
			}
			note := excelize.Comment{Cell: c.at, Author: xlsx.Creator, Width: 360, Height: 120,
				Paragraph: []excelize.RichTextRun{{Text: formula.Shorten(formula.CleanText(c.words), 2_000)}}}
			if err := f.AddComment(name, note); err != nil {
				return 0, err
			}
		}
	}
	return kept, nil
}

// painter gives cells a fill and leaves the rest of their format.
type painter struct {
	file   *excelize.File
	styles map[[2]int]int // by old style and severity
}

func (p painter) fill(sheetName string, c markedCell) error {
	old, err := p.file.GetCellStyle(sheetName, c.at)
	if err != nil {
		return err
	}
	key := [2]int{old, int(c.severity)}
	style, known := p.styles[key]
	if !known {
		if style, err = p.style(old, c.severity); err != nil {
			return err
		}
		p.styles[key] = style
	}
	return p.file.SetCellStyle(sheetName, c.at, c.at, style)
}

// style returns a copy of a cell format with another fill. It is copied as the
// file has it: through the library's own Style theme colours would be lost.
func (p painter) style(old int, severity estimate.Severity) (int, error) {
	colour := xlsx.WarnFill
	if severity == estimate.Error {
		colour = xlsx.BadFill
	}
	plain, err := p.file.NewStyle(&excelize.Style{Fill: xlsx.Solid(colour)})
	if err != nil {
		return 0, err
	}
	formats := p.file.Styles.CellXfs
	if old >= len(formats.Xf) {
		return 0, errors.New("a cell has a format that is not listed")
	}
	format, yes := formats.Xf[old], true
	format.FillID, format.ApplyFill = formats.Xf[plain].FillID, &yes
	formats.Xf = append(formats.Xf, format)
	formats.Count = len(formats.Xf)
	return len(formats.Xf) - 1, nil
}

// valuesOf writes a workbook of a book's values with its bad cells marked. A
// record of a CSV file stands in the row of its line.
func valuesOf(book *sheet.Book, cells map[string][]markedCell) ([]byte, error) {
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
	named := map[string][]markedCell{}
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
		if marked := cells[s.Name]; marked != nil {
			named[name] = marked
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
	if _, err := mark(f, named); err != nil {
		return nil, err
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
