package workbook

import (
	"sillwright/io/xlsx"
	"sillwright/io/xlsx/formula"
	"strings"
)

// supplierHeads are the columns of the Suppliers sheet.
var supplierHeads = []string{"Supplier", "Delivery fee", "Free over", "Minimum order", "Lead days", "Currency", "Always", "Never"}

// suppliersSheet writes what each supplier asks beside its prices: those whose
// terms are known, and the others to fill in.
func (w *writer) suppliersSheet() {
	p := w.suppliers
	w.lead(p, "Suppliers", "What each supplier asks beside its prices; blank: nothing. Always and Never: items (keys or classes, parted by ;) that are bought only here, or not here; Never may be all. Change a fee and the price follows; for another choice run estimate again.")
	p.Row(xlsx.Strs(xlsx.Heading, supplierHeads...)...)
	for _, t := range w.in.Lists.AllTerms() {
		cells := []xlsx.Cell{xlsx.Str(xlsx.InputText, t.Supplier), xlsx.Blank(xlsx.InputMoney), xlsx.Blank(xlsx.InputMoney), xlsx.Blank(xlsx.InputMoney), xlsx.Blank(xlsx.InputCount),
			xlsx.Str(xlsx.InputText, t.Currency), xlsx.Str(xlsx.InputTextWrap, strings.Join(t.Always, "; ")), xlsx.Str(xlsx.InputTextWrap, strings.Join(t.Never, "; "))}
		if t.DeliveryFee.Set {
			cells[1].V = t.DeliveryFee.V
		}
		if t.FreeOver.Set {
			cells[2].V = t.FreeOver.V
		}
		if t.MinimumOrder.Set {
			cells[3].V = t.MinimumOrder.V
		}
		if t.LeadDays.Set {
			cells[4].V = t.LeadDays.V
		}
		w.supplierRow[strings.ToLower(t.Supplier)] = p.Row(cells...)
	}
	for range w.emptyRows(12) {
		p.Row(blanks(xlsx.InputText, xlsx.InputMoney, xlsx.InputMoney, xlsx.InputMoney, xlsx.InputCount, xlsx.InputText, xlsx.InputTextWrap, xlsx.InputTextWrap)...)
	}
	p.DecimalRange(formula.Range(inputHeader+1, 2, p.Next()-1, 4), 0, 1e7, "Money", "An amount of money, 0 or more.")
	p.WholeRange(typed(p, 5), 0, 365, "Lead days", "Whole days, 0 to 365.")
	p.Widths(28, 13, 13, 14, 10, 10, 30, 30)
	p.Finish("SupplierTerms", inputHeader, len(supplierHeads), 1)
}
