package xlsx

import (
	"errors"
	"fmt"
	"math"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"sillwright/io/xlsx/formula"
)

// write puts the sheet's frame into a file: everything but its rows. What the
// frame needs of the rows are their styles, and the headers of tables.
func (p *Sheet) write(f *excelize.File, styles *styleBook, tables *tableParts) (widths []float64, err error) {
	widths = p.columnWidths()
	p.mergeSubtitles(widths)
	p.breakPages(widths)
	for _, step := range []func() error{
		func() error { return p.writeProps(f, styles) },
		func() error { return p.writeColumns(f, widths) },
		func() error { return p.writeAreas(f, tables) },
		func() error { return p.writeChecks(f, styles) },
		func() error { return p.writeCharts(f) },
		func() error { return p.writePrint(f) },
		func() error { return p.writePrintNames(f, widths) },
	} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return widths, nil
}

// mergeSubtitles gives the lines below the title the columns of the first page: a
// line that ran over them would make the page wider, and so its print smaller.
func (p *Sheet) mergeSubtitles(widths []float64) {
	last := min(p.lastCol(), p.firstPage(widths)) // what is merged beyond its cells is not in the dimension
	for row := range p.Rows {
		if p.isSubtitle(row+1) && last > 1 {
			p.merge(row+1, 1, row+1, last)
		}
	}
}

// isSubtitle reports whether a row is a line below the title that is not merged yet.
func (p *Sheet) isSubtitle(row int) bool {
	cells := p.Rows[row-1].Cells
	return len(cells) == 1 && cells[0].Look == Subtitle && len(p.mergesOn[row]) == 0
}

// firstPage returns the last column of the first page across.
func (p *Sheet) firstPage(widths []float64) int {
	switch {
	case p.across > 1:
		return sideBySide(widths, p.frozenCols, p.across)[0]
	case p.printed > 0:
		return min(p.printed, len(widths))
	}
	return len(widths)
}

// buildRow makes the cells of a row that are made when they are written.
func (p *Sheet) buildRow(row int, known func(sheet string) bool) error {
	if !p.isStreamed(row) {
		return nil
	}
	if row > p.streamFrom { // the first is made already, and the row above is written
		above := &p.Rows[row-2]
		p.Rows[row-1].Cells, above.Cells = p.streamRow(above.Cells[:0]), nil
	}
	cells := p.Rows[row-1].Cells
	for j := range cells {
		if what := cells[j].fault(known); what != "" {
			return fmt.Errorf("%s: %s", p.ref(row, j+1), what)
		}
	}
	return nil
}

// isStreamed reports whether a row's cells are made when they are written.
func (p *Sheet) isStreamed(row int) bool { return p.streamFrom <= row && row < p.streamTo }

// writeProps sets the properties and the view of the sheet, and makes the styles
// of its cells.
func (p *Sheet) writeProps(f *excelize.File, styles *styleBook) error {
	yes, no, height := true, false, rowHeight
	props := &excelize.SheetPropsOptions{FitToPage: &yes, DefaultRowHeight: &height}
	if p.isInput {
		color := inputTab
		props.TabColorRGB = &color
	}
	used, err := p.registerStyles(styles)
	return errors.Join(err,
		f.SetSheetProps(p.Name, props),
		f.SetSheetView(p.Name, 0, &excelize.ViewOptions{ShowGridLines: &no}),
		f.SetSheetDimension(p.Name, used.String()),
	)
}

// registerStyles makes the style of every cell, and returns the range of the cells that
// are written; readers that do not load the sheet believe it.
func (p *Sheet) registerStyles(styles *styleBook) (used formula.Area, err error) {
	used = formula.NoArea
	var keys []styleKey
	for i, l := range p.Rows {
		keys = p.stylesOf(i+1, keys[:0])
		for j, k := range keys {
			if k == (styleKey{}) && (j >= len(l.Cells) || l.Cells[j].V == nil) {
				continue
			}
			used = used.With(i+1, j+1)
			if err := styles.register(k); err != nil {
				return used, err
			}
		}
	}
	for _, l := range p.streamLooks {
		for _, band := range []bool{false, true} {
			if err := styles.register(styleKey{look: l, band: band}); err != nil {
				return used, err
			}
		}
	}
	if used.Row2 == 0 {
		used = formula.Area{Row: 1, Col: 1, Row2: 1, Col2: 1}
	}
	return used, nil
}

