package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/io/xlsx"
)

// TestPictureName: the words of a bar are those that the formula gives.
func TestPictureName(t *testing.T) {
	w := clipboard(false)
	c := pictureName(openingCost{o: &w.in.Takeoff.Openings[0], materials: 100_000, unit: 91_850})
	assert.Equal(t, `{Mark}&" x "&{Qty}&":  "&TEXT({Materials and unit},"0")`, c.F)
	assert.Equal(t, "W1 x 4:  1919", c.V, "1918.50 rounds up")
}

// TestManyMarksAreDrawnInSeveralPictures: 25 to a picture, six at most.
func TestManyMarksAreDrawnInSeveralPictures(t *testing.T) {
	for _, c := range []struct {
		why             string
		marks, pictures int
		note            string
	}{
		{"none", 0, 0, ""},
		{"one", 1, 1, ""},
		{"as many as one picture holds", 25, 1, ""},
		{"one more", 26, 2, ""},
		{"as many as all hold", 150, 6, ""},
		{"more", 151, 6, "The first 150 of 151 marks are drawn."},
	} {
		o := xlsx.New(xlsx.Properties{})
		w := &writer{out: o}
		p := o.AddSheet("By opening")
		w.byOpening = xlsx.NewTable(p, "OpeningCosts", w.openingColumns())
		w.byOpening.PlaceRows(firstRow-1, c.marks)
		p.Skip(firstRow - 1 + c.marks)
		w.markPictures(p)
		assert.Len(t, p.Charts, c.pictures, c.why)
		last := ""
		if cells := p.Rows[len(p.Rows)-1].Cells; len(cells) > 0 && cells[0].Look == xlsx.Note {
			last, _ = cells[0].V.(string)
		}
		assert.Equal(t, c.note, last, c.why)
	}
}
