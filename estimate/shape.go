package estimate

import (
	"slices"
	"strings"
	"unicode"
)

// shapeWords are what schedules write of units that are no rectangles.
var shapeWords = []string{
	"arch top", "archtop", "arched", "arch head", "arched head", "round top", "roundtop", "round head", "half round", "full round", "eyebrow", "radius top",
	"radius head", "curved", "circle top", "circle head", "circular", "octagon", "octagonal", "hexagon", "trapezoid", "triangle", "triangular", "gothic",
	"elliptical", "ellipse", "oval", "arch window", "round window", "circle window", "radius window", "raked head", "rake head", "sloped head", "angled top",
	"angled head", "peaked head", "special shape", "quarter round window", "half circle", "quarter circle", "semicircle", "semicircular", "half moon",
	"pentagon", "palladian", "porthole", "trapezoidal", "geometric",
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

// Shape returns the words of the schedule that say that the opening is no
// rectangle; "" when none does.
func (o *Opening) Shape() string {
	words, _ := o.shape()
	return words
}

// shape returns the words, too, and the header of the column that holds them.
func (o *Opening) shape() (words, header string) {
	said := append([]ExtraCell{{"Operation", string(o.Operation)}, {"Notes", o.Notes}}, o.Extra...)
	for _, c := range said {
		if (c.Header == "Operation" || isShapeHeader(c.Header)) && slices.Contains(shapeAlone, spaced(c.Text)) {
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
