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
		{"2² pieces", "Qty", runs("-2", "u2"), leftOut, []string{`Qty "2²" is not a whole number (write digits only, such as 2)`}},
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
		"Openings":    "Mark,Kind,Frame width,Frame height,Color\nW1,window,36,60,hall\nW2,window,24,48,\nW3,window,30,60,den\n",
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
		{"the header of the widths", strike("Openings!C1"), "W1 W2 W3", []string{
			`Openings!C1: warning: the header "Frame width" is struck out: the column is not used`}},
		{"a color, which is not used", strike("Openings!E2"), "W1 W2 W3", []string{`Openings!E2: note: "hall" is struck out and left out`}},
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
				if tt.why == "a color, which is not used" && o.Mark == "W1" {
					assert.Empty(t, o.Extra)
				}
			}
			for _, p := range ps {
				if p = strings.TrimPrefix(p, "job.xlsx: "); p != `Openings!E1: note: the column "Color" is not used` {
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

// What a number format shows beside the number is read, or asked back. Formats as
// spreadsheet programs offer and people write them: common practice, no source.
func TestNumberFormats(t *testing.T) {
	const (
		notLength = " (write the size alone, with in, ft, mm, cm or m)"
		held      = "note: the cell shows %q and holds %s; what it shows is read"
		plain     = " (format the cell as a plain number)"
		amount    = " (write digits and a decimal point, such as 1,234.50)"
		convert   = " (convert it, or correct the currency on Job)"
		retyped   = " (if it was typed otherwise, such as 1E5 for a mark, format the cell as text and type it again)"
		places    = " (type what is meant, or show more places)"
	)
	shows := func(text, number string) string { return fmt.Sprintf(held, text, number) }
	runShown(t, usd, []shownCase{
		{"36 1/2", "Frame width", builtIn(36.5, 12), "36-1/2", nil},
		{"36 8/16\"", "Frame width", formatted(36.5, `# ??/16\"`), "36-1/2", nil},
		{"35 1/2 for 35.47", "Frame width", formatted(35.47, `# ?/2`), "35-15/32", []string{
			"warning: Frame width shows 35 1/2 and holds 35.47, which is taken" + places,
			"note: Frame width: 35.47 in is on no mark of 1/64 in or 0.1 mm; taken as it is"}},
		{"36 for 35.75", "Frame width", builtIn(35.75, 1), "35-3/4", []string{"warning: Frame width shows 36 and holds 35.75, which is taken" + places}},
		{"35.8 for 35.75", "Frame width", formatted(35.75, "0.0"), "35-3/4", []string{
			"warning: Frame width shows 35.8 and holds 35.75, which is taken" + places}},
		{"3'-06\" for 306", "Frame width", formatted(306, `0\'-00\"`), "42", []string{shows(`3'-06"`, "306")}},
		{"3'", "Frame width", formatted(3, `0\'`), "36", nil},
		{"914 mm", "Frame width", formatted(914.4, `0.0 "mm"`), "36", nil},
		{"36 RO", "Frame width", formatted(36, `0 "RO"`), leftOut, []string{
			`Frame width "36 RO" is the rough opening (write it under RO width and RO height)`, shows("36 RO", "36")}},
		{"about 36", "Frame width", formatted(36, `"about "0`), leftOut, []string{
			`Frame width "about 36" has words beside the length` + notLength, shows("about 36", "36")}},
		{"TBD for 36", "Frame width", formatted(36, `"TBD"`), leftOut,
			[]string{`Frame width "TBD" holds no size (leave it blank and give the frame, the rough opening or a Call size; ` +
				`an opening without any size is not estimated)`, shows("TBD", "36")}},
		{"nothing for 36", "Frame width", formatted(36, `;;;`), leftOut, []string{
			`"36" is hidden by the cell's number format (format the cell as a plain number, or clear it)`}},
		{"0.0 for 36", "Frame width", formatted(36, `0.0,`), leftOut, []string{`"36" is shown in thousands` + plain}},
		{"3.60E+01", "Frame width", builtIn(36, 11), leftOut, []string{
			`Frame width "3.60E+01" is written with an exponent (write the number out)`,
			`warning: the cell shows "3.60E+01" and holds 36; what it shows is read` + retyped}},
		{"3600%", "Frame width", builtIn(36, 9), leftOut, []string{
			`Frame width holds a percentage (format the cell as a number and type the size with its unit, such as 3'-6", 42 in or 1/2 in)`}},
		{"$36", "Frame width", formatted(36, `$#,##0`), leftOut, []string{`Frame width "36" shows an amount of $` + plain}},
		{"36 mm or in by its size", "Frame width", formatted(36, `[>100]0" mm";0" in"`), "36", nil},
		{"Mar-06 for 3-6", "Frame width", builtIn(46087, 16), leftOut, []string{
			`Frame width holds the date "6-Mar"; 3-6 was probably typed (format the cell as text and type the size with its unit, such as 3'-6", 42 in or 1/2 in)`}},
		{"the date taken away again", "Frame width", builtIn(46087, 1), leftOut, []string{
			`Frame width "46087 in" is longer than 1,000 ft (check the number and its unit)`}},
		{"W007 for 7", "Mark", formatted(7, `"W"000`), "W007", []string{shows("W007", "7")}},
		{"W000 for 0", "Mark", formatted(0, `"W"000`), "W000", []string{shows("W000", "0")}},
		{"007 for 7", "Mark", formatted(7, `000`), "007", []string{shows("007", "7")}},
		{"1.00E+05, typed 1E5", "Mark", formatted(100000, `0.00E+00`), "1.00E+05", []string{
			`warning: the cell shows "1.00E+05" and holds 100000; what it shows is read` + retyped}},
		{"3 pcs", "Qty", formatted(3, `0 "pcs"`), "3", []string{shows("3 pcs", "3")}},
		{"003", "Qty", formatted(3, `000`), "3", []string{shows("003", "3")}},
		{"$3", "Qty", formatted(3, `$0`), leftOut, []string{`Qty "3" is shown as an amount of money` + plain}},
		{"3 for 2.7", "Qty", builtIn(2.7, 1), leftOut, []string{`Qty "2.7" is not a whole number (write digits only, such as 2)`}},
		{"200%", "Qty", builtIn(2, 9), leftOut, []string{"Qty holds a percentage (format the cell as a number and type a whole number)"}},
		{"412.00 €", "Unit cost", formatted(412, `#,##0.00 [$€-407]`), leftOut, []string{`Unit cost "412" is in EUR, the job in USD` + convert}},
		{"€412, typed so", "Unit cost", asText("€412"), leftOut, []string{`Unit cost "€412" is in EUR, the job in USD` + convert}},
		{"412 CAD, by its format", "Unit cost", formatted(412, `0 [$CAD]`), leftOut, []string{`Unit cost "412" is in CAD, the job in USD` + convert}},
		{"£412", "Unit cost", formatted(412, `"£"0.00`), leftOut, []string{`Unit cost "412" is in GBP, the job in USD` + convert}},
		{"US$412", "Unit cost", formatted(412, `[$US$]0.00`), "412.00", nil},
		{"$412.00", "Unit cost", formatted(412, `$#,##0.00`), "412.00", nil},
		{"an account's $ 412.00", "Unit cost", formatted(412, `_($* #,##0.00_);_($* (#,##0.00);_($* "-"??_);_(@_)`), "412.00", nil},
		{"an account's dash for 0", "Unit cost", formatted(0, `_($* #,##0.00_);_($* (#,##0.00);_($* "-"??_);_(@_)`), "0.00", nil},
		{"($412)", "Unit cost", formatted(-412, `$#,##0_);($#,##0)`), leftOut, []string{
			`Unit cost "-412" is negative (write it without the minus sign, or leave it blank when it is not known)`}},
		{"$412 for 412.40", "Unit cost", formatted(412.4, `$#,##0`), "412.40", []string{"note: Unit cost shows 412 and holds 412.4, which is taken" + places}},
		{"$4 for 4.40", "Unit cost", formatted(4.4, `$#,##0`), "4.40", []string{"warning: Unit cost shows 4 and holds 4.4, which is taken" + places}},
		{"0.4 for 412", "Unit cost", formatted(412, `0.0,`), leftOut, []string{`"412" is shown in thousands` + plain}},
		{"41200%", "Unit cost", builtIn(412, 9), leftOut, []string{"Unit cost holds a percentage (format the cell as a number and type the amount)"}},
		{"412 each", "Unit cost", formatted(412, `0 "each"`), "412.00", []string{shows("412 each", "412")}},
		{"Level 2", "Elevation", formatted(2, `"Level "0`), "Level 2", []string{shows("Level 2", "2")}},
	})
	runShown(t, "Key,Value\ncurrency,EUR\nunits,mm\n", []shownCase{
		{"412,00 €", "Unit cost", formatted(412, `#,##0.00 [$€-407]`), "412.00", nil},
		{"$412.00", "Unit cost", formatted(412, `$#,##0.00`), leftOut, []string{`Unit cost "412" is in $, the job in EUR` + convert}},
	})
}

// Percentages of Job are read as their cells show them.
func TestPercentFormats(t *testing.T) {
	for _, tt := range []struct {
		shown string
		value float64
		style int
		want  measure.Rate
		says  string
	}{
		{"10%", 0.1, 9, 100_000, ""},
		{"1000%", 10, 9, 0, `Job!B2: overhead of 1000 % is over 100 % (write 6 for 6 %)`},
		{"10", 10, 0, 100_000, ""},
		{"0.1", 0.1, 0, 0, `Job!B2: overhead "0.1" may be 0.1 % or 10 % (write "0.1 %" or "10 %")`},
		{"8% for 8.25%", 0.0825, 9, 82_500, "Job!B2: warning: overhead shows 8% and holds 0.0825, which is taken (type what is meant, or show more places)"},
		{"8.25%", 0.0825, 10, 82_500, ""},
	} {
		t.Run(tt.shown, func(t *testing.T) {
			s, ps := readSheets(t, map[string]string{"Job": "Key,Value\noverhead,1\n", "Openings": "Mark,Kind\n"},
				func(f *excelize.File) { builtIn(tt.value, tt.style)(t, f, "Job", "B2") })
			assert.Equal(t, tt.want, s.Book.Job.Overhead)
			assert.Equal(t, tt.says, strings.TrimPrefix(strings.Join(ps, "; "), "job.xlsx: "))
		})
	}
}

// Names that a formula would read as more than they are, or could not hold, are refused
// where formulas add up by them; marks are found by escaped patterns and may have such
// signs.
func TestNames(t *testing.T) {
	const sign = " has a sign that a formula reads as more than it is (write it without * ? ~ < > = and quotation marks, and no + - or @ before it)"
	const number = " is a number to a formula (write a key with a letter, such as board-1x4)"
	long := strings.Repeat("a", 300)
	for _, tt := range []struct{ key, says string }{
		{"tape*", `key "tape*"` + sign}, {"tape?", `key "tape?"` + sign}, {"~tape", `key "~tape"` + sign}, {"<tape", `key "<tape"` + sign}, {">=tape",
			`key ">=tape"` + sign},
		{"'=tape", `key "'=tape"` + sign}, {`9" tape`, `key "9\" tape"` + sign}, {"+tape", `key "+tape"` + sign}, {"-tape", `key "-tape"` + sign}, {"@tape",
			`key "@tape"` + sign},
		{"007", `key "007"` + number}, {"1e5", `key "1e5"` + number}, {"4-9/16", `key "4-9/16"` + number}, {"tape-9 wide", ""}, {"1x6 pine", ""}, {"tape\n9", ""},
		{long, `key "` + long[:60] + `…" is 300 characters long (write at most 100)`},
	} {
		t.Run(tt.key, func(t *testing.T) {
			_, ps := readSheets(t, map[string]string{"Openings": "Mark,Kind\n",
				"Items": "key,name,class,buy,need,coverage,coverage unit\nx,Tape,fasteners,pack,count,,\n"},
				func(f *excelize.File) { require.NoError(t, f.SetCellStr("Items", "A2", tt.key)) })
			var says []string
			for _, p := range ps {
				if strings.Contains(p, "key") {
					says = append(says, strings.TrimPrefix(p, "job.xlsx: Items!A2: "))
				}
			}
			assert.Equal(t, tt.says, strings.Join(says, "; "))
		})
	}
	runShown(t, usd, []shownCase{
		{"A*", "Mark", asText("A*"), "A*", nil},
		{"=A1, a text", "Mark", asText("=A1"), "=A1", nil},
		{"two lines", "Mark", asText("W\n1"), "W 1", nil},
		{"300 characters", "Mark", asText(long), leftOut, []string{`Mark "` + long[:60] + `…" is 300 characters long (write at most 100)`}},
		{"a hundred million", "Unit cost", asText("100,000,000"), "100,000,000.00", nil},
		{"more than that", "Unit cost", asText("100,000,000.01"), leftOut, []string{`Unit cost "100,000,000.01" is more than 100 million (check the number)`}},
		{"a number of more than that", "Unit cost", builtIn(1e9, 0), leftOut, []string{`Unit cost "1e+09" is more than 100 million (check the number)`}},
	})
}

// A sign for what stands above is no mark, and no value of any other column.
func TestDitto(t *testing.T) {
	const above = " stands for what is above it (write it out)"
	runShown(t, usd, []shownCase{
		{"ditto", "Mark", asText("Ditto"), leftOut, []string{`Mark "Ditto"` + above}},
		{`"`, "Mark", asText(`"`), leftOut, []string{`Mark "\""` + above}},
		{"do.", "Mark", asText("do."), leftOut, []string{`Mark "do."` + above}},
		{"〃", "Mark", asText("〃"), leftOut, []string{`Mark "〃"` + above}},
		{"D.O.", "Mark", asText("D.O."), "D.O.", nil},
		{"ditto", "Qty", asText("ditto"), leftOut, []string{`Qty "ditto" is not a whole number (write digits only, such as 2)`}},
		{`"`, "Frame width", asText(`"`), leftOut, []string{`Frame width "\"" holds no size (` + withoutFrame + ")"}},
	})
}

// TestConditionalFormats: what a conditional format hides, strikes out or shows otherwise
// is read as it stands, and said at the first cell that it covers; what decorates is not.
func TestConditionalFormats(t *testing.T) {
	over := func(dxf, area string) draw {
		return func(t testing.TB, f *excelize.File, sheet, at string) {
			style := map[string]excelize.Style{
				"strike": {Font: &excelize.Font{Strike: true}}, "mm": {CustomNumFmt: ptr(`0" mm"`)}, "plain": {CustomNumFmt: ptr("0.00")},
				"white": {Font: &excelize.Font{Color: "FFFFFF"}}, "badge": {Font: &excelize.Font{Color: "FFFFFF"},
					Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"C00000"}}}, "red": {Font: &excelize.Font{Color: "C00000"}},
			}[dxf]
			id, err := f.NewConditionalStyle(&style)
			require.NoError(t, err)
			require.NoError(t, f.SetConditionalFormat(sheet, area, []excelize.ConditionalFormatOptions{{Type: "formula", Criteria: "=TRUE", Format: &id}}))
		}
	}
	says := func(area, does string) []string {
		return []string{"warning: a conditional format of " + area + " " + does + "; it is not looked at, and the cells are read as they stand " +
			"(clear what does not count, type what is meant, or take the conditional format away)"}
	}
	runShown(t, usd, []shownCase{
		{"36 struck out", "Frame width", over("strike", "D2"), "36", says("D2", "strikes out what it covers")},
		{"36 mm", "Frame width", over("mm", "D2:D90"), "36", says("D2:D90", `shows the numbers that it covers as "0\" mm\""`)},
		{"36.00", "Frame width", over("plain", "D2:D90"), "36", nil},
		{"nothing", "Qty", over("white", "B2:B3"), "2", says("B2:B3", "hides what it covers")},
		{"a row of nothing", "Mark", over("white", "A2:J2"), "W1", says("A2:J2", "hides what it covers")},
		{"2 on red", "Qty", over("badge", "B2"), "2", nil},
		{"2 in red", "Qty", over("red", "B2"), "2", nil},
		{"a blank cell struck out", "Notes", over("strike", "K2"), "", nil},
	})
}

