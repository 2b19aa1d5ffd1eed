package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// TestRefusedRates: a rate that is refused is no part of the total, and no formula follows
// it: what a spreadsheet works out again is what was printed.
func TestRefusedRates(t *testing.T) {
	inTemp(t)
	require.NoError(t, os.Mkdir("sheets", 0o755))
	write(t, "sheets/Openings.csv", "Mark,Kind,Frame width,Frame height,Furnished by\nW1,window,36,48,owner\n")
	write(t, "sheets/Job.csv", "Key,Value\ntax,-5\noverhead,150\nwaste sealant,12\nwaste foam,900\ntax basis,never\n")
	olderBook(t, "sheets", "job.xlsx")
	r := sillwright("estimate", "job.xlsx")
	require.Equal(t, exitIncomplete, r.code, r.stderr)
	f, err := excelize.OpenFile("job-estimate.xlsx")
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows("Summary")
	require.NoError(t, err)
	found := 0
	for i, row := range rows {
		if len(row) == 0 || row[0] != "Overhead" && row[0] != "Sales tax" || found == 2 {
			continue
		}
		found++
		cell, err := excelize.CoordinatesToCellName(2, i+1)
		require.NoError(t, err)
		formula, err := f.GetCellFormula("Summary", cell)
		require.NoError(t, err)
		assert.Equal(t, "0", formula, "%s: the default, and nothing of Job", row[0])
	}
	assert.Equal(t, 2, found)
}

// TestTwoColumnsOfOneName: two columns of one heading are kept apart, in one sheet and in
// two, and the estimate is read again as it was.
func TestTwoColumnsOfOneName(t *testing.T) {
	inTemp(t)
	write(t, "twice.csv", "Mark,Kind,Frame width,Frame height,Furnished by,Zone,zone\nW1,window,36,48,owner,kitchen,north\n")
	require.NoError(t, os.Mkdir("sheets", 0o755))
	write(t, "sheets/Windows.csv", "Mark,Kind,Frame width,Frame height,Furnished by,Zone\nW1,window,36,48,owner,kitchen\n")
	write(t, "sheets/Doors.csv", "Mark,Kind,Frame width,Frame height,Furnished by,Zone\nD1,patio door,71-1/2,79-1/2,owner,den\n")
	olderBook(t, "sheets", "two.xlsx")
	for _, name := range []string{"twice.csv", "two.xlsx"} {
		first := succeed(t, "estimate", name)
		assert.NotContains(t, first.stderr, "error")
		name = strings.TrimSuffix(name, filepath.Ext(name))
		again := succeed(t, "estimate", name+"-estimate.xlsx", "--out", "again")
		assert.NotContains(t, again.stderr, "error")
		f, err := excelize.OpenFile("again/" + name + "-estimate.xlsx")
		require.NoError(t, err)
		rows, err := f.GetRows("Openings")
		require.NoError(t, err)
		require.NoError(t, f.Close())
		words := fmt.Sprint(rows)
		assert.Contains(t, words, "one 2", "its own name")
		assert.Contains(t, words, "kitchen")
	}
}

// TestOddSuppliers: no sign in the name of a supplier is one of ours in a formula.
func TestOddSuppliers(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", "Mark,Kind,Frame width,Frame height,Furnished by\nW1,window,36,48,owner\n")
	write(t, "prices.csv", "supplier,item,content,price\n@yard,board-1x4,16 ft,20\nA..B,board-1x4,16 ft,21\n{C},board-1x4,16 ft,22\n^D,board-1x4,16 ft,23\nE,board-1x4,16 ft,24\n")
	r := sillwright("estimate", "job.csv", "--prices", "prices.csv")
	assert.FileExists(t, "job-estimate.xlsx", r.stderr)
	assert.NotContains(t, r.stderr, "has no column")
}
