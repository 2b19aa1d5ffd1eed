package pricing

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate/measure"
)

func totalOf(counts []int64, packs []pack) (cost measure.UnitPrice, content int64) {
	for i, n := range counts {
		cost += measure.UnitPrice(n) * packs[i].price
		content += n * packs[i].content
	}
	return cost, content
}

func TestMix(t *testing.T) {
	for _, c := range []struct {
		why   string
		need  int64
		packs []pack
		want  []int64
	}{
		{"nothing needed", 0, []pack{{100, 500}}, []int64{0}},
		{"one kind: rounded up", 101, []pack{{100, 500}}, []int64{2}},
		{"one kind: exactly", 200, []pack{{100, 500}}, []int64{2}},
		{"one kind: as the worksheet's ROUNDUP(ROUND(x, 6), 0), arithmetic", 20_000_001, []pack{{10_000_000, 500}}, []int64{2}},
		{"a large box and two small: 7 + 2 × 1 < 2 × 7", 120, []pack{{100, 700}, {10, 100}}, []int64{1, 2}},
		{"small boxes are dear: 2 × 7 < 7 + 8 × 1", 180, []pack{{100, 700}, {10, 100}}, []int64{2, 0}},
		{"equal totals: one kind wins", 200, []pack{{100, 700}, {200, 1400}}, []int64{0, 1}},
		{"a pack that is smaller and dearer is never taken", 90, []pack{{100, 700}, {90, 800}}, []int64{1, 0}},
		{"not the best price for its content, but enough: 2 × 3 < 7", 80, []pack{{100, 700}, {40, 300}}, []int64{0, 2}},
		{"all alike", 100, []pack{{10, 10}, {10, 10}}, []int64{10, 0}},
	} {
		assert.Equal(t, c.want, mix(c.need, 0, c.packs), c.why)
	}
}

// cheapest tries every mix.
func cheapest(need int64, packs []pack) measure.UnitPrice {
	if need <= 0 {
		return 0
	}
	best := measure.UnitPrice(beyond)
	for i, p := range packs {
		best = min(best, p.price+cheapest(need-p.content, packs[i:]))
	}
	return best
}

func randomPacks(r *rand.Rand, kinds int) []pack {
	packs := make([]pack, kinds)
	for i := range packs {
		packs[i] = pack{int64(1 + r.Intn(40)), measure.UnitPrice(1 + r.Intn(60))}
		if r.Intn(3) == 0 { // prices in proportion make the hard cases
			packs[i].price = measure.UnitPrice(packs[i].content)
		}
	}
	return packs
}

func TestMixIsCheapest(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for range 3000 {
		packs := randomPacks(r, 1+r.Intn(4))
		need := int64(1 + r.Intn(120))
		cost, content := totalOf(mix(need, 0, packs), packs)
		assert.GreaterOrEqual(t, content, need, "%d of %v", need, packs)
		assert.Equal(t, cheapest(need, packs), cost, "%d of %v", need, packs)
	}
}

// cheapestOpened tries every mix of so many packs at least.
func cheapestOpened(need, opened int64, packs []pack) measure.UnitPrice {
	if need <= 0 && opened <= 0 {
		return 0
	}
	best := measure.UnitPrice(beyond)
	for i, p := range packs {
		best = min(best, p.price+cheapestOpened(need-p.content, opened-1, packs[i:]))
	}
	return best
}

// TestMixOpensAsManyPacks: cans that serve some openings each are bought by their
// number where that is more than what they hold asks for. Expected by trying all.
func TestMixOpensAsManyPacks(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for range 2000 {
		packs := randomPacks(r, 1+r.Intn(3))
		need, opened := int64(r.Intn(80)), int64(r.Intn(7))
		counts := mix(need, opened, packs)
		cost, content := totalOf(counts, packs)
		var n int64
		for _, c := range counts {
			n += c
		}
		assert.GreaterOrEqual(t, content, need, "%d, %d of %v", need, opened, packs)
		assert.GreaterOrEqual(t, n, opened, "%d, %d of %v", need, opened, packs)
		assert.Equal(t, cheapestOpened(need, opened, packs), cost, "%d, %d of %v", need, opened, packs)
	}
}

func TestMixOneMorePackNeverCostsMore(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for range 2000 {
		packs := make([]pack, 1+r.Intn(6))
		for i := range packs {
			packs[i] = pack{int64(1 + r.Intn(400_000_000)), measure.UnitPrice(1 + r.Intn(1_000_000))}
		}
		need := int64(1 + r.Intn(2_000_000_000))
		before := measure.UnitPrice(beyond)
		for n := 1; n <= len(packs); n++ {
			cost, _ := totalOf(mix(need, 0, packs[:n]), packs[:n])
			assert.LessOrEqual(t, cost, before)
			before = cost
		}
	}
}

func TestMixSearchIsShort(t *testing.T) {
	// Prices as in a price list: dearer for their content the smaller they are.
	r := rand.New(rand.NewSource(3))
	for range 500 {
		var packs []pack
		for range 5 {
			c := int64(1 + r.Intn(5000))
			packs = append(packs, pack{c * 100_003, measure.UnitPrice(100 * (500 + c*int64(80+r.Intn(40))/100))})
		}
		s := newMixer(int64(r.Intn(1_000_000))*100_003+1, 0, packs)
		s.best, s.cost = make([]int64, len(packs)), beyond
		s.search(0, int64(r.Intn(1_000_000))*100_003+1, 0, 0)
		assert.Less(t, s.nodes, mixNodes/2)
	}
}
