package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// OrderInput is an order that a supplier gets.
type OrderInput struct {
	Jobs   []string // names of the jobs it is for
	ShipTo []string // where it is delivered
	Job    estimate.Job
	Order  pricing.SupplierOrder
}

// Order returns an order as a workbook to print: what to pick and what it comes
// to, with boxes to tick on arrival; of several jobs what each bears, and the
// boards that were planned for all of them. The same input gives the same bytes.
func Order(in OrderInput) ([]byte, error) {
	job, supplier := in.Job, in.Order.Terms.Supplier
	o := newOut(docProps{Title: "Order to " + supplier, Subject: "Order of materials", Description: "Written by Sillwright for " + strings.Join(in.Jobs, ", ")})
	o.paper, o.header = job.Paper, "Order to "+supplier
	o.caution = "Check counts and lengths on arrival, before the driver leaves"
	p := o.sheet("Order")
	p.landscape(true)
	w := orderWriter{in: in, p: p, u: unitsOf(job.MM)}
	w.head()
	w.lines()
	w.tally()
	p.widths(7, 16, 36, 12, 8, 10, 11, 12, 8, 12, 18, 12)
	if len(in.Jobs) > 1 {
		shares := o.sheet("Shares")
		shares.landscape(true)
		w.shares(shares)
	}
	if len(in.Order.Plans) > 0 {
		boards := o.sheet("Boards")
		boards.landscape(true)
		w.boards(boards)
	}
	return o.bytes()
}

// orderWriter builds the sheets of an order.
type orderWriter struct {
	in          OrderInput
	p           *page
	u           units
	first, last int // rows of the lines
}

// head says who orders what from whom, for when and where.
func (w *orderWriter) head() {
	p, job := w.p, w.in.Job
	p.row(str(title, "Order to "+w.in.Order.Terms.Supplier))
	p.row(str(subtitle, "For "+strings.Join(w.in.Jobs, ", ")))
	p.skip(1)
	line := func(label, words string) {
		if words != "" {
			row := p.row(str(text, label), blank(text), str(text, words))
			p.merge(row, 1, row, 2)
		}
	}
	line("Date", dateWords(job))
	line("Ship to", strings.Join(w.in.ShipTo, "; "))
	if day := w.firstDay(); day.Set {
		line("Needed by", day.V.String())
	}
	if m := w.in.Order.Terms.MinimumOrder; m.Set && w.in.Order.Below {
		line("LOOK", fmt.Sprintf("below the minimum order of %s", m.V))
	}
	if slices.ContainsFunc(w.in.Order.Lines, func(l pricing.OrderLine) bool { return l.Offer.Invented }) {
		line("LOOK", "invented prices of a starter list: not for a real order")
	}
	p.skip(1)
}

// firstDay returns the first day on which something of the order is needed.
func (w *orderWriter) firstDay() estimate.Maybe[measure.Date] {
	var first estimate.Maybe[measure.Date]
	for _, l := range w.in.Order.Lines {
		if l.NeededBy.Set && (!first.Set || l.NeededBy.V < first.V) {
			first = l.NeededBy
		}
	}
	return first
}

// lines writes what is ordered, and what it comes to.
func (w *orderWriter) lines() {
	p, o := w.p, w.in.Order
	header := p.row(strs(heading, w.heads()...)...)
	p.titleRows(header, header)
	w.first = p.next()
	for _, l := range o.Lines {
		row := p.next()
		day := blank(date)
		if l.NeededBy.Set {
			day.v = l.NeededBy.V
		}
		cells := append(make([]cell, 0, 12), blank(tick), str(text, l.Offer.Code), str(textWrap, nonEmpty(l.Offer.Description, l.Item.Name)), str(text, l.Offer.Content), num(l.Count, count), str(text, l.Offer.Unit),
			num(l.Offer.Price, unitPrice), formula(cents(fmt.Sprintf("E%d*G%d", row, row), extensionDecimals), l.Extension, money), str(text, string(l.Visit)), day, str(text, l.Offer.Item), str(text, l.Item.CostCode))
		p.row(cells[:len(w.heads())]...)
	}
	w.last = p.next() - 1
	p.table("OrderLines", header, w.last, 1, len(w.heads()))
	sum := func(label, f string, v measure.Money, l look, free, rate cell) {
		words := text
		if l == total {
			words = totalText
		}
		cells := slices.Repeat([]cell{blank(words)}, len(w.heads()))
		cells[2], cells[5], cells[6], cells[7] = str(words, label), free, rate, formula(f, v, l)
		p.row(cells...)
	}
	at := p.next()
	sum("Subtotal", sumOf("H", w.first, w.last), o.Materials, total, blank(totalText), blank(totalText))
	free, fee := blank(money), num(o.Terms.DeliveryFee.V, money)
	if o.Terms.FreeOver.Set {
		free.v = o.Terms.FreeOver.V
	}
	sum("Delivery: free from, else", fmt.Sprintf("IF(OR(H%d=0,AND(F%d<>\"\",H%d>=F%d)),0,G%d)", at, at+1, at, at+1, at+1), o.Delivery, money, free, fee)
	sum("Sales tax", w.taxFormula(at), o.Tax, money, blank(text), num(w.in.Job.Tax, percent))
	sum("Total", fmt.Sprintf("SUM(H%d:H%d)", at, at+2), o.Total(), total, blank(totalText), blank(totalText))
}

