package estimate_test

import (
	"math/rand"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestLayoutsByHand: every layout that ships, on three frame sizes, joint
// 3/16, horn 1, foot 2 in above the frame's: head, bottom, leg.
func TestLayoutsByHand(t *testing.T) {
	even := func(w, h float64) estimate.FrameSizes {
		s := frame(w, h, 3.5, 0, -2)
		s.Horn = in(1)
		return s
	}
	mixed := even(71.5, 79.5)
	mixed.HeadBoard, mixed.Bottom, mixed.Overhang = in(5.5), in(4.5), in(0.5)
	const hand = "arithmetic from geometry: "
	for _, c := range []struct {
		source string
		sizes  estimate.FrameSizes
		want   map[string][3]float64
	}{
		{hand + "35-1/2 x 59-1/2, boards 3-1/2: w 35-7/8, h 59-7/8", even(35.5, 59.5), map[string][3]float64{
			"head over legs":          {42.875, 35.875, 63.375},
			"legs through":            {35.875, 35.875, 66.875},
			"head and bottom through": {42.875, 42.875, 59.875},
			"mitered":                 {42.875, 42.875, 66.875},
			"three sided":             {42.875, 0, 57.6875},
			"pinwheel":                {39.375, 39.375, 63.375},
			"sill with horns":         {42.875, 44.875, 59.875},
		}},
		{hand + "24 x 36, boards 3-1/2: w 24-3/8, h 36-3/8", even(24, 36), map[string][3]float64{
			"head over legs":          {31.375, 24.375, 39.875},
			"legs through":            {24.375, 24.375, 43.375},
			"head and bottom through": {31.375, 31.375, 36.375},
			"mitered":                 {31.375, 31.375, 43.375},
			"three sided":             {31.375, 0, 34.1875},
			"pinwheel":                {27.875, 27.875, 39.875},
			"sill with horns":         {31.375, 33.375, 36.375},
		}},
		{hand + "71-1/2 x 79-1/2, head 5-1/2 past the legs 1/2, legs 3-1/2, bottom 4-1/2: w 71-7/8, h 79-7/8", mixed, map[string][3]float64{
			"head over legs":          {79.875, 71.875, 84.375},
			"legs through":            {71.875, 71.875, 89.875},
			"head and bottom through": {79.875, 78.875, 79.875},
			"mitered":                 {78.875, 78.875, 89.875},
			"three sided":             {79.875, 0, 77.6875},
			"sill with horns":         {79.875, 80.875, 79.875},
		}},
	} {
		for _, name := range shippedLayouts(t).Names() {
			want, asked := c.want[name]
			if !asked {
				require.Equal(t, "pinwheel", name, "it takes boards of one width; any other layout has its figures")
				continue
			}
			got := map[estimate.PieceName]float64{}
			for _, p := range shippedLayouts(t).Of(name) {
				got[p.Piece] = inches(estimate.PieceLength(p, c.sizes))
			}
			assert.Equal(t, want, [3]float64{got["head"], got["bottom"], got["leg"]}, "%s, %s", name, c.source)
			assert.Equal(t, inches(c.sizes.Inside().W), got["level mull"], "%s: a level mull stands between the legs", name)
			if name != "three sided" {
				assert.Equal(t, inches(c.sizes.Inside().H), got["mull"], "%s: a mull stands between head and bottom", name)
			}
		}
	}
}

// TestFrameInvariants on 10,000 random frames. With equal boards the pieces of
// a square-edged four-sided frame add up to 2 (W + H + 4g + 2b), mitered ones to
// 4b more over their long points; with boards of any width and joints of any
// width they cover what lies between the outside and the inside of the frame.
// Source: geometry.
func TestFrameInvariants(t *testing.T) {
	more := map[string]int64{"head over legs": 0, "legs through": 0, "head and bottom through": 0, "pinwheel": 0, "mitered": 4}
	layouts := shippedLayouts(t)
	random := rand.New(rand.NewSource(1))
	tape := func(upTo float64) measure.Length { // a mark of 1/64 in
		return measure.Length(random.Int63n(int64(64*upTo))+1) * measure.SixtyFourth
	}
	whole := func(name string, s estimate.FrameSizes, each func(p estimate.LayoutPiece, l measure.Length)) {
		for _, p := range layouts.Of(name) {
			if p.Board != "mull" {
				each(p, estimate.PieceLength(p, s))
			}
		}
	}
	for range 10_000 {
		b, gap := tape(12), tape(1)
		s := estimate.FrameSizes{Frame: estimate.Size{W: tape(240), H: tape(168)}, Gap: even(gap), HeadBoard: b, Leg: b, Bottom: b}
		for name, boards := range more {
			var sum measure.Length
			whole(name, s, func(p estimate.LayoutPiece, l measure.Length) { sum += measure.Length(p.Count) * l })
			require.Equal(t, 2*(s.Frame.W+s.Frame.H+4*gap+2*b)+measure.Length(boards)*b, sum, "%s: %+v", name, s)
		}
		s.Gap = estimate.Gaps{Head: tape(1), Legs: tape(1), Bottom: tape(1)}
		s.HeadBoard, s.Leg, s.Bottom = tape(12), tape(12), tape(12)
		width := map[estimate.Board]measure.Length{"head": s.HeadBoard, "leg": s.Leg, "bottom": s.Bottom}
		w, h := s.Inside().W, s.Inside().H
		ring := measure.AreaOf(w+2*s.Leg, h+s.HeadBoard+s.Bottom) - measure.AreaOf(w, h)
		for _, name := range []string{"head over legs", "legs through", "head and bottom through"} {
			var face measure.Area
			whole(name, s, func(p estimate.LayoutPiece, l measure.Length) {
				face += measure.Area(p.Count) * measure.AreaOf(l, width[p.Board])
			})
			require.InDelta(t, int64(ring), int64(face), 8, "%s: %+v", name, s) // a square micrometer a rounding
		}
	}
}

// TestCallSizeToFrame follows a 3050 window from its call size to its boards:
// opening 36 x 60, unit half an inch less, joint 3/16, boards 3-1/2.
func TestCallSizeToFrame(t *testing.T) {
	o := estimate.Opening{Mark: "W1", Kind: estimate.Window, Call: "3050"}
	take := mustTake(t, shipped(t, "call size window=opening"), o)
	assert.Equal(t, size(36, 60), take.Openings[0].Rough, windowSizes+"3050 is 3-0 x 5-0")
	assert.Equal(t, size(35.5, 59.5), take.Openings[0].TrimSize, doorSheet+"1/2 less")
	assert.Equal(t, []string{"1 x 42-7/8", "2 x 63-3/8", "1 x 35-7/8"}, needs(take, "board-1x4"), "arithmetic from geometry and "+navy14044)
}

// TestJointByBoard: each side takes the joint that its board wants, else the
// job's.
func TestJointByBoard(t *testing.T) {
	b := shipped(t, "head casing window=board-1x6", "bottom casing window=board-1x8")
	for _, want := range []struct {
		key string
		gap float64
	}{{"board-1x6", 0.25}, {"board-1x8", 0.5}} {
		it, _ := b.Items.Get(want.key)
		it.Gap = estimate.Given(in(want.gap))
		b.Items = estimate.NewItems(append(b.Items.List(), it))
	}
	take := mustTake(t, b, window(35.5, 59.5))
	assert.Equal(t, []string{"2 x 67-1/2"}, needs(take, "board-1x4"), "arithmetic: 59-1/2 + 1/4 + 1/2 + 7-1/4")
	assert.Equal(t, []string{"1 x 42-7/8"}, needs(take, "board-1x6"), "arithmetic: the legs keep 3/16")
	assert.Equal(t, []string{"4.438 in3", "4.184 in3", "2.219 in3"}, needs(take, "sealant-10-paint"),
		"arithmetic: 35-1/2 x 1/2 x 1/4; 119 x 3/16 x 3/16; 35-1/2 x 1/4 x 1/4")
	assert.Equal(t, []string{"35-1/2 in"}, needs(take, "rod-5-8"), "arithmetic: 1/2 takes rod of 5/8")
}

// TestPinwheelNeedsEqualBoards: unequal ones are refused with a problem.
func TestPinwheelNeedsEqualBoards(t *testing.T) {
	o := window(35.5, 59.5)
	o.Trim = "pinwheel"
	assert.Equal(t, []string{"1 x 39-3/8", "2 x 63-3/8", "1 x 39-3/8"}, needs(mustTake(t, shipped(t), o), "board-1x4"))
	take, problems := takeOff(shipped(t, "head casing window=board-1x6"), o)
	assert.Equal(t, []string{"job.xlsx: Openings!W2: W1: layout pinwheel needs boards of one width, but its head is 5-1/2 and its legs 3-1/2 " +
		"(check the layout, the trim set on Job and the sizes; the trim of this mark is not in the estimate)"}, serious(problems))
	assert.Empty(t, needs(take, "board-1x4"))
	assert.Empty(t, estimate.Frames(shipped(t, "head casing window=board-1x6"), take))
}

// TestMiters: corners take glue and nails, not pocket screws; a mull between
// takes its screws all the same.
func TestMiters(t *testing.T) {
	o := window(35.5, 59.5)
	o.Trim = "mitered"
	take := mustTake(t, shipped(t), o)
	assert.Empty(t, needs(take, "pocket-screw-1-1-4"))
	assert.Equal(t, []string{"4"}, needs(take, "wood-glue"), "four corners")
	assert.Equal(t, []string{"8"}, needs(take, "trim-nail-6d"), "common practice, no source: a nail from either board at each")
	assert.Equal(t, []string{"89.095 in2"}, needs(take, "end-primer"), "arithmetic: 8 ends of 3/4 x 3-1/2 sqrt 2, counted three times")

	o.Units = 2
	assert.Equal(t, []string{"4"}, needs(mustTake(t, shipped(t), o), "pocket-screw-1-1-4"), "the mull's two ends")

	for _, c := range []struct {
		source     string
		own, other float64
		tenths     int64
	}{
		{"geometry: equal boards", 3.5, 3.5, 450},
		{"geometry: 5-1/2 and 3-1/2, 32.47 degrees", 5.5, 3.5, 325},
		{"geometry: and 57.53", 3.5, 5.5, 575},
	} {
		assert.Equal(t, c.tenths, estimate.MiterAngle(in(c.own), in(c.other)), c.source)
	}
}

// TestStackedUnits: the joint is level, its board stands between the legs, and
// is measured from the head.
func TestStackedUnits(t *testing.T) {
	o := window(35.5, 60)
	o.Units, o.UnitHeights = 2, []measure.Length{in(19.25), in(40)}
	take := mustTake(t, shipped(t), o)
	assert.Equal(t, in(0.75), take.Openings[0].Mull, "arithmetic: 60 less 59-1/4")
	assert.Equal(t, []string{"1 x 42-7/8", "2 x 63-7/8", "1 x 35-7/8", "1 x 35-7/8"}, needs(take, "board-1x4"), "arithmetic: the last is the level mull, w")
	assert.Equal(t, []string{"2 x 6", "2 x 77-1/2", "1 x 54"}, needs(take, "tape-9"), "the flange gap is bridged at both ends of the joint")
	f := estimate.Frames(shipped(t), take)[0]
	assert.Equal(t, []measure.Length{in(19.8125)}, f.MullCenters, "arithmetic: 3/16 + 19-1/4 + 3/8")
	assert.Equal(t, "the underside of the head", f.MullFrom)
	assert.Equal(t, []estimate.Size{size(35.5, 19.25), size(35.5, 40)}, estimate.Receiving(take)[0].UnitSizes)

	for _, c := range []struct {
		why    string
		change func(o *estimate.Opening)
		want   string
	}{
		{"not one height a unit", func(o *estimate.Opening) { o.Units = 3 },
			"2 unit heights, but Mulled units is 3 (set Mulled units to the number stacked, and write one height a unit from the top down)"},
		{"nobody counted", func(o *estimate.Opening) { o.Units = 0 },
			"2 unit heights, but Mulled units is 1 (set Mulled units to the number stacked, and write one height a unit from the top down)"},
		{"a grid", func(o *estimate.Opening) { o.UnitWidths = []measure.Length{in(17), in(17)} },
			"both widths and heights of mulled units are given (write widths for units side by side, heights for stacked ones; a grid of both is a row for each stack)"},
		{"higher than the frame", func(o *estimate.Opening) { o.UnitHeights[1] = in(41) },
			"the unit heights leave joints of -1/4 in in a frame 60 in high (the overall height is the units and the joints between them, 0 to 2 in each)"},
	} {
		x := o
		x.UnitHeights = []measure.Length{in(19.25), in(40)}
		c.change(&x)
		_, problems := takeOff(shipped(t), x)
		assert.Equal(t, []string{"job.xlsx: Openings!AC2: W1: " + c.want}, serious(problems), c.why)
	}
}

// TestFormulasAreTheLengths: the words of a piece's length on Sources, put together
// from the sizes of a frame, are its length. The sizes share no factor, so that no term
// can stand for another.
func TestFormulasAreTheLengths(t *testing.T) {
	s := estimate.FrameSizes{
		Frame: estimate.Size{1_000_003, 2_000_029}, Gap: estimate.Gaps{11, 13, 17}, Overhang: 101, Horn: 211,
		HeadBoard: 1009, Leg: 2003, Bottom: 3001, Drop: 4001,
	}
	sizes := map[string]int64{
		"w": 1_000_003 + 2*13, "h": 2_000_029 + 11 + 17, "bottom joint": 17, "head board": 1009, "leg board": 2003, "bottom board": 3001,
		"head overhang": 101, "sill horn": 211, "leg drop": 4001,
	}
	for _, p := range shippedLayouts(t) {
		sum := int64(0)
		for _, term := range strings.Split(strings.ReplaceAll(p.Formula(), " - ", " + -1 "), " + ") {
			times := int64(1)
			if n, rest, ok := strings.Cut(term, " "); ok {
				if k, err := strconv.ParseInt(n, 10, 64); err == nil {
					times, term = k, rest
				}
			}
			require.Contains(t, sizes, term, p.Formula())
			sum += times * sizes[term]
		}
		assert.EqualValues(t, estimate.PieceLength(p, s), sum, "%s, %s: %s", p.Layout, p.Piece, p.Formula())
	}
}
