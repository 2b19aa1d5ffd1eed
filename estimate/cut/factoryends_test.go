package cut

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate/measure"
)

// trim is the 1x4 trim of a demo job, on its five stock lengths and prices.
type trim struct {
	name   string
	pieces []Piece
	got    int // pieces at factory ends in the plan
	most   int // in any plan of the cost on no more boards, whatever its patterns
}

func (j trim) problem() Problem {
	p := Problem{Pieces: j.pieces, Kerf: eighth}
	for i, price := range []measure.UnitPrice{232_000, 206_500, 171_000, 143_500, 112_800} {
		p.Stocks = append(p.Stocks, Stock{Length: measure.Length(16-2*i) * foot, Price: price, Available: unlimited})
	}
	return p
}

var trims = []trim{
	{"duplex", []Piece{
		{Length: 1403 * inch / 16, Count: 4, Held: true, FactoryEnd: true, Pair: true},
		{Length: 1335 * inch / 16, Count: 4, FactoryEnd: true, Pair: true},
		{Length: 1308 * inch / 16, Count: 2, FactoryEnd: true, Pair: true},
		{Length: 1391 * inch / 16, Count: 2, Held: true, FactoryEnd: true, Pair: true},
		{Length: 686 * inch / 16, Count: 4},
		{Length: 1014 * inch / 16, Count: 8, FactoryEnd: true, Pair: true},
		{Length: 574 * inch / 16, Count: 4},
		{Length: 690 * inch / 16, Count: 4, Held: true},
		{Length: 1018 * inch / 16, Count: 8, Held: true, FactoryEnd: true, Pair: true},
		{Length: 578 * inch / 16, Count: 4, Held: true},
		{Length: 1486 * inch / 16, Count: 2},
		{Length: 918 * inch / 16, Count: 4, FactoryEnd: true, Pair: true},
		{Length: 1374 * inch / 16, Count: 2},
		{Length: 862 * inch / 16, Count: 4},
		{Length: 890 * inch / 16, Count: 2, Held: true},
		{Length: 642 * inch / 16, Count: 4, Held: true, FactoryEnd: true, Pair: true},
		{Length: 778 * inch / 16, Count: 2, Held: true},
		{Length: 594 * inch / 16, Count: 2, Held: true},
		{Length: 826 * inch / 16, Count: 4, Held: true, FactoryEnd: true, Pair: true},
		{Length: 482 * inch / 16, Count: 2, Held: true},
		{Length: 658 * inch / 16, Count: 2, Held: true},
		{Length: 250 * inch / 16, Count: 4, Held: true, FactoryEnd: true, Pair: true},
		{Length: 546 * inch / 16, Count: 2, Held: true},
		{Length: 1486 * inch / 16, Count: 1, Held: true},
	}, 38, 38},
	{"workshop", []Piece{
		{Length: 1327 * inch / 16, Count: 2, Held: true, FactoryEnd: true, Pair: true},
		{Length: 1291 * inch / 16, Count: 2, FactoryEnd: true, Pair: true},
		{Length: 886 * inch / 16, Count: 5},
		{Length: 638 * inch / 16, Count: 10, FactoryEnd: true, Pair: true},
		{Length: 774 * inch / 16, Count: 5},
		{Length: 698 * inch / 16, Count: 3, Held: true},
		{Length: 834 * inch / 16, Count: 6, Held: true, FactoryEnd: true, Pair: true},
		{Length: 586 * inch / 16, Count: 3, Held: true},
		{Length: 1082 * inch / 16, Count: 1, Held: true},
		{Length: 834 * inch / 16, Count: 2, Held: true, FactoryEnd: true, Pair: true},
		{Length: 970 * inch / 16, Count: 1, Held: true},
		{Length: 778 * inch / 16, Count: 1, Held: true},
		{Length: 1327 * inch / 16, Count: 1, Held: true},
	}, 20, 21},
}

// Source: the most by the integer program of TestSolversFactoryEnds. The
// workshop's 21st takes ten patterns, and fewer patterns come before ends: with
// nine, by the same program, 20 are the most.
func TestMostFactoryEnds(t *testing.T) {
	for _, j := range trims {
		p := j.problem()
		plan := Solve(p)
		check(t, p, plan)
		assert.True(t, plan.Proven, j.name)
		assert.GreaterOrEqual(t, plan.AtFactoryEnds, j.got, j.name)
		assert.LessOrEqual(t, plan.AtFactoryEnds, j.most, j.name)
	}
}
