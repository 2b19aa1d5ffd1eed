package pricelist

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

var items = estimate.NewItems([]estimate.Item{
	{Key: "sealant-10", Class: "sealant", Dim: estimate.Volumewise},
	{Key: "nail-8d", Class: "fastening", Dim: estimate.Each, Coverage: 190, CoverageUnit: "lb"},
	{Key: "board-1x4", Class: "boards", Dim: estimate.Lengthwise, Cut: true},
	{Key: "board-1x6", Class: "boards", Dim: estimate.Lengthwise, Cut: true},
})

const header = "supplier,item,code,description,content,unit,price,currency,min_temp_f,lead_days,effective,expires\n"

func read(t *testing.T, data []byte) ([]pricing.Offer, []string) {
	t.Helper()
	book, ps := sheet.Parse("prices.csv", data)
	require.NotNil(t, book, "%v", ps)
	offers, more := Read(book, items)
	var words []string
	for _, p := range estimate.SortProblems(append(ps, more...)) {
		words = append(words, p.String())
	}
	return offers, words
}

func day(t *testing.T, s string) estimate.Maybe[measure.Date] {
	t.Helper()
	d, err := measure.ParseDate(s)
	require.NoError(t, err)
	return estimate.Given(d)
}

func TestRead(t *testing.T) {
	offers, problems := read(t, []byte(header+
		`Yard A,board-1x4,0071,"primed, 1x4",16 ft,board,"$1,500.00",usd,,3 days,2025-11-01,2025-12-01`+"\n"+
		"\"Yard B\n(invented)\",NAIL-8D,'=7,'-2 box,5 lb,box,12.3456,,-20,,,\n"))
	assert.Empty(t, problems)
	assert.Equal(t, []pricing.Offer{
		{Place: estimate.Place{File: "prices.csv", Row: 2}, Supplier: "Yard A", Item: "board-1x4", Code: "0071", Description: "primed, 1x4",
			Content: "16 ft", Amount: int64(16 * measure.Foot), Unit: "board", Price: 1500_0000, Currency: "USD",
			LeadDays: estimate.Given(int64(3)), Effective: day(t, "2025-11-01"), Expires: day(t, "2025-12-01")},
		{Place: estimate.Place{File: "prices.csv", Row: 3}, Supplier: "Yard B (invented)", Item: "nail-8d", Code: "=7", Description: "-2 box",
			Content: "5 lb", Amount: 950, Unit: "box", Price: 12_3456, MinTempF: estimate.Given(int64(-20)), Invented: true},
	}, offers)
}

func TestHeadersOfOthers(t *testing.T) {
	offers, problems := read(t, []byte("Prices of November\nVendor;SKU;Item;Pack size (ft);Unit Price\nYard A;0071;board-1x4;16;12.50\n"))
	assert.Empty(t, problems)
	require.Len(t, offers, 1)
	assert.Equal(t, int64(16*measure.Foot), offers[0].Amount, "the unit of the header")
	assert.Equal(t, "0071", offers[0].Code)
}

