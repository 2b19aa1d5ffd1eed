package pricelist

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// orderRow is a row of an order for the CSV library. Row says what it is: a
// note of what is missing, a line, or the subtotal, delivery, tax or total.
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
	Phase       string `csv:"phase"`
	NeededBy    string `csv:"needed_by"`
	CostCode    string `csv:"cost_code"`
	Order       string `csv:"order"`
	Job         string `csv:"job"`
}

// OrderName is what an order is called, and the jobs that it is of.
type OrderName struct {
	Number string
	Jobs   []string
}

// WriteOrder returns an order as CSV: its notes, a row a line, then its subtotal,
// delivery, tax and total; that of an order that lacks something says so. Text that a
// spreadsheet program would run as a formula is guarded.
func WriteOrder(o pricing.SupplierOrder, called OrderName, currency string, notes []pricing.OrderNote) ([]byte, error) {
	name := sheet.GuardCSV(o.Terms.Supplier)
	var rows []orderRow
	for _, n := range notes {
		rows = append(rows, orderRow{Row: "note", Supplier: name, Item: sheet.GuardCSV(n.Item), Description: n.Label + ": " + n.Words})
	}
	for _, l := range o.Lines {
		r := orderRow{
			Row: "line", Supplier: name, Code: sheet.GuardCSV(l.Offer.Code), Item: sheet.GuardCSV(l.Offer.Item), Description: sheet.GuardCSV(l.Offer.Description),
			Pack: sheet.GuardCSV(l.Offer.Content), Unit: sheet.GuardCSV(l.Offer.Unit), Count: strconv.FormatInt(l.Count, 10),
			Price: plain(l.Offer.Price.String()), Extension: plain(l.Extension.String()), Currency: currency, Phase: string(l.Phase),
			CostCode: sheet.GuardCSV(l.Item.CostCode),
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
		about := ""
		if sum.row == "total" && len(o.Missing) > 0 {
			about = "of an INCOMPLETE order"
		}
		rows = append(rows, orderRow{Row: sum.row, Supplier: name, Description: about, Extension: plain(sum.v.String()), Currency: currency})
	}
	for i := range rows {
		rows[i].Order, rows[i].Job = sheet.GuardCSV(called.Number), sheet.GuardCSV(strings.Join(called.Jobs, "; "))
	}
	return gocsv.MarshalBytes(rows)
}

// OrderOf returns what an order as WriteOrder writes it is called; of one of an earlier
// version nothing.
func OrderOf(b *sheet.Book) (called OrderName) {
	t, _ := b.Sheets[0].Table(orderColumns())
	for _, row := range t.Rows {
		if called.Number = row.Cell("order").Word(); called.Number != "" {
			called.Jobs = strings.Split(row.Cell("job").Word(), "; ")
			break
		}
	}
	return called
}

// BoughtBy returns an order as WriteOrder writes it as lines of Purchases that are placed,
// its delivery and tax in a line of their own.
func BoughtBy(b *sheet.Book, items estimate.Items) ([]estimate.Bought, []estimate.Problem) {
	lines, problems := ReadOrder(b, items)
	called := OrderOf(b)
	number := called.Number
	if number == "" {
		number = strings.TrimSuffix(b.File, ".csv")
	}
	var out []estimate.Bought
	for _, l := range lines {
		out = append(out, estimate.Bought{Place: l.Offer.Place, Supplier: l.Offer.Supplier, Order: number, State: estimate.BuyPlaced,
			Item: l.Offer.Item, Code: l.Offer.Code, Pack: l.Offer.Content, Amount: l.Offer.Amount, Count: estimate.Given(l.Computed), Price: estimate.Given(l.Offer.Price)})
	}
	whole := estimate.Bought{Order: number, State: estimate.BuyPlaced, Notes: orderSums}
	t, _ := b.Sheets[0].Table(orderColumns())
	for _, row := range t.Rows {
		amount, err := measure.ParseMoney(row.Cell("extension").Word())
		if err != nil {
			continue
		}
		switch strings.ToLower(row.Cell("row").Word()) {
		case "delivery":
			whole.Place, whole.Supplier, whole.Freight = row.Place, row.Cell("supplier").Word(), estimate.Given(amount)
		case "tax":
			whole.Place, whole.Supplier, whole.Tax = row.Place, row.Cell("supplier").Word(), estimate.Given(amount)
		}
	}
	if whole.Freight.V != 0 || whole.Tax.V != 0 {
		out = append(out, whole)
	}
	return out, problems
}

// orderSums is the note of a line of Purchases that is of a whole order.
const orderSums = "delivery and tax of the order"

// purchaseRow is a line of Purchases for the CSV library: the columns of the sheet.
type purchaseRow struct {
	Date         string `csv:"Date"`
	Supplier     string `csv:"Supplier"`
	Order        string `csv:"Order"`
	Invoice      string `csv:"Invoice"`
	State        string `csv:"State"`
	Item         string `csv:"Item"`
	Code         string `csv:"Code"`
	Pack         string `csv:"Pack"`
	PackReceived string `csv:"Pack received"`
	Count        string `csv:"Count"`
	Received     string `csv:"Received"`
	Returned     string `csv:"Returned"`
	Lost         string `csv:"Lost"`
	Price        string `csv:"Price"`
	Tax          string `csv:"Tax"`
	Freight      string `csv:"Freight"`
	Credit       string `csv:"Credit"`
	Before       string `csv:"Done before"`
	Notes        string `csv:"Notes"`
	NoReturn     string `csv:"Cannot be returned"`
}

// WritePurchases returns lines of Purchases as CSV, to be pasted into the sheet, or named
// where earlier orders are.
func WritePurchases(lines []estimate.Bought) ([]byte, error) {
	rows := make([]purchaseRow, len(lines))
	count := func(n estimate.Maybe[int64]) string {
		if !n.Set {
			return ""
		}
		return strconv.FormatInt(n.V, 10)
	}
	money := func(m estimate.Maybe[measure.Money]) string {
		if !m.Set {
			return ""
		}
		return plain(m.V.String())
	}
	for i, b := range lines {
		rows[i] = purchaseRow{
			Supplier: sheet.GuardCSV(b.Supplier), Order: sheet.GuardCSV(b.Order), Invoice: sheet.GuardCSV(b.Invoice), State: string(b.State),
			Item: sheet.GuardCSV(b.Item), Code: sheet.GuardCSV(b.Code), Pack: sheet.GuardCSV(b.Pack), PackReceived: sheet.GuardCSV(b.PackReceived),
			Count: count(b.Count), Received: count(b.Received), Returned: count(b.Returned), Lost: count(b.Lost),
			Tax: money(b.Tax), Freight: money(b.Freight), Credit: money(b.Credit), Notes: sheet.GuardCSV(b.Notes), NoReturn: string(b.NoReturn),
		}
		before := make([]string, len(b.Before))
		for k, p := range b.Before {
			before[k] = p.Words()
		}
		rows[i].Before = sheet.GuardCSV(strings.Join(before, "; "))
		if b.Date.Set {
			rows[i].Date = b.Date.V.String()
		}
		if b.Price.Set {
			rows[i].Price = plain(b.Price.V.String())
		}
	}
	return gocsv.MarshalBytes(rows)
}

// OrderedNow returns what an order asks for as lines of Purchases; the first order of a job
// tells what was done before it.
func OrderedNow(o pricing.SupplierOrder, number string, state estimate.BuyState, day estimate.Maybe[measure.Date], before []estimate.Progress) []estimate.Bought {
	var out []estimate.Bought
	for _, l := range o.Lines {
		out = append(out, estimate.Bought{Date: day, Supplier: l.Offer.Supplier, Order: number, State: state, Item: l.Offer.Item, Code: l.Offer.Code,
			Pack: l.Offer.Content, Amount: l.Offer.Amount, Count: estimate.Given(l.Count), Price: estimate.Given(l.Offer.Price)})
	}
	if o.Delivery != 0 || o.Tax != 0 || len(before) > 0 {
		out = append(out, estimate.Bought{Date: day, Supplier: o.Terms.Supplier, Order: number, State: state, Freight: estimate.Given(o.Delivery),
			Tax: estimate.Given(o.Tax), Before: before, Notes: orderSums})
	}
	return out
}

// WriteMissing returns what no order holds as CSV.
func WriteMissing(list []pricing.Missing) ([]byte, error) {
	type row struct {
		Job      string `csv:"job"`
		Supplier string `csv:"supplier"`
		Item     string `csv:"item"`
		Name     string `csv:"name"`
		Need     string `csv:"need"`
		Reason   string `csv:"reason"`
		Do       string `csv:"do"`
	}
	out := make([]row, len(list))
	for i, m := range list {
		out[i] = row{sheet.GuardCSV(m.Job), sheet.GuardCSV(m.Supplier), sheet.GuardCSV(m.Item), sheet.GuardCSV(m.Name), sheet.GuardCSV(m.Need),
			sheet.GuardCSV(m.Why), sheet.GuardCSV(m.Do)}
	}
	return gocsv.MarshalBytes(out)
}

func plain(s string) string { return strings.ReplaceAll(s, ",", "") }

// formerOrderColumns are what columns of orders were called.
var formerOrderColumns = map[string][]string{"phase": {"visit"}}

// orderColumns are the columns of an order; those that say what was ordered are
// required.
func orderColumns() []sheet.Column {
	var cols []sheet.Column
	keys := []string{
		"row", "supplier", "item", "pack", "count", "price",
		"code", "description", "unit", "extension", "currency", "phase", "needed_by", "cost_code", "order", "job",
	}
	for _, key := range keys {
		cols = append(cols, sheet.Column{Key: key, Synonyms: formerOrderColumns[key], Required: len(cols) < 6})
	}
	return cols
}

// IsOrder reports whether a book is an order as WriteOrder writes it, and no
// price list.
func IsOrder(b *sheet.Book) bool {
	if len(b.Sheets) != 1 {
		return false
	}
	headers := b.Sheets[0].Headers(orderColumns())
	return !slices.ContainsFunc(orderColumns(), func(c sheet.Column) bool {
		_, has := headers[c.Key]
		return c.Required && !has
	})
}

// ReadOrder returns what was ordered, by an order as WriteOrder writes it. The
// sums in it are not read. A row that cannot be read is left out, with a problem
// at its cell.
func ReadOrder(b *sheet.Book, items estimate.Items) ([]pricing.Line, []estimate.Problem) {
	t, problems := b.Sheets[0].Table(orderColumns())
	names := sheet.NewItemNames(items)
	var out []pricing.Line
	for _, row := range t.Rows {
		if !strings.EqualFold(row.Cell("row").Word(), "line") {
			continue
		}
		l, ps := orderLine(row, names, items)
		problems = append(problems, ps...)
		if estimate.Errors(ps) == 0 {
			out = append(out, l)
		}
	}
	return out, problems
}

func orderLine(row sheet.Row, names sheet.ItemNames, items estimate.Items) (l pricing.Line, problems []estimate.Problem) {
	word := func(key string) string { return row.Cell(key).Word() }
	fail := func(key string, err error) {
		if err != nil {
			problems = append(problems, row.Cell(key).Problem(estimate.Error, err.Error(), "the line is left out; order again, or correct it"))
		}
	}
	l.Offer = pricing.Offer{Place: row.Place, Supplier: word("supplier"), Code: word("code"), Item: word("item"), Content: word("pack"),
		Currency: word("currency"),
	}
	item, known := findItem(names, items, l.Offer.Item)
	if !known {
		fail("item", fmt.Errorf("%q is no item of the estimate", l.Offer.Item))
		return l, problems
	}
	l.Offer.Item = item.Key
	var err error
	l.Offer.Amount, err = pricing.ParseContent(l.Offer.Content, item)
	fail("pack", err)
	l.Computed, err = measure.ParseCount(word("count"))
	fail("count", err)
	l.Offer.Price, err = measure.ParseUnitPrice(word("price"))
	fail("price", err)
	return l, problems
}
