// Package workbook writes the estimate as a workbook of live formulas, and
// reads back the inputs that an estimator has changed in it.
package xlsx

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

const (
	Creator   = "Sillwright"
	createdAt = "2000-01-01T00:00:00Z" // a clock would make the bytes differ
	ListsName = "Lists"                // sheet of the word lists too long for a cell's own

	ProblemsName = "Problems" // first sheet of a marked copy
)

// Properties are the document properties of a workbook.
type Properties struct{ Title, Subject, Description string }

// Book is a workbook being built. Its methods never fail: what is wrong is
// kept, and bytes returns all of it.
type Book struct {
	Paper  string // "letter" (also when empty) or "A4"
	Header string // left part of every printed header: the job
	Footer string // left part of every printed footer

	props  Properties
	Sheets []*Sheet
	names  []excelize.DefinedName
	lists  []wordList
	faults []error
	buffer []byte // of the rows of the sheet that is written
}

// wordList is a column of the sheet Lists.
type wordList struct {
	head  string
	words []string
}

// New returns an empty workbook.
func New(props Properties) *Book { return &Book{props: props} }

// Fail keeps an error for Bytes to return. The same words are kept once: a wrong head in
// a formula is met in every row.
func (o *Book) Fail(format string, args ...any) {
	fault := fmt.Errorf(format, args...)
	if !slices.ContainsFunc(o.faults, func(err error) bool { return err.Error() == fault.Error() }) {
		o.faults = append(o.faults, fault)
	}
}

// AddSheet adds a sheet. Its name has at most 31 characters, none of []:*?/\ and
// differs from the others in more than case.
func (o *Book) AddSheet(name string) *Sheet {
	p := &Sheet{out: o, Name: name, Quoted: formula.QuoteSheet(name), minWidth: defaultMinWidth, maxWidth: defaultMaxWidth}
	switch {
	case formula.SheetNameFault(name) != "":
		o.Fail("sheet name %q is not allowed", name)
	case o.sheet(name) != nil:
		o.Fail("sheet name %q is used twice", name)
	}
	o.Sheets = append(o.Sheets, p)
	return p
}

// Sheet returns the sheet of that name; one that is not there is a fault.
func (o *Book) Sheet(name string) *Sheet {
	if p := o.sheet(name); p != nil {
		return p
	}
	o.Fail("there is no sheet %q", name)
	return o.AddSheet(name)
}

// sheet returns the sheet of that name, or nil.
func (o *Book) sheet(name string) *Sheet {
	for _, p := range o.Sheets {
		if strings.EqualFold(p.Name, name) {
			return p
		}
	}
	return nil
}

// Define defines a name for a reference such as "Job!$B$4".
func (o *Book) Define(name, ref string) {
	o.names = append(o.names, excelize.DefinedName{Name: name, RefersTo: ref})
}

// listRange puts words into a column of the sheet Lists and returns their
// range. The same words are written once.
func (o *Book) listRange(head string, words []string) string {
	i := slices.IndexFunc(o.lists, func(l wordList) bool { return slices.Equal(l.words, words) })
	if i < 0 {
		i = len(o.lists)
		o.lists = append(o.lists, wordList{head, slices.Clone(words)})
	}
	return ListsName + "!" + formula.AbsCell(2, i+1) + ":" + formula.AbsCell(len(words)+1, i+1)
}

// addLists adds the sheet Lists, in sight as everything is, when one is needed.
func (o *Book) addLists() {
	if len(o.lists) == 0 || o.sheet(ListsName) != nil && o.sheet(ListsName).lists {
		return
	}
	p := o.AddSheet(ListsName)
	p.lists = true
	p.Freeze(1, 0)
	for col, l := range o.lists {
		p.set(1, col+1, Str(Heading, l.head))
		for i, word := range l.words {
			p.set(i+2, col+1, Str(Text, word))
		}
	}
}

