package estimate_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestRulesEasilyGotWrong takes the seventeen points that estimators argue
// about through the shipped details, one subtest each.
func TestRulesEasilyGotWrong(t *testing.T) {
	for _, point := range []struct {
		name string
		test func(t *testing.T)
	}{
		{"01 clearance by kind, width and height apart", clearanceByKind},
		{"02 ends of tape", tapeEnds},
		{"03 runs of sill tape follow the wall", runsFollowWall},
		{"04 choice of pan", panChoice},
		{"05 beads under a pan bed it, on it only the back dam", beadsAndPan},
		{"06 trim joint, rod and foam", jointsAndFoam},
		{"07 a locating flange gets no nails", locatingFlange},
		{"08 level first", levelFirst},
		{"09 nail length", nailLength},
		{"10 legs of doors", doorLegs},
		{"11 head flashing always on", headFlashing},
		{"12 trim goes round the unit", trimRoundUnit},
		{"13 spares, not percentages, for what is cut", sparesNotPercent},
		{"14 only what is used on site feels the cold", coldOnSite},
		{"15 no labor is prefilled", noLabor},
		{"16 cautions that compute", cautions},
		{"17 mulls", mulls},
	} {
		t.Run(point.name, point.test)
	}
}

// check is an opening, changes to the job, and what is asked of an item.
type check struct {
	source  string
	changes []string
	opening estimate.Opening
	item    string
	want    []string
}

func run(t *testing.T, checks []check) {
	for _, c := range checks {
		take := mustTake(t, shipped(t, c.changes...), c.opening)
		assert.Equal(t, c.want, needs(take, c.item), "%s: %s", c.item, c.source)
	}
}

// change returns the opening with some of its fields changed.
func change(o estimate.Opening, f func(o *estimate.Opening)) estimate.Opening {
	f(&o)
	return o
}

func on(sits estimate.SitsOn, o estimate.Opening) estimate.Opening {
	return change(o, func(o *estimate.Opening) { o.SitsOn = sits })
}

func flanged(flange estimate.Flange, o estimate.Opening) estimate.Opening {
	return change(o, func(o *estimate.Opening) { o.Flange = flange })
}

func panned(pan estimate.Pan, o estimate.Opening) estimate.Opening {
	return change(o, func(o *estimate.Opening) { o.Pan = pan })
}

func withRise(rise float64, o estimate.Opening) estimate.Opening {
	return change(o, func(o *estimate.Opening) {
		o.Readings = []estimate.Reading{{Piece: 1, HighEnd: "left", Rise: in(rise)}}
	})
}

func clearanceByKind(t *testing.T) {
	for _, c := range []struct {
		source  string
		opening estimate.Opening
		want    estimate.Size
	}{
		{"arithmetic from " + doorSheet + "1/2 and 1/2", window(35.5, 47.5), size(36, 48)},
		{doorSheet + "slab + 2 and + 2-1/4", called(estimate.EntryDoor, "3068"), size(38, 82.25)},
		{installers + "+ 3 and + 1-1/2 over the finished opening", overheadDoor(192, 84), size(195, 85.5)},
	} {
		take := mustTake(t, shipped(t), c.opening)
		assert.Equal(t, c.want, take.Openings[0].Rough, c.source)
	}
}

func tapeEnds(t *testing.T) {
	const memory = aamaEnds + "t - 1/2 at either end"
	run(t, []check{
		{aama2400 + "5.7.3.2: head W + 2t; jambs " + memory, nil, window(35.5, 47.5), "tape-9", []string{"2 x 65", "1 x 54"}},
		{flashedWindow + "sill W + 6 each end", nil, window(35.5, 47.5), "tape-9-flexible", []string{"1 x 48"}},
		{"arithmetic: on wood the jamb strips of a door run past its foot", nil, flanged("applied (locating only)", patioDoor(72, 80)), "tape-6",
			[]string{"2 x 91", "1 x 83", "2 x 6"}},
		{"arithmetic: on a slab the foot is 0", nil, on("slab", flanged("applied (locating only)", patioDoor(72, 80))), "tape-6",
			[]string{"2 x 6", "2 x 85-1/2", "1 x 83", "2 x 6"}},
		{"arithmetic: round an overhead door's opening, foot 0", nil, overheadDoor(192, 84), "tape-6", []string{"2 x 85-1/2", "1 x 207"}},
	})
}

