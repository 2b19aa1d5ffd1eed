package pricelist

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

// soldItems are items whose content is a length, an area, a volume, a weight and a count.
var soldItems = estimate.NewItems([]estimate.Item{
	{Key: "board-1x4", Class: "boards", Dim: estimate.Lengthwise, Cut: true},
	{Key: "sealant-10", Class: "sealant", Dim: estimate.Volumewise},
	{Key: "nail-8d", Class: "fastening", Dim: estimate.Each, Coverage: 190, CoverageUnit: "lb"},
	{Key: "screw", Class: "fastening", Dim: estimate.Each},
	{Key: "wrap", Class: "walls", Dim: estimate.Areawise},
})

// sold is a row of a price list, and what is bought by it: the price and the unit of one
// pack, "" = the row is refused.
type sold struct {
	why, item, content, unit, price string
	want                            string
	says                            string // the beginning of what is said, after the place; "" = nothing
}

func (s sold) read(t *testing.T, head string) (offers []pricing.Offer, says []string) {
	t.Helper()
	book, ps := sheet.Parse("p.csv", fmt.Appendf(nil, "%s\n\"Yard\",%s,\"%s\",\"%s\",%s\n", head, s.item, s.content, strings.ReplaceAll(s.unit, `"`,
		`""`), s.price))
	require.NotNil(t, book, s.why)
	offers, more := Read(book, soldItems)
	for _, p := range estimate.SortProblems(append(ps, more...)) {
		says = append(says, p.String())
	}
	return offers, says
}

