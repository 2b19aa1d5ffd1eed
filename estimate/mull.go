package estimate

import (
	"fmt"
	"slices"

	"sillwright/estimate/measure"
)

// MullWidth returns the joint between mulled units.
//
//	mull = (frame width - sum of the unit widths) / (units - 1)
//
// Source: geometry
func MullWidth(frame measure.Length, widths []measure.Length) measure.Length {
	if len(widths) < 2 {
		return 0
	}
	sum := measure.Length(0)
	for _, w := range widths {
		sum += w
	}
	return (frame - sum) / measure.Length(len(widths)-1)
}

// MullCenters returns where the middle of each mull stands, from the inside of
// the left leg, or of stacked units from the underside of the head. sides are
// the widths of the units from left to right, or their heights from the top
// down; gap is the joint at the side that is measured from.
//
//	center k = sides before + (k - 1/2) mull + g
//
// Source: geometry
func MullCenters(sides []measure.Length, mull, gap measure.Length) []measure.Length {
	var out []measure.Length
	at := gap
	for k, side := range sides {
		if k == len(sides)-1 {
			break
		}
		at += side
		out = append(out, at+mull/2)
		at += mull
	}
	return out
}

// StudsApart returns how far apart two frames stand with studs between them.
//
//	joint = 1-1/2 studs + 2 × 1/4
//
// Source: geometry of 1-1/2 in studs; 1/4 in beside each frame: common practice
func StudsApart(studs int64) measure.Length {
	return measure.Length(studs)*3*measure.Inch/2 + measure.Inch/2
}

// CasingBetween returns the width to which the casing over studs between two frames is
// ripped, no more than that of its board. A narrow sealant joint takes no rod and tears,
// so the joint at either edge is the caulk joint, and no less than the least.
//
//	width = min(board, joint - 2 × max(caulk joint, least joint))
//
// Source: geometry; a least joint of 1/4 in: "Architectural Detailing", on northernarchitecture.us
func CasingBetween(joint, board, caulk, least measure.Length) measure.Length {
	return min(board, joint-2*max(caulk, least))
}

// studsBetween reports whether the units stand in openings of their own.
func (o *Opening) studsBetween() bool { return o.Units > 1 && o.Joined == StudsBetween }

// bays returns the widths of the frames that stand in an opening each.
func (o *Sized) bays() []measure.Length {
	if o.studsBetween() {
		return o.Widths
	}
	return []measure.Length{o.Frame.W}
}

// Stands returns in how many openings of the wall a mark's units stand, of one of its
// pieces.
func (o *Sized) Stands() int64 { return int64(len(o.bays())) }

// Lifted returns the size of the largest frame that is lifted at once: all mulled units
// of an opening, or one with studs between.
func (o *Sized) Lifted() Size { return Size{slices.Max(o.bays()), o.Frame.H} }

// separate settles units with studs between them: windows and patio doors side by side,
// whose flanges do not overlap, under one casing.
func (z *sizer) separate() {
	o, job := &z.o, z.job
	const apiece = "write each unit as a row of its own"
	switch joint := measure.FormatInches(o.Mull, 16); {
	case !o.studsBetween() && o.Units > 1 && o.Flange == FlangeBrickmould && o.Trim == "":
		z.say(Warning, "Mulled units", "brickmould is counted round the whole; what covers the joint between the units is in no count",
			"see that it comes with the units, or price it under Other costs")
	case !o.studsBetween():
	case o.Kind != Window && o.Kind != PatioDoor:
		z.say(Error, "Joined", fmt.Sprintf("studs between %ss are not estimated", o.Kind), apiece)
	case o.Stacked():
		z.say(Error, "Joined", "what stands between stacked units is a header", apiece)
	case o.Flange == FlangeBrickmould:
		z.say(Error, "Joined", "units with brickmould are cased each by itself", apiece)
	case o.Flange != FlangeNone && o.Mull < 2*job.FlangeWidth:
		z.say(Error, "Joined", fmt.Sprintf("flanges of %s in overlap in a joint of %s in", measure.FormatInches(job.FlangeWidth, 16), joint),
			"check Frame width and Unit widths; mulled units need mulled in Joined")
	case o.Mull < StudsApart(1):
		z.say(Error, "Joined", fmt.Sprintf("a joint of %s in has no room for a stud", joint), "check Frame width and Unit widths")
	case o.Mull > job.WidestJoint:
		z.say(Error, "Joined", fmt.Sprintf("a joint of %s in is wider than the %s in that one casing covers", joint, measure.FormatInches(job.WidestJoint, 16)),
			apiece+", or change 'widest studs between' on Job")
	}
}

