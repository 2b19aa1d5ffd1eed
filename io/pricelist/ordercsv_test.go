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

// orderedItems are the items of an order.
func orderedItems() estimate.Items {
	return estimate.NewItems([]estimate.Item{
		{Key: "board-1x4", Class: "boards", Dim: estimate.Lengthwise, Cut: true},
		{Key: "screw", Class: "fastening", Dim: estimate.Each},
	})
}

func writtenOrder(t testing.TB, notes ...pricing.OrderNote) []byte {
	items := orderedItems().List()
	data, err := WriteOrder(pricing.SupplierOrder{
		Order: pricing.Order{Terms: pricing.Terms{Supplier: "=Yard"}, Materials: 1234_50, Delivery: 45_00},
		Lines: []pricing.OrderLine{
			{Offer: pricing.Offer{Supplier: "=Yard", Item: "board-1x4", Code: "0412", Content: "12 ft", Unit: "board", Price: 1217_0000},
				Item: items[0], Count: 1, Extension: 1217_00,
			},
			{Offer: pricing.Offer{Supplier: "=Yard", Item: "screw", Content: "100 each", Unit: "box", Price: 8_7525}, Item: items[1], Count: 2, Extension: 17_51},
		},
	}, OrderName{}, "USD", notes)
	require.NoError(t, err)
	return data
}

// What is written is read again; its sums are no lines.
func TestReadOrder(t *testing.T) {
	b, problems := sheet.Parse("order.csv", writtenOrder(t))
	require.Empty(t, problems)
	require.True(t, IsOrder(b))
	lines, problems := ReadOrder(b, orderedItems())
	assert.Empty(t, problems)
	require.Len(t, lines, 2)
	for i := range lines {
		assert.Equal(t, i+2, lines[i].Offer.Place.Row)
		lines[i].Offer.Place = estimate.Place{}
	}
	assert.Equal(t,
		pricing.Offer{Supplier: "=Yard", Item: "board-1x4", Code: "0412", Content: "12 ft", Amount: 12 * int64(measure.Foot), Price: 1217_0000, Currency: "USD"},
		lines[0].Offer)
	assert.Equal(t, []int64{1, 2}, []int64{lines[0].Count(), lines[1].Count()})
	assert.Equal(t, measure.UnitPrice(8_7525), lines[1].Offer.Price)
}

// The notes of an order that lacks something are no lines of it.
func TestReadIncompleteOrder(t *testing.T) {
	whole, _ := sheet.Parse("order.csv", writtenOrder(t))
	data := writtenOrder(t, pricing.OrderNote{Label: "MISSING", Item: "screw", Words: `1" screws, 5 each: no price`})
	b, problems := sheet.Parse("order.csv", data)
	require.Empty(t, problems)
	require.True(t, IsOrder(b))
	assert.Contains(t, string(data), `"MISSING: 1"" screws, 5 each: no price"`)
	want, _ := ReadOrder(whole, orderedItems())
	got, problems := ReadOrder(b, orderedItems())
	assert.Empty(t, problems)
	for i := range want {
		want[i].Offer.Place.Row++ // below the note
	}
	assert.Equal(t, want, got)
}

func TestReadOrderProblems(t *testing.T) {
	const head = "row,supplier,code,item,pack,count,price\n"
	for _, c := range []struct{ shows, row, want string }{
		{"an item that the estimate does not know", "line,Yard,1,nail,1 lb,1,5.00",
			`order.csv: line 2, item: "nail" is no item of the estimate (the line is left out; order again, or correct it)`,
		},
		{"a pack in another unit", "line,Yard,1,screw,12 ft,1,5.00", "order.csv: line 2, pack: "},
		{"a count that is none", "line,Yard,1,screw,100 each,some,5.00", "order.csv: line 2, count: "},
		{"a price that is none", "line,Yard,1,screw,100 each,1,dear", "order.csv: line 2, price: "},
	} {
		b, _ := sheet.Parse("order.csv", []byte(head+c.row+"\n"))
		lines, problems := ReadOrder(b, orderedItems())
		assert.Empty(t, lines, c.shows)
		require.Len(t, problems, 1, c.shows)
		assert.Contains(t, problems[0].String(), c.want)
	}
}

func TestIsOrder(t *testing.T) {
	for _, c := range []struct {
		shows, csv string
		want       bool
	}{
		{"a price list", "supplier,item,code,description,content,unit,price\nYard,screw,1,,100 each,box,5.00\n", false},
		{"an order without lines", "row,supplier,code,item,pack,count,price\n", true},
		{"nothing", "", false},
	} {
		b, _ := sheet.Parse("x.csv", []byte(c.csv))
		assert.Equal(t, c.want, b != nil && IsOrder(b), c.shows)
		if b != nil {
			b.Sheets = append(b.Sheets, b.Sheets[0])
			assert.False(t, IsOrder(b), "%s: an order has one sheet", c.shows)
		}
	}
}

func FuzzReadOrder(f *testing.F) {
	f.Add(string(writtenOrder(f)))
	f.Add("row,supplier,code,item,pack,count,price\nline,Y,,screw,100 each,99999999999999999999,-1\n")
	f.Add("row;supplier;item;pack;count;price\nline;Y;board-1x4;12';1,5;1,5\n")
	f.Fuzz(func(t *testing.T, csv string) {
		b, _ := sheet.Parse("order.csv", []byte(csv))
		if b == nil || !IsOrder(b) {
			return
		}
		lines, problems := ReadOrder(b, orderedItems())
		for _, l := range lines {
			require.GreaterOrEqual(t, l.Count(), int64(0))
			require.Positive(t, l.Offer.Amount)
			require.NotEmpty(t, l.Offer.Item)
		}
		for _, p := range problems {
			require.NotEmpty(t, p.What)
		}
	})
}
