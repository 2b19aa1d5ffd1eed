package pricelist

import (
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// orderRow is a row of an order for the CSV library. Row says what it is: a
// line, or the subtotal, delivery, tax or total.
type orderRow struct {
	Row         string `csv:"row"`
	Supplier    string `csv:"supplier"`
	Code        string `csv:"code"`
	Item        string `csv:"item"`
	Description string `csv:"description"`
	Pack        string `csv:"pack"`
	Unit        string `csv:"unit"`
	Count       string `csv:"count"`
	Price       string `csv:"price"`
	Extension   string `csv:"extension"`
	Currency    string `csv:"currency"`
	Visit       string `csv:"visit"`
	NeededBy    string `csv:"needed_by"`
	CostCode    string `csv:"cost_code"`
}

// WriteOrder returns an order as CSV: a row a line, then its subtotal, delivery,
// tax and total. Text that a spreadsheet program would run as a formula is
// guarded.
func WriteOrder(o pricing.SupplierOrder, currency string) ([]byte, error) {
	name := sheet.GuardCSV(o.Terms.Supplier)
	var rows []orderRow
	for _, l := range o.Lines {
		r := orderRow{
			Row: "line", Supplier: name, Code: sheet.GuardCSV(l.Offer.Code), Item: sheet.GuardCSV(l.Offer.Item), Description: sheet.GuardCSV(l.Offer.Description),
			Pack: sheet.GuardCSV(l.Offer.Content), Unit: sheet.GuardCSV(l.Offer.Unit), Count: strconv.FormatInt(l.Count, 10),
			Price: plain(l.Offer.Price.String()), Extension: plain(l.Extension.String()), Currency: currency, Visit: string(l.Visit), CostCode: sheet.GuardCSV(l.Item.CostCode),
		}
		if l.NeededBy.Set {
			r.NeededBy = l.NeededBy.V.String()
		}
		rows = append(rows, r)
	}
	for _, sum := range []struct {
		row string
		v   measure.Money
	}{{"subtotal", o.Materials}, {"delivery", o.Delivery}, {"tax", o.Tax}, {"total", o.Total()}} {
		rows = append(rows, orderRow{Row: sum.row, Supplier: name, Extension: plain(sum.v.String()), Currency: currency})
	}
	return gocsv.MarshalBytes(rows)
}

// NotSold is an item that no supplier's order holds, and why.
type NotSold struct {
	Job    string `csv:"job"`
	Item   string `csv:"item"`
	Name   string `csv:"name"`
	Need   string `csv:"need"`
	Reason string `csv:"reason"`
}

// WriteNotSold returns what has to be found elsewhere as CSV.
func WriteNotSold(rows []NotSold) ([]byte, error) {
	out := make([]NotSold, len(rows))
	for i, r := range rows {
		out[i] = NotSold{sheet.GuardCSV(r.Job), sheet.GuardCSV(r.Item), sheet.GuardCSV(r.Name), sheet.GuardCSV(r.Need), sheet.GuardCSV(r.Reason)}
	}
	return gocsv.MarshalBytes(out)
}

func plain(s string) string { return strings.ReplaceAll(s, ",", "") }
