package estimate_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// hrs returns hours, to the ten-thousandth.
func hrs(h float64) estimate.Hours { return estimate.Hours(math.Round(h * float64(estimate.Hour))) }

// shippedLabor reads the tasks that ship, in the rows of labor.csv.
func shippedLabor(t testing.TB) []estimate.LaborTask {
	var out []estimate.LaborTask
	for i, r := range shippedRows(t, "labor.csv") {
		task := estimate.LaborTask{
			Place: estimate.Place{File: "job.xlsx", Sheet: "Labour", Row: i + 5, Col: 4},
			Task:  r["task"], Kind: estimate.Kind(r["kind"]), Per: r["per"], Covers: r["covers"], Source: r["source"],
		}
		if s := r["public hours"]; s != "" {
			h, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err)
			task.Public = estimate.Given(hrs(h))
		}
		out = append(out, task)
	}
	return out
}

// several returns an opening so many times.
func several(qty int64, o estimate.Opening) estimate.Opening {
	return change(o, func(o *estimate.Opening) { o.Qty = qty })
}

// The public table, whose hours are compared, not used.
//
// Source: planningplanet.com, "Fitout & Finishes", man-hours; that it is the Naval
// Facilities Engineering Command's P-405 is from memory. 10 double hung windows
// at 4; 2 exterior doors at 3 for frame and trim and 5 to fit, hang and lock; the
// frame of a sliding door 4; a garage door 16 x 7 of aluminum 10: 70 man-hours.
// Caulking windows, 300 ft at 0.003: 0.9.
func TestPublicHours(t *testing.T) {
	windows := several(10, window(90, 90)) // 30 ft round, so 300 ft
	doors := several(2, entryDoor(36, 80))
	take := mustTake(t, shipped(t), windows, doors, patioDoor(72, 80), overheadDoor(192, 84))
	lines, problems := estimate.Labor(shipped(t).Job, shippedLabor(t), take)
	assert.Empty(t, problems)
	sum, caulk := estimate.Hours(0), estimate.Hours(0)
	for _, l := range lines {
		switch {
		case l.Task.Per == "foot" && l.Task.Kind == estimate.Window:
			caulk += l.Public.V
		case l.Task.Per != "foot":
			sum += l.Public.V
		}
	}
	assert.Equal(t, hrs(70), sum)
	assert.Equal(t, hrs(0.9), caulk)
}

func TestLaborQuantity(t *testing.T) {
	three := joined(85.5, 3, 24, 36, 24) // 290.5 in round
	take := mustTake(t, shipped(t), several(2, three), change(window(36, 60), func(o *estimate.Opening) { o.Mark, o.Status = "W2", "hung" }), entryDoor(36, 80))
	round := 2*(85.5+59.5)*2 + 2*(36+60)
	for _, c := range []struct {
		source   string
		kind     estimate.Kind
		per      string
		quantity float64
	}{
		{"counted: 2 and 1; what is hung was work too", estimate.Window, "opening", 3},
		{"counted: 2 of three units, and 1", estimate.Window, "unit", 7},
		{"arithmetic: frames of 85-1/2 x 59-1/2 and 36 x 60", estimate.Window, "foot", round / 12},
		{"arithmetic: an inch is 25.4 mm", estimate.Window, "meter", round * 0.0254},
		{"counted", estimate.EntryDoor, "unit", 1},
		{"counted: none", estimate.PatioDoor, "foot", 0},
	} {
		tasks := []estimate.LaborTask{{Task: "x", Kind: c.kind, Per: c.per, Hours: estimate.Given(hrs(0.5))}}
		lines, problems := estimate.Labor(estimate.Job{LaborRate: estimate.Given[measure.Money](100_00)}, tasks, take)
		require.Empty(t, problems)
		require.Len(t, lines, 1)
		assert.InDelta(t, c.quantity, float64(lines[0].Quantity)/float64(lines[0].Base), 1e-9, c.source)
		assert.InDelta(t, c.quantity/2, float64(lines[0].Hours.V)/float64(estimate.Hour), 0.00005, c.source)
		assert.Equal(t, estimate.Given(measure.Money(math.Round(100*float64(lines[0].Hours.V)/100))), lines[0].Cost, "%s: at 100.00 an hour", c.source)
	}
}

