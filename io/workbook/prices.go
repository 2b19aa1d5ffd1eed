package workbook

import (
	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// priceColumns: an offer that is nil is one to fill in.
func priceColumns() []xlsx.Column[*pricing.Offer] {
	type row = *pricing.Offer
	input := func(l xlsx.Look, cell func(row) xlsx.Cell) func(row) xlsx.Cell {
		return func(o row) xlsx.Cell {
			if o == nil {
				return xlsx.Blank(l)
			}
			return cell(o)
		}
	}
	text := func(of func(row) string) func(row) xlsx.Cell {
		return input(xlsx.InputText, func(o row) xlsx.Cell { return filled(xlsx.InputText, of(o)) })
	}
	count := func(of func(row) estimate.Maybe[int64]) func(row) xlsx.Cell {
		return input(xlsx.InputCount, func(o row) xlsx.Cell { return xlsx.Optional(of(o).V, of(o).Set, xlsx.InputCount) })
	}
	day := func(of func(row) estimate.Maybe[measure.Date]) func(row) xlsx.Cell {
		return input(xlsx.InputDate, func(o row) xlsx.Cell { return xlsx.Optional(of(o).V, of(o).Set, xlsx.InputDate) })
	}
	return []xlsx.Column[row]{
		{Head: "Supplier", Width: 24, Cell: text(func(o row) string { return o.Supplier })},
		{Head: "Item", Width: 20, Frozen: true, Cell: text(func(o row) string { return o.Item })},
		{Head: "Code", Width: 11, Cell: text(func(o row) string { return o.Code })},
		{Head: "Description", Width: 36, Cell: text(func(o row) string { return o.Description })},
		{Head: "Content", Width: 11, Cell: text(func(o row) string { return o.Content })},
		{Head: "Unit", Width: 9, Cell: text(func(o row) string { return o.Unit })},
		{Head: "Price", Width: 10, Cell: input(xlsx.InputUnitPrice, func(o row) xlsx.Cell { return xlsx.Num(o.Price, xlsx.InputUnitPrice) })},
		{Head: "Currency", Width: 9, Cell: text(func(o row) string { return o.Currency })},
		{Head: "Min temp F", Width: 9, Cell: count(func(o row) estimate.Maybe[int64] { return o.MinTempF })},
		{Head: "Lead days", Width: 9, Cell: count(func(o row) estimate.Maybe[int64] { return o.LeadDays })},
		{Head: "Effective", Width: 11, Cell: day(func(o row) estimate.Maybe[measure.Date] { return o.Effective })},
		{Head: "Expires", Width: 11, Cell: day(func(o row) estimate.Maybe[measure.Date] { return o.Expires })},
	}
}

// priceRoles: a price may be as low as it likes, and must be there.
var priceRoles = inputRoles{live: map[string]liveKind{"Price": priceInput}, free: []string{"Description"}}

func (w *writer) pricesSheet(p *xlsx.Sheet) {
	w.lead(p, "Prices", "The price lists of this estimate. Change a price here and the bid follows; then run estimate again, for another choice may be cheaper.")
	w.prices = xlsx.NewTable(p, "PriceList", roled(w, priceRoles, priceColumns()))
	t := w.prices
	t.Header()
	for i := range w.in.Lists.Offers {
		w.offerRow = append(w.offerRow, t.Row(&w.in.Lists.Offers[i]))
	}
	for range fewRows {
		t.Row(nil)
	}
	t.Column("Price").Decimals(0, priceInput.most, "Price", "An amount of money, 0 or more, before tax.")
	t.Finish()
	w.watchedPrices = watch("Prices", &t.Grid, priceRoles, "Supplier", "Item", "Content")
	w.watchedPrices.choice = true
	w.hold(w.watchedPrices)
}

// priceCell refers to the price of an offer.
func (w *writer) priceCell(o pricing.Offer) string {
	return w.watchedPrices.now(w.offerRow[o.Index], "Price")
}
