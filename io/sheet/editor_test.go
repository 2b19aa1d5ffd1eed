package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
)

var editedColumns = []Column{{Key: "Mark", Required: true}, {Key: "Qty", Synonyms: []string{"Count"}}, {Key: "Story"}}

func typedCell(text string) Cell {
	return Cell{Kind: Text, Text: text, Place: estimate.Place{File: "e.xlsx", Sheet: "Openings", Row: 40, Col: 3}}
}

// An editor finds columns by whatever they are called and adds those that are not there;
// what it typed is reported where it came from.
func TestEditor(t *testing.T) {
	b, _ := Parse("job.csv", []byte("the house on the hill\n\nMark,Count,Ours\nW1,2,x\nW2,1,\n"))
	s := b.Sheets[0]
	e := NewEditor(s, editedColumns)
	before, there := e.Cell(4, "Qty")
	assert.True(t, there)
	assert.Equal(t, "2", before.Text)
	_, there = e.Cell(9, "Qty")
	assert.False(t, there)
	e.Put(4, "Qty", typedCell("3"))
	e.Put(4, "ours", typedCell("y"))
	e.Put(4, "Story", typedCell("2"))
	e.Put(9, "Qty", typedCell("9"))
	e.Remove(5)
	at := estimate.Place{File: "e.xlsx", Sheet: "Openings", Row: 41}
	mark := typedCell("W3")
	mark.Place.Row, mark.Place.Col = 41, 1
	e.Append(at, []string{"Mark"}, map[string]Cell{"Mark": mark, "Qty": {}})

	table, problems := s.Table(editedColumns)
	var rows [][]string
	for _, r := range table.Rows {
		rows = append(rows, []string{r.Cell("Mark").Text, r.Cell("Qty").Text, r.Cell("Story").Text})
	}
	assert.Equal(t, [][]string{{"W1", "3", "2"}, {"W3", "", ""}}, rows)
	assert.Equal(t, "y", table.Rows[0].Extra()[0].Text)
	assert.Equal(t, "job.csv: line 4, Mark", table.Rows[0].Cell("Mark").Place.String())
	assert.Equal(t, "e.xlsx: Openings!C40", table.Rows[0].Cell("Qty").Place.String())
	assert.Equal(t, "e.xlsx: Openings row 41", table.Rows[1].Place.String())
	assert.Equal(t, "e.xlsx: Openings row 41", table.Rows[1].Cell("Story").Place.String(), "a cell that the row lacks")
	assert.Len(t, problems, 1, "the column Ours is not used, as before")
}

// A sheet without headers gets those that are required.
func TestEditorOfAnEmptySheet(t *testing.T) {
	s := &Sheet{Name: "Materials", File: "job.xlsx"}
	e := NewEditor(s, editedColumns)
	e.Append(estimate.Place{File: "e.xlsx", Sheet: "Materials", Row: 7}, []string{"Mark", "Qty"}, map[string]Cell{"Mark": typedCell("W1"), "Qty": typedCell("4")})
	table, problems := s.Table(editedColumns)
	assert.Empty(t, problems)
	assert.Equal(t, "4", table.Rows[0].Cell("Qty").Text)
}

// A header of signs alone is found among columns that have none.
func TestEditorOfASignForAHeader(t *testing.T) {
	b, _ := Parse("job.csv", []byte("Mark,,?\nW1,x,y\n"))
	e := NewEditor(b.Sheets[0], editedColumns)
	e.Put(2, "?", typedCell("z"))
	var texts []string
	for _, c := range b.Sheets[0].Rows[1] {
		texts = append(texts, c.Text)
	}
	assert.Equal(t, []string{"W1", "x", "z"}, texts)
}
