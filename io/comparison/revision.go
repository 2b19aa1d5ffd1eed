package comparison

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// RevisionInput is two estimates of one job, and what changed between them.
// Units, currency and paper are those of the later one.
type RevisionInput struct {
	Was, Now compare.Side
	How      string // how it is known which is the earlier one
	Revision compare.Revision
}

// Revision returns a workbook of what changed between two estimates of a job:
// in money, in the marks, in what there is to buy, and what was cut already and
// serves no more. The same input gives the same bytes.
func Revision(in RevisionInput) ([]byte, error) {
	job := in.Now.Book.Job
	w := &revisionWriter{in: in, u: estimate.UnitsOf(job.MM)}
	w.out = xlsx.New(xlsx.Properties{Title: "Revision of " + job.Name, Subject: "What changed between two estimates of a job", Description: "Written by Sillwright from " + in.Was.File + " and " + in.Now.File})
	w.out.Paper, w.out.Header = job.Paper, "Revision  "+strings.TrimSpace(job.Number+"  "+job.Name)
	w.out.Footer = "Both estimates as edited, worked out again"
	for _, s := range []struct {
		page **xlsx.Sheet
		name string
	}{{&w.price, "Price"}, {&w.marks, "Marks"}, {&w.buy, "To buy"}, {&w.cut, "Cut already"}, {&w.notes, "Notes"}} {
		if in.Was.Ordered && (s.page == &w.marks || s.page == &w.cut) {
			continue // an order has no marks
		}
		*s.page = w.out.AddSheet(s.name)
		(*s.page).Landscape(s.page != &w.price)
	}
	if !in.Was.Ordered {
		w.marksSheet()
		w.cutSheet()
	}
	w.buySheet()
	w.priceSheet()
	w.notesSheet()
	return w.out.Bytes()
}

// revisionWriter builds a comparison of two estimates of a job.
type revisionWriter struct {
	in  RevisionInput
	out *xlsx.Book
	u   estimate.Units

	price, marks, buy, cut, notes *xlsx.Sheet

	moreCost, leftWorth string // cells on To buy
}

func (w *revisionWriter) top(p *xlsx.Sheet, head, how string) {
	p.Row(xlsx.Str(xlsx.Title, head))
	p.Row(xlsx.Str(xlsx.Subtitle, how))
	p.Skip(1)
}

// partLine is a line of the price: a part, or a sum over the lines from first.
type partLine struct {
	label string
	of    func(pricing.Bid) measure.Money
	sum   int // lines above that it sums, 0 = it is a part
}

// bidParts builds a price up; every sum stands below its parts, and is the first
// part of the next.
func bidParts() []partLine {
	return []partLine{
		{"Materials", func(b pricing.Bid) measure.Money { return b.Materials }, 0},
		{"Delivery", func(b pricing.Bid) measure.Money { return b.Delivery }, 0},
		{"Windows and doors", func(b pricing.Bid) measure.Money { return b.Units }, 0},
		{"Cost lines", func(b pricing.Bid) measure.Money { return b.Costs }, 0},
		{labourPart, func(b pricing.Bid) measure.Money { return b.Labour }, 0},
		{"Sales tax", func(b pricing.Bid) measure.Money { return b.Tax }, 0},
		{"Direct cost", func(b pricing.Bid) measure.Money { return b.Direct }, 6},
		{"Overhead", func(b pricing.Bid) measure.Money { return b.Overhead }, 0},
		{"Contingency", func(b pricing.Bid) measure.Money { return b.Contingency }, 0},
		{"Cost", func(b pricing.Bid) measure.Money { return b.Cost }, 3},
		{"Profit", func(b pricing.Bid) measure.Money { return b.Profit }, 0},
		{"Total", func(b pricing.Bid) measure.Money { return b.Total }, 2},
	}
}

// priceSheet answers in one look what the change comes to.
func (w *revisionWriter) priceSheet() {
	p, was, now := w.price, w.in.Was, w.in.Now
	p.Row(xlsx.Str(xlsx.Title, "What changed"))
	p.Row(xlsx.Str(xlsx.Subtitle, strings.TrimSpace(now.Book.Job.Number+"  "+now.Book.Job.Name)))
	p.Row(xlsx.Str(xlsx.Subtitle, fmt.Sprintf("Earlier: %s  |  later: %s", was.File, now.File)))
	p.Row(xlsx.Str(xlsx.Note, "Which is the earlier: "+w.in.How+"."))
	p.Merge(4, 1, 4, 5)
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "What follows"))
	p.Row(xlsx.Strs(xlsx.Heading, "", "Lines", "Worth", "Where", "")...)
	w.followRows()
	if was.Ordered {
		p.Banner(xlsx.Note, "An order has no marks: what was cut before, from other boards, is asked for again.", 5)
	} else {
		w.priceRows()
	}
	p.Skip(1)
	from := p.Row(xlsx.Str(xlsx.Section, "Materials by class"))
	p.Row(xlsx.Strs(xlsx.Heading, "", "Earlier", "Later", "Difference", "Of the earlier")...)
	w.classRows()
	p.KeepTogether(from, p.Next())
	p.Widths(36, 15, 15, 15, 15)
}

