package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// stockPlan is how the stock of one item is cut, as the sheet Boards shows it.
type stockPlan struct {
	head    string // what is cut, from whom
	facts   []string
	problem cut.Problem
	plan    cut.Plan
	piece   func(index int) pieceText // of Problem.Pieces
}

// pieceText is what a piece is called. Mark is short, for pictures.
type pieceText struct {
	length, what, mark string
	held               bool
}

// boardsSheet writes how the boards, sticks, rolls and coils were planned: a
// block an item, a row a distinct layout, and a picture of them. Held pieces are
// on the same boards, marked, so that measuring them later needs no more.
func (w *writer) boardsSheet(p *xlsx.Sheet) {
	w.top(p, "Boards", "How each board, stick, roll and coil is cut, a row for each way to cut one. HELD = leave that length whole until it is measured.")
	s := boardsWriter{p: p, u: w.u}
	for _, buy := range w.in.Plan.Purchases {
		for _, c := range buy.Plans {
			s.block(w.stockPlan(buy, c))
		}
	}
	if s.lastBar == 0 {
		p.Row(xlsx.Str(xlsx.Text, "Nothing is cut."))
	}
	s.finish()
	w.boardsAdd = "0"
	if s.lastBar > 0 {
		sums := p.Range(s.firstBar, barCheckCol, s.lastBar, barCheckCol)
		w.boardsAdd = fmt.Sprintf("ROUND(MAX(%s)-MIN(%s),3)", sums, sums)
	}
}

// stockPlan returns the plan of a purchase in the words of the sheet.
func (w *writer) stockPlan(buy pricing.Purchase, c pricing.CutPlan) stockPlan {
	marked := remembered(func(index int) pieceText {
		on := []int{index}
		if c.Shelves != nil {
			on = c.Shelves[index]
		}
		return w.pieceText(c, on)
	})
	return stockPlan{
		head:    fmt.Sprintf("%s  %s, %s", buy.Item.Key, buy.Item.Name, fromWords(buy.Supplier)),
		problem: c.Problem, plan: c.Plan, piece: marked,
		facts: []string{costWords(c.Plan, w.in.Book.Job.Currency)},
	}
}

// fromWords says where an item comes from.
func fromWords(supplier string) string {
	if supplier == "" {
		return "all on hand"
	}
	return "from " + supplier
}

// costWords says what a plan costs, how sure that is, and what it saves.
func costWords(p cut.Plan, currency string) string {
	words := strings.TrimSpace(fmt.Sprintf("%s %s", centsOf(p.Cost), currency)) + ", " + sureWords(p)
	if p.FirstFit > p.Cost {
		words += fmt.Sprintf("; first fit would cost %s", centsOf(p.FirstFit))
	}
	return words
}

// pieceText names the pieces that are cut off as one: several lie side by side
// on a coil.
func (w *writer) pieceText(c pricing.CutPlan, on []int) pieceText {
	var t pieceText
	var names []string
	for i, k := range on {
		piece := c.Pieces[k]
		name, mark := "spare", "spare"
		if !piece.Spare() {
			r := w.in.Takeoff.Requirements[piece.Requirement]
			mark = w.in.Takeoff.Openings[piece.Opening].Mark
			name = mark + " " + r.Name
			t.held = t.held || r.Held != ""
		}
		if piece.Parts > 1 {
			name += fmt.Sprintf(" part %d of %d", piece.Part, piece.Parts)
		}
		if piece.Width > 0 {
			name += " " + w.u.Shop(piece.Width) + " wide"
		}
		if i == 0 {
			t.length, t.mark = w.u.Shop(piece.Length), mark
		}
		names = append(names, name)
	}
	t.what = strings.Join(names, " + ")
	return t
}

// boardsWriter writes plans one below the other.
type boardsWriter struct {
	p *xlsx.Sheet
	u estimate.Units

	firstBar, lastBar int // rows
}

// The columns of a block. What stands behind the printed ones is what the
// picture is drawn from.
var boardHeads = []string{"Layout", "Count", "Stock", "Cut from each, and what for", "Saw cuts", "Left over", "Left over, "}

const (
	printedBoardCols = 7
	barNameCol       = printedBoardCols + 1 // the name of the bar in the picture
	barCheckCol      = barNameCol + 1       // stock less all parts
	barStockCol      = barCheckCol + 1
	barFirstCol      = barStockCol + 1 // lengths of the parts, then saw cuts, then what is left
	mostBars         = 20              // of a picture
	mostPictures     = 5               // of an item; the rows go on
	mostParts        = 14              // of a bar: beyond, like pieces are one part
)

var boardWidths = []float64{7, 6.5, 15, 78, 9, 10, 10}

