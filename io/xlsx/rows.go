package xlsx

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sillwright/io/xlsx/formula"
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
func (p *Sheet) writePart(w io.Writer, frame []byte, styles *styleBook, widths []float64) error {
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
func (p *Sheet) writeRows(w io.Writer, styles *styleBook, widths []float64) error {
	buf := slices.Grow(p.out.buffer, rowsAtOnce+rowsAtOnce/4)[:0]
	defer func() { p.out.buffer = buf }() // for the next sheet
	var err error
	var keys []styleKey
	known := p.out.knows()
	for i := range p.Rows {
		if err = p.buildRow(i+1, known); err != nil {
			return err
		}
		keys = p.stylesOf(i+1, keys[:0])
		if buf, err = p.appendRow(buf, i+1, styles, keys, widths); err != nil {
			return fmt.Errorf("%s: %w", p.ref(i+1, 1), err)
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
// way that was not registered: styles are stored before rows.
var errNewStyle = errors.New("a style was not registered before the rows were written")

// appendRow appends the element of a row whose cells are drawn so. One that holds
// nothing has none.
func (p *Sheet) appendRow(b []byte, row int, styles *styleBook, keys []styleKey, widths []float64) ([]byte, error) {
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
	cells := p.Rows[row-1].Cells
	for j, style := range keys {
		c := &noCell
		if j < len(cells) {
			c = &cells[j]
		}
		if c.V == nil && style == (styleKey{}) {
			continue
		}
		id := *styles.at(style)
		if id == 0 && style != (styleKey{}) {
			return nil, errNewStyle
		}
		b = appendCell(b, row, j+1, id, c)
	}
	if len(b) == empty && height == 0 {
		return b[:begin], nil
	}
	return append(b, "</row>"...), nil
}

// noCell is what stands where a table is drawn beyond the cells of a row.
var noCell Cell

// appendCell appends the element of a cell.
func appendCell(b []byte, row, col, style int, c *Cell) []byte {
	b = append(b, `<c r="`...)
	b = formula.AppendColumn(b, col)
	b = strconv.AppendInt(b, int64(row), 10)
	if style > 0 {
		b = append(b, `" s="`...)
		b = strconv.AppendInt(b, int64(style), 10)
	}
	switch v := c.V.(type) {
	case nil:
		return append(b, `"/>`...)
	case string:
		if c.F == "" {
			return appendInline(b, v)
		}
		b = append(b, `" t="str`...)
	case bool:
		b = append(b, `" t="b`...)
	}
	b = append(b, `">`...)
	if c.F != "" {
		b = appendFormula(b, row, c)
	}
	// An empty text is a result too: without <v> it reads as "never computed".
	b = append(b, `<v>`...)
	switch v := c.V.(type) {
	case string:
		b = appendText(b, v)
	case bool:
		if v {
			b = append(b, '1')
		} else {
			b = append(b, '0')
		}
	default:
		n, _ := NumberOf(v)
		b = appendNumber(b, n)
	}
	return append(b, `</v></c>`...)
}

// appendInline appends the rest of a cell that holds a text. Space at its ends is
// kept only by an attribute.
func appendInline(b []byte, s string) []byte {
	b = append(b, `" t="inlineStr"><is><t`...)
	if strings.TrimSpace(s) != s {
		b = append(b, ` xml:space="preserve"`...)
	}
	b = append(b, '>')
	b = appendText(b, s)
	return append(b, `</t></is></c>`...)
}

// appendNumber appends a number with the fewest digits that read as the same one.
func appendNumber(b []byte, n float64) []byte {
	const exact = 1 << 53 // below it every whole number is one of these
	if whole := int64(n); float64(whole) == n && -exact < whole && whole < exact {
		return strconv.AppendInt(b, whole, 10)
	}
	return strconv.AppendFloat(b, n, 'f', -1, 64)
}

// asItIs tells of each byte of a text whether it is stored as it stands.
var asItIs = func() (is [256]bool) {
	for c := ' '; c <= '~'; c++ {
		is[c] = !strings.ContainsRune("&<>_", c)
	}
	return is
}()

// appendText appends the text of a cell as the file holds it.
func appendText(b []byte, s string) []byte {
	for i := range len(s) {
		if !asItIs[s[i]] {
			return appendEscaped(b, storedText(formula.CleanText(s)))
		}
	}
	return append(b, formula.Shorten(s, formula.MaxText)...)
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
	from := 0
	for i := range len(s) {
		var name string
		switch s[i] {
		case '&':
			name = "&amp;"
		case '<':
			name = "&lt;"
		case '>':
			name = "&gt;"
		default:
			continue
		}
		b = append(append(b, s[from:i]...), name...)
		from = i + 1
	}
	return append(b, s[from:]...)
}
