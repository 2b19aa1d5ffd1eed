package schedule

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"sillwright/io/sheet"
)

// What people write where a size or an amount belongs and none is known, or
// where it is the size of something else.

// whenUnknown is what to do, by column, where a cell holds no number.
var whenUnknown = map[string]string{
	"Frame width": withoutFrame, "Frame height": withoutFrame, "RO width": withoutFrame, "RO height": withoutFrame,
	"Measured width": "leave it blank until it is measured", "Measured height": "leave it blank until it is measured",
	"Jamb depth": notYet, "Leg drop": notYet, "Sill height": notYet, "Height above grade": notYet, "Wall depth": notYet, "Unit widths": notYet,
	"Unit heights": notYet,
	"Unit cost":    "leave it blank until it is known; where the owner buys the unit, write owner under Furnished by",
}

const (
	notYet       = "leave it blank until it is known"
	withoutFrame = "leave it blank and give the frame, the rough opening or a Call size; an opening without any size is not estimated"
)

// otherSizes are words beside a number that say what it is the size of.
var otherSizes = []struct{ words, what, do string }{
	{"ro|r o|rough|rough opening", "is the rough opening", "write it under RO width and RO height"},
	{"mo|m o|masonry|masonry opening", "is the masonry opening, which is neither the frame nor the rough opening", "write the frame or the rough opening"},
	{"dlo|daylight|glass", "is the glass, and not the frame", "write the frame or the rough opening"},
}

// The forms of a size that people write and that say no one length.
var (
	feetAndInches = regexp.MustCompile(`^(\d{1,2})[- ](\d|1[01])(?: (\d+/\d+))?$`)
	wallOf        = regexp.MustCompile(`^2 ?x ?[468](?: (?:wall|stud|studs))?$`)
)

// depthOfStuds is what to write, by column or setting, where a wall is named by
// its studs; blank is the jamb depth of a unit. Dressed sizes are 3-1/2 and 5-1/2 in.
var depthOfStuds = map[string]string{
	"stud depth": "write 3-1/2 for 2x4, 5-1/2 for 2x6",
	"wall depth": "write framing and sheathing together, 3-15/16 for 2x4 and 7/16 sheathing, 5-15/16 for 2x6",
	"":           "write the jamb depth of the unit, usually 4-9/16 for a wall of 2x4, 6-9/16 for one of 2x6",
}

// unsized refuses a text that is no length for a reason that has a better
// answer than how lengths are written.
func (c *cell) unsized() bool {
	if c.Kind != sheet.Text {
		return false
	}
	text := strings.ToLower(c.Word())
	no := func(what, do string) bool {
		c.refuse(fmt.Sprintf("%s %q %s", c.name, sheet.Excerpt(c.Word()), what), do)
		return true
	}
	switch m := feetAndInches.FindStringSubmatch(text); {
	case c.numberless("size"):
		return true
	case strings.ContainsAny(text, "±~") || strings.Contains(text, "+/-"):
		return no("has a sign for about", "write the size alone once it is known; trim stays on hold until its unit is set and measured")
	case m != nil:
		return no("may be feet and inches, or a range", fmt.Sprintf("write %s'-%s\", or one size", m[1], strings.TrimSpace(m[2]+" "+m[3])))
	case strings.HasSuffix(c.name, " depth") && wallOf.MatchString(text):
		return no("names studs, and not a depth", cmp.Or(depthOfStuds[strings.ToLower(c.name)], depthOfStuds[""]))
	case strings.HasPrefix(c.name, "Frame "):
		in := " " + strings.Join(strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }), " ") + " "
		for _, o := range otherSizes {
			for _, w := range strings.Split(o.words, "|") {
				if strings.Contains(in, " "+w+" ") {
					return no(o.what, o.do)
				}
			}
		}
	}
	return false
}

// numberless refuses a text without a number in a column of Openings.
func (c *cell) numberless(of string) bool {
	do, asked := whenUnknown[c.name]
	if !asked || c.Kind != sheet.Text || strings.ContainsFunc(c.Text, unicode.IsNumber) {
		return false
	}
	c.refuse(fmt.Sprintf("%s %q holds no %s", c.name, sheet.Excerpt(c.Word()), of), do)
	return true
}
