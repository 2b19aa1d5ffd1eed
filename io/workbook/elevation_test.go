package workbook

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx"
)

// shape is a frame round 35-1/2 x 59-1/2 with a joint of 3/16, so that its
// inside is 35-7/8 x 59-7/8, of boards 3-1/2 wide. Lengths in inches.
func shape(head, leg, bottom float64, mitered int64) estimate.Frame {
	const wide = 56 * in16
	f := estimate.Frame{Size: estimate.Size{W: inch(35.5), H: inch(59.5)}, Gap: even(3 * in16)}
	f.Pieces = []estimate.FramePiece{{Name: "head", Width: wide, Length: inch(head), Count: 1, Mitered: mitered}, {Name: "leg", Width: wide,
		Length: inch(leg), Count: 2, Mitered: mitered}}
	if bottom > 0 {
		f.Pieces = append(f.Pieces, estimate.FramePiece{Name: "bottom", Width: wide, Length: inch(bottom), Count: 1, Mitered: mitered})
	}
	return f
}

func inch(v float64) measure.Length { return measure.Length(v * float64(measure.Inch)) }

// corners lists the corners of outlines in inches, without the last, which
// closes each.
func corners(strokes []stroke) (out [][][2]float64) {
	for _, s := range strokes {
		var line [][2]float64
		for _, p := range s.line[:len(s.line)-1] {
			line = append(line, [2]float64{float64(p.x) / float64(measure.Inch), float64(p.y) / float64(measure.Inch)})
		}
		out = append(out, line)
	}
	return out
}

func box(x, y, x2, y2 float64) [][2]float64 {
	return [][2]float64{{x, y}, {x2, y}, {x2, y2}, {x, y2}}
}

func TestBoardsOf(t *testing.T) {
	const by = "arithmetic from geometry: "
	for _, c := range []struct {
		from                string
		frame               estimate.Frame
		want                [][][2]float64
		wide, tall          float64
		mulls               []measure.Length
		mull                estimate.FramePiece
		boardsCoverTheFrame bool
	}{
		{from: by + "head over legs, outside 42-7/8 x 66-7/8, the legs end under the head", frame: shape(42.875, 63.375, 35.875, 0), wide: 42.875, tall: 66.875, boardsCoverTheFrame: true,
			want: [][][2]float64{box(-3.5, 59.875, 39.375, 63.375), box(-3.5, -3.5, 0, 59.875), box(35.875, -3.5, 39.375, 59.875), box(0, -3.5, 35.875, 0)}},
		{from: by + "legs through, past head and bottom", frame: shape(35.875, 66.875, 35.875, 0), wide: 42.875, tall: 66.875, boardsCoverTheFrame: true,
			want: [][][2]float64{box(0, 59.875, 35.875, 63.375), box(-3.5, -3.5, 0, 63.375), box(35.875, -3.5, 39.375, 63.375), box(0, -3.5, 35.875, 0)}},
		{from: by + "head and bottom through", frame: shape(42.875, 59.875, 42.875, 0), wide: 42.875, tall: 66.875, boardsCoverTheFrame: true,
			want: [][][2]float64{box(-3.5, 59.875, 39.375, 63.375), box(-3.5, 0, 0, 59.875), box(35.875, 0, 39.375, 59.875), box(-3.5, -3.5, 39.375, 0)}},
		{from: by + "pinwheel: each board covers one neighbour", frame: shape(39.375, 63.375, 39.375, 0), wide: 42.875, tall: 66.875, boardsCoverTheFrame: true,
			want: [][][2]float64{box(0, 59.875, 39.375, 63.375), box(-3.5, 0, 0, 63.375), box(35.875, -3.5, 39.375, 59.875), box(-3.5, -3.5, 35.875, 0)}},
		{from: by + "mitered: long points outside, short ones inside", frame: shape(42.875, 66.875, 42.875, 2), wide: 42.875, tall: 66.875, boardsCoverTheFrame: true,
			want: [][][2]float64{
				{{-3.5, 63.375}, {39.375, 63.375}, {35.875, 59.875}, {0, 59.875}}, {{-3.5, 63.375}, {0, 59.875}, {0, 0}, {-3.5, -3.5}},
				{{39.375, 63.375}, {39.375, -3.5}, {35.875, 0}, {35.875, 59.875}}, {{-3.5, -3.5}, {0, 0}, {35.875, 0}, {39.375, -3.5}},
			}},
		{from: by + "three sided, leg 57-11/16: its foot is 2-3/16 above the foot of the joint", frame: shape(42.875, 57.6875, 0, 0), wide: 42.875, tall: 61.1875,
			want: [][][2]float64{box(-3.5, 59.875, 39.375, 63.375), box(-3.5, 2.1875, 0, 59.875), box(35.875, 2.1875, 39.375, 59.875)}},
		{from: by + "head past the legs by 1/2 each side", frame: shape(43.875, 63.375, 35.875, 0), wide: 43.875, tall: 66.875,
			want: [][][2]float64{box(-4, 59.875, 39.875, 63.375), box(-3.5, -3.5, 0, 59.875), box(35.875, -3.5, 39.375, 59.875), box(0, -3.5, 35.875, 0)}},
		{from: by + "a mull of 3-1/2 with its middle at 17-15/16", frame: shape(42.875, 63.375, 35.875, 0), wide: 42.875, tall: 66.875,
			mulls: []measure.Length{inch(17.9375)}, mull: estimate.FramePiece{Name: "mull", Width: inch(3.5), Length: inch(59.875)},
			want: [][][2]float64{box(-3.5, 59.875, 39.375, 63.375), box(-3.5, -3.5, 0, 59.875), box(35.875, -3.5, 39.375, 59.875), box(0, -3.5, 35.875, 0), box(16.1875, 0, 19.6875, 59.875)}},
		{from: by + "a level mull with its middle 20 below the head", frame: shape(42.875, 63.375, 35.875, 0), wide: 42.875, tall: 66.875,
			mulls: []measure.Length{inch(20)}, mull: estimate.FramePiece{Name: "level mull", Width: inch(3.5), Length: inch(35.875)},
			want: [][][2]float64{box(-3.5, 59.875, 39.375, 63.375), box(-3.5, -3.5, 0, 59.875), box(35.875, -3.5, 39.375, 59.875), box(0, -3.5, 35.875, 0), box(0, 38.125, 35.875, 41.625)}},
	} {
		t.Run(c.from, func(t *testing.T) {
			f := c.frame
			if c.mulls != nil {
				f.MullCenters, f.Pieces = c.mulls, append(slices.Clone(f.Pieces), c.mull)
			}
			got := boardsOf(f)
			assert.Equal(t, c.want, corners(got))
			low, high := bounds(got)
			assert.Equal(t, inch(c.wide), high.x-low.x)
			assert.Equal(t, inch(c.tall), high.y-low.y)
			if c.boardsCoverTheFrame {
				assert.InDelta(t, c.wide*c.tall-35.875*59.875, face(got), 1e-9, "nothing is covered twice, nothing is left open")
			}
		})
	}
}

