package workbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
)

// Widths of a column whose width is left to its content.
const (
	defaultMinWidth = 6
	defaultMaxWidth = 46
	maxColumnWidth  = 255
)

// cell is one cell to be written. A formula cell carries the value that the
// formula gives: readers that do not calculate show that one.
type cell struct {
	v    any    // nil, string, bool, float64, int, int64, measure.Money, UnitPrice, Rate or Date
	f    string // formula without the leading "="
	look look
	link string // cell of this workbook that it leads to, "Sheet!A1", or a file beside it, after fileLink
}

// str is a cell of text.
func str(l look, s string) cell { return cell{v: s, look: l} }

// strs is a run of such cells.
func strs(l look, ss ...string) []cell {
	cells := make([]cell, len(ss))
	for i, s := range ss {
		cells[i] = str(l, s)
	}
	return cells
}

// num is a cell of any value: a number, an amount of money, a date.
func num(v any, l look) cell { return cell{v: v, look: l} }

// formula is a cell that is computed, with the value that it gives.
func formula(f string, v any, l look) cell { return cell{v: v, f: f, look: l} }

// blank is an empty cell that is drawn, such as an input to fill in.
func blank(l look) cell { return cell{look: l} }

// fileLink marks a link to a file.
const fileLink = "file:"

// linkTo is a cell that leads to another one, "Sheet!A1".
func linkTo(target, s string) cell { return cell{v: s, look: link, link: target} }

// dayOne is 1970-01-01 in the day numbers of a workbook.
const dayOne = 25569

// numberOf returns the number that a value is stored as; ok is false for one that
// is none. Division by a power of ten rounds once, to the number that the same
// digits typed into the cell would give.
func numberOf(v any) (n float64, ok bool) {
	switch v := v.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	case int64:
		return float64(v), true
	case measure.Money:
		return float64(v) / 100, true
	case measure.UnitPrice:
		return float64(v) / 10_000, true
	case measure.Rate:
		return float64(v) / 1_000_000, true
	case measure.Date:
		return float64(int64(v) + dayOne), true
	}
	return 0, false
}

// fault returns what is wrong with a cell, or "".
func (c *cell) fault(known func(sheet string) bool) string {
	switch v := c.v.(type) {
	case nil:
		if c.f != "" {
			return "formula " + c.f + " has no stored value"
		}
	case string:
		// Of a result, space at an end is not kept.
		if c.f != "" && v != "" {
			if v = cleanText(v); strings.TrimSpace(v) != v {
				return fmt.Sprintf("result %q of %s begins or ends with a space", v, c.f)
			}
		}
	case bool:
	default:
		switch n, ok := numberOf(v); {
		case !ok:
			return fmt.Sprintf("a cell cannot hold the value %v", v)
		case math.IsNaN(n) || math.IsInf(n, 0):
			return fmt.Sprintf("%v is not a number that a cell can hold", v)
		}
	}
	if c.look >= lookCount {
		return "look " + strconv.Itoa(int(c.look)) + " does not exist"
	}
	if c.link != "" && !strings.HasPrefix(c.link, fileLink) {
		if what := formulaFault(c.link, known); what != "" {
			return "link: " + what
		}
	}
	if c.f == "" {
		return ""
	}
	return formulaFault(c.f, known)
}

// line is one row of a sheet.
type line struct {
	cells  []cell
	height float64 // 0: from the content
	least  float64 // where it follows the content: no less than this
}

// area is a rectangle of cells, counted from 1, its ends included.
type area struct{ row, col, row2, col2 int }

// noArea is the area that every cell extends.
var noArea = area{row: math.MaxInt, col: math.MaxInt}

// String returns the range as a sheet names it; one cell is B5, not B5:B5.
func (a area) String() string {
	if a.row == a.row2 && a.col == a.col2 {
		return ref(a.row, a.col)
	}
	return span(a.row, a.col, a.row2, a.col2)
}

