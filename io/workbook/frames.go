package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
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
func (w *writer) framesSheet() {
	p := w.frames
	p.landscape(false)
	w.top(p, "Frames", "A card for each distinct trim frame. Tick what is cut. Lengths are over the long points of a mitre; saw cuts are not in them.")
	frames := w.trim
	for _, f := range frames {
		begin := p.next()
		w.card(f)
		p.keepTogether(begin, p.next())
		p.skip(1)
	}
	if len(frames) == 0 {
		p.row(str(text, "No opening has trim."))
	}
	p.widths(cardWidths...)
	p.printCols(cardCols)
	p.freeze(masterRow, 0)
}

// flags say the state of a frame so that nobody overlooks it; ticks stand in
// place of the box to tick where there is nothing to cut.
var (
	frameFlags = map[estimate.FrameState]string{
		estimate.FrameToCut: "TO CUT", estimate.FrameHeld: "HELD", estimate.FrameCut: "CUT", estimate.FrameHung: "HUNG",
	}
	frameTicks = map[estimate.FrameState]string{estimate.FrameHeld: "held", estimate.FrameCut: "cut", estimate.FrameHung: "hung"}
)

// card writes the card of a frame.
func (w *writer) card(f estimate.Frame) {
	p := w.frames
	head := make([]cell, cardCols)
	for i := range head {
		head[i] = blank(bigHead)
		if i+1 >= cardEnds {
			head[i] = blank(flag)
		}
	}
	waits := waitsOf(f)
	head[0].v, head[cardEnds-1].v = f.MarksText(), flagWords(f.State, waits)
	row := p.row(head...)
	p.merge(row, 1, row, cardNumber)
	p.merge(row, cardEnds, row, cardCols)
	for _, s := range heldLines(waits) {
		p.banner(big, s, cardCols)
	}
	frames := w.framesCell(f)
	facts := []fact{{"Frames", frames}}
	for _, x := range w.frameFacts(f) {
		facts = append(facts, fact{x[0], str(big, x[1])})
	}
	at := w.facts(facts)
	w.cardPieces(f, at)
	for _, s := range w.frameChecks(f) {
		w.cardLine(tickCell(f.State), s)
	}
	for _, s := range w.frameNotes(f) {
		w.cardLine(blank(text), sentence(s))
	}
	w.frameDrawing(f)
}

// fact is a line of a card: a name and what it is.
type fact struct {
	name string
	is   cell
}

// facts writes facts side by side, two a row, and returns the cell of the
// first.
func (w *writer) facts(facts []fact) (first string) {
	p := w.frames
	sides := [2][3]int{{1, cardPiece, cardSaw}, {cardNumber, cardEnds, cardCols}} // label, value, last
	first = absRef(p.next(), cardPiece)
	for pair := range slices.Chunk(facts, len(sides)) {
		cells := make([]cell, cardCols)
		for i := range cells {
			cells[i] = blank(big)
		}
		row := p.next()
		for k, x := range pair {
			cells[sides[k][0]-1], cells[sides[k][1]-1] = str(text, x.name), x.is
			for col := sides[k][1] + 1; col <= sides[k][2]; col++ {
				cells[col-1] = blank(x.is.look)
			}
		}
		p.row(cells...)
		p.merge(row, 1, row, cardAll)
		for _, s := range sides {
			p.merge(row, s[1], row, s[2])
		}
	}
	return first
}

// cardLine writes a sentence behind a box or none.
func (w *writer) cardLine(box cell, s string) {
	p := w.frames
	cells := append([]cell{box, str(big, s)}, slices.Repeat([]cell{blank(big)}, cardCols-2)...)
	row := p.row(cells...)
	p.merge(row, 2, row, cardCols)
}

// tickCell is the box before what is done to a frame.
func tickCell(state estimate.FrameState) cell {
	if done := frameTicks[state]; done != "" {
		return str(fine, done)
	}
	return blank(tick)
}

// framesCell counts the frames of a card: the Qty of its marks, where a whole
// mark is on it.
func (w *writer) framesCell(f estimate.Frame) cell {
	var terms []string
	for _, m := range f.Marks {
		if o := w.in.Takeoff.Openings[m.Opening]; o.Piece > 0 || o.Apart > 0 {
			return num(f.Count, bigCount)
		}
		terms = append(terms, w.qtyCell(m.Opening))
	}
	if len(terms) > mostTerms {
		return num(f.Count, bigCount)
	}
	return formula(strings.Join(terms, "+"), f.Count, bigCount)
}

// mostTerms is how many marks of one frame are summed live; a cell holds some
// hundreds, and who has more runs the estimate again.
const mostTerms = 100

