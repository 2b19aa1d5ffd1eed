package estimate_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// said returns all that is said of one opening of a shipped book.
func said(t *testing.T, o estimate.Opening, changes ...string) string {
	_, problems := takeOff(shipped(t, changes...), o)
	return strings.Join(lines(problems), "\n")
}

// A call size of 3050 is 36 x 60, see TestCallSizesPublished.
func TestFarFromItsCallSize(t *testing.T) {
	o := window(59.5, 59.5)
	o.Call = "3050"
	assert.Contains(t, said(t, o), "call size 3050 is far from the size given, 59-1/2 x 59-1/2, which is used")
	o.Frame = size(35.5, 40)
	assert.Contains(t, said(t, o), "is far from the size given", "its height alone")
	o.Frame = size(35.5, 59.5)
	assert.NotContains(t, said(t, o), "far from")
}

// Readings that differ from what Openings says, in one way or the other.
func TestReadingsBesideOpenings(t *testing.T) {
	for _, c := range []struct {
		measured estimate.Size
		doubt    bool
	}{
		{size(35.5, 59.5), false}, {size(36.5, 59.5), true}, {size(35.5, 60.5), true},
	} {
		o := window(35.5, 59.5)
		o.Measured, o.Status = c.measured, estimate.StatusSet
		o.Readings = []estimate.Reading{read([3]float64{35.5, 35.5, 35.5}, [3]float64{59.5, 59.5, 59.5})}
		assert.Equal(t, c.doubt, strings.Contains(said(t, o), "the largest readings on Field measurements are"), c.measured)
	}
}

// A clad unit is larger outside both ways, by up to 3 in. Source: common practice, no source
func TestLargerThanCladding(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		clad bool
	}{
		{38.5, 62.5, true}, {38.5 + 1.0/16, 60.5, false}, {36.5, 62.5 + 1.0/16, false},
	} {
		o := window(35.5, 59.5)
		o.Measured, o.Status = size(c.w, c.h), estimate.StatusSet
		take, _ := takeOff(shipped(t), o)
		assert.Equal(t, c.clad, strings.Contains(take.Openings[0].Doubt, "larger both ways"), "%v x %v", c.w, c.h)
	}
}

// The largest side that is believed is 40 ft.
func TestLargestSide(t *testing.T) {
	assert.NotContains(t, said(t, window(480, 48)), "error")
	_, problems := takeOff(shipped(t), window(480.25, 48))
	assert.Positive(t, estimate.Errors(problems))
}

// A frame as wide as its rough opening leaves no gap to seal.
func TestNoGap(t *testing.T) {
	o := window(36, 60)
	o.Rough, o.Flange = size(36, 60), estimate.FlangeNone
	assert.Contains(t, said(t, o), "there is no gap to seal")
	o.Rough = size(36.125, 60.125)
	assert.NotContains(t, said(t, o), "there is no gap to seal")
}

// Where legs want their factory end: at the foot, where water hangs, or where they stand
// on the bottom board; mitered ends are cut at both. And what is said of miters of
// unequal boards. Source: common practice, no source
func TestFactoryEndsOfLegs(t *testing.T) {
	frame := func(layout string, changes ...string) estimate.Frame {
		o := window(35.5, 59.5)
		o.Trim, o.Measured, o.Status = layout, size(35.5, 59.5), estimate.StatusSet
		b := shipped(t, changes...)
		frames := estimate.Frames(b, mustTake(t, b, o))
		require.Len(t, frames, 1)
		return frames[0]
	}
	factory := func(f estimate.Frame) (out []string) {
		for _, p := range f.Pieces {
			out = append(out, string(p.Name)+":"+p.Factory)
		}
		return out
	}
	assert.Contains(t, factory(frame("three sided")), "leg:at the foot")
	assert.Contains(t, factory(frame("head over legs")), "leg:at the foot")
	assert.Contains(t, factory(frame("head and bottom through")), "leg:at the lower joint")
	assert.Contains(t, factory(frame("mitered")), "leg:")
	assert.Contains(t, factory(frame("head over legs")), "head:", "only legs are a pair")
	const unequal = "boards of unequal width: mark each miter from corner to corner; it is not 45 degrees"
	assert.NotContains(t, frame("mitered").Notes, unequal)
	assert.Contains(t, frame("mitered", "head casing window=board-1x6").Notes, unequal)
	assert.Contains(t, frame("mitered", "bottom casing window=board-1x6").Notes, unequal)
}

// A pan of 76 in, an opening of 74 and 1 in at each side, on a brake of 40 with laps of 4 is
// two pieces of 40 of one width: 40 + 40 - 4. Source: arithmetic.
func TestPanOfLikePieces(t *testing.T) {
	o := entryDoor(73.5, 80)
	o.Operation, o.Pan, o.UnitDepth = estimate.Pair, estimate.PanMetal, estimate.Given(in(4.5625))
	whole := needs(mustTake(t, shipped(t), o), "trim-coil-24")
	require.Len(t, whole, 1)
	lapped := needs(mustTake(t, shipped(t, "brake length=40", "sealed lap=4"), o), "trim-coil-24")
	width := whole[0][strings.LastIndex(whole[0], "x"):]
	assert.Equal(t, []string{"2 x 40 " + width}, lapped)
}

func TestRackOfNothing(t *testing.T) {
	assert.Zero(t, estimate.Rack(0, in(60), in(1)), "of no width")
}