func runsFollowWall(t *testing.T) {
	const source = "arithmetic from " + code + "R703.2, laps: "
	deep := change(window(35.5, 47.5), func(o *estimate.Opening) { o.WallDepth = estimate.Given(in(8.5)) })
	run(t, []check{
		{source + "2x6 wall, 6 in tape", []string{"stud depth=5-1/2", "tape sill=tape-6-flexible"}, window(35.5, 47.5), "tape-6-flexible", []string{"2 x 48"}},
		{source + "2x4 wall, 6 in tape", []string{"stud depth=3-1/2", "tape sill=tape-6-flexible"}, window(35.5, 47.5), "tape-6-flexible", []string{"1 x 48"}},
		{source + "2x6 wall, 9 in tape", []string{"tape sill=tape-9-flexible"}, window(35.5, 47.5), "tape-9-flexible", []string{"1 x 48"}},
		{source + "a wall deeper than the job's", []string{"tape sill=tape-6-flexible"}, deep, "tape-6-flexible", []string{"3 x 48"}},
		{source + "of the family, one run of 9 in before two of 6", nil, window(35.5, 47.5), "tape-9-flexible", []string{"1 x 48"}},
		{source + "of one run each, the narrowest", []string{"stud depth=3-1/2"}, window(35.5, 47.5), "tape-6-flexible", []string{"1 x 48"}},
		{source + "8-1/2 + 2 is two runs of 9 in, not three of 6", nil, deep, "tape-9-flexible", []string{"2 x 48"}},
	})
}

func panChoice(t *testing.T) {
	depth := func(d float64, o estimate.Opening) estimate.Opening {
		return change(o, func(o *estimate.Opening) { o.UnitDepth = estimate.Given(in(d)) })
	}
	long := both(estimate.PatioDoor, size(199.5, 80), size(200, 80.5))
	formed := depth(5.5, panned("metal", patioDoor(191.5, 80)))
	thin := []string{"stud depth=3-1/2"} // 3-1/2 + 7/16 + 1/2 = 4-7/16: a jamb of 4-9/16
	run(t, []check{
		{panKit + "middle 25-1/2 of a 3-0", thin, entryDoor(38, 80), "pan-30-4-9-16", []string{"1"}},
		{panKit + "middle 61 of a 6-0", thin, patioDoor(73.5, 80), "pan-60-4-9-16", []string{"1"}},
		{panKit + "depth 6-9/16", nil, depth(6.5625, patioDoor(73.5, 80)), "pan-60-6-9-16", []string{"1"}},
		{panKit + "two cemented laps", nil, patioDoor(73.5, 80), "pvc-cement", []string{"2"}},
		{"arithmetic: middle 187 is over a 9-0", thin, long, "pan-90-4-9-16", []string{"1"}},
		{"arithmetic: one more section", thin, long, "pan-section-4-9-16", []string{"1"}},
		{"arithmetic: and a coupler", thin, long, "pan-coupler-4-9-16", []string{"1"}},
		{"arithmetic: each coupler is one more pair of laps", nil, long, "pvc-cement", []string{"4"}},
		{"arithmetic from geometry and " + metalLaps + "194 in two pieces, blank 8.510", nil, formed, "trim-coil-24",
			[]string{"1 x 120 x 8.510", "1 x 78 x 8.510"}},
		{"arithmetic: a pan is bent in one piece up to the brake length; sqrt(4.5625^2 + 0.27375^2) + 3", thin, panned("metal", entryDoor(38, 80)),
			"trim-coil-24", []string{"1 x 40-1/2 x 7.571"}},
		{"arithmetic: as deep as a jamb of 2x6 stocks, 6-9/16", nil, panned("metal", entryDoor(38, 80)), "trim-coil-24", []string{"1 x 40-1/2 x 9.574"}},
		{"arithmetic: flat on a slab, 3 + 6-9/16", nil, on(estimate.OnSlab, panned("metal", entryDoor(38, 80))), "trim-coil-24", []string{"1 x 40-1/2 x 9.562"}},
		{"common practice, no source: the slope of a metal pan rests on a strip", nil, panned("metal", entryDoor(38, 80)), "bevel-strip", []string{"1 x 38-1/2"}},
	})

	take, problems := takeOff(shipped(t), depth(7, patioDoor(73.5, 80)))
	assert.Contains(t, serious(problems), "job.xlsx: Openings!S2: P1: no rigid pan on Items fits a frame 7 in deep (choose a metal pan, or add the pan to Items)")
	assert.Empty(t, needs(take, "pan-60-6-9-16"), "too shallow a pan puts the threshold on the dam")

	owners := change(entryDoor(38, 80), func(o *estimate.Opening) { o.FurnishedBy = "owner" })
	take = mustTake(t, shipped(t), owners)
	i := slices.IndexFunc(take.Holds, func(h estimate.Hold) bool { return h.What == "pan" })
	require.GreaterOrEqual(t, i, 0, "nobody stated the depth of the owner's door")
	assert.Equal(t, "jamb depth of the owner's unit is not known", take.Holds[i].Why)
	for _, r := range take.Requirements {
		if r.Rule == "pan rigid" {
			assert.Equal(t, take.Holds[i].Why, r.Held)
		}
	}
	for _, h := range mustTake(t, shipped(t), depth(4.5625, owners)).Holds {
		assert.NotEqual(t, "pan", h.What, "its depth is known")
	}

	asked := panned("rigid", overheadDoor(192, 84))
	for _, r := range mustTake(t, shipped(t), asked).Requirements {
		assert.NotContains(t, r.Rule, "pan", overheadPans+"an overhead door is not watertight at the floor")
	}
}

