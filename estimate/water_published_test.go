package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// The tables of this file put a source's own numbers through the one function of its
// rule: they hold its arithmetic alone, and most only add. What a shipped detail makes of
// them, edges, widths and conditions included, stands in TestOpeningFiguresPublished and
// TestTrimFrameWorked, and .ci/recompute.py --every-rule works each rule out again.

func TestTapeLengthPublished(t *testing.T) {
	for _, c := range []struct {
		source              string
		edge, first, second float64
		want                float64
	}{
		{aama2400 + "5.7.3.2 and note 3: head and sill, 9 in strip", 36, 9, 9, 54},
		{aama2400 + "5.7.3.2 and note 3: head and sill, 6 in strip", 36, 6, 6, 48},
		{aama2400 + "5.7.3.2 and note 3: head and sill, 4 in strip", 36, 4, 4, 44},
		{aamaEnds + "jamb, 9 in strip, 1/2 in short", 48, 8.5, 8.5, 65},
		{aamaEnds + "jamb, 6 in strip, 1/2 in short", 48, 5.5, 5.5, 59},
		{aamaEnds + "jamb, 4 in strip, 1/2 in short", 48, 3.5, 3.5, 55},
		{flashedWindow + "turned-up sill strip, opening + 12 in", 36, 6, 6, 48},
		{leakFree + "at least 4 in up each jamb", 36, 4, 4, 44},
		{"arithmetic from " + flashedWindow + "patio door", 72, 6, 6, 84},
		{threeBeads + "bead across the sill, 2 in up each jamb", 38.5, 2, 2, 42.5},
	} {
		assert.Equal(t, in(c.want), estimate.TapeLength(in(c.edge), in(c.first), in(c.second)), c.source)
	}
}

func TestSillRunsPublished(t *testing.T) {
	for _, c := range []struct {
		source                    string
		depth, face, width, strip float64
		want                      int64
	}{
		{"arithmetic from " + code + "R703.2 (2 in laps): 2x6 wall, 6 in strip", 5.9375, 2, 6, 2, 2},
		{"arithmetic from " + code + "R703.2: 2x4 wall, 6 in strip", 3.9375, 2, 6, 2, 1},
		{"arithmetic from " + code + "R703.2: 2x6 wall, 9 in strip", 5.9375, 2, 9, 2, 1},
		{"arithmetic from " + code + "R703.2: 2x6 wall, 4 in strip", 5.9375, 2, 4, 2, 3},
		{"arithmetic from " + code + "R703.2: exactly two runs", 8, 2, 6, 2, 2},
		{"arithmetic: a strip no wider than its lap covers nothing", 5.9375, 2, 2, 2, 0},
	} {
		assert.Equal(t, c.want, estimate.SillRuns(in(c.depth), in(c.face), in(c.width), in(c.strip)), c.source)
	}
}

func TestDamPressurePublished(t *testing.T) {
	const dam = ontario + "appendix A-9.27.3.8.(5)"
	for _, c := range []struct {
		source   string
		heightMM float64
		want     int64
	}{
		{dam + ": its own example", 20, 200},
		{dam + ": 10 Pa lift water 1 mm", 1, 10},
		{dam + ` at 575 Pa (Rural Builder, "New Standard Practice for Installation of Exterior Doors in Coastal Areas")`, 57.5, 575},
		{"arithmetic from " + dam + ": a 1 in dam", 25.4, 254},
		{"arithmetic from " + dam + ": never more than it holds", 1.19, 11},
		{"no dam holds nothing", 0, 0},
	} {
		assert.Equal(t, c.want, estimate.DamPressure(in(c.heightMM/25.4)), c.source)
	}
	water := 12 * 12 / 62.4 // in of water that 12 psf lift
	assert.InEpsilon(t, 575, estimate.DamPressure(in(water)), 0.025, "arithmetic from the weight of water: the code's 10 Pa is a rounding")
}

func TestJointDepthPublished(t *testing.T) {
	const half = orangeCounty + "half the width, 1/4 to 1/2"
	for _, c := range []struct {
		source      string
		width, want float64
	}{
		{half, 0.25, 0.25},
		{half, 0.375, 0.25},
		{half, 0.5, 0.25},
		{half, 0.75, 0.375},
		{half, 1, 0.5},
		{half, 1.25, 0.5},
		{orangeCounty2 + "never deeper than wide", 0.1875, 0.1875},
		{orangeCounty2 + "never deeper than wide", 0.125, 0.125},
	} {
		assert.Equal(t, in(c.want), estimate.JointDepth(in(c.width)), "%v in: %s", c.width, c.source)
	}
}

