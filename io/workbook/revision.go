package workbook

import (
	"fmt"
	"strings"

	"sillwright/estimate/measure"
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
	w := &revisionWriter{in: in, u: unitsOf(job.MM)}
	w.out = newOut(docProps{Title: "Revision of " + job.Name, Subject: "What changed between two estimates of a job", Description: "Written by Sillwright from " + in.Was.File + " and " + in.Now.File})
	w.out.paper, w.out.header = job.Paper, "Revision  "+strings.TrimSpace(job.Number+"  "+job.Name)
	w.out.caution = "Both estimates as edited, worked out again"
	for _, s := range []struct {
		page **page
		name string
	}{{&w.price, "Price"}, {&w.marks, "Marks"}, {&w.buy, "To buy"}, {&w.cut, "Cut already"}, {&w.notes, "Notes"}} {
		if in.Was.Ordered && (s.page == &w.marks || s.page == &w.cut) {
			continue // an order has no marks
		}
		*s.page = w.out.sheet(s.name)
		(*s.page).landscape(s.page != &w.price)
	}
	if !in.Was.Ordered {
		w.marksSheet()
		w.cutSheet()
	}
	w.buySheet()
	w.priceSheet()
	w.notesSheet()
	return w.out.bytes()
}

// revisionWriter builds a comparison of two estimates of a job.
type revisionWriter struct {
	in  RevisionInput
	out *out
	u   units

	price, marks, buy, cut, notes *page

	moreCost, leftWorth string // cells on To buy
}

func (w *revisionWriter) top(p *page, head, how string) {
	p.row(str(title, head))
	p.row(str(subtitle, how))
	p.skip(1)
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
	p.row(str(title, "What changed"))
	p.row(str(subtitle, strings.TrimSpace(now.Book.Job.Number+"  "+now.Book.Job.Name)))
	p.row(str(subtitle, fmt.Sprintf("Earlier: %s  |  later: %s", was.File, now.File)))
	p.row(str(note, "Which is the earlier: "+w.in.How+"."))
	p.merge(4, 1, 4, 5)
	p.skip(1)
	p.row(str(section, "What follows"))
	p.row(strs(heading, "", "Lines", "Worth", "Where", "")...)
	w.followRows()
	if was.Ordered {
		p.banner(note, "An order has no marks: what was cut before, from other boards, is asked for again.", 5)
	} else {
		w.priceRows()
	}
	p.skip(1)
	from := p.row(str(section, "Materials by class"))
	p.row(strs(heading, "", "Earlier", "Later", "Difference", "Of the earlier")...)
	w.classRows()
	p.keepTogether(from, p.next())
	p.widths(36, 15, 15, 15, 15)
}

// priceRows build both prices up, and draw them.
func (w *revisionWriter) priceRows() {
	p := w.price
	p.skip(1)
	p.row(str(section, "Price, "+w.in.Now.Book.Job.Currency))
	header := p.row(strs(heading, "", "Earlier", "Later", "Difference", "Of the earlier")...)
	first := p.next()
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
			w.price.banner(note, fmt.Sprintf("The %s total is without: %s.", s.which, strings.Join(gaps, "; ")), 5)
		}
	}
}

// change returns two cells of a row, their difference and its part of the
// earlier; what is missing in one has no difference.
func (w *revisionWriter) change(was, now cell, l look) []cell {
	row := w.price.next()
	difference := fmt.Sprintf("IF(COUNT(B%d:C%d)=2,C%d-B%d,\"%s\")", row, row, row, row, none)
	part := fmt.Sprintf("IF(AND(ISNUMBER(D%d),N(B%d)>0),ROUND(ROUND(D%d/B%d,8),6),\"%s\")", row, row, row, row, none)
	a, have := was.v.(measure.Money)
	b, got := now.v.(measure.Money)
	if !have || !got {
		return []cell{was, now, formula(difference, none, textRight), formula(part, none, textRight)}
	}
	of := formula(part, none, textRight)
	if v := pricing.PartOf(b-a, a); a > 0 && v.Set {
		of = formula(part, v.V, percent)
	}
	return []cell{was, now, formula(difference, b-a, l), of}
}