// TestUnitIsRead: a price is bought at what the column unit says that it is for, turned
// into the price of one pack where that is exact, or it is refused at the cell. Expected
// prices are arithmetic: 16 x 1.45 = 23.20; 5 x 12.60 = 63.00; 12.60 x 42/100 = 5.292.
func TestUnitIsRead(t *testing.T) {
	const turned, refused = "note: prices by a measure are turned into that of the content: 1 by ", `p.csv: line 2, unit: unit "`
	for _, s := range []sold{
		{"a blank unit is the pack", "board-1x4", "16 ft", "", "23.20", "23.20 ", ""},
		{"a dash is blank", "board-1x4", "16 ft", "-", "23.20", "23.20 -", ""},
		{"a board", "board-1x4", "16 ft", "board", "23.20", "23.20 board", ""},
		{"boards", "board-1x4", "16 ft", "boards", "23.20", "23.20 boards", ""},
		{"each", "board-1x4", "16 ft", "EA.", "23.20", "23.20 EA.", ""},
		{"price per piece", "board-1x4", "16 ft", "per piece", "23.20", "23.20 per piece", ""},
		{"plural with brackets", "board-1x4", "16 ft", "pc(s)", "23.20", "23.20 pc(s)", ""},
		{"linear feet", "board-1x4", "16 ft", "LF", "1.45", "23.20 each", turned + `"LF", such as 1.45, which is 23.20 for "16 ft"`},
		{"lineal feet", "board-1x4", "16 ft", "lineal ft", "1.45", "23.20 each", turned + `"lineal ft"`},
		{"lin. ft.", "board-1x4", "16 ft", "lin. ft.", "1.45", "23.20 each", turned + `"lin. ft."`},
		{"L.F.", "board-1x4", "16 ft", "L.F.", "1.45", "23.20 each", turned},
		{"foot", "board-1x4", "16 ft", "per foot", "1.45", "23.20 each", turned},
		{"a mark of feet", "board-1x4", "16 ft", "/'", "1.45", "23.20 each", turned},
		{"$/LF", "board-1x4", "16 ft", "$/LF", "1.45", "23.20 each", turned},
		{"feet and inches of content", "board-1x4", `16'-6""`, "LF", "1.45", "23.925 each", turned},
		{"a hundred feet", "board-1x4", "16 ft", "CLF", "145", "23.20 each", turned},
		{"per 100 LF", "board-1x4", "16 ft", "per 100 LF", "145", "23.20 each", turned},
		{"a thousand feet", "board-1x4", "16 ft", "MLF", "1450", "23.20 each", turned},
		{"meter of metric content", "board-1x4", "4.8 m", "m", "4.00", "19.20 each", turned},
		{"half a foot", "board-1x4", "16 ft", "1/2 ft", "0.50", "16.00 each", turned},
		{"a roll by area", "wrap", "400 ft2", "SF", "0.15", "60.00 pack", turned},
		{"a roll by the square", "wrap", "900 ft2", "SQ", "15.00", "135.00 pack", turned},
		{"a box by the pound", "nail-8d", "5 lb", "lb", "4.28", "21.40 pack", turned},
		{"a box by half a pound", "nail-8d", "5 lb", "0.5 lb", "2.14", "21.40 pack", turned},
		{"a hundred", "screw", "500 each", "C", "12.60", "63.00 pack", turned + `"C", such as 12.60, which is 63.00 for "500 each"`},
		{"hundred in words", "screw", "500 each", "per hundred", "12.60", "63.00 pack", turned},
		{"a number", "screw", "500 each", "100", "12.60", "63.00 pack", turned},
		{"part of a hundred, to a hundredth of a cent", "screw", "42 each", "C", "12.60", "5.292 pack", turned},
		{"a thousand", "screw", "500 each", "M", "126", "63.00 pack", turned},
		{"per 1,000", "screw", "500 each", "per 1,000", "126", "63.00 pack", turned},
		{"per dozen, rounded", "screw", "10 each", "dozen", "1", "0.8333 pack",
			turned + `"dozen", such as 1.00, which is 0.8333 for "10 each"; 1 rounded to a hundredth of a cent`},
		{"the measure is the pack", "screw", "100 each", "C", "12.60", "12.60 C", ""},
		{"a gallon", "sealant-10", "1 qt", "gal", "40", "10.00 pack", turned},
		{"a tube", "sealant-10", "10.1 fl oz", "tube", "7.85", "7.85 tube", ""},
		{"a carton of many", "screw", "252 each", "ctn", "36", "36.00 ctn", ""},

		{"board feet", "board-1x4", "16 ft", "BF", "3.10", "", refused + `BF" prices by the nominal size of a board, which the content does not say (write the price of one pack`},
		{"a thousand board feet", "board-1x4", "16 ft", "MBF", "3100", "", refused + `MBF" prices by the nominal size`},
		{"area of a board", "board-1x4", "16 ft", "SF", "4.35", "", refused + `SF" prices by area, but the content "16 ft" is a length (`},
		{"a hundred what", "board-1x4", "16 ft", "C", "145", "", refused + `C" prices by count, but the content "16 ft" is a length`},
		{"thousand or meter", "board-1x4", "16 ft", "M", "1450", "", refused + `M" may be a thousand or a meter (write MLF`},
		{"capital M of metric content", "board-1x4", "4.8 m", "M", "4.00", "", refused + `M" may be a thousand or a meter`},
		{"pounds of a count", "screw", "100 each", "lb", "4.28", "", refused + `lb" prices by weight, but the content "100 each" is a count`},
		{"each of a hundred", "screw", "100 each", "EA", "0.126", "", refused + `EA" does not go with the content "100 each": is the price that of all it says?`},
		{"a board of a count", "screw", "100 each", "board", "12", "", refused + `board" does not go with`},
		{"a tube of a length", "board-1x4", "16 ft", "tube", "12", "", refused + `tube" does not go with`},
		{"a case of one tube", "sealant-10", "10.1 fl oz", "case", "94.20", "", refused + `case" does not go with`},
		{"a slip", "board-1x4", "16 ft", "baord", "23.20", "", refused + `baord" is not known (board?); the price may be that of a pack or of a measure (write each, piece, board`},
		{"count or carton", "screw", "100 each", "CT", "12.60", "", refused + `CT" is not known`},
		{"nothing known", "board-1x4", "16 ft", "lot", "23.20", "", refused + `lot" is not known`},
		{"none of them", "screw", "100 each", "0", "1", "", refused + `0" is not known`},
		{"too little to buy at", "screw", "1 each", "M", "0.01", "", refused + `M" makes 0.01 no price for "1 each"`},
		{"too much to buy at", "board-1x4", "9000 ft", "ft", "999999", "", refused + `ft" makes 999,999.00 no price`},
	} {
		offers, says := s.read(t, "supplier,item,content,unit,price")
		got := ""
		for _, o := range offers {
			got = o.Price.String() + " " + o.Unit
			assert.Equal(t, strings.Contains(s.says, turned), o.ByMeasure, s.why)
		}
		assert.Equal(t, s.want, got, "%s: %v", s.why, says)
		if s.says == "" {
			assert.Empty(t, says, s.why)
			continue
		}
		if assert.Len(t, says, 1, s.why) {
			assert.Contains(t, says[0], s.says, s.why)
			assert.Contains(t, says[0], "p.csv: line 2, unit: ", s.why)
		}
		if got == "" {
			assert.Regexp(t, `\(.+\)$`, says[0], "%s: what to write", s.why)
			continue
		}
		again := s // what an estimate holds of it is read as it stands
		again.unit, again.price = offers[0].Unit, strings.ReplaceAll(offers[0].Price.String(), ",", "")
		twice, says := again.read(t, "supplier,item,content,unit,price")
		require.Len(t, twice, 1, "%s: %v", s.why, says)
		assert.Equal(t, offers[0].Price, twice[0].Price, s.why)
		assert.Empty(t, says, s.why)
	}
}

