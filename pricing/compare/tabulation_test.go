package compare

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// The two items of the quotes below: packs of shims, one of which serves 100,
// and boards of 16 ft.
var (
	quotedShim  = estimate.Item{Key: "shim", Class: "shims and screws", Dim: estimate.Each}
	quotedBoard = estimate.Item{Key: "board", Class: "boards", Dim: estimate.Lengthwise, Cut: true}
)

// written returns a line as row of a quote; price and extension in cents, below
// 0 = blank; a count below 0 is blank.
func written(file string, row int, item estimate.Item, content string, n, price, extension int64) QuoteLine {
	o := line(row, "", item, content, 0)
	o.Place.File = file
	l := QuoteLine{Offer: o, Named: item.Key, At: map[string]estimate.Place{}}
	for col, key := range []string{CellItem, CellContent, CellCount, CellPrice, CellExtension, CellEffective, CellExpires} {
		l.At[key] = estimate.Place{File: file, Row: row, Col: col + 1, Column: key}
	}
	if n >= 0 {
		l.Count = estimate.Given(n)
	}
	if price >= 0 {
		l.Price = estimate.Given(measure.UnitPrice(100 * price))
	}
	if extension >= 0 {
		l.Extension = estimate.Given(measure.Money(extension))
	}
	return l
}

func quoteOf(name string, lines ...QuoteLine) SupplierQuote {
	return SupplierQuote{Supplier: name, Place: estimate.Place{File: name + ".csv"}, Lines: lines}
}

// total puts the supplier's own total under a quote.
func total(q SupplierQuote, cents measure.Money) SupplierQuote {
	q.Sums = append(q.Sums, QuoteSum{Place: estimate.Place{File: q.Place.File, Row: 99, Column: "extension"}, Kind: SumTotal, Label: "Total", Amount: cents})
	return q
}

func compared(j estimate.Job, quotes ...SupplierQuote) Tabulation {
	t := oneMark(1, amount(quotedShim, 250), pieces(quotedBoard, "leg", 4, feet(8)))
	return Quotes(estimate.Book{Job: j, Items: estimate.NewItems([]estimate.Item{quotedShim, quotedBoard})}, &t, nil, quotes)
}

// The low bid, as read, extended item 65 at 2.10 a foot and wrote 210.00: by the
// unit price each foot adds 207.90, and the second bid is 927.80 away. So it is
// no longer low from 5 ft on.
// Source: City of Tukwila, Washington, bid documents of 2016
func TestUnitPriceSlip(t *testing.T) {
	for q := int64(1); q <= 8; q++ {
		low := total(quoteOf("low", written("low.csv", 2, quotedBoard, "16 ft", 1, 127_702_900-210*q, 127_702_900-210*q),
			written("low.csv", 65, quotedShim, "100 each", q, 21_000, 210*q)), 127_702_900)
		second := total(quoteOf("second", written("second.csv", 2, quotedBoard, "16 ft", 1, 127_795_680-100, 127_795_680-100),
			written("second.csv", 65, quotedShim, "100 each", 1, 100, 100)), 127_795_680)
		c := compared(job(), low, second)
		require.NotEmpty(t, c.Flags)
		var f Flag
		for _, x := range c.Flags {
			if x.Kind == FlagExtension {
				f = x
			}
		}
		assert.Equal(t, fmt.Sprintf("low.csv: line 65, extension: warning: shim: %d at 210.00 come to %s, but the extension is %s "+
			"(ask which of the two the supplier stands by; the unit price is used until then)",
			q, measure.Money(21_000*q), measure.Money(210*q)), f.Problem.String())
		require.Len(t, f.Readings, 2)
		byPrice, byExtension := f.Readings[0], f.Readings[1]
		assert.Equal(t, measure.Money(127_702_900+20_790*q), byPrice.Own.V, "1,277,029.00 and 207.90 a foot")
		assert.Equal(t, measure.Money(127_702_900), byExtension.Own.V)
		assert.Equal(t, 1, byExtension.OwnRank)
		assert.Equal(t, q >= 5, byPrice.OwnRank == 2, "%d ft", q)
		assert.Equal(t, estimate.Given(measure.Money(127_702_900)), c.Quotes[0].Own)
		assert.Equal(t, estimate.Given(measure.Money(127_702_900+20_790*q)), c.Quotes[0].ByPrice)
		// For the job: 3 packs of 100 at 210.00, or at 2.10.
		assert.Equal(t, 3*(measure.Money(21_000)-210), byPrice.Need.V-byExtension.Need.V)
	}
}

