package learn_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
	"sillwright/pricing"
	"sillwright/pricing/learn"
)

var (
	sealant = estimate.Item{Key: "sealant", Name: "Sealant", Class: estimate.ClassSealant, Dim: estimate.Volumewise, Allowance: "sealant"}
	board   = estimate.Item{Key: "board", Name: "Board", Class: estimate.ClassBoards, Dim: estimate.Lengthwise, Cut: true}
)

const (
	tube  = 300_000_000 // nanoliters
	inch  = measure.Inch
	perLF = 24_000_000 // of bead
)

// crew is what is true of the jobs of a crew: the medians of what it takes.
type crew struct {
	waste, hours float64
	spread       float64 // of both, in logarithms
}

// job makes a job of some windows, done by the crew: what was left and worked is written
// down as people do, to a tenth of a tube and a quarter of an hour.
func (c crew) job(r *rand.Rand, n int) learn.Job {
	windows := int64(5 + r.IntN(20))
	run := measure.Length(12+r.IntN(12)) * measure.Foot
	need := estimate.Requirement{Item: "sealant", Dim: estimate.Volumewise, Amount: int64(run/measure.Foot) * perLF, Run: run, Phase: estimate.PhaseInstall}
	legs := estimate.Requirement{Item: "board", Dim: estimate.Lengthwise, Count: 2, Length: 60 * inch, Phase: estimate.PhaseShop}
	t := estimate.Takeoff{Openings: []estimate.Sized{{Opening: estimate.Opening{Mark: "W1", Kind: estimate.Window, Qty: windows, Units: 1,
		FurnishedBy: estimate.ByOwner, Status: estimate.StatusFinished, Frame: estimate.Size{W: 36 * inch, H: 60 * inch}}}},
		Requirements: []estimate.Requirement{need, legs}}
	offers := []pricing.Offer{
		{Supplier: "yard", Item: "sealant", Content: "tube", Amount: tube, Price: 70_000},
		{Supplier: "yard", Item: "board", Content: "16 ft", Amount: int64(16 * measure.Foot), Price: 200_000},
	}
	j := learn.Job{Name: fmt.Sprintf("J-%d", n), Takeoff: t, Lists: pricing.Lists{Offers: offers}}
	j.Book.Items = estimate.NewItems([]estimate.Item{sealant, board})
	j.Book.Job = estimate.Job{Allowance: map[string]measure.Rate{"sealant": 100_000}, LaborRate: estimate.Given[measure.Money](60_00),
		Date: estimate.Given(measure.Date(20_000 + n))}
	j.Book.Labor = []estimate.LaborTask{{Task: "Set", Kind: estimate.Window, Per: "opening", Phase: estimate.PhaseInstall, Hours: estimate.Given(1 * estimate.Hour)}}
	j.Plan = pricing.Make(j.Book, t, j.Lists)

	used := float64(windows*need.Amount) * (1 + c.waste*math.Exp(c.spread*r.NormFloat64()))
	bought := int64(math.Ceil(used/tube)) + int64(r.IntN(2))
	left := math.Round((float64(bought)-used/tube)*10) / 10
	job := &j.Book.Job
	job.Purchases = []estimate.Bought{
		{State: estimate.BuyReceived, Item: "sealant", Pack: "tube", Amount: tube, Count: estimate.Given(bought), Price: estimate.Given(measure.UnitPrice(70_000))},
		{State: estimate.BuyReceived, Item: "board", Pack: "16 ft", Amount: int64(16 * measure.Foot), Count: estimate.Given(windows),
			Lost: estimate.Given[int64](1), Price: estimate.Given(measure.UnitPrice(220_000))},
	}
	job.Actuals.Left = []estimate.Leftover{
		{Item: "sealant", Pack: "tube", Amount: tube, Left: estimate.Given(estimate.Packs(math.Round(left * float64(estimate.Pack))))},
		{Item: "board", Pack: "16 ft", Amount: int64(16 * measure.Foot), Left: estimate.Given[estimate.Packs](0)},
	}
	hours := float64(windows) * c.hours * math.Exp(c.spread*r.NormFloat64())
	for day := 0; hours > 0; day++ { // two persons
		today := math.Min(16, hours)
		hours -= today
		job.Actuals.Hours = append(job.Actuals.Hours, estimate.Worked{Date: estimate.Given(measure.Date(20_000 + day)), Phase: estimate.PhaseInstall,
			Time: estimate.TimeWork, Hours: estimate.Hours(math.Round(today*4) / 4 * float64(estimate.Hour))})
	}
	return j
}

func (c crew) jobs(r *rand.Rand, n int) (list []learn.Job) {
	for i := range n {
		list = append(list, c.job(r, i))
	}
	return list
}

