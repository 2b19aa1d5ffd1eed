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

func TestSillFiguresPublished(t *testing.T) {
	const similar = "arithmetic from similar triangles: "
	for _, c := range []struct {
		source string
		got    measure.Length
		want   float64
	}{
		{similar + "slider 72 x 80 on 1/4: 80 x 0.25 / 72", estimate.Lean(in(72), in(80), in(0.25)), 0.2778},
		{similar + "swing door 36 x 80 on 1/8", estimate.Lean(in(36), in(80), in(0.125)), 0.2778},
		{"geometry, checked against the exact root: 36 x 80, diagonals 1/8 apart: 0.125 x 87.727 / 72", estimate.Rack(in(36), in(80), in(0.125)), 0.1523},
		{"no width, no lean", estimate.Lean(0, in(80), in(0.25)), 0},
		{"no width, no rack", estimate.Rack(0, in(80), in(0.25)), 0},
		{federal + "29 CFR 1926.1053(b)(5): a ladder of 10 ft stands out 2.5 ft", estimate.LadderFoot(10 * measure.Foot), 30},
	} {
		assert.InDelta(t, c.want, inches(c.got), 0.00005, c.source)
	}
	assert.Greater(t, estimate.Lean(in(36), in(80), in(0.125)), estimate.LockMargin, doorWarranty+"1/8 at the lock, so it must be shimmed")
}

func TestLeadWorkPublished(t *testing.T) {
	const rrp = federal + "40 CFR 745.83: "
	for _, c := range []struct {
		source             string
		window, demolition bool
		inside, outside    float64 // ft2
		want               bool
	}{
		{rrp + "a window is never exempt, whatever the area", true, false, 0, 0, true},
		{rrp + "a door, 7 ft2 inside", false, false, 7, 0, true},
		{rrp + "6.0 ft2 inside, no demolition", false, false, 6, 0, false},
		{rrp + "with demolition", false, true, 6, 0, true},
		{rrp + "20 ft2 outside", false, false, 0, 20, false},
		{rrp + "more outside", false, false, 0, 20.1, true},
	} {
		assert.Equal(t, c.want, estimate.LeadWork(c.window, c.demolition, section(c.inside, 144), section(c.outside, 144)), c.source)
	}
	_, problems := takeOff(shipped(t, "year built=1965"), entryDoor(36, 80))
	assert.Contains(t, strings.Join(lines(problems), "\n"), "exempt only where no window is replaced", "doors alone may be")
}

// TestSillChecks: what was read, against the tolerances, with what to do.
func TestSillChecks(t *testing.T) {
	diagonals := func(a, b float64, o estimate.Opening) estimate.Opening {
		return change(o, func(o *estimate.Opening) {
			o.Readings = []estimate.Reading{{Piece: 1, Diagonals: [2]measure.Length{in(a), in(b)}}}
		})
	}
	of := func(what estimate.ReadAt, o estimate.Opening) estimate.Opening {
		return change(o, func(o *estimate.Opening) {
			o.Readings = slices.Clone(o.Readings)
			o.Readings[0].Of = what
		})
	}
	status := func(s estimate.Status, o estimate.Opening) estimate.Opening {
		return change(o, func(o *estimate.Opening) { o.Status = s })
	}
	const level = measurePage + "1/8 in over the width; "
	for _, c := range []struct {
		source   string
		opening  estimate.Opening
		do       string // part of it
		compound bool
		square   string
	}{
		{level + "a slab is levelled", withRise(0.25, on("slab", patioDoor(72, 80))), "level the slab before the pan is set", true, ""},
		{level + "so is masonry", withRise(0.25, on("masonry", patioDoor(72, 80))), "level the slab before the pan is set", true, ""},
		{level + "wood is planed or tapered under the whole pan", withRise(0.25, patioDoor(72, 80)), "taper under the whole length of the pan", false, ""},
		{level + "a unit that is set keeps its lean", status("set", withRise(0.25, patioDoor(72, 80))), "its lean stays", false, ""},
		{level + "within", withRise(0.125, patioDoor(72, 80)), "", false, ""},
		{doorWarranty + "a swing door leans past its lock margin", withRise(0.125, entryDoor(36, 80)), "then plumb the hinge side", false, ""},
		{doorWarranty + "and does not at 1/32", withRise(0.03125, entryDoor(36, 80)), "", false, ""},
		{dimensionGuide + "1/8 up to 20 ft2", diagonals(69.25, 69.4375, window(35.5, 59.5)), "", false, "square the unit"},
		{dimensionGuide + "1/4 above", diagonals(107, 107.25, patioDoor(72, 80)), "", false, ""},
		{levelSill + "an opening within 1/8", of("opening", diagonals(107, 107.25, patioDoor(72, 80))), "", false, "square the framing"},
	} {
		b := shipped(t)
		take := mustTake(t, b, c.opening)
		checks := estimate.SillChecks(b, take)
		require.Len(t, checks, 1, c.source)
		s := checks[0]
		assert.True(t, c.do == "" && s.Do == "" || c.do != "" && strings.Contains(s.Do, c.do), "%s: %s", c.source, s.Do)
		assert.True(t, c.square == "" && s.Square == "" || c.square != "" && strings.Contains(s.Square, c.square), "%s: %s", c.source, s.Square)
		assert.Equal(t, c.compound, s.Compound > 0, c.source)
		assert.Equal(t, c.compound, len(needs(take, "leveling")) == 1, "%s: what the check says is what is counted", c.source)
		assert.Equal(t, s.Diagonals.Set, !s.LevelRead, c.source)
	}
	b := shipped(t)
	assert.Empty(t, estimate.SillChecks(b, mustTake(t, b, patioDoor(72, 80))), "not read, nothing to say")
	_, problems := takeOff(b, withRise(0.125, entryDoor(36, 80)))
	assert.Contains(t, strings.Join(lines(problems), "\n"), "a square frame on it would lean 9/32 in, more than the lock's margin of 1/8")
}

