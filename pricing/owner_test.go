package pricing

import (
	"math/rand"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// byOwner returns rows of On hand that the owner brings; a count below 0 is not stated.
func byOwner(item estimate.Item, one, count int64) estimate.OnHand {
	h := estimate.OnHand{Item: item.Key, By: estimate.ByOwner, Count: max(0, count), NotStated: count < 0, Content: "pack"}
	if h.Amount = one; item.Cut {
		h.Amount, h.Length = 0, measure.Length(one)
	}
	return h
}

// What the owner brings is never bought, and what nobody has is said. Of 250 screws he
// brings 2 x 60, 60 more are on hand: 70 short. Of four pieces of 60 in, two lie on his
// 144 in. Source: arithmetic.
func TestByOwner(t *testing.T) {
	screw, leg := need1(1, amount(screws, 250)), need1(2, pieces(board, "leg", 2, 60*in))
	ours := estimate.OnHand{Item: screws.Key, Amount: 60, Count: 1}
	for _, c := range []struct {
		why     string
		item    estimate.Item
		takeoff estimate.Takeoff
		rows    []estimate.OnHand
		state   string
	}{
		{"enough", screws, screw, []estimate.OnHand{byOwner(screws, 250, 1)}, "by owner"},
		{"too few, with ours", screws, screw, []estimate.OnHand{ours, byOwner(screws, 60, 2)}, "by owner, 70 pieces short"},
		{"not stated", screws, screw, []estimate.OnHand{byOwner(screws, 0, -1)}, "by owner, not stated how much: ask"},
		{"some of it not stated", screws, screw, []estimate.OnHand{byOwner(screws, 60, 1), byOwner(screws, 0, -1)}, "by owner, not stated how much: ask"},
		{"none", screws, screw, []estimate.OnHand{byOwner(screws, 60, 0)}, "by owner, 250 pieces short"},
		{"boards enough", board, leg, []estimate.OnHand{byOwner(board, int64(144*in), 2)}, "by owner"},
		{"boards too few", board, leg, []estimate.OnHand{byOwner(board, int64(144*in), 1)}, `by owner, 2 pieces, 10'-0" in total short`},
		{"boards too short", board, leg, []estimate.OnHand{byOwner(board, int64(48*in), 9)}, `by owner, 4 pieces, 20'-0" in total short`},
		{"no boards", board, leg, []estimate.OnHand{byOwner(board, int64(48*in), 0)}, `by owner, 4 pieces, 20'-0" in total short`},
	} {
		j := job()
		j.OnHand, j.SpareBoards = c.rows, 1
		items := estimate.NewItems([]estimate.Item{screws, board})
		offers := []Offer{line(2, "Yard A", screws, "100 each", 1000), line(3, "Yard A", board, "16 ft", 1600)}
		p := made(j, items, c.takeoff, offers, nil)
		require.Len(t, p.Purchases, 1, c.why)
		b := p.Purchases[0]
		assert.Equal(t, c.state, b.Owner.State(), c.why)
		assert.Empty(t, b.Lines, c.why)
		assert.Zero(t, b.ToBuy, c.why)
		assert.Zero(t, p.Materials, c.why)
		assert.Empty(t, p.Unpriced(), "%s: no price is missing", c.why)
		assert.Empty(t, p.Problems, c.why)
		warned := OwnerProblems(p, nil)
		assert.Len(t, warned, min(1, len(c.state)-len(ByOwner)), c.why)
		for _, w := range warned {
			assert.Equal(t, estimate.Warning, w.Severity, c.why)
		}
		for _, plan := range b.Plans {
			for _, board := range plan.Plan.Boards {
				assert.True(t, plan.OnHand(board), c.why)
			}
		}
	}
}

// A piece that has to be spliced is short whole where one of its parts has no board: of
// 200 in on boards of 120 in two are needed, and there is one. Source: arithmetic.
func TestSplicedByOwner(t *testing.T) {
	spliced := board
	spliced.Joint = estimate.JointForced
	for _, c := range []struct {
		boards int64
		state  string
	}{{2, "by owner"}, {1, `by owner, 1 piece, 16'-8" in total short`}} {
		j := job()
		j.ShortestJoined, j.MinPart = 96*in, 12*in
		j.OnHand = []estimate.OnHand{byOwner(spliced, int64(120*in), c.boards)}
		p := made(j, estimate.NewItems([]estimate.Item{spliced}), need1(1, pieces(spliced, "head", 1, 200*in)), nil, nil)
		assert.Equal(t, c.state, p.Purchases[0].Owner.State())
	}
}

// Packs that do not keep are counted: for 4 openings 2 cans are opened, and there is one
// large enough for all. Source: arithmetic.
func TestPacksThatDoNotKeepByOwner(t *testing.T) {
	once := screws
	once.Openings = 2
	j := job()
	j.OnHand = []estimate.OnHand{byOwner(once, 1000, 1)}
	p := made(j, estimate.NewItems([]estimate.Item{once}), need1(4, amount(once, 10)), nil, nil)
	assert.Equal(t, "by owner, 1 pack short", p.Purchases[0].Owner.State())
}

// What is left is not bought either, and what was bought before counts: 300 screws are
// needed, 100 were bought, he brings 100. Source: arithmetic.
func TestByOwnerLater(t *testing.T) {
	q := amount(screws, 100)
	q.Phase = estimate.PhaseInstall
	l := lifeOf{estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws})}, need1(3, q),
		Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 1000)}}}
	l.book.Job.Purchases = []estimate.Bought{{State: estimate.BuyPlaced, Item: screws.Key, Pack: "100 each", Amount: 100, Count: estimate.Given[int64](1)}}
	l.book.Job.OnHand = []estimate.OnHand{byOwner(screws, 100, 1)}
	rest := l.remain()
	require.NotNil(t, rest)
	assert.Empty(t, rest.Plan.Orders)
	plan := Make(l.book, l.takeoff, l.lists)
	assert.Equal(t, "by owner, 100 pieces short", OwnerOf(plan, rest, screws.Key).State(), "of what is left, what was bought is there")
	assert.Equal(t, "by owner, 200 pieces short", OwnerOf(plan, nil, screws.Key).State())
	l.takeoff.Openings[0].Status = estimate.StatusFinished
	assert.Equal(t, "by owner", OwnerOf(plan, l.remain(), screws.Key).State(), "nothing is left to do")

	l.book.Job.OnHand[0].Counted = estimate.Given(measure.Date(20_000))
	l.takeoff.Openings[0].Status = ""
	assert.Equal(t, "by owner, 200 pieces short", OwnerOf(plan, l.remain(), screws.Key).State(), "a count is all there is")
}

