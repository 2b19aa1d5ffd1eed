package audit

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// Lint returns what a strict spreadsheet program would repair or refuse in a
// workbook that this package wrote, and what a reader that does not calculate
// would miss: parts and references that do not resolve, elements out of
// order, tables and names that are not allowed, formulas without a value. A
// sound workbook gives none. It is for the tests of everything that writes one.
func Lint(data []byte) []string {
	l := &linter{parts: map[string][]byte{}, names: map[string]bool{}}
	if l.unzip(data) {
		l.contentTypes()
		l.relationships()
		l.workbook()
		l.colors()
		l.notes()
		l.charts()
	}
	return l.found
}

// linter holds a workbook while it is looked at.
type linter struct {
	parts  map[string][]byte
	order  []string
	sheets []string // names
	names  map[string]bool
	found  []string

	styled, conditional int // styles of cells and of conditional formats
}

func (l *linter) report(format string, args ...any) {
	l.found = append(l.found, fmt.Sprintf(format, args...))
}

// fault reports what one of the checks of the writer says.
func (l *linter) fault(place, what string) {
	if what != "" {
		l.report("%s: %s", place, what)
	}
}

func (l *linter) known(sheet string) bool {
	return slices.ContainsFunc(l.sheets, func(s string) bool { return strings.EqualFold(s, sheet) })
}

// unzip reads every part and its checksum.
func (l *linter) unzip(data []byte) bool {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		l.report("archive: %v", err)
		return false
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			l.report("%s: %v", f.Name, err)
			return false
		}
		content, err := io.ReadAll(r)
		if err != nil {
			l.report("%s: %v", f.Name, err)
			return false
		}
		if _, twice := l.parts[f.Name]; twice {
			l.report("%s: is there twice", f.Name)
		}
		l.parts[f.Name] = content
		l.order = append(l.order, f.Name)
	}
	return true
}

// decode reads a part as XML.
func (l *linter) decode(part string, into any) {
	if err := xml.Unmarshal(l.parts[part], into); err != nil {
		l.report("%s: %v", part, err)
	}
}

// TypesPart says what each part is.
const TypesPart = "[Content_Types].xml"

type relationXML struct {
	ID     string `xml:"Id,attr"`
	Type   string `xml:"Type,attr"`
	Target string `xml:"Target,attr"`
	Mode   string `xml:"TargetMode,attr"`
}

// contentTypes checks that every part has a type and every type a part.
func (l *linter) contentTypes() {
	var t struct {
		Defaults []struct {
			Extension string `xml:"Extension,attr"`
		} `xml:"Default"`
		Overrides []struct {
			PartName string `xml:"PartName,attr"`
		} `xml:"Override"`
	}
	l.decode(TypesPart, &t)
	typedExtensions := map[string]bool{}
	for _, d := range t.Defaults {
		typedExtensions[strings.ToLower("."+d.Extension)] = true
	}
	typed := map[string]bool{}
	for _, o := range t.Overrides {
		name := strings.TrimPrefix(o.PartName, "/")
		typed[name] = true
		if _, ok := l.parts[name]; !ok {
			l.report("%s: names the part %s, which is not there", TypesPart, name)
		}
	}
	for _, name := range l.order {
		if name != TypesPart && !typed[name] && !typedExtensions[strings.ToLower(path.Ext(name))] {
			l.report("%s: has no content type", name)
		}
	}
}

// relations returns the relationships of a part by id, their targets as names
// of parts.
func (l *linter) relations(part string) map[string]relationXML {
	var rels struct {
		Relationship []relationXML
	}
	dir, file := path.Split(part)
	name := dir + "_rels/" + file + ".rels"
	byID := map[string]relationXML{}
	if _, ok := l.parts[name]; !ok {
		return byID
	}
	l.decode(name, &rels)
	for _, r := range rels.Relationship {
		if rest, absolute := strings.CutPrefix(r.Target, "/"); absolute {
			r.Target = rest
		} else {
			r.Target = path.Join(dir, r.Target)
		}
		if _, twice := byID[r.ID]; twice {
			l.report("%s: id %s is there twice", name, r.ID)
		}
		byID[r.ID] = r
	}
	return byID
}

