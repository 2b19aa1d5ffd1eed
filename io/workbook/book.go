// Package workbook writes the estimate as a workbook of live formulas, and
// reads back the inputs that an estimator has changed in it.
package workbook

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

const (
	creator   = "Sillwright"
	createdAt = "2000-01-01T00:00:00Z" // a clock would make the bytes differ
	listsName = "Lists"                // sheet of the word lists too long for a cell's own
)

// docProps are the document properties of a workbook.
type docProps struct{ Title, Subject, Description string }

// out is a workbook being built. Its methods never fail: what is wrong is
// kept, and bytes returns all of it.
type out struct {
	paper   string // "letter" (also when empty) or "A4"
	header  string // left part of every printed header: the job
	caution string // left part of every printed footer

	props  docProps
	pages  []*page
	names  []excelize.DefinedName
	lists  []wordList
	faults []error
}

// wordList is a column of the sheet Lists.
type wordList struct {
	head  string
	words []string
}

// newOut returns an empty workbook.
func newOut(props docProps) *out { return &out{props: props} }

// fail keeps an error for bytes to return.
func (o *out) fail(format string, args ...any) {
	o.faults = append(o.faults, fmt.Errorf(format, args...))
}

// sheet adds a sheet. Its name has at most 31 characters, none of []:*?/\ and
// differs from the others in more than case.
func (o *out) sheet(name string) *page {
	p := &page{out: o, name: name, quoted: quoteSheet(name), minWidth: defaultMinWidth, maxWidth: defaultMaxWidth}
	switch {
	case sheetNameFault(name) != "":
		o.fail("sheet name %q is not allowed", name)
	case o.page(name) != nil:
		o.fail("sheet name %q is used twice", name)
	}
	o.pages = append(o.pages, p)
	return p
}

