package workbook

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
)

// The rows of a sheet are written here, and all around them by the library: its
// writers of rows build each cell several times over, keep long sheets in
// temporary files, and cannot store a formula with an empty text as its result.
// The form is that of ECMA-376-1, 18.3.1.73 (row), 18.3.1.4 (c) and 18.3.1.55
// (mergeCells).

// Around what rows, and merged cells, take the place of.
const (
	rowsStart, rowsEnd     = "<sheetData>", "</sheetData>"
	mergesStart, mergesEnd = "<mergeCells ", "</mergeCells>"
)

// writePart writes the part of the sheet: its frame as the library made it, with
// the sheet's rows and merged cells in their places.
func (p *page) writePart(w io.Writer, frame []byte, styles *styleBook, widths []float64) error {
	if p.foldFrom > 0 {
		frame = outlined(frame)
	}
	head, rest, err := cutOut(frame, rowsStart, rowsEnd)
	if err != nil {
		return err
	}
	if _, err = w.Write(append(head, rowsStart...)); err != nil {
		return err
	}
	if err = p.writeRows(w, styles, widths); err != nil {
		return err
	}
	tail := []byte(rowsEnd)
	if len(p.merges) > 0 {
		before, after, err := cutOut(rest, mergesStart, mergesEnd)
		if err != nil {
			return err
		}
		tail = append(tail, before...)
		tail = append(tail, fmt.Sprintf(`%scount="%d">`, mergesStart, len(p.merges))...)
		for _, m := range p.merges {
			tail = append(tail, `<mergeCell ref="`+m.String()+`"/>`...)
		}
		tail = append(tail, mergesEnd...)
		rest = after
	}
	_, err = w.Write(append(tail, rest...))
	return err
}

// cutOut takes an element out of a text: what stands before it, and what comes
// after.
func cutOut(part []byte, start, end string) (before, after []byte, err error) {
	before, rest, ok := bytes.Cut(part, []byte(start))
	_, after, closed := bytes.Cut(rest, []byte(end))
	if !ok || !closed {
		return nil, nil, fmt.Errorf("there is no element %q", strings.Trim(start, "< >"))
	}
	return bytes.Clone(before), after, nil
}

// rowsAtOnce is how many bytes of rows are handed on together.
const rowsAtOnce = 64 << 10

// writeRows writes every row, making those that are made as they are written.
func (p *page) writeRows(w io.Writer, styles *styleBook, widths []float64) error {
	buf := make([]byte, 0, rowsAtOnce+rowsAtOnce/4)
	var err error
	for i := range p.rows {
		if err = p.make(i + 1); err != nil {
			return err
		}
		if buf, err = p.appendRow(buf, styles, i+1, widths); err != nil {
			return fmt.Errorf("%s: %w", p.ref(i+1, 1), err)
		}
		if i > 0 && p.isMade(i) {
			p.rows[i-1].cells = nil // the row above is written
		}
		if len(buf) >= rowsAtOnce {
			if _, err = w.Write(buf); err != nil {
				return err
			}
			buf = buf[:0]
		}
	}
	_, err = w.Write(buf)
	return err
}

// errNewStyle says that a row that was made when it was written is drawn in a
// way that was not foretold: styles are stored before rows.
var errNewStyle = errors.New("a look was not foretold")

// appendRow appends the element of a row. One that holds nothing has none.
func (p *page) appendRow(b []byte, styles *styleBook, row int, widths []float64) ([]byte, error) {
	begin := len(b)
	b = append(b, `<row r="`...)
	b = strconv.AppendInt(b, int64(row), 10)
	height := p.rowHeight(row, widths)
	if height > 0 {
		b = append(b, `" ht="`...)
		b = strconv.AppendFloat(b, height, 'f', -1, 64)
		b = append(b, `" customHeight="1`...)
	}
	b = append(b, `">`...)
	empty := len(b)
	for col := 1; col <= p.lastCol(row); col++ {
		c, style := p.at(row, col), p.styleOf(row, col)
		if c.v == nil && style == (styleKey{}) {
			continue
		}
		id := *styles.at(style)
		if id == 0 && style != (styleKey{}) {
			return nil, errNewStyle
		}
		b = appendCell(b, row, col, id, c)
	}
	if len(b) == empty && height == 0 {
		return b[:begin], nil
	}
	return append(b, "</row>"...), nil
}

// appendCell appends the element of a cell.
func appendCell(b []byte, row, col, style int, c cell) []byte {
	b = append(b, `<c r="`...)
	b = appendColumn(b, col)
	b = strconv.AppendInt(b, int64(row), 10)
	if style > 0 {
		b = append(b, `" s="`...)
		b = strconv.AppendInt(b, int64(style), 10)
	}
	v := c.value()
	kind, isText := "", false
	switch v.(type) {
	case nil:
		return append(b, `"/>`...)
	case string:
		if kind, isText = "inlineStr", true; c.f != "" {
			kind, isText = "str", false
		}
	case bool:
		kind = "b"
	}
	if kind != "" {
		b = append(b, `" t="`...)
		b = append(b, kind...)
	}
	b = append(b, `">`...)
	if isText {
		b = appendText(b, v.(string))
		return append(b, `</c>`...)
	}
	if c.f != "" {
		b = append(b, `<f>`...)
		b = appendEscaped(b, c.f)
		b = append(b, `</f>`...)
	}
	// An empty text is a result too: without <v> it reads as "never computed".
	b = append(b, `<v>`...)
	switch v := v.(type) {
	case string:
		b = appendEscaped(b, storedText(v))
	case bool:
		if v {
			b = append(b, '1')
		} else {
			b = append(b, '0')
		}
	case int64:
		b = strconv.AppendInt(b, v, 10)
	case float64:
		b = strconv.AppendFloat(b, v, 'f', -1, 64)
	}
	return append(b, `</v></c>`...)
}

// appendText appends a text that stands in its cell. Space at its ends is kept
// only by an attribute.
func appendText(b []byte, s string) []byte {
	open := `<is><t>`
	if strings.TrimSpace(s) != s {
		open = `<is><t xml:space="preserve">`
	}
	b = append(b, open...)
	b = appendEscaped(b, storedText(s))
	return append(b, `</t></is>`...)
}

// charCode is how the file format writes a character that XML cannot hold: a
// text that only looks so has its underscore written in that way (ECMA-376-1,
// 22.9.2.19).
var charCode = regexp.MustCompile(`^_x[0-9A-Fa-f]{4}_`)

func storedText(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for i := range len(s) {
		if s[i] == '_' && charCode.MatchString(s[i:]) {
			b.WriteString("_x005F")
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// appendEscaped appends text that holds no character but what XML can.
func appendEscaped(b []byte, s string) []byte {
	for {
		i := strings.IndexAny(s, "&<>")
		if i < 0 {
			return append(b, s...)
		}
		b = append(b, s[:i]...)
		switch s[i] {
		case '&':
			b = append(b, "&amp;"...)
		case '<':
			b = append(b, "&lt;"...)
		default:
			b = append(b, "&gt;"...)
		}
		s = s[i+1:]
	}
}

// column returns the name of a column: A, Z, AA.
func column(col int) string { return string(appendColumn(nil, col)) }

func appendColumn(b []byte, col int) []byte {
	if col > 26 {
		b = appendColumn(b, (col-1)/26)
	}
	return append(b, 'A'+byte((col-1)%26))
}
