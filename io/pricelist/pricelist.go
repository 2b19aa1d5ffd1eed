// Package pricelist reads price lists, from CSV files or workbooks, as offers,
// and writes offers as a CSV price list.
package pricelist

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/gocarina/gocsv"

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

// Columns returns the columns of a price list, with other headers taken for
// them.
func Columns() []sheet.Column {
	return []sheet.Column{
		{Key: supplier, Required: true, Synonyms: []string{"vendor", "yard", "merchant", "dealer", "seller", "supplier name"}},
		{Key: item, Required: true, Synonyms: []string{"item key", "material", "product"}},
		{Key: code, Synonyms: []string{"sku", "part no", "part number", "item no", "item number", "item code", "product code", "supplier code", "article", "catalog no"}},
		{Key: description, Synonyms: []string{"desc", "text", "name", "product name", "item description"}},
		{Key: content, Required: true, Synonyms: []string{"contents", "size", "pack size", "package size", "pack", "net content"}},
		{Key: unit, Synonyms: []string{"sold by", "sold as", "unit of sale", "uom", "unit of measure", "per"}},
		{Key: price, Required: true, Synonyms: []string{"unit price", "price each", "net price", "cost", "unit cost", "your price"}},
		{Key: currency, Synonyms: []string{"cur", "ccy", "currency code"}},
		{Key: minTempF, Synonyms: []string{"min temp", "minimum temperature", "lowest temperature", "minimum temperature f", "application temperature"}},
		{Key: leadDays, Synonyms: []string{"lead", "lead time", "lead time days", "delivery days"}},
		{Key: effective, Synonyms: []string{"effective date", "valid from", "price date", "from", "as of"}},
		{Key: expires, Synonyms: []string{"expiry", "expiry date", "expiration", "expiration date", "expires on", "valid until", "valid to", "valid through"}},
	}
}

