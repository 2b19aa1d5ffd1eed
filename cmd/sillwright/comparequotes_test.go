package main

import (
	"encoding/csv"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sillwright/estimate/measure"
)

// quoteFile writes the starter prices as the quote of one supplier, each item and
// content once, two of each; every price times a factor in percent. slip may
// change a row, given as item, content, count, price, extension and effective,
// and may return false to leave it out. It returns the line of each item and
// content.
func quoteFile(t *testing.T, name string, percent int64, slip func(row []string) bool) map[string]int {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(ownPrices(t))).ReadAll()
	require.NoError(t, err)
	out := [][]string{{"supplier", "item", "content", "count", "price", "extension", "effective"}}
	at := map[string]int{}
	total := measure.Money(0)
	for _, l := range lines[1:] {
		key := l[1] + " " + l[4]
		if at[key] > 0 {
			continue
		}
		p, err := measure.ParseUnitPrice(l[6])
		require.NoError(t, err)
		price := measure.UnitPrice(measure.MulDiv(int64(p), percent, 10_000) * 100)
		ext := measure.Extension(2, price)
		row := []string{name, l[1], l[4], "2", plainText(price), plainText(ext), "2026-11-10"}
		if slip != nil && !slip(row[1:]) {
			continue
		}
		total += ext
		out = append(out, row)
		at[key] = len(out)
	}
	out = append(out, []string{name, "Total", "", "", "", plainText(total), ""})
	var b strings.Builder
	require.NoError(t, csv.NewWriter(&b).WriteAll(out))
	write(t, name+".csv", b.String())
	return at
}

func plainText(v fmt.Stringer) string { return strings.ReplaceAll(v.String(), ",", "") }

