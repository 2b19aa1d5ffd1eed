package pricelist

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
	"sillwright/pricing/compare"
)

// QuoteSheet is a name that the sheet of a quote may have beside Sheet.
const QuoteSheet = "Quote"

// The headers of a quote beside those of a price list.
const (
	rowKind   = "row"
	count     = "count"
	extension = "extension"
)

// quoteRow is a row of a quote for the CSV library: a row of a price list, and
// more.
type quoteRow struct {
	Kind        string `csv:"row"`
	Supplier    string `csv:"supplier"`
	Item        string `csv:"item"`
	Code        string `csv:"code"`
	Description string `csv:"description"`
	Content     string `csv:"content"`
	Unit        string `csv:"unit"`
	Count       string `csv:"count"`
	Price       string `csv:"price"`
	Extension   string `csv:"extension"`
	Currency    string `csv:"currency"`
	MinTempF    degree `csv:"min_temp_f"`
	LeadDays    days   `csv:"lead_days"`
	Effective   date   `csv:"effective"`
	Expires     date   `csv:"expires"`
}

// QuoteColumns returns the columns of a quote: those of a price list, and how
// many of each the supplier was asked for and what they come to. A quote is one
// supplier's, so that nothing has to name him; what a row lacks is flagged, so
// that no price has to be there.
func QuoteColumns() []sheet.Column {
	cols := Columns()
	for i := range cols {
		c := &cols[i]
		c.Required = c.Key == item || c.Key == content
		if c.Key == price {
			c.Synonyms = append(c.Synonyms, "rate", "each")
		}
	}
	more := []sheet.Column{
		{Key: rowKind, Synonyms: []string{"row type"}},
		{Key: count, Synonyms: []string{"qty", "quantity", "number", "packs", "ordered", "order qty", "pieces"}},
		{Key: extension, Synonyms: []string{"ext", "extended", "extended price", "extended amount", "amount", "line total", "line amount", "total price", "total"}},
	}
	return append(cols, withDecimalComma(more, extension)...)
}

// sumWords are what people write at the sums under a quote, by kind.
var sumWords = map[string][]string{
	compare.SumTotal:    {"total", "grand total", "quote total", "total price", "sum", "total due"},
	compare.SumSubtotal: {"subtotal", "sub total", "materials", "merchandise", "net"},
	compare.SumDelivery: {"delivery", "freight", "shipping", "delivery fee", "haulage"},
	compare.SumOther:    {"tax", "sales tax", "vat", "discount", "deposit", "surcharge", "fuel surcharge"},
}

// sumOf returns the kind of sum that a word stands for, "" for none.
func sumOf(word string) string {
	for kind, words := range sumWords {
		if slices.Contains(words, word) {
			return kind
		}
	}
	return ""
}

// ReadQuote returns the quotes of a file: a CSV file, or the sheet Prices or
// Quote of a workbook, or its only sheet. A file is one quote, unless its rows
// name several suppliers; without a name it is called name.
//
// A quote is taken as it is written: a row without price, count or extension
// stays, and so does one about no item of ours, for it is in the supplier's
// total. Only what cannot be read is a problem, at its cell. Rows named total,
// subtotal, delivery, tax or discount are the sums under the lines.
func ReadQuote(b *sheet.Book, items estimate.Items, name string) ([]compare.SupplierQuote, []estimate.Problem) {
	s, problems := findQuote(b)
	if s == nil {
		return nil, problems
	}
	l, rows, problems := openList[quoteRow](s, QuoteColumns(), b.Date1904)
	r := quoteReader{reader: reader{list: l, items: items, names: sheet.NewItemNames(items)}, name: name, place: estimate.Place{File: s.File, Sheet: s.Name}}
	for i, f := range rows {
		r.read(l.table.Rows[i], f)
	}
	r.placeSums()
	return r.quotes, slices.Concat(problems, r.problems, r.unknownItems.problems(), convertedNote(r.converted), l.formulasNote(),
		r.codesNote())
}

func findQuote(b *sheet.Book) (*sheet.Sheet, []estimate.Problem) {
	if s := b.Sheet(QuoteSheet); s != nil && b.Sheet(Sheet) == nil {
		return s, nil
	}
	return find(b)
}

// quoteReader turns table rows into quotes.
type quoteReader struct {
	reader
	name   string // of the supplier where no row says it
	names  pricing.SupplierNames
	place  estimate.Place
	quotes []compare.SupplierQuote
	sums   []namedSum
}

// namedSum is a sum with the supplier that its row names, "" = none.
type namedSum struct {
	supplier string
	sum      compare.QuoteSum
}

