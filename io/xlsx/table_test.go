package xlsx

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
	"sillwright/io/xlsx/formula"
)

// board is a row of the tables here.
type board struct {
	mark  string
	count int64
	price measure.UnitPrice
}

func (p board) extension() measure.Money { return measure.Extension(p.count, p.price) }

func boardColumns(suppliers ...string) []Column[board] {
	columns := []Column[board]{
		{Head: "Mark", Width: 8, Frozen: true, Cell: func(p board) Cell { return Str(Text, p.mark) }},
		{Head: "Count", Width: 6, Cell: func(p board) Cell { return Num(p.count, Count) }},
	}
	for _, s := range suppliers {
		columns = append(columns, Column[board]{Head: s, Key: "at " + s, Clash: " (supplier)", Width: 9, Cell: func(p board) Cell { return Num(p.price, UnitPrice) }})
	}
	return append(columns, []Column[board]{
		{Head: "Price", Cell: func(p board) Cell { return Num(p.price, UnitPrice) }},
		{Head: "Extension", Width: 12, Unprinted: true, Cell: func(p board) Cell {
			return Formula(formula.Cents("{Count}*{Price}", formula.ExtensionDecimals), p.extension(), Money)
		}},
		{Head: "So far", Folded: true},
	}...)
}

var boards = []board{{"W1", 2, 14_500}, {"W2", 3, 20_000}}

// ordered is a workbook of one table and its total.
func ordered(t *testing.T) (*Book, *Table[board]) {
	t.Helper()
	o := New(Properties{})
	p := o.AddSheet("Cut list")
	p.Row(Str(Title, "Pieces"))
	table := NewTable(p, "Pieces", boardColumns())
	table.Header()
	for _, x := range boards {
		table.Keyed(x.mark, x)
	}
	table.Finish()
	table.Total("All", map[string]Cell{"Extension": Formula(table.Sum("Extension"), measure.Money(890), Total)})
	return o, table
}

func TestTableNamesItsCells(t *testing.T) {
	o, table := ordered(t)
	assert.Equal(t, "ROUND(ROUND(B4*C4,4),2)", table.sheet.Rows[3].Cells[3].F, "of its own row")
	for _, c := range []struct {
		why  string
		want string
		got  string
	}{
		{"a cell from any sheet", "'Cut list'!$C$4", table.At("W2", "Price").String()},
		{"not fixed", "'Cut list'!C4", table.At("W2", "Price").Moving()},
		{"from its own sheet", "C4", table.At("W2", "Price").Local()},
		{"fixed there", "$C$4", table.At("W2", "Price").Fixed()},
		{"its row fixed", "C$4", table.At("W2", "Price").FixedRow()},
		{"its column fixed", "$C4", table.At("W2", "Price").FixedColumn()},
		{"a column", "'Cut list'!$D$3:$D$4", table.Column("Extension").String()},
		{"some rows of it, if only one", "D4:D4", table.Rows(4, 4, "Extension").Local()},
		{"cells of a row", "B3:D3", table.Across(3, "Count", "Extension").Local()},
		{"a block", "B3:C4", table.Block(3, 4, "Count", "Price").Local()},
		{"from one to another", "$B$3:$C$4", table.At("W1", "Count").To(table.At("W2", "Price")).Fixed()},
		{"a header", "D2", table.Head("Extension").Local()},
		{"the sum below", "D5", table.At("All", "Extension").Local()},
		{"a sum", "SUM(D3:D4)", table.Sum("Extension")},
		{"the sum of nothing", "0", table.SumRows(5, 4, "Extension")},
	} {
		assert.Equal(t, c.want, c.got, c.why)
	}
	build(t, o)
}

func TestFormulasNameColumns(t *testing.T) {
	_, table := ordered(t)
	for _, c := range []struct{ why, in, want string }{
		{"nothing to name", "1+1", "1+1"},
		{"columns of this row", "{Count}*{Price}", "B9*C9"},
		{"the row above", "{^So far}+{Count}", "E8+B9"},
		{"the row of a key", "{Price@W1}", "C3"},
		{"from one column to another", "SUM({Count..Extension})", "SUM(B9:D9)"},
		{"what stands in quotes", `IF({Count}=0,"{Count}",1)`, `IF(B9=0,"{Count}",1)`},
	} {
		assert.Equal(t, c.want, table.resolve(c.in, 9), c.why)
	}
}

