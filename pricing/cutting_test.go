package pricing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/cut"
	"sillwright/estimate/measure"
)

// cutBoards plans one item's pieces.
func cutItem(j estimate.Job, item estimate.Item, takeoff estimate.Takeoff, offers ...Offer) Plan {
	return made(j, estimate.NewItems([]estimate.Item{item}), takeoff, offers, nil)
}

// The source's cases, no kerf. Source: US Army subcourse EN0069A, paras. 4-5c, 4-6
func TestCutBoards(t *testing.T) {
	for _, c := range []struct {
		why     string
		n       int64
		length  measure.Length
		content []string
		want    []int64 // of each content
	}{
		{"a) 2 x 4'-6\": one of 10 ft", 2, 54 * in, []string{"12 ft", "10 ft"}, []int64{0, 1}},
		{"b) 2 x 3'-0\": one of 8 ft", 2, 36 * in, []string{"10 ft", "8 ft"}, []int64{0, 1}},
		{"c) 9 x 3'-0\": three of 10 ft", 9, 36 * in, []string{"10 ft", "8 ft"}, []int64{3, 0}},
		{"d) 4 x 2'-4\": one of 10 ft", 4, 28 * in, []string{"12 ft", "10 ft"}, []int64{0, 1}},
	} {
		var offers []Offer
		for i, content := range c.content {
			n, err := ParseContent(content, board)
			require.NoError(t, err)
			offers = append(offers, line(i+2, "Yard A", board, content, n/int64(measure.Foot)*100)) // a dollar a foot
		}
		p := cutItem(job(), board, need1(1, pieces(board, "leg", c.n, c.length)), offers...)
		b := p.Purchases[0]
		got := map[string]int64{}
		for _, l := range b.Lines {
			got[l.Offer.Content] = l.Count()
		}
		for i, content := range c.content {
			assert.Equal(t, c.want[i], got[content], "%s: %s", c.why, content)
		}
		assert.Equal(t, c.n*int64(c.length), b.Need)
		foots(t, p)
	}
}

func TestKerfEndTrimAndSpares(t *testing.T) {
	j := job()
	j.Kerf, j.EndTrim, j.SpareBoards, j.SpareTape = in/8, in/4, 1, 2
	// With kerf 1/8 in and 1/4 in squared off at either end, 48 + 47-3/8 fill a
	// board of 8 ft exactly. Source: arithmetic
	takeoff := need1(1, pieces(board, "leg", 1, 48*in), pieces(board, "head", 1, 47*in+3*in/8))
	p := cutItem(j, board, takeoff, line(2, "Yard A", board, "8 ft", 800))
	b := p.Purchases[0]
	assert.Equal(t, int64(1), b.Spares)
	assert.Equal(t, int64(2), b.Lines[0].Count(), "the spare takes a second board")
	assert.Equal(t, b.Need+int64(48*in), b.ToBuy, "a spare as long as the longest piece")
	require.Len(t, b.Plans, 1)
	plan := b.Plans[0]
	require.Len(t, plan.Pieces, 3)
	assert.True(t, plan.Pieces[2].Spare())
	assert.Equal(t, []string{"W1 leg", "W1 head", "spare"}, []string{plan.Problem.Pieces[0].Label, plan.Problem.Pieces[1].Label, plan.Problem.Pieces[2].Label})
	assert.Equal(t, in/8, plan.Problem.Kerf)
	foots(t, p)

	// A head of 95-3/8 fills a board with nothing beside it: the spare is as long as the
	// leg, and finds room in what is left of its board. Source: arithmetic
	takeoff = need1(1, pieces(board, "leg", 1, 40*in), pieces(board, "head", 1, 95*in+3*in/8))
	b = cutItem(j, board, takeoff, line(2, "Yard A", board, "8 ft", 800)).Purchases[0]
	assert.Equal(t, b.Need+int64(40*in), b.ToBuy)
	assert.Equal(t, int64(2), b.Lines[0].Count())
	// With nothing but such heads there is no spare.
	b = cutItem(j, board, need1(2, pieces(board, "head", 1, 95*in)), line(2, "Yard A", board, "8 ft", 800)).Purchases[0]
	assert.Zero(t, b.Spares)
	assert.Equal(t, int64(2), b.Lines[0].Count())

	strip := board
	strip.Key, strip.Class = "strip-6", "strip"
	p = cutItem(j, strip, need1(1, pieces(strip, "sill", 1, 48*in)), line(2, "Yard A", strip, "75 ft", 2000))
	assert.Equal(t, int64(2), p.Purchases[0].Spares)
	assert.Equal(t, measure.Length(0), p.Purchases[0].Plans[0].Problem.Kerf, "a strip is cut with a knife")

	strip.Kerf = estimate.Given(in / 16)
	p = cutItem(j, strip, need1(1, pieces(strip, "sill", 1, 48*in)), line(2, "Yard A", strip, "75 ft", 2000))
	assert.Equal(t, in/16, p.Purchases[0].Plans[0].Problem.Kerf, "the item's own kerf rules")
}

