package sheet

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

// What a number format shows, held against spreadsheet programs where they differ from
// the reading of the standard: ECMA-376 part 1, 18.8.30 numFmt, and arithmetic.
func TestShow(t *testing.T) {
	const account = `_($* #,##0.00_);_($* (#,##0.00);_($* "-"??_);_(@_)`
	for _, tt := range []struct {
		code  string
		value float64
		want  string
	}{
		{`"W"000`, 7, "W007"}, {`"!! "General;"!! "-General;"!! "General;"!! "@`, -53, "-53"}, {`"! "0.0" in"`, 36, "36.0 in"}, {`000`, 7, "007"},
		{`000`, 1234, "1234"}, {`000-0000`, 5551234, "555-1234"}, {`0\'-00\"`, 306, `3'-06"`}, {`00"-"00`, 306, "03-06"},
		{`General "mm"`, 36.5, "36.5 mm"}, {`@`, 7, "7"}, {`0.0`, 35.75, "35.8"}, {`0`, 35.75, "36"}, {`0.00###`, 35.5, "35.50"},
		{`#.##`, 35.5, "35.5"}, {`.00`, 0.5, ".50"}, {`.00`, 36.5, "36.50"},
		{`#,##0`, 1234567, "1,234,567"}, {`#,##0.00`, 1234.5, "1,234.50"}, {`0`, -3, "-3"}, {`0`, -0.2, "0"}, {`0.0`, 0, "0.0"}, {`#`, 0, ""},
		{`0;(0)`, -3, "(3)"},
		{`0;-0;"none"`, 0, "none"}, {`0;-0;"none"`, -3, "-3"}, {`0;`, -3, ""}, {`;;;`, 3, ""}, {`"TBD"`, 3, "TBD"}, {account, 412, "$412.00"},
		{account, -4, "$(4.00)"},
		{account, 0, "$-"}, {`[>=12]0"ft";0"in"`, 13, "13ft"}, {`[>=12]0"ft";0"in"`, 3, "3in"}, {`[<=1]"one";[=2]"two";"many"`, 1, "one"},
		{`[<=1]"one";[=2]"two";"many"`, 2, "two"}, {`[<=1]"one";[=2]"two";"many"`, 3, "many"}, {`[<>2]0;"two"`, 2, "two"}, {`[Red]0`, 4, "4"},
		{`0%`, 0.1, "10%"}, {`0.0%`, 10, "1000.0%"}, {`0"%"`, 3, "3%"}, {`0.00E+00`, 36, "3.60E+01"}, {`0.00e+00`, 36, "3.60E+01"}, {`0E+0`, 100000, "1E+05"},
		{`# ?/?`, 36.5, "36 1/2"}, {`# ?/?`, 0.5, "1/2"}, {`# ?/?`, 36, "36"}, {`# ?/?`, 0, "0"}, {`?/?`, 36.5, "73/2"},
		{`# ??/16`, 36.25, "36 4/16"}, {`# ??/100`, 0.25, "25/100"},
		{`# ??/??`, 36.015625, "36 1/64"}, {`# ?/2`, 35.999, "36"}, {`[$€-407] #,##0.00`, 412, "€ 412.00"}, {`#,##0.00 [$USD]`, 4, "4.00 USD"},
	} {
		s, v := sectionFor(readFormat(tt.code), tt.value)
		assert.Equal(t, tt.want, s.show(v), "%s of %v", tt.code, tt.value)
	}
}

// FuzzShow: no format code panics, and what a cell shows and holds is never both a
// number and a text.
func FuzzShow(f *testing.F) {
	for _, code := range []string{`"W"000`, `# ??/16\"`, `0.00E+00`, `[>=12]0"ft";0"in"`, `_($* #,##0.00_);_($* (#,##0.00);_($* "-"??_);_(@_)`, `[h]:mm`,
		`0.0,,`, `\`,
		`"`, `[$`, `*`, `/`, `0/0`, `E+`, `;;;;`, "\xff", `#" "#/#`, strings.Repeat("0", 300) + "." + strings.Repeat("#", 300)} {
		f.Add(code, 36.5)
		f.Add(code, -0.25)
	}
	f.Fuzz(func(t *testing.T, code string, v float64) {
		s, shown := sectionFor(readFormat(code), v)
		if s.date {
			return
		}
		c := Cell{Kind: Number, Number: shown, Text: shortest(v)}.in(s, shown)
		assert.False(t, c.Rounded() != "" && c.held() != "")
		// A byte that is no letter is shown by one character, which has three bytes.
		assert.LessOrEqual(t, utf8.RuneCountInString(s.show(shown)), utf8.RuneCountInString(code)+400)
	})
}
