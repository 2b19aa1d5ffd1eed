package xlsx

import (
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// Look names how a cell is drawn: number format, alignment, fill, border and
// lock together.
type Look uint8

// The looks of every produced workbook. A word or a border always says what a
// color says, so that a black-and-white print reads the same.
const (
	Plain      Look = iota // nothing at all
	Title                  // first line of a page
	Subtitle               // the line below it, wrapped over all columns
	Section                // a heading between blocks
	Heading                // header cell of a table, wrapped
	Text                   // one line, left
	TextWrap               // several lines, top left
	TextRight              // one line, right: fractions and feet-inches
	TextCenter             // one line, centered: short marks
	Number                 // 1,234.5, one to three decimals
	Inches                 // 36.50, two to five decimals
	Count                  // 1,234
	Money                  // 1,234.50
	UnitPrice              // 1.25, two to four decimals
	Percent                // 12.50%
	Date                   // 2026-01-31
	InputText              // the input looks: pale fill, boxed, unlocked
	InputTextWrap
	InputNumber
	InputInches
	InputCount
	InputMoney
	InputUnitPrice
	InputPercent
	InputDate
	RerunText // the same for inputs of which a change needs a new run
	RerunTextWrap
	RerunNumber
	RerunInches
	RerunCount
	RerunMoney
	RerunUnitPrice
	RerunPercent
	RerunDate
	Total         // bold money under a rule
	TotalText     // bold text under a rule
	TotalTextWrap // the same, several lines
	TotalCount    // bold whole number under a rule
	TotalNumber   // bold number under a rule
	Good          // the states of a check; the word stands in the cell
	Bad
	Warn
	BadWrap // the same, several lines
	WarnWrap
	Note // gray italic, wrapped
	link // underlined, leads to another sheet
	Key  // small gray text by which a row is found again
	Big  // what is read at arm's length from a clipboard: wrapped text,
	BigHead
	BigRight // a length as the saw is set,
	BigCount // a number of pieces
	Flag     // the state of a card, in a dark box
	Tick     // an empty dark box to mark with a pencil
	Fine     // small print, wrapped
	Gap      // an input that is still to be filled in
	Alert    // bold words of what is wrong, over the cells beside
	Notice   // a notice that the law asks for: bold, 11 points, wrapped
	lookCount
)

// The number formats, each with as many decimals as the quantity can have.
const (
	FormatNumber    = "#,##0.0##"
	formatInches    = "0.00###"
	FormatCount     = "#,##0"
	formatMoney     = "#,##0.00"
	formatUnitPrice = "#,##0.00##"
	FormatPercent   = "0.00%"
	formatDate      = "yyyy-mm-dd"
)

// The palette: few colors, dark enough or pale enough to survive a copier.
const (
	fontName   = "Calibri" // Carlito has the same widths
	bodySize   = 10.0
	Slate      = "2F3E4E"
	white      = "FFFFFF"
	grayText   = "59636E"
	linkText   = "1F4E79"
	ruleGray   = "D3D9DF"
	boxGray    = "8A8468" // 3:1 to both fills of inputs and to white
	bandFill   = "F3F5F7"
	inputFill  = "FFF8DC"
	rerunFill  = "E6EEF7"
	goodFill   = "E3F1E3"
	goodText   = "1E5631"
	BadFill    = "F9DEDC"
	badText    = "8C1D18"
	WarnFill   = "FFEBC8"
	warnText   = "6B4500"
	inputTab   = "FFE3C75A" // of a tab the format asks for the opacity too (ECMA-376-1, 18.3.1.93)
	borderThin = 1
	borderDash = 3
)

// edge is where the lines of a cell run.
type edge int

const (
	edgeNone  edge = iota
	edgeBelow      // a pale line that guides the eye along the row
	edgeBox        // an input
	edgeTotal      // a dark line above a sum
	edgeDark       // a box that shows on a copy
)

// drawing is one look spelled out.
type drawing struct {
	format          string // number format; empty for text
	align, vertical string
	wrap, input     bool
	rerun           bool // an input of which a change needs a new run
	bold, italic    bool
	underline       bool
	size            float64 // points; 0 is bodySize
	color, fill     string
	edge            edge
}

// drawings holds every look; nothing writes to it.
var drawings = withReruns([lookCount]drawing{
	Plain:      {},
	Title:      {bold: true, size: 16, color: Slate},
	Subtitle:   {size: 11, color: grayText, wrap: true, vertical: "top"},
	Section:    {bold: true, size: 12, color: Slate},
	Heading:    {bold: true, color: white, fill: Slate, wrap: true, align: "left"},
	Text:       {align: "left", edge: edgeBelow},
	TextWrap:   {align: "left", wrap: true, edge: edgeBelow},
	TextRight:  {align: "right", edge: edgeBelow},
	TextCenter: {align: "center", edge: edgeBelow},
	Number:     {format: FormatNumber, align: "right", edge: edgeBelow},
	Inches:     {format: formatInches, align: "right", edge: edgeBelow},
	Count:      {format: FormatCount, align: "right", edge: edgeBelow},
	Money:      {format: formatMoney, align: "right", edge: edgeBelow},
	UnitPrice:  {format: formatUnitPrice, align: "right", edge: edgeBelow},
	Percent:    {format: FormatPercent, align: "right", edge: edgeBelow},
	Date:       {format: formatDate, align: "right", edge: edgeBelow},

	InputText:      {align: "left", input: true},
	InputTextWrap:  {align: "left", wrap: true, input: true},
	InputNumber:    {align: "right", input: true}, // a number of the user's, shown as it was typed
	InputInches:    {format: formatInches, align: "right", input: true},
	InputCount:     {format: FormatCount, align: "right", input: true},
	InputMoney:     {format: formatMoney, align: "right", input: true},
	InputUnitPrice: {format: formatUnitPrice, align: "right", input: true},
	InputPercent:   {format: FormatPercent, align: "right", input: true},
	InputDate:      {format: formatDate, align: "right", input: true},

	Total:         {format: formatMoney, align: "right", bold: true, edge: edgeTotal},
	TotalText:     {align: "left", bold: true, edge: edgeTotal},
	TotalTextWrap: {align: "left", bold: true, wrap: true, edge: edgeTotal},
	TotalCount:    {format: FormatCount, align: "right", bold: true, edge: edgeTotal},
	TotalNumber:   {format: FormatNumber, align: "right", bold: true, edge: edgeTotal},

	Good:     {align: "center", bold: true, color: goodText, fill: goodFill, edge: edgeBelow},
	Bad:      {align: "center", bold: true, color: badText, fill: BadFill, edge: edgeBelow},
	Warn:     {align: "center", bold: true, color: warnText, fill: WarnFill, edge: edgeBelow},
	BadWrap:  {align: "left", wrap: true, bold: true, color: badText, fill: BadFill, edge: edgeBelow},
	WarnWrap: {align: "left", wrap: true, bold: true, color: warnText, fill: WarnFill, edge: edgeBelow},
	Note:     {italic: true, wrap: true, vertical: "top", color: grayText},
	link:     {underline: true, align: "left", color: linkText, edge: edgeBelow},
	Key:      {size: 8, align: "left", color: grayText, edge: edgeBelow},

	Big:      {size: 12, align: "left", wrap: true, edge: edgeBelow},
	BigHead:  {size: 16, align: "left", wrap: true, bold: true, edge: edgeTotal},
	BigRight: {size: 13, align: "right", bold: true, edge: edgeBelow},
	BigCount: {size: 12, format: FormatCount, align: "center", bold: true, edge: edgeBelow},
	Flag:     {size: 13, align: "center", wrap: true, bold: true, edge: edgeDark},
	Tick:     {size: 12, align: "center", edge: edgeDark},
	Fine:     {size: 8, align: "left", wrap: true, color: grayText, edge: edgeBelow},
	Gap:      {bold: true, color: badText, fill: BadFill, edge: edgeDark},
	Alert:    {bold: true, color: badText, align: "left"},
	Notice:   {size: 11, bold: true, wrap: true, vertical: "top", align: "left"},
})

// withReruns draws the inputs that need a new run as the others, but for their box.
func withReruns(d [lookCount]drawing) [lookCount]drawing {
	for l := InputText; l <= InputDate; l++ {
		d[l.Rerun()] = d[l]
		d[l.Rerun()].rerun = true
	}
	return d
}

// Rerun returns the look of an input for one of which a change needs a new run, and
// any other look as it is.
func (l Look) Rerun() Look {
	if l < InputText || l > InputDate {
		return l
	}
	return l + (RerunText - InputText)
}

// CountOr returns the look of what is counted in wholes, or another one.
func CountOr(whole bool, other Look) Look {
	if whole {
		return Count
	}
	return other
}

// points returns the size of the look's type.
func (d drawing) points() float64 {
	if d.size > 0 {
		return d.size
	}
	return bodySize
}

// indented reports whether the text keeps off the left edge of its cell, and
// so off a number that ends there.
func (d drawing) indented() bool { return d.align == "left" }

// spansLine reports whether the look is a line of its own, which runs over
// the cells to its right and so does not widen its column.
func (l Look) spansLine() bool { return l == Title || l == Subtitle || l == Section }

// styleKey is a look in one place: on a shaded row, or heading numbers.
type styleKey struct {
	look   Look
	band   bool
	center bool
}

// styleBook makes each style once: making one is linear in those there are.
type styleBook struct {
	file        *excelize.File
	ids         [lookCount][4]int // by look and place; 0 = not made, or no style at all
	conditional map[Look]int
}

func newStyleBook(f *excelize.File) *styleBook {
	return &styleBook{file: f, conditional: map[Look]int{}}
}

// at is where the style of a cell is kept.
func (b *styleBook) at(k styleKey) *int {
	place := 0
	if k.band {
		place++
	}
	if k.center {
		place += 2
	}
	return &b.ids[k.look][place]
}

// register makes the style of a cell.
func (b *styleBook) register(k styleKey) (err error) {
	if id := b.at(k); *id == 0 && k != (styleKey{}) {
		*id, err = b.file.NewStyle(k.style())
	}
	return err
}

// conditionalID returns the style that a look's colors give to a conditional
// format.
func (b *styleBook) conditionalID(l Look) (int, error) {
	if id, ok := b.conditional[l]; ok {
		return id, nil
	}
	d := drawings[l]
	style := &excelize.Style{Font: &excelize.Font{Bold: d.bold, Italic: d.italic, Color: d.color}}
	if d.fill != "" {
		style.Fill = solid(d.fill)
	}
	if d.edge == edgeDark {
		style.Border = d.borders()
	}
	id, err := b.file.NewConditionalStyle(style)
	b.conditional[l] = id
	return id, err
}

func (k styleKey) style() *excelize.Style {
	d := drawings[k.look]
	fill := d.fill
	switch {
	case d.rerun:
		fill = rerunFill
	case d.input:
		fill = inputFill
	case fill == "" && k.band:
		fill = bandFill
	}
	style := &excelize.Style{
		Font: &excelize.Font{Family: fontName, Size: d.points(), Bold: d.bold, Italic: d.italic, Color: d.color},
		Alignment: &excelize.Alignment{
			Horizontal: d.align, Vertical: d.vertical, WrapText: d.wrap,
		},
		Border:     d.borders(),
		Protection: &excelize.Protection{Locked: !d.input},
	}
	if style.Alignment.Vertical == "" {
		style.Alignment.Vertical = "center"
	}
	if d.indented() {
		style.Alignment.Indent = 1
	}
	if k.center {
		style.Alignment.Horizontal = "center"
	}
	if d.underline {
		style.Font.Underline = "single"
	}
	if fill != "" {
		style.Fill = solid(fill)
	}
	if d.format != "" {
		style.CustomNumFmt = &d.format
	}
	return style
}

func (d drawing) borders() []excelize.Border {
	kind := borderThin
	if d.rerun {
		kind = borderDash // the sign that a black-and-white print keeps
	}
	line := func(side, color string) excelize.Border {
		return excelize.Border{Type: side, Color: color, Style: kind}
	}
	if d.input {
		return []excelize.Border{line("left", boxGray), line("right", boxGray), line("top", boxGray), line("bottom", boxGray)}
	}
	switch d.edge {
	case edgeBelow:
		return []excelize.Border{line("bottom", ruleGray)}
	case edgeTotal:
		return []excelize.Border{line("top", Slate)}
	case edgeDark:
		return []excelize.Border{line("left", Slate), line("right", Slate), line("top", Slate), line("bottom", Slate)}
	}
	return nil
}

func solid(color string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
}

// Sizes of a sheet. A column of width w is w times the widest digit of the
// 11 point body font, 7 pixels at 96 to the inch, 5 of them margin.
const (
	pointsPerWidth = 7 * 0.75
	printedWidth   = 0.507 * 11 // points of the same digit on paper, where no pixel rounds it
	marginPoints   = 5 * 0.75
	rowHeight      = 15.0
	lineFactor     = 1.25 // line height over type size: the font's own 1.22, and air
	rowPadding     = 2.5
	boldFactor     = 1.06
	filterWidth    = 2.5 // room for the button of a filter
	indentWidth    = 1.5 // one step of indentation
	widthSlack     = 1.0
	maxRowHeight   = 409.0
)

// glyphs is the advance of the characters from space to tilde in hundredths
// of the type size, read from the font's horizontal metrics.
var glyphs = [...]uint8{
	23, 33, 40, 50, 51, 71, 68, 22, 30, 30, 50, 50, 25, 31, 25, 39,
	51, 51, 51, 51, 51, 51, 51, 51, 51, 51, 27, 27, 50, 50, 50, 46,
	89, 58, 54, 53, 62, 49, 46, 63, 62, 25, 32, 52, 42, 85, 65, 66,
	52, 67, 54, 46, 49, 64, 57, 89, 52, 49, 47, 31, 39, 31, 50, 50,
	29, 48, 53, 42, 53, 50, 31, 47, 53, 23, 24, 45, 23, 80, 53, 53,
	53, 53, 35, 39, 33, 53, 45, 71, 43, 45, 40, 31, 46, 31, 50,
}

// otherGlyph stands for every other character; wide scripts take a full em.
func otherGlyph(r rune) float64 {
	if r >= 0x1100 {
		return 1
	}
	return 0.6
}

// textPoints returns the printed width of one line of text.
func textPoints(s string, d *drawing) float64 {
	hundredths, others := 0, 0.0
	for _, r := range s {
		if i := int(r) - ' '; i >= 0 && i < len(glyphs) {
			hundredths += int(glyphs[i])
		} else {
			others += otherGlyph(r)
		}
	}
	ems := float64(hundredths)/100 + others
	if d.bold {
		ems *= boldFactor
	}
	return ems * d.points()
}

// lineCount returns how many lines text takes when it is wrapped at words
// into a width in points. A word wider than that is broken.
func lineCount(s string, width float64, d *drawing) int {
	lines := 0
	for para := range strings.SplitSeq(s, "\n") {
		lines++
		if textPoints(para, d) <= width {
			continue
		}
		space, used := textPoints(" ", d), 0.0
		for word := range strings.FieldsSeq(para) {
			w := textPoints(word, d)
			if used > 0 && used+space+w > width {
				lines++
				used = 0
			}
			if used > 0 {
				used += space
			}
			used += w
			if used > width {
				more := int(math.Ceil(used/width)) - 1
				lines += more
				used -= float64(more) * width
			}
		}
	}
	return lines
}

// heightFor returns the height of a row that shows so many lines of a look.
func heightFor(lines int, d *drawing) float64 {
	return min(maxRowHeight, math.Ceil(float64(lines)*d.points()*lineFactor+rowPadding))
}

// HeadingHeight returns the height of a header row of so many lines.
func HeadingHeight(lines int) float64 { return heightFor(lines, &drawings[Heading]) }

// oneLine is the height of a row that shows a line of each look.
var oneLine = func() (heights [lookCount]float64) {
	for l := range drawings {
		heights[l] = heightFor(1, &drawings[l])
	}
	return heights
}()

// columnWidth returns the width of a column that shows so many points of text.
func columnWidth(points float64) float64 { return (points+marginPoints)/pointsPerWidth + widthSlack }

// inside returns the points of text that fit a width.
func inside(width float64) float64 { return max(1, width*pointsPerWidth-marginPoints) }

// shown returns a value about as its look prints it, to measure its width.
func shown(v any, l Look) string {
	switch v := v.(type) {
	case string:
		return formula.CleanText(v)
	case bool:
		return strings.ToUpper(strconv.FormatBool(v))
	}
	if n, ok := NumberOf(v); ok {
		return ShownNumber(n, drawings[l].format)
	}
	return ""
}

func ShownNumber(v float64, format string) string {
	switch {
	case format == "":
		return strconv.FormatFloat(v, 'g', 10, 64)
	case format == formatDate:
		return format
	}
	_, decimals, _ := strings.Cut(format, ".")
	least := strings.Count(decimals, "0")
	if strings.HasSuffix(format, "%") {
		v *= 100
	}
	s := strconv.FormatFloat(v, 'f', least+strings.Count(decimals, "#"), 64)
	for extra := strings.Count(decimals, "#"); extra > 0 && strings.HasSuffix(s, "0"); extra-- {
		s = s[:len(s)-1]
	}
	if strings.Contains(format, ",") {
		whole, _, _ := strings.Cut(s, ".")
		s += strings.Repeat(",", max(0, len(whole)-1)/3)
	}
	return s + strings.Repeat("%", strings.Count(format, "%"))
}