func TestTooLongIsReportedByMark(t *testing.T) {
	takeoff := need1(2, pieces(board, "head", 1, 200*in), pieces(board, "leg", 2, 84*in))
	p := cutItem(job(), board, takeoff, line(2, "Yard A", board, "16 ft", 1600), line(3, "Yard B", board, "8 ft", 100))
	b := p.Purchases[0]
	assert.Equal(t, TooLong, b.State)
	assert.Equal(t, []int{0}, b.TooLong)
	assert.Equal(t, []string{"board-1x4"}, p.Unpriced())
	assert.Equal(t, []string{`job.xlsx: Openings row 5: W1: head of 16'-8" is longer than any stock of board-1x4, the longest piece it gives is 8'-0"; it is left out (offer stock of 16'-8" or longer in the price list, or allow a joint on Items)`}, words(p.Problems))
	assert.Equal(t, "Yard B", b.Supplier, "neither serves the head")
	assert.Equal(t, int64(4), b.Lines[0].Count(), "the rest is bought")
	assert.Equal(t, measure.Money(0), p.Share[0])
	assert.Equal(t, b.Used, p.Share[1])
	foots(t, p)

	p = cutItem(job(), board, takeoff, line(2, "Yard A", board, "20 ft", 9900), line(3, "Yard B", board, "8 ft", 100))
	assert.Equal(t, "Yard A", p.Purchases[0].Supplier, "the supplier who serves all, whatever it costs")
	assert.Empty(t, p.Unpriced())
}

// Source: arithmetic from the New Zealand Metal Roof and Wall Cladding Code of
// Practice: sealed laps of 100 mm
func TestJoints(t *testing.T) {
	stick := estimate.Item{Key: "drip-cap", Class: "metal", Dim: estimate.Lengthwise, Cut: true, Joint: estimate.JointCheap}
	for _, c := range []struct {
		lap  measure.Length
		used measure.Length
	}{
		{4 * in, 198 * in},
		{100 * measure.Millimeter, 194*in + 100*measure.Millimeter},
	} {
		stick.Lap = c.lap
		p := cutItem(job(), stick, need1(1, pieces(stick, "head", 1, 194*in)), line(2, "Yard A", stick, "10 ft", 900))
		b := p.Purchases[0]
		assert.Empty(t, b.State)
		assert.Equal(t, int64(194*in), b.Need)
		assert.Equal(t, int64(c.used), b.ToBuy)
		require.Len(t, b.Plans[0].Pieces, 2)
		assert.Equal(t, 120*in, b.Plans[0].Pieces[0].Length)
		assert.Equal(t, "W1 head 2 of 2", b.Plans[0].Problem.Pieces[1].Label)
		assert.Equal(t, int64(2), b.Lines[0].Count())
		foots(t, p)
	}
	stick.Lap = 4 * in
	sticks := []Offer{line(2, "Yard A", stick, "10 ft", 900), line(3, "Yard A", stick, "20 ft", 1750)}
	p := cutItem(job(), stick, need1(1, pieces(stick, "head", 1, 194*in)), sticks...)
	assert.Equal(t, 1, p.Purchases[0].Plans[0].Pieces[0].Parts, "17.50 in one piece, 18.00 joined")
	sticks[1].Price = 1900_00
	p = cutItem(job(), stick, need1(1, pieces(stick, "head", 1, 194*in)), sticks...)
	assert.Equal(t, measure.Money(1800), p.Materials, "a longer stock on offer does not make it dearer")
}