// TestInstalls: each requirement of a phase stands under its step, in the
// order of work; steps that are for none of the openings are left out.
func TestInstalls(t *testing.T) {
	b := shipped(t)
	two, three := joined(72.75, 2), set("W2", window(35.5, 59.5))
	two.Mark = "W1"
	three.Drop, three.Story = estimate.Given(in(60.5)), estimate.Given(int64(2))
	take := mustTake(t, b, two, three, withRise(0.25, on("slab", patioDoor(72, 80))))
	installs := estimate.Installs(b, take)

	var titles []string
	for _, in := range installs {
		titles = append(titles, in.Detail+", "+string(in.Phase))
	}
	assert.Equal(t, []string{
		"window integral, install", "window integral, shop", "window integral, trim", "window integral, finish",
		"patio door slab, install", "patio door slab, shop", "patio door slab, trim", "patio door slab, finish",
	}, titles)

	seen := map[int]int{}
	for _, in := range installs {
		var numbers []string
		for _, s := range in.Steps {
			numbers = append(numbers, s.Number)
			assert.NotEmpty(t, s.For, s.Do)
			for _, k := range s.Needs {
				seen[k]++
				r := take.Requirements[k]
				assert.Equal(t, []string{in.Detail, string(in.Phase), s.Do, s.Number}, []string{r.Detail, string(r.Phase), r.Do, r.Step})
				assert.True(t, slices.ContainsFunc(s.For, func(i int) bool { return in.Openings[i].Opening == r.Opening }), "%s is for %s", s.Do,
					take.Openings[r.Opening].Mark)
			}
		}
		assert.True(t, slices.IsSortedFunc(numbers, func(a, b string) int { return estimate.NaturalCompare(a, b) }), "%s, %s: %v", in.Detail, in.Phase, numbers)
	}
	for k, r := range take.Requirements {
		assert.Equal(t, 1, seen[k], "%s %s stands under one step", r.Do, r.Item)
	}

	windows := installs[0]
	require.Len(t, windows.Openings, 2)
	join := slices.IndexFunc(windows.Steps, func(s estimate.InstallStep) bool { return strings.HasPrefix(s.Do, "Mull the units") })
	assert.Equal(t, []int{0}, windows.Steps[join].For, "W1 alone is joined")
	assert.False(t, windows.Steps[join].All)
	assert.True(t, windows.Steps[0].All)
	assert.False(t, windows.Openings[0].Ladder.Set, "its height above grade is not stated")
	assert.Equal(t, in(30), windows.Openings[1].Ladder.V, "arithmetic: a quarter of 60-1/2 + 59-1/2")
	guarded := "W2: upper story with sill height or height above grade not stated"
	for _, phase := range []estimate.Phase{estimate.PhaseInstall, estimate.PhaseTrim, estimate.PhaseFinish} {
		said := strings.Join(estimate.PhaseCautions(b, take, estimate.WholePhase(installs, phase)), "\n")
		assert.Equal(t, 1, strings.Count(said, guarded), "%s: %s", phase, said)
	}

	slab := installs[4]
	assert.Equal(t, "1", slab.Steps[0].Number)
	assert.Equal(t, "Level the slab before the pan is set", slab.Steps[1].Do, "step 1 of the work")
	require.Len(t, slab.Openings[0].Sills, 1)
	assert.Equal(t, in(0.25), slab.Openings[0].Sills[0].Rise)
}

// TestReceiving: what the schedule does not say is blank.
func TestReceiving(t *testing.T) {
	o := joined(85.5, 3, 24, 36, 24)
	o.Qty, o.Status = 2, "ordered"
	o.Extra = []estimate.ExtraCell{{Header: "Handing", Text: "left"}, {Header: " Operating  style", Text: "fixed"}, {Header: "Colour", Text: "white"}}
	take := mustTake(t, shipped(t), o, set("B", window(35.5, 59.5)))
	got := estimate.Receiving(take)
	require.Len(t, got, 2)
	assert.Equal(t, estimate.Receipt{
		Opening: 0, Mark: "A", Count: 2, Units: 3, Kind: estimate.Window, Size: size(85.5, 59.5),
		UnitSizes: []estimate.Size{size(24, 59.5), size(36, 59.5), size(24, 59.5)},
		Operation: "fixed", Hand: "left", Flange: "integral", FurnishedBy: "builder", Status: "ordered",
	}, got[0])
	assert.True(t, got[1].Arrived)
	assert.Empty(t, got[1].UnitSizes)
	assert.Empty(t, got[1].Tempered+got[1].Hand+got[1].Operation)
}
