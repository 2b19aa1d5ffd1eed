package estimate_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"sillwright/estimate"
	"sillwright/estimate/measure"
)

// TestLimitsAtTheirEdge holds limits at the value itself and one step beyond.
func TestLimitsAtTheirEdge(t *testing.T) {
	// Source: silltosash.com (page not on record): 3 mm (1/8 in)
	assert.Equal(t, measure.Inch/8, estimate.OpeningTolerance)
	// Source: common practice: 1/16 in
	assert.Equal(t, measure.Inch/16, estimate.SquareTolerance)

	// A frame measured 1/4 in off its order is as ordered, and 9/32 is not. Both ways
	// larger it may be clad. Source: common practice, no source
	doubt := func(w, h float64) string {
		o := window(35.5, 59.5)
		o.Measured, o.Status = size(w, h), estimate.StatusSet
		take, _ := takeOff(shipped(t), o)
		return take.Openings[0].Doubt
	}
	assert.Empty(t, doubt(35.75, 59.75))
	assert.Contains(t, doubt(35.75+1.0/32, 59.5), "differs from the ordered frame")
	assert.Contains(t, doubt(35.75+1.0/32, 59.75), "differs from the ordered frame", "one way alone")
	assert.Contains(t, doubt(35.75, 59.75+1.0/32), "differs from the ordered frame", "the other way alone")
	assert.Contains(t, doubt(35.75+1.0/32, 59.75+1.0/32), "is larger both ways than the ordered frame")
}

func TestStatedHeight(t *testing.T) {
	o := estimate.Opening{Call: "3050", Rough: size(36, 61), Frame: size(35.5, 59.5), Measured: size(35.5, 59.75)}
	assert.Equal(t, size(0, 59.5).H, o.StatedHeight(), "of the frame before all")
	o.Frame = estimate.Size{}
	assert.Equal(t, size(0, 61).H, o.StatedHeight(), "of the opening before the call size")
	o.Rough = estimate.Size{}
	assert.Equal(t, size(0, 60).H, o.StatedHeight())
	o.Call = ""
	assert.Equal(t, size(0, 59.75).H, o.StatedHeight())
}

func TestProblemsOfWholeFilesTogether(t *testing.T) {
	places := []estimate.Place{{File: "a.csv"}, {File: "b.csv"}}
	a := estimate.Alike{Problem: estimate.Problem{Severity: estimate.Warning, What: "late"}, Places: places}
	assert.True(t, strings.HasPrefix(a.String(), "a.csv: warning"), "%s", a)
}

// TestOldUnitsByTheirWords: a word within another is none.
func TestOldUnitsByTheirWords(t *testing.T) {
	for notes, old := range map[string]bool{"replacement": true, "retrofit": true, "irreplaceable trim": false, "nonreplacement": false, "by old doorway": false} {
		o := window(35.5, 59.5)
		o.Notes = notes
		b := shipped(t)
		take := mustTake(t, b, o)
		said := ""
		for _, c := range estimate.JobCautions(take.Openings, &b.Job) {
			said += c.Words() + "\n"
		}
		assert.Equal(t, old, strings.Contains(said, "old units come out"), notes)
	}
}

// TestSourceOfARow: a row of Sources names the sources of what it is made of, and no other.
func TestSourceOfARow(t *testing.T) {
	found := 0
	for _, row := range estimate.SourceRows() {
		if row.Gives == "Where the middle of each mull stands." {
			found++
			assert.Equal(t, "geometry", row.Source)
		}
	}
	assert.Equal(t, 1, found)
}

// TestOrderOfProblems: by file, sheet, row and column, the worst first.
func TestOrderOfProblems(t *testing.T) {
	at := func(file, sheet string, row, col int, sev estimate.Severity, what string) estimate.Problem {
		return estimate.Problem{Place: estimate.Place{File: file, Sheet: sheet, Row: row, Col: col}, Severity: sev, What: what}
	}
	want := []estimate.Problem{
		at("a.xlsx", "Job", 9, 1, estimate.Note, "b"), at("a.xlsx", "Openings", 2, 3, estimate.Note, "b"), at("a.xlsx", "Openings", 3, 1, estimate.Error, "b"),
		at("a.xlsx", "Openings", 3, 2, estimate.Error, "z"), at("a.xlsx", "Openings", 3, 2, estimate.Warning, "a"), at("a.xlsx", "Openings", 3, 2, estimate.Warning, "b"),
		at("b.xlsx", "Job", 1, 1, estimate.Error, "a"),
	}
	shuffled := append(slices.Clone(want[3:]), want[:3]...)
	slices.Reverse(shuffled)
	assert.Equal(t, want, estimate.SortProblems(append(shuffled, want[0])), "and each once")
}

// TestSheetNamesInPlaces: a name with anything but letters, digits and _ is quoted.
func TestSheetNamesInPlaces(t *testing.T) {
	for name, want := range map[string]string{
		"Job": "Job!B2", "az_AZ09": "az_AZ09!B2", "Field measurements": "'Field measurements'!B2", "Bob's": "'Bob''s'!B2", "a{b": "'a{b'!B2", "a`b": "'a`b'!B2",
		"a@b": "'a@b'!B2", "a[b": "'a[b'!B2", "a/b": "'a/b'!B2", "a:b": "'a:b'!B2",
	} {
		p := estimate.Place{Sheet: name, Row: 2, Col: 2}
		assert.Equal(t, want, p.String(), name)
	}
}

// TestSmallestSide: a side of 4 in is taken, a thirty-second less is not.
// Source: common practice, no source
func TestSmallestSide(t *testing.T) {
	_, problems := takeOff(shipped(t), window(4, 40))
	assert.NotContains(t, strings.Join(lines(problems), "\n"), "is no size of an opening")
	_, problems = takeOff(shipped(t), window(4-1.0/32, 40))
	assert.Contains(t, strings.Join(lines(problems), "\n"), "is no size of an opening")
}