// finish sets the columns.
func (s *boardsWriter) finish() {
	s.p.Widths(boardWidths...)
	s.p.AutoWidth(hiddenWidth, hiddenWidth)
	s.p.PrintCols(printedBoardCols)
	s.p.Freeze(firstRow-3, 0)
}

// block writes one plan.
func (s *boardsWriter) block(b stockPlan) {
	p := s.p
	bars, parts := s.bars(b)
	begin := p.Next()
	p.Banner(xlsx.Section, b.head, printedBoardCols)
	for _, f := range append(b.facts, s.planFacts(b)) {
		p.Banner(xlsx.Note, f, printedBoardCols)
	}
	heads := slices.Clone(boardHeads)
	heads[len(heads)-1] += s.u.Name(estimate.Lengthwise)
	heads = append(heads, "Bar", "Adds up to 0", "Stock, "+s.u.Name(estimate.Lengthwise))
	for i := range parts {
		heads = append(heads, fmt.Sprintf("Part %d", i+1))
	}
	heads = append(heads, "Saw cuts and ends", "Left over at the end")
	head := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	if s.firstBar == 0 {
		s.firstBar = p.Next()
	}
	for i, bar := range bars {
		p.Row(s.barCells(b, i, bar, parts)...)
	}
	s.lastBar = p.Next() - 1
	p.Skip(1)
	pictures := []int{begin} // first rows of what is kept on one page
	for from := 0; from < min(len(bars), mostPictures*mostBars); from += mostBars {
		if p.Points(begin, p.Next(), boardWidths, hiddenWidth)+picturePoints(min(mostBars, len(bars)-from)) > p.PageHeight(boardWidths) {
			pictures = append(pictures, p.Next())
		}
		s.picture(b, bars[from:min(len(bars), from+mostBars)], parts, [2]int{head, head + 1 + from})
	}
	if n := mostPictures * mostBars; len(bars) > n {
		p.Banner(xlsx.Note, fmt.Sprintf("Drawn are the first %d of %d layouts.", n, len(bars)), printedBoardCols)
	}
	for i, first := range pictures {
		end := p.Next()
		if i+1 < len(pictures) {
			end = pictures[i+1]
		}
		s.p.KeepTogether(first, end)
	}
}

// hiddenWidth is that of the columns which are not printed.
const hiddenWidth = 20

// bar is a board of a layout: what is cut from it, in the order of the saw.
type bar struct {
	layout cut.Layout
	board  cut.Board
	stock  cut.Stock
	parts  []part
	saw    measure.Length // cuts and squared ends
}

// part is one piece of a bar, or several like ones.
type part struct {
	length measure.Length // of each
	count  int
	marks  ordered[string, string] // of all boards of the layout
}

// bars returns a bar a layout and the most parts that one has.
func (s *boardsWriter) bars(b stockPlan) (bars []bar, parts int) {
	single := true
	for _, board := range b.plan.Boards {
		single = single && len(board.Pieces) <= mostParts
	}
	for _, l := range b.plan.Layouts {
		board := b.plan.Boards[l.First]
		x := bar{layout: l, board: board, stock: b.problem.Stocks[board.Stock]}
		x.saw = x.stock.Length - board.Offcut
		for i, piece := range board.Pieces {
			length := b.problem.Pieces[piece].Length
			x.saw -= length
			n := len(x.parts)
			if single || n == 0 || x.parts[n-1].length != length {
				x.parts = append(x.parts, part{length: length})
				n++
			}
			at := &x.parts[n-1]
			at.count++
			for k := range l.Count {
				t := b.piece(b.plan.Boards[l.First+k].Pieces[i])
				mark := t.mark
				if t.held {
					mark += " HELD"
				}
				m, _ := at.marks.of(mark)
				*m = mark
			}
		}
		bars, parts = append(bars, x), max(parts, len(x.parts))
	}
	return bars, parts
}

