package cutlist

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

const (
	inch = measure.Inch
	mm   = measure.Millimeter
)

func parse(t testing.TB, file string, data []byte) *sheet.Book {
	t.Helper()
	book, ps := sheet.Parse(file, data)
	require.NotNil(t, book, "%v", ps)
	require.Empty(t, ps)
	return book
}

func words(ps []estimate.Problem) []string {
	var out []string
	for _, p := range estimate.SortProblems(ps) {
		out = append(out, p.String())
	}
	return out
}

func at(file string, row, col int, column string) estimate.Place {
	return estimate.Place{File: file, Row: row, Col: col, Column: column}
}

func TestReadPieces(t *testing.T) {
	for _, c := range []struct {
		shows, data string
		bare        measure.Unit
		want        []cut.Piece
	}{
		{"commas and marks of inches in quotes", "length,count,label\n\"84-1/2\"\"\",2,\"D3 \"\"leg\"\", left\"\n36,1,\n", measure.Inches,
			[]cut.Piece{{Length: 84*inch + inch/2, Count: 2, Label: `D3 "leg", left`}, {Length: 36 * inch, Count: 1}}},
		{"byte order mark, semicolons, line ends of two characters", "\uFEFFlength;count;label\r\n7'-0 1/2\";2;leg\r\n", measure.Inches,
			[]cut.Piece{{Length: 84*inch + inch/2, Count: 2, Label: "leg"}}},
		{"fractions of one character", "length,count\n84½,1\n7'-0 ½\",2\n⅜,3\n", measure.Inches,
			[]cut.Piece{{Length: 84*inch + inch/2, Count: 1}, {Length: 84*inch + inch/2, Count: 2}, {Length: 3 * inch / 8, Count: 3}}},
		{"other headers, a title above, a unit in the header", "Trim of the garden house\n\nMark,Cut length (mm),Qty\nA,914,2\nB,36 in,1\n", measure.Inches,
			[]cut.Piece{{Length: 914 * mm, Count: 2, Label: "A"}, {Length: 36 * inch, Count: 1, Label: "B"}}},
		{"a bare number is what the caller says", "length,count\n914,1\n36 in,1\n", measure.Millimeters,
			[]cut.Piece{{Length: 914 * mm, Count: 1}, {Length: 36 * inch, Count: 1}}},
		{"labels that look like formulas are text, guarded or not", "length,count,label\n36,1,=1+2\n36,1,'=1+2\n36,1,+a\n36,1,-b\n36,1,@c\n", measure.Inches,
			[]cut.Piece{{Length: 36 * inch, Count: 1, Label: "=1+2"}, {Length: 36 * inch, Count: 1, Label: "=1+2"}, {Length: 36 * inch, Count: 1, Label: "+a"},
				{Length: 36 * inch, Count: 1, Label: "-b"}, {Length: 36 * inch, Count: 1, Label: "@c"}}},
		{"marks", "length,count,held,factory end\n36,1,yes,\n36,1,,Y\n36,1,no,FALSE\n", measure.Inches,
			[]cut.Piece{{Length: 36 * inch, Count: 1, Held: true}, {Length: 36 * inch, Count: 1, FactoryEnd: true}, {Length: 36 * inch, Count: 1}}},
	} {
		pieces, ps := ReadPieces(parse(t, "p.csv", []byte(c.data)), c.bare)
		assert.Empty(t, words(ps), c.shows)
		var got []cut.Piece
		for _, p := range pieces {
			got = append(got, p.Piece)
		}
		assert.Equal(t, c.want, got, c.shows)
	}
}

func TestReadStock(t *testing.T) {
	stock, ps := ReadStock(parse(t, "s.csv", []byte("length,price,available,name\n192,\"$1,250.0375\",,\n96,0,3,=scrap\n16 ft,12,0,long\n")), measure.Inches)
	assert.Empty(t, words(ps))
	assert.Equal(t, []Stock{
		{Stock: cut.Stock{Length: 192 * inch, Price: 1250_0375, Available: -1}, At: at("s.csv", 2, 1, "length")},
		{Stock: cut.Stock{Length: 96 * inch, Price: 0, Available: 3}, Name: "=scrap", At: at("s.csv", 3, 1, "length")},
		{Stock: cut.Stock{Length: 192 * inch, Price: 12_0000, Available: 0}, Name: "long", At: at("s.csv", 4, 1, "length")},
	}, stock)
}

