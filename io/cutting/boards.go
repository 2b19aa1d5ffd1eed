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

	// Of the printed page that is being written: its first row, and the first of those
	// that are kept together on it.
	top, kept int
}

const (
	boardTitleRows = 3 // in sight
	drawnWidth     = 20
	maxDrawn       = 100 // patterns of an item; the rows go on
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
	restHead  = "Offcut, each"
	farHead   = "Part at the far end" // behind the offcut
)

func partHead(k int) string { return fmt.Sprintf("Part %d", k+1) }

// columns are those of a block of patterns. What is not printed is what their picture is
// drawn from.
func (s *Writer) columns(patterns []pattern) []xlsx.Column[pattern] {
	unit := ", " + s.u.Name(estimate.Lengthwise)
	number := func(l measure.Length) xlsx.Cell { return xlsx.Num(s.u.Length(l), xlsx.Inches) }
	total := func(t part, ok bool) xlsx.Cell {
		if !ok {
			return xlsx.Blank(xlsx.Inches)
		}
		return number(t.total())
	}
	last := restHead
	if slices.ContainsFunc(patterns, func(x pattern) bool { return x.farEnd }) {
		last = farHead
	}
	columns := []xlsx.Column[pattern]{
		{Head: "Pattern", Width: 8, Cell: func(x pattern) xlsx.Cell { return xlsx.Num(x.number, xlsx.Count) }},
		{Head: "Count", Width: 6.5, Cell: func(x pattern) xlsx.Cell { return xlsx.Num(x.count, xlsx.Count) }},
		{Head: "Stock", Width: 15, Cell: func(x pattern) xlsx.Cell {
			return xlsx.Str(xlsx.TextRight, s.u.Words(x.stock.Length)+OnHandWords(x.stock))
		}},
		{Head: "Pieces cut from each, in cutting order, and for what", Width: 76, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.words) }},
		{Head: "Kerf and end trim", Width: 9, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.u.Shop(x.saw)) }},
		{Head: "Offcut", Width: 10, Cell: func(x pattern) xlsx.Cell { return xlsx.Str(xlsx.TextRight, s.u.Words(x.offcut)) }},
		{Head: "Offcut" + unit, Width: 10, Cell: func(x pattern) xlsx.Cell { return number(x.offcut) }},
		{Head: barHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell {
			return xlsx.Str(xlsx.Text, fmt.Sprintf("%d: %d x %s%s", x.number, x.count, s.stockWords(x.stock.Length), OnHandWords(x.stock)))
		}},
		{Head: checkHead, Unprinted: true, Cell: func(pattern) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("ROUND({Stock%s}-SUM({%s..%s}),3)", unit, partHead(0), last), 0.0, xlsx.Number)
		}},
		{Head: "Stock" + unit, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.stock.Length) }},
	}
	for k := range maxNear(patterns) {
		columns = append(columns, xlsx.Column[pattern]{Head: partHead(k), Unprinted: true, Cell: func(x pattern) xlsx.Cell {
			return total(x.nearPart(k))
		}})
	}
	return append(columns,
		xlsx.Column[pattern]{Head: sawHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.saw) }},
		xlsx.Column[pattern]{Head: restHead, Unprinted: true, Cell: func(x pattern) xlsx.Cell { return number(x.offcut) }},
		xlsx.Column[pattern]{Head: farHead, Unprinted: true, Absent: last != farHead, Cell: func(x pattern) xlsx.Cell { return total(x.far()) }},
	)
}

// Block writes one plan: its facts, then a row a pattern, with a picture of those of each
// page below them, on as many pages as they need. The item's name stands on each.
func (s *Writer) Block(b Plan) {
	p, patterns := s.p, b.patterns()
	t := xlsx.NewTable(p, "Boards", s.columns(patterns))
	s.kept, s.top = p.Next(), p.Next()
	if len(s.blocks) == 0 {
		s.top = 1 // below the title of the sheet
	}
	s.blocks = append(s.blocks, t)
	t.Banner(xlsx.Section, b.Head)
	for _, f := range append(b.Facts, s.planFacts(b, patterns)) {
		t.Banner(xlsx.Note, f)
	}
	t.Header()
	for rest, drawn := patterns, 0; len(rest) > 0; {
		if len(rest) < len(patterns) {
			s.turn(t, b.Head)
			t.HeaderAgain()
		}
		n := s.rows(t, rest, maxDrawn-drawn)
		if drawn < maxDrawn {
			s.picture(t, b.Head, rest[:n])
			drawn += n
		}
		rest = rest[n:]
	}
	if len(patterns) > maxDrawn {
		t.Banner(xlsx.Note, fmt.Sprintf("The first %d of %d are drawn.", maxDrawn, len(patterns)))
	}
	p.KeepTogether(s.kept, p.Next())
}

// turn begins the next printed page of a block.
func (s *Writer) turn(t *xlsx.Table[pattern], head string) {
	s.p.KeepTogether(s.kept, s.p.Next())
	s.kept, s.top = s.p.Next(), s.p.Next()
	t.Banner(xlsx.Section, head+", continued")
}

// rows writes the rows for which the page has room, and for a picture of them if so many
// patterns are yet to be drawn, and returns how many they are: one at least.
func (s *Writer) rows(t *xlsx.Table[pattern], patterns []pattern, drawn int) (n int) {
	room := func(bars int) int {
		if drawn <= 0 {
			return 0
		}
		return pictureRoom(bars)
	}
	for n < len(patterns) && (n == 0 || n != drawn && t.FitsRow(s.top, patterns[n], room(n+1))) {
		t.Row(patterns[n])
		n++
	}
	return n
}

// Finish ends the sheet, and says so if nothing is cut.
func (s *Writer) Finish() {
	if len(s.blocks) == 0 {
		xlsx.NewTable(s.p, "Boards", s.columns(nil)).SetWidths()
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
func (s *Writer) planFacts(b Plan, patterns []pattern) string {
	p := b.Plan
	facts := []string{b.countWords()}
	if len(patterns) > len(p.Patterns) {
		facts = append(facts, "a pattern that stands in several rows is cut in several orders")
	}
	facts = append(facts, "kerf "+s.u.Shop(b.Problem.Kerf))
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