// lastCol returns the last column that may be written.
func (p *Sheet) lastCol() int {
	last := 0
	for _, l := range p.Rows {
		last = max(last, len(l.Cells))
	}
	for _, t := range p.Tables {
		last = max(last, t.Col2)
	}
	return last
}

// stylesOf appends how the cells of a row are drawn in their places. Tables are
// drawn to their edge also where a row is shorter.
func (p *Sheet) stylesOf(row int, keys []styleKey) []styleKey {
	cells := p.Rows[row-1].Cells
	for j := range cells {
		k := styleKey{look: cells[j].Look}
		if k.look == Heading {
			below := drawings[p.at(row+1, j+1).Look].align
			k.center = below == "right" || below == "center"
		}
		keys = append(keys, k)
	}
	for i := range p.Tables {
		t := &p.Tables[i]
		if row < t.Row || t.Row2 < row {
			continue
		}
		for len(keys) < t.Col2 {
			keys = append(keys, styleKey{})
		}
		shaded := (row-t.Row)%2 == 0
		for j := t.Col - 1; j < t.Col2; j++ {
			k := &keys[j]
			switch k.look {
			case Heading:
				continue
			case Plain:
				k.look = Text
			}
			d := &drawings[k.look]
			k.band = shaded && d.fill == "" && !d.input
		}
	}
	return keys
}

// writeColumns sets widths, the folded columns and the panes.
func (p *Sheet) writeColumns(f *excelize.File, widths []float64) error {
	for first := 0; first < len(widths); { // columns of one width together
		last := first + 1
		for last < len(widths) && widths[last] == widths[first] {
			last++
		}
		if err := f.SetColWidth(p.Name, formula.Column(first+1), formula.Column(last), widths[first]); err != nil {
			return err
		}
		first = last
	}
	for col := p.foldFrom; 0 < col && col <= min(p.foldTo, len(widths)); col++ {
		name := formula.Column(col)
		if err := errors.Join(f.SetColOutlineLevel(p.Name, name, 1), f.SetColVisible(p.Name, name, false)); err != nil {
			return err
		}
	}
	if p.frozenRows+p.frozenCols == 0 {
		return nil
	}
	pane := "bottomRight"
	switch {
	case p.frozenCols == 0:
		pane = "bottomLeft"
	case p.frozenRows == 0:
		pane = "topRight"
	}
	first := formula.Cell(p.frozenRows+1, p.frozenCols+1)
	return f.SetPanes(p.Name, &excelize.Panes{
		Freeze: true, XSplit: p.frozenCols, YSplit: p.frozenRows, TopLeftCell: first, ActivePane: pane,
		Selection: []excelize.Selection{{SQRef: first, ActiveCell: first, Pane: pane}},
	})
}

// writeAreas breaks pages and makes tables, and the first merged cell, which
// stands for all.
func (p *Sheet) writeAreas(f *excelize.File, tables *tableParts) error {
	var faults []error
	if len(p.merges) > 0 {
		m := p.merges[0]
		faults = append(faults, f.MergeCell(p.Name, formula.Cell(m.Row, m.Col), formula.Cell(m.Row2, m.Col2)))
	}
	for _, row := range p.Breaks {
		faults = append(faults, f.InsertPageBreak(p.Name, formula.Cell(row, 1)))
	}
	for _, t := range p.Tables {
		for col := t.Col; col <= t.Col2; col++ { // a table takes the names of its columns from the cells
			faults = append(faults, f.SetCellDefault(p.Name, formula.Cell(t.Row, col), p.header(t.Row, col)))
		}
		faults = append(faults, tables.add(p.Name, t.options(), t.sealed))
	}
	return errors.Join(faults...)
}

// autoFilter is the element of a table's part that gives its header buttons.
var autoFilter = regexp.MustCompile(`<autoFilter [^>]*(/>|></autoFilter>)`)

