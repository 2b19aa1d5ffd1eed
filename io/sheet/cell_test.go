package sheet

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

func TestKinds(t *testing.T) {
	f := filled(t, []any{"W1", "  two\u00a0 \u200bwords ", 36.5, true, "007", 1e21, "x_x000D_y"})
	sheet := "Openings"
	require.NoError(t, f.SetCellFormula(sheet, "A2", "B1&C1"))
	require.NoError(t, f.SetCellDefault(sheet, "B2", "1e2"))
	require.NoError(t, f.SetCellDefault(sheet, "C2", "1,5"))
	require.NoError(t, f.SetCellStr(sheet, "D2", strings.Repeat("a", 32_767)))
	s, ps := parsed(t, saved(t, f))
	assert.Empty(t, ps)
	at := func(name string) Cell {
		row, col, ok := parseRef(name)
		require.True(t, ok)
		require.Equal(t, name, estimate.CellName(s.Rows[row-1][col-1].Place.Row, s.Rows[row-1][col-1].Place.Col))
		return s.Rows[row-1][col-1]
	}
	for _, tt := range []struct {
		why, cell string
		kind      Kind
		text      string
		number    float64
	}{
		{"plain text", "A1", Text, "W1", 0},
		{"text as typed, spaces and all", "B1", Text, "  two\u00a0 \u200bwords ", 0},
		{"number", "C1", Number, "36.5", 36.5},
		{"bool", "D1", Bool, "TRUE", 0},
		{"a mark of digits typed as text stays text", "E1", Text, "007", 0},
		{"a number too long to write out", "F1", Number, "1e+21", 1e21},
		{"an escaped carriage return", "G1", Text, "x\ry", 0},
		{"formula without stored value", "A2", Uncalculated, "", 0},
		{"exponent", "B2", Number, "100", 100},
		{"decimal comma: the caller must see it", "C2", Text, "1,5", 0},
		{"the longest text that a cell holds", "D2", Text, strings.Repeat("a", 32_767), 0},
	} {
		t.Run(tt.why, func(t *testing.T) {
			c := at(tt.cell)
			assert.Equal(t, tt.kind, c.Kind)
			assert.Equal(t, tt.text, c.Text)
			assert.Equal(t, tt.number, c.Number)
		})
	}
	assert.Equal(t, "two words", at("B1").Word())
	assert.True(t, at("A2").Formula)
	assert.False(t, at("C1").Formula)
}

// Values of formulas as spreadsheet programs store them (seen in the XML of
// their files).
func TestFormulaValues(t *testing.T) {
	s, _ := parsed(t, archived(t, minimal(data(
		`<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1" t="str"><f>"a"</f><v>a</v></c><c r="C1" t="str"><f>""</f><v></v></c>`+
			`<c r="D1" t="e"><f>1/0</f><v>#DIV/0!</v></c><c r="E1" t="b"><f>1=1</f><v>1</v></c><c r="F1"><f>1+1</f></c>`+
			`<c r="G1"><f t="shared" si="0"/><v>4</v></c><c r="H1" t="e"><v>#REF!</v></c><c r="I1" t="inlineStr"><is><r><t>in</t></r><r><t>line</t></r></is></c>`+
			`<c r="J1" t="d"><v>2026-03-06</v></c><c r="K1" t="b"><v>0</v></c><c r="L1" t="s"/><c r="M1" t="d"><v>2026-03-06T12:00:00</v></c><c r="N1"><v>36.499999999999993</v></c></row>`))...))
	row := s.Rows[0]
	for _, tt := range []struct {
		why     string
		col     int
		kind    Kind
		text    string
		formula bool
	}{
		{"number", 1, Number, "2", true},
		{"text", 2, Text, "a", true},
		{"empty text is a value", 3, Empty, "", true},
		{"error", 4, ErrorValue, "#DIV/0!", true},
		{"truth", 5, Bool, "TRUE", true},
		{"never calculated", 6, Uncalculated, "", true},
		{"shared formula", 7, Number, "4", true},
		{"error without formula", 8, ErrorValue, "#REF!", false},
		{"inline text of two runs", 9, Text, "inline", false},
		{"ISO date", 10, Date, "2026-03-06", false},
		{"false", 11, Bool, "FALSE", false},
		{"text cell without text", 12, Empty, "", false},
	} {
		t.Run(tt.why, func(t *testing.T) {
			c := row[tt.col-1]
			assert.Equal(t, tt.kind, c.Kind)
			assert.Equal(t, tt.text, c.Text)
			assert.Equal(t, tt.formula, c.Formula)
		})
	}
	assert.Equal(t, "36.5", row[13].Text)
	assert.Equal(t, 36.499999999999993, row[13].Number, "kept as stored, shown in 15 digits")
	// 2026-03-06 is serial 46087: 46,023 for 2026-01-01 (126 x 365 + 31 leap
	// days + 2) and 64 days more. Arithmetic.
	assert.Equal(t, 46087.0, row[9].Number)
	assert.Equal(t, 46087.5, row[12].Number)
	assert.Empty(t, row[9].FormatUnit())
}

