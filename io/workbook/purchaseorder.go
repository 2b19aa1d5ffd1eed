package workbook

import (
	"cmp"
	"fmt"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
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
	o := xlsx.New(xlsx.Properties{Title: "Order to " + supplier, Subject: "Order of materials", Description: "Written by Sillwright for " + strings.Join(in.Jobs, ", ")})
	o.Paper, o.Header = job.Paper, "Order to "+supplier
	o.Footer = "Check counts and lengths on arrival, before the driver leaves"
	p := o.AddSheet("Order")
	p.Landscape(true)
	w := orderWriter{in: in, p: p, u: estimate.UnitsOf(job.MM)}
	w.head()
	w.lines()
	w.tally()
	p.Widths(7, 16, 36, 12, 8, 10, 11, 12, 8, 12, 18, 12)
	if len(in.Jobs) > 1 {
		shares := o.AddSheet("Shares")
		shares.Landscape(true)
		w.shares(shares)
	}
	if len(in.Order.Plans) > 0 {
		boards := o.AddSheet("Boards")
		boards.Landscape(true)
		w.boards(boards)
	}
	return o.Bytes()
}

// orderWriter builds the sheets of an order.
type orderWriter struct {
	in          OrderInput
	p           *xlsx.Sheet
	u           estimate.Units
	first, last int // rows of the lines
}

// head says who orders what from whom, for when and where.
func (w *orderWriter) head() {
	p, job := w.p, w.in.Job
	p.Row(xlsx.Str(xlsx.Title, "Order to "+w.in.Order.Terms.Supplier))
	p.Row(xlsx.Str(xlsx.Subtitle, "For "+strings.Join(w.in.Jobs, ", ")))
	p.Skip(1)
	line := func(label, words string) {
		if words != "" {
			row := p.Row(xlsx.Str(xlsx.Text, label), xlsx.Blank(xlsx.Text), xlsx.Str(xlsx.Text, words))
			p.Merge(row, 1, row, 2)
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
	p.Skip(1)
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
	header := p.Row(xlsx.Strs(xlsx.Heading, w.heads()...)...)
	p.TitleRows(header, header)
	w.first = p.Next()
	for _, l := range o.Lines {
		row := p.Next()
		day := xlsx.Blank(xlsx.Date)
		if l.NeededBy.Set {
			day.V = l.NeededBy.V
		}
		cells := append(make([]xlsx.Cell, 0, 12), xlsx.Blank(xlsx.Tick), xlsx.Str(xlsx.Text, l.Offer.Code), xlsx.Str(xlsx.TextWrap, cmp.Or(l.Offer.Description, l.Item.Name)), xlsx.Str(xlsx.Text, l.Offer.Content), xlsx.Num(l.Count, xlsx.Count), xlsx.Str(xlsx.Text, l.Offer.Unit),
			xlsx.Num(l.Offer.Price, xlsx.UnitPrice), xlsx.Formula(formula.Cents(fmt.Sprintf("E%d*G%d", row, row), formula.ExtensionDecimals), l.Extension, xlsx.Money), xlsx.Str(xlsx.Text, l.Visit), day, xlsx.Str(xlsx.Text, l.Offer.Item), xlsx.Str(xlsx.Text, l.Item.CostCode))
		p.Row(cells[:len(w.heads())]...)
	}
	w.last = p.Next() - 1
	p.AddTable("OrderLines", header, w.last, 1, len(w.heads()))
	sum := func(label, f string, v measure.Money, l xlsx.Look, free, rate xlsx.Cell) {
		words := xlsx.Text
		if l == xlsx.Total {
			words = xlsx.TotalText
		}
		cells := slices.Repeat([]xlsx.Cell{xlsx.Blank(words)}, len(w.heads()))
		cells[2], cells[5], cells[6], cells[7] = xlsx.Str(words, label), free, rate, xlsx.Formula(f, v, l)
		p.Row(cells...)
	}
	at := p.Next()
	sum("Subtotal", formula.SumOf("H", w.first, w.last), o.Materials, xlsx.Total, xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText))
	free, fee := xlsx.Blank(xlsx.Money), xlsx.Num(o.Terms.DeliveryFee.V, xlsx.Money)
	if o.Terms.FreeOver.Set {
		free.V = o.Terms.FreeOver.V
	}
	sum("Delivery: free from, else", fmt.Sprintf("IF(OR(H%d=0,AND(F%d<>\"\",H%d>=F%d)),0,G%d)", at, at+1, at, at+1, at+1), o.Delivery, xlsx.Money, free, fee)
	sum("Sales tax", w.taxFormula(at), o.Tax, xlsx.Money, xlsx.Blank(xlsx.Text), xlsx.Num(w.in.Job.Tax, xlsx.Percent))
	sum("Total", fmt.Sprintf("SUM(H%d:H%d)", at, at+2), o.Total(), xlsx.Total, xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText))
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
		return formula.Cents(fmt.Sprintf("(H%d%s)*%s", at, delivery, rate), formula.RateDecimals)
	}
	f := fmt.Sprintf("SUMPRODUCT(ROUND(ROUND(H%d:H%d*%s,%d),2))", w.first, w.last, rate, formula.RateDecimals)
	if delivery != "" {
		f += "+" + formula.Cents(fmt.Sprintf("H%d*%s", at+1, rate), formula.RateDecimals)
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
	var rows [][]xlsx.Cell
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
			rows = append(rows, []xlsx.Cell{xlsx.Blank(xlsx.Tick), xlsx.Str(xlsx.Text, l.Offer.Item), xlsx.Str(xlsx.TextWrap, strings.Join(words, ", ")), xlsx.Blank(xlsx.Text), xlsx.Num(boards, xlsx.Count), xlsx.Str(xlsx.Text, "pieces"), xlsx.Num(w.u.FarOf(length), xlsx.Number), xlsx.Str(xlsx.Text, w.u.Far())})
		}
		i += n
	}
	if len(rows) == 0 {
		return
	}
	p.Skip(1)
	from := p.Row(xlsx.Str(xlsx.Section, "Tally by length"))
	p.Row(xlsx.Strs(xlsx.Heading, "Came", "Item", "Lengths", "", "Count", "", "Length", "")...)
	for _, r := range rows {
		p.Row(r...)
	}
	p.KeepTogether(from, p.Next())
}