// face is the area within outlines, in square inches, by the shoelace rule.
func face(strokes []stroke) (sum float64) {
	for _, s := range corners(strokes) {
		twice := 0.0
		for i, p := range s {
			q := s[(i+1)%len(s)]
			twice += p[0]*q[1] - q[0]*p[1]
		}
		sum += max(twice, -twice) / 2
	}
	return sum
}

func TestDrawFrame(t *testing.T) {
	e := drawFrame(shape(42.875, 63.375, 35.875, 0), inch(3), estimate.UnitsOf(false).Shop)
	var said []string
	for _, c := range e.captions {
		said = append(said, c.words)
	}
	assert.Equal(t, []string{"head 42-7/8", "leg 63-3/8", "bottom 35-7/8", "66-7/8", "42-7/8", "fits 35-1/2 x 59-1/2"}, said, "arithmetic")
	assert.Equal(t, []point{{inch(-6.5) - inch(1), inch(-3.5)}, {inch(-6.5) + inch(1), inch(-3.5)}, {inch(-6.5), inch(-3.5)}, {inch(-6.5), inch(63.375)}, {inch(-6.5) - inch(1), inch(63.375)}, {inch(-6.5) + inch(1), inch(63.375)}},
		e.strokes[5].line, "the height stands 3 in to the left, with ticks")

	assert.Equal(t, caption{point{inch(35.875) / 2, inch(63.375) + inch(2)}, "head 42-7/8", "ctr"}, e.captions[0], "two thirds of 3 in above the head")
	mulled := shape(42.875, 63.375, 35.875, 0)
	mulled.MullCenters, mulled.Pieces = []measure.Length{inch(18)}, append(mulled.Pieces, estimate.FramePiece{Name: "mull", Width: inch(3.5),
		Length: inch(59.875)})
	assert.Equal(t, inch(9), drawFrame(mulled, inch(3), estimate.UnitsOf(false).Shop).captions[2].at.x, "clear of the mull")

	joined := joined()
	said = nil
	for _, c := range drawFrame(joined, inch(3), estimate.UnitsOf(false).Shop).captions {
		said = append(said, c.words)
	}
	assert.Subset(t, said, []string{"24-9/16", "61-5/16"}, "the middles of the mulls")
}

// TestDrawingIsToScale: a pixel is as long across as it is up.
func TestDrawingIsToScale(t *testing.T) {
	for _, size := range [][2]int{{800, 440}, {300, 440}} {
		c := xlsx.LineChart{Width: size[0], Height: size[1]}
		e := drawFrame(shape(42.875, 63.375, 35.875, 0), inch(3), estimate.UnitsOf(false).Shop)
		c.Fit(extent(estimate.UnitsOf(false), e))
		assert.InEpsilon(t, (c.Top-c.Foot)/float64(c.Height), (c.Right-c.Left)/float64(c.Width), 1e-12)
		low, high := bounds(e.strokes)
		for _, inside := range []bool{c.Left < estimate.UnitsOf(false).Length(low.x), c.Right > estimate.UnitsOf(false).Length(high.x), c.Foot < estimate.UnitsOf(false).Length(low.y), c.Top > estimate.UnitsOf(false).Length(high.y)} {
			assert.True(t, inside)
		}
	}
}
