package workbook

import (
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// purchaseColumns: a line that is nil is one to fill in.
func purchaseColumns() []xlsx.Column[*estimate.Bought] {
	type row = *estimate.Bought
	cell := func(l xlsx.Look, of func(row) xlsx.Cell) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(l)
			}
			return of(r)
		}
	}
	text := func(head string, width float64, of func(row) string) xlsx.Column[row] {
		return xlsx.Column[row]{Head: head, Width: width, Cell: cell(xlsx.InputText, func(r row) xlsx.Cell { return filled(xlsx.InputText, of(r)) })}
	}
	count := func(head string, of func(row) estimate.Maybe[int64]) xlsx.Column[row] {
		return xlsx.Column[row]{Head: head, Width: 9.5, Cell: cell(xlsx.InputCount, func(r row) xlsx.Cell { return xlsx.Optional(of(r).V, of(r).Set, xlsx.InputCount) })}
	}
	money := func(head string, of func(row) estimate.Maybe[measure.Money]) xlsx.Column[row] {
		return xlsx.Column[row]{Head: head, Width: 10, Cell: cell(xlsx.InputUnitPrice, func(r row) xlsx.Cell { return xlsx.Optional(of(r).V, of(r).Set, xlsx.InputUnitPrice) })}
	}
	return []xlsx.Column[row]{
		{Head: "Date", Width: 11, Cell: cell(xlsx.InputDate, func(r row) xlsx.Cell { return xlsx.Optional(r.Date.V, r.Date.Set, xlsx.InputDate) })},
		text("Supplier", 24, func(r row) string { return r.Supplier }),
		text("Order", 16, func(r row) string { return r.Order }),
		text("Invoice", 13, func(r row) string { return r.Invoice }),
		text("State", 13, func(r row) string { return string(r.State) }),
		text("Item", 20, func(r row) string { return r.Item }),
		text("Code", 11, func(r row) string { return r.Code }),
		text("Pack", 11, func(r row) string { return r.Pack }),
		text("Pack received", 11, func(r row) string { return r.PackReceived }),
		count("Count", func(r row) estimate.Maybe[int64] { return r.Count }),
		count("Received", func(r row) estimate.Maybe[int64] { return r.Received }),
		count("Returned", func(r row) estimate.Maybe[int64] { return r.Returned }),
		count("Lost", func(r row) estimate.Maybe[int64] { return r.Lost }),
		{Head: "Price", Width: 10, Cell: cell(xlsx.InputUnitPrice, func(r row) xlsx.Cell { return xlsx.Optional(r.Price.V, r.Price.Set, xlsx.InputUnitPrice) })},
		money("Tax", func(r row) estimate.Maybe[measure.Money] { return r.Tax }),
		money("Freight", func(r row) estimate.Maybe[measure.Money] { return r.Freight }),
		money("Credit", func(r row) estimate.Maybe[measure.Money] { return r.Credit }),
		text("Done before", 34, func(r row) string {
			words := make([]string, len(r.Before))
			for i, p := range r.Before {
				words[i] = p.Words()
			}
			return strings.Join(words, "; ")
		}),
		text("Notes", 30, func(r row) string { return r.Notes }),
		text("Cannot be returned", 14, func(r row) string { return string(r.NoReturn) }),
	}
}

// purchaseRoles: what is still to buy is planned anew for every change.
var purchaseRoles = inputRoles{free: []string{"Invoice", "Notes"}}

// purchasesSheet writes what was bought for the job.
func (w *writer) purchasesSheet(p *xlsx.Sheet) {
	w.lead(p, "Purchases", "What was bought for this job, a line a pack, board or roll of each order, and drafts. Only what is placed, confirmed, "+
		"back-ordered or received counts. "+
		"A line without an item is of the whole order: its tax, its freight.")
	t := xlsx.NewTable(p, "Purchases", roled(w, purchaseRoles, purchaseColumns()))
	t.Header()
	for i := range w.in.Book.Job.Purchases {
		t.Row(&w.in.Book.Job.Purchases[i])
	}
	for range w.emptyRows(40) {
		t.Row(nil)
	}
	t.Column("State").Choice(estimate.BuyStates, "State", "Choose from the list.")
	t.Column("Cannot be returned").Choice(estimate.NoReturns, "Cannot be returned", "Choose why, or leave it blank.")
	for _, head := range []string{"Count", "Received", "Returned", "Lost"} {
		t.Column(head).Wholes(0, 1e6, head, "A whole number, 0 or more.")
	}
	t.Finish()
	w.help(&t.Grid, "Purchases")
	if w.checked {
		w.hold(watch("Purchases", &t.Grid, purchaseRoles, "Order", "Item"))
	}
}
