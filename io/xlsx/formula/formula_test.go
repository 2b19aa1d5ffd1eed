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
			token, next := nextToken(rest)
			require.Equal(t, rest, token+next)
			require.NotEmpty(t, token)
			rest = next
		}
		if sound {
			require.NotEmpty(t, Fault(s+"(", func(string) bool { return true }))
		}
	})
}

func TestShapeOfFormula(t *testing.T) {
	for _, c := range []struct {
		why, a string
		row    int
		b      string
		rowB   int
		same   bool
	}{
		{"its own row", "A5*B5", 5, "A6*B6", 6, true},
		{"the row above and one further up", "A4+B5", 5, "A2+B9", 9, true},
		{"another row of another sheet", "Job!B4*C5", 5, "Job!B9*C6", 6, true},
		{"ranges of another sheet", "SUM(Job!$B$4:$B$9)", 5, "SUM(Job!$B$10:$B$20)", 6, true},
		{"another column", "A5*B5", 5, "A6*C6", 6, false},
		{"another sheet", "Job!B4", 5, "Work!B4", 5, false},
		{"another fixed row", "A$4*B5", 5, "A$3*B6", 6, false},
		{"another number", "A5*2", 5, "A6*3", 6, false},
		{"below instead of above", "A4", 5, "A7", 6, false},
		{"a cell of this sheet behind one of another", "Job!B4+C5", 5, "Job!B4+C4", 5, false},
	} {
		assert.Equal(t, c.same, Shape(c.a, c.row) == Shape(c.b, c.rowB), c.why)
	}
}

func TestInsideOf(t *testing.T) {
	for _, c := range []struct {
		why, formula string
		want         contents
	}{
		{"digits of rounding are no numbers of the model", "ROUND(ROUND(A1*1.5,4),2)", contents{24, 0, []string{"1.5"}, []string{"ROUND", "ROUND"}}},
		{"an IF within an IF, behind a bracket", `IF(A1=1,(IF(B1=2,3,4)),0)`, contents{25, 2, []string{"1", "2", "3", "4", "0"}, []string{"IF", "IF"}}},
		{"one IF after another", "IF(A1=1,0,1)+IF(B1=1,0,1)", contents{25, 1, []string{"1", "0", "1", "1", "0", "1"}, []string{"IF", "IF"}}},
		{"words and sheets are not counted", `IF('Cost lines'!A1="none (0)",0,1)`, contents{12, 1, []string{"0", "1"}, []string{"IF"}}},
	} {
		assert.Equal(t, c.want, Inside(c.formula), c.why)
	}
}

func FuzzScanFormula(f *testing.F) {
	for _, seed := range []string{"SUM(A1:A3)", `IF(A1="x)",1,'Joe''s'!B2)`, "Job!$B$4:$C$5+1", ")(", "((", "\xff", "''!A1", "ZZZ99999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size := 0
		for _, x := range Scan(s) {
			if x.Kind != tokenSheet && x.Kind != tokenText {
				size += len(x.Text)
			}
		}
		require.Equal(t, size, Inside(s).Size)
		require.LessOrEqual(t, size, len(s))
		require.LessOrEqual(t, len(References(s, "Own")), len(s)/2)
		if len(References(s, "Own")) == 0 {
			require.Equal(t, Shape(s, 5), Shape(s, 6), "nothing in it has a row")
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
