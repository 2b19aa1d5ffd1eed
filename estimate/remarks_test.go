package estimate_test

import (
	"cmp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestPriceDoubts: what a schedule says and the price does not follow is said.
// Words of the trade, from memory.
func TestPriceDoubts(t *testing.T) {
	const (
		noted   = "is only a note: the row is counted and priced all the same"
		flat    = "is estimated as one flat rectangle"
		cut     = "its trim is cut by the status"
		owner   = "its unit cost is not in the price"
		free    = "the unit cost is 0"
		mull    = "speaks of mulled units, and one unit is counted"
		early   = "measured, and by its status not there yet"
		several = "may name several openings, and one is counted"
		counted = "speaks of several openings, and Qty is"
		other   = "speaks of another size or number"
		slide   = "an entry door that slides"
	)
	edit := func(f func(*estimate.Opening)) estimate.Opening {
		o := window(35.5, 47.5)
		f(&o)
		return o
	}
	cost := func(by estimate.FurnishedBy, v measure.Money) estimate.Opening {
		return edit(func(o *estimate.Opening) { o.FurnishedBy, o.UnitCost = by, estimate.Given(v) })
	}
	measuredAs := func(s estimate.Status) estimate.Opening {
		return edit(func(o *estimate.Opening) { o.Status, o.Measured = s, size(35.5, 47.5) })
	}
	marked := func(mark string, qty int64) estimate.Opening {
		return edit(func(o *estimate.Opening) { o.Mark, o.Qty = mark, qty })
	}
	column := func(header, text string) estimate.Opening {
		return edit(func(o *estimate.Opening) { o.Extra = []estimate.ExtraCell{{Header: header, Text: text}} })
	}
	note := func(text string) estimate.Opening { return edit(func(o *estimate.Opening) { o.Notes = text }) }
	for _, c := range []struct {
		opening estimate.Opening
		words   string
		want    bool
	}{
		{note("N.I.C."), noted, true}, {note("existing to remain"), noted, true}, {note("tempered; delete"), noted, true}, {note("w/ storm door"), noted, true},
		{note("delete the grille"), noted, false}, {note("tempered"), noted, false}, {note("match existing siding"), noted, false},
		{edit(func(o *estimate.Opening) { o.Extra = []estimate.ExtraCell{{Header: "Scope", Text: "Not in contract"}} }), noted, true},
		{edit(func(o *estimate.Opening) { o.Operation = estimate.Bay }), flat, true},
		{edit(func(o *estimate.Opening) { o.Operation = estimate.Garden }), flat, true},
		{edit(func(o *estimate.Opening) { o.Operation = estimate.Casement }), flat, false},
		{marked("W1-W4", 1), several, true}, {marked("W5, W6, W7", 1), several, true}, {marked("W8 thru W10", 1), several, true}, {marked("W11/W12", 1),
			several, true},
		{marked("W13 (x3)", 1), several, true}, {marked("(3) W22", 1), several, true}, {marked("W14 & W15", 2), several, false}, {marked("W-1", 1), several, false},
		{marked("W1-A", 1), several, false}, {marked("W1-2", 1), several, false}, {marked("D2-01", 1), several, false}, {marked("101A", 1), several, false},
		{marked("Front door", 1), several, false},
		{note("twin DH"), mull, true}, {note("mulled to W2"), mull, true}, {edit(func(o *estimate.Opening) { o.Operation = "2-wide" }), mull, true},
		{edit(func(o *estimate.Opening) { o.Notes, o.Units = "twin", 2 }), mull, false}, {note("twinkle lights"), mull, false},
		{marked("W5 qty 6", 1), several, true}, {marked("W6 (pair)", 1), several, true}, {marked("W7 typ. of 4", 1), several, true},
		{marked("W5 qty 6", 6), several, false}, {marked("Pair", 1), several, false},
		{note("qty 6"), counted, true}, {note("Qty: 2 ea."), counted, true}, {note("tempered; typ. of 6"), counted, true}, {note("typical of 4"), counted, true},
		{note("typ of (3)"), counted, true}, {note("total of two"), counted, true}, {note("(4) total"), counted, true}, {note("4 per floor"), counted, true},
		{note("2 req'd"), counted, true}, {note("x2"), counted, true}, {note("pair"), counted, true}, {note("tempered, a pair"), counted, true},
		{note("(2)"), counted, true}, {note("4 ea. floor"), counted, true}, {note("both sides"), counted, true}, {note("one each side"), counted, true},
		{note("pr."), counted, true}, {note("(typ. 4)"), counted, true}, {note("Qty TBD"), counted, true}, {note("see plan for count"), counted, true},
		{note("casing both jambs"), counted, false}, {marked("W3 (2 ea)", 1), several, true}, {marked("W11 ea side", 1), several, true},
		{note("revise to 40 x 50"), other, true}, {note("was 36; now 40"), other, true}, {note("size TBD"), other, true}, {note("now on site"), other, false},
		{column("Delete", "x"), noted, true}, {column("Void?", "Yes"), noted, true}, {column("Void?", "no"), noted, false}, {column("Included", "No"), noted, true},
		{column("Included", "yes"), noted, false}, {column("Deleted sash", "x"), noted, false},
		{note("qty 1"), counted, false}, {note("typ."), counted, false}, {note("typ. of 6 in casing"), counted, false}, {note("2 lites"), counted, false},
		{note("qty 2 keys"), counted, false}, {note("typical"), counted, false}, {note("pair of casements"), counted, false}, {note("hall 2"), counted, false},
		{note("2 x 6 wall"), counted, false}, {note("4 in casing"), counted, false},
		{edit(func(o *estimate.Opening) { o.Qty, o.Notes = 4, "typ. of 6" }), counted, true},
		{edit(func(o *estimate.Opening) { o.Qty, o.Notes = 6, "typ. of 6; 4 per floor" }), counted, false},
		{edit(func(o *estimate.Opening) { o.Kind, o.Notes, o.Flange = estimate.EntryDoor, "pair", "" }), counted, false},
		{edit(func(o *estimate.Opening) { o.Extra = []estimate.ExtraCell{{Header: "Comments 2", Text: "qty 6"}} }), counted, true},
		{edit(func(o *estimate.Opening) { o.Extra = []estimate.ExtraCell{{Header: "Panels", Text: "2 each"}} }), counted, false},
		{measuredAs(estimate.StatusOrdered), early, true}, {measuredAs(""), early, true}, {measuredAs(estimate.StatusSet), early, false},
		{edit(func(o *estimate.Opening) { o.Kind, o.Operation, o.Flange = estimate.EntryDoor, estimate.Slider, "" }), slide, true},
		{edit(func(o *estimate.Opening) { o.Operation = estimate.Slider }), slide, false},
		{measuredAs(estimate.StatusCut), "note: W1: " + cut, true},
		{edit(func(o *estimate.Opening) { o.Status = estimate.StatusCut }), "warning: W1: " + cut, true},
		{edit(func(o *estimate.Opening) { o.Status, o.Trim = estimate.StatusHung, estimate.NoTrim }), cut, false},
		{edit(func(o *estimate.Opening) { o.Kind, o.Status, o.Flange = estimate.EntryDoor, estimate.StatusHung, "" }), "warning: W1: " + cut, true},
		{edit(func(o *estimate.Opening) { o.Status = estimate.StatusSet }), cut, false},
		{cost(estimate.ByOwner, 45000), owner, true}, {cost(estimate.ByOwner, 0), owner, false}, {cost(estimate.ByBuilder, 45000), owner, false},
		{cost(estimate.ByBuilder, 0), free, true}, {cost("", 0), free, true}, {cost(estimate.ByInstaller, 0), free, true}, {cost(estimate.ByOwner, 0), free, false},
	} {
		c.opening.Mark = cmp.Or(c.opening.Mark, "W1")
		_, problems := takeOff(shipped(t), c.opening)
		assert.Equal(t, c.want, strings.Contains(strings.Join(lines(problems), "\n"), c.words), "%s: %v", c.words, lines(problems))
	}
}

func TestShapeOfType(t *testing.T) {
	for text, want := range map[string]string{"Half-round window": "half round", "Quarter round": "round", "geometric": "geometric", "fixed arch": "arch",
		"window (arch top)": "arch top", "double hung": "", "": "", "archive": ""} {
		assert.Equal(t, want, estimate.ShapeOfType(text), text)
	}
}