func TestRefuse(t *testing.T) {
	s, _ := parsed(t, archived(t, minimal(data(
		`<row r="7"><c r="A7" t="e"><f>1/0</f><v>#DIV/0!</v></c><c r="B7"><f>1+1</f></c><c r="C7" t="e"><v>#REF!</v></c><c r="D7" t="str"><v>a_x0007_b</v></c>`+
			`<c r="E7" t="str"><f>1</f><v>a</v></c><c r="F7"><v>3</v></c><c r="G7"/><c r="H7" t="inlineStr"><is><t>`+strings.Repeat("é", 32_768)+`</t></is></c></row>`))...))
	row := s.Rows[6]
	for i, want := range []string{
		"job.xlsx: Openings!A7: the formula gives the error #DIV/0! (mend the formula or type the value over it)",
		"job.xlsx: Openings!B7: the cell has a formula that was never calculated (open the file in your spreadsheet program and save it)",
		"job.xlsx: Openings!C7: the cell holds the error #REF! (type the value over it)",
		"", "", "", "",
		"job.xlsx: Openings!H7: the text beginning \"" + strings.Repeat("é", 40) + "\"... is longer than 32,767 characters (shorten it; in a CSV file look for a quotation mark that is not closed)",
	} {
		p, refused := row[i].Refuse()
		if want == "" {
			assert.False(t, refused, "cell %d: %s", i+1, p)
			continue
		}
		assert.True(t, refused)
		assert.Equal(t, want, p.String())
	}
	// An escape inside the plain value of a formula is text, not a character.
	assert.Equal(t, "a_x0007_b", row[3].Text)
	bell := textCell("a\x07b", row[0].Place)
	p, bad := bell.Refuse()
	assert.True(t, bad)
	assert.Equal(t, ErrorValue, bell.Kind)
	assert.Equal(t, `job.xlsx: Openings!A7: "a\ab" holds a control character (type the text again)`, p.String())
}

func TestBlank(t *testing.T) {
	for _, tt := range []struct {
		why   string
		cell  Cell
		blank bool
	}{
		{"nothing", Cell{}, true},
		{"spaces, no-break and zero-width", Cell{Kind: Text, Text: " \u00a0\u200b\ufeff\t\n"}, true},
		{"zero", Cell{Kind: Number, Text: "0"}, false},
		{"a dash is something to the caller", Cell{Kind: Text, Text: "-"}, false},
		{"a formula never calculated", Cell{Kind: Uncalculated}, false},
	} {
		assert.Equal(t, tt.blank, tt.cell.Blank(), tt.why)
	}
}

