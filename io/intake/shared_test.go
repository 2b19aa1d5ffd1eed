//go:build shared

package intake

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/sheet"
)

// Real files that are not ours to ship: set SHARED_LISTS to the folder that
// holds them and run
//
//	SHARED_LISTS=FOLDER go test -tags shared -run Shared -v ./io/intake
func sharedFile(t *testing.T, name string) string {
	folder := os.Getenv("SHARED_LISTS")
	require.NotEmpty(t, folder, "set SHARED_LISTS to the folder of the real files")
	return filepath.Join(folder, name)
}

func sharedRows(t *testing.T, name string) [][]string {
	f, err := os.Open(sharedFile(t, name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

// unitOf is the unit that the comment beside a size states, as the header or
// the page would.
func unitOf(comment string) measure.Unit {
	for _, c := range []struct {
		word string
		unit measure.Unit
	}{{"metres", measure.Meters}, {"mm", measure.Millimeters}, {"feet for", measure.Feet}, {"FEET", measure.Feet}, {"decimal feet",
		measure.Feet}, {", feet", measure.Feet}, {"half of one", measure.Feet}, {"spreadsheet float dump of 0.", measure.Meters}} {
		if strings.Contains(comment, c.word) && !strings.Contains(comment, "centimetres") && !strings.Contains(comment, "mm off") {
			return c.unit
		}
	}
	return measure.NoUnit
}

func TestSharedSizes(t *testing.T) {
	right, refused, meant, wrong := 0, 0, 0, 0
	for _, row := range sharedRows(t, "dimension-strings.csv") {
		text, comment := row[1], row[4]
		want := [2]float64{}
		for i := range want {
			want[i], _ = strconv.ParseFloat(row[2+i], 64)
		}
		unit := unitOf(comment)
		var got estimate.Size
		var err error
		if cell := (sheet.Cell{Kind: sheet.Text, Text: text}); want[0] > 0 && want[1] == 0 {
			got.W, _, err = sideOf(cell).length(unit) // of a column Width
		} else {
			var r reading
			r, err = readCell(text, unit, strings.Contains(comment, "height first"))
			got = r.Size
		}
		near := func(l measure.Length, inches float64) bool { return math.Abs(l.Inches()-inches) <= 0.02 }
		switch {
		case err != nil:
			refused++
			if want[0] > 0 {
				meant++
			}
			t.Logf("refused: %-45s %v   [meant %v: %s]", text, err, want, comment)
		case near(got.W, want[0]) && near(got.H, want[1]):
			right++
		default:
			wrong++
			t.Logf("WRONG: %s read as %v, meant %v: %s", text, got, want, comment)
		}
	}
	t.Logf("sizes: %d read rightly, %d refused (%d of them have a stated meaning), %d wrong", right, refused, meant, wrong)
	assert.Zero(t, wrong)
}

// meant is the field that a meaning in words stands for.
var meant = []struct {
	words string
	field field
	basis Basis
}{
	{"opening mark", markField, 0}, {"asset tag", unusedField, 0}, {"link to the type row", typeField, 0}, {"style and operation", labelField, 0},
	{"classification", unusedField, 0}, {"packed text", labelField, 0}, {"number of identical", countField, 0}, {"width", widthField, 0},
	{"three stacked", widthField, 0}, {"holds the WIDTH", unusedField, 0}, {"text WxH", sizeField, 0}, {"framed opening", widthField, Opening}, {"leaf",
		widthField, Call},
	{"two numbers in one cell", sizeField, 0}, {"opening in the wall of an energy model", unusedField, 0}, {"NOT head height", unusedField, 0},
	{"storey", levelField, 0}, {"room", roomField, 0}, {"one or two room", roomField, 0}, {"Exterior / Interior", positionField,
		0}, {"drawing elevation", unusedField, 0}, {"elevation", facingField, 0},
	{"notes", remarkField, 0}, {"type", typeField, 0},
}

func wantOf(header, meaning string) (field, Basis) {
	switch last := strings.ToLower(header); {
	case strings.Contains(last, "thickness"), strings.Contains(meaning, "detail"):
		return unusedField, 0
	case strings.HasSuffix(last, "height") && strings.Contains(meaning, "leaf"):
		return heightField, Call
	case strings.Contains(meaning, "energy model"):
		return unusedField, 0 // its words before the side are of one program: the side is asked for
	case strings.HasSuffix(last, "height") && !strings.Contains(meaning, "NOT"):
		return heightField, 0
	}
	for _, m := range meant {
		if strings.HasPrefix(meaning, m.words) || len(m.words) > 6 && strings.Contains(meaning, m.words) {
			return m.field, m.basis
		}
	}
	return unusedField, 0
}

func TestSharedHeaders(t *testing.T) {
	right, refused, wrong := 0, 0, 0
	for _, row := range sharedRows(t, "header-variants.csv") {
		headers := []string{row[0]}
		if group, rest, stacked := strings.Cut(row[0], " > "); stacked {
			headers = nil
			for _, h := range strings.Split(rest, " / ") {
				headers = append(headers, group+" > "+h)
			}
		} else if a, b, two := strings.Cut(row[0], " Width / "); two {
			headers = []string{a + " Width", a + " " + b}
		} else if strings.Contains(row[1], "detail numbers") {
			headers = strings.Split(row[0], " / ")
		}
		for _, h := range headers {
			c := pathMeaning(strings.Split(h, " > "), false)
			f, b := wantOf(h, row[1])
			idle := c.field == noField || c.field == unusedField || c.field == noteField && f == unusedField
			switch {
			case c.field == f && c.basis == b, idle && f == unusedField:
				right++
			case idle:
				refused++
				t.Logf("not used: %-40s meant %s (%s)", h, f.name(), row[1])
			default:
				wrong++
				t.Logf("WRONG: %s taken for %s%s, meant %s (%s)", h, c.field.name(), c.basis.of(), f.name(), row[1])
			}
		}
	}
	t.Logf("headers: %d read rightly, %d not used though meant, %d wrong", right, refused, wrong)
	assert.Zero(t, wrong)
	assert.Zero(t, refused)
}

func TestSharedCOBie(t *testing.T) {
	for _, tt := range []struct {
		file    string
		sizes   []int64
		taken   int64
		leftOut []Count
		warning string
	}{
		{"duplex-cobie.xlsx", []int64{12, 6, 4, 4, 4, 2, 2, 2, 2}, 26, []Count{{"interior door", 10}, {"roof window", 2}}, ""},
		{"dormitory-cobie.xlsx", []int64{27, 18, 9, 9, 7, 6, 4, 2, 2, 2, 1, 1, 1}, 39, []Count{{"interior door", 50}}, "are in metres, and are taken so"},
	} {
		t.Run(tt.file, func(t *testing.T) {
			b, ps := sheet.Open(sharedFile(t, tt.file))
			require.NotNil(t, b, "%v", ps)
			r, ps := Read([]*sheet.Book{b}, Options{Basis: Frame})
			var sizes []int64
			for _, c := range r.Sizes {
				sizes = append(sizes, c.N)
			}
			assert.Equal(t, tt.sizes, sizes)
			assert.Equal(t, tt.taken, r.Taken())
			assert.Equal(t, tt.leftOut, r.LeftOut)
			assert.Contains(t, strings.Join(said(ps, estimate.Warning), "\n"), tt.warning)
			assert.Zero(t, estimate.Errors(ps))
			counted(t, r)
			r, ps = Read([]*sheet.Book{b}, Options{})
			assert.Empty(t, r.Openings, "without a basis nothing is taken")
			assert.Equal(t, 1, estimate.Errors(ps))
		})
	}
}
