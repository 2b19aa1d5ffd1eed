package sheet

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"sillwright/estimate"
)

// readCSV reads a CSV file as a book of one unnamed sheet. Every cell is text.
func readCSV(file string, data []byte) (*Book, []estimate.Problem, error) {
	text := lineEnds(decode(data))
	s := &Sheet{File: file}
	r := csvReader{sheet: s, line: 1, left: *newBudget()}
	r.comma, text = r.directive(text)
	if r.comma == 0 {
		r.comma = delimiter(text)
	}
	s.divider = r.comma
	if err := r.read(text); err != nil {
		return nil, nil, err
	}
	return &Book{File: file, Sheets: []*Sheet{s}}, r.problems, nil
}

// decode returns the text as UTF-8 without its byte order mark.
func decode(data []byte) []byte {
	if !isUTF16(data) {
		return bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	}
	var order binary.ByteOrder = binary.LittleEndian
	if data[0] == 0xFE {
		order = binary.BigEndian
	}
	text := make([]byte, 0, len(data))
	for data = data[2:]; len(data) >= 2; data = data[2:] {
		r := rune(order.Uint16(data))
		if utf16.IsSurrogate(r) && len(data) >= 4 {
			if pair := utf16.DecodeRune(r, rune(order.Uint16(data[2:]))); pair != unicode.ReplacementChar {
				r, data = pair, data[2:]
			}
		}
		text = utf8.AppendRune(text, r) // half a pair becomes the replacement character
	}
	return text
}

// lineEnds ends every line in one line feed, after a carriage return or none: where
// returns stand alone, or several before a line feed, two lines would be one, or a field
// end in a return.
func lineEnds(text []byte) []byte {
	odd := func(i int) bool { return text[i] == '\r' && (i+1 == len(text) || text[i+1] != '\n') }
	first := 0
	for first < len(text) && !odd(first) {
		first++
	}
	if first == len(text) {
		return text
	}
	out := append(make([]byte, 0, len(text)), text[:first]...)
	for i := first; i < len(text); i++ {
		if !odd(i) {
			out = append(out, text[i])
			continue
		}
		end := i
		for end < len(text) && text[end] == '\r' {
			end++
		}
		if end < len(text) && text[end] == '\n' { // several returns and a line feed are one line's end
			i = end - 1
			continue
		}
		out = append(out, bytes.Repeat([]byte{'\n'}, end-i)...)
		i = end - 1
	}
	return out
}

// csvReader reads records and remembers the physical line.
type csvReader struct {
	sheet    *Sheet
	comma    rune
	line     int // physical line at which the unread text begins
	left     budget
	problems []estimate.Problem
}

// directive takes a first line such as "sep=;", with which some programs name
// the delimiter.
func (r *csvReader) directive(text []byte) (rune, []byte) {
	first, rest, _ := bytes.Cut(text, []byte("\n"))
	word := strings.ToLower(strings.TrimRight(string(first), "\r"))
	if len(word) != 5 || !strings.HasPrefix(word, "sep=") || !strings.ContainsRune(",;\t|", rune(word[4])) {
		return 0, text
	}
	r.line++
	return rune(word[4]), rest
}

func newCSVReader(text io.Reader, comma rune) *csv.Reader {
	c := csv.NewReader(text)
	c.Comma = comma
	c.LazyQuotes = true // 36" door, 3'-0"
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = comma != '\t' // an empty field between tabs is no space
	return c
}

// delimiter returns the character that divides the first records most evenly.
// A semicolon or tab wins over commas that divide as evenly, because those may
// be decimal commas.
func delimiter(text []byte) rune {
	best, bestScore := ',', 0
	for _, comma := range []rune{'\t', ';', ','} {
		if score := evenness(text, comma); score > bestScore {
			best, bestScore = comma, score
		}
	}
	return best
}

// evenness returns how many of the first records share one count of fields,
// two or more.
func evenness(text []byte, comma rune) int {
	limited := &limitedReader{r: bytes.NewReader(text)}
	c := newCSVReader(limited, comma)
	counts := map[int]int{}
	score := 0
	for range headerRows {
		limited.remaining = maxRecord
		fields, err := c.Read()
		if err != nil {
			break
		}
		if n := len(fields); n > 1 {
			counts[n]++
			score = max(score, counts[n])
		}
	}
	return score
}

const (
	// maxUnclosed is how many unclosed quotation marks are reported; each costs
	// a look at what follows, as far as a record may go.
	maxUnclosed = 10
	maxRecord   = 1 << 20 // bytes of a record, blank lines before it included
	maxLine     = maxRecord / 2
)

func (r *csvReader) read(text []byte) error {
	for unclosed := 0; len(text) > 0; unclosed++ {
		if unclosed > maxUnclosed {
			return refuseAt(estimate.Place{Row: r.line}, "too many quotation marks are opened and not closed",
				"save the table as CSV again")
		}
		rest, err := r.readUntilUnclosed(text)
		if err != nil {
			return err
		}
		text = rest
	}
	return nil
}

