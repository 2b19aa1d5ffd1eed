package xlsx

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx/formula"
)

// Widths of a column whose width is left to its content.
const (
	defaultMinWidth = 6
	defaultMaxWidth = 46
	maxColumnWidth  = 255
	hiddenWidth     = 12
)

// Cell is one cell to be written. A formula cell carries the value that the
// formula gives: readers that do not calculate show that one.
type Cell struct {
	V    any    // nil, string, bool, float64, int, int64, measure.Money, UnitPrice, Rate or Date
	F    string // formula without the leading "="
	Look Look
	Link string // cell of this workbook that it leads to, "Sheet!A1", or a file beside it, after fileLink

	shared *sharedFormula // nil: the formula is its own
}

// Str is a cell of text.
func Str(l Look, s string) Cell { return Cell{V: s, Look: l} }

// Strs is a run of such cells.
func Strs(l Look, ss ...string) []Cell {
	cells := make([]Cell, len(ss))
	for i, s := range ss {
		cells[i] = Str(l, s)
	}
	return cells
}

// Num is a cell of any value: a number, an amount of money, a date.
func Num(v any, l Look) Cell { return Cell{V: v, Look: l} }

// Formula is a cell that is computed, with the value that it gives.
func Formula(f string, v any, l Look) Cell { return Cell{V: v, F: f, Look: l} }

// Blank is an empty cell that is drawn, such as an input to fill in.
func Blank(l Look) Cell { return Cell{Look: l} }

// Optional is a cell of a value that may be missing: blank then.
func Optional(v any, set bool, l Look) Cell {
	if !set {
		return Blank(l)
	}
	return Num(v, l)
}

// FileLink marks a link to a file.
const FileLink = "file:"

// LinkTo is a cell that leads to another one, "Sheet!A1".
func LinkTo(target, s string) Cell { return Cell{V: s, Look: link, Link: target} }

// LinkToSheet is a cell that leads to the top of a sheet.
func LinkToSheet(name, s string) Cell {
	return LinkTo(formula.QuoteSheet(name)+"!"+formula.Cell(1, 1), s)
}

// dayOne is 1970-01-01 in the day numbers of a workbook.
const dayOne = 25569