// TestCoverageTable holds the exact coverage table against the product twice:
// the volume of a foot, and the volume of the feet that a container yields.
func TestCoverageTable(t *testing.T) {
	const (
		half   = 0.005 // of the last place printed
		source = "arithmetic from " + handbook44 + "231 in3 a gallon: "
	)
	containers := [5]float64{231, 18.2273, 36.0938, 52.3359, 36.6142} // gal, 10.1, 20, 29 fl oz, 600 mL
	for _, c := range []struct {
		source  string
		section measure.Area
		perFoot float64
		feet    [5]float64 // 0: not printed
	}{
		{"1/8 x 1/8", section(0.125, 0.125), 0.1875, [5]float64{1232, 97.21, 192.50, 279.12, 195.28}},
		{"3/16 x 3/16", section(0.1875, 0.1875), 0.421875, [5]float64{547.56, 43.21, 85.56, 124.06, 86.79}},
		{"1/4 x 1/8", section(0.25, 0.125), 0.375, [5]float64{616, 48.61, 96.25, 139.56, 97.64}},
		{"1/4 x 1/4", section(0.25, 0.25), 0.75, [5]float64{308, 24.30, 48.12, 69.78, 48.82}},
		{"3/8 x 1/4", section(0.375, 0.25), 1.125, [5]float64{205.33, 16.20, 32.08, 46.52, 32.55}},
		{"1/2 x 1/4", section(0.5, 0.25), 1.5, [5]float64{154, 12.15, 24.06, 34.89, 24.41}},
		{"1/2 x 3/8", section(0.5, 0.375), 2.25, [5]float64{102.67, 8.10, 16.04, 23.26, 16.27}},
		{"5/8 x 5/16", section(0.625, 0.3125), 2.34375, [5]float64{98.56, 7.78, 15.40, 22.33, 15.62}},
		{"3/4 x 3/8", section(0.75, 0.375), 3.375, [5]float64{68.44, 5.40, 10.69, 15.51, 10.85}},
		{"1 x 1/2", section(1, 0.5), 6, [5]float64{38.50, 3.04, 6.02, 8.72, 6.10}},
		{"fillet 1/4", estimate.FilletArea(in(0.25)), 0.375, [5]float64{616, 48.61, 96.25, 139.56, 0}},
		{"fillet 3/8", estimate.FilletArea(in(0.375)), 0.84375, [5]float64{273.78, 21.60, 42.78, 62.03, 0}},
		{"fillet 1/2", estimate.FilletArea(in(0.5)), 1.5, [5]float64{154, 12.15, 24.06, 34.89, 0}},
		{"round 1/4", estimate.RoundArea(in(0.25)), 0.5890, [5]float64{392.16, 30.94, 61.27, 88.85, 0}},
		{"round 3/8", estimate.RoundArea(in(0.375)), 1.3254, [5]float64{174.29, 13.75, 27.23, 39.49, 0}},
		{"round 1/2", estimate.RoundArea(in(0.5)), 2.3562, [5]float64{98.04, 7.74, 15.32, 22.21, 0}},
	} {
		assert.InDelta(t, c.perFoot, cubicInches(estimate.BeadVolume(measure.Foot, c.section)), 0.00005, source+c.source)
		for i, feet := range c.feet {
			if feet > 0 {
				assert.InDelta(t, containers[i], cubicInches(estimate.BeadVolume(in(12*feet), c.section)), 1.1*half*c.perFoot, "%s%s, container %d", source, c.source, i)
			}
		}
	}
}

func TestBeadVolumePublished(t *testing.T) {
	const orange = "arithmetic from " + orangeCounty + "joint 3/8 x 1/4 round 36 x 48"
	for _, c := range []struct {
		source  string
		length  float64
		section measure.Area
		want    float64
	}{
		{orange, 168, section(0.375, 0.25), 15.75},
		{orange + ", twenty openings", 20 * 168, section(0.375, 0.25), 315},
		{bedding + "head and jambs of 36 x 48, round 3/8", 132, estimate.RoundArea(in(0.375)), 14.579},
		{"the same bead taken as 3/8 square", 132, section(0.375, 0.375), 18.5625},
	} {
		assert.InDelta(t, c.want, cubicInches(estimate.BeadVolume(in(c.length), c.section)), 0.0005, c.source)
	}
	assert.Equal(t, in(168), size(36, 48).Perimeter(), "arithmetic: all round a 36 x 48 opening")
}