// priceRows build both prices up, and draw them.
func (w *revisionWriter) priceRows() {
	p := w.price
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Price, "+w.in.Now.Book.Job.Currency))
	header := p.Row(xlsx.Strs(xlsx.Heading, "", "Earlier", "Later", "Difference", "Of the earlier")...)
	first := p.Next()
	for _, l := range bidParts() {
		w.partRow(l)
	}
	w.gapNotes()
	w.picture(header, first)
}

// gapNotes says what a total leaves out.
func (w *revisionWriter) gapNotes() {
	for _, s := range []struct {
		which string
		side  compare.Side
	}{{"earlier", w.in.Was}, {"later", w.in.Now}} {
		if gaps := s.side.Gaps(); len(gaps) > 0 {
			w.price.Banner(xlsx.Note, fmt.Sprintf("The %s total is without: %s.", s.which, strings.Join(gaps, "; ")), 5)
		}
	}
}

// change returns two cells of a row, their difference and its part of the
// earlier; what is missing in one has no difference.
func (w *revisionWriter) change(was, now xlsx.Cell, l xlsx.Look) []xlsx.Cell {
	row := w.price.Next()
	difference := fmt.Sprintf("IF(COUNT(B%d:C%d)=2,C%d-B%d,\"%s\")", row, row, row, row, none)
	part := fmt.Sprintf("IF(AND(ISNUMBER(D%d),N(B%d)>0),ROUND(ROUND(D%d/B%d,8),6),\"%s\")", row, row, row, row, none)
	a, have := was.V.(measure.Money)
	b, got := now.V.(measure.Money)
	if !have || !got {
		return []xlsx.Cell{was, now, xlsx.Formula(difference, none, xlsx.TextRight), xlsx.Formula(part, none, xlsx.TextRight)}
	}
	of := xlsx.Formula(part, none, xlsx.TextRight)
	if v := pricing.PartOf(b-a, a); a > 0 && v.Set {
		of = xlsx.Formula(part, v.V, xlsx.Percent)
	}
	return []xlsx.Cell{was, now, xlsx.Formula(difference, b-a, l), of}
}

func (w *revisionWriter) partRow(l partLine) {
	p := w.price
	a, b := xlsx.Num(l.of(w.in.Was.Plan.Bid), xlsx.Money), xlsx.Num(l.of(w.in.Now.Plan.Bid), xlsx.Money)
	if l.sum > 0 {
		row := p.Next()
		a, b = xlsx.Formula(formula.SumOf("B", row-l.sum, row-1), a.V, xlsx.Total), xlsx.Formula(formula.SumOf("C", row-l.sum, row-1), b.V, xlsx.Total)
		p.Row(append([]xlsx.Cell{xlsx.Str(xlsx.TotalText, l.label)}, w.change(a, b, xlsx.Total)...)...)
		return
	}
	if l.label == labourPart {
		a, b = moneyCell(a.V.(measure.Money), w.in.Was.HasLabour()), moneyCell(b.V.(measure.Money), w.in.Now.HasLabour())
	}
	p.Row(append([]xlsx.Cell{xlsx.Str(xlsx.Text, l.label)}, w.change(a, b, xlsx.Money)...)...)
}

// labourPart is a part that a price may not have.
const labourPart = "Labour"

// classRows writes what is bought of each class.
func (w *revisionWriter) classRows() {
	p := w.price
	was, now := w.in.Was.Classes(), w.in.Now.Classes()
	for i := range was {
		if was[i].Items+now[i].Items == 0 {
			continue
		}
		p.Row(append([]xlsx.Cell{xlsx.Str(xlsx.Text, was[i].Class)}, w.change(partCell(was[i]), partCell(now[i]), xlsx.Money)...)...)
	}
}

// partCell writes the cost of a class: of one that is not needed it is nothing,
// of one that is not complete it is not known.
func partCell(c compare.ClassCost) xlsx.Cell {
	if len(c.Missing) > 0 {
		return xlsx.Str(xlsx.TextRight, "not complete")
	}
	return xlsx.Num(c.Cost, xlsx.Money)
}

