package sheet

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"sillwright/estimate"
)

// The workbook library gives a cell's value but passes over what is broken:
// a part cut short ends the sheet early, a bad index is an empty cell, cells
// out of order shift columns. So each worksheet is read once as bare XML
// before: to refuse all that, to count, and to learn each cell's type.

// valueType is the type attribute of a cell.
type valueType uint8

const (
	typeNumber valueType = iota
	typeShared
	typeString
	typeInline
	typeBool
	typeError
	typeDate
)

var valueTypes = map[string]valueType{
	"": typeNumber, "n": typeNumber, "s": typeShared, "str": typeString,
	"inlineStr": typeInline, "b": typeBool, "e": typeError, "d": typeDate,
}

// mark is one filled cell of a worksheet.
type mark struct {
	row, col int
	style    int
	kind     valueType
	formula  bool
	value    bool // a value is stored, even if an empty text
	rich     *richText
}

// textStore is what is known of the common store of texts: the bytes of each, and
// those whose letters alone do not say what is shown, by index.
type textStore struct {
	sizes []int
	rich  map[int]*richText
}

// outline is what the scan learns of a worksheet.
type outline struct {
	marks      []mark       // in order of rows and columns
	hiddenRows map[int]bool // with filled cells
	hiddenCols map[int]bool
	merges     []Area
	width      int   // last filled column
	far        *mark // first filled cell right of what is read
	below      *mark // first filled cell under a gap that ends the sheet
	linked     *mark // first formula that reads another file
	highlights []highlight
	unlit      *Area // the first area of a conditional format beyond those that are looked at
}

// budget counts down what a book may hold: filled cells, cells between them,
// bytes of text.
type budget struct{ cells, grid, text int }

func newBudget() *budget { return &budget{cells: maxCells, grid: maxGrid, text: maxTexts} }

var (
	errCells  = refuse("the workbook has more than 500,000 filled cells", "split it, or copy the sheets that matter into a new workbook")
	errTexts  = refuse("the texts of the workbook's cells come to more than 64 MB", "copy the sheets that matter into a new workbook")
	errGrid   = refuse("the workbook's cells are spread over too wide an area", "clear what stands far to the right or below the tables")
	errMerges = refuse("the sheet has more than 50,000 merged areas", "copy the tables that matter into a new workbook")
	errShape  = errors.New("rows or cells out of order")
)

// scanner walks one worksheet's XML.
type scanner struct {
	out   outline
	left  *budget
	texts textStore
	looks []string

	path     []string
	row, col int
	cell     mark
	text     strings.Builder // of the value or formula being read
	runs     *runReader      // of the text that stands in the cell itself
	filled   int             // last filled column of the row
	lastRow  int             // last row with a filled cell
	merged   int             // merged areas
	data     bool            // the sheet's one data section is over
	covers   string          // areas of the conditional format being read
	look     *lookReader     // of one that holds its own format
	does     string          // what that does
}

