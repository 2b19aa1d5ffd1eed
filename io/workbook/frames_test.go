package workbook

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/io/xlsx/audit"
)

const in16 = measure.Inch / 16

// clipboard returns a writer with the sheets of the clipboard and two marks:
// W1 of which there are four, D1 of which there are two.
func clipboard(mm bool) *writer {
	return testWriter(Input{Book: estimate.Book{Job: estimate.Job{MM: mm}}, Takeoff: estimate.Takeoff{Openings: []estimate.Sized{
		{Opening: estimate.Opening{Mark: "W1", Qty: 4, Kind: estimate.Window, Frame: estimate.Size{W: 36 * measure.Inch, H: 60 * measure.Inch}}},
		{Opening: estimate.Opening{Mark: "D1", Qty: 2, Kind: estimate.EntryDoor, Frame: estimate.Size{W: 38 * measure.Inch, H: 82 * measure.Inch}}, Order: 1},
	}}})
}

// joined is a frame of joined units. Source of its numbers: arithmetic; units
// of 24, 36 and 24 with mulls of 3/4 and a joint of 3/16 have their middles at
// 24-9/16 and 61-5/16 from the inside of the left leg
func joined() estimate.Frame {
	return estimate.Frame{
		Marks: []estimate.FrameMark{{Mark: "W1", Count: 4, Joint: 3 * in16}}, Count: 4, State: estimate.FrameToCut, Layout: "head over legs",
		Size: estimate.Size{W: 85*measure.Inch + 8*in16, H: 60 * measure.Inch}, Gap: even(3 * in16),
		Outside: estimate.Size{W: 92*measure.Inch + 14*in16, H: 67*measure.Inch + 6*in16}, Diagonal: 114*measure.Inch + 12*in16,
		Pieces: []estimate.FramePiece{
			{Name: "head", Item: "board-1x4", Width: 56 * in16, Thickness: 12 * in16, Length: 92*measure.Inch + 14*in16, Count: 1, Ends: "square", Prime: 2, Rows: 7, PerRow: 2},
			{Name: "leg", Item: "board-1x4", Width: 56 * in16, Thickness: 12 * in16, Length: 63*measure.Inch + 14*in16, Count: 2, Ends: "top bored; foot square", Bored: 1, Factory: "at the foot", Prime: 2, Screws: 2, Misses: "the outer row misses"},
		},
		MullCenters: []measure.Length{24*measure.Inch + 9*in16, 61*measure.Inch + 5*in16}, MullFrom: "the inside of the left leg",
		Needs: []estimate.FrameNeed{{Role: "pocket screws", Item: "pocket-screw", Amount: 4, Notes: "coarse thread"}},
	}
}

func TestCard(t *testing.T) {
	w := clipboard(false)
	cards := w.newCards(w.page("Frames"))
	cards.card(joined())
	held := joined()
	held.State = estimate.FrameHeld
	held.Marks = []estimate.FrameMark{
		{Mark: "W1", Count: 4, Held: "not measured", Release: "measure it", Joint: 4 * in16},
		{Opening: 1, Mark: "D1", Count: 2, Held: "not delivered"},
	}
	held.Count = 6
	second := w.page("Frames").Next()
	cards.card(held)
	data, err := w.out.Bytes()
	require.NoError(t, err)
	assert.Empty(t, audit.Lint(data))
	s := written(t, data, "Frames", "Per frame")
	const tick = "" // has no head
	assert.Equal(t, []string{"W1 x 4", "TO CUT"}, s.texts(1, tick, "Ends"))
	for _, words := range []string{
		"24-9/16, 61-5/16 from the inside of the left leg", "Nails of the leg: the outer row misses", "Screws: coarse thread",
		"Square: both diagonals 114-3/4, corner to corner, equal within 1/16",
		"All 6 cut ends primed, and the mark written on the back", // 2 of the head, 2 of each leg
	} {
		assert.Less(t, s.next(1, words), second)
	}
	leg := s.next(1, "leg")
	assert.Equal(t, []string{"", "2", "8", "leg", "board-1x4\n3-1/2 x 3/4", "63-7/8", "63.875", "top bored; foot square; factory end at the foot", "4", "2", ""},
		s.texts(leg, tick, "Per frame", "Total", "Piece", "Board", "Cut length", "in", "Ends", "Ends to prime", "Screws per end", "Nails"))
	assert.Equal(t, []string{"", "7 x 2"}, s.texts(s.next(1, "head"), "Screws per end", "Nails"))
	assert.Equal(t, s.at(leg, "Per frame")+"*$D$2", s.formula(leg, "Total"), "pieces in all follow the frames")
	assert.Equal(t, "Frames", s.text(2, tick))
	assert.Equal(t, w.qtyCell(0), s.formula(2, "Piece"), "frames follow the quantity")

	assert.Equal(t, "ON HOLD", s.text(second, "Ends"), "two reasons stand below")
	for i, words := range []string{
		"DO NOT CUT YET. Sizes and lengths below may change.", "W1: not measured; to release: measure it", "D1: not delivered",
	} {
		assert.Equal(t, words, s.text(second+1+i, tick))
	}
	assert.Equal(t, "on hold", s.text(s.next(second, "leg"), tick), "nothing to tick")
	s.next(second, "W1: the caulk joint at the legs is up to 1/4 where the unit is narrowest")
	assert.Equal(t, w.qtyCell(0)+"+"+w.qtyCell(1), s.formula(second+4, "Piece"))
	assert.Equal(t, s.at(s.next(second, "leg"), "Per frame")+"*$D$"+strconv.Itoa(second+4), s.formula(s.next(second, "leg"), "Total"), "of its own card")
}