func (a area) has(row, col int) bool {
	return a.row <= row && row <= a.row2 && a.col <= col && col <= a.col2
}

func (a area) meets(b area) bool {
	return a.row <= b.row2 && b.row <= a.row2 && a.col <= b.col2 && b.col <= a.col2
}

// table is a range with a header row and filters.
type table struct {
	area
	name string
}

func (t table) options() *excelize.Table {
	no := false
	return &excelize.Table{
		Range: t.String(), Name: t.name, StyleName: "TableStyleLight1", ShowRowStripes: &no,
	}
}

// highlight is a look that cells take while a formula holds.
type highlight struct {
	ref, formula string
	look         look
}

// page is one sheet of a workbook being built. Rows and columns count from 1.
type page struct {
	out    *out
	name   string
	quoted string // the name as formulas write it
	rows   []line

	madeFrom, madeTo   int // rows whose cells maker makes
	maker              func(cells []cell) []cell
	madeLooks          []look         // how those cells may look
	mergesOn           map[int][]area // by the first row
	width              []float64      // 0: from the content
	minWidth, maxWidth float64

	frozenRows, frozenCols int
	titleFirst, titleLast  int
	foldFrom, foldTo       int
	printed                int // columns that are printed; 0 = all
	across                 int // pages side by side; 0 = one
	wide, inputs, locked   bool
	lists                  bool // the sheet Lists, made by out itself

	tables      []table
	charts      []picture
	merges      []area
	breaks      []int
	kept        [][2]int // rows from, up to, that are printed on one page if they fit
	validations []*excelize.DataValidation
	comments    []excelize.Comment
	highlights  []highlight
}

// row appends a row and returns its number.
func (p *page) row(cells ...cell) int {
	p.rows = append(p.rows, line{cells: slices.Clone(cells)})
	return len(p.rows)
}

// made appends so many rows whose cells are made one after the other when they
// are written, so that a sheet of hundreds of thousands need not be held: next
// appends those of one row, in the place of the row before. Such
// rows have no links, their columns have set widths, and their cells no other
// looks than those given: styles are stored before the rows are made.
func (p *page) made(n int, looks []look, next func(cells []cell) []cell) {
	if n == 0 {
		return
	}
	p.madeFrom, p.madeTo, p.maker, p.madeLooks = p.next(), p.next()+n, next, looks
	p.skip(n)
	p.rows[p.madeFrom-1].cells = next(nil) // the header above looks at it
}

// next returns the number that the next row will have.
func (p *page) next() int { return len(p.rows) + 1 }

// skip appends n empty rows.
func (p *page) skip(n int) {
	p.rows = append(p.rows, make([]line, n)...)
}

// set writes one cell, which may lie in a row that exists already.
func (p *page) set(row, col int, c cell) {
	p.skip(max(0, row-len(p.rows)))
	l := &p.rows[row-1]
	if more := col - len(l.cells); more > 0 {
		l.cells = append(l.cells, make([]cell, more)...)
	}
	l.cells[col-1] = c
}

// at returns the cell at a place, which may be empty.
func (p *page) at(row, col int) cell {
	if row > len(p.rows) || col > len(p.rows[row-1].cells) {
		return cell{}
	}
	return p.rows[row-1].cells[col-1]
}

// ref returns the fixed name of a cell as another sheet writes it: Job!$B$5.
func (p *page) ref(row, col int) string { return p.quoted + "!" + absRef(row, col) }

// span returns a fixed range as another sheet writes it: Job!$B$5:$B$9.
func (p *page) span(row, col, row2, col2 int) string {
	return p.quoted + "!" + absSpan(row, col, row2, col2)
}

// banner appends a row whose only text runs over so many columns, as the
// title lines and notes above a table do.
func (p *page) banner(l look, s string, cols int) int {
	cells := make([]cell, max(1, cols))
	for i := range cells {
		cells[i].look = l
	}
	cells[0].v = s
	row := p.row(cells...)
	if cols > 1 {
		p.merge(row, 1, row, cols)
	}
	return row
}