func (w *revisionWriter) partRow(l partLine) {
	p := w.price
	a, b := num(l.of(w.in.Was.Plan.Bid), money), num(l.of(w.in.Now.Plan.Bid), money)
	if l.sum > 0 {
		row := p.next()
		a, b = formula(sumOf("B", row-l.sum, row-1), a.v, total), formula(sumOf("C", row-l.sum, row-1), b.v, total)
		p.row(append([]cell{str(totalText, l.label)}, w.change(a, b, total)...)...)
		return
	}
	if l.label == labourPart {
		a, b = moneyCell(a.v.(measure.Money), w.in.Was.HasLabour()), moneyCell(b.v.(measure.Money), w.in.Now.HasLabour())
	}
	p.row(append([]cell{str(text, l.label)}, w.change(a, b, money)...)...)
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
		p.row(append([]cell{str(text, was[i].Class)}, w.change(partCell(was[i]), partCell(now[i]), money)...)...)
	}
}

// partCell writes the cost of a class: of one that is not needed it is nothing,
// of one that is not complete it is not known.
func partCell(c compare.ClassCost) cell {
	if len(c.Missing) > 0 {
		return str(textRight, "not complete")
	}
	return num(c.Cost, money)
}

// followRows says what has to be done.
func (w *revisionWriter) followRows() {
	p, s := w.price, w.in.Revision.Sums()
	if !w.in.Was.Ordered {
		p.row(str(text, "Changes at the marks"), num(len(w.in.Revision.Marks), count), blank(text), linkTo("Marks!A1", "Marks"), blank(text))
		p.row(str(text, "Pieces cut and not as asked now"), num(s.Wrong, count), blank(text), linkTo("'Cut already'!A1", "Cut already"), blank(text))
	}
	p.row(str(text, "More to buy, before delivery and tax"), num(s.More, count), formula(w.moreCost, s.MoreCost, money), linkTo("'To buy'!A1", "To buy"), blank(text))
	p.row(str(text, "Left over, at the price paid"), num(s.Left, count), formula(w.leftWorth, s.LeftWorth, money), linkTo("'To buy'!A1", "To buy"), blank(text))
}

// picture draws both prices by their parts.
func (w *revisionWriter) picture(header, first int) {
	p := w.price
	most := max(w.in.Was.Plan.Bid.Total, w.in.Now.Plan.Bid.Total)
	if most <= 0 {
		return
	}
	step, end := axisOf(float64(most) / 100)
	c := barChart{width: 660, height: picturePixels(2) + legendRoom, about: "Parts of the earlier and the later price", axis: w.in.Now.Book.Job.Currency, format: "#,##0",
		bars: p.span(header, 2, header, 3), max: end, step: step, legend: true}
	for i, l := range bidParts() {
		if l.sum == 0 {
			k := len(c.series)
			c.series = append(c.series, barSeries{name: p.ref(first+i, 1), values: p.span(first+i, 2, first+i, 3), fill: classFills[k%len(classFills)], labels: []string{"", ""}})
		}
	}
	p.below(c)
}

// marksSheet lists what is different at the marks.
func (w *revisionWriter) marksSheet() {
	p := w.marks
	how := "Sizes in inches"
	if w.u.mm {
		how = "Sizes in millimetres"
	}
	w.top(p, "Marks", how+", width first. Blank: it has none.")
	p.row(strs(heading, "Mark", "Change", "What", "Earlier", "Later")...)
	for _, m := range w.in.Revision.Marks {
		p.row(str(text, m.Mark), str(textCentre, m.Sort), str(text, m.What), str(textWrap, m.Was), str(textWrap, m.Now))
	}
	if len(w.in.Revision.Marks) == 0 {
		p.row(str(text, none), str(textCentre, "none"))
	}
	p.finish("MarkChanges", compareHeader, 5, 1)
	p.widths(14, 12, 15, 46, 46)
}