// scan reads a worksheet part through.
func scan(f *zip.File, texts textStore, looks []string, left *budget) (*outline, error) {
	s := &scanner{left: left, texts: texts, looks: looks,
		out: outline{hiddenRows: map[int]bool{}, hiddenCols: map[int]bool{}}}
	err := walk(f, func(t xml.Token) error {
		switch t := t.(type) {
		case xml.StartElement:
			s.path = append(s.path, t.Name.Local)
			return s.start(t)
		case xml.EndElement:
			err := s.end(t.Name.Local)
			s.path = s.path[:len(s.path)-1]
			return err
		case xml.CharData:
			if s.row > 0 && !s.data && s.inText() || s.path != nil && s.covers == inExtension && s.path[len(s.path)-1] == "sqref" {
				s.text.Write(t)
			}
			if s.runs != nil {
				s.runs.chars(t)
			}
			if s.text.Len() > maxToken {
				return errToken
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &s.out, nil
}

func (s *scanner) inText() bool {
	switch s.path[len(s.path)-1] {
	case "v", "f", "t":
		return true
	}
	return false
}

func (s *scanner) start(t xml.StartElement) error {
	parent := ""
	if len(s.path) > 1 {
		parent = s.path[len(s.path)-2]
	}
	name := t.Name.Local
	switch parent + "/" + name {
	case "worksheet/sheetData":
		return nil
	case "cols/col":
		return s.column(t.Attr)
	case "mergeCells/mergeCell":
		return s.merge(attr(t.Attr, "ref"))
	}
	if s.data {
		return s.startLook(parent, t) // drawings have rows and columns of their own
	}
	switch name {
	case "row", "c", "sheetData":
		switch parent + "/" + name {
		case "sheetData/row":
			return s.startRow(t.Attr)
		case "row/c":
			return s.startCell(t.Attr)
		}
		return errShape // the library takes these wherever they stand
	case "is":
		s.text.Reset()
		s.runs = &runReader{}
	case "v", "f":
		s.text.Reset()
	}
	if s.runs != nil {
		s.runs.start(t)
	}
	return nil
}

func (s *scanner) end(name string) error {
	if s.data {
		s.endLook(name)
		return nil
	}
	if s.row == 0 && name != "sheetData" {
		return nil
	}
	if s.runs != nil {
		s.runs.end(name)
	}
	switch name {
	case "v", "is":
		return s.endValue(name)
	case "f":
		s.cell.formula = true
		if s.out.linked == nil && otherFile.MatchString(s.text.String()) {
			linked := s.cell
			s.out.linked = &linked
		}
	case "c":
		return s.endCell()
	case "row":
		return s.endRow()
	case "sheetData":
		s.data = true
	}
	return nil
}

// otherFile matches a reference into another workbook, "[1]Prices!B2".
var otherFile = regexp.MustCompile(`\[[0-9]+\]`)

func attr(attrs []xml.Attr, name string) string {
	for _, a := range attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func isTrue(s string) bool { return s == "1" || s == "true" }

func isZero(s string) bool {
	f, err := strconv.ParseFloat(s, 64)
	return err == nil && f == 0
}

func (s *scanner) startRow(attrs []xml.Attr) error {
	next := s.row + 1
	if r := attr(attrs, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n < next {
			return errShape
		}
		next = n
	}
	if next > maxRows {
		return errShape
	}
	s.row, s.col, s.filled = next, 0, 0
	if isTrue(attr(attrs, "hidden")) || isZero(attr(attrs, "ht")) {
		s.out.hiddenRows[s.row] = true
	}
	return nil
}

func (s *scanner) startCell(attrs []xml.Attr) error {
	next := s.col + 1
	if r := attr(attrs, "r"); r != "" {
		row, col, ok := parseRef(r)
		if !ok || row != s.row || col < next {
			return errShape
		}
		next = col
	}
	kind, known := valueTypes[attr(attrs, "t")]
	if next > maxWidth || !known {
		return errShape
	}
	s.col = next
	s.cell = mark{row: s.row, col: s.col, kind: kind}
	if style := attr(attrs, "s"); style != "" {
		n, err := strconv.Atoi(style)
		if err != nil || n < 0 {
			return errShape
		}
		s.cell.style = n
	}
	return nil
}

func (s *scanner) endValue(name string) error {
	switch {
	case name == "v" && s.cell.kind == typeShared && s.text.Len() > 0:
		n, err := strconv.Atoi(strings.TrimSpace(s.text.String()))
		if err != nil || n < 0 || n >= len(s.texts.sizes) {
			return errShape
		}
		s.cell.value, s.cell.rich = true, s.texts.rich[n]
		return s.left.takeText(s.texts.sizes[n])
	case s.text.Len() > 0, s.cell.kind == typeString, s.cell.kind == typeInline:
		s.cell.value = true
	}
	if s.runs != nil {
		s.cell.rich, s.runs = s.runs.read(), nil
	}
	return s.left.takeText(s.text.Len())
}

func (s *scanner) endCell() error {
	if !s.cell.value && !s.cell.formula {
		return nil
	}
	if s.left.cells--; s.left.cells < 0 {
		return errCells
	}
	cell := s.cell
	switch {
	case s.out.below != nil:
		return nil
	case s.lastRow > 0 && s.row-s.lastRow > maxGap:
		s.out.below = &cell
		return nil
	}
	s.filled = s.col
	if s.col > maxCols {
		if s.out.far == nil {
			s.out.far = &cell
		}
		return nil
	}
	s.lastRow = s.row
	s.out.width = max(s.out.width, s.col)
	s.out.marks = append(s.out.marks, cell)
	return nil
}

func (s *scanner) endRow() error {
	if s.filled == 0 {
		delete(s.out.hiddenRows, s.row)
	}
	return s.left.take(s.filled)
}

// take counts cells of the grid, blank ones included.
func (b *budget) take(n int) error {
	if b.grid -= n; b.grid < 0 {
		return errGrid
	}
	return nil
}

// takeText counts the bytes of a cell's text, which may be one that a million
// cells share.
func (b *budget) takeText(n int) error {
	if b.text -= n; b.text < 0 {
		return errTexts
	}
	return nil
}

func (s *scanner) column(attrs []xml.Attr) error {
	from, err1 := strconv.Atoi(attr(attrs, "min"))
	to, err2 := strconv.Atoi(attr(attrs, "max"))
	if err1 != nil || err2 != nil {
		return errShape
	}
	// Under a closed outline columns are folded, and a sign shows that there are more.
	folded := attr(attrs, "outlineLevel") != "" && !isZero(attr(attrs, "outlineLevel"))
	if !folded && isTrue(attr(attrs, "hidden")) || isZero(attr(attrs, "width")) {
		for col := max(from, 1); col <= min(to, maxCols); col++ {
			s.out.hiddenCols[col] = true
		}
	}
	return nil
}

// inExtension stands for the areas of a conditional format that holds its own format, and
// names them behind it.
const inExtension = "x14"

// startLook takes up conditional formats. Of one in the older form the format stands in the
// workbook's list, in the newer one it stands in the rule.
func (s *scanner) startLook(parent string, t xml.StartElement) error {
	switch parent + "/" + t.Name.Local {
	case "worksheet/conditionalFormatting":
		s.covers = attr(t.Attr, "sqref")
	case "conditionalFormattings/conditionalFormatting":
		s.covers, s.does = inExtension, ""
		s.text.Reset()
	case "conditionalFormatting/cfRule":
		n, err := strconv.Atoi(attr(t.Attr, "dxfId"))
		if err == nil && n >= 0 && n < len(s.looks) && s.covers != inExtension {
			s.cover(s.covers, s.looks[n])
		}
	case "cfRule/dxf":
		s.look = &lookReader{}
	case "conditionalFormatting/sqref":
		s.text.Reset()
	}
	if s.look != nil {
		s.look.start(t)
	}
	return nil
}

func (s *scanner) endLook(name string) {
	if s.look != nil {
		s.look.end(name)
	}
	switch {
	case name == "dxf" && s.look != nil:
		if does := s.look.does(); does != "" {
			s.does = does
		}
		s.look = nil
	case name == "conditionalFormatting" && s.covers == inExtension:
		s.cover(s.text.String(), s.does)
		s.covers = ""
	}
}

// cover keeps areas in mind that a conditional format covers; one that only decorates does
// nothing to them.
func (s *scanner) cover(areas, does string) {
	if does == "" {
		return
	}
	for ref := range strings.FieldsSeq(areas) {
		a, ok := parseArea(ref)
		switch {
		case !ok:
		case len(s.out.highlights) < maxHighlights:
			s.out.highlights = append(s.out.highlights, highlight{a, does})
		case s.out.unlit == nil:
			s.out.unlit = &a
		}
	}
}

// parseArea reads a reference such as "C5:D6"; one to whole columns or rows is none.
func parseArea(ref string) (Area, bool) {
	from, to, found := strings.Cut(ref, ":")
	if !found {
		to = from
	}
	top, left, ok1 := parseRef(from)
	bottom, right, ok2 := parseRef(to)
	return Area{top, left, bottom, right}, ok1 && ok2 && bottom >= top && right >= left
}

func (s *scanner) merge(ref string) error {
	a, ok := parseArea(ref)
	if !ok {
		return errShape
	}
	if s.merged++; s.merged > maxMerges {
		return errMerges
	}
	if (a.Top != a.Bottom || a.Left != a.Right) && a.Left <= maxCols {
		s.out.merges = append(s.out.merges, a)
	}
	return nil
}

// parseRef reads a cell's name such as "AB12".
func parseRef(ref string) (row, col int, ok bool) {
	i := 0
	for ; i < len(ref) && i < 4; i++ {
		c := ref[i] &^ 0x20 // upper case
		if c < 'A' || c > 'Z' {
			break
		}
		col = col*26 + int(c-'A') + 1
	}
	if i == len(ref) || len(ref)-i > 7 || col > maxWidth {
		return 0, 0, false
	}
	for _, c := range []byte(ref[i:]) {
		if c < '0' || c > '9' {
			return 0, 0, false
		}
		row = row*10 + int(c-'0')
	}
	return row, col, col > 0 && row > 0 && row <= maxRows
}

// readTexts reads the common store of texts through.
func readTexts(f *zip.File) (textStore, error) {
	store := textStore{rich: map[int]*richText{}}
	var runs runReader
	err := walk(f, func(t xml.Token) error {
		switch t := t.(type) {
		case xml.StartElement:
			if t.Name.Local != "si" {
				runs.start(t)
				break
			}
			runs = runReader{}
			if store.sizes = append(store.sizes, 0); len(store.sizes) > maxStrings {
				return refuse(fmt.Sprintf("the workbook holds more than %d texts", maxStrings), "copy the sheets that matter into a new workbook")
			}
		case xml.EndElement:
			runs.end(t.Name.Local)
			if rich := runs.read(); rich != nil && t.Name.Local == "si" && len(store.sizes) > 0 {
				store.rich[len(store.sizes)-1] = rich
			}
		case xml.CharData:
			if n := len(store.sizes); n > 0 {
				store.sizes[n-1] += len(t)
			}
			runs.chars(t)
		}
		return nil
	})
	return store, inPart(err, "the workbook's list of texts")
}

// readStyles returns what the list of cell formats says of looks. It refuses cell formats
// without end, which the library would keep.
func readStyles(f *zip.File) (looks, error) {
	elements := 0
	var r styleReader
	err := walk(f, func(t xml.Token) error {
		if end, ok := t.(xml.EndElement); ok {
			r.end(end.Name.Local)
		}
		e, ok := t.(xml.StartElement)
		if !ok {
			return nil
		}
		r.start(e)
		if elements++; elements > maxFormats || len(attr(e.Attr, "formatCode")) > maxFormat {
			return refuse("the workbook has far too many or too long cell formats", "copy the values that matter into a new workbook")
		}
		return nil
	})
	return r.out, inPart(err, "the workbook's list of cell formats")
}

// walk visits the tokens of a part.
func walk(f *zip.File, phase func(xml.Token) error) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	return tokens(r, phase)
}

// inPart gives an error the name of what it was met in; anything but a refusal
// means that this is damaged.
func inPart(err error, what string) error {
	if err == nil || errors.As(err, new(refusal)) {
		return err
	}
	return malformed(estimate.Place{}, what)
}
