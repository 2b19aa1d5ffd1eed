package main

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"sillwright/estimate"
)

// A request comes back as a clerk fills it in, and is a quote and a price list: every row
// is about the item that was asked for.
func TestRequestComesBack(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", "Mark,Qty,Kind,Frame width,Frame height,Furnished by\nW1,3,window,35-1/2,59-1/2,owner\nP1,1,patio door,71-1/2,79-1/2,owner\n")
	write(t, "own.csv", ownPrices(t))
	require.Equal(t, exitOK, sillwright("estimate", "job.csv", "--prices", "own.csv").code)
	const job = "job-estimate.xlsx"
	r := succeed(t, "order", job, "--request", "--out", "q")
	assert.Contains(t, r.stdout, "Filled in, they are price lists and quotes")
	asked := 0
	for _, row := range open(t, job).table("Materials", "Item", "Computed", "Key") {
		if row["Key"] != "" {
			asked++
		}
	}
	names := listing(t, "q")
	assert.Contains(t, names, "q/job-request.csv")
	assert.NotContains(t, strings.Join(names, " "), "purchases", "nothing is ordered")

	// Filled in as CSV, by whoever got the one for all; and as a workbook, by one yard.
	rows, err := csv.NewReader(strings.NewReader(read(t, "q/job-request.csv"))).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, asked+1)
	at := func(head string) int { return slices.Index(rows[0], head) }
	for i := range rows[1:] {
		rows[i+1][at("supplier")], rows[i+1][at("price")], rows[i+1][at("lead_days")] = "Fourth Yard", "12.50", "2"
	}
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
	write(t, "fourth.csv", b.String())

	yard := names[slices.IndexFunc(names, func(n string) bool { return strings.HasSuffix(n, ".xlsx") && n != "q/job-request.xlsx" })]
	sound(t, yard)
	f, err := excelize.OpenFile(yard)
	require.NoError(t, err)
	head := open(t, yard).header("Prices", "Price")
	for i := range asked {
		require.NoError(t, f.SetCellValue("Prices", estimate.CellName(head.row+1+i, head.col), 11.25))
	}
	require.NoError(t, f.SaveAs("yard.xlsx"))
	require.NoError(t, f.Close())

	r = sillwright("compare", job, "fourth.csv", "yard.xlsx", "--out", "quotes.xlsx")
	require.Equal(t, exitOK, r.code, r.stdout+r.stderr)
	assert.Contains(t, r.stdout, "Fourth Yard")
	items := map[string]bool{}
	for _, row := range rows[1:] {
		items[row[at("item")]] = true
	}
	for _, file := range []string{"fourth.csv", "yard.xlsx"} {
		r = sillwright("estimate", "job.csv", "--prices", file, "--out", "by-"+file)
		assert.Equal(t, exitOK, r.code, "%s: %s", file, r.stderr)
		assert.NotContains(t, r.stderr, "it has no price", file)
	}
	for _, row := range open(t, "by-fourth.csv/job-estimate.xlsx").table("Materials", "Item", "Unit price", "Key") {
		if row["Key"] != "" {
			assert.True(t, items[row["Item"]], row["Item"])
			assert.Equal(t, "12.5", row["Unit price"])
		}
	}
	assert.Equal(t, exitUsage, sillwright("order", job, "--request", "--placed", "2026-11-17").code)
	assert.Equal(t, exitNothing, sillwright("order", job, "--request", "--out", "q").code, "files that exist stay")
}

// What nobody offers is asked for by its need; what was blank comes back as missing, never
// as free.
func TestRequestOfWhatHasNoPrice(t *testing.T) {
	inTemp(t)
	write(t, "one.csv", oneWindow)
	lines := strings.SplitAfter(ownPrices(t), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return strings.Contains(l, ",sealant-10,") })
	write(t, "own.csv", strings.Join(lines, ""))
	require.Equal(t, exitIncomplete, sillwright("estimate", "one.csv", "--prices", "own.csv").code)
	succeed(t, "order", "one-estimate.xlsx", "--request", "--out", "q")
	text := read(t, "q/one-request.csv")
	assert.Regexp(t, `,"Bedding sealant, cartridge, [\d.]+ fl oz: state pack and price",,,,,USD,,,sealant-10`, text)
	r := sillwright("estimate", "one.csv", "--prices", "q/one-request.csv", "--out", "blank")
	assert.NotEqual(t, exitOK, r.code)
	assert.Contains(t, r.stderr, "price")
}
