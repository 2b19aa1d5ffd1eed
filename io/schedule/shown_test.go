package schedule

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// draw makes a cell show something.
type draw func(t testing.TB, f *excelize.File, sheet, at string)

// runs are the parts of a rich text, each in its own font: s for struck out, u for
// up, d for down, - for plain.
func runs(parts ...string) draw {
	return func(t testing.TB, f *excelize.File, sheet, at string) {
		fonts := map[byte]*excelize.Font{'s': {Strike: true}, 'u': {VertAlign: "superscript"}, 'd': {VertAlign: "subscript"}, '-': {Bold: true}, '.': nil}
		var list []excelize.RichTextRun
		for _, p := range parts {
			list = append(list, excelize.RichTextRun{Font: fonts[p[0]], Text: p[1:]})
		}
		require.NoError(t, f.SetCellRichText(sheet, at, list))
	}
}

// styled is a value in a style.
func styled(value any, style excelize.Style) draw {
	return func(t testing.TB, f *excelize.File, sheet, at string) {
		id, err := f.NewStyle(&style)
		require.NoError(t, err)
		require.NoError(t, f.SetCellValue(sheet, at, value))
		require.NoError(t, f.SetCellStyle(sheet, at, at, id))
	}
}

// struck is a value whose cell is struck out.
func struck(value any) draw {
	return styled(value, excelize.Style{Font: &excelize.Font{Strike: true}})
}

// formatted is a number in a number format.
func formatted(value any, format string) draw {
	return styled(value, excelize.Style{CustomNumFmt: &format})
}

// builtIn is a number in a number format that has no code in the file.
func builtIn(value any, id int) draw {
	return styled(value, excelize.Style{NumFmt: id})
}

// asText is a text.
func asText(text string) draw { return styled(text, excelize.Style{}) }

// base is an opening that nothing is wrong with, by column.
var base = []struct{ column, value string }{
	{"Mark", "W1"}, {"Qty", "2"}, {"Kind", "window"}, {"Frame width", "36"}, {"Frame height", "60"}, {"Unit cost", ""}, {"Call size", ""},
	{"Unit widths", ""}, {"Story", ""}, {"Elevation", ""}, {"Notes", ""},
}

// shownCase is a cell in an otherwise sound opening: what a person sees in it, what
// is read, and what is said.
type shownCase struct {
	shown  string
	column string
	draw   draw
	read   string   // as asShown writes it, or leftOut
	says   []string // after the cell's place
}

// leftOut is what is read of a row that is left out.
const leftOut = "left out"

// asShown writes what an opening holds in a column.
func asShown(o estimate.Opening, column string) string {
	length := func(l measure.Length) string { return measure.FormatInches(l, 64) }
	switch column {
	case "Mark":
		return o.Mark
	case "Qty":
		return fmt.Sprint(o.Qty)
	case "Frame width":
		return length(o.Frame.W)
	case "Unit cost":
		if !o.UnitCost.Set {
			return "unknown"
		}
		return o.UnitCost.V.String()
	case "Call size":
		return o.Call
	case "Story":
		return fmt.Sprint(o.Story.V)
	case "Elevation":
		return o.Elevation
	case "Notes":
		return o.Notes
	}
	return "?"
}

// runShown reads each case in a workbook of its own; job is the sheet Job.
func runShown(t *testing.T, job string, cases []shownCase) {
	for _, tt := range cases {
		t.Run(tt.column+" "+tt.shown, func(t *testing.T) {
			var heads, values []string
			at := ""
			for i, b := range base {
				heads, values = append(heads, b.column), append(values, b.value)
				if b.column == tt.column {
					at = estimate.CellName(2, i+1)
				}
			}
			s, ps := readSheets(t, map[string]string{"Job": job, "Openings": strings.Join(heads, ",") + "\n" + strings.Join(values, ",") + "\n"},
				func(f *excelize.File) { tt.draw(t, f, "Openings", at) })
			var says []string
			for _, p := range ps {
				says = append(says, strings.TrimPrefix(p, "job.xlsx: Openings!"+at+": "))
			}
			assert.Equal(t, tt.says, says)
			if tt.read == leftOut {
				assert.Empty(t, s.Book.Openings)
				return
			}
			if assert.Len(t, s.Book.Openings, 1) {
				assert.Equal(t, tt.read, asShown(s.Book.Openings[0], tt.column))
			}
		})
	}
}

const usd = "Key,Value\ncurrency,USD\n"