// A board is joined only where no stock is long enough. Source: arithmetic, from
// a scarf at 45 degrees, which takes the thickness of the board
func TestALongerBoardBeforeAJoint(t *testing.T) {
	trim := board
	trim.Joint, trim.Lap = estimate.JointForced, 3*in/4
	j := job()
	j.ShortestJoined, j.MinPart = 120*in, 24*in
	head := func(l measure.Length) estimate.Takeoff { return need1(1, pieces(trim, "head", 1, l)) }
	twelve, sixteen := line(2, "Yard A", trim, "12 ft", 1000), line(3, "Yard B", trim, "16 ft", 9000)

	p := cutItem(j, trim, head(180*in), twelve)
	b := p.Purchases[0]
	require.Len(t, b.Plans[0].Pieces, 2)
	assert.Equal(t, []measure.Length{144 * in, 180*in - 144*in + 3*in/4}, []measure.Length{b.Plans[0].Pieces[0].Length, b.Plans[0].Pieces[1].Length})
	assert.Equal(t, []string{`job.xlsx: Openings row 5: warning: W1: head is longer than any stock of board-1x4 and is spliced at 12'-0" ` +
		`(offer a longer stock in the price list to have it in one piece)`}, words(p.Problems))
	foots(t, p)

	p = cutItem(j, trim, head(180*in), twelve, sixteen)
	assert.Equal(t, "Yard B", p.Purchases[0].Supplier, "in one piece, whatever it costs")
	assert.Empty(t, p.Problems)

	p = cutItem(j, trim, head(150*in), twelve)
	assert.Equal(t, []measure.Length{150*in + 3*in/4 - 24*in, 24 * in},
		[]measure.Length{p.Purchases[0].Plans[0].Pieces[0].Length, p.Purchases[0].Plans[0].Pieces[1].Length}, "6-3/4 in are no part")

	j.ShortestJoined = 156 * in
	p = cutItem(j, trim, head(150*in), twelve)
	assert.Equal(t, []string{`job.xlsx: Openings row 5: W1: head of 12'-6" is longer than any stock of board-1x4, the longest piece it gives is 12'-0"; it is left out (offer stock of 12'-6" or longer in the price list; Job joins no piece up to 13'-0")`}, words(p.Problems))
	j.ShortestJoined, j.MinPart = 120*in, 100*in
	p = cutItem(j, trim, head(180*in), twelve)
	assert.Equal(t, []string{`job.xlsx: Openings row 5: W1: head of 15'-0" is longer than any stock of board-1x4, the longest piece it gives is 12'-0"; it is left out (offer stock of 15'-0" or longer in the price list; no joint leaves parts of at least 8'-4")`}, words(p.Problems))
}

