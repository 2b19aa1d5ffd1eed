package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// frame returns what shapes a frame of equal boards, joint 3/16.
func frame(w, h, board, overhang, drop float64) estimate.FrameSizes {
	return estimate.FrameSizes{
		Frame: size(w, h), Gap: even(in(0.1875)), Overhang: in(overhang), Drop: in(drop),
		HeadBoard: in(board), Leg: in(board), Bottom: in(board),
	}
}

// As in water_published_test.go, the tables here hold the arithmetic of one function each;
// TestTrimFrameWorked takes a window through the shipped details.

func TestPieceLengthPublished(t *testing.T) {
	const (
		navy = "arithmetic from geometry and " + navy14044 + "square edges butt at the head: "
		mull = "arithmetic from geometry: units 24, 36, 24 with mulls of 3/4: "
	)
	for _, c := range []struct {
		source string
		layout string
		piece  estimate.PieceName
		sizes  estimate.FrameSizes
		want   float64
	}{
		{navy + "35-1/2 x 59-1/2", "head over legs", "head", frame(35.5, 59.5, 3.5, 0, 0), 42.875},
		{navy + "35-1/2 x 59-1/2", "head over legs", "bottom", frame(35.5, 59.5, 3.5, 0, 0), 35.875},
		{navy + "35-1/2 x 59-1/2", "head over legs", "leg", frame(35.5, 59.5, 3.5, 0, 0), 63.375},
		{navy + "head 1/2 past each leg", "head over legs", "head", frame(35.5, 59.5, 3.5, 0.5, 0), 43.875},
		{mull + "85-1/2 overall", "head over legs", "head", frame(85.5, 59.5, 3.5, 0, 0), 92.875},
		{mull + "between head and bottom", "head over legs", "mull", frame(85.5, 59.5, 3.5, 0, 0), 59.875},
		{navy + "door, head", "three sided", "head", frame(37.5, 81.75, 5.5, 0, 0), 48.875},
		{navy + "door, leg H + g less 2 in", "three sided", "leg", frame(37.5, 81.75, 3.5, 0, -2), 79.9375},
		{navy + "door, leg H + g and 2-1/2 down", "three sided", "leg", frame(37.5, 81.75, 3.5, 0, 2.5), 84.4375},
		{mull + "doors, to the foot of the legs", "three sided", "mull", frame(85.5, 81.75, 3.5, 0, -2), 79.9375},
	} {
		found := 0
		for _, p := range shippedLayouts(t).Of(c.layout) {
			if p.Piece == c.piece {
				found++
				assert.Equal(t, in(c.want), estimate.PieceLength(p, c.sizes), "%s: %s of %s", c.source, c.piece, c.layout)
			}
		}
		assert.Equal(t, 1, found, "rows for the %s of %s", c.piece, c.layout)
	}
}

func TestMullsPublished(t *testing.T) {
	three := []measure.Length{in(24), in(36), in(24)}
	for _, c := range []struct {
		source  string
		frame   float64
		widths  []measure.Length
		gap     float64
		mull    float64
		centers []measure.Length
	}{
		{"arithmetic from geometry: 24 + 36 + 24, g 3/16", 85.5, three, 0.1875, 0.75, []measure.Length{in(24.5625), in(61.3125)}},
		{"arithmetic: units that touch", 84, three, 0.1875, 0, []measure.Length{in(24.1875), in(60.1875)}},
		{"arithmetic: units too wide for their frame", 83, three, 0.1875, -0.5, []measure.Length{in(23.9375), in(59.4375)}},
		{"arithmetic: one unit has no mull", 36, []measure.Length{in(36)}, 0.1875, 0, nil},
	} {
		mull := estimate.MullWidth(in(c.frame), c.widths)
		assert.Equal(t, in(c.mull), mull, c.source)
		assert.Equal(t, c.centers, estimate.MullCenters(c.widths, mull, in(c.gap)), c.source)
	}
}

func TestSpacedPublished(t *testing.T) {
	const navy = "arithmetic from " + navy14044 + "16 in apart, ends 2 in: "
	for _, c := range []struct {
		source               string
		length, end, spacing float64
		want                 int64
	}{
		{navy + "leg 63-3/8", 63.375, 2, 16, 5},
		{navy + "head 42-7/8", 42.875, 2, 16, 4},
		{navy + "bottom 35-7/8", 35.875, 2, 16, 3},
		{navy + "exactly two spaces", 36, 2, 16, 3},
		{navy + "a hair over takes one more", 36.015625, 2, 16, 4},
		{navy + "shorter than its ends, still both", 3, 2, 16, 2},
		{"arithmetic from 8 in (from memory), ends 4 in: flange of 36", 36, 4, 8, 5},
	} {
		assert.Equal(t, c.want, estimate.Spaced(in(c.length), in(c.end), in(c.spacing)), c.source)
	}
}