// Broken lists: what is wrong, at its place; a bad row costs its row only.
func TestBrokenLists(t *testing.T) {
	good := "Yard B,board-1x6,,,16 ft,board,20.00,USD,,,,\n"
	for _, c := range []struct {
		why, rows string
		kept      int
		want      []string
	}{
		{"decimal comma", good + `Yard A,board-1x4,,,16 ft,board,"12,5",USD,,,,` + "\n", 1,
			[]string{`prices.csv: line 3, price: "12,5" has a comma that is not between thousands ` +
				`(write digits and a decimal point, such as 1,234.50; if the whole column is so, add (decimal comma) to its header)`}},
		{"negative price, after a field of two lines", "Yard B,board-1x6,,\"two\nlines\",16 ft,board,20.00,USD,,,,\nYard A,board-1x4,,,16 ft,board,-5,USD,,,,\n", 1,
			[]string{`prices.csv: line 4, price: "-5" is not a price (write a price above 0, or leave the cell blank)`}},
		{"price of nothing", good + "Yard A,board-1x4,,,16 ft,board,0,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, price: "0" is not a price (write a price above 0, or leave the cell blank)`}},
		{"no price", good + "Yard A,board-1x4,,,16 ft,board,,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, price: warning: there is no price; the row is not used (write the price, or delete the row)`}},
		{"words for a price", good + "Yard A,board-1x4,,,16 ft,board,call,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, price: "call" is not an amount (write digits and a decimal point, such as 1,234.50)`}},
		{"misspelt item", good + "Yard A,bord-1x4,,,16 ft,board,12,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, item: "bord-1x4" is not on the Items sheet (did you mean board-1x4?)`}},
		{"unknown item", good + "Yard A,chimney,,,16 ft,board,12,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, item: warning: "chimney" is not on the Items sheet; the row is not used (add it there if it is needed)`}},
		{"no supplier", good + ",board-1x4,,,16 ft,board,12,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, supplier: the supplier is missing (write who sells it)`}},
		{"no item", good + ",,,,16 ft,board,12,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, item: warning: no item is named; the row is not used (write the key of an item on the Items sheet where one is needed)`}},
		{"content of another kind", good + "Yard A,board-1x4,,,5 lb,board,12,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, content: "5 lb" is a weight, but board-1x4 is bought by length (write 16 ft)`}},
		{"everything at once", good + "Yard A,board-1x4,,,16,board,1.23456,dollars,warm,2.7,3/4/25,soon\n", 1,
			[]string{`prices.csv: line 3, content: "16" has no unit (write 16 ft)`,
				`prices.csv: line 3, price: "1.23456" has too many decimals (write at most 4)`,
				`prices.csv: line 3, currency: "dollars" is not a currency (write its three letters, such as USD)`,
				`prices.csv: line 3, min_temp_f: "warm" is not a temperature in whole degrees Fahrenheit (write a number such as 40 or -20)`,
				`prices.csv: line 3, lead_days: "2.7" is not a number of days (write a whole number such as 5)`,
				`prices.csv: line 3, effective: "3/4/25" is ambiguous: day and month cannot be told apart (write year-month-day, such as 2026-11-25)`,
				`prices.csv: line 3, expires: "soon" is not a date (write year-month-day, such as 2026-11-25)`}},
		{"two currencies in a row", good + "Yard A,board-1x4,,,16 ft,board,CAD 12.50,USD,,,,\n", 1,
			[]string{`prices.csv: line 3, price: "CAD 12.50" is not in USD (write the price and the currency of one kind)`}},
		{"expires before it begins", good + "Yard A,board-1x4,,,16 ft,board,12,USD,,,2025-11-01,2025-10-01\n", 1,
			[]string{`prices.csv: line 3, expires: the price expires on 2025-10-01, before it begins on 2025-11-01 (correct the dates)`}},
	} {
		offers, problems := read(t, []byte(header+c.rows))
		assert.Equal(t, c.want, problems, c.why)
		assert.Len(t, offers, c.kept, c.why)
	}
}

// Headers are checked before the CSV library sees them: it would read a list
// under another header as zeros.
func TestBrokenHeaders(t *testing.T) {
	for _, c := range []struct {
		why, data string
		kept      int
		want      []string // beginnings
	}{
		{"missing and misspelt", "supplier,item,content,prise\nYard A,board-1x4,16 ft,12\n", 0,
			[]string{`prices.csv: line 1: the column "price" is missing`}},
		{"no content", "supplier,item,price\nYard A,board-1x4,12\n", 0,
			[]string{`prices.csv: line 1: the column "content" is missing`}},
		{"twice", "supplier,item,content,price,price\nYard A,board-1x4,16 ft,12,99\n", 0,
			[]string{`prices.csv: line 1, price: the columns "price" in field 4 and "price" in field 5 are both price`,
				`prices.csv: line 1, price: note: the column "price" is not used`,
				`prices.csv: line 2, price: price is "99", and price is "12": which of the two holds?`}},
		{"twice the same", "supplier,item,content,price,price\nYard A,board-1x4,16 ft,12,12\n", 1,
			[]string{`prices.csv: line 1, price: the columns "price" in field 4`, `prices.csv: line 1, price: note: the column "price" is not used`}},
		{"unknown", "supplier,item,content,price,colour\nYard A,board-1x4,16 ft,12,white\n", 1,
			[]string{`prices.csv: line 1, colour: note: the column "colour" is not used`}},
		{"none", "Yard A,board-1x4,16 ft,12\n", 0,
			[]string{`prices.csv: there is no row of column headers`}},
	} {
		offers, problems := read(t, []byte(c.data))
		assert.Len(t, offers, c.kept, c.why)
		if assert.Len(t, problems, len(c.want), c.why) {
			for i := range c.want {
				assert.Contains(t, problems[i], c.want[i], c.why)
			}
		}
	}
	offers, _ := read(t, []byte("SUPPLIER, Item ,CONTENT,Price\nYard A,board-1x4,16 ft,12\n"))
	require.Len(t, offers, 1, "case and spaces do not matter")
	assert.Equal(t, measure.UnitPrice(12_0000), offers[0].Price)
}

// workbook returns a workbook of one sheet; formats are the number formats of
// cells that have one: 9 is a percentage, 14 a date.
func workbook(t *testing.T, name string, cells map[string]any, formats map[string]int) []byte {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", name))
	for cell, v := range cells {
		require.NoError(t, f.SetCellValue(name, cell, v))
	}
	for cell, n := range formats {
		style, err := f.NewStyle(&excelize.Style{NumFmt: n})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle(name, cell, cell, style))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func TestWorkbook(t *testing.T) {
	cells := map[string]any{
		"A1": "supplier", "B1": "item", "C1": "content", "D1": "price", "E1": "code", "F1": "effective",
		"A2": "Yard A", "B2": "board-1x4", "C2": "16 ft", "D2": 12.5, "E2": 71, "F2": 45962, // 2025-11-01
		"A3": "Yard A", "B3": "board-1x6", "C3": 16, "D3": 0.1 + 0.2, "E3": "0072",
		"A4": "Yard A", "B4": "board-1x6", "C4": "16 ft", "D4": 9, "E4": 45992,
		"A5": "Yard A", "B5": "board-1x6", "C5": "16 ft", "D5": 0.5,
		"A6": "Yard A", "B6": "board-1x6", "C6": "20 ft", "D6": -1,
	}
	book, ps := sheet.Parse("job.xlsx", workbook(t, "Prices", cells, map[string]int{"F2": 14, "E4": 14, "D5": 9}))
	require.NotNil(t, book, "%v", ps)
	offers, problems := Read(book, items)
	require.Len(t, offers, 1)
	assert.Equal(t, "71", offers[0].Code)
	assert.Equal(t, day(t, "2025-11-01"), offers[0].Effective)
	assert.Equal(t, measure.UnitPrice(12_5000), offers[0].Price)
	var words []string
	for _, p := range estimate.SortProblems(problems) {
		words = append(words, p.String())
	}
	assert.Equal(t, []string{
		`job.xlsx: Prices!E2: warning: the code 71 is stored as a number, which has no leading zeros (compare with the supplier's list; format the column as text)`,
		`job.xlsx: Prices!C3: "16" has no unit (write 16 ft)`,
		`job.xlsx: Prices!E4: "12/1/2025" is stored as a date (if 12-1 is meant, type it with an apostrophe before it)`,
		`job.xlsx: Prices!D5: the cell holds a percentage (type the value itself, with another number format)`,
		`job.xlsx: Prices!D6: "-1" is not a price (write a price above 0, or leave the cell blank)`,
	}, words)
}

// What a price list's cells show is read, or refused at the cell. Formats as people
// write them: common practice, no source.
func TestNumberFormats(t *testing.T) {
	for _, tt := range []struct {
		shown, cell string
		value       any
		style       excelize.Style
		price       measure.UnitPrice // 0: the row is not used
		code        string
		currency    string
		says        []string
	}{
		{"12.50 €", "D2", 12.5, custom(`0.00 [$€-407]`), 12_5000, "A1", "EUR", nil},
		{"$12.50", "D2", 12.5, custom(`$0.00`), 12_5000, "A1", "", nil},
		{"0.0 for 12.5", "D2", 12.5, custom(`0.0,`), 0, "", "", []string{`Prices!D2: "12.5" is shown in thousands (format the cell as a plain number)`}},
		{"1.25E+01", "D2", 12.5, custom(`0.00E+00`), 0, "", "", []string{
			`Prices!D2: "1.25E+01" is not an amount (write digits and a decimal point, such as 1,234.50)`,
			`Prices!D2: warning: the cell shows "1.25E+01" and holds 12.5; what it shows is read ` +
				`(if it was typed otherwise, such as 1E5 for a mark, format the cell as text and type it again)`}},
		{"12.50 struck", "D2", 12.5, excelize.Style{Font: &excelize.Font{Strike: true}}, 0, "", "", []string{
			`Prices!D2: "12.5" is struck out (clear the cell, or take the line through it away)`}},
		{"00412 for 412", "E2", 412, custom(`00000`), 12_5000, "00412", "", []string{`Prices!E2: note: the cell shows "00412" and holds 412; what it shows is read`}},
		{"16 LF", "C2", 16, custom(`0 "LF"`), 12_5000, "A1", "", []string{`Prices!C2: note: the cell shows "16 LF" and holds 16; what it shows is read`}},
	} {
		t.Run(tt.shown, func(t *testing.T) {
			f := excelize.NewFile()
			require.NoError(t, f.SetSheetName("Sheet1", "Prices"))
			for cell, v := range map[string]any{"A1": "supplier", "B1": "item", "C1": "content", "D1": "price", "E1": "code",
				"A2": "Yard A", "B2": "board-1x4", "C2": "16 ft", "D2": 12.5, "E2": "A1"} {
				require.NoError(t, f.SetCellValue("Prices", cell, v))
			}
			require.NoError(t, f.SetCellValue("Prices", tt.cell, tt.value))
			id, err := f.NewStyle(&tt.style)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("Prices", tt.cell, tt.cell, id))
			var b bytes.Buffer
			require.NoError(t, f.Write(&b))
			offers, says := read(t, b.Bytes())
			for i := range says {
				says[i] = says[i][len("prices.csv: "):]
			}
			assert.Equal(t, tt.says, says)
			if tt.price == 0 {
				assert.Empty(t, offers)
				return
			}
			require.Len(t, offers, 1)
			assert.Equal(t, []any{tt.price, tt.code, tt.currency}, []any{offers[0].Price, offers[0].Code, offers[0].Currency})
		})
	}
}

func custom(format string) excelize.Style { return excelize.Style{CustomNumFmt: &format} }

func TestWhichSheet(t *testing.T) {
	cells := map[string]any{"A1": "supplier", "B1": "item", "C1": "content", "D1": "price", "A2": "Yard A", "B2": "board-1x4", "C2": "16 ft", "D2": 12}
	book, _ := sheet.Parse("list.xlsx", workbook(t, "November", cells, nil))
	offers, problems := Read(book, items)
	assert.Len(t, offers, 1, "the only sheet")
	assert.Empty(t, problems)

	f := excelize.NewFile()
	_, err := f.NewSheet("More")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	book, _ = sheet.Parse("list.xlsx", b.Bytes())
	_, problems = Read(book, items)
	require.Len(t, problems, 1)
	assert.Equal(t, `list.xlsx: there is no sheet "Prices" among 2 sheets (name the sheet with the prices Prices)`, problems[0].String())
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		header + "Yard A,board-1x4,0071,,16 ft,board,\"$1,500.00\",USD,40,3,2025-11-01,\n",
		header + "Yard A,board-1x4,,,16 ft,board,\"1,5\"\n",
		"supplier;item;content;price\nA;board-1x4;16 ft;12,50\n",
		"supplier\titem\tcontent (ft)\tprice\nA\tboard-1x4\t16\t€12\n",
		"supplier,item,content,price\n\"A,board-1x4,16 ft,12\n",
		"price,price,item\n1,2,3\n",
		"supplier;item;content;price (decimal comma);currency\nA;board-1x4;16 ft;1.234,50 €;\nA;bord-1x4;16 ft;CHF 1,5;EUR\n",
		"yard;material;pack;cost\nA;board-1x8;;\nA;;;\nA;nail-8d;5 lb;1,500\nA;nail-8d;1 lb;1,50\n",
		header + "A,board-1x4,,,16 ft,board,12,50,,,,,,9\n",
		header + "A,board-1x4,,,16 ft,LF,1.45\nA,nail-8d,,,5 lb,/ 1/2 lb,4.28\nA,board-1x6,,,4.8 m,M,1\nA,board-1x6,,,4.8 m,per 1,000 lf,1\n",
		"supplier,item,content,u/m,\"price (ft)\"\nA,board-1x4,16 ft,,1.45\nA,board-1x4,16 ft,.,1\nA,board-1x4,16 ft,0,1\nA,board-1x4,16 ft,C BF,1\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		book, _ := sheet.Parse("prices.csv", data)
		if book == nil {
			return
		}
		offers, problems := Read(book, items)
		for _, p := range problems {
			require.NotEmpty(t, p.What)
			require.Equal(t, "prices.csv", p.Place.File)
		}
		for _, o := range offers {
			require.Positive(t, o.Price)
			require.Positive(t, o.Amount)
			require.NotEmpty(t, o.Supplier)
			_, known := items.Get(o.Item)
			require.True(t, known)
		}
	})
}
