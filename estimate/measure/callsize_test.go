package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestParseCallSize(t *testing.T) {
	const plans = `greathousedesign.com, "What Do the Window and Door Sizes Represent?"`
	for _, c := range []struct {
		source        string
		text          string
		width, height Length
	}{
		{`hunker.com, "How to Understand Wood Window Sizes"; "Carpentry" (1916), section 14: width first`, "3050", 36 * Inch, 60 * Inch},
		{plans, "4050", 48 * Inch, 60 * Inch},
		{plans, "2668", 30 * Inch, 80 * Inch},
		{plans, "2844", 32 * Inch, 52 * Inch},
		{plans, "2860", 32 * Inch, 72 * Inch},
		{"a 6-0 slider, not 60.68 (common practice, no source)", "6068", 72 * Inch, 80 * Inch},
		{"2'-10\" x 6'-8\" (common practice, no source)", "21068", 34 * Inch, 80 * Inch},
		{"16-0 x 7-0 (common practice, no source)", "16070", 192 * Inch, 84 * Inch},
		{"a building code page (publisher not on record)", "3080", 36 * Inch, 96 * Inch},
		{"common practice: 10 in of the height", "26610", 30 * Inch, 82 * Inch},
		{"common practice: 10 ft high", "30100", 36 * Inch, 120 * Inch},
		{"common practice: 10 in both ways", "210610", 34 * Inch, 82 * Inch},
		{"one lawful reading needs no help from the sizes", "25070", 300 * Inch, 84 * Inch},
		{"a building code page (publisher not on record)", "2/8 x 6/8", 32 * Inch, 80 * Inch},
		{"a building code page (publisher not on record)", "3-0 x 6-8", 36 * Inch, 80 * Inch},
		{"curly quotes as seen in a real document", "3’-0” x 5’-0”", 36 * Inch, 60 * Inch},
		{"type name as seen in a real document", `36" x 84"`, 36 * Inch, 84 * Inch},
		{"type name as seen in a real document", "4835mm x 2420mm", 4835 * Millimeter, 2420 * Millimeter},
		{"US Navy training manual NAVEDTRA 14069, p. 6-45", "2 ft 4 in. by 3 ft 10 in", 28 * Inch, 46 * Inch},
		{"multiplication sign, no spaces", `3'-0"×5'-0"`, 36 * Inch, 60 * Inch},
		{"alpinedesign.blogspot.com, April 2010", "5/0 x 4/6", 60 * Inch, 54 * Inch},
		{"inches raised beside the feet (common practice, no source)", "3⁰ x 6⁸", 36 * Inch, 80 * Inch},
		{"the same without an x", "2¹⁰6⁸", 34 * Inch, 80 * Inch},
		{"the same of an overhead door", "16⁰ × 7⁰", 192 * Inch, 84 * Inch},
	} {
		width, height, err := ParseCallSize(c.text)
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, [2]Length{c.width, c.height}, [2]Length{width, height}, "%s: %s", c.text, c.source)
		}
	}
}

func TestParseCallSizeRefuses(t *testing.T) {
	const write = ` (write 3050 or 3'-0" x 5'-0"; in place of a maker's code its frame size)`
	for text, want := range map[string]string{
		"":               `"" is blank` + write,
		"3050 SH Egress": `"3050 SH Egress" has words beside the call size (write the size alone, such as 3050)`,
		"16070 OHD":      `"16070 OHD" has words beside the call size (write the size alone, such as 3050)`,
		"Window 3050":    `"Window 3050" has words beside the call size (write the size alone, such as 3050)`,
		"2-3068 DBL":     `"2-3068 DBL" has a count before the call size (write the count in its own column)`,
		"(2) 3050":       `"(2) 3050" has a count before the call size (write the count in its own column)`,
		"11068":          `"11068" may be 1'-10" x 6'-8" or 11'-0" x 6'-8" (write the one that is meant)`,
		"12610":          `"12610" may be 1'-2" x 6'-10" or 12'-6" x 1'-0" (write the one that is meant)`,
		"36² x 59²":      `"36² x 59²" is not a call size: "36²" has a digit that stands high or low (write 3'-0" for feet and inches, or a fraction such as 1/2)`,
		"³⁰⁵⁰":           `"³⁰⁵⁰" is not a call size` + write,
		"3⁰/6⁸":          `"3⁰/6⁸" is not a call size` + write,
		"3000":           `"3000" is not a call size` + write,
		"0650":           `"0650" is not a call size` + write,
		"305":            `"305" is not a call size` + write,
		"30":             `"30" is not a call size` + write,
		"PR 915":         `"PR 915" is not a call size` + write,
		"30/30":          `"30/30" is not a call size` + write,
		"36 x 80":        `"36 x 80" is not a call size: "36" has no unit (write the unit after it: in, ft, mm, cm or m)`,
		"16 x 7 OHD":     `"16 x 7 OHD" is not a call size: "16" has no unit (write the unit after it: in, ft, mm, cm or m)`,
		`2′-” x 6′-0″`:   `"2′-” x 6′-0″" is not a call size: "2'-"" lacks its inches (write 2'-0", or the inches that were meant)`,
		"3-14 x 6-8":     `"3-14 x 6-8" is not a call size: "3-14" may be feet and inches or a range (write 3'-6", or one size)`,
		"3-0 x 6-8 SDL":  `"3-0 x 6-8 SDL" is not a call size: "6-8 sdl" has words beside the length (write the size alone, with in, ft, mm, cm or m)`,
	} {
		width, height, err := ParseCallSize(text)
		assert.EqualError(t, err, want)
		assert.Zero(t, width+height)
	}
}

// FuzzParseCallSize: no input panics, and a size read has two sides in range.
func FuzzParseCallSize(f *testing.F) {
	for _, s := range []string{"3050", "21068", "16070", "11011068", "3-0 x 5-0", "3/0 x 6/8", "x", "2-3068", "\xff x \xff", "3⁰ x 6⁸", "3⁰6⁸", "2¹⁰/²"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		width, height, err := ParseCallSize(s)
		if err != nil {
			assert.Zero(t, width+height)
			return
		}
		assert.True(t, width >= 0 && width <= MaxLength && height >= 0 && height <= MaxLength)
	})
}