// shares writes what each job bears of the order.
func (w *orderWriter) shares(p *xlsx.Sheet) {
	o := w.in.Order
	p.Row(xlsx.Str(xlsx.Title, "Shares of the jobs"))
	p.Row(xlsx.Str(xlsx.Subtitle, "What each job bears of the order, by its need; delivery and tax by its materials."))
	p.Skip(1)
	heads := append([]string{"Code", "Description", "Count", "Extension"}, w.in.Jobs...)
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	p.TitleRows(header, header)
	first := p.Next()
	for i, l := range o.Lines {
		cells := []xlsx.Cell{xlsx.Str(xlsx.Text, l.Offer.Code), xlsx.Str(xlsx.TextWrap, cmp.Or(l.Offer.Description, l.Item.Name)), xlsx.Formula(fmt.Sprintf("Order!E%d", w.first+i), l.Count, xlsx.Count), xlsx.Formula(fmt.Sprintf("Order!H%d", w.first+i), l.Extension, xlsx.Money)}
		for _, m := range l.Shares {
			cells = append(cells, xlsx.Num(m, xlsx.Money))
		}
		p.Row(cells...)
	}
	rest := make([]measure.Money, len(w.in.Jobs))
	copy(rest, o.Shares)
	for _, l := range o.Lines {
		for j, m := range l.Shares {
			rest[j] -= m
		}
	}
	cells := []xlsx.Cell{xlsx.Blank(xlsx.Text), xlsx.Str(xlsx.Text, "Delivery and tax"), xlsx.Blank(xlsx.Count), xlsx.Formula(fmt.Sprintf("SUM(Order!H%d:H%d)", w.last+2, w.last+3), o.Delivery+o.Tax, xlsx.Money)}
	for _, m := range rest {
		cells = append(cells, xlsx.Num(m, xlsx.Money))
	}
	last := p.Row(cells...)
	p.AddTable("OrderShares", header, last, 1, len(heads))
	cells = []xlsx.Cell{xlsx.Blank(xlsx.TotalText), xlsx.Str(xlsx.TotalText, "Total"), xlsx.Blank(xlsx.TotalText), xlsx.Formula(formula.SumOf("D", first, last), o.Total(), xlsx.Total)}
	for j, m := range o.Shares {
		cells = append(cells, xlsx.Formula(formula.SumOf(formula.Column(5+j), first, last), m, xlsx.Total))
	}
	p.Row(cells...)
	p.Widths(append([]float64{12, 38, 8, 12}, slices.Repeat([]float64{18}, len(w.in.Jobs))...)...)
}

// boards writes the plans that take the place of those in the estimates.
func (w *orderWriter) boards(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Title, "Boards for all jobs"))
	p.Row(xlsx.Str(xlsx.Subtitle, "These plans take the place of those in the estimates of the jobs: cut by them. HELD = leave that length whole until it is measured."))
	p.Skip(1)
	s := newBoardsWriter(p, w.u)
	for _, plan := range w.in.Order.Plans {
		pieces := takeoffPieces{w.u, plan.Takeoff}
		s.block(pieces.stockPlan(plan.Item, w.in.Order.Terms.Supplier, w.in.Job.Currency, plan.Cut))
	}
	s.finish()
}
