package workbook

import (
	"sillwright/io/xlsx"
	"sillwright/pricing"
	"strings"
)

var priceHeads = []string{"Supplier", "Item", "Code", "Description", "Content", "Unit", "Price", "Currency", "Min temp F", "Lead days", "Effective", "Expires"}

const priceCol = 7

func (w *writer) pricesSheet() {
	p := w.prices
	w.lead(p, "Prices", "The price lists of this estimate. Change a price here and the bid follows; then run estimate again, for another choice may be cheaper.")
	p.Row(xlsx.Strs(xlsx.Heading, priceHeads...)...)
	for _, o := range w.in.Lists.Offers {
		temp, lead, from, to := xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputCount), xlsx.Blank(xlsx.InputDate), xlsx.Blank(xlsx.InputDate)
		if o.MinTempF.Set {
			temp.V = o.MinTempF.V
		}
		if o.LeadDays.Set {
			lead.V = o.LeadDays.V
		}
		if o.Effective.Set {
			from.V = o.Effective.V
		}
		if o.Expires.Set {
			to.V = o.Expires.V
		}
		w.offerRow = append(w.offerRow, p.Row(
			xlsx.Str(xlsx.InputText, o.Supplier), xlsx.Str(xlsx.InputText, o.Item), xlsx.Str(xlsx.InputText, o.Code), xlsx.Str(xlsx.InputText, o.Description), xlsx.Str(xlsx.InputText, o.Content),
			xlsx.Str(xlsx.InputText, o.Unit), xlsx.Num(o.Price, xlsx.InputUnitPrice), xlsx.Str(xlsx.InputText, o.Currency), temp, lead, from, to))
	}
	p.Widths(24, 20, 11, 36, 11, 9, 10, 9, 9, 9, 11, 11)
	p.Finish("PriceList", inputHeader, len(priceHeads), 2)
}

// priceRow returns the row of an offer on Prices.
func (w *writer) priceRow(o pricing.Offer) int {
	for i, x := range w.in.Lists.Offers {
		if x.Place == o.Place && x.Item == o.Item && x.Code == o.Code && x.Content == o.Content && strings.EqualFold(x.Supplier, o.Supplier) {
			return w.offerRow[i]
		}
	}
	w.out.Fail("the price of %s from %s is not on Prices", o.Item, o.Supplier)
	return 1
}