// TestCartridges counts whole containers for a job: they are rounded up once,
// at the end, which makes twenty openings a close case.
func TestCartridges(t *testing.T) {
	need := estimate.BeadVolume(in(20*168), section(0.375, 0.25)) // 315 in3
	for _, c := range []struct {
		source    string
		allowance measure.Rate
		content   measure.Volume
		want      int64
	}{
		{"arithmetic from " + handbook44 + "10.1 fl oz, nothing added", 0, 298_692_648, 18},
		{"arithmetic from " + handbook44 + "10.1 fl oz, 5 %", 50_000, 298_692_648, 19},
		{"arithmetic from " + handbook44 + "10.1 fl oz, 10 %", 100_000, 298_692_648, 20},
		{"arithmetic from " + handbook44 + "10.1 fl oz, 15 %", 150_000, 298_692_648, 20},
		{"arithmetic: 300 mL, 10 %", 100_000, 300_000_000, 19},
	} {
		got := measure.Packs(measure.MulDiv(int64(need), int64(measure.One+c.allowance), int64(measure.One)), int64(c.content))
		assert.Equal(t, c.want, got, c.source)
	}
}

func TestRodDiameterPublished(t *testing.T) {
	for _, c := range []struct {
		source      string
		width, want float64
	}{
		{rodNote, 0.25, 0.375},
		{rodNote, 0.375, 0.5},
		{rodNote, 0.5, 0.625},
		{rodNote, 0.625, 0.75},
		{rodNote + "from 3/4 up a quarter larger", 0.75, 0.9375},
		{rodNote + "from 3/4 up a quarter larger", 1, 1.25},
	} {
		assert.Equal(t, in(c.want), estimate.RodDiameter(in(c.width)), "%v in: %s", c.width, c.source)
	}
}

func TestCavityVolumePublished(t *testing.T) {
	for _, c := range []struct {
		source             string
		length, gap, depth float64
		want               float64
	}{
		{flangedWindow + "168 in x 1/2 x 1", 168, 0.5, 1, 84},
		{"arithmetic from " + flangedWindow + "gap 1/4", 168, 0.25, 1, 42},
	} {
		assert.InDelta(t, c.want, cubicInches(estimate.CavityVolume(in(c.length), in(c.gap), in(c.depth))), 1e-6, c.source)
	}
}

func TestLeanPublished(t *testing.T) {
	for _, c := range []struct {
		source              string
		width, height, rise float64
		want                float64
	}{
		{"arithmetic from similar triangles: slider 72 x 80, 1/4 out", 72, 80, 0.25, 0.2778},
		{"arithmetic from similar triangles: door 36 x 80, 1/8 out", 36, 80, 0.125, 0.2778},
		{"arithmetic: a level sill", 36, 80, 0, 0},
		{"arithmetic: no width, no lean to tell", 0, 80, 0.125, 0},
	} {
		assert.InDelta(t, c.want, inches(estimate.Lean(in(c.width), in(c.height), in(c.rise))), 0.00005, c.source)
	}
}

func TestLevelingVolumePublished(t *testing.T) {
	for _, c := range []struct {
		source             string
		width, depth, rise float64
		want               float64
	}{
		{"arithmetic from the volume of a wedge", 72, 6, 0.25, 54},
		{"arithmetic from the volume of a wedge: 36 x 4-9/16", 36, 4.5625, 0.25, 20.53125},
	} {
		assert.InDelta(t, c.want, cubicInches(estimate.LevelingVolume(in(c.width), in(c.depth), in(c.rise))), 1e-6, c.source)
	}
}

func TestLapPiecesPublished(t *testing.T) {
	for _, c := range []struct {
		source          string
		length, longest float64
		lap             measure.Length
		pieces          int
		used            float64
	}{
		{metalLaps + "sealed lap 100 mm", 194, 120, 100 * measure.Millimeter, 2, 197.94},
		{metalLaps + "unsealed lap 150 mm", 194, 120, 150 * measure.Millimeter, 2, 199.91},
		{"arithmetic from " + metalLaps + "no lap below the brake length", 120, 120, 100 * measure.Millimeter, 1, 120},
		{"arithmetic from " + metalLaps + "two full pieces with a 4 in lap", 236, 120, in(4), 2, 240},
		{"arithmetic from " + metalLaps + "a third piece beyond that", 237, 120, in(4), 3, 245},
		{"arithmetic: a brake no longer than the lap bends nothing", 194, 4, in(4), 0, 0},
	} {
		var used measure.Length
		pieces := estimate.LapPieces(in(c.length), in(c.longest), c.lap)
		for _, p := range pieces {
			used += p
			assert.LessOrEqual(t, p, in(c.longest), c.source)
			assert.Positive(t, p, c.source)
		}
		assert.Len(t, pieces, c.pieces, c.source)
		assert.InDelta(t, c.used, inches(used), 0.005, c.source)
	}
}

