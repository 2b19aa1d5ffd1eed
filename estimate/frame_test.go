package estimate_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// set returns openings that are set and measured.
func set(mark string, o estimate.Opening) estimate.Opening {
	o.Mark, o.Status, o.Measured = mark, "set", o.Frame
	return o
}

// frameOf returns the place of the frame that serves an opening, -1 when none does.
func frameOf(frames []estimate.Frame, opening int) int {
	return slices.IndexFunc(frames, func(f estimate.Frame) bool {
		return slices.ContainsFunc(f.Marks, func(m estimate.FrameMark) bool { return m.Opening == opening })
	})
}

// piecesOf returns the pieces of a frame in words.
func piecesOf(f estimate.Frame) []string {
	var out []string
	for _, p := range f.Pieces {
		out = append(out, string(p.Name)+" "+measure.FormatInches(p.Length, 16)+": "+p.Ends)
	}
	return out
}

// TestFramesAlike: marks whose frames are alike in every piece and in their
// state share one card.
func TestFramesAlike(t *testing.T) {
	b := shipped(t)
	four, same, other := set("W1", window(35.5, 59.5)), set("W2", window(35.5, 59.5)), set("W5", window(24, 36))
	held, hung := window(35.5, 59.5), set("W4", window(35.5, 59.5))
	four.Qty, held.Mark, hung.Status = 4, "W3", "hung"
	none := set("W6", window(35.5, 59.5))
	none.Trim = "none"
	take := mustTake(t, b, four, same, held, hung, other, none)
	frames := estimate.Frames(b, take)
	var got []string
	for _, f := range frames {
		got = append(got, f.MarksText()+" "+string(f.State))
	}
	assert.Equal(t, []string{"W1 x 4, W2 to cut", "W3 held", "W4 hung", "W5 to cut"}, got)
	assert.Equal(t, int64(5), frames[0].Count)
	assert.Equal(t, "not delivered", frames[1].Marks[0].Held)
	assert.NotEmpty(t, frames[1].Marks[0].Release)
	for i, want := range []int{0, 0, 1, 2, 3, -1} {
		assert.Equal(t, want, frameOf(frames, i), take.Openings[i].Mark)
	}
	assert.Equal(t, frames, estimate.Frames(b, take), "the same in, the same out")
}

// TestFrameCard: what the card of a window's frame says.
func TestFrameCard(t *testing.T) {
	b := shipped(t)
	f := estimate.Frames(b, mustTake(t, b, set("W1", window(35.5, 59.5))))[0]
	assert.Equal(t, size(42.875, 66.875), f.Outside, "arithmetic: 35-7/8 + 7, 59-7/8 + 7")
	assert.InDelta(t, 79.439, inches(f.Diagonal), 0.001, "arithmetic: sqrt(42.875^2 + 66.875^2)")
	assert.Equal(t, in(0.0625), estimate.SquareTolerance, "common practice, no source")
	assert.Equal(t, []string{"head 42-7/8: square, over the legs", "leg 63-3/8: top bored, into the head; foot square",
		"bottom 35-7/8: both bored, into the legs"}, piecesOf(f))
	assert.Equal(t, int64(4), f.Joints)
	assert.Equal(t, "at the foot", f.Pieces[1].Factory)
	assert.Zero(t, f.Spreader)
	assert.Empty(t, f.OnSite)
	assert.Equal(t, in(2.4375), f.Nail, "arithmetic: 3/4 + 7/16 + 1-1/4")
	var needs []string
	for _, n := range f.Needs {
		needs = append(needs, string(n.Role)+" "+n.Item+": "+n.Words)
	}
	assert.Equal(t, []string{
		"pocket screws pocket-screw-1-1-4: 2 leg: 2 bored ends of 2, 3-1/2 wide; 1 bottom: 2 bored ends of 2, 3-1/2 wide; 1-1/4 long for boards 3/4 thick",
		"adhesive wood-glue: 4 joints",
		"primer end-primer: 8 ends, counted 3 times",
		"nails trim-nail-8d: 1 head: 4 rows of 2; 2 leg: 5 rows of 2; 1 bottom: 3 rows of 2; nail at least 2-7/16",
	}, needs)
	assert.Equal(t, int64(8), f.Needs[0].Amount, "common practice, no source: 2 at each of 4 joints")
	assert.Contains(t, f.Needs[0].Notes, "coarse thread for softwood and composite")
	for i, rows := range []int64{4, 5, 3} {
		assert.Equal(t, []int64{rows, 2, 2}, []int64{f.Pieces[i].Rows, f.Pieces[i].PerRow, f.Pieces[i].Prime}, f.Pieces[i].Name)
	}
}

