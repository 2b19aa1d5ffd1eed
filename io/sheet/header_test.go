package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFoldHeader(t *testing.T) {
	for _, tt := range []struct{ why, header, fold, unit string }{
		{"as we write it", "Frame width", "framewidth", ""},
		{"capitals and inner spaces (real header)", "ROUGH  OPENING WIDTH", "roughopeningwidth", ""},
		{"line break in the cell", "Frame\nwidth", "framewidth", ""},
		{"underscore", "frame_width", "framewidth", ""},
		{"no-break space and zero width", "Frame\u00a0wid\u200bth ", "framewidth", ""},
		{"mark of a required column", "Mark*", "mark", ""},
		{"unit in brackets (real header)", "Width (in)", "width", "in"},
		{"unit in brackets, with a point and a star", "Width (in.) *", "width", "in"},
		{"unit in square brackets", "Width [mm]", "width", "mm"},
		{"inch mark in brackets", `Width (")`, "width", "in"},
		{"prime in brackets", "Width (′)", "width", "ft"},
		{"unit after a comma", "Frame width, mm", "framewidth", "mm"},
		{"unit in words", "Frame width in inches", "framewidth", "in"},
		{"unit in words in brackets", "Frame width (in feet)", "framewidth", "ft"},
		{"bare unit", "Width cm", "width", "cm"},
		{"metres", "Width (Metres)", "width", "m"},
		{"a mixed unit is none", "Width (ft-in)", "widthftin", ""},
		{"currency sign", "Unit cost ($)", "unitcost", ""},
		{"currency in letters matters", "Unit cost (EUR)", "unitcosteur", ""},
		{"the word before a unit is not lost", "Stain m", "stain", "m"},
		{"a unit alone is a header", "in", "in", ""},
		{"brackets alone", "(mm)", "mm", ""},
		{"number sign", "Mark #", "markno", ""},
		{"No. is the same", "Mark No.", "markno", ""},
		{"percent sign", "Waste %", "wastepercent", ""},
		{"ampersand", "Tax & fees", "taxandfees", ""},
		{"other letters", "Höhe", "höhe", ""},
		{"nothing", " ", "", ""},
	} {
		t.Run(tt.why, func(t *testing.T) {
			assert.Equal(t, tt.fold, FoldHeader(tt.header))
			_, u := splitUnit(tt.header)
			assert.Equal(t, tt.unit, u.String())
		})
	}
}

func TestNearest(t *testing.T) {
	kinds := []string{"window", "entry door", "patio door", "overhead door"}
	headers := []string{"Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "Status"}
	for _, tt := range []struct {
		why   string
		word  string
		known []string
		want  string
	}{
		{"two letters swapped", "widnow", kinds, "window"},
		{"a letter missing", "windw", kinds, "window"},
		{"a letter too many", "windows", kinds, "window"},
		{"another letter", "patio doer", kinds, "patio door"},
		{"case and spaces", "  ENTRY   DOOR ", kinds, "entry door"},
		{"space missing", "entrydoor", kinds, "entry door"},
		{"two slips in a long word", "overhed dor", kinds, "overhead door"},
		{"begun", "over", kinds, "overhead door"},
		{"begun, but two go on so", "frame", headers, ""},
		{"header slip (real kind of header)", "Frame widht", headers, "Frame width"},
		{"short word, one slip", "Mrak", headers, "Mark"},
		{"short word, two slips", "Mkra", headers, ""},
		{"the first of equals", "aabb", []string{"aaab", "abbb"}, "aaab"},
		{"the nearest, not the first", "abcdefgh", []string{"abcdefxx", "abcdefgx"}, "abcdefgx"},
		{"another word of a text", "fire door", []string{"side door"}, ""},
		{"short words are not guessed", "FD", []string{"fx", "fdx"}, ""},
		{"but for swapped letters", "HD", []string{"dh"}, "dh"},
		{"the opposite", "swinging patio door", []string{"sliding patio door"}, ""},
		{"another number", "4 sided", []string{"3 sided"}, ""},
		{"begun with three letters, into another word", "ext", []string{"exterior trim"}, ""},
		{"the last word left out", "hinged patio", []string{"hinged patio door"}, "hinged patio door"},
		{"one letter is near to nothing", "x", []string{"y", "xy"}, ""},
		{"another word", "skylight", kinds, ""},
		{"nothing typed", "", kinds, ""},
		{"nothing known", "window", nil, ""},
	} {
		t.Run(tt.why, func(t *testing.T) {
			got, ok := Nearest(tt.word, tt.known)
			assert.Equal(t, tt.want, got)
			assert.Equal(t, tt.want != "", ok)
		})
	}
}