// taxFormula returns the tax of an order whose subtotal stands in a row, the
// delivery and the tax below it: rounded at once, or on every line.
func (w *orderWriter) taxFormula(at int) string {
	rate := fmt.Sprintf("G%d", at+2)
	delivery := ""
	if w.in.Job.TaxDelivery {
		delivery = fmt.Sprintf("+H%d", at+1)
	}
	if !w.in.Job.TaxByItem {
		return cents(fmt.Sprintf("(H%d%s)*%s", at, delivery, rate), rateDecimals)
	}
	f := fmt.Sprintf("SUMPRODUCT(ROUND(ROUND(H%d:H%d*%s,%d),2))", w.first, w.last, rate, rateDecimals)
	if delivery != "" {
		f += "+" + cents(fmt.Sprintf("H%d*%s", at+1, rate), rateDecimals)
	}
	return f
}

// heads are the columns of the lines; the cost code only where there is one.
func (w *orderWriter) heads() []string {
	heads := []string{"Came", "Code", "Description", "Pack", "Count", "Unit", "Price, " + w.in.Job.Currency, "Extension", "Visit", "Needed by", "Item"}
	if slices.ContainsFunc(w.in.Order.Lines, func(l pricing.OrderLine) bool { return l.Item.CostCode != "" }) {
		heads = append(heads, "Cost code")
	}
	return heads
}

// tally writes the boards of each profile by length.
func (w *orderWriter) tally() {
	p := w.p
	var rows [][]cell
	for i := 0; i < len(w.in.Order.Lines); {
		l, n := w.in.Order.Lines[i], 0
		var words []string
		boards, length := int64(0), measure.Length(0)
		for ; i+n < len(w.in.Order.Lines) && w.in.Order.Lines[i+n].Offer.Item == l.Offer.Item; n++ {
			x := w.in.Order.Lines[i+n]
			words = append(words, fmt.Sprintf("%d of %s", x.Count, x.Offer.Content))
			boards += x.Count
			length += measure.Length(x.Count * x.Offer.Amount)
		}
		if l.Item.Cut {
			rows = append(rows, []cell{blank(tick), str(text, l.Offer.Item), str(textWrap, strings.Join(words, ", ")), blank(text), num(boards, count), str(text, "pieces"), num(w.u.farOf(length), number), str(text, w.u.far())})
		}
		i += n
	}
	if len(rows) == 0 {
		return
	}
	p.skip(1)
	from := p.row(str(section, "Tally by length"))
	p.row(strs(heading, "Came", "Item", "Lengths", "", "Count", "", "Length", "")...)
	for _, r := range rows {
		p.row(r...)
	}
	p.keepTogether(from, p.next())
}

// shares writes what each job bears of the order.
func (w *orderWriter) shares(p *page) {
	o := w.in.Order
	p.row(str(title, "Shares of the jobs"))
	p.row(str(subtitle, "What each job bears of the order, by its need; delivery and tax by its materials."))
	p.skip(1)
	heads := append([]string{"Code", "Description", "Count", "Extension"}, w.in.Jobs...)
	header := p.row(strs(heading, heads...)...)
	p.titleRows(header, header)
	first := p.next()
	for i, l := range o.Lines {
		cells := []cell{str(text, l.Offer.Code), str(textWrap, nonEmpty(l.Offer.Description, l.Item.Name)), formula(fmt.Sprintf("Order!E%d", w.first+i), l.Count, count), formula(fmt.Sprintf("Order!H%d", w.first+i), l.Extension, money)}
		for _, m := range l.Shares {
			cells = append(cells, num(m, money))
		}
		p.row(cells...)
	}
	rest := make([]measure.Money, len(w.in.Jobs))
	copy(rest, o.Shares)
	for _, l := range o.Lines {
		for j, m := range l.Shares {
			rest[j] -= m
		}
	}
	cells := []cell{blank(text), str(text, "Delivery and tax"), blank(count), formula(fmt.Sprintf("SUM(Order!H%d:H%d)", w.last+2, w.last+3), o.Delivery+o.Tax, money)}
	for _, m := range rest {
		cells = append(cells, num(m, money))
	}
	last := p.row(cells...)
	p.table("OrderShares", header, last, 1, len(heads))
	cells = []cell{blank(totalText), str(totalText, "Total"), blank(totalText), formula(sumOf("D", first, last), o.Total(), total)}
	for j, m := range o.Shares {
		cells = append(cells, formula(sumOf(column(5+j), first, last), m, total))
	}
	p.row(cells...)
	p.widths(append([]float64{12, 38, 8, 12}, slices.Repeat([]float64{18}, len(w.in.Jobs))...)...)
}

// boards writes the plans that take the place of those in the estimates.
func (w *orderWriter) boards(p *page) {
	p.row(str(title, "Boards for all jobs"))
	p.row(str(subtitle, "These plans take the place of those in the estimates of the jobs: cut by them. HELD = leave that length whole until it is measured."))
	p.skip(1)
	s := boardsWriter{p: p, u: w.u}
	for _, plan := range w.in.Order.Plans {
		e := &writer{in: Input{Takeoff: *plan.Takeoff, Book: estimate.Book{Job: w.in.Job}}, u: w.u}
		s.block(e.stockPlan(pricing.Purchase{Item: plan.Item, Supplier: w.in.Order.Terms.Supplier}, plan.Cut))
	}
	s.finish()
}