// relationships checks that every target exists.
func (l *linter) relationships() {
	for _, name := range l.order {
		dir, file := path.Split(name)
		source, isRels := strings.CutSuffix(file, ".rels")
		if !isRels {
			continue
		}
		for id, r := range l.relations(strings.TrimSuffix(dir, "_rels/") + source) {
			if _, ok := l.parts[r.Target]; !ok && r.Mode != "External" {
				l.report("%s: %s leads to %s, which is not there", name, id, r.Target)
			}
		}
	}
	slices.Sort(l.found)
}

// workbook checks names and goes through the sheets.
func (l *linter) workbook() {
	const part = "xl/workbook.xml"
	var wb struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			RID  string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
		Names []struct {
			Name  string `xml:"name,attr"`
			Local string `xml:"localSheetId,attr"`
			Ref   string `xml:",chardata"`
		} `xml:"definedNames>definedName"`
	}
	l.decode(part, &wb)
	for _, s := range wb.Sheets {
		l.fault("sheet "+s.Name, formula.SheetNameFault(s.Name))
		if l.known(s.Name) {
			l.report("sheet %s: is there twice", s.Name)
		}
		l.sheets = append(l.sheets, s.Name)
	}
	for _, n := range wb.Names {
		if !strings.HasPrefix(n.Name, "_xlnm.") {
			l.fault("name "+n.Name, formula.NameFault(n.Name))
		}
		l.fault("name "+n.Name, formula.Fault(n.Ref, l.known))
		l.unique("name", n.Name+"/"+n.Local)
	}
	rels := l.relations(part)
	l.styled, l.conditional = l.styleCounts()
	for _, s := range wb.Sheets {
		sheet := lintSheet{linter: l, name: s.Name, part: rels[s.RID].Target, bounds: formula.NoArea, text: map[[2]int]string{}}
		sheet.check()
	}
}

// unique reports a name that differs from an earlier one in case at most.
func (l *linter) unique(kind, name string) {
	if folded := strings.ToLower(name); l.names[folded] {
		l.report("%s %s: is there twice", kind, strings.TrimSuffix(name, "/"))
	} else {
		l.names[folded] = true
	}
}

// lintSheet is one sheet while it is looked at.
type lintSheet struct {
	*linter
	name, part string
	dimension  string
	bounds     formula.Area
	text       map[[2]int]string
	merges     []formula.Area
	rids       []string
	lastRow    int
}

// sheetOrder is the order of the elements of a worksheet in the file format.
var sheetOrder = strings.Fields(`sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr
	sheetProtection protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells
	phoneticPr conditionalFormatting dataValidations hyperlinks printOptions pageMargins pageSetup headerFooter
	rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing
	legacyDrawingHF picture oleObjects controls webPublishItems tableParts extLst`)

// element is any element of a worksheet below its root; what it holds is
// picked by name.
type element struct {
	Ref    string   `xml:"ref,attr"`
	RID    string   `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
	Sqref  string   `xml:"sqref,attr"`
	Rows   []RowXML `xml:"row"`
	Merges []struct {
		Ref string `xml:"ref,attr"`
	} `xml:"mergeCell"`
	Rules []struct {
		Style   int      `xml:"dxfId,attr"`
		Formula []string `xml:"formula"`
	} `xml:"cfRule"`
	Validations []validationXML `xml:"dataValidation"`
	Links       []struct {
		Ref      string `xml:"ref,attr"`
		Location string `xml:"location,attr"`
		File     string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"` // of a link to another file
	} `xml:"hyperlink"`
	TableParts []struct {
		RID string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
	} `xml:"tablePart"`
	ColList []colXML `xml:"col"`
}

type colXML struct {
	Min    int  `xml:"min,attr"`
	Max    int  `xml:"max,attr"`
	Hidden bool `xml:"hidden,attr"`
}

type RowXML struct {
	R      int       `xml:"r,attr"`
	Hidden bool      `xml:"hidden,attr"`
	Cells  []CellXML `xml:"c"`
}