// TestBrakeTooShort: a brake length no longer than its lap bends no pan, which
// must be said: a pan is not left out without a word.
func TestBrakeTooShort(t *testing.T) {
	take, problems := takeOff(shipped(t, "brake length=3"), panned("metal", entryDoor(38, 80)))
	assert.Empty(t, needs(take, "trim-coil-24"))
	assert.Positive(t, estimate.Errors(problems))
}

func beadsAndPan(t *testing.T) {
	const (
		round = "arithmetic, round 3/8 of "
	)
	door := flanged("applied (locating only)", entryDoor(38, 81.5)) // opening 38-1/2; last, 201 in of round 1/4 seal flange to frame
	run(t, []check{
		{threeBeads + "3 x 42-1/2 under the pan; 42-1/2 on its back dam", nil, door, "sealant-10", []string{"14.082 in3", "4.694 in3", "9.867 in3", "1.104 in3"}},
		{round + "the same under a metal pan", nil, panned("metal", door), "sealant-10", []string{"14.082 in3", "4.694 in3", "9.867 in3", "1.104 in3"}},
		{round + "no pan: the threshold itself is bedded, no back dam", nil, panned("none", door), "sealant-10", []string{"14.082 in3", "9.867 in3"}},
		{bedding + "flange bead at head and jambs where the sill drains", nil, window(35.5, 47.5), "sealant-10", []string{"14.579 in3"}},
		{aama2400 + "5.7.3.4: all round without a pan", nil, panned("none", window(35.5, 47.5)), "sealant-10", []string{"18.555 in3"}},
		{round + "127 in under a window's pan of 40 in and 132 behind the flange: never both sets", nil, panned("rigid", window(35.5, 47.5)), "sealant-10",
			[]string{"13.254 in3", "14.579 in3"}},
	})
	run(t, []check{{"common practice, no source: behind the 2x jambs of an overhead door, 360 in of round 3/8", nil, overheadDoor(192, 84), "sealant-10",
		[]string{"39.761 in3"}}})
	for _, d := range shipped(t).Details {
		for _, s := range d.Steps {
			assert.False(t, s.Rule == "bead" && s.Along == estimate.AlongFlange && slices.Contains(s.Edges, estimate.Sill),
				"%s: a bead across the front dams the water in", d.Name)
		}
	}
}

