package pricelist

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/io/sheet"
)

// TestPriceIsReadAsShown: what a row says of its price anywhere is followed, or asked back
// at its cell: no row that a person reads as a price by the foot is bought as one of a
// board. Expected prices are arithmetic: 16 x 1.45 = 23.20.
func TestPriceIsReadAsShown(t *testing.T) {
	const turned = "note: prices by a measure are turned into that of the content"
	says := func(what, unit string) string {
		return fmt.Sprintf("says that the price is by %q, and unit is %q", what, unit)
	}
	for _, c := range []struct {
		shown, head, cells string // beside supplier, item, content and price
		price              string // of one pack, "" = the row is not used
		says               string // part of what is said, "" = nothing but unused columns
	}{
		{"per LF in the description", "description", "Board 1x4 x 16 ft, price per LF", "", `price is by "LF", and there is no unit`},
		{"price per ft, each", "unit,description", "each,price is per foot", "", says("foot", "each")},
		{"/ft in the description", "description", "1x4 primed $1.45/ft", "", `price is by "ft"`},
		{"by the foot", "description", "1x4 sold by the foot", "", `price is by "foot"`},
		{"per M", "description", "1x4; price per M", "", `price is by "M"`},
		{"per LF, nothing before it", "description", "Board 1x4 per LF", "1.45", `may say that the price is by "LF", and there is no unit: it is taken for that of the content`},
		{"a use by the foot", "description", "covers 40 LF per gal", "1.45", ""},
		{"per roll", "description", "price per roll", "1.45", ""},
		{"per LF, and so is the unit", "unit,description", "LF,price per lineal foot", "23.20", turned},
		{"per LF in notes", "unit,notes", "each,per LF", "", says("LF", "each")},
		{"per LF in the header of descriptions", "description (prices per LF)", "1x4", "", `price is by "LF", and there is no unit`},
		{"unit (LF) over blanks", "unit (LF)", "", "23.20", turned},
		{"unit, LF over blanks", `"unit, LF"`, "", "23.20", turned},
		{"uom (ft) over each", "uom (ft)", "each", "", `unit "each" does not go with the header "uom (ft)"`},
		{"unit (each)", "unit (each)", "", "1.45", ""},
		{"price basis", "price basis", "LF", "23.20", turned},
		{"unit each, uom LF", "unit,uom", "each,LF", "", `uom is "LF", and unit is "each": which of the two holds?`},
		{"unit blank, price basis LF", "unit,price basis", ",LF", "", `price basis is "LF", and unit is blank: which of the two holds?`},
		{"unit LF, uom LF", "unit,uom", "LF,lf", "23.20", "are both unit"},
		{"two prices", "unit price", "23.20", "", `price is "1.45": which of the two holds?`},
		{"per LF as a code", "code", "per LF", "", `price is by "LF"`},
		{"sold per LF", "sold per", "LF", "", `"LF" says that the price is by "LF", and there is no unit`},
		{"LF under a heading of nobody", "how", "LF", "1.45", `"LF" may say that the price is by "LF"`},
		{"grade C", "grade", "C", "1.45", ""},
		{"priced per LF in a row", "notes", "\nall boards priced per LF,,,,", "", `"all boards priced per LF" says that the price is by "LF"`},
		{"tax included", "tax", "incl.", "", `tax is "incl.": is the tax in the price?`},
		{"pack qty 10", "pack qty", "10", "1.45", `warning: pack qty is "10": no count of the estimate follows it`},
		{"discontinued", "discontinued", "Yes", "", `warning: discontinued is "Yes": the row is not used`},
		{"discontinued on a day", "Discontinued", "2026-10-01", "", "the row is not used"},
		{"not discontinued", "discontinued", "no", "1.45", ""},
		{"out of stock", "out of stock", "x", "", "the row is not used"},
		{"in stock: no", "in stock", "no", "", `in stock is "no": the row is not used`},
		{"in stock: 0", "In stock", "0", "", "the row is not used"},
		{"in stock: 12", "In stock", "12", "1.45", ""},
		{"status discontinued", "status", "Discontinued", "", "the row is not used"},
		{"status active", "status", "active", "1.45", ""},
		{"availability", "availability", "out of stock", "", "the row is not used"},
		{"DISCONTINUED before a description", "description", "DISCONTINUED 1x4", "", `"DISCONTINUED 1x4": the row is not used`},
		{"no longer made, in notes", "notes", "no longer made", "", "the row is not used"},
		{"discount 10%", "discount", "10%", "", `discount is "10%": is the price before it or after it?`},
		{"discount 10", "discount", "10", "", `discount is "10": is the price before it or after it?`},
		{"discount of 1", "discount", "$1.00", "", "is the price before it or after it?"},
		{"discount 0", "discount", "0%", "1.45", ""},
		{"multiplier .5", "multiplier", ".5", "", "is the price before it or after it?"},
		{"multiplier 1", "multiplier", "1.00", "1.45", ""},
		{"surcharge 4", "surcharge", "$4.00", "", "is the price before it or after it?"},
		{"min qty 50", "min qty", "50", "1.45", `warning: min qty is "50": no count of the estimate follows it`},
		{"min qty 1", "min qty", "1", "1.45", ""},
	} {
		t.Run(c.shown, func(t *testing.T) {
			book, ps := sheet.Parse("p.csv", fmt.Appendf(nil, "supplier,item,content,price,%s\nYard,board-1x4,16 ft,1.45,%s\n", c.head, quoteLast(c.cells)))
			require.NotNil(t, book)
			offers, more := Read(book, soldItems)
			var lines []string
			for _, p := range estimate.SortProblems(append(ps, more...)) {
				if s := p.String(); !strings.HasSuffix(s, "is not used") || !strings.Contains(s, "note: the column") {
					lines = append(lines, s)
				}
			}
			if c.price == "" {
				assert.Empty(t, offers, lines)
			} else if assert.Len(t, offers, 1, lines) {
				assert.Equal(t, c.price, offers[0].Price.String())
			}
			if c.says == "" {
				assert.Empty(t, lines)
			} else {
				assert.Contains(t, strings.Join(lines, "\n"), c.says)
			}
		})
	}
}

