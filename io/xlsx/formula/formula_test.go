package formula

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFormulaFault(t *testing.T) {
	known := func(sheet string) bool { return sheet == "Job" || sheet == "Joe's list" }
	for _, c := range []struct{ from, formula, want string }{
		{"sum", "SUM(A1:A3)", ""},
		{"fixed cell of another sheet", "ROUND(Job!$B$5*2,2)", ""},
		{"apostrophe in a sheet name", "'Joe''s list'!C5+1", ""},
		{"quotes and brackets in a text", `IF(A1="say ""(""",1,2)`, ""},
		{"an apostrophe in a text", `IF(A1="3'-0",1,2)`, ""},
		{"a name", "Tax*2", ""},
		{"function names in any case", "sum(A1)", ""},
		{"empty", "", "is empty"},
		{"the sign is not stored", "=1+1", `begins with "="`},
		{"open bracket: one program repairs it to 0", "SUM(A1", "leaves a bracket open"},
		{"closed too often", "SUM(A1))", "is not open"},
		{"open quote", `IF(A1="x,1,2)`, "open quote"},
		{"open sheet name", "'Job!A1", "open quote"},
		{"quoted text that is no sheet", "'Job'+1", "without a cell"},
		{"sheet that is not there", "Jobs!A1", `sheet "Jobs"`},
		{"quoted sheet that is not there", "'No sheet'!A1", `sheet "No sheet"`},
		{"separator of other languages", "SUM(A1;A2)", "holds ;"},
		{"structured reference: one program shows it as text", "SUM(T[Qty])", "holds ["},
		{"array constant", "SUM({1,2})", "holds {"},
		{"broken reference", "#REF!+1", "holds #"},
		{"function not every program has", "XLOOKUP(A1,B1:B2,C1:C2)", "function XLOOKUP"},
		{"volatile", "NOW()", "function NOW"},
		{"length: the format allows 8192 characters", strings.Repeat("1+", 4096) + "1", "too long"},
	} {
		t.Run(c.from, func(t *testing.T) {
			got := Fault(c.formula, known)
			if c.want == "" {
				assert.Empty(t, got)
			} else {
				assert.Contains(t, got, c.want)
			}
		})
	}
}

func FuzzFormulaFault(f *testing.F) {
	for _, seed := range []string{"SUM(A1:A3)", `"a""b"`, "'x''y'!A1", "((", "é!A1", "\xff", "'"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		sound := Fault(s, func(string) bool { return true }) == ""
		for rest := s; rest != ""; {
			token, next := NextToken(rest)
			require.Equal(t, rest, token+next)
			require.NotEmpty(t, token)
			rest = next
		}
		if sound {
			require.NotEmpty(t, Fault(s+"(", func(string) bool { return true }))
		}
	})
}

func TestCleanText(t *testing.T) {
	for _, c := range []struct{ from, in, want string }{
		{"plain", "3'-0\" head", "3'-0\" head"},
		{"line ends of two systems", "a\r\nb\rc\nd", "a\nb\nc\nd"},
		{"tab and control characters", "a\tb\x00c\x1bd\x7fe\u0085f", "a b c d e f"},
		{"not characters", "a\uffffb\ufffec", "a b c"},
		{"broken bytes", "a\xffb", "a b"},
		{"the limit of a cell is 32767 UTF-16 units", strings.Repeat("x", 32767), strings.Repeat("x", 32767)},
		{"one more", strings.Repeat("x", 32768), strings.Repeat("x", 32766) + "…"},
		{"two units each", strings.Repeat("😀", 16384), strings.Repeat("😀", 16383) + "…"},
	} {
		t.Run(c.from, func(t *testing.T) { assert.Equal(t, c.want, CleanText(c.in)) })
	}
}

func TestQuoteSheet(t *testing.T) {
	for _, c := range []struct{ from, in, want string }{
		{"letters", "Materials", "Materials"},
		{"space", "Cut list", "'Cut list'"},
		{"a digit may make it a cell", "Q1", "'Q1'"},
		{"row and column letters", "RC", "'RC'"},
		{"apostrophe is doubled", "Joe's", "'Joe''s'"},
	} {
		t.Run(c.from, func(t *testing.T) {
			assert.Equal(t, c.want, QuoteSheet(c.in))
		})
	}
}