// NumberOf returns the number that a value is stored as; ok is false for one that
// is none. Division by a power of ten rounds once, to the number that the same
// digits typed into the cell would give.
func NumberOf(v any) (n float64, ok bool) {
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
func (c *Cell) fault(known func(sheet string) bool) string {
	switch v := c.V.(type) {
	case nil:
		if c.F != "" {
			return "formula " + c.F + " has no stored value"
		}
	case string:
		// Of a result, space at an end is not kept.
		if c.F != "" && v != "" {
			if v = formula.CleanText(v); strings.TrimSpace(v) != v {
				return fmt.Sprintf("result %q of %s begins or ends with a space", v, c.F)
			}
		}
	case bool:
	default:
		switch n, ok := NumberOf(v); {
		case !ok:
			return fmt.Sprintf("a cell cannot hold the value %v", v)
		case math.IsNaN(n) || math.IsInf(n, 0):
			return fmt.Sprintf("%v is not a number that a cell can hold", v)
		}
	}
	if c.Look >= lookCount {
		return "look " + strconv.Itoa(int(c.Look)) + " does not exist"
	}
	if c.Link != "" && !strings.HasPrefix(c.Link, FileLink) {
		if what := formula.Fault(c.Link, known); what != "" {
			return "link: " + what
		}
	}
	if c.F == "" || c.shared.checked() {
		return ""
	}
	return formula.Fault(c.F, known)
}

// line is one row of a sheet.
type line struct {
	Cells  []Cell
	height float64 // 0: from the content
	Least  float64 // where it follows the content: no less than this
}

// table is a range with a header row and filters.
type table struct {
	formula.Area
	name   string
	sealed bool // no buttons to sort and filter it
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
	look         Look
}

// Sheet is one sheet of a workbook being built. Rows and columns count from 1.
type Sheet struct {
	out    *Book
	Name   string
	Quoted string // the name as formulas write it
	Rows   []line

	streamFrom, streamTo int // rows whose cells maker makes
	streamRow            func(cells []Cell) []Cell
	streamLooks          []Look                 // how those cells may look
	mergesOn             map[int][]formula.Area // by the first row
	Width                []float64              // 0: from the content
	minWidth, maxWidth   float64

	frozenRows, frozenCols       int
	titleFirst, titleLast        int
	foldFrom, foldTo             int
	printed                      int // columns that are printed; 0 = all
	across                       int // pages side by side; 0 = one
	isLandscape, isInput, locked bool
	lists                        bool // the sheet Lists, made by out itself
	hidden                       bool
	sharedCount                  int // formulas that several cells have

	Tables      []table
	Charts      []picture
	merges      []formula.Area
	Breaks      []int
	kept        [][2]int // rows from, up to, that are printed on one page if they fit
	validations []*excelize.DataValidation
	comments    []excelize.Comment
	highlights  []highlight
}

// Row appends a row and returns its number.
func (p *Sheet) Row(cells ...Cell) int {
	p.Rows = append(p.Rows, line{Cells: slices.Clone(cells)})
	return len(p.Rows)
}

// stream appends so many rows whose cells are made one after the other when they
// are written, so that a sheet of hundreds of thousands need not be held: next
// appends those of one row, in the place of the row before. Such
// rows have no links, their columns have set widths, and their cells no other
// looks than those given: styles are stored before the rows are made.
func (p *Sheet) stream(n int, looks []Look, next func(cells []Cell) []Cell) {
	if n == 0 {
		return
	}
	p.streamFrom, p.streamTo, p.streamRow, p.streamLooks = p.Next(), p.Next()+n, next, looks
	p.Skip(n)
	p.Rows[p.streamFrom-1].Cells = next(nil) // the header above looks at it
}

// Next returns the number that the next row will have.
func (p *Sheet) Next() int { return len(p.Rows) + 1 }

// Skip appends n empty rows.
func (p *Sheet) Skip(n int) {
	p.Rows = append(p.Rows, make([]line, n)...)
}

// set writes one cell, which may lie in a row that exists already.
func (p *Sheet) set(row, col int, c Cell) {
	p.Skip(max(0, row-len(p.Rows)))
	l := &p.Rows[row-1]
	if more := col - len(l.Cells); more > 0 {
		l.Cells = append(l.Cells, make([]Cell, more)...)
	}
	l.Cells[col-1] = c
}

// at returns the cell at a place, which may be empty.
func (p *Sheet) at(row, col int) Cell {
	if row > len(p.Rows) || col > len(p.Rows[row-1].Cells) {
		return Cell{}
	}
	return p.Rows[row-1].Cells[col-1]
}

// ref returns the fixed name of a cell as another sheet writes it: Job!$B$5.
func (p *Sheet) ref(row, col int) string { return p.Quoted + "!" + formula.AbsCell(row, col) }

// span returns a fixed range as another sheet writes it: Job!$B$5:$B$9.
func (p *Sheet) span(row, col, row2, col2 int) string {
	return p.Quoted + "!" + formula.AbsRange(row, col, row2, col2)
}

// banner appends a row whose only text runs over so many columns, as the
// title lines and notes above a table do.
func (p *Sheet) banner(l Look, s string, cols int) int {
	cells := make([]Cell, max(1, cols))
	for i := range cells {
		cells[i].Look = l
	}
	cells[0].V = s
	row := p.Row(cells...)
	if cols > 1 {
		p.merge(row, 1, row, cols)
	}
	return row
}

// Wide is a cell that is drawn over so many columns, which are merged.
type Wide struct {
	Cell    Cell
	Columns int // 0 = 1
}

// Strip writes cells of different widths into one row, from the first column on, and
// returns a reference to each.
func (p *Sheet) Strip(cells ...Wide) []Ref {
	row, refs, ends := p.Next(), make([]Ref, len(cells)), make([]int, len(cells))
	var line []Cell
	for i, w := range cells {
		line = append(line, w.Cell)
		refs[i] = Ref{sheet: p, area: formula.Area{Row: row, Col: len(line), Row2: row, Col2: len(line)}}
		for range w.Columns - 1 {
			line = append(line, Blank(w.Cell.Look))
		}
		ends[i] = len(line)
	}
	p.Row(line...)
	for i, w := range cells {
		if w.Columns > 1 {
			p.merge(row, ends[i]-w.Columns+1, row, ends[i])
		}
	}
	return refs
}

// put writes a cell at a place of the sheet, drawn over so many columns, and returns
// what it covers.
func (p *Sheet) put(at Ref, c Cell, columns int) Ref {
	p.set(at.area.Row, at.area.Col, c)
	if columns <= 1 {
		return at
	}
	at.area.Col2, at.several = at.area.Col+columns-1, true
	p.merge(at.area.Row, at.area.Col, at.area.Row, at.area.Col2)
	return at
}

// Height sets the height of a row in points; otherwise it follows the text.
func (p *Sheet) Height(row int, points float64) {
	p.Skip(max(0, row-len(p.Rows)))
	p.Rows[row-1].height = points
}

// MinHeight lets the height of a row follow its text, but to no less than so many
// points.
func (p *Sheet) MinHeight(row int, points float64) { p.Rows[row-1].Least = points }

// setWidths sets the widths of the columns from the first, in digits of the body
// font; 0 leaves a column to its content.
func (p *Sheet) setWidths(w ...float64) { p.Width = slices.Clone(w) }

// OneColumn gives a sheet that has no table, such as one of a picture, one wide column.
func (p *Sheet) OneColumn(width float64) { p.setWidths(width) }

// AutoWidth sets the limits for columns that are left to their content.
func (p *Sheet) AutoWidth(least, most float64) { p.minWidth, p.maxWidth = least, most }

// Freeze keeps so many rows and columns in sight.
func (p *Sheet) Freeze(rows, cols int) { p.frozenRows, p.frozenCols = rows, cols }

// TitleRows repeats rows at the top of every printed page.
func (p *Sheet) TitleRows(first, last int) { p.titleFirst, p.titleLast = first, last }

// printCols prints the first n columns only; the others are for the screen.
func (p *Sheet) printCols(n int) { p.printed = n }

// AcrossPages prints the sheet n pages wide, its frozen columns on each. The lines
// above its header stand on the first alone: repeated in the frozen columns they
// would be cut off.
func (p *Sheet) AcrossPages(n int) { p.across = n }

// Landscape turns the paper.
func (p *Sheet) Landscape(yes bool) { p.isLandscape = yes }

// InputPage marks the tab of a sheet that the estimator fills in.
func (p *Sheet) InputPage() { p.isInput = true }

// Protect locks everything but the inputs, without a password.
func (p *Sheet) Protect() { p.locked = true }

// Hide keeps the sheet out of sight, until somebody shows it. Its columns are as wide as
// those of an empty one: nobody waits for what nobody sees to be measured.
func (p *Sheet) Hide() {
	p.hidden = true
	p.AutoWidth(hiddenWidth, hiddenWidth)
}

// BreakBefore starts a new printed page at a row.
func (p *Sheet) BreakBefore(row int) { p.Breaks = append(p.Breaks, row) }

// KeepTogether begins a new printed page at a row, if what stands from there up
// to end would run over the end of one. Of rows kept within others that are
// longer than a page, the inner ones are kept.
func (p *Sheet) KeepTogether(first, end int) { p.kept = append(p.kept, [2]int{first, end}) }

// foldColumns puts columns under an outline that is closed.
func (p *Sheet) foldColumns(from, to int) { p.foldFrom, p.foldTo = from, to }

// merge joins cells of title lines; never inside a table.
func (p *Sheet) merge(row, col, row2, col2 int) {
	m := formula.Area{Row: row, Col: col, Row2: row2, Col2: col2}
	if p.mergesOn == nil {
		p.mergesOn = map[int][]formula.Area{}
	}
	p.merges = append(p.merges, m)
	p.mergesOn[row] = append(p.mergesOn[row], m)
}

// addTable makes a range filterable under a name and shades every second row.
// Its first row holds the headers. Without a row below them there is nothing
// to filter, and the headers stay as they are.
func (p *Sheet) addTable(name string, firstRow, lastRow, firstCol, lastCol int) {
	if lastRow > firstRow {
		p.Tables = append(p.Tables, table{formula.Area{Row: firstRow, Col: firstCol, Row2: lastRow, Col2: lastCol}, name, false})
	}
}

// header returns the name that a table takes for a column from its first cell.
func (p *Sheet) header(row, col int) string {
	head, _ := p.at(row, col).V.(string)
	return formula.CleanText(head)
}

// tableFault returns what is wrong with a table, or "".
func (p *Sheet) tableFault(i int) string {
	t := p.Tables[i]
	if t.Row < 1 || t.Col < 1 || t.Col2 < t.Col || t.Row2 > len(p.Rows) {
		return "range " + t.String() + " is not on the sheet"
	}
	seen := map[string]bool{}
	for col := t.Col; col <= t.Col2; col++ {
		head := p.header(t.Row, col)
		folded := strings.ToLower(head)
		switch {
		case strings.TrimSpace(head) == "":
			return "header " + formula.Cell(t.Row, col) + " is not a text"
		case strings.TrimSpace(head) != head || strings.Contains(head, "\n"):
			return fmt.Sprintf("header %s %q has a space at an end or a line end", formula.Cell(t.Row, col), head)
		case formula.Utf16Len(head) > formula.MaxMessage:
			return "header " + formula.Cell(t.Row, col) + " is too long"
		case seen[folded]:
			return fmt.Sprintf("header %s %q is there twice", formula.Cell(t.Row, col), head)
		case p.at(t.Row, col).F != "":
			return "header " + formula.Cell(t.Row, col) + " is a formula"
		}
		seen[folded] = true
	}
	for _, other := range p.Tables[:i] {
		if t.Meets(other.Area) {
			return "it overlaps table " + other.name
		}
	}
	for _, m := range p.merges {
		if t.Meets(m) {
			return "cells " + m.String() + " inside it are merged"
		}
	}
	return ""
}

// choice lets cells take only words of a list. A list that is too long for
// the cell, or has a comma in a word, goes to the sheet Lists.
func (p *Sheet) choice(ref string, list []string, title, message string) {
	if len(list) == 0 {
		p.out.Fail("%s!%s: there are no words to choose from", p.Quoted, ref)
		return
	}
	joined := strings.Join(list, ",")
	if formula.Utf16Len(joined) > formula.MaxListLength || strings.Count(joined, ",") != len(list)-1 {
		p.choiceRange(ref, p.out.listRange(title, list), title, message)
		return
	}
	if err := p.validation(ref, title, message).SetDropList(list); err != nil {
		p.out.Fail("%s!%s: %w", p.Quoted, ref, err)
	}
}

// choiceRange lets cells take only words of a range, "Lists!$A$2:$A$9".
func (p *Sheet) choiceRange(ref, source, title, message string) {
	p.validation(ref, title, message).SetSqrefDropList(strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(source))
}

// decimalRange lets cells take only numbers from least to most.
func (p *Sheet) decimalRange(ref string, least, most float64, title, message string) {
	p.numberRange(ref, excelize.DataValidationTypeDecimal, least, most, title, message)
}

// wholeRange lets cells take only whole numbers from least to most.
func (p *Sheet) wholeRange(ref string, least, most float64, title, message string) {
	p.numberRange(ref, excelize.DataValidationTypeWhole, least, most, title, message)
}

func (p *Sheet) numberRange(ref string, kind excelize.DataValidationType, least, most float64, title, message string) {
	limit := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	dv := p.validation(ref, title, message)
	if err := dv.SetRange(limit(least), limit(most), kind, excelize.DataValidationOperatorBetween); err != nil || least > most {
		p.out.Fail("%s!%s: the range %v to %v cannot be written", p.Quoted, ref, least, most)
	}
}

// validation adds a check of what is typed into cells. It stops a wrong
// entry; a blank one is allowed. The message is shown when a cell is chosen
// and when an entry is refused.
func (p *Sheet) validation(ref, title, message string) *excelize.DataValidation {
	title, message = formula.CleanText(title), formula.CleanText(message)
	if formula.Utf16Len(title) > formula.MaxTitle || formula.Utf16Len(message) > formula.MaxMessage {
		p.out.Fail("%s!%s: message %q: %q is longer than %d and %d characters",
			p.Quoted, ref, title, message, formula.MaxTitle, formula.MaxMessage)
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
func (p *Sheet) noteAt(ref, words string) {
	words = formula.CleanText(words)
	lines := lineCount(words, (noteWidth-noteMargin)*0.75, &drawings[Text])
	p.comments = append(p.comments, excelize.Comment{
		Author: Creator, Cell: ref, Text: words,
		Width: noteWidth, Height: uint(lines*noteLine + noteMargin),
	})
}

// addHighlight gives cells the colors of a look while a formula holds.
func (p *Sheet) addHighlight(ref, formula string, l Look) {
	p.highlights = append(p.highlights, highlight{ref, formula, l})
}

// YesNo is the word for a truth.
func YesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
