package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// readWorkbook reads the wanted sheets of an xlsx or xlsm file.
func readWorkbook(file string, data io.ReaderAt, size int64, want func(string) bool) (*Book, []estimate.Problem, error) {
	a, err := openArchive(data, size)
	if err != nil {
		return nil, nil, err
	}
	p, err := a.plan()
	if err != nil {
		return nil, nil, err
	}
	needed, err := a.needed(p, want)
	if err != nil {
		return nil, nil, err
	}
	outlines := make([]*outline, len(p.sheets))
	left := newBudget()
	for i, s := range p.sheets {
		if !want(s.name) {
			continue
		}
		if outlines[i], err = scan(a.parts[partKey(s.part)], p.texts, p.looks.does, left); err != nil {
			return nil, nil, atSheet(s.name, err)
		}
		if err := outlines[i].widen(left); err != nil {
			return nil, nil, atSheet(s.name, err)
		}
	}
	book, err := readValues(file, needed, p, outlines)
	if err != nil {
		return nil, nil, err
	}
	return book, remarks(file, p, outlines), nil
}

// atSheet gives an error the sheet's name; anything but a refusal means the
// sheet is damaged.
func atSheet(name string, err error) error {
	var r refusal
	if !errors.As(err, &r) {
		return malformed(estimate.Place{Sheet: name}, "the sheet")
	}
	r.Place.Sheet = name
	return r
}

// widen counts the copies that merged areas will need.
func (o *outline) widen(left *budget) error {
	for _, m := range o.merges {
		if err := left.take(max(0, min(m.Right, o.width)-m.Left)); err != nil {
			return err
		}
	}
	return nil
}

// remarks are the problems of a workbook that was read all the same.
func remarks(file string, p *plan, outlines []*outline) []estimate.Problem {
	var ps []estimate.Problem
	add := func(at estimate.Place, sev estimate.Severity, what, do string) {
		at.File = file
		ps = append(ps, estimate.Problem{Place: at, Severity: sev, What: what, Do: do})
	}
	if p.macros {
		add(estimate.Place{}, estimate.Note, "the workbook's macros are ignored", "")
	}
	linked := false
	for i, o := range outlines {
		if o == nil {
			continue
		}
		at := func(m *mark) estimate.Place {
			return estimate.Place{Sheet: p.sheets[i].name, Row: m.row, Col: m.col}
		}
		if p.links && o.linked != nil && !linked {
			linked = true
			add(at(o.linked), estimate.Warning, "values from other files are taken as last stored",
				"open the workbook together with those files and save it if they have changed")
		}
		if o.far != nil {
			add(at(o.far), estimate.Warning, fmt.Sprintf("cells right of column %d are not read", maxCols), "clear them, or move them to the left")
		}
		if o.unlit != nil {
			add(estimate.Place{Sheet: p.sheets[i].name, Row: o.unlit.Top, Col: o.unlit.Left}, estimate.Warning,
				fmt.Sprintf("more than %d areas have conditional formats that hide, strike out or show otherwise what they cover; from here on they are not looked at",
					maxHighlights), "take them away, and see that each cell holds what is meant")
		}
		if o.below != nil {
			add(at(o.below), estimate.Warning,
				fmt.Sprintf("rows from here on are not read, because more than %d blank rows stand above them", maxGap), "clear them, or move them up")
		}
	}
	return ps
}

// readValues reads the cells' values with the workbook library and joins them
// with what the scan told of the cells.
func readValues(file string, data []byte, p *plan, outlines []*outline) (*Book, error) {
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:      true,
		UnzipSizeLimit:    maxUnpacked,
		UnzipXMLSizeLimit: maxUnpacked, // equal: no part is unpacked to a temporary file
	})
	if err != nil || f == nil {
		return nil, malformed(estimate.Place{}, "the workbook")
	}
	defer f.Close()
	book := &Book{File: file}
	if props, err := f.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		book.Date1904 = *props.Date1904
	}
	r := reader{file: f, formats: formats{file: f, known: map[int]cellFormat{}, date1904: book.Date1904}, looks: p.looks}
	for i, part := range p.sheets {
		s := &Sheet{Name: part.name, File: file, Hidden: part.hidden, Skipped: outlines[i] == nil}
		if o := outlines[i]; o != nil {
			s.HiddenRows, s.HiddenCols, s.Merges = o.hiddenRows, o.hiddenCols, o.merges
			if err := r.read(s, o); err != nil {
				return nil, atSheet(s.Name, err)
			}
		}
		book.Sheets = append(book.Sheets, s)
	}
	return book, nil
}

type reader struct {
	file    *excelize.File
	formats formats
	looks   looks
}