// tableParts adds tables and keeps their parts aside: for every further table the
// library reads again each that is there.
type tableParts struct {
	file *excelize.File
	made [][]byte
}

func tablePart(n int) string { return fmt.Sprintf("xl/tables/table%d.xml", n) }

// add adds a table. In the place of its part stands until all are put back what
// says its number, after which the next is numbered.
func (t *tableParts) add(sheet string, options *excelize.Table, sealed bool) error {
	if err := t.file.AddTable(sheet, options); err != nil {
		return err
	}
	n := len(t.made) + 1
	part, _ := t.file.Pkg.Load(tablePart(n))
	made, ok := part.([]byte)
	if !ok {
		return fmt.Errorf("table %s has no part of its own", options.Name)
	}
	if sealed {
		made = autoFilter.ReplaceAll(made, nil)
	}
	t.made = append(t.made, made)
	t.file.Pkg.Delete(tablePart(n - 1))
	t.file.Pkg.Store(tablePart(n), fmt.Appendf(nil, `<table id="%d"/>`, n))
	return nil
}

// putBack gives the file its parts back.
func (t *tableParts) putBack() {
	for i, part := range t.made {
		t.file.Pkg.Store(tablePart(i+1), part)
	}
}

// writeChecks writes links, validations, highlights, notes and the lock.
func (p *Sheet) writeChecks(f *excelize.File, styles *styleBook) error {
	var faults []error
	for i, l := range p.Rows {
		for j := range l.Cells {
			to := l.Cells[j].Link
			if to == "" {
				continue
			}
			kind := "Location"
			if file, is := strings.CutPrefix(to, FileLink); is {
				to, kind = url.PathEscape(file), "External"
			}
			faults = append(faults, f.SetCellHyperLink(p.Name, formula.Cell(i+1, j+1), to, kind))
		}
	}
	for _, dv := range p.validations {
		faults = append(faults, f.AddDataValidation(p.Name, dv))
	}
	for _, h := range p.highlights {
		id, err := styles.conditionalID(h.look)
		faults = append(faults, err, f.SetConditionalFormat(p.Name, h.ref, []excelize.ConditionalFormatOptions{
			{Type: "formula", Criteria: h.formula, Format: &id},
		}))
	}
	for _, c := range p.comments {
		faults = append(faults, f.AddComment(p.Name, c))
	}
	if p.locked {
		faults = append(faults, f.ProtectSheet(p.Name, &excelize.SheetProtectionOptions{
			SelectLockedCells: true, SelectUnlockedCells: true,
			FormatColumns: true, FormatRows: true, AutoFilter: true, Sort: true,
		}))
	}
	return errors.Join(faults...)
}

// writeCharts adds the sheet's pictures.
func (p *Sheet) writeCharts(f *excelize.File) error {
	var faults []error
	for _, c := range p.Charts {
		faults = append(faults, f.AddChart(p.Name, c.corner(), c.options()))
	}
	return errors.Join(faults...)
}

// Paper sizes by the numbers of the file format.
const (
	paperLetter = 1
	paperA4     = 9
)

// pageHeight returns the points of rows that a printed page holds, when columns
// of such widths are printed to fit its width: the scale follows from the columns
// as they are on paper, 6 % wider than on a screen. Measured: a page of 772 points
// in LibreOffice 7.4, 767 here.
func (p *Sheet) pageHeight(widths []float64) float64 {
	wide, high := 8.5, 11.0 // inches
	if p.out.Paper == "A4" {
		wide, high = 8.27, 11.69
	}
	if p.isLandscape {
		wide, high = high, wide
	}
	columns := 0.0
	for _, w := range widths {
		columns += w * printedWidth
	}
	return (high - marginTop - marginBottom) * 72 * max(1, columns/((wide-2*marginSide)*72))
}

// pageRoom returns the points of rows that are put on a printed page: programs round
// heights and scales.
func (p *Sheet) pageRoom(widths []float64) float64 { return p.pageHeight(widths) - rowHeight }

