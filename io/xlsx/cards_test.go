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
	assert.Equal(t, []float64{30}, notes.widths)
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
	assert.Equal(t, Str(Title, "Form"), p.at(above, 1))
	assert.Equal(t, "COUNTA(A1)+ROWS(A3:A3)", p.at(above, 2).F)
	form.Put(above, map[string]Cell{"Nothing": {}})
	_, err := o.Bytes()
	assert.ErrorContains(t, err, `no column "Nothing"`)
}

// Cards share their columns: each has a header of its own, and rows under it. Cells are
// named across all of them.
func TestHeaderAgain(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Cards")
	cards := NewTable(p, "Cards", wordColumns())
	cards.SetWidths()
	cards.NoHeader()
	rows := map[string]int{}
	for _, mark := range []string{"W1", "D1"} {
		cards.Banner(BigHead, "card of "+mark)
		cards.HeaderAgain()
		rows[mark] = cards.Row(mark)
	}
	assert.Equal(t, []float64{9, 30}, p.Width)
	assert.Equal(t, map[string]int{"W1": 3, "D1": 6}, rows)
	assert.Equal(t, "Mark", p.at(5, 1).V)
	assert.Equal(t, "$B$6", cards.Cell(rows["D1"], "Notes").Fixed())
	_, err := o.Bytes()
	require.NoError(t, err)
}

// A table beside another one has its columns behind those, in whatever it writes.
func TestBeside(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Cards")
	cards := NewTable(p, "Cards", wordColumns())
	cards.SetWidths()
	cards.NoHeader()
	points := NewTable(p, "Points", []Column[float64]{
		{Head: "x", Cell: func(v float64) Cell { return Num(v, Number) }},
		{Key: "twice", Head: "twice x", Cell: func(v float64) Cell { return Formula("2*{x}", 2*v, Number) }},
	})
	points.Beside(&cards.Grid)
	cards.PrintOnly()
	assert.Equal(t, 2, p.printed)
	points.HeaderOnly()
	row := points.Row(3)
	points.Filter()
	total := points.Total("Sum", map[string]Cell{"twice": Formula(points.Sum("twice"), 6.0, Total)})
	assert.Equal(t, "C2", points.Cell(row, "x").Local())
	assert.Equal(t, "2*C2", p.at(row, 4).F)
	assert.Equal(t, "twice x", points.Shown("twice"))
	assert.Equal(t, []Cell{{}, {}, Str(TotalText, "Sum"), Formula("SUM(D2:D2)", 6.0, Total)}, p.Rows[total-1].Cells)
	assert.Equal(t, "C1:D2", p.Tables[0].String())
	_, err := o.Bytes()
	require.NoError(t, err)
	points.SetWidths()
	_, err = o.Bytes()
	assert.ErrorContains(t, err, "stands beside another one")
}

// A drawing of 90 pixels covers five rows of 20, and what is written is not shortened.
func TestDrawLines(t *testing.T) {
	for _, c := range []struct{ written, next int }{{0, 6}, {2, 6}, {7, 8}} {
		p := New(Properties{}).AddSheet("Drawing")
		p.Skip(c.written)
		p.DrawLines(1, LineChart{Height: 90})
		assert.Equal(t, c.next, p.Next())
		assert.Equal(t, "A1", p.Charts[0].corner())
	}
}