type CellXML struct {
	R string  `xml:"r,attr"`
	S int     `xml:"s,attr"` // style
	T string  `xml:"t,attr"`
	F *string `xml:"-"` // as it is in the cell: see Spread
	V *string `xml:"v"`
	I string  `xml:"is>t"`

	Stored *FormulaXML `xml:"f"`
}

// FormulaXML is a formula as it is stored: its own, or that of the first cell of some
// which share one.
type FormulaXML struct {
	Text string `xml:",chardata"`
	Kind string `xml:"t,attr"`
	Area string `xml:"ref,attr"`
	ID   int    `xml:"si,attr"`
}

type validationXML struct {
	Sqref    string `xml:"sqref,attr"`
	Type     string `xml:"type,attr"`
	Stops    bool   `xml:"showErrorMessage,attr"`
	Prompt   string `xml:"prompt,attr"`
	Formula1 string `xml:"formula1"`
}

// check goes through the elements of a sheet, then through its tables.
func (s *lintSheet) check() {
	d := xml.NewDecoder(bytes.NewReader(s.parts[s.part]))
	depth, last := 0, -1
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			s.report("sheet %s: %v", s.name, err)
			return
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		if depth == 0 {
			depth++
			continue
		}
		at := slices.Index(sheetOrder, start.Name.Local)
		if at < last || at < 0 {
			s.report("sheet %s: element %s is out of order", s.name, start.Name.Local)
		}
		last = at
		var e element
		if err := d.DecodeElement(&e, &start); err != nil {
			s.report("sheet %s: %v", s.name, err)
			return
		}
		s.element(start.Name.Local, e)
	}
	if s.bounds.Row2 > 0 && s.dimension != s.bounds.String() {
		s.report("sheet %s: dimension %s, but the cells are %s", s.name, s.dimension, s.bounds)
	}
	s.checkTables()
}

// element checks one element of the sheet.
func (s *lintSheet) element(name string, e element) {
	if name == "dimension" {
		s.dimension = e.Ref
	}
	if e.RID != "" {
		s.rids = append(s.rids, e.RID)
	}
	for _, t := range e.TableParts {
		s.rids = append(s.rids, t.RID)
	}
	lastCol := 0
	for _, c := range e.ColList {
		if c.Min <= lastCol || c.Max < c.Min {
			s.report("sheet %s: columns %d to %d are out of order", s.name, c.Min, c.Max)
		}
		lastCol = c.Max
	}
	for _, what := range Spread(e.Rows) {
		s.report("sheet %s: %s", s.name, what)
	}
	for _, r := range e.Rows {
		s.row(r)
	}
	for _, m := range e.Merges {
		a := s.area(m.Ref)
		for _, other := range s.merges {
			if a.Meets(other) {
				s.report("sheet %s: merged cells %s overlap %s", s.name, a, other)
			}
		}
		s.merges = append(s.merges, a)
	}
	for _, r := range e.Rules {
		if r.Style >= s.conditional {
			s.report("%s!%s: style %d is not there", s.name, e.Sqref, r.Style)
		}
		for _, f := range r.Formula {
			s.fault(s.name+"!"+e.Sqref, formula.Fault(f, s.known))
		}
	}
	for _, v := range e.Validations {
		s.validation(v)
	}
	for _, h := range e.Links {
		if h.File == "" {
			s.fault(s.name+"!"+h.Ref, formula.Fault(h.Location, s.known))
		}
	}
}

// area parses a range of the sheet.
func (s *lintSheet) area(reference string) formula.Area {
	first, last, two := strings.Cut(reference, ":")
	if !two {
		last = first
	}
	var a formula.Area
	var err, err2 error
	a.Col, a.Row, err = excelize.CellNameToCoordinates(first)
	a.Col2, a.Row2, err2 = excelize.CellNameToCoordinates(last)
	if err != nil || err2 != nil || a.Row2 < a.Row || a.Col2 < a.Col {
		s.report("sheet %s: %q is not a range", s.name, reference)
	}
	return a
}

