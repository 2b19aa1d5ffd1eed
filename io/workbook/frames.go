package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
)

// The columns of a card. What is read at the saw is large; notes run over all.
const (
	cardTick = iota + 1
	cardOne
	cardAll
	cardPiece
	cardBoard
	cardSaw
	cardNumber
	cardEnds
	cardPrime
	cardScrews
	cardNails
	cardCols = cardNails
)

var cardWidths = []float64{5, 7, 7, 11, 14, 14, 9.5, 29, 6.5, 7.5, 7.5}

// framesSheet writes a card a distinct trim frame, for the clipboard at the saw.
func (w *writer) framesSheet(_ *xlsx.Sheet) {
	p := w.frames
	p.Landscape(false)
	w.top(p, "Frames", "A card for each distinct trim frame. Tick what is cut. Lengths are over the long points of a mitre; saw cuts are not in them.")
	frames := w.trim
	for _, f := range frames {
		begin := p.Next()
		w.card(f)
		p.KeepTogether(begin, p.Next())
		p.Skip(1)
	}
	if len(frames) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "No opening has trim."))
	}
	p.Widths(cardWidths...)
	p.PrintCols(cardCols)
	p.Freeze(masterRow, 0)
}

// flags say the state of a frame so that nobody overlooks it; ticks stand in
// place of the box to tick where there is nothing to cut.
var (
	frameFlags = map[string]string{
		estimate.FrameToCut: "TO CUT", estimate.FrameHeld: "HELD", estimate.FrameCut: "CUT", estimate.FrameHung: "HUNG",
	}
	frameTicks = map[string]string{estimate.FrameHeld: "held", estimate.FrameCut: "cut", estimate.FrameHung: "hung"}
)

// card writes the card of a frame.
func (w *writer) card(f estimate.Frame) {
	p := w.frames
	head := make([]xlsx.Cell, cardCols)
	for i := range head {
		head[i] = xlsx.Blank(xlsx.BigHead)
		if i+1 >= cardEnds {
			head[i] = xlsx.Blank(xlsx.Flag)
		}
	}
	waits := waitsOf(f)
	head[0].V, head[cardEnds-1].V = f.MarksText(), flagWords(f.State, waits)
	row := p.Row(head...)
	p.Merge(row, 1, row, cardNumber)
	p.Merge(row, cardEnds, row, cardCols)
	for _, s := range heldLines(waits) {
		p.Banner(xlsx.Big, s, cardCols)
	}
	frames := w.framesCell(f)
	facts := []fact{{"Frames", frames}}
	for _, x := range w.frameFacts(f) {
		facts = append(facts, fact{x[0], xlsx.Str(xlsx.Big, x[1])})
	}
	at := w.facts(facts)
	w.cardPieces(f, at)
	for _, s := range w.frameChecks(f) {
		w.cardLine(tickCell(f.State), s)
	}
	for _, s := range w.frameNotes(f) {
		w.cardLine(xlsx.Blank(xlsx.Text), sentence(s))
	}
	w.frameDrawing(f)
}

// fact is a line of a card: a name and what it is.
type fact struct {
	name string
	is   xlsx.Cell
}

// facts writes facts side by side, two a row, and returns the cell of the
// first.
func (w *writer) facts(facts []fact) (first string) {
	p := w.frames
	sides := [2][3]int{{1, cardPiece, cardSaw}, {cardNumber, cardEnds, cardCols}} // label, value, last
	first = formula.AbsCell(p.Next(), cardPiece)
	for pair := range slices.Chunk(facts, len(sides)) {
		cells := make([]xlsx.Cell, cardCols)
		for i := range cells {
			cells[i] = xlsx.Blank(xlsx.Big)
		}
		row := p.Next()
		for k, x := range pair {
			cells[sides[k][0]-1], cells[sides[k][1]-1] = xlsx.Str(xlsx.Text, x.name), x.is
			for col := sides[k][1] + 1; col <= sides[k][2]; col++ {
				cells[col-1] = xlsx.Blank(x.is.Look)
			}
		}
		p.Row(cells...)
		p.Merge(row, 1, row, cardAll)
		for _, s := range sides {
			p.Merge(row, s[1], row, s[2])
		}
	}
	return first
}

// cardLine writes a sentence behind a box or none.
func (w *writer) cardLine(box xlsx.Cell, s string) {
	p := w.frames
	cells := append([]xlsx.Cell{box, xlsx.Str(xlsx.Big, s)}, slices.Repeat([]xlsx.Cell{xlsx.Blank(xlsx.Big)}, cardCols-2)...)
	row := p.Row(cells...)
	p.Merge(row, 2, row, cardCols)
}