// The extra length of a piece on hold forces no joint: 119-7/8 and 1/4 are longer than a
// stick of 10 ft, the piece is not. Where a longer stock is on offer, it gives the extra
// length; a cheaper joint does so only in a piece that may be joined.
func TestExtraLengthForcesNoJoint(t *testing.T) {
	held := func(item estimate.Item, l measure.Length) estimate.Takeoff {
		r := pieces(item, "head", 1, l)
		r.Held = "not measured"
		return need1(1, r)
	}
	j := job()
	j.ShortestJoined, j.MinPart, j.MeasuringAllowance = 120*in, 24*in, in/4
	const whole = 119*in + 7*in/8
	tight := []string{`job.xlsx: Openings row 5: warning: W1: head of 9'-11 7/8" is not measured, and planned only 10'-0" long: ` +
		`no stock of board-1x4 on offer gives its extra length (measure before it is cut; offer a longer stock in the price list to be sure of its length)`}
	for _, c := range []struct {
		why      string
		joint    estimate.Joint
		shortest measure.Length
		length   measure.Length
		stock    []string // at a dollar a foot, each at a supplier of its own
		planned  []measure.Length
		tight    bool
	}{
		{"all fits", estimate.JointCheap, 120 * in, 119*in + 3*in/4, []string{"10 ft"}, []measure.Length{120 * in}, false},
		{"the piece fits, its extra length does not", estimate.JointCheap, 120 * in, whole, []string{"10 ft"}, []measure.Length{120 * in}, true},
		{"no joint allowed: left out no more", estimate.JointNever, 120 * in, whole, []string{"10 ft"}, []measure.Length{120 * in}, true},
		{"the last resort is not needed", estimate.JointForced, 0, whole, []string{"10 ft"}, []measure.Length{120 * in}, true},
		{"the piece fills the stock", estimate.JointForced, 0, 120 * in, []string{"10 ft"}, []measure.Length{120 * in}, true},
		{"the piece is longer: joined, with its extra length", estimate.JointForced, 0, 120*in + in/8, []string{"10 ft"},
			[]measure.Length{96*in + 3*in/8, 24 * in}, false},
		{"a longer stock has it", estimate.JointForced, 120 * in, whole, []string{"10 ft", "12 ft"}, []measure.Length{whole + in/4}, false},
		{"never spliced, so not to save either", estimate.JointCheap, 120 * in, whole, []string{"10 ft", "20 ft"}, []measure.Length{120 * in}, true},
	} {
		item := board
		item.Joint = c.joint
		j.ShortestJoined = c.shortest
		var offers []Offer
		for i, content := range c.stock {
			n, err := ParseContent(content, item)
			require.NoError(t, err)
			offers = append(offers, line(i+2, []string{"Yard A", "Yard B"}[i], item, content, n/int64(measure.Foot)*100))
		}
		p := cutItem(j, item, held(item, c.length), offers...)
		b := p.Purchases[0]
		require.Empty(t, b.State, c.why)
		var planned []measure.Length
		for _, piece := range b.Plans[0].Pieces {
			planned = append(planned, piece.Length)
		}
		assert.Equal(t, c.planned, planned, c.why)
		if c.tight {
			assert.Equal(t, []int{0}, b.Tight, c.why)
			assert.Contains(t, p.Problems[0].What, `planned only 10'-0" long`, c.why)
		} else {
			assert.Empty(t, b.Tight, c.why)
		}
		foots(t, p)
		if c.length == whole && c.joint == estimate.JointNever {
			assert.Equal(t, tight, words(p.Problems))
		}
	}

	// Measured as long as with its extra length it needs another plan.
	j.ShortestJoined = 0
	item := board
	item.Joint = estimate.JointForced
	book, lists := estimate.Book{Job: j, Items: estimate.NewItems([]estimate.Item{item})}, Lists{Offers: []Offer{line(2, "Yard A", item, "10 ft", 1000)}}
	before, after := held(item, whole), need1(1, pieces(item, "head", 1, whole+in/4))
	plan := planOf(Make(book, before, lists))
	assert.Empty(t, Follow(book, before, lists, plan).Purchases[0].State)
	assert.Equal(t, RunAgain, Follow(book, after, lists, plan).Purchases[0].State)
}

// A joint that saves is made only in a piece longer than the Job says.
func TestShortPiecesAreNotJoined(t *testing.T) {
	stick := estimate.Item{Key: "drip-cap", Class: "metal", Dim: estimate.Lengthwise, Cut: true, Joint: estimate.JointCheap, Lap: 4 * in}
	offers := []Offer{line(2, "Yard A", stick, "5 ft", 100), line(3, "Yard A", stick, "10 ft", 9000)}
	j := job()
	for _, c := range []struct {
		shortest measure.Length
		cost     measure.Money
	}{{0, 200}, {100 * in, 200}, {110 * in, 9000}, {120 * in, 9000}} {
		j.ShortestJoined = c.shortest
		p := cutItem(j, stick, need1(1, pieces(stick, "head", 1, 110*in)), offers...)
		assert.Equal(t, c.cost, p.Materials, "%v", c.shortest/in)
	}
}

