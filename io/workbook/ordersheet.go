package workbook

import (
	"fmt"
	"net/url"
	"strings"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
)

// ordersSheet writes where each item is bought and what it would cost
// elsewhere, what each supplier's order comes to, and what the other ways to
// divide the list would.
func (w *writer) ordersSheet(p *xlsx.Sheet) {
	w.top(p, "Orders", "Where each item is bought, whole, and what it costs at each supplier. Choose another in Buy at, then run estimate again. "+
		"Costs of the ways to buy are those when estimated."+w.moneyWords())
	w.quoteRows(p)
	for _, block := range []func(*xlsx.Sheet){w.orderRows, w.wayRows} {
		from := p.Next()
		block(p)
		p.KeepTogether(from, p.Next())
	}
}

// itemQuotes is an item with what it costs at each supplier.
type itemQuotes struct {
	buy pricing.Purchase
	pin string // the supplier that the estimator chose, "" = none
	why string // it is not bought at those that sell it
}

// quoteColumns: a column a supplier, named by it.
func (w *writer) quoteColumns() []xlsx.Column[itemQuotes] {
	type row = itemQuotes
	yards := w.in.Plan.Choice.Yards
	columns := []xlsx.Column[row]{
		{Head: "Item", Width: 20, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, r.buy.Item.Key) }},
		{Head: "Name", Width: 30, Frozen: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.buy.Item.Name) }},
		{Head: "Phase", Width: 7, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Text, string(r.buy.Phase)) }},
		{Head: "Bought at", Width: 23.5, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, w.shownSupplier(r.buy.Supplier)) }},
		{Head: "Buy at", Width: 18, Cell: func(r row) xlsx.Cell { return xlsx.Optional(r.pin, r.pin != "", xlsx.InputTextWrap) }},
	}
	for i, y := range yards {
		columns = append(columns, xlsx.Column[row]{
			Head: y.Terms.Supplier, Key: supplierColumn(y.Terms.Supplier), Clash: " (supplier)", Width: 12,
			Cell: func(r row) xlsx.Cell { return quotedCost(r.buy, i) },
		})
	}
	return append(columns, []xlsx.Column[row]{
		{Head: "Above lowest", Width: 11, Cell: w.aboveLowestCell},
		{Head: "State", Width: 12, Cell: w.pinState},
		{Head: "Why not elsewhere", Width: 38, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.why) }},
		{Head: "Key", Width: 18, Unprinted: true, Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.Key, r.buy.Item.Key) }},
		{Head: "No.", Width: 6, Numbered: true},
	}...)
}

// supplierColumn is what formulas name the column of a supplier, whose name may hold signs
// that mean something there: @, two points, braces.
func supplierColumn(name string) string {
	return "at " + strings.ReplaceAll(url.QueryEscape(name), ".", "%2E")
}

// shownSupplier returns the header of a supplier's column, "-" for none.
func (w *writer) shownSupplier(name string) string {
	if column := supplierColumn(name); w.quotes.HasColumn(column) {
		return w.quotes.Shown(column)
	}
	return "-"
}

// quotedCost is what an item costs at a supplier, by its place among them.
func quotedCost(buy pricing.Purchase, yard int) xlsx.Cell {
	if yard >= len(buy.Quotes) || !buy.Quotes[yard].Cost.Set {
		return xlsx.Str(xlsx.TextRight, "-")
	}
	return xlsx.Num(buy.Quotes[yard].Cost.V, xlsx.Money)
}

// aboveLowestCell is what an item costs more than at the cheapest supplier.
func (w *writer) aboveLowestCell(r itemQuotes) xlsx.Cell {
	yards := w.in.Plan.Choice.Yards
	if len(r.buy.Lines) == 0 || !w.quotes.HasColumn(supplierColumn(r.buy.Supplier)) {
		return xlsx.Blank(xlsx.Money)
	}
	first, last := supplierColumn(yards[0].Terms.Supplier), supplierColumn(yards[len(yards)-1].Terms.Supplier)
	heads, quotes := w.quotes.Head(first).To(w.quotes.Head(last)).Fixed(), fmt.Sprintf("{%s..%s}", first, last)
	f := fmt.Sprintf("ROUND(SUMPRODUCT((%s={Bought at})*1,%s)-MIN(%s),2)", heads, quotes, quotes)
	return xlsx.Formula(f, aboveLowest(r.buy), xlsx.Money)
}