// Three quotes, each with a gap: totals, ranking, whole offers and the split.
// Source: arithmetic. The job takes 250 shims, 3 packs of 100, and 4 legs of 8 ft,
// 2 boards of 16 ft.
func TestCompareQuotes(t *testing.T) {
	c := compared(job(),
		total(quoteOf("a", written("a.csv", 2, quotedShim, "100 each", 3, 1000, 3000), written("a.csv", 3, quotedBoard, "16 ft", 2, 2000, 4000)), 7500),
		quoteOf("b", written("b.csv", 2, quotedShim, "100 each", 3, 1200, 3600), written("b.csv", 3, quotedBoard, "16 ft", 2, -1, -1)),
		quoteOf("c", written("c.csv", 2, quotedShim, "100 each", 3, 1100, 3300), written("c.csv", 3, quotedBoard, "16 ft", 2, 1800, 3600)))
	require.Len(t, c.Items, 2)
	common := map[string]bool{}
	for _, n := range c.Items {
		common[n.Item.Key] = n.Common
	}
	assert.Equal(t, map[string]bool{"shim": true, "board": false}, common)
	var got [][4]int64
	for _, q := range c.Quotes {
		got = append(got, [4]int64{int64(q.Missing), int64(q.Common), int64(q.Rank), int64(q.Cost())})
	}
	assert.Equal(t, [][4]int64{{0, 3000, 1, 7000}, {1, 3600, 3, 3600}, {0, 3300, 2, 6900}}, got)
	assert.Equal(t, 2, c.Lowest, "c: 33.00 and 36.00")
	assert.Equal(t, measure.Money(6600), c.Split.Cost(), "shims at a, boards at c")
	assert.Equal(t, []string{"a", "c"}, c.Split.Suppliers)
	assert.Equal(t, estimate.Given(measure.Money(300)), c.Saving)
	assert.Equal(t, "20.00 %", fmt.Sprintf("%.2f %%", float64(c.Quotes[1].Over.V)/10_000))
	k := 0
	if c.Items[1].Item.Key == "board" {
		k = 1
	}
	assert.Equal(t, "its price is blank", c.Quotes[1].Items[k].Why)
	assert.False(t, c.Quotes[1].Items[k].Cost.Set, "missing is never zero")
	assert.Equal(t, []string{
		"a.csv: line 99, extension: warning: Total is 75.00, but lines, delivery, tax and the like come to 70.00: 5.00 apart (ask what the supplier's total holds)",
		"b.csv: line 3, price: warning: board: there is no price; it offers nothing (ask for the price; blank is not free)",
	}, flagWords(c))
}

func flagWords(c Tabulation) []string {
	var out []string
	for _, f := range c.Flags {
		out = append(out, f.Problem.String())
	}
	return out
}

