package main

import (
	"fmt"
	"math/rand"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
	"sillwright/templates"
)

// What must stay when a schedule is written in another way. Every house is
// read from a file and priced; every 25th goes through the whole program.

// seeds is how many houses are made, tried how many of them are priced.
const seeds, tried = 100, 35

// trial is a house, and the job that it is.
type trial struct {
	house
	r     *rand.Rand
	dir   string // its own, so that houses are tried at the same time
	job   *job
	whole bool // through the whole program too
}

// tallies count what the houses had to show, so that no property holds for
// want of a case.
type tallies struct{ joined, compared, cheaper atomic.Int64 }

func TestHouses(t *testing.T) {
	inTemp(t)
	var n tallies
	t.Run("each", func(t *testing.T) { // which waits for all
		for seed := range int64(tried) {
			t.Run(fmt.Sprintf("house %d", seed), func(t *testing.T) {
				t.Parallel()
				tr := trial{house: newHouse(seed), r: rand.New(rand.NewSource(seed)), dir: fmt.Sprintf("%d/", seed), whole: seed%25 == 0}
				tr.job = tr.priced(t, tr.house, inches)
				for _, property := range []struct {
					name  string
					holds func(trial, *testing.T, *tallies)
				}{
					{"is estimated", trial.isEstimated},
					{"Qty 2 is two rows", trial.qtyTwoIsTwoRows},
					{"millimeters are inches", trial.millimetersAreInches},
					{"the order of rows is nothing", trial.orderIsNothing},
					{"one more offer never costs more", trial.oneMoreOffer},
				} {
					t.Run(property.name, func(t *testing.T) { property.holds(tr, t, &n) })
				}
			})
		}
	})
	assert.Positive(t, n.joined.Load(), "some houses have a window that no board goes over")
	assert.Greater(t, n.compared.Load(), int64(40))
	assert.Greater(t, n.cheaper.Load(), int64(10), "some offers are worth taking")
}

// priced reads the schedule of a house, or of what it was made into, and prices it.
func (tr trial) priced(t *testing.T, h house, length func(halves) string, prices ...string) *job {
	t.Helper()
	write(t, tr.dir+"house.csv", h.csv(t, length))
	j, problems := load(tr.dir+"house.csv", prices)
	require.NotNil(t, j, "%v", problems)
	return j
}

// estimated puts a schedule through the whole program.
func estimated(t *testing.T, schedule string) (ran, writtenBook) {
	t.Helper()
	r := sillwright("estimate", schedule, "--force")
	return r, open(t, strings.TrimSuffix(schedule, filepath.Ext(schedule))+outputEnding)
}

// purchases returns what a job buys, without the rows that need it.
func (j *job) purchases() []string {
	var out []string
	for _, p := range j.plan.Purchases {
		line := fmt.Sprintf("%s need %d to buy %d spares %d cost %d used %d %s", p.Item.Key, p.Need, p.ToBuy, p.Spares, p.Cost, p.Used, p.State)
		for _, l := range p.Lines {
			line += fmt.Sprintf("; %d of %s", l.Count(), l.Key())
		}
		out = append(out, line)
	}
	return out
}

// byMark returns what the materials of each mark cost.
func (j *job) byMark() map[string]measure.Money {
	out := map[string]measure.Money{}
	for i, r := range j.takeoff.Requirements {
		out[j.takeoff.Openings[r.Opening].Mark] += j.plan.Share[i]
	}
	return out
}

// byMark returns what the materials of each mark cost, as By opening shows.
func (b writtenBook) byMark() map[string]measure.Money {
	out := map[string]measure.Money{}
	for _, row := range b.table("By opening", "Mark", "Kind", "Materials") {
		if row["Kind"] != "" {
			out[row["Mark"]] = cents(b.t, row["Materials"])
		}
	}
	return out
}

// isEstimated wants every opening in the estimate and no error; boards that no
// stock is long enough for are joined, each said by its mark.
func (tr trial) isEstimated(t *testing.T, n *tallies) {
	j := tr.job
	require.Len(t, j.takeoff.Openings, len(tr.house), "%v", j.problems)
	for _, p := range j.problems {
		assert.NotEqual(t, estimate.Error, p.Severity, p.String())
		if !joined(p) {
			continue
		}
		n.joined.Add(1)
		mark, what, _ := strings.Cut(p.What, ": ")
		at := slices.IndexFunc(tr.house, func(row houseRow) bool { return row.words["Mark"] == mark })
		assert.Equal(t, at+2, p.Place.Row, p.String())
		assert.Contains(t, what, "is longer than any stock of")
	}
	assert.Equal(t, len(j.plan.Unpriced()) > 0, estimate.Errors(j.problems) > 0, "%v", j.problems)
	if tr.whole {
		r, b := estimated(t, tr.dir+"house.csv")
		assert.Equal(t, map[bool]int{true: exitOK, false: exitIncomplete}[j.complete()], r.code, r.stderr)
		assert.Equal(t, j.plan.Bid.Total, b.amount("Summary", "Total", "Amount"))
	}
}