// aboveLowest returns what an item costs more than at the cheapest supplier.
func aboveLowest(buy pricing.Purchase) measure.Money {
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

// pinState is the state of a row whose supplier the estimator may choose.
func (w *writer) pinState(r itemQuotes) xlsx.Cell {
	if r.buy.State != "" {
		return xlsx.Str(xlsx.Bad, r.buy.State)
	}
	if o := w.owner(r.buy.Item.Key); o != nil {
		return xlsx.Str(ownerLook(o), o.State())
	}
	state := stateOK
	if r.pin != "" && r.pin != r.buy.Supplier {
		state = runAgain
	}
	return xlsx.Formula(fmt.Sprintf(`IF(OR({Buy at}="",{Buy at}={Bought at}),"%s","%s")`, stateOK, runAgain), state, xlsx.TextWrap)
}

// quoteRows writes a row an item.
func (w *writer) quoteRows(p *xlsx.Sheet) {
	w.quotes = xlsx.NewTable(p, "ItemSuppliers", w.quoteColumns())
	t, yards := w.quotes, w.in.Plan.Choice.Yards
	t.Header()
	for _, buy := range w.in.Plan.Purchases {
		t.Row(itemQuotes{buy: buy, pin: w.in.Lists.Pins[buy.Item.Key].Supplier, why: notBoughtWords(buy)})
	}
	if len(yards) > 0 && !t.Empty() {
		names := make([]string, len(yards))
		for i, y := range yards {
			names[i] = y.Terms.Supplier
		}
		t.Column("Buy at").Choice(names, "Buy at", "Choose a supplier, then run estimate again.")
	}
	t.Seal()
}

// notBoughtWords say why an item is not bought at those that sell it.
func notBoughtWords(buy pricing.Purchase) string {
	var reasons []string
	for _, q := range buy.Quotes {
		if q.Cost.Set && q.Why != "" {
			reasons = append(reasons, q.Supplier+": "+q.Why)
		}
	}
	return strings.Join(reasons, "; ")
}

// belowMinimum is the state of an order that is too small for its supplier.
const belowMinimum = "below the minimum order"

// orderColumns are what an order comes to, live: the fee follows the sum, the tax both.
func (w *writer) orderColumns() []xlsx.Column[pricing.Order] {
	type row = pricing.Order
	job := w.in.Book.Job
	terms := func(r row, head string) string { return w.watchedTerms.now(w.suppliers.RowOf(r.Terms.Supplier), head) }
	return []xlsx.Column[row]{
		{Head: "Supplier", Cell: func(r row) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, r.Terms.Supplier) }},
		{Head: "Notes", Cell: func(r row) xlsx.Cell {
			state := stateOK
			if r.Below {
				state = belowMinimum
			}
			f := fmt.Sprintf(`IF(AND({Materials}>0,{Materials}<SUM(%s)),"%s","%s")`, terms(r, "Minimum order"), belowMinimum, stateOK)
			return xlsx.Formula(f, state, xlsx.Text)
		}},
		{Key: "Beside", Cell: func(row) xlsx.Cell { return xlsx.Blank(xlsx.Text) }},
		{Head: "Materials", Cell: func(r row) xlsx.Cell { return xlsx.Formula(w.sumOfSupplier("Extension"), r.Materials, xlsx.Money) }},
		{Head: "Delivery", Cell: func(r row) xlsx.Cell {
			free := terms(r, "Free over")
			f := fmt.Sprintf(`IF(OR({Materials}=0,AND(%s<>"",{Materials}>=%s)),0,SUM(%s))`, free, free, terms(r, "Delivery fee"))
			return xlsx.Formula(f, r.Delivery, xlsx.Money)
		}},
		{Head: "Taxable amount", Cell: func(r row) xlsx.Cell {
			once := measure.Money(0)
			if !job.TaxByItem {
				once += r.Materials
			}
			if job.TaxDelivery {
				once += r.Delivery
			}
			f := fmt.Sprintf(`IF(%s="item",0,{Materials})+IF(%s="yes",{Delivery},0)`, w.setting("tax basis"), w.setting("tax delivery"))
			return xlsx.Formula(f, once, xlsx.Money)
		}},
		{Head: "Tax", Cell: func(r row) xlsx.Cell {
			once := formula.Cents("{Taxable amount}*"+w.setting("tax"), formula.RateDecimals)
			return xlsx.Formula(once+"+"+w.sumOfSupplier("Tax by item"), r.Tax, xlsx.Money)
		}},
		{Head: "Total", Cell: func(r row) xlsx.Cell { return xlsx.Formula("{Materials}+{Delivery}+{Tax}", r.Total(), xlsx.Money) }},
	}
}

// sumOfSupplier sums a column of Materials over the lines of the supplier in a row.
func (w *writer) sumOfSupplier(head string) string {
	// A criterion of SUMIF would read a name such as "A*" or ">B" as more than it is.
	return fmt.Sprintf("ROUND(SUMPRODUCT((%s={Supplier})*1,%s),2)", w.materials.Column("Supplier"), w.materials.Column(head))
}

// allOrders is the label of the sums of the orders.
const allOrders = "All orders"