var errorValue = regexp.MustCompile(`^(#(REF!|N/A|NAME\?|VALUE!|DIV/0!|NUM!|NULL!)|NaN|[+-]?Inf)$`)

// row checks the cells of a row: their order, and what they hold.
func (s *lintSheet) row(r RowXML) {
	if r.R <= s.lastRow {
		s.report("sheet %s: row %d is out of order", s.name, r.R)
	}
	s.lastRow = r.R
	lastCol := 0
	for _, c := range r.Cells {
		col, row, err := excelize.CellNameToCoordinates(c.R)
		if err != nil || row != r.R || col <= lastCol {
			s.report("sheet %s: cell %s is out of order", s.name, c.R)
		}
		lastCol = col
		s.bounds = s.bounds.With(row, col)
		if c.I != "" {
			s.text[[2]int{row, col}] = c.I
		}
		place := s.name + "!" + c.R
		if c.S >= s.styled {
			s.report("%s: style %d is not there", place, c.S)
		}
		if c.F != nil {
			s.fault(place, formula.Fault(*c.F, s.known))
			if c.V == nil {
				s.report("%s: formula %s has no stored value", place, *c.F)
			}
		}
		stored := c.I
		if c.V != nil {
			stored = *c.V
		}
		if c.T == "e" || errorValue.MatchString(stored) {
			s.report("%s: holds %s", place, stored)
		}
		if _, err := strconv.ParseFloat(stored, 64); c.V != nil && (c.T == "" || c.T == "n") && err != nil {
			s.report("%s: %q is not a number", place, stored)
		}
	}
}

// validation checks that a list fits, leads somewhere and blocks.
func (s *lintSheet) validation(v validationXML) {
	place := s.name + "!" + v.Sqref
	if !v.Stops && !strings.Contains(v.Prompt, formula.OrWrite) {
		s.report("%s: the validation does not stop a wrong entry", place)
	}
	if v.Type != "list" {
		return
	}
	if strings.HasPrefix(v.Formula1, `"`) {
		if n := formula.Utf16Len(strings.ReplaceAll(strings.Trim(v.Formula1, `"`), `""`, `"`)); n > formula.MaxListLength {
			s.report("%s: the list has %d characters", place, n)
		}
		return
	}
	s.fault(place, formula.Fault(v.Formula1, s.known))
}

// checkTables checks that ids resolve and that the tables agree with the cells.
func (s *lintSheet) checkTables() {
	rels := s.relations(s.part)
	areas := slices.Clone(s.merges)
	for _, id := range s.rids {
		r, ok := rels[id]
		if !ok {
			s.report("sheet %s: id %s has no relationship", s.name, id)
		}
		if path.Base(r.Type) != "table" {
			continue
		}
		var t struct {
			Name    string `xml:"name,attr"`
			Ref     string `xml:"ref,attr"`
			Columns []struct {
				Name string `xml:"name,attr"`
			} `xml:"tableColumns>tableColumn"`
		}
		s.decode(r.Target, &t)
		a := s.area(t.Ref)
		s.fault("table "+t.Name, formula.NameFault(t.Name))
		s.unique("table", t.Name+"/")
		if a.Row2 <= a.Row || a.Col2-a.Col+1 != len(t.Columns) || a.Row2 > s.bounds.Row2 || a.Col2 > s.bounds.Col2 {
			s.report("table %s: range %s does not hold its %d columns", t.Name, t.Ref, len(t.Columns))
		}
		seen := map[string]bool{}
		for i, c := range t.Columns {
			folded := strings.ToLower(c.Name)
			if at := s.text[[2]int{a.Row, a.Col + i}]; at != c.Name || strings.TrimSpace(at) == "" || seen[folded] {
				s.report("table %s: column %q stands under the header %q", t.Name, c.Name, at)
			}
			seen[folded] = true
		}
		for _, other := range areas {
			if a.Meets(other) {
				s.report("table %s: %s overlaps %s", t.Name, a, other)
			}
		}
		areas = append(areas, a)
	}
}