// qtyTwoIsTwoRows writes some marks twice instead of giving them Qty 2.
func (tr trial) qtyTwoIsTwoRows(t *testing.T, _ *tallies) {
	double, rows := tr.house.copy(), tr.house.copy()
	for i := len(tr.house) - 1; i >= 0; i-- { // from the end: the rows before stay where they are
		if tr.r.Intn(3) > 0 && i > 0 {
			continue
		}
		double[i].words["Qty"] = "2"
		mark := double[i].words["Mark"]
		twins := append(tr.house[i:i+1].copy(), tr.house[i:i+1].copy()...)
		twins[0].words["Mark"], twins[1].words["Mark"] = mark+"a", mark+"b"
		rows = slices.Replace(rows, i, i+1, twins...)
	}
	two, apart := tr.priced(t, double, inches), tr.priced(t, rows, inches)
	assert.Greater(t, len(apart.takeoff.Openings), len(two.takeoff.Openings))
	assert.Equal(t, two.purchases(), apart.purchases())
	assert.Equal(t, two.plan.Materials, apart.plan.Materials)
	assert.Equal(t, two.plan.Bid.Total, apart.plan.Bid.Total)
	together := map[string]measure.Money{}
	for mark, cost := range apart.byMark() {
		together[strings.TrimRight(mark, "ab")] += cost
	}
	assert.Equal(t, two.byMark(), together, "what the mark costs is what its two rows cost")
}

// millimetersAreInches writes every length in millimeters.
func (tr trial) millimetersAreInches(t *testing.T, _ *tallies) {
	mm := tr.priced(t, tr.house, millimetersWithUnit)
	assert.Equal(t, tr.job.purchases(), mm.purchases())
	assert.Equal(t, tr.job.plan.Share, mm.plan.Share)
	assert.Equal(t, tr.job.plan.Bid, mm.plan.Bid)
	if !tr.whole {
		return
	}
	// A job in millimeters: bare numbers in the schedule, everything shown in mm.
	data, err := folderSchedule(fstest.MapFS{
		"house/Openings.csv": {Data: []byte(tr.csv(t, millimeters))},
		"house/Job.csv":      {Data: []byte("Key,Value\nunits,mm\n")},
	}, "house")
	require.NoError(t, err)
	write(t, tr.dir+"house.xlsx", string(data))
	_, b := estimated(t, tr.dir+"house.xlsx")
	assert.Equal(t, tr.job.plan.Bid.Total, b.amount("Summary", "Total", "Amount"))
	assert.Equal(t, tr.job.byMark(), b.byMark())
}

// orderIsNothing shuffles the rows.
func (tr trial) orderIsNothing(t *testing.T, _ *tallies) {
	shuffled := tr.house.copy()
	tr.r.Shuffle(len(shuffled), func(i, k int) { shuffled[i], shuffled[k] = shuffled[k], shuffled[i] })
	other := tr.priced(t, shuffled, inches)
	assert.Equal(t, tr.job.purchases(), other.purchases())
	assert.Equal(t, tr.job.plan.Share, other.plan.Share)
	assert.Equal(t, tr.job.byMark(), other.byMark())
	assert.Equal(t, tr.job.plan.Bid, other.plan.Bid)
	if tr.whole {
		_, b := estimated(t, tr.dir+"house.csv")
		assert.Equal(t, tr.job.byMark(), b.byMark())
	}
}

// oneMoreOffer adds shipped lines at other prices to the price list, one after
// the other, of their own supplier or of a new one.
func (tr trial) oneMoreOffer(t *testing.T, n *tallies) {
	list := strings.Split(strings.TrimSpace(string(templates.Prices)), "\n")
	before := tr.job.split()
	for range 2 {
		offer := changed(t, tr.r, list[1+tr.r.Intn(len(list)-1)])
		list = append(list, offer)
		write(t, tr.dir+"prices.csv", strings.Join(list, "\n"))
		after := tr.priced(t, tr.house, inches, tr.dir+"prices.csv").split()
		// What is not bought can only get dearer, and boards that need no joint
		// any more may.
		if len(before.plan.Unpriced()) == 0 && !slices.ContainsFunc(before.problems, joined) {
			assert.Empty(t, after.plan.Unpriced())
			assert.LessOrEqual(t, after.plan.Materials, before.plan.Materials, offer)
			for i, p := range after.plan.Purchases {
				assert.LessOrEqual(t, p.Cost, before.plan.Purchases[i].Cost, "%s: %s", p.Item.Key, offer)
			}
			n.compared.Add(1)
			if after.plan.Materials < before.plan.Materials {
				n.cheaper.Add(1)
			}
		}
		before = after
	}
}

// split is the job at its best split: where stops are saved, an offer may make
// one needless and its items dearer.
func (j *job) split() *job {
	out := *j
	book := out.schedule.Book
	book.Job.MinSaving = estimate.Given(measure.Money(0))
	out.plan = pricing.Make(book, out.takeoff, out.lists)
	return &out
}

// joined reports whether a problem says that a board is joined.
func joined(p estimate.Problem) bool { return strings.Contains(p.What, "is spliced at") }

// changed returns a line of a price list at 40 to 119 % of its price.
func changed(t *testing.T, r *rand.Rand, line string) string {
	t.Helper()
	fields := strings.Split(line, ",")
	k := slices.Index(fields, "USD") - 1
	price, err := measure.ParseUnitPrice(fields[k])
	require.NoError(t, err)
	fields[k] = (price * measure.UnitPrice(40+r.Intn(80)) / 100).String()
	fields[2] = "new"
	if r.Intn(2) == 0 {
		fields[0] = "New Yard (invented)"
	}
	return strings.Join(fields, ",")
}
