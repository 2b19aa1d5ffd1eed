package xlsx

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/formula"
)

func words(head string) Column[string] {
	return Column[string]{Head: head, Width: 10, Cell: func(s string) Cell { return Str(Text, s) }}
}

// What a table says of having no rows is a row of it.
func TestTableOfNothing(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Flags")
	table := NewTable(p, "Flagged", []Column[string]{words("Item"), words("What"), words("Do")})
	table.Header()
	assert.True(t, table.Empty())
	row := table.Nothing(map[string]Cell{"What": Str(TextWrap, "nothing was found")})
	table.Finish()
	assert.False(t, table.Empty())
	assert.Equal(t, "nothing was found", p.at(row, 2).V)
	assert.Equal(t, []Cell{{}, Str(TextWrap, "nothing was found")}, p.Rows[row-1].Cells, "no more cells than are said")
	require.Len(t, p.Tables, 1)
	assert.Equal(t, "A1:C2", p.Tables[0].String())
	_, err := o.Bytes()
	require.NoError(t, err)

	table.Nothing(map[string]Cell{"Wat": Str(Text, "x")})
	_, err = o.Bytes()
	assert.ErrorContains(t, err, `has no column "Wat"`)
}

// The cells that a line covers are drawn, unless they are bare.
func TestLineBare(t *testing.T) {
	o := New(Properties{})
	p := o.AddSheet("Price")
	table := NewTable(p, "Parts", []Column[string]{words("Part"), words("Earlier"), words("Later")})
	drawn := table.Line(Span{From: "Part", To: "Later", Cell: Str(Note, "a")})
	bare := table.Line(Span{From: "Part", To: "Later", Cell: Str(Note, "b"), Bare: true})
	assert.Equal(t, Blank(Note), p.at(drawn, 3))
	assert.Equal(t, Cell{}, p.at(bare, 3))
	assert.Equal(t, []formula.Area{{Row: bare, Col: 1, Row2: bare, Col2: 3}}, p.mergesOn[bare])
}

func TestLinkToSheet(t *testing.T) {
	assert.Equal(t, "'To buy'!A1", LinkToSheet("To buy", "more").Link)
	assert.Equal(t, "Marks!A1", LinkToSheet("Marks", "more").Link)
}

// A picture takes the rows below what is written, and with a heading stays on one page.
func TestPictureBelow(t *testing.T) {
	p := New(Properties{}).AddSheet("Picture")
	p.Row(Str(Text, "a"))
	p.Draw(BarChart{Height: 2*RowPixels + 1})
	assert.Equal(t, 5, p.Next(), "three rows")
	assert.Empty(t, p.kept)
	p.BelowHead("Costs", BarChart{About: "What each costs", Height: RowPixels})
	assert.Equal(t, "Costs", p.at(6, 1).V)
	assert.Equal(t, [][2]int{{6, 8}}, p.kept)
	require.Len(t, p.Charts, 2)
	assert.Equal(t, []string{"A2", "A7"}, []string{p.Charts[0].corner(), p.Charts[1].corner()})
}