func ptr(s string) *string { return &s }

// TestUnseenLetters: letters in the color of what is behind them are read, and said.
func TestUnseenLetters(t *testing.T) {
	in := func(letters, ground string) excelize.Style {
		s := excelize.Style{Font: &excelize.Font{Color: letters}}
		if ground != "" {
			s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{ground}}
		}
		return s
	}
	theme := 0
	const unseen = " in the color of what is behind it, and is read all the same (clear the cell, or give it a color that is seen)"
	says := func(text string) []string { return []string{`warning: the cell holds "` + text + `"` + unseen} }
	runShown(t, usd, []shownCase{
		{"nothing, white on none", "Qty", styled(7, in("FFFFFF", "")), "7", says("7")},
		{"nothing, white on white", "Frame width", styled("36", in("FFFFFF", "FFFFFF")), "36", says("36")},
		{"nothing, gray on gray", "Frame width", styled("36", in("808080", "808080")), "36", says("36")},
		{"nothing, the theme's white", "Qty", styled(7, excelize.Style{Font: &excelize.Font{ColorTheme: &theme}}), "7", says("7")},
		{"7, white on blue", "Qty", styled(7, in("FFFFFF", "1F4E79")), "7", nil},
		{"7, black on white", "Qty", styled(7, in("000000", "FFFFFF")), "7", nil},
		{"36, and 1/2 in white", "Frame width", func(t testing.TB, f *excelize.File, sheet, at string) {
			require.NoError(t, f.SetCellRichText(sheet, at, []excelize.RichTextRun{{Text: "36"}, {Text: " 1/2", Font: &excelize.Font{Color: "FFFFFF"}}}))
		}, "36-1/2", says("36 1/2")},
	})
}

// TestRevisedSizes: a second column of sizes is asked about, for either may hold.
func TestRevisedSizes(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Job": usd, "Openings": "Mark,Kind,Frame width,Frame height,Revised width\nW1,window,36,60,40\n"})
	require.Len(t, s.Book.Openings, 1)
	require.Len(t, ps, 1)
	assert.Equal(t, `job.xlsx: Openings!E1: warning: "Revised width": the size that holds, or one before it? `+
		`(write the size that holds under Frame width or RO width if it matters; it is kept as a note)`, ps[0])
	s, _ = readSheets(t, map[string]string{"Job": usd, "Openings": "Mark,Kind,New width,New height\nW1,window,36,60\n"})
	assert.Empty(t, s.Book.Openings)
}
