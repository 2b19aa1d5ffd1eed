package pricelist

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
	"sillwright/pricing"
)

const termsHeader = "supplier,delivery_fee,free_over,minimum_order,lead_days,currency,always,never\n"

func readTerms(t *testing.T, name string, data []byte) ([]pricing.Terms, []string) {
	t.Helper()
	book, ps := sheet.Parse(name, data)
	require.NotNil(t, book, "%v", ps)
	s := TermsSheet(book)
	require.NotNil(t, s)
	terms, more := ReadTerms(s, items)
	var words []string
	for _, p := range estimate.SortProblems(append(ps, more...)) {
		words = append(words, p.String())
	}
	return terms, words
}

func dollars(n int64) estimate.Maybe[measure.Money] { return estimate.Given(measure.Money(n * 100)) }

func TestReadTerms(t *testing.T) {
	terms, problems := readTerms(t, "terms.csv", []byte(termsHeader+
		"Yard A,$65,\"1,000.00\",150,3 days,usd,boards; Nail-8d,sealant\n"+
		"Yard B,,,,,,,All\n"+
		"Yard C,0,,,0,,,\"nail-8d, nail-8d; boards\"\n"))
	assert.Empty(t, problems)
	at := func(line int) estimate.Place {
		return estimate.Place{File: "terms.csv", Row: line, Col: 1, Column: "supplier"}
	}
	assert.Equal(t, []pricing.Terms{
		{Place: at(2), Supplier: "Yard A", DeliveryFee: dollars(65), FreeOver: dollars(1000), MinimumOrder: dollars(150), LeadDays: estimate.Given(int64(3)),
			Currency: "USD", Always: []string{"board-1x4", "board-1x6", "nail-8d"}, Never: []string{"sealant-10"}},
		{Place: at(3), Supplier: "Yard B", Never: []string{"all"}},
		{Place: at(4), Supplier: "Yard C", DeliveryFee: dollars(0), LeadDays: estimate.Given(int64(0)), Never: []string{"nail-8d", "board-1x4", "board-1x6"}},
	}, terms)
}

func TestTermsUnderOtherHeaders(t *testing.T) {
	for _, header := range []string{
		"Supplier;Delivery fee;Free over;Minimum order;Lead days;Currency;Always;Never",
		"VENDOR;Delivery charge;Free delivery over;Min order;Lead time;ccy;Buy here;Not here",
		"yard;freight;free above;minimum;lead;cur;always;avoid",
		"yard;Freight (decimal comma);free above (decimal comma);minimum (decimal comma);lead;cur;always;avoid",
	} {
		terms, problems := readTerms(t, "terms.csv", []byte(header+"\nYard A;65;1000;150;3;USD;nail-8d;boards\n"))
		assert.Empty(t, problems, header)
		require.Len(t, terms, 1, header)
		terms[0].Place = estimate.Place{}
		assert.Equal(t, pricing.Terms{Supplier: "Yard A", DeliveryFee: dollars(65), FreeOver: dollars(1000), MinimumOrder: dollars(150),
			LeadDays: estimate.Given(int64(3)), Currency: "USD", Always: []string{"nail-8d"}, Never: []string{"board-1x4", "board-1x6"}}, terms[0], header)
	}
}