// Cents of hours. Source: arithmetic.
func TestLaborCost(t *testing.T) {
	for _, c := range []struct {
		source string
		qty    int64
		hours  float64
		rate   measure.Money
		want   measure.Money
	}{
		{"10 x 1.5 h at 65.00", 10, 1.5, 65_00, 975_00},
		{"1.2345 h at 45.50 is 56.16975", 1, 1.2345, 45_50, 56_17},
		{"0.5 h at 0.01 is half a cent, up", 1, 0.5, 1, 1},
		{"0.2001 h at 50.00 is 10.005, up", 1, 0.2001, 50_00, 10_01},
		{"0.2201 h at 45.45 is 10.003545", 1, 0.2201, 45_45, 10_00},
		{"0.0001 h at 49.99 is 0.004999: not 0.0050 and then a cent", 1, 0.0001, 49_99, 0},
		{"hours typed as 0 cost 0", 3, 0, 65_00, 0},
	} {
		take := estimate.Takeoff{Openings: []estimate.Sized{{Opening: several(c.qty, window(36, 60))}}}
		tasks := []estimate.LaborTask{{Task: "x", Kind: estimate.Window, Per: "opening", Hours: estimate.Given(hrs(c.hours))}}
		lines, problems := estimate.Labor(estimate.Job{LaborRate: estimate.Given(c.rate)}, tasks, take)
		assert.Empty(t, problems)
		assert.Equal(t, estimate.Given(c.want), lines[0].Cost, c.source)
		assert.Equal(t, c.want, estimate.LaborCost(lines), c.source)
	}
}

// What is done needs no more hours: of a task by its phase, of one that states none only
// where the opening is finished. Source: counted, at 100.00 an hour.
func TestLaborLeft(t *testing.T) {
	w := several(4, window(36, 60))
	w.Stages = []estimate.Stage{{Status: estimate.StatusOrdered, Count: 1}, {Status: estimate.StatusSet, Count: 2}, {Status: estimate.StatusFinished, Count: 1}}
	take := estimate.Takeoff{Openings: []estimate.Sized{{Opening: w}}}
	job := estimate.Job{LaborRate: estimate.Given[measure.Money](100_00)}
	for phase, left := range map[estimate.Phase]measure.Money{"install": 1, "shop": 3, "trim": 3, "finish": 3, "": 3} {
		task := estimate.LaborTask{Task: "x", Kind: estimate.Window, Per: "opening", Phase: phase, Hours: estimate.Given(hrs(1))}
		assert.Equal(t, left*100_00, estimate.LaborLeft(job, []estimate.LaborTask{task}, take), phase)
		assert.Equal(t, left*200_00, estimate.LaborLeft(job, []estimate.LaborTask{task, task}, take), phase)
	}
}

func TestHoursWithoutLaborRate(t *testing.T) {
	take := mustTake(t, shipped(t), several(2, window(36, 60)))
	tasks := shippedLabor(t)
	typed := func(hours ...float64) ([]estimate.LaborLine, []string) {
		own := append([]estimate.LaborTask(nil), tasks...)
		for i, h := range hours {
			own[i].Hours = estimate.Given(hrs(h))
		}
		lines, problems := estimate.Labor(estimate.Job{}, own, take)
		var words []string
		for _, p := range problems {
			words = append(words, p.String())
		}
		return lines, words
	}
	lines, problems := typed(0, 1.5, 0.1)
	assert.Equal(t, []string{"job.xlsx: Labour!D6: Set and shim the unit, window: hours without a labor rate have no cost (type labor rate on Job, or " +
		"leave all hours blank)"}, problems, "once, at the first that would cost")
	assert.Equal(t, estimate.Given(hrs(3)), lines[1].Hours)
	assert.False(t, lines[1].Cost.Set)
	assert.Zero(t, estimate.LaborCost(lines))

	_, problems = typed(0)
	assert.Empty(t, problems, "no time costs nothing at any rate")
	lines, problems = typed()
	assert.Empty(t, problems)
	for _, l := range lines {
		assert.False(t, l.Hours.Set || l.Cost.Set, l.Task.Task)
	}
}

// A figure that is published says what it covers and where it was read; each
// task stands once, so that none is counted twice.
func TestShippedLabor(t *testing.T) {
	seen, public := map[string]bool{}, 0
	for _, task := range shippedLabor(t) {
		key := fmt.Sprint(task.Task, task.Kind, task.Per)
		assert.False(t, seen[key], "%s stands twice", key)
		seen[key] = true
		assert.Contains(t, estimate.Kinds, string(task.Kind))
		assert.Contains(t, estimate.LaborPer, task.Per)
		assert.Equal(t, task.Public.Set, task.Covers != "", key)
		assert.Equal(t, task.Public.Set, task.Source != "", key)
		if task.Public.Set {
			public++
		}
	}
	assert.Equal(t, 8, public)
}
