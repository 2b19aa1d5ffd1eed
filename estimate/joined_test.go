package estimate_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// twins are two windows of 35-1/2 x 59-1/2 in, so far apart.
func twins(apart float64, as estimate.Joined) estimate.Opening {
	o := window(71+apart, 59.5)
	o.Units, o.UnitWidths, o.Joined = 2, []measure.Length{in(35.5), in(35.5)}, as
	return o
}

// TestStudsBetween: units with studs between them take flashing, pan, nails and foam as an
// opening each, and one trim frame. Expected: arithmetic from rough openings of 36 x 60.
func TestStudsBetween(t *testing.T) {
	take := mustTake(t, shipped(t), twins(3.75, estimate.StudsBetween))
	for _, c := range []struct {
		item, why string
		want      []string
	}{
		{"tape-9", "jambs 60 + 2 x 8-1/2, twice two; heads 36 + 18; no bridge over a mull", []string{"4 x 77", "1 x 54", "1 x 54"}},
		{"tape-9-flexible", "sills 36 + 12", []string{"1 x 48", "1 x 48"}},
		{"flange-nail", "sill and head 5 each, jambs 8 each: 2 (5 + 5 + 8 + 8)", []string{"52"}},
		{"jamb-screw", "no clips", nil},
		{"cover-nail", "framing takes trim nails", nil},
		{"board-1x4", "head 74-3/4 + 3/8 + 7, legs 59-1/2 + 3/8 + 3-1/2, bottom, casing between",
			[]string{"1 x 82-1/8", "2 x 63-3/8", "1 x 75-1/8", "1 x 59-7/8"}},
		{"trim-nail-8d", "rows of two: 6 + 2 x 5 + 6 + 5", []string{"54"}},
	} {
		assert.Equal(t, c.want, needs(take, c.item), "%s: %s", c.item, c.why)
	}
	mulled := mustTake(t, shipped(t), twins(0.75, ""))
	assert.Equal(t, []string{"44"}, needs(mulled, "trim-nail-8d"), "no framing nails over a mull: 6 + 2 x 5 + 6 rows of two")
	assert.Equal(t, []string{"10"}, needs(mulled, "cover-nail"), "5 rows of two short ones")
	assert.Equal(t, []string{"5.841 in3"}, needs(mulled, "cover-adhesive"), "2 x 59-1/2 x pi / 4 x 1/16")
}

// TestPansOfStudsBetween: a pan each.
func TestPansOfStudsBetween(t *testing.T) {
	pans := func(kind estimate.Pan, item string, widths ...float64) []string {
		o := twins(3.5, estimate.StudsBetween)
		o.UnitWidths = nil
		for _, w := range widths {
			o.UnitWidths = append(o.UnitWidths, in(w))
		}
		o.Frame.W = in(widths[0] + widths[1] + 3.5)
		o.Pan, o.UnitDepth = kind, estimate.Given(in(4.5625))
		return needs(mustTake(t, shipped(t), o), item)
	}
	assert.Equal(t, []string{"2"}, pans(estimate.PanRigid, "pan-30-4-9-16", 35.5, 35.5), "alike")
	assert.Equal(t, []string{"1"}, pans(estimate.PanRigid, "pan-60-4-9-16", 35.5, 59.5), "openings of 36 and 60: a kit each")
	assert.Equal(t, []string{"1 x 38 x 7.571", "1 x 62 x 7.571"}, pans(estimate.PanMetal, "trim-coil-24", 35.5, 59.5),
		"36 + 2 and 60 + 2; blank 1/2 + 1-1/2 + 4-9/16 at 6 % + 1, geometry")
}

// TestPanOfNoCoil: metal that is bought at its width is not compared with a coil.
func TestPanOfNoCoil(t *testing.T) {
	items := shippedItems(t).List()
	for i := range items {
		if items[i].Key == "trim-coil-24" {
			items[i].Coil = 0
		}
	}
	b := shipped(t)
	b.Items = estimate.NewItems(items)
	o := window(35.5, 59.5)
	o.Pan, o.UnitDepth = estimate.PanMetal, estimate.Given(in(4.5625))
	assert.Equal(t, []string{"1 x 38 x 7.571"}, needs(mustTake(t, b, o), "trim-coil-24"))
}

