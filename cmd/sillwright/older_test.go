package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// older holds a job in the words of an earlier version, as it was written then:
// its schedule and its estimate as a CSV file a sheet, its price list and its
// orders. Each setting whose key has changed has a value of its own there.
const older = "../../testdata/older"

// olderBook makes a workbook of the CSV files of a folder, all cells as text.
func olderBook(t *testing.T, folder, name string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	f := excelize.NewFile()
	for _, file := range files {
		rows, err := csv.NewReader(strings.NewReader(read(t, file))).ReadAll()
		require.NoError(t, err, file)
		sheet := strings.TrimSuffix(filepath.Base(file), ".csv")
		_, err = f.NewSheet(sheet)
		require.NoError(t, err)
		for i, row := range rows {
			for k, text := range row {
				at, err := excelize.CoordinatesToCellName(k+1, i+1)
				require.NoError(t, err)
				if text != "" {
					require.NoError(t, f.SetCellStr(sheet, at, text))
				}
			}
		}
	}
	require.NoError(t, f.DeleteSheet("Sheet1"))
	require.NoError(t, f.SaveAs(name))
}

// TestOlderFiles: what an earlier version wrote is read in silence. Its schedule comes to
// what the rules of now make of it: since it was written, pans, flashing, fasteners and
// brickmould changed, so that the price list lacks one longer nail, and what the older
// estimate planned otherwise is no more ordered, but named. The totals were printed by
// this program, and are here so that no further change goes unseen.
func TestOlderFiles(t *testing.T) {
	folder, err := filepath.Abs(older)
	require.NoError(t, err)
	inTemp(t)
	prices := read(t, filepath.Join(folder, "prices.csv"))
	write(t, "prices.csv", prices)
	olderBook(t, filepath.Join(folder, "schedule"), "house.xlsx")
	require.NoError(t, os.Mkdir(strings.TrimSuffix(edited, "/"), 0o755))
	olderBook(t, filepath.Join(folder, "estimate"), edited+"house-estimate.xlsx")
	quiet := func(what string, r ran, totals ...string) {
		t.Helper()
		assert.NotContains(t, r.stderr, "not known", what)
		assert.NotContains(t, r.stderr, "not read", what)
		assert.NotContains(t, r.stderr, "not used", what)
		assert.NotContains(t, r.stderr, "left out", what)
		for _, total := range totals {
			assert.Contains(t, r.stdout, total, what)
		}
	}
	quiet("schedule and price list", sillwright("estimate", "house.xlsx", "--prices", "prices.csv"), "24,082.24 USD        5", "no price of "+
		"cover-adhesive, flange-nail-2-1-2, cover-nail")
	quiet("alternates", sillwright("compare", "house-estimate.xlsx", "--kind", "alternates", "--out", "alternates.xlsx"),
		"24,094.17", "20,951.57", "24,017.39")
	quiet("its estimate", sillwright("order", "house-estimate.xlsx", "--out", "orders"), "329.47 USD", "203.26 USD")
	again := sillwright("order", edited+"house-estimate.xlsx", "--out", "again")
	assert.Equal(t, exitIncomplete, again.code)
	assert.Contains(t, again.stderr, "trim-coil-24 is left out: what it was planned for has changed since (run estimate again)")
	assert.Contains(t, again.stdout, "6 items not ordered, or not all of it")
	quiet("the older estimate, estimated", sillwright("estimate", edited+"house-estimate.xlsx", "--out", "estimated"), "24,335.12 USD        5")
	orders, err := filepath.Glob(filepath.Join(folder, "orders", "*.csv"))
	require.NoError(t, err)
	require.Len(t, orders, 3)
	quiet("older orders", sillwright(append([]string{"compare", "house-estimate.xlsx", "--out", "revision.xlsx"}, orders...)...), "12 lines, 261.60")

	// What is written of them is in the words of now.
	for _, sheet := range []string{"Openings", "Alternates", "Details", "Items", "Job", "Takeoff"} {
		for _, line := range open(t, "house-estimate.xlsx").lines(sheet) {
			for _, word := range []string{"attached nailed", "wall strip", "strip-", "mitred", "supplied by", "storey >", "pan formed"} {
				if !strings.Contains(line, "bevel-strip") && !strings.Contains(line, "own way") {
					assert.NotContains(t, line, word)
				}
			}
		}
	}
}
