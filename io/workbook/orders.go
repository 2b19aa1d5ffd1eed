package workbook

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// supplierHeads are the columns of the Suppliers sheet.
var supplierHeads = []string{"Supplier", "Delivery fee", "Free over", "Minimum order", "Lead days", "Currency", "Always", "Never"}

// suppliersSheet writes what each supplier asks beside its prices: those whose
// terms are known, and the others to fill in.
func (w *writer) suppliersSheet() {
	p := w.suppliers
	w.lead(p, "Suppliers", "What each supplier asks beside its prices; blank: nothing. Always and Never: items (keys or classes, parted by ;) that are bought only here, or not here; Never may be all. Change a fee and the price follows; for another choice run estimate again.")
	p.row(strs(heading, supplierHeads...)...)
	for _, t := range w.in.Lists.AllTerms() {
		cells := []cell{str(inputText, t.Supplier), blank(inputMoney), blank(inputMoney), blank(inputMoney), blank(inputCount),
			str(inputText, t.Currency), str(inputTextWrap, strings.Join(t.Always, "; ")), str(inputTextWrap, strings.Join(t.Never, "; "))}
		if t.DeliveryFee.Set {
			cells[1].v = t.DeliveryFee.V
		}
		if t.FreeOver.Set {
			cells[2].v = t.FreeOver.V
		}
		if t.MinimumOrder.Set {
			cells[3].v = t.MinimumOrder.V
		}
		if t.LeadDays.Set {
			cells[4].v = t.LeadDays.V
		}
		w.supplierRow[strings.ToLower(t.Supplier)] = p.row(cells...)
	}
	for range w.emptyRows(12) {
		p.row(blanks(inputText, inputMoney, inputMoney, inputMoney, inputCount, inputText, inputTextWrap, inputTextWrap)...)
	}
	p.decimalRange(span(inputHeader+1, 2, p.next()-1, 4), 0, 1e7, "Money", "An amount of money, 0 or more.")
	p.wholeRange(p.typed(5), 0, 365, "Lead days", "Whole days, 0 to 365.")
	p.widths(28, 13, 13, 14, 10, 10, 30, 30)
	p.finish("SupplierTerms", inputHeader, len(supplierHeads), 1)
}

// ordersSheet writes where each item is bought and what it would cost
// elsewhere, what each supplier's order comes to, and what the other ways to
// divide the list would.
func (w *writer) ordersSheet() {
	w.top(w.orders, "Orders", "Where each item is bought, whole, and what it costs at each supplier. Choose another in Buy at, then run estimate again. Costs of the ways to buy are those of the run."+w.moneyWords())
	w.quoteRows()
	for _, block := range []func(){w.orderRows, w.wayRows} {
		from := w.orders.next()
		block()
		w.orders.keepTogether(from, w.orders.next())
	}
	widths := []float64{20, 30, 7, 23.5, 18}
	for range w.in.Plan.Choice.Yards {
		widths = append(widths, 12)
	}
	w.orders.widths(append(widths, 11, 12, 38, 18)...)
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
	header := p.row(strs(heading, heads...)...)
	last := first + len(yards) - 1
	for _, buy := range w.in.Plan.Purchases {
		row := p.next()
		cells := []cell{str(text, buy.Item.Key), str(textWrap, buy.Item.Name), str(text, string(buy.Visit)), str(textWrap, shownAs(buy.Supplier, names, shown)), blank(inputTextWrap)}
		if pin, ok := w.in.Lists.Pins[buy.Item.Key]; ok {
			cells[4].v = pin.Supplier
		}
		quotes, why := w.quoteCells(buy)
		cells = append(cells, quotes...)
		over := blank(money)
		if k := slices.Index(names, buy.Supplier); k >= 0 && len(buy.Lines) > 0 {
			over = formula(fmt.Sprintf("ROUND(SUMPRODUCT((%s=D%d)*1,%s)-MIN(%s),2)", absSpan(header, first, header, last), row, span(row, first, row, last), span(row, first, row, last)), overLeast(buy), money)
		}
		state := formula(fmt.Sprintf("IF(OR(E%d=\"\",E%d=D%d),\"%s\",\"%s\")", row, row, row, stateOK, runAgain), pinState(buy, cells[4].v), textWrap)
		if buy.State != "" {
			state = str(bad, buy.State)
		}
		p.row(append(cells, over, state, str(textWrap, why), str(key, buy.Item.Key))...)
	}
	w.quotes = [2]int{header + 1, p.next() - 1}
	if len(names) > 0 && p.next()-1 > header {
		p.choice(span(header+1, 5, p.next()-1, 5), names, "Buy at", "Choose a supplier, then run estimate again.")
	}
	w.quoteState = column(last + 2)
	p.finish("ItemSuppliers", header, len(heads), 2)
	p.printCols(len(heads) - 1)
}