// of returns the quote of a supplier, a new one if there is none yet.
func (r *quoteReader) of(written string) *compare.SupplierQuote {
	name := r.names.Of(cmp.Or(written, r.name))
	for i := range r.quotes {
		if r.quotes[i].Supplier == name {
			return &r.quotes[i]
		}
	}
	r.quotes = append(r.quotes, compare.SupplierQuote{Supplier: name, Place: r.place})
	return &r.quotes[len(r.quotes)-1]
}

// read takes up a row: a sum, a line, or neither.
func (r *quoteReader) read(row sheet.Row, f quoteRow) {
	c := r.check(row)
	if kind, label := sumKind(f); kind != "" {
		r.sum(&c, f, kind, label)
		r.problems = append(r.problems, c.problems...)
		return
	}
	it, ours := r.item(&c, f.Item)
	if !ours {
		// What else is wrong with it is nobody's concern, but what it comes to is
		// in the supplier's total.
		quiet := c
		if line := r.line(&quiet, f, estimate.Item{}); line.Own().Set {
			q := r.of(f.Supplier)
			q.Lines = append(q.Lines, line)
		}
		return
	}
	line := r.line(&c, f, it)
	line.Unread = it.Key == "" || estimate.Errors(c.problems) > 0
	q := r.of(f.Supplier)
	q.Lines = append(q.Lines, line)
	r.noteCode(row)
	r.problems = append(r.problems, c.problems...)
}

// sumKind tells what sum a row is, and how it is called: the first of its words
// says so. "" = it is a line.
func sumKind(f quoteRow) (kind, label string) {
	for _, w := range []string{f.Kind, f.Item, f.Description, f.Code, f.Content, f.Unit, f.Supplier} {
		word := strings.TrimRight(strings.ToLower(strings.Join(strings.Fields(w), " ")), ": ")
		if known := sumOf(word); known != "" {
			return known, w
		}
		if w != "" && w != f.Kind {
			return "", ""
		}
	}
	return "", ""
}

// sum takes up a row under the lines. Its amount stands under extension, or
// where that is blank under price.
func (r *quoteReader) sum(c *checker, f quoteRow, kind, label string) {
	key, text := extension, f.Extension
	if text == "" {
		key, text = price, f.Price
	}
	if text == "" {
		c.say(extension, estimate.Warning, fmt.Sprintf("%s has no amount", label), "write it under extension")
		return
	}
	v, err := amount(c, key, text, measure.ParseMoney)
	if err != nil {
		c.fail(key, err)
		return
	}
	if strings.EqualFold(label, "discount") && v > 0 {
		c.say(key, estimate.Error, fmt.Sprintf("a discount of %s is above 0, and would be added; it is not used", v), "write what is taken off with a minus sign")
		return
	}
	supplier := f.Supplier
	if supplier == label {
		supplier = ""
	}
	r.sums = append(r.sums, namedSum{supplier, compare.QuoteSum{Place: c.row.Cell(key).Place, Kind: kind, Label: label, Amount: v}})
}

// placeSums gives each sum to its quote. A sum that names no supplier is that of
// the only one.
func (r *quoteReader) placeSums() {
	for _, s := range r.sums {
		if s.supplier == "" && len(r.quotes) > 1 {
			r.problems = append(r.problems, estimate.Problem{Place: s.sum.Place, Severity: estimate.Warning,
				What: fmt.Sprintf("%s may be that of any of %d suppliers; it is not used", s.sum.Label, len(r.quotes)),
				Do:   "write the supplier in its row, or a file for each"})
			continue
		}
		if s.supplier == "" && len(r.quotes) == 1 {
			s.supplier = r.quotes[0].Supplier
		}
		q := r.of(s.supplier)
		q.Sums = append(q.Sums, s.sum)
	}
}

// line reads a row as it is written.
func (r *quoteReader) line(c *checker, f quoteRow, it estimate.Item) compare.QuoteLine {
	o := pricing.Offer{
		Place: c.row.Place, Item: it.Key, Code: f.Code, Description: f.Description, Content: f.Content, Unit: f.Unit,
		Currency: c.currency(f.Currency, field{price, f.Price}, field{extension, f.Extension}),
		MinTempF: value(c, minTempF, f.MinTempF.parsed), LeadDays: value(c, leadDays, f.LeadDays.parsed),
		Effective: value(c, effective, f.Effective.parsed), Expires: value(c, expires, f.Expires.parsed),
	}
	o.Amount = c.content(f.Content, it)
	o.Invented = invented(f.Supplier)
	c.dates(o)
	c.beside()
	l := compare.QuoteLine{Offer: o, Named: cmp.Or(f.Item, f.Description, f.Code, "a line without a name"), At: cells(c.row),
		Price: c.quoted(f.Price), Count: c.counted(f.Count), Extension: c.extended(f.Extension),
	}
	r.byPack(c, &l)
	return l
}