// Nothing of an item by owner is on any order: of the whole job, of what is left, and of
// an estimate that is followed, over jobs by chance.
func TestByOwnerIsNeverOrdered(t *testing.T) {
	r := rand.New(rand.NewSource(31))
	owned, bought := 0, 0
	for range 250 {
		j, items, takeoff, offers := randomJob(r)
		for _, it := range items.List() {
			if r.Intn(3) == 0 {
				j.OnHand = append(j.OnHand, byOwner(it, int64(1+r.Intn(4))*int64(feet(6)), int64(r.Intn(4)-1)))
			}
		}
		before := made(estimate.Job{}, items, takeoff, offers, nil)
		for _, b := range before.Purchases {
			if len(b.Lines) > 0 && r.Intn(3) == 0 {
				l := b.Lines[0]
				j.Purchases = append(j.Purchases, estimate.Bought{State: estimate.BuyPlaced, Supplier: l.Offer.Supplier, Item: b.Item.Key, Pack: l.Offer.Content,
					Amount: l.Offer.Amount, Count: estimate.Given[int64](1)})
			}
		}
		if len(takeoff.Openings) > 1 && r.Intn(2) == 0 {
			takeoff.Openings[0].Status = estimate.StatusSet
		}
		book, lists := estimate.Book{Job: j, Items: items}, Lists{Offers: offers}
		plan := Make(book, takeoff, lists)
		plans := []Plan{plan, Follow(book, takeoff, lists, plannedOf(before))}
		if rest := Remain(book, takeoff, lists, plan.Problems); rest != nil {
			plans = append(plans, rest.Plan)
		}
		for _, p := range plans {
			together := Consolidate([]Ordering{{Name: "A", Book: book, Takeoff: takeoff, Lists: lists, Plan: p}}, nil, true)
			for _, o := range together.Orders {
				for _, l := range o.Lines {
					assert.False(t, j.OwnerBrings(l.Item.Key), "%s is by owner", l.Item.Key)
					bought++
				}
			}
			for _, m := range together.Missing {
				assert.False(t, j.OwnerBrings(m.Item), "%s is missing on no order", m.Item)
			}
			for _, b := range p.Purchases {
				assert.Equal(t, j.OwnerBrings(b.Item.Key), b.Owner != nil, b.Item.Key)
				if b.Owner != nil {
					owned++
					assert.Zero(t, b.Cost)
				}
			}
		}
	}
	assert.Greater(t, owned, 500)
	assert.Greater(t, bought, 500)
}

// plannedOf returns the lines of an estimate as they are read back.
func plannedOf(p Plan) (list []Planned) {
	for _, b := range p.Purchases {
		for _, l := range b.Lines {
			list = append(list, Planned{Item: b.Item.Key, Supplier: b.Supplier, Key: l.Key(), Computed: estimate.Given(l.Computed), For: b.Fingerprint, State: b.State})
		}
		if len(b.Lines) == 0 {
			list = append(list, Planned{Item: b.Item.Key, For: b.Fingerprint, State: b.State})
		}
	}
	return slices.Clip(list)
}

// More of an item by owner is not bought in a revision. Source: arithmetic.
func TestByOwnerIsNotToppedUp(t *testing.T) {
	j := job()
	j.OnHand = []estimate.OnHand{byOwner(screws, 0, -1)}
	takeoff := need1(1, amount(screws, 250))
	book := estimate.Book{Job: j, Items: estimate.NewItems([]estimate.Item{screws})}
	needs := ItemNeeds(book, &takeoff, Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 1000)}})
	more := needs[0].TopUp("Yard A", []Stock{{Amount: 100, Count: 1}})
	assert.Empty(t, more.Lines)
	assert.Equal(t, ByOwner, more.State)
	assert.Empty(t, needs[0].TopUp("Yard A", []Stock{{Amount: 100, Count: 3}}).State)
}