func serial(y int, m time.Month, d int) float64 {
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

// What stands in a cell after 3-6, 1/2 and so on were typed: serial and format
// as spreadsheet programs choose them (month and day 16, month and year 17).
func TestDates(t *testing.T) {
	iso := "yyyy\\-mm\\-dd"
	for _, tt := range []struct {
		why    string
		serial float64
		numFmt int
		custom *string
		shown  string
		typed  string
	}{
		{"3-6 typed in the year 2026", serial(2026, 3, 6), 16, nil, "6-Mar", "3-6"},
		{"1/2 is a fraction", serial(2026, 1, 2), 16, nil, "2-Jan", "1/2"},
		{"3/8 is a fraction", serial(2026, 3, 8), 16, nil, "8-Mar", "3/8"},
		{"2-8 is no reduced fraction", serial(2026, 2, 8), 16, nil, "8-Feb", "2-8"},
		{"1/32 became January 1932", serial(1932, 1, 1), 17, nil, "Jan-32", "1/32"},
		{"3-1 is the first of March", serial(2026, 3, 1), 16, nil, "1-Mar", "3-1"},
		{"short date", serial(2026, 6, 8), 14, nil, "6/8/2026", "6-8"},
		{"own format", serial(2026, 6, 8), 0, &iso, "2026-06-08", "6-8"},
		{"a time of day", 0.125, 20, nil, "03:00", "3:00"},
		{"negative: no date, shown as ####", -5, 14, nil, "-5", ""},
		{"beyond the year 9999", 3e6, 14, nil, "3000000", ""},
	} {
		t.Run(tt.why, func(t *testing.T) {
			f := filled(t, []any{tt.serial})
			style, err := f.NewStyle(&excelize.Style{NumFmt: tt.numFmt, CustomNumFmt: tt.custom})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("Openings", "A1", "A1", style))
			s, _ := parsed(t, saved(t, f))
			c := s.Rows[0][0]
			assert.Equal(t, Date, c.Kind)
			assert.Equal(t, tt.serial, c.Number)
			assert.Equal(t, tt.shown, c.Text)
			assert.Equal(t, tt.typed, c.TypedAsDate())
		})
	}
	assert.Empty(t, Cell{Kind: Number, Number: 46087}.TypedAsDate())
}

func TestDates1904(t *testing.T) {
	yes := true
	f := filled(t, []any{serial(2026, 3, 6) - 1462}) // 1,462 days between the bases. Arithmetic
	require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	style, err := f.NewStyle(&excelize.Style{NumFmt: 16})
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Openings", "A1", "A1", style))
	book, _ := Parse("job.xlsx", saved(t, f))
	require.NotNil(t, book)
	c := book.Sheets[0].Rows[0][0]
	assert.True(t, book.Date1904)
	assert.Equal(t, serial(2026, 3, 6)-1462, c.Number)
	assert.Equal(t, "6-Mar", c.Text)
	assert.Equal(t, "3-6", c.TypedAsDate())
}

// Date() is checked in both bases at days whose serials are published.
func TestDateOf(t *testing.T) {
	for _, tt := range []struct {
		why    string
		serial float64
		base   bool
		want   string
	}{
		{"ECMA-376 part 1, 18.17.4.1: serial 1 is the first of January 1900", 1, false, "1900-01-01T00:00:00Z"},
		{"the day before the leap day that never was", 59, false, "1900-02-28T00:00:00Z"},
		{"the day after it", 61, false, "1900-03-01T00:00:00Z"},
		{"1904 base, day 0", 0, true, "1904-01-01T00:00:00Z"},
		{"noon", 46087.5, false, "2026-03-06T12:00:00Z"},
	} {
		assert.Equal(t, tt.want, dateOf(tt.serial, tt.base).Format(time.RFC3339), tt.why)
	}
}