// What is bought is planned as a saw wants it; the flags of the pieces go with
// them. Source: arithmetic, 2 x 84 or 84 + 36 + 36 on 14 ft
func TestTheSawsWishes(t *testing.T) {
	leg, head := pieces(board, "leg", 2, 84*in), pieces(board, "head", 2, 36*in)
	leg.Pair, leg.Factory, head.Held = true, true, "not measured"
	p := cutItem(job(), board, need1(2, leg, head), line(2, "Yard A", board, "14 ft", 1400))
	plan := p.Purchases[0].Plans[0]
	assert.Equal(t, []cut.Piece{
		{Length: 84 * in, Count: 4, Label: "W1 leg", FactoryEnd: true, Pair: true},
		{Length: 36 * in, Count: 4, Label: "W1 head", Held: true},
	}, plan.Problem.Pieces)
	assert.Equal(t, 4, plan.Plan.AtFactoryEnds, "every leg has a factory end")
	assert.Equal(t, int64(3), p.Purchases[0].Lines[0].Count())
	foots(t, p)
}

// What is on hand is used first, costs nothing, and its ends are square. Source:
// arithmetic
func TestOnHand(t *testing.T) {
	have := func(inches measure.Length, n int64) estimate.OnHand {
		return estimate.OnHand{Item: board.Key, Length: inches * in, Count: n}
	}
	legs := need1(1, pieces(board, "leg", 4, 84*in))
	twelve := line(2, "Yard A", board, "12 ft", 1000)
	for _, c := range []struct {
		why            string
		onHand         []estimate.OnHand
		offers         []Offer
		bought, onHan  int64
		need, buy, use measure.Length
		state          string
	}{
		{"none", nil, []Offer{twelve}, 4, 0, 336 * in, 336 * in, 0, ""},
		{"two of exact length", []estimate.OnHand{have(84, 2)}, []Offer{twelve}, 2, 2, 336 * in, 168 * in, 168 * in, ""},
		{"all", []estimate.OnHand{have(84, 1), have(168, 2)}, []Offer{twelve}, 0, 2, 336 * in, 0, 336 * in, ""},
		{"all, and nobody sells it", []estimate.OnHand{have(168, 2)}, nil, 0, 2, 336 * in, 0, 336 * in, ""},
		{"too little, and nobody sells it", []estimate.OnHand{have(84, 3)}, nil, 0, 0, 336 * in, 336 * in, 0, NoPrice},
		{"of another item", []estimate.OnHand{{Item: "board-1x6", Length: 168 * in, Count: 9}}, []Offer{twelve}, 4, 0, 336 * in, 336 * in, 0, ""},
	} {
		j := job()
		j.EndTrim, j.OnHand = in/2, c.onHand
		p := cutItem(j, board, legs, c.offers...)
		b := p.Purchases[0]
		assert.Equal(t, c.state, b.State, c.why)
		assert.Equal(t, []int64{int64(c.need), int64(c.buy), int64(c.use)}, []int64{b.Need, b.ToBuy, b.OnHand}, c.why)
		bought, onHand := int64(0), int64(0)
		for _, l := range b.Lines {
			bought += l.Count()
		}
		for _, plan := range b.Plans {
			for _, x := range plan.Plan.Boards {
				if plan.OnHand(x) {
					onHand++
				}
			}
		}
		assert.Equal(t, []int64{c.bought, c.onHan}, []int64{bought, onHand}, c.why)
		if c.state == "" {
			foots(t, p)
		}
	}
}