// breakPages begins printed pages where what is kept together asks for it.
func (p *Sheet) breakPages(widths []float64) {
	if len(p.kept) == 0 {
		return
	}
	printed := widths
	if p.printed > 0 {
		printed = widths[:min(p.printed, len(widths))]
	}
	points := make([]float64, len(p.Rows)+1) // of all rows above one
	for i := range p.Rows {
		points[i+1] = points[i] + max(rowHeight, p.rowHeight(i+1, widths))
	}
	repeated := 0.0
	if p.titleFirst > 0 {
		repeated = points[p.titleLast] - points[p.titleFirst-1]
	}
	room := p.pageRoom(printed)
	// Of this page: where rows begin, and what is used. The lines down to the header
	// that is repeated, else to what is kept first, are never alone on a page.
	title := p.titleLast
	if title == 0 {
		title = slices.MinFunc(p.kept, func(a, b [2]int) int { return a[0] - b[0] })[0] - 1
	}
	top, down := points[title], 0.0
	asked, kept := map[int]bool{}, map[int][]int{} // rows; and rows where what is kept from one ends
	for _, row := range p.Breaks {
		asked[row] = true
	}
	for _, k := range p.kept {
		kept[k[0]] = append(kept[k[0]], k[1])
	}
	for i := range p.Rows {
		if asked[i+1] {
			top, down = repeated, repeated
		}
		for _, end := range kept[i+1] {
			if down > top && down+points[end-1]-points[i] > room {
				p.BreakBefore(i + 1)
				top, down = repeated, repeated
				break
			}
		}
		height := points[i+1] - points[i]
		if down > top && down+height > room {
			top, down = repeated, repeated
		}
		down += height
	}
}

// The margins of every page, in inches.
const (
	marginSide   = 0.5
	marginTop    = 0.75
	marginBottom = 0.7
	marginEdge   = 0.3 // above the header, below the footer
)

// writePrint sets paper, margins, header and footer. A margin left out would
// be written as 0.
func (p *Sheet) writePrint(f *excelize.File) error {
	size, orientation, pagesWide, pagesHigh := paperLetter, "portrait", 1, 0
	switch p.out.Paper {
	case "", "letter":
	case "A4":
		size = paperA4
	default:
		return fmt.Errorf("paper %q is neither letter nor A4", p.out.Paper)
	}
	if p.isLandscape {
		orientation = "landscape"
	}
	side, top, bottom, edge := marginSide, marginTop, marginBottom, marginEdge
	return errors.Join(
		f.SetPageLayout(p.Name, &excelize.PageLayoutOptions{
			Size: &size, Orientation: &orientation, FitToWidth: &pagesWide, FitToHeight: &pagesHigh,
		}),
		f.SetPageMargins(p.Name, &excelize.PageLayoutMarginsOptions{
			Left: &side, Right: &side, Top: &top, Bottom: &bottom, Header: &edge, Footer: &edge,
		}),
		f.SetHeaderFooter(p.Name, &excelize.HeaderFooterOptions{
			OddHeader: headerText("&L", p.out.Header, "&R"+smallType+"&A"),
			OddFooter: headerText("&L", p.out.Footer, "&R"+smallType+"Page &P of &N"),
		}),
	)
}

// smallType begins a part of a header. The font stands last, so that a digit
// after it is not read as part of the size.
const smallType = `&8&"` + fontName + `,Regular"`

// headerText returns a header whose first part is free text, cut to the 255
// characters that the whole may have.
func headerText(side, free, rest string) string {
	free = formula.CleanText(free)
	if free == "" {
		return rest
	}
	head := side + smallType
	room := formula.MaxMessage - formula.Utf16Len(head) - formula.Utf16Len(rest)
	for keep := room; ; keep-- {
		if escaped := strings.ReplaceAll(formula.Shorten(free, keep), "&", "&&"); formula.Utf16Len(escaped) <= room {
			return head + escaped + rest
		}
	}
}

