package pricelist

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing/compare"
)

func readQuote(t *testing.T, file string, data []byte) ([]compare.SupplierQuote, []string) {
	t.Helper()
	book, ps := sheet.Parse(file, data)
	require.NotNil(t, book, "%v", ps)
	quotes, more := ReadQuote(book, items, "north")
	var words []string
	for _, p := range estimate.SortProblems(append(ps, more...)) {
		words = append(words, p.String())
	}
	return quotes, words
}

// lineWords write a line in short: what is not set is "-".
func lineWords(l compare.QuoteLine) string {
	words := fmt.Sprintf("%s %q", l.Named, l.Offer.Content)
	if l.Offer.Item == "" {
		words += " (none of ours)"
	}
	if l.Unread {
		words += " (unread)"
	}
	for _, s := range []string{maybe(l.Count), maybe(l.Price), maybe(l.Extension)} {
		words += " " + s
	}
	return words
}

func maybe[T any](m estimate.Maybe[T]) string {
	if !m.Set {
		return "-"
	}
	return fmt.Sprint(m.V)
}

func quoteWords(q compare.SupplierQuote) []string {
	var out []string
	for _, l := range q.Lines {
		out = append(out, lineWords(l))
	}
	for _, s := range q.Sums {
		out = append(out, fmt.Sprintf("%s %q %s at %s", s.Kind, s.Label, s.Amount, s.Place))
	}
	return out
}

func TestReadQuote(t *testing.T) {
	for _, c := range []struct {
		why, text string
		want      map[string][]string
		problems  []string
	}{
		{"one supplier without a name, its total and delivery", `item,description,content,unit,qty,unit price,extension
board-1x4,Primed 1x4,16 ft,board,12,$14.40,172.80
nail-8d,,5 lb,box,2,18.50,37.00
,Subtotal,,,,,209.80
,Delivery,,,,,45.00
,Total:,,,,,"$254.80"
`, map[string][]string{"north": {`board-1x4 "16 ft" 12 14.40 172.80`, `nail-8d "5 lb" 2 18.50 37.00`,
			`subtotal "Subtotal" 209.80 at north.csv: line 4, ` +
				`extension`, `delivery "Delivery" 45.00 at north.csv: line 5, extension`, `total "Total:" 254.80 at north.csv: line 6, extension`}}, nil},
		{"blanks stay blank, and what is none of ours is in the supplier's sums", `supplier,item,content,count,price,extension
Yard A,board-1x4,16 ft,,,
Yard A,BOARD-1X6,12 ft,3,,60
Yard A,skylight,each,1,400,400.00
Yard A,,,,,
Yard A,Total,,,460,
`, map[string][]string{"Yard A": {`board-1x4 "16 ft" - - -`, `BOARD-1X6 "12 ft" 3 - 60.00`, `skylight "each" (none of ours) 1 400.00 400.00`, `total "Total" 460.00 at north.csv: line 6, price`}},
			[]string{`north.csv: line 4, item: warning: "skylight" is not on the Items sheet; the row is not used (add it there if it is needed)`,
				`north.csv: line 5, item: warning: no item is named; the row is not used (write the key of an item on the Items sheet where one is needed)`}},
		{"an order of ours, filled in and sent back", `row,supplier,code,item,description,pack,unit,count,price,extension,currency,visit,needed_by
line,Yard A,4,board-1x4,Primed 1x4,16 ft,board,10,14.40,144.00,USD,shop,
subtotal,Yard A,,,,,,,,144.00,USD,,
delivery,Yard A,,,,,,,,0.00,USD,,
tax,Yard A,,,,,,,,9.00,USD,,
total,Yard A,,,,,,,,153.00,USD,,
`, map[string][]string{"Yard A": {`board-1x4 "16 ft" 10 14.40 144.00`, `subtotal "subtotal" 144.00 at north.csv: line 3, extension`, `delivery "delivery" 0.00 at north.csv: line 4, extension`,
			`other "tax" 9.00 at north.csv: line 5, extension`, `total "total" 153.00 at north.csv: line 6, extension`}},
			[]string{`north.csv: line 1, visit: note: the column "visit" is not used`, `north.csv: line 1, needed_by: note: the column "needed_by" is not used`}},
		{"two suppliers, and a total of nobody", `supplier,item,content,price
Yard A,board-1x4,16 ft,14.40
Yard B,board-1x4,16 ft,14.90
,Total,,29.30
`, map[string][]string{"Yard A": {`board-1x4 "16 ft" - 14.40 -`}, "Yard B": {`board-1x4 "16 ft" - 14.90 -`}},
			[]string{`north.csv: line 4, price: warning: Total may be that of any of 2 suppliers; it is not used (write the supplier in its row, or a file for each)`}},
		{"what cannot be read is at its cell", `item,content,count,price,extension,effective
board-1x4,16,12,14.40,172.80,
board-1x6,12 ft,2.5,call,60.00,
nail-8d,5 lb,2,18.50,about 40,2026-13-01
,Total,,,twelve,
`, map[string][]string{"north": {`board-1x4 "16" (unread) 12 14.40 172.80`, `board-1x6 "12 ft" (unread) - - 60.00`, `nail-8d "5 lb" (unread) 2 18.50 -`}},
			[]string{`north.csv: line 2, content: "16" has no unit (write 16 ft)`,
				`north.csv: line 3, count: warning: "2.5" is not a number of whole packs; the extension is not checked with it (write digits only, such as 2)`,
				`north.csv: line 3, price: "call" is not an amount (write digits and a decimal point, such as 1,234.50)`,
				`north.csv: line 4, extension: warning: "about 40" is not an amount (write digits and a decimal point, such as 1,234.50)`,
				`north.csv: line 4, effective: "2026-13-01" is not a date (write year-month-day, such as 2026-11-25)`,
				`north.csv: line 5, extension: "twelve" is not an amount (write digits and a decimal point, such as 1,234.50)`}},
		{"decimal commas, as the headers say", "item;content;count;price (decimal comma);extension (decimal comma)\nboard-1x4;16 ft;12;14,40;1.172,80\n" +
			"Total;;;;1.172,80\n",
			map[string][]string{"north": {`board-1x4 "16 ft" 12 14.40 1,172.80`, `total "Total" 1,172.80 at north.csv: line 3, extension (decimal comma)`}}, nil},
	} {
		quotes, problems := readQuote(t, "north.csv", []byte(c.text))
		got := map[string][]string{}
		for _, q := range quotes {
			got[q.Supplier] = quoteWords(q)
		}
		assert.Equal(t, c.want, got, c.why)
		assert.Equal(t, c.problems, problems, c.why)
	}
}