func TestPointsPublished(t *testing.T) {
	for _, c := range []struct {
		source              string
		points, edges, each int64
		want                int64
	}{
		{doorShims + "3 hinges, 3 at the strike, in pairs; 1 at the head: common practice", 7, 1, 2, 14},
		{"CSA Group, A440.4-2019: quarter points of two jambs, in pairs", 3, 2, 2, 12},
		{army0069A + "30 joints of 2 nails on a table", 30, 1, 2, 60},
		{army0069A + "100 tables of 60 nails", 60, 100, 1, 6000},
	} {
		assert.Equal(t, c.want, estimate.Points(c.points, c.edges, c.each), c.source)
	}
}

func TestNailLengthPublished(t *testing.T) {
	const guide = "arithmetic from " + trimGuide + "1-1/4 in into solid wood: "
	for _, c := range []struct {
		source                                    string
		trim, sheathing, insulation, into, length float64
	}{
		{guide + "3/4 trim on 7/16 sheathing", 0.75, 0.4375, 0, 1.25, 2.4375},
		{guide + "over 1 in insulation", 0.75, 0.4375, 1, 1.25, 3.4375},
		{"arithmetic from " + trimGaps + "PVC boards, 1-1/2 in into the substrate", 0.75, 0.4375, 0, 1.5, 2.6875},
	} {
		assert.Equal(t, in(c.length), estimate.NailLength(in(c.trim), in(c.sheathing), in(c.insulation), in(c.into)), c.source)
	}
}

// TestFastenersByBoardWidth reads the steps of a Runs cell as the product does.
func TestFastenersByBoardWidth(t *testing.T) {
	const (
		army   = army0069A + "2 up to 8 in wide, 3 if wider"
		pvc    = trimGaps + "PVC boards, 4 and 6 in wide 2, 8 and 10 in 3, 12 in 4"
		pocket = "common practice, no source: pocket screws 2 to about 5 in, 3 for 5-1/2 to 7-1/4, 4 above"
	)
	for _, c := range []struct {
		source string
		runs   string
		width  float64
		want   int64
	}{
		{army, "2 to 8, 3", 3.5, 2},
		{army, "2 to 8, 3", 8, 2},
		{army, "2 to 8, 3", 9.25, 3},
		{pvc, "2 to 5-1/2, 3 to 9-1/4, 4", 3.5, 2},
		{pvc, "2 to 5-1/2, 3 to 9-1/4, 4", 5.5, 2},
		{pvc, "2 to 5-1/2, 3 to 9-1/4, 4", 7.25, 3},
		{pvc, "2 to 5-1/2, 3 to 9-1/4, 4", 9.25, 3},
		{pvc, "2 to 5-1/2, 3 to 9-1/4, 4", 11.25, 4},
		{pocket, "2 to 5, 3 to 7-1/4, 4", 3.5, 2},
		{pocket, "2 to 5, 3 to 7-1/4, 4", 5.5, 3},
		{pocket, "2 to 5, 3 to 7-1/4, 4", 7.25, 3},
		{pocket, "2 to 5, 3 to 7-1/4, 4", 9.25, 4},
	} {
		b := with(t, shipped(t), row{"Item": "pocket screw", "Rule": "piece joints", "Runs": c.runs})
		assert.Equal(t, c.want, b.Details[0].Steps[1].Runs.For(in(c.width)), "%v in: %s", c.width, c.source)
	}
}

// TestPocketScrewLength: the member of the shipped family that fits a board.
func TestPocketScrewLength(t *testing.T) {
	const pages = "two woodworking pages (publisher not on record)"
	for _, c := range []struct {
		source    string
		thickness float64
		want      string
	}{
		{pages, 0.5, "pocket-screw-1"},
		{pages, 0.75, "pocket-screw-1-1-4"},
		{pages, 1.25, "pocket-screw-1-1-2"},
		{pages, 1.5, "pocket-screw-2-1-2"},
	} {
		b := with(t, shipped(t), row{"Item": "pocket screw", "Rule": "piece joints", "Runs": "2"})
		board, _ := b.Items.Get("board-1x4")
		board.Thickness = in(c.thickness)
		b.Items = estimate.NewItems(append(b.Items.List(), board))
		take := mustTake(t, b, window(35.5, 59.5))
		assert.Equal(t, []string{"8"}, needs(take, c.want), "%v in: %s", c.thickness, c.source)
	}
}

