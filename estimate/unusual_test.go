package estimate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestUnusual: sizes that are possible and hardly ever meant are questioned at their
// cell, and nothing else is. From memory, no source.
func TestUnusual(t *testing.T) {
	frame := func(w, h float64, edit ...func(*estimate.Opening)) estimate.Opening {
		o := window(w, h)
		for _, e := range edit {
			e(&o)
		}
		return o
	}
	door := func(o *estimate.Opening) { o.Kind, o.Flange = estimate.EntryDoor, "" }
	units := func(n int64, widths ...measure.Length) func(*estimate.Opening) {
		return func(o *estimate.Opening) { o.Units, o.UnitWidths = n, widths }
	}
	for _, c := range []struct {
		why     string
		opening estimate.Opening
		says    string // "" = nothing of all these
	}{
		{"a window", frame(35.5, 59.5), ""},
		{"an inch for a foot", frame(36, 5), "a height of 5 in is unusual for windows; 6 to 120 is usual"},
		{"as narrow", frame(5, 36), "a width of 5 in is unusual for windows"},
		{"a digit too many", frame(200, 59.5), "a width of 200 in is unusual for windows"},
		{"both sides", frame(200, 150), "a height of 150 in is unusual for windows"},
		{"a small one", frame(12, 12), ""},
		{"a wide group", frame(230, 60, units(5)), ""},
		{"a transom", frame(188, 7.5), ""},
		{"an opening", frame(0, 0, func(o *estimate.Opening) { o.Rough = estimate.Size{W: 36 * measure.Inch, H: 6 * measure.Inch} }),
			"a height of 5-1/2 in is unusual"},
		{"the slab of a door", frame(36, 80, door), "the frame of 36 x 80 is the size of a door slab, whose frame is about 37-1/2 x 81-3/4"},
		{"slabs of 7 and 8 ft", frame(36, 96, door), "the frame of 36 x 96 is the size of a door slab"},
		{"a pair of slabs", frame(72, 80, door), "the frame of 72 x 80 is the size of a door slab"},
		{"the frame of a door", frame(37.5, 81.75, door), ""},
		{"a call size", frame(0, 0, door, func(o *estimate.Opening) { o.Call = "3068" }), ""},
		{"a narrow door", frame(18, 80, door), "a width of 18 in is unusual for entry doors"},
		{"three units in the width of one", frame(36, 60, units(3)), "3 units in a frame 36 in wide are 11-1/2 in wide each"},
		{"two units in the width of one", frame(24, 60, units(2)), "2 units in a frame 24 in wide are 11-5/8 in wide each"},
		{"two narrow casements", frame(36, 60, units(2)), ""},
		{"narrow as it is written", frame(37.5, 60, units(3, 12*measure.Inch, 12*measure.Inch, 12*measure.Inch)), ""},
	} {
		c.opening.Mark = "W1"
		_, problems := takeOff(shipped(t), c.opening)
		all := strings.Join(lines(problems), "\n")
		if c.says != "" {
			assert.Contains(t, all, "warning: W1: "+c.says, c.why)
			continue
		}
		for _, words := range []string{"is unusual for windows", "is unusual for entry doors", "door slab", "wide each"} {
			assert.NotContains(t, all, words, c.why)
		}
	}
}

// TestCostDoubts: a unit cost that stands out among its neighbors by the place of its
// point is questioned. Arithmetic on the factor of costTimes.
func TestCostDoubts(t *testing.T) {
	for _, c := range []struct {
		why   string
		costs []measure.Money // of windows of one size
		says  []string
	}{
		{"alike", []measure.Money{412_00, 398_00, 512_00}, nil},
		{"a point too far left", []measure.Money{412_00, 4_12, 412_00}, []string{"W2: a unit cost of 4.12 is less than 1/8 of what"}},
		{"a point left out", []measure.Money{412_00, 412_00, 41_200_00}, []string{"W3: a unit cost of 41,200.00 is more than 8 times what"}},
		{"both", []measure.Money{4_12, 412_00, 41_200_00}, []string{"W1: a unit cost of 4.12", "W3: a unit cost of 41,200.00"}},
		{"two are no neighborhood", []measure.Money{412_00, 4_12}, nil},
		{"0 is said elsewhere", []measure.Money{412_00, 0, 412_00, 412_00}, nil},
		{"dear, but no slip", []measure.Money{412_00, 2_400_00, 412_00}, nil},
	} {
		var openings []estimate.Opening
		for i, cost := range c.costs {
			o := window(35.5, 59.5)
			o.Mark, o.UnitCost = "W"+string(rune('1'+i)), estimate.Given(cost)
			openings = append(openings, o)
		}
		_, problems := takeOff(shipped(t), openings...)
		var found []string
		for _, p := range lines(problems) {
			if strings.Contains(p, "their size") {
				found = append(found, p)
			}
		}
		if assert.Len(t, found, len(c.says), "%s: %v", c.why, found) {
			for i := range found {
				assert.Contains(t, found[i], "warning: "+c.says[i], c.why)
			}
		}
	}
}

