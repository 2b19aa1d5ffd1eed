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

// placed returns what a plan buys as lines of Purchases.
func placed(p Plan) (out []estimate.Bought) {
	for _, b := range p.Purchases {
		for _, l := range b.Lines {
			out = append(out, estimate.Bought{State: estimate.BuyPlaced, Supplier: l.Offer.Supplier, Order: "1", Item: l.Offer.Item, Code: l.Offer.Code,
				Pack: l.Offer.Content, Amount: l.Offer.Amount, Count: estimate.Given(l.Count()), Price: estimate.Given(l.Offer.Price)})
		}
	}
	return out
}

// lifeOf is a job whose work goes on.
type lifeOf struct {
	book    estimate.Book
	takeoff estimate.Takeoff
	lists   Lists
}

func (l *lifeOf) remain() *Remaining { return Remain(l.book, l.takeoff, l.lists, nil) }

// buys returns how many packs and pieces of stock are still to buy.
func (l *lifeOf) buys() (n int64) {
	r := l.remain()
	if r == nil {
		return -1
	}
	for _, p := range r.Plan.Purchases {
		for _, x := range p.Lines {
			n += x.Count()
		}
	}
	return n
}

// order places all that is still to buy.
func (l *lifeOf) order() {
	plan := Make(l.book, l.takeoff, l.lists)
	if r := l.remain(); r != nil {
		plan = r.Plan
	}
	l.book.Job.Purchases = append(l.book.Job.Purchases, placed(plan)...)
}

// work lets the work at some openings of some marks go on.
func (l *lifeOf) work(r *rand.Rand) {
	l.takeoff.Openings = slices.Clone(l.takeoff.Openings)
	for i := range l.takeoff.Openings {
		o := &l.takeoff.Openings[i]
		left := o.Qty
		o.Stages = nil
		for _, s := range []estimate.Status{estimate.StatusFinished, estimate.StatusHung, estimate.StatusCut, estimate.StatusSet} {
			if n := r.Int63n(left + 1); n > 0 {
				o.Stages = append(o.Stages, estimate.Stage{Status: s, Count: n})
				left -= n
			}
		}
		if problems := o.InStages(); len(problems) > 0 {
			panic(problems)
		}
	}
}

// whole reports whether a pack of a line can be whole: none of an item that is cut is
// done, or the rest was enough for what is.
func (l *lifeOf) whole(b estimate.Bought) bool {
	for _, x := range l.remain().Items {
		if x.Item.Key == b.Item {
			return x.Done == 0 || !x.Item.Cut && x.Done+b.Amount <= x.Bought
		}
	}
	return false
}

// randomLife is a random job whose requirements are of random phases.
func randomLife(r *rand.Rand) lifeOf {
	j, items, takeoff, offers := randomJob(r)
	for i := range takeoff.Requirements {
		takeoff.Requirements[i].Phase = estimate.Phases[r.Intn(len(estimate.Phases))]
	}
	return lifeOf{estimate.Book{Job: j, Items: items}, takeoff, Lists{Offers: offers}}
}

// Once everything is ordered, nothing is to be bought, however far the work is; what is
// broken is bought again, and nothing beside it; and another opening brings its own needs.
func TestNothingIsBoughtTwice(t *testing.T) {
	r := rand.New(rand.NewSource(22))
	tried, broken := 0, 0
	for range 250 {
		l := randomLife(r)
		assert.Nil(t, l.remain(), "nothing is bought and nothing is done")
		if l.order(); len(l.book.Job.Purchases) == 0 {
			continue
		}
		tried++
		require.Zero(t, l.buys(), "all is bought")
		for range 3 {
			l.work(r)
			require.Zero(t, l.buys(), "however far the work is")
		}
		// What is lost was whole: no more of its item was used than the rest of it.
		if b := &l.book.Job.Purchases[r.Intn(len(l.book.Job.Purchases))]; b.There() > 0 && l.whole(*b) {
			b.Lost = estimate.Given(int64(1))
			if l.buys() > 0 {
				broken++
			}
			l.order()
			require.Zero(t, l.buys(), "what was broken is bought again, once")
		}
		o := &l.takeoff.Openings[0]
		if o.Stages == nil {
			o.Stages = []estimate.Stage{{Status: o.Status, Count: o.Qty}}
		}
		o.Qty++
		require.Empty(t, o.InStages())
		l.order()
		require.Zero(t, l.buys(), "another opening is bought for, once")
		l.covers(t)
	}
	assert.Greater(t, tried, 150)
	assert.Greater(t, broken, 30)
}

