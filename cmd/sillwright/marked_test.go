package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
	"sillwright/io/xlsx/audit"
)

// TestMarkedTen marks the ten planted errors where they stand, in the words
// that are printed.
func TestMarkedTen(t *testing.T) {
	inTemp(t)
	sheetsOf(t, "ten.xlsx", []string{"Openings", "Job", "Field measurements"}, planted)
	write(t, "own.csv", ownPrices(t))
	before := read(t, "ten.xlsx")
	r := sillwright("check", "ten.xlsx", "--prices", "own.csv", "--marked")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Equal(t, "ten.xlsx: 1 opening, 8 rows left out, 10 errors\nten.xlsx: 10 cells marked in ten-marked.xlsx\n", r.stdout)
	assert.Equal(t, before, read(t, "ten.xlsx"), "the file itself is never written to")
	f, err := excelize.OpenFile("ten-marked.xlsx")
	require.NoError(t, err)
	defer f.Close()
	said := map[string]string{}
	for _, sheet := range f.GetSheetList() {
		comments, err := f.GetComments(sheet)
		require.NoError(t, err)
		for _, c := range comments {
			if strings.Contains(sheet, " ") {
				sheet = "'" + sheet + "'"
			}
			said["ten.xlsx: "+sheet+"!"+c.Cell] = c.Paragraph[0].Text
		}
	}
	lines := strings.Split(strings.TrimSpace(r.besideAsides()), "\n")
	require.Len(t, said, len(lines))
	for _, line := range lines {
		parts := strings.SplitN(line, ": ", 3)
		assert.True(t, strings.HasSuffix(said[parts[0]+": "+parts[1]], strings.TrimPrefix(parts[2], "error: ")), "%q\n%q", line, said[parts[0]+": "+parts[1]])
	}
	// A marked copy has the same errors, at the same cells, and is no schedule of a folder.
	again := sillwright("check", "ten-marked.xlsx", "--prices", "own.csv")
	assert.Equal(t, strings.ReplaceAll(r.stderr, "ten.xlsx", "ten-marked.xlsx"), again.stderr)
	assert.NotContains(t, sillwright("check", ".").stdout, "ten-marked.xlsx")
}

// Whatever of ours is edited, the copy holds all of it: a schedule, a blank one that is
// filled in, an estimate.
func TestMarkedKeepsOurs(t *testing.T) {
	inTemp(t)
	sillwright("demo", "demo")
	succeed(t, "new", "blank")
	for _, file := range []string{"demo/duplex.xlsx", "blank/schedule.xlsx", "demo/workshop-estimate.xlsx"} {
		head := open(t, file).header("Openings", "Kind")
		edit(t, file, edited+file, map[string]any{
			"Openings!" + estimate.CellName(head.row+2, head.col): "windw", "Openings!" + estimate.CellName(head.row+2, 1): "W9",
		})
		r := sillwright("check", edited+file, "--marked", "--out", "marked")
		assert.Contains(t, r.stdout, " marked in ", file)
		assert.NotContains(t, r.stdout, "values and marks only", file)
		copied := outputOf(file, "marked", markedEnding)
		assert.Equal(t, "Problems", open(t, copied).sheets[0])
		assert.Subset(t, audit.Lint([]byte(read(t, edited+file))), audit.Lint([]byte(read(t, copied))), "no fault beside those of the edit")
	}
}

func TestMarkedTargets(t *testing.T) {
	const bad = oneWindow + "W2,porthole,36,60,owner\n"
	inTemp(t)
	write(t, "good.csv", oneWindow)
	write(t, "bad.csv", bad)
	write(t, "north/bad.csv", bad)
	write(t, "noise.xlsx", "PK\x03\x04 and then noise")
	r := succeed(t, "check", "good.csv", "--marked")
	assert.Contains(t, r.stdout, "good.csv: no cell to mark, so no copy\n")
	notWritten(t, "good-marked.xlsx")

	assert.Equal(t, exitNothing, sillwright("check", "noise.xlsx", "--marked").code)
	notWritten(t, "noise-marked.xlsx")

	r = sillwright("check", "bad.csv", "--marked", "--out", "new/folder")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stdout, "bad.csv: 1 cell marked in new/folder/bad-marked.xlsx\n")
	first := read(t, "new/folder/bad-marked.xlsx")

	write(t, "new/folder/bad-marked.xlsx", "what was there")
	r = sillwright("check", "bad.csv", "good.csv", "--marked", "--out", "new/folder")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "new/folder/bad-marked.xlsx: error: not written: it exists (--force replaces it)")
	assert.Equal(t, "what was there", read(t, "new/folder/bad-marked.xlsx"))
	assert.Equal(t, exitNothing, sillwright("check", "bad.csv", "--marked", "--out", "new/folder").code, "nothing is written")

	r = sillwright("check", "bad.csv", "north/bad.csv", "--marked", "--out", "new/folder", "--force")
	assert.Equal(t, exitIncomplete, r.code)
	assert.Contains(t, r.stderr, "it would replace the copy of bad.csv (give one of the files another name)")
	assert.Equal(t, first, read(t, "new/folder/bad-marked.xlsx"))

	for _, args := range []string{"check bad.csv --out x", "check bad.csv --force"} {
		r = sillwright(strings.Fields(args)...)
		assert.Equal(t, exitUsage, r.code)
		assert.Contains(t, r.stderr, "--out and --force are for the marked copies")
	}
}