// TestFrameOutside: overhang and horns are outside, and the diagonals run from
// corner to corner.
func TestFrameOutside(t *testing.T) {
	for _, c := range []struct {
		source, layout string
		changes        []string
		want           estimate.Size
		diagonal       float64
	}{
		{"arithmetic: legs outside", "legs through", nil, size(42.875, 66.875), 79.439},
		{"arithmetic: mitered", "mitered", nil, size(42.875, 66.875), 79.439},
		{"arithmetic: pinwheel, w + 2 b", "pinwheel", nil, size(42.875, 66.875), 79.439},
		{"arithmetic: head 1/2 past each leg, run 43-3/8", "head over legs", []string{"head overhang=1/2"}, size(43.875, 66.875), 79.710},
		{"arithmetic: a horn of 1 each end, run 43-7/8", "sill with horns", nil, size(44.875, 66.875), 79.983},
		{"arithmetic: three sided, head 3-1/2 over legs of 59-11/16", "three sided", nil, size(42.875, 63.1875), 76.360},
	} {
		b := shipped(t, c.changes...)
		o := set("W1", window(35.5, 59.5))
		o.Trim = c.layout
		f := estimate.Frames(b, mustTake(t, b, o))[0]
		assert.Equal(t, c.want, f.Outside, c.source)
		assert.InDelta(t, c.diagonal, inches(f.Diagonal), 0.001, c.source)
	}
}

// TestFrameOfDoor: three sides, a spreader, and what is not known of its foot.
func TestFrameOfDoor(t *testing.T) {
	b := shipped(t)
	o := set("D1", entryDoor(37.5, 81.75))
	o.LegDrop = estimate.Given(in(4.5))
	take := mustTake(t, b, o)
	f := estimate.Frames(b, take)[0]
	assert.Equal(t, estimate.FrameToCut, f.State)
	assert.Equal(t, in(37.875), f.Spreader, "arithmetic: 37-1/2 + 2 x 3/16, the inside of the legs")
	assert.Equal(t, []string{"head 44-7/8: square, over the legs", "leg 84-7/16: top bored, into the head; foot square"}, piecesOf(f))
	require.Len(t, f.Notes, 1)
	assert.Contains(t, f.Notes[0], "spreader across the feet")

	o.LegDrop = estimate.Maybe[measure.Length]{}
	f = estimate.Frames(b, mustTake(t, b, o))[0]
	assert.Equal(t, estimate.FrameHeld, f.State)
	assert.Equal(t, "no leg drop", f.Marks[0].Held)
	assert.Contains(t, f.Notes[1], "leg drop not known")

	o.Trim = "sill with horns"
	o.Kind = estimate.PatioDoor
	all := shipped(t)
	set := all.Job.Trim[estimate.PatioDoor]
	set.Bottom = "board-1x4"
	all.Job.Trim[estimate.PatioDoor] = set
	assert.Empty(t, mustTake(t, all, o).Holds, "legs that stand on a board have no foot to wait for")
}