// barCells returns the row of a layout.
func (s *boardsWriter) barCells(b stockPlan, i int, x bar, parts int) []xlsx.Cell {
	row := s.p.Next()
	cells := []xlsx.Cell{
		xlsx.Num(i+1, xlsx.Count), xlsx.Num(x.layout.Count, xlsx.Count), xlsx.Str(xlsx.TextRight, s.u.Words(x.stock.Length)+onHandWords(x.stock)), xlsx.Str(xlsx.TextWrap, s.cutWords(b, x.layout)),
		xlsx.Str(xlsx.TextRight, s.u.Shop(x.saw)), xlsx.Str(xlsx.TextRight, s.u.Words(x.board.Offcut)), xlsx.Num(s.u.Length(x.board.Offcut), xlsx.Inches),
		xlsx.Str(xlsx.Text, fmt.Sprintf("%d: %d x %s%s", i+1, x.layout.Count, s.stockWords(x.stock.Length), onHandWords(x.stock))),
		xlsx.Formula(fmt.Sprintf("ROUND(%s-SUM(%s),3)", formula.Cell(row, barStockCol), formula.Range(row, barFirstCol, row, barFirstCol+parts+1)), 0.0, xlsx.Number),
		xlsx.Num(s.u.Length(x.stock.Length), xlsx.Inches),
	}
	for k := range parts {
		if k >= len(x.parts) {
			cells = append(cells, xlsx.Blank(xlsx.Inches))
			continue
		}
		cells = append(cells, xlsx.Num(s.u.Length(x.parts[k].length*measure.Length(x.parts[k].count)), xlsx.Inches))
	}
	return append(cells, xlsx.Num(s.u.Length(x.saw), xlsx.Inches), xlsx.Num(s.u.Length(x.board.Offcut), xlsx.Inches))
}

// onHandWords says of stock that it is there already.
func onHandWords(s cut.Stock) string {
	if s.Price == 0 && s.Available >= 0 {
		return " on hand"
	}
	return ""
}

// stockWords writes the length of a stock, without inches where it has none.
func (s *boardsWriter) stockWords(l measure.Length) string {
	if !s.u.MM && l%measure.Foot == 0 {
		return fmt.Sprintf("%d ft", l/measure.Foot)
	}
	return s.u.Words(l)
}

// cutWords lists what is cut from each board of a layout, longest first, and
// what the pieces of all its boards are for.
func (s *boardsWriter) cutWords(b stockPlan, l cut.Layout) string {
	type use struct {
		text pieceText
		n    int
	}
	type cutOff struct {
		length measure.Length
		words  string
		n      int
		uses   ordered[pieceText, use]
	}
	var cuts ordered[measure.Length, cutOff]
	for k := range l.Count {
		for _, piece := range b.plan.Boards[l.First+k].Pieces {
			length, t := b.problem.Pieces[piece].Length, b.piece(piece)
			c, first := cuts.of(length)
			if first {
				c.length, c.words = length, t.length
			}
			if k == 0 {
				c.n++
			}
			u, _ := c.uses.of(t)
			u.text = t
			u.n++
		}
	}
	offs := cuts.list
	slices.SortStableFunc(offs, func(x, y cutOff) int { return int(max(-1, min(1, y.length-x.length))) })
	out := make([]string, len(offs))
	for i, c := range offs {
		var uses []string
		for _, u := range c.uses.list {
			words := u.text.what
			if u.text.held {
				words = strings.TrimSpace(words + " HELD")
			}
			if words == "" {
				continue
			}
			if u.n > 1 {
				words = fmt.Sprintf("%d %s", u.n, words)
			}
			uses = append(uses, words)
		}
		out[i] = fmt.Sprintf("%d x %s", c.n, c.words)
		if len(uses) > 0 {
			out[i] += "  (" + strings.Join(uses, ", ") + ")"
		}
	}
	return strings.Join(out, "; ")
}

// planFacts says what of the saw's wishes the plan fulfils.
func (s *boardsWriter) planFacts(b stockPlan) string {
	p := b.plan
	facts := []string{
		fmt.Sprintf("%d to cut in %d layouts", len(p.Boards), len(p.Layouts)),
		"saw cut " + s.u.Shop(b.problem.Kerf),
	}
	if trim := b.problem.Head; trim > 0 {
		facts = append(facts, "each end squared by "+s.u.Shop(trim))
	}
	wanted := 0
	for _, w := range b.problem.Pieces {
		if w.Factory {
			wanted += w.Count
		}
	}
	if wanted > 0 {
		facts = append(facts, fmt.Sprintf("%d of %d pieces that want a factory end get one", p.AtEnds, wanted))
	}
	if p.LongestOffcut > 0 {
		left := "longest left over " + s.u.Words(p.LongestOffcut)
		if p.OffcutBound > p.LongestOffcut && !p.OffcutProven {
			left += fmt.Sprintf(" (none of this cost leaves more than %s)", s.u.Words(p.OffcutBound))
		}
		facts = append(facts, left)
	}
	return strings.Join(facts, " · ")
}

// axisStep returns the distance between the numbers of an axis as long as the
// longest stock: whole feet or half metres, no more than a dozen.
func axisStep(u estimate.Units, longest measure.Length) float64 {
	step := measure.Foot
	if u.MM {
		step = 500 * measure.Millimetre
	}
	for longest/step > 12 {
		step *= 2
	}
	return u.Length(step)
}
