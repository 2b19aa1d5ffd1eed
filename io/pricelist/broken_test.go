package pricelist

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/pricing"
)

// keptFrom names the offers that remain of a list by their lines.
func keptFrom(offers []pricing.Offer) []string {
	var out []string
	for _, o := range offers {
		out = append(out, fmt.Sprintf("%d: %s %s %s", o.Place.Row, o.Item, o.Content, o.Price))
	}
	return out
}

// wholeYard is the list of a yard that sells far more than a job needs.
func wholeYard(rows int) string {
	var b strings.Builder
	b.WriteString("supplier,item,content,price\nYard A,bord-1x4,16 ft,12.50\nYard A,board-1x4,12 ft,9.40\nYard A,board-1x8,16 ft,22\n")
	for i := range rows {
		fmt.Fprintf(&b, "Yard A,yard stock %04d,,call\n", i)
	}
	return b.String()
}

// brokenBook is a workbook in which a spreadsheet program has left its marks.
func brokenBook(t *testing.T) string {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Prices"))
	for i, row := range [][]any{
		{"Supplier", "Item", "Code", "Pack size (ft)", "Unit price"},
		{"Yard A", "board-1x4", "0071", 16, 12.5},
		{"Yard A", "board-1x4", 72, 12, "#REF!"},
		{"Yard A", "board-1x6", "73", 16, nil},
		{"Yard A", "board-1x6", "74", 12, 0.5},
		{"Yard A", "board-1x6", "75", 46030, 18},
		{"Yard A", "board-1x6", "76", 10, 15},
	} {
		cell, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Prices", cell, &row))
	}
	require.NoError(t, f.SetCellFormula("Prices", "E4", "E2*1.5")) // never calculated
	require.NoError(t, f.SetCellFormula("Prices", "E7", "E2*1.2")) // calculated
	for cell, format := range map[string]int{"E5": 9, "D6": 14} {  // a percentage, a date
		style, err := f.NewStyle(&excelize.Style{NumFmt: format})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Prices", cell, cell, style))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.String()
}

// Twelve lists as they come from suppliers: what is said of each, and what
// remains of it. The cases are made up after what spreadsheet programs and
// hands do to a table; no source.
func TestBrokenTwelveWays(t *testing.T) {
	const head = "supplier,item,content,price\n"
	for _, c := range []struct {
		why, data string
		want      []string
		kept      []string
	}{
		{"decimal commas, not declared", "supplier;item;content;price\nYard A;board-1x4;16 ft;12,50\nYard A;board-1x6;16 ft;1,500\n" +
			"Yard A;nail-8d;5 lb;€ 21,9\nYard A;sealant-10;10.1 fl oz;7\n",
			[]string{
				`prices.csv: line 2, price: "12,50" has a comma that is not between thousands ` +
					`(write digits and a decimal point, such as 1,234.50; if the whole column is so, add (decimal comma) to its header)`,
				`prices.csv: line 3, price: "1,500" may have a decimal comma, as "12,50" in line 2 has (write digits and a decimal point, or add ` +
					`(decimal comma) to the header)`,
				`prices.csv: line 4, price: "€ 21,9" has a comma that is not between thousands ` +
					`(write digits and a decimal point, such as 1,234.50; if the whole column is so, add (decimal comma) to its header)`,
			}, []string{`5: sealant-10 10.1 fl oz 7.00`}},
		{"an old encoding", head + "M\xFCller,board-1x4,16 ft,12.50\nYard A,board-1x6,16 ft,18\n",
			[]string{
				`prices.csv: line 2, supplier: "M�ller" holds bytes that are not UTF-8 text (save the file as CSV UTF-8 and check this cell)`,
			}, []string{`3: board-1x6 16 ft 18.00`}},
		{"no column of prices", "supplier,item,content,prise\nYard A,board-1x4,16 ft,12.50\n",
			[]string{
				`prices.csv: line 1: the column "price" is missing; found "supplier", "item", "content", "prise" (is "prise" meant for price? add it to the header row)`,
			}, nil},
		{"two columns of prices", "supplier,item,content,price,Net price\nYard A,board-1x4,16 ft,12.50,11.25\n",
			[]string{
				`prices.csv: line 1, Net price: the columns "price" in field 4 and "Net price" in field 5 are both price (keep one and rename the other)`,
				`prices.csv: line 1, Net price: note: the column "Net price" is not used`,
				`prices.csv: line 2, Net price: Net price is "11.25", and price is "12.50": which of the two holds? (keep the right one, and clear the other)`,
			}, nil},
		{"prices that are none", head + "Yard A,board-1x4,16 ft,-12.50\nYard A,board-1x6,16 ft,0\nYard A,nail-8d,5 lb,call\n" +
			"Yard A,sealant-10,10.1 fl oz,\nYard B,sealant-10,10.1 fl oz,$7.25\n",
			[]string{
				`prices.csv: line 2, price: "-12.50" is not a price (write a price above 0, or leave the cell blank)`,
				`prices.csv: line 3, price: "0" is not a price (write a price above 0, or leave the cell blank)`,
				`prices.csv: line 4, price: "call" is not an amount (write digits and a decimal point, such as 1,234.50)`,
				`prices.csv: line 5, price: warning: there is no price; the row is not used (write the price, or delete the row)`,
			}, []string{`6: sealant-10 10.1 fl oz 7.25`}},
		{"packs that do not say what is in them", head + "Yard A,board-1x4,16,12.50\nYard A,sealant-10,tube,7.25\nYard A,nail-8d,16 ft,21\n" +
			"Yard A,board-1x6,,18\nYard B,nail-8d,5 lb,22\n",
			[]string{
				`prices.csv: line 2, content: "16" has no unit (write 16 ft)`,
				`prices.csv: line 3, content: "tube" is not a content (write 10.1 fl oz)`,
				`prices.csv: line 4, content: "16 ft" is a length, but nail-8d is bought by count or weight (write 100 each or 5 lb)`,
				`prices.csv: line 5, content: the content is missing (write 16 ft)`,
			}, []string{`6: nail-8d 5 lb 22.00`}},
		{"a yard's whole list", wholeYard(2000),
			[]string{
				`prices.csv: line 2, item: "bord-1x4" is not on the Items sheet (did you mean board-1x4?)`,
				`prices.csv: line 4, item: warning: 2001 names are not on the Items sheet; the 2001 rows of them are not used: "board-1x8" ` +
					`(board-1x4?), "yard stock 0000", "yard stock 0001", "yard stock 0002", "yard stock 0003", "yard stock 0004", "yard stock 0005", "yard stock 0006", "yard stock 0007", "yard stock 0008" and 1991 more (add those that are needed to the Items sheet)`,
			}, []string{`3: board-1x4 12 ft 9.40`}},
		{"dates", "supplier,item,content,price,effective,expires\nYard A,board-1x4,16 ft,12.50,3/4/25,\nYard A,board-1x6,16 ft,18,2026-11-01,2026-10-31\n" +
			"Yard A,nail-8d,5 lb,21,soon,2026-13-01\nYard A,sealant-10,10.1 fl oz,7.25,2026-11-01,2026-12-31\n",
			[]string{
				`prices.csv: line 2, effective: "3/4/25" is ambiguous: day and month cannot be told apart (write year-month-day, such as 2026-11-25)`,
				`prices.csv: line 3, expires: the price expires on 2026-10-31, before it begins on 2026-11-01 (correct the dates)`,
				`prices.csv: line 4, effective: "soon" is not a date (write year-month-day, such as 2026-11-25)`,
				`prices.csv: line 4, expires: "2026-13-01" is not a date (write year-month-day, such as 2026-11-25)`,
			}, []string{`5: sealant-10 10.1 fl oz 7.25`}},
		{"currencies", "supplier,item,content,price,currency\nYard A,board-1x4,16 ft,CAD 12.50,USD\nYard A,board-1x6,16 ft,18,dollars\n" +
			"Yard A,nail-8d,5 lb,21.00 €,USD\nYard A,sealant-10,10.1 fl oz,7.25 USD,usd\n",
			[]string{
				`prices.csv: line 2, price: "CAD 12.50" is not in USD (write the price and the currency of one kind)`,
				`prices.csv: line 3, currency: "dollars" is not a currency (write its three letters, such as USD)`,
				`prices.csv: line 4, price: "21.00 €" is not in USD (write the price and the currency of one kind)`,
			}, []string{`5: sealant-10 10.1 fl oz 7.25`}},
		{"a quotation mark that is not closed", head + "Yard A,\"board-1x4,16 ft,12.50\nYard A,board-1x6,16 ft,18\n",
			[]string{
				`prices.csv: line 2: a quotation mark is opened and not closed in "Yard A,\"board-1x4,16 ft,12.50" ` +
					`(close it, or write the mark twice inside quotation marks)`,
				`prices.csv: line 2, item: warning: "board-1x4,16 ft,12.50" is not on the Items sheet; the row is not used (add it there if it is needed)`,
			}, []string{`3: board-1x6 16 ft 18.00`}},
		{"commas inside fields", head + "Yard A,board-1x4,16 ft,12,50\n\"Yard A\nmain gate\",board-1x6,16 ft,\"1,234.50\"\nYard A, Inc.,nail-8d,5 lb,21\n",
			[]string{
				`prices.csv: line 2: the line has more fields than the header: field 5 is "50"; the line is not used ` +
					`(put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`,
				`prices.csv: line 5: the line has more fields than the header: field 5 is "21"; the line is not used ` +
					`(put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`,
			}, []string{`3: board-1x6 16 ft 1,234.50`}},
		{"a workbook with what a spreadsheet program left", brokenBook(t),
			[]string{
				`prices.csv: Prices!C3: warning: the code 72 is stored as a number, which has no leading zeros ` +
					`(compare with the supplier's list; format the column as text)`,
				`prices.csv: Prices!E3: "#REF!" is not an amount (write digits and a decimal point, such as 1,234.50)`,
				`prices.csv: Prices!E4: the cell has a formula that was never calculated (open the file in your spreadsheet program and save it)`,
				`prices.csv: Prices!E5: the cell holds a percentage (type the value itself, with another number format)`,
				`prices.csv: Prices!D6: "1/8/2026" is stored as a date (if 1/8 is meant, type it with an apostrophe before it)`,
				`prices.csv: Prices!E7: note: the cell is a formula; the value stored in the file is used`,
			}, []string{`2: board-1x4 16 ft 12.50`, `7: board-1x6 10 ft 15.00`}},
	} {
		offers, problems := read(t, []byte(c.data))
		assert.Equal(t, c.want, problems, c.why)
		assert.Equal(t, c.kept, keptFrom(offers), c.why)
	}
}
