package estimate_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

// everyOpening calls f for each kind of unit that people look or walk through,
// with each flange, pan and floor that the schedule may name.
func everyOpening(f func(name string, o estimate.Opening)) {
	units := map[estimate.Kind]estimate.Size{estimate.Window: size(35.5, 59.5), estimate.EntryDoor: size(36, 80), estimate.PatioDoor: size(72, 80)}
	for _, kind := range []estimate.Kind{estimate.Window, estimate.EntryDoor, estimate.PatioDoor} {
		for _, flange := range estimate.FlangeWords {
			for _, pan := range estimate.PanWords {
				for _, sits := range []estimate.SitsOn{estimate.OnWood, estimate.OnSlab} {
					if kind == estimate.Window && sits != estimate.OnWood {
						continue // windows stand in framed walls: no shipped detail
					}
					o := estimate.Opening{Mark: "A", Kind: kind, Frame: units[kind], Flange: estimate.Flange(flange), Pan: estimate.Pan(pan), SitsOn: sits}
					f(fmt.Sprintf("%s, flange %s, pan %s, on %s", kind, flange, pan, sits), o)
				}
			}
		}
	}
}

// asks reports whether a requirement of the takeoff is so.
func asks(take estimate.Takeoff, is func(r estimate.Requirement) bool) bool {
	return slices.ContainsFunc(take.Requirements, is)
}

// TestEveryOpeningIsClosed: whatever the schedule says, the shipped details
// seal the sides of a unit to the wall, fix it, and count the pan asked for. A
// word of the schedule for which a detail has no step would leave them out
// without a sign.
func TestEveryOpeningIsClosed(t *testing.T) {
	b := shipped(t)
	jambs := map[string]bool{} // steps that run a bead along the jambs
	for _, d := range b.Details {
		for _, s := range d.Steps {
			if s.Rule == "bead" && s.Phase == "install" && slices.Contains(s.Edges, estimate.Jambs) {
				jambs[d.Name+s.Do] = true
			}
		}
	}
	everyOpening(func(name string, o estimate.Opening) {
		take := mustTake(t, b, o)
		assert.True(t, asks(take, func(r estimate.Requirement) bool {
			return r.Phase == "install" && (r.Rule == "tape" && r.Name == "jambs" || r.Rule == "joint" || jambs[r.Detail+r.Do])
		}), "%s: nothing seals its sides from outside", name)
		assert.True(t, asks(take, func(r estimate.Requirement) bool { return r.Item == "flange-nail" || r.Item == "jamb-screw" }), "%s: nothing fixes it", name)
		assert.True(t, asks(take, func(r estimate.Requirement) bool { return r.Rule == "cavity" }), "%s: no inner seal", name)
		if o.Pan == "flexible" {
			assert.True(t, asks(take, func(r estimate.Requirement) bool { return r.Rule == "tape" && r.Name == "sill" }), "%s: no strip along the sill", name)
		}
		assert.Equal(t, o.Pan == "rigid", asks(take, func(r estimate.Requirement) bool { return r.Rule == "pan rigid" }), name)
		assert.Equal(t, o.Pan == "metal", asks(take, func(r estimate.Requirement) bool { return r.Rule == "pan metal" }), name)
		nails := asks(take, func(r estimate.Requirement) bool { return r.Item == "flange-nail" })
		assert.Equal(t, o.Flange == "integral" || o.Flange == "applied", nails, "%s: nails go through a nailing flange, and only there", name)
	})
}

// TestHeadFlashingWithoutTrim: head flashing is always on, trim or no trim.
func TestHeadFlashingWithoutTrim(t *testing.T) {
	b := shipped(t)
	everyOpening(func(name string, o estimate.Opening) {
		o.Trim = "none"
		take := mustTake(t, b, o)
		assert.True(t, asks(take, func(r estimate.Requirement) bool { return r.Item == "drip-cap" }), "%s: no head flashing", name)
		assert.False(t, asks(take, func(r estimate.Requirement) bool { return r.Rule == "frame" }), "%s: trim that was not asked for", name)
	})
}

// TestJoinedUnitsAreSealed: whatever is joined has beads on both faces of its
// mull, clips, and an inner seal over it.
func TestJoinedUnitsAreSealed(t *testing.T) {
	b := shipped(t)
	everyOpening(func(name string, o estimate.Opening) {
		o.Units = 2
		if o.Flange == estimate.FlangeBrickmould {
			o.Trim = "three sided" // else its factory casing is all the trim
		}
		take := mustTake(t, b, o)
		for _, words := range []string{"Mull the units", "Clips at the head and foot of each mull", "Interior air seal over each mull",
			"Seal both edges of each mull casing"} {
			assert.True(t, asks(take, func(r estimate.Requirement) bool { return strings.HasPrefix(r.Do, words) }), "%s: %s", name, words)
		}
	})
}