// TestQuotesWithSlips plants blanks, a wrong extension, a swapped unit, an old
// date and a missing item in three quotes: each is told at its cell.
func TestQuotesWithSlips(t *testing.T) {
	inTemp(t)
	succeed(t, "demo", "demo")
	quoteFile(t, "North", 100, nil)
	quoteFile(t, "Mill", 103, func(row []string) bool { return row[0] != "trim-coil-24" })
	at := quoteFile(t, "Harbor", 97, func(row []string) bool {
		switch row[0] + " " + row[1] {
		case "board-1x4 16 ft":
			row[3], row[4] = "1.41", "2.82" // of a foot; it would be 22.56 a board
		case "shim 42 each", "shim 252 each":
			row[3], row[4] = "", ""
		case "pvc-cement 1 each":
			row[3] = "" // follows from the extension
		case "wood-glue 1 each":
			row[4] = "169.80" // 2 x 8.49 = 16.98
		case "end-primer 1 qt":
			row[5] = "2025-11-10"
		case "touch-up 1 each":
			row[2] = ""
		}
		return true
	})
	r := succeed(t, "compare", "demo/duplex-estimate.xlsx", "North.csv", "Mill.csv", "Harbor.csv", "--out", "quotes.xlsx")
	sound(t, "quotes.xlsx")
	keep(t, "quotes.xlsx")
	var want []string
	for _, f := range []struct{ line, column, what string }{
		{"board-1x4 16 ft", "price",
			`board-1x4: 1.41 for "16 ft", where the others ask about 23.55: it may be the price of one ft, which would be 22.56 (ask what the price is for)`},
		{"pvc-cement 1 each", "price", "pvc-cement: there is no unit price; it follows from extension and count (ask for the unit price)"},
		{"wood-glue 1 each", "extension",
			"wood-glue: 2 at 8.49 come to 16.98, but the extension is 169.80 (ask which of the two the supplier stands by; the unit price is used until then)"},
		{"end-primer 1 qt", "effective", "the price is from 2025-11-10, 371 days before the job's date (limit 30) (ask whether it still holds)"},
		{"touch-up 1 each", "count",
			"touch-up: there is no count, so that it is not in the supplier's sums as count times price (ask how many the quote is for)"},
	} {
		require.Positive(t, at[f.line], f.line)
		want = append(want, fmt.Sprintf("Harbor.csv: line %d, %s: warning: %s", at[f.line], f.column, f.what))
	}
	for _, w := range want {
		assert.Contains(t, strings.Split(r.stderr, "\n"), w)
	}
	shims := []int{at["shim 42 each"], at["shim 252 each"]}
	assert.Contains(t, r.stderr, fmt.Sprintf("Harbor.csv: lines %d, %d (2 rows), price: warning: shim: there is no price; it offers nothing ", shims[0], shims[1]))
	b := open(t, "quotes.xlsx")
	flags := b.table("Flags", "Quote", "Cell")
	cells := map[string]bool{}
	for _, f := range flags {
		cells[f["Cell"]] = true
		assert.Equal(t, "Harbor", f["Quote"], "the others are clean")
	}
	for _, line := range shims {
		want = append(want, fmt.Sprintf("Harbor.csv: line %d, price: warning: alike", line)) // two rows of the workbook
	}
	for _, w := range want {
		place, _, _ := strings.Cut(w, ": warning")
		assert.True(t, cells[place], place)
	}
	assert.Len(t, flags, len(want)+1, "and the total, which holds another board")

	// What is missing is missing, and counted.
	quotes := b.table("Quotes", "Quote", "Rank")
	require.Len(t, quotes, 3)
	items := map[string]map[string]string{}
	for _, row := range b.table("By item", "Item", "All quote it") {
		items[row["Item"]] = row
	}
	assert.Equal(t, "missing", items["trim-coil-24"]["Mill"])
	assert.Equal(t, "missing", items["shim"]["Harbor"])
	assert.Equal(t, "no", items["shim"]["All quote it"])
	assert.Equal(t, "Harbor: its price is blank", items["shim"]["Why it is missing"])
	assert.Equal(t, "Mill: not in the quote", items["trim-coil-24"]["Why it is missing"])
	for i, missing := range []string{"0", "1", "1"} {
		assert.Equal(t, missing, quotes[i]["Missing"], quotes[i]["Quote"])
		assert.Equal(t, cents(t, quotes[i]["Quoted total"]),
			cents(t, quotes[i]["Items that all quote"])+cents(t, quotes[i]["Other items"])+cents(t, quotes[i]["Delivery"]))
	}
	assert.Equal(t, "lowest complete quote", quotes[0]["State"])

	// The offer of North is what a full estimate at its prices alone buys.
	j, problems := load("demo/duplex.xlsx", []string{"North.csv"})
	require.NotNil(t, j, "%v", problems)
	assert.Equal(t, j.plan.Bid.Materials+j.plan.Bid.Delivery, cents(t, quotes[0]["Quoted total"]))

	// Two readings of the extension, and of the price of a foot.
	readings := b.table("Readings", "Quote", "Reading")
	require.Len(t, readings, 4)
	assert.Equal(t, []string{"as written", "price of one ft", "unit price", "extension"},
		[]string{readings[0]["Reading"], readings[1]["Reading"], readings[2]["Reading"], readings[3]["Reading"]})
	assert.Contains(t, r.stdout, "Lowest complete quote: North, ")
	assert.Contains(t, r.stdout, "It buys at doubtful prices: board-1x4 at Harbor")
}

func TestQuotesThatCannotBeRead(t *testing.T) {
	inTemp(t)
	write(t, "job.csv", oneWindow)
	write(t, "prices.csv", ownPrices(t))
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	write(t, "empty.csv", "item,content,price\n")
	r := sillwright("compare", "job-estimate.xlsx", "empty.csv", "--out", "quotes.xlsx")
	assert.Equal(t, exitNothing, r.code)
	assert.Contains(t, r.stderr, "no quote can be read")
	notWritten(t, "quotes.xlsx")

	// A supplier twice is told apart by the file; a row that cannot be read makes
	// the comparison incomplete.
	quoteFile(t, "North", 100, nil)
	write(t, "again.csv", strings.Replace(read(t, "North.csv"), "North,board-1x4,8 ft,2,11.28", "North,board-1x4,8 feets,2,11.28", 1))
	r = sillwright("compare", "job-estimate.xlsx", "North.csv", "again.csv", "--out", "quotes.xlsx")
	assert.Equal(t, exitIncomplete, r.code, r.stderr)
	assert.Contains(t, r.stderr, `again.csv: line 2, content: error: "8 feets" is not a content`)
	b := open(t, "quotes.xlsx")
	quotes := b.table("Quotes", "Quote", "Rank")
	require.Len(t, quotes, 2)
	assert.Equal(t, "North", quotes[0]["Quote"])
	assert.Equal(t, "North (again.csv)", quotes[1]["Quote"])
	sound(t, "quotes.xlsx")
}

