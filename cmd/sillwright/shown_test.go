package main

import (
	"encoding/csv"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// byTheFoot turns the prices of boards in a price list into prices by the foot, where
// those have no more than four decimals, and returns how many it turned.
func byTheFoot(t *testing.T, list string) (string, int) {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(list)).ReadAll()
	require.NoError(t, err)
	turned := 0
	for _, l := range lines[1:] {
		content, err := measure.ParseContent(l[4], "")
		require.NoError(t, err)
		p, err := measure.ParseUnitPrice(l[6])
		require.NoError(t, err)
		if a := new(big.Rat).Quo(big.NewRat(int64(p), 1), content.Number); l[5] == "board" && a.IsInt() {
			l[5], l[6] = "LF", plainText(measure.UnitPrice(a.Num().Int64()))
			turned++
		}
	}
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(lines))
	return b.String(), turned
}

// TestBoardsByTheFoot: the demo's boards priced by the foot make the demo's total, their
// prices stand in the estimate as those of a board, and an estimate is not turned again,
// nor is what was typed into it.
func TestBoardsByTheFoot(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	list, turned := byTheFoot(t, read(t, "demo/prices.csv"))
	assert.Equal(t, 18, turned, "of the demo's 28 boards")
	assert.Contains(t, list, "16 ft,LF,1.45,")
	write(t, "feet.csv", list)
	const total = "19,413.77 USD" // of the demo, with prices of boards
	estimated := func(args ...string) ran {
		return succeed(t, append([]string{"estimate", "demo/duplex.xlsx", "--prices", "feet.csv", "--out", "."}, args...)...)
	}
	r := estimated()
	assert.Contains(t, r.stdout, total)
	assert.Contains(t, r.stderr, `feet.csv: line 2, unit: note: prices by a measure are turned into that of the content: 18 by "LF", such as 1.41, which is 11.28 for "8 ft"`)
	const target = "duplex-estimate.xlsx"
	b := open(t, target)
	at := b.cellAt("Prices", "Code", "0416", "Price")
	row := b.table("Prices", "Supplier", "Item", "Code", "Price")[5]
	assert.Equal(t, []string{"0416", "16 ft", "each", "23.2"}, []string{row["Code"], row["Content"], row["Unit"], row["Price"]})

	again := succeed(t, "estimate", target, "--out", "again")
	assert.Contains(t, again.stdout, total)
	assert.NotContains(t, again.stderr, "by a measure")

	edit(t, target, target, map[string]any{at: 24})
	kept := estimated("--force", "--keep-edits")
	assert.Contains(t, kept.stderr, `Price of "North Yard (invented), board-1x4, 16 ft, 0416" is "24", "23.2" when estimated: carried over`)
	row = open(t, target).table("Prices", "Supplier", "Item", "Code", "Price")[5]
	assert.Equal(t, []string{"0416", "each", "24"}, []string{row["Code"], row["Unit"], row["Price"]})
}

// TestQuotesByTheFoot: a quote by the foot is compared as one by the board is, and asks
// the same for all.
func TestQuotesByTheFoot(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	list, _ := byTheFoot(t, ownPrices(t))
	quotes := []string{}
	for name, data := range map[string]string{"boards": ownPrices(t), "feet": list} {
		rows, err := csv.NewReader(strings.NewReader(data)).ReadAll()
		require.NoError(t, err)
		for _, r := range rows[1:] {
			r[0] = name
		}
		var b strings.Builder
		require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
		write(t, name+".csv", b.String())
		quotes = append(quotes, name+".csv")
	}
	r := succeed(t, append([]string{"compare", "demo/duplex-estimate.xlsx"}, quotes...)...)
	assert.Contains(t, r.stderr, `feet.csv: line 2, unit: note: prices by a measure are turned`)
	var all []string
	for _, line := range strings.Split(r.stdout, "\n") {
		if f := strings.Fields(line); len(f) > 3 && (f[0] == "boards" || f[0] == "feet") {
			all = append(all, strings.Join(f[1:], " "))
		}
	}
	require.Len(t, all, 2, r.stdout)
	assert.Equal(t, all[0], all[1], r.stdout)
}