// followRows says what has to be done.
func (w *revisionWriter) followRows() {
	p, s := w.price, w.in.Revision.Sums()
	if !w.in.Was.Ordered {
		p.Row(xlsx.Str(xlsx.Text, "Changes at the marks"), xlsx.Num(len(w.in.Revision.Marks), xlsx.Count), xlsx.Blank(xlsx.Text), xlsx.LinkTo("Marks!A1", "Marks"), xlsx.Blank(xlsx.Text))
		p.Row(xlsx.Str(xlsx.Text, "Pieces cut and not as asked now"), xlsx.Num(s.Wrong, xlsx.Count), xlsx.Blank(xlsx.Text), xlsx.LinkTo("'Cut already'!A1", "Cut already"), xlsx.Blank(xlsx.Text))
	}
	p.Row(xlsx.Str(xlsx.Text, "More to buy, before delivery and tax"), xlsx.Num(s.More, xlsx.Count), xlsx.Formula(w.moreCost, s.MoreCost, xlsx.Money), xlsx.LinkTo("'To buy'!A1", "To buy"), xlsx.Blank(xlsx.Text))
	p.Row(xlsx.Str(xlsx.Text, "Left over, at the price paid"), xlsx.Num(s.Left, xlsx.Count), xlsx.Formula(w.leftWorth, s.LeftWorth, xlsx.Money), xlsx.LinkTo("'To buy'!A1", "To buy"), xlsx.Blank(xlsx.Text))
}

// picture draws both prices by their parts.
func (w *revisionWriter) picture(header, first int) {
	p := w.price
	most := max(w.in.Was.Plan.Bid.Total, w.in.Now.Plan.Bid.Total)
	if most <= 0 {
		return
	}
	step, end := xlsx.AxisOf(float64(most) / 100)
	c := xlsx.BarChart{Width: 660, Height: xlsx.PicturePixels(2) + legendRoom, About: "Parts of the earlier and the later price", Axis: w.in.Now.Book.Job.Currency, Format: "#,##0",
		Bars: p.Range(header, 2, header, 3), Max: end, Step: step, Legend: true}
	for i, l := range bidParts() {
		if l.sum == 0 {
			k := len(c.Series)
			c.Series = append(c.Series, xlsx.BarSeries{Name: p.Ref(first+i, 1), Values: p.Range(first+i, 2, first+i, 3), Fill: classFills[k%len(classFills)], Labels: []string{"", ""}})
		}
	}
	p.Below(c)
}

// marksSheet lists what is different at the marks.
func (w *revisionWriter) marksSheet() {
	p := w.marks
	how := "Sizes in inches"
	if w.u.MM {
		how = "Sizes in millimetres"
	}
	w.top(p, "Marks", how+", width first. Blank: it has none.")
	p.Row(xlsx.Strs(xlsx.Heading, "Mark", "Change", "What", "Earlier", "Later")...)
	for _, m := range w.in.Revision.Marks {
		p.Row(xlsx.Str(xlsx.Text, m.Mark), xlsx.Str(xlsx.TextCenter, m.Sort), xlsx.Str(xlsx.Text, m.What), xlsx.Str(xlsx.TextWrap, m.Was), xlsx.Str(xlsx.TextWrap, m.Now))
	}
	if len(w.in.Revision.Marks) == 0 {
		p.Row(xlsx.Str(xlsx.Text, none), xlsx.Str(xlsx.TextCenter, "none"))
	}
	p.Finish("MarkChanges", compareHeader, 5, 1)
	p.Widths(14, 12, 15, 46, 46)
}

// buySheet writes what there is and what is needed, line by line.
func (w *revisionWriter) buySheet() {
	p := w.buy
	w.top(p, "To buy", "What the earlier estimate buys and had on hand, and what the later one asks for of it, with what was cut for nothing. Planned on those boards, rolls and packs first; what the later estimate has on hand is not counted again.")
	p.Row(xlsx.Strs(xlsx.Heading, "Item", "Name", "Supplier", "Code", "Pack", "There is", "Needed", "To buy", "Left over", "Price", "To pay", "Worth of what is left", "State")...)
	for _, b := range w.in.Revision.Buy {
		w.buyRow(b)
	}
	if len(w.in.Revision.Buy) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "nothing is bought"))
	}
	last := p.Next() - 1
	p.Finish("BuyChanges", compareHeader, 13, 1)
	sums := w.in.Revision.Sums()
	cells := make([]xlsx.Cell, 13)
	for i := range cells {
		cells[i] = xlsx.Blank(xlsx.TotalText)
	}
	cells[0] = xlsx.Str(xlsx.TotalText, "Before delivery and tax")
	cells[10], cells[11] = xlsx.Formula(formula.SumOf("K", compareFirst, last), sums.MoreCost, xlsx.Total), xlsx.Formula(formula.SumOf("L", compareFirst, last), sums.LeftWorth, xlsx.Total)
	row := p.Row(cells...)
	w.moreCost, w.leftWorth = p.Ref(row, 11), p.Ref(row, 12)
	p.Highlight(formula.Range(compareFirst, 8, last, 8), fmt.Sprintf("AND(ISNUMBER($H%d),$H%d>0)", compareFirst, compareFirst), xlsx.Warn)
	p.Widths(20, 32, 26, 13, 11, 9, 9, 9, 9, 10, 12, 12, 18)
}