// tickCell is the box before what is done to a frame.
func tickCell(state string) xlsx.Cell {
	if done := frameTicks[state]; done != "" {
		return xlsx.Str(xlsx.Fine, done)
	}
	return xlsx.Blank(xlsx.Tick)
}

// framesCell counts the frames of a card: the Qty of its marks, where a whole
// mark is on it.
func (w *writer) framesCell(f estimate.Frame) xlsx.Cell {
	var terms []string
	for _, m := range f.Marks {
		if o := w.in.Takeoff.Openings[m.Opening]; o.Piece > 0 || o.Apart > 0 {
			return xlsx.Num(f.Count, xlsx.BigCount)
		}
		terms = append(terms, w.qtyCell(m.Opening))
	}
	if len(terms) > mostTerms {
		return xlsx.Num(f.Count, xlsx.BigCount)
	}
	return xlsx.Formula(strings.Join(terms, "+"), f.Count, xlsx.BigCount)
}

// mostTerms is how many marks of one frame are summed live; a cell holds some
// hundreds, and who has more runs the estimate again.
const mostTerms = 100

// cardPieces writes the pieces of a frame; frames is the cell that counts them.
func (w *writer) cardPieces(f estimate.Frame, frames string) {
	p := w.frames
	heads := []string{"", "In one", "In all", "Piece", "Board", "Set the saw", w.u.Name(estimate.Lengthwise), "Ends", "Ends to prime", "Screws at an end", "Nails"}
	p.Height(p.Row(xlsx.Strs(xlsx.Heading, heads...)...), xlsx.HeadingHeight(2))
	for _, x := range f.Pieces {
		row := p.Next()
		cells := []xlsx.Cell{
			tickCell(f.State), xlsx.Num(x.Count, xlsx.BigCount), xlsx.Formula(fmt.Sprintf("%s*%s", formula.Cell(row, cardOne), frames), x.Count*f.Count, xlsx.BigCount),
			xlsx.Str(xlsx.Big, x.Name), xlsx.Str(xlsx.TextWrap, x.Item+"\n"+w.u.Shop(x.Width)+" x "+w.u.Shop(x.Thickness)),
			xlsx.Str(xlsx.BigRight, w.u.Shop(x.Length)), xlsx.Num(w.u.Length(x.Length), xlsx.Inches), xlsx.Str(xlsx.TextWrap, endWords(x)),
			xlsx.Num(x.Prime*x.Count, xlsx.BigCount), xlsx.Blank(xlsx.BigCount), xlsx.Str(xlsx.TextCenter, ""),
		}
		if x.Screws > 0 {
			cells[cardScrews-1].V = x.Screws
		}
		if x.Rows > 0 {
			cells[cardNails-1].V = fmt.Sprintf("%d x %d", x.Rows, x.PerRow)
		}
		p.Row(cells...)
	}
}

// wait is what marks of a held frame wait for.
type wait struct {
	why, release string
	marks        []string
}

// waitsOf returns what the marks of a frame wait for; none unless it is held.
func waitsOf(f estimate.Frame) []wait {
	if f.State != estimate.FrameHeld {
		return nil
	}
	var waits []wait
	for _, m := range f.Marks {
		i := slices.IndexFunc(waits, func(x wait) bool { return x.why == m.Held && x.release == m.Release })
		if i < 0 {
			i = len(waits)
			waits = append(waits, wait{why: m.Held, release: m.Release})
		}
		waits[i].marks = append(waits[i].marks, m.Mark)
	}
	return waits
}

// flagWords is the state of a frame, with what it waits for when that is one thing.
func flagWords(state string, waits []wait) string {
	s := frameFlags[state]
	if len(waits) == 1 && waits[0].why != "" {
		s += ": " + waits[0].why
	}
	return s
}

// heldLines say what a held frame waits for, and what releases it.
func heldLines(waits []wait) []string {
	if len(waits) == 0 {
		return nil
	}
	out := []string{"DO NOT CUT. Sizes and lengths below are the present ones and may change."}
	for _, x := range waits {
		var parts []string
		if len(waits) > 1 {
			parts = append(parts, strings.Join(x.marks, ", ")+": "+x.why)
		}
		if x.release != "" {
			parts = append(parts, "to release: "+x.release)
		}
		if len(parts) > 0 {
			out = append(out, sentence(strings.Join(parts, "; ")))
		}
	}
	return out
}

