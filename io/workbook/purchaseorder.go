package workbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/cutting"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// OrderInput is an order that a supplier gets.
type OrderInput struct {
	Jobs   []string // names of the jobs it is for
	ShipTo []string // where it is delivered
	Job    estimate.Job
	Order  pricing.SupplierOrder
	Notes  []pricing.OrderNote // of an order that lacks something
}

// title is what the order is called on its pages.
func (in OrderInput) title() string {
	if len(in.Order.Missing) > 0 {
		return "INCOMPLETE order to " + in.Order.Terms.Supplier
	}
	return "Order to " + in.Order.Terms.Supplier
}

// Order returns an order as a workbook to print: what to pick and what it comes
// to, with boxes to tick on arrival; of several jobs what each bears, and the
// boards that were planned for all of them. One that lacks something says so in its
// first rows, on every printed page and at its total. The same input gives the same bytes.
func Order(in OrderInput) ([]byte, error) {
	job := in.Job
	o := xlsx.New(xlsx.Properties{
		Title: in.title(), Subject: "Order of materials", Description: "Written by Sillwright for " + strings.Join(in.Jobs, ", "),
	})
	o.Paper, o.Header = job.Paper, in.title()
	o.Footer = "Check counts and lengths on arrival, before the driver leaves"
	page := func(name string) *xlsx.Sheet {
		p := o.AddSheet(name)
		p.Landscape(true)
		return p
	}
	p := page("Order")
	w := orderWriter{in: in, p: p, u: estimate.UnitsOf(job.MM)}
	w.t = xlsx.NewTable(p, "OrderLines", w.columns())
	w.head()
	w.lines()
	w.sums()
	w.tally()
	if len(in.Jobs) > 1 {
		w.sharesSheet(page("Shares"))
	}
	if len(in.Order.Plans) > 0 {
		w.boardsSheet(page("Boards"))
	}
	return o.Bytes()
}

// orderWriter builds the sheets of an order.
type orderWriter struct {
	in            OrderInput
	p             *xlsx.Sheet
	u             estimate.Units
	t             *xlsx.Table[pricing.OrderLine]
	delivery, tax int // rows below the lines
}

// columns are those of the lines; the cost code only where there is one.
func (w *orderWriter) columns() []xlsx.Column[pricing.OrderLine] {
	type line = pricing.OrderLine
	coded := slices.ContainsFunc(w.in.Order.Lines, func(l line) bool { return l.Item.CostCode != "" })
	return []xlsx.Column[line]{
		{Head: "Rec'd", Width: 7, Cell: func(line) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
		{Head: "Code", Width: 16, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Code) }},
		{Head: "Description", Width: 36, Cell: descriptionCell},
		{Head: "Pack", Width: 12, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Content) }},
		{Head: "Count", Width: 8, Cell: func(l line) xlsx.Cell { return xlsx.Num(l.Count, xlsx.Count) }},
		{Head: "Unit", Width: 10, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Unit) }},
		{Key: "Price", Head: "Price, " + w.in.Job.Currency, Width: 11, Cell: func(l line) xlsx.Cell { return xlsx.Num(l.Offer.Price, xlsx.UnitPrice) }},
		{Head: "Extension", Width: 12, Cell: func(l line) xlsx.Cell {
			return xlsx.Formula(formula.Cents("{Count}*{Price}", formula.ExtensionDecimals), l.Extension, xlsx.Money)
		}},
		{Head: "Phase", Width: 8, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, string(l.Phase)) }},
		{Head: "Needed by", Width: 12, Cell: func(l line) xlsx.Cell {
			if !l.NeededBy.Set {
				return xlsx.Blank(xlsx.Date)
			}
			return xlsx.Num(l.NeededBy.V, xlsx.Date)
		}},
		{Head: "Item", Width: 18, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Item) }},
		{Head: "Cost code", Width: 12, Aside: !coded, Cell: func(l line) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Item.CostCode) }},
	}
}

func descriptionCell(l pricing.OrderLine) xlsx.Cell {
	return xlsx.Str(xlsx.TextWrap, cmp.Or(l.Offer.Description, l.Item.Name))
}