// Broken lists: what is wrong, at its place; a bad row costs its row only.
func TestBrokenLists(t *testing.T) {
	const pieces, stock = "length,count,label,held\n", "length,price,available\n"
	for _, c := range []struct {
		shows, data string
		stock       bool
		kept        int
		want        []string
	}{
		{"a missing count is not zero, nor a missing length", pieces + "36,,a,\n,2,b,\n36,1,c,\n", false, 1, []string{
			"l.csv: line 2, count: the count is missing (write how many are wanted)",
			"l.csv: line 3, length: the length is missing (write the length of the piece)"}},
		{"a count of 0 is said", pieces + "36,0,a,\n", false, 1, []string{
			"l.csv: line 2, count: note: the count is 0; nothing is cut for this row"}},
		{"all that is wrong with a row", pieces + "7 11 2,2.5,a,perhaps\n", false, 0, []string{
			`l.csv: line 2, length: "7 11 2" is not a length (write 7'-11 1/2" or 95.5)`,
			`l.csv: line 2, count: "2.5" is not a whole number (write digits only, such as 2)`,
			`l.csv: line 2, held: "perhaps" is neither yes nor no (write yes or no, or leave it blank for no)`}},
		{"a length of 0, a negative one, one in doubt", pieces + "0,1,,\n-3,1,,\n3-6,1,,\n", false, 0, []string{
			`l.csv: line 2, length: "0" is no length to cut (write a length above 0, or delete the row)`,
			`l.csv: line 3, length: "-3" is negative (write it without the minus sign)`,
			`l.csv: line 4, length: "3-6" may be feet and inches or a range (write 3'-6", or one size)`}},
		{"formulas are no values", pieces + "=30+6,=1+1,a,\n", false, 0, []string{
			`l.csv: line 2, length: "=30+6" is not a length (write 7'-11 1/2" or 95.5)`,
			`l.csv: line 2, count: "=1+1" is not a whole number (write digits only, such as 2)`}},
		{"the physical line", "length,count,label\n36,1,\"two\nlines\"\n\n36,x,\n", false, 1, []string{
			`l.csv: line 5, count: "x" is not a whole number (write digits only, such as 2)`}},
		{"the header as it is written", "Cut length,Qty\n36,x\n", false, 0, []string{
			`l.csv: line 2, Qty: "x" is not a whole number (write digits only, such as 2)`}},
		{"too many of one", pieces + "36,1000001,,\n", false, 0, []string{
			`l.csv: line 2, count: "1000001" is more than 1,000,000 (check the number)`}},
		{"too many in all", pieces + "36,600000,,\n37,600000,,\n", false, 0, []string{
			`l.csv: it asks for 1200000 pieces, more than 1,000,000 (split the list)`}},
		{"an unknown column, once; a slip for one of ours", "length,count,colour,lable\n36,1,red,a\n37,1,red,b\n", false, 2, []string{
			`l.csv: line 1, colour: note: the column "colour" is not used`,
			`l.csv: line 1, lable: warning: the column "lable" is not used (if "label" is meant, rename the column)`}},
		{"a column is missing", "length,label\n36,a\n", false, 0, []string{
			`l.csv: line 1: the column "count" is missing; found "length", "label" (add it to the header row)`}},
		{"no row", pieces, false, 0, []string{
			`l.csv: there is no row under the headers (write a row for each length)`}},

		{"a price of a foot buys no board", "length,price,uom\n192,14.60,ea\n96,1.45,LF\n120,9.10,\n144,950,MBF\n", true, 2, []string{
			`l.csv: line 3, uom: the price is by "LF" (write the price of one length of stock, and each as its unit)`,
			`l.csv: line 5, uom: the price is by "MBF" (write the price of one length of stock, and each as its unit)`}},
		{"a missing price is not zero", stock + "192,,\n96,0,1\n", true, 1, []string{
			"l.csv: line 2, price: the price is missing (write the price of one, or 0 for stock on hand)"}},
		{"bad prices", stock + "192,-5,\n192,\"12,5\",\n192,1.23456,\n192,100000000.01,\n192,12 each,\n", true, 0, []string{
			`l.csv: line 2, price: "-5" is negative (write the price of one, or 0 for stock on hand)`,
			`l.csv: line 3, price: "12,5" has a comma that is not between thousands (write digits and a decimal point, such as 1,234.50)`,
			`l.csv: line 4, price: "1.23456" has too many decimals (write at most 4)`,
			`l.csv: line 5, price: "100000000.01" is more than 100 million (check the number)`,
			`l.csv: line 6, price: "12 each" is not an amount (write digits and a decimal point, such as 1,234.50)`}},
		{"bad availability", stock + "192,1,some\n192,1,-1\n", true, 0, []string{
			`l.csv: line 2, available: "some" is not a whole number (write digits only, such as 2)`,
			`l.csv: line 3, available: "-1" is not a whole number (write digits only, such as 2)`}},
		{"two currencies", stock + "192,12,\n96,$7,\n120,€9,\n144,usd 9,\n168,$ 10.00,\n", true, 3, []string{
			`l.csv: line 4, price: "€9" is not in the currency of "$7" (write all prices in one currency, written alike)`,
			`l.csv: line 5, price: "usd 9" is not in the currency of "$7" (write all prices in one currency, written alike)`}},
	} {
		book := parse(t, "l.csv", []byte(c.data))
		kept := 0
		var ps []estimate.Problem
		if c.stock {
			var rows []Stock
			rows, ps = ReadStock(book, measure.Inches)
			kept = len(rows)
		} else {
			var rows []Piece
			rows, ps = ReadPieces(book, measure.Inches)
			kept = len(rows)
		}
		assert.Equal(t, c.kept, kept, c.shows)
		assert.Equal(t, c.want, words(ps), c.shows)
	}
}

