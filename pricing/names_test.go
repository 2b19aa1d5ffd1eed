package pricing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

func TestSupplierNames(t *testing.T) {
	var n SupplierNames
	assert.False(t, n.Known("Yard A"))
	for _, c := range []struct{ why, written, want string }{
		{"the first spelling", "Yard A", "Yard A"},
		{"another case", "YARD a", "Yard A"},
		{"letters beyond ASCII", "Änker", "Änker"},
		{"the same in lower case", "änker", "Änker"},
		{"another supplier", "Yard AA", "Yard AA"},
	} {
		assert.Equal(t, c.want, n.Of(c.written), c.why)
		assert.True(t, n.Known(c.written), c.why)
	}
}

func TestNamesInLists(t *testing.T) {
	read := Lists{
		Offers: []Offer{{Supplier: "Yard A", Item: "x"}, {Supplier: "yard a", Item: "y"}, {Supplier: "B"}},
		Terms:  []Terms{{Supplier: "b"}, {Supplier: "Only terms"}, {Supplier: "YARD A", Currency: "USD"}, {Supplier: "only TERMS", Currency: "CAD"}},
		Pins:   map[string]Pin{"x": {Supplier: "yard A"}, "z": {Supplier: "nobody"}},
	}
	got := new(SupplierNames).Lists(read)
	assert.Equal(t, []Offer{{Supplier: "Yard A", Item: "x"}, {Supplier: "Yard A", Item: "y"}, {Supplier: "B"}}, got.Offers, "as the first offer writes it")
	assert.Equal(t, []Terms{{Supplier: "B"}, {Supplier: "Only terms"}, {Supplier: "Yard A", Currency: "USD"}}, got.Terms, "of two terms the first hold")
	assert.Equal(t, map[string]Pin{"x": {Supplier: "Yard A"}, "z": {Supplier: "nobody"}}, got.Pins)
	assert.Equal(t, "yard a", read.Offers[1].Supplier, "what was read is left as it is")
	assert.Len(t, read.Terms, 4)
	assert.Equal(t, "only TERMS", read.Terms[3].Supplier)
}

// Of a list in which a supplier is written in two ways, the two offers are one
// supplier's; each line knows its row of the list.
func TestOneSupplierInTwoSpellings(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, glue})
	offers := []Offer{line(2, "Yard B", glue, "1 each", 900), line(3, "Yard A", screws, "100 each", 900), line(4, "YARD A", glue, "1 each", 800)}
	lists := new(SupplierNames).Lists(Lists{Offers: offers, Terms: []Terms{{Supplier: "yard a", DeliveryFee: estimate.Given(measure.Money(500))}}})
	p := Make(estimate.Book{Job: job(), Items: items}, need1(1, amount(screws, 100), amount(glue, 1)), lists)
	require.Len(t, p.Orders, 1)
	assert.Equal(t, "Yard A", p.Orders[0].Terms.Supplier)
	assert.Equal(t, measure.Money(1700+500), p.Orders[0].Total())
	rows := map[string]int{}
	for _, b := range p.Purchases {
		for _, l := range b.Lines {
			rows[b.Item.Key] = l.Offer.Index
		}
	}
	assert.Equal(t, map[string]int{"screw": 1, "glue": 2}, rows)
}