// head says who orders what from whom, for when and where.
func (w *orderWriter) head() {
	p, job := w.p, w.in.Job
	p.Row(xlsx.Str(xlsx.Title, w.in.title()))
	p.Row(xlsx.Str(xlsx.Subtitle, "For "+strings.Join(w.in.Jobs, ", ")))
	for _, n := range w.in.Notes {
		w.t.Line(
			xlsx.Span{From: "Rec'd", To: "Code", Cell: xlsx.Str(xlsx.Gap, n.Label)},
			xlsx.Span{From: "Description", To: "Item", Cell: xlsx.Str(xlsx.TextWrap, n.Words)},
		)
	}
	p.Skip(1)
	line := func(label, words string) {
		if words != "" {
			w.t.Line(xlsx.Span{From: "Rec'd", To: "Code", Cell: xlsx.Str(xlsx.Text, label)}, xlsx.Span{From: "Description", Cell: xlsx.Str(xlsx.Text, words)})
		}
	}
	line("Date", dateWords(job))
	line("Ship to", strings.Join(w.in.ShipTo, "; "))
	if day := w.firstDay(); day.Set {
		line("Needed by", day.V.String())
	}
	if m := w.in.Order.Terms.MinimumOrder; m.Set && w.in.Order.Below {
		line("WARNING", fmt.Sprintf("below the minimum order of %s", m.V))
	}
	if slices.ContainsFunc(w.in.Order.Lines, func(l pricing.OrderLine) bool { return l.Offer.Invented }) {
		line("WARNING", "invented prices of a starter list: not for a real order")
	}
	p.Skip(1)
}