func TestReadFormat(t *testing.T) {
	for _, tt := range []struct {
		why, code     string
		date, percent bool
		unit          string
	}{
		{"general", "General", false, false, ""},
		{"sixteenths", "# ??/16", false, false, ""},
		{"sixteenths with a quoted inch mark", `# ??/16"″"`, false, false, "in"},
		{"millimetres in quotes hold m", `0.0" mm"`, false, false, "mm"},
		{"feet in quotes", `0" ft"`, false, false, "ft"},
		{"metres by escapes", `0.00\ \m`, false, false, "m"},
		{"millimetres as they are: with digits m is no month", `0 mm`, false, false, "mm"},
		{"an inch mark by escape", `0\"`, false, false, "in"},
		{"a quoted word that is no unit", `#,##0 "LF"`, false, false, ""},
		{"a unit before the number is none", `"in" 0`, false, false, ""},
		{"percent", "0.0%", false, true, ""},
		{"quoted percent", `0"%"`, false, false, ""},
		{"money with a colour and a locale", `[Red][$€-407]#,##0.00;-0`, false, false, ""},
		{"date", "yyyy-mm-dd", true, false, ""},
		{"date with locale", "[$-409]d\\-mmm;@", true, false, ""},
		{"elapsed hours", "[h]:mm:ss.0", true, false, ""},
		{"seconds with tenths", "ss.00", true, false, ""},
		{"condition in brackets", "[<100]0;0.0", false, false, ""},
		{"text", "@", false, false, ""},
		{"accounting: width of a bracket and filling", `_(* #,##0.00_)`, false, false, ""},
		{"exponent", "0.00E+00", false, false, ""},
		{"left open", `0"mm`, false, false, "mm"},
		{"bracket left open", `[h`, true, false, ""},
	} {
		t.Run(tt.why, func(t *testing.T) {
			f := readFormat(tt.code)[0]
			assert.Equal(t, tt.date, f.date, "date")
			assert.Equal(t, tt.percent, f.percent, "percent")
			assert.Equal(t, tt.unit, f.unit.String())
		})
	}
}

func TestPercentAndUnit(t *testing.T) {
	mm := `0.0" mm"`
	f := filled(t, []any{0.1, 914.4, 12})
	for cell, style := range map[string]*excelize.Style{"A1": {NumFmt: 9}, "B1": {CustomNumFmt: &mm}} {
		id, err := f.NewStyle(style)
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Openings", cell, cell, id))
	}
	s, _ := parsed(t, saved(t, f))
	assert.True(t, s.Rows[0][0].Percent)
	assert.False(t, s.Rows[0][1].Percent)
	assert.Equal(t, "mm", s.Rows[0][1].FormatUnit())
	assert.Equal(t, "", s.Rows[0][2].FormatUnit())
}

func TestShortest(t *testing.T) {
	for _, tt := range []struct {
		why  string
		f    float64
		want string
	}{
		{"metres with noise (real export)", 0.9149999999999999, "0.915"},
		{"15 digits are not noise (real export)", 809.999999999999, "809.999999999999"},
		{"a spreadsheet's dump of 0.857", 0.85699999999999998, "0.857"},
		{"whole", 36, "36"},
		{"negative", -0.5, "-0.5"},
		{"zero", 0, "0"},
		{"small", 1e-9, "1e-09"},
	} {
		assert.Equal(t, tt.want, shortest(tt.f), tt.why)
	}
}

func TestMerged(t *testing.T) {
	f := filled(t, []any{"Mark", "Rough opening", nil, "Qty"}, []any{nil, "W", "H"}, []any{"W1", 36, 48, 2}, []any{"W2"})
	require.NoError(t, f.MergeCell("Openings", "B1", "C1"))
	require.NoError(t, f.MergeCell("Openings", "A1", "A2"))
	require.NoError(t, f.MergeCell("Openings", "A4", "XFD4"))
	require.NoError(t, f.MergeCell("Openings", "Z90", "Z91"))
	s, _ := parsed(t, saved(t, f))
	assert.Equal(t, "A1=Mark B1=Rough opening C1=Rough opening D1=Qty B2=W C2=H A3=W1 B3=36 C3=48 D3=2 A4=W2 B4=W2 C4=W2 D4=W2", shown(s))
	assert.True(t, s.Rows[0][2].Merged)
	assert.False(t, s.Rows[0][1].Merged)
	assert.Contains(t, s.Merges, Area{1, 2, 1, 3})
	assert.Equal(t, "B1:C1", Area{1, 2, 1, 3}.String())
}
