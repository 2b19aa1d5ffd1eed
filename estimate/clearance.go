package estimate

import (
	"fmt"
	"strings"

	"sillwright/estimate/measure"
)

// Accepted room between a unit and its opening, before a warning.
//
// Source: 1/2 to 1 in: boulderlibrary.net, "Installation in a Nutshell"; legalclarity.org, "Rough Opening Sizes, Codes and Framing Requirements"
const (
	minClearance = measure.Inch / 2
	maxClearance = measure.Inch
)

// clearances checks the room between frame and opening.
func (z *sizer) clearances() {
	o := &z.o
	for _, s := range []struct {
		column       string
		rough, frame measure.Length
		want         measure.Length
	}{
		{"RO width", o.Rough.W, o.Frame.W, z.job.Clearance[o.Kind].W},
		{"RO height", o.Rough.H, o.Frame.H, z.job.Clearance[o.Kind].H},
	} {
		room := s.rough - s.frame
		side := strings.ToLower(strings.TrimPrefix(s.column, "RO "))
		switch {
		case room < 0:
			z.say(Error, s.column, fmt.Sprintf("the opening is %s in smaller in %s than the frame", measure.FormatInches(-room, 16), side),
				"check both sizes; are they swapped?")
		case o.Kind == OverheadDoor && room != s.want:
			z.say(Warning, s.column, fmt.Sprintf("the framed opening has %s in of room in %s over the finished opening, not %s",
				measure.FormatInches(room, 16), side, measure.FormatInches(s.want, 16)), "check the opening against the door before the jambs are cut")
		case o.Kind != OverheadDoor && (room < minClearance || room > maxClearance):
			z.say(Warning, s.column, fmt.Sprintf("the opening has %s in of room in %s; 1/2 to 1 is usual", measure.FormatInches(room, 16), side),
				"measure the opening; shims, foam and rod follow the gap")
		}
	}
	z.proportions()
	if o.Frame.H == o.Rough.W-z.job.Clearance[o.Kind].W && o.Frame.W == o.Rough.H-z.job.Clearance[o.Kind].H && o.Frame.W != o.Frame.H {
		z.say(Warning, "Frame width", "width and height of frame and opening are swapped", "width comes first in both")
	}
}

// The heights between which a door that people walk through is believed.
const (
	minDoorHeight = 72 * measure.Inch
	maxDoorHeight = 120 * measure.Inch
)

// proportions questions doors that are as wide as doors are high: width and
// height were probably swapped.
func (z *sizer) proportions() {
	o := &z.o
	switch {
	case o.Kind.Walked() && (o.Frame.H < minDoorHeight || o.Frame.H > maxDoorHeight):
		z.say(Warning, "Frame height", fmt.Sprintf("a frame %s in high is unusual for a door", measure.FormatInches(o.Frame.H, 16)),
			"are width and height swapped? width comes first")
	case o.Kind == OverheadDoor && 4*o.Frame.H > 5*o.Frame.W:
		z.say(Warning, "Frame height", fmt.Sprintf("an overhead door of %s is much higher than wide", sizeWords(o.Frame)),
			"are width and height swapped? width comes first")
	}
}