// TestCasingBetween: units 35-1/2 wide, 3-3/4 apart: a full 1x4 leaves 1/8 at each side,
// under the least sealant joint of 1/4; ripped to 3-1/4 it leaves 1/4. Source: arithmetic.
func TestCasingBetween(t *testing.T) {
	assert.Equal(t, in(3.25), estimate.CasingBetween(in(3.75), in(3.5), in(0.1875), in(0.25)))
	assert.Equal(t, in(3), estimate.CasingBetween(in(3.75), in(3.5), in(0.375), in(0.25)), "a wider caulk joint rules")
	assert.Equal(t, in(3.5), estimate.CasingBetween(in(5), in(3.5), in(0.1875), in(0.25)), "no wider than its board")
	take, problems := takeOff(shipped(t), twins(3.75, estimate.StudsBetween))
	assert.Contains(t, strings.Join(lines(problems), "\n"), "W1: a full casing of 3-1/2 in would leave 1/8 in beside either frame, "+
		"less than the 1/4 in of a sealant joint (it is ripped to 3-1/4 in)")
	casing := take.Requirements[len(take.Requirements)-1]
	for _, r := range take.Requirements {
		if r.Name == string(estimate.MullPiece) {
			casing = r
		}
	}
	assert.Contains(t, casing.Inputs, "rip to 3-1/4 in the joint of 3-3/4; centers from the inside of the left leg 37-9/16")
}

// TestStudsApart. Source: geometry of 1-1/2 in studs with 1/4 in beside each frame.
func TestStudsApart(t *testing.T) {
	assert.Equal(t, in(3.5), estimate.StudsApart(2))
	assert.Equal(t, in(5), estimate.StudsApart(3))
}

// TestJoinedThatCannotBe: what no casing covers, or no wall holds, is an error at its cell.
func TestJoinedThatCannotBe(t *testing.T) {
	stud := func(apart float64, do func(*estimate.Opening)) estimate.Opening {
		o := twins(apart, estimate.StudsBetween)
		if do != nil {
			do(&o)
		}
		return o
	}
	for _, c := range []struct {
		opening estimate.Opening
		says    string
	}{
		{stud(2.5, nil), "flanges of 1-1/2 in overlap in a joint of 2-1/2 in"},
		{stud(1.5, func(o *estimate.Opening) { o.Flange = estimate.FlangeNone }), "a joint of 1-1/2 in has no room for a stud"},
		{stud(5.5625, nil), "a joint of 5-9/16 in is wider than the 5-1/2 in that one casing covers"},
		{stud(3.5, func(o *estimate.Opening) { o.Flange = estimate.FlangeBrickmould }), "units with brickmould are cased each by itself"},
		{stud(3.5, func(o *estimate.Opening) { o.Kind = estimate.EntryDoor }), "studs between entry doors are not estimated"},
		{stud(3.5, func(o *estimate.Opening) { o.Units, o.UnitWidths = 1, nil }), `"studs between", and one unit is counted`},
		{stud(3.5, func(o *estimate.Opening) {
			o.Frame, o.UnitWidths, o.UnitHeights = size(35.5, 119.75), nil, []measure.Length{in(59.5), in(59.5)}
		}), "what stands between stacked units is a header"},
	} {
		take, problems := takeOff(shipped(t), c.opening)
		assert.Contains(t, strings.Join(serious(problems), "\n"), c.says)
		assert.Empty(t, take.Openings, c.says)
	}
	for _, apart := range []float64{3, 5.5} { // flanges that just meet; the widest
		mustTake(t, shipped(t), twins(apart, estimate.StudsBetween))
	}
	equal := twins(3.5, estimate.StudsBetween)
	equal.UnitWidths = nil
	o := mustTake(t, shipped(t), equal).Openings[0]
	assert.Equal(t, []measure.Length{in(35.5), in(35.5)}, o.Widths, "74-1/2 less two studs and their room, halved")
	assert.Equal(t, size(35.5, 59.5), o.Lifted())
}

// TestFluidAppliedJambs: the faces that tape covers, and fabric at the corners. Expected:
// arithmetic on a rough opening of 36 x 60 and a frame of 35-1/2 x 59-1/2.
func TestFluidAppliedJambs(t *testing.T) {
	take := mustTake(t, shipped(t, "jamb flashing=fluid-applied"), window(35.5, 59.5))
	assert.Empty(t, needs(take, "tape-9"))
	assert.Equal(t, []string{"1404.000 in2", "618.000 in2"}, needs(take, "fluid-flashing"), "(2 x 60 + 36) x 9 before the unit, (2 x 59-1/2 + 35-1/2) x 4 over its flange")
	assert.Equal(t, []string{"2 x 12"}, needs(take, "flashing-fabric"), "top corners; the pan is flashing tape")
	both := mustTake(t, shipped(t, "jamb flashing=fluid-applied", "pan window=fluid-applied"), window(35.5, 59.5))
	assert.Equal(t, []string{"2 x 12", "2 x 12"}, needs(both, "flashing-fabric"))
	held := mustTake(t, shipped(t, "jamb flashing=fluid-applied", "outside insulation=1"), window(35.5, 59.5))
	for _, r := range held.Requirements {
		if r.Item == "fluid-flashing" || r.Item == "flashing-fabric" {
			assert.Equal(t, "it is not stated where the WRB lies", r.Held, r.Do)
		}
	}
}

