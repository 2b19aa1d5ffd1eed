package comparison

import (
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// suppliersLine is a line of a quote.
type suppliersLine struct {
	compare.QuoteLine
	supplier string
}

// linesSheet writes every line as its supplier wrote it, with what count times
// unit price comes to.
func (w *quotesWriter) linesSheet(p *xlsx.Sheet) func() {
	top(p, "Lines", "Every line as the supplier wrote it. Lines about no item of the job are in the supplier's own sums and in no other.")
	return func() {
		t := xlsx.NewTable(p, "QuoteLines", lineColumns)
		t.Header()
		for i := range w.quotes {
			q, first := &w.quotes[i], p.Next()
			for _, l := range q.Lines {
				t.Row(suppliersLine{l, q.Supplier})
			}
			q.own, q.byPrice = t.Rows(first, t.Last(), "In the sum of extensions"), t.Rows(first, t.Last(), "Count x unit price")
		}
		t.Finish()
	}
}

var lineColumns = []xlsx.Column[suppliersLine]{
	{Head: "Quote", Width: 24, Frozen: true, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.supplier) }},
	{Head: "Cell", Width: 22, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Place.String()) }},
	{Head: "Item", Width: 20, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Named) }},
	{Head: "Description", Width: 34, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, l.Offer.Description) }},
	{Head: "Content", Width: 12, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Content) }},
	{Head: "Count", Width: 8, Cell: func(l suppliersLine) xlsx.Cell { return optional(l.Count, xlsx.Count) }},
	{Head: "Unit price", Width: 10, Cell: func(l suppliersLine) xlsx.Cell { return optional(l.Price, xlsx.UnitPrice) }},
	{Head: "Extension as written", Width: 12, Cell: func(l suppliersLine) xlsx.Cell { return optional(l.Extension, xlsx.Money) }},
	{Head: "Count x unit price", Width: 12, Cell: func(l suppliersLine) xlsx.Cell {
		switch by := l.ByPrice(); {
		case by.Set:
			return lineSum(formula.Cents("{Count}*{Unit price}", formula.ExtensionDecimals), by.V)
		case l.Extension.Set: // nothing else to go by
			return lineSum("{Extension as written}", l.Extension.V)
		}
		return xlsx.Blank(xlsx.Money)
	}},
	{Head: "Difference", Width: 10, Cell: func(l suppliersLine) xlsx.Cell {
		if d := less(l.Extension, l.ByPrice()); d.Set {
			return lineSum("ROUND({Extension as written}-{Count x unit price},2)", d.V)
		}
		return xlsx.Blank(xlsx.Money)
	}},
	{Head: "In the sum of extensions", Width: 12, Cell: func(l suppliersLine) xlsx.Cell {
		switch own := l.Own(); {
		case l.Extension.Set:
			return lineSum("{Extension as written}", own.V)
		case own.Set:
			return lineSum("{Count x unit price}", own.V)
		}
		return xlsx.Blank(xlsx.Money)
	}},
	{Head: "Used", Width: 24, Cell: func(l suppliersLine) xlsx.Cell { return xlsx.Str(xlsx.TextWrap, usedWords(l.QuoteLine)) }},
}

func lineSum(f string, v measure.Money) xlsx.Cell { return xlsx.Formula(f, v, xlsx.Money) }

// usedWords say whether a line is bought from.
func usedWords(l compare.QuoteLine) string {
	switch {
	case l.Offer.Item == "" && !l.Unread:
		return "no item of the job"
	case l.Unread:
		return "cannot be read: see Problems"
	case !l.UnitPrice().Set:
		return "no price"
	case !l.Price.Set:
		return "unit price from the extension"
	}
	return ""
}

// boughtLine is what would be bought of an item from one quote alone.
type boughtLine struct {
	pricing.Line
	supplier, item string
}

// buyingSheet writes what would be bought of each quote for what the job needs.
func (w *quotesWriter) buyingSheet(p *xlsx.Sheet) func() {
	top(p, "Buying", "What the job would take from each quote alone: packs, boards and rolls, whole, planned at its prices.")
	return func() {
		t := xlsx.NewTable(p, "QuoteBuying", boughtColumns)
		t.Header()
		for i := range w.quotes {
			q := &w.quotes[i]
			for k, it := range q.Items {
				first := p.Next()
				for _, l := range it.Lines {
					t.Row(boughtLine{l, q.Supplier, w.c.Items[k].Item.Key})
				}
				q.bought = append(q.bought, t.Rows(first, t.Last(), "Extension"))
			}
		}
		t.Finish()
	}
}

var boughtColumns = []xlsx.Column[boughtLine]{
	{Head: "Quote", Width: 28, Frozen: true, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.supplier) }},
	{Head: "Item", Width: 22, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.item) }},
	{Head: "Pack", Width: 14, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Content) }},
	{Head: "Count", Width: 9, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Num(l.Count(), xlsx.Count) }},
	{Head: "Unit", Width: 10, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Unit) }},
	{Head: "Unit price", Width: 11, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Num(l.Offer.Price, xlsx.UnitPrice) }},
	{Head: "Extension", Width: 12, Cell: func(l boughtLine) xlsx.Cell {
		return xlsx.Formula(formula.Cents("{Count}*{Unit price}", formula.ExtensionDecimals), l.Extension, xlsx.Money)
	}},
	{Head: "Cell", Width: 30, Cell: func(l boughtLine) xlsx.Cell { return xlsx.Str(xlsx.Text, l.Offer.Place.String()) }},
}
