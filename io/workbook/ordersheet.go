package workbook

import (
	"fmt"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"slices"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// ordersSheet writes where each item is bought and what it would cost
// elsewhere, what each supplier's order comes to, and what the other ways to
// divide the list would.
func (w *writer) ordersSheet() {
	w.top(w.orders, "Orders", "Where each item is bought, whole, and what it costs at each supplier. Choose another in Buy at, then run estimate again. Costs of the ways to buy are those of the run."+w.moneyWords())
	w.quoteRows()
	for _, block := range []func(){w.orderRows, w.wayRows} {
		from := w.orders.Next()
		block()
		w.orders.KeepTogether(from, w.orders.Next())
	}
	widths := []float64{20, 30, 7, 23.5, 18}
	for range w.in.Plan.Choice.Yards {
		widths = append(widths, 12)
	}
	w.orders.Widths(append(widths, 11, 12, 38, 18)...)
}

// quoteRows writes a row an item.
func (w *writer) quoteRows() {
	p, yards := w.orders, w.in.Plan.Choice.Yards
	const first = 6 // column of the first supplier
	heads := []string{"Item", "Name", "Visit", "Bought at", "Buy at"}
	after := []string{"Over the least", "State", "Elsewhere", "Key"}
	names, shown := make([]string, len(yards)), make([]string, len(yards))
	for i, y := range yards {
		names[i], shown[i] = y.Terms.Supplier, supplierHead(y.Terms.Supplier, slices.Concat(heads, shown[:i], after))
	}
	heads = slices.Concat(heads, shown, after)
	header := p.Row(xlsx.Strs(xlsx.Heading, heads...)...)
	last := first + len(yards) - 1
	for _, buy := range w.in.Plan.Purchases {
		row := p.Next()
		cells := []xlsx.Cell{xlsx.Str(xlsx.Text, buy.Item.Key), xlsx.Str(xlsx.TextWrap, buy.Item.Name), xlsx.Str(xlsx.Text, buy.Visit), xlsx.Str(xlsx.TextWrap, shownAs(buy.Supplier, names, shown)), xlsx.Blank(xlsx.InputTextWrap)}
		if pin, ok := w.in.Lists.Pins[buy.Item.Key]; ok {
			cells[4].V = pin.Supplier
		}
		quotes, why := w.quoteCells(buy)
		cells = append(cells, quotes...)
		over := xlsx.Blank(xlsx.Money)
		if k := slices.Index(names, buy.Supplier); k >= 0 && len(buy.Lines) > 0 {
			over = xlsx.Formula(fmt.Sprintf("ROUND(SUMPRODUCT((%s=D%d)*1,%s)-MIN(%s),2)", formula.AbsRange(header, first, header, last), row, formula.Range(row, first, row, last), formula.Range(row, first, row, last)), overLeast(buy), xlsx.Money)
		}
		state := xlsx.Formula(fmt.Sprintf("IF(OR(E%d=\"\",E%d=D%d),\"%s\",\"%s\")", row, row, row, stateOK, runAgain), pinState(buy, cells[4].V), xlsx.TextWrap)
		if buy.State != "" {
			state = xlsx.Str(xlsx.Bad, buy.State)
		}
		p.Row(append(cells, over, state, xlsx.Str(xlsx.TextWrap, why), xlsx.Str(xlsx.Key, buy.Item.Key))...)
	}
	w.quotes = [2]int{header + 1, p.Next() - 1}
	if len(names) > 0 && p.Next()-1 > header {
		p.Choice(formula.Range(header+1, 5, p.Next()-1, 5), names, "Buy at", "Choose a supplier, then run estimate again.")
	}
	w.quoteState = formula.Column(last + 2)
	p.Finish("ItemSuppliers", header, len(heads), 2)
	p.PrintCols(len(heads) - 1)
}

// supplierHead is the header of a supplier's column: its name, no longer than a
// header may be and not that of another column.
func supplierHead(name string, taken []string) string {
	head := formula.Shorten(name, 60)
	for slices.ContainsFunc(taken, func(t string) bool { return strings.EqualFold(t, head) }) {
		head += " (supplier)"
	}
	return head
}

// shownAs returns the header of a supplier's column, "-" for none.
func shownAs(name string, names, heads []string) string {
	if i := slices.Index(names, name); i >= 0 {
		return heads[i]
	}
	return "-"
}

// pinState is the state of a row whose supplier the estimator chose.
func pinState(buy pricing.Purchase, pin any) string {
	if pin == nil || strings.EqualFold(pin.(string), buy.Supplier) {
		return stateOK
	}
	return runAgain
}

// quoteCells writes what an item costs at each supplier, and why it is not
// bought at one that sells it.
func (w *writer) quoteCells(buy pricing.Purchase) (cells []xlsx.Cell, why string) {
	var reasons []string
	for k := range w.in.Plan.Choice.Yards {
		if k >= len(buy.Quotes) || !buy.Quotes[k].Cost.Set {
			cells = append(cells, xlsx.Str(xlsx.TextRight, "-"))
			continue
		}
		q := buy.Quotes[k]
		cells = append(cells, xlsx.Num(q.Cost.V, xlsx.Money))
		if q.Why != "" {
			reasons = append(reasons, q.Supplier+": "+q.Why)
		}
	}
	return cells, strings.Join(reasons, "; ")
}

// overLeast returns what an item costs more than at the cheapest supplier.
func overLeast(buy pricing.Purchase) measure.Money {
	least, own := measure.Money(-1), measure.Money(0)
	for _, q := range buy.Quotes {
		if !q.Cost.Set {
			continue
		}
		if least < 0 || q.Cost.V < least {
			least = q.Cost.V
		}
		if q.Supplier == buy.Supplier {
			own = q.Cost.V
		}
	}
	return own - least
}

// orderRows writes what each supplier's order comes to, live: the fee follows
// the sum, the tax both.
func (w *writer) orderRows() {
	p := w.orders
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "The orders"))
	p.Row(xlsx.Strs(xlsx.Heading, "Supplier", "What to know", "", "Materials", "Delivery", "Taxed at once", "Tax", "Total")...)
	first := p.Next()
	tax := w.setting["tax"]
	for _, o := range w.in.Plan.Orders {
		row, at := p.Next(), w.supplierRow[strings.ToLower(o.Terms.Supplier)]
		fee, free := "Suppliers!"+formula.Cell(at, 2), "Suppliers!"+formula.Cell(at, 3)
		once := measure.Money(0)
		if !w.in.Book.Job.TaxByItem {
			once += o.Materials
		}
		if w.in.Book.Job.TaxDelivery {
			once += o.Delivery
		}
		p.Row(xlsx.Str(xlsx.TextWrap, o.Terms.Supplier), w.orderState(row, at, o), xlsx.Blank(xlsx.Text),
			xlsx.Formula(w.sumAt(15, row), o.Materials, xlsx.Money),
			xlsx.Formula(fmt.Sprintf("IF(OR(D%d=0,AND(%s<>\"\",D%d>=%s)),0,SUM(%s))", row, free, row, free, fee), o.Delivery, xlsx.Money),
			xlsx.Formula(fmt.Sprintf("IF(%s=\"item\",0,D%d)+IF(%s=\"yes\",E%d,0)", w.setting["tax basis"], row, w.setting["tax delivery"], row), once, xlsx.Money),
			xlsx.Formula(fmt.Sprintf("%s+%s", formula.Cents(fmt.Sprintf("F%d*%s", row, tax), formula.RateDecimals), w.sumAt(taxCol, row)), o.Tax, xlsx.Money),
			xlsx.Formula(fmt.Sprintf("D%d+E%d+G%d", row, row, row), o.Total(), xlsx.Money))
		w.orderRow[o.Terms.Supplier] = row
	}
	last := p.Next() - 1
	cells := []xlsx.Cell{xlsx.Str(xlsx.TotalText, "All orders"), xlsx.Blank(xlsx.TotalText), xlsx.Blank(xlsx.TotalText)}
	for c := 4; c <= 8; c++ {
		v := measure.Money(0)
		for r := first; r <= last; r++ {
			v += p.At(r, c).V.(measure.Money)
		}
		cells = append(cells, xlsx.Formula(formula.SumOf(formula.Column(c), first, last), v, xlsx.Total))
	}
	row := p.Row(cells...)
	w.bid["delivery"], w.bid["order tax"], w.bid["ordered"] = p.Ref(row, 5), p.Ref(row, 7), p.Ref(row, 4)
}

