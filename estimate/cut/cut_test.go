package cut

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

const (
	inch      = measure.Inch
	foot      = measure.Foot
	eighth    = measure.Inch / 8
	unlimited = -1
)

// pieces returns count pieces of each length: pieces(l, n, l, n …).
func pieces(lengthsAndCounts ...measure.Length) []Piece {
	var ps []Piece
	for i := 0; i < len(lengthsAndCounts); i += 2 {
		ps = append(ps, Piece{Length: lengthsAndCounts[i], Count: int(lengthsAndCounts[i+1])})
	}
	return ps
}

// stocks returns unlimited stocks that cost a cent an inch, or for lengths below
// an inch a cent a unit, so that the cost is the length bought.
func stocks(unit measure.Length, lengths ...measure.Length) []Stock {
	var s []Stock
	for _, l := range lengths {
		s = append(s, Stock{Length: l * unit, Price: measure.UnitPrice(l), Available: unlimited})
	}
	return s
}

// endTrim returns what is cut off the ends of a stock.
func endTrim(p Problem, stock int) measure.Length {
	if p.Stocks[stock].Trimmed {
		return 0
	}
	return max(0, p.HeadTrim) + max(0, p.TailTrim)
}

// check says what is wrong with a plan, from physical lengths alone: it shares
// nothing with the planner.
func check(t *testing.T, p Problem, plan Plan) {
	t.Helper()
	cut := make([]int, len(p.Pieces))
	used := make([]int, len(p.Stocks))
	var cost measure.UnitPrice
	kerf := max(0, p.Kerf)
	for i, b := range plan.Boards {
		require.NotEmpty(t, b.Pieces, "board %d is bought but empty", i)
		used[b.Stock]++
		cost += p.Stocks[b.Stock].Price
		length := endTrim(p, b.Stock) + measure.Length(len(b.Pieces)-1)*kerf
		for j, n := range b.Pieces {
			cut[n]++
			length += p.Pieces[n].Length
			if j > 0 && !needsFactoryEnd(p, b) {
				require.LessOrEqual(t, p.Pieces[n].Length, p.Pieces[b.Pieces[j-1]].Length, "longest first")
			}
		}
		left := p.Stocks[b.Stock].Length - length
		require.GreaterOrEqual(t, left, measure.Length(0), "board %d is too short", i)
		require.Equal(t, max(0, left-kerf), b.Offcut, "offcut of board %d", i)
	}
	for i, w := range p.Pieces {
		want := max(0, w.Count)
		if w.Length <= 0 {
			want = 0
		}
		if slices.Contains(plan.Unplaced, i) {
			require.Less(t, cut[i], want, "piece %d is not short", i)
		} else {
			require.Equal(t, want, cut[i], "piece %d", i)
		}
	}
	for i, s := range p.Stocks {
		if s.Available >= 0 {
			require.LessOrEqual(t, used[i], s.Available, "stock %d", i)
		}
	}
	require.Equal(t, cost, plan.Cost)
	require.LessOrEqual(t, plan.Bound, plan.Cost)
	require.Equal(t, plan.Bound == plan.Cost, plan.Proven)
	require.True(t, slices.IsSorted(plan.Unplaced))
}

// needsFactoryEnd reports whether a piece of a board needs a factory end.
func needsFactoryEnd(p Problem, b Board) bool {
	return slices.ContainsFunc(b.Pieces, func(i int) bool { return p.Pieces[i].FactoryEnd })
}