// covers holds what there is of each item against what all of the job needs. Source:
// arithmetic, apart from the plans: the amounts of the takeoff, with waste, are no more
// than what was bought and is not lost.
func (l *lifeOf) covers(t *testing.T) {
	need, there := map[string]int64{}, map[string]int64{}
	for _, q := range l.takeoff.Requirements {
		it, _ := l.book.Items.Get(q.Item)
		if !it.Cut {
			need[q.Item] += q.Amount * l.takeoff.Openings[q.Opening].Qty
		}
	}
	for _, b := range l.book.Job.Purchases {
		there[b.Item] += b.There() * b.Amount
	}
	whole := l.book
	whole.Job.Purchases, whole.Job.OnHand = nil, nil
	for _, p := range Make(whole, l.takeoff, l.lists).Purchases {
		if p.State != "" {
			delete(need, p.Item.Key) // it cannot be bought, or not all of it
		}
	}
	for item, n := range need {
		it, _ := l.book.Items.Get(item)
		if len(usableOf(l, item)) > 0 {
			assert.GreaterOrEqual(t, there[item]+1000, n+n*int64(l.book.Job.Allowance[it.Allowance])/int64(measure.One), item)
		}
	}
}

func usableOf(l *lifeOf, item string) (list []Offer) {
	for _, o := range l.lists.Offers {
		if o.Item == item {
			list = append(list, o)
		}
	}
	return list
}

// Two windows of 100 screws each, packs of 100. Source: arithmetic.
func TestRemain(t *testing.T) {
	of := func(change func(*lifeOf)) []ItemLeft {
		q := amount(screws, 100)
		q.Phase = estimate.PhaseInstall
		l := lifeOf{estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws})}, need1(2, q), Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 1000)}}}
		l.order() // two packs
		change(&l)
		r := l.remain()
		require.NotNil(t, r)
		for _, p := range r.Plan.Purchases {
			for _, x := range p.Lines {
				assert.Equal(t, "100 each", x.Offer.Content)
			}
		}
		return r.Items
	}
	toBuy := func(change func(*lifeOf)) (n int64) {
		q := amount(screws, 100)
		q.Phase = estimate.PhaseInstall
		l := lifeOf{estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws})}, need1(2, q), Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 1000)}}}
		l.order()
		change(&l)
		return l.buys()
	}
	set := func(n int64) func(*lifeOf) {
		return func(l *lifeOf) {
			l.takeoff.Openings[0].Stages = []estimate.Stage{{Status: estimate.StatusSet, Count: n}}
			l.takeoff.Openings[0].InStages()
		}
	}
	assert.Equal(t, []ItemLeft{{Item: screws, Need: 200, Done: 0, Bought: 200}}, of(func(*lifeOf) {}))
	assert.Equal(t, []ItemLeft{{Item: screws, Need: 200, Done: 100, Bought: 200}}, of(set(1)))
	for _, c := range []struct {
		why    string
		change func(*lifeOf)
		want   int64
	}{
		{"all is there", func(*lifeOf) {}, 0},
		{"a draft is not bought", func(l *lifeOf) { l.book.Job.Purchases[0].State = estimate.BuyDraft; set(0)(l) }, 2},
		{"one pack is short", func(l *lifeOf) {
			l.book.Job.Purchases[0].State, l.book.Job.Purchases[0].Received = estimate.BuyReceived, estimate.Given(int64(1))
		}, 1},
		{"back-ordered is still to come", func(l *lifeOf) {
			l.book.Job.Purchases[0].State, l.book.Job.Purchases[0].Received = estimate.BuyBackOrdered, estimate.Given(int64(1))
		}, 0},
		{"one was lost after one window was set", func(l *lifeOf) { set(1)(l); l.book.Job.Purchases[0].Lost = estimate.Given(int64(1)) }, 1},
		{"all is set: nothing is needed, whatever was lost", func(l *lifeOf) { set(2)(l); l.book.Job.Purchases[0].Lost = estimate.Given(int64(2)) }, 0},
		{"counted: 30 are left of all", func(l *lifeOf) {
			set(1)(l)
			l.book.Job.OnHand = []estimate.OnHand{{Item: screws.Key, Amount: 30, Count: 1, Counted: estimate.Given(measure.Date(20_000))}}
		}, 1},
		{"counted before the order came", func(l *lifeOf) {
			set(1)(l)
			l.book.Job.OnHand = []estimate.OnHand{{Item: screws.Key, Amount: 30, Count: 1, Counted: estimate.Given(measure.Date(20_000))}}
			l.book.Job.Purchases[0].Date = estimate.Given(measure.Date(20_001))
		}, 0},
		{"80 more were there before: of 300 needed 280 are there", func(l *lifeOf) {
			l.takeoff.Openings[0].Qty = 3
			l.book.Job.OnHand = []estimate.OnHand{{Item: screws.Key, Amount: 80, Count: 1}}
		}, 1},
		{"100 more were there before", func(l *lifeOf) {
			l.takeoff.Openings[0].Qty = 3
			l.book.Job.OnHand = []estimate.OnHand{{Item: screws.Key, Amount: 100, Count: 1}}
		}, 0},
		{"what was set before the first order came from elsewhere", func(l *lifeOf) {
			l.takeoff.Openings[0].Qty = 3
			set(1)(l)
			l.book.Job.Purchases[0].Before = []estimate.Progress{{Mark: l.takeoff.Openings[0].Mark, Stages: []estimate.Stage{{Status: estimate.StatusSet, Count: 1}}}}
		}, 0},
		{"five packs typed for the job, two are bought", func(l *lifeOf) {
			l.takeoff.Openings[0].Qty = 3
			l.lists.Overrides = Overrides{"screw|Yard A|100 each": 5}
		}, 3},
	} {
		assert.Equal(t, c.want, toBuy(c.change), c.why)
	}
}