func jointsAndFoam(t *testing.T) {
	const orange = "arithmetic from " + orangeCounty
	wide := both(estimate.Window, size(35, 47), size(36, 48))
	run(t, []check{
		{orange + "190 in of 3/16, as deep as wide", nil, window(35.5, 59.5), "sealant-10-paint", []string{"6.680 in3"}},
		{orange + "190 in of 3/8 x 1/4", []string{"caulk joint=3/8"}, window(35.5, 59.5), "sealant-10-paint", []string{"17.813 in3"}},
		{`"Architectural Detailing", on northernarchitecture.us: under 1/4 in no rod`, nil, window(35.5, 59.5), "rod-3-8", nil},
		{rodNote + "1/4 takes 3/8", []string{"caulk joint=1/4"}, window(35.5, 59.5), "rod-3-8", []string{"190 in"}},
		{rodNote + "3/8 takes 1/2", []string{"caulk joint=3/8"}, window(35.5, 59.5), "rod-1-2", []string{"190 in"}},
		{orange + "a door's threshold front stays open: 36 + 2 x 80", nil, flanged("integral", entryDoor(36, 80)), "sealant-10-paint", []string{"6.891 in3"}},
		{"arithmetic: foam of 168 in x 1/2 x 1", nil, wide, "foam-low", []string{"84.000 in3"}},
		{airSealing + "jambs and head of a door, never under its threshold", nil, entryDoor(36, 80), "foam-low", []string{"40.250 in3", "18.250 in3"}},
		{"no foam round an overhead door: common practice, no source", nil, overheadDoor(192, 84), "foam-low", nil},
		{rodNote + "gaps of 1/4 and 1/2 take 3/8 and 5/8", nil, entryDoor(36, 80), "rod-5-8", []string{"36-1/2 in"}},
	})
	take := mustTake(t, shipped(t), window(35.5, 59.5))
	i := slices.IndexFunc(take.Requirements, func(r estimate.Requirement) bool { return r.Rule == "joint" })
	assert.Contains(t, take.Requirements[i].Inputs, "narrower than the sealant specifications ask")
}

func locatingFlange(t *testing.T) {
	const points = "common practice, no source: shims and screws 16 in apart, "
	run(t, []check{
		{"the flange only locates", nil, flanged("applied (locating only)", window(35.5, 47.5)), "flange-nail", nil},
		{points + "4 a jamb of 47-1/2", nil, flanged("applied (locating only)", window(35.5, 47.5)), "jamb-screw", []string{"8"}},
		{points + "pairs, and 3 under the sill", nil, flanged("applied (locating only)", window(35.5, 47.5)), "shim", []string{"6", "16"}},
		{aama2400 + "5.7.3.4: seams at four corners, 4 in each; frame of 166 in; 132 behind the flange", nil,
			flanged("applied (locating only)", window(35.5, 47.5)), "sealant-10", []string{"14.579 in3", "8.149 in3", "0.785 in3"}},
		{"from memory: nails 8 in apart", nil, window(35.5, 47.5), "flange-nail", []string{"22"}},
		{"from memory: nails 8 in apart", nil, flanged("applied", window(35.5, 47.5)), "flange-nail", []string{"22"}},
		{"a nailed flange holds the unit", nil, window(35.5, 47.5), "jamb-screw", nil},
		{"the flange only locates", nil, flanged("applied (locating only)", patioDoor(72, 80)), "flange-nail", nil},
		{points + "6 a jamb of 80, 5 at the head of 72", nil, flanged("applied (locating only)", patioDoor(72, 80)), "jamb-screw", []string{"17"}},
	})
}

func levelFirst(t *testing.T) {
	const wedge = "arithmetic from the volume of a wedge: "
	door := on("slab", patioDoor(71.5, 80))
	run(t, []check{
		{measurePage + "within 1/8 in", nil, withRise(0.125, door), "leveling", nil},
		{wedge + "72 x 5-15/16 x 1/4 / 2", nil, withRise(0.25, door), "leveling", []string{"53.438 in3"}},
		{"a wooden sill is planed or tapered", nil, withRise(0.25, patioDoor(71.5, 80)), "leveling", nil},
		{"not measured, not levelled", nil, door, "leveling", nil},
	})
	always := with(t, shipped(t), row{"Item": "leveling", "Rule": "leveling"})
	assert.Empty(t, needs(mustTake(t, always, withRise(0.125, door)), "leveling"), "within tolerance, whatever a detail says")
	take, problems := takeOff(shipped(t), withRise(0.25, on("slab", patioDoor(72, 80))))
	assert.Equal(t, "leveling", take.Requirements[0].Rule, "before the pan is glued down")
	assert.Contains(t, strings.Join(lines(problems), "\n"), "sill 1/4 in out of level: a square frame would lean 9/32 in",
		"arithmetic from similar triangles: 80 x 1/4 / 72 = 0.2778")
	_, problems = takeOff(shipped(t), withRise(0.125, door))
	assert.NotContains(t, strings.Join(lines(problems), "\n"), "out of level")
}

