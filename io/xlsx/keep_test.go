package xlsx

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wordColumns are two columns of words: the row's, and the same once more.
func wordColumns() []Column[string] {
	word := func(s string) Cell { return Str(Text, s) }
	return []Column[string]{{Head: "Mark", Width: 9, Frozen: true, Cell: word}, {Head: "Notes", Width: 30, Cell: word}}
}

// A form to fill in keeps its header, and cannot be filtered.
func TestKeepHeader(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Form")
	p.Skip(2)
	form := NewTable(p, "Form", wordColumns())
	form.Header()
	form.Row("W1")
	form.KeepHeader()
	assert.Equal(t, [2]int{3, 1}, [2]int{p.frozenRows, p.frozenCols})
	assert.Equal(t, [2]int{3, 3}, [2]int{p.titleFirst, p.titleLast})
	assert.Empty(t, p.Tables)
	_, err := o.Bytes()
	require.NoError(t, err)
}

// A column that is absent has no place, and those behind it move up.
func TestAbsentColumn(t *testing.T) {
	columns := wordColumns()
	columns[0].Absent = true
	o := New(Properties{})
	notes := NewTable(o.AddSheet("Notes"), "Notes", columns)
	notes.Header()
	assert.False(t, notes.HasColumn("Mark"))
	assert.Equal(t, "A1", notes.Head("Notes").Local())
	assert.Equal(t, []float64{30}, notes.Widths())
	assert.True(t, columns[0].Absent, "the columns given stay as they are")
	_, err := o.Bytes()
	require.NoError(t, err)
}

// A sum above a header stands in a row that was written before.
func TestPut(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Form")
	above := p.Row(Str(Title, "Form"))
	form := NewTable(p, "Form", wordColumns())
	form.Header()
	form.Row("W1")
	form.Put(above, map[string]Cell{"Notes": Formula("COUNTA({Mark})+ROWS("+form.Column("Mark").Local()+")", 2, TotalCount)})
	assert.Equal(t, Str(Title, "Form"), p.At(above, 1))
	assert.Equal(t, "COUNTA(A1)+ROWS(A3:A3)", p.At(above, 2).F)
	form.Put(above, map[string]Cell{"Nothing": {}})
	_, err := o.Bytes()
	assert.ErrorContains(t, err, `no column "Nothing"`)
}
