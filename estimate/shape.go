package estimate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"sillwright/estimate/measure"
)

// UnitShape is the shape of a unit, seen from outside.
type UnitShape string

// The shapes. Of a round head and of a round unit the lengths of the edges are known; of
// the others those of the rectangle around them, together never less, are taken.
const (
	ShapeRectangle UnitShape = "rectangle"
	ShapeRoundHead UnitShape = "round head" // half a circle over straight jambs, which may be 0
	ShapeRound     UnitShape = "round"
	ShapeArch      UnitShape = "arch" // flatter than half a circle
	ShapeTrapezoid UnitShape = "trapezoid"
	ShapeOther     UnitShape = "other"
)

// ShapeWords lists them.
var ShapeWords = wordsOf(ShapeRectangle, ShapeRoundHead, ShapeRound, ShapeArch, ShapeTrapezoid, ShapeOther)

// Arc returns the length of a part of a circle, rounded up to a step.
//
//	length = pi × diameter × part
//
// Source: geometry
func Arc(diameter measure.Length, part float64, step measure.Length) measure.Length {
	return measure.Length(math.Ceil(float64(diameter)*math.Pi*part/float64(step))) * step
}

// shapeTolerance is how far the sizes of a circle may be apart.
const shapeTolerance = measure.Inch / 4

// shape checks that the sizes are those of the shape.
func (z *sizer) shape() {
	o := &z.o
	if o.Shape == "" {
		o.ShapeSaid, _ = o.shapeSaid()
	}
	write := "check the size, or write " + string(ShapeOther) + " under Shape"
	switch {
	case o.Shape == "" || o.Shape == ShapeRectangle:
	case o.Units > 1:
		z.say(Error, "Shape", "mulled units of another shape than a rectangle are not estimated", "give each unit a row of its own")
	case o.Shape == ShapeRoundHead && o.Frame.H < o.Frame.W/2-shapeTolerance:
		z.say(Error, "Shape", fmt.Sprintf("a head of half a circle is half as high as wide, and the frame is %s in wide and %s high",
			measure.FormatInches(o.Frame.W, 16), measure.FormatInches(o.Frame.H, 16)), write)
	case o.Shape == ShapeRound && max(o.Frame.W, o.Frame.H)-min(o.Frame.W, o.Frame.H) > shapeTolerance:
		z.say(Error, "Shape", fmt.Sprintf("a round unit is as high as wide, and the frame is %s in wide and %s high",
			measure.FormatInches(o.Frame.W, 16), measure.FormatInches(o.Frame.H, 16)), write)
	}
}

// rectangular reports whether the unit is a rectangle: stated, or nothing says otherwise.
func (o *Sized) rectangular() bool {
	return o.Shape == ShapeRectangle || o.Shape == "" && o.ShapeSaid == ""
}

// shapeHeld says why no trim is planned for an opening that may have one, and what to
// do: boards are straight, and the corners of other shapes are not known. "" for a
// rectangle, and where no trim is wanted.
func (o *Sized) shapeHeld() (why, do string) {
	switch {
	case o.rectangular() || o.Trim == NoTrim || o.Status.TrimDone():
		return "", ""
	case o.Shape == "":
		return fmt.Sprintf("its shape is not settled (%q)", o.ShapeSaid), "write Shape: " + strings.Join(ShapeWords, ", ")
	}
	return fmt.Sprintf("no boards are planned for its shape (%s), nor a drip cap", o.Shape),
		"price its trim and drip cap under Other costs, and write none under Trim"
}

// bent returns the length of an edge by the shape of the unit, which lies in a rectangle.
// Of a circle each edge is a quarter, from corner to corner of a square; of a round head
// the head is such a quarter, and each jamb goes on for half a quarter.
func (a *application) bent(e Edge, around Size) measure.Length {
	step := measure.Inch / 16
	if a.book.Job.MM {
		step = measure.Millimeter
	}
	switch shape := a.o.Shape; {
	case shape == ShapeRound, shape == ShapeRoundHead && e == Head:
		return Arc(around.W, 1.0/4, step)
	case shape == ShapeRoundHead && e == Jambs:
		return max(0, around.H-around.W/2) + Arc(around.W, 1.0/8, step)
	case e == Jambs:
		return around.H
	}
	return around.W
}

// rigidHead reports whether an edge is a head to which the step's item does not bend.
func (a *application) rigidHead(e Edge) bool {
	return e == Head && !a.o.rectangular() && a.item.Class == ClassMetal
}

// shapeWords are what schedules write of units that are no rectangles.
var shapeWords = []string{
	"arch top", "archtop", "arched", "arch head", "arched head", "round top", "roundtop", "round head", "half round", "full round", "eyebrow", "radius top",
	"radius head", "curved", "circle top", "circle head", "circular", "octagon", "octagonal", "hexagon", "trapezoid", "triangle", "triangular", "gothic",
	"elliptical", "ellipse", "oval", "arch window", "round window", "circle window", "radius window", "raked head", "rake head", "sloped head", "angled top",
	"angled head", "peaked head", "special shape", "quarter round window", "half circle", "quarter circle", "semicircle", "semicircular", "half moon",
	"pentagon", "palladian", "porthole", "trapezoidal", "geometric", "1 2 round", "1 2 circle", "semi circle", "rounded top", "segmental", "segment top",
	"segment head",
	"angle top", "sloped top", "raked", "rake top", "arc top", "roman arch", "trap window", "peak head", "peak top", "clipped corner", "clipped corners",
	"half rd",
	"full arch", "round headed",
}

// shapeAlone are words that mean a shape only in a type, or where nothing but
// the shape or the style stands: elsewhere "round" is a word, "arch" an
// architect and "quarter round" a molding.
var shapeAlone = []string{"arch", "round", "circle", "radius", "angled", "shaped", "trap", "rake", "quarter round", "diamond"}

// ShapeOfType returns the words of a type of opening that say that it is no
// rectangle; "" when none does.
func ShapeOfType(text string) string {
	in := " " + spaced(text) + " "
	for _, w := range slices.Concat(shapeWords, shapeAlone) {
		if strings.Contains(in, " "+w+" ") {
			return w
		}
	}
	return ""
}

// shapeHeaders are the headers of columns that hold a shape or a style.
var shapeHeaders = []string{"shape", "style", "type", "window type", "window style", "unit type", "configuration", "head shape", "form"}

// shapeSaid returns the words of the schedule that say that the opening is no rectangle,
// and the header of the column that holds them; "" when none does.
func (o *Opening) shapeSaid() (words, header string) {
	said := append([]ExtraCell{{"Operation", o.opens()}, {"Notes", o.Notes}}, o.Extra...)
	for _, c := range said {
		if isShapeHeader(c.Header) && slices.Contains(shapeAlone, spaced(c.Text)) || c.Header == "Operation" && ShapeOfType(c.Text) != "" {
			return c.Text, c.Header
		}
	}
	for _, c := range said {
		in := " " + spaced(c.Text) + " "
		for _, w := range shapeWords {
			if strings.Contains(in, " "+w+" ") {
				return w, c.Header
			}
		}
	}
	return "", ""
}

func isShapeHeader(header string) bool {
	return slices.Contains(shapeHeaders, strings.ToLower(strings.Join(strings.Fields(header), " ")))
}

// spaced returns the words of a text in lower case, one space apart.
func spaced(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}
