package audit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
		assert.Equal(t, c.same, shape(c.a, c.row) == shape(c.b, c.rowB), c.why)
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
		assert.Equal(t, c.want, inside(c.formula), c.why)
	}
}

func FuzzScanFormula(f *testing.F) {
	for _, seed := range []string{"SUM(A1:A3)", `IF(A1="x)",1,'Joe''s'!B2)`, "Job!$B$4:$C$5+1", ")(", "((", "\xff", "''!A1", "ZZZ99999999999999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size := 0
		for _, x := range scan(s) {
			if x.Kind != tokenSheet && x.Kind != tokenText {
				size += len(x.Text)
			}
		}
		require.Equal(t, size, inside(s).Size)
		require.LessOrEqual(t, size, len(s))
		require.LessOrEqual(t, len(references(s, "Own")), len(s)/2)
		if len(references(s, "Own")) == 0 {
			require.Equal(t, shape(s, 5), shape(s, 6), "nothing in it has a row")
		}
	})
}