// An on hand pack is taken off before any is bought, in the bid too. Source: arithmetic.
func TestPacksOnHand(t *testing.T) {
	j := job()
	j.OnHand = []estimate.OnHand{{Item: screws.Key, Amount: 60, Count: 2}}
	p := made(j, estimate.NewItems([]estimate.Item{screws}), need1(1, amount(screws, 250)), []Offer{line(2, "Yard A", screws, "100 each", 1000)}, nil)
	require.Len(t, p.Purchases, 1)
	assert.Equal(t, []int64{250, 130, 120, 2}, []int64{p.Purchases[0].Need, p.Purchases[0].ToBuy, p.Purchases[0].OnHand, p.Purchases[0].Lines[0].Count()})
	j.OnHand[0].Count = 5
	p = made(j, estimate.NewItems([]estimate.Item{screws}), need1(1, amount(screws, 250)), nil, nil)
	assert.Equal(t, []string{""}, []string{p.Purchases[0].State}, "all is on hand: no price is missing")
}

// What a smaller job leaves whole: of 200 screws 100 are needed, one pack of two; of two
// boards of 8 ft for two pieces of 60 in one is cut. Source: arithmetic.
func TestLeftWhole(t *testing.T) {
	q, p := amount(screws, 100), pieces(board, "leg", 1, 60*in)
	q.Phase, p.Phase = estimate.PhaseInstall, estimate.PhaseShop
	l := lifeOf{estimate.Book{Job: job(), Items: estimate.NewItems([]estimate.Item{screws, board})}, need1(2, q, p),
		Lists{Offers: []Offer{line(2, "Yard A", screws, "100 each", 1000), line(3, "Yard A", board, "8 ft", 800)}}}
	l.order()
	for i := range l.book.Job.Purchases {
		l.book.Job.Purchases[i].Place.Row = i + 2
	}
	require.NotNil(t, l.remain())
	assert.Empty(t, l.remain().Whole)
	l.takeoff.Openings[0].Qty = 1
	whole := map[string]int64{}
	for _, w := range l.remain().Whole {
		whole[w.Item] = w.Count
	}
	assert.Equal(t, map[string]int64{"screw": 1, "board-1x4": 1}, whole)
	l.takeoff.Openings[0].Status = estimate.StatusFinished
	whole = map[string]int64{}
	for _, w := range l.remain().Whole {
		whole[w.Item] = w.Count
	}
	assert.Equal(t, map[string]int64{"screw": 1, "board-1x4": 1}, whole, "when all is done too")
}
