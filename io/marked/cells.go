package marked

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// sheetPart is a sheet while its cells are marked.
type sheetPart struct {
	*part
	root, data *element
	columns    []column
	formats    *formats
	marks      []markedCell // by row, then column; those that are left
	row        int          // that is being read
	rowFormat  int
	area       formula.Area // of the cells that were added
}

// column is what a sheet says of columns that follow each other.
type column struct {
	first, last, format int
	width               float64
}

// usualWidth is the width of a column of which a sheet says nothing.
const usualWidth = 8.43

// newSheetPart reads what a sheet says beside its rows.
func newSheetPart(p *part, f *formats) (*sheetPart, error) {
	root, err := p.parse(3)
	if err != nil {
		return nil, err
	}
	s := &sheetPart{part: p, root: root, data: root.child(sheetData), formats: f, area: formula.NoArea}
	if s.data == nil {
		return nil, errForm
	}
	if cols := root.child("cols"); cols != nil {
		for _, e := range cols.named("col") {
			c := column{width: usualWidth}
			c.first, _ = strconv.Atoi(e.attr("min"))
			c.last, _ = strconv.Atoi(e.attr("max"))
			c.format, _ = strconv.Atoi(e.attr("style")) // 0 where it is left out
			if w, err := strconv.ParseFloat(e.attr("width"), 64); err == nil {
				c.width = w
			}
			s.columns = append(s.columns, c)
		}
	}
	return s, nil
}

func (s *sheetPart) column(col int) column {
	for _, c := range s.columns {
		if c.first <= col && col <= c.last {
			return c
		}
	}
	return column{width: usualWidth}
}

// mark gives the marked cells their formats. One that is not in the file yet is added,
// with its row where that is not there either.
func (s *sheetPart) mark(marks []markedCell) error {
	s.marks = slices.Clone(marks)
	d := xml.NewDecoder(bytes.NewReader(s.text[s.data.to:s.data.last]))
	at := func() int { return s.data.to + int(d.InputOffset()) }
	depth, row, col := 0, &element{}, 0
	for {
		from := at()
		t, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return errForm
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth++; depth > 2 {
				continue
			}
			e := &element{prefix: prefixOf(t.Name), name: t.Name.Local, attrs: t.Attr, from: from, to: at()}
			if depth == 1 {
				err = s.startRow(e)
				row, col = e, 0
				row.attrs = nil // they are the decoder's
			} else {
				col, err = s.cell(e, col)
			}
			if err != nil {
				return err
			}
		case xml.EndElement:
			if depth--; depth == 0 {
				row.last, row.end = from, at()
				if err := s.endRow(row); err != nil {
					return err
				}
			}
		}
	}
	rows, err := s.newRows(excelize.TotalRows + 1)
	if err != nil {
		return err
	}
	if rows != "" {
		s.append(s.data, rows)
	}
	s.widen()
	return nil
}

// startRow adds what comes before a row.
func (s *sheetPart) startRow(e *element) error {
	next := s.row + 1
	if r := e.attr("r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil {
			return errForm
		}
		next = n
	}
	rows, err := s.newRows(next)
	if err != nil {
		return err
	}
	if rows != "" {
		s.replace(e.from, e.from, rows)
	}
	if len(s.marks) > 0 && s.marks[0].row == next { // a cell may be added beyond the columns that the row says it spans
		if at := spans.FindIndex(s.text[e.from:e.to]); at != nil {
			s.replace(e.from+at[0], e.from+at[1], "")
		}
	}
	s.row, s.rowFormat = next, 0
	if custom := e.attr("customFormat"); custom == "1" || custom == "true" {
		s.rowFormat, _ = strconv.Atoi(e.attr("s"))
	}
	return nil
}

var spans = regexp.MustCompile(`\sspans\s*=\s*("[^"]*"|'[^']*')`)

// cell marks a cell, after those that come before it in its row, and returns its column.
func (s *sheetPart) cell(e *element, before int) (col int, err error) {
	col = before + 1
	if r := e.attr("r"); r != "" {
		if col, _, err = excelize.CellNameToCoordinates(r); err != nil {
			return 0, errForm
		}
	}
	cells, err := s.newCells(col, e.prefix)
	if err != nil {
		return 0, err
	}
	tag := string(s.text[e.from:e.to])
	if c, here := s.next(s.row, col); here {
		old, _ := strconv.Atoi(e.attr("s"))
		format, err := s.formats.of(look{old, c.severity, s.signOf(c)})
		if err != nil {
			return 0, err
		}
		tag = tagWith(tag, "s", strconv.Itoa(format))
		s.replace(e.from, e.to, cells+tag)
	} else if cells != "" {
		s.replace(e.from, e.from, cells)
	}
	return col, nil
}

// endRow adds what comes behind the last cell of a row.
func (s *sheetPart) endRow(e *element) error {
	cells, err := s.newCells(excelize.MaxColumns+1, e.prefix)
	if err == nil && cells != "" {
		s.append(e, cells)
	}
	return err
}

// next takes the next mark if it is of that cell.
func (s *sheetPart) next(row, col int) (c markedCell, here bool) {
	if len(s.marks) == 0 || s.marks[0].row != row || s.marks[0].col != col {
		return c, false
	}
	c, s.marks = s.marks[0], s.marks[1:]
	return c, true
}

// newRows returns rows for the marks above a row.
func (s *sheetPart) newRows(before int) (string, error) {
	var b strings.Builder
	q := s.data.prefix
	for len(s.marks) > 0 && s.marks[0].row < before {
		row := s.marks[0].row
		if row <= s.row { // rows out of their order
			return "", errForm
		}
		s.row, s.rowFormat = row, 0
		cells, err := s.newCells(excelize.MaxColumns+1, q)
		if err != nil {
			return "", err
		}
		b.WriteString("<" + q + `row r="` + strconv.Itoa(row) + `">` + cells + "</" + q + "row>")
	}
	return b.String(), nil
}

// newCells returns cells for the marks in the row that are left of a column.
func (s *sheetPart) newCells(before int, q string) (string, error) {
	var b strings.Builder
	for len(s.marks) > 0 && s.marks[0].row == s.row && s.marks[0].col < before {
		c, _ := s.next(s.row, s.marks[0].col)
		old := s.rowFormat
		if old == 0 {
			old = s.column(c.col).format
		}
		format, err := s.formats.of(look{old, c.severity, s.signOf(c)})
		if err != nil {
			return "", err
		}
		b.WriteString("<" + q + `c r="` + c.at() + `" s="` + strconv.Itoa(format) + `"/>`)
		s.area = s.area.With(c.row, c.col)
	}
	return b.String(), nil
}

// signOf returns the sign of a mark: none at a number that would not fit any more.
func (s *sheetPart) signOf(c markedCell) sign {
	if c.sign == inFigures && s.column(c.col).width < float64(c.shown+len(signs[c.severity])+2) {
		return noSign
	}
	return c.sign
}

// widen makes the area that the sheet names hold the cells that were added.
func (s *sheetPart) widen() {
	e := s.root.child("dimension")
	if e == nil || s.area.Row2 == 0 {
		return
	}
	first, last, two := strings.Cut(e.attr("ref"), ":")
	if !two {
		last = first
	}
	for _, name := range []string{first, last} {
		col, row, err := excelize.CellNameToCoordinates(name)
		if err != nil {
			return
		}
		s.area = s.area.With(row, col)
	}
	s.set(e, "ref", s.area.String())
}