// TestUnitUnderOtherHeads: the column has many names, and a header of prices may say
// by what they are.
func TestUnitUnderOtherHeads(t *testing.T) {
	perFoot := sold{"", "board-1x4", "16 ft", "LF", "1.45", "", ""}
	for _, head := range []string{"UOM", "U/M", "per", "Sold by", "price by", "Price per", "unit of measure", "Selling unit", "Pricing UOM"} {
		offers, says := perFoot.read(t, "supplier,item,content,"+head+",price")
		require.Len(t, offers, 1, "%s: %v", head, says)
		assert.Equal(t, "23.20", offers[0].Price.String(), head)
	}
	for _, c := range []struct{ why, unit, head, want, says string }{
		{"the header says it", "", "price (ft)", "23.20", "prices by a measure are turned"},
		{"both say it", "LF", "price (ft)", "23.20", `prices by a measure are turned into that of the content: 1 by "LF"`},
		{"they do not agree", "board", "price (ft)", "", `does not go with the header "price (ft)", which prices by ft`},
		{"two measures", "yd", "price, ft", "", `does not go with the header`},
		{"each by the foot", "LF", "price each", "", `does not go with the header "price each": is the price that of one pack, or by the unit?`},
		{"each a board", "board", "price each", "1.45", ""},
	} {
		perFoot.unit = c.unit
		offers, says := perFoot.read(t, `supplier,item,content,unit,"`+c.head+`"`)
		got := ""
		for _, o := range offers {
			got = o.Price.String()
		}
		assert.Equal(t, c.want, got, "%s: %v", c.why, says)
		assert.Contains(t, strings.Join(says, " "), c.says, c.why)
	}
}

// TestUnitsInOneNote: what was turned is said once, by unit.
func TestUnitsInOneNote(t *testing.T) {
	book, _ := sheet.Parse("p.csv", []byte("supplier,item,content,unit,price\nYard,board-1x4,16 ft,LF,1.45\nYard,board-1x4,12 ft,lf,1.50\nYard,screw,10 each,dozen,1\n"+
		"Yard,board-1x4,8 ft,board,11.28\n"))
	offers, ps := Read(book, soldItems)
	require.Len(t, ps, 1)
	assert.Equal(t, `p.csv: line 2, unit: note: prices by a measure are turned into that of the content: 2 by "LF", such as 1.45, which is 23.20 for "16 ft", `+
		`1 by "dozen", such as 1.00, which is 0.8333 for "10 each"; 1 rounded to a hundredth of a cent`, ps[0].String())
	require.Len(t, offers, 4)
	assert.Equal(t, "18.00", offers[1].Price.String())
}