// height sets the height of a row in points; otherwise it follows the text.
func (p *page) height(row int, points float64) {
	p.skip(max(0, row-len(p.rows)))
	p.rows[row-1].height = points
}

// leastHeight lets the height of a row follow its text, but to no less than so many
// points.
func (p *page) leastHeight(row int, points float64) { p.rows[row-1].least = points }

// widths sets the widths of the columns from the first, in digits of the body
// font; 0 leaves a column to its content.
func (p *page) widths(w ...float64) { p.width = slices.Clone(w) }

// autoWidth sets the limits for columns that are left to their content.
func (p *page) autoWidth(least, most float64) { p.minWidth, p.maxWidth = least, most }

// freeze keeps so many rows and columns in sight.
func (p *page) freeze(rows, cols int) { p.frozenRows, p.frozenCols = rows, cols }

// titleRows repeats rows at the top of every printed page.
func (p *page) titleRows(first, last int) { p.titleFirst, p.titleLast = first, last }

// printCols prints the first n columns only; the others are for the screen.
func (p *page) printCols(n int) { p.printed = n }

// acrossPages prints the sheet n pages wide, its frozen columns on each. The lines
// above its header stand on the first alone: repeated in the frozen columns they
// would be cut off.
func (p *page) acrossPages(n int) { p.across = n }

// landscape turns the paper.
func (p *page) landscape(yes bool) { p.wide = yes }

// inputPage marks the tab of a sheet that the estimator fills in.
func (p *page) inputPage() { p.inputs = true }

// protect locks everything but the inputs, without a password.
func (p *page) protect() { p.locked = true }

// breakBefore starts a new printed page at a row.
func (p *page) breakBefore(row int) { p.breaks = append(p.breaks, row) }

// keepTogether begins a new printed page at a row, if what stands from there up
// to end would run over the end of one. Of rows kept within others that are
// longer than a page, the inner ones are kept.
func (p *page) keepTogether(first, end int) { p.kept = append(p.kept, [2]int{first, end}) }

// foldColumns puts columns under an outline that is closed.
func (p *page) foldColumns(from, to int) { p.foldFrom, p.foldTo = from, to }

// merge joins cells of title lines; never inside a table.
func (p *page) merge(row, col, row2, col2 int) {
	m := area{row, col, row2, col2}
	if p.mergesOn == nil {
		p.mergesOn = map[int][]area{}
	}
	p.merges = append(p.merges, m)
	p.mergesOn[row] = append(p.mergesOn[row], m)
}

// table makes a range filterable under a name and shades every second row.
// Its first row holds the headers. Without a row below them there is nothing
// to filter, and the headers stay as they are.
func (p *page) table(name string, firstRow, lastRow, firstCol, lastCol int) {
	if lastRow > firstRow {
		p.tables = append(p.tables, table{area{firstRow, firstCol, lastRow, lastCol}, name})
	}
}

// header returns the name that a table takes for a column from its first cell.
func (p *page) header(row, col int) string {
	head, _ := p.at(row, col).v.(string)
	return cleanText(head)
}

// tableFault returns what is wrong with a table, or "".
func (p *page) tableFault(i int) string {
	t := p.tables[i]
	if t.row < 1 || t.col < 1 || t.col2 < t.col || t.row2 > len(p.rows) {
		return "range " + t.String() + " is not on the sheet"
	}
	seen := map[string]bool{}
	for col := t.col; col <= t.col2; col++ {
		head := p.header(t.row, col)
		folded := strings.ToLower(head)
		switch {
		case strings.TrimSpace(head) == "":
			return "header " + ref(t.row, col) + " is not a text"
		case strings.TrimSpace(head) != head || strings.Contains(head, "\n"):
			return fmt.Sprintf("header %s %q has a space at an end or a line end", ref(t.row, col), head)
		case utf16Len(head) > maxMessage:
			return "header " + ref(t.row, col) + " is too long"
		case seen[folded]:
			return fmt.Sprintf("header %s %q is there twice", ref(t.row, col), head)
		case p.at(t.row, col).f != "":
			return "header " + ref(t.row, col) + " is a formula"
		}
		seen[folded] = true
	}
	for _, other := range p.tables[:i] {
		if t.meets(other.area) {
			return "it overlaps table " + other.name
		}
	}
	for _, m := range p.merges {
		if t.meets(m) {
			return "cells " + m.String() + " inside it are merged"
		}
	}
	return ""
}

