package estimate_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
)

// shaped is a window of a shape.
func shaped(s estimate.UnitShape, w, h float64) estimate.Opening {
	o := window(w, h)
	o.Shape = s
	return o
}

// TestRoundHeads recomputes the bead behind the flange (all around, no pan) and the
// head flashing of windows 35-1/2 wide, in openings 36 wide. Source: geometry: a
// quarter of a circle of 36 in is 28.274 in, up to 28-5/16; an eighth 14.137, up to 14-3/16.
func TestRoundHeads(t *testing.T) {
	bead := func(in float64) string { return fmt.Sprintf("%.3f in3", in*0.110447) } // 3/8 round: pi / 4 x 9/64
	for _, c := range []struct {
		why  string
		o    estimate.Opening
		bead float64 // along the rough opening
	}{
		{"a rectangle 36 x 60: 36 + 60 + 60 + 36", shaped(estimate.ShapeRectangle, 35.5, 59.5), 192},
		{"a round head over jambs of 60 - 18: 36 + 2 x (42 + 14-3/16) + 28-5/16", shaped(estimate.ShapeRoundHead, 35.5, 59.5), 176.6875},
		{"half a circle, 36 x 18: 36 + 2 x 14-3/16 + 28-5/16", shaped(estimate.ShapeRoundHead, 35.5, 17.5), 92.6875},
		{"a whole one: 4 x 28-5/16", shaped(estimate.ShapeRound, 35.5, 35.5), 113.25},
		{"an arch is no longer than the rectangle around it", shaped(estimate.ShapeArch, 35.5, 59.5), 192},
	} {
		c.o.Pan = estimate.PanNone
		take := mustTake(t, shipped(t), c.o)
		step := ""
		for _, r := range take.Requirements {
			if strings.HasPrefix(r.Do, "Bead behind the flange, all around") {
				step = need(r)
			}
		}
		assert.Equal(t, bead(c.bead), step, c.why)
	}
}

// TestShapesWithoutBoards: round what is no rectangle no board and no drip cap is
// planned, and the trim waits for somebody to price it, unless none is wanted.
func TestShapesWithoutBoards(t *testing.T) {
	noted := window(35.5, 59.5)
	noted.Notes = "half round above the stair"
	settled := noted
	settled.Shape = estimate.ShapeRectangle
	untrimmed := shaped(estimate.ShapeArch, 35.5, 59.5)
	untrimmed.Trim = estimate.NoTrim
	for _, c := range []struct {
		why     string
		o       estimate.Opening
		hold    string
		planned bool
	}{
		{"nothing said", window(35.5, 59.5), "not delivered", true},
		{"a note that speaks of a shape", noted, `its shape is not settled ("half round")`, false},
		{"settled as a rectangle", settled, "not delivered", true},
		{"an arch", shaped(estimate.ShapeArch, 35.5, 59.5), "no boards are planned for its shape (arch), nor a drip cap", false},
		{"an arch whose trim is priced by hand", untrimmed, "", false},
		{"an arch whose trim is on the wall", change(shaped(estimate.ShapeArch, 35.5, 59.5), func(o *estimate.Opening) { o.Status = estimate.StatusHung }), "", false},
	} {
		take := mustTake(t, shipped(t), c.o)
		boards := 0
		for _, r := range take.Requirements {
			if it, _ := shipped(t).Items.Get(r.Item); it.Class == estimate.ClassBoards || it.Class == estimate.ClassMetal {
				boards++
			}
		}
		assert.Equal(t, c.planned, boards > 0, "%s: %d boards and caps", c.why, boards)
		why := ""
		for _, h := range take.Holds {
			if h.What == estimate.HoldTrim {
				require.Empty(t, why, "one reason")
				why = h.Why
			}
		}
		assert.Equal(t, c.hold, why, c.why)
	}
}

func TestShapesThatCannotBe(t *testing.T) {
	twins := shaped(estimate.ShapeRoundHead, 71.5, 59.5)
	twins.Units = 2
	for _, c := range []struct {
		o    estimate.Opening
		says string
	}{
		{shaped(estimate.ShapeRoundHead, 35.5, 17.25), "a head of half a circle is half as high as wide, and the frame is 35-1/2 in wide and 17-1/4 high"},
		{shaped(estimate.ShapeRound, 35.5, 36), "a round unit is as high as wide, and the frame is 35-1/2 in wide and 36 high"},
		{twins, "mulled units of another shape than a rectangle are not estimated"},
	} {
		take, problems := takeOff(shipped(t), c.o)
		assert.Empty(t, take.Requirements, c.says)
		assert.Contains(t, strings.Join(serious(problems), "\n"), "row 2: W1: "+c.says)
	}
	for _, o := range []estimate.Opening{shaped(estimate.ShapeRoundHead, 35.5, 17.5), shaped(estimate.ShapeRound, 35.5, 35.75)} {
		_, problems := takeOff(shipped(t), o)
		assert.Zero(t, estimate.Errors(problems), "within 1/4 in")
	}
}
