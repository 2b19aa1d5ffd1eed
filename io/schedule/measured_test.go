package schedule

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

const (
	twoMarks       = "Mark,Qty,Kind\nW1,2,window\nD1,1,entry door\nW9,1,windoe"
	openingHeader  = "Mark,Piece,Of,Width 1,Height 1,High end,Rise\n"
	measuredHeader = "Mark,Piece,Width 1,Width 2,Width 3,Height 1,Height 2,Height 3,Diagonal 1,Diagonal 2,High end,Rise,Initials\n"
	badRow         = `job.xlsx: Openings!C4: Kind "windoe" is not known (did you mean "window"? write window, entry door, patio door or overhead door)`
)

func TestMeasured(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": twoMarks, "Measured": measuredHeader +
		"w1,2,35.5,35-9/16,35.5,59.5,,59.5,69.25,69-5/16,L,1/8,JR\n" +
		"W1,1,,,,,,,,,,,JR\n" + // nothing read yet
		"W9,1,35,,,,,,,,,,\n" + // its row was left out
		"D1,,37.5,,,81.75,,,,,,0,\n"})
	require.Equal(t, []string{badRow}, ps)
	w1, d1 := s.Book.Openings[0].Readings, s.Book.Openings[1].Readings
	require.Len(t, w1, 1)
	assert.Contains(t, w1[0].Cells.Widths[1].String(), "Measured!D2", "each reading has its cell")
	assert.Contains(t, w1[0].Cells.Diagonals[1].String(), "Measured!J2")
	w1[0].Cells = estimate.ReadingCells{}
	assert.Equal(t, estimate.Reading{
		Place: estimate.Place{File: "job.xlsx", Sheet: "Measured", Row: 2}, Piece: 2,
		Widths:    [3]measure.Length{in64(35*64 + 32), in64(35*64 + 36), in64(35*64 + 32)},
		Heights:   [3]measure.Length{in64(59*64 + 32), 0, in64(59*64 + 32)},
		Diagonals: [2]measure.Length{in64(69*64 + 16), in64(69*64 + 20)},
		HighEnd:   "left", Rise: in64(8), Initials: "JR",
	}, w1[0])
	require.Len(t, d1, 1)
	assert.Equal(t, int64(1), d1[0].Piece, "the only one")
	assert.Equal(t, estimate.HighNeither, d1[0].HighEnd, "a rise of 0 was read")
	var index []int
	for _, r := range s.Measured.Rows {
		index = append(index, r.Index)
	}
	assert.Equal(t, []int{0, -1, 1}, index)
}

func TestMeasuredProblems(t *testing.T) {
	for _, tt := range []struct{ why, line, say string }{
		{"unknown mark", "D2,1,36,,,,,,,,,,", `A2: Mark "D2" is not on the sheet Openings (write a mark of the sheet Openings)`},
		{"no mark", ",1,36,,,,,,,,,,", "A2: Mark is blank (write the mark that was measured)"},
		{"a piece too many", "W1,3,36,,,,,,,,,,", "B2: Piece 3 of W1, of which there are 2 (write 1 to 2, or correct the Qty)"},
		{"which piece?", "W1,,36,,,,,,,,,,", "B2: Piece is blank; there are 2 of W1 (number the pieces from 1)"},
		{"no length", "W1,1,36,thirty,,,,,,,,,", `D2: Width 2 "thirty" is not a length (write 7'-11 1/2" or 95.5)`},
		{"0 is not read", "W1,1,0,,,,,,,,,,", "C2: Width 1 is 0 (leave it blank when it is not known)"},
		{"high, but by how much?", "W1,1,36,,,,,,,,left,,", "L2: Rise is blank while a high end is given (write by how much that end is higher)"},
		{"level, and yet", "W1,1,36,,,,,,,,level,1/4,", `L2: Rise is "1/4" at a sill that is level (correct the rise or the high end)`},
		{"which end?", "W1,1,36,,,,,,,,,1/4,", "K2: warning: High end is blank while the sill rises (write left or right, so that the right end is shimmed)"},
		{"read twice", "W1,1,36,,,,,,,,,,\nw1,1,36.25,,,,,,,,,,", `A3: piece 1 of "w1" was read in row 2 too, differently (keep the reading that is right)`},
	} {
		t.Run(tt.why, func(t *testing.T) {
			s, ps := readSheets(t, map[string]string{"Openings": "Mark,Qty,Kind\nW1,2,window\nD1,1,entry door", "Measured": measuredHeader + tt.line})
			assert.Equal(t, []string{"job.xlsx: Measured!" + tt.say}, ps)
			want := 0
			if strings.Contains(tt.say, "warning") || strings.Contains(tt.say, "row 2") {
				want = 1
			}
			assert.Len(t, s.Book.Openings[0].Readings, want)
		})
	}
}