func TestWorkedExamples(t *testing.T) {
	const army = "US Army subcourse EN0069A, para. 4-6: "
	lengths := stocks(inch, 96, 120, 144, 168, 192, 216, 240)
	for _, c := range []struct {
		source string
		p      Problem
		boards []measure.Length // of the stock
		cost   measure.UnitPrice
	}{
		{army + "2 of 4'-6\" from one 10 ft", Problem{Pieces: pieces(54*inch, 2), Stocks: lengths}, []measure.Length{120 * inch}, 120},
		{army + "2 of 3'-0\" from one 8 ft", Problem{Pieces: pieces(36*inch, 2), Stocks: lengths}, []measure.Length{96 * inch}, 96},
		{army + "with the manual's two lengths: 9 of 3'-0\" from three 10 ft",
			Problem{Pieces: pieces(36*inch, 9), Stocks: stocks(inch, 96, 120)}, []measure.Length{120 * inch, 120 * inch, 120 * inch}, 360},
		{army + "4 of 2'-4\" from one 10 ft", Problem{Pieces: pieces(28*inch, 4), Stocks: lengths}, []measure.Length{120 * inch}, 120},
		{"arithmetic from " + army + "same choice with a kerf of 1/8",
			Problem{Pieces: pieces(54*inch, 2), Stocks: lengths, Kerf: eighth}, []measure.Length{120 * inch}, 120},
		{"arithmetic from " + army + "same choice with a kerf of 1/8",
			Problem{Pieces: pieces(28*inch, 4), Stocks: lengths, Kerf: eighth}, []measure.Length{120 * inch}, 120},
		{"arithmetic: 4 of 3'-0\" from one 12 ft without kerf", Problem{Pieces: pieces(36*inch, 4), Stocks: stocks(inch, 144)}, []measure.Length{144 * inch}, 144},
		{"arithmetic: with kerf the fourth needs another 12 ft", Problem{Pieces: pieces(36*inch, 4), Stocks: stocks(inch, 144), Kerf: eighth},
			[]measure.Length{144 * inch, 144 * inch}, 288},
		{"US Army subcourse EN01136, lesson 5: posts and uprights out of four 10 ft",
			Problem{Pieces: pieces(61*inch, 4, 43*inch, 2), Stocks: stocks(inch, 120), Kerf: eighth},
			[]measure.Length{120 * inch, 120 * inch, 120 * inch, 120 * inch}, 480},
		{"arithmetic from geometry, a trim frame: two legs from a 12 ft, head and bottom from an 8 ft",
			Problem{Pieces: pieces(507*eighth, 2, 343*eighth, 1, 287*eighth, 1), Stocks: stocks(inch, 96, 144), Kerf: eighth},
			[]measure.Length{144 * inch, 96 * inch}, 240},
	} {
		plan := Solve(c.p)
		check(t, c.p, plan)
		var boards []measure.Length
		for _, b := range plan.Boards {
			boards = append(boards, c.p.Stocks[b.Stock].Length)
		}
		assert.Equal(t, c.boards, boards, c.source)
		assert.Equal(t, c.cost, plan.Cost, c.source)
	}
}

func TestOffcutOfTheTrimFrame(t *testing.T) {
	// arithmetic: 17-1/8 in are left of either board, 1/8 in of which is
	// the cut that frees the last piece.
	plan := Solve(Problem{Pieces: pieces(507*eighth, 2), Stocks: stocks(inch, 144), Kerf: eighth})
	require.Len(t, plan.Boards, 1)
	assert.Equal(t, 17*inch, plan.Boards[0].Offcut)
}

func TestPiecesPerBoard(t *testing.T) {
	for _, c := range []struct {
		source             string
		stock, piece, kerf measure.Length
		want               int
	}{
		// algebra, n pieces need n-1 kerfs: floor((L + k) / (p + k))
		{"28 from 120", 120 * inch, 28 * inch, eighth, 4},
		{"28 from 144", 144 * inch, 28 * inch, eighth, 5},
		{"36 from 96", 96 * inch, 36 * inch, eighth, 2},
		{"36 from 120", 120 * inch, 36 * inch, eighth, 3},
		{"36 from 144", 144 * inch, 36 * inch, eighth, 3},
		{"36 from 144 without kerf", 144 * inch, 36 * inch, 0, 4},
		{"54 from 120", 120 * inch, 54 * inch, eighth, 2},
		{"24 from 96", 96 * inch, 24 * inch, eighth, 3},
		{"24 from 96 without kerf", 96 * inch, 24 * inch, 0, 4},
		{"96 from 192", 192 * inch, 96 * inch, eighth, 1},
		{"96 from 192 without kerf", 192 * inch, 96 * inch, 0, 2},
	} {
		plan := MinimizeCost(Problem{Pieces: pieces(c.piece, 12), Stocks: stocks(1, c.stock), Kerf: c.kerf}).Cheapest()
		require.NotEmpty(t, plan.Boards, c.source)
		assert.Len(t, plan.Boards[0].Pieces, c.want, c.source)
	}
}