func nailLength(t *testing.T) {
	const guide = "arithmetic from " + trimGuide + "1-1/4 in into solid wood: "
	run(t, []check{
		{guide + "2-7/16", nil, window(35.5, 59.5), "trim-nail-8d", []string{"34"}},
		{guide + "2-1/2 exactly over 1/16", []string{"outside insulation=1/16"}, window(35.5, 59.5), "trim-nail-8d", []string{"34"}},
		{guide + "2-15/16 over 1/2 in insulation", []string{"outside insulation=1/2"}, window(35.5, 59.5), "trim-nail-10d", []string{"34"}},
		{guide + "3-7/16 over 1 in insulation", []string{"outside insulation=1"}, window(35.5, 59.5), "trim-nail-16d", []string{"34"}},
	})
	take, problems := takeOff(shipped(t, "outside insulation=1-1/2", "WRB plane=sheathing", "nail penetration=1-3/8"), window(35.5, 59.5))
	assert.Equal(t, []string{"job.xlsx: Openings!W2: W1: trim nails of 4-1/16 in are longer than any on Items (add a longer nail or screw to Items)"},
		serious(problems))
	assert.Empty(t, needs(take, "trim-nail-16d"), "no nail that is too short")
}

func doorLegs(t *testing.T) {
	const source = "arithmetic from geometry: h + g + leg drop - clearance "
	door := func(sits estimate.SitsOn, drop float64) estimate.Opening {
		return change(on(sits, entryDoor(37.5, 81.75)), func(o *estimate.Opening) { o.LegDrop = estimate.Given(in(drop)) })
	}
	run(t, []check{
		{source + "(2 in above concrete: from memory)", nil, door("slab", 4.5), "board-1x4", []string{"2 x 84-7/16"}},
		{source + "(6 in to soil: " + code + "R317.1)", []string{"leg clearance slab=6"}, door("slab", 4.5), "board-1x4", []string{"2 x 80-7/16"}},
		{source + "by material", []string{"leg clearance slab=6"}, door("wood", 4.5), "board-1x4", []string{"2 x 84-7/16"}},
	})
	measured := change(entryDoor(37.5, 81.75), func(o *estimate.Opening) { o.Status, o.Measured = "set", size(37.5, 81.75) })
	take := mustTake(t, shipped(t), measured)
	require.Len(t, take.Holds, 1)
	assert.Equal(t, "no leg drop", take.Holds[0].Why)
	for _, r := range take.Requirements {
		assert.Equal(t, r.Rule == "frame" || r.Item == "drip-cap", r.Held != "", "%s %s", r.Rule, r.Item)
	}
}

func headFlashing(t *testing.T) {
	const past = "common practice, no source: head board + 1/4 each end"
	for _, o := range []estimate.Opening{window(35.5, 59.5), entryDoor(36, 80), patioDoor(72, 80), overheadDoor(192, 84)} {
		take := mustTake(t, shipped(t), o)
		assert.Len(t, needs(take, "drip-cap"), 1, "%s: always on", o.Kind)
		assert.Contains(t, rulesOf(take, "drip-cap"), "run")
		assert.NotEmpty(t, needs(take, "tape-4"), "%s: the cap's upper leg needs its strip", o.Kind)
	}
	run(t, []check{
		{past, nil, window(35.5, 59.5), "drip-cap", []string{"1 x 45-3/8"}},
		{"common practice, no source: strip 1 past the cap each end; its flap held by two of 6 until then, and two slits of 12", nil, window(35.5, 59.5), "tape-4",
			[]string{"2 x 6", "1 x 45-3/8", "2 x 12"}},
		{ontario + "9.27.3.8.(3): the waiver is the job's", []string{"head flashing=OBC 9.27.3.8.(3)"}, window(35.5, 59.5), "drip-cap", nil},
	})
	for _, r := range shippedRows(t, "settings.csv") {
		if r["key"] == "head flashing" {
			assert.Equal(t, "yes", r["value"])
			assert.Contains(t, r["source"], "9.27.3.8", "the waiver names its code")
		}
	}
}

// rulesOf returns the rules that asked for an item.
func rulesOf(take estimate.Takeoff, item string) []string {
	var out []string
	for _, r := range take.Requirements {
		if r.Item == item {
			out = append(out, r.Rule)
		}
	}
	return out
}