func (w *revisionWriter) buyRow(b compare.BuyChange) {
	p, row := w.buy, w.buy.Next()
	if b.State != "" {
		p.Row(xlsx.Str(xlsx.Text, b.Item.Key), xlsx.Str(xlsx.TextWrap, b.Item.Name), xlsx.Str(xlsx.Text, none), xlsx.Str(xlsx.Text, none), xlsx.Str(xlsx.Text, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.TextRight, none), xlsx.Str(xlsx.Bad, b.State))
		return
	}
	supplier, price, state := cmp.Or(b.Supplier, "on hand"), xlsx.Str(xlsx.TextRight, none), "the same"
	if b.Price.Set {
		price = xlsx.Num(b.Price.V, xlsx.UnitPrice)
	}
	switch {
	case b.More > 0:
		state = "buy"
	case b.Left > 0:
		state = "left over"
	}
	worth := func(col string, v measure.Money) xlsx.Cell {
		return xlsx.Formula(fmt.Sprintf("IF(ISNUMBER(J%d),%s,0)", row, formula.Cents(fmt.Sprintf("%s%d*N(J%d)", col, row, row), formula.ExtensionDecimals)), v, xlsx.Money)
	}
	p.Row(xlsx.Str(xlsx.Text, b.Item.Key), xlsx.Str(xlsx.TextWrap, b.Item.Name), xlsx.Str(xlsx.Text, supplier), xlsx.Str(xlsx.Text, b.Code), xlsx.Str(xlsx.Text, b.Content), xlsx.Num(b.Had, xlsx.Count), xlsx.Num(b.Needed(), xlsx.Count),
		xlsx.Formula(fmt.Sprintf("MAX(0,G%d-F%d)", row, row), b.More, xlsx.Count), xlsx.Formula(fmt.Sprintf("MAX(0,F%d-G%d)", row, row), b.Left, xlsx.Count), price, worth("H", b.MoreCost()), worth("I", b.LeftWorth()),
		xlsx.Formula(fmt.Sprintf("IF(H%d>0,\"buy\",IF(I%d>0,\"left over\",\"the same\"))", row, row), state, xlsx.TextCenter))
}

// cutSheet lists the pieces that were cut and serve no more.
func (w *revisionWriter) cutSheet() {
	p := w.cut
	w.top(p, "Cut already, and not as asked now", "Pieces of trim frames whose mark has the status cut or hung.")
	unit := "Length, in"
	if w.u.MM {
		unit = "Length, mm"
	}
	p.Row(xlsx.Strs(xlsx.Heading, "Mark", "Piece", "Item", unit, "Pieces", "Asked for now", "What it means", "How sure")...)
	for _, c := range w.in.Revision.Cut {
		now := none
		if c.Now.Set {
			now = w.u.Shop(c.Now.V)
		}
		sure := xlsx.Str(xlsx.Bad, "cut")
		if !c.Sure {
			sure = xlsx.Str(xlsx.Warn, "look")
		}
		p.Row(xlsx.Str(xlsx.Text, c.Mark), xlsx.Str(xlsx.Text, c.Piece), xlsx.Str(xlsx.Text, c.Item), xlsx.Str(xlsx.TextRight, w.u.Shop(c.Length)), xlsx.Num(c.Count, xlsx.Count), xlsx.Str(xlsx.TextRight, now), xlsx.Str(xlsx.TextWrap, cutWords(c)), sure)
	}
	if len(w.in.Revision.Cut) == 0 {
		p.Row(xlsx.Str(xlsx.Text, "none"))
	}
	p.Finish("WrongCuts", compareHeader, 8, 1)
	p.Skip(1)
	p.Banner(xlsx.Note, "cut: so says the earlier estimate. look: only the later one says so; it was cut by the earlier list, or by a measurement since.", 8)
	p.Widths(14, 14, 20, 14, 9, 15, 46, 12)
}

// cutWords says what a piece that was cut for nothing means.
func cutWords(c compare.WrongCut) string {
	switch {
	case c.Gone:
		return "the mark is dropped"
	case !c.Now.Set:
		return "more were cut than are asked for"
	case c.Now.V > c.Length:
		return "too short: cut anew"
	}
	return "too long: it may be cut down"
}

// notesSheet says what the figures leave out.
func (w *revisionWriter) notesSheet() {
	w.top(w.notes, "Notes", "In what the estimates are not alike, and where a file does not hold what it comes to.")
	sides := []compare.Side{w.in.Was, w.in.Now}
	if w.in.Was.Ordered {
		sides = sides[1:]
	}
	problems(w.notes, compare.Notes(sides, w.u.MM))
	w.notes.Widths(34, 12, 10, 90)
}
