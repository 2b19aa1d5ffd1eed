package estimate_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// cellsIn places a reading in a row of the sheet Measured, widths in C to E,
// heights in F to H, diagonals in I and J.
func cellsIn(row int, r estimate.Reading) estimate.Reading {
	at := func(col int) estimate.Place {
		return estimate.Place{File: "job.xlsx", Sheet: "Measured", Row: row, Col: col}
	}
	r.Place = at(0)
	for i := range 3 {
		r.Cells.Widths[i], r.Cells.Heights[i] = at(3+i), at(6+i)
	}
	r.Cells.Diagonals = [2]estimate.Place{at(9), at(10)}
	return r
}

// TestMeasuredAgainstOrdered: each problem stands at the cell that was read and
// says what to do; each holds the trim.
func TestMeasuredAgainstOrdered(t *testing.T) {
	for _, c := range []struct {
		why             string
		widths, heights [3]float64
		want            string
	}{
		{"3/8 in off the order", [3]float64{35.875, 35.875, 35.8125}, [3]float64{59.5, 59.5, 59.5},
			"C2: warning: W1: measured 35-7/8 x 59-1/2 differs from the ordered frame 35-1/2 x 59-1/2 (measure again, out to out of the frame, before the trim is cut)"},
		{"3/8 in off in height alone", [3]float64{35.5, 35.5, 35.5}, [3]float64{59.875, 59.8125, 59.8125},
			"F2: warning: W1: measured 35-1/2 x 59-7/8 differs from the ordered frame 35-1/2 x 59-1/2 (measure again, out to out of the frame, before the trim is cut)"},
		{"a swapped pair", [3]float64{59.5, 59.5, 59.5}, [3]float64{35.5, 35.5, 35.5},
			"C2: warning: W1: measured width and height look swapped against the order (width comes first; measure again before anything is cut)"},
		{"a spread of 3/16", [3]float64{35.5, 35.6875, 35.5}, [3]float64{59.5, 59.5, 59.5},
			"D2: warning: W1: readings of one side differ by 3/16 in (correct the unit, measure again, or give pieces that differ a row each)"},
		{"a clad unit larger outside", [3]float64{36.5, 36.5625, 36.5}, [3]float64{60.5, 60.5, 60.5},
			"D2: warning: W1: measured 36-9/16 x 60-1/2 is larger both ways than the ordered frame 35-1/2 x 59-1/2 (a clad unit is larger outside than " +
				"inside: the trim goes round the outside; if it is one, write its outside as the frame and its opening as the RO, else measure again)"},
		{"far too large is no cladding", [3]float64{40, 40, 40}, [3]float64{64, 64, 64},
			"C2: warning: W1: measured 40 x 64 differs from the ordered frame 35-1/2 x 59-1/2 (measure again, out to out of the frame, before the trim is cut)"},
		{"1/4 in off, readings within 1/8", [3]float64{35.75, 35.625, 35.625}, [3]float64{59.5, 59.5, 59.5}, ""},
	} {
		o := window(35.5, 59.5)
		o.Status, o.Readings = "set", []estimate.Reading{cellsIn(2, read(c.widths, c.heights))}
		take, problems := takeOff(bare(t), o)
		if c.want == "" {
			assert.Empty(t, problems, c.why)
			assert.Empty(t, take.Holds, c.why)
			continue
		}
		assert.Equal(t, []string{"job.xlsx: Measured!" + c.want}, lines(problems), c.why)
		assert.NotEmpty(t, take.Openings[0].Doubt, c.why)
	}
}

// TestOddPiece: one odd piece of nine gets a line of its own, measured against
// the order like any other; the eight go on.
func TestOddPiece(t *testing.T) {
	o := window(35.5, 59.5)
	o.Qty, o.Status = 9, "set"
	for piece := int64(1); piece <= 9; piece++ {
		w := 35.5 + float64(piece%3)/16
		if piece == 5 {
			w = 35.75
		}
		r := cellsIn(int(piece)+1, read([3]float64{w, w, w}, [3]float64{59.5, 59.5, 59.5}))
		r.Piece = piece
		o.Readings = append(o.Readings, r)
	}
	b := shipped(t)
	take, problems := takeOff(b, o)
	assert.Contains(t, lines(problems),
		"job.xlsx: Measured row 6: note: W1: piece 5 measures unlike the others of its mark and has a line of its own (write its number on the unit and on its trim)")
	require.Len(t, take.Openings, 2)
	main, odd := take.Openings[0], take.Openings[1]
	assert.Equal(t, []int64{8, 0, 1}, []int64{main.Qty, main.Piece, main.Apart})
	assert.Equal(t, []int64{1, 5, 0}, []int64{odd.Qty, odd.Piece, odd.Apart})
	assert.Equal(t, "W1 piece 5", odd.Mark)
	assert.Equal(t, size(35.625, 59.5), main.TrimSize, "the largest of the eight")
	assert.Equal(t, size(35.75, 59.5), odd.TrimSize)
	assert.Empty(t, take.Holds)
	frames := estimate.Frames(b, take)
	require.Len(t, frames, 2)
	assert.Equal(t, "W1 x 8", frames[0].MarksText())
	assert.Equal(t, "W1 piece 5", frames[1].MarksText())
	assert.Equal(t, in(0.1875+0.0625), frames[0].Marks[0].Joint, "arithmetic: 3/16, and half of 1/8 where the unit is narrowest")
}