func trimRoundUnit(t *testing.T) {
	larger := change(window(35.5, 59.5), func(o *estimate.Opening) {
		o.Status, o.Readings = "set", []estimate.Reading{read([3]float64{35.5, 35.5625, 35.5}, [3]float64{59.5, 59.5, 59.5625})}
	})
	run(t, []check{
		{"arithmetic from geometry: the largest outside reading, 1/16 over each way", nil, larger, "board-1x4",
			[]string{"1 x 42-15/16", "2 x 63-7/16", "1 x 35-15/16"}},
		{"arithmetic from geometry: a 16 ft head is asked as one board, 192 + 3/8 + 2 x 5-1/2", nil, overheadDoor(192, 84), "board-1x6",
			[]string{"1 x 203-3/8", "2 x 84-3/16"}},
	})
	job := shipped(t).Job
	assert.Equal(t, size(96, 120), job.LargestFrame, "common practice, no source: the largest frame to carry")
	for _, r := range shippedRows(t, "items.csv") {
		if r["class"] == "boards" {
			assert.NotEqual(t, "yes", r["joint"], "%s: a longer board before a joint", r["key"])
		}
	}
}

func sparesNotPercent(t *testing.T) {
	job := shipped(t).Job
	assert.Equal(t, []int64{1, 1}, []int64{job.SpareBoards, job.SpareTape}, "common practice, no source")
	for _, r := range shippedRows(t, "items.csv") {
		if r["buy"] == "cut" {
			assert.Empty(t, r["waste"], "%s is cut: it gets a spare", r["key"])
		} else if r["waste"] != "" {
			assert.Contains(t, job.Allowance, r["waste"], r["key"])
		}
		if slices.Contains([]string{"pvc-cement", "wood-glue", "touch-up"}, r["key"]) {
			assert.Equal(t, []string{"each", "each", ""}, []string{r["need"], r["coverage unit"], r["waste"]}, "%s: one can up to a number of joints", r["key"])
			assert.NotEmpty(t, r["coverage"], r["key"])
		}
	}
	one := mustTake(t, shipped(t, "waste sealant=0", "spare boards=0"), window(35.5, 59.5))
	two := mustTake(t, shipped(t, "waste sealant=50", "spare boards=9"), window(35.5, 59.5))
	assert.Equal(t, one, two, "a takeoff is what goes in, with nothing added")
}

// TestFluidPan: a fluid-applied pan covers what flashing tape would, and the rest of
// the detail is that of a pan.
func TestFluidPan(t *testing.T) {
	b := shipped(t, "pan window=fluid-applied", "stud depth=5-1/2", "sheathing=7/16", "face lap=2")
	found := map[string]estimate.Requirement{}
	for _, r := range mustTake(t, b, window(35.5, 59.5)).Requirements {
		found[r.Do] = r
	}
	coat := found["Fluid-applied pan: fill joints and inside corners, then two coats over the sill, up the jambs and down the face"]
	assert.Equal(t, "fluid-flashing", coat.Item)
	// Arithmetic: the opening of 36 in and 6 in up each jamb, 48 in; 5-1/2 + 7/16 + 2 in wide.
	assert.Equal(t, int64(measure.AreaOf(in(48), in(7.9375))), coat.Amount, coat.Inputs)
	assert.Contains(t, found, "Slope the sill: beveled sill shim")
	assert.Contains(t, found, "Bead behind the flange, head and jambs; sill open to drain")
	assert.NotContains(t, found, "Sill flashing, turned up the jambs and down the face")

	door := entryDoor(36, 80)
	door.Pan = estimate.PanFluid
	_, problems := takeOff(b, door)
	assert.Contains(t, fmt.Sprint(problems), "a fluid-applied pan under a door has no back dam and no slope")
}

// TestFinishAfterTrim: caulk and touch-up wait for the finish date, and for the trim
// date where no other is typed.
func TestFinishAfterTrim(t *testing.T) {
	for _, c := range []struct{ changes, want string }{
		{"trim date=2026-12-01", "2026-12-01"}, {"trim date=2026-12-01;finish date=2026-12-08", "2026-12-08"}, {"install date=2026-11-20", ""},
	} {
		b := shipped(t, strings.Split(c.changes, ";")...)
		day, known := b.Job.FirstDay(estimate.PhaseFinish)
		assert.Equal(t, c.want != "", known, c.changes)
		if known {
			assert.Equal(t, c.want, day.String(), c.changes)
		}
	}
	phases := map[string]estimate.Phase{}
	for _, r := range mustTake(t, shipped(t), window(35.5, 59.5)).Requirements {
		phases[r.Do] = r.Phase
	}
	assert.Equal(t, estimate.PhaseFinish, phases["Seal trim to frame; keep weeps clear"])
	assert.Equal(t, estimate.PhaseFinish, phases["Touch up"])
	assert.Equal(t, estimate.PhaseTrim, phases["Nail the trim in pairs"])
}

