package sheet

import (
	"strings"
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

// TestCountingOf: what headings say of a number of openings.
func TestCountingOf(t *testing.T) {
	for want, headings := range map[Counting][]string{
		Counts: {"Qty", "QTY.", "Quantities", "Qty (ea)", "Total Qty", "# req'd", "REQ’D", "No. of windows", "How many?", "Pcs", "Each", "Nos.",
			"Openings", "Order qty", "Off", "Needed"},
		MayTotal: {"Total", "TOTALS", "Amount", "Total #", "Qty per floor", "Qty shipped", "x", "Multiplier", "Windows", "Doors", "Instances", "Sum", "Times used"},
		MayCount: {"No.", "#", "Number", "Nr.", "Units", "# of units", "Unit qty", "Sets", "Lot"},
		MayShare: {"Bldg A", "Building 2", "1st Fl", "2nd floor", "Third", "Attic", "North", "Level 3", "Unit 12B", "Floor #2"},
		NoCount: {"", "Mark", "Mark No.", "Window No.", "Door number", "Unit", "Unit width", "Price each", "Cost ea", "Screen qty", "Lite count", "No. wide",
			"Mulled units",
			"Req'd by", "Glass", "Egress required", "Total cost", "Sheet no.", "Room number", strings.Repeat("qty ", 30)},
	} {
		for _, h := range headings {
			assert.Equal(t, want, CountingOf(h), h)
		}
	}
}

// TestAsks: headings that may count openings do not where their cells say so plainly.
func TestAsks(t *testing.T) {
	for _, c := range []struct {
		why, heading, cells string
		alone, want         bool
	}{
		{"no cell", "No.", "", false, false}, {"no number", "Total", "a b", false, false}, {"one number", "Total", "a 2", false, true},
		{"1 to 4", "No.", "1 2 3 4", false, false}, {"1 to 3", "No.", "1 2 3", false, true}, {"1 to 3, the only name", "No.", "1 2 3", true, false},
		{"one, the only name", "No.", "1", true, false}, {"two of one kind", "#", "2", true, true}, {"with a sum", "#", "1 2 3 4 Total", false, false},
		{"out of order", "#", "1 3 2 4", true, true}, {"twice", "#", "1 2 2 4", false, true}, {"from 100", "#", "101 103 102", false, false},
		{"marks, one of them bare", "#", "W1 2 W3", false, false}, {"numbers, one with a letter", "#", "1 2 3a 4", false, true}, {"totals 1 to 4", "Total",
			"1 2 3 4", false, true},
		{"a heading that counts", "Qty", "1 2", false, false},
	} {
		assert.Equal(t, c.want, CountingOf(c.heading).Asks(c.heading, strings.Fields(c.cells), c.alone), c.why)
	}
}