// cardPieces writes the pieces of a frame; frames is the cell that counts them.
func (w *writer) cardPieces(f estimate.Frame, frames string) {
	p := w.frames
	heads := []string{"", "In one", "In all", "Piece", "Board", "Set the saw", w.u.name(estimate.Lengthwise), "Ends", "Ends to prime", "Screws at an end", "Nails"}
	p.height(p.row(strs(heading, heads...)...), heightFor(2, &drawings[heading]))
	for _, x := range f.Pieces {
		row := p.next()
		cells := []cell{
			tickCell(f.State), num(x.Count, bigCount), formula(fmt.Sprintf("%s*%s", ref(row, cardOne), frames), x.Count*f.Count, bigCount),
			str(big, string(x.Name)), str(textWrap, x.Item+"\n"+w.u.shop(x.Width)+" x "+w.u.shop(x.Thickness)),
			str(bigRight, w.u.shop(x.Length)), num(w.u.length(x.Length), inches), str(textWrap, endWords(x)),
			num(x.Prime*x.Count, bigCount), blank(bigCount), str(textCentre, ""),
		}
		if x.Screws > 0 {
			cells[cardScrews-1].v = x.Screws
		}
		if x.Rows > 0 {
			cells[cardNails-1].v = fmt.Sprintf("%d x %d", x.Rows, x.PerRow)
		}
		p.row(cells...)
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
func flagWords(state estimate.FrameState, waits []wait) string {
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
		{"Goes round", w.u.size(f.Size)}, {"Joint", w.gapWords(f)},
		{"Outside", w.u.size(f.Outside)}, {"Made", made},
	}
	if len(f.MullCentres) > 0 {
		out = append(out, [2]string{"Mull centres", w.lengths(f.MullCentres) + " from " + f.MullFrom})
	}
	if f.Spreader > 0 {
		out = append(out, [2]string{"Spreader", w.u.shop(f.Spreader) + " between the feet"})
	}
	for _, n := range f.Needs {
		item, _ := w.in.Book.Items.Get(n.Item)
		out = append(out, [2]string{roleNames[n.Role], w.needWords(f, n, item)})
	}
	return out
}

// roleNames are short enough for a card.
var roleNames = map[estimate.FrameRole]string{
	estimate.RoleScrews: "Screws", estimate.RoleAdhesive: "Glue", estimate.RoleCorners: "Corners", estimate.RolePrimer: "Primer", estimate.RoleNails: "Nails", estimate.RoleOther: "Also",
}

// needWords says what of an item one frame takes.
func (w *writer) needWords(f estimate.Frame, n estimate.FrameNeed, item estimate.Item) string {
	s := n.Item
	if item.Length > 0 {
		s += ", " + w.u.shop(item.Length) + " long"
	}
	switch {
	case n.Role == estimate.RolePrimer:
		return s
	case n.Dim != estimate.Each:
		s = fmt.Sprintf("%s %s of %s", shownNumber(w.u.of(n.Dim, n.Amount), formatNumber), w.u.name(n.Dim), s)
	case n.Role == estimate.RoleAdhesive:
		s = fmt.Sprintf("%s, %d joints", s, n.Amount)
	default:
		s = fmt.Sprintf("%d of %s", n.Amount, s)
	}
	if n.Role == estimate.RoleNails && item.Length < f.Nail {
		s += "; wanted at least " + w.u.shop(f.Nail)
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

// coarse writes a length that is only compared, to 1/16 in.
func (u units) coarse(l measure.Length) string {
	if u.mm {
		return measure.FormatMM(l)
	}
	return measure.FormatInches(l, 16)
}

// lengths lists lengths as the tape shows them.
func (w *writer) lengths(ls []measure.Length) string {
	out := make([]string, len(ls))
	for i, l := range ls {
		out[i] = w.u.shop(l)
	}
	return strings.Join(out, ", ")
}

// gapWords says how far the boards stand off what they go round.
func (w *writer) gapWords(f estimate.Frame) string {
	head, legs, bottom := w.u.shop(f.Gap.Head), w.u.shop(f.Gap.Legs), w.u.shop(f.Gap.Bottom)
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
		fmt.Sprintf("Square: both diagonals %s, corner to corner, equal within %s", w.u.coarse(f.Diagonal), w.u.shop(estimate.SquareTolerance)),
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
			out = append(out, "nails of the "+string(x.Name)+": "+x.Misses)
		}
	}
	if bored := slices.ContainsFunc(f.Pieces, func(x estimate.FramePiece) bool { return x.Bored > 0 && x.Screws == 0 }); bored {
		out = append(out, "no pocket screws are counted in this detail: bore no ends")
	}
	for _, m := range f.Marks {
		if m.Joint > f.Gap.Legs {
			out = append(out, fmt.Sprintf("%s: the joint at the legs is up to %s where the unit is narrowest", m.Mark, w.u.shop(m.Joint)))
		}
	}
	return out
}