func coldOnSite(t *testing.T) {
	cold := map[string]bool{}
	for _, r := range shippedRows(t, "items.csv") {
		cold[r["key"]] = r["min temp f"] != ""
		if cold[r["key"]] {
			assert.Equal(t, "site", r["where"], "%s: the shop is warm", r["key"])
		}
	}
	take := mustTake(t, shipped(t, "prime for tape=yes"), window(35.5, 59.5), on("slab", entryDoor(36, 80)))
	shop := map[string]bool{}
	for _, r := range take.Requirements {
		assert.False(t, r.Phase == "shop" && cold[r.Item], "%s is used in the shop", r.Item)
		shop[r.Item] = r.Phase == "shop"
	}
	for _, item := range []string{"board-1x4", "pocket-screw-1-1-4", "wood-glue", "end-primer"} {
		assert.True(t, shop[item], item)
	}
	for _, item := range []string{"tape-9", "pvc-cement", "foam-low", "sealant-10", "touch-up"} {
		assert.True(t, cold[item] && !shop[item], item)
	}
}

func noLabor(t *testing.T) {
	const why = "old tables may be three times a small crew's time"
	labor := regexp.MustCompile(`\b(labou?r|hours?|crew|wages?)\b`)
	keys := []string{}
	for _, r := range shippedRows(t, "items.csv") {
		keys = append(keys, r["key"])
	}
	for _, words := range [][]string{keys, estimate.RuleNames()} {
		assert.NotEmpty(t, words)
		assert.NotRegexp(t, labor, strings.Join(words, ", "), why)
	}
	var settings []string
	for _, r := range shippedRows(t, "settings.csv") {
		if labor.MatchString(r["key"]) {
			settings = append(settings, r["key"])
			assert.Empty(t, r["value"], "%s: the crew types it", r["key"])
		}
	}
	assert.Equal(t, []string{"labor rate", "range of hours"}, settings)
	for _, r := range shippedRows(t, "labor.csv") {
		assert.NotContains(t, r, "hours", why)
	}
	take := mustTake(t, shipped(t), window(35.5, 59.5), entryDoor(36, 80))
	lines, problems := estimate.Labor(shipped(t, "labor rate=65").Job, shippedLabor(t), take)
	assert.Len(t, problems, 1, "that no labor is in the price")
	assert.NotEmpty(t, lines)
	for _, l := range lines {
		assert.False(t, l.Hours.Set || l.Cost.Set, "%s, %s: a published figure is never used", l.Task.Task, l.Task.Kind)
	}
	assert.Zero(t, estimate.LaborCost(lines))
}