// orderRows writes what each supplier's order comes to.
func (w *writer) orderRows(p *xlsx.Sheet) {
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Order totals"))
	w.orders = xlsx.NewTable(p, "Orders", w.orderColumns())
	t := w.orders
	t.HeaderOnly()
	var materials, delivery, once, tax, total measure.Money
	job := w.in.Book.Job
	for _, o := range w.in.Plan.Orders {
		t.Keyed(o.Terms.Supplier, o)
		materials, delivery, tax, total = materials+o.Materials, delivery+o.Delivery, tax+o.Tax, total+o.Total()
		if !job.TaxByItem {
			once += o.Materials
		}
		if job.TaxDelivery {
			once += o.Delivery
		}
	}
	sum := func(head string, v measure.Money) xlsx.Cell { return xlsx.Formula(t.Sum(head), v, xlsx.Total) }
	t.Total(allOrders, map[string]xlsx.Cell{
		"Materials": sum("Materials", materials), "Delivery": sum("Delivery", delivery),
		"Taxable amount": sum("Taxable amount", once), "Tax": sum("Tax", tax), "Total": sum("Total", total),
	})
}

// wayLine is a way to divide the list between suppliers.
type wayLine struct {
	name, what string
	way        pricing.Way
	chosen     bool
	wraps      bool // its name may be long
}

// wayColumns are what a way to buy would cost, as planned at the run.
func (w *writer) wayColumns() []xlsx.Column[wayLine] {
	chosen := w.in.Plan.Choice.Chosen.Cost()
	number := func(l wayLine, v any, plain, bold xlsx.Look) xlsx.Cell {
		if l.chosen {
			return xlsx.Num(v, bold)
		}
		return xlsx.Num(v, plain)
	}
	money := func(of func(pricing.Way) measure.Money) func(wayLine) xlsx.Cell {
		return func(l wayLine) xlsx.Cell { return number(l, of(l.way), xlsx.Money, xlsx.Total) }
	}
	return []xlsx.Column[wayLine]{
		{Head: "Way", Cell: func(l wayLine) xlsx.Cell {
			switch {
			case l.chosen:
				return xlsx.Str(xlsx.TotalText, l.name)
			case l.wraps:
				return xlsx.Str(xlsx.TextWrap, l.name)
			}
			return xlsx.Str(xlsx.Text, l.name)
		}},
		{Head: "What it is", Cell: func(l wayLine) xlsx.Cell {
			if l.chosen {
				return xlsx.Str(xlsx.TotalText, l.what)
			}
			return xlsx.Str(xlsx.TextWrap, l.what)
		}},
		{Head: "Suppliers", Cell: func(l wayLine) xlsx.Cell { return number(l, len(l.way.Suppliers), xlsx.Count, xlsx.TotalCount) }},
		{Head: "Materials", Cell: money(func(v pricing.Way) measure.Money { return v.Materials })},
		{Head: "Delivery", Cell: money(func(v pricing.Way) measure.Money { return v.Delivery })},
		{Head: "Total", Cell: money(pricing.Way.Cost)},
		{Head: "Compared with chosen", Cell: money(func(v pricing.Way) measure.Money { return v.Cost() - chosen })},
	}
}

// wayRows writes what the other ways to divide the list would cost.
func (w *writer) wayRows(p *xlsx.Sheet) {
	c := w.in.Plan.Choice
	if len(c.Yards) == 0 {
		return
	}
	p.Skip(1)
	p.Row(xlsx.Str(xlsx.Section, "Ways to buy, when estimated"))
	t := xlsx.NewTable(p, "WaysToBuy", w.wayColumns())
	t.HeaderOnly()
	for _, y := range c.Yards {
		if y.Sells > 0 {
			t.Row(wayLine{name: y.Terms.Supplier, what: yardWords(y), way: y.WithRest, wraps: true})
		}
	}
	split := "lowest of all, with any number of suppliers: " + strings.Join(c.Best.Suppliers, ", ")
	t.Row(wayLine{name: "Best split", what: split + gapWords(c.BestGap, "; another could cost at most %s less"), way: c.Best})
	t.Row(wayLine{name: "Chosen", what: "as in Bought at, above", way: c.Chosen, chosen: true})
	t.Banner(xlsx.Note, "Chosen: "+w.policyWords()+".")
}

// yardWords say what buying first at one supplier means.
func yardWords(y pricing.Yard) string {
	alone := fmt.Sprintf("%d items for %s", y.Sells, y.Alone.Cost())
	if y.Lacks == 0 {
		return "sells everything: " + alone
	}
	return fmt.Sprintf("%s here, the %d it lacks elsewhere", alone, y.Lacks)
}

// policyWords say how the supplier of each item was chosen.
func (w *writer) policyWords() string {
	job, c := w.in.Book.Job, w.in.Plan.Choice
	words := "the fewest suppliers that have everything, each item where it costs least among them"
	if job.MinSaving.Set {
		words = fmt.Sprintf("another supplier only where it saves more than %s", job.MinSaving.V)
	}
	if c.Gap > 0 {
		return words + gapWords(c.Gap, "; another such choice could cost at most %s less")
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