// TestSampleMeasuring: some windows measured stand for all by somebody's word; doors never.
func TestSampleMeasuring(t *testing.T) {
	some := func(o estimate.Opening, sample string) []estimate.Hold {
		o.Qty, o.Status, o.Sample = 3, estimate.StatusSet, sample
		o.Readings = []estimate.Reading{{Piece: 1, Widths: [3]measure.Length{o.Frame.W}, Heights: [3]measure.Length{o.Frame.H}}}
		o.LegDrop = estimate.Given(in(6))
		return mustTake(t, shipped(t, "trim entry door=three sided"), o).Holds
	}
	require.Len(t, some(window(35.5, 59.5), ""), 1)
	assert.Equal(t, "1 of 3 measured", some(window(35.5, 59.5), "")[0].Why)
	assert.Contains(t, some(window(35.5, 59.5), "")[0].Do, "Sample accepted")
	assert.Empty(t, some(window(35.5, 59.5), "the foreman, 12 Nov"))
	door := some(entryDoor(38, 81), "the foreman, 12 Nov")
	require.Len(t, door, 1)
	assert.Equal(t, "measure the others, each door by itself, or give each piece its own row", door[0].Do)
	o := window(35.5, 59.5)
	o.Qty, o.Sample = 2, "the foreman"
	assert.Equal(t, "not delivered", mustTake(t, shipped(t), o).Holds[0].Why, "nothing was measured")
}

// TestBeadsAtOffsets: as many beads as offsets, which Install shows.
func TestBeadsAtOffsets(t *testing.T) {
	b := with(t, shipped(t), row{"Do": "Beads under the threshold", "Item": "sealant-10", "Rule": "bead", "Edges": "sill", "Along": "frame", "Size": "square 1/4",
		"With": "at=1/2, 3, 5-1/2", "Phase": "install"})
	take := mustTake(t, b, window(40, 60))
	assert.Equal(t, []string{"7.500 in3"}, needs(take, "sealant-10"), "3 x 40 x 1/16, arithmetic")
	assert.Contains(t, take.Requirements[0].Inputs, "3 beads; at 1/2, 3, 5-1/2 in from the outer edge; sill 40")
	assert.Equal(t, "Beads under the threshold, at 1/2, 3, 5-1/2 in from the outer edge", estimate.Installs(b, take)[0].Steps[0].Do)
	for with, says := range map[string]string{
		"at=3, 1":  "each offset is more than the one before, and none is negative",
		"at=-1, 3": "each offset is more than the one before, and none is negative",
		"at=x":     "x",
	} {
		_, problems := estimate.ParseDetails(stepRows(row{"Detail": "mine", "Step": "1", "Item": "sealant-10", "Rule": "bead", "Edges": "sill", "Along": "frame",
			"Size": "square 1/4", "With": with}), b.Items, roles(b.Job))
		require.Len(t, problems, 1, with)
		assert.Contains(t, problems[0].String(), says)
	}
	_, problems := estimate.ParseDetails(stepRows(row{"Detail": "mine", "Step": "1", "Item": "sealant-10", "Rule": "bead", "Edges": "sill", "Along": "frame",
		"Size": "square 1/4", "Runs": "2", "With": "at=1, 3"}), b.Items, roles(b.Job))
	assert.Contains(t, problems[0].String(), "at says how many beads there are")
}

// TestPacksOpened. Source: common practice, arithmetic.
func TestPacksOpened(t *testing.T) {
	for _, c := range []struct {
		why                                   string
		openings, aPack, aDay, daysOpen, want int64
	}{
		{"never one can for 22 openings: 22 / 4", 22, 4, 4, 1, 6},
		{"a day's work each: 9 openings at 3 a day", 9, 10, 3, 1, 3},
		{"two days each", 9, 10, 3, 2, 2},
		{"a gun can: 22 / 12; six days of twenty", 22, 12, 4, 20, 2},
		{"without the crew's pace only the openings count", 22, 4, 0, 1, 6},
		{"no limit", 22, 0, 4, 0, 0},
		{"no opening", 0, 4, 4, 1, 0},
	} {
		assert.Equal(t, c.want, estimate.PacksOpened(c.openings, c.aPack, c.aDay, c.daysOpen), c.why)
	}
}

