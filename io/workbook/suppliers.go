package workbook

import (
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
	"sillwright/pricing"
)

// supplierColumns: terms that are nil are those of a supplier to fill in.
func supplierColumns() []xlsx.Column[*pricing.Terms] {
	type row = *pricing.Terms
	money := func(of func(row) estimate.Maybe[measure.Money]) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputMoney)
			}
			return xlsx.Optional(of(r).V, of(r).Set, xlsx.InputMoney)
		}
	}
	text := func(l xlsx.Look, of func(row) string) func(row) xlsx.Cell {
		return func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(l)
			}
			return filled(l, of(r))
		}
	}
	return []xlsx.Column[row]{
		{Head: "Supplier", Width: 28, Frozen: true, Cell: text(xlsx.InputText, func(r row) string { return r.Supplier })},
		{Head: "Delivery fee", Width: 13, Cell: money(func(r row) estimate.Maybe[measure.Money] { return r.DeliveryFee })},
		{Head: "Free over", Width: 13, Cell: money(func(r row) estimate.Maybe[measure.Money] { return r.FreeOver })},
		{Head: "Minimum order", Width: 14, Cell: money(func(r row) estimate.Maybe[measure.Money] { return r.MinimumOrder })},
		{Head: "Lead days", Width: 10, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputCount)
			}
			return xlsx.Optional(r.LeadDays.V, r.LeadDays.Set, xlsx.InputCount)
		}},
		{Head: "Currency", Width: 10, Cell: text(xlsx.InputText, func(r row) string { return r.Currency })},
		{Head: "Always", Width: 30, Cell: text(xlsx.InputTextWrap, func(r row) string { return strings.Join(r.Always, "; ") })},
		{Head: "Never", Width: 30, Cell: text(xlsx.InputTextWrap, func(r row) string { return strings.Join(r.Never, "; ") })},
		{Head: "Return days", Width: 10, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputCount)
			}
			return xlsx.Optional(r.ReturnDays.V, r.ReturnDays.Set, xlsx.InputCount)
		}},
		{Head: "Restocking", Width: 11, Cell: func(r row) xlsx.Cell {
			if r == nil {
				return xlsx.Blank(xlsx.InputPercent)
			}
			return xlsx.Optional(r.Restocking.V, r.Restocking.Set, xlsx.InputPercent)
		}},
	}
}

var supplierRoles = inputRoles{live: map[string]liveKind{"Delivery fee": amountInput, "Free over": amountInput, "Minimum order": amountInput}}

// suppliersSheet writes what each supplier asks beside its prices: those whose
// terms are known, and the others to fill in.
func (w *writer) suppliersSheet(p *xlsx.Sheet) {
	w.lead(p, "Suppliers", "What each supplier charges and requires beside its prices; blank: nothing. "+
		"Always and Never: items (keys or classes, separated by ;) that are bought only here, "+
		"or not here; Never may be all. Change a fee and the price follows; for another choice run estimate again.")
	w.suppliers = xlsx.NewTable(p, "SupplierTerms", roled(w, supplierRoles, supplierColumns()))
	t := w.suppliers
	t.Header()
	for _, terms := range w.in.Lists.AllTerms() {
		t.Keyed(terms.Supplier, &terms)
	}
	for range w.emptyRows(12) {
		t.Row(nil)
	}
	t.Block(t.First(), t.Last(), "Delivery fee", "Minimum order").Decimals(0, 1e7, "Money", "An amount of money, 0 or more.")
	t.Column("Lead days").Wholes(0, 365, "Lead days", "Whole days, 0 to 365.")
	t.Column("Return days").Wholes(0, 3650, "Return days", "Whole days after the order, 0 to 3650.")
	t.Column("Restocking").Decimals(0, 1, "Restocking", "A percentage, 0 % to 100 %.")
	t.Finish()
	w.help(&t.Grid, "Suppliers")
	if w.checked {
		w.watchedTerms = watch("Suppliers", &t.Grid, supplierRoles, "Supplier")
		w.watchedTerms.choice = true
		w.hold(w.watchedTerms)
	}
}