// A piece that only a board on hand is long enough for, and there is one of it.
func TestLongBoardOnHand(t *testing.T) {
	heads := need1(1, pieces(board, "head", 1, 200*in), pieces(board, "other", 1, 198*in))
	j := job()
	j.OnHand = []estimate.OnHand{{Item: board.Key, Length: 240 * in, Count: 1}}
	p := cutItem(j, board, heads, line(2, "Yard A", board, "16 ft", 1600))
	assert.Equal(t, TooLong, p.Purchases[0].State)
	assert.Len(t, p.Purchases[0].TooLong, 1)

	joined := board
	joined.Joint, joined.Lap = estimate.JointForced, in
	p = cutItem(j, joined, heads, line(2, "Yard A", board, "16 ft", 1600))
	assert.Empty(t, p.Purchases[0].State)
	require.Empty(t, p.Purchases[0].TooLong)
	foots(t, p)
}

// With its extra 1/2 in each head of 15'-11-3/4" takes 16'-0-1/4": of those only the
// piece on hand is long enough, and one of two. Both are planned as long as what is sold.
func TestExtraLengthOfTooFewOnHand(t *testing.T) {
	r := pieces(board, "head", 2, 191*in+3*in/4)
	r.Held = "not measured"
	j := job()
	j.MeasuringAllowance, j.SpareBoards = in/2, 1
	j.OnHand = []estimate.OnHand{{Item: board.Key, Length: 240 * in, Count: 1}}
	p := cutItem(j, board, need1(1, r), line(2, "Yard A", board, "16 ft", 1600))
	buy := p.Purchases[0]
	assert.Empty(t, buy.State)
	assert.Empty(t, buy.TooLong)
	assert.Equal(t, []int{0}, buy.Tight)
	for _, plan := range buy.Plans {
		for _, piece := range plan.Pieces {
			assert.Equal(t, 192*in, piece.Length, "the spare too")
		}
	}
	require.Len(t, p.Problems, 1)
	assert.Contains(t, p.Problems[0].String(), `planned only 16'-0" long: no stock of board-1x4 on offer gives its extra length`)
	foots(t, p)

	r.Length = 192*in + in/4 // without the extra longer than what is sold
	p = cutItem(j, board, need1(1, r), line(2, "Yard A", board, "16 ft", 1600))
	assert.Equal(t, TooLong, p.Purchases[0].State)
	assert.Equal(t, []int{0}, p.Purchases[0].TooLong)
}

func TestCoil(t *testing.T) {
	coil := estimate.Item{Key: "coil-24", Class: "metal", Dim: estimate.Lengthwise, Cut: true, Coil: 24 * in, Joint: estimate.JointCheap, Lap: 4 * in}
	pan := func(l, w measure.Length) estimate.Requirement {
		r := pieces(coil, "pan", 1, l)
		r.Second = w
		return r
	}
	j := job()
	j.BrakeLength = 120 * in
	// Two blanks of 8-1/2 in lie side by side on 24 in, four take two lengths.
	p := cutItem(j, coil, need1(4, pan(40*in, 17*in/2)), line(2, "Yard A", coil, "50 ft", 9000))
	b := p.Purchases[0]
	assert.Equal(t, int64(1), b.Lines[0].Count())
	assert.Equal(t, 4*measure.MulDiv(int64(40*in), int64(17*in/2), int64(24*in)), b.Need, "of coil length")
	plan := b.Plans[0]
	require.Len(t, plan.Plan.Boards, 1)
	assert.Equal(t, [][]int{{0, 0}, {0, 0}}, plan.On(plan.Plan.Boards[0]))
	foots(t, p)

	// A brake of 10 ft bends no more: 194 in are two pieces.
	p = cutItem(j, coil, need1(1, pan(194*in, 17*in/2)), line(2, "Yard A", coil, "50 ft", 9000))
	require.Len(t, p.Purchases[0].Plans[0].Pieces, 2)
	assert.Equal(t, 78*in, p.Purchases[0].Plans[0].Pieces[1].Length)

	p = cutItem(j, coil, need1(1, pan(40*in, 25*in), pan(40*in, 6*in)), line(2, "Yard A", coil, "50 ft", 9000))
	assert.Equal(t, TooWide, p.Purchases[0].State)
	assert.Equal(t, []string{`job.xlsx: Openings row 5: W1: pan 2'-1" wide is wider than the coil of coil-24, 2'-0"; it is left out ` +
		`(choose a wider coil on Items, or another way to make the piece)`}, words(p.Problems))
	assert.Equal(t, int64(1), p.Purchases[0].Lines[0].Count(), "the other is bought")
	foots(t, p)
}