// columnWidths returns the width of every column: as set, or as the content
// needs within the page's limits.
func (p *Sheet) columnWidths() []float64 {
	widths := make([]float64, max(len(p.Width), p.lastCol()))
	merged := p.mergedRows()
	for i, l := range p.Rows {
		for j := range l.Cells {
			c := &l.Cells[j]
			if (j < len(p.Width) && p.Width[j] > 0) || p.hidden || c.V == nil || c.Look.spansLine() || merged[i+1] {
				continue
			}
			widths[j] = max(widths[j], p.wanted(c))
		}
	}
	for j := range widths {
		switch {
		case j < len(p.Width) && p.Width[j] > 0:
			widths[j] = min(p.Width[j], maxColumnWidth)
		default:
			widths[j] = math.Ceil(min(max(widths[j], p.minWidth), p.maxWidth)*4) / 4
		}
	}
	return widths
}

// wanted returns the width that a cell asks for. A wrapped cell is content
// with the page's widest column, a header with its longest word.
func (p *Sheet) wanted(c *Cell) float64 {
	d := &drawings[c.Look]
	s := shown(c.V, c.Look)
	if c.Look == Heading {
		return columnWidth(longestLine(strings.Fields(s), d)) + indent(d) + filterWidth
	}
	return columnWidth(longestLine(strings.Split(s, "\n"), d)) + indent(d)
}

func longestLine(parts []string, d *drawing) float64 {
	longest := 0.0
	for _, s := range parts {
		longest = max(longest, textPoints(s, d))
	}
	return longest
}

func indent(d *drawing) float64 {
	if d.indented() {
		return indentWidth
	}
	return 0
}

// mergedRows tells which rows hold a merged line.
func (p *Sheet) mergedRows() map[int]bool {
	rows := map[int]bool{}
	for _, m := range p.merges {
		for row := m.Row; row <= m.Row2; row++ {
			rows[row] = true
		}
	}
	return rows
}

// rowHeight returns the height that shows all of a row's text, or 0 for the
// usual one. Not every program fits rows to wrapped text by itself, and none
// fits them to merged cells.
func (p *Sheet) rowHeight(row int, widths []float64) float64 {
	if h := p.Rows[row-1].height; h > 0 {
		return min(h, maxRowHeight)
	}
	height := p.Rows[row-1].Least
	for j := range p.Rows[row-1].Cells {
		c := &p.Rows[row-1].Cells[j]
		if c.V == nil {
			continue
		}
		if d := &drawings[c.Look]; d.wrap {
			lines := lineCount(shown(c.V, c.Look), inside(p.room(row, j+1, widths)), d)
			height = max(height, heightFor(lines, d))
		} else {
			height = max(height, oneLine[c.Look])
		}
	}
	if height <= rowHeight {
		return 0
	}
	return height
}

// points returns the height of the rows from first up to end, when columns have such
// widths and those behind them another one.
func (p *Sheet) points(first, end int, widths []float64, beyond float64) (points float64) {
	for row := first; row < end; row++ {
		more := max(0, len(p.Rows[row-1].Cells)-len(widths))
		points += max(rowHeight, p.rowHeight(row, slices.Concat(widths, slices.Repeat([]float64{beyond}, more))))
	}
	return points
}

// room returns the width that a cell has, with the cells merged into it. The
// button of a filter takes some of a header's, where the table has filters.
func (p *Sheet) room(row, col int, widths []float64) float64 {
	for _, m := range p.mergesOn[row] {
		if m.Col == col {
			return sumOf(widths[col-1 : min(m.Col2, len(widths))])
		}
	}
	if p.isSubtitle(row) {
		return sumOf(widths[:p.firstPage(widths)])
	}
	look := p.at(row, col).Look
	width := widths[col-1] - indent(&drawings[look])
	if look == Heading && p.filtered(row) {
		width -= filterWidth - widthSlack
	}
	return width
}

// sumOf adds widths up.
func sumOf(widths []float64) (sum float64) {
	for _, w := range widths {
		sum += w
	}
	return sum
}

// filtered reports whether a row holds the headers of a table.
func (p *Sheet) filtered(row int) bool {
	return slices.ContainsFunc(p.Tables, func(t table) bool { return t.Row == row && !t.sealed })
}
