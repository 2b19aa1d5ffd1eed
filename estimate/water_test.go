package estimate_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestFastenersReachTheFraming: what a nail or screw passes is no hold, so a
// wall with insulation, a brickmould or a wide gap takes longer ones. Source:
// arithmetic from 1-1/4 in into solid wood, a maker's trim board guide (makers
// are not named here).
func TestFastenersReachTheFraming(t *testing.T) {
	const inch = "outside insulation=1"
	outside := []string{inch, "WRB plane=outside of insulation"}
	wide := both(estimate.EntryDoor, size(38, 80), size(40, 81)) // 1 in each side
	for _, c := range []struct {
		why     string
		changes []string
		opening estimate.Opening
		item    string
		want    int
	}{
		{"flange 1/16 + sheathing 7/16 + 1-1/4 = 1-3/4", nil, window(35.5, 59.5), "flange-nail", 1},
		{"and 1 in of insulation: 2-3/4", outside, window(35.5, 59.5), "flange-nail-3-1-2", 1},
		{"not the short one", outside, window(35.5, 59.5), "flange-nail", 0},
		{"jamb 3/4 + gap 1/4 + 1-1/4 = 2-1/4", nil, entryDoor(38, 80), "jamb-screw", 1},
		{"sheathing and insulation lie beside a jamb: still 2-1/4", outside, entryDoor(38, 80), "jamb-screw", 1},
		{"jamb 3/4 + gap 1 + 1-1/4 = 3", nil, wide, "jamb-screw-3-1-2", 1},
		{"hinge 1/8 + jamb 3/4 + gap 1/4 + 1-1/4 = 2-3/8", nil, entryDoor(38, 80), "hinge-screw", 1},
		{"hinge 1/8 + jamb 3/4 + gap 1 + 1-1/4 = 3-1/8", nil, wide, "hinge-screw-4", 1},
		{"brickmould 1-1/4 + 7/16 + 1-1/4 = 2-15/16", nil, flanged(estimate.FlangeBrickmould, entryDoor(38, 80)), "trim-nail-10d", 1},
		{"and 1/2 in of insulation: 3-7/16", []string{"outside insulation=1/2", "WRB plane=sheathing"},
			flanged(estimate.FlangeBrickmould, entryDoor(38, 80)), "trim-nail-16d", 1},
	} {
		assert.Len(t, needs(mustTake(t, shipped(t, c.changes...), c.opening), c.item), c.want, "%s: %s", c.item, c.why)
	}
	take, problems := takeOff(shipped(t, "outside insulation=1", "WRB plane=sheathing", "nail penetration=2-1/2"), window(35.5, 59.5))
	assert.Contains(t, serious(problems), "job.xlsx: Openings!J2: W1: step 12, Nail the flange: no nail or screw on Items has the 4 in "+
		"that pass the flange and hold 2-1/2 in in the framing (add a longer one to Items)")
	assert.Empty(t, needs(take, "flange-nail-3-1-2"), "a short nail holds nothing")
}

// TestFlashingWaitsForThePlane: with insulation outside, pan, flashing and cap
// lie on the WRB, and nobody may cut them before it is said where that is.
func TestFlashingWaitsForThePlane(t *testing.T) {
	held := func(changes ...string) (classes []string, holds []estimate.Hold) {
		take := mustTake(t, shipped(t, append(changes, "outside insulation=1")...), window(35.5, 59.5))
		for _, r := range take.Requirements {
			if it, _ := shipped(t).Items.Get(r.Item); r.Held == "it is not stated where the WRB lies" && (len(classes) == 0 || classes[len(classes)-1] != it.Class) {
				classes = append(classes, it.Class)
			}
		}
		for _, h := range take.Holds {
			if h.What == estimate.HoldFlashing {
				holds = append(holds, h)
			}
		}
		return classes, holds
	}
	classes, holds := held()
	assert.Subset(t, []string{estimate.ClassPan, estimate.ClassTape, estimate.ClassMetal}, classes)
	assert.Contains(t, classes, estimate.ClassTape)
	require.Len(t, holds, 1)
	assert.Equal(t, "write 'WRB plane' on Job: sheathing, or outside of insulation", holds[0].Do)
	for _, plane := range []string{"WRB plane=sheathing", "WRB plane=outside of insulation"} {
		classes, holds = held(plane)
		assert.Empty(t, classes, plane)
		assert.Empty(t, holds, plane)
	}
	// The sill tape covers the sill to that plane. Source: arithmetic: 7-1/4 + 7/16 + 2
	// down the face is two runs of 6 in lapped 2; with 1/2 in of insulation three.
	sill := func(plane string) []string {
		take := mustTake(t, shipped(t, "stud depth=7-1/4", "outside insulation=1/2", "tape sill=tape-6-flexible", "WRB plane="+plane), window(35.5, 59.5))
		return needs(take, "tape-6-flexible")
	}
	assert.Equal(t, []string{"2 x 48"}, sill("sheathing"))
	assert.Equal(t, []string{"3 x 48"}, sill("outside of insulation"))
}