// sheetNameFault returns what is wrong with the name of a sheet, or "".
func sheetNameFault(name string) string {
	if name == "" || utf16Len(name) > 31 || strings.ContainsAny(name, `[]:*?/\`) || cleanText(name) != name ||
		strings.HasPrefix(name, "'") || strings.HasSuffix(name, "'") || strings.EqualFold(name, "History") {
		return "is not a name of a sheet"
	}
	return ""
}

// page returns the sheet of that name, or nil.
func (o *out) page(name string) *page {
	for _, p := range o.pages {
		if strings.EqualFold(p.name, name) {
			return p
		}
	}
	return nil
}

// name defines a name for a reference such as "Job!$B$4".
func (o *out) name(name, ref string) {
	o.names = append(o.names, excelize.DefinedName{Name: name, RefersTo: ref})
}

// listRange puts words into a column of the sheet Lists and returns their
// range. The same words are written once.
func (o *out) listRange(head string, words []string) string {
	i := slices.IndexFunc(o.lists, func(l wordList) bool { return slices.Equal(l.words, words) })
	if i < 0 {
		i = len(o.lists)
		o.lists = append(o.lists, wordList{head, slices.Clone(words)})
	}
	return listsName + "!" + absRef(2, i+1) + ":" + absRef(len(words)+1, i+1)
}

// addLists adds the sheet Lists, in sight as everything is, when one is needed.
func (o *out) addLists() {
	if len(o.lists) == 0 || o.page(listsName) != nil && o.page(listsName).lists {
		return
	}
	p := o.sheet(listsName)
	p.lists = true
	p.freeze(1, 0)
	for col, l := range o.lists {
		p.set(1, col+1, str(heading, l.head))
		for i, word := range l.words {
			p.set(i+2, col+1, str(text, word))
		}
	}
}

// bytes returns the finished workbook. The same calls give the same bytes.
//
// The library makes all but the rows of the sheets, which rows.go writes into the
// parts as they are packed.
func (o *out) bytes() ([]byte, error) {
	o.addLists()
	if err := errors.Join(append(slices.Clone(o.faults), o.check()...)...); err != nil {
		return nil, err
	}
	f := excelize.NewFile()
	defer func() { _ = f.Close() }()
	parts := finishers{}
	charts := 0
	styles, tables := newStyleBook(f), tableParts{file: f}
	for i, p := range o.pages {
		if i == 0 {
			if err := f.SetSheetName(f.GetSheetName(0), p.name); err != nil {
				return nil, err
			}
		} else if _, err := f.NewSheet(p.name); err != nil {
			return nil, err
		}
		for _, c := range p.charts {
			charts++
			parts[chartPart(charts)] = func(w io.Writer, part []byte) error {
				part, err := c.finish(part)
				if err != nil {
					return err
				}
				_, err = w.Write(part)
				return err
			}
		}
	}
	for i, p := range o.pages {
		widths, err := p.write(f, styles, &tables)
		if err != nil {
			return nil, fmt.Errorf("sheet %s: %w", p.name, err)
		}
		parts[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = func(w io.Writer, part []byte) error {
			return p.writePart(w, part, styles, widths)
		}
	}
	tables.putBack()
	if err := o.describe(f); err != nil {
		return nil, err
	}
	return save(f, parts)
}

// knows returns what tells whether there is a sheet of some name.
func (o *out) knows() func(name string) bool {
	exact := map[string]bool{}
	for _, p := range o.pages {
		exact[p.name] = true
	}
	return func(name string) bool { return exact[name] || o.page(name) != nil }
}

// check returns what is wrong across sheets: names and formulas.
func (o *out) check() []error {
	var faults []error
	known := o.knows()
	fault := func(place, what string) {
		if what != "" {
			faults = append(faults, fmt.Errorf("%s: %s", place, what))
		}
	}
	if len(o.pages) == 0 {
		fault("workbook", "it has no sheet")
	}
	seen := map[string]bool{}
	unique := func(name string) {
		fault("name "+name, nameFault(name))
		if seen[strings.ToLower(name)] {
			fault("name "+name, "used twice")
		}
		seen[strings.ToLower(name)] = true
	}
	for _, n := range o.names {
		unique(n.Name)
		fault("name "+n.Name, formulaFault(n.RefersTo, known))
	}
	for _, p := range o.pages {
		if len(p.rows) > mostRows {
			fault("sheet "+p.name, fmt.Sprintf("it would have %d rows, and a sheet has %d at most; divide the schedule", len(p.rows), mostRows))
		}
		for i, t := range p.tables {
			unique(t.name)
			fault("table "+t.name, p.tableFault(i))
		}
		for row, l := range p.rows {
			for j := range l.cells {
				if what := l.cells[j].fault(known); what != "" {
					fault(p.ref(row+1, j+1), what)
				}
			}
		}
		for _, h := range p.highlights {
			fault(p.quoted+"!"+h.ref, formulaFault(h.formula, known))
		}
	}
	return faults
}

// describe sets what belongs to the whole workbook.
func (o *out) describe(f *excelize.File) error {
	yes := true
	faults := []error{
		f.SetDocProps(&excelize.DocProperties{
			Title: cleanText(o.props.Title), Subject: cleanText(o.props.Subject),
			Description: cleanText(o.props.Description), Creator: creator, LastModifiedBy: creator,
			Created: createdAt, Modified: createdAt, Language: "en-US",
		}),
		f.SetAppProps(&excelize.AppProperties{Application: creator}),
		f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}),
	}
	for _, n := range o.names {
		faults = append(faults, f.SetDefinedName(&n))
	}
	return errors.Join(faults...)
}

// writePrintNames names the ranges that are printed and what is repeated.
func (p *page) writePrintNames(f *excelize.File, widths []float64) error {
	var faults []error
	name := func(what, ref string) {
		faults = append(faults, f.SetDefinedName(&excelize.DefinedName{Name: what, RefersTo: ref, Scope: p.name}))
	}
	if areas := p.printAreas(widths); len(areas) > 0 {
		name("_xlnm.Print_Area", strings.Join(areas, ","))
	}
	if p.titleFirst > 0 {
		name("_xlnm.Print_Titles", p.titles())
	}
	return errors.Join(faults...)
}

// printAreas returns the ranges that are printed, each on pages of its own; none
// when all is.
func (p *page) printAreas(widths []float64) []string {
	last := len(p.rows)
	switch {
	case last == 0:
		return nil
	case p.across < 2 || last <= p.titleLast:
		if p.printed == 0 {
			return nil
		}
		return []string{p.span(1, 1, last, p.printed)}
	}
	areas, row, col := []string{}, 1, 1
	for _, end := range sideBySide(widths, p.frozenCols, p.across) {
		areas = append(areas, p.span(row, col, last, end))
		row, col = p.titleLast+1, end+1
	}
	return areas
}

// sideBySide divides columns over n pages that repeat the first ones, the last
// column of each page: as wide as one of n, or as little more as columns allow.
func sideBySide(widths []float64, repeated, n int) (ends []int) {
	left := 0.0
	for _, w := range widths[repeated:] {
		left += w
	}
	used := 0.0
	for i, w := range widths[repeated:] {
		if pages := n - len(ends); pages > 1 && used > 0 && used+w/2 > left/float64(pages) {
			ends, left, used = append(ends, repeated+i), left-used, 0
		}
		used += w
	}
	return append(ends, len(widths))
}

// titles returns the rows that are repeated on every printed page, and of a sheet
// several pages wide the columns.
func (p *page) titles() string {
	name := "'" + strings.ReplaceAll(p.name, "'", "''") + "'!"
	rows := fmt.Sprintf("%s$%d:$%d", name, p.titleFirst, p.titleLast)
	if p.across > 1 && p.frozenCols > 0 {
		return fmt.Sprintf("%s$A:$%s,%s", name, column(p.frozenCols), rows)
	}
	return rows
}

// The limits of a sheet, of a cell and of the messages beside it.
const (
	mostRows      = 1_048_576
	maxText       = 32767
	maxTitle      = 32
	maxMessage    = 255
	maxListLength = 255
)

func utf16Len(s string) (n int) {
	for _, r := range s {
		n += utf16.RuneLen(r)
	}
	return n
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// cleanText makes text fit a cell: a tab, a control character or a broken
// byte becomes a space, every line end "\n", and what is longer than a cell
// holds ends in "…".
func cleanText(s string) string {
	if isClean(s) {
		return s
	}
	s = strings.ToValidUTF8(s, " ")
	s = lineEnds.Replace(s)
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < ' ', r >= 0x7f && r <= 0x9f, r == '\ufffe', r == '\uffff':
			return ' '
		}
		return r
	}, s)
	return shorten(s, maxText)
}

// isClean reports whether text is plain ASCII without control characters, as most
// is, and fits.
func isClean(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return len(s) <= maxText
}

// shorten cuts text to so many UTF-16 units, the measure of the file format.
func shorten(s string, limit int) string {
	if len(s) <= limit || utf16Len(s) <= limit {
		return s
	}
	units := 0
	for i, r := range s {
		if units += utf16.RuneLen(r); units > limit-1 {
			// i is where the first rune that does not fit begins.
			return s[:i] + "…"
		}
	}
	return s
}

// ref returns the name of a cell: B5.
func ref(row, col int) string {
	return string(strconv.AppendInt(appendColumn(make([]byte, 0, 16), col), int64(row), 10))
}

// absRef returns the fixed name of a cell: $B$5.
func absRef(row, col int) string { return "$" + column(col) + "$" + strconv.Itoa(row) }

// span returns a range: B5:C9.
func span(row, col, row2, col2 int) string { return ref(row, col) + ":" + ref(row2, col2) }

// absSpan returns a fixed range: $B$5:$C$9.
func absSpan(row, col, row2, col2 int) string { return absRef(row, col) + ":" + absRef(row2, col2) }

// quoteSheet returns a sheet name as formulas write it. A name of letters
// stands bare; one with a digit could be a cell, so it is quoted.
func quoteSheet(name string) string {
	other := func(r rune) bool { return (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') && r != '_' }
	if len(name) > 2 && !strings.ContainsFunc(name, other) {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}
