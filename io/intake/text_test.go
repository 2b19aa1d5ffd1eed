package intake

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// readCell reads one cell of sizes as the only one of a list of windows.
func readCell(text string, unit measure.Unit, heightFirst bool) (reading, error) {
	c := sheet.Cell{Kind: sheet.Text, Text: text, Place: estimate.Place{File: "list.csv", Row: 2, Col: 1, Column: "Size"}}
	s := size{both: c, strict: true, heightFirst: heightFirst, from: "Size"}
	e := &entry{qty: 1, kind: estimate.Window, sizes: []size{s}}
	l := &list{declared: unit, entries: []*entry{e}}
	l.units()
	r, _, err := l.readSize(e, s)
	return r, err
}

// Sizes in one cell, of the sorts met in real schedules (facts gathered from
// public ones). The numbers are arithmetic: 1 in = 25.4 mm.
func TestSizeInOneCell(t *testing.T) {
	const in = measure.Inch
	mm := func(v float64) measure.Length { return measure.Length(v * float64(measure.Millimeter)) }
	for _, tt := range []struct {
		why, text string
		unit      measure.Unit
		w, h      measure.Length // 0: refused
	}{
		{"feet and inches", `3'-0" x 5'-0"`, 0, 36 * in, 60 * in},
		{"curly marks and a multiplication sign", "2’-8” × 6’-8”", 0, 32 * in, 80 * in},
		{"inches raised beside the feet: a call size", "3⁰ x 6⁸", 0, 36 * in, 80 * in},
		{"a digit that stands high, of no call size", "36² x 59²", 0, 0, 0},
		{"blanks round the dash, a fraction", `5' - 10 3/4" x 4' - 2"`, 0, 70*in + 3*in/4, 50 * in},
		{"inches by marks", `42" x 54-1/2"`, 0, 42 * in, 54*in + in/2},
		{"sides marked w and h", `30-7/8"w x 36-3/4"h`, 0, 30*in + 7*in/8, 36*in + 3*in/4},
		{"sides marked the other way", `36"h x 30"w`, 0, 30 * in, 36 * in},
		{"words for marks", "2 ft 6 in by 4 ft 2 in", 0, 30 * in, 50 * in},
		{"lights behind it", "2 ft 6 in by 4 ft 2 in, 12 lts", 0, 30 * in, 50 * in},
		{"unit behind the second only", "0915 x 2110mm", 0, mm(915), mm(2110)},
		{"unit behind both", "1810 mm x 1205 mm", 0, mm(1810), mm(1205)},
		{"centimetres", "90 x 120 cm", 0, mm(900), mm(1200)},
		{"bare, unit declared", "744x1500", measure.Millimeters, mm(744), mm(1500)},
		{"bare, only mm would do", "1220 x 1510", 0, mm(1220), mm(1510)},
		{"bare feet, declared", "9 x 8 OHD", measure.Feet, 108 * in, 96 * in},
		{"bare feet, too large for metres and too small for inches", "18 x 8", 0, 216 * in, 96 * in},
		{"prefix glued to it", `OHD-9'-0" x 7'-0"`, 0, 108 * in, 84 * in},
		{"call size", "2850", 0, 32 * in, 60 * in},
		{"call size and words", "2840 SH egress", 0, 32 * in, 48 * in},
		{"call size of five digits", "16080", 0, 192 * in, 96 * in},
		{"call size with dashes", "2-6 x 6-8", 0, 30 * in, 80 * in},
		{"call size with slashes: no fractions", "2/6 x 6/8 LH", 0, 30 * in, 80 * in},
		{"declared unit overruled by marks in the cell", `30" x 60"`, measure.Millimeters, 30 * in, 60 * in},

		{"count before it", "3-2868 DBL", 0, 0, 0},
		{"lights", "3x4 SDL", 0, 0, 0},
		{"feet or lights", "3x4", 0, 0, 0},
		{"two sizes", "1500 x 2100 stud 1620 x 2110", 0, 0, 0},
		{"a third number", "960 x 2110 (stud) 910 leaf", 0, 0, 0},
		{"three sizes", "900 x 2100 x 45", measure.Millimeters, 0, 0},
		{"inches lost behind the foot mark", `2′-” x 6′-0″`, 0, 0, 0},
		{"one number", "1200", measure.Millimeters, 0, 0},
		{"a range", "60” – 72”", 0, 0, 0},
		{"a pair of leaves", "PR 915", measure.Millimeters, 0, 0},
		{"width alone", "60 FRENCH", 0, 0, 0},
		{"marked twice alike", `30"w x 36"w`, 0, 0, 0},
		{"metric code, height first, or feet and inches", "1214", 0, 0, 0},
		{"digits in a metric list", "3050", measure.Millimeters, 0, 0},
		{"decimal commas", "36,5 x 60", measure.Inches, 0, 0},
		{"commas for thousands", "1,200 x 900", measure.Millimeters, 0, 0},
		{"words", "see plan", 0, 0, 0},
		{"longer than any opening", "90000 x 2100 mm", 0, 0, 0},
		{"12 inches behind the feet", `3'-12" x 5'-0"`, 0, 0, 0},
	} {
		t.Run(tt.why, func(t *testing.T) {
			r, err := readCell(tt.text, tt.unit, false)
			if tt.w == 0 {
				assert.Error(t, err, "%s", r)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, estimate.Size{W: tt.w, H: tt.h}, r.Size)
		})
	}
	r, err := readCell("47 x 71 in", 0, true)
	require.NoError(t, err)
	assert.Equal(t, estimate.Size{W: 71 * in, H: 47 * in}, r.Size, "the header says height first")
	r, err = readCell("6-8 x 3-0", 0, true)
	require.NoError(t, err)
	assert.Equal(t, "3-0 x 6-8", r.call)
	_, err = readCell("3050", 0, true)
	assert.Error(t, err, "3050 is width first; the header says height first")
}