func TestKerfAndTrims(t *testing.T) {
	const (
		thirtySecond = inch / 32
		quarter      = inch / 4
	)
	for _, c := range []struct {
		source string
		ps     []Piece
		trim   measure.Length
		boards int
	}{
		// arithmetic: 96 in board, kerf 1/8
		{"2 x 48 does not fit", pieces(48*inch, 2), 0, 2},
		{"48 + 47-7/8 fits exactly", pieces(48*inch, 1, 48*inch-eighth, 1), 0, 1},
		{"3 x 31-29/32 fits, the blade runs off the end", pieces(31*inch+29*thirtySecond, 3), 0, 1},
		{"3 x 32 does not fit", pieces(32*inch, 3), 0, 2},
		{"48 + 47-3/8 fits with 1/4 trimmed off both ends", pieces(48*inch, 1, 47*inch+3*eighth, 1), quarter, 1},
		{"48 + 47-13/32 does not", pieces(48*inch, 1, 47*inch+13*thirtySecond, 1), quarter, 2},
	} {
		p := Problem{Pieces: c.ps, Stocks: stocks(inch, 96), Kerf: eighth, HeadTrim: c.trim, TailTrim: c.trim}
		plan := Solve(p)
		check(t, p, plan)
		assert.Len(t, plan.Boards, c.boards, c.source)
	}
	over := Solve(Problem{Pieces: pieces(31*inch+29*thirtySecond, 3), Stocks: stocks(inch, 96), Kerf: eighth})
	assert.Zero(t, over.Boards[0].Offcut, "1/32 in is less than the kerf")
}

func TestHeadsAndLegsOfSixteenDoors(t *testing.T) {
	// A trade page (publisher not on record), recomputed: 84 + 32 + 84 in for both
	// sides of 16 doors from 16 ft boards: 34 by total length, but 38 are needed,
	// with and without kerf.
	for _, kerf := range []measure.Length{0, eighth} {
		p := Problem{Pieces: pieces(84*inch, 64, 32*inch, 32), Stocks: []Stock{{192 * inch, 1, unlimited, false}}, Kerf: kerf}
		plan := Solve(p)
		check(t, p, plan)
		assert.Len(t, plan.Boards, 38)
		assert.True(t, plan.Proven)
	}
}

// Published cases with their optima; where none is named, no publisher is on record.
func TestKnownOptima(t *testing.T) {
	for _, c := range []struct {
		source  string
		ps      []Piece
		stock   []Stock
		optimum measure.UnitPrice
	}{
		{"Chvátal, Linear Programming (1983), ch. 13", pieces(45, 97, 36, 610, 31, 395, 14, 211), []Stock{{100, 1, -1, false}}, 453},
		{"three stock lengths of Gilmore and Gomory (1961), data from memory, optimum recomputed", pieces(2, 20, 3, 10, 4, 20),
			[]Stock{{5, 6, -1, false}, {6, 7, -1, false}, {9, 10, -1, false}}, 170},
		{"paper rolls of 5600 mm in 13 widths",
			pieces(1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20, 2000, 10, 2050, 12, 2100, 14, 2140, 16, 2150, 18,
				2200, 20), []Stock{{5600, 1, -1, false}}, 73},
		{"paper rolls of 94 in five widths, here in halves", pieces(34, 150, 42, 96, 45, 48, 48, 108, 59, 227), []Stock{{188, 1, -1, false}}, 161},
		{"17 ft boards, from memory, optimum recomputed", pieces(3, 25, 5, 20, 9, 15), []Stock{{17, 1, -1, false}}, 19},
		{"six widths from 5180", pieces(1250, 5, 1150, 64, 1120, 9, 1066, 18, 1000, 11, 520, 91), []Stock{{5180, 1, -1, false}}, 33},
		{"25 pieces, three sizes at cost = size",
			pieces(99, 1, 95, 1, 92, 1, 83, 1, 79, 1, 77, 2, 71, 1, 66, 1, 63, 1, 55, 1, 54, 1, 50, 1, 40, 1, 38, 1, 36, 1, 33, 1, 32, 1,
				29, 1, 24, 1, 19, 2, 17, 1, 14, 1, 10, 1), stocks(1, 100, 120, 150), 1280},
	} {
		p := Problem{Pieces: c.ps, Stocks: c.stock}
		plan := Solve(p)
		check(t, p, plan)
		assert.Equal(t, c.optimum, plan.Cost, c.source)
		assert.Equal(t, c.optimum, plan.Bound, c.source)
	}
}

