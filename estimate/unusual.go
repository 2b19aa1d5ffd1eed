package estimate

import (
	"fmt"
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// usualSides are the sides of frames between which nothing is said, by kind; of mulled
// units, of each of them. What is said of other doors, and of the heights of those that
// people walk through, stands at proportions.
//
// From memory, no source.
var usualSides = map[Kind]struct{ w, h [2]measure.Length }{
	Window:    {[2]measure.Length{6 * measure.Inch, 192 * measure.Inch}, [2]measure.Length{6 * measure.Inch, 120 * measure.Inch}},
	EntryDoor: {w: [2]measure.Length{24 * measure.Inch, 144 * measure.Inch}},
}

// slabSides are the widths and heights of door slabs, single and in pairs, which no
// frame of a door has.
//
// From memory, no source.
var slabSides = struct{ w, h []measure.Length }{
	w: []measure.Length{24 * measure.Inch, 28 * measure.Inch, 30 * measure.Inch, 32 * measure.Inch, 34 * measure.Inch, 36 * measure.Inch, 42 * measure.Inch,
		48 * measure.Inch, 60 * measure.Inch, 64 * measure.Inch, 72 * measure.Inch},
	h: []measure.Length{80 * measure.Inch, 84 * measure.Inch, 96 * measure.Inch},
}

// narrowestMulled is the width from which a mulled unit is believed.
//
// Common practice, no source.
const narrowestMulled = 14 * measure.Inch

// unusual questions sizes that are possible and hardly ever meant.
func (z *sizer) unusual() {
	o := &z.o
	w := slices.Clone(o.Widths)
	slices.Sort(w)
	h := []measure.Length{o.Frame.H}
	if o.Stacked() {
		h = slices.Sorted(slices.Values(o.UnitHeights))
	}
	usual := usualSides[o.Kind]
	z.unusualSide("width", w, usual.w)
	z.unusualSide("height", h, usual.h)
	if o.Kind == EntryDoor && o.FrameFrom == "given" && slices.Contains(slabSides.w, o.Frame.W) && slices.Contains(slabSides.h, o.Frame.H) {
		room := z.job.Clearance[EntryDoor]
		frame := Size{o.Frame.W + z.job.SlabClearance.W - room.W, o.Frame.H + z.job.SlabClearance.H - room.H}
		z.say(Warning, "Frame width", fmt.Sprintf("the frame of %s is the size of a door slab, whose frame is about %s", sizeWords(o.Frame), sizeWords(frame)),
			"write it as a call size, or the outside of the jambs")
	}
	if o.Kind == EntryDoor && o.Units == 1 && leaves(o, nil) == "not stated" {
		z.say(Warning, z.givenIn("width"), fmt.Sprintf("a frame %s in wide is more than one leaf: it is counted as one", measure.FormatInches(o.Frame.W, 16)),
			"write Operation: pair, sidelites, or single for one leaf")
	}
	if len(w) > 1 && len(o.UnitWidths) == 0 && !o.Stacked() && w[0] < narrowestMulled {
		z.say(Warning, z.givenIn("width"), fmt.Sprintf("%d units in a frame %s in wide are %s in wide each", o.Units, measure.FormatInches(o.Frame.W, 16),
			measure.FormatInches(w[0], 16)), "is it the width of one unit? the frame's is of all of them and the joints between")
	}
}

// unusualSide questions the smallest and the largest of sorted sides.
func (z *sizer) unusualSide(side string, sides []measure.Length, usual [2]measure.Length) {
	if usual[1] == 0 {
		return
	}
	for _, l := range []measure.Length{sides[0], sides[len(sides)-1]} {
		if l >= usual[0] && l <= usual[1] {
			continue
		}
		z.say(Warning, z.givenIn(side), fmt.Sprintf("a %s of %s in is unusual for %ss; %s to %s is usual", side, measure.FormatInches(l, 16), z.o.Kind,
			measure.FormatInches(usual[0], 16), measure.FormatInches(usual[1], 16)), "check the number and its unit")
		return
	}
}

// givenIn returns the column that a side of the frame comes from.
func (z *sizer) givenIn(side string) string {
	switch {
	case z.o.FrameFrom == "given":
		return "Frame " + side
	case strings.HasPrefix(z.o.FrameFrom, "call size"):
		return "Call size"
	}
	return "RO " + side
}

// costTimes is how many times the usual unit cost for its size, or how small a part of
// it, a unit may cost without a word.
//
// Common practice, no source.
const costTimes = 8

// costDoubts questions unit costs that stand out among those of the same kind, by what
// they are for a square foot of frame: the middle one is usual, where three or more
// have one.
func costDoubts(openings []Sized) []Problem {
	byKind := map[Kind][]int64{}
	for i := range openings {
		if o := &openings[i]; o.UnitCost.V > 0 {
			byKind[o.Kind] = append(byKind[o.Kind], o.costOfFoot())
		}
	}
	middle := map[Kind]int64{}
	for k, costs := range byKind {
		if len(costs) > 2 {
			slices.Sort(costs)
			middle[k] = costs[len(costs)/2]
		}
	}
	var out []Problem
	for i := range openings {
		o := &openings[i]
		usual := middle[o.Kind]
		cost := o.costOfFoot()
		how := ""
		switch {
		case usual == 0 || o.UnitCost.V <= 0:
			continue
		case cost/costTimes > usual:
			how = fmt.Sprintf("more than %d times", costTimes)
		case usual/costTimes > cost:
			how = fmt.Sprintf("less than 1/%d of", costTimes)
		default:
			continue
		}
		out = append(out, Problem{o.PlaceOf("Unit cost"), Warning,
			fmt.Sprintf("%s: a unit cost of %s is %s what the other units of its kind cost for their size", o.Mark, o.UnitCost.V, how),
			"check the amount and its point"})
	}
	return out
}

// costOfFoot returns the unit cost for a square foot of frame, in cents.
func (o *Sized) costOfFoot() int64 {
	return measure.MulDiv(int64(o.UnitCost.V), int64(measure.SquareFoot), int64(max(1, o.Frame.Area())))
}