// Bytes returns the finished workbook. The same calls give the same bytes.
//
// The library makes all but the rows of the sheets, which rows.go writes into the
// parts as they are packed.
func (o *Book) Bytes() ([]byte, error) {
	o.addLists()
	if err := errors.Join(append(slices.Clone(o.faults), o.check()...)...); err != nil {
		return nil, err
	}
	f := excelize.NewFile()
	defer func() { _ = f.Close() }()
	parts := finishers{}
	charts, drawings := 0, 0
	styles, tables := newStyleBook(f), tableParts{file: f}
	for i, p := range o.Sheets {
		if i == 0 {
			if err := f.SetSheetName(f.GetSheetName(0), p.Name); err != nil {
				return nil, err
			}
		} else if _, err := f.NewSheet(p.Name); err != nil {
			return nil, err
		}
		for _, c := range p.Charts {
			charts++
			parts[ChartPart(charts)] = finished(c.finish)
		}
		if len(p.Charts) > 0 {
			drawings++
			parts[drawingPart(drawings)] = finished(func(part []byte) ([]byte, error) { return anchored(part, p.Charts) })
		}
	}
	for i, p := range o.Sheets {
		widths, err := p.write(f, styles, &tables)
		if err != nil {
			return nil, fmt.Errorf("sheet %s: %w", p.Name, err)
		}
		parts[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = func(w io.Writer, part []byte) error {
			return p.writePart(w, part, styles, widths)
		}
	}
	tables.putBack()
	for _, p := range o.Sheets {
		if p.hidden {
			if err := f.SetSheetVisible(p.Name, false); err != nil {
				return nil, err
			}
		}
	}
	if err := o.describe(f); err != nil {
		return nil, err
	}
	return Save(f, parts)
}

// finished returns what writes a part as a function makes it.
func finished(change func(part []byte) ([]byte, error)) func(w io.Writer, part []byte) error {
	return func(w io.Writer, part []byte) error {
		part, err := change(part)
		if err != nil {
			return err
		}
		_, err = w.Write(part)
		return err
	}
}

// knows returns what tells whether there is a sheet of some name.
func (o *Book) knows() func(name string) bool {
	exact := map[string]bool{}
	for _, p := range o.Sheets {
		exact[p.Name] = true
	}
	return func(name string) bool { return exact[name] || o.sheet(name) != nil }
}

// check returns what is wrong across sheets: names and formulas.
func (o *Book) check() []error {
	var faults []error
	known := o.knows()
	fault := func(place, what string) {
		if what != "" {
			faults = append(faults, fmt.Errorf("%s: %s", place, what))
		}
	}
	if len(o.Sheets) == 0 {
		fault("workbook", "it has no sheet")
	}
	seen := map[string]bool{}
	unique := func(name string) {
		fault("name "+name, formula.NameFault(name))
		if seen[strings.ToLower(name)] {
			fault("name "+name, "used twice")
		}
		seen[strings.ToLower(name)] = true
	}
	for _, n := range o.names {
		unique(n.Name)
		fault("name "+n.Name, formula.Fault(n.RefersTo, known))
	}
	for _, p := range o.Sheets {
		if len(p.Rows) > formula.MaxRows {
			fault("sheet "+p.Name, fmt.Sprintf("it would have %d rows, and a sheet has %d at most; divide the schedule", len(p.Rows), formula.MaxRows))
		}
		for i, t := range p.Tables {
			unique(t.name)
			fault("table "+t.name, p.tableFault(i))
		}
		for row, l := range p.Rows {
			for j := range l.Cells {
				if what := l.Cells[j].fault(known); what != "" {
					fault(p.ref(row+1, j+1), what)
				}
			}
		}
		for _, h := range p.highlights {
			fault(p.Quoted+"!"+h.ref, formula.Fault(h.formula, known))
		}
	}
	return faults
}

// describe sets what belongs to the whole workbook.
func (o *Book) describe(f *excelize.File) error {
	yes := true
	faults := []error{
		f.SetDocProps(&excelize.DocProperties{
			Title: formula.CleanText(o.props.Title), Subject: formula.CleanText(o.props.Subject),
			Description: formula.CleanText(o.props.Description), Creator: Creator, LastModifiedBy: Creator,
			Created: createdAt, Modified: createdAt, Language: "en-US",
		}),
		f.SetAppProps(&excelize.AppProperties{Application: Creator}),
		f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}),
	}
	for _, n := range o.names {
		faults = append(faults, f.SetDefinedName(&n))
	}
	return errors.Join(faults...)
}

// writePrintNames names the ranges that are printed and what is repeated.
func (p *Sheet) writePrintNames(f *excelize.File, widths []float64) error {
	var faults []error
	name := func(what, ref string) {
		faults = append(faults, f.SetDefinedName(&excelize.DefinedName{Name: what, RefersTo: ref, Scope: p.Name}))
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
func (p *Sheet) printAreas(widths []float64) []string {
	last := len(p.Rows)
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
	left, used := sumOf(widths[repeated:]), 0.0
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
func (p *Sheet) titles() string {
	name := "'" + strings.ReplaceAll(p.Name, "'", "''") + "'!"
	rows := fmt.Sprintf("%s$%d:$%d", name, p.titleFirst, p.titleLast)
	if p.across > 1 && p.frozenCols > 0 {
		return fmt.Sprintf("%s$A:$%s,%s", name, formula.Column(p.frozenCols), rows)
	}
	return rows
}