// Digits that stand high or low are read as they stand, and what is struck out is
// never counted: common practice on schedules, no source.
func TestRichText(t *testing.T) {
	const (
		small = ` has a digit that stands high or low (write 3'-0" for feet and inches, or a fraction such as 1/2)`
		clear = " is struck out (clear the cell, or take the line through it away)"
		part  = " is struck out (delete that part, or take the line through it away)"
	)
	runShown(t, usd, []shownCase{
		{"3⁰ x 6⁸", "Call size", runs("-3", "u0", "- x 6", "u8"), "3⁰ x 6⁸", nil},
		{"3⁰ x 6⁸, typed so", "Call size", asText("3⁰ x 6⁸"), "3⁰ x 6⁸", nil},
		{"3⁰", "Frame width", runs("-3", "u0"), leftOut, []string{`Frame width "3⁰"` + small}},
		{"³⁰", "Frame width", asText("³⁰"), leftOut, []string{`Frame width "³⁰"` + small}},
		{"36₂", "Frame width", runs("-36", "d2"), leftOut, []string{`Frame width "36₂"` + small}},
		{"35 ¹/₂, a fraction set small", "Frame width", runs("-35", "u1", "-/", "d2"), "35-1/2", nil},
		{"35 ¹/₂, all of it raised", "Frame width", runs("-35 ", "u1/2", `-"`), "35-1/2", nil},
		{"36 with a raised mark", "Frame width", runs("-36", `u"`), "36", nil},
		{"36 in two colors", "Frame width", runs("-3", ".6"), "36", nil},
		{"W1²", "Mark", runs("-W1", "u2"), "W1²", nil},
		{"2² pieces", "Qty", runs("-2", "u2"), leftOut, []string{`Qty "2²" is not a whole number (write digits only, such as 12)`}},
		{"4¹²", "Unit cost", runs("-4", "u12"), leftOut, []string{`Unit cost "4¹²" is not an amount (write digits and a decimal point, such as 1,234.50)`}},
		{"36 struck, a number", "Frame width", struck(36), leftOut, []string{`"36"` + clear}},
		{"36 struck, a text", "Frame width", struck("36"), leftOut, []string{`"36"` + clear}},
		{"35 struck, 36 after it", "Frame width", runs("s35", "- 36"), leftOut, []string{`a part of "35 36"` + part}},
		{"all runs struck", "Frame width", runs("s3", "s6"), leftOut, []string{`"36"` + clear}},
		{"a run struck, the other as its cell", "Frame width", runs(".3", "s6"), leftOut, []string{`a part of "36"` + part}},
		{"nothing but a struck space", "Frame width", runs("-36", "s "), "36", nil},
		{"2 struck", "Qty", struck(2), leftOut, []string{`"2"` + clear}},
		{"412 struck", "Unit cost", struck(412), leftOut, []string{`"412"` + clear}},
		{"W1 struck", "Mark", struck("W1"), leftOut, []string{`"W1"` + clear}},
		{"a note struck", "Notes", struck("tempered"), "", []string{`warning: "tempered"` + clear}},
	})
}

// Rows and headers that are struck out count for nothing and are said; rows of which
// only a part is struck out are refused.
func TestStruckOut(t *testing.T) {
	strike := func(cells ...string) func(*excelize.File) {
		return func(f *excelize.File) {
			id, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
			require.NoError(t, err)
			for _, c := range cells {
				name, at, _ := strings.Cut(c, "!")
				require.NoError(t, f.SetCellStyle(name, at, at, id))
			}
		}
	}
	book := map[string]string{
		"Openings":    "Mark,Kind,Frame width,Frame height,Room\nW1,window,36,60,hall\nW2,window,24,48,\nW3,window,30,60,den\n",
		"Job":         "Key,Value\nkerf,3/16\nmull,1\n",
		"Other costs": "Text,Count,Price,Taxable\nscaffold,1,400,no\nbin,1,300,no\n",
	}
	const clear = " (clear the cell, or take the line through it away)"
	for _, tt := range []struct {
		why   string
		edit  func(*excelize.File)
		marks string
		says  []string
	}{
		{"a row", strike("Openings!A3", "Openings!B3", "Openings!C3", "Openings!D3"), "W1 W3",
			[]string{"Openings row 3: warning: the row is struck out and left out (take the line through it away if it counts)"}},
		{"a row but for its height", strike("Openings!A3", "Openings!B3", "Openings!C3"), "W1 W3", []string{
			`Openings!A3: "W2" is struck out` + clear, `Openings!B3: "window" is struck out` + clear, `Openings!C3: "24" is struck out` + clear}},
		{"the header of the widths", strike("Openings!C1"), "W1 W2 W3", []string{`Openings!C1: warning: the header "Frame width" is struck out: the column is not used`}},
		{"a room, which is not used", strike("Openings!E2"), "W1 W2 W3", []string{`Openings!E2: note: "hall" is struck out and left out`}},
		{"a line of Job", strike("Job!A2", "Job!B2"), "W1 W2 W3",
			[]string{"Job row 2: warning: the row is struck out and left out (take the line through it away if it counts)"}},
		{"a value of Job", strike("Job!B2"), "W1 W2 W3", []string{`Job!B2: "3/16" is struck out` + clear}},
		{"a cost line", strike("Other costs!A2", "Other costs!B2", "Other costs!C2", "Other costs!D2"), "W1 W2 W3",
			[]string{"'Other costs' row 2: warning: the row is struck out and left out (take the line through it away if it counts)"}},
	} {
		t.Run(tt.why, func(t *testing.T) {
			s, ps := readSheets(t, book, tt.edit)
			var marks, says []string
			for _, o := range s.Book.Openings {
				marks = append(marks, o.Mark)
				if tt.why == "a room, which is not used" && o.Mark == "W1" {
					assert.Empty(t, o.Extra)
				}
			}
			for _, p := range ps {
				if p = strings.TrimPrefix(p, "job.xlsx: "); p != `Openings!E1: note: the column "Room" is not used` {
					says = append(says, p)
				}
			}
			assert.Equal(t, tt.marks, strings.Join(marks, " "))
			assert.ElementsMatch(t, tt.says, says)
			if strings.Contains(tt.why, "Job") {
				assert.Equal(t, measure.Inch/8, s.Book.Job.Kerf, "the shipped default holds")
			}
			if tt.why == "a cost line" {
				require.Len(t, s.Book.Job.Costs, 1)
				assert.Equal(t, "bin", s.Book.Job.Costs[0].Text)
			}
		})
	}
}