// TestPatchesFromTapeThatIsBought: no roll for patches alone.
func TestPatchesFromTapeThatIsBought(t *testing.T) {
	patch := func(item string) row {
		return row{"Do": "Patch", "Item": item, "Rule": "tape", "With": "length=6; count=2"}
	}
	along := func(item string) row {
		return row{"Do": "Tape", "Item": item, "Rule": "tape", "Edges": "head", "Along": "frame"}
	}
	for _, c := range []struct {
		why   string
		steps []row
		item  string
		want  []string
	}{
		{"of the wider tape", []row{patch("tape-4"), along("tape-9")}, "tape-9", []string{"2 x 6", "1 x 40"}},
		{"of the narrowest that is as wide", []row{patch("tape-4"), along("tape-9"), along("tape-6")}, "tape-6", []string{"2 x 6", "1 x 40"}},
		{"a narrower tape does not do", []row{patch("tape-9"), along("tape-6")}, "tape-9", []string{"2 x 6"}},
		{"what must turn a corner stays flexible", []row{patch("tape-6-flexible"), along("tape-9")}, "tape-6-flexible", []string{"2 x 6"}},
		{"a flexible tape does too", []row{patch("tape-6"), along("tape-9-flexible")}, "tape-9-flexible", []string{"2 x 6", "1 x 40"}},
		{"a tape that is needed for more stays", []row{patch("tape-4"), along("tape-4"), along("tape-9")}, "tape-4", []string{"2 x 6", "1 x 40"}},
		{"patches alone stay", []row{patch("tape-4"), patch("tape-9")}, "tape-4", []string{"2 x 6"}},
		{"corners are patches", []row{{"Do": "Corners", "Item": "tape-4", "Rule": "tape", "Edges": "head corners", "With": "length=6"}, along("tape-9")}, "tape-9",
			[]string{"2 x 6", "1 x 40"}},
	} {
		assert.Equal(t, c.want, needs(mustTake(t, with(t, shipped(t), c.steps...), window(40, 60)), c.item), c.why)
	}
}

// TestThickerRod: the next thicker rod of the job serves up to one and a half times the
// joint. Source: ASTM C1193, from memory: 25 to 50 % larger.
func TestThickerRod(t *testing.T) {
	assert.Equal(t, in(0.75), estimate.ThickestRod(in(0.5)))
	gap := func(mark string, g float64) estimate.Opening {
		o := both(estimate.Window, size(35.5, 59.5), size(35.5+2*g, 59.5+2*g))
		o.Mark, o.Flange, o.Trim = mark, estimate.FlangeNone, estimate.NoTrim
		return o
	}
	take := mustTake(t, shipped(t), gap("W1", 0.5), gap("W2", 0.625))
	assert.Empty(t, needs(take, "rod-5-8"), "1/2 in takes 5/8 in, and 3/4 in at the most")
	assert.Len(t, needs(take, "rod-3-4"), 2)
	assert.Contains(t, needsInputs(take, "rod-3-4"), "of rod-3-4, which is bought anyway")
	take = mustTake(t, shipped(t), gap("W1", 0.375), gap("W2", 0.5))
	assert.Len(t, needs(take, "rod-1-2"), 1, "3/8 in takes 1/2 in, and 9/16 in at the most: not 5/8")
	assert.Len(t, needs(take, "rod-5-8"), 1)
	take = mustTake(t, shipped(t), gap("W1", 0.5))
	assert.Len(t, needs(take, "rod-5-8"), 1, "nothing thicker is bought")
}

// TestMulledBrickmould: what covers the joint is not counted, which is said.
func TestMulledBrickmould(t *testing.T) {
	_, problems := takeOff(shipped(t), flanged(estimate.FlangeBrickmould, twins(0.75, "")))
	assert.Contains(t, strings.Join(serious(problems), "\n"), "W1: brickmould is counted round the whole; what covers the joint between the units is in no count")
	_, problems = takeOff(shipped(t), flanged(estimate.FlangeBrickmould, window(35.5, 59.5)))
	assert.NotContains(t, strings.Join(serious(problems), "\n"), "brickmould is counted")
}

// needsInputs returns the inputs of the requirements of an item.
func needsInputs(take estimate.Takeoff, item string) string {
	var out []string
	for _, r := range take.Requirements {
		if r.Item == item {
			out = append(out, r.Inputs)
		}
	}
	return strings.Join(out, "\n")
}

// TestColdAcceptedNamesItems: a name that is no item is said at its cell, for the item that
// was meant stays without a product.
func TestColdAcceptedNamesItems(t *testing.T) {
	for value, want := range map[string][]string{
		"tape-9: crew lead, 12 Nov":        nil,
		"tape-9, tape-10: crew lead, 2026": {`cold accepted names "tape-10", which is no item (write keys of the Items sheet before the colon)`},
	} {
		_, problems := estimate.NewJob([]estimate.Setting{{Key: "cold accepted", Text: value, Unit: estimate.UnitText}}, shippedItems(t))
		var got []string
		for _, p := range problems {
			got = append(got, p.Sentence())
		}
		assert.Equal(t, want, got, value)
	}
}