// buySheet writes what there is and what is needed, line by line.
func (w *revisionWriter) buySheet() {
	p := w.buy
	w.top(p, "To buy", "What the earlier estimate buys and had on hand, and what the later one asks for of it, with what was cut for nothing. Planned on those boards, rolls and packs first; what the later estimate has on hand is not counted again.")
	p.row(strs(heading, "Item", "Name", "Supplier", "Code", "Pack", "There is", "Needed", "To buy", "Left over", "Price", "To pay", "Worth of what is left", "State")...)
	for _, b := range w.in.Revision.Buy {
		w.buyRow(b)
	}
	if len(w.in.Revision.Buy) == 0 {
		p.row(str(text, "nothing is bought"))
	}
	last := p.next() - 1
	p.finish("BuyChanges", compareHeader, 13, 1)
	sums := w.in.Revision.Sums()
	cells := make([]cell, 13)
	for i := range cells {
		cells[i] = blank(totalText)
	}
	cells[0] = str(totalText, "Before delivery and tax")
	cells[10], cells[11] = formula(sumOf("K", compareFirst, last), sums.MoreCost, total), formula(sumOf("L", compareFirst, last), sums.LeftWorth, total)
	row := p.row(cells...)
	w.moreCost, w.leftWorth = p.ref(row, 11), p.ref(row, 12)
	p.highlight(span(compareFirst, 8, last, 8), fmt.Sprintf("AND(ISNUMBER($H%d),$H%d>0)", compareFirst, compareFirst), warn)
	p.widths(20, 32, 26, 13, 11, 9, 9, 9, 9, 10, 12, 12, 18)
}

func (w *revisionWriter) buyRow(b compare.BuyChange) {
	p, row := w.buy, w.buy.next()
	if b.State != "" {
		p.row(str(text, b.Item.Key), str(textWrap, b.Item.Name), str(text, none), str(text, none), str(text, none), str(textRight, none), str(textRight, none), str(textRight, none), str(textRight, none), str(textRight, none), str(textRight, none), str(textRight, none), str(bad, b.State))
		return
	}
	supplier, price, state := nonEmpty(b.Supplier, "on hand"), str(textRight, none), "the same"
	if b.Price.Set {
		price = num(b.Price.V, unitPrice)
	}
	switch {
	case b.More > 0:
		state = "buy"
	case b.Left > 0:
		state = "left over"
	}
	worth := func(col string, v measure.Money) cell {
		return formula(fmt.Sprintf("IF(ISNUMBER(J%d),%s,0)", row, cents(fmt.Sprintf("%s%d*N(J%d)", col, row, row), extensionDecimals)), v, money)
	}
	p.row(str(text, b.Item.Key), str(textWrap, b.Item.Name), str(text, supplier), str(text, b.Code), str(text, b.Content), num(b.Had, count), num(b.Needed(), count),
		formula(fmt.Sprintf("MAX(0,G%d-F%d)", row, row), b.More, count), formula(fmt.Sprintf("MAX(0,F%d-G%d)", row, row), b.Left, count), price, worth("H", b.MoreCost()), worth("I", b.LeftWorth()),
		formula(fmt.Sprintf("IF(H%d>0,\"buy\",IF(I%d>0,\"left over\",\"the same\"))", row, row), state, textCentre))
}

// cutSheet lists the pieces that were cut and serve no more.
func (w *revisionWriter) cutSheet() {
	p := w.cut
	w.top(p, "Cut already, and not as asked now", "Pieces of trim frames whose mark has the status cut or hung.")
	unit := "Length, in"
	if w.u.mm {
		unit = "Length, mm"
	}
	p.row(strs(heading, "Mark", "Piece", "Item", unit, "Pieces", "Asked for now", "What it means", "How sure")...)
	for _, c := range w.in.Revision.Cut {
		now := none
		if c.Now.Set {
			now = w.u.shop(c.Now.V)
		}
		sure := str(bad, "cut")
		if !c.Sure {
			sure = str(warn, "look")
		}
		p.row(str(text, c.Mark), str(text, c.Piece), str(text, c.Item), str(textRight, w.u.shop(c.Length)), num(c.Count, count), str(textRight, now), str(textWrap, cutWords(c)), sure)
	}
	if len(w.in.Revision.Cut) == 0 {
		p.row(str(text, "none"))
	}
	p.finish("WrongCuts", compareHeader, 8, 1)
	p.skip(1)
	p.banner(note, "cut: so says the earlier estimate. look: only the later one says so; it was cut by the earlier list, or by a measurement since.", 8)
	p.widths(14, 14, 20, 14, 9, 15, 46, 12)
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
	w.notes.problems(compare.Notes(sides, w.u.mm))
	w.notes.widths(34, 12, 10, 90)
}
