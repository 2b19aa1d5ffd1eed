package comparison

import (
	"cmp"
	"fmt"
	"slices"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing/compare"
)

// pricedItem is an item that several jobs bought.
type pricedItem struct {
	compare.ItemPaid
	key         string // of its row on Unit prices
	least, most compare.Paid
	prices      xlsx.Ref // on Prices paid, once they are written
	jobs        xlsx.Ref // who paid them
}

// bySpread returns the items whose prices can be compared, those that differ
// most first.
func bySpread(items []compare.ItemPaid) []pricedItem {
	var out []pricedItem
	for i, it := range slices.SortedStableFunc(slices.Values(items), func(a, b compare.ItemPaid) int {
		return cmp.Compare(b.Spread().V, a.Spread().V)
	}) {
		least, most := it.Ends()
		out = append(out, pricedItem{ItemPaid: it, key: key(i), least: least, most: most})
	}
	return out
}

// noItems is what both sheets of prices say where there is nothing to compare.
var noItems = map[string]xlsx.Cell{"Item": xlsx.Str(xlsx.Text, "no item is bought by two jobs")}

// unitPricesSheet writes for each item the lowest and the highest price that a job paid
// for it, and draws those that differ most.
func (w *jobsWriter) unitPricesSheet(p *xlsx.Sheet) func() {
	top(p, "Unit prices", fmt.Sprintf("In %s: what jobs paid for the same item, over all packs or lengths bought of it; "+
		"what differs most comes first. Without delivery and tax.", w.currency))
	w.unitPrices = place(p, xlsx.NewTable(p, "UnitPrices", w.unitPriceColumns()), len(w.items))
	return func() {
		fillOr(w.unitPrices, w.items, noItems)
		w.spreadBars(p)
	}
}

func (w *jobsWriter) unitPriceColumns() []xlsx.Column[pricedItem] {
	type item = pricedItem
	paidBy := func(it item, head string, paid compare.Paid) xlsx.Cell {
		return xlsx.Formula(fmt.Sprintf("INDEX(%s,MATCH({%s},%s,0))", it.jobs, head, it.prices), w.jobs[paid.Job].Name, xlsx.Text)
	}
	return []xlsx.Column[item]{
		{Head: "Item", Width: 24, Frozen: true, Cell: func(it item) xlsx.Cell { return xlsx.Str(xlsx.Text, it.Item.Key) }},
		{Head: "Name", Width: 36, Cell: func(it item) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, it.Item.Name) }},
		{Head: "Per", Width: 11, Cell: func(it item) xlsx.Cell { return xlsx.Str(xlsx.Text, it.Per) }},
		{Head: "Jobs", Width: 8, Cell: func(it item) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("COUNT(%s)", it.prices), len(it.Paid), xlsx.Count)
		}},
		{Head: "Lowest", Width: 11, Cell: func(it item) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("MIN(%s)", it.prices), it.least.Price, xlsx.UnitPrice)
		}},
		{Head: "Lowest paid by", Width: 17, Cell: func(it item) xlsx.Cell { return paidBy(it, "Lowest", it.least) }},
		{Head: "Median", Width: 11, Cell: func(it item) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("ROUND(ROUND(MEDIAN(%s),6),4)", it.prices), it.Median(), xlsx.UnitPrice)
		}},
		{Head: "Highest", Width: 11, Cell: func(it item) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf("MAX(%s)", it.prices), it.most.Price, xlsx.UnitPrice)
		}},
		{Head: "Highest paid by", Width: 17, Cell: func(it item) xlsx.Cell { return paidBy(it, "Highest", it.most) }},
		{Head: "High over low", Width: 11, Cell: func(it item) xlsx.Cell { return excess("{Highest}", "{Lowest}", it.most.Price, it.least.Price) }},
	}
}

// excess is a cell of how much a price is over a lower one, as a part of that.
func excess(price, lowest string, a, b measure.UnitPrice) xlsx.Cell {
	f := fmt.Sprintf("IF(%[2]s>0,ROUND(ROUND(%[1]s/%[2]s-1,8),6),%[3]q)", price, lowest, none)
	return computed(f, compare.OverLowest(measure.Money(a), measure.Money(b)), xlsx.Percent)
}