// choice lets cells take only words of a list. A list that is too long for
// the cell, or has a comma in a word, goes to the sheet Lists.
func (p *page) choice(ref string, list []string, title, message string) {
	if len(list) == 0 {
		p.out.fail("%s!%s: there are no words to choose from", p.quoted, ref)
		return
	}
	joined := strings.Join(list, ",")
	if utf16Len(joined) > maxListLength || strings.Count(joined, ",") != len(list)-1 {
		p.choiceRange(ref, p.out.listRange(title, list), title, message)
		return
	}
	if err := p.validation(ref, title, message).SetDropList(list); err != nil {
		p.out.fail("%s!%s: %w", p.quoted, ref, err)
	}
}

// choiceRange lets cells take only words of a range, "Lists!$A$2:$A$9".
func (p *page) choiceRange(ref, source, title, message string) {
	p.validation(ref, title, message).SetSqrefDropList(strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(source))
}

// decimalRange lets cells take only numbers from least to most.
func (p *page) decimalRange(ref string, least, most float64, title, message string) {
	p.numberRange(ref, excelize.DataValidationTypeDecimal, least, most, title, message)
}

// wholeRange lets cells take only whole numbers from least to most.
func (p *page) wholeRange(ref string, least, most float64, title, message string) {
	p.numberRange(ref, excelize.DataValidationTypeWhole, least, most, title, message)
}

func (p *page) numberRange(ref string, kind excelize.DataValidationType, least, most float64, title, message string) {
	limit := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	dv := p.validation(ref, title, message)
	if err := dv.SetRange(limit(least), limit(most), kind, excelize.DataValidationOperatorBetween); err != nil || least > most {
		p.out.fail("%s!%s: the range %v to %v cannot be written", p.quoted, ref, least, most)
	}
}

// validation adds a check of what is typed into cells. It stops a wrong
// entry; a blank one is allowed. The message is shown when a cell is chosen
// and when an entry is refused.
func (p *page) validation(ref, title, message string) *excelize.DataValidation {
	title, message = cleanText(title), cleanText(message)
	if utf16Len(title) > maxTitle || utf16Len(message) > maxMessage {
		p.out.fail("%s!%s: message %q: %q is longer than %d and %d characters",
			p.quoted, ref, title, message, maxTitle, maxMessage)
	}
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(ref)
	dv.SetError(excelize.DataValidationErrorStyleStop, title, message)
	if message != "" {
		dv.SetInput(title, message)
	}
	p.validations = append(p.validations, dv)
	return dv
}

// Size of a note beside a cell, in pixels.
const (
	noteWidth  = 260
	noteLine   = 17
	noteMargin = 12
)

// noteAt attaches a note to a cell.
func (p *page) noteAt(ref, words string) {
	words = cleanText(words)
	lines := lineCount(words, (noteWidth-noteMargin)*0.75, &drawings[text])
	p.comments = append(p.comments, excelize.Comment{
		Author: creator, Cell: ref, Text: words,
		Width: noteWidth, Height: uint(lines*noteLine + noteMargin),
	})
}

// highlight gives cells the colours of a look while a formula holds.
func (p *page) highlight(ref, formula string, l look) {
	p.highlights = append(p.highlights, highlight{ref, formula, l})
}