// readUntilUnclosed reads records up to the end, or up to one in which an
// unclosed quotation mark swallows the lines after it. It reports that line,
// takes it alone and returns the text behind it.
func (r *csvReader) readUntilUnclosed(text []byte) ([]byte, error) {
	limited := &limitedReader{r: bytes.NewReader(text)}
	c := newCSVReader(limited, r.comma)
	base := r.line - 1
	for {
		limited.remaining = maxRecord
		start := c.InputOffset()
		fields, err := c.Read()
		if err == io.EOF {
			return nil, nil
		}
		if errors.Is(err, errToken) {
			r.line += bytes.Count(text[:start], []byte("\n"))
			return r.takeLong(text[start:])
		}
		if err != nil {
			return nil, refuse("the file cannot be read as CSV", "save the table as CSV again")
		}
		lines := make([]int, len(fields))
		for i := range fields {
			line, _ := c.FieldPos(i)
			lines[i] = base + line
		}
		end := c.InputOffset()
		raw := text[start:end]
		if swallows(raw, fields, r.comma) || int(end) == len(text) && unclosed(raw, r.comma) {
			return r.takeLine(text[start:], lines[0])
		}
		if err := r.add(fields, lines); err != nil {
			return nil, err
		}
	}
}

// takeLong goes on where no record came to its end for long: behind blank
// lines, or behind the line whose quotation mark is not closed.
func (r *csvReader) takeLong(text []byte) ([]byte, error) {
	rest := bytes.TrimLeft(text, "\r\n")
	r.line += bytes.Count(text[:len(text)-len(rest)], []byte("\n"))
	if len(rest) < len(text) {
		return rest, nil
	}
	if first, _, _ := bytes.Cut(text, []byte("\n")); len(first) > maxLine {
		return nil, refuseAt(estimate.Place{Row: r.line}, "the line is too long for a row of a table", "check that the right file was named")
	}
	return r.takeLine(text, r.line)
}

// swallows reports whether a record runs over several lines only because a
// quotation mark in it is not closed.
func swallows(raw []byte, fields []string, comma rune) bool {
	several := false
	for _, f := range fields {
		several = several || strings.Contains(f, "\n")
	}
	if !several && bytes.Count(bytes.TrimSpace(raw), []byte("\n")) == 0 {
		return false
	}
	strict := newCSVReader(bytes.NewReader(raw), comma)
	strict.LazyQuotes = false
	_, err := strict.Read()
	return err != nil
}

// unclosed reports whether a record is still inside quotation marks at its end,
// so that one more line would go into it.
func unclosed(raw []byte, comma rune) bool {
	c := newCSVReader(bytes.NewReader(append(bytes.Clone(bytes.TrimSpace(raw)), "\nx"...)), comma)
	if _, err := c.Read(); err != nil {
		return true
	}
	_, err := c.Read()
	return err != nil
}

// takeLine reads the one physical line at which text begins, blank lines
// before it passed over, and returns what follows.
func (r *csvReader) takeLine(text []byte, line int) ([]byte, error) {
	for {
		first, rest, _ := bytes.Cut(text, []byte("\n"))
		if len(bytes.TrimRight(first, "\r")) == 0 && len(rest) > 0 {
			text = rest
			continue
		}
		r.line = line + 1
		r.problems = append(r.problems, estimate.Problem{
			Place:    estimate.Place{File: r.sheet.File, Row: line},
			Severity: estimate.Error,
			What:     fmt.Sprintf("a quotation mark is opened and not closed in %s", beginning(string(first))),
			Do:       "close it, or write the mark twice inside quotation marks",
		})
		fields, err := newCSVReader(bytes.NewReader(first), r.comma).Read()
		if err != nil {
			return rest, nil
		}
		lines := make([]int, len(fields))
		for i := range lines {
			lines[i] = line
		}
		return rest, r.add(fields, lines)
	}
}

// add takes a record; lines are the physical lines on which its fields begin.
func (r *csvReader) add(fields []string, lines []int) error {
	if len(fields) > maxCols {
		return refuseAt(estimate.Place{Row: lines[0]}, fmt.Sprintf("the line has more than %d fields", maxCols), "check that the right file was named")
	}
	if err := r.left.take(len(fields)); err != nil {
		return err
	}
	cells := make([]Cell, len(fields))
	for i, f := range fields {
		cells[i] = textCell(unguard(f), estimate.Place{File: r.sheet.File, Row: lines[i], Col: i + 1})
		if cells[i].Kind == Empty {
			continue
		}
		if r.left.cells--; r.left.cells < 0 {
			return refuse("the file has more than 500,000 filled cells", "split it")
		}
	}
	r.sheet.Rows = append(r.sheet.Rows, cells)
	return nil
}

// formulaStarts are the characters with which a spreadsheet program begins to
// take a field for a formula.
//
// Source: Open Worldwide Application Security Project, CSV injection; wide forms of
// East Asian keyboards included.
const formulaStarts = "=+-@\t\r\n＝＋－＠"

// GuardCSV returns text that a spreadsheet program will not run as a formula
// when it opens the CSV file: an apostrophe is put before one that begins like
// a formula. It is for text columns only; a negative number stays a number.
// Reading takes the apostrophe off again.
func GuardCSV(text string) string {
	if startsFormula(text) {
		return "'" + text
	}
	return text
}

func startsFormula(text string) bool {
	first, size := utf8.DecodeRuneInString(text)
	return size > 0 && strings.ContainsRune(formulaStarts, first)
}

func unguard(text string) string {
	if bare, quoted := strings.CutPrefix(text, "'"); quoted && startsFormula(bare) {
		return bare
	}
	return text
}
