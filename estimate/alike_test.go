package estimate

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGroupProblems(t *testing.T) {
	cell := func(row int, what string) Problem {
		return Problem{Place{"job.xlsx", "Openings", row, 6, "Frame width"}, Error, what, "write 36"}
	}
	csvLine := func(row int, what string) Problem {
		return Problem{Place{"job.csv", "", row, 3, "Kind"}, Error, what, "write a kind"}
	}
	var long []Problem
	for row := 4; row <= 75; row++ {
		long = append(long, csvLine(row, `Kind "porthole" is not known`))
	}
	var scattered []Problem
	for row := 2; row <= 40; row += 2 {
		scattered = append(scattered, cell(row, "no width"))
	}
	for _, c := range []struct {
		why  string
		in   []Problem
		want []string
	}{
		{"none", nil, nil},
		{"one keeps its place, and says error", []Problem{cell(12, "no width")}, []string{"job.xlsx: Openings!F12: error: no width (write 36)"}},
		{"a run of lines", long, []string{`job.csv: lines 4 to 75 (72 rows), Kind: error: Kind "porthole" is not known (write a kind)`}},
		{"runs and single cells", []Problem{cell(12, "no width"), cell(14, "no width"), cell(15, "no width"), cell(16, "no width"), cell(18, "no width"),
			cell(19, "no width")}, []string{"job.xlsx: Openings!F12, F14 to F16, F18, F19 (6 rows): error: no width (write 36)"}},
		{"of many places the first are named, all are counted", scattered,
			[]string{"job.xlsx: Openings!F2, F4, F6, F8, F10, F12, F14, F16 and 12 more (20 rows): error: no width (write 36)"}},
		{"another value in quotes", []Problem{csvLine(4, `Kind "a" is not known`), csvLine(5, `Kind "b" is not known`)},
			[]string{`job.csv: lines 4, 5 (2 rows), Kind: error: Kind "a" (and 1 other) is not known (write a kind)`}},
		{"values are counted once each", []Problem{csvLine(4, `Kind "a" is not known`), csvLine(5, `Kind "b" is not known`),
			csvLine(6, `Kind "b \" c" is not known`), csvLine(9, `Kind "a" is not known`)},
			[]string{`job.csv: lines 4 to 6, 9 (4 rows), Kind: error: Kind "a" (and 2 others) is not known (write a kind)`}},
		{"only the value that differs is counted", []Problem{cell(4, `"x" is not in the unit of "in"`), cell(5, `"y" is not in the unit of "in"`)},
			[]string{`job.xlsx: Openings!F4, F5 (2 rows): error: "x" (and 1 other) is not in the unit of "in" (write 36)`}},
		{"a sign for inches opens no quotes", []Problem{cell(4, `head of 16'-3" is longer than any board of 16'-0"`),
			cell(5, `head of 16'-3" or any coil of 16'-0"`)},
			[]string{`job.xlsx: Openings!F4: error: head of 16'-3" is longer than any board of 16'-0" (write 36)`,
				`job.xlsx: Openings!F5: error: head of 16'-3" or any coil of 16'-0" (write 36)`}},
		{"marks in front are listed", []Problem{cell(4, "W1: no pan"), cell(5, "W2: no pan"), cell(6, "W1: no pan")},
			[]string{"job.xlsx: Openings!F4 to F6 (3 rows): error: W1, W2: no pan (write 36)"}},
		{"other advice is another message", []Problem{cell(4, "no width"), {cell(5, "").Place, Error, "no width", "write 30"}},
			[]string{"job.xlsx: Openings!F4: error: no width (write 36)", "job.xlsx: Openings!F5: error: no width (write 30)"}},
		{"so is another severity, column, sheet or file, each where its first stands", []Problem{
			{Place{"a.csv", "", 1, 0, ""}, Note, "x", ""}, {Place{"a.csv", "", 1, 2, "B"}, Warning, "x", ""}, {Place{"a.csv", "", 2, 0, ""}, Note, "x", ""},
			{Place{"b.csv", "", 2, 0, ""}, Note, "x", ""}},
			[]string{"a.csv: lines 1, 2 (2 rows): note: x", "a.csv: line 1, B: warning: x", "b.csv: line 2: note: x"}},
		{"rows of a sheet", []Problem{{Place{"a.xlsx", "My list", 3, 0, ""}, Warning, "x", ""}, {Place{"a.xlsx", "My list", 4, 0, ""}, Warning, "x", ""}},
			[]string{"a.xlsx: 'My list' rows 3, 4 (2 rows): warning: x"}},
		{"a file as a whole", []Problem{{Place{File: "a.xlsx"}, Error, "glue: no price", ""}, {Place{File: "a.xlsx"}, Error, "shim: no price", ""}},
			[]string{"a.xlsx: error: glue, shim: no price"}},
		{"the run as a whole", []Problem{{Place{}, Note, "x", ""}}, []string{"note: x"}},
		{"twice in one row", []Problem{cell(4, "W1: no pan"), cell(4, "W2: no pan")}, []string{"job.xlsx: Openings!F4: error: W1, W2: no pan (write 36)"}},
	} {
		var said []string
		for _, g := range GroupProblems(c.in) {
			said = append(said, g.String())
		}
		assert.Equal(t, c.want, said, c.why)
	}
}

// No problem gets lost in a group, whatever differs.
func TestGroupsHoldAllPlaces(t *testing.T) {
	var in []Problem
	for i := range 60 {
		in = append(in, Problem{Place{"a.csv", "", i + 2, i % 3, ""}, Severity(i % 2), fmt.Sprintf("W%d: %q is wrong", i, fmt.Sprint(i%7)), ""})
	}
	n := 0
	for _, g := range GroupProblems(in) {
		n += len(g.Places)
	}
	assert.Equal(t, len(in), n)
	assert.Len(t, GroupProblems(in), 6, "three columns of two severities")
}
