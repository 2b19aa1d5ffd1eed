// Package pricelist reads price lists and the terms of suppliers, from CSV files
// or workbooks, and writes them as CSV.
package pricelist

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// Sheet is the name of the price list's sheet in a workbook.
const Sheet = "Prices"

// The headers of a price list.
const (
	supplier    = "supplier"
	item        = "item"
	code        = "code"
	description = "description"
	content     = "content"
	unit        = "unit"
	price       = "price"
	currency    = "currency"
	minTempF    = "min_temp_f"
	leadDays    = "lead_days"
	effective   = "effective"
	expires     = "expires"
)

// unitHeaders are headers of the column that says what a price is for.
var unitHeaders = []string{unit, "sold by", "sold as", "unit of sale", "uom", "unit of measure", "per", "u/m", "um", "selling unit", "sales unit", "sell unit",
	"price by", "priced by", "priced per", "price per", "price unit", "pricing unit", "unit of price", "price uom", "pricing uom", "price basis", "pricing basis",
	"basis", "basis of price", "sold in"}

// Columns returns the columns of a price list, with other headers taken for
// them. A column of prices that are written with a decimal comma says so in its
// header: "price (decimal comma)".
func Columns() []sheet.Column {
	return withDecimalComma([]sheet.Column{
		{Key: supplier, Required: true, Synonyms: []string{"vendor", "yard", "merchant", "dealer", "seller", "supplier name"}},
		{Key: item, Required: true, Synonyms: []string{"item key", "material", "product"}},
		{Key: code, Synonyms: []string{"sku", "part no", "part number", "item no", "item number", "item code", "product code", "supplier code",
			"article", "catalog no"}},
		{Key: description, Synonyms: []string{"desc", "text", "name", "product name", "item description"}},
		{Key: content, Required: true, Synonyms: []string{"contents", "size", "pack size", "package size", "pack", "net content"}},
		{Key: unit, Synonyms: unitHeaders[1:], Fits: func(header string) bool { return unitInHeader(header) != "" }},
		{Key: price, Required: true, Synonyms: []string{"unit price", "price each", "net price", "price per unit", "cost", "unit cost", "cost each", "your price"}},
		{Key: currency, Synonyms: []string{"cur", "ccy", "currency code"}},
		{Key: minTempF, Synonyms: []string{"min temp", "minimum temperature", "lowest temperature", "minimum temperature f", "application temperature"}},
		{Key: leadDays, Synonyms: []string{"lead", "lead time", "lead time days", "delivery days"}},
		{Key: effective, Synonyms: []string{"effective date", "valid from", "price date", "from", "as of"}},
		{Key: expires, Synonyms: []string{"expiry", "expiry date", "expiration", "expiration date", "expires on", "valid until", "valid to", "valid through"}},
	}, price)
}

// Read returns the offers of a price list: a CSV file, or the sheet Prices of
// a workbook, or its only sheet. A row with something wrong is left out, and
// everything wrong with it is reported, each at its cell. A row without a
// price offers nothing; it is left out with a warning.
//
// A supplier's whole list names much that no job of ours knows. A row whose item is
// blank or not on the Items sheet is left out with a warning, and many of them
// make one warning; only a name that looks like a slip for one of ours is an
// error, for an offer is then lost that was meant.
//
// The value that the file stores for a formula is used, and a note says so; no
// formula is ever worked out, and text that begins like one stays text.
//
// A supplier whose name contains "(invented)" has made-up prices, and its
// offers say so.
//
// A price by a measure, such as the foot, is turned into that of one pack, to the
// hundredth of a cent, and one note says which were: the column unit says what
// prices are for. An offer's price and unit are those of a pack.
func Read(b *sheet.Book, items estimate.Items) ([]pricing.Offer, []estimate.Problem) {
	s, problems := find(b)
	if s == nil {
		return nil, problems
	}
	l, rows, problems := openList[row](s, Columns(), b.Date1904)
	r := reader{list: l, items: items, names: sheet.NewItemNames(items)}
	var offers []pricing.Offer
	for i, f := range rows {
		if o, ok := r.offer(l.table.Rows[i], f); ok {
			offers = append(offers, o)
		}
	}
	return offers, slices.Concat(problems, r.problems, onePrice(offers), r.unknownItems.problems(), convertedNote(r.converted), l.formulasNote(), r.codesNote())
}

