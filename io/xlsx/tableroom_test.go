package xlsx

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/io/xlsx/formula"
)

// counted is a row of the tables below.
type counted struct {
	name  string
	count int
}

// countedTable returns a table with two rows, one column that is not printed, and room for
// notes at its right if it is asked for.
func countedTable(p *Sheet, more ...Column[counted]) *Table[counted] {
	t := NewTable(p, "Pieces", append([]Column[counted]{
		{Head: "Name", Width: 20, Cell: func(r counted) Cell { return Str(Text, r.name) }},
		{Head: "Count", Width: 8, Cell: func(r counted) Cell { return Num(r.count, Count) }},
		{Head: "Twice", Unprinted: true, Cell: func(r counted) Cell { return Formula("2*{Count}", 2*r.count, Count) }},
	}, more...))
	t.Header()
	t.Row(counted{"leg", 4})
	t.Row(counted{"head", 2})
	return t
}

func TestFootStandsUnderItsColumns(t *testing.T) {
	o := New(Properties{Title: "Foot"})
	p := o.AddSheet("Pieces")
	table := countedTable(p)
	row := table.Foot(Note, map[string]Cell{"Count": Formula(table.Sum("Count"), 6, TotalCount), "Twice": Formula("2*{Count}", 12, Count)})
	assert.Equal(t, []Cell{Blank(Note), Formula("SUM(B2:B3)", 6, TotalCount), Formula("2*B4", 12, Count)}, p.Rows[row-1].Cells)
	assert.Equal(t, "B4", table.Cell(row, "Count").Local())
	assert.Equal(t, 3, table.Last(), "the line is no row of the table")
	_, err := o.Bytes()
	require.NoError(t, err)
}

func TestPutIntoARowAbove(t *testing.T) {
	o := New(Properties{Title: "Put"})
	p := o.AddSheet("Pieces")
	p.Row(Str(Title, "Pieces"))
	table := countedTable(p)
	table.Put(1, map[string]Cell{"Twice": Formula("{Count}+"+table.Column("Twice").String(), 12, Count)})
	assert.Equal(t, []Cell{Str(Title, "Pieces"), {}, Formula("B1+Pieces!$C$3:$C$4", 12, Count)}, p.Rows[0].Cells)
	assert.Equal(t, 5, p.Next())
}

// Cells apart are drawn as the one that they follow, and not joined to it.
func TestSpanOfCellsApart(t *testing.T) {
	o := New(Properties{Title: "Span"})
	p := o.AddSheet("Pieces")
	table := countedTable(p)
	row := table.Line(Span{From: "Name", To: "Count", Apart: true, Cell: Str(Text, "of which")}, Span{From: "Twice", Cell: Num(1, Count)})
	assert.Equal(t, []Cell{Str(Text, "of which"), Blank(Text), Num(1, Count)}, p.Rows[row-1].Cells)
	assert.Empty(t, p.merges)
	table.Line(Span{From: "Name", To: "Count", Cell: Str(Text, "joined")})
	assert.Equal(t, []formula.Area{{Row: row + 1, Col: 1, Row2: row + 1, Col2: 2}}, p.merges)
}

// Room beside a table has a width and carries lines, but no header, cells or filter.
func TestRoomBesideATable(t *testing.T) {
	o := New(Properties{Title: "Room"})
	p := o.AddSheet("Pieces")
	table := countedTable(p, Column[counted]{Head: "Notes", Width: 30, Aside: true})
	table.Filter()
	for row := 1; row <= 3; row++ {
		assert.Len(t, p.Rows[row-1].Cells, 3)
	}
	assert.Equal(t, 3, p.Tables[0].Col2)
	assert.Equal(t, []float64{20, 8, 0, 30}, p.Width)
	assert.Empty(t, table.Shown("Notes"))
	table.Line(Span{From: "Name", To: "Notes", Cell: Str(Text, "joined")})
	assert.Equal(t, 4, p.merges[0].Col2)
	_, err := o.Bytes()
	require.NoError(t, err)

	o = New(Properties{Title: "Room"})
	countedTable(o.AddSheet("Pieces"), Column[counted]{Head: "Notes", Aside: true}, Column[counted]{Head: "Mark"})
	_, err = o.Bytes()
	assert.ErrorContains(t, err, "a column behind the room at its right")
}

func TestColumnsWithoutAHeader(t *testing.T) {
	o := New(Properties{Title: "Widths"})
	p := o.AddSheet("Pieces")
	NewTable(p, "Pieces", []Column[counted]{{Head: "Name", Width: 20}, {Head: "Count"}, {Head: "Mark", Width: 6, Unprinted: true}, {Head: "Notes"}}).SetWidths()
	assert.Equal(t, []float64{20, 0, 6}, p.Width, "what is left to its content is not set")
	assert.Equal(t, 2, p.printed)
}

// A page of the sheet has room for so many rows: the picture fits if it is no higher
// than what they leave.
func TestPictureFitsOnAPage(t *testing.T) {
	o := New(Properties{Title: "Fits"})
	p := o.AddSheet("Pieces")
	p.AutoWidth(12, 12)
	table := countedTable(p)
	left := p.pageRoom([]float64{20, 8}) - 3*rowHeight
	most := int(left / PixelPoints)
	assert.True(t, table.Fits(1, most))
	assert.False(t, table.Fits(1, most+1))
	assert.True(t, table.Fits(2, most+1), "a page that begins a row later has more room")
	next := p.Next()
	aRow := int(rowHeight / PixelPoints)
	assert.True(t, table.FitsRow(1, counted{}, most-aRow))
	assert.False(t, table.FitsRow(1, counted{}, most-aRow+1))
	assert.Equal(t, next, p.Next(), "it is not written")
	p.Draw(BarChart{Width: 100, Height: 3*RowPixels + 1, Bars: table.Column("Name").String()})
	assert.Equal(t, next+4, p.Next(), "the rows that the picture covers are skipped")
	assert.Equal(t, "A4", p.Charts[0].corner())
}

// A line below the title takes as much room before it is merged as after it.
func TestRoomOfASubtitle(t *testing.T) {
	o := New(Properties{Title: "Room"})
	p := o.AddSheet("Pieces")
	p.Row(Str(Subtitle, "A row and a bar for each cutting pattern of the boards"))
	countedTable(p)
	widths := []float64{20, 8}
	before := p.points(1, 2, widths, 0)
	p.mergeSubtitles(widths)
	assert.NotEmpty(t, p.merges)
	assert.InDelta(t, p.points(1, 2, widths, 0), before, 1e-9)
	assert.Greater(t, before, rowHeight, "it does not fit on one line of 28 digits")
}