// What is not there is a fault of the workbook, never a wrong reference.
func TestTableFaults(t *testing.T) {
	for _, c := range []struct {
		why, want string
		do        func(o *Book, table *Table[board])
	}{
		{"a column in a formula", `has no column "Cuont"`, func(_ *Book, table *Table[board]) { table.resolve("{Cuont}", 9) }},
		{"a column of a reference", `has no column "Cuont"`, func(_ *Book, table *Table[board]) { table.Column("Cuont") }},
		{"a row of a reference", `has no row "W9"`, func(_ *Book, table *Table[board]) { table.At("W9", "Count") }},
		{"a brace that is open", "leaves a brace open", func(_ *Book, table *Table[board]) { table.resolve("{Count", 9) }},
		{"two columns of one head", `two columns "Mark"`, func(o *Book, _ *Table[board]) {
			NewTable(o.AddSheet("Twice"), "Twice", append(boardColumns(), boardColumns()[0]))
		}},
		{"no place yet", "before it has a place", func(o *Book, _ *Table[board]) {
			NewTable(o.AddSheet("Later"), "Later", boardColumns()).Column("Count")
		}},
		{"another place than laid out", "was placed at row 4 and begins at 1", func(o *Book, _ *Table[board]) {
			late := NewTable(o.AddSheet("Late"), "Late", boardColumns())
			late.Place(4, nil)
			late.Header()
		}},
		{"another row than laid out", `row "W2" of table Turned was placed at 3 and is written at 2`, func(o *Book, _ *Table[board]) {
			turned := NewTable(o.AddSheet("Turned"), "Turned", boardColumns())
			turned.Place(1, []string{"W1", "W2"})
			turned.Header()
			turned.Keyed("W2", boards[1])
		}},
		{"a sheet that is not there", `there is no sheet "Prices"`, func(o *Book, _ *Table[board]) { o.Sheet("Prices") }},
	} {
		t.Run(c.why, func(t *testing.T) {
			o, table := ordered(t)
			c.do(o, table)
			_, err := o.Bytes()
			assert.ErrorContains(t, err, c.want)
		})
	}
}

// A head made from data gives way to a fixed one, and formulas find its column all the
// same.
func TestHeadsMadeFromDataAreRenamed(t *testing.T) {
	o := New(Properties{})
	table := NewTable(o.AddSheet("Orders"), "Orders", boardColumns("Yard", "price", "yard", "A  name\nof two lines"))
	table.Header()
	table.Row(boards[0])
	for key, want := range map[string]string{
		"at Yard": "Yard", "at price": "price (supplier)", "at yard": "yard (supplier)", "at A  name\nof two lines": "A name of two lines", "Price": "Price",
	} {
		assert.Equal(t, want, table.Shown(key), key)
	}
	assert.Equal(t, "D2", table.Rows(2, 2, "at price").Local()[:2])
	table.Finish()
	build(t, o)
}

func TestTableSetsUpItsSheet(t *testing.T) {
	_, table := ordered(t)
	p := table.sheet
	assert.Equal(t, []float64{8, 6, 0, 12}, p.Width)
	assert.Equal(t, 3, p.printed, "up to the first that is for the screen")
	assert.Equal(t, [2]int{5, 5}, [2]int{p.foldFrom, p.foldTo})
	assert.Equal(t, [2]int{2, 1}, [2]int{p.frozenRows, p.frozenCols})
	assert.Equal(t, [2]int{2, 2}, [2]int{p.titleFirst, p.titleLast})
	require.Len(t, p.Tables, 1)
	assert.Equal(t, "A2:E4", p.Tables[0].String())
}

func TestLinesRunOverColumns(t *testing.T) {
	o, table := ordered(t)
	row := table.Line(Span{From: "Mark", Cell: Blank(Tick)}, Span{From: "Count", To: "Extension", Cell: Formula("{Count@W1}*2", 4, Big)})
	cells := table.sheet.Rows[row-1].Cells
	assert.Equal(t, []Look{Tick, Big, Big, Big}, []Look{cells[0].Look, cells[1].Look, cells[2].Look, cells[3].Look})
	assert.Equal(t, "B3*2", cells[1].F)
	row = table.Banner(Note, "to the edge")
	assert.Equal(t, []string{"B6:D6", fmt.Sprintf("A%d:C%d", row, row)}, []string{table.sheet.merges[0].String(), table.sheet.merges[1].String()})
	refs := table.sheet.Strip(Wide{Cell: Str(Text, "wide"), Columns: 2}, Wide{Cell: Str(Text, "next")})
	assert.Equal(t, []string{"A8", "C8"}, []string{refs[0].Local(), refs[1].Local()})
	at := table.Cell(9, "Count").Put(Str(Text, "put"), 2)
	assert.Equal(t, "B9:C9", at.Local())
	build(t, o)
}

// TestStreamedRows are those of rows that are held.
func TestStreamedRows(t *testing.T) {
	written := func(stream bool) []byte {
		o := New(Properties{})
		table := NewTable(o.AddSheet("Cut list"), "Pieces", boardColumns()[:3])
		table.Header()
		if stream {
			i := -1
			table.Stream(len(boards), []Look{Text, Count, UnitPrice}, func() board { i++; return boards[i] })
		} else {
			for _, x := range boards {
				table.Row(x)
			}
		}
		table.columns[2].Width = 9
		assert.Equal(t, 3, table.Last())
		table.sheet.setWidths(8, 6, 9)
		table.Finish()
		return build(t, o)
	}
	assert.Equal(t, written(false), written(true))
}