func TestMetalPanPublished(t *testing.T) {
	const sixPercent measure.Rate = 60_000
	const slope = "CSA Group, A440.4, by a maker's page (makers are not named here): slope 6 %, "
	for _, c := range []struct {
		source      string
		depth, want float64
	}{
		{slope + "fall over 5-1/2", 5.5, 0.33},
		{slope + "fall over 3-1/2", 3.5, 0.21},
		{slope + "fall over 4-9/16", 4.5625, 0.274},
		{slope + "fall over 6-9/16", 6.5625, 0.394},
	} {
		assert.InDelta(t, c.want, inches(in(c.depth).Scale(sixPercent)), 0.0005, c.source)
	}
	assert.InDelta(t, 8.510, inches(estimate.BentBlank(in(0.5), in(1.5), in(5.5), in(1), sixPercent)), 0.0005,
		"arithmetic from geometry: hem 1/2, front 1-1/2, depth 5-1/2, back 1")
	assert.Equal(t, in(194), estimate.BentLength(in(192), in(1)), "arithmetic from geometry: 192 and a 1 in dam at each end")
}

func TestRigidPanPublished(t *testing.T) {
	for _, c := range []struct {
		source          string
		width, end, lap float64
		want            float64
	}{
		{panKit + "swing door", 38.5, 8, 1.5, 25.5},
		{panKit + "patio door", 74, 8, 1.5, 61},
		{"arithmetic from it: the ends just meet with their laps", 13, 8, 1.5, 0},
	} {
		assert.Equal(t, in(c.want), estimate.PanMiddle(in(c.width), in(c.end), in(c.lap)), c.source)
	}
	for _, c := range []struct {
		source          string
		middle, longest float64
		couplers, laps  int64
	}{
		{panKit + "25-1/2 from a 3-0 middle", 25.5, 36, 0, 2},
		{panKit + "61 from a 6-0 middle", 61, 72, 0, 2},
		{"arithmetic: exactly one section", 36, 36, 0, 2},
		{"arithmetic: two sections", 61, 36, 1, 4},
		{"arithmetic: three sections", 109, 54, 2, 6},
		{"arithmetic: the ends meet, no middle", 0, 36, 0, 2},
	} {
		n := estimate.PanCouplers(in(c.middle), in(c.longest))
		assert.Equal(t, c.couplers, n, c.source)
		assert.Equal(t, c.laps, estimate.PanLaps(n), c.source)
	}
}

func TestGuardPublished(t *testing.T) {
	const osha = federal + "29 CFR 1926.501(b)(14): sill below 39 in, drop of 6 ft or more"
	for _, c := range []struct {
		source     string
		sill, drop float64
		want       bool
	}{
		{osha, 24, 132, true},
		{osha, 42, 132, false},
		{osha + "; 39 is not below 39", 39, 132, false},
		{osha + "; 6 ft is 6 ft", 24, 72, true},
		{osha, 24, 71.9375, false},
	} {
		assert.Equal(t, c.want, estimate.GuardNeeded(in(c.sill), in(c.drop)), "sill %v, drop %v: %s", c.sill, c.drop, c.source)
	}
}

func TestGlassWeightPublished(t *testing.T) {
	for _, c := range []struct {
		source string
		w, h   float64
		lites  int64
		want   float64
	}{
		{"arithmetic from " + glassTables + "1.64 lb/ft2, panel 34 x 76, two lites", 34, 76, 2, 58.9},
		{glassTables + "a square foot of 1/8 in glass", 12, 12, 1, 1.64},
	} {
		got := float64(estimate.GlassWeight(size(c.w, c.h).Area(), c.lites)) / 100
		assert.InDelta(t, c.want, got, 0.05, c.source)
	}
}

