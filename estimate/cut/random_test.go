package cut

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// randomProblem returns a job of up to so many pieces and stocks; lengths are
// multiples of 1/8 in.
func randomProblem(r *rand.Rand, maxPieces, maxStocks int, limits bool) Problem {
	p := Problem{Kerf: measure.Length(r.Intn(3)) * inch / 16, HeadTrim: measure.Length(r.Intn(3)) * inch / 4, TailTrim: measure.Length(r.Intn(2)) * inch / 4}
	for left := 1 + r.Intn(maxPieces); left > 0; {
		n := 1 + r.Intn(left)
		left -= n
		p.Pieces = append(p.Pieces, Piece{Length: measure.Length(40+r.Intn(800)) * eighth, Count: n})
	}
	for range 1 + r.Intn(maxStocks) {
		s := Stock{Length: measure.Length(6+r.Intn(15)) * foot, Available: unlimited}
		s.Trimmed = s.Length%(3*foot) == 0
		s.Price = measure.UnitPrice(s.Length/foot)*100 + measure.UnitPrice(r.Intn(300))
		if limits && r.Intn(2) == 0 {
			s.Available = r.Intn(4)
			s.Price *= measure.UnitPrice(r.Intn(2))
		}
		p.Stocks = append(p.Stocks, s)
	}
	return p
}

func TestRandomProblems(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for i := range 4000 {
		p := randomProblem(r, 40, 5, i%2 == 1)
		plan := Solve(p)
		check(t, p, plan)
		assert.Equal(t, plan, Solve(p), "same input, same plan")
	}
}

// optimum is the least cost by trying everything, and for each number of boards
// the longest single offcut at that cost on no more of them, or -1 if there is
// no such plan; false if not all pieces can be cut.
func optimum(p Problem) (best measure.UnitPrice, offcuts []measure.Length, found bool) {
	var lengths []measure.Length
	for _, w := range p.Pieces {
		for range w.Count {
			lengths = append(lengths, w.Length)
		}
	}
	left := make([]int, len(p.Stocks))
	for i, s := range p.Stocks {
		if left[i] = s.Available; left[i] < 0 {
			left[i] = len(lengths)
		}
	}
	best = measure.UnitPrice(math.MaxInt64)
	var rest []measure.Length
	var place func(i int, cost measure.UnitPrice)
	place = func(i int, cost measure.UnitPrice) {
		if cost > best {
			return
		}
		if i == len(lengths) {
			if cost < best {
				best, offcuts, found = cost, slices.Repeat([]measure.Length{-1}, len(lengths)+1), true
			}
			longest := max(0, slices.Max(rest)-p.Kerf)
			for n := len(rest); n < len(offcuts); n++ {
				offcuts[n] = max(offcuts[n], longest)
			}
			return
		}
		for j := range rest {
			if take := lengths[i] + p.Kerf; rest[j] >= take {
				rest[j] -= take
				place(i+1, cost)
				rest[j] += take
			}
		}
		for k, s := range p.Stocks {
			room := s.Length - endTrim(p, k) - lengths[i]
			if left[k] > 0 && room >= 0 {
				left[k]--
				rest = append(rest, room)
				place(i+1, cost+s.Price)
				rest = rest[:len(rest)-1]
				left[k]++
			}
		}
	}
	place(0, 0)
	return best, offcuts, found
}