func TestLimitedStock(t *testing.T) {
	board16 := Stock{192 * inch, 1600, unlimited, false}
	for _, c := range []struct {
		reason string
		p      Problem
		cost   measure.UnitPrice
		boards int
		short  []int
	}{
		{"what is on hand is used before anything is bought", Problem{Pieces: pieces(60*inch, 4), Stocks: []Stock{board16, {62 * inch, 0, 1, false}}}, 1600, 2, nil},
		{"the only stock long enough goes to the piece that needs it",
			Problem{Pieces: pieces(200*inch, 1, 90*inch, 2), Stocks: []Stock{board16, {240 * inch, 100, 1, false}}}, 1700, 2, nil},
		{"one piece stays without stock", Problem{Pieces: pieces(60*inch, 3), Stocks: []Stock{{62 * inch, 500, 2, false}}}, 1000, 2, []int{0}},
		{"a stock of none is none", Problem{Pieces: pieces(60*inch, 1), Stocks: []Stock{{62 * inch, 500, 0, false}}}, 0, 0, []int{0}},
		{"too long for every stock", Problem{Pieces: pieces(199*inch, 1, 60*inch, 1), Stocks: []Stock{board16}}, 1600, 1, []int{0}},
		{"all boards limited, the cheaper length first",
			Problem{Pieces: pieces(90*inch, 4), Stocks: []Stock{{192 * inch, 1600, 1, false}, {96 * inch, 900, 5, false}}}, 1600 + 2*900, 3, nil},
		{"of boards at one price the shortest is taken",
			Problem{Pieces: pieces(40*inch, 1), Stocks: []Stock{{100 * inch, 0, 1, false}, {50 * inch, 0, 1, false}}}, 0, 1, nil},
	} {
		plan := Solve(c.p)
		check(t, c.p, plan)
		assert.Equal(t, c.cost, plan.Cost, c.reason)
		assert.Len(t, plan.Boards, c.boards, c.reason)
		assert.Equal(t, c.short, plan.Unplaced, c.reason)
	}
}

func TestNothingToPlan(t *testing.T) {
	assert.Equal(t, Plan{Proven: true, Method: byGreedy}, Solve(Problem{}))
	assert.Equal(t, Plan{Proven: true, Method: byGreedy},
		Solve(Problem{Pieces: []Piece{{Length: 0, Count: 5}, {Length: 5, Count: 0}, {Length: -5, Count: 5}}, Stocks: stocks(1, 10)}))
	none := Solve(Problem{Pieces: pieces(5, 1)})
	assert.Equal(t, []int{0}, none.Unplaced)
	many := Solve(Problem{Pieces: pieces(5, 1, 5, MaxPieces), Stocks: stocks(1, 10)})
	assert.Equal(t, Plan{Unplaced: []int{0, 1}, Method: methodTooMany}, many)
	trimmed := Solve(Problem{Pieces: pieces(5, 1), Stocks: stocks(1, 10), HeadTrim: 5, TailTrim: 5, Kerf: 100})
	assert.Equal(t, []int{0}, trimmed.Unplaced, "nothing is left of the board, whatever the kerf")
}

// FuzzSolve: no problem panics, every plan is right, and of small ones with
// stock for all pieces none is cheaper.
func FuzzSolve(f *testing.F) {
	f.Add(int64(84), 64, int64(32), 32, int64(192), int64(100), -1, int64(96), int64(0), 3, int64(1), int64(0), int64(2))
	f.Add(int64(84), 3, int64(32), 3, int64(192), int64(100), -1, int64(96), int64(0), 1, int64(1), int64(0), int64(2))
	f.Add(int64(math.MaxInt64), 1, int64(math.MinInt64), math.MaxInt, int64(math.MaxInt64), int64(math.MaxInt64), 1,
		int64(math.MinInt64), int64(-1), 0, int64(math.MaxInt64), int64(math.MinInt64), int64(math.MaxInt64))
	f.Fuzz(func(t *testing.T, l1 int64, n1 int, l2 int64, n2 int, s1, p1 int64, a1 int, s2, p2 int64, a2 int, kerf, head, tail int64) {
		n1, n2 = n1%500, n2%500
		p := Problem{
			Pieces: []Piece{{Length: measure.Length(l1), Count: n1}, {Length: measure.Length(l2), Count: n2}},
			Stocks: []Stock{{measure.Length(s1), measure.UnitPrice(p1), a1, false}, {measure.Length(s2), measure.UnitPrice(p2), a2, false}},
			Kerf:   measure.Length(kerf), HeadTrim: measure.Length(head), TailTrim: measure.Length(tail),
			Effort: 0.01,
		}
		plan := Solve(p)
		if len(plan.Boards) == 0 {
			return
		}
		check(t, p, plan)
		pieces := 0
		for _, b := range plan.Boards {
			pieces += len(b.Pieces)
		}
		usual := l1 > 0 && l2 > 0 && n1 >= 0 && n2 >= 0 && p1 >= 0 && p2 >= 0 && kerf >= 0 && head >= 0 && tail >= 0 &&
			max(l1, l2, s1, s2, p1, p2, kerf, head, tail) < 1<<40
		if usual && pieces <= 7 && len(plan.Unplaced) == 0 {
			best, _, ok := optimum(p)
			require.True(t, ok)
			require.LessOrEqual(t, plan.Bound, best)
			require.GreaterOrEqual(t, plan.Cost, best)
			if plan.Proven {
				require.Equal(t, best, plan.Cost)
			}
		}
	})
}