func rate(t *testing.T, l learn.Lessons, name string) learn.Rate {
	t.Helper()
	i := slices.IndexFunc(l.Rates, func(r learn.Rate) bool { return r.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return l.Rates[i]
}

// Forty jobs of a crew that wastes 14 % and takes 1.3 h a window, 200 times: the interval
// holds the true rate as often as it says.
func TestFortyJobs(t *testing.T) {
	c := crew{waste: 0.14, hours: 1.3, spread: 0.25}
	r := rand.New(rand.NewPCG(22, 0))
	const times = 200
	for _, x := range []struct {
		name string
		true learn.Value
	}{{"Waste, sealant", 140_000}, {"Install, hours a window", 1_300_000}} {
		held, sum := 0, 0.0
		var sure measure.Rate
		for range times {
			m := rate(t, learn.Learn(c.jobs(r, 40)), x.name).Middle
			require.Equal(t, 40, m.Jobs)
			sum += float64(m.Median)
			sure = m.Sure
			if m.Low <= x.true && x.true <= m.High {
				held++
			}
		}
		mean := sum / times
		t.Logf("%s: true %d, mean of medians %.0f; the interval is %s sure, and held it %d of %d times", x.name, x.true, mean, sure, held, times)
		assert.InEpsilon(t, float64(x.true), mean, 0.02)
		assert.InDelta(t, float64(sure)*times/1e6, held, 3*math.Sqrt(times*0.04*0.96), x.name) // three standard deviations
	}
}

func TestFewJobs(t *testing.T) {
	c := crew{waste: 0.3, hours: 2, spread: 0.05}
	two := learn.Learn(c.jobs(rand.New(rand.NewPCG(1, 1)), 2))
	assert.Equal(t, "2 of 3 jobs: only shown", rate(t, two, "Waste, sealant").State())
	assert.Empty(t, two.Settings, "two jobs set nothing")

	three := learn.Learn(c.jobs(rand.New(rand.NewPCG(1, 1)), 3))
	waste := rate(t, three, "Waste, sealant")
	assert.Equal(t, "differs", waste.State())
	assert.Equal(t, measure.Rate(750_000), waste.Middle.Sure, "1 - 2/8")
	var keys []string
	for _, s := range three.Settings {
		keys = append(keys, s.Key+s.Task.Task)
	}
	assert.Equal(t, []string{"waste sealant", "Install phase, all work", "range of material", "range of hours", "range of prices"}, keys)
	var paid []float64 // boards at 22.00 for 20.00, tubes at 7.00 as estimated
	for _, j := range three.Jobs {
		tubes, boards := float64(j.Book.Job.Purchases[0].Count.V), float64(j.Book.Job.Purchases[1].Count.V)
		paid = append(paid, 100*(7*tubes+22*boards)/(7*tubes+20*boards))
	}
	slices.Sort(paid)
	assert.Equal(t, fmt.Sprintf("%.1f / %.1f / %.1f", paid[0], paid[1], paid[2]), settingOf(three, "range of prices").Value)
}

func settingOf(l learn.Lessons, key string) learn.Setting {
	i := slices.IndexFunc(l.Settings, func(s learn.Setting) bool { return s.Key == key })
	return l.Settings[i]
}

// A job whose figures are known. Source: arithmetic. 10 windows of 20 ft of bead at 24 mL
// a foot need 4.8 L; of 20 tubes of 0.3 L are left 2.5: 5.25 L were used.
func TestFiguresOfAJob(t *testing.T) {
	j := crew{waste: 0.1, hours: 1}.job(rand.New(rand.NewPCG(1, 1)), 1)
	o := &j.Takeoff.Openings[0]
	o.Qty = 10
	j.Takeoff.Requirements[0].Amount, j.Takeoff.Requirements[0].Run = 20*perLF, 20*measure.Foot
	j.Plan = pricing.Make(j.Book, j.Takeoff, j.Lists)
	job := &j.Book.Job
	job.Purchases[0].Count, job.Purchases[1].Count = estimate.Given[int64](20), estimate.Given[int64](10)
	job.Actuals.Left[0].Left = estimate.Given(25 * estimate.Pack / 10)
	job.Actuals.Hours = []estimate.Worked{
		{Date: estimate.Given[measure.Date](1), Phase: "install", Time: "work", Hours: 12 * estimate.Hour},
		{Date: estimate.Given[measure.Date](2), Phase: "install", Time: "work", Hours: 3 * estimate.Hour},
		{Date: estimate.Given[measure.Date](2), Time: "travel", Hours: 2 * estimate.Hour},
	}
	l := learn.Learn([]learn.Job{j})
	for name, want := range map[string]learn.Value{
		"Waste, sealant": 93_750, // 5.25 / 4.8 − 1
		"Sealant, packs of tube for 100 LF of bead":      8_750_000, // 17.5 tubes for 200 ft
		"Boards broken or lost, of those bought":         100_000,   // 1 of 10
		"Install, hours a window":                        1_500_000,
		"Travel, hours an opening":                       200_000,
		"Hours a day, of all persons":                    8_500_000,
		"Openings a day, of the days with install hours": 5_000_000,
		"All hours, of the estimate":                     1_700_000, // 17 of 10
		"Material in packs, of the estimate":             994_318,   // 5.25 of 4.8 and a tenth
	} {
		r := rate(t, l, name)
		if assert.True(t, r.ByJob[0].Set, "%s: %s", name, r.Why[0]) {
			assert.Equal(t, want, r.ByJob[0].V, name)
		}
	}
	assert.Equal(t, estimate.Given[learn.Value](8_800_000), rate(t, l, "Sealant, packs of tube for 100 LF of bead").Had, "4.8 L and a tenth in tubes of 0.3")

	// What nobody counted is not measured, and never taken for none.
	job.Actuals.Left[0].Left = estimate.Maybe[estimate.Packs]{}
	r := rate(t, learn.Learn([]learn.Job{j}), "Waste, sealant")
	assert.False(t, r.ByJob[0].Set)
	assert.Equal(t, "sealant: Left of tube is blank", r.Why[0])
	job.Actuals.Left[0].Left = estimate.Given[estimate.Packs](0)
	o.Status = estimate.StatusCut
	assert.True(t, rate(t, learn.Learn([]learn.Job{j}), "Waste, sealant").ByJob[0].Set, "install is done")
	assert.Equal(t, "not all is finished, by Status", rate(t, learn.Learn([]learn.Job{j}), "All hours, of the estimate").Why[0])
	o.Status = estimate.StatusOrdered
	assert.Equal(t, "sealant: not all is done, by Status", rate(t, learn.Learn([]learn.Job{j}), "Waste, sealant").Why[0])
}

// Hours of two kinds are told apart only by marks.
func TestHoursByKind(t *testing.T) {
	j := crew{waste: 0.1, hours: 1}.job(rand.New(rand.NewPCG(1, 1)), 1)
	door := j.Takeoff.Openings[0]
	door.Mark, door.Kind, door.Qty = "D1", estimate.EntryDoor, 2
	j.Takeoff.Openings[0].Qty = 10
	j.Takeoff.Openings = append(j.Takeoff.Openings, door)
	j.Book.Job.Actuals.Hours = []estimate.Worked{
		{Phase: "install", Time: "work", Hours: 12 * estimate.Hour, Marks: []string{"w1"}}, {Phase: "install", Time: "work", Hours: 6 * estimate.Hour, Marks: []string{"D1"}},
	}
	l := learn.Learn([]learn.Job{j})
	assert.Equal(t, estimate.Given[learn.Value](1_200_000), rate(t, l, "Install, hours a window").ByJob[0])
	assert.Equal(t, estimate.Given[learn.Value](3_000_000), rate(t, l, "Install, hours an entry door").ByJob[0])
	assert.Equal(t, estimate.Given[learn.Value](1_500_000), rate(t, l, "Install, hours an opening of all kinds").ByJob[0])
	for _, marks := range [][]string{nil, {"D1", "W1"}, {"D9"}} {
		j.Book.Job.Actuals.Hours[1].Marks = marks
		r := rate(t, learn.Learn([]learn.Job{j}), "Install, hours a window")
		assert.Equal(t, "not every line of the phase names marks of one kind", r.Why[0], marks)
	}
}

// Waste beyond what Job takes sets nothing: the takeoff is to be looked at.
func TestWasteBelowNothing(t *testing.T) {
	l := learn.Learn(crew{waste: -0.2, hours: 1, spread: 0.05}.jobs(rand.New(rand.NewPCG(1, 2)), 6))
	assert.Equal(t, "differs: look at it, it sets nothing", rate(t, l, "Waste, sealant").State())
	for _, s := range l.Settings {
		assert.NotEqual(t, "waste sealant", s.Key)
	}
}

// With what was learned the jobs cost what the settings say. Source: arithmetic, by the
// plan of a job whose settings are typed.
func TestWithSettings(t *testing.T) {
	jobs := crew{waste: 0.3, hours: 2, spread: 0.05}.jobs(rand.New(rand.NewPCG(3, 3)), 7)
	l := learn.Learn(jobs)
	last := l.Jobs[2:]
	for i, a := range l.WithSettings(last) {
		j := last[i]
		assert.Equal(t, j.Plan.Bid.Total, a.Was)
		book := j.Book
		book.Job.Allowance = map[string]measure.Rate{"sealant": measure.Rate(math.Round(float64(rate(t, l, "Waste, sealant").Middle.Median)/1000) * 1000)}
		hours := rate(t, l, "Install, hours a window").Middle.Median
		book.Labor = []estimate.LaborTask{{Task: "x", Kind: estimate.Window, Per: "opening", Hours: estimate.Given(estimate.Hours(math.Round(float64(hours) / 100)))}}
		assert.Equal(t, pricing.Make(book, j.Takeoff, j.Lists).Bid.Total, a.Now)
		assert.Greater(t, a.Now, a.Was)
		assert.Equal(t, measure.Rate(100_000), j.Book.Job.Allowance["sealant"], "the job itself is as it was")
	}
}