// frameFacts returns the facts of a frame, each with its name.
func (w *writer) frameFacts(f estimate.Frame) [][2]string {
	made := "in the shop"
	if f.OnSite != "" {
		made = "on site: " + f.OnSite
	}
	out := [][2]string{
		{"Layout", f.Layout},
		{"Goes round", w.u.Size(f.Size)}, {"Joint", w.gapWords(f)},
		{"Outside", w.u.Size(f.Outside)}, {"Made", made},
	}
	if len(f.MullCentres) > 0 {
		out = append(out, [2]string{"Mull centres", w.lengths(f.MullCentres) + " from " + f.MullFrom})
	}
	if f.Spreader > 0 {
		out = append(out, [2]string{"Spreader", w.u.Shop(f.Spreader) + " between the feet"})
	}
	for _, n := range f.Needs {
		item, _ := w.in.Book.Items.Get(n.Item)
		out = append(out, [2]string{roleNames[n.Role], w.needWords(f, n, item)})
	}
	return out
}

// roleNames are short enough for a card.
var roleNames = map[string]string{"pocket screws": "Screws", "adhesive": "Glue", "corner nails": "Corners", "primer": "Primer", "nails": "Nails", "other": "Also"}

// needWords says what of an item one frame takes.
func (w *writer) needWords(f estimate.Frame, n estimate.FrameNeed, item estimate.Item) string {
	s := n.Item
	if item.Length > 0 {
		s += ", " + w.u.Shop(item.Length) + " long"
	}
	switch {
	case n.Role == "primer":
		return s
	case n.Dim != estimate.Each:
		s = fmt.Sprintf("%s %s of %s", xlsx.ShownNumber(w.u.Of(n.Dim, n.Amount), xlsx.FormatNumber), w.u.Name(n.Dim), s)
	case n.Role == "adhesive":
		s = fmt.Sprintf("%s, %d joints", s, n.Amount)
	default:
		s = fmt.Sprintf("%d of %s", n.Amount, s)
	}
	if n.Role == "nails" && item.Length < f.Nail {
		s += "; wanted at least " + w.u.Shop(f.Nail)
	}
	return s
}

// sentence begins words with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// lengths lists lengths as the tape shows them.
func (w *writer) lengths(ls []measure.Length) string {
	out := make([]string, len(ls))
	for i, l := range ls {
		out[i] = w.u.Shop(l)
	}
	return strings.Join(out, ", ")
}

// gapWords says how far the boards stand off what they go round.
func (w *writer) gapWords(f estimate.Frame) string {
	head, legs, bottom := w.u.Shop(f.Gap.Head), w.u.Shop(f.Gap.Legs), w.u.Shop(f.Gap.Bottom)
	open := f.Spreader > 0 // three sided
	switch {
	case head == legs && open:
		return head + " at head and legs"
	case head == legs && legs == bottom:
		return head + " all round"
	case open:
		return fmt.Sprintf("%s at the head, %s at the legs", head, legs)
	}
	return fmt.Sprintf("%s at the head, %s at the legs, %s at the bottom", head, legs, bottom)
}

// endWords says how the ends of a piece are made.
func endWords(x estimate.FramePiece) string {
	s := x.Ends
	if x.Mitre > 0 {
		s += fmt.Sprintf("; saw at %d.%d degrees from square", x.Mitre/10, x.Mitre%10)
	}
	if x.Factory != "" {
		s += "; factory end " + x.Factory
	}
	return s
}

// frameChecks are ticked before a frame leaves the bench.
func (w *writer) frameChecks(f estimate.Frame) []string {
	ends := int64(0)
	for _, x := range f.Pieces {
		ends += x.Prime * x.Count
	}
	return []string{
		fmt.Sprintf("Square: both diagonals %s, corner to corner, equal within %s", w.u.Coarse(f.Diagonal), w.u.Shop(estimate.SquareTolerance)),
		fmt.Sprintf("All %d cut ends primed, and the mark written on the back", ends),
	}
}

// frameNotes says what the tables of a card do not.
func (w *writer) frameNotes(f estimate.Frame) []string {
	out := slices.Clone(f.Notes)
	for _, n := range f.Needs {
		if n.Notes != "" {
			out = append(out, roleNames[n.Role]+": "+n.Notes)
		}
	}
	for _, x := range f.Pieces {
		if x.Misses != "" {
			out = append(out, "nails of the "+x.Name+": "+x.Misses)
		}
	}
	if bored := slices.ContainsFunc(f.Pieces, func(x estimate.FramePiece) bool { return x.Bored > 0 && x.Screws == 0 }); bored {
		out = append(out, "no pocket screws are counted in this detail: bore no ends")
	}
	for _, m := range f.Marks {
		if m.Joint > f.Gap.Legs {
			out = append(out, fmt.Sprintf("%s: the joint at the legs is up to %s where the unit is narrowest", m.Mark, w.u.Shop(m.Joint)))
		}
	}
	return out
}