// Texts in which a size stands among other words, as exports pack them.
func TestSizeInText(t *testing.T) {
	for _, tt := range []struct{ why, text, want string }{
		{"a type with its size", "Fixed:2800mm x 2410mm", "2800mm|2410mm"},
		{"the same twice, and a number of the model's", "M_Single-Flush:0762 x 2032mm:0762 x 2032mm:150173", "0762mm|2032mm"},
		{"between underscores", "DoorStyle_Exterior_DoorType16_1050x2343_RH", "1050|2343"},
		{"inches", `Casement - 30" x 48"`, `30"|48"`},
		{"two that differ", "Fixed:800 x 900mm:800 x 1000mm", ""},
		{"three sizes are a thing", "BlackoutShade02_1700x50x2300", ""},
		{"a comma for thousands is not the end of a part", "Fixed 1,200 x 900 mm", ""},
		{"none", "Single-Glass 1", ""},
		{"a type number", "Door Type 16", ""},
	} {
		t.Run(tt.why, func(t *testing.T) {
			p, err := cutPair(tt.text, false, false)
			if tt.want == "" {
				assert.Error(t, err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, tt.want, p.w+"|"+p.h)
		})
	}
}

func TestLikelyUnit(t *testing.T) {
	for _, tt := range []struct {
		why   string
		sizes []bare
		want  measure.Unit
	}{
		{"inches", []bare{{36, 60, false}, {30, 48, false}, {188, 31, false}}, measure.Inches},
		{"millimetres", []bare{{819, 759, false}, {2800, 2410, false}}, measure.Millimeters},
		{"metres: feet would make a door 28 in high", []bare{{1.05, 2.343, true}, {0.744, 2.25, false}}, measure.Meters},
		{"metres: 0.744 ft is on no tape", []bare{{0.744, 2.25, false}, {1.5, 2.25, false}}, measure.Meters},
		{"metres made from inches", []bare{{0.9398, 2.1082, true}}, measure.Meters},
		{"feet: metres would make a door 22 ft high", []bare{{3, 6.6667, true}}, measure.Feet},
		{"feet or metres", []bare{{2.5, 3, false}}, measure.NoUnit},
		{"between inches and millimetres", []bare{{300, 400, false}}, measure.NoUnit},
		{"nothing is so small", []bare{{0.2, 0.3, false}}, measure.NoUnit},
		{"nothing at all", nil, measure.NoUnit},
	} {
		t.Run(tt.why, func(t *testing.T) { assert.Equal(t, tt.want, likely(tt.sizes)) })
	}
}

func TestBelievedUnit(t *testing.T) {
	for _, tt := range []struct {
		why   string
		sizes []bare
		unit  measure.Unit
		want  bool
	}{
		{"small windows in inches", []bare{{22, 8, false}}, measure.Inches, true},
		{"the shortest that is believed", []bare{{10, 8, false}}, measure.Inches, true},
		{"a little shorter", []bare{{9.9, 8, false}}, measure.Inches, false},
		{"millimetres that are metres", []bare{{1.5, 2.25, false}}, measure.Millimeters, false},
		{"inches that are millimetres", []bare{{915, 2110, true}}, measure.Inches, false},
		{"inches that are centimetres, by the doors", []bare{{90, 210, true}}, measure.Inches, false},
		{"feet that are metres, by the doors", []bare{{1.05, 2.3, true}}, measure.Feet, false},
		{"centimetres", []bare{{90, 210, true}}, measure.Centimeters, true},
	} {
		t.Run(tt.why, func(t *testing.T) { assert.Equal(t, tt.want, believed(tt.sizes, tt.unit)) })
	}
}