// totalWords label a total: that of an incomplete order says so.
func (w *orderWriter) totalWords() string {
	if len(w.in.Order.Missing) > 0 {
		return "Total of this INCOMPLETE order"
	}
	return "Total"
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

// lines writes what is ordered.
func (w *orderWriter) lines() {
	header := w.t.Header()
	w.p.TitleRows(header, header)
	for _, l := range w.in.Order.Lines {
		w.t.Row(l)
	}
	w.t.Filter()
}

// sums writes what the lines come to.
func (w *orderWriter) sums() {
	o := w.in.Order
	materials := w.sum("Subtotal", w.t.Sum("Extension"), o.Materials, xlsx.Total, nil)
	free := xlsx.Blank(xlsx.Money)
	if o.Terms.FreeOver.Set {
		free.V = o.Terms.FreeOver.V
	}
	amount := w.t.Cell(materials, "Extension").Local()
	w.delivery = w.sum(deliveryWords(o.Terms), fmt.Sprintf(`IF(OR(%[1]s=0,AND({Unit}<>"",%[1]s>={Unit})),0,{Price})`, amount), o.Delivery, xlsx.Money,
		map[string]xlsx.Cell{"Unit": free, "Price": xlsx.Num(o.Terms.DeliveryFee.V, xlsx.Money)})
	w.tax = w.sum("Sales tax", w.taxFormula(amount, w.t.Cell(w.delivery, "Extension").Local()), o.Tax, xlsx.Money,
		map[string]xlsx.Cell{"Price": xlsx.Num(w.in.Job.Tax, xlsx.Percent)})
	w.sum(w.totalWords(), "SUM("+w.t.Rows(materials, w.tax, "Extension").Local()+")", o.Total(), xlsx.Total, nil)
}

// deliveryWords label the delivery by what the supplier charges for it.
func deliveryWords(t pricing.Terms) string {
	words := "Delivery"
	if t.DeliveryFee.Set {
		words += " " + t.DeliveryFee.V.String()
	}
	if t.FreeOver.Set {
		words += " (free over " + t.FreeOver.V.String() + ")"
	}
	return words
}

// sum writes a line below the lines of the order: what it is, an amount, and what that
// follows from.
func (w *orderWriter) sum(label, f string, amount measure.Money, l xlsx.Look, from map[string]xlsx.Cell) int {
	words := xlsx.Text
	if l == xlsx.Total {
		words = xlsx.TotalText
	}
	cells := map[string]xlsx.Cell{"Description": xlsx.Str(words, label), "Extension": xlsx.Formula(f, amount, l)}
	maps.Copy(cells, from)
	return w.t.Foot(words, cells)
}

// taxFormula returns the tax of an order by the cells of its materials and its delivery,
// at the rate beside it: rounded at once, or on every line.
func (w *orderWriter) taxFormula(materials, delivery string) string {
	job := w.in.Job
	switch {
	case job.TaxByItem && job.TaxDelivery:
		return w.taxOfLines() + "+" + formula.Cents(delivery+"*{Price}", formula.RateDecimals)
	case job.TaxByItem:
		return w.taxOfLines()
	case job.TaxDelivery:
		materials += "+" + delivery
	}
	return formula.Cents("("+materials+")*{Price}", formula.RateDecimals)
}

func (w *orderWriter) taxOfLines() string {
	return fmt.Sprintf("SUMPRODUCT(ROUND(ROUND(%s*{Price},%d),2))", w.t.Column("Extension").Local(), formula.RateDecimals)
}

// tallied is the boards of one profile.
type tallied struct {
	item, lengths string // its name; "4 of 12 ft, 2 of 16 ft"
	boards        int64
	length        measure.Length
}

// talliesOf returns the boards of each profile, whose lines follow each other.
func talliesOf(lines []pricing.OrderLine) (list []tallied) {
	for len(lines) > 0 {
		n := 1
		for n < len(lines) && lines[n].Offer.Item == lines[0].Offer.Item {
			n++
		}
		x := tallied{item: lines[0].Item.Name}
		words := make([]string, n)
		for i, l := range lines[:n] {
			words[i] = fmt.Sprintf("%d of %s", l.Count, l.Offer.Content)
			x.boards += l.Count
			x.length += measure.Length(l.Count * l.Offer.Amount)
		}
		if x.lengths = strings.Join(words, ", "); lines[0].Item.Cut {
			list = append(list, x)
		}
		lines = lines[n:]
	}
	return list
}

func tallyColumns(u estimate.Units) []xlsx.Column[tallied] {
	return []xlsx.Column[tallied]{
		{Head: "Rec'd", Cell: func(tallied) xlsx.Cell { return xlsx.Blank(xlsx.Tick) }},
		{Head: "Item", Cell: func(x tallied) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.item) }},
		{Head: "Lengths", Cell: func(x tallied) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.lengths) }},
		{Key: "Room", Cell: func(tallied) xlsx.Cell { return xlsx.Blank(xlsx.Text) }},
		{Head: "Count", Cell: func(x tallied) xlsx.Cell { return xlsx.Num(x.boards, xlsx.Count) }},
		{Key: "Unit of count", Cell: func(tallied) xlsx.Cell { return xlsx.Str(xlsx.Text, "pieces") }},
		{Head: "Length", Cell: func(x tallied) xlsx.Cell { return xlsx.Num(u.FarOf(x.length), xlsx.Number) }},
		{Key: "Unit of length", Cell: func(tallied) xlsx.Cell { return xlsx.Str(xlsx.Text, u.Far()) }},
	}
}

// tally writes the boards of each profile by length.
func (w *orderWriter) tally() {
	list := talliesOf(w.in.Order.Lines)
	if len(list) == 0 {
		return
	}
	w.p.Skip(1)
	from := w.p.Row(xlsx.Str(xlsx.Section, "Tally by length"))
	t := xlsx.NewTable(w.p, "Tally", tallyColumns(w.u))
	t.HeaderOnly()
	for _, x := range list {
		t.Row(x)
	}
	w.p.KeepTogether(from, w.p.Next())
}

// boardsSheet writes the plans that take the place of those in the estimates.
func (w *orderWriter) boardsSheet(p *xlsx.Sheet) {
	p.Row(xlsx.Str(xlsx.Title, "Boards for all jobs"))
	p.Row(xlsx.Str(xlsx.Subtitle, "These plans replace those in the estimates of the jobs: cut by them. "+
		"ON HOLD = do not cut that piece until its unit is measured."))
	p.Skip(1)
	s := cutting.NewWriter(p, w.u)
	for _, plan := range w.in.Order.Plans {
		pieces := takeoffPieces{w.u, plan.Takeoff}
		s.Block(pieces.stockPlan(plan.Item, w.in.Order.Terms.Supplier, w.in.Job.Currency, plan.Cut))
	}
	s.Finish()
}