// workbook returns a workbook of one sheet a map of cells; formats are number
// formats of cells of the first: 9 is a percentage, 14 a date.
func workbook(t testing.TB, formats map[string]int, sheets ...map[string]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	for i, cells := range sheets {
		name := []string{"Sheet1", "Sheet2"}[i]
		_, err := f.NewSheet(name)
		require.NoError(t, err)
		for cell, v := range cells {
			require.NoError(t, f.SetCellValue(name, cell, v))
		}
	}
	for cell, n := range formats {
		style, err := f.NewStyle(&excelize.Style{NumFmt: n})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Sheet1", cell, cell, style))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func TestWorkbook(t *testing.T) {
	cells := map[string]any{
		"A1": "length", "B1": "count", "C1": "label", "D1": "held",
		"A2": 84.5, "B2": 3, "C2": "=1+2", "D2": true,
		"A3": `7'-0 1/2"`, "B3": "2", "C3": 101,
		"A4": 46024, "B4": 1, // 2026-01-02: 1/2 was typed
		"A5": 0.5, "B5": 0.1,
		"A6": -3, "B6": 2.5, "C6": false,
		"A7": 1.0 / 3, "B7": 1,
	}
	book, _ := sheet.Parse("list.xlsx", workbook(t, map[string]int{"A4": 14, "B5": 9}, cells, map[string]any{"A1": "length"}))
	require.NotNil(t, book)
	pieces, ps := ReadPieces(book, measure.Inches)
	assert.Equal(t, []string{
		`list.xlsx: Sheet1: note: only this sheet of 2 is read`,
		`list.xlsx: Sheet1!A4: the cell holds the date "1/2/2026"; 1/2 was probably typed (format the cell as text and type it again)`,
		`list.xlsx: Sheet1!B5: the cell holds a percentage (format the cell as a number and type it again)`,
		`list.xlsx: Sheet1!A6: "-3" is negative (write it without the minus sign)`,
		`list.xlsx: Sheet1!B6: "2.5" is not a whole number (write digits only, such as 2)`,
		`list.xlsx: Sheet1!A7: note: 0.333333333333333 in is on no mark of 1/64 in or 0.1 mm; taken as it is`,
	}, words(ps))
	require.Len(t, pieces, 3)
	assert.Equal(t, cut.Piece{Length: 84*inch + inch/2, Count: 3, Label: "=1+2", Held: true}, pieces[0].Piece)
	assert.Equal(t, cut.Piece{Length: 84*inch + inch/2, Count: 2, Label: "101"}, pieces[1].Piece)
	assert.Equal(t, measure.Length(8_466_667), pieces[2].Length, "a third of 25,400,000")

	book, _ = sheet.Parse("stock.xlsx", workbook(t, nil, map[string]any{"A1": "length (mm)", "B1": "price", "A2": 4877, "B2": 12.3456, "A3": 2438, "B3": -1}))
	stock, ps := ReadStock(book, measure.Inches)
	require.Len(t, stock, 1)
	assert.Equal(t, cut.Stock{Length: 4877 * mm, Price: 12_3456, Available: -1}, stock[0].Stock)
	assert.Equal(t, []string{`stock.xlsx: Sheet1!B3: "-1" is negative (write the price of one, or 0 for stock on hand)`}, words(ps))
}

func TestWhichSheet(t *testing.T) {
	f, err := excelize.OpenReader(bytes.NewReader(workbook(t, nil, map[string]any{"A1": "notes"}, map[string]any{"A1": "length", "B1": "count", "A2": 36, "B2": 1})))
	require.NoError(t, err)
	f.SetActiveSheet(1)
	require.NoError(t, f.SetSheetVisible("Sheet1", false))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	pieces, ps := ReadPieces(parse(t, "list.xlsx", b.Bytes()), measure.Inches)
	assert.Len(t, pieces, 1, "a hidden sheet is passed over")
	assert.Equal(t, []string{"list.xlsx: Sheet2: note: only this sheet of 2 is read"}, words(ps))
}

// The unit that a cell shows goes before the caller's, and must be the header's.
func TestUnitOfTheFormat(t *testing.T) {
	for _, c := range []struct {
		header string
		want   []string
	}{
		{"length", nil},
		{"length (mm)", nil},
		{"length (in)", []string{`list.xlsx: Sheet1!A2: shows 914 mm under a header in in (correct the header or the format of the cell)`}},
	} {
		f, err := excelize.OpenReader(bytes.NewReader(workbook(t, nil, map[string]any{"A1": c.header, "B1": "count", "A2": 914, "B2": 1})))
		require.NoError(t, err)
		format := `0" mm"`
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Sheet1", "A2", "A2", style))
		var b bytes.Buffer
		require.NoError(t, f.Write(&b))
		pieces, ps := ReadPieces(parse(t, "list.xlsx", b.Bytes()), measure.Inches)
		assert.Equal(t, c.want, words(ps), c.header)
		if c.want == nil {
			require.Len(t, pieces, 1, c.header)
			assert.Equal(t, 914*mm, pieces[0].Length, c.header)
		}
	}
}

func FuzzPieces(f *testing.F) {
	for _, s := range []string{
		"length,count,label\n\"84-1/2\"\"\",2,\"D3 \"\"leg\"\", left\"\n",
		"length;qty;held\r\n914 mm;2;yes\r\n7'-0 ½\";;perhaps\r\n",
		"title\n\nlength (mm)\tcount\n914\t3\n-1\t1e3\n",
		"length,count,label\n36,1,=1+2\n36,0,'@x\n36,999999999999,\n",
		"length,length,count\n1,2,3\n",
	} {
		f.Add([]byte(s), true)
	}
	f.Fuzz(func(t *testing.T, data []byte, inches bool) {
		book, _ := sheet.Parse("pieces.csv", data)
		if book == nil {
			return
		}
		unit := map[bool]measure.Unit{true: measure.Inches, false: measure.Millimeters}[inches]
		pieces, ps := ReadPieces(book, unit)
		checkProblems(t, ps, len(pieces), "pieces.csv")
		total := 0
		for _, p := range pieces {
			require.Positive(t, p.Length)
			require.GreaterOrEqual(t, p.Count, 0)
			require.Positive(t, p.LengthAt.Row)
			require.Equal(t, strings.TrimSpace(p.Label), p.Label)
			total += p.Count
		}
		require.LessOrEqual(t, total, cut.MaxPieces)
		if total > 1000 {
			return
		}
		// Each piece on a board of its own, the CSV file lists them all as they were read.
		c := New(pieces, []Stock{{Stock: cut.Stock{Length: measure.MaxLength}}}, 0, 0, unit)
		for i, p := range pieces {
			for range p.Count {
				c.Plan.Boards = append(c.Plan.Boards, cut.Board{Pieces: []int{i}})
			}
		}
		written, err := c.CSV()
		require.NoError(t, err)
		again, _ := sheet.Parse("plan.csv", written)
		require.NotNil(t, again)
		require.Len(t, again.Sheets[0].Rows, 1+total)
		labels := map[string]int{}
		for _, p := range pieces {
			labels[p.Label] += p.Count
		}
		for _, row := range again.Sheets[0].Rows[1:] {
			labels[row[9].Word()]--
		}
		for label, n := range labels {
			require.Zero(t, n, label)
		}
	})
}

func FuzzStock(f *testing.F) {
	for _, s := range []string{
		"length,price,available,name\n192,\"$1,250.0375\",,\n96,0,3,=scrap\n",
		"length (mm);price\n4877;€12\n4877;$12\n4877;12,5\n",
		"length,price,available\n192,,0\n192,-1,many\n16 ft,1e9,99999999999999999999\n",
		"price\n1\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		book, _ := sheet.Parse("stock.csv", data)
		if book == nil {
			return
		}
		stock, ps := ReadStock(book, measure.Inches)
		checkProblems(t, ps, len(stock), "stock.csv")
		for _, s := range stock {
			require.Positive(t, s.Length)
			require.GreaterOrEqual(t, s.Price, measure.UnitPrice(0))
			require.LessOrEqual(t, s.Price, 100*measure.UnitPrice(measure.MaxMoney))
			require.GreaterOrEqual(t, s.Available, -1)
		}
	})
}

// checkProblems wants every problem to have its place, and one if nothing was
// read.
func checkProblems(t *testing.T, ps []estimate.Problem, rows int, file string) {
	t.Helper()
	for _, p := range ps {
		require.NotEmpty(t, p.What)
		require.Equal(t, file, p.Place.File)
	}
	if rows == 0 {
		require.Positive(t, estimate.Errors(ps))
	}
}