// maxMull is the widest joint between mulled units that is believed.
const maxMull = 2 * measure.Inch

// mulls finds the widths of mulled units and the joint between them.
func (z *sizer) mulls() {
	o := &z.o
	o.Widths = []measure.Length{o.Frame.W}
	if o.Units < 2 && o.Joined != "" {
		z.say(Error, "Joined", fmt.Sprintf("%q, and one unit is counted", o.Joined), "set Mulled units to how many stand together, or clear Joined")
		return
	}
	if len(o.UnitHeights) > 1 || len(o.UnitHeights) == 1 && o.Units > 1 {
		z.stacked()
		return
	}
	if o.Units < 2 {
		if len(o.UnitWidths) > 1 {
			z.say(Error, "Unit widths", fmt.Sprintf("%d unit widths for one unit", len(o.UnitWidths)), "set Mulled units to their number")
		}
		return
	}
	switch len(o.UnitWidths) {
	case 0:
		o.Mull = z.job.MullJoint
		if o.studsBetween() {
			o.Mull = z.job.StudJoint
		}
		each := (o.Frame.W - measure.Length(o.Units-1)*o.Mull) / measure.Length(o.Units)
		if each < smallestSide {
			z.say(Error, "Mulled units", fmt.Sprintf("%d units do not fit a frame of %s in", o.Units, measure.FormatInches(o.Frame.W, 16)),
				"check the number of units and the overall width")
			return
		}
		o.Widths = slices.Repeat([]measure.Length{each}, int(o.Units))
	case int(o.Units):
		o.Widths = o.UnitWidths
		o.Mull = MullWidth(o.Frame.W, o.UnitWidths)
		if o.Mull < 0 || o.Mull > maxMull && !o.studsBetween() {
			z.say(Error, "Unit widths", fmt.Sprintf("the unit widths leave joints of %s in in a frame of %s", measure.FormatInches(o.Mull, 16),
				measure.FormatInches(o.Frame.W, 16)), "the overall width is the units and the joints between them, 0 to 2 in each; with studs between them "+
				"write so in Joined")
		}
	default:
		z.say(Error, "Unit widths", fmt.Sprintf("%d unit widths for %d units", len(o.UnitWidths), o.Units),
			"write one width a unit, separated by semicolons, or none for equal units")
	}
}

// stacked finds the joint between units that stand one on the other.
func (z *sizer) stacked() {
	o := &z.o
	n := int64(len(o.UnitHeights))
	switch {
	case len(o.UnitWidths) > 1:
		z.say(Error, "Unit heights", "both widths and heights of mulled units are given",
			"write widths for units side by side, heights for stacked ones; a grid of both is a row for each stack")
		return
	case n != o.Units:
		z.say(Error, "Unit heights", fmt.Sprintf("%d unit heights, but Mulled units is %d", n, o.Units),
			"set Mulled units to the number stacked, and write one height a unit from the top down")
		return
	}
	o.Widths = slices.Repeat([]measure.Length{o.Frame.W}, int(n))
	o.Mull = MullWidth(o.Frame.H, o.UnitHeights)
	if o.Mull < 0 || o.Mull > maxMull {
		z.say(Error, "Unit heights", fmt.Sprintf("the unit heights leave joints of %s in in a frame %s in high", measure.FormatInches(o.Mull, 16),
			measure.FormatInches(o.Frame.H, 16)), "the overall height is the units and the joints between them, 0 to 2 in each")
	}
}

// trimMull returns the joint between mulled units in the frame that the trim
// goes round: what was measured more or less than ordered lies in the joints.
func (o *Sized) trimMull(b Brickmould) measure.Length {
	if o.Units < 2 || !o.Measured.Known() {
		return o.Mull
	}
	ordered := o.Outside(b)
	over := o.Measured.W - ordered.W
	if o.Stacked() {
		over = o.Measured.H - ordered.H
	}
	return o.Mull + over/measure.Length(o.Units-1)
}

// mullCenters returns where the mulls stand, and from where that is measured.
func (o *Sized) mullCenters(gaps Gaps, b Brickmould) (at []measure.Length, from string) {
	mull := o.trimMull(b)
	if o.Stacked() {
		return MullCenters(o.UnitHeights, mull, gaps.Head), "the underside of the head"
	}
	return MullCenters(o.Widths, mull, gaps.Legs), "the inside of the left leg"
}
