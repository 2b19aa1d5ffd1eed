package estimate_test

import (
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// fewItems is what the steps of these tests may name.
func fewItems() estimate.Items {
	return estimate.NewItems([]estimate.Item{
		{Key: "tape-6", Family: "flashing tape", Class: "tape", Dim: estimate.Lengthwise, Width: in(6)},
		{Key: "sealant", Class: "sealant", Dim: estimate.Volumewise},
		{Key: "rod-3-8", Family: "backer rod", Dim: estimate.Lengthwise, Width: in(0.375)},
		{Key: "coil", Class: "pan", Dim: estimate.Lengthwise, Coil: in(24)},
		{Key: "pan-30", Family: "rigid pan", Class: "pan", Length: in(36), FitsTo: in(8), End: in(8), Lap: in(1.5)},
		{Key: "nail", Family: "trim nail", Length: in(4)},
	})
}

var fewRoles = []string{"tape wall"}

// bases are rows that read well; a test changes one field.
var bases = map[string]row{
	"tape":         {"Item": "tape-6", "Edges": "sill"},
	"run":          {"Item": "tape-6", "Edges": "sill"},
	"bead":         {"Item": "sealant", "Edges": "sill", "Size": "round 3/8"},
	"joint":        {"Item": "sealant", "Edges": "jambs", "Along": "frame", "Size": "gap x clamp"},
	"cavity":       {"Item": "sealant", "Edges": "jambs", "Size": "gap x 1"},
	"area":         {"Item": "sealant", "Edges": "jambs"},
	"spaced":       {"Item": "nail", "Edges": "sill", "Spacing": "16"},
	"points":       {"Item": "nail"},
	"piece joints": {"Item": "nail"},
	"note":         {},
}

// changed returns the base row of a rule with one field changed.
func changed(rule, column, text string) row {
	r := maps.Clone(bases[rule])
	r["Detail"], r["Step"], r["Do"], r["Rule"] = "mine", "1", "Do it", rule
	r[column] = text
	return r
}

// step reads a row that has no problem.
func step(t *testing.T, rule, column, text string) estimate.Step {
	return readStep(t, changed(rule, column, text))
}

func readStep(t *testing.T, r row) estimate.Step {
	details, problems := estimate.ParseDetails(stepRows(r), fewItems(), fewRoles)
	require.Empty(t, lines(problems), "%v", r)
	require.Len(t, details, 1)
	require.Len(t, details[0].Steps, 1)
	return details[0].Steps[0]
}

func TestEachEnd(t *testing.T) {
	end := func(widths int64, plus float64) estimate.End { return estimate.End{Widths: widths, Plus: in(plus)} }
	for _, c := range []struct {
		text          string
		first, second estimate.End
	}{
		{"", end(0, 0), end(0, 0)},
		{"0", end(0, 0), end(0, 0)},
		{"6", end(0, 6), end(0, 6)},
		{"3-1/2", end(0, 3.5), end(0, 3.5)},
		{"-1/4", end(0, -0.25), end(0, -0.25)},
		{"25.4 mm", end(0, 1), end(0, 1)},
		{"W", end(1, 0), end(1, 0)},
		{"W-1/2", end(1, -0.5), end(1, -0.5)},
		{"W - 1/2", end(1, -0.5), end(1, -0.5)},
		{"W+2", end(1, 2), end(1, 2)},
		{"W - 1-3/16", end(1, -1.1875), end(1, -1.1875)},
		{"W - 1 3/16", end(1, -1.1875), end(1, -1.1875)},
		{"W / 0", end(1, 0), end(0, 0)},
		{"W-1/2 / -2", end(1, -0.5), end(0, -2)},
	} {
		s := step(t, "tape", "Each end", c.text)
		assert.Equal(t, [2]estimate.End{c.first, c.second}, s.Ends, "%q", c.text)
	}
	assert.Equal(t, in(5.5), end(1, -0.5).Of(in(6)))
	assert.Equal(t, in(2), end(0, 2).Of(in(6)))
}

func TestRuns(t *testing.T) {
	for _, c := range []struct {
		text   string
		wall   bool
		widths []float64
		want   []int64
	}{
		{"", false, []float64{0, 20}, []int64{1, 1}},
		{"3", false, []float64{0, 20}, []int64{3, 3}},
		{"By wall depth", true, nil, nil},
		{"2 to 8, 3", false, []float64{3.5, 8, 8.25}, []int64{2, 2, 3}},
		{"2 to 5, 3 to 7-1/4, 4", false, []float64{5, 5.5, 7.25, 9.25}, []int64{2, 3, 3, 4}},
	} {
		runs := step(t, "tape", "Runs", c.text).Runs
		assert.Equal(t, c.wall, runs.Wall, "%q", c.text)
		for i, w := range c.widths {
			assert.Equal(t, c.want[i], runs.For(in(w)), "%q on %v in", c.text, w)
		}
	}
}

func TestSize(t *testing.T) {
	for _, c := range []struct {
		rule, text string
		want       estimate.Section
	}{
		{"bead", "round 3/8", estimate.Section{Shape: "round", A: in(0.375)}},
		{"bead", "Square 1/4", estimate.Section{Shape: "square", A: in(0.25)}},
		{"bead", "fillet 1/4", estimate.Section{Shape: "fillet", A: in(0.25)}},
		{"bead", "3/8 x 1/4", estimate.Section{Shape: "rectangle", A: in(0.375), B: in(0.25)}},
		{"joint", "gap x 1/2", estimate.Section{Shape: "gap", B: in(0.5)}},
		{"joint", "gap x clamp", estimate.Section{Shape: "gap", Clamp: true}},
		{"cavity", "gap x 1", estimate.Section{Shape: "gap", B: in(1)}},
	} {
		assert.Equal(t, c.want, step(t, c.rule, "Size", c.text).Size, "%q", c.text)
	}
}

func TestWith(t *testing.T) {
	s := step(t, "spaced", "With", "each=2; End = 4")
	assert.Equal(t, map[string]int64{"each": 2}, s.Counts)
	assert.Equal(t, map[string]measure.Length{"end": in(4)}, s.With)
	patches := changed("tape", "Edges", "")
	patches["With"] = "length=6 in; count=2;"
	s = readStep(t, patches)
	assert.Equal(t, map[string]int64{"count": 2}, s.Counts)
	assert.Equal(t, map[string]measure.Length{"length": in(6)}, s.With)
}

func TestWhen(t *testing.T) {
	facts := estimate.Facts{
		Word:   map[string]string{"kind": "patio door", "sits on": "slab", "sill level": "not measured", "layout": "three sided", "status": "none"},
		Number: map[string]int64{"mulled units": 2, "year built": 1965},
	}
	for _, c := range []struct {
		text string
		want bool
	}{
		{"", true},
		{"kind is patio door", true},
		{"Kind is Window, Patio door", true},
		{"kind is window", false},
		{"kind not window, entry door", true},
		{"kind not patio door", false},
		{"sill level is not measured", true},
		{"sill level not not measured", false},
		{"layout not none", true},
		{"mulled units > 1", true},
		{"mulled units > 2", false},
		{"mulled units < 3", true},
		{"mulled units < 2", false},
		{"year built < 1978", true},
		{"story > 1", false},   // not known, so neither above
		{"story < 100", false}, // nor below
		{"kind is patio door and sits on is slab and mulled units > 1", true},
		{"kind is patio door and sits on is wood", false},
	} {
		assert.Equal(t, c.want, step(t, "note", "When", c.text).When.Holds(facts), "%q", c.text)
	}
}

func TestEdges(t *testing.T) {
	s := step(t, "tape", "Edges", "Sill, jambs,head")
	assert.Equal(t, []estimate.Edge{estimate.Sill, estimate.Jambs, estimate.Head}, s.Edges)
	s = step(t, "run", "Edges", "mullions")
	assert.Equal(t, []estimate.Edge{estimate.Mullions}, s.Edges)
}

// TestStepProblems: the exact line for each cell that cannot be read.
func TestStepProblems(t *testing.T) {
	const (
		edges   = "write one of: sill, jambs, head, mullions, corners, head corners, sill corners"
		runs    = "write a number, 'by wall depth', or steps such as '2 to 8, 3'"
		size    = "write 'round A', 'square A', 'fillet A', 'A x B', 'gap x B' or 'gap x clamp'"
		lengths = `write 7'-11 1/2" or 95.5`
		terms   = "write 'fact is a, b', 'fact not a' or 'fact > n', joined by 'and'"
		facts   = "write one of: WRB, flange, furnished by, hardware with unit, head flashing, jamb flashing, kind, layout, leaves, mulled, mulled units, pan, prime for tape, shape, sill level, sits on, " +
			"status, story, tape flexible, year built"
		items = "write a key or family of the Items sheet, a role of the Job sheet, or a board of the trim set"
	)
	for _, c := range []struct {
		rule, column, text string
		want               string
	}{
		{"note", "Detail", "", "A2: the step belongs to no detail (write the detail's name)"},
		{"tape", "Item", "", "D2: rule tape needs Item (fill it in)"},
		{"tape", "Item", "glue", `D2: "glue" is no item, family or role (` + items + ")"},
		{"tape", "Rule", "glue", `E2: "glue" is not a word for Rule (write one of: ` + strings.Join(estimate.RuleNames(), ", ") + ")"},
		{"tape", "Per", "window", `F2: "window" is not a word for Per (write one of: opening, unit, mull)`},
		{"run", "Edges", "", "G2: rule run needs Edges (fill it in)"},
		{"tape", "Edges", "sill, cill", `G2: "cill" is not an edge (` + edges + ")"},
		{"tape", "Along", "wall", `H2: "wall" is not a word for Along (write one of: rough opening, unit, frame, outside, flange, pan, trim)`},
		{"joint", "Along", "", "H2: rule joint needs Along (fill it in)"},
		{"tape", "Each end", "6 / 6 / 6", "I2: more than two ends (write one length for both ends, or 'top / foot')"},
		{"tape", "Each end", "w", `I2: Each end "w" is not a length (` + lengths + ")"},
		{"tape", "Each end", "W-x", `I2: Each end "x" is not a length (` + lengths + ")"},
		{"tape", "Each end", "6 / some", `I2: Each end "some" is not a length (` + lengths + ")"},
		{"tape", "Runs", "0", `J2: "0" is not a number of runs (` + runs + ")"},
		{"tape", "Runs", "two", `J2: "two" is not a number of runs (` + runs + ")"},
		{"tape", "Runs", "2 to wide, 3", `J2: Runs "wide" is not a length (` + lengths + ")"},
		{"bead", "Size", "", "K2: rule bead needs Size (fill it in)"},
		{"bead", "Size", "3/8", `K2: "3/8" is not a section (` + size + ")"},
		{"bead", "Size", "oval 3/8", `K2: "oval 3/8" is not a section (` + size + ")"},
		{"bead", "Size", "round big", `K2: Size "big" is not a length (` + lengths + ")"},
		{"bead", "Size", "3/8 x deep", `K2: Size "deep" is not a length (` + lengths + ")"},
		{"spaced", "Spacing", "", "L2: rule spaced needs Spacing (fill it in)"},
		{"spaced", "Spacing", "0", "L2: a spacing must be above 0 (write a length)"},
		{"spaced", "Spacing", "wide", `L2: Spacing "wide" is not a length (` + lengths + ")"},
		{"spaced", "With", "each", `M2: "each" is not a parameter (write name=value with one of: at, count, each, end, length, through, width)`},
		{"spaced", "With", "pitch=4", `M2: "pitch=4" is not a parameter (write name=value with one of: at, count, each, end, length, through, width)`},
		{"spaced", "With", "each=0", `M2: each="0" is not a count (write a whole number above 0)`},
		{"spaced", "With", "each=1.5", `M2: each="1.5" is not a count (write a whole number above 0)`},
		{"spaced", "With", "through=wall", `M2: through="wall" is nothing that is fastened (write one of: flange, brickmould, jamb, hinge)`},
		{"tape", "With", "through=jamb", "M2: rule tape takes no through (it takes length, count, width)"},
		{"spaced", "With", "end=near", `M2: With "near" is not a length (` + lengths + ")"},
		{"bead", "With", "width=4", "M2: rule bead takes no width (it takes length, at)"},
		{"bead", "Spacing", "16", "L2: rule bead does not read Spacing (clear the cell)"},
		{"run", "With", "count=2", "M2: rule run takes no count (it takes none)"},
		{"note", "When", "kind", `N2: When "kind" is not a condition (` + terms + ")"},
		{"note", "When", "kind is door", `N2: When "door" is never what kind is (write one of: window, entry door, patio door, overhead door)`},
		{"note", "When", "color is red", `N2: When "color" is not a fact (` + facts + ")"},
		{"note", "When", "mulled units > many", `N2: When "many" is not a whole number (write digits only, such as 2)`},
		{"note", "Phase", "later", `O2: "later" is not a word for Phase (write one of: install, shop, trim, finish)`},
	} {
		details, problems := estimate.ParseDetails(stepRows(changed(c.rule, c.column, c.text)), fewItems(), fewRoles)
		assert.Equal(t, []string{"job.xlsx: Details!" + c.want}, lines(problems), "%s = %q", c.column, c.text)
		assert.Zero(t, len(details), "%s = %q: a detail with a step missing is no detail", c.column, c.text)
	}
}

// TestWrongComparison: a fact that is compared in the wrong way is not said to
// be no fact by a line that lists it.
func TestWrongComparison(t *testing.T) {
	for _, text := range []string{"units is 2", "kind > 1"} {
		_, problems := estimate.ParseDetails(stepRows(changed("note", "When", text)), fewItems(), fewRoles)
		require.Len(t, problems, 1, text)
		fact, _, _ := strings.Cut(text, " ")
		assert.Equal(t, "Details!N2", strings.TrimPrefix(problems[0].Place.String(), "job.xlsx: "))
		assert.NotContains(t, strings.Split(strings.TrimPrefix(problems[0].Do, "write one of: "), ", "), fact, text)
	}
}

// TestMeaninglessRows: a row that can never ask for what it says is a mistake
// that would otherwise leave a material out, or guess, without a word.
func TestMeaninglessRows(t *testing.T) {
	for _, c := range []struct{ rule, column, text, why string }{
		{"note", "Rule", "", "a step other than 0 without a rule does nothing"},
		{"tape", "Edges", "", "a strip along no edge needs a length"},
		{"bead", "Edges", "", "a bead along no edge has no length"},
		{"tape", "Each end", "W12", "12 in, or W and 12 in"},
		{"tape", "Edges", "sill corners", "a piece at a corner needs a length"},
		{"bead", "Size", "round 0", "a section of nothing"},
		{"bead", "Size", "round -1/4", "a section is above 0"},
		{"bead", "Size", "3/8 x clamp", "only a gap has a clamped depth"},
		{"bead", "Size", "gap x 1/4", "a bead has no gap"},
		{"cavity", "Size", "gap x clamp", "a cavity needs its depth"},
		{"cavity", "Size", "round 1", "a cavity needs its depth"},
		{"piece joints", "Runs", "2 to 5", "boards over the last limit have no number"},
		{"piece joints", "Runs", "2, 3", "the second number is never reached"},
		{"piece joints", "Runs", "3 to 8, 2 to 5, 4", "the second step is never reached"},
		{"piece joints", "Runs", "by wall depth", "only sill strip follows the wall"},
		{"area", "With", "width=-3", "a width is above 0"},
		{"spaced", "With", "end=-4", "a distance from the end is not negative"},
		{"tape", "With", "count=2", "a count with edges counts for nothing"},
		{"points", "With", "count=9223372036854775807; each=2", "a count beyond any job, which wraps round to nothing"},
		{"note", "When", "kind is ,", "a condition without a word never holds"},
		{"spaced", "Each end", "4", "end=4 in With was meant"},
		{"tape", "Spacing", "16", "strips have no spacing"},
		{"spaced", "Per", "unit", "spaced follows the edges"},
		{"spaced", "With", "each=2; each=3", "which of the two?"},
	} {
		details, problems := estimate.ParseDetails(stepRows(changed(c.rule, c.column, c.text)), fewItems(), fewRoles)
		assert.Positive(t, estimate.Errors(problems), "%s with %s = %q: %s", c.rule, c.column, c.text, c.why)
		assert.Zero(t, len(details), c.why)
	}
}

func TestParseDetails(t *testing.T) {
	rows := stepRows(
		row{"Detail": "One; two", "Step": "0"},
		row{"Detail": "two", "Step": "1", "Rule": "tape", "Item": "flashing tape", "Edges": "sill"},
		row{"Detail": "ONE", "Step": "1", "Rule": "tape", "Item": "tape wall", "Edges": "head"},
		row{"Detail": "three", "Step": "0"},
		row{"Detail": "three", "Step": "1", "Rule": "tape", "Item": "lost", "Edges": "cill", "Runs": "0"},
	)
	details, problems := estimate.ParseDetails(rows, fewItems(), fewRoles)
	var names []string
	for _, d := range details {
		names = append(names, d.Name)
		assert.Len(t, d.Steps, 2, "%s: a row that names several details stands in each", d.Name)
	}
	assert.Equal(t, []string{"one", "two"}, names, "in the order of the sheet, without the one that cannot be read")
	var cells []string
	for _, p := range estimate.SortProblems(problems) {
		cells = append(cells, p.Place.String())
	}
	assert.Equal(t, []string{"job.xlsx: Details!D6", "job.xlsx: Details!G6", "job.xlsx: Details!J6"}, cells, "all that is wrong with a row at once")
}

// TestConditionNow: the words used now, whatever letters stand before them. Those of a
// former version are in testdata/older.
func TestConditionNow(t *testing.T) {
	for was, now := range map[string]string{
		"supplied by is owner and storey > 1": "furnished by is owner and story > 1",
		"wall face IS wrap, faced":            "WRB is housewrap, integral",
		"\u0130\u0130\u0130 is window":        "\u0130\u0130\u0130 is window", // lower case has another length
		"\xe2\xac is window":                  "\xe2\xac is window",
		"no condition":                        "no condition",
	} {
		assert.Equal(t, now, estimate.ConditionNow(was), was)
	}
}

// FuzzParseDetails: no row panics when it is read or used; what is wrong is
// said at a cell, with what to do; what reads without a problem has a rule.
func FuzzParseDetails(f *testing.F) {
	f.Add("tape-6", "tape", "", "sill, jambs", "", "W-1/2 / 0", "by wall depth", "", "", "", "kind is window and mulled units > 1")
	f.Add("sealant", "bead", "unit", "mullions", "unit", "2", "3", "round 3/8", "", "", "")
	f.Add("sealant", "joint", "", "jambs, head", "frame", "", "", "gap x clamp", "", "", "layout not none")
	f.Add("sealant", "cavity", "", "sill", "rough opening", "", "", "gap x 1", "", "", "")
	f.Add("backer rod", "rod", "", "sill", "trim", "", "", "", "", "", "")
	f.Add("rigid pan", "pan rigid", "", "", "pan", "", "", "", "", "", "pan is rigid")
	f.Add("coil", "pan metal", "", "", "pan", "", "", "", "", "", "")
	f.Add("nail", "spaced", "", "head corners", "flange", "", "", "", "16", "end=4; each=2", "")
	f.Add("trim nail", "piece rows", "", "", "", "", "2 to 8, 3", "", "1/64", "end=2", "")
	f.Add("trim boards", "frame", "", "", "", "", "", "", "", "", "")
	f.Add("tape-6", "tape", "mull", "", "", "", "", "", "", "length=6; count=2", "story < 3")
	f.Add("nail", "points", "", "", "", "", "", "", "", "count=9223372036854775807; each=2", "")
	f.Add("", "", "", "", "", "W - 1 3/16", "2 to", "A x B", "-1", "=;=", " and ")
	f.Add("0", "ta", "", "", "", "", "", "", "", "", "kind\x8d\xf0\x8c\xdc is window")
	f.Fuzz(func(t *testing.T, item, rule, per, edges, along, each, runs, size, spacing, with, when string) {
		r := row{
			"Detail": "mine", "Step": "1", "Item": item, "Rule": rule, "Per": per, "Edges": edges, "Along": along,
			"Each end": each, "Runs": runs, "Size": size, "Spacing": spacing, "With": with, "When": when,
		}
		details, problems := estimate.ParseDetails(stepRows(r), fewItems(), fewRoles)
		for _, p := range problems {
			assert.Positive(t, p.Place.Col, "%v", p)
			assert.NotEmpty(t, p.What)
			assert.NotEmpty(t, p.Do, "%v", p)
		}
		assert.Equal(t, estimate.Errors(problems) == 0, len(details) == 1, "%v", lines(problems))
		if len(details) == 0 {
			return
		}
		assert.NotNil(t, estimate.FindRule(details[0].Steps[0].Rule), "%+v", r)
		o := window(85.5, 60)
		o.Detail, o.Units = "mine", 3
		take, _ := takeOff(estimate.Book{Items: fewItems(), Details: details, Job: estimate.Job{MullJoint: in(0.75)}}, o)
		for _, n := range take.Requirements {
			assert.Positive(t, n.Amount, "%+v", r)
		}
	})
}