// What is wrong with a term costs its cell; the rest of its row holds.
func TestBrokenTerms(t *testing.T) {
	yard := func(fee int64) pricing.Terms { return pricing.Terms{Supplier: "Yard A", DeliveryFee: dollars(fee)} }
	for _, c := range []struct {
		why, rows string
		kept      []pricing.Terms
		want      []string
	}{
		{"below zero, a decimal comma, half a day", "Yard A,65,-5,\"1,5\",2.5,,,\n", []pricing.Terms{yard(65)},
			[]string{`terms.csv: line 2, free_over: "-5" is below 0 (write an amount, or leave the cell blank)`,
				`terms.csv: line 2, minimum_order: "1,5" has a comma that is not between thousands ` +
					`(write digits and a decimal point, such as 1,234.50; if the whole column is so, add (decimal comma) to its header)`,
				`terms.csv: line 2, lead_days: "2.5" is not a number of days (write a whole number such as 5)`}},
		{"twice", "Yard A,65,,,,,,\nYARD A,99,,,,,,\n", []pricing.Terms{yard(65)},
			[]string{`terms.csv: line 3, supplier: the terms of "YARD A" stand in line 2 already; this row is not used (keep one row for a supplier)`}},
		{"no supplier", ",99,,,,,,\nYard A,65,,,,,,\n", []pricing.Terms{yard(65)},
			[]string{`terms.csv: line 2, supplier: the supplier is missing (write whose terms these are)`}},
		{"nothing to save", "Yard A,,1000,,,,,\n", []pricing.Terms{{Supplier: "Yard A", FreeOver: dollars(1000)}},
			[]string{`terms.csv: line 2, free_over: warning: there is no delivery fee that a large order could save (write the delivery fee, or clear this cell)`}},
		{"words that are no items", "Yard A,65,,,,,bord-1x4; all; chimney,stripps; door parts\n", []pricing.Terms{yard(65)},
			[]string{`terms.csv: line 2, always: "all" is neither an item nor a class (write keys of the Items sheet or classes such as pan, separated by semicolons)`,
				`terms.csv: line 2, always: "bord-1x4" is neither an item nor a class (did you mean board-1x4?)`,
				`terms.csv: line 2, always: "chimney" is neither an item nor a class (write keys of the Items sheet or classes such as pan, separated by semicolons)`,
				`terms.csv: line 2, never: "stripps" is neither an item nor a class (write keys of the Items sheet or classes such as pan, separated by semicolons)`,
				`terms.csv: line 2, never: warning: no item is of the class "door parts"`}},
		{"in both", "Yard A,65,,,,,board-1x4;nail-8d,boards\n", []pricing.Terms{{Supplier: "Yard A", DeliveryFee: dollars(65),
			Always: []string{"nail-8d"}, Never: []string{"board-1x4", "board-1x6"},
		}},
			[]string{`terms.csv: line 2, never: in always and in never, so not bought here: board-1x4 (take it out of one of them)`}},
		{"always, but never anything", "Yard A,65,,,,,nail-8d,all\n", []pricing.Terms{{Supplier: "Yard A", DeliveryFee: dollars(65), Never: []string{"all"}}},
			[]string{`terms.csv: line 2, never: in always and in never, so not bought here: nail-8d (take it out of one of them)`}},
		{"always at two", "Yard A,65,,,,,boards,\nYard B,,,,,,board-1x6; nail-8d,\n", []pricing.Terms{
			{Supplier: "Yard A", DeliveryFee: dollars(65), Always: []string{"board-1x4", "board-1x6"}}, {Supplier: "Yard B", Always: []string{"nail-8d"}}},
			[]string{`terms.csv: line 3, always: always bought at "Yard A" (line 2) already, and kept there: board-1x6 (name an item at one supplier only)`}},
		{"currencies", "Yard A,65,CAD 1000,,,USD,,\nYard B,€5,£9,,,,,\nYard C,7,,,,dollars,,\n", []pricing.Terms{
			{Supplier: "Yard A", DeliveryFee: dollars(65), Currency: "USD"}, {Supplier: "Yard B", DeliveryFee: dollars(5), Currency: "EUR"}, {Supplier: "Yard C", DeliveryFee: dollars(7)}},
			[]string{`terms.csv: line 2, free_over: "CAD 1000" is not in USD (write the free_over and the currency of one kind)`,
				`terms.csv: line 3, free_over: "£9" is not in EUR (write the free_over and the currency of one kind)`,
				`terms.csv: line 4, currency: "dollars" is not a currency (write its three letters, such as USD)`}},
		{"a list between commas without quotation marks", "Yard A,65,,,,,boards,nail-8d,sealant\n" +
			"Yard B,5,,,,,,\n", []pricing.Terms{{Supplier: "Yard B", DeliveryFee: dollars(5)}},
			[]string{`terms.csv: line 2: the line has more fields than the header: field 9 is "sealant"; the line is not used ` +
				`(put a field with a comma in it between quotation marks, and write a decimal point: 35,5 is two fields)`}},
	} {
		terms, problems := readTerms(t, "terms.csv", []byte(termsHeader+c.rows))
		for i := range terms {
			terms[i].Place = estimate.Place{}
		}
		assert.Equal(t, c.want, problems, c.why)
		assert.Equal(t, c.kept, terms, c.why)
	}
}

func TestTermsOfAWorkbook(t *testing.T) {
	terms, problems := readTerms(t, "job.xlsx", workbook(t, "Suppliers", map[string]any{
		"A1": "Supplier", "B1": "Delivery fee", "C1": "Free over", "D1": "Always",
		"A2": "Yard A", "B2": 65, "C2": 0.5, "D2": "boards",
		"A3": "Yard A", "B3": 65.125,
		"A4": "Yard B", "B4": 46030, "D4": "boards",
	}, map[string]int{"C2": 9, "B4": 14}))
	assert.Equal(t, []string{
		`job.xlsx: Suppliers!C2: the cell holds a percentage (type the value itself, with another number format)`,
		`job.xlsx: Suppliers!A3: the terms of "Yard A" stand in row 2 already; this row is not used (keep one row for a supplier)`,
		`job.xlsx: Suppliers!B3: "65.125" has too many decimals (write at most 2)`,
		`job.xlsx: Suppliers!B4: "1/8/2026" is stored as a date (if 1/8 is meant, type it with an apostrophe before it)`,
		`job.xlsx: Suppliers!D4: always bought at "Yard A" (row 2) already, and kept there: board-1x4, board-1x6 (name an item at one supplier only)`,
	}, problems)
	require.Len(t, terms, 2)
	assert.Equal(t, estimate.Place{File: "job.xlsx", Sheet: "Suppliers", Row: 2, Col: 1, Column: "Supplier"}, terms[0].Place)
	assert.Equal(t, dollars(65), terms[0].DeliveryFee)
	assert.False(t, terms[0].FreeOver.Set)
	assert.False(t, terms[1].DeliveryFee.Set)
}

