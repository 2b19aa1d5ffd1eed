package estimate_test

import (
	"cmp"
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// bare returns a book of the shipped job whose one detail asks for nothing:
// what is left is the work on sizes.
func bare(t testing.TB, changes ...string) estimate.Book { return with(t, shipped(t, changes...)) }

// called returns an opening that has only a call size.
func called(kind estimate.Kind, application string) estimate.Opening {
	return estimate.Opening{Mark: "A", Kind: kind, Call: application}
}

// opened returns an opening by its rough opening, and o by both sizes.
func opened(kind estimate.Kind, w, h float64) estimate.Opening {
	return estimate.Opening{Mark: "A", Kind: kind, Rough: size(w, h)}
}

func both(kind estimate.Kind, frame, rough estimate.Size) estimate.Opening {
	return estimate.Opening{Mark: "A", Kind: kind, Frame: frame, Rough: rough}
}

func TestSizesDerived(t *testing.T) {
	const (
		sheet = doorSheet + "slab + 2 and + 2-1/4"
		notes = "arithmetic from " + doorSheet + "1/2 over the frame"
		doors = installers + "finished opening + 3 and + 1-1/2"
	)
	for _, c := range []struct {
		source       string
		opening      estimate.Opening
		changes      []string
		frame, rough estimate.Size
	}{
		{sheet + ": 3068", called(estimate.EntryDoor, "3068"), nil, size(37.5, 81.75), size(38, 82.25)},
		{"stated: an entry door's call size is its opening", called(estimate.EntryDoor, "3068"), []string{"call size entry door=opening"}, size(35.5, 79.5),
			size(36, 80)},
		{"stated: an entry door's call size is its frame", called(estimate.EntryDoor, "3068"), []string{"call size entry door=unit"}, size(36, 80), size(36.5, 80.5)},
		{"groklab.org (page not on record): 2840 in its opening is 31-1/2 x 47-1/2", called(estimate.Window, "2840"),
			[]string{"call size window=opening"}, size(31.5, 47.5), size(32, 48)},
		{"alpinedesign.blogspot.com, April 2010: 5/0 x 4/6 is 59-1/2 x 53-1/2", called(estimate.Window, "5/0 x 4/6"),
			[]string{"call size window=opening"}, size(59.5, 53.5), size(60, 54)},
		{"stated: a window's call size is its frame", called(estimate.Window, "3050"), []string{"call size window=unit"}, size(36, 60), size(36.5, 60.5)},
		{doors + ": 16-0 x 7-0", called(estimate.OverheadDoor, "16070"), nil, size(192, 84), size(195, 85.5)},
		{notes, window(35.5, 59.5), nil, size(35.5, 59.5), size(36, 60)},
		{notes, opened(estimate.Window, 36, 60), nil, size(35.5, 59.5), size(36, 60)},
		{"stated: clearances of width and height apart", window(35.5, 59.5), []string{"clearance window width=1", "clearance window height=3/4"},
			size(35.5, 59.5), size(36.5, 60.25)},
		{doors, overheadDoor(192, 84), nil, size(192, 84), size(195, 85.5)},
		{doors, opened(estimate.OverheadDoor, 195, 85.5), nil, size(192, 84), size(195, 85.5)},
		{"sizes outrank the call size", func() estimate.Opening { o := window(35.5, 59.5); o.Call = "3050"; return o }(), nil, size(35.5, 59.5), size(36, 60)},
		{"newspaper column 2010: frame 35-5/8 in 36-1/2, 7/8 of room", both(estimate.Window, size(35.625, 47.625), size(36.5, 48.5)), nil,
			size(35.625, 47.625), size(36.5, 48.5)},
	} {
		take, problems := takeOff(bare(t, c.changes...), c.opening)
		require.Empty(t, serious(problems), c.source)
		require.Len(t, take.Openings, 1, c.source)
		assert.Equal(t, c.frame, take.Openings[0].Frame, c.source)
		assert.Equal(t, c.rough, take.Openings[0].Rough, c.source)
		assert.NotEmpty(t, take.Openings[0].FrameFrom, c.source)
		assert.NotEmpty(t, take.Openings[0].RoughFrom, c.source)
	}
}

func TestSizeProblems(t *testing.T) {
	const window, door = estimate.Window, estimate.OverheadDoor
	for _, c := range []struct {
		why     string
		opening estimate.Opening
		want    string // after "job.xlsx: Openings!"
	}{
		{"a call size is of nothing until it is said of what", called(window, "3050"),
			`Q2: A: call size "3050" has no stated meaning for a window (set 'call size window' on Job to opening or unit, or fill in the frame)`},
		{"the same", called(estimate.PatioDoor, "6068"),
			`Q2: A: call size "6068" has no stated meaning for a patio door (set 'call size patio door' on Job to opening or unit, or fill in the frame)`},
		{"an unreadable call size", called(estimate.EntryDoor, "3068 LH"),
			`Q2: A: call size "3068 LH" has words beside the call size (write the size alone, such as 3050)`},
		{"no size at all", estimate.Opening{Mark: "A", Kind: window},
			"D2: A: neither the frame nor the rough opening has a size (fill in one of the two; the other follows from the clearances on Job)"},
		{"half a frame", both(window, size(35.5, 0), size(36, 60)),
			"E2: A: Frame height is missing while the other side is given (fill in both sides, or neither)"},
		{"half a frame", both(window, size(0, 59.5), estimate.Size{}),
			"D2: A: Frame width is missing while the other side is given (fill in both sides, or neither)"},
		{"half an opening", both(window, size(35.5, 59.5), size(36, 0)),
			"G2: A: RO height is missing while the other side is given (fill in both sides, or neither)"},
		{"a frame that does not go in", both(window, size(36, 59.5), size(35.5, 60)),
			"F2: A: the opening is 1/2 in smaller in width than the frame (check both sizes; are they swapped?)"},
		{"a frame that does not go in", both(window, size(35.5, 60), size(36, 59.25)),
			"G2: A: the opening is 3/4 in smaller in height than the frame (check both sizes; are they swapped?)"},
		{"feet typed for inches", both(window, size(3, 59.5), estimate.Size{}),
			"D2: A: frame width of 3 in is no size of an opening (check the number and its unit)"},
		{"millimetres typed for inches", both(window, size(35.5, 1511), estimate.Size{}),
			"E2: A: frame height of 1511 in is no size of an opening (check the number and its unit; a size such as 3068 belongs under Call size)"},
		{"less room than usual", both(window, size(35.5625, 59.5), size(36, 60)),
			"F2: warning: A: the opening has 7/16 in of room in width; 1/2 to 1 is usual (measure the opening; shims, foam and rod follow the gap)"},
		{"more room than usual", both(window, size(35.5, 58.9375), size(36, 60)),
			"G2: warning: A: the opening has 1-1/16 in of room in height; 1/2 to 1 is usual (measure the opening; shims, foam and rod follow the gap)"},
		{"an overhead door has its own room", both(door, size(192, 84), size(194, 85.5)),
			"F2: warning: A: the framed opening has 2 in of room in width over the finished opening, not 3 (check the opening against the door before the " +
				"jambs are cut)"},
	} {
		take, problems := takeOff(bare(t), c.opening)
		assert.Equal(t, []string{"job.xlsx: Openings!" + c.want}, lines(problems), c.why)
		assert.Equal(t, estimate.Errors(problems) == 0, len(take.Openings) == 1, "an error costs the row, a warning does not")
	}
}

func TestRoomThatIsUsual(t *testing.T) {
	for _, room := range []float64{0.5, 0.75, 1} { // renovation texts: 1/2 to 1 in
		_, problems := takeOff(bare(t), both(estimate.Window, size(35.5, 59.5), size(35.5+room, 59.5+room)))
		assert.Empty(t, lines(problems), "%v in", room)
	}
}

func TestSwapped(t *testing.T) {
	_, problems := takeOff(bare(t), both(estimate.Window, size(59.5, 35.5), size(36, 60)))
	assert.Contains(t, lines(problems), "job.xlsx: Openings!F2: A: the opening is 23-1/2 in smaller in width than the frame (check both sizes; are they swapped?)")
	assert.Contains(t, lines(problems), "job.xlsx: Openings!D2: warning: A: width and height of frame and opening are swapped (width comes first in both)")
	_, problems = takeOff(bare(t), both(estimate.Window, size(35.5, 35.5), size(36, 36)))
	assert.Empty(t, lines(problems), "a square unit cannot be swapped")
}

// joined returns a window of several units; widths in inches, none for equal.
func joined(frame float64, units int64, widths ...float64) estimate.Opening {
	o := window(frame, 59.5)
	o.Mark, o.Units = "A", units
	for _, w := range widths {
		o.UnitWidths = append(o.UnitWidths, in(w))
	}
	return o
}

func TestJoinedUnits(t *testing.T) {
	for _, c := range []struct {
		why     string
		opening estimate.Opening
		mull    float64
		widths  []float64
	}{
		{"arithmetic from geometry: 24 + 36 + 24 in 85-1/2", joined(85.5, 3, 24, 36, 24), 0.75, []float64{24, 36, 24}},
		{"arithmetic: equal units need no widths, the joint is the job's 3/4", joined(85.5, 3), 0.75, []float64{28, 28, 28}},
		{"arithmetic: units that touch", joined(72, 2, 36, 36), 0, []float64{36, 36}},
		{"arithmetic: the widest joint believed, 2 in", joined(74, 2, 36, 36), 2, []float64{36, 36}},
		{"one unit is as wide as its frame", joined(35.5, 1), 0, []float64{35.5}},
		{"units left out are one", joined(35.5, 0), 0, []float64{35.5}},
	} {
		take := mustTake(t, bare(t), c.opening)
		o := take.Openings[0]
		assert.Equal(t, in(c.mull), o.Mull, c.why)
		var widths []float64
		for _, w := range o.Widths {
			widths = append(widths, inches(w))
		}
		assert.Equal(t, c.widths, widths, c.why)
	}
	for _, c := range []struct {
		why     string
		opening estimate.Opening
		want    string
	}{
		{"wider than the frame", joined(83, 3, 24, 36, 24),
			"R2: A: the unit widths leave joints of -1/2 in in a frame of 83 (the overall width is the units and the joints between them, 0 to 2 in each; " +
				"with studs between them write so in Joined)"},
		{"more than 2 in between", joined(76.5, 2, 36, 36),
			"R2: A: the unit widths leave joints of 4-1/2 in in a frame of 76-1/2 (the overall width is the units and the joints between them, 0 to 2 in " +
				"each; with studs between them write so in Joined)"},
		{"not one width a unit", joined(85.5, 3, 24, 36),
			"R2: A: 2 unit widths for 3 units (write one width a unit, separated by semicolons, or none for equal units)"},
		{"widths of units nobody counted", joined(72, 1, 36, 36), "R2: A: 2 unit widths for one unit (set Mulled units to their number)"},
		{"more units than go in, to a sixteenth", joined(19.9375, 5),
			"H2: A: 5 units do not fit a frame of 19-15/16 in (check the number of units and the overall width)"},
		{"more units than go in", joined(20, 5), "H2: A: 5 units do not fit a frame of 20 in (check the number of units and the overall width)"},
	} {
		take, problems := takeOff(bare(t), c.opening)
		assert.Equal(t, []string{"job.xlsx: Openings!" + c.want}, lines(problems), c.why)
		assert.Empty(t, take.Openings, c.why)
	}
}

// read returns a reading of three widths and heights.
func read(widths, heights [3]float64) estimate.Reading {
	r := estimate.Reading{Piece: 1}
	for i := range 3 {
		r.Widths[i], r.Heights[i] = in(widths[i]), in(heights[i])
	}
	return r
}

func TestMeasured(t *testing.T) {
	set := func(measured estimate.Size, readings ...estimate.Reading) estimate.Opening {
		o := window(35.5, 59.5)
		o.Status, o.Measured, o.Readings = "set", measured, readings
		return o
	}
	for _, c := range []struct {
		why     string
		opening estimate.Opening
		trim    estimate.Size
		want    []string
	}{
		{"not measured: the frame", set(estimate.Size{}), size(35.5, 59.5), nil},
		{"measured: what was measured", set(size(35.5625, 59.4375)), size(35.5625, 59.4375), nil},
		{"the largest outside reading", set(size(35.5, 59.5), read([3]float64{35.5, 35.5625, 35.5}, [3]float64{59.5, 59.5, 59.625})), size(35.5625, 59.625), nil},
		{"over all pieces of the mark",
			set(estimate.Size{}, read([3]float64{35.5, 0, 0}, [3]float64{59.5, 0, 0}), read([3]float64{35.625, 0, 0}, [3]float64{59.5, 0, 0})), size(35.625, 59.5), nil},
		{"widths alone are no size", set(estimate.Size{}, read([3]float64{36, 36, 36}, [3]float64{})), size(35.5, 59.5), nil},
		{"1/4 in off is let pass", set(size(35.75, 59.5)), size(35.75, 59.5), nil},
		{"more is questioned", set(size(35.8125, 59.5)), size(35.8125, 59.5), []string{
			"job.xlsx: Openings!M2: warning: W1: measured 35-13/16 x 59-1/2 differs from the ordered frame 35-1/2 x 59-1/2 (measure again, out to out of " +
				"the frame, before the trim is cut)"}},
		{"the wrong way round", set(size(59.5, 35.5)), size(59.5, 35.5), []string{
			"job.xlsx: Openings!M2: warning: W1: measured width and height look swapped against the order (width comes first; measure again before anything is cut)"}},
	} {
		take, problems := takeOff(bare(t), c.opening)
		assert.Equal(t, c.want, lines(problems), c.why)
		require.Len(t, take.Openings, 1, c.why)
		assert.Equal(t, c.trim, take.Openings[0].TrimSize, c.why)
	}
	_, problems := takeOff(bare(t), set(size(35.5, 0)))
	assert.Equal(t, []string{"job.xlsx: Openings!N2: W1: Measured height is missing while the other side is given (fill in both sides, or neither)"},
		lines(problems))
}

func TestHolds(t *testing.T) {
	spread := func(to float64) []estimate.Reading {
		return []estimate.Reading{read([3]float64{35.5, 35.5, to}, [3]float64{59.5, 59.5, 59.5})}
	}
	diagonals := func(a, b float64) []estimate.Reading {
		r := spread(35.5)
		r[0].Diagonals = [2]measure.Length{in(a), in(b)}
		return r
	}
	for _, c := range []struct {
		why    string
		kind   estimate.Kind
		status estimate.Status
		change func(o *estimate.Opening)
		want   string
	}{
		{"nothing known", estimate.Window, "", nil, "not delivered"},
		{"ordered is not here", estimate.Window, "ordered", nil, "not delivered"},
		{"here, not measured", estimate.Window, "delivered", nil, "not measured"},
		{"set, not measured", estimate.Window, "set", nil, "not measured"},
		{"measured", estimate.Window, "set", func(o *estimate.Opening) { o.Measured = size(35.5, 59.5) }, ""},
		{"measured on a bench before it came", estimate.Window, "", func(o *estimate.Opening) { o.Measured = size(35.5, 59.5) }, ""},
		{measurePage + "readings within 1/8", estimate.Window, "set", func(o *estimate.Opening) { o.Readings = spread(35.625) }, ""},
		{measurePage + "3/16 is more", estimate.Window, "set", func(o *estimate.Opening) { o.Readings = spread(35.6875) },
			"readings of one side differ by 3/16 in"},
		{"a spread between the order and the readings", estimate.Window, "set",
			func(o *estimate.Opening) { o.Measured, o.Readings = size(35.75, 59.5), spread(35.5) },
			"the largest readings on Field measurements are 35-1/2 x 59-1/2, but Openings says 35-3/4 x 59-1/2"},
		{"what is questioned is not cut", estimate.Window, "set", func(o *estimate.Opening) { o.Measured = size(30, 59.5) },
			"measured 30 x 59-1/2 differs from the ordered frame 35-1/2 x 59-1/2"},
		{"the wrong way round", estimate.Window, "set", func(o *estimate.Opening) { o.Measured = size(59.5, 35.5) },
			"measured width and height look swapped against the order"},
		{"one of four measured", estimate.Window, "set", func(o *estimate.Opening) { o.Qty, o.Readings = 4, spread(35.5) }, "1 of 4 measured"},
		{dimensionGuide + "diagonals within 1/8 up to 20 ft2", estimate.Window, "set",
			func(o *estimate.Opening) { o.Readings = diagonals(69, 69.25) }, "the diagonals of piece 1 differ by 1/4 in"},
		{dimensionGuide + "and at 1/8", estimate.Window, "set", func(o *estimate.Opening) { o.Readings = diagonals(69, 69.125) }, ""},
		{"a door's legs end below it", estimate.EntryDoor, "set", func(o *estimate.Opening) { o.Measured = size(35.5, 59.5) }, "no leg drop"},
		{"a door with its leg drop", estimate.EntryDoor, "set", func(o *estimate.Opening) { o.Measured, o.LegDrop = size(35.5, 59.5), estimate.Given(in(4)) }, ""},
		{"no trim, nothing to hold", estimate.Window, "", func(o *estimate.Opening) { o.Trim = "none" }, ""},
	} {
		o := estimate.Opening{Mark: "A", Kind: c.kind, Frame: size(35.5, 59.5), Status: c.status}
		if c.change != nil {
			c.change(&o)
		}
		take := mustTake(t, with(t, shipped(t), row{"Item": "trim boards", "Rule": "frame", "When": "layout not none"}), o)
		var held []string
		for _, h := range take.Holds {
			held = append(held, h.Why)
			assert.Equal(t, estimate.HoldTrim, h.What, c.why)
			assert.NotEmpty(t, h.Do, c.why)
		}
		if c.want == "" {
			assert.Empty(t, held, c.why)
		} else {
			assert.Equal(t, []string{c.want}, held, c.why)
		}
		for _, r := range take.Requirements {
			assert.Equal(t, c.want, r.Held, c.why)
		}
	}
}

func TestMarksInOrder(t *testing.T) {
	ordered := []string{"", "1", "2", "10", "A", "D1", "D1a", "D1b", "D2", "D10", "W2", "W10", "W10-2", "W10-10"}
	for i, a := range ordered {
		for j, b := range ordered {
			assert.Equal(t, cmp.Compare(i, j), sign(estimate.NaturalCompare(a, b)), "%q and %q", a, b)
		}
	}
	take := mustTake(t, bare(t), marked("W10"), marked("W2"), marked("D1"))
	for i, want := range []string{"D1", "W2", "W10"} {
		assert.Equal(t, want, take.Openings[i].Mark)
	}
	assert.Equal(t, []int{2, 1, 0}, []int{take.Openings[0].Order, take.Openings[1].Order, take.Openings[2].Order}, "rows of the schedule")
}

// TestMarksOfOneNumber: leading zeros do not count, yet different marks never
// tie, or shares to the cent would follow the rows of the schedule.
func TestMarksOfOneNumber(t *testing.T) {
	one := mustTake(t, bare(t), marked("007"), marked("7"), marked("6"), marked("8"))
	two := mustTake(t, bare(t), marked("8"), marked("7"), marked("6"), marked("007"))
	for i := range one.Openings {
		assert.Equal(t, one.Openings[i].Mark, two.Openings[i].Mark)
	}
	assert.Equal(t, "6", one.Openings[0].Mark)
	assert.Equal(t, "8", one.Openings[3].Mark)
}

// TestMarksTotalOrder: antisymmetric, transitive, and 0 only for equals.
func TestMarksTotalOrder(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	mark := func() string {
		s := ""
		for range random.Intn(6) {
			s += []string{"0", "00", "1", "7", "12", "W", "w", "-", " ", "é"}[random.Intn(10)]
		}
		return s
	}
	for range 20_000 {
		a, b, c := mark(), mark(), mark()
		ab, bc, ac := sign(estimate.NaturalCompare(a, b)), sign(estimate.NaturalCompare(b, c)), sign(estimate.NaturalCompare(a, c))
		require.Equal(t, -ab, sign(estimate.NaturalCompare(b, a)), "%q, %q", a, b)
		require.Equal(t, a == b, ab == 0, "%q, %q", a, b)
		if ab <= 0 && bc <= 0 {
			require.LessOrEqual(t, ac, 0, "%q, %q, %q", a, b, c)
		}
	}
}

func marked(mark string) estimate.Opening {
	o := window(35.5, 59.5)
	o.Mark = mark
	return o
}

func sign(n int) int { return cmp.Compare(n, 0) }

// TestNoDetail: an opening that no detail is for is left out, and said.
func TestNoDetail(t *testing.T) {
	o := window(35.5, 59.5)
	o.SitsOn = "masonry"
	take, problems := takeOff(shipped(t), o)
	assert.Empty(t, take.Openings)
	assert.Equal(t, []string{"job.xlsx: Openings!I2: W1: no window on masonry is estimated, only on wood (write wood where it stands on a buck, a plate " +
		"or framing; else name one in Detail, or write one on the Details sheet)"}, lines(problems))

	o.Detail = "Window Integral"
	assert.Equal(t, "window integral", mustTake(t, shipped(t), o).Openings[0].DetailName)

	o.Detail = "mine"
	_, problems = takeOff(shipped(t), o)
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].String(), `job.xlsx: Openings!V2: W1: "mine" is no detail (write one of: window integral, `)
}

// TestUnknownLayout: the layouts there are stand in the advice.
func TestUnknownLayout(t *testing.T) {
	o := window(35.5, 59.5)
	o.Trim = "picture frame"
	_, problems := takeOff(bare(t), o)
	assert.Equal(t, []string{`job.xlsx: Openings!W2: W1: "picture frame" is no trim layout (write none or one of: head over legs, legs through, ` +
		`head and bottom through, mitered, three sided, pinwheel, sill with horns)`}, lines(problems))
}

// TestMillimeters: bare numbers of the job, and what is printed, follow units.
func TestMillimeters(t *testing.T) {
	b := shipped(t, "units=mm", "clearance window width=13", "tape wall=tape-6")
	assert.Equal(t, 13*measure.Millimeter, b.Job.Clearance[estimate.Window].W)
	assert.Equal(t, in(0.5), b.Job.Clearance[estimate.Window].H, "the shipped defaults stay inches")
	take := mustTake(t, b, window(35.5, 59.5))
	assert.Contains(t, fmt.Sprint(take.Requirements[0].Inputs), "914.7", "35-1/2 in and 13 mm")
}