// TestLowestOfThreeQuotes has the lowest whole offer first, in the middle and last:
// where it stands does not make it the lowest. One that is cheaper but lacks an item
// stands before it and behind it. What it comes to is what an estimate at its prices
// alone buys for.
func TestLowestOfThreeQuotes(t *testing.T) {
	inTemp(t)
	write(t, "prices.csv", ownPrices(t))
	write(t, "job.csv", oneWindow)
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	j, problems := load("job-estimate.xlsx", nil)
	require.NotNil(t, j, "%v", problems)
	needed := map[string]bool{}
	for _, p := range j.plan.Purchases {
		needed[p.Item.Key] = true
	}
	ours := func(row []string) bool { return needed[row[0]] }
	quoteFile(t, "North", 100, ours)
	quoteFile(t, "Mill", 95, ours)
	quoteFile(t, "Harbor", 98, ours)
	quoteFile(t, "Quay", 80, func(row []string) bool { return ours(row) && row[0] != "wood-glue" })
	alone, problems := load("job.csv", []string{"Mill.csv"})
	require.NotNil(t, alone, "%v", problems)
	cost := alone.plan.Bid.Materials + alone.plan.Bid.Delivery
	for i, names := range [][]string{
		{"Mill", "North", "Harbor"}, {"North", "Mill", "Harbor"}, {"Harbor", "North", "Mill"},
		{"North", "Quay", "Mill", "Harbor"}, {"North", "Mill", "Quay", "Harbor"},
	} {
		args := []string{"compare", "job-estimate.xlsx"}
		for _, name := range names {
			args = append(args, name+".csv")
		}
		out := fmt.Sprintf("quotes-%d.xlsx", i)
		r := succeed(t, append(args, "--out", out)...)
		assert.Contains(t, r.stdout, fmt.Sprintf("Lowest complete quote: Mill, %s", cost), names)
		var stood []string
		for _, row := range open(t, out).table("Quotes", "Quote", "Rank") {
			stood = append(stood, row["Quote"])
			lowest := row["Quote"] == "Mill"
			assert.Equal(t, lowest, row["State"] == "lowest complete quote", "%s of %v: %s", row["Quote"], names, row["State"])
			if lowest {
				assert.Equal(t, cost, cents(t, row["Quoted total"]), names)
			}
		}
		assert.Equal(t, names, stood)
	}
}

// TestQuotesOfOneWindow holds every cell of a comparison of three quotes for one
// window: one whole, one with a slip in an extension and a price of a foot, one
// with a gap and an item that is none of ours.
func TestQuotesOfOneWindow(t *testing.T) {
	home, err := filepath.Abs(comparisonGoldens)
	require.NoError(t, err)
	inTemp(t)
	write(t, "prices.csv", ownPrices(t))
	write(t, "job.csv", oneWindow)
	succeed(t, "estimate", "job.csv", "--prices", "prices.csv")
	j, problems := load("job-estimate.xlsx", nil)
	require.NotNil(t, j, "%v", problems)
	needed := map[string]bool{}
	for _, p := range j.plan.Purchases {
		needed[p.Item.Key] = true
	}
	quoteFile(t, "North", 100, func(row []string) bool { return needed[row[0]] })
	quoteFile(t, "Mill", 98, func(row []string) bool {
		switch row[0] + " " + row[1] {
		case "board-1x4 8 ft":
			row[3], row[4] = "1.38", "2.76"
		case "foam-low 12 fl oz", "drip-cap 10 ft":
			row[4] = "99.00"
		}
		return needed[row[0]]
	})
	quoteFile(t, "Harbor", 97, func(row []string) bool {
		if row[0] == "wood-glue" {
			row[0] = "skylight"
			return true
		}
		return needed[row[0]]
	})
	r := sillwright("compare", "job-estimate.xlsx", "North.csv", "Mill.csv", "Harbor.csv", "--out", "comparison-quotes.xlsx")
	assert.Equal(t, exitOK, r.code)
	comparisonGolden(t, filepath.Join(home, "quotes.txt"), "comparison-quotes.xlsx", r)
	r = sillwright("compare", "job-estimate.xlsx", "--out", "comparison-alternates.xlsx")
	assert.Equal(t, exitOK, r.code)
	comparisonGolden(t, filepath.Join(home, "alternates.txt"), "comparison-alternates.xlsx", r)
}