// Terms of several lists: the first that speaks of a supplier or an item holds.
func TestTermsOfSeveralLists(t *testing.T) {
	var terms []pricing.Terms
	var words []string
	for _, list := range []struct{ file, rows string }{
		{"north.csv", "Yard A,65,,,,,boards,\n"},
		{"all.csv", "Yard B,5,,,,,board-1x4;nail-8d,\nyard a,99,,,,,,\n"},
	} {
		book, _ := sheet.Parse(list.file, []byte(termsHeader+list.rows))
		require.NotNil(t, book)
		more, ps := ReadTerms(book.Sheets[0], items, terms...)
		terms = append(terms, more...)
		for _, p := range ps {
			words = append(words, p.String())
		}
	}
	require.Len(t, terms, 2)
	assert.Equal(t, dollars(65), terms[0].DeliveryFee)
	assert.Equal(t, []string{"nail-8d"}, terms[1].Always)
	assert.Equal(t, []string{
		`all.csv: line 2, always: always bought at "Yard A" (north.csv: line 2) already, and kept there: board-1x4 (name an item at one supplier only)`,
		`all.csv: line 3, supplier: the terms of "yard a" stand in north.csv: line 2 already; this row is not used (keep one row for a supplier)`,
	}, words)
}

func TestTermsSheet(t *testing.T) {
	for _, c := range []struct {
		why, header string
		want        bool
	}{
		{"terms", "supplier,delivery_fee", true},
		{"terms without their required column", "shop,Free over", true},
		{"the smallest order alone", "Supplier,Min order", true},
		{"prices", "supplier,item,content,price", false},
		{"prices with a delivery charge on each row", "supplier,item,content,price,delivery charge", false},
		{"prices that are misspelt", "supplier,item,content,prise,freight", false},
		{"neither", "supplier,lead days,currency", false},
		{"no header", "1,2,3", false},
	} {
		book, _ := sheet.Parse("x.csv", []byte(c.header+"\nA,1,2,3,4\n"))
		require.NotNil(t, book)
		assert.Equal(t, c.want, TermsSheet(book) != nil, c.why)
	}
	empty := &sheet.Book{Sheets: []*sheet.Sheet{{Name: "Prices"}, {Name: "suppliers", Skipped: true}}}
	assert.Nil(t, TermsSheet(empty), "a sheet that was not read")
	empty.Sheets[1].Skipped = false
	assert.Same(t, empty.Sheets[1], TermsSheet(empty))
}

func FuzzReadTerms(f *testing.F) {
	for _, s := range []string{
		termsHeader + "Yard A,$65,\"1,000.00\",150,3 days,usd,boards; Nail-8d,sealant\nyard a,,,,,,,all\n",
		"Supplier;Delivery fee (decimal comma);Min order\nA;65,50;1.5\nB;€ 7;-1\n",
		"supplier\tfree over\talways\tnever\nA\t1\tboards,,;\tall\n",
		"delivery_fee,free_over\n1,2\n",
		"supplier,delivery_fee\n\"A,1\n'=A,1\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		book, _ := sheet.Parse("terms.csv", data)
		if book == nil {
			return
		}
		TermsSheet(book)
		terms, problems := ReadTerms(book.Sheets[0], items)
		for _, p := range problems {
			require.NotEmpty(t, p.What)
			require.Equal(t, "terms.csv", p.Place.File)
		}
		for _, of := range terms {
			require.NotEmpty(t, of.Supplier)
			for _, m := range []estimate.Maybe[measure.Money]{of.DeliveryFee, of.FreeOver, of.MinimumOrder} {
				require.GreaterOrEqual(t, m.V, measure.Money(0))
			}
		}
	})
}

// What a supplier takes back: nothing is assumed, and a bare number is no percentage.
func TestTermsOfReturns(t *testing.T) {
	terms, problems := readTerms(t, "terms.csv", []byte("supplier,delivery_fee,Return days,Restocking fee\n"+
		"A,1,30 days,15 %\nB,1,0,0.125\nC,1,,\nD,1,-3,15\nE,1,5,120 %\n"))
	type back struct {
		days estimate.Maybe[int64]
		part estimate.Maybe[measure.Rate]
	}
	var got []back
	for _, x := range terms {
		got = append(got, back{x.ReturnDays, x.Restocking})
	}
	assert.Equal(t, []back{{estimate.Given[int64](30), estimate.Given[measure.Rate](150_000)}, {estimate.Given[int64](0), estimate.Given[measure.Rate](125_000)},
		{}, {}, {days: estimate.Given[int64](5)}}, got)
	assert.Equal(t, []string{
		`terms.csv: line 5, Return days: "-3" is not a number of days (write a whole number such as 5)`,
		`terms.csv: line 5, Restocking fee: "15" may be a percentage or a multiple (write it with a percent sign, such as 10 %)`,
		`terms.csv: line 6, Restocking fee: "120 %" is more than 100 % (write the part of the price that is kept back, such as 15 %)`,
	}, problems)
}
