package xlsx

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// doubled is a workbook of one column whose formulas are those of the rows' texts.
func doubled(t *testing.T, formulas ...string) []byte {
	t.Helper()
	o := New(Properties{})
	table := NewTable(o.AddSheet("Sums"), "Sums", []Column[string]{
		{Head: "Count", Numbered: true},
		{Head: "Twice", Shared: true, Cell: func(f string) Cell { return Formula(f, 0.0, Number) }},
	})
	table.Header()
	for _, f := range formulas {
		table.Row(f)
	}
	return build(t, o)
}

func TestSharedFormulas(t *testing.T) {
	const own, other = `{Count}*2&"{Count} B2"`, "SUM($A$2:$A$6)-{^Count}"
	data := doubled(t, own, own, other, own, own)
	want := []string{`A2*2&"{Count} B2"`, `A3*2&"{Count} B2"`, "SUM($A$2:$A$6)-A3", `A5*2&"{Count} B2"`, `A6*2&"{Count} B2"`}
	stored := storedCells(t, data, 1)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	for i, cell := range []string{"B2", "B3", "B4", "B5", "B6"} {
		assert.Equal(t, want[i], *stored[cell].F, cell)
		if cell != "B6" && cell != "B3" {
			continue // those that are moved, as the library moves them
		}
		got, err := f.GetCellFormula("Sums", cell)
		require.NoError(t, err)
		assert.Equal(t, want[i], got, "%s as the library reads it", cell)
	}
	part := parts(t, data)["xl/worksheets/sheet1.xml"]
	assert.Equal(t, 2, strings.Count(part, `<f t="shared" ref="B`), "two runs of rows share one each")
	assert.Equal(t, 1, strings.Count(part, `<f>`), "one row has its own")
}

func TestSharedFormulasNameNothingThatMoves(t *testing.T) {
	for _, c := range []struct{ formula, moves string }{
		{"{Count}*B9", "B9"}, {"{Count}*$B9", "$B9"}, {"SUM(Sums!A$2:A9)", "A9"}, {"{Count@All}", "@"},
	} {
		o := New(Properties{})
		table := NewTable(o.AddSheet("Sums"), "Sums", []Column[string]{{Head: "Count", Numbered: true}, {Head: "Twice", Shared: true,
			Cell: func(f string) Cell { return Formula(f, 0.0, Number) }}})
		table.Header()
		table.rows["All"] = 2
		table.Row(c.formula)
		_, err := o.Bytes()
		assert.ErrorContains(t, err, "names "+c.moves+", which would move", c.formula)
	}
}