// spreadBars draws by how much the prices of the items that differ most differ.
func (w *jobsWriter) spreadBars(p *xlsx.Sheet) {
	n := 0
	for n < len(w.items) && n < barsAPicture && w.items[n].Spread().V > 0 {
		n++
	}
	if n == 0 {
		return
	}
	const head = "High over low"
	t := w.unitPrices
	rows := func(head string) string { return t.At(w.items[0].key, head).To(t.At(w.items[n-1].key, head)).String() }
	step, end := xlsx.AxisOf(float64(w.items[0].Spread().V) / 1e6)
	p.Below(xlsx.BarChart{
		Width: barsWidth, Height: xlsx.PicturePixels(n), Format: "0%",
		About: "By how much the highest price paid for an item is above the lowest", Axis: "highest price above the lowest",
		Bars: rows("Item"), Max: end, Step: step,
		Series: []xlsx.BarSeries{{Name: t.Head(head).String(), Values: rows(head), Fill: classFills[0], Labels: make([]string, n)}},
	})
}

// payment is what a job paid for an item.
type payment struct {
	compare.Paid
	item *pricedItem
}

// pricesPaidSheet writes a row for each price that a job paid.
func (w *jobsWriter) pricesPaidSheet(p *xlsx.Sheet) func() {
	top(p, "Prices paid", fmt.Sprintf("In %s. Price = cost / bought, in the unit of the column Per.", w.currency))
	return func() {
		t := xlsx.NewTable(p, "PricesPaid", w.paymentColumns())
		t.Header()
		for i := range w.items {
			it := &w.items[i]
			first := p.Next()
			for _, x := range it.Paid {
				t.Row(payment{x, it})
			}
			it.prices, it.jobs = t.Rows(first, t.Last(), "Price"), t.Rows(first, t.Last(), "Job")
		}
		if len(w.items) == 0 {
			t.Nothing(noItems)
		}
		t.Finish()
	}
}

func (w *jobsWriter) paymentColumns() []xlsx.Column[payment] {
	return []xlsx.Column[payment]{
		{Head: "Item", Width: 24, Frozen: true, Cell: func(x payment) xlsx.Cell { return xlsx.Str(xlsx.Text, x.item.Item.Key) }},
		{Head: "Per", Width: 11, Cell: func(x payment) xlsx.Cell { return xlsx.Str(xlsx.Text, x.item.Per) }},
		{Head: "Job", Width: 17, Cell: func(x payment) xlsx.Cell { return xlsx.Str(xlsx.Text, w.jobs[x.Job].Name) }},
		{Head: "Supplier", Width: 30, Cell: func(x payment) xlsx.Cell { return xlsx.Str(xlsx.Text, x.Supplier) }},
		{Head: "Prices of", Width: 24, Cell: func(x payment) xlsx.Cell { return xlsx.Str(xlsx.Text, days(x.From, x.To)) }},
		{Head: "Bought", Width: 12, Cell: func(x payment) xlsx.Cell { return xlsx.Num(float64(x.Bought)/float64(x.item.Unit), xlsx.Number) }},
		{Head: "Cost", Width: 12, Cell: func(x payment) xlsx.Cell { return xlsx.Num(x.Cost, xlsx.Money) }},
		{Head: "Price", Width: 11, Cell: func(x payment) xlsx.Cell {
			return xlsx.Formula("ROUND(ROUND({Cost}/{Bought},8),4)", x.Price, xlsx.UnitPrice)
		}},
		{Head: "Above lowest", Width: 11, Cell: func(x payment) xlsx.Cell {
			return excess("{Price}", w.unitPrices.At(x.item.key, "Lowest").String(), x.Price, x.item.least.Price)
		}},
	}
}

// days says of which days prices are.
func days(from, to estimate.Maybe[measure.Date]) string {
	switch {
	case !from.Set:
		return "no date"
	case from.V == to.V:
		return from.V.String()
	}
	return from.V.String() + " to " + to.V.String()
}