// An opening and the frame in it are read apart; where a line does not say,
// it is the frame's.
func TestMeasuredOf(t *testing.T) {
	s, ps := readSheets(t, map[string]string{"Openings": twoMarks, "Measured": openingHeader +
		"W1,1,opening,36,60,left,1/8\nW1,1,,35.5,59.5,,\nW1,1,frame,35.5,59.5,,\nW1,2,RO,36,60,,\n"})
	require.Equal(t, []string{badRow}, ps)
	var of []estimate.ReadAt
	for _, r := range s.Book.Openings[0].Readings {
		of = append(of, r.Of)
	}
	assert.Equal(t, []estimate.ReadAt{estimate.ReadAtOpening, "", estimate.ReadAtOpening}, of, "the frame's second line says the same again")

	_, ps = readSheets(t, map[string]string{"Openings": "Mark,Qty,Kind\nW1,2,window", "Measured": openingHeader + "W1,1,sash,36,60,,"})
	assert.Equal(t, []string{`job.xlsx: Measured!C2: Of "sash" is not known (write frame or opening)`}, ps)
}

// The printed form, filled in, is read like the sheet and beside it.
func TestMeasuringForm(t *testing.T) {
	form := "Measuring form\nMark,Piece,Kind,Width 1 (mm),Height 1 (mm)\nW1,1,window,914.4,1524\nW1,2,window,,\nD1,1,entry door,952.5,\n"
	s, ps := readSheets(t, map[string]string{"Openings": twoMarks, "Measuring": form})
	require.Equal(t, []string{badRow}, ps)
	require.Len(t, s.Book.Openings[0].Readings, 1)
	assert.Equal(t, in(36), s.Book.Openings[0].Readings[0].Widths[0])
	require.Len(t, s.Measured.Rows, 2)
	assert.Equal(t, "914.4 mm", s.Measured.Rows[0].Cells[2].Text, "the unit of the form's header goes with the number")

	feet := strings.NewReplacer("(mm)", "(ft)", "914.4", "3 1/2", "1524", "60 in", "952.5,", "3.125,6 7/8").Replace(form)
	s, ps = readSheets(t, map[string]string{"Openings": twoMarks, "Measuring": feet})
	require.Equal(t, []string{badRow}, ps)
	assert.Equal(t, in(42), s.Book.Openings[0].Readings[0].Widths[0])
	assert.Equal(t, []string{"3 1/2 ft", "60 in"}, []string{s.Measured.Rows[0].Cells[2].Text, s.Measured.Rows[0].Cells[5].Text},
		"a text without a unit has the header's too")
	assert.Equal(t, []string{"3.125 ft", "6 7/8 ft"}, []string{s.Measured.Rows[1].Cells[2].Text, s.Measured.Rows[1].Cells[5].Text})

	s, ps = readSheets(t, map[string]string{"Openings": twoMarks, "Measuring": form, "Measured": measuredHeader + "W1,1,36,,,60,,,,,,,JR\nD1,1,37,,,,,,,,,,"})
	assert.Equal(t, []string{`job.xlsx: Measuring!A5: piece 1 of "D1" was read in row 3 of Measured too, differently (keep the reading that ` +
		`is right)`, badRow}, ps)
	assert.Len(t, s.Book.Openings[0].Readings, 1, "the same reading on both sheets counts once")
	assert.Len(t, s.Book.Openings[1].Readings, 1)
}