// TestBrickmouldWidensWhatGoesRound. Source: geometry, 2 in a side (a maker's
// page; makers are not named here): a door frame of 38 x 80 is 42 x 82 outside, a
// window of 35-1/2 x 59-1/2 is 39-1/2 x 63-1/2.
func TestBrickmouldWidensWhatGoesRound(t *testing.T) {
	door := flanged(estimate.FlangeBrickmould, entryDoor(38, 80))
	take := mustTake(t, shipped(t), door)
	assert.Equal(t, estimate.NoTrim, take.Openings[0].Layout, "its factory casing is the trim")
	assert.Equal(t, size(42, 82), take.Openings[0].TrimSize)
	assert.Equal(t, []string{"1 x 46"}, needs(take, "drip-cap"), "42 + 1 past each side + 1 folded up at each end")

	asked := change(flanged(estimate.FlangeBrickmould, window(35.5, 59.5)), func(o *estimate.Opening) { o.Trim = "head over legs" })
	take = mustTake(t, shipped(t), asked)
	assert.Equal(t, []string{"1 x 46-7/8", "2 x 67-3/8", "1 x 39-7/8"}, needs(take, "board-1x4"), "39-1/2 x 63-1/2 and its joints of 3/16: 39-7/8 x 63-7/8")

	measured := change(door, func(o *estimate.Opening) { o.Measured = size(42, 82) })
	assert.Empty(t, mustTake(t, shipped(t), measured).Openings[0].Doubt, "measured out to out of the brickmould")
	measured.Measured = size(38, 80)
	assert.NotEmpty(t, mustTake(t, shipped(t), measured).Openings[0].Doubt, "measured to its frame, or another unit")
}

// TestFlashingWithoutFlange: with no flange to lap, jamb and head flashing turn
// into the opening before the unit is set. Common practice, no source.
func TestFlashingWithoutFlange(t *testing.T) {
	for _, flange := range []estimate.Flange{estimate.FlangeNone, estimate.FlangeBrickmould} {
		for _, o := range []estimate.Opening{flanged(flange, window(35.5, 59.5)), flanged(flange, entryDoor(38, 80)), flanged(flange, patioDoor(71.5, 80))} {
			found := map[string]string{}
			for _, r := range mustTake(t, shipped(t), o).Requirements {
				if r.Rule == "tape" && (r.Name == "jambs" || r.Name == "head") && r.Phase == estimate.PhaseInstall {
					found[r.Name] = r.Step
				}
			}
			assert.Equal(t, map[string]string{"jambs": "8", "head": "8"}, found, "%s, flange %s", o.Kind, flange)
		}
	}
}