var errDiffer = errors.New("two readings of the sheet differ")

// read fills the sheet row by row.
func (r *reader) read(s *Sheet, o *outline) error {
	if len(o.marks) == 0 {
		return nil
	}
	rows, err := r.file.Rows(s.Name)
	if err != nil {
		return err
	}
	defer rows.Close()
	s.Rows = make([][]Cell, o.marks[len(o.marks)-1].row)
	marks := o.marks
	for i := range s.Rows {
		if !rows.Next() {
			return errDiffer
		}
		values, err := rows.Columns()
		if err != nil {
			return err
		}
		n := 0
		for n < len(marks) && marks[n].row == i+1 {
			n++
		}
		if s.Rows[i], err = r.row(s, marks[:n], values); err != nil {
			return err
		}
		marks = marks[n:]
	}
	s.highlightCells(o.highlights)
	s.copyMerged(o.width)
	return nil
}

// row joins a row's marks and values. Every value must have its mark and the
// other way round, else the two readings of the file differ.
func (r *reader) row(s *Sheet, marks []mark, values []string) ([]Cell, error) {
	unseen := 0
	for _, v := range values[:min(len(values), maxCols)] {
		if v != "" {
			unseen++
		}
	}
	if len(marks) == 0 {
		if unseen > 0 {
			return nil, errDiffer
		}
		return nil, nil
	}
	cells := make([]Cell, marks[len(marks)-1].col)
	at := estimate.Place{File: s.File, Sheet: s.Name, Row: marks[0].row}
	for i := range cells {
		at.Col = i + 1
		cells[i].Place = at
	}
	for _, m := range marks {
		value := ""
		if m.col <= len(values) {
			value = values[m.col-1]
		}
		if value != "" {
			unseen--
		}
		c, err := r.cell(m, value, cells[m.col-1].Place)
		if err != nil {
			return nil, err
		}
		cells[m.col-1] = c
	}
	if unseen != 0 {
		return nil, errDiffer
	}
	return cells, nil
}

// cell types a value.
func (r *reader) cell(m mark, value string, at estimate.Place) (Cell, error) {
	c := Cell{Place: at, Text: value, date1904: r.formats.date1904}
	value, drawn := m.rich.shownAs(value, r.formats.of(m.style).struck)
	words := m.kind == typeShared || m.kind == typeString || m.kind == typeInline
	switch {
	case m.value && value == "" && !words:
		return c, errDiffer
	case !m.value:
		c.Kind = Uncalculated
	case m.kind == typeNumber:
		c = r.number(m, value, at)
	case m.kind == typeDate:
		c.Kind = Date
		var ok bool
		if c.Number, ok = serialOf(value, r.formats.date1904); !ok {
			return c, errShape
		}
		c.Text = dateOf(c.Number, r.formats.date1904).Format("2006-01-02")
	case m.kind == typeBool:
		c.Kind, c.Text = Bool, "FALSE"
		if isTrue(value) {
			c.Text = "TRUE"
		}
	case m.kind == typeError:
		c.Kind = ErrorValue
	default:
		c = textCell(value, at)
	}
	c.Formula = m.formula
	ink := r.looks.ofStyle(m.style)
	c.unseen = ink.unseen && !m.rich.colored() || ink.bare && m.rich.whitened()
	return c.with(drawn), nil
}

func (r *reader) number(m mark, value string, at estimate.Place) Cell {
	n, ok := parseNumber(value)
	if !ok {
		// Some programs store words in cells of numbers; the caller judges.
		return textCell(value, at)
	}
	c := Cell{Kind: Number, Number: n, Text: shortest(n), Place: at, date1904: r.formats.date1904}
	if sections := r.formats.of(m.style).sections; len(sections) > 0 {
		s, v := sectionFor(sections, n)
		if s.date {
			c.Kind, c.Text = Date, r.formats.show(m.style, n)
			return c
		}
		return c.in(s, v)
	}
	return c
}

// copyMerged repeats the value of each merged area along its first row, as far
// as the sheet is filled.
func (s *Sheet) copyMerged(width int) {
	for _, m := range s.Merges {
		if m.Top > len(s.Rows) || m.Left > len(s.Rows[m.Top-1]) {
			continue
		}
		first := s.Rows[m.Top-1][m.Left-1]
		if first.Blank() || first.Merged {
			continue
		}
		first.Merged = true
		for col := m.Left + 1; col <= min(m.Right, width); col++ {
			first.Place.Col = col
			if col <= len(s.Rows[m.Top-1]) {
				s.Rows[m.Top-1][col-1] = first
			} else {
				s.Rows[m.Top-1] = append(s.Rows[m.Top-1], first)
			}
		}
	}
}
