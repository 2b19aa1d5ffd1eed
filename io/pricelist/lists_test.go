package pricelist

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// inUTF16 returns text as spreadsheet programs save "Unicode text".
func inUTF16(s string, order binary.ByteOrder) []byte {
	var out []byte
	for _, u := range utf16.Encode([]rune("\uFEFF" + s)) {
		out = append(out, 0, 0)
		order.PutUint16(out[len(out)-2:], u)
	}
	return out
}

// One list in the encodings and with the separators of different programs.
func TestEncodings(t *testing.T) {
	const tabs = "supplier\titem\tcode\tcontent\tprice\r\nMüller Yard\tboard-1x4\t0071\t16 ft\t1,250.5\r\n"
	for why, data := range map[string][]byte{
		"UTF-8 with its mark":          append([]byte("\xEF\xBB\xBF"), tabs...),
		"UTF-16, low byte first, tabs": inUTF16(tabs, binary.LittleEndian),
		"UTF-16, high byte first":      inUTF16(tabs, binary.BigEndian),
		"semicolons":                   []byte("supplier;item;code;content;price\nMüller Yard;board-1x4;0071;16 ft;1,250.5\n"),
		"the separator named":          []byte("sep=;\nsupplier;item;code;content;price\nMüller Yard;board-1x4;0071;16 ft;1,250.5\n"),
		"commas":                       []byte("supplier,item,code,content,price\nMüller Yard,board-1x4,0071,16 ft,\"1,250.5\"\n"),
		"lines that end in CR":         []byte("supplier,item,code,content,price\rMüller Yard,board-1x4,0071,16 ft,\"1,250.5\"\r"),
		"decimal commas, declared":     []byte("supplier;item;code;content;price (decimal comma)\nMüller Yard;board-1x4;0071;16 ft;1.250,5\n"),
	} {
		offers, problems := read(t, data)
		assert.Empty(t, problems, why)
		require.Len(t, offers, 1, why)
		o := offers[0]
		assert.Equal(t, "Müller Yard", o.Supplier, why)
		assert.Equal(t, "0071", o.Code, "%s: leading zeros stay", why)
		assert.Equal(t, measure.UnitPrice(1250_5000), o.Price, why)
	}
}

// Amounts as they are written under a header, with and without "(decimal
// comma)". Common practice, no source.
func TestAmounts(t *testing.T) {
	for _, c := range []struct {
		header, text string
		want         measure.UnitPrice // 0: refused
		currency     string
	}{
		{"price", "12.50", 12_5000, ""},
		{"price", "12.50 €", 12_5000, "EUR"},
		{"price", "12.50 usd", 12_5000, "USD"},
		{"price", "£1,250.00", 1250_0000, "GBP"},
		{"price", "1,250", 1250_0000, ""},
		{"price", "12.50 each", 0, ""},
		{"price", "12.50 net", 0, ""},
		{"price", "1.250,00", 0, ""},
		{"price (decimal comma)", "12,50", 12_5000, ""},
		{"Unit price [decimal comma]", "1.250,50", 1250_5000, ""},
		{"Cost, decimal comma", "1 250,50", 1250_5000, ""},
		{"price (decimal comma)", "1.250", 1250_0000, ""},
		{"price (decimal comma)", "1 250,50 €", 1250_5000, "EUR"},
		{"price (decimal comma)", "CHF 0,0375", 375, "CHF"},
		{"price (decimal comma)", ",5", 5000, ""},
		{"price (decimal comma)", "12.50", 0, ""},
		{"price (decimal comma)", "1,250.50", 0, ""},
		{"price (decimal comma)", "0,00001", 0, ""},
		{"price (decimal comma)", "call 5", 0, ""},
		{"price (decimal comma)", "-", 0, ""},
	} {
		offers, problems := read(t, []byte("supplier;item;content;"+c.header+"\nA;board-1x4;16 ft;"+c.text+"\n"))
		if c.want == 0 {
			assert.Empty(t, offers, c.text)
			require.Len(t, problems, 1, c.text)
			assert.Contains(t, problems[0], `: "`+c.text+`" `, "the value as it is written")
			continue
		}
		assert.Empty(t, problems, c.text)
		require.Len(t, offers, 1, c.text)
		assert.Equal(t, c.want, offers[0].Price, c.text)
		assert.Equal(t, c.currency, offers[0].Currency, c.text)
	}
}

// A number of a workbook has no decimal comma, whatever the header declares.
func TestDeclaredCommaInAWorkbook(t *testing.T) {
	offers, problems := read(t, workbook(t, "Prices", map[string]any{
		"A1": "supplier", "B1": "item", "C1": "content", "D1": "price (decimal comma)",
		"A2": "A", "B2": "board-1x4", "C2": "16 ft", "D2": 12.5,
		"A3": "A", "B3": "board-1x4", "C3": "12 ft", "D3": "9,75",
	}, nil))
	assert.Empty(t, problems)
	assert.Equal(t, []string{"2: board-1x4 16 ft 12.50", "3: board-1x4 12 ft 9.75"}, keptFrom(offers))
}