func TestAgainstEverything(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	compared, proven, fewest, tight := 0, 0, 0, 0
	for i := range 2300 {
		p := randomProblem(r, 7, 3, i%2 == 1)
		p.Roll = i%3 == 1
		plan := Solve(p)
		best, offcuts, ok := optimum(p)
		require.Equal(t, ok, len(plan.Unplaced) == 0, "%+v", p)
		if !ok {
			continue
		}
		compared++
		require.Equal(t, best, plan.Cost, "%+v", p)
		require.Equal(t, best, plan.Bound, "%+v", p)
		longest := offcuts[len(plan.Boards)]
		require.LessOrEqual(t, plan.LongestOffcut, longest, "%+v", p)
		require.GreaterOrEqual(t, plan.OffcutBound, longest, "%+v", p)
		if plan.OffcutProven {
			proven++
			require.Less(t, longest, plan.LongestOffcut+inch, "%+v", p)
		} else {
			require.GreaterOrEqual(t, plan.OffcutBound, plan.LongestOffcut+inch, "%+v", p)
		}
		if plan.OffcutBound < longest+inch {
			tight++
		}
		if offcuts[len(plan.Boards)-1] < 0 {
			fewest++
		}
	}
	assert.GreaterOrEqual(t, compared, 2000, "the others cannot be cut from what there is")
	t.Logf("%d of %d on the fewest boards, %d with the longest offcut, %d with a bound within an inch of it", fewest, compared, proven, tight)
	assert.Equal(t, compared, fewest)
	assert.Greater(t, tight, 95*compared/100)
	assert.Greater(t, proven, 8*compared/10)
}

func TestMoreStockNeverCostsMore(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	compared := 0
	for range 2000 {
		p := randomProblem(r, 40, 5, false)
		before := Solve(p)
		extra := randomProblem(r, 1, 1, false).Stocks
		more := p
		more.Stocks = slices.Concat(p.Stocks, extra)
		if after := Solve(more); slices.Equal(before.Unplaced, after.Unplaced) {
			compared++
			require.LessOrEqual(t, after.Cost, before.Cost, "%+v", more)
		}
	}
	assert.Greater(t, compared, 1000)
}

func TestStockOnHandNeverCostsMoreThanNone(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for range 2000 {
		p := randomProblem(r, 40, 4, false)
		p.Stocks = append(p.Stocks, Stock{30 * foot, 4000, unlimited, false})
		without := Solve(p)
		for range 3 {
			p.Stocks = append(p.Stocks, Stock{measure.Length(12+r.Intn(120)) * inch, 0, r.Intn(3), false})
		}
		with := Solve(p)
		check(t, p, with)
		require.LessOrEqual(t, with.Cost, without.Cost, "%+v", p)
	}
}

// byLength is the multiset of the boards of a plan, in lengths.
func byLength(p Problem, plan Plan) [][]measure.Length {
	var boards [][]measure.Length
	for _, b := range plan.Boards {
		row := []measure.Length{p.Stocks[b.Stock].Length}
		for _, i := range b.Pieces {
			row = append(row, p.Pieces[i].Length)
		}
		boards = append(boards, row)
	}
	slices.SortFunc(boards, slices.Compare)
	return boards
}

func TestPlanDoesNotDependOnOrderOfPieces(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	for i := range 1000 {
		p := randomProblem(r, 40, 5, i%2 == 1)
		q := p
		q.Pieces = slices.Clone(p.Pieces)
		r.Shuffle(len(q.Pieces), func(i, j int) { q.Pieces[i], q.Pieces[j] = q.Pieces[j], q.Pieces[i] })
		a, b := Solve(p), Solve(q)
		require.Equal(t, a.Cost, b.Cost)
		require.Equal(t, a.Bound, b.Bound)
		require.Equal(t, byLength(p, a), byLength(q, b))
	}
}

func BenchmarkSolveHouse(b *testing.B) {
	p := randomProblem(rand.New(rand.NewSource(7)), 160, 1, false)
	p.Stocks = stocks(inch, 96, 120, 144, 168, 192, 240)
	for b.Loop() {
		Solve(p)
	}
}

func BenchmarkSolveLarge(b *testing.B) {
	r := rand.New(rand.NewSource(8))
	p := Problem{Stocks: stocks(inch, 96, 120, 144, 168, 192, 240), Kerf: eighth}
	for range 90 {
		p.Pieces = append(p.Pieces, Piece{Length: measure.Length(200+r.Intn(1200)) * eighth, Count: 1 + r.Intn(30)})
	}
	for range 10 {
		p.Stocks = append(p.Stocks, Stock{measure.Length(24+r.Intn(70)) * inch, 0, 1 + r.Intn(3), false})
	}
	for b.Loop() {
		Solve(p)
	}
}
