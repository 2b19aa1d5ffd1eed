package comparison

import (
	"cmp"
	"fmt"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing/compare"
)

// quotedItem is an item that the job buys, and what it costs at each quote.
type quotedItem struct {
	compare.NeededItem
	place int // in the list
	least estimate.Maybe[measure.Money]
	why   string // it is missing
}

// itemSums are the rows below the items, which Quotes refers to.
type itemSums struct{ materials, common, quoted, missing int }

// bestSplit heads what each item costs in the best split.
const bestSplit = "Best split"

// itemsSheet writes what each item costs at each quote.
func (w *quotesWriter) itemsSheet(p *xlsx.Sheet) func() {
	top(p, "By item", "What all that the job needs of each item costs at each quote, in whole packs, boards and rolls, in "+w.in.Job.Currency+
		". A missing price does not count as zero: only items that all quote decide the ranking.")
	w.items = xlsx.NewTable(p, "QuotedItems", w.itemColumns())
	return func() {
		fill(w.items, w.quotedItems())
		w.itemSums()
	}
}

func (w *quotesWriter) quotedItems() []quotedItem {
	var out []quotedItem
	for k, n := range w.c.Items {
		it := quotedItem{NeededItem: n, place: k}
		var why []string
		for _, q := range w.quotes {
			cost := q.Items[k].Cost
			switch {
			case !cost.Set:
				why = append(why, q.Supplier+": "+q.Items[k].Why)
			case !it.least.Set || cost.V < it.least.V:
				it.least = cost
			}
		}
		it.why = strings.Join(why, "; ")
		out = append(out, it)
	}
	return out
}

func (w *quotesWriter) itemColumns() []xlsx.Column[quotedItem] {
	type item = quotedItem
	columns := []xlsx.Column[item]{
		{Head: "Item", Width: 20, Frozen: true, Cell: func(x item) xlsx.Cell { return xlsx.Str(xlsx.Text, x.Item.Key) }},
		{Head: "Name", Width: 36, Cell: func(x item) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.Item.Name) }},
		{Head: "To buy", Width: 9, Cell: func(x item) xlsx.Cell {
			return xlsx.Num(w.u.Of(x.Item.Dim, x.ToBuy), xlsx.CountOr(x.Item.Dim == estimate.Each, xlsx.Number))
		}},
		{Head: "Unit", Width: 7, Cell: func(x item) xlsx.Cell { return xlsx.Str(xlsx.Text, w.u.Name(x.Item.Dim)) }},
	}
	for i := range w.quotes {
		columns = append(columns, w.quoteColumn(&w.quotes[i]))
	}
	quotes := fmt.Sprintf("{%s..%s}", w.quotes[0].column, w.quotes[len(w.quotes)-1].column)
	return append(columns, []xlsx.Column[item]{
		{Head: "All quote it", Width: 8, Cell: func(x item) xlsx.Cell {
			return xlsx.Formula(fmt.Sprintf(`IF(COUNT(%s)=%d,"yes","no")`, quotes, len(w.quotes)), xlsx.YesNo(x.Common), xlsx.Text)
		}},
		{Head: "Lowest", Width: 11, Cell: func(x item) xlsx.Cell {
			if !x.least.Set {
				return dash()
			}
			return xlsx.Formula("MIN("+quotes+")", x.least.V, xlsx.Money)
		}},
		{Head: "Split at", Width: 24, Cell: func(x item) xlsx.Cell { return xlsx.Str(xlsx.Text, cmp.Or(x.Split, none)) }},
		{Head: bestSplit, Width: 11, Cell: w.splitCell},
		{Head: "Why it is missing", Width: 44, Cell: func(x item) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, x.why) }},
	}...)
}

// quoteColumn is what items cost at a quote.
func (w *quotesWriter) quoteColumn(q *quote) xlsx.Column[quotedItem] {
	return xlsx.Column[quotedItem]{Key: q.column, Head: cmp.Or(strings.TrimSpace(formula.CleanText(q.Supplier)), "quote"), Clash: " (quote)", Width: 15,
		Cell: func(x quotedItem) xlsx.Cell {
			cost := q.Items[x.place].Cost
			if !cost.Set {
				return xlsx.Str(xlsx.TextRight, "missing")
			}
			return xlsx.Formula("SUM("+q.bought[x.place].String()+")", cost.V, xlsx.Money)
		}}
}

// splitCell is what an item costs in the best split.
func (w *quotesWriter) splitCell(x quotedItem) xlsx.Cell {
	if !x.Least.Set {
		return xlsx.Str(xlsx.TextRight, "missing")
	}
	for _, q := range w.quotes {
		if q.Supplier == x.Split && q.Items[x.place].Cost == x.Least {
			return xlsx.Formula("{"+q.column+"}", x.Least.V, xlsx.Money)
		}
	}
	return xlsx.Num(x.Least.V, xlsx.Money)
}

// itemSums writes the sums of each quote, and of the best split.
func (w *quotesWriter) itemSums() {
	t := w.items
	line := func(label string, l xlsx.Look, f func(costs string) string, v func(quote) any, more ...xlsx.Span) int {
		spans := []xlsx.Span{{From: "Item", Cell: xlsx.Str(xlsx.TotalText, label)}}
		for _, head := range []string{"Name", "To buy", "Unit"} {
			spans = append(spans, xlsx.Span{From: head, Cell: xlsx.Blank(xlsx.TotalText)})
		}
		for _, q := range w.quotes {
			sum := "0"
			if !t.Empty() {
				sum = f(t.Column(q.column).Local())
			}
			spans = append(spans, xlsx.Span{From: q.column, Cell: xlsx.Formula(sum, v(q), l)})
		}
		return t.Line(append(spans, more...)...)
	}
	w.sums.materials = line("Materials quoted", xlsx.Total,
		func(costs string) string { return "SUM(" + costs + ")" },
		func(q quote) any { return q.Materials },
		xlsx.Span{From: bestSplit, Cell: xlsx.Formula(t.Sum(bestSplit), w.c.Split.Materials, xlsx.Total)})
	w.sums.common = line("Items that all quote", xlsx.Total,
		func(costs string) string {
			return fmt.Sprintf(`SUMIF(%s,"yes",%s)`, t.Column("All quote it").Fixed(), costs)
		},
		func(q quote) any { return q.Common })
	w.sums.quoted = line("Items quoted", xlsx.TotalCount,
		func(costs string) string { return "COUNT(" + costs + ")" },
		func(q quote) any { return len(q.Items) - q.Missing })
	w.sums.missing = line("Items missing", xlsx.TotalCount,
		func(costs string) string { return fmt.Sprintf("ROWS(%[1]s)-COUNT(%[1]s)", costs) },
		func(q quote) any { return q.Missing })
}
