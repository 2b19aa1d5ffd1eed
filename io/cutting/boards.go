// Package cutting writes how boards, sticks, rolls and coils are cut: a row for each
// cutting pattern, with a picture drawn to scale, on a sheet of an estimate or an order;
// and the workbook of a cutting plan that stands alone.
package cutting

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// Writer writes plans on a sheet, one below the other.
type Writer struct {
	p      *xlsx.Sheet
	u      estimate.Units
	blocks []*xlsx.Table[pattern]
}

const (
	boardTitleRows = 3 // in sight
	drawnWidth     = 20
	mostBars       = 20 // of a picture
	mostPictures   = 5  // of an item; the rows go on
)

func NewWriter(p *xlsx.Sheet, u estimate.Units) *Writer {
	p.AutoWidth(drawnWidth, drawnWidth)
	p.Freeze(boardTitleRows, 0)
	return &Writer{p: p, u: u}
}

// What formulas and pictures name the columns that a picture is drawn from, with the
// parts between the last two.
const (
	barHead   = "Bar"
	checkHead = "Adds up to 0" // stock less all parts
	sawHead   = "Kerf and end trim, each"
	restHead  = "Offcut at the end"
)

func partHead(k int) string { return fmt.Sprintf("Part %d", k+1) }

// columns are those of a block whose patterns have so many parts at most. What is not
// printed is what the picture is drawn from.
func (s *Writer) columns(parts int) []xlsx.Column[pattern] {
	unit := ", " + s.u.Name(estimate.Lengthwise)
	number := func(l measure.Length) xlsx.Cell { return xlsx.Num(s.u.Length(l), xlsx.Inches) }
	columns := []xlsx.Column[pattern]{
		{Head: "Pattern", Width: 8, Cell: func(x pattern) xlsx.Cell { return xlsx.Num(x.number, xlsx.Count) }},
		{Head: "Count", Width: 6.5, Cell: func(x pattern) xlsx.Cell { return xlsx.Num(x.count, xlsx.Count) }},
		{Head: "Stock", Width: 15, Cell: func(x pattern) xlsx.Cell {
			return xlsx.Str(xlsx.TextRight, s.u.Words(x.stock.Length)+OnHandWords(x.stock))
		}},
		{Head: "Pieces cut from each, and for what", Width: 76, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.words) }},
		{Head: "Kerf and end trim", Width: 9, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.u.Shop(x.saw)) }},
		{Head: "Offcut", Width: 10, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.u.Words(x.offcut)) }},
		{Head: "Offcut" + unit, Width: 10, Cell: func(x pattern) xlsx.Cell { return number(x.offcut) }},
		{Head: barHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell {
			return xlsx.Str(xlsx.Text, fmt.Sprintf("%d: %d x %s%s", x.number, x.count, s.stockWords(x.stock.Length), OnHandWords(x.stock)))
		}},
		{Head: checkHead, Unprinted: true, Cell: func(pattern) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("ROUND({Stock%s}-SUM({%s..%s}),3)", unit, partHead(0), restHead), 0.0, xlsx.Number)
		}},
		{Head: "Stock" + unit, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.stock.Length) }},
	}
	for k := range parts {
		columns = append(columns, xlsx.Column[pattern]{Head: partHead(k), Unprinted: true, Cell: func(x pattern) xlsx.Cell {
			if k >= len(x.parts) {
				return xlsx.Blank(xlsx.Inches)
			}
			return number(x.parts[k].total())
		}})
	}
	return append(columns,
		xlsx.Column[pattern]{Head: sawHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.saw) }},
		xlsx.Column[pattern]{Head: restHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.offcut) }},
	)
}

// Block writes one plan: its facts, a row a pattern, and pictures, as many of them on
// the page of the rows as it has room for.
func (s *Writer) Block(b Plan) {
	p, patterns := s.p, b.patterns()
	t := xlsx.NewTable(p, "Boards", s.columns(mostPartsOf(patterns)))
	s.blocks = append(s.blocks, t)
	begin := p.Next()
	t.Banner(xlsx.Section, b.Head)
	for _, f := range append(b.Facts, s.planFacts(b)) {
		t.Banner(xlsx.Note, f)
	}
	t.Header()
	for _, x := range patterns {
		t.Row(x)
	}
	p.Skip(1)
	pages := []int{begin} // first rows of what is kept on one page
	drawn := patterns[:min(len(patterns), mostPictures*mostBars)]
	for bars := range slices.Chunk(drawn, mostBars) {
		if !t.Fits(begin, xlsx.PicturePixels(len(bars))) {
			pages = append(pages, p.Next())
		}
		s.picture(t, b.Head, bars)
	}
	if len(drawn) < len(patterns) {
		t.Banner(xlsx.Note, fmt.Sprintf("The first %d of %d patterns are drawn.", len(drawn), len(patterns)))
	}
	for i, end := range append(pages[1:], p.Next()) {
		p.KeepTogether(pages[i], end)
	}
}

// Finish ends the sheet, and says so if nothing is cut.
func (s *Writer) Finish() {
	if len(s.blocks) == 0 {
		xlsx.NewTable(s.p, "Boards", s.columns(0)).SetWidths()
		s.p.Row(xlsx.Str(xlsx.Text, "Nothing to cut."))
	}
}

// Difference is a formula: by how much a stock is more than its parts at most.
func (s *Writer) Difference() string {
	if len(s.blocks) == 0 {
		return "0"
	}
	sums := s.blocks[0].Column(checkHead).To(s.blocks[len(s.blocks)-1].Column(checkHead))
	return fmt.Sprintf("ROUND(MAX(%s)-MIN(%s),3)", sums, sums)
}

// stockWords writes the length of a stock, without inches where it has none.
func (s *Writer) stockWords(l measure.Length) string {
	if !s.u.MM && l%measure.Foot == 0 {
		return fmt.Sprintf("%d ft", l/measure.Foot)
	}
	return s.u.Words(l)
}

// planFacts says what of the saw's wishes the plan fulfils.
func (s *Writer) planFacts(b Plan) string {
	p := b.Plan
	facts := []string{
		b.countWords(),
		"kerf " + s.u.Shop(b.Problem.Kerf),
	}
	if trim := b.Problem.HeadTrim; trim > 0 {
		facts = append(facts, "end trim "+s.u.Shop(trim))
	}
	wanted := 0
	for _, w := range b.Problem.Pieces {
		if w.FactoryEnd {
			wanted += w.Count
		}
	}
	if wanted > 0 {
		facts = append(facts, fmt.Sprintf("%d of %d pieces that need a factory end get one", p.AtFactoryEnds, wanted))
	}
	if p.LongestOffcut > 0 {
		left := "longest offcut " + s.u.Words(p.LongestOffcut)
		if p.OffcutBound > p.LongestOffcut && !p.OffcutProven {
			left += fmt.Sprintf(" (no plan at this cost leaves more than %s)", s.u.Words(p.OffcutBound))
		}
		facts = append(facts, left)
	}
	return strings.Join(facts, " · ")
}