func TestQuoteOfAWorkbook(t *testing.T) {
	quotes, problems := readQuote(t, "q.xlsx", workbook(t, "Quote", map[string]any{
		"A1": "Item", "B1": "Content", "C1": "Qty", "D1": "Unit price", "E1": "Amount",
		"A2": "board-1x4", "B2": "16 ft", "C2": 12, "D2": 14.4, "E2": 172.8,
		"A3": "Total", "E3": 172.8,
	}, nil))
	assert.Empty(t, problems)
	require.Len(t, quotes, 1)
	assert.Equal(t, []string{`board-1x4 "16 ft" 12 14.40 172.80`, `total "Total" 172.80 at q.xlsx: Quote!E3`}, quoteWords(quotes[0]))
	l := quotes[0].Lines[0]
	assert.Equal(t, "q.xlsx: Quote!D2", l.At[compare.CellPrice].String())
	assert.Equal(t, "q.xlsx: Quote!E2", l.At[compare.CellExtension].String())
	assert.Equal(t, int64(16*measure.Foot), l.Offer.Amount)
}

func FuzzReadQuote(f *testing.F) {
	for _, s := range []string{
		"item,content,count,price,extension\nboard-1x4,16 ft,12,14.40,172.80\n,Total,,,172.80\n",
		"row,supplier,item,pack,count,price,extension\nline,A,board-1x4,16 ft,1,2,3\ntotal,A,,,,,3\ndelivery,B,,,,,-4\n",
		"Supplier;Item;Size;Qty;Rate (decimal comma);Amount (decimal comma)\nA;nail-8d;5 lb;2;1,5;3,00\nDiscount;;;;;-1,00\n",
		"item,content\nnails-8d,1 each\n\"board-1x4,16 ft\n", "Subtotal,content\n,1\n", "supplier,item,content,price\nA,,x,1\nB,Total,,1,2\n",
		"item,content,unit,qty,price,extension\nboard-1x4,16 ft,LF,160,1.45,232.00\nboard-1x6,16 ft,CLF,1,,145\ngutter,x,C,3,1,\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		book, _ := sheet.Parse("north.csv", data)
		if book == nil {
			return
		}
		quotes, problems := ReadQuote(book, items, "north")
		for _, p := range problems {
			require.NotEmpty(t, p.What)
			require.Equal(t, "north.csv", p.Place.File)
		}
		names := map[string]bool{}
		for _, q := range quotes {
			require.NotEmpty(t, q.Supplier)
			require.False(t, names[q.Supplier], "each supplier once")
			names[q.Supplier] = true
			for _, l := range q.Lines {
				require.NotEmpty(t, l.Named)
				require.Empty(t, l.Offer.Supplier, "the quote has it")
				require.GreaterOrEqual(t, l.Count.V, int64(0))
				require.GreaterOrEqual(t, l.Price.V, measure.UnitPrice(0))
				if l.Offer.Item != "" && !l.Unread {
					require.Positive(t, l.Offer.Amount)
				}
			}
		}
	})
}

// TestDiscountsOfQuotes: what is taken off has a minus sign; without one it is asked back,
// never added.
func TestDiscountsOfQuotes(t *testing.T) {
	const list = "supplier,item,content,price,count,extension\nQ,tape-4,100 ft,20.00,5,100.00\nQ,discount,,,,"
	quotes, problems := readQuote(t, "q.csv", []byte(list+"-50\n"))
	require.Len(t, quotes, 1)
	require.Len(t, quotes[0].Sums, 1)
	assert.Equal(t, "-50.00", quotes[0].Sums[0].Amount.String())
	assert.NotContains(t, strings.Join(problems, "\n"), "discount")

	quotes, problems = readQuote(t, "q.csv", []byte(list+"50\n"))
	require.Len(t, quotes, 1)
	assert.Empty(t, quotes[0].Sums)
	assert.Contains(t, strings.Join(problems, "\n"), "a discount of 50.00 is above 0, and would be added; it is not used (write what is taken off with a minus sign)")
}