// Read returns the offers of a price list: a CSV file, or the sheet Prices of
// a workbook, or its only sheet. A row with something wrong is left out, and
// everything wrong with it is reported, each at its cell. A row without a
// price offers nothing; it is left out with a warning.
//
// A supplier whose name contains "(invented)" has made-up prices, and its
// offers say so.
func Read(b *sheet.Book, items estimate.Items) ([]pricing.Offer, []estimate.Problem) {
	s, problems := find(b)
	if s == nil {
		return nil, problems
	}
	table, problems := s.Table(Columns())
	r := reader{items: items, date1904: b.Date1904, contentUnit: table.HeaderUnit(content)}
	rows, err := decode(r.grid(table))
	if err != nil {
		return nil, append(problems, estimate.Problem{Place: estimate.Place{File: s.File, Sheet: s.Name}, Severity: estimate.Error, What: "the price list cannot be decoded: " + err.Error()})
	}
	var offers []pricing.Offer
	for i, row := range rows {
		if o, ok := r.offer(table.Rows[i], row); ok {
			offers = append(offers, o)
		}
	}
	r.codesNote()
	return offers, append(problems, r.problems...)
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

// grid is the cells of a table as text under our own headers, for the CSV
// library to decode.
type grid [][]string

// GetCSVRows returns the header and the rows.
func (g grid) GetCSVRows() ([][]string, error) { return g, nil }

func decode(g grid) ([]row, error) {
	var rows []row
	err := gocsv.UnmarshalDecoder(g, &rows)
	return rows, err
}

// reader turns table rows into offers.
type reader struct {
	items       estimate.Items
	date1904    bool
	contentUnit string // in the header of the column
	numberCodes []sheet.Cell
	problems    []estimate.Problem
}

func (r *reader) grid(t *sheet.Table) grid {
	var header []string
	for _, c := range Columns() {
		header = append(header, c.Key)
	}
	g := grid{header}
	for _, row := range t.Rows {
		fields := make([]string, len(header))
		for i, key := range header {
			fields[i] = r.text(key, row.Cell(key))
		}
		g = append(g, fields)
	}
	return g
}

// text returns a cell as it would stand in a CSV file. A cell that holds no
// value is blank here and refused by offer.
func (r *reader) text(key string, c sheet.Cell) string {
	if _, refused := c.Refuse(); refused {
		return ""
	}
	switch {
	case c.Kind == sheet.Date && (key == effective || key == expires):
		return isoDate(c, r.date1904)
	case c.Kind == sheet.Number && key == content:
		return strings.TrimSpace(c.Text + " " + cmp.Or(c.FormatUnit(), r.contentUnit))
	case key == content && isNumber(c.Word()):
		return strings.TrimSpace(c.Word() + " " + r.contentUnit)
	}
	return c.Word()
}

func isNumber(s string) bool { return s != "" && strings.Trim(s, "0123456789.") == "" }

// refusals returns the problems of cells that hold no value to work with.
func (r *reader) refusals(row sheet.Row) []estimate.Problem {
	var ps []estimate.Problem
	for _, c := range Columns() {
		cell := row.Cell(c.Key)
		p, refused := cell.Refuse()
		switch {
		case refused:
			ps = append(ps, p)
		case cell.Kind == sheet.Date && c.Key != effective && c.Key != expires:
			ps = append(ps, cell.Problem(estimate.Error, fmt.Sprintf("%q is stored as a date", cell.Word()), retype(cell)))
		case cell.Kind == sheet.Number && cell.Percent:
			ps = append(ps, cell.Problem(estimate.Error, "the cell holds a percentage", "type the value itself, with another number format"))
		}
	}
	return ps
}

// retype says how to get back what a spreadsheet program took for a date.
func retype(c sheet.Cell) string {
	if typed := c.TypedAsDate(); typed != "" {
		return fmt.Sprintf("if %s is meant, type it with an apostrophe before it", typed)
	}
	return "type it again with an apostrophe before it"
}

// offer returns the offer of a row, and whether the row has one.
func (r *reader) offer(row sheet.Row, f row) (pricing.Offer, bool) {
	ps := r.refusals(row)
	c := checker{row: row, problems: ps, told: map[string]bool{}}
	for _, p := range ps {
		c.told[p.Place.Column] = true
	}
	it, _ := c.item(f.Item, r.items)
	o := pricing.Offer{
		Place: row.Place, Supplier: c.required(supplier, f.Supplier, "who sells it"), Item: it.Key,
		Code: f.Code, Description: f.Description, Content: f.Content, Unit: f.Unit,
		Price: c.price(f.Price), Currency: c.currency(f.Currency, f.Price),
		MinTempF: value(&c, minTempF, f.MinTempF.parsed), LeadDays: value(&c, leadDays, f.LeadDays.parsed),
		Effective: value(&c, effective, f.Effective.parsed), Expires: value(&c, expires, f.Expires.parsed),
	}
	o.Amount = c.content(f.Content, it)
	o.Invented = strings.Contains(strings.ToLower(o.Supplier), "(invented)")
	c.dates(o)
	if cell := row.Cell(code); cell.Kind == sheet.Number {
		r.numberCodes = append(r.numberCodes, cell)
	}
	r.problems = append(r.problems, c.problems...)
	return o, estimate.Errors(c.problems) == 0 && !c.unpriced
}

// codesNote warns once of codes that are stored as numbers.
func (r *reader) codesNote() {
	n := len(r.numberCodes)
	if n == 0 {
		return
	}
	what := fmt.Sprintf("the code %s is stored as a number, which has no leading zeros", r.numberCodes[0].Word())
	if n > 1 {
		what = fmt.Sprintf("%d codes, the first %s, are stored as numbers, which have no leading zeros", n, r.numberCodes[0].Word())
	}
	r.problems = append(r.problems, r.numberCodes[0].Problem(estimate.Warning, what, "compare with the supplier's list; format the column as text"))
}