// orderState says when an order is too small for its supplier.
func (w *writer) orderState(row, at int, o pricing.Order) xlsx.Cell {
	const small = "below the minimum order"
	minimum := "Suppliers!" + formula.Cell(at, 4)
	words := stateOK
	if o.Below {
		words = small
	}
	return xlsx.Formula(fmt.Sprintf("IF(AND(D%d>0,D%d<SUM(%s)),\"%s\",\"%s\")", row, row, minimum, small, stateOK), words, xlsx.Text)
}

// sumAt sums a column of Materials over the lines of the supplier in a row.
func (w *writer) sumAt(col, row int) string {
	// A criterion of SUMIF would read a name such as "A*" or ">B" as more than it is.
	return fmt.Sprintf("ROUND(SUMPRODUCT((%s=A%d)*1,%s),2)", w.materials.Range(firstRow, 3, w.lastLine, 3), row, w.materials.Range(firstRow, col, w.lastLine, col))
}

// wayRows writes what the other ways to divide the list would cost, as planned
// at the run.
func (w *writer) wayRows() {
	p, c := w.orders, w.in.Plan.Choice
	if len(c.Yards) == 0 {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Ways to buy, as planned at the run"))
	p.Row(xlsx.Strs(xlsx.Heading, "Way", "What it is", "Stops", "Materials", "Delivery", "Together", "Over the chosen")...)
	line := func(l xlsx.Look, name, what string, way pricing.Way) {
		p.Row(xlsx.Str(l, name), xlsx.Str(aside(l), what), xlsx.Num(len(way.Suppliers), wayLook(l, xlsx.Count)), xlsx.Num(way.Materials, wayLook(l, xlsx.Money)), xlsx.Num(way.Delivery, wayLook(l, xlsx.Money)), xlsx.Num(way.Cost(), wayLook(l, xlsx.Money)), xlsx.Num(way.Cost()-c.Chosen.Cost(), wayLook(l, xlsx.Money)))
	}
	for _, y := range c.Yards {
		if y.Sells == 0 {
			continue
		}
		line(xlsx.TextWrap, y.Terms.Supplier, yardWords(y), y.WithRest)
	}
	line(xlsx.Text, "Best split", "the least of all, whatever the stops: "+strings.Join(c.Best.Suppliers, ", ")+gapWords(c.BestGap, "; another may cost at most %s less"), c.Best)
	line(xlsx.TotalText, "Chosen", "as in Bought at, above", c.Chosen)
	p.Banner(xlsx.Note, "Chosen: "+w.policyWords()+".", 7)
}

// wayLook is how a number of a way is drawn in a line of a look.
func wayLook(l, plain xlsx.Look) xlsx.Look {
	switch {
	case l != xlsx.TotalText:
		return plain
	case plain == xlsx.Count:
		return xlsx.TotalCount
	}
	return xlsx.Total
}

// yardWords say what buying first at one supplier means.
func yardWords(y pricing.Yard) string {
	alone := fmt.Sprintf("%d items for %s", y.Sells, y.Alone.Cost())
	if y.Lacks == 0 {
		return "everything here: " + alone
	}
	return fmt.Sprintf("%s here, the %d it lacks elsewhere", alone, y.Lacks)
}

// policyWords say how the supplier of each item was chosen.
func (w *writer) policyWords() string {
	job, c := w.in.Book.Job, w.in.Plan.Choice
	words := "one yard plus what it lacks: no stop more than the list needs, each item where it is cheapest of them"
	if job.LeastSaving.Set {
		words = fmt.Sprintf("another stop only where it saves more than %s", job.LeastSaving.V)
	}
	if c.Gap > 0 {
		return words + gapWords(c.Gap, "; another such choice may cost at most %s less")
	}
	return words + "; proven: no other such choice costs less"
}

// gapWords say how far a choice may be from the best; of a proven one nothing.
func gapWords(gap measure.Money, words string) string {
	if gap == 0 {
		return ""
	}
	return fmt.Sprintf(words, gap)
}
