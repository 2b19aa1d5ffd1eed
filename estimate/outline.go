package estimate

import (
	"slices"
	"strings"

	"sillwright/estimate/measure"
)

// segment is one edge of an outline: count edges of one length. A corner is a
// segment without length.
type segment struct {
	edge   Edge
	length measure.Length
	count  int64
}

// segments returns the step's edges with their lengths at this opening.
func (a *application) segments() []segment {
	var out []segment
	for _, e := range a.step.Edges {
		switch e {
		case Sill, Head:
			if a.rigidHead(e) {
				continue
			}
			for _, w := range a.widths(e) {
				out = append(out, segment{e, w, 1})
			}
		case Jambs:
			out = append(out, a.jambs()...)
		case Mullions:
			if a.o.Units > 1 {
				out = append(out, segment{e, a.mullion(), a.o.Units - 1})
			}
		case Corners:
			out = append(out, segment{e, 0, 4 * a.times() * a.o.Stands()})
		case HeadCorners, SillCorners:
			out = append(out, segment{e, 0, 2 * a.times() * a.o.Stands()})
		}
	}
	return out
}

// times returns how often a step is done at one opening.
func (a *application) times() int64 {
	switch a.step.Per {
	case PerUnit:
		return a.o.Units
	case PerMull:
		return a.o.Units - 1
	}
	return 1
}

// widths returns the lengths of a horizontal edge of the step's outline.
func (a *application) widths(e Edge) []measure.Length {
	o := a.o
	switch a.step.Along {
	case AlongOutside:
		return []measure.Length{a.bent(e, a.around())}
	case AlongRough, AlongFrame, AlongFlange:
		return a.eachBay(e)
	case AlongUnit:
		if o.Units == 1 {
			return []measure.Length{a.bent(e, o.Frame)}
		}
		return o.Widths
	case AlongTrim:
		piece := map[Edge]PieceName{Head: HeadPiece, Sill: BottomPiece}[e]
		if _, ok := a.trim.piece(piece); ok {
			return []measure.Length{a.trim.width(piece)}
		}
		return nil
	}
	return o.roughWidths() // pan
}

// roughWidths returns the widths of the openings in the wall.
func (o *Sized) roughWidths() []measure.Length {
	widths := slices.Clone(o.bays())
	for i := range widths {
		widths[i] += o.Rough.W - o.Frame.W
	}
	return widths
}

// eachBay returns the lengths of a horizontal edge of the step's outline, an opening of
// the wall each.
func (a *application) eachBay(e Edge) []measure.Length {
	around := a.around()
	if !a.o.studsBetween() {
		return []measure.Length{a.bent(e, around)}
	}
	widths := slices.Clone(a.o.Widths)
	for i := range widths {
		widths[i] += around.W - a.o.Frame.W
	}
	return widths
}

// around returns the rectangle that the step's outline lies in.
func (a *application) around() Size {
	o, flange := a.o, 2*a.book.Job.FlangeWidth
	switch a.step.Along {
	case AlongOutside:
		return o.Outside(a.book.Job.Brickmould)
	case AlongFlange:
		return Size{o.Frame.W + flange, o.Frame.H + flange}
	case AlongFrame:
		return o.Frame
	}
	return o.Rough
}

// jambs returns the upright edges of the outline.
func (a *application) jambs() []segment {
	o, of := a.o, func(h measure.Length, n int64) []segment { return []segment{{Jambs, h, n}} }
	switch a.step.Along {
	case AlongRough, AlongFrame, AlongFlange:
		return of(a.bent(Jambs, a.around()), 2*a.o.Stands())
	case AlongOutside:
		return of(a.bent(Jambs, a.around()), 2)
	case AlongUnit:
		if !o.Stacked() {
			return of(a.bent(Jambs, o.Frame), 2*o.Units)
		}
		var out []segment
		for _, h := range o.UnitHeights {
			out = append(out, of(h, 2)...)
		}
		return out
	case AlongTrim:
		if leg, ok := a.trim.piece(LegPiece); ok {
			return of(leg.Length, leg.Number)
		}
		return nil
	}
	return of(o.Rough.H, 2*a.o.Stands())
}

// mullion returns the length of the joint between mulled units.
func (a *application) mullion() measure.Length {
	if a.o.Stacked() {
		return a.o.Frame.W
	}
	switch a.step.Along {
	case AlongFrame, AlongUnit, AlongOutside:
		return a.o.Frame.H
	}
	if jambs := a.jambs(); len(jambs) > 0 {
		return jambs[0].length
	}
	return 0
}

// ends returns what a piece runs past its edge. The foot of a jamb piece stops
// at a slab or a masonry sill. What is bent is folded up at each end of a head,
// so that water does not run off sideways.
func (a *application) ends(e Edge, width measure.Length) (first, second measure.Length) {
	first, second = a.step.Ends[0].Of(width), a.step.Ends[1].Of(width)
	if e == Head && a.item.Class == ClassMetal {
		first, second = first+a.item.End, second+a.item.End
	}
	if e == Jambs && a.o.SitsOn != OnWood {
		second = min(second, 0)
	}
	return first, second
}

// joinEdges names edges in words.
func joinEdges(es []Edge) string {
	words := make([]string, len(es))
	for i, e := range es {
		words[i] = string(e)
	}
	return strings.Join(words, " and ")
}