// TestNoOddPiece: a mark whose pieces do not mostly agree stays whole and is
// held; so does one with a piece that does not agree with itself.
func TestNoOddPiece(t *testing.T) {
	for _, c := range []struct {
		why    string
		qty    int64
		widths []float64
		spread float64 // of the first piece
	}{
		{"half and half", 4, []float64{35.5, 35.5, 35.75, 35.75}, 0},
		{"each its own", 3, []float64{35.25, 35.5, 35.75}, 0},
		{"one of two", 2, []float64{35.5, 35.75}, 0},
		{"a piece that is out of true", 3, []float64{35.5, 35.5, 35.5}, 0.25},
	} {
		o := window(35.5, 59.5)
		o.Qty, o.Status = c.qty, "set"
		for i, w := range c.widths {
			r := read([3]float64{w, w, w}, [3]float64{59.5, 59.5, 59.5})
			if i == 0 {
				r.Widths[1] += in(c.spread)
			}
			r.Piece = int64(i) + 1
			o.Readings = append(o.Readings, r)
		}
		take, problems := takeOff(bare(t), o)
		require.Len(t, take.Openings, 1, c.why)
		assert.Equal(t, c.qty, take.Openings[0].Qty, c.why)
		assert.Len(t, problems, 1, c.why)
		assert.Contains(t, take.Openings[0].Doubt, "readings of one side differ", c.why)
	}
}

// TestManySorts: readings of hundreds of sorts are no one size, and cost no
// time.
func TestManySorts(t *testing.T) {
	o := window(35.5, 59.5)
	o.Qty, o.Status = 9999, "set"
	for piece := int64(1); piece <= 9999; piece++ {
		w := 30 + float64(piece)/64
		r := read([3]float64{w, w, w}, [3]float64{59.5, 59.5, 59.5})
		r.Piece = piece
		o.Readings = append(o.Readings, r)
	}
	take, _ := takeOff(bare(t), o)
	assert.Len(t, take.Openings, 1)
}

// TestOpeningMeasured: of an opening the smallest reading rules; readings of
// openings do not measure the frame.
func TestOpeningMeasured(t *testing.T) {
	opening := func(widths, heights [3]float64) estimate.Opening {
		r := cellsIn(2, read(widths, heights))
		r.Of = "opening"
		o := window(35.5, 59.5)
		o.Status, o.Readings = "delivered", []estimate.Reading{r}
		return o
	}
	for _, c := range []struct {
		source          string
		widths, heights [3]float64
		rough           estimate.Size
		want            []string
	}{
		{measurePage + "the smallest of three", [3]float64{36, 36.0625, 36.125}, [3]float64{60.125, 60.0625, 60.0625}, size(36, 60.0625), nil},
		{"the same: within 1/8 of each other", [3]float64{36, 36.1875, 36}, [3]float64{60, 60, 60}, size(36, 60), []string{
			"job.xlsx: Measured!C2: warning: W1: readings of the opening's width differ by 3/16 in (the smallest counts; correct the framing, or give " +
				"openings that differ a row each)"}},
		{"3/8 off what the schedule says", [3]float64{36.375, 36.375, 36.375}, [3]float64{60, 60, 60}, size(36.375, 60), []string{
			"job.xlsx: Measured!C2: warning: W1: the opening measures 36-3/8 in in width, the schedule says 36 (check the unit against the opening before " +
				"it is set; the measured opening counts)"}},
	} {
		take, problems := takeOff(bare(t), opening(c.widths, c.heights))
		assert.Equal(t, c.want, lines(problems), c.source)
		require.Len(t, take.Openings, 1, c.source)
		assert.Equal(t, c.rough, take.Openings[0].Rough, c.source)
		assert.Equal(t, "smallest reading", take.Openings[0].RoughFrom)
		assert.False(t, take.Openings[0].Measured.Known(), c.source)
	}
	take, problems := takeOff(bare(t), opening([3]float64{35.375, 36, 36}, [3]float64{60, 60, 60}))
	assert.Empty(t, take.Openings, "the unit does not pass it")
	assert.Contains(t, fmt.Sprint(lines(problems)), "the opening is 1/8 in smaller in width than the frame")

	o := opening([3]float64{36, 36, 36}, [3]float64{60, 60, 60})
	o.Readings[0].Diagonals = [2]measure.Length{in(70), in(70.25)}
	_, problems = takeOff(bare(t), o)
	assert.Equal(t, []string{"job.xlsx: Measured!J2: warning: W1: the diagonals of opening 1 differ by 1/4 in (square the framing before the " +
		"unit is set)"}, lines(problems), levelSill+"3 mm")
}