// TestFramesOnSite: what is over the limit to carry is put together on site.
func TestFramesOnSite(t *testing.T) {
	for _, c := range []struct {
		source  string
		opening estimate.Opening
		changes []string
		want    bool
	}{
		{"common practice, no source: 8 x 10 ft", set("W1", window(88.625, 59.5)), nil, false},
		{"a sixteenth over 8 ft with its boards", set("W1", window(88.6875, 59.5)), nil, true},
		{"a smaller limit", set("W1", window(35.5, 59.5)), []string{"largest frame height=66"}, true},
		{"an overhead door's trim is never in a shop frame", set("G1", overheadDoor(84, 84)), nil, true},
	} {
		b := shipped(t, c.changes...)
		f := estimate.Frames(b, mustTake(t, b, c.opening))[0]
		assert.Equal(t, c.want, f.OnSite != "", "%s: %s", c.source, f.OnSite)
	}
}

// TestNailsMissFraming: framing 3 in beside an opening, a plate of 1-1/2 in
// below it, the unit 1/4 in off both, joint 3/16, rows 3/4 in from the edges.
func TestNailsMissFraming(t *testing.T) {
	for _, c := range []struct {
		source string
		board  float64
		room   float64
		wood   float64
		want   bool
	}{
		{"arithmetic: row at 2-15/16 of 3-1/4", 3.5, 0.25, 3, false},
		{"arithmetic: row at 4-15/16 of 3-1/4", 5.5, 0.25, 3, true},
		{"arithmetic: row at 2-15/16 of 1-3/4", 3.5, 0.25, 1.5, true},
		{"arithmetic: a double plate reaches 3-1/4", 3.5, 0.25, 3, false},
		{"arithmetic: exactly on its edge still holds", 3.8125, 0.25, 3, false},
	} {
		assert.Equal(t, c.want, estimate.MissesFraming(in(0.1875), in(c.board), in(c.room), in(c.wood)), c.source)
	}
	b := shipped(t, "leg casing window=board-1x6")
	f := estimate.Frames(b, mustTake(t, b, set("W1", joined(35.5, 2))))[0]
	misses := map[estimate.PieceName]string{}
	for _, p := range f.Pieces {
		misses[p.Name] = p.Misses
	}
	assert.Empty(t, misses["head"], "a header is deep")
	assert.Contains(t, misses["leg"], "outer row misses")
	assert.Contains(t, misses["bottom"], "lower row is below the plate")
	assert.Contains(t, misses["mull"], "no framing behind a mull")
}

// TestCutAndHung: what is cut is not cut again, nor held, and stays in the
// takeoff.
func TestCutAndHung(t *testing.T) {
	for _, status := range []estimate.Status{"", estimate.StatusOrdered, estimate.StatusDelivered, estimate.StatusSet, estimate.StatusCut, estimate.StatusHung} {
		o := window(35.5, 59.5)
		o.Status = status
		take := mustTake(t, shipped(t), o)
		done := status == "cut" || status == "hung"
		assert.Equal(t, done, take.Openings[0].Status.TrimDone(), status)
		assert.Equal(t, done, len(take.Holds) == 0, status)
		boards := 0
		for _, r := range take.Requirements {
			assert.False(t, done && r.Rule == "frame" && r.Held != "", r.Do)
			if r.Rule == "frame" {
				boards++
			}
		}
		assert.Equal(t, 3, boards, "its cost still shows")
	}
}

// TestMullsOnCard: 24 + 36 + 24 with 3/4 in mulls.
func TestMullsOnCard(t *testing.T) {
	b := shipped(t)
	f := estimate.Frames(b, mustTake(t, b, set("W1", joined(85.5, 3, 24, 36, 24))))[0]
	assert.Equal(t, []measure.Length{in(24.5625), in(61.3125)}, f.MullCenters, "arithmetic from geometry")
	assert.Equal(t, "the inside of the left leg", f.MullFrom)
	assert.Equal(t, in(92.875), f.Pieces[0].Length, "arithmetic from geometry: head 92-7/8")
	assert.Equal(t, int64(8), f.Joints, "four corners, two mulls of two ends")
	i := slices.IndexFunc(f.Pieces, func(p estimate.FramePiece) bool { return p.Name == "mull" })
	assert.Equal(t, int64(2), f.Pieces[i].Count)
}