// A delivery in a quote goes before that of the terms; nobody has everything.
// Source: arithmetic
func TestQuoteDelivery(t *testing.T) {
	a := quoteOf("Yard A", written("a.csv", 2, quotedShim, "100 each", 3, 1000, 3000))
	a.Sums = append(a.Sums, QuoteSum{Kind: SumDelivery, Label: "Delivery", Amount: 2500}, QuoteSum{Kind: SumTotal, Label: "Total", Amount: 5500})
	tk := oneMark(1, amount(quotedShim, 250), pieces(quotedBoard, "leg", 4, feet(8)))
	book := estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{quotedShim, quotedBoard})}
	terms := []pricing.Terms{{Supplier: "yard a", DeliveryFee: estimate.Given(measure.Money(9900)), Never: []string{"shim"}}}
	c := Quotes(book, &tk, terms, []SupplierQuote{a})
	assert.Empty(t, c.Flags)
	assert.Equal(t, measure.Money(5500), c.Quotes[0].Cost())
	assert.Equal(t, -1, c.Lowest)
	assert.False(t, c.Saving.Set)
	assert.Equal(t, []string{"board"}, c.Unquoted)
	assert.Equal(t, measure.Money(5500), c.First.Cost())
	foreign := a
	foreign.Place.File = "a.csv"
	foreign.Lines = []QuoteLine{written("a.csv", 2, quotedShim, "100 each", 3, 1000, 3000)}
	foreign.Lines[0].Offer.Currency = "CAD"
	c = Quotes(book, &tk, nil, []SupplierQuote{foreign})
	var why []string
	for _, it := range c.Quotes[0].Items {
		why = append(why, it.Why)
	}
	assert.ElementsMatch(t, []string{"its price cannot be used", "not in the quote"}, why)
	assert.Equal(t,
		[]string{"a.csv: line 2: shim: the price is in CAD, the job in USD; no price of this list in CAD is used (convert the prices, or correct the currency)"},
		words(c.Problems))
	none := Quotes(book, &tk, nil, []SupplierQuote{quoteOf("a"), quoteOf("b")})
	assert.False(t, none.Ranked())
	assert.Zero(t, none.Quotes[0].Rank)
}

// Prices of another unit: their factor to the others' is about the content.
// Source: arithmetic
func TestUnitOfPrice(t *testing.T) {
	usual := []SupplierQuote{
		quoteOf("a", written("a.csv", 2, quotedShim, "100 each", 3, 1000, -1), written("a.csv", 3, quotedBoard, "16 ft", 2, 2000, -1)),
		quoteOf("b", written("b.csv", 2, quotedShim, "100 each", 3, 1100, -1), written("b.csv", 3, quotedBoard, "16 ft", 2, 2100, -1)),
	}
	for _, c := range []struct {
		why   string
		line  QuoteLine
		kind  string
		meant measure.UnitPrice
		words string
	}{
		{"a foot of a board of 16 ft", written("c.csv", 3, quotedBoard, "16 ft", 2, 125, -1), FlagUnit, 200_000,
			`c.csv: line 3, price: warning: board: 1.25 for "16 ft", where the others ask about 20.50: it may be the price of one ft, which would be 20.00 ` +
				`(ask what the price is for)`},
		{"the same in feet and inches", written("c.csv", 3, quotedBoard, `16'-0"`, 2, 125, -1), FlagUnit, 200_000,
			`c.csv: line 3, price: warning: board: 1.25 for "16'-0"", where the others ask about 20.50: it may be the price of one ft, which would be 20.00 ` +
				`(ask what the price is for)`},
		{"each of a pack of 100", written("c.csv", 2, quotedShim, "100 each", 3, 11, -1), FlagUnit, 110_000,
			`c.csv: line 2, price: warning: shim: 0.11 for "100 each", where the others ask about 10.50: it may be the price of one each, which would be 11.00 (ask what the price is for)`},
		{"a pack of 100 written as one", written("c.csv", 2, quotedShim, "1 each", 300, 950, -1), FlagUnit, 950,
			`c.csv: line 2, price: warning: shim: 9.50 for "1 each", where the others ask about 0.105: it may be the price of "100 each", which would be 0.095 (ask what the price is for)`},
		{"five times the others", written("c.csv", 3, quotedBoard, "16 ft", 2, 10000, -1), FlagFar, 0,
			`c.csv: line 3, price: warning: board: 100.00 for "16 ft", where the others ask about 20.50 (ask whether it is meant)`},
		{"a longer board at its price", written("c.csv", 3, quotedBoard, "20 ft", 2, 2600, -1), "", 0, ""},
		{"twice the others is no slip", written("c.csv", 3, quotedBoard, "16 ft", 2, 4100, -1), "", 0, ""},
	} {
		got := compared(job(), append(usual, quoteOf("c", c.line))...)
		if c.kind == "" {
			assert.Empty(t, got.Flags, c.why)
			continue
		}
		require.Len(t, got.Flags, 1, c.why)
		f := got.Flags[0]
		assert.Equal(t, [2]string{c.kind, c.words}, [2]string{f.Kind, f.Problem.String()}, c.why)
		if c.meant > 0 {
			require.Len(t, f.Readings, 2, c.why)
			assert.Equal(t, c.meant, f.Readings[1].Price, c.why)
		}
	}
	// The split does not rest unsaid on a price in doubt.
	got := compared(job(), append(usual, quoteOf("c", written("c.csv", 3, quotedBoard, "16 ft", 2, 125, -1)))...)
	assert.Equal(t, []string{"board at c"}, got.Doubtful)
	assert.Equal(t, measure.Money(3250), got.Split.Cost(), "3 x 10.00 and 2 x 1.25")
	assert.Equal(t, measure.Money(7000), got.Firm.Cost(), "3 x 10.00 and 2 x 20.00")
	assert.Empty(t, got.NotFirm)
}

