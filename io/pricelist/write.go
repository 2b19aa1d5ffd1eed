package pricelist

import (
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// Write returns offers as a CSV price list that Read reads back. Text that a
// spreadsheet program would run as a formula is guarded.
func Write(offers []pricing.Offer) ([]byte, error) {
	rows := make([]row, len(offers))
	for i, o := range offers {
		r := row{
			Supplier: sheet.GuardCSV(o.Supplier), Item: sheet.GuardCSV(o.Item), Code: sheet.GuardCSV(o.Code),
			Description: sheet.GuardCSV(o.Description), Content: sheet.GuardCSV(o.Content),
			Unit: sheet.GuardCSV(o.Unit), Currency: sheet.GuardCSV(o.Currency),
		}
		r.Price = strings.ReplaceAll(o.Price.String(), ",", "")
		r.MinTempF.text = number(o.MinTempF)
		r.LeadDays.text = number(o.LeadDays)
		if o.Effective.Set {
			r.Effective.text = o.Effective.V.String()
		}
		if o.Expires.Set {
			r.Expires.text = o.Expires.V.String()
		}
		rows[i] = r
	}
	return gocsv.MarshalBytes(rows)
}

func number(n estimate.Maybe[int64]) string {
	if !n.Set {
		return ""
	}
	return strconv.FormatInt(n.V, 10)
}

// WriteTerms returns the terms of suppliers as CSV that ReadTerms reads back,
// guarded as Write does.
func WriteTerms(terms []pricing.Terms) ([]byte, error) {
	rows := make([]termsRow, len(terms))
	for i, t := range terms {
		r := termsRow{
			Supplier: sheet.GuardCSV(t.Supplier), Currency: sheet.GuardCSV(t.Currency),
			DeliveryFee: money(t.DeliveryFee), FreeOver: money(t.FreeOver), MinimumOrder: money(t.MinimumOrder),
			Always: sheet.GuardCSV(strings.Join(t.Always, "; ")), Never: sheet.GuardCSV(strings.Join(t.Never, "; ")),
		}
		r.LeadDays.text = number(t.LeadDays)
		rows[i] = r
	}
	return gocsv.MarshalBytes(rows)
}

func money(m estimate.Maybe[measure.Money]) string {
	if !m.Set {
		return ""
	}
	return strings.ReplaceAll(m.V.String(), ",", "")
}