func TestTooManyPieces(t *testing.T) {
	p := cutItem(job(), board, need1(3_000_000, pieces(board, "leg", 1, 84*in)), line(2, "Yard A", board, "8 ft", 800))
	assert.Equal(t, TooMany, p.Purchases[0].State)
	assert.Equal(t, []string{"job.xlsx: Openings row 5: W1: leg is left out: board-1x4 has more pieces than can be planned (divide the job, or check Qty)"}, words(p.Problems))
}

func TestMillimetersInMessages(t *testing.T) {
	j := job()
	j.MM = true
	p := cutItem(j, board, need1(1, pieces(board, "head", 1, 5_000*measure.Millimeter)), line(2, "Yard A", board, "4.8 m", 1600))
	assert.Equal(t, []string{`job.xlsx: Openings row 5: W1: head of 5000 mm is longer than any stock of board-1x4, the longest piece it gives is 4800 mm; it is left out (offer stock of 5000 mm or longer in the price list, or allow a joint on Items)`}, words(p.Problems))
	assert.Empty(t, p.Purchases[0].Lines)
	foots(t, p)
}

func TestWidthAcrossTheCoil(t *testing.T) {
	coil := estimate.Item{Coil: 24 * in}
	assert.Equal(t, 6*in, widthOf(estimate.Requirement{Second: 6 * in}, coil), "the piece's own")
	assert.Equal(t, 24*in, widthOf(estimate.Requirement{}, coil), "the whole coil")
	coil.Width = 8 * in
	assert.Equal(t, 8*in, widthOf(estimate.Requirement{}, coil), "the item's")
	assert.Equal(t, measure.Length(0), widthOf(estimate.Requirement{Second: 6 * in}, board), "no coil")
}

// A plan that is not proven says how much less another could cost: two boards at
// 10.00 against a bound of 15.00.
func TestCostOfAnUnprovenPlanIsAtLeastItsBound(t *testing.T) {
	c := candidate{lines: []Line{{Computed: 2, Offer: Offer{Price: 10_0000}}}, plans: []CutPlan{{Plan: cut.Plan{Bound: 15_0000}}}}
	assert.Equal(t, measure.Money(15_00), c.atLeast())
	c.plans[0].Plan.Proven = true
	assert.Equal(t, measure.Money(20_00), c.atLeast())
}

// TestEachShortRequirementIsSaidOnce: of two requirements that are longer than any stock,
// each twice, each is left out once.
func TestEachShortRequirementIsSaidOnce(t *testing.T) {
	j := job()
	j.OnHand = []estimate.OnHand{{Item: board.Key, Length: 240 * in, Count: 1}}
	p := cutItem(j, board, need1(1, pieces(board, "head", 2, 200*in), pieces(board, "sill", 2, 198*in)), line(2, "Yard A", board, "16 ft", 1600))
	assert.Equal(t, TooLong, p.Purchases[0].State)
	rows := slices.Clone(p.Purchases[0].TooLong)
	slices.Sort(rows)
	assert.Equal(t, slices.Compact(slices.Clone(rows)), rows)
	assert.NotEmpty(t, rows)
}

// TestShortOnHandIsSaidOnce: of five pieces one is on hand and four are left; the supplier's
// boards are too short. What is left is one line of the takeoff, and named once.
func TestShortOnHandIsSaidOnce(t *testing.T) {
	j := job()
	j.OnHand = []estimate.OnHand{{Item: board.Key, Length: 60 * in, Count: 1}}
	p := made(j, estimate.NewItems([]estimate.Item{board}), need1(1, pieces(board, "leg", 5, 50*in)), []Offer{line(2, "Yard A", board, "4 ft", 400)}, nil)
	assert.Equal(t, []int{0}, p.Purchases[0].TooLong)
	assert.Equal(t, TooLong, p.Purchases[0].State)
}