// Dates and blanks, at their cells.
// Source: arithmetic: 15 June to 16 November are 154 days
func TestQuoteDatesAndBlanks(t *testing.T) {
	j := job()
	j.Date, j.PriceAgeDays = day(t, "2026-11-16"), 30
	stale, gone, undated := written("a.csv", 2, quotedShim, "100 each", 3, 1000, 3000), written("a.csv", 3, quotedBoard, "16 ft", 2, 2000, 4000), written("a.csv", 4, quotedBoard, "8 ft", -1, 1000, -1)
	stale.Offer.Effective = day(t, "2026-06-15")
	gone.Offer.Expires = day(t, "2026-11-15")
	undated.Extension = estimate.Maybe[measure.Money]{}
	noExtension := written("a.csv", 5, quotedShim, "50 each", 2, 600, -1)
	derived := written("a.csv", 6, quotedShim, "500 each", 3, -1, 10000)
	for _, l := range []*QuoteLine{&noExtension, &derived} {
		l.Offer.Effective = day(t, "2026-11-16")
	}
	c := compared(j, quoteOf("a", stale, gone, undated, noExtension, derived))
	assert.Equal(t, []string{
		"a.csv: line 2, effective: warning: the price is from 2026-06-15, 154 days before the job's date (limit 30) (ask whether it still holds)",
		"a.csv: line 3, expires: warning: the price expired on 2026-11-15, before the job's date 2026-11-16: it is not used (ask whether it still holds)",
		"a.csv: line 4, count: warning: board: there is no count, so that it is not in the supplier's sums as count times price (ask how many the quote is for)",
		"a.csv: line 4, effective: warning: the price has no date (ask whether it still holds)",
		"a.csv: line 5, extension: warning: shim: there is no extension; count times unit price stands in its place " +
			"(ask whether the line is in the supplier's total)",
		"a.csv: line 6, price: warning: shim: there is no unit price; it follows from extension and count (ask for the unit price)",
	}, flagWords(c))
	assert.Equal(t, estimate.Given(measure.UnitPrice(333_333)), derived.UnitPrice(), "100.00 / 3")
	assert.Equal(t, 1, c.Quotes[0].NoAmount)
	assert.Equal(t, measure.Money(3000+4000+1200+10000), c.Quotes[0].Own.V)
	for _, n := range c.Items {
		if n.Item.Key == "board" {
			assert.Equal(t, measure.Money(4*1000), n.Least.V, "the board of 16 ft has expired: four of 8 ft")
		}
	}

	// More than a handful of one blank are told once.
	var many []QuoteLine
	for row := int64(2); row < 9; row++ {
		many = append(many, written("a.csv", int(row), quotedShim, fmt.Sprintf("%d each", 100*row), 1, -1, 1000*row))
	}
	assert.Equal(t, []string{"a.csv: line 2, price: warning: 7 lines, the first that of shim: there is no unit price; it follows from extension and count (ask for the unit price)"},
		flagWords(compared(job(), quoteOf("a", many...))))
}

