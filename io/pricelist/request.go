package pricelist

import (
	"strconv"

	"github.com/gocarina/gocsv"

	"sillwright/io/sheet"
	"sillwright/pricing"
)

// requestRow is a row of a request for a quote: a price list whose prices are still to be
// filled in, and what is asked of each.
type requestRow struct {
	Supplier    string `csv:"supplier"`
	Code        string `csv:"code"`
	Description string `csv:"description"`
	Content     string `csv:"content"`
	Unit        string `csv:"unit"`
	Count       string `csv:"count"`
	Price       string `csv:"price"`
	Currency    string `csv:"currency"`
	LeadDays    string `csv:"lead_days"`
	Substitute  string `csv:"substitute"`
	Item        string `csv:"item"`
}

// WriteRequest returns a request for a quote as CSV. Filled in it is a price list and a
// quote: item, our key, travels along as the last column.
func WriteRequest(lines []pricing.RequestLine, supplier, currency string) ([]byte, error) {
	var rows []requestRow
	for _, l := range lines {
		r := requestRow{Supplier: sheet.GuardCSV(supplier), Code: sheet.GuardCSV(l.Code), Description: sheet.GuardCSV(Asked(l)), Content: sheet.GuardCSV(l.Content),
			Unit: sheet.GuardCSV(l.Unit), Currency: currency, Item: sheet.GuardCSV(l.Item.Key)}
		if l.Count.Set {
			r.Count = strconv.FormatInt(l.Count.V, 10)
		}
		rows = append(rows, r)
	}
	return gocsv.MarshalBytes(rows)
}

// Asked says in words what a line asks for.
func Asked(l pricing.RequestLine) string {
	if l.Need != "" {
		return l.Description + ", " + l.Need + ": state pack and price"
	}
	return l.Description
}
