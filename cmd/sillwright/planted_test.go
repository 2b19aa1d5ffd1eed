package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// sheetsOf writes a workbook of tables of cells.
func sheetsOf(t testing.TB, name string, order []string, sheets map[string][][]any) {
	t.Helper()
	f := excelize.NewFile()
	for _, sheet := range order {
		_, err := f.NewSheet(sheet)
		require.NoError(t, err)
		for i, row := range sheets[sheet] {
			require.NoError(t, f.SetSheetRow(sheet, estimate.CellName(i+1, 1), &row))
		}
	}
	require.NoError(t, f.DeleteSheet("Sheet1"))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	write(t, name, b.String())
}

// planted is a schedule with ten errors, and one row that is sound.
var planted = map[string][][]any{
	"Openings": {
		{"Mark", "Qty", "Kind", "Frame width", "Frame height", "RO width", "RO height", "Units", "Unit widths", "Flange", "Supplied by"},
		{"W1", 1, "window", 36, 60, nil, nil, nil, nil, nil, "owner"},
		{"W2", 1, "window", "7 11 2", 60, nil, nil, nil, nil, nil, "owner"},
		{"W3", 1, "windw", 36, 60, nil, nil, nil, nil, nil, "owner"},
		{"W4", 2.5, "window", 36, 60, nil, nil, nil, nil, nil, "owner"},
		{"W5", 1, "window", 36, nil, nil, nil, nil, nil, nil, "owner"},
		{"W6", 1, "window", 36, 60, 30, 60.5, nil, nil, nil, "owner"},
		{"W7", 1, "window", 36, 60, nil, nil, nil, nil, "nailed", "owner"},
		{"w1", 1, "window", 36, 60, nil, nil, nil, nil, nil, "owner"},
		{"W8", 1, "window", 85.5, 60, nil, nil, 3, "24; 36", nil, "owner"},
	},
	"Job":                {{"Key", "Value"}, {"job name", "Ten errors"}, {"tax", "six"}},
	"Field measurements": {{"Mark", "Piece", "Width 1", "Height 1"}, {"X9", 1, 36, 60}},
}

// plantedProblems are the ten, as far as their place and the value go.
var plantedProblems = []string{
	`ten.xlsx: 'Field measurements'!A2: error: Mark "X9"`,
	`ten.xlsx: Job!B3: error: tax "six"`,
	`ten.xlsx: Openings!D3: error: Frame width "7 11 2"`,
	`ten.xlsx: Openings!C4: error: Kind "windw"`,
	`ten.xlsx: Openings!B5: error: Qty "2.5"`,
	`ten.xlsx: Openings!E6: error: W5: Frame height`,
	`ten.xlsx: Openings!F7: error: W6: the opening is 6 in smaller in width`,
	`ten.xlsx: Openings!J8: error: Flange "nailed"`,
	`ten.xlsx: Openings!A9: error: Mark "w1"`,
	`ten.xlsx: Openings!I10: error: W8: 2 unit widths for 3 units`,
}

func TestTenPlantedErrors(t *testing.T) {
	inTemp(t)
	sheetsOf(t, "ten.xlsx", []string{"Openings", "Job", "Field measurements"}, planted)
	write(t, "own.csv", ownPrices(t))
	checked := sillwright("check", "ten.xlsx", "--prices", "own.csv")
	assert.Equal(t, exitIncomplete, checked.code)
	assert.Equal(t, "ten.xlsx: 1 opening, 8 rows left out, 10 errors\n", checked.stdout)

	r := sillwright("estimate", "ten.xlsx", "--prices", "own.csv")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Equal(t, checked.stderr, r.stderr, "check and estimate say the same")
	lines := strings.Split(strings.TrimSpace(r.besideAsides()), "\n")
	require.Len(t, lines, len(plantedProblems), r.stderr)
	for i, want := range plantedProblems {
		assert.Contains(t, lines[i], want)
		assert.Regexp(t, `\(.+\)$`, lines[i], "it says what to do")
	}

	b := open(t, "ten-estimate.xlsx")
	var shown []string
	for _, p := range b.table("Checks", "Where", "Severity", "What is wrong, and what to do") {
		if asides.MatchString(p["What is wrong, and what to do"] + "\n") {
			continue
		}
		assert.Equal(t, "error", p["Severity"])
		shown = append(shown, p["Where"]+": error: "+p["What is wrong, and what to do"])
	}
	assert.Equal(t, lines, shown, "the sheet Checks uses the same words")
	assert.Equal(t, "8", b.labeled("Summary", "Rows left out of the estimate", b.header("Summary", "Number").col))

	// Put right one after the other, each error goes and no other comes.
	for i, fix := range []struct {
		place string
		value any
	}{
		{"Field measurements!A2", "W1"}, {"Job!B3", "6 %"}, {"Openings!D3", `7'-11 1/2"`}, {"Openings!C4", "window"}, {"Openings!B5", 2},
		{"Openings!E6", 60}, {"Openings!F7", 36.5}, {"Openings!J8", "integral"}, {"Openings!A9", "W9"}, {"Openings!I10", "24; 36; 24"},
	} {
		edit(t, "ten.xlsx", "ten.xlsx", map[string]any{fix.place: fix.value})
		r := sillwright("check", "ten.xlsx", "--prices", "own.csv")
		var left []string
		for _, line := range strings.Split(strings.TrimSpace(r.stderr), "\n") {
			if line != "" && !strings.Contains(line, ": note: ") && !strings.Contains(line, ": warning: ") {
				left = append(left, line)
			}
		}
		assert.Len(t, left, len(plantedProblems)-i-1, "after %s", fix.place)
		assert.NotContains(t, r.stderr, plantedProblems[i])
		if len(left) == 0 {
			assert.Equal(t, exitOK, r.code)
		}
	}

	old := read(t, "ten-estimate.xlsx")
	r = sillwright("estimate", "ten.xlsx", "--prices", "own.csv")
	assert.Equal(t, exitNothing, r.code)
	assert.Equal(t, old, read(t, "ten-estimate.xlsx"), "nothing is overwritten without --force")
}