// TestUnitPriceOfALine: as written, else the extension divided by the count. Expected:
// arithmetic.
func TestUnitPriceOfALine(t *testing.T) {
	for _, c := range []struct {
		why  string
		line QuoteLine
		want estimate.Maybe[measure.UnitPrice]
	}{
		{"as written", written("a.csv", 2, quotedShim, "100 each", 3, 250, 900), estimate.Given(measure.UnitPrice(25_000))},
		{"9.00 of three", written("a.csv", 2, quotedShim, "100 each", 3, -1, 900), estimate.Given(measure.UnitPrice(30_000))},
		{"of one", written("a.csv", 2, quotedShim, "100 each", 1, -1, 900), estimate.Given(measure.UnitPrice(90_000))},
		{"of none", written("a.csv", 2, quotedShim, "100 each", 0, -1, 900), estimate.Maybe[measure.UnitPrice]{}},
		{"without a count", written("a.csv", 2, quotedShim, "100 each", -1, -1, 900), estimate.Maybe[measure.UnitPrice]{}},
		{"without an extension", written("a.csv", 2, quotedShim, "100 each", 3, -1, -1), estimate.Maybe[measure.UnitPrice]{}},
	} {
		assert.Equal(t, c.want, c.line.UnitPrice(), c.why)
	}
}

// TestLowestWholeQuote: the lowest that has everything; of equal ones the first.
func TestLowestWholeQuote(t *testing.T) {
	quote := func(name string, shims, boards int64) SupplierQuote {
		lines := []QuoteLine{written(name+".csv", 2, quotedShim, "100 each", 3, shims, 3*shims)}
		if boards > 0 {
			lines = append(lines, written(name+".csv", 3, quotedBoard, "16 ft", 3, boards, 3*boards))
		}
		return quoteOf(name, lines...)
	}
	for _, c := range []struct {
		why    string
		quotes []SupplierQuote
		want   int
	}{
		{"in the middle", []SupplierQuote{quote("A", 1000, 1000), quote("B", 900, 900), quote("C", 950, 950)}, 1},
		{"the first of two that cost the same", []SupplierQuote{quote("A", 1000, 1000), quote("B", 900, 900), quote("C", 900, 900)}, 1},
		{"the last", []SupplierQuote{quote("A", 1000, 1000), quote("B", 900, 900), quote("C", 800, 800)}, 2},
		{"a cheaper one that lacks the boards", []SupplierQuote{quote("A", 1000, 1000), quote("B", 100, 0), quote("C", 900, 900)}, 2},
		{"none is whole", []SupplierQuote{quote("A", 100, 0), quote("B", 90, 0)}, -1},
	} {
		assert.Equal(t, c.want, compared(job(), c.quotes...).Lowest, c.why)
	}
}

// TestSupplierOfMore: where the later estimate buys an item, else where the earlier did.
func TestSupplierOfMore(t *testing.T) {
	plan := func(item, supplier, state string) pricing.Plan {
		return pricing.Plan{Purchases: []pricing.Purchase{{Item: estimate.Item{Key: "other"}, Supplier: "Z"},
			{Item: estimate.Item{Key: item}, Supplier: supplier, State: state}}}
	}
	for _, c := range []struct {
		why      string
		was, now pricing.Plan
		want     string
	}{
		{"the later one", plan("shim", "A", ""), plan("shim", "B", ""), "B"},
		{"the earlier one, for the later has another item", plan("shim", "A", ""), plan("board", "B", ""), "A"},
		{"the earlier one, for the later buys nothing of it", plan("shim", "A", ""), plan("shim", "", ""), "A"},
		{"the earlier one, for the later cannot", plan("shim", "A", ""), plan("shim", "B", "no price"), "A"},
		{"nobody", plan("board", "A", ""), plan("board", "B", ""), ""},
	} {
		r := reviser{was: Side{Plan: c.was}, now: Side{Plan: c.now}}
		assert.Equal(t, c.want, r.supplier("shim"), c.why)
	}
}