// The points of a drawing stand behind the printed columns, each under its name.
func TestDrawnPoints(t *testing.T) {
	w := clipboard(false)
	w.newCards(w.page("Frames")).card(joined())
	data, err := w.out.Bytes()
	require.NoError(t, err)
	s := written(t, data, "Frames", "Drawn")
	goes := s.find("Drawn", "frame") // W1: 85-1/2 x 60 with a joint of 3/16, from the inside of the left leg
	assert.Equal(t, []string{"0.1875", "85.6875", "85.6875", "0.1875", "0.1875", ""},
		s.texts(goes, "x 1, in", "x 2, in", "x 3, in", "x 4, in", "x 5, in", "x 6, in"))
	assert.Equal(t, []string{"0.1875", "60.1875"}, s.texts(goes, "y 1, in", "y 3, in"))
	assert.Len(t, w.page("Frames").Charts, 1)
	area := slices.IndexFunc(s.file.GetDefinedName(), func(n excelize.DefinedName) bool { return n.Name == "_xlnm.Print_Area" })
	require.GreaterOrEqual(t, area, 0)
	assert.Contains(t, s.file.GetDefinedName()[area].RefersTo, "Frames!$A$1:$K$", "the points are not printed")
}

// Where no opening has trim the sheet says so, and still has its columns.
func TestFramesWithoutTrim(t *testing.T) {
	w := newWriter(Input{})
	w.framesSheet(w.page("Frames"))
	data, err := w.out.Bytes()
	require.NoError(t, err)
	f := opened(t, data)
	rows, err := f.GetRows("Frames")
	require.NoError(t, err)
	assert.Equal(t, []string{"No opening has trim."}, rows[len(rows)-1])
	width, err := f.GetColWidth("Frames", "H") // Ends
	require.NoError(t, err)
	assert.InDelta(t, 29, width, 1)
}

// An odd piece is not the whole of its row on Openings, so that its frames are
// a number.
func TestFramesOfOddPiecesAreCounted(t *testing.T) {
	w := clipboard(false)
	w.in.Takeoff.Openings[0].Apart = 1
	c := w.framesCell(estimate.Frame{Marks: []estimate.FrameMark{{Count: 3}}, Count: 3})
	assert.Empty(t, c.F)
	assert.Equal(t, int64(3), c.V)
}

// even returns the same joint on all sides.
func even(g measure.Length) estimate.Gaps { return estimate.Gaps{Head: g, Legs: g, Bottom: g} }

func TestFlagWords(t *testing.T) {
	for _, c := range []struct {
		why        string
		state      estimate.FrameState
		held, want string
	}{
		{"a released frame says so", estimate.FrameToCut, "", "TO CUT"},
		{"one reason stands in the flag", estimate.FrameHeld, "not measured", "ON HOLD: not measured"},
		{"a reason does not matter to a frame that is cut", estimate.FrameCut, "not measured", "CUT"},
		{"a frame on the wall", estimate.FrameHung, "", "HUNG"},
	} {
		f := estimate.Frame{State: c.state, Marks: []estimate.FrameMark{{Mark: "W1", Held: c.held}}}
		assert.Equal(t, c.want, flagWords(f.State, waitsOf(f)), c.why)
	}
}