func cautions(t *testing.T) {
	const (
		guard   = "guard this opening"
		unknown = "sill height or height above grade not stated"
		lead    = "lead paint"
		lift    = "lift with two or more"
		osha    = federal + "29 CFR 1926.501(b)(14)"
		rrp     = federal + "40 CFR 745.83"
	)
	heights := func(story int64, sill, drop float64) estimate.Opening {
		return change(window(35.5, 47.5), func(o *estimate.Opening) {
			o.Story, o.SillHeight, o.Drop = estimate.Given(story), estimate.Given(in(sill)), estimate.Given(in(drop))
		})
	}
	story := func(n int64) estimate.Opening {
		return change(window(35.5, 47.5), func(o *estimate.Opening) { o.Story = estimate.Given(n) })
	}
	for _, c := range []struct {
		source  string
		changes []string
		opening estimate.Opening
		words   string
		want    bool
	}{
		{osha + ": sill 24, drop 11 ft", nil, heights(2, 24, 132), guard, true},
		{osha + ": sill 42", nil, heights(2, 42, 132), guard, false},
		{osha + ": sill 39 is not below 39", nil, heights(2, 39, 132), guard, false},
		{osha + ": drop of 6 ft", nil, heights(1, 24, 72), guard, true},
		{osha + ": not known upstairs is flagged", nil, story(2), unknown, true},
		{osha + ": not known on the ground is not", nil, story(1), unknown, false},
		{osha + ": known upstairs and safe", nil, heights(2, 42, 132), unknown, false},
		{rrp + ": a window of 1965 is never exempt", []string{"year built=1965"}, window(35.5, 47.5), lead, true},
		{rrp + ": 1977", []string{"year built=1977"}, window(35.5, 47.5), lead, true},
		{rrp + ": 1978 is not before 1978", []string{"year built=1978"}, window(35.5, 47.5), lead, false},
		{"not known is not old", nil, window(35.5, 47.5), lead, false},
		{"arithmetic from " + glassTables + "34 x 76 is 58.9 lb", nil, patioDoor(34, 76), lift, true},
		{"arithmetic from " + glassTables + "35-1/2 x 47-1/2 is 38 lb", nil, window(35.5, 47.5), lift, false},
		{code + "R703.4.1: a pan is the default", nil, panned("none", patioDoor(72, 80)), "the code default is a pan", true},
		{overheadPans + "none under an overhead door", nil, overheadDoor(192, 84), "the code default is a pan", false},
		{panMistakes + "a door on tape alone", nil, panned("flexible", patioDoor(72, 80)), "no back dam and no slope", true},
		{"a shape in the notes", nil, change(window(35.5, 47.5), func(o *estimate.Opening) { o.Notes = "Arch-Top, by the stair" }), `"arch top": its flashing is estimated as that of a rectangle, and no trim is planned`, true},
		{"a style that is a shape", nil, change(window(35.5, 47.5), func(o *estimate.Opening) { o.Extra = []estimate.ExtraCell{{Header: "Style", Text: "Round"}} }),
			`"Round": its flashing is estimated as that of a rectangle, and no trim is planned`, true},
		{"round is a word, arch an architect", nil, change(window(35.5, 47.5), func(o *estimate.Opening) { o.Notes = "caulk all round, see arch drawings" }), "rectangle", false},
		{"a window's strip lies on a slope", nil, window(35.5, 47.5), "no back dam and no slope", false},
	} {
		_, problems := takeOff(shipped(t, c.changes...), c.opening)
		assert.Equal(t, c.want, strings.Contains(strings.Join(lines(problems), "\n"), c.words), "%s: %v", c.source, lines(problems))
	}
	standing := strings.Join(estimate.StandingCautions, "\n")
	for _, words := range []string{"Local code", "Springs of overhead doors", "silica", "Bare aluminum", "ladder"} {
		assert.Contains(t, standing, words)
	}
}

func mulls(t *testing.T) {
	three := joined(85.5, 3, 24, 36, 24)
	three.Mark = "W1"
	run(t, []check{
		{"arithmetic from geometry: head over three units, two mulls of h", nil, three, "board-1x4",
			[]string{"1 x 92-7/8", "2 x 63-3/8", "1 x 85-7/8", "2 x 59-7/8"}},
		{"arithmetic: the sill tape is one piece over all units, 86 + 12", nil, three, "tape-9-flexible", []string{"1 x 98"}},
		{"arithmetic: a bridge of 6 in at the head of each mull; jambs; one head strip", nil, three, "tape-9", []string{"2 x 6", "2 x 77", "1 x 104"}},
		{"common practice, no source: clips at head and foot of each mull, in pairs", nil, three, "jamb-screw", []string{"8"}},
	})
	take := mustTake(t, shipped(t), three)
	o := take.Openings[0]
	assert.Equal(t, in(0.75), o.Mull, "arithmetic: 85-1/2 less 84, over 2")
	assert.Equal(t, []measure.Length{in(24.5625), in(61.3125)}, estimate.MullCenters(o.Widths, o.Mull, in(0.1875)), "arithmetic from geometry")

	equal := mustTake(t, shipped(t), joined(85.5, 3)).Openings[0]
	assert.Equal(t, []measure.Length{in(28), in(28), in(28)}, equal.Widths, "equal units need no widths")

	for _, frame := range []float64{83, 90} { // joints of -1/2 and 3 in
		_, problems := takeOff(shipped(t), joined(frame, 3, 24, 36, 24))
		assert.Equal(t, 1, estimate.Errors(problems), "%v", lines(problems))
	}
}