// TestPanIsAsDeepAsItsUnit: a pan that is deeper than a door ends in front of
// its back dam. Common practice, no source: held beyond 1/2 in.
func TestPanIsAsDeepAsItsUnit(t *testing.T) {
	deep := func(d float64, o estimate.Opening) estimate.Opening {
		o.UnitDepth = estimate.Given(in(d))
		return o
	}
	waits := func(o estimate.Opening, changes ...string) string {
		for _, h := range mustTake(t, shipped(t, changes...), o).Holds {
			if h.What == estimate.HoldPan {
				return h.Why
			}
		}
		return ""
	}
	assert.Empty(t, waits(deep(4.5625, entryDoor(38, 80))))
	assert.Empty(t, waits(deep(4.0625, entryDoor(38, 80))), "1/2 in is not more than 1/2 in")
	const tooDeep = "the rigid pan is for 4-9/16 in, the unit is 4 in deep"
	assert.Equal(t, tooDeep, waits(deep(4, entryDoor(38, 80))))
	for _, r := range mustTake(t, shipped(t), deep(4, entryDoor(38, 80))).Requirements {
		if r.Rule == "pan rigid" {
			assert.Equal(t, tooDeep, r.Held, "its row says so too")
		}
	}
	assert.Empty(t, waits(deep(4, panned("rigid", window(35.5, 59.5)))), "a note at a window")
	assert.Equal(t, "jamb depth of the window is not known", waits(panned("rigid", window(35.5, 59.5))), "many are shallower than the wall")
	assert.Empty(t, waits(panned("rigid", window(35.5, 59.5)), "jamb depth window=4-9/16"))
	assert.Equal(t, "no stocked jamb is as deep as the wall", waits(entryDoor(38, 80), "stud depth=7-1/4"))
	inWall := entryDoor(38, 80)
	inWall.WallDepth = estimate.Given(in(9))
	assert.Equal(t, "no stocked jamb is as deep as the wall", waits(inWall), "the opening's own wall")
	inWall.WallDepth = estimate.Given(in(3.9375))
	assert.Empty(t, waits(inWall, "stud depth=7-1/4"))
	assert.Len(t, needs(mustTake(t, shipped(t, "stud depth=7-1/4"), inWall), "pan-30-4-9-16"), 1, "arithmetic: 3-15/16 + 1/2 is 4-7/16")
}

// TestPairOfDoors: two hinge jambs, two top hinges. Source: arithmetic: 3 hinges
// at each jamb and 2 places at the head are 8, two shims a place; common practice.
func TestPairOfDoors(t *testing.T) {
	single, pair := entryDoor(38, 80), entryDoor(74, 80)
	pair.Operation = estimate.Pair
	for _, c := range []struct {
		door              estimate.Opening
		shims, jamb, long string
	}{{single, "14", "7", "1"}, {pair, "16", "8", "2"}} {
		take := mustTake(t, shipped(t), c.door)
		assert.Equal(t, []string{c.shims}, needs(take, "shim"))
		assert.Equal(t, []string{c.jamb}, needs(take, "jamb-screw"))
		assert.Equal(t, []string{c.long}, needs(take, "hinge-screw"))
	}
	asked := func(o estimate.Opening) bool {
		_, problems := takeOff(shipped(t), o)
		return slices.ContainsFunc(problems, func(p estimate.Problem) bool { return strings.Contains(p.What, "is more than one leaf") })
	}
	wide := entryDoor(74, 80)
	assert.True(t, asked(wide), "nobody said how it opens")
	wide.Operation = "single"
	assert.False(t, asked(wide))
	assert.False(t, asked(pair))
	assert.False(t, asked(single))
}

// TestMeasuredMulls: the joints of a measured frame, and where the mull casing
// stands, follow what was measured. Source: arithmetic: three units of 24, 36 and
// 24 in a frame of 85-1/2 have joints of 3/4; of 85-3/4, of 7/8.
func TestMeasuredMulls(t *testing.T) {
	o := window(85.5, 59.5)
	o.Units, o.UnitWidths = 3, []measure.Length{in(24), in(36), in(24)}
	centers := func(o estimate.Opening) string {
		for _, r := range mustTake(t, shipped(t), o).Requirements {
			if r.Name == "mull" && r.Rule == "frame" {
				return r.Inputs
			}
		}
		return ""
	}
	assert.Contains(t, centers(o), "joint of 3/4; centers from the inside of the left leg 24-9/16 61-5/16")
	o.Measured = size(85.75, 59.5)
	assert.Contains(t, centers(o), "joint of 7/8; centers from the inside of the left leg 24-5/8 61-1/2")
}

// TestLegsOfOverheadDoors: on a slab they end there, and wait for no leg drop.
func TestLegsOfOverheadDoors(t *testing.T) {
	waits := func(o estimate.Opening) string {
		o.Status, o.Measured = estimate.StatusSet, size(192, 84)
		for _, h := range mustTake(t, shipped(t), o).Holds {
			if h.What == estimate.HoldTrim {
				return h.Why
			}
		}
		return ""
	}
	assert.Empty(t, waits(on(estimate.OnSlab, overheadDoor(192, 84))))
	assert.Equal(t, "no leg drop", waits(on(estimate.OnWood, overheadDoor(192, 84))))
}
