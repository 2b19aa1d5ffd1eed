package pricing

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// randomJob is a job of some items, marks and requirements, and offers of them
// by three suppliers.
func randomJob(r *rand.Rand) (estimate.Job, estimate.Items, estimate.Takeoff, []Offer) {
	j := job()
	j.Kerf, j.EndTrim = in/8, measure.Length(r.Intn(3))*in/4
	j.SpareBoards, j.SpareTape = int64(r.Intn(2)), int64(r.Intn(3))
	j.BrakeLength = 120 * in
	stick := estimate.Item{Key: "drip-cap", Class: "metal", Dim: estimate.Lengthwise, Cut: true, Joint: estimate.JointCheap, Lap: 4 * in}
	coil := estimate.Item{Key: "coil-24", Class: "metal", Dim: estimate.Lengthwise, Cut: true, Joint: estimate.JointCheap, Lap: 4 * in, Coil: 24 * in}
	items := []estimate.Item{sealant, nails, primer, cement, rod, board, screws, stick, coil}
	contents := map[string][]string{
		"sealant": {"10.1 fl oz", "300 mL", "20 fl oz", "1 gal"}, "nail-8d": {"1 lb", "5 lb", "100 each", "2 kg"}, "primer": {"1 qt", "1 gal", "5 gal"},
		"cement": {"1 each", "2 each", "12 each"}, "rod": {"100 ft", "30 m", "500 ft"}, "board-1x4": {"16 ft", "8 ft", "10 ft", "12 ft", "20 ft"},
		"screw": {"100 each", "250 each", "1000 each"}, "drip-cap": {"10 ft", "8 ft", "12 ft", "3 m"}, "coil-24": {"50 ft", "25 ft", "100 ft"},
	}
	var t estimate.Takeoff
	for m := range 1 + r.Intn(4) {
		o := need1(int64(1 + r.Intn(6))).Openings[0]
		o.Mark = fmt.Sprint("W", m+1)
		t.Openings = append(t.Openings, o)
		for range 1 + r.Intn(8) {
			t.Requirements = append(t.Requirements, randomRequirement(r, items[r.Intn(len(items))], m))
		}
	}
	var offers []Offer
	for row := range 1 + r.Intn(25) {
		it := items[r.Intn(len(items))]
		list := contents[it.Key]
		content := list[r.Intn(len(list))]
		offers = append(offers, line(row+2, []string{"Yard A", "Yard B", "Yard C"}[r.Intn(3)], it, content, int64(100+r.Intn(4000))))
	}
	return j, estimate.NewItems(items), t, offers
}

func randomRequirement(r *rand.Rand, it estimate.Item, opening int) estimate.Requirement {
	var q estimate.Requirement
	switch {
	case it.Cut:
		q = pieces(it, "piece", int64(1+r.Intn(4)), measure.Length(200+r.Intn(6400))*in/32)
		if it.Coil > 0 {
			q.Second = measure.Length(20+r.Intn(160)) * in / 8
		}
	case it.Dim == estimate.Volumewise:
		q = amount(it, r.Int63n(2_000_000_000))
	case it.Dim == estimate.Areawise:
		q = amount(it, r.Int63n(200*int64(measure.SquareFoot)))
	case it.Dim == estimate.Lengthwise:
		q = amount(it, r.Int63n(int64(feet(300))))
	default:
		q = amount(it, r.Int63n(300))
	}
	q.Opening = opening
	return q
}

func TestSharesAlwaysFoot(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for range 400 {
		j, items, takeoff, offers := randomJob(r)
		p := made(j, items, takeoff, offers, nil)
		foots(t, p)
		over := Overrides{}
		for _, b := range p.Purchases {
			for _, l := range b.Lines {
				over[l.Key()] = int64(r.Intn(5))
			}
		}
		foots(t, made(j, items, takeoff, offers, over))
	}
}

func TestOneMoreOfferNeverCostsMore(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	compared := 0
	for range 300 {
		j, items, takeoff, offers := randomJob(r)
		before := map[string]measure.Money{}
		for n := range len(offers) + 1 {
			for _, b := range made(j, items, takeoff, offers[:n], nil).Purchases {
				if b.State != "" {
					continue // what is not bought whole can only get dearer
				}
				if cost, had := before[b.Item.Key]; had {
					assert.LessOrEqual(t, b.Cost, cost, b.Item.Key)
					compared++
				}
				before[b.Item.Key] = b.Cost
			}
		}
	}
	assert.Greater(t, compared, 5000)
}

func TestWhatIsBoughtSuffices(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for range 300 {
		j, items, takeoff, offers := randomJob(r)
		for _, b := range made(j, items, takeoff, offers, nil).Purchases {
			if b.State == NoPrice {
				assert.Empty(t, b.Lines)
				continue
			}
			assert.GreaterOrEqual(t, b.Bought+b.Bought/1_000_000, b.ToBuy, b.Item.Key)
			if b.State == "" {
				assert.GreaterOrEqual(t, b.ToBuy, b.Need)
			}
			if len(b.Lines) == 1 && !b.Item.Cut {
				assert.Equal(t, measure.Packs(b.ToBuy, b.Lines[0].Offer.Amount), b.Lines[0].Computed, "the worksheet's ROUNDUP(ROUND(to buy / content, 6), 0)")
			}
			for _, c := range b.Plans {
				boards := map[int]int64{}
				cut := map[int]int64{}
				for _, board := range c.Plan.Boards {
					boards[board.Stock]++
					for _, side := range c.On(board) {
						for _, i := range side {
							cut[i]++
						}
					}
				}
				for i, p := range c.Pieces {
					assert.Equal(t, p.Count, cut[i], "every piece is on a board")
				}
				for i, o := range c.Offers {
					for _, l := range b.Lines {
						if l.Offer == o {
							assert.Equal(t, boards[i], l.Computed)
						}
					}
				}
			}
		}
	}
}

func TestSameInputSamePlan(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	for range 50 {
		j, items, takeoff, offers := randomJob(r)
		over := Overrides{"a": 1, "b": 2, "c": -3}
		assert.Equal(t, made(j, items, takeoff, offers, over), made(j, items, takeoff, offers, over))
	}
}