// Several lists, each of one supplier or more, are read one after the other:
// what is wrong with one says nothing of the next.
func TestSeveralLists(t *testing.T) {
	var offers []pricing.Offer
	var words []string
	for _, list := range []struct{ file, data string }{
		{"north.csv", "Vendor,Item,Pack,Price\nNorth,board-1x4,16 ft,12\nNorth,nail-8d,5 lb,20\n"},
		{"both.csv", "supplier;item;content;price\nHarbor;nail-8d;5 lb;19\nHill;nail-8d;5 lb;x\n"},
	} {
		book, ps := sheet.Parse(list.file, []byte(list.data))
		require.NotNil(t, book)
		more, others := Read(book, items)
		offers = append(offers, more...)
		for _, p := range append(ps, others...) {
			words = append(words, p.String())
		}
	}
	assert.Equal(t, []string{"2: board-1x4 16 ft 12.00", "3: nail-8d 5 lb 20.00", "2: nail-8d 5 lb 19.00"}, keptFrom(offers))
	assert.Equal(t, []string{`both.csv: line 3, price: "x" is not an amount (write digits and a decimal point, such as 1,234.50)`}, words)
}

// Names that are no item's: a few one by one, many together; a slip for an item
// is an error, anything else a warning.
func TestUnknownItems(t *testing.T) {
	const head = "supplier,item,content,price\n"
	for _, c := range []struct {
		why, data string
		want      []string
	}{
		{"a slip on two rows", head + "A,bord-1x4,16 ft,12\nA,Bord-1x4,12 ft,9\n",
			[]string{`prices.csv: line 2, item: "bord-1x4" is not on the Items sheet; the 2 rows of it are not used (did you mean board-1x4?)`}},
		{"what else is wrong beside a slip", head + "A,bord-1x4,16 ft,-1\n",
			[]string{`prices.csv: line 2, item: "bord-1x4" is not on the Items sheet (did you mean board-1x4?)`,
				`prices.csv: line 2, price: "-1" is not a price (write a price above 0, or leave the cell blank)`}},
		{"another size is no slip", head + "A,board-1x8,16 ft,-1\n",
			[]string{`prices.csv: line 2, item: warning: "board-1x8" is not on the Items sheet; the row is not used ` +
				`(write board-1x4 if that is meant, or add it there if it is needed)`}},
		{"many slips", head + "A,bord-1x4,16 ft,1\nA,bord-1x6,16 ft,1\nA,sealnt-10,10 fl oz,1\nA,nial-8d,5 lb,1\nA,naill-8d,5 lb,1\nA,baord-1x4,16 ft,12\n",
			[]string{`prices.csv: line 2, item: 6 names are not on the Items sheet; the 6 rows of them are not used: "bord-1x4" (board-1x4?), "bord-1x6" ` +
				`(board-1x6?), "sealnt-10" (sealant-10?), "nial-8d" (nail-8d?), "naill-8d" (nail-8d?), "baord-1x4" (board-1x4?) (write them as on the Items sheet)`}},
		{"rows that name no item", head + "A,,4 ft,1\nA,,,\nA,board-1x4,16 ft,12\n",
			[]string{`prices.csv: line 2, item: warning: 2 rows, the first here, name no item; they are not used ` +
				`(write the key of an item on the Items sheet where one is needed)`}},
	} {
		_, problems := read(t, []byte(c.data))
		assert.Equal(t, c.want, problems, c.why)
	}
}

// Many lines with a comma too much make one problem.
func TestManyShiftedLines(t *testing.T) {
	data := "supplier,item,content,price\nA,board-1x4,16 ft,12.50\n" + strings.Repeat("A,board-1x4,16 ft,12,50\n", 6)
	offers, problems := read(t, []byte(data))
	assert.Equal(t, []string{"2: board-1x4 16 ft 12.50"}, keptFrom(offers))
	assert.Equal(t, []string{
		`prices.csv: line 3: 6 lines, the first here, have more fields than the header and are not used (put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`,
	}, problems)
}

// Values of formulas are used as they are stored, and one note says so.
func TestFormulas(t *testing.T) {
	f := excelize.NewFile()
	for cell, v := range map[string]any{"A1": "supplier", "B1": "item", "C1": "content", "D1": "price", "E1": "remark",
		"A2": "A", "B2": "board-1x4", "C2": "16 ft", "D2": 12.5, "E2": 1,
		"A3": "A", "B3": "board-1x4", "C3": "12 ft", "D3": 9.75} {
		require.NoError(t, f.SetCellValue("Sheet1", cell, v))
	}
	for _, cell := range []string{"D2", "E2", "D3"} {
		require.NoError(t, f.SetCellFormula("Sheet1", cell, "1+1"))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	offers, problems := read(t, b.Bytes())
	assert.Equal(t, []string{"2: board-1x4 16 ft 12.50", "3: board-1x4 12 ft 9.75"}, keptFrom(offers))
	assert.Equal(t, []string{
		`prices.csv: Sheet1!E1: note: the column "remark" is not used`,
		`prices.csv: Sheet1!D2: note: 2 cells, the first here, are formulas; the values stored in the file are used`,
	}, problems)
}

// Nothing of a list is worked out: text that begins like a formula is text.
func TestTextStaysText(t *testing.T) {
	offers, problems := read(t,
		[]byte("supplier,item,content,price,code,description\n@Yard,board-1x4,16 ft,12,=1+1,\"=HYPERLINK(\"\"x\"\")\"\n+Yard,board-1x4,16 ft,=2*6,-1,\n"))
	require.Len(t, offers, 1)
	assert.Equal(t, "@Yard", offers[0].Supplier)
	assert.Equal(t, "=1+1", offers[0].Code)
	assert.Equal(t, `=HYPERLINK("x")`, offers[0].Description)
	assert.Equal(t, []string{`prices.csv: line 3, price: "=2*6" is not an amount (write digits and a decimal point, such as 1,234.50)`}, problems)
}