// TestQuoteUnits: a quote is read as a list is; its count is of packs or of the measure,
// as its extension says.
func TestQuoteUnits(t *testing.T) {
	for _, c := range []struct{ why, row, price, count, own, says string }{
		{"a pack", "board-1x4,16 ft,board,10,23.20,232.00", "23.20", "10", "232.00", ""},
		{"packs by the foot", "board-1x4,16 ft,LF,10,1.45,232.00", "23.20", "10", "232.00", "turned"},
		{"feet", "board-1x4,16 ft,LF,160,1.45,232.00", "23.20", "10", "232.00", "turned"},
		{"feet that make no whole boards", "board-1x4,16 ft,LF,161,1.45,233.45", "23.20", "-", "233.45",
			`161 may be packs or "LF", by which the price is; it is not used`},
		{"feet or packs", "board-1x4,16 ft,LF,160,1.45,", "23.20", "-", "-", `160 may be packs or "LF"`},
		{"no price", "board-1x4,16 ft,LF,160,,232.00", "-", "-", "232.00", `160 may be packs or "LF"`},
		{"an unknown unit", "board-1x4,16 ft,lot,10,1.45,", "-", "10", "-", `unit "lot" is not known`},
		{"none of ours", "gutter,10 ft,LF,160,1.45,", "1.45", "160", "232.00", `"gutter" is not on the Items sheet`},
		{"none of ours, by the hundred", "gutter clips,1 each,C,160,1.45,", "-", "160", "-", ""},
	} {
		book, _ := sheet.Parse("q.csv", []byte("item,content,unit,qty,price,extension\n"+c.row+"\nscrew,100 each,box,1,12.60,12.60\n"))
		quotes, ps := ReadQuote(book, soldItems, "Yard")
		require.Len(t, quotes, 1, c.why)
		says := fmt.Sprint(ps)
		got := []string{"-", "-", "-"}
		for _, l := range quotes[0].Lines {
			if l.Named == "screw" {
				continue
			}
			if l.Price.Set {
				got[0] = l.Price.V.String()
			}
			if l.Count.Set {
				got[1] = fmt.Sprint(l.Count.V)
			}
			if l.Own().Set {
				got[2] = l.Own().V.String()
			}
		}
		if c.own == "-" && strings.HasPrefix(c.row, "gutter clips") {
			assert.Len(t, quotes[0].Lines, 1, "what it comes to is not known")
			continue
		}
		assert.Equal(t, []string{c.price, c.count, c.own}, got, "%s: %s", c.why, says)
		assert.Contains(t, says, c.says, c.why)
	}
}

// TestUnitInItsHeader: a header of units may say one, and a column of other things with a
// unit in its header is none of units.
func TestUnitInItsHeader(t *testing.T) {
	for _, c := range []struct{ why, unit, head, want string }{
		{"a pack, said twice", "board", "unit (board)", "23.20"},
		{"another pack", "roll", "unit (board)", ""},
		{"the length of a board", "16", "length (ft)", "23.20"},
	} {
		offers, says := sold{"", "board-1x4", "16 ft", c.unit, "23.20", "", ""}.read(t, "supplier,item,content,"+c.head+",price")
		got := ""
		for _, o := range offers {
			got = o.Price.String()
		}
		assert.Equal(t, c.want, got, "%s: %v", c.why, says)
	}
}

// TestAsPacks: what a list prices by a measure is typed into its own sheet as an estimate
// holds it, and nothing of another list.
func TestAsPacks(t *testing.T) {
	parse := func(name string) *sheet.Sheet {
		book, _ := sheet.Parse(name, []byte("supplier,item,content,unit,price\nYard,board-1x4,16 ft,LF,1.45\nYard,board-1x4,8 ft,board,11.28\n"))
		return book.Sheets[0]
	}
	one, two := parse("one.csv"), parse("two.csv")
	offers, _ := Read(&sheet.Book{File: "one.csv", Sheets: []*sheet.Sheet{one}}, soldItems)
	other, _ := Read(&sheet.Book{File: "two.csv", Sheets: []*sheet.Sheet{two}}, soldItems)
	AsPacks(one, slices.Concat(offers, other[1:]))
	AsPacks(two, offers)
	said := func(s *sheet.Sheet) (out []string) {
		for _, row := range s.Rows[1:] {
			out = append(out, row[3].Word()+" "+row[4].Word())
		}
		return out
	}
	assert.Equal(t, []string{"each 23.2", "board 11.28"}, said(one))
	assert.Equal(t, []string{"LF 1.45", "board 11.28"}, said(two))
}