// TestRanges: what Job may hold is told by the table beside its settings; outside it the
// default holds.
func TestRanges(t *testing.T) {
	items := shippedItems(t)
	for _, c := range []struct{ key, value, says string }{
		{"stud depth", "140", `stud depth "140" is outside 1-1/2 to 14 in`},
		{"stud depth", "140 mm", ""},
		{"kerf", "18", `kerf "18" is outside 0 to 1/2 in`},
		{"kerf", "1/8", ""},
		{"spare boards", "100", `spare boards "100" is outside 0 to 20`},
		{"spare boards", "0", ""},
		{"labor rate", "4500", `labor rate "4500" is outside 1 to 1000`},
		{"labor rate", "68.50", ""},
		{"overhead", "900", "overhead of 900 % is over 100 %"},
		{"overhead", "12.5", ""},
		{"tax", "60", `tax "60" is outside 0 to 30 %`},
		{"pan slope", "60", `pan slope "60" is outside 0 to 30 %`},
		{"sheathing", "7 ft", `sheathing "7 ft" is outside 0 to 2 in`},
		{"clearance window width", "12", `clearance window width "12" is outside 0 to 6 in`},
		{"jamb depth window", "4-9/16", ""},
		{"year built", "19", `year built "19" is outside 1600 to 2100`},
		{"coldest forecast", "360", `coldest forecast "360" is outside -60 to 130`},
		{"price age", "99999", `price age "99999" is outside 0 to 3650`},
		{"minimum saving to add a supplier", "1000000", `minimum saving to add a supplier "1000000" is outside 0 to 100000`},
	} {
		var settings []estimate.Setting
		for _, r := range shippedRows(t, "settings.csv") {
			s := estimate.Setting{Key: r["key"], Default: r["value"], Unit: r["unit"], Least: r["least"], Most: r["most"]}
			if s.Key == c.key {
				s.Text = c.value
			}
			settings = append(settings, s)
		}
		_, problems := estimate.NewJob(settings, items)
		if c.says == "" {
			assert.Empty(t, problems, "%s %s", c.key, c.value)
			continue
		}
		if assert.Len(t, problems, 1, "%s %s", c.key, c.value) {
			assert.Contains(t, problems[0].String(), c.says)
			assert.Equal(t, estimate.Error, problems[0].Severity)
		}
	}
}

// TestEverySettingHasItsRange: whatever is counted or measured has a range, and its
// default is in it.
func TestEverySettingHasItsRange(t *testing.T) {
	for _, r := range shippedRows(t, "settings.csv") {
		counted := map[string]bool{"length": true, "percent": true, "money": true, "count": true, "days": true, "year": true, "F": true}[r["unit"]]
		assert.Equal(t, counted, r["least"] != "" && r["most"] != "", r["key"])
	}
}

// TestSumsFit: the largest that is accepted, 50,000 times, stays in an integer. The
// largest side of an opening is 40 ft, the most openings of a job 50,000.
func TestSumsFit(t *testing.T) {
	const side, openings = 40 * measure.Foot, 50_000
	area := measure.AreaOf(side, side)
	assert.LessOrEqual(t, int64(area), int64(math.MaxInt64/openings), "areas of all frames")
	assert.LessOrEqual(t, int64(4*side), int64(math.MaxInt64/openings/100), "a hundred lines around each frame")
	assert.LessOrEqual(t, int64(measure.MaxMoney), int64(math.MaxInt64/openings/1000), "unit costs of all openings")
	assert.LessOrEqual(t, int64(measure.MaxMoney), int64(math.MaxInt64/1_000_000/100), "a million lines of the largest amount, a hundredfold by rates")
	assert.Equal(t, measure.Money(math.MaxInt64), measure.Money(math.MaxInt64-1).Plus(1, 1, 5))
	assert.Equal(t, measure.Money(math.MinInt64), measure.Money(math.MinInt64).Plus(-1))
	assert.Equal(t, measure.Money(7), measure.Money(4).Plus(5, -2))
}