// byPack turns a line that is priced by a measure into one that is priced by the pack.
// Its count is then of packs, or of the measure: the extension tells which. A price in
// doubt is none. A line that cannot be bought from stays as it is written, for count
// times price is in the supplier's total, but for prices by the hundred and the like.
func (r *quoteReader) byPack(c *checker, l *compare.QuoteLine) {
	written := l.Price
	if l.Offer.Amount == 0 {
		if byMany(l.Offer.Unit) {
			l.Price = estimate.Maybe[measure.UnitPrice]{}
		}
		return
	}
	of, coherent := c.soldAs(l.Offer.Unit)
	l.Offer.Unit = of
	as, ok := c.perPack(written.Or(1_0000), of, l.Offer.Content)
	ok = ok && coherent
	switch {
	case !ok:
		l.Price = estimate.Maybe[measure.UnitPrice]{}
		return
	case !as.measured:
		l.Offer.Unit = as.unit
		return
	}
	by := l.Offer.Unit
	l.Offer.Unit, l.Offer.ByMeasure = as.unit, true
	if written.Set {
		shown := l.Offer
		shown.Unit, shown.Price = by, written.V
		r.noteConversion(c.row, shown, as)
		l.Price = estimate.Given(as.price)
	}
	packs := new(big.Rat).Quo(big.NewRat(l.Count.V, 1), as.packs)
	switch {
	case !l.Count.Set, written.Set && l.Extension == estimate.Given(measure.Extension(l.Count.V, as.price)):
	case written.Set && l.Extension == estimate.Given(measure.Extension(l.Count.V, written.V)) && packs.IsInt():
		l.Count = estimate.Given(packs.Num().Int64())
	default:
		c.say(count, estimate.Warning, fmt.Sprintf("%d may be packs or %s, by which the price is; it is not used", l.Count.V, measure.Quote(by)),
			"write how many packs, and the price of one")
		l.Count = estimate.Maybe[int64]{}
	}
}

// cells returns the cells of a row that a flag may stand at.
func cells(row sheet.Row) map[string]estimate.Place {
	at := map[string]estimate.Place{}
	keys := []string{
		compare.CellItem, compare.CellContent, compare.CellPrice, compare.CellCount, compare.CellExtension, compare.CellEffective, compare.CellExpires,
	}
	for _, key := range keys {
		at[key] = row.Cell(key).Place
	}
	return at
}

// quoted reads a unit price, which must be above 0; blank is not set.
func (c *checker) quoted(text string) estimate.Maybe[measure.UnitPrice] {
	if text == "" {
		return estimate.Maybe[measure.UnitPrice]{}
	}
	p, err := amount(c, price, text, measure.ParseUnitPrice)
	switch {
	case err != nil:
		c.fail(price, err)
	case p <= 0:
		c.say(price, estimate.Error, fmt.Sprintf("%q is not a price", text), "write a price above 0, or leave the cell blank")
	default:
		return estimate.Given(p)
	}
	return estimate.Maybe[measure.UnitPrice]{}
}

// counted reads how many packs a line is for. What is no whole number costs only
// the check of the extension.
func (c *checker) counted(text string) estimate.Maybe[int64] {
	if text == "" {
		return estimate.Maybe[int64]{}
	}
	n, err := measure.ParseCount(strings.TrimSuffix(text, ".0"))
	if err != nil || n > maxCount {
		c.say(count, estimate.Warning, fmt.Sprintf("%q is not a number of whole packs; the extension is not checked with it", text), "write digits only, such as 2")
		return estimate.Maybe[int64]{}
	}
	return estimate.Given(n)
}

// maxCount is the most packs that a line is believed to be for.
const maxCount = 1_000_000

// extended reads what a line comes to; blank is not set.
func (c *checker) extended(text string) estimate.Maybe[measure.Money] {
	if text == "" {
		return estimate.Maybe[measure.Money]{}
	}
	m, err := amount(c, extension, text, measure.ParseMoney)
	if err != nil {
		c.warn(extension, err)
		return estimate.Maybe[measure.Money]{}
	}
	return estimate.Given(m)
}

// warn reports the error of a field that costs only itself.
func (c *checker) warn(key string, err error) {
	before := len(c.problems)
	c.fail(key, err)
	for i := range c.problems[before:] {
		c.problems[before+i].Severity = estimate.Warning
	}
}