func TestGapWords(t *testing.T) {
	for _, c := range []struct {
		why      string
		gap      estimate.Gaps
		spreader measure.Length
		mm       bool
		want     string
	}{
		{"one joint", even(3 * in16), 0, false, "3/16 all around"},
		{"without a bottom its joint says nothing", estimate.Gaps{Head: 3 * in16, Legs: 3 * in16, Bottom: in16}, measure.Foot, false, "3/16 at head and legs"},
		{"an open frame of two joints", estimate.Gaps{Head: 2 * in16, Legs: 3 * in16}, measure.Foot, false, "1/8 at the head, 3/16 at the legs"},
		{"three joints", estimate.Gaps{Head: 2 * in16, Legs: 3 * in16, Bottom: 4 * in16}, 0, false, "1/8 at the head, 3/16 at the legs, 1/4 at the bottom"},
		{"millimetres", even(5 * measure.Millimeter), 0, true, "5 all around"},
	} {
		assert.Equal(t, c.want, clipboard(c.mm).gapWords(estimate.Frame{Gap: c.gap, Spreader: c.spreader}), c.why)
	}
}

func TestEndWords(t *testing.T) {
	for _, c := range []struct {
		why  string
		x    estimate.FramePiece
		want string
	}{
		{"as the layout says", estimate.FramePiece{Ends: "square"}, "square"},
		{"arithmetic: equal boards meet at 45 degrees", estimate.FramePiece{Ends: "mitred", Mitered: 2, Miter: 450}, "mitred; saw at 45.0 degrees from square"},
		{"arithmetic: 3-1/2 across 5-1/2 is 32.5 degrees", estimate.FramePiece{Ends: "mitred", Miter: 325, Factory: "at the foot"},
			"mitred; saw at 32.5 degrees from square; factory end at the foot"},
	} {
		assert.Equal(t, c.want, endWords(c.x), c.why)
	}
}

func TestNeedWords(t *testing.T) {
	f := estimate.Frame{Nail: 39 * in16} // 2-7/16
	for _, c := range []struct {
		why  string
		need estimate.FrameNeed
		item estimate.Item
		want string
	}{
		{"screws with their length", estimate.FrameNeed{Role: "pocket screws", Item: "screw", Amount: 8}, estimate.Item{Length: 20 * in16}, "8 x screw, 1-1/4 long"},
		{"nails long enough", estimate.FrameNeed{Role: "nails", Item: "nail", Amount: 34}, estimate.Item{Length: 40 * in16}, "34 x nail, 2-1/2 long"},
		{"nails too short", estimate.FrameNeed{Role: "nails", Item: "nail", Amount: 34}, estimate.Item{Length: 32 * in16}, "34 x nail, 2 long; needed at least 2-7/16"},
		{"nails of unknown length", estimate.FrameNeed{Role: "nails", Item: "nail", Amount: 34}, estimate.Item{}, "34 x nail; needed at least 2-7/16"},
		{"glue goes by joints", estimate.FrameNeed{Role: "adhesive", Item: "glue", Amount: 4}, estimate.Item{}, "glue, 4 joints"},
		{"primer by ends, which are counted below", estimate.FrameNeed{Role: "primer", Item: "primer", Dim: estimate.Areawise, Amount: 1}, estimate.Item{}, "primer"},
		{"arithmetic: 72 square inches are half a square foot", estimate.FrameNeed{Role: "other", Item: "film", Dim: estimate.Areawise, Amount: int64(measure.AreaOf(6*measure.Inch, 12*measure.Inch))}, estimate.Item{}, "0.5 SF of film"},
	} {
		assert.Equal(t, c.want, clipboard(false).needWords(f, c.need, c.item), c.why)
	}
}

func TestBoringWithoutScrewsIsForbidden(t *testing.T) {
	const words = "no pocket screws are counted in this detail: bore no ends"
	w, f := clipboard(false), joined()
	assert.NotContains(t, w.frameNotes(f), words)
	f.Pieces[1].Screws = 0
	assert.Contains(t, w.frameNotes(f), words)
}
