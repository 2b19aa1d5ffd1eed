package workbook

import (
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/xlsx"
)

// cardWriter writes the cards of Frames. Their lines and drawings keep to the columns of
// the pieces.
type cardWriter struct {
	*writer
	p *xlsx.Sheet
	t *xlsx.Table[cardPiece]

	undrawn bool // the present card gets no drawing
}

// cardPiece is a piece of a frame, and the cell that counts the frames of its card.
type cardPiece struct {
	estimate.FramePiece
	frame    *estimate.Frame
	framesAt string
}

// cardColumns are the columns of a card. What is read at the saw is large.
func cardColumns(u estimate.Units, names func(item string) string) []xlsx.Column[cardPiece] {
	return []xlsx.Column[cardPiece]{
		{Key: "Tick", Width: 5, Cell: func(x cardPiece) xlsx.Cell { return tickCell(x.frame.State) }},
		{Head: "Per frame", Width: 7, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Num(x.Count, xlsx.BigCount) }},
		{Head: "Total", Width: 7, Cell: func(x cardPiece) xlsx.Cell {
			return xlsx.Formula("{Per frame}*"+x.framesAt, x.Count*x.frame.Count, xlsx.BigCount)
		}},
		{Head: "Piece", Width: 11, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Str(xlsx.Big, string(x.Name)) }},
		{Head: "Board", Width: 14, Cell: func(x cardPiece) xlsx.Cell {
			return xlsx.Str(xlsx.TextWrap, names(x.Item)+"\n"+u.Shop(x.Width)+" x "+u.Shop(x.Thickness))
		}},
		{Head: "Cut length", Width: 14, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Str(xlsx.BigRight, u.Shop(x.Length)) }},
		{Key: "Length", Head: u.Name(estimate.Lengthwise), Width: 9.5, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Num(u.Length(x.Length), xlsx.Inches) }},
		{Head: "Ends", Width: 29, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, endWords(x.FramePiece)) }},
		{Head: "Ends to prime", Width: 6.5, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Num(x.Prime*x.Count, xlsx.BigCount) }},
		{Head: "Screws per end", Width: 7.5, Cell: func(x cardPiece) xlsx.Cell {
			if x.Screws == 0 {
				return xlsx.Blank(xlsx.BigCount)
			}
			return xlsx.Num(x.Screws, xlsx.BigCount)
		}},
		{Head: "Nails", Width: 7.5, Cell: func(x cardPiece) xlsx.Cell { return xlsx.Str(xlsx.TextCenter, nailWords(x.FramePiece)) }},
	}
}

// framesSheet writes a card a distinct trim frame, for the clipboard at the saw.
func (w *writer) framesSheet(p *xlsx.Sheet) {
	p.Landscape(false)
	w.top(p, "Frames", "A card for each distinct trim frame. Tick what is cut. Lengths are to the long points of a miter; kerf is not in them.")
	p.Freeze(masterRow, 0)
	s := w.newCards(p)
	if words := NotDrawn(len(w.trim)); words != "" {
		s.t.Banner(xlsx.Note, capitalized(words)+".")
	}
	shop := estimate.WholePhase(w.work, estimate.PhaseShop)
	for _, words := range estimate.PhaseCautions(w.in.Book, w.in.Takeoff, shop) {
		s.t.Banner(xlsx.Note, "CAUTION  "+words)
	}
	for i, f := range w.trim {
		begin := p.Next()
		s.undrawn = i >= MaxDrawnFrames
		s.card(f)
		p.KeepTogether(begin, p.Next())
		p.Skip(1)
	}
	if len(w.trim) == 0 {
		s.t.Line(xlsx.Span{From: "Tick", Cell: xlsx.Str(xlsx.Text, "No opening has trim.")})
	}
}

// newCards begins the cards below what is written.
func (w *writer) newCards(p *xlsx.Sheet) *cardWriter {
	s := &cardWriter{writer: w, p: p, t: xlsx.NewTable(p, "FrameCards", cardColumns(w.u, w.shortName))}
	s.t.SetWidths()
	s.t.PrintOnly()
	s.t.NoHeader()
	return s
}

// card writes the card of a frame.
func (s *cardWriter) card(f estimate.Frame) {
	waits := waitsOf(f)
	s.t.Line(xlsx.Span{From: "Tick", To: "Length", Cell: xlsx.Str(xlsx.BigHead, f.MarksText())},
		xlsx.Span{From: "Ends", To: "Nails", Cell: xlsx.Str(xlsx.Flag, flagWords(f.State, waits))})
	for _, words := range heldLines(waits) {
		s.t.Banner(xlsx.Big, words)
	}
	framesAt := s.t.Cell(s.p.Next(), "Piece").Fixed() // the first fact
	s.facts(append([]fact{{"Frames", s.framesCell(f)}}, s.frameFacts(f)...))
	s.p.Height(s.t.HeaderAgain(), xlsx.HeadingHeight(2))
	for _, x := range f.Pieces {
		s.t.Row(cardPiece{x, &f, framesAt})
	}
	for _, words := range s.frameChecks(f) {
		s.sentence(tickCell(f.State), words)
	}
	for _, words := range s.frameNotes(f) {
		s.sentence(xlsx.Blank(xlsx.Text), capitalized(words))
	}
	s.drawing(f)
}

// fact is what a card says of a frame: a name and what it is.
type fact struct {
	name string
	is   xlsx.Cell
}

// label is the cell of a fact's name, blank where there is no fact.
func (f fact) label() xlsx.Cell {
	if f.name == "" {
		return xlsx.Blank(xlsx.Big)
	}
	return xlsx.Str(xlsx.Text, f.name)
}

// facts writes facts side by side, two a row.
func (s *cardWriter) facts(facts []fact) {
	if len(facts)%2 == 1 {
		facts = append(facts, fact{is: xlsx.Blank(xlsx.Big)})
	}
	for pair := range slices.Chunk(facts, 2) {
		left, right := pair[0], pair[1]
		s.t.Line(xlsx.Span{From: "Tick", To: "Total", Cell: left.label(), Under: xlsx.Big}, xlsx.Span{From: "Piece", To: "Cut length", Cell: left.is},
			xlsx.Span{From: "Length", Cell: right.label()}, xlsx.Span{From: "Ends", To: "Nails", Cell: right.is})
	}
}

// sentence writes a sentence behind a box or none.
func (s *cardWriter) sentence(box xlsx.Cell, words string) {
	s.t.Line(xlsx.Span{From: "Tick", Cell: box}, xlsx.Span{From: "Per frame", To: "Nails", Cell: xlsx.Str(xlsx.Big, words)})
}

// tickCell is the box before what is done to a frame.
func tickCell(state estimate.FrameState) xlsx.Cell {
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
	if len(terms) > maxTerms {
		return xlsx.Num(f.Count, xlsx.BigCount)
	}
	return xlsx.Formula(strings.Join(terms, "+"), f.Count, xlsx.BigCount)
}

// maxTerms is how many marks of one frame are summed live; a cell holds some
// hundreds, and who has more runs the estimate again.
const maxTerms = 100