// find returns the sheet of the price list.
func find(b *sheet.Book) (*sheet.Sheet, []estimate.Problem) {
	if s := b.Sheet(Sheet); s != nil {
		return s, nil
	}
	if len(b.Sheets) == 1 {
		return b.Sheets[0], nil
	}
	return nil, []estimate.Problem{{Place: estimate.Place{File: b.File}, Severity: estimate.Error,
		What: fmt.Sprintf("there is no sheet %q among %d sheets", Sheet, len(b.Sheets)),
		Do:   "name the sheet with the prices " + Sheet}}
}

// reader turns table rows into offers.
type reader struct {
	*list
	items        estimate.Items
	names        sheet.ItemNames
	unknownItems unknownItems
	numberCodes  []sheet.Cell
	converted    []conversion
	problems     []estimate.Problem
}

// offer returns the offer of a row, and whether the row has one.
func (r *reader) offer(row sheet.Row, f row) (pricing.Offer, bool) {
	c := r.check(row)
	it, ours := r.item(&c, f.Item)
	if !ours {
		return pricing.Offer{}, false // what else is wrong with it is nobody's concern
	}
	o := pricing.Offer{
		Place: row.Place, Supplier: c.seller(f.Supplier, "who sells it"), Item: it.Key,
		Code: f.Code, Description: f.Description, Content: f.Content, Unit: f.Unit,
		Price: c.price(f.Price), Currency: c.currency(f.Currency, field{price, f.Price}),
		MinTempF: value(&c, minTempF, f.MinTempF.parsed), LeadDays: value(&c, leadDays, f.LeadDays.parsed),
		Effective: value(&c, effective, f.Effective.parsed), Expires: value(&c, expires, f.Expires.parsed),
	}
	o.Amount = c.content(f.Content, it)
	o.Invented = invented(o.Supplier)
	c.dates(o)
	r.noteCode(row)
	used := c.beside()
	if o.Price > 0 && o.Amount > 0 {
		o.Unit, _ = c.soldAs(f.Unit)
		as, _ := c.perPack(o.Price, o.Unit, f.Content)
		r.noteConversion(row, o, as)
		o.Price, o.Unit, o.ByMeasure = as.price, as.unit, as.measured
	}
	r.problems = append(r.problems, c.problems...)
	return o, it.Key != "" && used && !c.unpriced && estimate.Errors(c.problems) == 0
}

// invented reports whether a supplier's name says that its prices are made up.
func invented(supplier string) bool { return strings.Contains(strings.ToLower(supplier), "(invented)") }

// noteCode takes note of a row's code that is stored as a number.
func (r *reader) noteCode(row sheet.Row) {
	if cell := row.Cell(code); cell.Kind == sheet.Number {
		r.numberCodes = append(r.numberCodes, cell)
	}
}

// noteConversion takes note of a row's price that is written by a measure.
func (r *reader) noteConversion(row sheet.Row, written pricing.Offer, as sale) {
	if as.measured {
		by := cmp.Or(written.Unit, r.table.HeaderUnit(price))
		r.converted = append(r.converted, conversion{row.Cell(unit), by, written.Content, written.Price, as.price, as.rounded})
	}
}

// item finds the item of a row, whatever the case it is written in. It reports
// false for a row that is not about an item of ours.
func (r *reader) item(c *checker, name string) (estimate.Item, bool) {
	cell := c.row.Cell(item)
	if c.reported[cell.Place.Column] {
		return estimate.Item{}, true // the cell holds no value, which is said
	}
	if it, ok := findItem(r.names, r.items, name); ok {
		return it, true
	}
	return estimate.Item{}, r.unknownItems.add(cell, name, r.items)
}

// codesNote warns once of codes that are stored as numbers.
func (r *reader) codesNote() []estimate.Problem {
	n := len(r.numberCodes)
	if n == 0 {
		return nil
	}
	what := fmt.Sprintf("the code %s is stored as a number, which has no leading zeros", r.numberCodes[0].Word())
	if n > 1 {
		what = fmt.Sprintf("%d codes, the first %s, are stored as numbers, which have no leading zeros", n, r.numberCodes[0].Word())
	}
	return []estimate.Problem{r.numberCodes[0].Problem(estimate.Warning, what, "compare with the supplier's list; format the column as text")}
}