func TestFinishPublished(t *testing.T) {
	const squareFoot = 144
	for _, c := range []struct {
		source string
		got    measure.Area
		want   float64 // ft2
	}{
		{"arithmetic: the four long faces of a 1x4 of 16 ft", estimate.CoverArea(in(192), in(8.5)), 11.333},
		{"arithmetic: its two ends", estimate.CutEndArea(2, in(0.75), in(3.5), 1), 0.036},
		{"common practice, no source: end grain counts three times", estimate.CutEndArea(2, in(0.75), in(3.5), 3), 0.109},
	} {
		assert.InDelta(t, c.want, squareInches(c.got)/squareFoot, 0.0005, c.source)
	}
	for _, c := range []struct {
		source     string
		area, film float64 // ft2, in
	}{
		{"paintcenter.org, column of October 2003: a gallon covers 1,604 ft2 at 1 mil", 1604.17, 0.001},
		{"convert-me.com, forum: 400 ft2 a gallon is 0.00401 in wet", 400, 0.0040104},
		{"arithmetic from 231 in3: a gallon of glue 1/32 thick covers 51.3 ft2", 51.333, 0.03125},
	} {
		area := section(c.area, squareFoot)
		assert.InDelta(t, 231, cubicInches(measure.VolumeOf(area, in(c.film))), 0.01, c.source)
	}
}

// TestCountsPublished: whole packs out of a need; the sources' own sums.
func TestCountsPublished(t *testing.T) {
	for _, c := range []struct {
		source        string
		need, content int64
		want          int64
	}{
		{army0069A + "7,200 nails at 74 a pound are 97.3 lb", 7200, 74, 98},
		{"issuhub.com, document 4050, page 182: 156 ft2 in sheets of 32 are 4.875", 156, 32, 5},
	} {
		assert.Equal(t, c.want, measure.Packs(c.need, c.content), c.source)
	}
}

// TestTrimFrameWorked follows one window through the shipped details.
func TestTrimFrameWorked(t *testing.T) {
	for _, c := range []struct {
		source string
		item   string
		want   []string
	}{
		{"arithmetic from geometry and " + navy14044 + "head, legs, bottom of 35-1/2 x 59-1/2", "board-1x4",
			[]string{"1 x 42-7/8", "2 x 63-3/8", "1 x 35-7/8"}},
		{"arithmetic from " + navy14044 + "pairs 16 in apart, rows 5 + 5 + 4 + 3", "trim-nail-8d", []string{"34"}},
		{"common practice, no source: 2 pocket screws at each of 4 joints", "pocket-screw-1-1-4", []string{"8"}},
		{"common practice, no source: 8 ends of 3/4 x 3-1/2, counted three times", "end-primer", []string{"63.000 in2"}},
		{capEnds + "past the trim, and end dams; 1/4 in and 1 in each end: common practice", "drip-cap", []string{"1 x 45-3/8"}},
	} {
		take := mustTake(t, shipped(t), window(35.5, 59.5))
		assert.Equal(t, c.want, needs(take, c.item), c.source)
	}
}

// TestCallSizesPublished: width first, feet and inches of each.
func TestCallSizesPublished(t *testing.T) {
	for _, c := range []struct {
		source      string
		application string
		want        estimate.Size
	}{
		{windowSizes, "3050", size(36, 60)},
		{planSizes, "4050", size(48, 60)},
		{planSizes, "2668", size(30, 80)},
		{planSizes, "2844", size(32, 52)},
		{planSizes, "2860", size(32, 72)},
		{"common practice, no source: a run of five", "21068", size(34, 80)},
		{"common practice, no source: overhead door", "16070", size(192, 84)},
		{"common practice, no source: slider", "6068", size(72, 80)},
	} {
		w, h, err := measure.ParseCallSize(c.application)
		require.NoError(t, err)
		assert.Equal(t, c.want, estimate.Size{W: w, H: h}, "%s%s", c.source, c.application)
	}
}