// quoteLast quotes the last of some cells where it holds a comma.
func quoteLast(cells string) string {
	if first, rest, two := strings.Cut(cells, ","); two && strings.HasPrefix(rest, " ") {
		return `"` + first + "," + rest + `"`
	}
	return cells
}

// TestDittoIsNoSupplier: a sign for what stands above it names no supplier.
func TestDittoIsNoSupplier(t *testing.T) {
	offers, problems := read(t, []byte("supplier,item,content,price\nYard A,board-1x4,16 ft,12\nditto,board-1x6,16 ft,15\n"))
	assert.Len(t, offers, 1)
	assert.Equal(t, []string{`prices.csv: line 3, supplier: "ditto" stands for what is above it (write it out)`}, problems)
}

// TestOnePriceForAllLengths: boards of several lengths at one price are asked about.
func TestOnePriceForAllLengths(t *testing.T) {
	const head = "supplier,item,content,unit,price\n"
	const asked = `prices.csv: line 2: warning: board-1x4: 3 lengths, from "8 ft" to "16 ft", have one price, 1.45: is it that of one foot? (write LF under unit where it is)`
	for _, c := range []struct {
		shown, rows string
		says        []string
	}{
		{"one price, no unit", "Y,board-1x4,8 ft,,1.45\nY,board-1x4,12 ft,,1.45\nY,board-1x4,16 ft,,1.45\n", []string{asked}},
		{"one price, each", "Y,board-1x4,8 ft,each,1.45\nY,board-1x4,12 ft,each,1.45\nY,board-1x4,16 ft,each,1.45\n", []string{asked}},
		{"a price by length", "Y,board-1x4,8 ft,each,11.60\nY,board-1x4,12 ft,each,17.40\nY,board-1x4,16 ft,each,23.20\n", nil},
		{"of two suppliers", "Y,board-1x4,8 ft,each,11.60\nZ,board-1x4,16 ft,each,11.60\n", nil},
	} {
		_, problems := read(t, []byte(head+c.rows))
		assert.Equal(t, c.says, problems, c.shown)
	}
}

// TestPricesPerFootAboveTheHeader: a title that says what prices are by holds for all rows
// that do not say it.
func TestPricesPerFootAboveTheHeader(t *testing.T) {
	const head = "PRICES PER LF\nsupplier,item,content,unit,price\n"
	offers, problems := read(t, []byte(head+"Y,board-1x4,16 ft,LF,1.45\n"))
	assert.Len(t, offers, 1, problems)
	offers, problems = read(t, []byte(head+"Y,board-1x4,16 ft,each,1.45\n"))
	assert.Empty(t, offers)
	assert.Equal(t, []string{`prices.csv: line 3, price: "PRICES PER LF" says that the price is by "LF", and unit is "each" ` +
		"(write under unit what the price is for, and take the other out)"}, problems)
}
