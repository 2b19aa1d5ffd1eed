package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

func priceColumns() []xlsx.Column[pricing.Offer] {
	type row = pricing.Offer
	text := func(of func(row) string) func(row) xlsx.Cell {
		return func(o row) xlsx.Cell { return xlsx.Str(xlsx.InputText, of(o)) }
	}
	day := func(of func(row) estimate.Maybe[measure.Date]) func(row) xlsx.Cell {
		return func(o row) xlsx.Cell { return xlsx.Optional(of(o).V, of(o).Set, xlsx.InputDate) }
	}
	return []xlsx.Column[row]{
		{Head: "Supplier", Width: 24, Cell: text(func(o row) string { return o.Supplier })},
		{Head: "Item", Width: 20, Frozen: true, Cell: text(func(o row) string { return o.Item })},
		{Head: "Code", Width: 11, Cell: text(func(o row) string { return o.Code })},
		{Head: "Description", Width: 36, Cell: text(func(o row) string { return o.Description })},
		{Head: "Content", Width: 11, Cell: text(func(o row) string { return o.Content })},
		{Head: "Unit", Width: 9, Cell: text(func(o row) string { return o.Unit })},
		{Head: "Price", Width: 10, Cell: func(o row) xlsx.Cell { return xlsx.Num(o.Price, xlsx.InputUnitPrice) }},
		{Head: "Currency", Width: 9, Cell: text(func(o row) string { return o.Currency })},
		{Head: "Min temp F", Width: 9, Cell: func(o row) xlsx.Cell { return xlsx.Optional(o.MinTempF.V, o.MinTempF.Set, xlsx.InputCount) }},
		{Head: "Lead days", Width: 9, Cell: func(o row) xlsx.Cell { return xlsx.Optional(o.LeadDays.V, o.LeadDays.Set, xlsx.InputCount) }},
		{Head: "Effective", Width: 11, Cell: day(func(o row) estimate.Maybe[measure.Date] { return o.Effective })},
		{Head: "Expires", Width: 11, Cell: day(func(o row) estimate.Maybe[measure.Date] { return o.Expires })},
	}
}

func (w *writer) pricesSheet(p *xlsx.Sheet) {
	w.lead(p, "Prices", "The price lists of this estimate. Change a price here and the bid follows; then run estimate again, for another choice may be cheaper.")
	w.prices = xlsx.NewTable(p, "PriceList", priceColumns())
	w.prices.Header()
	for _, o := range w.in.Lists.Offers {
		w.offerRow = append(w.offerRow, w.prices.Row(o))
	}
	w.prices.Finish()
}

// priceCell refers to the price of an offer.
func (w *writer) priceCell(o pricing.Offer) string {
	return w.prices.Cell(w.offerRow[o.Index], "Price").Moving()
}
