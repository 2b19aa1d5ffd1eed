package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/io/xlsx"
)

// TestMarkBar: the words of a bar are those that the formula gives.
func TestMarkBar(t *testing.T) {
	w := clipboard(false)
	cells := markBar(6, 14, 27, &w.in.Takeoff.Openings[0], 191_850)
	assert.Equal(t, xlsx.Formula("SUM(N6,P6)", cells[0].V, xlsx.Money), cells[0])
	assert.Equal(t, `A6&" x "&C6&":  "&TEXT(AA6,"0")`, cells[1].F)
	assert.Equal(t, "W1 x 4:  1919", cells[1].V, "1918.50 rounds up")
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
		{"more", 151, 6, "Drawn are the first 150 of 151 marks."},
	} {
		o := xlsx.New(xlsx.Properties{})
		w := &writer{out: o, byOpening: o.AddSheet("By opening")}
		p := w.byOpening
		p.Skip(firstRow - 1 + c.marks)
		p.Widths(make([]float64, 16)...)
		w.markPictures(14, 27, firstRow-1+c.marks)
		assert.Len(t, p.Charts, c.pictures, c.why)
		last := ""
		if s, ok := p.At(len(p.Rows), 1).V.(string); ok && p.At(len(p.Rows), 1).Look == xlsx.Note {
			last = s
		}
		assert.Equal(t, c.note, last, c.why)
	}
}
