package pricing

import (
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// planOf returns the lines of a plan as an estimate holds them.
func planOf(p Plan) []Planned {
	var out []Planned
	for _, b := range p.Purchases {
		if len(b.Lines) == 0 {
			out = append(out, Planned{Item: b.Item.Key, For: b.Fingerprint, State: b.State})
		}
		for i, l := range b.Lines {
			out = append(out, Planned{Place: estimate.Place{File: "job.xlsx", Sheet: "Materials", Row: 6 + i, Col: 15}, Item: b.Item.Key, Supplier: b.Supplier,
				Key: l.Key(), Computed: estimate.Given(l.Computed), For: b.Fingerprint, State: b.State, Extension: estimate.Given(l.Extension)})
		}
	}
	return out
}

// What an estimate planned is ordered as it stands, whatever the job.
func TestFollowIsThePlan(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	lines := 0
	for range 200 {
		j, items, takeoff, offers := randomJob(r)
		book, lists := estimate.Book{Job: j, Items: items}, Lists{Offers: offers}
		p := Make(book, takeoff, lists)
		f := Follow(book, takeoff, lists, planOf(p))
		require.Equal(t, p.Orders, f.Orders)
		require.Equal(t, p.Materials, f.Materials)
		for i, b := range p.Purchases {
			g := f.Purchases[i]
			require.Equal(t, b.Lines, g.Lines)
			require.Equal(t, b.State, g.State)
			lines += len(b.Lines)
		}
	}
	assert.Greater(t, lines, 500)
}

func TestFollowEdits(t *testing.T) {
	items := estimate.NewItems([]estimate.Item{screws, glue, board})
	takeoff := need1(2, amount(screws, 60), amount(glue, 1), pieces(board, "leg", 2, feet(5)))
	offers := []Offer{line(2, "A", screws, "100 each", 900), line(3, "A", glue, "1 each", 1200), line(4, "A", board, "16 ft", 2000),
		line(5, "B", board, "16 ft", 2100),
	}
	book := estimate.Book{Job: job(), Items: items}
	lists := func() Lists { return Lists{Offers: append([]Offer{}, offers...)} }
	plan := planOf(Make(book, takeoff, lists()))
	for _, c := range []struct {
		name string
		edit func(t *estimate.Takeoff, l *Lists)
		sum  measure.Money
		want []string
	}{
		// 120 screws are 2 boxes, 2 cans, 4 legs of 5 ft are 2 boards: 18 + 24 + 40
		{"nothing", func(*estimate.Takeoff, *Lists) {}, 8200, nil},
		{"a price", func(_ *estimate.Takeoff, l *Lists) { l.Offers[0].Price += 100_00 }, 8400,
			[]string{`job.xlsx: Materials!O6: note: the file says 18.00; 2 at 10.00 come to 20.00, which is used`}},
		{"a count", func(_ *estimate.Takeoff, l *Lists) { l.Overrides = Overrides{"board-1x4|A|16 ft": 3} }, 10200,
			[]string{`job.xlsx: Materials!O6: note: the file says 40.00; 3 at 20.00 come to 60.00, which is used`}},
		{"a quantity: packs follow, boards do not", func(t *estimate.Takeoff, _ *Lists) { t.Openings[0].Qty = 4 }, 2700 + 4800,
			[]string{
				`job.xlsx: Materials!O6: board-1x4 is left out: what it was planned for has changed since (run estimate again)`,
				`job.xlsx: Materials!O6: note: the file says 18.00; 3 at 9.00 come to 27.00, which is used`,
				`job.xlsx: Materials!O6: note: the file says 24.00; 4 at 12.00 come to 48.00, which is used`,
			}},
		{"another supplier", func(_ *estimate.Takeoff, l *Lists) {
			l.Pins = map[string]Pin{"board-1x4": {estimate.Place{File: "job.xlsx", Sheet: "Orders", Row: 8, Col: 5}, "B"}}
		}, 4200,
			[]string{`job.xlsx: Orders!E8: board-1x4 is left out: it is planned at A, and is now to be bought at B (run estimate again)`}},
		{"the supplier that it has", func(_ *estimate.Takeoff, l *Lists) { l.Pins = map[string]Pin{"board-1x4": {Supplier: "a"}} }, 8200, nil},
		{"a board is shorter than it was", func(_ *estimate.Takeoff, l *Lists) { l.Offers[2].Amount = int64(feet(12)) }, 4200,
			[]string{`job.xlsx: Materials!O6: board-1x4 is left out: what it was planned for has changed since (run estimate again)`}},
		{"not to be bought there any more", func(_ *estimate.Takeoff, l *Lists) { l.Terms = []Terms{{Supplier: "A", Never: []string{"glue"}}} }, 5800,
			[]string{`job.xlsx: Materials!O6: glue is left out: it is planned at A, where it is not to be bought (run estimate again)`}},
		{"a count too low", func(_ *estimate.Takeoff, l *Lists) { l.Overrides = Overrides{"board-1x4|A|16 ft": 1} }, 6200,
			[]string{
				`Materials: warning: board-1x4: the counts typed are less than the job needs (clear the override, or make sure of the rest)`,
				`job.xlsx: Materials!O6: note: the file says 40.00; 1 at 20.00 come to 20.00, which is used`,
			}},
		{"an offer is gone", func(_ *estimate.Takeoff, l *Lists) { l.Offers = l.Offers[1:] }, 6400,
			[]string{`job.xlsx: Materials!O6: screw is left out: it has no price at A that can be used ` +
				`(type its price on Prices, or run estimate again if another supplier has it)`}},
	} {
		tk, l := takeoff, lists()
		tk.Openings = append([]estimate.Sized{}, takeoff.Openings...)
		c.edit(&tk, &l)
		p := Follow(book, tk, new(SupplierNames).Lists(l), plan)
		assert.Equal(t, c.sum, p.Materials, c.name)
		assert.Equal(t, c.want, words(p.Problems), c.name)
	}
}

// What is typed over the formulas of Materials is used as if it were typed where it
// is asked for. Arithmetic: 120 screws are two packs of a hundred.
func TestTypedOver(t *testing.T) {
	book := estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws, glue})}
	takeoff := need1(2, amount(screws, 60), amount(glue, 1))
	lists := Lists{Offers: []Offer{line(2, "A", screws, "100 each", 900), line(3, "A", glue, "1 each", 1200)}}
	for i := range lists.Offers {
		lists.Offers[i].Index = i
	}
	plan := planOf(Make(book, takeoff, lists))
	same, ps := TypedOver(book, takeoff, lists, plan)
	assert.Equal(t, lists, same, "nothing is typed")
	assert.Empty(t, ps)

	at := slices.IndexFunc(plan, func(l Planned) bool { return l.Item == screws.Key })
	plan[at].Count = Stored[int64]{Value: estimate.Given(int64(3)), Typed: true}
	plan[at].Price = Stored[measure.UnitPrice]{Value: estimate.Given(measure.UnitPrice(10_0000)), Typed: true}
	got, ps := TypedOver(book, takeoff, lists, plan)
	assert.Equal(t, Overrides{plan[at].Key: 3}, got.Overrides)
	assert.Equal(t, []measure.UnitPrice{10_0000, 12_0000}, []measure.UnitPrice{got.Offers[0].Price, got.Offers[1].Price})
	assert.Equal(t, measure.UnitPrice(9_0000), lists.Offers[0].Price, "the lists given are left as they are")
	assert.Equal(t, []string{
		`note: the price "10.00" is typed over a formula that gives "9.00" from Prices; it is used (type it on Prices, too)`,
		`note: the count "3" is typed over a formula that gives "2"; it is used, as an override`,
	}, words(ps))
}