// TestLargestSash. Source: arithmetic; a patio door 6-0 x 6-8 has two panels
func TestLargestSash(t *testing.T) {
	for _, c := range []struct {
		name   string
		op     estimate.Operation
		frame  estimate.Size
		units  []measure.Length
		want   measure.Area
		isTold bool
	}{
		{"a hung window: half the height", estimate.DoubleHung, size(36, 60), nil, size(36, 30).Area(), true},
		{"a slider: half the width", estimate.Slider, size(72, 80), nil, size(36, 80).Area(), true},
		{"one sash", estimate.Casement, size(36, 60), nil, size(36, 60).Area(), true},
		{"mulled: the largest unit's", estimate.Casement, size(85, 60), []measure.Length{in(24), in(36), in(24)}, size(36, 60).Area(), true},
		{"a bay does not tell", estimate.Bay, size(96, 60), nil, 0, false},
		{"nor does a blank", "", size(36, 60), nil, 0, false},
	} {
		o := estimate.Sized{Opening: estimate.Opening{Operation: c.op, Frame: c.frame, Units: int64(max(1, len(c.units)))}, Widths: c.units}
		got := o.LargestSash()
		assert.Equal(t, c.isTold, got.Set, c.name)
		assert.Equal(t, c.want, got.V, c.name)
	}
}

// TestQuantitiesPublished: the definitions that every volume above rests on.
func TestQuantitiesPublished(t *testing.T) {
	for _, c := range []struct {
		source     string
		w, d, l    float64
		wantNL     int64
		wantPoured float64
	}{
		{handbook44 + "a gallon is 231 in3, 3.785411784 L", 11, 7, 3, 3_785_411_784, 231},
		{handbook44 + "a fluid ounce is 231/128 in3, 29.5735295625 mL", 1, 1, 1.8046875, 29_573_530, 1.8046875},
		{"definition of the inch: 1 in3 is 16.387064 mL", 1, 1, 1, 16_387_064, 1},
	} {
		v := measure.VolumeOf(section(c.w, c.d), in(c.l))
		assert.Equal(t, measure.Volume(c.wantNL), v, c.source)
		assert.InDelta(t, c.wantPoured, cubicInches(v), 1e-6, c.source)
	}
}

// TestOpeningFiguresPublished takes whole openings through the product.
func TestOpeningFiguresPublished(t *testing.T) {
	onSlab := entryDoor(38, 81.5) // opening 38-1/2
	onSlab.SitsOn, onSlab.Flange = "slab", "applied (locating only)"
	for _, c := range []struct {
		source  string
		changes []string
		opening estimate.Opening
		item    string
		want    []string
	}{
		{aama2400 + "5.7.3.2 (head 48); jambs from memory: 36 x 48, 6 in strip", []string{"tape wall=tape-6"}, window(35.5, 47.5), "tape-6",
			[]string{"2 x 59", "1 x 48"}},
		{aama2400 + "5.7.3.2 (head 54); jambs from memory: 36 x 48, 9 in strip", nil, window(35.5, 47.5), "tape-9", []string{"2 x 65", "1 x 54"}},
		{aama2400 + "5.7.3.2 (head 44); jambs from memory: 36 x 48, 4 in strip",
			[]string{"tape wall=tape-4", "WRB=integral", "head flashing=OBC 9.27.3.8.(3)"}, window(35.5, 47.5), "tape-4", []string{"2 x 55", "1 x 44"}},
		{bedding + "132 in of round 3/8 behind the flange of 36 x 48, sill open", nil, window(35.5, 47.5), "sealant-10", []string{"14.579 in3"}},
		{aama2400 + "5.7.3.4: all round without a pan, 168 in", []string{"pan window=none"}, window(35.5, 47.5), "sealant-10", []string{"18.555 in3"}},
		{threeBeads + "127-1/2 in under the pan; one more bead on its back dam; 201 in of round 1/4 seal the flange; 2 x 5 in at its feet", nil, onSlab,
			"sealant-10", []string{"14.082 in3", "4.694 in3", "9.867 in3", "1.104 in3"}},
		{installers + "16-0 x 7-0, head jamb 3 in longer than the door", nil, overheadDoor(192, 84), "jamb-2x6", []string{"2 x 84", "1 x 195"}},
		{"arithmetic: stop of a 16-0 x 7-0 door, W + 2H = 360 in", nil, overheadDoor(192, 84), "stop-seal", []string{"2 x 84", "1 x 192"}},
		{overheadPans + "no pan under an overhead door", []string{"pan patio door=rigid"}, overheadDoor(192, 84), "pan-90-4-9-16", nil},
	} {
		take := mustTake(t, shipped(t, c.changes...), c.opening)
		assert.Equal(t, c.want, needs(take, c.item), c.source)
	}
}
