package compare

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
)

// randomRates are the rates of a job made by chance.
func randomRates(r *rand.Rand, j *estimate.Job) {
	pick := func(most int64) measure.Rate { return measure.Rate(r.Int64N(most+1) * 1000) }
	j.Tax, j.Overhead, j.Contingency, j.Profit = pick(99), pick(150), pick(80), pick(250)
	j.Margin, j.TaxUnits, j.TaxDelivery = r.IntN(2) == 0, r.IntN(2) == 0, r.IntN(2) == 0
	if r.IntN(2) == 0 {
		j.LaborRate = estimate.Given(measure.Money(2000 + r.Int64N(6000)))
	}
	if r.IntN(3) == 0 {
		j.Costs = []estimate.CostLine{{Text: "lift", Count: estimate.Given(1 + r.Int64N(3)),
			Price: estimate.Given(measure.UnitPrice(r.Int64N(900_0000))), Taxable: r.IntN(2) == 0}}
	}
}

// randomLegs are the marks of a job made by chance; some of the later job are those of
// the earlier one.
func randomLegs(r *rand.Rand, before []leg) []leg {
	var out []leg
	for i := range 2 + r.IntN(5) {
		l := leg{fmt.Sprintf("W%d", i+1), 1 + r.Int64N(4), measure.Length(20+r.IntN(60)) * in, "", ""}
		if i < len(before) && r.IntN(2) == 0 {
			l.qty, l.length, l.status = before[i].qty, before[i].length, before[i].status
		}
		if r.IntN(3) == 0 {
			l.status = "cut"
		}
		if r.IntN(6) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// randomSide is a job made by chance: windows of builder, installer and owner, hours of
// two tasks, delivery fees.
func randomSide(r *rand.Rand, legs []leg) Side {
	s := legged(legs...)
	randomRates(r, &s.Book.Job)
	for i := range s.Takeoff.Openings {
		o := &s.Takeoff.Openings[i]
		o.Units = 1
		o.FurnishedBy = []estimate.FurnishedBy{estimate.ByBuilder, estimate.ByInstaller, estimate.ByOwner}[r.IntN(3)]
		if r.IntN(5) > 0 {
			o.UnitCost = estimate.Given(measure.Money(r.Int64N(90_000)))
		}
	}
	if s.Book.Job.LaborRate.Set {
		s.Book.Labor = []estimate.LaborTask{
			{Task: "set", Kind: estimate.Window, Per: "opening", Hours: estimate.Given(estimate.Hours(r.Int64N(40_000)))},
			{Task: "trim", Kind: estimate.Window, Per: "foot", Hours: estimate.Given(estimate.Hours(r.Int64N(3_000)))},
		}
	}
	s.Lists.Terms = []pricing.Terms{{Supplier: "Yard A", DeliveryFee: estimate.Given(measure.Money(r.Int64N(9_000)))}}
	s.Plan = pricing.Make(s.Book, s.Takeoff, s.Lists)
	return s
}

// roundCents rounds half away from zero, in rational numbers.
func roundCents(x *big.Rat) measure.Money {
	twice := new(big.Rat).Mul(x, big.NewRat(2, 1))
	half := big.NewRat(1, 1)
	if x.Sign() < 0 {
		half = big.NewRat(-1, 1)
	}
	twice.Add(twice, half)
	return measure.Money(new(big.Int).Quo(twice.Num(), new(big.Int).Mul(twice.Denom(), big.NewInt(2))).Int64())
}

func times(m measure.Money, r measure.Rate) *big.Rat {
	return new(big.Rat).Mul(big.NewRat(int64(m), 1), big.NewRat(int64(r), 1_000_000))
}

// borne says what each mark bears, from what the estimate shows of it: the shares of
// Takeoff, the unit cost, quantity and size, and the hours and rates of the job.
func borne(s Side) map[string]Amounts {
	out := map[string]Amounts{}
	job := s.Book.Job
	for i, o := range s.Takeoff.Openings {
		var a Amounts
		for k, q := range s.Takeoff.Requirements {
			if q.Opening == i {
				a.Materials += s.Plan.Share[k]
			}
		}
		taxed := a.Materials
		if o.FurnishedBy != estimate.ByOwner && o.UnitCost.Set {
			a.Units = o.UnitCost.V * measure.Money(o.Qty)
			if o.FurnishedBy == estimate.ByBuilder && job.TaxUnits {
				taxed += a.Units
			}
		}
		for _, task := range s.Book.Labor {
			each := big.NewRat(1, 1)
			if task.Per == "foot" {
				each = big.NewRat(2*int64(o.Frame.W+o.Frame.H), int64(measure.Foot))
			}
			hours := new(big.Rat).Mul(each, big.NewRat(o.Qty*int64(task.Hours.V), 10_000))
			a.Labor += roundCents(new(big.Rat).Mul(fourPlaces(hours), big.NewRat(int64(job.LaborRate.V), 1)))
		}
		a.Tax = roundCents(times(taxed, job.Tax))
		direct := a.Materials + a.Units + a.Labor + a.Tax
		overhead := roundCents(times(direct, job.Overhead))
		contingency := roundCents(times(direct+overhead, job.Contingency))
		price := direct + overhead + contingency
		if job.Margin {
			price = roundCents(new(big.Rat).Quo(big.NewRat(int64(price), 1), big.NewRat(int64(1_000_000-job.Profit), 1_000_000)))
		} else {
			price += roundCents(times(price, job.Profit))
		}
		a.Markup = price - direct
		out[o.Mark] = a
	}
	return out
}

// lacksUnit reports whether a unit of a mark belongs in the price and has no cost.
func lacksUnit(s Side, mark string) bool {
	return slices.ContainsFunc(s.Takeoff.Openings, func(o estimate.Sized) bool {
		return o.Mark == mark && o.FurnishedBy != estimate.ByOwner && !o.UnitCost.Set
	})
}

// fourPlaces rounds hours as the sheet shows them.
func fourPlaces(x *big.Rat) *big.Rat {
	return big.NewRat(int64(roundCents(new(big.Rat).Mul(x, big.NewRat(10_000, 1)))), 10_000)
}

// The changes of the marks are what the two estimates show, and with the rest they are
// the difference of the two bids, column by column, to the cent.
func TestChangeFoots(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	changed, cut, surplus := 0, 0, 0
	for n := range 300 {
		legs := randomLegs(r, nil)
		was := randomSide(r, legs)
		now := randomSide(r, randomLegs(r, legs))
		if r.IntN(3) == 0 {
			now.Book.Job, now.Book.Labor = was.Book.Job, was.Book.Labor
			now.Plan = pricing.Make(now.Book, now.Takeoff, now.Lists)
		}
		revision := Revise(was, now)
		got := ChangeOf(was, now, revision)
		before, after := borne(was), borne(now)
		var sum Amounts
		for _, m := range got.Marks {
			require.Equal(t, after[m.Mark].Less(before[m.Mark]), m.Change, "job %d, %s", n, m.Mark)
			_, known := before[m.Mark]
			require.Equal(t, known, m.Before)
			require.Equal(t, lacksUnit(was, m.Mark) || lacksUnit(now, m.Mark), m.NoUnit)
			sum = sum.Plus(m.Change)
			changed++
			cut += int(m.Cut.Pieces)
		}
		surplus += len(got.Surplus)
		rest := map[string]Amounts{}
		for _, x := range got.Rest {
			sum = sum.Plus(x.Change)
			rest[x.What] = x.Change
		}
		a, b := was.Plan.Bid, now.Plan.Bid
		require.Equal(t, Amounts{
			Materials: b.Materials - a.Materials, Units: b.Units - a.Units, Labor: b.Labor - a.Labor,
			Others: b.Delivery + b.Costs - a.Delivery - a.Costs, Tax: b.Tax - a.Tax,
			Markup: b.Overhead + b.Contingency + b.Profit - a.Overhead - a.Contingency - a.Profit,
		}, sum, "job %d", n)
		require.Equal(t, b.Total-a.Total, sum.Total())
		require.Equal(t, now.Plan.Unused-was.Plan.Unused, rest[RestSurplus].Materials)
		require.Equal(t, b.Delivery-a.Delivery, rest[RestDelivery].Others)
		require.Equal(t, b.Costs-a.Costs, rest[RestCosts].Others)
		// Each of the parts is rounded once in labor and tax; of the markup, which grows by what
		// it is taken of, three times.
		parts := measure.Money(len(before) + len(after) + 6)
		rounding := rest[RestRounding]
		for _, m := range rounding.parts() {
			require.LessOrEqual(t, max(*m, -*m), 4*parts, "job %d: %+v", n, rounding)
		}
		require.Zero(t, rounding.Materials)
		require.Zero(t, rounding.Units)
		require.Zero(t, rounding.Others)
	}
	assert.True(t, changed > 300 && cut > 100 && surplus > 20, "%d marks, %d pieces, %d lines: too few to tell", changed, cut, surplus)
}

// A mark that is cut and dropped loses its legs: two of 60 in from boards of 8 ft at 8.00
// are 120 × 8.00 / 96 in = 10.00. A mark whose pieces alone changed is listed too.
func TestChangeCutForNothing(t *testing.T) {
	was := legged(leg{"W1", 1, 60 * in, "cut", ""}, leg{"W2", 1, 48 * in, "", ""})
	now := legged(leg{"W2", 1, 48 * in, "", ""})
	got := ChangeOf(was, now, Revise(was, now))
	require.Len(t, got.Marks, 1)
	assert.Equal(t, CutLoss{Pieces: 2, Length: 120 * in, Worth: 10_00}, got.Marks[0].Cut)
	assert.Equal(t, []string{Dropped}, got.Marks[0].Sorts)

	was.Book.Job.OnHand = []estimate.OnHand{{Item: board.Key, Length: 60 * in, Count: 9}}
	was.Plan = pricing.Make(was.Book, was.Takeoff, was.Lists) // buys no board
	got = ChangeOf(was, now, Revise(was, now))
	assert.True(t, got.Marks[0].Cut.Unknown)
	assert.False(t, ChangeEntries{}.Lost(got.Marks[0]).Set)
	assert.Contains(t, strings.Join(got.Lacks(was, now, ChangeEntries{}), "\n"), "1 mark: "+NoWorth)
}

// An odd piece is of the line of its mark.
func TestChangeOddPiece(t *testing.T) {
	was := legged(leg{"W1", 2, 60 * in, "", ""})
	now := legged(leg{"W1", 1, 60 * in, "", ""}, leg{"W1 piece 2", 1, 62 * in, "", ""})
	now.Takeoff.Openings[0].Apart, now.Takeoff.Openings[1].Piece = 1, 2
	now.Plan = pricing.Make(now.Book, now.Takeoff, now.Lists)
	got := ChangeOf(was, now, Revise(was, now))
	require.Len(t, got.Marks, 1)
	assert.Equal(t, "W1", got.Marks[0].Mark)
	assert.Equal(t, now.Plan.Materials-now.Plan.Unused-was.Plan.Materials+was.Plan.Unused, got.Marks[0].Change.Materials)
}