// supplierHead is the header of a supplier's column: its name, no longer than a
// header may be and not that of another column.
func supplierHead(name string, taken []string) string {
	head := shorten(name, 60)
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
func (w *writer) quoteCells(buy pricing.Purchase) (cells []cell, why string) {
	var reasons []string
	for k := range w.in.Plan.Choice.Yards {
		if k >= len(buy.Quotes) || !buy.Quotes[k].Cost.Set {
			cells = append(cells, str(textRight, "-"))
			continue
		}
		q := buy.Quotes[k]
		cells = append(cells, num(q.Cost.V, money))
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
	p.skip(1)
	p.row(str(section, "The orders"))
	p.row(strs(heading, "Supplier", "What to know", "", "Materials", "Delivery", "Taxed at once", "Tax", "Total")...)
	first := p.next()
	tax := w.setting["tax"]
	for _, o := range w.in.Plan.Orders {
		row, at := p.next(), w.supplierRow[strings.ToLower(o.Terms.Supplier)]
		fee, free := "Suppliers!"+ref(at, 2), "Suppliers!"+ref(at, 3)
		once := measure.Money(0)
		if !w.in.Book.Job.TaxByItem {
			once += o.Materials
		}
		if w.in.Book.Job.TaxDelivery {
			once += o.Delivery
		}
		p.row(str(textWrap, o.Terms.Supplier), w.orderState(row, at, o), blank(text),
			formula(w.sumAt(15, row), o.Materials, money),
			formula(fmt.Sprintf("IF(OR(D%d=0,AND(%s<>\"\",D%d>=%s)),0,SUM(%s))", row, free, row, free, fee), o.Delivery, money),
			formula(fmt.Sprintf("IF(%s=\"item\",0,D%d)+IF(%s=\"yes\",E%d,0)", w.setting["tax basis"], row, w.setting["tax delivery"], row), once, money),
			formula(fmt.Sprintf("%s+%s", cents(fmt.Sprintf("F%d*%s", row, tax), rateDecimals), w.sumAt(taxCol, row)), o.Tax, money),
			formula(fmt.Sprintf("D%d+E%d+G%d", row, row, row), o.Total(), money))
		w.orderRow[o.Terms.Supplier] = row
	}
	last := p.next() - 1
	cells := []cell{str(totalText, "All orders"), blank(totalText), blank(totalText)}
	for c := 4; c <= 8; c++ {
		v := measure.Money(0)
		for r := first; r <= last; r++ {
			v += p.at(r, c).v.(measure.Money)
		}
		cells = append(cells, formula(sumOf(column(c), first, last), v, total))
	}
	row := p.row(cells...)
	w.bid["delivery"], w.bid["order tax"], w.bid["ordered"] = p.ref(row, 5), p.ref(row, 7), p.ref(row, 4)
}

// orderState says when an order is too small for its supplier.
func (w *writer) orderState(row, at int, o pricing.Order) cell {
	const small = "below the minimum order"
	minimum := "Suppliers!" + ref(at, 4)
	words := stateOK
	if o.Below {
		words = small
	}
	return formula(fmt.Sprintf("IF(AND(D%d>0,D%d<SUM(%s)),\"%s\",\"%s\")", row, row, minimum, small, stateOK), words, text)
}

// sumAt sums a column of Materials over the lines of the supplier in a row.
func (w *writer) sumAt(col, row int) string {
	// A criterion of SUMIF would read a name such as "A*" or ">B" as more than it is.
	return fmt.Sprintf("ROUND(SUMPRODUCT((%s=A%d)*1,%s),2)", w.materials.span(firstRow, 3, w.lastLine, 3), row, w.materials.span(firstRow, col, w.lastLine, col))
}

// wayRows writes what the other ways to divide the list would cost, as planned
// at the run.
func (w *writer) wayRows() {
	p, c := w.orders, w.in.Plan.Choice
	if len(c.Yards) == 0 {
		return
	}
	p.skip(1)
	p.row(str(section, "Ways to buy, as planned at the run"))
	p.row(strs(heading, "Way", "What it is", "Stops", "Materials", "Delivery", "Together", "Over the chosen")...)
	line := func(l look, name, what string, way pricing.Way) {
		p.row(str(l, name), str(aside(l), what), num(len(way.Suppliers), wayLook(l, count)), num(way.Materials, wayLook(l, money)), num(way.Delivery, wayLook(l, money)), num(way.Cost(), wayLook(l, money)), num(way.Cost()-c.Chosen.Cost(), wayLook(l, money)))
	}
	for _, y := range c.Yards {
		if y.Sells == 0 {
			continue
		}
		line(textWrap, y.Terms.Supplier, yardWords(y), y.WithRest)
	}
	line(text, "Best split", "the least of all, whatever the stops: "+strings.Join(c.Best.Suppliers, ", ")+gapWords(c.BestGap, "; another may cost at most %s less"), c.Best)
	line(totalText, "Chosen", "as in Bought at, above", c.Chosen)
	p.banner(note, "Chosen: "+w.policyWords()+".", 7)
}

// wayLook is how a number of a way is drawn in a line of a look.
func wayLook(l, plain look) look {
	switch {
	case l != totalText:
		return plain
	case plain == count:
		return totalCount
	}
	return total
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
